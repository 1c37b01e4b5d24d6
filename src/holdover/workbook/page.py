"""A sheet of the workbook: tables, words and charts, one below the other."""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import KW_ONLY, dataclass
from functools import cached_property
from itertools import groupby
from typing import Final, Literal, NamedTuple

from holdover.workbook.column import FORM_PARTS, Column, Table
from holdover.workbook.grid import Corner, Grid
from holdover.workbook.path import follow, many

FIRST_ROW: Final = 3
"""Row of the first block, below the sheet's title."""
NARROW_FIRST_ROW: Final = 2
"""The same on a page laid out in narrow columns: its title is the answer itself."""
NARROW: Final = 1.0
"""Width of a narrow column, in characters: 12 pixels."""
MARGIN: Final = 1.29
"""Width of the column before them, a margin on the screen; it is not printed."""
ACROSS_LEFT: Final = 2
"""Column of the first record of an across table, right of title and unit."""
USUAL_WIDTH: Final = 11.0
"""Width of a column for which nothing asks, in characters."""
WORDS_COLUMNS: Final = 12
"""Columns over which standing text runs at most."""
FORM_HEADS: Final = ("", "Set here", "Usual", "In use", "Unit", "Note")
"""Headings of a form, over the `FORM_PARTS`."""

LabelKind = Literal[
    "name",
    "sentence",
    "plain",
    "caution",
    "title",
    "remark",
    "group",
    "head",
    "unit",
    "band",
    "label",
    "asked",
    "label unit",
    "note",
    "small",
    "corner",
    "hint",
    "stair",
    "elsewhere",
]
"""Kinds of standing text. A `band` is a group's title in a row of its own; a `remark` stands beside a table's title."""

IN_FIRST_CELL: Final = ("plain", "caution", "band")
"""Kinds that run on over cells in which nothing of ours stands."""


HEADING: Final[tuple[LabelKind, LabelKind]] = ("name", "sentence")
NARROW_HEADING: Final[tuple[LabelKind, LabelKind]] = ("corner", "hint")
"""How a sheet's name and sentence look; on a composed page its answer is larger than its name."""


@dataclass(frozen=True)
class Words:
    """Standing text: how to read the sheet, or what can hurt."""

    lines: tuple[str, ...]
    _: KW_ONLY
    look: Literal["plain", "caution", "small"] = "plain"
    width: float = 0  # of the first column, where they have a sheet for themselves
    left: int = 0  # the sheet's column, from 0, in which they begin
    cells: int = 0  # how many of the sheet's columns they take; 0: as many as are printed
    beside: bool = False  # they stand beside the block before, not below it


@dataclass(frozen=True)
class Series:
    """One series of a chart: a column of a table, and for a scatter its own x."""

    title: str
    table: str
    column: str
    _: KW_ONLY
    x: str = ""
    color: str = ""
    dashed: bool = False
    over: bool = False  # a line over the columns of its chart


@dataclass(frozen=True)
class Chart:
    """A native chart."""

    title: str
    kind: Literal["stacked", "column", "line", "scatter"]
    series: tuple[Series, ...]
    _: KW_ONLY
    names: tuple[str, str] = ("", "")  # table and column of the categories
    x_title: str = ""
    y_title: str = ""
    rows: int = 18
    beside: str = ""  # the column of the table above at whose height it stands, to the right; it takes no rows
    left: int = 0  # of a composed page: the sheet's column, from 0, in which it begins
    cells: int = 0  # and how many of the sheet's columns it takes; 0: as many as a chart usually does
    # Shares of 0 to 1 over a row of cells: its plot begins after so many of the chart's columns and shares their edges.
    labels: int = 0


@dataclass(frozen=True)
class Stair:
    """A share of each record side by side as a stair of filled cells, made by conditional formats: no chart engine.

    It stands below a table whose records stand side by side, and shares their edges. Each of `kept` is a column of
    shares with the colour of what lies below it, the lowest first; what lies above them takes the last colour.
    """

    table: str
    column: str
    kept: tuple[tuple[str, str], ...]
    color: str
    _: KW_ONLY
    title: str = ""
    rows: int = 20
    tall: float = 2.7  # height of a step in points


Block = Table | Words | Chart | Stair


@dataclass(frozen=True)
class Sheet:
    """A sheet and what stands on it, from top to bottom."""

    name: str
    title: str
    blocks: tuple[Block, ...]
    _: KW_ONLY
    freeze: str = ""  # the table whose headings stay in sight
    heads: int = 1  # how many of its rows, where its records stand beside each other
    working: bool = False  # arithmetic that a reader rarely opens: hidden, and never printed
    printed: str = "case"  # path in the study; the sheet does not go on paper where 0 stands there, or where it is ""
    narrow: int = 0  # equal narrow columns of a page that is laid out as one, behind a margin; 0: as its tables need
    portrait: bool = False
    listed: str = ""  # path in the study: how many of the records beside each other go on paper
    foot: str = ""  # what stands at the foot of a composed page
    screen: str = ""  # the table from which on a composed page stands on the screen alone
    zoom: int = 100
    rows: int = 0  # how many of its rows go on paper; 0: all
    wanted: str = ""  # path in the study; the sheet is hidden where 0 stands there
    logo: str = ""  # the table right of which, at its height, the logo of the case stands


def heading_rows(table: Table) -> int:
    """Rows between a table's title and its first record."""
    if table.kind == "across" or not table.heads:
        return 0
    if table.kind == "form":
        return 1
    return 1 + table.units + any(c.group for c in table.columns)


def title_rows(table: Table) -> int:
    """Rows of a table's title."""
    return 1 if table.title else 0


def height(table: Table, count: int) -> int:
    """Rows that a table's records take."""
    return count if table.kind == "down" else table.rows[-1] + 1


class Label(NamedTuple):
    """A standing text of a page: what kind of text it is, where it begins and how far it reaches, from 0."""

    kind: LabelKind
    text: str
    row: int
    col: int = 0
    right: int = 0
    column: Column | None = None
    """What it is the label of."""

    def written(self, currency: str, *, composed: bool) -> str:
        """The text as it stands in its cell, where prices are in a currency; on a composed page headings hold their unit."""
        if self.kind in ("unit", "label unit") and self.text == "money":
            return "" if composed and self.kind == "unit" else currency
        money = composed and self.kind == "head" and self.column is not None and self.column.unit == "money"
        return f"{self.text}, {currency}" if money else self.text


@dataclass(frozen=True)
class Page:
    """A sheet with everything in its place."""

    sheet: Sheet
    rows: tuple[int, ...]
    """First row of each block."""
    grid: Grid

    @property
    def blocks(self) -> list[tuple[Block, int]]:
        """Each block and its first row."""
        return list(zip(self.sheet.blocks, self.rows, strict=True))

    @property
    def tables(self) -> list[Table]:
        """Its tables."""
        return [block for block in self.sheet.blocks if isinstance(block, Table)]

    @property
    def left(self) -> int:
        """The column in which its blocks begin, from 0."""
        return int(bool(self.sheet.narrow))

    @cached_property
    def widths(self) -> list[float]:
        """Widths of its columns in characters: of each the widest that a block asks for."""
        if self.sheet.narrow:
            return [MARGIN, *[NARROW] * self.sheet.narrow]
        wanted: dict[int, float] = {}
        for block in self.sheet.blocks:
            for col, width in _widths(block, self.grid):
                wanted[col] = max(width, wanted.get(col, 0))
        return [wanted.get(col) or USUAL_WIDTH for col in range(max(wanted, default=0) + 1)]

    @cached_property
    def folded(self) -> tuple[frozenset[int], frozenset[int]]:
        """Its rows and its columns that are folded away."""
        rows: set[int] = set()
        cols: set[int] = set()
        for table in self.tables:
            place, heads = self.grid.places[table.name], heading_rows(table) + title_rows(table)
            if table.folded:
                rows.update(range(place.top - heads, place.top + height(table, place.count) + table.gap))
            for i, column in enumerate(table.columns):
                if column.folded and table.kind == "down":
                    cols.update(range(place.left + table.offsets[i], place.left + table.offsets[i + 1]))
                elif column.folded:
                    rows.add(place.top + table.rows[i])
        return frozenset(rows), frozenset(cols)

    @property
    def ends_above(self) -> int | None:
        """The row, from 0, from which on it does not go on paper: of the first quantity that says so."""
        rows = (
            self.grid.places[table.name].top + table.rows[i]
            for table in self.tables
            if table.kind == "across"
            for i, column in enumerate(table.columns)
            if not column.printed
        )
        return min(rows, default=None)

    @cached_property
    def on_paper(self) -> int:
        """How many of its columns, from the left, are printed."""
        for table in self.tables:
            for col, column in enumerate(table.columns if table.kind == "down" else ()):
                if not column.printed:
                    return col
        return len(self.widths)

    @property
    def last_on_paper(self) -> int:
        """The last row of a composed page that is printed, from 0."""
        if not self.sheet.screen:
            return max(self.footprint)
        table = self.grid.tables[self.sheet.screen]
        return (
            self.grid.places[table.name].top - heading_rows(table) - title_rows(table) - 2
        )  # and the blank row above it

    def last_column(self, table: Table) -> int:
        """The rightmost column that a table uses, from 0."""
        return _last_column(table, self.grid)

    def _line_to(self, table: Table) -> int:
        """The column, from 0, to which lines of a table's headings run: not over all hours of a working sheet."""
        last = self.last_column(table)
        return min(last, WORDS_COLUMNS - 1) if self.sheet.working else last

    def labels(self) -> Sequence[Label]:
        """Every standing text."""
        return self._labels

    @cached_property
    def _labels(self) -> tuple[Label, ...]:
        return tuple(self._standing())

    def _standing(self) -> Iterator[Label]:
        name, sentence = NARROW_HEADING if self.sheet.narrow else HEADING
        yield Label(name, self.sheet.name, 0, self.left, self.left)
        yield Label(sentence, self.sheet.title, 1, self.left, self.left)
        for block, row in self.blocks:
            if isinstance(block, Words):
                col = self.left + block.left
                right = col + block.cells - 1 if block.cells else min(self.on_paper - 1, WORDS_COLUMNS - 1)
                lead = "Caution: " if block.look == "caution" else ""
                yield from (Label(block.look, lead + line, row + i, col, right) for i, line in enumerate(block.lines))
            elif isinstance(block, Table):
                yield from self.labels_of(block)
            elif isinstance(block, Stair) and block.title:
                yield Label("stair", block.title, row, self.left, self.grid.at(*self._stepped(block), 0)[1] - 1)

    def _stepped(self, block: Stair) -> tuple[Table, str]:
        return self.grid.tables[block.table], block.column

    def steps(self, block: Stair) -> tuple[int, int]:
        """The columns of a stair, first and last, from 0: those of the records above it."""
        return self.grid.at(*self._stepped(block), 0)[1], self.last_column(self.grid.tables[block.table])

    def labels_of(self, table: Table) -> Iterator[Label]:
        """The standing texts of a table."""
        row, right = self.grid.places[table.name].top - heading_rows(table) - title_rows(table), self._line_to(table)
        if table.title:
            yield Label("title", table.title, row, _edge(table, self.grid), right)
            row += 1
        if table.note:
            col = 1
            while col < right and sum(self.widths[:col]) < 1.3 * len(table.title):
                col += 1
            col = min(col, right) + (table.kind == "across")
            yield Label("remark", table.note, row - 1, col, col)
        yield from {"down": self._down, "across": self._beside, "form": self._beside}[table.kind](table, row)

    @cached_property
    def footprint(self) -> Mapping[int, int]:
        """By row, how many columns from the first one hold anything of ours: labels, or cells of tables."""
        taken: dict[int, int] = {}
        for label in self.labels():
            last = label.col if label.kind in IN_FIRST_CELL else label.right
            room = 2 if label.kind == "title" else 1  # a note may stand behind a title
            taken[label.row] = max(taken.get(label.row, 0), last + room)
        for table in self.tables:
            place = self.grid.places[table.name]
            for offset in range(place.count) if table.kind == "down" else table.rows:
                taken[place.top + offset] = self.last_column(table) + 1
        return taken

    def _down(self, table: Table, row: int) -> Iterator[Label]:
        """Above the columns: groups, titles, units."""
        if not table.heads:
            return
        grouped = heading_rows(table) == 2 + table.units
        col = edge = _edge(table, self.grid)
        for title, columns in groupby(table.columns, key=lambda column: column.group) if grouped else ():
            right = col + sum(column.cells for column in columns) - 1
            yield Label("group", title, row, col, right)
            col = right + 1
        for offset, column in zip(table.offsets, table.columns, strict=False):
            col, right = edge + offset, edge + offset + column.cells - 1
            yield Label("head", column.title, row + grouped, col, right, column)
            if table.units:
                yield Label("unit", unit_label(column), row + grouped + 1, col, right, column)

    def _beside(self, table: Table, row: int) -> Iterator[Label]:
        """Left of a form's cells, or of records side by side: groups, titles, units; right of a form's the notes."""
        place, form = self.grid.places[table.name], table.kind == "form"
        edge = _edge(table, self.grid)
        if form and table.heads:
            for part, text in zip(FORM_PARTS, FORM_HEADS, strict=True):
                if there := _extent(table, part, edge):
                    yield Label("head", text, row, *there)
        label, unit = (_extent(table, part, edge) for part in ("title", "unit"))
        remark = FORM_PARTS.index("note")
        heading = ""
        for column, offset in zip(table.columns, table.rows, strict=True):
            at = place.top + offset
            if column.group and column.group != heading:
                heading = column.group
                yield Label("band", heading, at - 1, edge, remark if form else self._line_to(table))
            if label:
                yield Label("asked" if form else "label", column.title, at, *label, column)
            if unit:
                yield Label("label unit", unit_label(column), at, *unit, column)
            slot = self.grid.slots.get(f"{table.name}.{column.name}")
            if slot and (here := _extent(table, "set", edge)):
                yield Label("elsewhere", elsewhere(self.grid, slot[0]), at, *here, column)
            if form and (note := _extent(table, "note", edge)):
                last = note[1] if self.sheet.narrow else max(note[1], min(self.on_paper, WORDS_COLUMNS) - 1)
                yield Label("note", column.note, at, note[0], last, column)


def elsewhere(grid: Grid, table: Table) -> str:
    """What stands in a form in place of a setting that is typed in another table."""
    return f"on {grid.places[table.name].sheet}"


def unit_label(column: Column) -> str:
    """A column's unit as it is shown; money stays money until somebody knows the currency."""
    return {"share": "%", "number": "", "factor": "", "o'clock": "h", "clock": "h"}.get(column.unit, column.unit)


LaidOut = tuple[Grid, tuple[Page, ...]]
_LAID_OUT: Final[deque[tuple[Sequence[Sheet], LaidOut]]] = deque(maxlen=4)
"""What was laid out last. Of many cases most are alike: then labels and formulas are put together once."""


def lay_out(sheets: Sequence[Sheet], study: object) -> LaidOut:
    """Every table in its place, and every sheet with its blocks in theirs."""
    tables: dict[str, Table] = {}
    places: dict[str, Corner] = {}
    rows = [tuple(_stack(sheet, study, tables, places)) for sheet in sheets]
    for those, laid_out in [*_LAID_OUT]:
        if those is sheets and laid_out[0].places == places:
            laid_out[0].keep()
            return laid_out
    grid = Grid(tables, places)
    laid_out = grid, tuple(Page(sheet, first, grid) for sheet, first in zip(sheets, rows, strict=True))
    _LAID_OUT.append((sheets, laid_out))
    return laid_out


def _stack(sheet: Sheet, study: object, tables: dict[str, Table], places: dict[str, Corner]) -> Iterator[int]:
    """The first row of each block; tables are entered with their places."""
    row = first = NARROW_FIRST_ROW if sheet.narrow else FIRST_ROW
    above, edge = None, int(bool(sheet.narrow))
    for block in sheet.blocks:
        if isinstance(block, Chart) and block.beside and above:
            yield places[above.name].top + above.rows[above.index[block.beside]]
            continue
        first, end = (first, row) if not isinstance(block, Chart | Stair) and block.beside else (row, 0)
        yield first
        if isinstance(block, Table):
            count = len(block.constants or many(follow(study, block.records)))
            top = first + title_rows(block) + heading_rows(block)
            left = edge + block.left + (block.before("record") if block.kind == "across" else 0)
            tables[block.name] = above = block
            places[block.name] = Corner(sheet.name, top, left, count)
            row = top + height(block, count) + block.gap
        else:
            row = (
                first + (len(block.lines) if isinstance(block, Words) else block.rows) + (not isinstance(block, Stair))
            )
        row = max(row, end)


def _edge(table: Table, grid: Grid) -> int:
    """The sheet's column, from 0, in which a table begins, its labels with it."""
    return grid.places[table.name].left - (table.before("record") if table.kind == "across" else 0)


def _extent(table: Table, part: str, edge: int) -> tuple[int, int] | None:
    """First and last of the sheet's columns that a part of a table takes, from 0; None where it is left out."""
    cells, left = table.cells.get(part, 1), edge + table.before(part)
    return (left, left + cells - 1) if cells else None


def _last_column(table: Table, grid: Grid) -> int:
    place = grid.places[table.name]
    if table.kind == "form":
        return place.left + sum(table.cells.get(part, 1) for part in FORM_PARTS) - 1
    if table.kind == "across":
        reach = max(table.cells.get("record", 1), *(column.cells for column in table.columns))
        return place.left + (place.count - 1) * table.stride + reach - 1
    return place.left + table.offsets[-1] - 1


def _widths(block: Block, grid: Grid) -> Iterator[tuple[int, float]]:
    """The columns a block takes, with the width it asks for, 0 where it asks for none."""
    if isinstance(block, Words) and block.width:
        yield from enumerate((block.width, *[0] * (WORDS_COLUMNS - 1)))
    elif isinstance(block, Table) and block.kind == "down":
        yield from enumerate((column.width for column in block.columns), block.left)
    elif isinstance(block, Table):
        parts = FORM_PARTS if block.kind == "form" else tuple(p for p in ("title", "unit") if block.cells.get(p, 1))
        yield from enumerate(block.widths.get(part, 0) for part in parts)
        if block.step:
            left, count = grid.places[block.name].left, grid.places[block.name].count
            yield from ((left + i * block.step, block.widths.get("record", 0)) for i in range(count))
            return
        yield from ((col, block.widths.get("record", 0)) for col in range(len(parts), _last_column(block, grid) + 1))
