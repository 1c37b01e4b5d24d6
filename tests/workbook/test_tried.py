"""What-ifs are tried on the candidate followed, and no price reaches them: where a price changes the pick, they stay."""

from pathlib import Path
from typing import Any

import pytest

from engines.bench import Bench
from holdover.case.schema import Array, Candidate, Case, Load, Money, Outage, Recharge
from holdover.model.study import Slots, Study, study
from holdover.returned.compare import compare
from holdover.returned.read import read_returned
from holdover.workbook.book import build
from returned.altered import Parts

LAMPS = Load(name="Lamps", running_w=60, hours_per_day=5, starts_at=18)
FRIDGE = Load(name="Fridge", running_w=150, starting_w=600, duty=0.4, hours_per_day=24, tier="critical")


def unit(name: str, storage_wh: float, price: float | None, **parts: Any) -> Candidate:
    plain = {"continuous_w": 1500, "surge_w": 3000, "ac_volts": 120, "weight_kg": 20, "ac_charge_w": 600}
    return Candidate.model_validate({"name": name, "storage_wh": storage_wh, "price": price, **plain, **parts})


CASE = Case(
    loads=(FRIDGE, LAMPS),
    candidates=(unit("Ash", 9000, 1800), unit("Birch", 8000, 1500), unit("Cedar", 1500, 700)),
    recharge=Recharge(generator_w=800),
    array=Array(modules=2),
    outage=Outage(days=1),
)
ROOM = Slots(loads=3, candidates=4, days=2)


def priced(*prices: float | None, **parts: Any) -> Case:
    """The case with other prices."""
    units = [one.model_copy(update={"price": price}) for one, price in zip(CASE.candidates, prices, strict=True)]
    return CASE.model_copy(update={"candidates": tuple(units), **parts})


DEARER = priced(1800, 2100, 700)
"""Birch was first, now Ash is."""


@pytest.fixture(scope="module")
def made() -> Study:
    return study(CASE, ROOM)


@pytest.fixture
def bench(made: Study) -> Bench:
    found = Bench(made, ())
    found.tables = list(found.grid.tables)
    return found


def test_as_it_is_handed_over_the_one_followed_is_tried(made: Study) -> None:
    """The first in rank, or the one that is named; nothing else is said of it."""
    assert (made.shown.name, made.tried.name) == ("Birch", "Birch")
    assert made.outage_page.heading == "What if: Birch"
    assert made.answer.more.pack == "It takes no more packs."
    named = study(CASE.model_copy(update={"outage": Outage(days=1, candidate="cedar")}), ROOM)
    assert (named.shown.name, named.tried.name) == ("Cedar", "Cedar")
    assert study(Case(), ROOM).outage_page.heading == "What if"


def test_a_price_that_changes_the_pick_leaves_the_what_ifs(bench: Bench, made: Study) -> None:
    """Pick and hours move; what-ifs stay, and panel and first page say whose they are: cell by cell as the model says."""
    bench.type_in("candidates", "price", 2100, record=1)
    bench.engine.recalculate()
    after = bench.made = study(DEARER, made.slots)
    assert bench.differences()[:5] == []
    assert (after.decision.pick, after.shown.name, after.tried.name) == ("Ash", "Ash", "Birch")
    assert (after.outage.tried, after.outage.sure) == (made.outage.tried, made.outage.sure)
    assert after.outage.followed != made.outage.followed
    assert after.outage_page.heading == "What if: Birch"
    assert after.answer.more.pack == "Tried on Birch, first by earlier figures."
    assert after.answer.more.generator == "To try Ash, name it as candidate."
    assert (after.answer.more.dark, after.answer.high_day) == ("", "")


def test_one_that_is_named_is_tried_whatever_the_prices(bench: Bench, made: Study) -> None:
    """As the first page advises: the name typed, the what-ifs are of the pick again."""
    bench.type_in("candidates", "price", 2100, record=1)
    bench.type_in("outage", "candidate", "Ash")
    bench.engine.recalculate()
    bench.made = study(DEARER.model_copy(update={"outage": Outage(days=1, candidate="Ash")}), made.slots)
    assert bench.differences()[:5] == []
    assert (bench.made.tried.name, bench.made.answer.more.pack) == ("Ash", "It takes no more packs.")


def test_loads_that_let_a_cheaper_one_fit_move_both(bench: Bench, made: Study) -> None:
    """Without the refrigerator Cedar fits, which costs least: it is picked, followed and tried."""
    bench.type_in("load", "running_w", 5, record=0)
    bench.engine.recalculate()
    fewer = (FRIDGE.model_copy(update={"running_w": 5.0}), LAMPS)
    bench.made = study(CASE.model_copy(update={"loads": fewer}), made.slots)
    assert bench.differences()[:5] == []
    assert (bench.made.decision.pick, bench.made.tried.name) == ("Cedar", "Cedar")


def test_where_none_fits_the_nearest_is_tried(bench: Bench, made: Study) -> None:
    """What would help it is worked out, whatever the prices."""
    bench.type_in("load", "running_w", 900, record=0)
    bench.type_in("candidates", "price", 1, record=2)
    bench.engine.recalculate()
    more = (FRIDGE.model_copy(update={"running_w": 900.0}), LAMPS)
    bench.made = study(priced(1800, 1500, 1, loads=more), made.slots)
    assert bench.differences()[:5] == []
    assert bench.made.decision.fitting == 0
    assert bench.made.tried.number == bench.made.decision.nearest_number
    assert bench.made.shown == bench.made.tried


def test_prices_that_nobody_states_are_kept_to_the_last_digit() -> None:
    """Ranked by weight, which is not stated, the price counts behind a million million: it is kept whole."""
    units = tuple(one.model_copy(update={"weight_kg": None}) for one in CASE.candidates)
    case = CASE.model_copy(update={"candidates": units, "money": Money(rank_by="weight")})
    made = study(case, ROOM)
    assert made.slots.keys is not None
    assert made.slots.keys[:2] == (1e12 + 1800, 1e12 + 1500)
    bench = Bench(made, ("rank", "tried", "outcome"))
    bench.type_in("candidates", "price", 2100, record=1)
    bench.engine.recalculate()
    units = (units[0], units[1].model_copy(update={"price": 2100.0}), units[2])
    bench.made = study(case.model_copy(update={"candidates": units}), made.slots)
    assert bench.differences()[:5] == []
    assert (bench.made.shown.name, bench.made.tried.name) == ("Ash", "Birch")


def test_a_workbook_that_comes_back_brings_what_it_was_ranked_by(made: Study, tmp_path: Path) -> None:
    """Prices edited and recalculated: it holds. Without the kept figures, as in an older one, nothing stops."""
    edited = study(DEARER, made.slots)
    path = tmp_path / "edited.xlsx"
    data = build(edited, version="test")
    path.write_bytes(data)
    returned, findings = read_returned(path)
    assert returned is not None, findings
    assert returned.slots.keys is None  # built anew, it is ranked as it is then
    found = compare(returned)
    assert (found.values, found.formulas) == ((), ())
    table = returned.grid.tables["rank"]
    parts = Parts(data)
    parts.type_in("By candidate", *returned.grid.at(table, "handed_key", 1), None)
    path.write_bytes(parts.packed())
    returned, _ = read_returned(path)
    assert returned is not None
    assert {change.sheet for change in compare(returned).values} > {"Outage hours"}
