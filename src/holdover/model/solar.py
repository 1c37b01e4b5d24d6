"""The sun in short for the candidate followed, and what a month and an hour give to the plane of the array."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

from holdover.case.measure import Units, in_units
from holdover.case.schema import Case, Resource
from holdover.model.loads import HOURS
from holdover.model.offer import Offer
from holdover.model.recharge import AC_UNSTATED, TOO_COLD, Recharge
from holdover.model.solar_module import cell_c
from holdover.model.spoken import duration, spoken, thousands
from holdover.model.strings import SERIES
from holdover.model.sun import LOWEST_SUN_DEG, SunMonth, hour_angle_deg

MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
"""Months as the sheets call them [-]; common practice."""
STATED: Final[dict[Resource, str]] = {
    "peak sun hours": "Peak sun hours count as stated; latitude, tilt and facing only shape the day.",
    "clearness index": "Clearness index times the sun outside the air, turned into the plane of the array.",
    "global irradiation": "Global irradiation on the flat, turned into the plane of the array.",
}
"""What is done with each way of stating the sun [-]; definition."""

ByHour = tuple[tuple[float, ...], ...]
"""12 months of 24 clock hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SunHours:
    """Between a month's number and the watts of one module: by clock hour, by month, or by month and clock hour.

    Height of the sun and its angle to the module are straight lines in cosine and sine of the hour angle: the tuples
    `zenith_*` and `incidence_*` hold what is added, and what goes with each; so do `global_*` of an hour's global sun by its
    weight. `diffuse_per_weight` is the day's diffuse sun by the sum of the hours' weights. Of all hours `sky_share` and
    `ground_share` tell what the array sees of sky and ground, `lowest_cos` where the beam is stretched no further,
    `warmer_c` the cells in full sun [K], `module_w_at_25` a module then, at 25 °C [W].
    """

    cos_hour: tuple[float, ...]
    sin_hour: tuple[float, ...]
    cos_sunset: tuple[float, ...]
    zenith_mean: tuple[float, ...]
    zenith_cos: tuple[float, ...]
    incidence_mean: tuple[float, ...]
    incidence_cos: tuple[float, ...]
    incidence_sin: tuple[float, ...]
    global_mean: tuple[float, ...]
    global_cos: tuple[float, ...]
    diffuse_per_weight: tuple[float, ...]
    sky_share: float
    ground_share: float
    lowest_cos: float
    warmer_c: float
    module_w_at_25: float
    module_w: ByHour
    design_module_w: tuple[float, ...]
    outage_module_w: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solar:
    """The sun in short, for the candidate followed.

    `longest` is the longest string of the planned modules that is tried; `missing` names what is not stated.
    `peak_w` is maximum power voltage by current of a module, 0 while something is missing [W], `module_wh` what it gives
    on a day of the design month with no input in its way [Wh/day].
    """

    number: int
    name: str
    headline: str
    lead: str
    stated: str
    blank_months: int
    missing: str
    peak_w: float
    module_wh: float
    longest: int
    design_month: str
    sun_hours: float
    harvest_wh: float
    need_wh: float
    covered_share: float
    by_outlet: str
    """What an outlet and the generator take to fill it; blank where its cells are too cold for it."""


def sun_hours(case: Case, months: Sequence[SunMonth], module_w: ByHour) -> SunHours:
    """What a month and an hour give to the plane of the array [-].

    Args:
        case: The case [-].
        months: Sun in the plane of the array, January first [-].
        module_w: Output of one module by month and hour [W].

    Holds for: mean days.
    Source: Duffie and Beckman eqs. 1.6.2 and 1.6.5, with what does not change through the day drawn together.
    """
    phi, tilt, facing = (
        radians(deg) for deg in (case.sun.latitude_deg, case.array.tilt_deg, case.array.azimuth_deg - 180)
    )
    deltas = [radians(month.declination_deg) for month in months]
    angles = [radians(hour_angle_deg(h, case.sun.solar_noon_at)) for h in HOURS]
    level, upright = sin(phi) * cos(tilt), cos(phi) * sin(tilt) * cos(facing)
    noon = cos(phi) * cos(tilt) + sin(phi) * sin(tilt) * cos(facing)
    return SunHours(
        cos_hour=tuple(map(cos, angles)),
        sin_hour=tuple(map(sin, angles)),
        cos_sunset=tuple(cos(radians(month.sunset_deg)) for month in months),
        zenith_mean=tuple(sin(phi) * sin(delta) for delta in deltas),
        zenith_cos=tuple(cos(phi) * cos(delta) for delta in deltas),
        incidence_mean=tuple(sin(delta) * (level - upright) for delta in deltas),
        incidence_cos=tuple(cos(delta) * noon for delta in deltas),
        incidence_sin=tuple(cos(delta) * sin(tilt) * sin(facing) for delta in deltas),
        global_mean=tuple(_shared(m.global_kwh * m.shape_a, m.shape_global_sum) for m in months),
        global_cos=tuple(_shared(m.global_kwh * m.shape_b, m.shape_global_sum) for m in months),
        diffuse_per_weight=tuple(_shared(m.diffuse_kwh, m.shape_diffuse_sum) for m in months),
        sky_share=(1 + cos(tilt)) / 2,
        ground_share=case.sun.albedo * (1 - cos(tilt)) / 2,
        lowest_cos=cos(radians(LOWEST_SUN_DEG)),
        warmer_c=cell_c(0.0, 1.0, case.array.noct_c),
        module_w_at_25=(case.array.power_w or 0.0) * case.array.array_efficiency,
        module_w=module_w,
        design_module_w=module_w[case.sun.month - 1],
        outage_module_w=module_w[case.outage.month - 1],
    )


def _shared(day_kwh: float, shape_sum: float) -> float:
    return day_kwh / shape_sum if shape_sum else 0.0


def solar_of(case: Case, months: Sequence[SunMonth], module_w: ByHour, shown: Offer) -> Solar:
    """The sun in short [-].

    Args:
        case: The case [-].
        months: Sun in the plane of the array, January first [-].
        module_w: Output of one module by month and hour [W].
        shown: The candidate followed [-].

    Holds for: mean days.
    Source: definition.

    >>> MONTH_NAMES[11], STATED["global irradiation"][:18]
    ('Dec', 'Global irradiation')
    """
    design = case.sun.month - 1
    need_wh, harvest_wh = shown.storage.day_draw_wh, shown.recharge.monthly_wh[design]
    counted = {"peak sun hours": "peak_sun_hours", "clearness index": "clearness", "global irradiation": "global_kwh"}
    by_outlet = _by_outlet(shown.recharge, case.about.units) if shown.name else ""
    return Solar(
        number=shown.number,
        name=shown.name or "none",
        headline=_headline(case, shown),
        lead=_lead(case, months[design], shown, by_outlet) if shown.name else "",
        stated=STATED[case.sun.resource],
        blank_months=sum(getattr(month, counted[case.sun.resource]) is None for month in case.months),
        missing=shown.strings.missing,
        peak_w=0.0 if shown.strings.missing else (case.array.vmp_v or 0.0) * (case.array.imp_a or 0.0),
        module_wh=sum(module_w[design]),
        longest=min(case.array.modules, len(SERIES)),
        design_month=MONTH_NAMES[design],
        sun_hours=months[design].peak_sun_hours,
        harvest_wh=harvest_wh,
        need_wh=need_wh,
        covered_share=harvest_wh / need_wh if need_wh else 0.0,
        by_outlet=by_outlet,
    )


def _headline(case: Case, shown: Offer) -> str:
    """The layout that is best."""
    if not shown.name:
        return "No candidate is listed yet."
    if not case.array.modules:
        return "No solar modules are planned."
    return f"{shown.name}: {shown.strings.words}."


def _lead(case: Case, month: SunMonth, shown: Offer, by_outlet: str) -> str:
    """What the sun brings in the design month, and how long the storage takes to fill again."""
    if shown.recharge.mains_h == TOO_COLD:
        air, unit = in_units(case.sizing.storage_c, "°C", case.about.units)
        return f"Cells at {spoken(air, 1)} {unit} are too cold to be charged: nothing recharges this storage."
    parts = [_by_sun(case, month, shown)] if shown.strings.best else []
    return " ".join((*parts, by_outlet))


def _by_sun(case: Case, month: SunMonth, shown: Offer) -> str:
    refill, name = shown.recharge, MONTH_NAMES[case.sun.month - 1]
    sun, harvest, need = month.peak_sun_hours, shown.strings.harvest_wh / 1000, shown.storage.day_draw_wh / 1000
    used = shown.strings.modules_used
    told = f"{used} {'module' if used == 1 else 'modules'} of {thousands(case.array.power_w or 0.0)} W"
    told += f": {spoken(harvest, 1)} kWh on a mean day of {name}"
    told += f" ({spoken(sun, 1)} sun hours); all loads take {spoken(need, 1)} kWh. "
    days_on, days_off = refill.refill_days_on, refill.refill_days_off
    if isinstance(days_off, str):
        told += "The sun never fills it."
    elif isinstance(days_on, str):
        told += f"From reserve to full: {spoken(days_off, 1)} days with the loads off, never with them on."
    else:
        told += (
            f"From reserve to full: {spoken(days_on, 1)} days with the loads on, {spoken(days_off, 1)} with them off."
        )
    return f"{told} {name}: {month.remark}." if month.remark else told


def _by_outlet(refill: Recharge, units: Units) -> str:
    if refill.mains_h == TOO_COLD:
        return ""
    if refill.mains_h == AC_UNSTATED:
        return "How fast it charges from an outlet or a generator is not stated."
    if isinstance(refill.mains_h, str):
        return "It has no AC charging: no outlet and no generator fills it."
    told = f"An outlet takes {duration(refill.mains_h)}"
    if isinstance(refill.generator_h, str):
        return f"{told}."
    fuel, unit = in_units(float(refill.generator_fuel_l), "l", units)
    return f"{told}, the generator {duration(refill.generator_h)} and {spoken(fuel, 1)} {unit} of fuel."
