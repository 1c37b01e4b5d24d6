"""What is typed into the yellow cells is taken as the workbook takes it, or a finding says where and why not."""

from typing import Any

import pytest

from holdover.case.schema import Candidate, Case, Load, Sizing
from holdover.findings import Finding, Findings, where
from holdover.model.study import Slots, study
from holdover.returned.found import shipped
from holdover.returned.read import Returned, case_from, returned_of
from holdover.workbook.grid import xl
from holdover.xlsx import Book, CellData, read_xlsx
from returned.books import job, roomy, thin, trimmed, with_cell

CASE = Case(
    loads=(Load(name="Fridge", running_w=110, starting_w=640, duty=0.35, hours_per_day=24), Load(name="TV", running_w=80, hours_per_day=3)),
    candidates=(Candidate(name="Unit A", storage_wh=2050, continuous_w=1900, surge_w=3900, ac_volts=120),),
    sizing=Sizing(reserve=0.15, starting="together"),
)  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Book:
    """A workbook of the case's inputs."""
    return read_xlsx(thin(CASE, roomy(CASE)), "back.xlsx")


def read(book: Book) -> tuple[Returned | None, list[Finding]]:
    """What the reader makes of a book, and what it says; remarks of the adviser apart.

    So are cells outside of what was delivered: titles in a workbook of nothing but inputs stand where they do not else.
    """
    findings = Findings()
    returned = returned_of(book, "back.xlsx", findings)
    return returned, [finding for finding in findings.found if finding.code[0] != "A" and finding.code != "W005"]


def typed(book: Book, part: str, record: int, field: str, cell: CellData | None) -> tuple[Book, str, str]:
    """The book with an input typed over; the sheet and the name of its cell."""
    returned, _ = read(book)
    assert returned is not None
    spot = returned.spots[part, record, field]
    sheet = returned.grid.sheets[spot.home]
    return with_cell(book, sheet, spot.row, spot.col, lambda _: cell), sheet, xl(spot.row, spot.col)


def number(value: float, formula: str = "") -> CellData:
    """A number as a sheet keeps it."""
    return CellData(value, formula, "number")


def words(text: str) -> CellData:
    """A text as a sheet keeps it."""
    return CellData(text, "", "text")


TAKEN: dict[str, tuple[str, int, str, CellData, Any]] = {
    "a number": ("loads", 0, "running_w", number(125.5), 125.5),
    "sixteen digits": ("loads", 0, "duty", number(0.1 + 0.2), 0.3),
    "a formula": ("loads", 1, "hours_per_day", number(6.0, "=2*3"), 6.0),
    "a choice in another case": ("loads", 0, "tier", words("CRITICAL"), "critical"),
    "a choice of a form": ("sizing", 0, "starting", words("One at a Time"), "one at a time"),
    "a number as a name": ("loads", 0, "name", number(12.0), "12"),
    "a name like a formula": ("loads", 0, "name", words("=SUM(A1)"), "=SUM(A1)"),
    "a name with a break in it": ("loads", 0, "name", words(" Fridge\nnew "), "Fridge new"),
    "a time of day": ("loads", 0, "starts_at", CellData(0.75, "", "date"), 18.0),
    "a whole number": ("loads", 0, "quantity", number(3.0), 3),
    "a nameplate voltage": ("candidates", 0, "ac_volts", number(115.0), 115.0),
}


@pytest.mark.parametrize("what", TAKEN)
def test_what_is_typed_is_taken(book: Book, what: str) -> None:
    """Numbers exactly, choices whatever their case, formulas by their last result, texts made safe."""
    part, record, field, cell, value = TAKEN[what]
    changed, *_ = typed(book, part, record, field, cell)
    returned, _ = read(changed)
    assert returned is not None
    rows = getattr(returned.case, part)
    found = getattr(rows if part == "sizing" else rows[record], field)
    assert found == value
    assert type(found) is type(value)


WORDED = {
    "kilowatts": ("loads", 0, "running_w", "1.5 kW", 1500.0),
    "a bare number": ("loads", 0, "running_w", "120", 120.0),
    "a percentage": ("loads", 0, "duty", "35 %", 0.35),
    "an energy label": ("loads", 0, "measured_wh_per_day", "365 kWh/yr", 1000.0),
    "a share of a form": ("sizing", 0, "reserve", "12 %", 0.12),
    "pounds": ("candidates", 0, "weight_kg", "100 lb", 45.359237),
}


@pytest.mark.parametrize("what", WORDED)
def test_a_quantity_typed_as_text_is_read_and_told(book: Book, what: str) -> None:
    """`1.5 kW` is taken as in a survey; a warning says that the workbook's own formulas can't count with it."""
    part, record, field, text, value = WORDED[what]
    changed, sheet, cell = typed(book, part, record, field, words(text))
    returned, told = read(changed)
    assert returned is not None
    rows = getattr(returned.case, part)
    assert getattr(rows if part == "sizing" else rows[record], field) == pytest.approx(value, rel=1e-14)
    assert [(f.sheet, f.cell, f.found) for f in told if f.code == "W006"] == [(sheet, cell, text)]


REFUSED: dict[str, tuple[str, int, str, CellData, str]] = {
    "too much": ("loads", 0, "running_w", number(60_000.0), "Q002"),
    "too little": ("sizing", 0, "reserve", number(-0.1), "Q002"),
    "hours beyond a day": ("loads", 0, "hours_per_day", number(25.0), "Q002"),
    "two of three phases": ("candidates", 0, "ac_volts", number(400.0), "Q001"),
    "a phase beside two of three": ("candidates", 0, "ac_volts_2", number(208.0), "Q001"),
    "volts of no output": ("candidates", 0, "ac_volts", number(1000.0), "Q002"),
    "half a piece": ("loads", 0, "quantity", number(1.5), "Q008"),
    "another word": ("loads", 0, "tier", words("must have"), "Q007"),
    "a word for watts": ("loads", 0, "running_w", words("a lot"), "Q001"),
    "watts in hours": ("loads", 0, "hours_per_day", words("90 W"), "Q006"),
    "an error": ("loads", 0, "running_w", CellData("#REF!", "=#REF!", "error"), "X005"),
    "an error for a choice": ("loads", 0, "tier", CellData("#N/A", "=NA()", "error"), "X005"),
    "a date": ("loads", 0, "running_w", CellData(45_000.0, "", "date"), "X006"),
    "yes": ("loads", 0, "running_w", CellData(True, "", "bool"), "Q009"),
    "a formula that was not computed": ("loads", 0, "running_w", CellData(None, "=1+1", "blank"), "X004"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_can_not_be_taken_is_told_with_its_place(book: Book, what: str) -> None:
    """An error names file, sheet, cell and label, what was found, and what to do."""
    part, record, field, value, code = REFUSED[what]
    changed, sheet, cell = typed(book, part, record, field, value)
    returned, told = read(changed)
    assert returned is None
    (error,) = [finding for finding in told if finding.level == "error"]
    assert (error.code, error.file, error.sheet, error.cell) == (code, "back.xlsx", sheet, cell)
    assert error.column
    assert error.remedy
    assert error.found or code == "X004"


def test_an_unknown_tier_is_answered_with_all_of_them(book: Book) -> None:
    """No tier is preferred to another: each is offered with what it means."""
    changed, *_ = typed(book, "loads", 0, "tier", words("low"))
    _, told = read(changed)
    (error,) = [f for f in told if f.code == "Q007"]
    assert error.remedy == "choose critical (never shed), essential (shed last) or convenience (shed first)"


def test_a_misspelt_tier_is_answered_with_the_one_it_is_most_like(book: Book) -> None:
    """A word that is nearly a choice is no choice, but which one may be meant is asked."""
    changed, *_ = typed(book, "loads", 0, "tier", words("essentail"))
    _, told = read(changed)
    (error,) = [f for f in told if f.code == "Q007"]
    assert error.remedy == "did you mean essential?"


def test_a_cleared_setting_is_as_usual_again(book: Book) -> None:
    """A blank yellow cell of a form is not set; the usual value counts."""
    changed, *_ = typed(book, "sizing", 0, "reserve", None)
    returned, _ = read(changed)
    assert returned is not None
    assert returned.case.sizing == Sizing(starting="together")
    assert returned.case.sizing.model_fields_set == {"starting"}


def test_a_cleared_line_keeps_its_place(book: Book) -> None:
    """A blank line between others is a blank record; at the end it is none."""
    for field in ("name", "running_w", "starting_w", "duty", "hours_per_day"):
        book, *_ = typed(book, "loads", 0, field, None)
    returned, _ = read(book)
    assert returned is not None
    assert returned.case.loads == (Load(), CASE.loads[1])


def test_points_out_of_order_are_warned_about(book: Book) -> None:
    """The workbook takes the nearest points whatever their order; a case file would refuse them, so it is told."""
    changed, *_ = typed(book, "points", 0, "temperature_c", number(30.0))
    returned, told = read(changed)
    assert returned is not None
    assert [(f.code, f.level) for f in told] == [("T008", "warning")]


def test_a_line_that_lacks_something_is_warned_about(book: Book) -> None:
    """A load without watts counts as 0 in the workbook, and is told."""
    changed, *_ = typed(book, "loads", 1, "running_w", None)
    returned, told = read(changed)
    assert returned is not None
    assert [(f.code, f.level, f.item) for f in told] == [("R001", "warning", "TV")]


@pytest.mark.parametrize("seed", range(20))
def test_a_case_is_read_from_any_grid(seed: int) -> None:
    """case_from reads what stands in a grid by its declarations alone, from whatever gives the values of cells."""
    case = job(seed)
    slots = Slots(loads=9, candidates=5)
    written = shipped(slots)
    values = {
        (cell.sheet, cell.row, cell.col): cell.value
        for cell in written.grid.cells(study(case, slots))
        if cell.typed and not isinstance(cell.value, bool)
    }
    assert case_from(written.grid, written.grid.tables.values(), lambda *at: values.get(at)) == trimmed(case)


def test_a_grid_with_an_impossible_input_is_refused() -> None:
    """case_from raises where an input is none."""
    written = shipped(Slots(loads=2, candidates=1))
    row, col = written.grid.at(written.grid.tables["load"], "running_w", 0)
    with pytest.raises(ValueError, match="Q002"):
        case_from(written.grid, written.grid.tables.values(), lambda *at: -5.0 if at == ("Load", row, col) else None)


def test_a_candidate_is_told_by_its_column(book: Book) -> None:
    """Candidates stand side by side: a finding about one names the cell of its name, not a row that they all share."""
    other, sheet, cell = typed(book, "candidates", 0, "storage_wh", None)
    returned, told = read(other)
    assert returned is not None
    name = returned.spots["candidates", 0, "name"]
    (missing,) = [f for f in told if f.code == "R001"]
    assert (missing.sheet, missing.cell, missing.row, missing.item) == (sheet, xl(name.row, name.col), None, "Unit A")
    assert where(missing) == f'back.xlsx, sheet {sheet}, cell {xl(name.row, name.col)} ("Unit A")'
    assert cell[0] == missing.cell[0]
    wrong, _, cell = typed(book, "candidates", 0, "storage_wh", words("lots"))
    (error,) = [f for f in read(wrong)[1] if f.level == "error"]
    assert error.cell == cell


CLOCKS = [
    *(("outage", name) for name in ("starts_at", "reading_1", "reading_2", "reading_3", "reading_4")),
    *(("outage", name) for name in ("generator_from", "mains_from")),
    ("sun", "solar_noon_at"),
    ("loads", "starts_at"),
]


@pytest.mark.parametrize("kind", ["number", "date"])
@pytest.mark.parametrize(("part", "field"), CLOCKS)
def test_a_one_in_a_clock_cell_is_asked_about(part: str, field: str, kind: Any, book: Book) -> None:
    """24:00 and 1 are the same to a cell: neither is taken for one in the morning, and the finding names the cell."""
    changed, sheet, cell = typed(book, part, 0, field, CellData(1.0, "", kind))
    (error,) = [finding for finding in read(changed)[1] if finding.level == "error"]
    assert (error.code, error.sheet, error.cell) == ("Q029", sheet, cell)
    assert "24:00" in error.message
    assert "0:00" in error.remedy


@pytest.mark.parametrize(
    ("part", "field", "text", "setting", "code"),
    [
        ("candidates", "price", "€3999", ("about", "currency"), "Q013"),
        ("candidates", "pack_price", "£99", ("about", "currency"), "Q013"),
        ("candidates", "ac_volts", "220 V", ("sizing", "feed"), "Q018"),
    ],
)
def test_what_a_setting_would_answer_names_its_cell(
    part: str, field: str, text: str, setting: tuple[str, str], code: str, book: Book
) -> None:
    """In a workbook there is no [about] and no [sizing]: the remedy leads to the sheet and the cell."""
    changed, _, cell = typed(book, part, 0, field, words(text))
    found = [finding for finding in read(changed)[1] if finding.code == code and finding.cell == cell]
    returned, _ = read(book)
    assert returned is not None
    spot = returned.spots[setting[0], 0, setting[1]]
    assert f"{returned.grid.sheets[spot.home]} {spot.cell}" in found[0].remedy
    assert "[" not in found[0].remedy
