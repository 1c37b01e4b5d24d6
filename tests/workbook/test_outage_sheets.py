"""The outage sheets: an engine that starts from nothing computes what the reference model says, cell by cell."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from engines.bench import Bench
from engines.walk import cells_of, grid_of
from holdover.case.schema import (
    MAX_DAYS,
    Array,
    Candidate,
    Case,
    Day,
    Load,
    Month,
    Outage,
    Recharge,
    Sizing,
    Sun,
)
from holdover.case.section import is_whole
from holdover.model.study import Slots, study
from holdover.workbook.column import Column, Table
from holdover.workbook.grid import Corner, Grid
from holdover.workbook.sheets.outage.hours import FIELDS

MINE = (
    "outage",
    "skies",
    "shown",
    "supply",
    "promise",
    "served",
    "supplied",
    "plan",
    "readings",
    "clock",
    "hourly",
    "hold",
    "hold_days",
    "tier_lines",
    "timeline",
    "outage_marks",
    "outage_hero",
    "outage_lead",
    "tried_day",
    "left",
    "outcome",
    "tried",
    "what_if_of",
    "what_if",
)


def slots(case: Case) -> Slots:
    """A spare candidate, and a day more than planned."""
    return Slots(loads=8, candidates=4, days=min(MAX_DAYS, case.outage.days + 1))


LOADS = (
    Load(name="Fridge", running_w=150, starting_w=600, duty=0.4, hours_per_day=24, tier="critical"),
    Load(name="Lamps", running_w=60, hours_per_day=5, starts_at=18.5),
    Load(name="Screen", running_w=120, hours_per_day=4, starts_at=22, tier="convenience"),
    Load(name="Phones", running_w=20, hours_per_day=6, feed="USB", tier="convenience"),
    Load(name="Modem", running_w=9, hours_per_day=24, feed="12 V DC", tier="critical"),
)
SMALL = Candidate(
    name="Small",
    storage_wh=1000,
    continuous_w=1000,
    surge_w=2000,
    dc_w=200,
    pack_wh=1000,
    packs_max=2,
    ac_charge_w=600,
    price=900,
    pack_price=500,
    pv_inputs=1,
    pv_min_v=12,
    pv_max_v=60,
    pv_max_a=15,
    pv_input_w=500,
)
LARGE = Candidate(
    name="Large",
    storage_wh=5000,
    continuous_w=3000,
    surge_w=6000,
    dc_w=300,
    idle_w=40,
    inverter_efficiency=0.92,
    charge_efficiency=0.93,
    charge_min_c=5,
    ac_charge_w=1500,
    price=3500,
    pv_inputs=2,
    pv_min_v=20,
    pv_max_v=150,
    pv_max_a=12,
    pv_input_w=800,
)
DC_ONLY = Candidate(name="Bank", storage_wh=300, continuous_w=0, surge_w=0, dc_w=100, idle_w=0)
PLAIN = Case(
    loads=LOADS,
    candidates=(SMALL, LARGE, DC_ONLY),
    array=Array(modules=3),
    months=(Month(peak_sun_hours=3.1),) * 12,
    sun=Sun(latitude_deg=45, coldest_c=-10),
)


def changed(**parts: object) -> Case:
    return PLAIN.model_copy(update=parts)


CASES = {
    "as it comes": PLAIN,
    "no candidates, and none of that name": changed(candidates=(), outage=Outage(start_share=0, candidate="Nobody's")),
    "nothing at all": Case(),
    "too cold to charge": changed(sizing=Sizing(storage_c=-5), outage=Outage(start_share=0.6)),
    "generator over midnight": changed(
        recharge=Recharge(generator_w=1000),
        outage=Outage(generator_from=22.25, generator_hours=6.5, sky=0.1, candidate="large"),
    ),
    "outlet overnight, a day that repeats": changed(
        recharge=Recharge(generator_w=900, outlet_a=4),
        outage=Outage(
            days=2, mains_from=21.5, mains_hours=7, generator_from=4, generator_hours=3, repeats="yes", sky=0
        ),
    ),
    "a day that can't repeat": changed(outage=Outage(days=2, repeats="yes", sky=0)),
    "a source that trips": changed(
        candidates=(SMALL.model_copy(update={"ac_charge_min_w": 500.0, "bypass_w": 80.0}), LARGE),
        recharge=Recharge(generator_w=300),
        outage=Outage(generator_hours=5, candidate="Small"),
    ),
    "loads that trip a source by themselves": changed(
        candidates=(SMALL.model_copy(update={"ac_charge_min_w": 100.0}), LARGE),
        recharge=Recharge(generator_w=20),
        outage=Outage(generator_hours=24, candidate="Small"),
    ),
    "starts below its reserve": changed(sizing=Sizing(reserve=0.3), outage=Outage(start_share=0.1, candidate="SMALL")),
    "starts at its reserve": changed(sizing=Sizing(reserve=0.2), outage=Outage(start_share=0.2, starts_at=9, sky=1.4)),
    "device never drops": changed(outage=Outage(drop_convenience_at=0, drop_essential_at=0, days=3, candidate="Small")),
    "device always drops": changed(outage=Outage(drop_convenience_at=1, drop_essential_at=1, days=2)),
    "device drops convenience, the card decides on the rest": changed(
        outage=Outage(drop_convenience_at=0.4, candidate="Small", days=3)
    ),
    "all loads promised": changed(outage=Outage(promise="all loads", days=1, candidate="large")),
    "critical loads promised": changed(outage=Outage(promise="critical", days=3, candidate="Small")),
    "read twice a day, and not at the start": changed(
        outage=Outage(days=3, starts_at=16, reading_1=7, reading_2=7, reading_3=20, reading_4=7, candidate="Small")
    ),
    "read at the start again": changed(outage=Outage(days=3, starts_at=12, reading_1=12, reading_4=12)),
    "one day": changed(outage=Outage(days=1, starts_at=23, candidate="Small")),
    "eight days under changing skies": changed(
        outage=Outage(days=8, starts_at=7, month=6, candidate="Small"),
        days=tuple(Day(sky=s) for s in (1.2, 0, None, 0.3, None, 1.5, 0.05)),
    ),
    "what if without one of the evening, from the morning on": changed(
        outage=Outage(days=2, without="lamps", starts_at=7, candidate="Small")
    ),
    "inverter off between": changed(
        sizing=Sizing(inverter="only with AC loads"), loads=LOADS[1:], outage=Outage(days=4)
    ),
    "direct current only": changed(
        loads=LOADS[3:], sizing=Sizing(inverter="only with AC loads"), outage=Outage(days=5, candidate="bank")
    ),
    "two of one name": changed(candidates=(SMALL, LARGE, LARGE), outage=Outage(candidate="Large")),
    "no storage, no capacity": changed(candidates=(Candidate(name="Empty", storage_wh=0, idle_w=0),)),
    "days without recharging, packs fixed": changed(
        sizing=Sizing(basis="days without recharging"), outage=Outage(days=3, packs=1, candidate="Small")
    ),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_engine_computes_what_the_model_says(case: Case) -> None:
    """Every formula of the outage, computed from spoiled results, is the model's value."""
    bench = Bench(study(case, slots(case)), MINE)
    assert bench.differences()[:5] == []


def test_there_is_something_to_compare() -> None:
    """Every table has formulas, and the cases have hours that shed, keep, break, trip, run down and never suffice."""
    made = {name: study(case, slots(case)) for name, case in CASES.items()}
    formulas = Counter(cell.table.name for cell in cells_of(made["as it comes"]) if cell.computed)
    assert min(formulas[name] for name in MINE) > 0
    offers = [offer for one in made.values() for offer in one.offers if offer.name]
    assert {offer.carried.promise.word for offer in offers} == {"OK", "CHECK", "UNDER"}
    assert {hour.served for offer in offers for hour in offer.carried.hours} == {0, 1, 2, 3}
    assert {offer.carried.promise.broken_tier for offer in offers} == {"", "critical", "essential", "convenience"}
    assert "never" in {offer.carried.promise.full_needed_wh for offer in offers}
    assert any(offer.carried.source_trips_w > 0 for offer in offers)
    assert any(offer.carried.runs_down for offer in offers)
    assert {trial.kept for one in made.values() for trial in one.trials} == {0, 1}
    holds = [row for one in made.values() for row in one.outage.hold]
    assert {"off", ""} < {row.convenience_share for row in holds}


def test_typing_into_the_form_is_the_same_as_a_case_with_those_values() -> None:
    """Values typed into the yellow cells give what a case with those values gives, with nothing rebuilt."""
    typed: dict[str, Any] = {
        "days": 3,
        "starts_at": 5,
        "start_share": 0.85,
        "promise": "critical",
        "drop_convenience_at": 0.9,
        "reading_2": 15,
        "sky": 0.9,
        "generator_from": 23.5,
        "generator_hours": 3,
        "mains_hours": 2,
        "repeats": "yes",
        "candidate": "sMALL",
    }
    room = Slots(loads=8, candidates=4, days=4)
    before = Bench(study(changed(recharge=Recharge(generator_w=700)), room), MINE)
    for name, value in typed.items():
        before.type_in("outage", name, value)
    before.engine.recalculate()
    before.made = study(changed(recharge=Recharge(generator_w=700), outage=Outage(**typed)), room)
    assert before.differences()[:5] == []


def test_more_days_than_the_workbook_reaches_are_told() -> None:
    """It is worked out to where it reaches, and says so; nothing is guessed of the days after."""
    room = Slots(loads=8, candidates=4, days=2)
    bench = Bench(study(PLAIN, room), (*MINE, "page_lead", "strip", "told"))
    bench.type_in("outage", "days", 9)
    bench.engine.recalculate()
    bench.made = study(changed(outage=Outage(days=9)), room)
    assert bench.differences()[:5] == []
    assert (bench.made.outage.days, len(bench.made.shown.carried.hours)) == (2, 48)
    assert bench.made.outage.beyond.startswith("9 days are asked and this workbook reaches 2")
    assert bench.made.answer.lead.startswith(bench.made.outage.beyond)


def test_cleared_and_bounding_inputs_make_no_error() -> None:
    """Each input of the form cleared, at its lowest and at its highest, leaves numbers and text only."""
    room = Slots(loads=len(LOADS) + 1, candidates=len(CASES["generator over midnight"].candidates) + 1, days=2)
    bench = Bench(study(CASES["generator over midnight"], room), MINE)
    for name, info in Outage.model_fields.items():
        limits = [m.ge if hasattr(m, "ge") else m.le for m in info.metadata]
        for value in (None, *(int(v) if is_whole(info) else v for v in limits)):
            bench.type_in("outage", name, value)
            bench.engine.recalculate()
            assert bench.errors() == [], (name, value)


def test_the_horizon_is_a_day_more_than_planned() -> None:
    """No hour is written that the case can't reach: the planned days, a day more, and the moment after it."""
    made = study(changed(outage=Outage(days=4)))
    assert made.slots.days == 5
    assert len(made.outage.clock) == len(made.outage.wasted_wh) == len(made.outage.tried[0]) == 24 * 5 + 1
    assert study(changed(outage=Outage(days=MAX_DAYS))).slots.days == MAX_DAYS


def test_the_page_says_what_becomes_of_the_promise() -> None:
    """In clock time, and never that something lasts which is off."""
    said = {name: study(case, slots(case)).outage_page for name, case in CASES.items()}
    assert said["nothing at all"].hero == "No candidate is listed yet."
    assert said["starts below its reserve"].hero.startswith("The promise is not kept: critical loads are off or short")
    assert said["critical loads promised"].hero.startswith(
        ("The promise is kept until", "The promise is kept: critical")
    )
    assert "Loads and charger ask" in said["a source that trips"].lead
    assert "Loads alone draw" in said["loads that trip a source by themselves"].lead
    assert "can't repeat" in said["a day that can't repeat"].lead
    assert not any("last" in page.hero for page in said.values())


def test_formulas_stay_within_what_every_program_takes() -> None:
    """No formula is long, deep, an array or volatile, and no bare exponent stands in one."""
    made = study(PLAIN, slots(PLAIN))
    grid = grid_of(made)
    texts = [c.formula for name in MINE for c in grid.cells_of(grid.tables[name], made) if c.formula]
    assert max(len(text) for text in texts) <= 1500
    # N( may stand, on cells that hold a formula: Gnumeric gives an error only for that of a blank.
    for word in ("OFFSET(", "INDIRECT(", "NOW(", "TODAY(", "RAND", "LET(", "--", "{", "E-", "OR({"):
        assert not any(word in text.replace("ROUNDDOWN(", "").replace("MIN(", "") for text in texts), word


def test_hours_that_need_each_other_stand_side_by_side() -> None:
    """Each needs the one before: a run of like formulas down a column is what LibreOffice takes for a circle."""
    made = study(PLAIN, slots(PLAIN))
    grid = grid_of(made)
    table = grid.tables["hourly"]
    places = [grid.at(table, "c0_state", hour) for hour in range(grid.places["hourly"].count)]
    assert places == [(places[0][0], places[0][1] + hour) for hour in range(len(places))]


def test_lines_of_candidates_stand_where_their_number_leads() -> None:
    """What is read by the number of a candidate stands in lines without a gap, in the order of the candidates."""
    made = study(PLAIN)
    grid = grid_of(made)
    table = grid.tables["hourly"]
    lines = [grid.at(table, f"c{k}_{name}", 0)[0] for k in range(made.slots.candidates) for name in FIELDS]
    assert made.slots.candidates > 1
    assert lines == [grid.names["hourly_field"][1] + line for line in range(len(lines))]


def test_a_formula_may_name_what_comes_after_its_record() -> None:
    """The cell below its own, and all from its own to the last; in another table neither stands for anything."""
    table = Table(
        "run",
        "Run",
        "itself",
        (Column("a", "A"), Column("b", "B", formula="={a[+1]}+MAX({a[last]})")),
        constants=((1, 2), (3, 4), (5, 6)),
    )
    grid = Grid({"run": table}, {"run": Corner("Run", 4, 1, 3)})
    beside = replace(table, kind="across", step=2)
    across = Grid({"run": beside}, {"run": Corner("Run", 4, 1, 3)})
    assert [cell.formula for cell in across.cells_in(beside, beside.columns[1], None)] == [
        "=D5+MAX(B5:$F5)",
        "=F5+MAX(D5:$F5)",
        "=H5+MAX(F5:$F5)",
    ]
    assert [cell.formula for cell in grid.cells_in(table, table.columns[1], None)] == [
        "=B6+MAX(B5:B$7)",
        "=B7+MAX(B6:B$7)",
        "=B8+MAX(B7:B$7)",
    ]
    with pytest.raises(KeyError, match="no table 'run' with such a record"):
        [cell.formula for cell in grid.cells_in(table, replace(table.columns[1], formula="={run.a[+1]}"), None)]
