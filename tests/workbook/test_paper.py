"""A sheet on paper: legible, and no block cut that a page could hold."""

from typing import Any

import openpyxl
import pytest

from engines.cases import SAMPLES, sample
from holdover.model.study import study
from holdover.workbook.book import build
from holdover.workbook.paper import (
    HIGH,
    LEGIBLE,
    WIDE,
    columns_on_page,
    lines,
    page_breaks,
    pages_across,
    points,
)

NARROW = (10.0, 10.0)


def breaks(*blocks: tuple[int, int, bool], widths: Any = NARROW) -> list[int]:
    return page_breaks(blocks, lambda _: 10.0, widths, 1)


def test_a_page_holds_what_fits_on_it() -> None:
    rows = int(HIGH // 10)
    assert breaks((0, rows, False)) == []
    assert breaks((0, 10, False), (10, rows, False)) == []
    assert breaks((0, 10, False), (10, rows + 1, False)) == [10]


def test_a_block_longer_than_a_page_begins_where_the_last_one_ends() -> None:
    rows = int(HIGH // 10)
    assert breaks((0, 5, False), (5, 3 * rows, False)) == []
    assert breaks((0, 5, False), (5, 2 * rows + 5, False), (2 * rows + 5, 3 * rows + 1, False)) == [2 * rows + 5]


def test_little_room_is_not_begun_on() -> None:
    rows = int(HIGH // 10)
    assert breaks((0, rows - 5, False), (rows - 5, 4 * rows, False)) == [rows - 5]


def test_a_list_whose_headings_repeat_may_be_cut() -> None:
    rows = int(HIGH // 10)
    assert breaks((0, 10, False), (10, rows + 5, True)) == []


def test_a_sheet_that_is_made_small_has_more_rows_a_page() -> None:
    rows = int(HIGH // 10)
    wide = (200.0,)
    scale = WIDE / points(200)
    assert scale < 1
    assert breaks((0, 10, False), (10, int(rows / scale), False), widths=wide) == []
    assert breaks((0, 10, False), (10, int(rows / scale) + 1, False), widths=wide) == [10]


@pytest.mark.parametrize("count", [1, 10, 30, 60, 200])
def test_no_sheet_is_smaller_than_legible(count: int) -> None:
    widths = [11.0] * count
    assert WIDE * pages_across(widths) / sum(map(points, widths)) >= LEGIBLE * 0.99
    assert sum(map(points, widths[: columns_on_page(widths)])) * LEGIBLE <= WIDE


def test_lines_of_a_text() -> None:
    assert (lines("", 10), lines("a" * 11, 10), lines("a" * 12, 10), lines("a", 0)) == (1, 1, 2, 1)


def test_the_samples_fit_the_width_of_a_page_and_working_sheets_say_that_they_are_cut(tmp_path: Any) -> None:
    for path in SAMPLES:
        file = tmp_path / "case.xlsx"
        file.write_bytes(build(study(sample(path)), version="test"))
        for sheet in openpyxl.load_workbook(file):
            assert sheet.sheet_properties.pageSetUpPr.fitToPage, sheet.title
            assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0), sheet.title
            printed = sheet.print_area.rsplit(":", 1)[1].strip("$").split("$")[0]
            cut = openpyxl.utils.column_index_from_string(printed) < sheet.max_column
            if cut and sheet.title != "Daily energy":
                assert "On paper stand its first columns." in sheet["A2"].value, sheet.title
