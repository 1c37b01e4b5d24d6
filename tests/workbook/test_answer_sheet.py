"""The first page: a change typed there is the same as a workbook written anew with it, beside what was handed over."""

from typing import Any

import pytest

from engines.bench import Bench
from engines.cases import SAMPLES, sample
from engines.walk import grid_of
from holdover.case.schema import Case
from holdover.model.pages.timeline import CELLS, DASH
from holdover.model.study import study
from holdover.workbook.column import Table
from holdover.workbook.sheets.answer import ANSWER_SHEET

BLOCKS = tuple(block.name for block in ANSWER_SHEET.blocks if isinstance(block, Table))
CASE = sample(SAMPLES[-1])
SLOTS = study(CASE).slots
CHANGES: dict[str, Any] = {
    "candidate": CASE.candidates[1].name,
    "packs": 1,
    "days": CASE.outage.days + 1,
    "leave_out": "Refrigerator",
    "sky": 0.0,
    "generator_hours": 0.0,
}
"""What may be tried on the page, each with a value that the sample does not have."""


def changed(name: str, value: Any) -> Case:
    given = {field: getattr(CASE.outage, field) for field in CASE.outage.model_fields_set}
    return CASE.model_copy(update={"outage": type(CASE.outage)(**{**given, name: value})})


def said(bench: Bench, table: str, column: str, record: int = 0) -> Any:
    """What a cell of the page says once the workbook is worked out anew."""
    place = bench.grid.tables[table]
    return bench.engine(ANSWER_SHEET.name, *bench.grid.at(place, column, record, ""))


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench(study(CASE, SLOTS), BLOCKS)


def test_the_page_has_six_settings_and_each_is_tried_here() -> None:
    """Candidate, packs, days, a load to leave out, sun, generator hours: no other is typed on the page."""
    grid = grid_of(study(CASE, SLOTS))
    typed = {name.removeprefix("outage.") for name, at in grid.slots.items() if at[0].name.startswith("try_")}
    assert typed == set(CHANGES)


@pytest.mark.parametrize("name", CHANGES)
def test_now_is_what_a_workbook_written_anew_would_say(bench: Bench, name: str) -> None:
    """Every formula of the page, the sentence `Now` among them; what was handed over stays as it was."""
    before = study(CASE, SLOTS)
    usual = getattr(CASE.outage, name) if name in CASE.outage.model_fields_set else None
    bench.type_in("outage", name, CHANGES[name])
    bench.engine.recalculate()
    bench.made = study(changed(name, CHANGES[name]), SLOTS)
    wrong, now, handed = bench.differences(), said(bench, "now", "text"), said(bench, "handed", "text")
    was = said(bench, "try_left_was", "days"), said(bench, "try_right_was", "generator")
    bench.type_in("outage", name, usual)
    bench.made = before
    assert not wrong
    assert now == study(changed(name, CHANGES[name])).answer.now  # in a workbook of its own
    assert handed == before.answer.now
    assert was == (before.answer.was.days, before.answer.was.generator)
    assert now != handed


def test_the_strip_is_the_hours_of_the_model(bench: Bench) -> None:
    """A tier is off in a cell where the forward run serves it not, or not whole, in an hour of the cell."""
    bench.engine.recalculate()
    hours = bench.made.shown.carried.hours
    per_cell = len(hours[: 24 * CASE.outage.days]) / CELLS
    assert per_cell == int(per_cell)
    for place, tier in enumerate(("critical", "essential", "convenience"), start=1):
        strip = [said(bench, "strip", tier, i) or "" for i in range(CELLS)]
        off = [
            any(hours[t].served < place for t in range(int(i * per_cell), int((i + 1) * per_cell)))
            for i in range(CELLS)
        ]
        assert strip == [DASH if each else "" for each in off], tier
    assert DASH in [said(bench, "strip", "convenience", i) for i in range(CELLS)]
