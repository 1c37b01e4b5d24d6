"""What keeps a workbook right beside its cells: how it is calculated, its fingerprint, what is hidden, guarded or drawn.

A program that merely saves a workbook leaves all of this as it was; where it can't be told, nothing is said.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Final

from holdover import version
from holdover.case.digest import digest
from holdover.case.schema import Case
from holdover.findings import show
from holdover.returned.compare import Change
from holdover.returned.read import Returned
from holdover.workbook.column import Part, Table
from holdover.workbook.grid import letters, xl
from holdover.workbook.page import ACROSS_LEFT, Chart, Page, Stair
from holdover.workbook.rules import looks_in, steps, typing_in
from holdover.workbook.seal import SEAL
from holdover.xlsx import SheetData

PROPERTIES: Final = ("holdover_schema", "holdover_version", "holdover_slots", "holdover_units", "holdover_digest", SEAL)
"""Properties that every workbook of ours has: a program keeps all of them, or none."""
MOST_STEPS: Final = 2_000_000
"""Columns of areas that are looked at [count]; a workbook of ours has some thousands."""

Cell = tuple[int, int]
"""Row and column, from 0."""


def guard_changes(returned: Returned, against: Case | None) -> tuple[Change, ...]:
    """What was taken off or changed: what changes results first, then what hides them, then what guards them."""
    sheets = {sheet.name: sheet for sheet in returned.book.sheets}
    pages = [
        (page, sheets[now])
        for page in returned.shipped.pages
        if (now := returned.grid.sheets[page.sheet.name]) in sheets
    ]
    return (
        *_calculation(returned),
        *_fingerprint(returned, against),
        *(change for page, sheet in pages for change in _hidden(returned, page, sheet)),
        *_typing(returned, sheets),
        *(change for page, sheet in pages for change in _protection(returned, page, sheet)),
        *(change for page, sheet in pages for change in _looks(returned, page, sheet)),
        *(change for page, sheet in pages for change in _charts(returned, page, sheet)),
    )


def _calculation(returned: Returned) -> Iterator[Change]:
    if returned.book.as_displayed:
        yield Change(what="precision as displayed is set: the digits that are not shown are not counted", sheet="")
    if returned.book.by_hand:
        yield Change(what="calculation is set to manual: what is typed counts only once F9 is pressed", sheet="")


def _fingerprint(returned: Returned, against: Case | None) -> Iterator[Change]:
    properties = returned.book.properties
    missing = [name for name in PROPERTIES if not properties.get(name)]
    if len(missing) == len(PROPERTIES) or properties.get("holdover_version") not in (None, "", version()):
        return
    for name in missing:
        yield Change(what=f"the property {name} is gone, and others stand: its fingerprint was altered", sheet="")
    printed = properties.get("holdover_digest", "")
    if against is None or not printed or printed == digest(against):
        return
    as_now = printed == digest(returned.case)
    than = "the inputs as they are now" if as_now else "neither this case nor the inputs as they are now"
    yield Change(
        what=f"the fingerprint is of {than}: the workbook was built from another case, or the fingerprint was altered",
        sheet="",
    )


def _hidden(returned: Returned, page: Page, sheet: SheetData) -> Iterator[Change]:
    """Rows, columns and sheets that were hidden although something stands there; what was folded away is none of them."""
    if sheet.hidden and not (page.sheet.working or page.sheet.wanted):
        yield Change(what="the sheet was hidden; what stands on it counts", sheet=sheet.name)
    written, name = returned.shipped.grid, page.sheet.name
    down, along = returned.grid.shifts(name)
    folded = [set(map(shift, lines)) for shift, lines in zip((down, along), page.folded, strict=True)]
    for table in page.tables:
        rows = (written.at(table, column.name, 0)[0] for column in table.columns if column.role == "hidden")
        folded[0].update(map(down, rows))
    filled = _filled(returned, page, sheet)
    rows_there, cols_there = ({cell[axis] for cell in filled} for axis in (0, 1))
    rows_hidden = {row - 1 for row in sheet.hidden_rows}
    cols_hidden = {
        col
        for first, last in sheet.hidden_columns
        for col in range(first - 1, min(last, max(cols_there, default=0) + 1))
    }
    for row, last in _runs((rows_hidden & rows_there) - folded[0]):
        lines = f"row {row + 1} is" if row == last else f"rows {row + 1} to {last + 1} are"
        yield _at(sheet, min(cell for cell in filled if cell[0] == row), f"{lines} hidden; what stands there counts")
    for col, last in _runs((cols_hidden & cols_there) - folded[1]):
        lines = f"column {letters(col)} is" if col == last else f"columns {letters(col)} to {letters(last)} are"
        yield _at(sheet, min(cell for cell in filled if cell[1] == col), f"{lines} hidden; what stands there counts")


def _filled(returned: Returned, page: Page, sheet: SheetData) -> set[Cell]:
    """The cells of a sheet with results, or in which something is typed or said; not what a blank line comes to."""
    name = page.sheet.name
    down, along = returned.grid.shifts(name)
    here = {(down(label.row), along(label.col)) for label in page.labels() if label.text}
    here |= {(spot.row, spot.col) for spot in returned.spots.values() if spot.home == name}
    return {
        (row - 1, col - 1)
        for row, cells in sheet.rows.items()
        for col, cell in cells.items()
        if cell.value not in (None, "", 0) and (cell.worked_out or (row - 1, col - 1) in here)
    }


def _typing(returned: Returned, sheets: Mapping[str, SheetData]) -> Iterator[Change]:
    """Inputs into which anything may be typed by now."""
    grid = returned.grid
    wanted: dict[str, dict[Cell, str]] = {}
    titles: dict[tuple[str, str], list[Cell]] = {}
    for table in grid.tables.values():
        for home, column, _, rule in typing_in(returned.shipped.grid, table):
            guards = rule["validate"] != "any" and rule.get("show_error", True)  # else a hint, or names merely offered
            if grid.sheets[home] not in sheets or not guards:
                continue
            part: Part = "set" if table.kind == "form" else ""
            for i in range(1 if part else grid.places[table.name].count):
                at = grid.at(table, column.name, i, part)
                if min(at) >= 0:
                    wanted.setdefault(grid.sheets[home], {})[at] = column.title
    for name, cells in wanted.items():
        for at in sorted(uncovered(cells, sheets[name].validated)):
            titles.setdefault((name, cells[at]), []).append(at)
    for (name, title), cells_there in titles.items():
        count = f" in {len(cells_there)} cells" if len(cells_there) > 1 else ""
        yield _at(sheets[name], cells_there[0], f"what is typed is no longer checked{count}", title)


def _protection(returned: Returned, page: Page, sheet: SheetData) -> Iterator[Change]:
    """Sheets whose formulas can be typed over; where something is folded a rule keeps typing off them instead."""
    if sheet.protected:
        return
    if not any(page.folded):
        yield Change(what="the protection of the sheet was taken off: its formulas can be typed over", sheet=sheet.name)
        return
    down, along = returned.grid.shifts(page.sheet.name)
    formulas = {(down(row), along(col)) for row, col in returned.shipped.formulas[page.sheet.name]}
    bare = uncovered((cell for cell in formulas if min(cell) >= 0), sheet.validated)
    if bare:
        what = f"the rule that keeps typing off {len(bare):,} formulas was taken off"
        yield _at(sheet, min(bare), what)


def _looks(returned: Returned, page: Page, sheet: SheetData) -> Iterator[Change]:
    """Tables of which the looks that follow from what stands there were taken off."""
    name = page.sheet.name
    down, along = returned.grid.shifts(name)
    for block, row in page.blocks:
        if isinstance(block, Stair):
            areas = [area for area, *_ in steps(returned.shipped.grid, page, block, row)]
        elif isinstance(block, Table):
            areas = [area for _, (area, *_) in looks_in(returned.shipped.grid, block)]
        else:
            continue
        corners = {(down(r), along(c)) for top, left, bottom, right in areas for r, c in ((top, left), (bottom, right))}
        bare = uncovered((cell for cell in corners if min(cell) >= 0), sheet.formatted)
        if bare:
            yield _at(sheet, min(bare), "colours that follow from what stands there were taken off", block.title)


def _charts(returned: Returned, page: Page, sheet: SheetData) -> Iterator[Change]:
    """Charts that are gone: of those that stand where they stood none is."""
    if sheet.charts is None:
        return
    left = list(sheet.charts)
    down, along = returned.grid.shifts(page.sheet.name)
    missing: list[tuple[Cell, str]] = []
    for block, row in page.blocks:
        if isinstance(block, Chart):
            col = ACROSS_LEFT + 2 if block.beside else page.left + block.left
            at = down(row), along(col)
            if (at[0] + 1, at[1] + 1) in left:
                left.remove((at[0] + 1, at[1] + 1))
            else:
                missing.append((at, block.title))
    for at, title in missing[len(left) :] if left else missing:  # one that was moved is not gone
        yield _at(sheet, at, "the chart is gone", title)


def uncovered(cells: Iterable[Cell], areas: Sequence[tuple[int, int, int, int]]) -> set[Cell]:
    """The cells, from 0, that lie in none of the areas, counted from 1; none where there are more areas than can be.

    >>> uncovered([(0, 0), (4, 2)], [(1, 1, 3, 9)])
    {(4, 2)}
    """
    by_col: dict[int, list[int]] = {}
    for row, col in sorted(set(cells)):
        by_col.setdefault(col, []).append(row)
    cols, looked_at = sorted(by_col), 0
    for top, left, bottom, right in areas:
        for col in cols[bisect_left(cols, left - 1) : bisect_right(cols, right - 1)]:
            rows = by_col[col]
            del rows[bisect_left(rows, top - 1) : bisect_right(rows, bottom - 1)]
            looked_at += 1
        if looked_at > MOST_STEPS:
            return set()
    return {(row, col) for col, rows in by_col.items() for row in rows}


def _runs(lines: set[int]) -> Iterator[tuple[int, int]]:
    """First and last of lines that follow on each other."""
    for _, run in groupby(enumerate(sorted(lines)), key=lambda each: each[1] - each[0]):
        numbers = [number for _, number in run]
        yield numbers[0], numbers[-1]


def _at(sheet: SheetData, cell: Cell, what: str, label: str = "") -> Change:
    return Change(what=what, sheet=sheet.name, cell=xl(*cell) if min(cell) >= 0 else "", label=show(label, 120))
