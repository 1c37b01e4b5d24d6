"""Rules of cells: what may be typed into them, and what they look like by what stands in them."""

from collections.abc import Iterator, Mapping
from typing import Any

from holdover.case.section import choices_of, is_text, is_whole
from holdover.workbook import style
from holdover.workbook.column import Column, Part, Table
from holdover.workbook.grid import Grid, letters, xl
from holdover.workbook.page import Page, Stair
from holdover.workbook.typed import DAY_H, EXAMPLE, bounds, is_clock, list_name

Area = tuple[int, int, int, int]
"""First row, first column, last row, last column, from 0."""
Rule = tuple[Area, dict[str, Any], Mapping[str, Any]]
"""Where a look depends on what stands there, on what, and the look."""


def typing_in(grid: Grid, table: Table) -> Iterator[tuple[str, Column, Area, dict[str, Any]]]:
    """Where in a table not everything may be typed: sheet, column, area, and the rule."""
    part: Part = "set" if table.kind == "form" else ""
    for column in table.columns:
        if rule := typing(column):
            yield grid.home_of(table, column, part), column, _area_of(grid, table, column), rule


def looks_in(grid: Grid, table: Table) -> Iterator[tuple[Column, Rule]]:
    """The looks of a table's cells by what stands in them."""
    for column in table.columns:
        if column.off:  # first: what is not shown needs no other look
            yield from ((column, rule) for rule in hidden(grid, table, column))
    for column in table.columns:
        yield from ((column, rule) for rule in looks(grid, table, column, _area_of(grid, table, column)))


def _area_of(grid: Grid, table: Table, column: Column) -> Area:
    """The cells of a column, of a form those in which is typed."""
    part: Part = "set" if table.kind == "form" else ""
    first = grid.at(table, column.name, 0, part)
    last = first if part else grid.at(table, column.name, grid.places[table.name].count - 1)
    return (*first, *last)


def hidden(grid: Grid, table: Table, column: Column) -> Iterator[Rule]:
    """Numbers of a spare candidate, or of an hour past the outage, are there but not shown."""
    place = grid.places[table.name]
    row, col = grid.at(table, column.name, 0)
    cell = f"${letters(col)}{row + 1}" if table.kind == "down" else f"{letters(col)}${row + 1}"
    runs = range(place.count) if table.step else (None,)  # columns between the records are another table's
    for i in runs:
        first = grid.at(table, table.columns[0].name, i or 0)
        last = grid.at(table, table.columns[-1].name, place.count - 1 if i is None else i)
        if i:
            cell = f"{letters(first[1])}${row + 1}"
        yield (*first, *last), {"type": "formula", "criteria": f"={cell}{column.off}"}, {"num_format": ";;;"}


def looks(grid: Grid, table: Table, column: Column, area: Area) -> Iterator[Rule]:
    """What a column's cells look like by what stands in them."""
    ruled = column.role in style.RULED
    line = {"bottom": 1, "bottom_color": style.RULED[column.role]} if ruled else {}
    if ruled:  # LibreOffice takes one rule of a cell, and none of a second range: so one range, the line in every look
        area = (*area[:3], area[3] + column.cells - 1)
    for word, mark in style.SHORT_FOR.get(column.role, {}).items():
        look = {"num_format": f';;;"{mark}"', **({"font_color": style.GREY} if ruled else {}), **line}
        yield area, {**_is(word), **_apart(grid, table, column)}, look
    said = [(rule, {**look, **line}) for _, rule, look in _words(column, area)]
    if ruled:
        said.append(({"type": "formula", "criteria": f'={_first_of(grid, table, table.columns[0])}<>""'}, line))
    if table.marked:  # before the same without it, since the first rule that a cell meets is the one it takes
        here = f'{_first_of(grid, table, table.columns[table.index[table.marked]])}="1"'
        yield from (
            (area, {"type": "formula", "criteria": f"=AND({here},{rule['criteria'][1:]})"}, {**look, **style.MARKED})
            for rule, look in said
        )
    yield from ((area, rule, look) for rule, look in said)


def _first_of(grid: Grid, table: Table, column: Column) -> str:
    """The cell of a column in the first record, as a rule of all records names it."""
    row, col = grid.at(table, column.name, 0)
    return f"${letters(col)}{row + 1}"


def _apart(grid: Grid, table: Table, column: Column) -> dict[str, Any]:
    """The cells of records side by side, between which another table's may stand."""
    if table.kind == "down":
        return {}
    return {"multi_range": " ".join(xl(*grid.at(table, column.name, i)) for i in range(grid.places[table.name].count))}


def _words(column: Column, area: Area) -> Iterator[Rule]:
    for word, fill in style.STRIPS.get(column.role, {}).items():
        ink = {"–": style.OFF_INK, "·": style.NIGHT}.get(word)
        yield area, _is(word), {"bg_color": fill, **({"font_color": ink} if ink else {})}
    if column.role == "notice":
        yield area, {"type": "no_blanks"}, {"bg_color": style.LOOK[1]}
    if column.role == "row verdict":
        cell = f"${letters(area[1])}{area[0] + 1}"
        yield area, {"type": "formula", "criteria": f'=AND({cell}<>"",{cell}<>"OK")'}, {"font_color": style.BAD[0]}
    if column.role == "verdict" or column.role in style.GRID_WORDS:
        for word, (ink, fill) in style.VERDICTS.items():
            if column.role == "verdict" or word in style.OPEN_WORDS:
                yield area, _is(word), {"font_color": ink, "bg_color": fill, "bold": word == "UNDER"}


def _is(word: str) -> dict[str, Any]:
    return {"type": "cell", "criteria": "==", "value": f'"{word}"'}


def steps(grid: Grid, page: Page, block: Stair, row: int) -> Iterator[Rule]:
    """Steps that the share of a record reaches take a colour: by what they are kept for, or the last."""
    table, (left, right) = grid.tables[block.table], page.steps(block)

    def share(column: str) -> str:
        at, col = grid.at(table, column, 0)
        return f"{letters(col)}${at + 1}"

    # The middle of a step as a share of all, counted from the row at hand.
    level = f"({row + block.rows + 0.5:g}-ROW())/{block.rows}"
    reached = f"ISNUMBER({share(block.column)}),{share(block.column)}>={level}"
    rules = [(f"=AND({reached},{share(column)}>={level})", color) for column, color in block.kept]
    for criteria, color in [*rules, (f"=AND({reached})", block.color)]:
        rule = {"type": "formula", "criteria": criteria, "stop_if_true": True}
        yield (row, left, row + block.rows - 1, right), rule, {"bg_color": color}


def typing(column: Column) -> dict[str, Any]:
    """What may be typed into an input, and what is said of it there; {} where anything may be."""
    info = column.field
    if info is None:
        return {}
    choices = choices_of(info)
    if column.free or column.offers or (is_text(info) and not choices):
        return _welcomed(column)
    if choices:
        rule: dict[str, Any] = {"validate": "list", "source": f"={list_name(choices)}"}
        allowed = "Choose one from the list."
    else:
        low, high = (0, DAY_H) if is_clock(info) else bounds(info, column.shown)
        rule = {
            "validate": "integer" if is_whole(info) and not is_clock(info) else "decimal",
            "criteria": "between",
            "minimum": low if low is not None else -1_000_000_000,
            "maximum": high if high is not None else 1_000_000_000,
        }
        kind = "whole number" if is_whole(info) else "number"
        allowed = f"A time such as {EXAMPLE}." if is_clock(info) else f"A {kind} from {low:g} to {high:g}, or blank."
    title = column.title[:32]
    return rule | {
        "error_title": title,
        "error_message": allowed,
        "input_title": title,
        "input_message": f"{column.note} {allowed}".strip()[:250],
    }


def _welcomed(column: Column) -> dict[str, Any]:
    """What is said of a cell that takes whatever people write, and what it offers."""
    said = {"input_title": column.title[:32], "input_message": column.note[:250]} if column.note else {}
    if column.offers:
        return {"validate": "list", "source": f"={column.offers}", "show_error": False, **said}
    return {"validate": "any", **said} if said else {}
