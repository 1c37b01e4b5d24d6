"""What somebody put into a returned workbook outside of everything that was written there."""

from collections.abc import Mapping

from holdover.reading.entries import is_empty
from holdover.returned.found import Shipped
from holdover.returned.read import Returned
from holdover.workbook.grid import Grid, Table, xl
from holdover.workbook.page import Words, last_column
from holdover.xlsx import CellData

Places = dict[int, int]
"""By row from 0, how many columns from the first one were written."""


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
    for name, places in _written(returned.shipped).items():
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


def _written(shipped: Shipped) -> Mapping[str, Places]:
    """By sheet, all places of words, titles, headings and cells of tables."""
    written: dict[str, Places] = {}
    for sheet in shipped.sheets:
        places = written[sheet.name] = {0: 1, 1: 1}
        for block in sheet.blocks:
            row = shipped.rows[id(block)]
            if isinstance(block, Words):
                places.update(dict.fromkeys(range(row, row + len(block.lines)), 1))
            elif isinstance(block, Table):
                places.update(_table(block, row, shipped.grid))
    return written


def _table(table: Table, row: int, grid: Grid) -> Places:
    """Its title, its headings and its records; the row of a group holds the group's title alone."""
    place = grid.places[table.name]
    wide = last_column(table, place.count) + 1
    offsets = range(place.count) if table.kind == "down" else table.rows
    groups = range(place.top, place.top + (0 if table.kind == "down" else table.rows[-1]))
    return (
        dict.fromkeys(range(row, place.top), wide)
        | {row: wide + 1}  # a note may stand right of a narrow table's title
        | dict.fromkeys(groups, 1)
        | {place.top + offset: wide for offset in offsets}
    )
