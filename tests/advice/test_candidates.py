"""Remarks on candidates: what their data sheets leave out or contradict, and what carrying them takes."""

from typing import Any

import pytest

from advice.sound import LAMP, UNIT, codes, modules, with_unit
from holdover.advice.remarks import advise
from holdover.case.measure import at_most
from holdover.case.schema import (
    Assumed,
    Case,
    Month,
    Sizing,
    Sun,
)


def test_lift() -> None:
    """More than one person lifts is told for unit and pack."""
    assert with_unit(weight_kg=23.0) == []
    assert with_unit(weight_kg=23.1) == ["A009"]
    assert with_unit(pack_weight_kg=30.0) == ["A009"]


def test_the_limit_of_a_lift_is_told_in_tenths_of_a_pound() -> None:
    """23 kg are 50.706 lb, and 50.7 on the sheets, too: rounded down, so that nobody lifts more than the limit."""
    assert at_most(23.0, "kg", "US") == "50.7 lb"
    assert at_most(23.0, "kg", "metric") == "23 kg"


@pytest.mark.parametrize(
    "fields",
    [
        {"surge_w": 1999.0},
        {"continuous_va": 1999.0},
        {"packs_max": 2},
        {"pack_wh": 1000.0},
        {"packs": 1},
        {"packs_max": 2, "pack_wh": 1000.0, "packs": 3},
        {"pv_inputs": 2, "pv_input_w": 200.0, "pv_total_w": 401.0},
        {"pv_inputs": 1, "pv_min_v": 60.0, "pv_max_v": 60.0},
        {"pv_inputs": 1, "pv_max_a": 15.0, "pv_max_isc_a": 14.0},
    ],
)
def test_contradictions(fields: dict[str, float]) -> None:
    """A data sheet that contradicts itself is told once."""
    assert with_unit(**fields) == ["A011"]


def test_sound_data_sheet() -> None:
    """The same fields in order are not told."""
    sound = {"surge_w": 2000.0, "packs_max": 2, "pack_wh": 1000.0, "packs": 2, "pv_inputs": 2, "pv_input_w": 200.0}
    assert with_unit(**sound, pv_total_w=400.0, pv_min_v=12.0, pv_max_v=60.0, pv_max_a=15.0, pv_max_isc_a=20.0) == []


@pytest.mark.parametrize("name", ["pv_min_v", "pv_max_v", "pv_max_a", "pv_max_isc_a", "pv_input_w", "pv_total_w"])
def test_solar_figures_without_inputs(name: str) -> None:
    """Any figure of a solar input asks for how many there are; 0 says that there are none."""
    assert with_unit(**{name: 50.0}) == ["A027"]
    assert with_unit(**{name: 50.0}, pv_inputs=0) == []


def test_silent_ports() -> None:
    """Ports that are not stated are told where a load needs one; 0 is a statement."""
    for feed, dc_w, said in [
        ("USB", None, 1),
        ("12 V DC", None, 1),
        ("USB", 0.0, 0),
        ("120 V", None, 0),
        (None, None, 0),
    ]:
        load = LAMP.model_copy(update={"feed": feed})
        unit = UNIT.model_copy(update={"dc_w": dc_w})
        assert codes(Case(loads=(load,), candidates=(unit,))) == ["A028"] * said


def test_silent_solar_inputs() -> None:
    """With modules planned, a lowest voltage and a short-circuit current that are not stated are told."""
    sun: dict[str, Any] = {
        "months": (Month(peak_sun_hours=3),) * 12,
        "sun": Sun(latitude_deg=40, coldest_c=-20),
        "loads": (LAMP,),
    }
    whole = UNIT.model_copy(
        update={"pv_inputs": 1, "pv_min_v": 12.0, "pv_max_v": 60.0, "pv_max_a": 15.0, "pv_max_isc_a": 20.0}
    )
    silent: list[tuple[dict[str, Any], list[str]]] = [
        ({}, []),
        ({"pv_min_v": None}, ["A029"]),
        ({"pv_max_isc_a": None}, ["A032"]),
        ({"pv_inputs": 0, "pv_min_v": None}, []),
    ]
    for update, said in silent:
        unit = whole.model_copy(update=update)
        assert codes(Case(**sun, candidates=(unit,), array=modules())) == said
        assert codes(Case(**sun, candidates=(unit,))) == []
    found = advise(Case(**sun, candidates=(whole.model_copy(update={"pv_max_isc_a": None}),) * 2, array=modules()))
    (note,) = [f for f in found if f.code == "A032"]
    assert "for U, U;" in note.message


def test_cold() -> None:
    """Below its charging temperature a unit is not refilled; its own limit counts before the usual one."""
    cold = Sizing(storage_c=-5)
    assert codes(Case(loads=(LAMP,), candidates=(UNIT,), sizing=cold)) == ["A010"]
    hardy = UNIT.model_copy(update={"charge_min_c": -10.0})
    assert codes(Case(loads=(LAMP,), candidates=(hardy,), sizing=cold)) == []
    assert codes(Case(loads=(LAMP,), candidates=(UNIT,), sizing=cold, assumed=Assumed(charge_min_c=-20))) == []
