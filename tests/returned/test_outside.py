"""What somebody types into a workbook where nothing was written: each cell is named, whatever sheet it is on."""

from dataclasses import replace

import pytest

from holdover.case.schema import Candidate, Case, Load
from holdover.findings import Finding, Findings, render
from holdover.returned.read import Returned, returned_of
from holdover.workbook.grid import xl
from holdover.xlsx import Book, CellData, SheetData, read_xlsx
from returned.books import roomy, whole, with_cell

CASE = Case(
    loads=(Load(name="Fridge", running_w=110, hours_per_day=24), Load(name="TV", running_w=80, hours_per_day=3)),
    candidates=(Candidate(name="Unit A", storage_wh=2050, continuous_w=1900, surge_w=3900, ac_volts=120),),
)


@pytest.fixture(scope="module")
def book() -> Book:
    """A workbook as it is delivered."""
    return read_xlsx(whole(CASE, roomy(CASE)), "back.xlsx")


def read(book: Book) -> tuple[Returned, list[Finding]]:
    """The workbook as it is read, and what is said of cells and sheets that are none of its own."""
    findings = Findings()
    returned = returned_of(book, "back.xlsx", findings)
    assert returned is not None, render(findings.errors)
    return returned, [each for each in findings.found if each.code in {"W005", "W008"}]


def text(words: str) -> CellData:
    """A text as a sheet keeps it."""
    return CellData(words, "", "text")


def put(book: Book, sheet: str, row: int, col: int, cell: CellData) -> Book:
    """The book with a cell, from 0, typed over."""
    return with_cell(book, sheet, row, col, lambda _: cell)


def test_nothing_is_outside_of_what_was_delivered(book: Book) -> None:
    """Before anybody types, there is nothing to name."""
    assert read(book)[1] == []


@pytest.mark.parametrize("below", [1, 2, 3, 4, 7, 10, 20, 40, 100, 300])
def test_a_load_typed_below_the_inventory_is_named(below: int, book: Book) -> None:
    """Right below the spare lines or far away: one warning a row, with what stands in it."""
    returned, _ = read(book)
    row = max(spot.row for key, spot in returned.spots.items() if key[0] == "loads") + below
    for name, cell in {"name": text("Fan"), "running_w": CellData(50.0, "", "number")}.items():
        book = put(book, "Load", row, returned.spots["loads", 0, name].col, cell)
    returned, told = read(book)
    assert returned.case.loads[:2] == CASE.loads
    assert [(f.code, f.level, f.row, f.found) for f in told] == [("W005", "warning", row + 1, "Fan, 50")]
    assert "nothing counts it" in told[0].message


@pytest.mark.parametrize("beyond", [1, 2, 3, 5, 8, 13, 21, 34, 55, 89])
def test_a_candidate_typed_beside_the_data_sheets_is_named(beyond: int, book: Book) -> None:
    """In whichever column behind the last one: a warning for each row that was filled in."""
    returned, _ = read(book)
    spots = [spot for key, spot in returned.spots.items() if key[0] == "candidates"]
    col = max(spot.col for spot in spots) + beyond
    filled = [returned.spots["candidates", 0, name] for name in ("name", "storage_wh")]
    for spot in filled:
        book = put(book, spot.home, spot.row, col, CellData(2000.0, "", "number"))
    assert [(f.code, f.level, f.cell) for f in read(book)[1]] == [
        ("W005", "warning", xl(spot.row, col)) for spot in filled
    ]


def test_a_remark_beside_is_a_note_on_every_sheet(book: Book) -> None:
    """Words that stand beside everything are no load and no candidate: they are named, and no more."""
    returned, _ = read(book)
    for page in returned.shipped.pages:
        wide = max(page.footprint.values())
        _, told = read(put(book, page.sheet.name, 5, wide + 3, text("ask Ann")))
        assert [(f.sheet, f.cell, f.found) for f in told] == [(page.sheet.name, xl(5, wide + 3), "ask Ann")]


def test_a_sheet_that_was_added_is_named(book: Book) -> None:
    """Loads on a sheet of their own are read by nothing, and it says so; an empty sheet is nothing to speak of."""
    loads = SheetData("More loads", False, {1: {1: text("Fan")}}, frozenset(), ())
    blank = SheetData("Blank", False, {}, frozenset(), ())
    _, told = read(replace(book, sheets=(*book.sheets, loads, blank)))
    assert [(f.code, f.level, f.sheet) for f in told] == [("W008", "note", "More loads")]
