"""Sheets renamed and reordered, rows and columns put in, names and properties dropped: the inputs are found."""

import json
import random
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from holdover.case.schema import Case, Load
from holdover.findings import Findings, render
from holdover.returned.audit import audit, audit_file
from holdover.returned.compare import compare
from holdover.returned.read import Returned, read_returned, returned_of
from holdover.returned.shifts import GONE, Sightings, gaps, shift_of
from holdover.workbook.grid import letters, xl
from holdover.xlsx import Book, CellData, SheetData, read_xlsx
from returned.books import inserted, job, roomy, thin, trimmed, whole, with_cell, with_sheet, without_names

CASE = job(6)
SYSTEM_PYTHON = "/usr/bin/python3"
"""The Python that has the uno module; the package is python3-uno."""


def taken(book: Book) -> Returned:
    """A book as the reader takes it."""
    findings = Findings()
    returned = returned_of(book, "a.xlsx", findings)
    assert returned is not None, render(findings.errors)
    return returned


@pytest.fixture(scope="module")
def shipped() -> Book:
    """A small workbook as it is delivered."""
    return read_xlsx(whole(CASE), "a.xlsx")


def renamed(book: Book, was: str, now: str) -> Book:
    """The book with a sheet renamed, names and formulas following."""

    def followed(formula: str) -> str:
        return formula.replace(f"'{was}'!", f"'{now}'!").replace(f"{was}!", f"'{now}'!")

    def changed(data: SheetData) -> SheetData:
        rows = {
            r: {
                c: CellData(cell.value, followed(cell.formula), cell.kind) if was in cell.formula else cell
                for c, cell in line.items()
            }
            for r, line in data.rows.items()
        }
        return replace(data, name=now if data.name == was else data.name, rows=rows)

    names = {name: (now if on == was else on, area) for name, (on, area) in book.names.items()}
    return replace(book, sheets=tuple(map(changed, book.sheets)), names=names)


SHEETS = ("Load", "Candidates", "Assumptions", "Hours by load")


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_renamed_sheet_is_no_edit(shipped: Book, sheet: str) -> None:
    """The case is the same, the audit is clean, and the new name is remarked on."""
    found = audit(taken(renamed(shipped, sheet, "Of my own")), CASE)
    assert found.clean, found.text()
    assert f"the sheet {sheet} is now called Of my own" in found.remarks


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("row", [0, 3])
def test_rows_put_in_above_the_tables_are_no_edit(shipped: Book, sheet: str, row: int) -> None:
    """The case is the same and the audit is clean, wherever above the first table the rows went."""
    returned = taken(inserted(shipped, sheet, row, 3))
    assert returned.case == trimmed(CASE)
    found = compare(returned)
    assert (found.formulas, found.values) == ((), ())
    assert found.remarks == (f"rows were inserted or deleted on the sheet {sheet}",)


def test_rows_put_in_anywhere_are_seen_where_they_are(shipped: Book) -> None:
    """Six places drawn at random: the inputs stay the same, and no formula is held against anybody."""
    rng = random.Random(5)
    for _ in range(6):
        sheet = rng.choice(SHEETS)
        last = max(next(s for s in shipped.sheets if s.name == sheet).rows)
        book = inserted(shipped, sheet, rng.randrange(last), rng.randint(1, 3))
        returned = taken(book)
        found = compare(returned)
        assert [c for c in found.formulas if "row was put in" not in c.what] == []
        assert found.values == ()
        assert returned.counted.loads == trimmed(CASE).loads


def _typed(cell: CellData) -> Callable[[CellData | None], CellData]:
    """The change that puts a cell in the place of another."""
    return lambda _: cell


def test_a_row_put_into_the_inventory_is_read_and_told(shipped: Book) -> None:
    """Its load is in the case, the slots have grown, and a finding says that no formula counts it."""
    before = taken(shipped)
    spot = before.spots["loads", 2, "name"]
    book = inserted(shipped, "Load", spot.row)
    new: dict[str, str | float] = {"name": "New fan", "running_w": 55.0, "hours_per_day": 4.0}
    for name, value in new.items():
        col = before.spots["loads", 0, name].col
        kind: Any = "text" if isinstance(value, str) else "number"
        book = with_cell(book, "Load", spot.row, col, _typed(CellData(value, "", kind)))
    findings = Findings()
    returned = returned_of(book, "a.xlsx", findings)
    assert returned is not None
    loads = trimmed(CASE).loads
    assert returned.case.loads == (*loads[:2], Load(name="New fan", running_w=55, hours_per_day=4), *loads[2:])
    assert returned.counted.loads == loads
    assert returned.slots.loads == before.slots.loads + 1
    assert [f.row for f in findings.found if f.code == "W004"] == [spot.row + 1]
    assert [c.what for c in compare(returned).formulas] == ["a row was put in; no formula counts it"]


def test_what_is_typed_behind_the_last_line_is_told(shipped: Book) -> None:
    """A load below the table is not counted by anything: a finding says where it stands."""
    before = taken(shipped)
    last = max(spot.row for key, spot in before.spots.items() if key[0] == "loads")
    findings = Findings()
    returned_of(
        with_cell(shipped, "Load", last + 1, 0, lambda _: CellData("Stray lamp", "", "text")), "a.xlsx", findings
    )
    (found,) = [f for f in findings.found if f.code == "W005"]
    assert (found.cell, found.found) == (xl(last + 1, 0), "Stray lamp")


def test_sheets_in_another_order_and_one_more_are_no_edit(shipped: Book) -> None:
    """Sheets reversed, a sheet of notes added: clean, and remarked on."""
    notes = SheetData("My notes", False, {1: {1: CellData("Call back", "", "text")}}, frozenset(), ())
    findings = Findings()
    returned = returned_of(replace(shipped, sheets=(*shipped.sheets[::-1], notes)), "a.xlsx", findings)
    assert returned is not None
    found = audit(returned, CASE)
    assert found.clean
    assert set(found.remarks) == {"the sheets stand in another order"}
    assert [(f.code, f.sheet) for f in findings.found if f.code == "W008"] == [("W008", "My notes")]


def test_without_properties_the_names_tell_the_slots(shipped: Book) -> None:
    """A program that drops document properties loses nothing that is needed."""
    returned = taken(replace(shipped, properties={}))
    assert returned.slots == roomy(CASE)
    assert returned.case == trimmed(CASE)
    assert not returned.untouched


def test_without_names_the_headings_lead_to_the_inputs(shipped: Book) -> None:
    """All names dropped: every input is found by sheet, table and column titles, even on moved and renamed sheets."""
    book = inserted(renamed(shipped, "Load", "Inventory"), "Inventory", 1, 2)
    returned = taken(without_names(inserted(book, "Assumptions", 3, 1)))
    assert returned.case == trimmed(CASE)
    gone = {change.what for change in compare(returned).formulas}
    assert gone == {"the defined name is gone"}


def test_without_names_and_properties_it_is_refused_with_what_was_looked_for(shipped: Book) -> None:
    """Nothing says any more that the workbook is one of ours: the finding tells where the reader looked."""
    findings = Findings()
    assert returned_of(replace(without_names(shipped), properties={}), "a.xlsx", findings) is None
    (found,) = findings.errors
    assert found.code == "W002"
    assert "holdover_slots" in found.allowed


def test_a_form_that_is_gone_takes_its_usual_values(shipped: Book) -> None:
    """The sheet Vehicle deleted: a warning names it and says where the reader looked; the rest is read."""
    names = {key: area for key, area in shipped.names.items() if area[0] != "Vehicle"}
    book = replace(shipped, names=names, sheets=tuple(s for s in shipped.sheets if s.name != "Vehicle"))
    findings = Findings()
    returned = returned_of(book, "a.xlsx", findings)
    assert returned is not None
    assert returned.case.vehicle == Case().vehicle
    assert returned.case.loads == trimmed(CASE).loads
    assert {f.sheet for f in findings.found if f.code == "W003"} == {"Vehicle"}


def test_an_inventory_that_is_gone_is_an_error(shipped: Book) -> None:
    """Without the sheet Load there is no case."""
    names = {key: area for key, area in shipped.names.items() if area[0] != "Load"}
    book = replace(shipped, names=names, sheets=tuple(s for s in shipped.sheets if s.name != "Load"))
    findings = Findings()
    assert returned_of(book, "a.xlsx", findings) is None
    assert any(f.code == "W003" and "Load inventory" in f.message for f in findings.errors)


def test_a_name_that_strays_is_followed(shipped: Book) -> None:
    """Cells of one column pushed down: its name says where its inputs stand now, against the rest of the table."""
    before = taken(shipped)
    spot = before.spots["loads", 0, "running_w"]
    sheet, area = shipped.names["load_running_w"]
    first, last = (int(end.split("$")[2]) for end in area.split(":"))
    column = letters(spot.col)
    data = next(s for s in shipped.sheets if s.name == sheet)
    rows = {row: dict(line) for row, line in data.rows.items()}
    for row in range(last, first - 1, -1):
        rows.setdefault(row + 1, {})[spot.col + 1] = rows[row].pop(spot.col + 1, CellData(None, "", "blank"))
    book = with_sheet(shipped, sheet, lambda _: replace(data, rows=rows))
    names = {**shipped.names, "load_running_w": (sheet, f"${column}${first + 1}:${column}${last + 1}")}
    returned = taken(replace(book, names=names))
    assert returned.case.loads == trimmed(CASE).loads
    told = [change for change in compare(returned).formulas if change.label == "load_running_w"]
    assert [change.what for change in told] == ["the defined name means other cells"]


def test_the_thin_workbook_is_read_by_its_names(tmp_path: Path) -> None:
    """A workbook whose tables all stand elsewhere than they were delivered gives its case all the same."""
    file = tmp_path / "a.xlsx"
    file.write_bytes(thin(CASE, roomy(CASE)))
    returned, _ = read_returned(file)
    assert returned is not None
    assert returned.case == trimmed(CASE)


def office(jobs: Sequence[dict[str, Any]], folder: Path) -> None:
    """Edits inside LibreOffice."""
    told = folder / "jobs.json"
    told.write_text(json.dumps(jobs), encoding="utf-8")
    script = Path(__file__).with_name("office.py")
    subprocess.run([SYSTEM_PYTHON, str(script), str(folder / "profile"), str(told)], check=True, timeout=600)


def test_a_client_at_work_in_libreoffice_is_understood(tmp_path: Path) -> None:
    """Rows, columns and sheets moved and inputs typed in one sitting: each edit is told, and nothing else."""
    file, back = tmp_path / "a.xlsx", tmp_path / "b.xlsx"
    file.write_bytes(whole(CASE))
    before, _ = read_returned(file)
    assert before is not None
    row = before.spots["loads", 0, "name"].row
    unit = before.spots["candidates", 0, "name"]
    reserve = before.spots["sizing", 0, "reserve"].row
    steps = [
        ["rename", "Load", "What's on"],
        ["rows", "What's on", 0, 2],
        ["rows", "What's on", row + 4, 1],
        ["type", "What's on", f"A{row + 5}", "New fan"],
        ["type", "What's on", xl(row + 4, before.spots["loads", 0, "running_w"].col), 55],
        ["type", "What's on", xl(row + 4, before.spots["loads", 0, "hours_per_day"].col), 5],
        ["columns", "Candidates", unit.col, 1],
        ["move", "Answer", 5],
        ["add", "My notes", 2],
        ["rows", "Assumptions", reserve, 1],
        ["type", "Assumptions", xl(reserve + 1, 1), 0.21],
    ]
    office([{"from": str(file), "to": str(back), "steps": steps}], tmp_path)
    case, case_file = CASE, tmp_path / "c.xlsx"
    case_file.write_bytes(whole(case))
    found, findings = audit_file(back, case_file)
    assert found is not None, findings.errors
    told = {(change.label, change.now) for change in found.inputs}
    assert ("Reserve never planned on", 0.21) in told
    assert ("New fan, Load", "New fan") in told
    assert ("New fan, Running", 55.0) in told
    assert len(told) == 4
    assert {change.what for change in found.formulas} == {"a row was put in; no formula counts it"}
    assert found.values == ()
    assert len(found.remarks) == 5  # a sheet that was added is a finding of the reader


def test_the_longest_rising_line_drops_what_contradicts_it() -> None:
    """One sighting against many neighbours is not believed."""
    seen = Sightings()
    for was in range(10):
        seen.add(was, was + (2 if was > 4 else 0))
    seen.add(12, 3)
    assert seen.known() == {was: was + (2 if was > 4 else 0) for was in range(10)}
    assert gaps({0: 0, 4: 6, 5: 7}) == [(0, 4, 0, 2)]


def test_a_deleted_row_is_gone_and_the_rest_moves_up() -> None:
    """Between 3 and 7 one was deleted: the break says which."""
    shift = shift_of({3: 3, 7: 6}, 10, lambda _: 4)
    assert [shift.at(was) for was in range(3, 9)] == [3, 4, GONE, 5, 6, 7]
    assert not shift.unmoved
    assert shift_of({}, 4, lambda gap: gap[0]).unmoved
