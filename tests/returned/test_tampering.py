"""Whatever is done to a workbook is found and named; what programs do on their own is not held against anybody."""

import io
import random
import zipfile
from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from engines.cases import SAMPLES, sample
from engines.engines import gnumeric, libreoffice
from holdover.case.schema import Case
from holdover.findings import Findings
from holdover.model.study import Slots, study
from holdover.returned.audit import Audit, audit, audit_file, edited_since
from holdover.returned.compare import Compared, compare
from holdover.returned.outside import added_sheets, cells_outside
from holdover.returned.read import Returned, read_returned, returned_of
from holdover.returned.spelling import tokens
from holdover.workbook.grid import Cell, xl
from holdover.workbook.sheets.as_read import UNREAD
from holdover.xlsx import Book, CellData, read_xlsx
from returned.altered import Parts
from returned.books import job, roomy, shortened, whole, with_cell, with_sheet, without_names

CASE = shortened(job(4))


@cache
def written() -> bytes:
    """The file of a small workbook."""
    return whole(CASE)


@cache
def shipped() -> Book:
    """The workbook as it is delivered, read."""
    return read_xlsx(written(), "a.xlsx")


@cache
def cells() -> tuple[Cell, ...]:
    """Every cell of it that holds a formula or a standing figure."""
    returned = taken(shipped())
    worked_out = study(CASE, returned.shipped.slots)
    return tuple(
        cell for cell in returned.shipped.grid.cells(worked_out) if not cell.typed and cell.value not in ("", None)
    )


def taken(book: Book) -> Returned:
    """A book as the reader takes it."""
    findings = Findings()
    returned = returned_of(book, "a.xlsx", findings)
    assert returned is not None, findings.errors
    return returned


def compared(book: Book) -> Compared:
    """What the walk through a book finds."""
    return compare(taken(book))


def put(value: Any, kind: Any = "number", formula: str | None = None) -> Callable[[CellData | None], CellData | None]:
    """A change of a cell: a value typed over it, or its stored result alone where the formula stays."""

    def change(cell: CellData | None) -> CellData:
        kept = cell.formula if cell and formula is None else formula or ""
        return CellData(value, kept, kind)

    return change


def reworded(cell: CellData | None) -> CellData | None:
    """The formula with one token changed: a number, a sign, or the row of a cell it names."""
    assert cell is not None
    words = tokens(cell.formula)
    rng = random.Random(cell.formula)
    swaps = {"+": "-", "-": "+", "*": "/", "/": "*", ">": "<", "<": ">", "MAX": "MIN", "MIN": "MAX", "=": "<>"}
    places = [i for i, word in enumerate(words) if word in swaps or word.isdigit()]
    if not places:
        return cell._replace(worked_out=f"{cell.formula}+1")
    at = rng.choice(places)
    words[at] = swaps.get(words[at]) or str(int(words[at]) + 1)
    return cell._replace(worked_out="=" + "".join(words))


TAMPERINGS: dict[str, tuple[str, Callable[[CellData | None], CellData | None]]] = {
    "a number over a formula": ("overwritten by a value", put(900.0, formula="")),
    "a word over a formula": ("overwritten by a value", put("OK!", "text", formula="")),
    "a formula reworded": ("the formula was altered", reworded),
    "a formula replaced": ("the formula was altered", put(1.0, formula="=1+0")),
    "a formula with its cells lost": ("a cell it names was deleted", put(1.0, formula="=#REF!+1")),
    "a formula cleared": ("the formula is missing", lambda _: None),
    "another result": ("", put(-999.25)),
    "an error for a result": ("", put("#VALUE!", "error")),
    "a word for a result": ("", put("nonsense", "text")),
}
"""By what is done: what is said of it, and the change of the cell."""
CONSTANTS: dict[str, Callable[[CellData | None], CellData | None]] = {
    "typed over": put(77.5),
    "cleared": lambda _: None,
}


def places_of(found: Compared) -> set[tuple[str, str, str]]:
    """What was found: said of it, sheet and cell."""
    return {(change.what, change.sheet, change.cell) for change in (*found.formulas, *found.values)}


def test_a_delivered_workbook_is_clean() -> None:
    """Nothing is found where nothing was done, and there was much to look at."""
    found = compared(shipped())
    assert places_of(found) == set()
    assert found.numbers > 5_000  # the case is drawn: of late it has one candidate
    assert found.unstored == 0
    assert found.remarks == ()


@pytest.mark.parametrize("kind", TAMPERINGS)
def test_tampering_with_a_formula_is_named(kind: str) -> None:
    """Twelve formula cells, drawn at random and changed in one way: these are found, and no other."""
    said, change = TAMPERINGS[kind]
    told = [cell for cell in cells() if cell.formula and (said or cell.column.name != UNREAD)]  # those the reader tells
    drawn = random.Random(kind).sample(told, 12)
    book = shipped()
    for cell in drawn:
        book = with_cell(book, cell.sheet, cell.row, cell.col, change)
    assert places_of(compared(book)) == {(said, cell.sheet, xl(cell.row, cell.col)) for cell in drawn}


@pytest.mark.parametrize("kind", CONSTANTS)
def test_a_standing_figure_that_was_changed_is_named(kind: str) -> None:
    """Usual values, hours and numbers of rows have no formula, and count all the same."""
    drawn = random.Random(kind).sample([cell for cell in cells() if not cell.formula], 12)
    book = shipped()
    for cell in drawn:
        book = with_cell(book, cell.sheet, cell.row, cell.col, CONSTANTS[kind])
    said = "a standing figure was changed"
    assert places_of(compared(book)) == {(said, cell.sheet, xl(cell.row, cell.col)) for cell in drawn}


def test_an_input_that_was_typed_over_is_named() -> None:
    """Sheet, cell, label, what stood there and what stands there; the results are stale."""
    spot = taken(shipped()).spots["sizing", 0, "reserve"]
    book = with_cell(shipped(), "Assumptions", spot.row, spot.col, put(0.31))
    found = audit(taken(book), CASE)
    (change,) = found.inputs
    assert (change.sheet, change.cell) == ("Assumptions", xl(spot.row, spot.col))
    assert (change.label, change.now) == ("Reserve never planned on", 0.31)
    assert found.stale
    assert not found.clean
    assert "did not recalculate" in found.text()


def test_a_start_that_can_not_be_true_is_worth_a_look() -> None:
    """A slip of kilowatts, 2 for 2 kW, is a change like any other, and is told as one that can't be true."""
    spots, record = taken(shipped()).spots, next(n for n, load in enumerate(CASE.loads) if load.name)
    running, starting = (spots["loads", record, name] for name in ("running_w", "starting_w"))
    book = with_cell(shipped(), "Load", running.row, running.col, put(2))
    book = with_cell(book, "Load", starting.row, starting.col, put(4400))
    (remark,) = audit(taken(book), CASE).remarks
    assert remark.startswith(f"worth a look: Load {starting.cell}: ")
    assert "4400 W at start, 2 W running" in remark


def test_a_workbook_of_another_version_is_told_as_such() -> None:
    """Other versions write other formulas: before anybody is suspected, the audit says so."""
    book = replace(shipped(), properties={**shipped().properties, "holdover_version": "0.0.1"})
    (remark,) = audit(taken(book), CASE).remarks
    assert "written by holdover 0.0.1" in remark


def test_without_the_case_inputs_are_not_judged() -> None:
    """An audit without --against says so, and still holds formulas and numbers."""
    found = audit(taken(shipped()), None)
    assert found.clean
    assert "--against" in found.text()
    assert found.as_dict()["counts"]["inputs"] == 0


def test_a_name_that_means_other_cells_is_named() -> None:
    """A defined name that is moved by a row changes every sum that uses it."""
    sheet, area = shipped().names["switch_energy_wh"]
    first, last = (int(end.split("$")[2]) for end in area.split(":"))
    moved = area.replace(f"${first}:", f"${first + 1}:").removesuffix(str(last)) + str(last + 1)
    names = {**shipped().names, "switch_energy_wh": (sheet, moved)}
    (change,) = compared(replace(shipped(), names=names)).formulas
    assert (change.what, change.label) == ("the defined name means other cells", "switch_energy_wh")


def test_a_name_that_is_gone_is_named() -> None:
    """A formula that uses it will show an error when it is next computed."""
    (change,) = compared(without_names(shipped(), "switch_energy_wh")).formulas
    assert (change.what, change.label) == ("the defined name is gone", "switch_energy_wh")


@pytest.mark.parametrize("name", ["Sun by hour", "Daily energy", "Comparison", "Lists"])
def test_a_sheet_that_is_gone_is_named(name: str) -> None:
    """One line says which sheet is gone; its cells are not told one by one."""
    names = {key: area for key, area in shipped().names.items() if area[0] != name}
    book = replace(shipped(), names=names, sheets=tuple(s for s in shipped().sheets if s.name != name))
    found = [change for change in compared(book).formulas if change.what == "the sheet is gone"]
    assert [change.sheet for change in found] == [name]


def test_results_that_were_not_stored_are_counted() -> None:
    """A program that doesn't calculate leaves no results: nothing differs, and it is said."""
    bare = shipped()
    for sheet in bare.sheets:
        rows = {
            row: {c: cell._replace(value=None, kind="blank") if cell.formula else cell for c, cell in line.items()}
            for row, line in sheet.rows.items()
        }
        bare = with_sheet(bare, sheet.name, partial(replace, rows=rows))
    found = audit(taken(bare), CASE)
    assert not (found.inputs or found.formulas or found.values)
    assert not found.clean
    assert found.unstored > 5_000
    assert "No result could be checked: a program that does not name itself stored none" in found.text()
    assert "what the model computes" not in found.text()
    assert (found.as_dict()["clean"], found.as_dict()["counts"]["numbers"]) == (False, 0)


def test_some_results_that_were_not_stored_are_counted() -> None:
    """Others were checked, and these are told by their number: the audit is not clean."""
    drawn = random.Random("unstored").sample([cell for cell in cells() if cell.formula], 12)
    book = shipped()
    for cell in drawn:
        book = with_cell(book, cell.sheet, cell.row, cell.col, put(None, "blank"))
    found = audit(taken(book), CASE)
    assert (found.clean, found.unstored) == (False, 12)
    assert "12 formulas have no stored result" in found.text()


def typed_into(file: Path, sheet: str, row: int, col: int, value: str | float) -> Path:
    """The file with a cell, from 0, typed over."""
    parts = Parts(file.read_bytes())
    parts.type_in(sheet, row, col, value)
    file.write_bytes(parts.packed())
    return file


def spot_of(part: str, record: int, name: str) -> tuple[str, int, int]:
    """Sheet, row and column of an input."""
    returned = taken(shipped())
    spot = returned.spots[part, record, name]
    return spot.home, spot.row, spot.col


def uncounted(tmp_path: Path) -> dict[str, Path]:
    """By code of its finding, a workbook in which something was typed that no formula counts."""
    sheet, row, col = spot_of("loads", roomy(CASE).loads - 1, "name")
    files = {code: tmp_path / f"{code}.xlsx" for code in ("W005", "W006")}
    for file in files.values():
        file.write_bytes(written())
    typed_into(files["W005"], sheet, row + 1, col, "Stray lamp")
    sheet, row, col = spot_of("loads", 0, "running_w")
    typed_into(files["W006"], sheet, row, col, f"{CASE.loads[0].running_w:.12g} W")
    return files


def test_what_no_formula_counts_is_not_clean(tmp_path: Path) -> None:
    """A line below the table, a number typed as text: found when the file is read, and the audit knows of it."""
    for code, file in uncounted(tmp_path).items():
        found, findings = audit_file(file, None)
        assert isinstance(found, Audit)
        assert [f.level for f in findings.found if f.code == code] == ["warning"]
        assert (found.uncounted, found.as_dict()["counts"]["uncounted"]) == (1, 1)
        assert not found.clean
    assert not audit(taken(shipped()), CASE, uncounted=1).clean
    assert audit(taken(shipped()), CASE).clean


def test_findings_of_the_case_are_told_with_those_of_the_workbook(tmp_path: Path) -> None:
    """What the adviser has to say of the case that it is held against stands among the findings."""
    (tmp_path / "a.xlsx").write_bytes(written())
    (tmp_path / "case.toml").write_text("", encoding="utf-8")
    found, findings = audit_file(tmp_path / "a.xlsx", tmp_path)
    assert isinstance(found, Audit)
    alone = {finding.code for finding in audit_file(tmp_path / "a.xlsx", None)[1].found}
    assert "A014" not in alone
    assert "A014" in {finding.code for finding in findings.found}


def test_the_audit_says_how_the_verdict_moved() -> None:
    """The headline of the case beside that of the workbook."""
    case = sample(SAMPLES[0])
    returned = taken(read_xlsx(whole(case), "a.xlsx"))
    spot = returned.spots["loads", 0, "running_w"]
    book = with_cell(returned.book, "Load", spot.row, spot.col, put(45_000.0))
    found = audit(taken(book), case)
    assert found.before != found.after
    assert "None of the" in found.after
    assert found.before in found.text()


def saved_by_openpyxl(file: Path, folder: Path) -> Path:
    """The file as openpyxl saves it: without results, charts and some of the rest."""
    book = openpyxl.load_workbook(file)
    target = folder / "openpyxl.xlsx"
    book.save(target)
    return target


def saved_by_libreoffice(file: Path, folder: Path) -> Path:
    """The file as LibreOffice saves it."""
    return libreoffice([file], folder)[0]


def saved_as_ods_and_back(file: Path, folder: Path) -> Path:
    """The file as LibreOffice saves it in its own format, and that again as a workbook."""
    (folder / "one").mkdir()
    (folder / "two").mkdir()
    return libreoffice(libreoffice([file], folder / "one", "ods"), folder / "two")[0]


PROGRAMS: dict[str, Callable[[Path, Path], Path]] = {
    "LibreOffice": saved_by_libreoffice,
    "LibreOffice by way of ods": saved_as_ods_and_back,
    "Gnumeric": gnumeric,
    "openpyxl": saved_by_openpyxl,
}


@pytest.mark.parametrize("program", PROGRAMS)
def test_saving_in_a_program_is_no_edit(program: str, tmp_path: Path) -> None:
    """Opened and saved without an edit, a workbook audits clean, whatever the program made of its formulas' text."""
    case = sample(SAMPLES[1])
    file = tmp_path / "a.xlsx"
    file.write_bytes(whole(case, replace(roomy(case), days=2)))  # the same formulas in fewer hours
    saved = PROGRAMS[program](file, tmp_path)
    found, findings = audit_file(saved, SAMPLES[1])
    assert isinstance(found, Audit), findings.errors
    assert not (found.inputs or found.formulas or found.values), found.text()
    assert not (found.words or found.guards), found.text()
    assert found.clean == (program != "openpyxl")
    assert edited_since(saved) == ""
    assert found.numbers + found.unstored > 15_000
    assert (found.unstored > 0) == (program == "openpyxl")


def test_a_workbook_that_was_edited_is_not_written_over(tmp_path: Path) -> None:
    """edited_since tells an untouched workbook from one with edits, and from one that is no workbook of ours."""
    file = tmp_path / "a.xlsx"
    file.write_bytes(written())
    assert edited_since(file) == ""
    book = openpyxl.load_workbook(file)
    spot = taken(shipped()).spots["sizing", 0, "reserve"]
    book["Assumptions"].cell(spot.row + 1, spot.col + 1).value = 0.4
    book.save(file)
    assert edited_since(file) == "inputs"
    book["Daily energy"]["C30"] = 1
    book.save(file)
    assert edited_since(file) == "inputs and formulas"
    openpyxl.Workbook().save(file)
    assert "can't be read" in edited_since(file)


def test_a_seal_is_broken_by_any_change_of_a_part(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was never saved since is known by its seal, unread; a byte of a part, or a part more, and it is read."""
    read: list[Path] = []

    def noted(path: Path, *, partly: bool = False) -> tuple[Returned | None, Findings]:
        read.append(path)
        return read_returned(path, partly=partly)

    monkeypatch.setattr("holdover.returned.audit.read_returned", noted)
    file = tmp_path / "a.xlsx"
    data = written()
    file.write_bytes(data)
    assert edited_since(file) == ""
    assert read == []
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    for name, old, new in (
        ("xl/worksheets/sheet4.xml", b"</sheetData>", b"</sheetData >"),
        ("xl/sharedStrings.xml", b"</t>", b" </t>"),
        ("xl/styles.xml", b"Arial", b"Ariel"),
        ("xl/workbook.xml", b"</workbook>", b"</workbook >"),
    ):
        assert old in parts[name]
        with zipfile.ZipFile(file, "w") as archive:
            for part, text in parts.items():
                archive.writestr(part, text.replace(old, new, 1) if part == name else text)
        edited_since(file)
        assert read.pop() == file, name
    with zipfile.ZipFile(file, "w") as archive:
        for part, text in ({"xl/more.xml": b"<more/>"} | parts).items():
            archive.writestr(part, text)
    edited_since(file)
    assert read == [file]


def test_a_row_typed_below_a_table_is_not_written_over(tmp_path: Path) -> None:
    """No formula counts it, and somebody typed it: right below the table, and further away."""
    sheet, row, col = spot_of("loads", roomy(CASE).loads - 1, "name")
    for below in (1, 4):
        (tmp_path / "a.xlsx").write_bytes(written())
        file = typed_into(tmp_path / "a.xlsx", sheet, row + below, col, "Stray lamp")
        assert edited_since(file) == "cells outside of the tables"


def test_a_note_beside_a_table_is_not_written_over(tmp_path: Path) -> None:
    """Beside what was written, on any sheet, and between the groups of the data sheets."""
    returned = taken(shipped())
    for sheet in ("Load", "Answer", "Candidates", "Assumptions"):
        (tmp_path / "a.xlsx").write_bytes(written())
        wide = max(max(row) for each in returned.book.sheets if each.name == sheet for row in each.rows.values() if row)
        file = typed_into(tmp_path / "a.xlsx", sheet, 8, wide + 2, "ask Ann")
        assert edited_since(file) == "cells outside of the tables", sheet
        # What `build` would refuse to write over, the audit has named.
        _, findings = audit_file(file, None)
        assert [(f.sheet, f.cell) for f in findings.found if f.code == "W005"] == [(sheet, xl(8, wide + 2))]
    (tmp_path / "a.xlsx").write_bytes(written())
    sheet, row, col = spot_of("candidates", 0, "storage_wh")
    assert edited_since(typed_into(tmp_path / "a.xlsx", sheet, row - 1, col, 5)) == "cells outside of the tables"


@pytest.mark.parametrize("slots", [(1, 1), (2, 1), (3, 9), (30, 8)])
def test_nothing_stands_outside_of_a_delivered_workbook(slots: tuple[int, int]) -> None:
    """Of whatever size: every word, heading, note and cell of it is known, or `build` would ask for --force."""
    for case in (Case(), job(sum(slots)).model_copy(update={"loads": (), "candidates": ()})):
        returned = taken(read_xlsx(whole(case, Slots(loads=slots[0], candidates=slots[1])), "a.xlsx"))
        for page in returned.shipped.pages:
            assert cells_outside(returned.grid, page, returned.book) == {}
        assert list(added_sheets(returned.grid, returned.book)) == []


def test_a_number_typed_as_text_is_not_written_over(tmp_path: Path) -> None:
    """It is read as the number that stood there, but it is not what was written."""
    assert edited_since(uncounted(tmp_path)["W006"]) == "inputs"


def test_a_sheet_that_was_added_is_not_written_over(tmp_path: Path) -> None:
    """Not while something stands on it."""
    file = tmp_path / "a.xlsx"
    file.write_bytes(written())
    book = openpyxl.load_workbook(file)
    notes = book.create_sheet("My notes")
    book.save(file)
    assert edited_since(file) == ""
    notes["B2"] = "Call the client"
    book.save(file)
    assert edited_since(file) == "sheets"
    sheet, row, col = spot_of("sizing", 0, "reserve")
    typed_into(file, sheet, row, col, 0.4)
    typed_into(file, sheet, row, col + 20, "why?")
    assert edited_since(file) == "inputs, cells outside of the tables and sheets"
