"""A client types what no cell can take: nothing errs, nothing is taken for another number, and the first page says where."""

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from engines.cases import CORNERS, WHOLE
from engines.engines import Answer, Formualizer, Spot, Value, cached, libreoffice
from engines.test_edits import edited_file, typed_cells
from engines.walk import cells_of, disagreeing, grid_of, revalued
from holdover.case.schema import Candidate, Case, Load
from holdover.model.study import Slots, Study, study
from holdover.returned.read import case_from
from holdover.workbook.book import build
from holdover.workbook.grid import Cell, Grid, xl
from holdover.workbook.typed import read

pytestmark = pytest.mark.long
Typed = Value | bool
KINDS: dict[str, Typed] = {
    "words": "n/a",
    "a number with its unit": "1.5 kW",
    "a negative number": -640.0,
    "a number far too large": 9e9,
    "nothing but zero": 0.0,
    "nothing": None,
    "a share as percent": 91.0,
    "a day": 46352.0,
    "a truth": True,
    "a blank space": " ",
    "digits as text": "12",
    "a decimal comma": "1,5",
    "a sign for any word": "*",
    "the beginning of a word": "e*",
}
"""What people type, paste or leave in a cell that asks for something else."""
CASE: Case = CORNERS["one of each"]
ROOM = Slots(loads=len(CASE.loads) + 1, candidates=len(CASE.candidates) + 1, days=CASE.outage.days)
"""A spare row of each kind, which is typed into, too; two more of the same and a spare day have nothing else to show."""
FEW = Case(
    loads=(
        Load(name="Lamp", running_w=20, hours_per_day=5, tier="convenience"),
        Load(name="Radio", running_w=10, hours_per_day=5, tier="essential"),
        Load(name="Breathing aid", running_w=40, hours_per_day=8, tier="critical"),
    ),
    candidates=(Candidate(name="Alder", storage_wh=4000, continuous_w=2000, surge_w=4000, price=900),),
)
KINDS_A_CELL = len(KINDS) if WHOLE else 2
BATCHES = 16 if WHOLE else 4
FILES = 12 if WHOLE else 3


@dataclass(frozen=True, repr=False)
class Edit:
    """One cell and what is typed into it."""

    cell: Cell
    value: Typed

    def __repr__(self) -> str:
        return f"{self.cell} = {self.value!r}"

    @property
    def spot(self) -> Spot:
        return self.cell.sheet, self.cell.row, self.cell.col

    @property
    def unread(self) -> bool:
        """Whether it is filled with something that can't be read; of remarks that no formula shows nothing is."""
        assert self.cell.column.field is not None
        shown = self.cell.column.name != "note" or self.cell.table.kind == "form"
        return shown and self.value is not None and read(self.cell.column.field, self.value) == ""


def row_of(cell: Cell) -> tuple[str, str, int]:
    """The cells of a line; a form stands in lines on several sheets, and is one here on each."""
    return cell.table.name, cell.sheet, cell.record


def rounds(worked_out: Study) -> Iterator[list[Edit]]:
    """Every typed cell with some of the kinds, in each round one cell of each line."""
    rng = random.Random(12)
    waiting: dict[tuple[str, str, int], list[Edit]] = {}
    for cell in typed_cells(worked_out):
        kinds = rng.sample(list(KINDS.values()), KINDS_A_CELL)
        waiting.setdefault(row_of(cell), []).extend(Edit(cell, value) for value in kinds)
    for edits in waiting.values():
        rng.shuffle(edits)
    for number in range(max(map(len, waiting.values()))):
        yield [edits[number] for edits in waiting.values() if number < len(edits)]


def counted(grid: Grid, typed: Mapping[Spot, Cell], answer: Answer) -> Case:
    """The case of what can be read of the cells."""

    def get(sheet: str, row: int, col: int) -> Value:
        value = answer(sheet, row, col)
        info = typed[sheet, row, col].column.field
        assert info is not None
        if value in ("True", "False"):  # as the engine tells a truth
            value = None
        return None if value is None or read(info, value) == "" else value

    return case_from(grid, grid.tables.values(), get)


def wrong_cells(answer: Answer, formulas: list[Cell], again: Study) -> dict[str, object]:
    """Formula cells that err, or differ from the model of what can be read; what is said of cells that can't be apart."""
    told = ("found_", "unread", "page_notice")
    found: dict[str, object] = {
        str(cell): value
        for cell in formulas
        if isinstance(value := answer(cell.sheet, cell.row, cell.col), str) and value.startswith("#")
    }
    others = [cell for cell in formulas if not cell.table.name.startswith(told) and cell.column.name != "unread"]
    return found or dict(disagreeing(answer, revalued(others, again)))


def notice(grid: Grid, answer: Answer) -> str:
    """What the first page says before the advice."""
    table = grid.tables["page_notice"]
    return str(answer("Answer", *grid.at(table, "text", 0)) or "")


def number_of(grid: Grid, answer: Answer, table: str, column: str) -> Value:
    return answer("Read", *grid.at(grid.tables[table], column, 0))


@pytest.mark.parametrize("batch", range(BATCHES))
def test_what_no_cell_can_take_counts_as_not_stated_and_is_named(batch: int) -> None:
    """Typed into every cell, each of the kinds: no error, the model's numbers without it, its address on the first page."""
    worked_out = study(CASE, ROOM)
    grid, data = grid_of(worked_out), build(worked_out, version="test")
    formulas = [cell for cell in cells_of(worked_out) if cell.computed]
    typed = {(cell.sheet, cell.row, cell.col): cell for cell in typed_cells(worked_out)}
    named = 0
    for edits in list(rounds(worked_out))[batch::BATCHES]:
        engine = Formualizer(data, {edit.spot: edit.value for edit in edits})
        unread = [edit for edit in edits if edit.unread]
        again = study(counted(grid, typed, engine), worked_out.slots, unread=len(unread))
        assert not (wrong := wrong_cells(engine, formulas, again)), (edits, dict(list(wrong.items())[:6]))
        assert number_of(grid, engine, "unread", "count") == len(unread), unread
        places = [f"{edit.cell.sheet} {xl(edit.cell.row, edit.cell.col)} can't be read" for edit in unread]
        assert not places or any(place in notice(grid, engine) for place in places), (places, notice(grid, engine))
        assert ("more." in notice(grid, engine)) == (len(unread) > 1)
        named += len(unread)
    assert named > 100


def test_each_cell_that_cannot_be_read_is_named_alone() -> None:
    """With one wrong cell the first page gives its sheet, its address and what it takes."""
    worked_out = study(CASE, ROOM)
    grid = grid_of(worked_out)
    engine = Formualizer(build(worked_out, version="test"))
    rng = random.Random(4)
    wrong = [edit for cell in typed_cells(worked_out) for edit in [Edit(cell, True)] if edit.unread]
    for edit in wrong if WHOLE else rng.sample(wrong, 40):
        before = engine(*edit.spot)
        engine.edit(*edit.spot, edit.value)
        engine.recalculate()
        said = notice(grid, engine)
        assert said.startswith(f"{edit.cell.sheet} {xl(edit.cell.row, edit.cell.col)} can't be read"), (edit, said)
        assert f": {edit.cell.column.title} takes " in said
        engine.edit(*edit.spot, before)
    engine.recalculate()
    assert notice(grid, engine) == ""


def test_what_cannot_be_read_comes_before_the_advice_and_makes_drafts_of_the_papers() -> None:
    """Cells that can't be read: the headline says first how many are to be mended, critical loads are named before other
    loads, loads before settings, and offer and card are drafts.
    """
    worked_out = study(FEW)
    grid = grid_of(worked_out)
    engine = Formualizer(build(worked_out, version="test"))

    def says(table: str) -> str:
        sheet = grid.places[table].sheet
        return str(engine(sheet, *grid.at(grid.tables[table], "text", 0)))

    def spot(part: str, field: str, record: int) -> Spot:
        return next(
            (cell.sheet, cell.row, cell.col)
            for cell in typed_cells(worked_out)
            if (cell.table.name, cell.column.name, cell.record) == (part, field, record)
        )

    assert (says("page_hero"), says("paper_title")) == ("Choose Alder.", "Offer")
    for place in (spot("outage", "days", 0), spot("load", "hours_per_day", 0), spot("load", "hours_per_day", 2)):
        engine.edit(*place, "8-10 h")
    engine.recalculate()
    assert says("page_hero") == "First mend 3 cells that can't be read."
    assert says("page_lead").startswith("What follows leaves out what stands there. Without it: choose Alder.")
    sheet, row, col = spot("load", "hours_per_day", 2)
    assert says("page_notice").startswith(f"{sheet} {xl(row, col)} can't be read"), "of the critical load"
    assert says("paper_title") == "Draft, to be mended first"
    assert says("paper_warning").startswith("3 cells of the workbook can't be read and are left out")
    assert says("card_who").startswith("Draft. 3 cells of the workbook can't be read")
    engine.edit(*spot("load", "hours_per_day", 2), 8.0)
    engine.recalculate()
    assert says("page_notice").startswith("Load "), "before the days planned, which stand on the first page"


def test_an_error_that_is_pasted_goes_no_further() -> None:
    """An error value, from a formula typed over an input, stays in its cell: the others count it as not stated."""
    worked_out = study(CASE, ROOM)
    grid, data = grid_of(worked_out), build(worked_out, version="test")
    formulas = [cell for cell in cells_of(worked_out) if cell.computed]
    typed = {(cell.sheet, cell.row, cell.col): cell for cell in typed_cells(worked_out)}
    for edits in random.Random(6).sample(list(rounds(worked_out))[:60], 40 if WHOLE else 8):
        spots = {edit.spot for edit in edits}
        engine = Formualizer(data, formulas=dict.fromkeys(spots, "=NA()"))

        def stated(sheet: str, row: int, col: int, spots: set[Spot] = spots, engine: Formualizer = engine) -> Value:
            return None if (sheet, row, col) in spots else engine(sheet, row, col)

        unread = sum(replace(edit, value=True).unread for edit in {edit.spot: edit for edit in edits}.values())
        again = study(counted(grid, typed, stated), worked_out.slots, unread=unread)
        assert not (wrong := wrong_cells(engine, formulas, again)), (edits, dict(list(wrong.items())[:6]))
        assert "can't be read" in notice(grid, engine)


def test_in_libreoffice_too(tmp_path: Path) -> None:
    """A round typed into workbooks that LibreOffice then recalculates: the same numbers, no error, and the notice."""
    worked_out = study(CASE, ROOM)
    grid = grid_of(worked_out)
    typed = {(cell.sheet, cell.row, cell.col): cell for cell in typed_cells(worked_out)}
    # LibreOffice keeps a truth as the number 1 in a cell that is formatted for numbers, and shows it as such.
    plain = [[edit for edit in edits if edit.value is not True] for edits in rounds(worked_out)]
    chosen = random.Random(5).sample([edits for edits in plain if len(edits) > 8], FILES)
    files = []
    for number, edits in enumerate(chosen):
        files.append(tmp_path / f"wrong{number}.xlsx")
        values: dict[Spot, Value] = {edit.spot: edit.value for edit in edits}
        edited_file(build(worked_out, version="test", poison=-999.25), values, files[-1])
    formulas = [cell for cell in cells_of(worked_out) if cell.computed]
    for edits, saved in zip(chosen, libreoffice(files, tmp_path), strict=True):
        answer = cached(saved)
        again = study(counted(grid, typed, answer), worked_out.slots, unread=sum(edit.unread for edit in edits))
        wrong = wrong_cells(answer, formulas, again)
        assert not wrong, (edits, dict(list(wrong.items())[:6]))
        assert number_of(grid, answer, "unread", "count") == sum(edit.unread for edit in edits)
        assert "can't be read" in notice(grid, answer)
