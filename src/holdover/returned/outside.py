"""What somebody put into a returned workbook outside of everything that was written there."""

from holdover.reading.entries import is_empty
from holdover.returned.read import Returned
from holdover.workbook.grid import xl
from holdover.xlsx import CellData


def added_sheets(returned: Returned) -> list[str]:
    """Names of the sheets that were added and hold something."""
    ours = set(returned.grid.sheets.values())
    return [
        sheet.name
        for sheet in returned.book.sheets
        if sheet.name not in ours and any(_is_filled(cell) for row in sheet.rows.values() for cell in row.values())
    ]


def cells_outside(returned: Returned) -> list[tuple[str, str]]:
    """Sheet and name of the filled cells, on sheets of ours, in which nothing was written."""
    found: list[tuple[str, str]] = []
    rows_of = {sheet.name: sheet.rows for sheet in returned.book.sheets}
    for page in returned.shipped.pages:
        name, places = page.sheet.name, page.footprint()
        now = returned.grid.sheets[name]
        rows, cols = returned.grid.rows[name], returned.grid.cols[name]
        wide = {rows.at(row): count for row, count in places.items()}
        back = {cols.at(col): col for col in range(max(places.values(), default=0))}
        for row, cells in rows_of.get(now, {}).items():
            count = wide.get(row - 1, 0)
            found += [
                (now, xl(row - 1, col - 1))
                for col, cell in cells.items()
                if back.get(col - 1, count) >= count and _is_filled(cell)
            ]
    return found


def _is_filled(cell: CellData) -> bool:
    return bool(cell.formula) or not is_empty(cell.value)
