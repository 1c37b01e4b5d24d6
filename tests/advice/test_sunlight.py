"""Stated sun above that outside the air: told by month, with both numbers."""

from holdover.advice.remarks import advise
from holdover.advice.settings import MONTHS
from holdover.case.schema import Array, Case, Month, Sun
from holdover.findings import Finding

JANUARY_43 = 3.712
"""Sun outside the air on the flat at 43° north on January 17 [kWh/m²·day], worked out by hand from Duffie and Beckman
eq. 1.10.3: declination -20.92°, sunset at 69.12°, 1.4102 kW/m²."""


def told(latitude_deg: float, *stated: float, modules: int = 2, resource: str = "global irradiation") -> list[Finding]:
    """What is said of the sun of a year, of which the first months are given and the others are dark."""
    months = tuple(Month(global_kwh=kwh) for kwh in (*stated, *(0.0,) * (12 - len(stated))))
    sun = Sun.model_validate({"latitude_deg": latitude_deg, "resource": resource})
    case = Case(sun=sun, months=months, array=Array(modules=modules))
    return [finding for finding in advise(case) if finding.code == "A033"]


def test_sun_in_the_polar_night() -> None:
    """At 75° north in January no sun rises: 1 kWh/m² a day is not there."""
    (found,) = told(75, 1.0)
    assert found.level == "warning"
    assert found.message.startswith("January: 1 kWh/m² a day are stated")
    assert "latitude 75°" in found.message
    assert "gives 0 even outside the air" in found.message


def test_megajoules_and_the_other_half_of_the_earth() -> None:
    """At 43° north 6.44 MJ/m² taken for kWh are above the 3.7 of January, and so is a southern summer."""
    (found,) = told(43, 6.44)
    assert "6.44 kWh" in found.message
    assert "gives 3.71" in found.message
    assert told(-43, 6.44) == []


def test_sun_up_to_that_outside_the_air_is_left_in_peace() -> None:
    """The bound is the sun outside the air and half a digit of one decimal more; other resources have no such bound."""
    assert told(43, JANUARY_43 + 0.049) == []
    assert len(told(43, JANUARY_43 + 0.051)) == 1
    assert told(75, 1.0, modules=0) == []
    assert told(75, 1.0, resource="peak sun hours") == []


def test_every_month_has_its_name() -> None:
    """What no month has anywhere is told for each of them, by its name."""
    found = told(43, *(15.0,) * 12)
    assert [finding.message.split(":")[0] for finding in found] == list(MONTHS)
