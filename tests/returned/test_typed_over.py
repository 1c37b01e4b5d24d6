"""What counts as blank though it was typed, and formulas that were typed over, are told before a new workbook is built."""

import io
import random
from collections.abc import Callable
from pathlib import Path

import openpyxl

from holdover.model.study import study
from holdover.returned.audit import Audit, audit_file, edited_since
from holdover.returned.extract import write_case
from holdover.returned.read import read_any
from holdover.workbook.grid import Cell, xl
from returned.altered import CASE, Parts, altered, as_delivered, delivered


def typed(*each: tuple[str, int, str, str | float | None]) -> Callable[[Parts], None]:
    """The alteration that types into inputs, by part, record and field."""

    def change(parts: Parts) -> None:
        for part, record, name, value in each:
            spot = as_delivered().spots[part, record, name]
            parts.retype(spot.home, spot.cell, value)

    return change


def audited(folder: Path, change: Callable[[Parts], None]) -> tuple[Audit, Path]:
    """The audit of an altered workbook against its case, and the workbook."""
    write_case(CASE, folder / "case")
    file = folder / "a.xlsx"
    file.write_bytes(altered(change))
    found, findings = audit_file(file, folder / "case")
    assert found is not None, findings.errors
    return found, file


def formulas() -> list[Cell]:
    """Every formula of the workbook that shows something."""
    returned = as_delivered()
    worked_out = study(CASE, returned.shipped.slots)
    return [cell for cell in returned.shipped.grid.cells(worked_out) if cell.computed and cell.value != ""]


def over(cells: list[Cell], file: Path) -> Path:
    """The workbook with a value typed over formulas, saved by another program: that takes apart what formulas share."""
    book = openpyxl.load_workbook(io.BytesIO(delivered()))
    for cell in cells:
        book[cell.sheet].cell(cell.row + 1, cell.col + 1).value = 18_500
    book.save(file)
    return file


def test_what_counts_as_blank_and_what_it_changes_is_told(tmp_path: Path) -> None:
    """Numbers typed as text: the audit shows what was typed, and tells the file's verdict beside a new build's."""
    words = [f"{load.running_w:.12g} W" for load in CASE.loads]
    found, _ = audited(tmp_path, typed(*(("loads", i, "running_w", said) for i, said in enumerate(words))))
    without = tuple(load.model_copy(update={"running_w": None}) for load in CASE.loads)
    blank = study(CASE.model_copy(update={"loads": without})).decision.headline
    assert found.after == found.before == study(CASE).decision.headline
    assert found.in_file == blank != found.after
    assert [change.now for change in found.as_blank] == words
    assert [(change.was, change.now) for change in found.inputs] == [
        (load.running_w, said) for load, said in zip(CASE.loads, words, strict=True)
    ]
    cell = as_delivered().spots["loads", 0, "running_w"].cell
    told = found.text()
    assert f"Verdict in the file:    {blank[:60]}" in told
    assert f"Verdict of a new build: {found.after[:60]}" in told
    assert f"The file counts as blank what a new build reads: Load {cell} ({words[0]}), " in told
    assert f"{cell}: {CASE.loads[0].name}, Running: the file counts it as blank: 110 -> 110 W" in told


def test_hours_that_were_cleared_lead_the_verdict_of_the_file_and_of_a_new_build(tmp_path: Path) -> None:
    """A load that counts for nothing since a figure of it went is named first, wherever the verdict is told."""
    found, file = audited(tmp_path, typed(("loads", 0, "hours_per_day", None)))
    told = "Fridge lacks its hours a day and isn't counted. Without it: "
    assert found.in_file == found.after
    assert found.in_file.startswith(told) and not found.before.startswith(told)
    case, findings, _ = read_any(file)
    assert case and "R001" in {finding.code for finding in findings.found}
    assert study(case).decision.headline == found.after


def test_days_beyond_the_workbook_lead_its_verdict_and_a_new_build_reaches_them(tmp_path: Path) -> None:
    """The file says that it works out 3 of 9 days; what is built from it is told for all of them."""
    found, file = audited(tmp_path, typed(("outage", 0, "days", 9)))
    assert found.in_file.startswith("9 days are asked and this workbook reaches 3: ")
    case, _, _ = read_any(file)
    assert case and found.after == study(case).decision.headline and not found.after.startswith("9 days are asked")


def test_changes_are_told_beside_what_can_not_be_read(tmp_path: Path) -> None:
    """A cell that can't be read is an error, and the changes and the file's verdict are told all the same."""
    found, file = audited(tmp_path, typed(("loads", 0, "tier", "important"), ("loads", 1, "hours_per_day", 5.0)))
    assert [(f.code, f.found) for f in found.findings.errors] == [("Q007", "important")]
    assert [change.now for change in found.inputs] == ["important", 5.0]
    assert [change.now for change in found.unread] == ["important"]
    assert (found.clean, found.untouched, found.after) == (False, False, "")
    assert "Verdict of a new build: none, until the errors are mended" in found.text()
    assert edited_since(file) == "inputs"
    assert read_any(file)[0] is None


def test_a_formula_that_was_typed_over_is_named_before_it_is_written_anew(tmp_path: Path) -> None:
    """Whoever builds from the workbook is told of each formula that holds a value now, and of no other cell."""
    file = tmp_path / "a.xlsx"
    file.write_bytes(delivered())
    assert "W009" not in {finding.code for finding in read_any(file)[1].found}
    drawn = random.Random("over").sample(formulas(), 12)
    case, findings, _ = read_any(over(drawn, file))
    assert case == CASE
    told = {(f.sheet, f.cell, f.found) for f in findings.found if f.code == "W009"}
    assert told == {(cell.sheet, xl(cell.row, cell.col), "18500") for cell in drawn}


def test_of_many_formulas_that_were_typed_over_the_first_are_named(tmp_path: Path) -> None:
    """Twenty are named, the others counted."""
    file = over(random.Random("many").sample(formulas(), 33), tmp_path / "a.xlsx")
    told = [finding.message for finding in read_any(file)[1].found if finding.code == "W009"]
    assert len(told) == 21
    assert told[-1].startswith("13 more formulas were typed over")
