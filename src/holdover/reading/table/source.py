"""Tables as rows of cells, from CSV bytes or from a sheet. What they mean is not known here."""

import csv
import io
import re
from dataclasses import dataclass, field, replace
from typing import Any, Final, NamedTuple

from holdover.findings import Findings, Place
from holdover.xlsx import BadFile, SheetData, column_letters, read_xlsx

DELIMITERS: Final = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
ROWS_MAX: Final = 5_000
"""Most rows of a table [count]."""
GUARDED: Final = re.compile(r"'+[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]")
"""A text that would be a formula in a spreadsheet program, with an apostrophe before it so that it is none.

The full-width signs count, since programs for East Asian scripts take them for the narrow ones."""
COLUMNS_MAX: Final = 256
"""Most columns of a table [count]."""


class RawCell(NamedTuple):
    """What stands in a cell, and what a sheet says about it."""

    value: Any
    kind: str = ""
    formula: bool = False
    percent: bool = False


@dataclass(slots=True, kw_only=True)
class RawTable:
    """A table: rows by their number in the file, cells by their column from 1."""

    file: str
    sheet: str = ""
    rows: dict[int, dict[int, RawCell]] = field(default_factory=dict)
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    merged: tuple[tuple[int, int, int, int], ...] = ()
    turned: bool = False
    """Whether rows and columns have changed places: the headers run down the sheet."""

    def place(self, row: int | None, column: int = 0, header: str = "", item: str = "") -> Place:
        """A place in the table; the cell's name only where it is a sheet."""
        line, letter = (column or None, row or 0) if self.turned else (row, column)
        cell = f"{column_letters(letter)}{line}" if self.sheet and letter and line else ""
        return Place(file=self.file, sheet=self.sheet, row=line, column=header, cell=cell, item=item)


def turned(raw: RawTable) -> RawTable:
    """The table with rows and columns changed, for a table whose headers run down the sheet."""
    rows: dict[int, dict[int, RawCell]] = {}
    for number, row in raw.rows.items():
        for column, cell in row.items():
            rows.setdefault(column, {})[number] = cell
    merged = tuple((left, top, right, bottom) for top, left, bottom, right in raw.merged)
    return replace(raw, rows=dict(sorted(rows.items())), merged=merged, hidden_rows=frozenset(), turned=True)


def sheet_tables(data: bytes, file: str, findings: Findings) -> list[RawTable]:
    """Every sheet of a workbook; none, with a finding, where it can't be read safely."""
    try:
        book = read_xlsx(data, file)
    except BadFile as bad:
        findings.report("X001", Place(file=file), reason=bad.message, how=bad.remedy)
        return []
    return [raw_table(sheet, file) for sheet in book.sheets]


def raw_table(sheet: SheetData, file: str) -> RawTable:
    """A sheet as rows of cells."""
    rows = {
        number: {
            column: RawCell(value=cell.value, kind=cell.kind, formula=bool(cell.worked_out), percent=cell.percent)
            for column, cell in row.items()
        }
        for number, row in sheet.rows.items()
    }
    return RawTable(
        file=file, sheet=sheet.name, rows=rows, hidden=sheet.hidden, hidden_rows=sheet.hidden_rows, merged=sheet.merged
    )


def csv_text(data: bytes, file: str, findings: Findings) -> str | None:
    """The text of a CSV: by its mark, else UTF-8, else UTF-16 by its zeros, else cp1252 with a warning."""
    place = Place(file=file)
    encoding = _encoding(data)
    for each in (encoding, "cp1252") if encoding == "utf-8-sig" else (encoding,):
        try:
            text = data.decode(each)
        except UnicodeDecodeError:
            continue
        if each == "cp1252":
            findings.report("F005", place)
        if "\x00" in text:
            break
        return text
    findings.report("F006.table", place)
    return None


def _encoding(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    head = data[:2000]
    if len(head) >= 4 and head[1::2].count(0) > 0.4 * len(head) / 2 and head[::2].count(0) < len(head) / 20:
        return "utf-16-le"
    if len(head) >= 4 and head[::2].count(0) > 0.4 * len(head) / 2 and head[1::2].count(0) < len(head) / 20:
        return "utf-16-be"
    return "utf-8-sig"


def csv_table(text: str, delimiter: str, file: str) -> RawTable:
    """The rows of a CSV, numbered by its lines as a sheet numbers its rows.

    Raises:
        csv.Error: where quotes are not closed or a field is beyond all measure.
    """
    raw = RawTable(file=file)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True)
    for number, row in enumerate(reader, 1):
        if len(row) > COLUMNS_MAX:  # one cell stands for all that lie beyond
            row = [*row[:COLUMNS_MAX], next((value for value in row[COLUMNS_MAX:] if value.strip()), "")]
        cells = {column: RawCell(value=_unguarded(value)) for column, value in enumerate(row, 1) if value.strip()}
        if cells:
            raw.rows[number] = cells
        # The rest is refused by its count; there is no need to hold it.
        if len(raw.rows) > ROWS_MAX + 100:
            break
    return raw


def _unguarded(value: str) -> str:
    """The text without the one apostrophe that keeps it from being a formula."""
    return value[1:] if GUARDED.match(value) else value
