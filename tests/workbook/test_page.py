"""Standing texts and room of a page: yielded once, as they stand in the file."""

from dataclasses import replace
from io import BytesIO
from types import SimpleNamespace
from typing import Any

import pytest
from openpyxl import load_workbook

from engines.cases import SAMPLES, sample
from holdover.model.study import study
from holdover.workbook.book import build, sheets_for
from holdover.workbook.column import Column, Table, group
from holdover.workbook.page import USUAL_WIDTH, Label, Page, Sheet, Words, lay_out

STUDY = study(sample(SAMPLES[0]))
GRID, PAGES = lay_out(sheets_for(STUDY.slots), STUDY)


@pytest.fixture(scope="module")
def book() -> Any:
    """The file, as openpyxl reads it."""
    return load_workbook(BytesIO(build(STUDY, version="1")))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.sheet.name)
def test_every_label_stands_where_it_is_said_to(page: Page, book: Any) -> None:
    """A label's text is what the file has in its cell; money is written as the currency, on a composed page behind it."""
    sheet, currency = book[page.sheet.name], STUDY.case.about.currency
    labels = [label for label in page.labels() if label.text not in ("", "money")]
    assert len(labels) >= 3

    def told(label: Label) -> str:
        money = page.sheet.narrow and label.kind == "head" and label.column and label.column.unit == "money"
        return f"{label.text}, {currency}" if money else label.text

    wrong = [label for label in labels if sheet.cell(label.row + 1, label.col + 1).value != told(label)]
    assert wrong == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.sheet.name)
def test_all_that_is_written_stands_in_the_footprint(page: Page, book: Any) -> None:
    """No cell with a value lies outside of the room that the page takes by its own account."""
    room, last = page.footprint, dict[int, int]()
    for cells in book[page.sheet.name].iter_rows():
        for cell in cells:
            if cell.value is not None:
                last[cell.row - 1] = cell.column
    assert {row: count for row, count in last.items() if count > room.get(row, 0)} == {}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.sheet.name)
def test_labels_and_cells_of_tables_do_not_meet(page: Page) -> None:
    """No label stands in a cell of a table, and no two labels in one cell."""
    seen = {(label.row, label.col) for label in page.labels()}
    assert len(seen) == len(list(page.labels()))
    cells = {(cell.row, cell.col) for table in page.tables for cell in GRID.cells_of(table, STUDY)}
    assert not seen & cells


def page_of(*blocks: Table | Words, **parts: object) -> Page:
    _, (page,) = lay_out([Sheet("One", "A sheet.", blocks)], SimpleNamespace(**parts))
    return page


def test_a_column_is_as_wide_as_the_widest_block_asks() -> None:
    """Of two tables the wider column counts; where none asks for a width it is the usual one."""
    one = Table("one", "One", "rows", (Column("a", "A", width=20), Column("b", "B")))
    two = replace(one, name="two", columns=(Column("a", "A", width=8), Column("b", "B"), Column("c", "C", width=30)))
    assert page_of(one, two, rows=(1, 2)).widths == [20, USUAL_WIDTH, 30]


def test_columns_that_are_not_printed_end_the_paper() -> None:
    """What stands right of the first column that is not printed stays off the paper."""
    columns = (Column("a", "A"), Column("b", "B"), Column("c", "C", printed=False), Column("d", "D"))
    assert page_of(Table("one", "One", "rows", columns), rows=(1,)).on_paper == 2


def test_words_alone_take_the_columns_they_may_run_over() -> None:
    """A sheet of words has twelve columns, the first as wide as the words ask."""
    assert page_of(Words(("One line.",), width=14)).widths == [14, *[USUAL_WIDTH] * 11]


def test_a_group_is_a_heading_over_its_columns() -> None:
    """Columns of a group bear its title once, over all of them; beside records it takes a row of its own."""
    columns = (Column("a", "A"), *group("Both", Column("b", "B"), Column("c", "C")))
    down = page_of(Table("one", "One", "rows", columns), rows=(1,))
    assert [(label.text, label.col, label.right) for label in down.labels() if label.kind == "group"] == [
        ("", 0, 0),
        ("Both", 1, 2),
    ]
    across = page_of(Table("one", "One", "rows", columns, kind="across"), rows=(1, 2))
    texts = [(label.text, label.row) for label in across.labels() if label.kind in ("label", "band")]
    assert texts == [("A", 4), ("Both", 5), ("B", 6), ("C", 7)]
