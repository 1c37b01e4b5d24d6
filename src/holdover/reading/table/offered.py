"""What stands in the place where units on offer are pasted: a table, upright or on its side, or data sheets line by line."""

from dataclasses import replace

from holdover.findings import Findings
from holdover.reading.entries import Row
from holdover.reading.table.data_sheet import read_data_sheets
from holdover.reading.table.source import RawTable, raw_table
from holdover.reading.table.table import read_raw
from holdover.xlsx import Book


def read_offered(book: Book, file: str, sheet: str, area: str, findings: Findings) -> list[Row]:
    """The candidates that were pasted into an area of a sheet, from its first row down."""
    top = int(area.split(":")[0].split("$")[2])
    here = next((raw_table(each, file) for each in book.sheets if each.name == sheet), RawTable(file=file, sheet=sheet))
    return read_pasted(replace(here, rows={n: row for n, row in here.rows.items() if n >= top}), findings)


def read_pasted(raw: RawTable, findings: Findings) -> list[Row]:
    """The candidates of what was pasted; where it is neither a table nor a data sheet that is told."""
    if not raw.rows:
        return []
    rows = read_raw("candidates", raw, findings)
    if rows is None:
        rows = read_data_sheets(raw, findings)
        if not rows:
            findings.report("C026", raw.place(min(raw.rows)))
    return rows
