"""Remarks on loads: what an adviser would say of each, and nothing where there is nothing to say."""

import pytest

from advice.sound import LAMP, UNIT, codes, with_load
from holdover.case.schema import Case, Load, Sizing


@pytest.mark.parametrize("name", ["Fridge", "Deep freezers", "Well pump", "Air compressor", "Furnace fan", "Heat pump"])
def test_motor_without_starting_figure(name: str) -> None:
    """A motor without a starting figure is told, with four times its running watts as a guide."""
    assert "A001" in with_load(name=name)
    assert "A001" not in with_load(name=name, starting_w=500)


@pytest.mark.parametrize(
    "name",
    [
        "Lamp",
        "Television",
        "Kettle",
        "Kerosene heater",
        "Laptop",
        "Pumpkin light",
        "Gas furnace controls",
        "Fridge thermometer",
    ],
)
def test_no_motor(name: str) -> None:
    """What has no motor is not asked for a starting figure."""
    assert "A001" not in with_load(name=name)


def test_what_heats_starts_no_higher() -> None:
    """A washing machine of 230 V heats its water and is asked for no start, in any language; the one of 120 V is."""
    abroad = {"running_w": 2000, "feed": "230 V"}
    for name in ("Washing machine", "Waschmaschine", "lave-linge"):
        load = Load.model_validate({"name": name, "tier": "convenience"} | abroad)
        case = Case(loads=(load,), candidates=(UNIT,), sizing=Sizing(feed="230 V"))
        assert "A001" not in codes(case)
    assert "A001" in with_load(name="Washing machine")
    assert "A001" in with_load(name="Umwälzpumpe Heizung")


def test_starting_below_running() -> None:
    """Starting below running is told; equal is not."""
    assert "A002" in with_load(starting_w=99)
    assert "A002" not in with_load(starting_w=100)


def test_cycling() -> None:
    """A refrigerator that is said to run all day is told, unless it was metered or has a duty."""
    assert "A003" in with_load(name="Fridge", starting_w=500, hours_per_day=24)
    assert "A003" not in with_load(name="Fridge", starting_w=500, hours_per_day=24, duty=0.3)
    assert "A003" not in with_load(name="Fridge", starting_w=500, hours_per_day=24, measured_wh_per_day=2400)
    assert "A003" not in with_load(name="Router", hours_per_day=24)


def test_a_meter_tells_what_a_duty_would() -> None:
    """A load that rests in between and was metered is not asked for its duty; a stated one is held against the meter."""
    fridge = {"name": "Fridge", "starting_w": 500, "running_w": 150, "hours_per_day": 24}
    assert with_load(**fridge, measured_wh_per_day=1200) == []
    assert with_load(**fridge | {"name": "Server", "measured_wh_per_day": 1200}) == []
    assert with_load(**fridge, measured_wh_per_day=1200, duty=1) == ["A004"]
    assert with_load(**fridge, measured_wh_per_day=5000) == ["A004"]


def test_metered_against_computed() -> None:
    """A quarter apart is left in peace, more is told."""
    assert "A004" not in with_load(measured_wh_per_day=250)
    assert "A004" in with_load(measured_wh_per_day=267)
    assert "A004" not in with_load(measured_wh_per_day=160)
    assert "A004" in with_load(measured_wh_per_day=159)


@pytest.mark.parametrize(
    "name",
    [
        "CPAP",
        "Oxygen concentrator",
        "Insulin fridge",
        "Ventilator bedroom",
        "Home dialysis",
        "Sleep apnea machine",
        "Sleep apnoea device",
        "Breathing machine",
        "Respirator",
    ],
)
def test_medical(name: str) -> None:
    """A medical load belongs to the critical tier."""
    assert "A006" in with_load(name=name)
    assert "A006" in with_load(name=name, tier="essential")
    assert "A006" not in with_load(name=name, tier="critical")


def test_heat() -> None:
    """Heat is told where it is beyond a candidate's power, or takes half of its storage in a day."""
    assert "A007" in with_load(name="Space heater", running_w=2500)
    assert "A007" in with_load(name="Kettle", running_w=1500, hours_per_day=1)
    assert "A007" not in with_load(name="Kettle", running_w=1500, hours_per_day=0.5)
    for name in ("Electric shower", "Induction hob", "Iron"):
        assert "A007" in with_load(name=name, running_w=2500)
    assert "A007" not in with_load(name="Vacuum", running_w=2500)


def test_voltage() -> None:
    """A voltage no candidate makes is told; a DC port is not AC."""
    assert "A008" in with_load(feed="240 V")
    assert "A008" not in with_load(feed="12 V DC")
    both = UNIT.model_copy(update={"ac_volts_2": 240.0})
    assert codes(Case(loads=(LAMP.model_copy(update={"feed": "240 V"}),), candidates=(both,))) == []
