"""How tall the rows of a table are, so that what stands in them can be read."""

from collections.abc import Iterator, Mapping
from typing import Any

from holdover.workbook import style
from holdover.workbook.column import Column, Table
from holdover.workbook.grid import Grid
from holdover.workbook.page import Page, height
from holdover.workbook.paper import BOLD, lines, room_of
from holdover.workbook.path import follow

ROOM_FOR = 8
"""Records for which a table that grows in height has room at its lower one [-]; definition."""
Heights = Iterator[tuple[int, float]]
"""Rows, from 0, each with its height [pt]; of a row that is named twice the later one counts."""


def heights(grid: Grid, study: Any, page: Page, table: Table, standing: Mapping[int, float]) -> Heights:
    """Rows of a table that are not of the usual height; `standing` has those of the sheet so far."""
    place = grid.places[table.name]
    if not page.sheet.narrow:
        of_kind = {"down": _down, "across": _across, "form": _form}
        yield from of_kind[table.kind](grid, study, page, table)
    tall = tall_of(table, place.count)
    if tall:
        for offset in range(place.count) if table.kind == "down" else table.rows:
            row = place.top + offset  # what stands beside it may need more
            yield row, max(tall, standing.get(row, 0)) if table.beside else tall
    if page.sheet.narrow and table.kind != "form":
        yield from _row_words(grid, study, table, standing, tall)
    if table.space and table.gap:
        yield place.top + height(table, place.count), table.space


def tall_of(table: Table, count: int) -> float:
    """Height of a row of a table of so many records, 0 for the usual one [pt]."""
    return max(table.tall, min(table.tallest, ROOM_FOR * table.tall / max(1, count)))


def _texts(grid: Grid, study: Any, table: Table, column: Column) -> list[str]:
    """What stands in the cells of a column."""
    run = grid.run(table, column, study)
    return [str(run.value(i) or "") for i in range(run.length)]


def _down(grid: Grid, study: Any, page: Page, table: Table) -> Heights:
    """Words in a table that runs down take the lines they need now, sentences that may grow two at least."""
    top = grid.places[table.name].top
    if table.heads:
        yield top - 1 - table.units, 3 * style.ROW
    needed: dict[int, int] = {}
    for column in table.columns:
        if not column.folded and (column.role in ("words", "ask") or style.is_free_text(column)):
            width = page.widths[grid.at(table, column.name, 0)[1]]
            for row, text in enumerate(_texts(grid, study, table, column), top):
                least = needed.get(row, 2 if column.role == "words" and text else 1)
                needed[row] = max(least, lines(text, width))
    yield from ((row, style.ROW * min(count, 8)) for row, count in needed.items() if count > 1)


def _row_words(grid: Grid, study: Any, table: Table, standing: Mapping[int, float], least: float) -> Heights:
    """On a composed page words of a record take the lines they need now, in rows that blocks may share."""
    tall: dict[int, float] = {}
    for column in table.columns:
        if style.wraps(column) or (style.is_free_text(column) and table.kind == "down"):
            role = style.ROLES[column.role]
            size, indent = role.get("font_size", style.BASE["font_size"]), role.get("indent", 1)
            room = grid.reach(table, column) * style.NARROW_ROOM - indent * style.INDENT
            run = grid.run(table, column, study)
            for i in range(run.length):
                row = run.at(i)[0]
                count = lines(str(run.value(i) or ""), room, size * (BOLD if role.get("bold") else 1))
                needed = style.HEAD_LINE * size / style.BASE["font_size"] * count
                if count > 1 and needed > max(style.ROW, least, tall.get(row, standing.get(row, 0))):
                    tall[row] = needed
    yield from tall.items()


def _across(grid: Grid, study: Any, page: Page, table: Table) -> Heights:
    """Words of records side by side take the lines they need, three at least; sentences run across."""
    left = grid.places[table.name].left
    for column in table.columns:
        row, _ = grid.at(table, column.name, 0)
        if column.role == "said":
            room = sum(page.widths[left : left + column.cells])
            most = max(lines(text, room) for text in _texts(grid, study, table, column))
            yield row, style.ROW * min(16, most)
        elif column.role == "words" or (style.is_free_text(column) and column.name != "name"):
            most = max((lines(text, page.widths[left]) for text in _texts(grid, study, table, column)), default=1)
            yield row, style.ROW * min(20, max(3, most))
        elif column.name == "name" and column.role in ("head", "column name"):
            room = sum(page.widths[left : left + column.cells]) / BOLD
            most = max((lines(text, room) for text in _texts(grid, study, table, column)), default=1)
            yield row, max(style.HEIGHTS[column.role], style.ROW * min(6, most))
        elif column.role in style.HEIGHTS:
            yield row, style.HEIGHTS[column.role]


def _form(grid: Grid, study: Any, page: Page, table: Table) -> Heights:
    """A setting takes the lines of its note, or of its words where people type some."""
    for label in page.labels_of(table):
        if label.kind != "note" or label.column is None:
            continue
        needed = lines(label.text, room_of(page.widths, label.col, label.right))
        if style.is_free_text(label.column):
            text = follow(study, f"{table.records}.{label.column.path or label.column.name}")
            narrowest = min(_room(grid, page, table, part) for part in ("set", "usual", "used"))
            needed = max(needed, min(8, lines(str(text or ""), narrowest)))
        if needed > 1:
            yield label.row, style.ROW * needed


def _room(grid: Grid, page: Page, table: Table, part: str) -> float:
    """Width of a part of a form, in characters."""
    left = grid.places[table.name].left + table.before(part)
    return room_of(page.widths, left, left + table.cells.get(part, 1) - 1)
