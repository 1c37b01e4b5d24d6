"""Data sheets as they are pasted: a line for each figure, one unit below the other, each with its name on top.

Nobody's data sheet says only what is asked. Lines that say nothing of it are left aside, and told.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from holdover.case.words import either, folded, vocabulary
from holdover.findings import Findings
from holdover.reading.composite import taken_apart
from holdover.reading.entries import Entry, Row
from holdover.reading.fields import ASKED
from holdover.reading.quantity.units import find_unit
from holdover.reading.table.headers import read_header
from holdover.reading.table.source import RawCell, RawTable

PART: Final = "candidates"
TELLING: Final = frozenset(
    {"storage_wh", "storage_ah", "continuous_w", "continuous_va", "surge_w", "price", "weight_kg"}
)
"""Fields that a data sheet states once: where one comes again, another unit begins [-]."""
MEANT: Final = {"W": "continuous_w", "V": "ac_volts"}
"""What a label that may mean either means, by the unit of its value [-]."""
OF_BATTERY: Final = {"Wh": "storage_wh", "Ah": "storage_ah", "cycles": "cycles"}
"""What a line on the battery states, by the unit of its value [-]."""
_UNIT: Final = re.compile(r"(?<=[0-9])\+?\s*([A-Za-z]+)")
_WORDS: Final = vocabulary("headers")["data_sheet"]
_CHEMISTRY: Final = re.compile(rf"(?<![a-z]){either(_WORDS['chemistry'])}(?![a-z])", re.IGNORECASE)
LABEL_MAX: Final = 60
"""Longest label of a line [characters]."""
_SPLIT: Final = re.compile(r"\s*(?:\t|:|=|\.{3,}|…)\s*")
_VALUE: Final = re.compile(
    rf"\s+(?=[<>≤≥~≈+]?\s*(?:{either(vocabulary('units')['amounts']['limits'])}\s+)?[0-9$€£])", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class _Line:
    """A line: what it is about, what it says, and the field that is; "" where it is about none."""

    number: int
    label: str
    value: str
    field: str
    unit: str = ""


@dataclass(slots=True)
class _Sheet:
    """Lines of one unit, below its name."""

    head: _Line
    lines: list[_Line] = field(default_factory=list)

    @property
    def fields(self) -> set[str]:
        return {line.field for line in self.lines}


def read_data_sheets(raw: RawTable, findings: Findings) -> list[Row]:
    """A row for each unit; none where no line says anything that is asked."""
    lines = [_line_of(number, row) for number, row in raw.rows.items()]
    if not any(line.field for line in lines if line.field != "name"):
        return []
    sheets, aside = _sheets(lines)
    rows = taken_apart(PART, [_row(sheet, raw, findings) for sheet in sheets], findings)
    if aside:
        told = ", ".join(f"{line.label} {line.value}".strip() for line in aside)
        findings.report("C024", raw.place(aside[0].number), lines=len(aside), found=told)
    return rows


def _line_of(number: int, row: dict[int, RawCell]) -> _Line:
    texts = [str(_plain(cell.value)).strip() for _, cell in sorted(row.items()) if cell.value is not None]
    texts = [text for text in texts if text]
    if len(texts) > 1:
        return _known(number, texts[0].rstrip(" :="), " ".join(texts[1:]))
    text = texts[0] if texts else ""
    for parting in (_SPLIT, _VALUE):
        for found in parting.finditer(text):
            line = _known(number, text[: found.start()], text[found.end() :])
            if line.field:
                return line
    apart = _SPLIT.search(text)
    if apart and apart.start() and apart.end() < len(text):
        return _Line(number, text[: apart.start()], text[apart.end() :], "")
    return _Line(number, text, "", "")


def _plain(value: object) -> object:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _known(number: int, label: str, value: str) -> _Line:
    header = read_header(label, PART) if 0 < len(label) <= LABEL_MAX else None
    if header and header.field == "name" and folded(label) in _WORDS["battery"] and value:
        units = _UNIT.findall(value)
        stated = next((name for kind, name in OF_BATTERY.items() if any(find_unit(u, kind) for u in units)), "")
        if stated or _CHEMISTRY.search(value):  # "Battery: LFP, 4000 cycles" names no unit
            return _Line(number, label, value, stated)
    if header and header.refused and value:  # "AC output" may be watts or volts: its value says which
        kinds = {find_unit(unit, kind) and name for unit in _UNIT.findall(value) for kind, name in MEANT.items()}
        return _Line(number, label, value, next((name for name in MEANT.values() if name in kinds), ""))
    if header is None or header.ignored or header.beside or header.refused or header.bad_unit or not value:
        return _Line(number, label, value, "")
    return _Line(number, label, value, header.field, header.unit)


def _sheets(lines: Sequence[_Line]) -> tuple[list[_Sheet], list[_Line]]:
    """The lines by the unit they are of, and those that are about nothing asked."""
    sheets: list[_Sheet] = []
    aside: list[_Line] = []
    for part in _segments(lines):
        fresh = part.head.field == "name" or not sheets or (part.fields & sheets[-1].fields & TELLING)
        if fresh:
            sheets.append(part)
        else:  # a heading within the data sheet of the same unit
            aside.append(part.head)
            sheets[-1].lines.extend(part.lines)
    return sheets, aside + [line for sheet in sheets for line in sheet.lines if not line.field]


def _segments(lines: Sequence[_Line]) -> Iterator[_Sheet]:
    """Lines up to the next one that may be a name or a heading: it has no value, or is called a name.

    Of several such lines in a row the first below a blank row is the name; the others are lines that say nothing.
    """
    part: _Sheet | None = None
    for line in lines:
        header = line.field == "name" or not (line.field or line.value)
        if part and header and not part.lines and part.head.label:
            if line.number > part.head.number + 1:
                part = _Sheet(line)
            continue
        if header or part is None:
            if part:
                yield part
            part = _Sheet(line if header else _Line(line.number, "", "", ""))
        if not header:
            part.lines.append(line)
    if part:
        yield part


def _row(sheet: _Sheet, raw: RawTable, findings: Findings) -> Row:
    head = sheet.head
    name = head.value if head.field == "name" else head.label
    row = Row(part=PART, place=raw.place(head.number, item=name))
    if name:
        row.entries["name"] = Entry(value=name, place=raw.place(head.number, 1, ASKED[PART]["name"].title, name))
    for line in sheet.lines:
        if not line.field:
            continue
        place = raw.place(line.number, 1, line.label, name)
        if line.field in row.entries:
            findings.report("C025", place, first=row.entries[line.field].value, found=line.value)
        else:
            row.entries[line.field] = Entry(value=line.value, place=place, unit=line.unit)
    return row
