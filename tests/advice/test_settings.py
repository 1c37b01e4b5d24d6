"""Remarks on settings, each beside the others."""

from typing import Any

import pytest

from advice.sound import LAMP, UNIT, codes, modules, whole
from holdover.advice.remarks import advise
from holdover.advice.settings import MONTHS
from holdover.case.schema import (
    Array,
    Case,
    Month,
    Outage,
    Point,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
)
from holdover.findings import Finding


def test_silent_generator() -> None:
    """A generator needs output and hours, and a candidate that says how it is charged; 0 hours is a statement."""
    charged: dict[str, Any] = {"candidates": (UNIT.model_copy(update={"ac_charge_w": 900.0}),)}
    stated, hours = Recharge(generator_w=1800), Outage(generator_hours=2)
    assert whole(recharge=stated, **charged) == ["A031"]
    assert whole(outage=hours, **charged) == ["A031"]
    assert whole(recharge=stated, outage=hours, **charged) == []
    assert whole(recharge=stated, outage=Outage(generator_hours=0), **charged) == []
    assert whole(recharge=stated, outage=hours) == ["A030"]


def test_a_promise_of_no_load() -> None:
    """A promise of critical loads where none is critical promises nothing; a load without a tier counts as essential."""
    assert whole(outage=Outage(promise="critical")) == ["A044"]
    assert whole() == []
    lamp = LAMP.model_copy(update={"tier": "convenience"})
    assert whole(loads=(lamp,)) == ["A044"]
    assert whole(loads=(lamp,), outage=Outage(promise="all loads")) == []


def test_sun() -> None:
    """Modules need a latitude and the sun of every month, and face the equator."""
    sun = (Month(peak_sun_hours=3),) * 12
    bare: dict[str, Any] = {"loads": (LAMP,), "candidates": (UNIT,)}
    nowhere = Sun(coldest_c=-20)
    assert codes(Case(**bare, array=modules(), sun=nowhere)) == ["A017", "A018"]
    assert [f.level for f in advise(Case(**bare, array=modules(), months=sun, sun=nowhere))] == ["error"]
    north, south = Sun(latitude_deg=40, coldest_c=-20), Sun(latitude_deg=-40, coldest_c=-20)
    assert codes(Case(**bare, array=modules(), months=sun, sun=north)) == []
    assert codes(Case(**bare, array=modules(), months=sun, sun=south)) == ["A019"]
    assert codes(Case(**bare, array=modules(azimuth_deg=350), months=sun, sun=south)) == []
    assert codes(Case(**bare, array=modules(azimuth_deg=350), months=sun, sun=north)) == ["A019"]
    assert codes(Case(**bare, array=modules(azimuth_deg=0, tilt_deg=0), months=sun, sun=north)) == []


@pytest.mark.parametrize("name", ["power_w", "voc_v", "vmp_v", "isc_a", "imp_a", "voc_tempco", "coldest_c"])
def test_a_module_is_stated(name: str) -> None:
    """Each figure the over-voltage check stands on is asked for by name; no layout is counted without it, so that a warning is enough."""
    array = modules().model_dump(exclude_unset=True)
    sun: dict[str, Any] = {"latitude_deg": 40.0, "coldest_c": -20.0}
    for stated in (array, sun):
        stated.pop(name, None)
    case = Case(loads=(LAMP,), candidates=(UNIT,), months=(Month(peak_sun_hours=3),) * 12)
    (found,) = advise(case.model_copy(update={"array": Array(**array), "sun": Sun(**sun)}))
    assert (found.code, found.level) == ("A020", "warning")
    assert f"({name})" in found.message
    assert found.column == ("sun" if name == "coldest_c" else "array")
    none = Array(**array | {"modules": 0})
    assert advise(case.model_copy(update={"array": none, "sun": Sun(**sun)})) == []


def test_shedding_in_order() -> None:
    """Essential loads that a device drops before convenience loads are told; both at once, or one alone, are not."""
    assert whole(outage=Outage(drop_convenience_at=0.24, drop_essential_at=0.25)) == ["A021"]
    assert whole(outage=Outage(drop_convenience_at=0.25, drop_essential_at=0.25)) == []
    assert whole(outage=Outage(drop_essential_at=0.6)) == []


def test_storage_within_what_is_known() -> None:
    """Colder or hotter than the points of capacity is told, as is heat in which charging is limited."""
    hardy = UNIT.model_copy(update={"charge_min_c": -40.0})
    for stands, said in [(-20.1, 1), (-20, 0), (45, 0), (45.1, 1)]:
        assert whole(candidates=(hardy,), sizing=Sizing(storage_c=stands)) == ["A022"] * said
    few = (Point(temperature_c=0, capacity_share=0.8), Point(temperature_c=30, capacity_share=1))
    for stands, said in [(0, 0), (-0.1, 1), (30, 0), (30.1, 1), (50, 1)]:
        assert whole(candidates=(hardy,), points=few, sizing=Sizing(storage_c=stands)) == ["A022"] * said


def test_charger_of_the_house() -> None:
    """A vehicle is asked for its charger's voltage where the house has another than the usual one."""
    abroad = Sizing(feed="230 V")
    unit = UNIT.model_copy(update={"ac_volts": 230.0})
    assert whole(candidates=(unit,), sizing=abroad, vehicle=Vehicle(distance=20, consumption=18)) == ["A023"]
    assert whole(candidates=(unit,), sizing=abroad, vehicle=Vehicle(distance=20, consumption=18, charger_v=120)) == []
    assert whole(candidates=(unit,), sizing=abroad) == []
    assert whole(vehicle=Vehicle(distance=20, consumption=18)) == []


JANUARY_43 = 3.712
"""Sun outside the air on the flat at 43° north on January 17 [kWh/m²·day], worked out by hand from Duffie and Beckman
eq. 1.10.3: declination -20.92°, sunset at 69.12°, 1.4102 kW/m²."""


def too_bright(
    latitude_deg: float, *stated: float, modules: int = 2, resource: str = "global irradiation"
) -> list[Finding]:
    """What is said of the sun of a year, of which the first months are given and the others are dark."""
    months = tuple(Month(global_kwh=kwh) for kwh in (*stated, *(0.0,) * (12 - len(stated))))
    sun = Sun.model_validate({"latitude_deg": latitude_deg, "resource": resource})
    case = Case(sun=sun, months=months, array=Array(modules=modules))
    return [finding for finding in advise(case) if finding.code == "A033"]


def test_sun_in_the_polar_night() -> None:
    """At 75° north in January no sun rises: 1 kWh/m² a day is not there."""
    (found,) = too_bright(75, 1.0)
    assert found.level == "warning"
    assert found.message.startswith("January: 1 kWh/m² a day are stated")
    assert "latitude 75°" in found.message
    assert "gives 0 even outside the air" in found.message


def test_megajoules_and_the_other_half_of_the_earth() -> None:
    """At 43° north 6.44 MJ/m² taken for kWh are above the 3.7 of January, and so is a southern summer."""
    (found,) = too_bright(43, 6.44)
    assert "6.44 kWh" in found.message
    assert "gives 3.71" in found.message
    assert too_bright(-43, 6.44) == []


def test_sun_up_to_that_outside_the_air_is_left_in_peace() -> None:
    """The bound is the sun outside the air and half a digit of one decimal more; other resources have no such bound."""
    assert too_bright(43, JANUARY_43 + 0.049) == []
    assert len(too_bright(43, JANUARY_43 + 0.051)) == 1
    assert too_bright(75, 1.0, modules=0) == []
    assert too_bright(75, 1.0, resource="peak sun hours") == []


def test_every_month_has_its_name() -> None:
    """What no month has anywhere is told for each of them, by its name."""
    found = too_bright(43, *(15.0,) * 12)
    assert [finding.message.split(":")[0] for finding in found] == list(MONTHS)


def test_a_consumption_is_stated_and_is_a_cars() -> None:
    """None stated is told as the usual one; 18 mi/kWh and 18 Wh/km are slips of the unit, 3.1 mi/kWh is a car's."""
    assert whole(vehicle=Vehicle(distance=20)) == ["A039"]
    for slip in ((18, "mi/kWh"), (18, "Wh/km"), (180, "kWh/100 km")):
        taken = Vehicle.model_validate({"distance": 20, "consumption": slip[0], "consumption_unit": slip[1]})
        assert whole(vehicle=taken) == ["A040"]
    assert whole(vehicle=Vehicle(distance=20, consumption=3.1, consumption_unit="mi/kWh")) == []
