"""A workbook in US units comes back: what is typed in lb, °F and gal is the same weight, temperature and volume."""

from functools import cache, partial
from io import BytesIO
from pathlib import Path

import openpyxl
import pytest

from engines.cases import SAMPLES, sample
from holdover.case.schema import Case
from holdover.findings import Findings
from holdover.library import audit
from holdover.model.study import study
from holdover.returned.extract import write_case
from holdover.returned.found import shipped, slots_of
from holdover.returned.read import Returned, read_any, returned_of, spots_of
from holdover.workbook.book import build
from holdover.xlsx import Book, CellData, read_xlsx
from returned.books import with_cell

CASE = sample(SAMPLES[1])
MADE = study(CASE)
SPOTS = {
    (s.part, s.field, s.record): s for s in spots_of(shipped(MADE.slots).grid, shipped(MADE.slots).grid.tables.values())
}

Typed = dict[tuple[str, str, int], float | str]


@cache
def built() -> bytes:
    """The workbook that all tests here begin with."""
    return build(MADE, version="0")


def edited(tmp_path: Path, typed: Typed) -> Path:
    """The workbook with some cells typed anew, as a program saves it."""
    book = openpyxl.load_workbook(BytesIO(built()))
    for key, value in typed.items():
        spot = SPOTS[key]
        book[spot.home].cell(spot.row + 1, spot.col + 1).value = value
    path = tmp_path / "book.xlsx"
    book.save(path)
    return path


@cache
def written() -> Book:
    """The workbook, read."""
    return read_xlsx(built(), "book.xlsx")


def taken(typed: Typed) -> tuple[Returned | None, Findings]:
    """What the reader makes of the workbook with some cells typed anew."""
    book, findings = written(), Findings()
    for key, value in typed.items():
        spot = SPOTS[key]
        cell = CellData(value, "", "text" if isinstance(value, str) else "number")
        book = with_cell(book, spot.home, spot.row, spot.col, partial(_instead, cell))
    return returned_of(book, "book.xlsx", findings), findings


def _instead(cell: CellData, _: CellData | None) -> CellData:
    return cell


def read(path: Path) -> Case:
    """The case of a returned workbook."""
    case, findings, _ = read_any(path)
    assert case is not None, [finding.message for finding in findings.errors]
    return case


def test_the_sample_is_in_us_units() -> None:
    """The sample at 120 V is shown in US units, and its workbook says so, by its names if its property is gone."""
    assert MADE.slots.us
    book = read_xlsx(built(), "book.xlsx")
    assert slots_of(book) == MADE.slots
    del book.properties["holdover_units"]
    assert slots_of(book) == MADE.slots
    metric = read_xlsx(build(study(sample(SAMPLES[0])), version="0"), "metric.xlsx")
    assert slots_of(metric) == study(sample(SAMPLES[0])).slots
    del metric.properties["holdover_units"]
    assert slots_of(metric) == study(sample(SAMPLES[0])).slots


def test_a_case_comes_back_to_the_last_digit(tmp_path: Path) -> None:
    """What was shown in other units is the number that it was, and the audit finds no change."""
    path = tmp_path / "book.xlsx"
    path.write_bytes(built())
    assert read(path) == CASE
    found = audit(path, SAMPLES[1])
    assert (found.inputs, found.formulas, found.values) == ((), (), ())
    write_case(read(path), tmp_path / "case")
    assert read(tmp_path / "case") == CASE


@pytest.mark.parametrize(
    ("key", "typed", "kept"),
    [
        (("candidates", "weight_kg", 0), 100.0, 45.359237),
        (("candidates", "weight_kg", 0), "100", 45.359237),
        (("candidates", "weight_kg", 0), "100 lb", 45.359237),
        (("candidates", "weight_kg", 0), "46 kg", 46.0),
        (("candidates", "charge_min_c", 1), 41.0, 5.0),
        (("sizing", "lift_kg", 0), 51.0, 23.13321087),
        (("sizing", "storage_c", 0), 68.0, 20.0),
        (("sizing", "storage_c", 0), "20 °C", 20.0),
        (("sun", "coldest_c", 0), -40.0, -40.0),
        (("months", "ambient_c", 6), 77.0, 25.0),
        (("recharge", "fuel_l_per_kwh", 0), 0.25, 0.946352946),
        (("recharge", "fuel_price", 0), 3.785411784, 1.0),
        (("recharge", "fuel_price", 0), "3.785411784", 1.0),
        (("recharge", "fuel_price", 0), "1.10/l", 1.1),
        (("array", "noct_c", 0), 46.0, 46.0),
    ],
)
def test_what_is_typed_is_turned_once(key: tuple[str, str, int], typed: float | str, kept: float) -> None:
    """A bare number is in the unit of its heading, as a number and as text; one with a unit is what it says."""
    part, field, record = key
    returned, findings = taken({key: typed})
    assert returned is not None, [finding.message for finding in findings.errors]
    found = getattr(returned.case, part)
    value = getattr(found[record] if isinstance(found, tuple) else found, field)
    assert value == pytest.approx(kept, rel=1e-14)


def test_what_is_beyond_its_bounds_is_told_as_it_was_typed() -> None:
    """A number that no case may hold is shown as it stands in the cell."""
    returned, findings = taken({("sizing", "lift_kg", 0): 200.0})
    assert returned is None
    (error,) = findings.errors
    assert (error.found, error.column) == ("200", "One person lifts at most")


def test_the_audit_tells_changes_in_the_units_of_the_client(tmp_path: Path) -> None:
    """What was and what is are told as they stand in the cells."""
    found = audit(edited(tmp_path, {("candidates", "weight_kg", 0): 100.0}), SAMPLES[1])
    (change,) = found.inputs
    assert change.now == 100
    assert change.was == pytest.approx(CASE.candidates[0].weight_kg / 0.45359237 if CASE.candidates[0].weight_kg else 0)


def test_other_units_count_when_the_workbook_is_built_anew(tmp_path: Path) -> None:
    """Headings and cells stay as they were written; the next workbook is in the units that were chosen."""
    path = edited(tmp_path, {("about", "units", 0): "metric", ("candidates", "weight_kg", 0): 100.0})
    case, _, slots = read_any(path)
    assert case is not None
    assert case.candidates[0].weight_kg == pytest.approx(45.359237, rel=1e-14)
    assert slots is not None
    assert not slots.us
    assert study(case, slots).slots == slots
