"""A client edits the workbook: every cell still equals the model's, computed from the inputs read back."""

import random
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from engines.cases import CORNERS, SAMPLES, WHOLE, drawn_value, generated, sample, small, within
from engines.engines import Answer, Formualizer, Spot, Value, cached, libreoffice
from engines.plans import PLANS
from engines.walk import cells_of, disagreeing, grid_of, revalued
from holdover.case.schema import Case
from holdover.model.study import Study, study
from holdover.reading.voltage import between_phases
from holdover.returned.read import case_from
from holdover.workbook.book import build
from holdover.workbook.grid import Cell
from holdover.workbook.typed import is_clock, stored
from returned.altered import Parts

pytestmark = pytest.mark.long
CASES: list[Case] = [
    *(sample(path) for path in SAMPLES),
    *PLANS.values(),
    *(case for case in CORNERS.values() if case not in PLANS.values()),
    *(generated(seed) for seed in range(100, 110)),
]
BATCHES = len(CASES) if WHOLE else 16
SETS = 30 if WHOLE else 10
"""Sets of edits a batch through the quick engine."""
DAYS = 5 * SETS
"""Days that a batch recalculates at most, or two sets. The engine takes five times as long for fourteen days as for
three."""
EDITED = CASES[:2] + CASES[2::3] + CASES[3::3] + CASES[4::3]
"""Starting points: the suite takes the first of them."""
SETS_IN_LIBREOFFICE = 20 if WHOLE else 4
EDITS_A_SET = 6


NAMED = {"leave_out": "load", "without": "load", "candidate": "candidates"}
"""Settings that name a row of a table."""


def typed_cells(worked_out: Study) -> list[Cell]:
    return [cell for cell in cells_of(worked_out) if cell.typed]


def edits_of(cells: list[Cell], rng: random.Random) -> dict[Spot, Value]:
    """A set of edits: numbers and drop-downs drawn anew, rows cleared, spare rows filled."""
    edits: dict[Spot, Value] = {}
    for _ in range(rng.randint(1, EDITS_A_SET)):
        cell = rng.choice(cells)
        where = (cell.sheet, cell.row, cell.col)
        info = cell.column.field
        assert info is not None
        dice = rng.random()
        if dice < 0.2:
            edits[where] = None
        elif dice < 0.3 and cell.table.kind != "form":
            row = [c for c in cells if c.table is cell.table and c.record == cell.record]
            edits.update({(c.sheet, c.row, c.col): None for c in row})
        elif dice < 0.4 and cell.table.kind != "form":
            row = [c for c in cells if c.table is cell.table and c.record == cell.record]
            edits.update({(c.sheet, c.row, c.col): new_value(c, rng) for c in row if rng.random() < 0.8})
        elif cell.column.name in NAMED:
            edits[where] = rng.choice(cells_named(cells, NAMED[cell.column.name]))
        else:
            edits[where] = new_value(cell, rng)
    return edits


def cells_named(cells: list[Cell], table: str) -> list[Value]:
    """Names in a table, as they were written."""
    return [cell.value for cell in cells if cell.table.name == table and cell.column.name == "name"] or [None]


def of_one_phase(cells: list[Cell], edits: dict[Spot, Value], stands: Callable[[Spot], Value]) -> dict[Spot, Value]:
    """The edits without second voltages that would make a unit of three phases, which the reader refuses."""
    volts = {(c.record, c.column.name): (c.sheet, c.row, c.col) for c in cells if c.table.name == "candidates"}
    for record in {record for record, _ in volts}:
        first, second = volts[record, "ac_volts"], volts[record, "ac_volts_2"]
        both = [edits[spot] if spot in edits else stands(spot) for spot in (first, second)]
        if between_phases([value for value in both if isinstance(value, float)]):
            edits[second] = None
    return edits


def new_value(cell: Cell, rng: random.Random) -> Value:
    info = cell.column.field
    assert info is not None
    value = within(info, drawn_value(info, cell.column.path.split(".")[-1] or cell.column.name, rng))
    if value in (None, "") or isinstance(value, str):
        return value or None
    hours = is_clock(info) and value > 1 and rng.random() < 0.5  # a clock hour may be typed in hours, too
    return float(value) if hours else stored(info, float(value), cell.column.shown)


def recomputed(worked_out: Study, answer: Answer) -> Study:
    """The study of the inputs that stand in the workbook."""
    grid = grid_of(worked_out)
    case = case_from(grid, grid.tables.values(), answer)
    return study(case, worked_out.slots)


def test_what_is_typed_on_the_first_page_is_edited_too() -> None:
    """Of the inputs that are edited some stand elsewhere than the rest of their form."""
    cells = typed_cells(small(CORNERS["starter"]))
    at_home = {cell.sheet for cell in cells if cell.table.name == "outage"}
    assert len(at_home) > 1, at_home
    assert "Answer" in at_home


@pytest.mark.parametrize("batch", range(BATCHES))
def test_random_edits_agree_with_the_model(batch: int) -> None:
    """After each random set of edits every formula cell is what the model makes of the edited inputs."""
    rng = random.Random(1000 + batch)
    worked_out = small(EDITED[batch])
    engine = Formualizer(build(worked_out, version="test"))
    cells = typed_cells(worked_out)
    formulas = [cell for cell in cells_of(worked_out) if cell.computed]
    sets = max(2, min(SETS, DAYS // worked_out.slots.days))
    compared = 0
    for number in range(sets):
        edits = of_one_phase(cells, edits_of(cells, rng), lambda spot: engine(*spot))
        for where, value in edits.items():
            engine.edit(*where, value)
        engine.recalculate()
        again = recomputed(worked_out, engine)
        compared += len(formulas)
        wrong = disagreeing(engine, revalued(formulas, again))
        assert not wrong, (number, edits, dict(list(wrong.items())[:8]))
    print(f"batch {batch}: {sets} sets of edits, {compared} cells compared")
    assert compared > sets * 3000


def edited_file(data: bytes, edits: Mapping[Spot, Value], path: Path) -> None:
    """The workbook with edits; every result is the one that was written."""
    parts = Parts(data)
    for where, value in edits.items():
        parts.type_in(*where, value)
    path.write_bytes(parts.packed())


def test_random_edits_in_libreoffice_agree_with_the_model(tmp_path: Path) -> None:
    """Edited workbooks, recalculated by LibreOffice in one start, equal the model's."""
    rng = random.Random(77)
    files, studies = [], []
    for number in range(SETS_IN_LIBREOFFICE):
        worked_out = small(EDITED[number])
        edits: dict[Spot, Value] = {}
        for _ in range(4):
            edits |= edits_of(typed_cells(worked_out), rng)
        standing = {(cell.sheet, cell.row, cell.col): cell.value for cell in typed_cells(worked_out)}
        edits = of_one_phase(typed_cells(worked_out), edits, standing.__getitem__)
        path = tmp_path / f"edited{number}.xlsx"
        edited_file(build(worked_out, version="test", poison=-999.25), edits, path)
        files.append(path)
        studies.append(worked_out)
    for worked_out, saved in zip(studies, libreoffice(files, tmp_path), strict=True):
        answer = cached(saved)
        again = recomputed(worked_out, answer)
        assert again.case != worked_out.case
        wrong = disagreeing(answer, cells_of(again))
        assert not wrong, (saved.name, dict(list(wrong.items())[:8]))
