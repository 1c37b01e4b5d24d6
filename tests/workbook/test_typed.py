"""How a typed cell is read: the formula and its Python twin agree, and a clock hour is a time or hours."""

import pytest

from engines.cases import CORNERS, small
from engines.engines import Formualizer, Value
from engines.test_edits import typed_cells
from engines.walk import cells_of
from holdover.case.schema import Load, Outage, Sun
from holdover.workbook.book import build
from holdover.workbook.style import is_free_text
from holdover.workbook.typed import clock_hour, instead_of, read, stored

HALF_PAST_NINE = 21.5 / 24
STARTS = Load.model_fields["starts_at"]
BEGINS = Outage.model_fields["starts_at"]


@pytest.mark.parametrize(
    ("typed", "hour"),
    [
        (HALF_PAST_NINE, 21.5),  # 21:30
        (21.5, 21.5),
        (21, 21.0),
        (0, 0.0),
        (24, 0.0),
        (1 / 24, 1.0),  # 1:00
        (1, ""),  # one in the morning, or 24:00: nobody can tell
        (0.5, 12.0),  # 12:00
        (24.5, ""),
        (-0.5, ""),
        ("21:30", ""),
        (True, ""),
    ],
)
def test_a_clock_hour_is_typed_as_a_time_or_in_hours(typed: object, hour: Value) -> None:
    """Below 1 a cell holds a time of day, from 1 on hours; exactly 1 may be either and is asked about."""
    assert read(STARTS, typed) == hour


def test_a_whole_clock_hour_takes_no_minutes() -> None:
    """The outage begins on the full hour."""
    assert (read(BEGINS, 18 / 24), read(BEGINS, HALF_PAST_NINE), read(BEGINS, 18.5)) == (18, "", "")


def test_every_minute_comes_back_from_its_cell() -> None:
    """What a case says of minutes is what a returned workbook gives: cells keep 15 digits."""
    for minute in range(24 * 60):
        cell = stored(STARTS, minute / 60)
        assert isinstance(cell, float)
        assert clock_hour(float(f"{cell:.15g}")) == float(f"{minute / 60:.15g}")


def test_choices_are_taken_in_any_case_and_numbers_within_their_bounds() -> None:
    """A tier with a blank behind it is that tier; a share of 91 is none, nor is a count of 2.5."""
    fields = Load.model_fields
    assert read(fields["tier"], " CRITICAL ") == "critical"
    assert read(fields["tier"], "high") == ""
    assert read(fields["duty"], 91.0) == ""
    assert read(fields["duty"], 0.91) == 0.91
    assert read(fields["quantity"], 2.5) == ""
    assert read(fields["name"], "  Fridge  A ") == "Fridge A"
    assert read(Sun.model_fields["latitude_deg"], "44.2 N") == ""


def test_a_setting_that_cant_be_read_says_what_counts_instead() -> None:
    """30 days are more than a plan may have: the 2 usual ones count, and the notice says so; a load has nothing usual."""
    fields = Outage.model_fields
    assert [instead_of(fields[name]) for name in ("days", "starts_at", "start_share", "promise", "packs")] == [
        "2", "18:00", "100 %", "critical and essential", "",
    ]  # fmt: skip
    assert instead_of(Load.model_fields["running_w"]) == ""


TYPED: tuple[Value, ...] = (HALF_PAST_NINE, 21.5, 21.0, 24.0, 1.0, 0.0, 0.999, 24.5, -1.0, "21:30", " ", "critical ")


def test_the_formula_reads_what_python_reads() -> None:
    """In every field of the inventory, of the outage and of the sun, value by value."""
    case = CORNERS["one of each"]
    short = case.outage.model_copy(update={"days": 1})  # how long an outage lasts makes no cell read otherwise
    worked_out = small(case.model_copy(update={"outage": short}))
    engine = Formualizer(build(worked_out, version="test"))
    cells = [c for c in typed_cells(worked_out) if c.table.name in ("load", "outage", "sun") and c.record == 0]
    reading = {
        (cell.table.reads, cell.column.name, cell.record): (cell.sheet, cell.row, cell.col)
        for cell in cells_of(worked_out)
        if cell.table.reads
    }
    compared = 0
    for value in TYPED:
        for cell in cells:
            engine.edit(cell.sheet, cell.row, cell.col, value)
        engine.recalculate()
        for cell in cells:
            spot = reading.get((cell.table.name, cell.column.name, 0))
            if spot is None:
                continue  # a remark, which no formula reads
            if is_free_text(cell.column) and isinstance(value, float):
                continue  # how many digits of a number become text differs by program
            assert cell.column.field is not None
            want = read(cell.column.field, value)
            got = engine(*spot)
            same = got == want if isinstance(want, str) else got == pytest.approx(want, abs=1e-9)
            assert same, (str(cell), value, got, want)
            compared += 1
    assert compared > 400
