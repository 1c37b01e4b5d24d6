"""What stands beside the candidates where they are compared, and what leaving a load out spares."""

from typing import Any

import pytest

from holdover.case.schema import Candidate, Case, Load, Outage, Sizing
from holdover.model.money import STAGES
from holdover.model.pages.compared import COMMON
from holdover.model.study import Study, study

HEATER = Load(name="heater", running_w=100, hours_per_day=24, tier="essential")
LAMP = Load(name="lamp", running_w=9, hours_per_day=24, feed="12 V DC", tier="critical")
FAN = Load(name="fan", running_w=45, hours_per_day=24, tier="convenience")


def unit(name: str, **stated: Any) -> Candidate:
    usual = {
        "storage_wh": 5000.0,
        "usable_share": 1.0,
        "continuous_w": 2000.0,
        "surge_w": 4000.0,
        "dc_w": 100.0,
        "dc_12v_w": 100.0,
        "price": 1000.0,
        "pack_wh": 1000.0,
        "packs_max": 3,
        "pack_price": 400.0,
    }
    return Candidate(name=name, **usual | stated)


def worked(*candidates: Candidate, loads: tuple[Load, ...] = (HEATER, LAMP), **case: Any) -> Study:
    outage = Outage(days=1, starts_at=18, sky=0)
    return study(Case(**{"loads": loads, "candidates": candidates, "outage": outage, **case}))


def test_the_lead_names_the_pick_and_how_many_fit() -> None:
    """One that fits is the only one; of two the cheaper comes first."""
    assert worked(unit("A")).compared.lead == "A: the only one that fits."
    found = worked(unit("A"), unit("B", price=900.0)).compared
    assert found.lead == "B: first of 2 that fit, by price."
    assert found.labels[:2] == ("2", "1, advised")


def test_the_lead_names_the_nearest_where_none_fits() -> None:
    """Both give too little: 50 W of 125 is nearer than 20 W."""
    found = worked(unit("A", continuous_w=20.0), unit("B", continuous_w=50.0)).compared
    assert found.lead == "None of the 2 candidates fits. Nearest is B."
    assert found.labels[:2] == ("", "nearest")
    assert worked(unit("A", continuous_w=20.0)).compared.lead == "A does not fit."
    assert worked().compared.lead == "No candidate is listed yet."


def test_what_stands_on_all_is_marked_once() -> None:
    """Neither data sheet states a surge output below what its watts bear: both leave it open; one alone marks nothing."""
    silent = {"surge_w": None, "continuous_w": 130.0}
    start = HEATER.model_copy(update={"starting_w": 900.0})
    both = worked(unit("A", **silent), unit("B", **silent), loads=(start, LAMP)).compared
    assert [name for name, said in zip(COMMON, both.common, strict=True) if said] == ["starting"]
    assert not any(worked(unit("A", **silent), loads=(start, LAMP)).compared.common)


def test_stages_end_with_the_packs_of_the_pick() -> None:
    """The unit holds 1000 Wh, a pack 2000: two packs carry the day, so there are three stages; the rest is blank."""
    found = worked(unit("A", storage_wh=1000.0, pack_wh=2000.0, packs_max=6))
    assert found.decision.pick_packs == 2
    stages = found.compared.stages
    assert len(stages) == STAGES
    assert [stage.total for stage in stages] == [1000.0, 1400.0, 1800.0, "", "", "", ""]
    assert stages[2].usable_wh == pytest.approx(found.offers[0].held.usable_wh)
    assert [stage.added for stage in stages[:3]] == [1000.0, 400.0, 400.0]
    assert [stage.word for stage in stages] == ["UNDER", "UNDER", "OK", "", "", "", ""]


def test_no_pick_has_no_stages() -> None:
    """Stages are of what is advised; where nothing is, there are none."""
    assert {stage.total for stage in worked(unit("A", continuous_w=1.0)).compared.stages} == {""}


def test_a_load_left_out_spares_what_it_takes_out_of_storage() -> None:
    """Worked by hand: 2400 Wh over 0.90 are 2666.67 of storage, 216 Wh over 0.92 are 234.78; idle draw is 15 W x 24 h.

    The day of the promise takes 2666.67 + 234.78 + 360 = 3261.45 Wh. The fan is no part of the promise, so its 1200 Wh
    a day spare nothing of the storage that is needed.
    """
    heater, lamp, fan = worked(loads=(HEATER, LAMP, FAN)).gains[:3]
    assert heater.wh == pytest.approx(2666.667, abs=1e-3)
    assert heater.share == pytest.approx(2666.667 / 3261.449, abs=1e-6)
    assert lamp.wh == pytest.approx(234.783, abs=1e-3)
    assert fan.wh == pytest.approx(1200, abs=1e-9)
    assert fan.share == 0


@pytest.mark.parametrize(
    ("load", "counts"),
    [
        pytest.param(Load(name="kettle", running_w=900, hours_per_day=0.5), 11, id="counts with all"),
        pytest.param(Load(name="pump", running_w=900, starting_w=2000, hours_per_day=0.5), 11, id="and starts"),
        pytest.param(Load(name="iron", running_w=300, hours_per_day=0.5), 0, id="the smaller of two"),
    ],
)
def test_what_counts_of_a_short_use_load(load: Load, counts: int) -> None:
    """Of short-use loads one runs at a time; the toaster draws 700 W."""
    toaster = Load(name="toaster", running_w=700, hours_per_day=0.5)
    line = worked(loads=(toaster, load), sizing=Sizing(at_once=1)).lines[1]
    assert set(line.counts) == {counts}
