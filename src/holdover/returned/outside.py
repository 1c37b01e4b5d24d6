"""What somebody typed into a returned workbook where no input is: beside the tables, or over formulas."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Final

from holdover.findings import Findings, Place
from holdover.reading.entries import is_empty, typed_text
from holdover.returned.found import FoundGrid, Shipped
from holdover.workbook.grid import xl
from holdover.workbook.page import Page
from holdover.xlsx import Book, CellData, SheetData

Cells = Mapping[tuple[int, int], CellData]
"""Cells by row and column, from 0."""
NAMED: Final = 20
"""Formulas that were typed over and are named one by one [count]; the others are counted."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """Where on a sheet things are typed that count, from 0."""

    rows: Set[int] = frozenset()
    """Rows of tables whose records stand side by side."""
    cols: Set[int] = frozenset()
    """Columns of tables whose records stand below each other."""
    added: Set[tuple[int, int]] = frozenset()
    """Cells of lines that were put in between those of a table and are read."""

    def spans(self, row: int, col: int) -> bool:
        """Whether a cell lies in a line that was put in."""
        return any((row == r and bool(self.cols)) or (col == c and bool(self.rows)) for r, c in self.added)

    def beside(self, row: int, col: int) -> bool:
        """Whether a cell stands in line with cells of a table in which is typed."""
        return row in self.rows or col in self.cols


def report_outside(
    grid: FoundGrid, written: Shipped, book: Book, inputs: Mapping[str, Inputs], file: str, findings: Findings
) -> None:
    """Name what stands outside, a finding a row; in line with a table, or a number, it may be meant to count."""
    for page in written.pages:
        now, typed = grid.sheets[page.sheet.name], inputs.get(page.sheet.name, Inputs())
        rows: dict[int, dict[int, CellData]] = {}
        for (row, col), cell in cells_outside(grid, page, book).items():
            if not typed.spans(row, col):
                rows.setdefault(row, {})[col] = cell
        for row, cells in sorted(rows.items()):
            first = min(cells)
            counts = any(
                not c.worked_out and (c.kind == "number" or typed.beside(row, col)) for col, c in cells.items()
            )
            place = Place(file=file, sheet=now, row=row + 1, cell=xl(row, first))
            found = ", ".join(typed_text(cell.formula or cell.value) for _, cell in sorted(cells.items()))
            if counts:
                findings.report("W005.outside", place, table=_nearest(grid, page, row), found=found)
            else:
                findings.report("W005.beside", place, found=found)
    for name in added_sheets(grid, book):
        findings.report("W008", Place(file=file, sheet=name), sheet=name)


def report_typed_over(grid: FoundGrid, written: Shipped, book: Book, file: str, findings: Findings) -> None:
    """Name each formula that a value was typed over: a new workbook holds the formula again."""
    over = list(_typed_over(grid, written, book))
    for sheet, row, col, title, cell in over[:NAMED]:
        place = Place(file=file, sheet=sheet, row=row + 1, cell=xl(row, col), column=title)
        findings.report("W009.one", place, found=typed_text(cell.value))
    if len(over) > NAMED:
        findings.report("W009.more", Place(file=file), count=f"{len(over) - NAMED:,}")


def _typed_over(grid: FoundGrid, written: Shipped, book: Book) -> Iterator[tuple[str, int, int, str, CellData]]:
    """Sheet, row and column from 0, title and cell of each formula in whose place a value stands now."""
    values = {sheet.name: _Values(sheet) for sheet in book.sheets}
    for name, lines in written.worked_out.items():
        sheet = grid.sheets[name]
        row_of, col_of = grid.shifts(name)
        for table, column, (top, left), (bottom, right) in lines if sheet else ():
            if not values[sheet].any_between((row_of(top), col_of(left)), (row_of(bottom), col_of(right))):
                continue
            count = 1 if table.kind == "form" else grid.places[table.name].count
            for at in (grid.at(table, column.name, record) for record in range(count)):
                if cell := values[sheet].at(*at):
                    yield sheet, *at, column.title, cell


class _Values:
    """Where on a sheet values stand that no formula gave, by row and column from 0."""

    def __init__(self, sheet: SheetData) -> None:
        self.rows = sheet.rows
        self.by_row: dict[int, list[int]] = {}
        self.by_col: dict[int, list[int]] = {}
        for row, cells in sorted(sheet.rows.items()):
            cols = sorted(
                [c - 1 for c, (value, worked_out, _, _) in cells.items() if not worked_out and not is_empty(value)]
            )
            if cols:
                self.by_row[row - 1] = cols
            for col in cols:
                self.by_col.setdefault(col, []).append(row - 1)

    def at(self, row: int, col: int) -> CellData | None:
        """The cell there, if a value stands in it."""
        cell = self.rows.get(row + 1, {}).get(col + 1)
        return None if cell is None or cell.worked_out or is_empty(cell.value) else cell

    def any_between(self, first: tuple[int, int], last: tuple[int, int]) -> bool:
        """Whether there may be any in a line of cells, of which the ends may be gone."""
        if min(*first, *last) < 0:
            return True
        if first[1] == last[1]:
            return _reaches(self.by_col.get(first[1], ()), first[0], last[0])
        return _reaches(self.by_row.get(first[0], ()), first[1], last[1])


def _reaches(places: Sequence[int], first: int, last: int) -> bool:
    """Whether any of these places, which rise, lies there."""
    at = bisect_left(places, first)
    return at < len(places) and places[at] <= last


def _nearest(grid: FoundGrid, page: Page, row: int) -> str:
    """Title of the table that a row stands in or below."""
    tops = [(grid.rows[page.sheet.name].at(grid.places[table.name].top), table.title) for table in page.tables]
    above = [title for top, title in sorted(tops) if top <= row and title]
    return (above or [title for _, title in sorted(tops) if title] or [page.sheet.name])[-1]


def added_sheets(grid: FoundGrid, book: Book) -> Iterator[str]:
    """Names of the sheets that were added and hold something."""
    ours = set(grid.sheets.values())
    for sheet in book.sheets:
        if sheet.name not in ours and any(_is_filled(cell) for row in sheet.rows.values() for cell in row.values()):
            yield sheet.name


def cells_outside(grid: FoundGrid, page: Page, book: Book) -> Cells:
    """The filled cells, on a sheet of ours, in which nothing was written."""
    name, places = page.sheet.name, page.footprint
    rows, cols = grid.rows[name], grid.cols[name]
    wide = {rows.at(row): count for row, count in places.items()}
    ours = {count: {1 + cols.at(col) for col in range(count)} for count in {0, *places.values()}}
    return {
        (row - 1, col - 1): cells[col]
        for sheet in book.sheets
        if sheet.name == grid.sheets[name]
        for row, cells in sheet.rows.items()
        for col in sorted(cells.keys() - ours[wide.get(row - 1, 0)])
        if _is_filled(cells[col])
    }


def _is_filled(cell: CellData) -> bool:
    return bool(cell.worked_out) or not is_empty(cell.value)
