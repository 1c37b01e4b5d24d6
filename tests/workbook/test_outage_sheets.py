"""The outage sheets: an engine that starts from nothing computes what the reference model says, cell by cell."""

from typing import Any

import pytest

from engines.bench import Bench
from engines.walk import grid_of
from holdover.case.schema import Array, Candidate, Case, Day, Load, Month, Outage, Recharge, Sizing, Sun
from holdover.case.section import is_whole
from holdover.model.study import SCALES, Slots, study

MINE = (
    "outage",
    "skies",
    "shown",
    "supplied",
    "shedding",
    "what_if",
    "endurance",
    "marks",
    "hourly",
    "clock",
    "ledger",
    "trial",
)
SLOTS = Slots(loads=30, candidates=4)

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
    "too cold to charge": changed(sizing=Sizing(storage_c=-5), outage=Outage(days=3, start_share=0.6)),
    "generator over midnight": changed(
        recharge=Recharge(generator_w=1000),
        outage=Outage(days=4, generator_from=22.25, generator_hours=6.5, sky=0.1, candidate="large"),
    ),
    "starts below its reserve": changed(sizing=Sizing(reserve=0.3), outage=Outage(start_share=0.1, candidate="SMALL")),
    "never sheds": changed(outage=Outage(drop_convenience_at=0, drop_essential_at=0, days=5, candidate="Small")),
    "always sheds": changed(outage=Outage(drop_convenience_at=1, drop_essential_at=1, days=2)),
    "essential shed before convenience": changed(
        outage=Outage(drop_convenience_at=0.2, drop_essential_at=0.8, candidate="Small", days=6)
    ),
    "one day": changed(outage=Outage(days=1, starts_at=23, candidate="Small")),
    "fourteen days under changing skies": changed(
        outage=Outage(days=14, starts_at=7, month=6, candidate="Small"),
        days=tuple(Day(sky=s) for s in (1.2, 0, None, 0.3, None, 1.5, 0.05)),
    ),
    "inverter off between": changed(
        sizing=Sizing(inverter="only with AC loads"), loads=LOADS[1:], outage=Outage(days=4)
    ),
    "direct current only": changed(
        loads=LOADS[3:], sizing=Sizing(inverter="only with AC loads"), outage=Outage(days=14, candidate="bank")
    ),
    "two of one name": changed(candidates=(SMALL, LARGE, LARGE), outage=Outage(candidate="Large")),
    "no storage, no capacity": changed(candidates=(Candidate(name="Empty", storage_wh=0, idle_w=0),)),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_engine_computes_what_the_model_says(case: Case) -> None:
    """Every formula of the outage, computed from spoiled results, is the model's value."""
    bench = Bench(study(case, SLOTS), MINE)
    assert bench.differences()[:5] == []


def test_there_is_something_to_compare() -> None:
    """Every table has formulas, and the fixture has hours that shed, waste, charge and give out."""
    made = study(CASES["fourteen days under changing skies"], SLOTS)
    bench = Bench(made, MINE)
    counts = {name: sum(c.table.name == name for c in bench.cells()) for name in MINE}
    assert min(counts.values()) > 0
    assert counts["ledger"] == 336 * (4 + 10 * SLOTS.candidates)
    assert counts["trial"] == 336 * (3 + 6 * (len(SCALES) + 1))
    runs = [offer.outage for offer in made.offers[:3]]
    assert all(
        any(getattr(run, name) > 0 for run in runs) for name in ("unserved_wh", "wasted_wh", "convenience_off_h")
    )
    assert {hour.kept for run in runs for hour in run.hours} == {1, 3, 4}


def test_typing_into_the_form_is_the_same_as_a_case_with_those_values() -> None:
    """Values typed into the yellow cells give what a case with those values gives, with nothing rebuilt."""
    typed: dict[str, Any] = {
        "days": 9,
        "starts_at": 5,
        "start_share": 0.35,
        "drop_convenience_at": 0.9,
        "drop_essential_at": 0.6,
        "sky": 0.9,
        "generator_from": 23.5,
        "generator_hours": 3,
        "candidate": "sMALL",
    }
    before = Bench(study(changed(recharge=Recharge(generator_w=700)), SLOTS), MINE)
    for name, value in typed.items():
        before.type_in("outage", name, value)
    before.engine.recalculate()
    before.made = study(changed(recharge=Recharge(generator_w=700), outage=Outage(**typed)), SLOTS)
    assert before.differences()[:5] == []


def test_cleared_and_bounding_inputs_make_no_error() -> None:
    """Each input of the form cleared, at its lowest and at its highest, leaves numbers and text only."""
    bench = Bench(study(CASES["generator over midnight"], SLOTS), MINE)
    cells = list(bench.cells())
    for name, info in Outage.model_fields.items():
        limits = [m.ge if hasattr(m, "ge") else m.le for m in info.metadata]
        for value in (None, *(int(v) if is_whole(info) else v for v in limits)):
            bench.type_in("outage", name, value)
            bench.engine.recalculate()
            wrong = [str(c) for c in cells if not isinstance(bench.value(c), int | float | str)]
            assert [w for w in wrong if not w.startswith("outage.candidate")] == [], (name, value)


def test_the_candidate_followed_is_the_same_in_both_tables() -> None:
    """The hours in sight and the working table of all candidates are two formulas for one outage."""
    made = study(CASES["generator over midnight"], SLOTS)
    assert (made.shown.number, made.shown.name) == (2, "Large")
    assert made.offers[1].outage.hours == made.shown.run.hours
    assert made.what_if[SCALES.index(1.0)].run.hours == made.shown.run.hours
    assert [(hour.t, hour.day, hour.clock, hour.active) for hour in made.calendar] == [
        (hour.t, hour.day, hour.clock, hour.active) for hour in made.shown.unshed.hours
    ]


def test_formulas_stay_within_what_every_program_takes() -> None:
    """No formula is long, deep, an array or volatile, and no bare exponent stands in one."""
    made = study(PLAIN, SLOTS)
    grid = grid_of(made)
    texts = [c.formula for name in MINE for c in grid.cells_of(grid.tables[name], made) if c.formula]
    assert max(len(text) for text in texts) <= 500
    for word in ("OFFSET(", "INDIRECT(", "NOW(", "TODAY(", "RAND", "LET(", "--", "{", "N(", "E-", "OR({"):
        assert not any(word in text.replace("COLUMN(", "").replace("MIN(", "") for text in texts), word


def test_no_two_neighbours_in_a_chain_are_alike() -> None:
    """Every second hour stands in brackets: a run of like formulas is what LibreOffice takes for a circle."""
    made = study(PLAIN, SLOTS)
    grid = grid_of(made)
    for name in ("hourly", "ledger", "trial"):
        assert grid.tables[name].chained
        for cell in grid.cells_of(grid.tables[name], made):
            if cell.formula:
                assert cell.formula.startswith("=(") == bool(cell.record % 2), str(cell)
