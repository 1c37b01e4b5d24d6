"""Stated sun that is more than there is. Pure over the case; the sun that is counted with is the model's."""

from collections.abc import Iterator
from math import acos, cos, pi, radians, sin
from typing import Final

from holdover.case.schema import Case
from holdover.findings import Finding, report

MEAN_DAYS: Final = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)
"""Day of the year that stands for its month [-]; Klein 1977."""
SOLAR_KW: Final = 1.367
"""Sun outside the air at the mean distance [kW/m²]; World Radiation Center, by transcription."""
ROUNDED: Final = 0.05
"""Stated sun may be above what there is by so much [kWh/m²·day]: half the last digit of a table with one decimal."""
MONTHS: Final = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
                 "November", "December")  # fmt: skip


def too_bright(case: Case) -> Iterator[Finding]:
    """Months whose global irradiation is above that outside the air."""
    if case.sun.resource != "global irradiation":
        return
    for name, day, month in zip(MONTHS, MEAN_DAYS, case.months, strict=False):
        outside = outside_kwh(case.sun.latitude_deg, day)
        if month.global_kwh is not None and month.global_kwh > outside + ROUNDED:
            at, most = case.sun.latitude_deg, round(outside, 2)
            yield report("A033", month=name, stated=month.global_kwh, latitude_deg=at, outside=most)


def outside_kwh(latitude_deg: float, day: int) -> float:
    """Sun outside the air on the horizontal over a day [kWh/m²·day]; Duffie and Beckman eq. 1.10.3."""
    phi, delta = radians(latitude_deg), radians(23.45 * sin(radians(360 * (284 + day) / 365)))
    cos_sunset = -sin(phi) * sin(delta) / max(cos(phi) * cos(delta), 1e-12)
    sunset = acos(max(-1.0, min(1.0, cos_sunset)))
    mean_sine = cos(phi) * cos(delta) * sin(sunset) + sunset * sin(phi) * sin(delta)
    return max(0.0, 24 / pi * SOLAR_KW * (1 + 0.033 * cos(radians(360 * day / 365))) * mean_sine)
