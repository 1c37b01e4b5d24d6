"""Settings that are typed on another sheet than their form's: on Answer, and there alone."""

from dataclasses import replace
from typing import Any

import pytest

from holdover.case.schema import Outage
from holdover.findings import Findings
from holdover.returned.audit import audit
from holdover.returned.read import Returned, returned_of
from holdover.workbook.grid import xl
from holdover.xlsx import Book, CellData, read_xlsx
from returned.books import job, trimmed, whole, with_cell

CASE = job(6)
TRIED: dict[str, tuple[Any, Any]] = {
    "candidate": ("Kettle 1", "Kettle 1"),
    "packs": (3.0, 3),
    "days": (4.0, 4),
    "leave_out": ("a lamp", "a lamp"),
    "sky": (0.35, 0.35),
    "generator_hours": (2.5, 2.5),
}
"""By field, what is typed, and what the case then says."""


@pytest.fixture(scope="module")
def shipped() -> Book:
    """A small workbook as it is delivered."""
    return read_xlsx(whole(CASE), "a.xlsx")


def read(book: Book) -> tuple[Returned, Findings]:
    """What the reader makes of a book."""
    findings = Findings()
    returned = returned_of(book, "a.xlsx", findings)
    assert returned is not None
    return returned, findings


def typed(value: Any) -> CellData:
    """A cell as a sheet keeps it."""
    return CellData(value, "", "text" if isinstance(value, str) else "number")


@pytest.mark.parametrize("field", TRIED)
def test_what_is_typed_on_answer_comes_back(field: str, shipped: Book) -> None:
    """The case has it, nothing else has changed, and the audit names the cell on Answer."""
    before, _ = read(shipped)
    spot = before.spots["outage", 0, field]
    assert spot.home == "Answer"
    value, said = TRIED[field]
    returned, findings = read(with_cell(shipped, "Answer", spot.row, spot.col, lambda _: typed(value)))
    assert not findings.errors
    given = {name: getattr(CASE.outage, name) for name in CASE.outage.model_fields_set}
    expected = trimmed(CASE).model_copy(update={"outage": Outage(**(given | {field: said}))})
    assert returned.case == expected
    (change,) = audit(returned, CASE).inputs
    assert (change.sheet, change.cell, change.now) == ("Answer", xl(spot.row, spot.col), said)


def test_what_is_typed_where_it_says_that_it_is_typed_elsewhere(shipped: Book) -> None:
    """The cell of the form says `on Answer`; a value over it is told and counts for nothing."""
    before, _ = read(shipped)
    row, col = before.grid.own_cell(before.grid.tables["outage"], "days")
    if before.grid.reach(before.grid.tables["outage"], before.grid.tables["outage"].columns[0], "set") == 0:
        pytest.skip("the form has no cells of its own")
    returned, findings = read(with_cell(shipped, "Outage", row, col, lambda _: typed(9.0)))
    assert returned.case == trimmed(CASE)
    (found,) = [each for each in findings.found if each.code == "W005"]
    assert (found.sheet, found.cell) == ("Outage", xl(row, col))
    assert "Answer" in found.message


def test_without_answer_its_settings_are_the_usual_ones(shipped: Book) -> None:
    """The sheet is gone: what was typed on it is lost, told so, and the rest is read."""
    names = {name: area for name, area in shipped.names.items() if area[0] != "Answer"}
    book = replace(shipped, names=names, sheets=tuple(each for each in shipped.sheets if each.name != "Answer"))
    returned, findings = read(book)
    assert not findings.errors
    assert not {field for field in TRIED if field in returned.case.outage.model_fields_set}
    assert {each.code for each in findings.found if each.sheet == "Answer"} == {"W003"}


def test_what_was_handed_over_is_no_edit(shipped: Book) -> None:
    """Another outage: the sentence of what was handed over stays as it was, and the audit has nothing against it."""
    before, _ = read(shipped)
    kept = [
        (page.sheet.name, before.grid.at(table, column.name, 0))
        for page in before.shipped.pages
        for table in page.tables
        for column in table.columns
        if column.kept
    ]
    assert kept
    spot = before.spots["outage", 0, "days"]
    returned, _ = read(with_cell(shipped, "Answer", spot.row, spot.col, lambda _: typed(4.0)))
    told = {(change.sheet, change.cell) for change in audit(returned, None).formulas}
    assert not told & {(sheet, xl(*at)) for sheet, at in kept}
