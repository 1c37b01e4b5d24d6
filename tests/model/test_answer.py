"""The first page: its timeline, its candidates in order and its sentences, held against the records they tell of."""

from pathlib import Path
from typing import Any

import pytest

from engines.cases import SAMPLES, sample
from holdover.case.papers import Item, OfferPaper
from holdover.case.schema import Array, Candidate, Case, Load, Outage, Sun, Vehicle
from holdover.model.pages.answer import PLACES, Answer
from holdover.model.pages.timeline import BLANK, CELLS, DASH
from holdover.model.study import Slots, Study, study

FRIDGE = Load(name="Refrigerator", running_w=150, hours_per_day=24, duty=0.4, tier="essential")
LAMP = Load(name="Lamp", running_w=40, hours_per_day=6, starts_at=18, tier="convenience")


def unit(name: str, storage_wh: float = 8000, price: float = 1000, **more: object) -> Candidate:
    return Candidate.model_validate(
        {"name": name, "storage_wh": storage_wh, "continuous_w": 2000, "surge_w": 4000, "price": price, "ac_sockets": 4,
         "weight_kg": 20, "transfer_ms": 10, "ac_volts": 120, **more}
    )  # fmt: skip


def worked(*candidates: Candidate, **outage: object) -> Study:
    plan = Outage.model_validate({"days": 2, "starts_at": 18, "sky": 0, **outage})
    return study(Case(loads=(FRIDGE, LAMP), candidates=candidates, outage=plan))


def page(*candidates: Candidate, **outage: object) -> Answer:
    return worked(*candidates, **outage).answer


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("days", [1, 2, 3, 5, 7, 14])
def test_the_timeline_covers_every_hour_and_tells_each_as_it_is(name: Path, days: int) -> None:
    """Every hour of the outage lies in a cell; a tier that is off or short in one hour is told as off in its cell."""
    case = sample(name)
    found = study(case.model_copy(update={"outage": case.outage.model_copy(update={"days": days})}))
    cells, hours = found.answer.cells, found.shown.carried.hours
    assert len(cells) == CELLS
    assert {t for cell in cells for t in range(cell.from_h, cell.to_h)} == set(range(24 * days))
    for cell in cells:
        for place, tier in enumerate(("critical", "essential", "convenience"), start=1):
            off = any(hours[t].served < place for t in range(cell.from_h, cell.to_h))
            asked = found.shown.carried.tiers[tier].asked_wh > 0
            assert getattr(cell, tier) == ((DASH if off else "") if asked else BLANK)


def test_the_heaviest_piece_is_told_as_far_as_weights_are_stated() -> None:
    """A unit of 40 kg and a pack whose weight nobody states: the pack may be the heavier one."""
    parts = {"weight_kg": 40, "pack_wh": 1000, "packs_max": 2, "packs": 1}
    assert page(unit("A", **parts)).heaviest_says == "heaviest of 2 pieces, as far as stated: two persons or a cart"
    assert page(unit("A", **parts, pack_weight_kg=15)).heaviest_says == "heaviest of 2 pieces: two persons or a cart"


def test_the_charge_under_the_timeline_is_that_of_the_hour() -> None:
    """The outage begins with a full unit: 100 percent under the first mark."""
    found = page(unit("Unit A"))
    assert (found.marks[0].time, found.marks[0].charge) == ("day 1", "100")
    assert found.cells[0].charge == 1.0


def test_days_and_clock_times_stand_over_the_timeline() -> None:
    """Two days from 18:00 in 12 marks are four hours each: 18:00 is day 1, 22:00, then two in the morning is day 2."""
    assert [mark.time for mark in page(unit("Unit A")).marks][:6] == [
        "day 1",
        "22:00",
        "day 2",
        "06:00",
        "10:00",
        "14:00",
    ]


def test_candidates_stand_best_first_then_by_how_near_they_come() -> None:
    """The dearer of two that fit comes second; of two that fall short the one with more storage stands first."""
    found = page(unit("Small", 300), unit("Dear", price=1500), unit("Smaller", 200), unit("Cheap"))
    assert [place.name for place in found.places if place.name] == ["Cheap", "Dear", "Small", "Smaller"]
    assert [place.rank for place in found.places[:4]] == ["1", "2", DASH, DASH]
    assert found.places[1].phrase == "500 more"
    assert found.hero == "Choose Cheap."


def test_none_that_fits_tells_the_nearest_and_what_would_help() -> None:
    """A single candidate of a tenth of the storage does not fit, and nothing is said to be chosen."""
    found = page(unit("Small", 300))
    assert found.hero == "The only candidate does not fit."
    assert found.lead.startswith("Nearest is Small: ")
    assert found.price == ""


def test_no_candidate_tells_what_to_look_for() -> None:
    """Nobody is on offer: the page says what to look for, and no sentence speaks of a unit."""
    found = page()
    assert found.hero == "No candidate is listed yet."
    assert found.lead.startswith("Look for ")
    assert (found.now, found.more.pack, found.high_day) == ("No candidate is listed yet.", "", "")


def test_a_load_left_out_is_off_everywhere() -> None:
    """Without the refrigerator the day is the lamp's 240 Wh."""
    found = worked(unit("Unit A"), leave_out="refrigerator")
    assert found.demand.energy_wh == pytest.approx(240)
    assert found.answer.tried.left == "left out"
    assert page(unit("Unit A"), leave_out="sauna").tried.left == "no load of that name"
    twice = Case(loads=(FRIDGE, FRIDGE, LAMP), outage=Outage(leave_out=FRIDGE.name))
    assert study(twice).answer.tried.left == "all of that name"


def test_more_than_eight_candidates_are_told_of() -> None:
    """Ten candidates: eight on the page, two on the Comparison sheet."""
    assert page(*(unit(f"Unit {i}") for i in range(10))).beyond == "2 more on the Comparison sheet."


def test_what_every_data_sheet_leaves_open_is_said_once_below_the_candidates() -> None:
    """Two sheets that say nothing of surge: CHECK stands on both, the question once; a long one is told elsewhere."""
    silent = [unit(name).model_copy(update={"surge_w": None, "continuous_w": 100}) for name in ("Unit A", "Unit B")]
    assert page(*silent).beyond == "CHECK on all of them, to be asked: surge output."  # 100 W are too few in any case
    assert page(silent[0], unit("Unit B")).beyond == ""
    nothing = tuple(Candidate(name=name, storage_wh=9000) for name in ("Unit A", "Unit B"))
    radio = Load(name="Radio", running_w=5, hours_per_day=2, feed="USB")
    assert (
        study(Case(loads=(FRIDGE, radio), candidates=nothing)).answer.beyond
        == "CHECK on all of them, to be asked: several figures, see Comparison."
    )


def test_the_price_says_where_the_offer_adds_more() -> None:
    """Lines of its own and modules are on the offer, and not in the price of a candidate."""
    plain = worked(unit("Unit A")).case
    assert study(plain).answer.price_says == "price"
    changes: tuple[dict[str, Any], ...] = (
        {"items": (Item(name="Wiring"),)},
        {"items": (Item(), Item(price=90.0))},
        {"array": Array(modules=2), "offer": OfferPaper(module_price=120.0)},
    )
    for change in changes:
        assert study(plain.model_copy(update=change)).answer.price_says == "price; the offer adds more"
    assert study(plain.model_copy(update={"offer": OfferPaper(module_price=120.0)})).answer.price_says == "price"
    counted = study(plain.model_copy(update={"array": Array(modules=2)}))
    assert counted.answer.price_says == "price; modules not included"


def test_cautions_are_those_of_the_case() -> None:
    """No critical load and no generator: neither is spoken of; with a generator carbon monoxide is."""
    assert "carbon monoxide" not in page(unit("Unit A")).cautions
    assert "carbon monoxide" in page(unit("Unit A"), generator_hours=2).cautions
    assert "second way out" not in page(unit("Unit A")).cautions


def test_the_first_page_has_a_line_for_each_candidate_to_eight() -> None:
    """Eight lines at most, numbered from 1; of fewer candidates those that are listed and those that may be, which are blank."""
    case = Case(loads=(FRIDGE,), candidates=(unit("Alder"), unit("Beech", price=1200)))
    places = study(case, Slots(loads=2, candidates=4, days=2)).answer.places
    assert [(one.place, one.number) for one in places] == [(1, 1), (2, 2), (3, 0), (4, 0)]
    many = page(*(unit(f"No. {i}") for i in range(11))).places
    assert [one.place for one in many] == list(range(1, PLACES + 1)) == list(range(1, 9))


def test_where_a_drive_is_planned_the_high_day_is_told_of_loads_alone() -> None:
    """The most that loads may take asks for no pack, where the drive may ask for one: both are not mixed up."""
    found = worked(unit("Alder", 9000))
    assert " Wh it takes Alder" in found.answer.high_day
    driven = study(found.case.model_copy(update={"vehicle": Vehicle(distance=0.5)}))
    assert " Wh loads alone take Alder" in driven.answer.high_day


def test_a_unit_whose_output_falls_short_is_told_to_run_nothing() -> None:
    """250 W of starting against 100 W: the storage would do, yet no cell of its timeline says that a load runs."""
    found = page(unit("Weak", continuous_w=100, surge_w=100))
    assert {cell.essential for cell in found.cells} == {cell.convenience for cell in found.cells} == {BLANK}
    assert found.off_means == "blank: its output falls short · night"


def test_packs_beyond_the_most_are_told_beside_those_it_gets() -> None:
    """Four are typed and it takes three: the result says that these are all, as it does of days."""
    packed = unit("Unit", pack_wh=1000, packs_max=3)
    assert page(packed, packs=4).tried.packs == "only 3 of 3"
    assert page(packed, packs=3).tried.packs == "3 of 3"


def test_days_that_the_workbook_does_not_reach_are_told_before_anything_runs() -> None:
    """Four days are typed into a workbook of three: what runs through all three must not read as the whole plan."""
    given = worked(unit("Unit"), days=4)
    found = study(given.case, Slots(loads=4, candidates=2, days=3)).answer
    assert found.lead.startswith("4 days are asked and this workbook reaches 3: ") and found.beyond == ""


def test_modules_that_find_no_place_are_told_beside_the_advice() -> None:
    """Eight modules and one input that takes six of them: two are bought for nothing."""
    array = Array(
        modules=8, power_w=400, voc_v=50, vmp_v=42, isc_a=10, imp_a=9.5, voc_tempco=-0.0025, power_tempco=-0.003
    )
    sunny = unit("Unit", pv_inputs=1, pv_min_v=60, pv_max_v=180, pv_max_a=20, pv_max_isc_a=30, pv_input_w=3000)
    sun = Sun(latitude_deg=40, coldest_c=-5)
    found = study(Case(loads=(FRIDGE, LAMP), candidates=(sunny,), array=array, sun=sun))
    laid = found.offers[0].strings
    assert 0 < laid.modules_used < 8
    assert f" Only {laid.modules_used} of 8 modules can be connected." in found.answer.lead


@pytest.mark.parametrize("days", range(1, 8))
def test_marks_stand_at_whole_hours_whenever_the_outage_starts(days: int) -> None:
    """Every mark is at a whole hour, two for each day planned, so that no label reads 07:30 and none touches the next."""
    case = Case(outage=Outage(days=days, starts_at=17))
    assert [mark.at_h for mark in study(case).answer.marks][:3] == [17, 17 + 2 * days, 17 + 4 * days]
