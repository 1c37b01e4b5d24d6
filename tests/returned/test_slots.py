"""The sizes that a file states for its tables are taken within what a case may hold, whatever else it says."""

import time
from dataclasses import replace

import pytest

from holdover.case.schema import MAX_CANDIDATES, MAX_DAYS, MAX_LOADS
from holdover.findings import Findings, render
from holdover.model.study import Slots
from holdover.returned.compare import compare
from holdover.returned.found import MOST, corners_of, slots_of
from holdover.returned.read import Returned, returned_of
from holdover.xlsx import Book, read_xlsx
from returned.books import inserted, job, roomy, trimmed, whole

CASE = job(4)
SECONDS = 5.0
"""Longest time for one workbook [s of the processor]; 1 s was taken."""
LARGEST = 15.0
"""The same of the largest sizes, a million cells, in a workbook in which nothing stands where they say; 7 s were taken."""


@pytest.fixture(scope="module")
def shipped() -> Book:
    """A small workbook as it is delivered."""
    return read_xlsx(whole(CASE), "a.xlsx")


def stating(book: Book, slots: str) -> Book:
    """The book with another word on its sizes."""
    return replace(book, properties=dict(book.properties) | {"holdover_slots": slots})


def areas(book: Book, start: str, change: dict[str, str]) -> Book:
    """The book with the ends of some names moved to other rows, or all their ends swapped for an empty change."""
    names = dict(book.names)
    for name, (sheet, area) in names.items():
        if name.startswith(start) and ":" in area:
            first, last = area.split(":")
            letters, row = last.rsplit("$", 1)
            names[name] = sheet, f"{first}:{letters}${change.get(row, row)}" if change else f"{last}:{first}"
    return replace(book, names=names)


def read(book: Book, seconds: float = SECONDS) -> tuple[Returned | None, Findings]:
    """What the reader makes of a book, in good time."""
    findings, begin = Findings(), time.process_time()
    returned = returned_of(book, "a.xlsx", findings)
    assert time.process_time() - begin < seconds
    return returned, findings


@pytest.mark.parametrize("stated", ["999 999 9", "500 999 3", "9999 5 3", "2101 5 3", "5 221 3", "5 5 15", "5 5 0", "0 5 3", "-3 5 3", "5", "5 5", "1e3 5 3", "٥ ٥ ٥", "²² 5 3"])  # fmt: skip
def test_sizes_that_no_workbook_of_ours_has(stated: str, shipped: Book) -> None:
    """The names tell them instead, and a warning says so."""
    book = stating(shipped, stated)
    assert slots_of(book) == roomy(CASE)
    returned, findings = read(book)
    assert returned is not None, render(findings.errors)
    assert returned.case == trimmed(CASE)
    assert [f.level for f in findings.found if f.code == "W002"] == ["warning"]


@pytest.mark.long
def test_the_largest_sizes_are_taken(shipped: Book) -> None:
    """As many loads, candidates and days as a case may hold, and room for some that were put in."""
    loads, candidates, days = MOST.values()
    assert (loads > MAX_LOADS, candidates > MAX_CANDIDATES, days) == (True, True, MAX_DAYS)
    book = stating(shipped, f"{loads} {candidates} {days}")
    assert slots_of(book) == Slots(loads=loads, candidates=candidates, days=days)
    returned, findings = read(book, LARGEST)
    assert returned is not None, render(findings.errors)
    assert returned.case.loads == trimmed(CASE).loads


def test_names_that_reach_beyond_every_sheet(shipped: Book) -> None:
    """Ends of all names of the inventory moved to the last rows: they count as gone where the property tells the sizes."""
    last = shipped.names["load_name"][1].rsplit("$", 1)[1]
    for end in ("999999", "1048576"):
        book = areas(shipped, "load_", {last: end})
        returned, findings = read(book)
        assert returned is not None, render(findings.errors)
        assert returned.case == trimmed(CASE)
        assert any(change.what == "the defined name means other cells" for change in compare(returned).formulas)
        bare = stating(areas(shipped, "", {last: end}), "999 999")
        assert slots_of(bare) is None or slots_of(bare) == roomy(CASE)
        read(bare)


def test_names_that_stretch_a_table_over_filled_rows(shipped: Book) -> None:
    """Thousands of lines put in between the loads are refused in words, not counted."""
    sheet, area = shipped.names["load_name"]
    last = int(area.rsplit("$", 1)[1])
    returned, findings = read(inserted(shipped, sheet, last - 1, 19_000 - last))
    assert returned is None
    (found,) = findings.errors
    assert (found.code, found.sheet) == ("W002", sheet)
    assert "stretched over 18," in found.message


def test_reversed_areas_mean_the_same_cells(shipped: Book) -> None:
    """Last corner first: sizes, loads and candidates are as they were."""
    book = areas(shipped, "", {})
    assert book.names["load_name"] != shipped.names["load_name"]
    bare = replace(book, properties={k: v for k, v in book.properties.items() if k != "holdover_slots"})
    for each in (book, bare):
        assert slots_of(each) == roomy(CASE)
        returned, findings = read(each)
        assert returned is not None, render(findings.errors)
        assert returned.case == trimmed(CASE)


def test_corners_are_in_order() -> None:
    """Whichever two corners are named."""
    for area in ("$B$3:$D$9", "$D$9:$B$3", "$B$9:$D$3", "$D$3:$B$9"):
        assert corners_of("S", area) == ("S", 2, 1, 8, 3)
    assert corners_of("S", "$C$4") == ("S", 3, 2, 3, 2)
