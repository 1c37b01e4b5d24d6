"""A sheet on paper: legible, and no block cut that a page could hold."""

import re
import shutil
import subprocess
from io import BytesIO
from typing import Any

import openpyxl
import pytest

from engines.cases import SAMPLES, sample
from holdover.case.schema import Case, Sizing
from holdover.model.study import study
from holdover.workbook.book import build, sheets_for
from holdover.workbook.paper import (
    A4,
    LEGIBLE,
    LETTER,
    Paper,
    is_one_high,
    lines,
    page_breaks,
    pages_across,
    paper_of,
    points,
)
from holdover.workbook.path import follow

NARROW = (10.0, 10.0)
WIDE, HIGH = A4.wide, A4.high


def breaks(*blocks: tuple[int, int, bool], widths: Any = NARROW) -> list[int]:
    return page_breaks(blocks, lambda _: 10.0, widths, 1, A4)


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
    held = int(HIGH / scale // 10)
    assert held > rows
    assert breaks((0, 10, False), (10, held, False), widths=wide) == []
    assert breaks((0, 10, False), (10, held + 1, False), widths=wide) == [10]


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("count", [1, 10, 30, 60, 200])
def test_no_sheet_is_smaller_than_legible(count: int, paper: Paper) -> None:
    widths = [11.0] * count
    assert paper.wide * pages_across(widths, paper) / sum(map(points, widths)) >= LEGIBLE * 0.99


def test_a_sheet_that_is_a_little_too_tall_is_made_smaller() -> None:
    assert is_one_high(HIGH, A4)
    assert is_one_high(HIGH / LEGIBLE - 1, A4)
    assert not is_one_high(HIGH / LEGIBLE + 1, A4)


def test_the_paper_of_a_house() -> None:
    """Letter is 8.5 x 11 inches, A4 210 x 297 mm (ISO 216); both are printed on their side."""
    houses = [Case(sizing=Sizing.model_validate({"feed": f"{volts} V"})) for volts in (100, 120, 208, 230, 240)]
    assert [paper_of(house) for house in houses] == [A4, LETTER, LETTER, A4, A4]
    assert (LETTER.wide + 72, LETTER.high + 1.2 * 72) == (792, 612)
    assert (A4.wide + 72, A4.high + 1.2 * 72) == pytest.approx((297 / 25.4 * 72, 210 / 25.4 * 72), abs=0.5)


def test_a_case_may_state_its_paper() -> None:
    """What is stated goes before what such a house prints on, on every sheet of the workbook."""
    for stated, feed, number in (("A4", "120 V", 9), ("Letter", "230 V", 1)):
        case = Case.model_validate({"about": {"paper": stated}, "sizing": {"feed": feed}})
        book = openpyxl.load_workbook(BytesIO(build(study(case), version="test")))
        assert {int(sheet.page_setup.paperSize) for sheet in book} == {number}


def test_lines_of_a_text() -> None:
    """A letter of the usual type is as wide as the unit of width, or a little more; text breaks between words."""
    assert (lines("", 10), lines("a" * 9, 10), lines("a" * 10, 10), lines("a", 0)) == (1, 1, 2, 2)
    assert (lines("aaaa aaaa", 10), lines("aaaa aaaaa", 10), lines("aaaa\naa", 10)) == (1, 2, 2)
    assert (lines("aaaa aaaa", 10, 12), lines("iiiiiiiiiiiii", 10)) == (2, 1)


def test_what_goes_on_paper_is_one_page_wide_and_the_rest_has_no_page(tmp_path: Any) -> None:
    """A sheet that is not printed has a print range of one blank cell; working sheets are hidden besides."""
    for path in SAMPLES:
        made = study(sample(path))
        file = tmp_path / "case.xlsx"
        file.write_bytes(build(made, version="test"))
        book = openpyxl.load_workbook(file)
        for page in sheets_for(made.slots):
            sheet = book[page.name]
            setup = sheet.page_setup
            assert sheet.sheet_properties.pageSetUpPr.fitToPage, page.name
            assert int(setup.paperSize) == paper_of(made.case).number
            assert (sheet.sheet_state == "hidden") == (page.working or bool(page.wanted and not made.errands)), (
                page.name
            )
            if page.printed:
                assert (setup.fitToWidth or 1) == 1, page.name
            else:
                filled = max(row for row, _ in sheet._cells)
                assert int(sheet.print_area.rsplit("$", 1)[1]) > filled, page.name
                assert ":" not in sheet.print_area, page.name


@pytest.mark.skipif(not (shutil.which("soffice") and shutil.which("pdfinfo")), reason="no LibreOffice")
def test_a_sample_prints_on_seven_pages_at_most(tmp_path: Any) -> None:
    """Answer, offer, card, loads, comparison, sun and vehicle: as many pages as sheets."""
    for path in SAMPLES:
        made = study(sample(path))
        file = tmp_path / f"{path.name}.xlsx"
        file.write_bytes(build(made, version="test"))
        profile = f"-env:UserInstallation=file://{tmp_path}/profile"
        subprocess.run(
            ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(file)],
            check=True,
            capture_output=True,
            timeout=180,
        )
        told = subprocess.run(
            ["pdfinfo", str(file.with_suffix(".pdf"))], check=True, capture_output=True, text=True, timeout=60
        ).stdout
        (pages,) = map(int, re.findall(r"Pages:\s+(\d+)", told))
        printed = [page for page in sheets_for(made.slots) if page.printed and follow(made, page.printed)]
        assert pages == len(printed) <= 7, (path.name, pages)
