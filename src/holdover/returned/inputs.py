"""What stands in the input cells of a returned workbook, as fields of the case."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any, Final

from holdover.case.measure import Measure
from holdover.case.schema import Point
from holdover.case.words import nearest
from holdover.findings import Findings, Place
from holdover.reading.case import is_rising, lacking, stands
from holdover.reading.choice import choices_in_words, read_text
from holdover.reading.context import context_of
from holdover.reading.entries import Entry, Reading, Row, allowed, is_empty, report_error_cell, typed_text
from holdover.reading.fields import ASKED, TABLED, Asked
from holdover.reading.quantity.units import LIKE
from holdover.reading.row import read_row
from holdover.reading.value import read_number
from holdover.reading.voltage import of_one_phase
from holdover.returned.found import FoundGrid
from holdover.workbook.column import Table
from holdover.workbook.grid import xl
from holdover.workbook.page import elsewhere
from holdover.xlsx import CellData

Fields = dict[str, Any]

AMBIGUOUS_HOUR: Final = "ambiguous hour"
"""Kind of a clock hour that may be 24:00 as well as 1:00."""


def fields_of(
    rows: Sequence[Row],
    shown: Mapping[tuple[str, str], Measure],
    findings: Findings,
    cells: Mapping[str, str] = MappingProxyType({}),
) -> list[Fields]:
    """The fields of each row; what can't be taken is left out, with a finding.

    Args:
        rows: What is typed.
        shown: By part and field, the unit in which it is typed, where that is not the one it is kept in.
        findings: What there is to say about it.
        cells: In which cells the settings are typed on which the reading of others depends.
    """
    for row in rows:
        row.entries = {name: entry for name, entry in row.entries.items() if not _is_untold(entry, findings)}
    context = replace(context_of(rows, findings), cells=cells)
    found: list[Fields] = []
    for row in rows:
        reading = Reading(context=context)
        found.append(_kept(row, _fields(row, reading), shown))
        findings.extend(reading.findings.found)
    return found


def require(row: Row, fields: Fields, findings: Findings) -> None:
    """Report what a filled row lacks. The workbook counts it all the same, a missing number as 0."""
    if not fields or row.part not in TABLED:
        return
    for name in lacking(row, fields):
        asked = ASKED[row.part][name]
        title, like, (place, found) = asked.title.lower(), LIKE.get(asked.unit, ""), stands(name, row)
        findings.report("R001.text" if asked.text else "R001.number", place, title=title, like=like, found=found)


def check_points(points: Sequence[Point], findings: Findings) -> None:
    """Report where the line of capacity against temperature has gaps: a case file takes no such line."""
    if not is_rising(points):
        findings.report("T008.workbook", findings.places.get(("points", 0), Place()))


def look_elsewhere(
    grid: FoundGrid,
    tables: Iterable[Table],
    look: Callable[[str, int, int], CellData | None],
    file: str,
    findings: Findings,
) -> None:
    """Say what was typed over the words that tell where a setting is typed instead: nothing counts it."""
    for table in tables:
        sheet = grid.places[table.name].sheet
        for column in table.columns:
            slot = grid.slots.get(f"{table.name}.{column.name}")
            row, col = grid.own_cell(table, column.name) if slot else (-1, -1)
            cell = look(sheet, row, col) if min(row, col) >= 0 else None
            if slot and cell is not None and not is_empty(cell.value) and cell.value != elsewhere(grid, slot[0]):
                place = Place(
                    file=file, sheet=grid.sheet_of(table), row=row + 1, cell=xl(row, col), column=column.title
                )
                findings.report("W005.elsewhere", place, sheet=grid.sheet_of(slot[0]), found=cell.value)


def _is_untold(entry: Entry, findings: Findings) -> bool:
    """Whether nobody can tell what stands there: a formula without a result, or a 1 that may be two hours."""
    if entry.kind == AMBIGUOUS_HOUR:
        findings.report("Q029", entry.place, title=entry.place.column, found="1")
    elif entry.kind == "unstored":
        findings.report("X004", entry.place)
    else:
        return False
    return True


def _fields(row: Row, reading: Reading) -> Fields:
    asked = ASKED[row.part]
    choices = {name: _choice(e, asked[name], reading) for name, e in row.entries.items() if asked[name].choices}
    words = [name for name, e in row.entries.items() if not asked[name].text and _is_words(e)]
    entries = {
        name: replace(entry, value=choices[name]) if name in choices else entry
        for name, entry in row.entries.items()
        if choices.get(name, "") is not None
    }
    if words:
        return _from_words(replace(row, entries=entries), words, reading)
    fields: Fields = {}
    for name, entry in entries.items():
        if asked[name].choices:
            fields[name] = entry.value
        elif asked[name].text:
            text = read_text(entry, asked[name], reading)
            if text is not None:
                fields[name] = text
        else:
            number = read_number(entry, asked[name], reading)
            if number is not None:
                fields[name] = round(number.value) if asked[name].whole else number.value
    return of_one_phase(fields, entries, row, reading) if row.part == "candidates" else fields


def _kept(row: Row, fields: Fields, shown: Mapping[tuple[str, str], Measure]) -> Fields:
    """The fields in the units they are kept in, with the digits that they were shown with."""
    for name, value in fields.items():
        measure = shown.get((row.part, name))
        typed = row.entries[name].value if measure and name in row.entries else None
        if measure and measure.is_price:
            said = isinstance(typed, str) and "/" in typed  # what it is the price of
            fields[name] = value if said else measure.typed(value)
        elif measure and isinstance(typed, float):
            fields[name] = measure.typed(typed)
    return fields


def _is_words(entry: Entry) -> bool:
    return isinstance(entry.value, str) and not entry.kind


def _from_words(row: Row, words: Sequence[str], reading: Reading) -> Fields:
    """A row with numbers typed as text, such as `1.5 kW`: read as such a row of a survey is."""
    said, found = read_row(row, reading.context)
    reading.findings.extend(found)
    fields = {name: value for name, value in said.items() if value is not None}
    for name, entry in row.entries.items():
        bare = isinstance(entry.value, float) and not entry.kind and not entry.unit
        if name in fields and bare and not ASKED[row.part][name].text:
            fields[name] = round(entry.value) if ASKED[row.part][name].whole else entry.value
    for name in words:
        if name in fields:
            reading.report("W006", row.entries[name].place, number=fields[name], found=row.entries[name].value)
    return fields


def _choice(entry: Entry, asked: Asked, reading: Reading) -> str | None:
    """The choice that stands here, whatever its case; the workbook's formulas know no other word."""
    if entry.kind == "error":
        report_error_cell(entry, reading)
        return None
    typed = typed_text(entry.value).strip()
    for choice in asked.choices:
        if typed.casefold() == choice.casefold():
            return choice
    close = nearest(typed, list(asked.choices))
    reading.report(
        "Q007.near" if close else "Q007.one_of",
        entry.place,
        title=asked.title,
        found=typed,
        allowed=allowed(asked),
        near=close,
        choices=choices_in_words(asked),
    )
    return None
