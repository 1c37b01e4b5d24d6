"""A sheet of the workbook: tables, words and charts, one below the other."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import KW_ONLY, dataclass
from functools import cached_property
from itertools import groupby
from typing import Final, Literal, NamedTuple

from holdover.workbook.grid import FORM_PARTS, Column, Corner, Grid, Table, follow, many
from holdover.workbook.paper import columns_on_page

FIRST_ROW: Final = 3
"""Row of the first block, below the sheet's title."""
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
]
"""Kinds of standing text. A `band` is a group's title in a row of its own; a `remark` stands beside a table's title."""

IN_FIRST_CELL: Final = ("plain", "caution", "band")
"""Kinds that run on over cells in which nothing of ours stands."""


@dataclass(frozen=True)
class Words:
    """Standing text: how to read the sheet, or what can hurt."""

    lines: tuple[str, ...]
    _: KW_ONLY
    look: Literal["plain", "caution"] = "plain"
    width: float = 0  # of the first column, where they have a sheet for themselves


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


Block = Table | Words | Chart


@dataclass(frozen=True)
class Sheet:
    """A sheet and what stands on it, from top to bottom."""

    name: str
    title: str
    blocks: tuple[Block, ...]
    _: KW_ONLY
    freeze: str = ""  # the table whose headings stay in sight
    working: bool = False  # arithmetic that a reader rarely opens
    wanted: str = ""  # path in the study; the sheet is hidden where 0 stands there


def heading_rows(table: Table) -> int:
    """Rows between a table's title and its first record."""
    if table.kind == "across":
        return 0
    if table.kind == "form":
        return 1
    return 3 if any(c.group for c in table.columns) else 2


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

    @cached_property
    def widths(self) -> list[float]:
        """Widths of its columns in characters: of each the widest that a block asks for."""
        wanted: dict[int, float] = {}
        for block in self.sheet.blocks:
            for col, width in _widths(block, self.grid):
                wanted[col] = max(width, wanted.get(col, 0))
        return [wanted.get(col) or USUAL_WIDTH for col in range(max(wanted, default=0) + 1)]

    @cached_property
    def on_paper(self) -> int:
        """How many of its columns, from the left, are printed."""
        for table in self.tables:
            for col, column in enumerate(table.columns):
                if not column.printed:
                    return col
        return columns_on_page(self.widths) if self.sheet.working else len(self.widths)

    @property
    def sentence(self) -> str:
        """What stands below its name."""
        cut = self.sheet.working and self.on_paper < len(self.widths)
        return self.sheet.title + (" On paper stand its first columns." if cut else "")

    def last_column(self, table: Table) -> int:
        """The rightmost column that a table uses, from 0."""
        return _last_column(table, self.grid)

    def labels(self) -> Iterator[Label]:
        """Every standing text."""
        yield Label("name", self.sheet.name, 0)
        yield Label("sentence", self.sentence, 1)
        for block, row in self.blocks:
            if isinstance(block, Words):
                right = min(self.on_paper - 1, WORDS_COLUMNS - 1)
                lead = "Caution: " if block.look == "caution" else ""
                yield from (Label(block.look, lead + line, row + i, 0, right) for i, line in enumerate(block.lines))
            elif isinstance(block, Table):
                yield from self.labels_of(block)

    def labels_of(self, table: Table) -> Iterator[Label]:
        """The standing texts of a table."""
        row, right = self.grid.places[table.name].top - heading_rows(table) - 1, self.last_column(table)
        yield Label("title", table.title, row, 0, right)
        if table.note:
            col = 1
            while col < right and sum(self.widths[:col]) < 1.3 * len(table.title):
                col += 1
            col = min(col, right) + (table.kind == "across")
            yield Label("remark", table.note, row, col, col)
        yield from {"down": self._down, "across": self._beside, "form": self._beside}[table.kind](table, row + 1)

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
        grouped = heading_rows(table) == 3
        col = 0
        for title, columns in groupby(table.columns, key=lambda column: column.group) if grouped else ():
            right = col + len(list(columns)) - 1
            yield Label("group", title, row, col, right)
            col = right + 1
        for col, column in enumerate(table.columns):
            yield Label("head", column.title, row + grouped, col, col, column)
            yield Label("unit", unit_label(column), row + grouped + 1, col, col, column)

    def _beside(self, table: Table, row: int) -> Iterator[Label]:
        """Left of a form's cells, or of records side by side: groups, titles, units; right of a form's the notes."""
        place, form = self.grid.places[table.name], table.kind == "form"
        if form:
            yield from (Label("head", text, row, col, col) for col, text in enumerate(FORM_HEADS))
        unit = FORM_PARTS.index("unit") if form else 1
        remark = FORM_PARTS.index("note")
        heading = ""
        for column, offset in zip(table.columns, table.rows, strict=True):
            at = place.top + offset
            if column.group and column.group != heading:
                heading = column.group
                yield Label("band", heading, at - 1, 0, remark if form else place.left + place.count - 1)
            yield Label("asked" if form else "label", column.title, at, 0, 0, column)
            yield Label("label unit", unit_label(column), at, unit, unit, column)
            if form:
                last = max(remark, min(self.on_paper, WORDS_COLUMNS) - 1)
                yield Label("note", column.note, at, remark, last, column)


def unit_label(column: Column) -> str:
    """A column's unit as it is shown; money stays money until somebody knows the currency."""
    return {"share": "%", "number": "", "factor": "", "o'clock": "h", "clock": "h"}.get(column.unit, column.unit)


def lay_out(sheets: Sequence[Sheet], study: object) -> tuple[Grid, tuple[Page, ...]]:
    """Every table in its place, and every sheet with its blocks in theirs."""
    tables: dict[str, Table] = {}
    places: dict[str, Corner] = {}
    rows = [tuple(_stack(sheet, study, tables, places)) for sheet in sheets]
    grid = Grid(tables, places)
    return grid, tuple(Page(sheet, first, grid) for sheet, first in zip(sheets, rows, strict=True))


def _stack(sheet: Sheet, study: object, tables: dict[str, Table], places: dict[str, Corner]) -> Iterator[int]:
    """The first row of each block; tables are entered with their places."""
    row, above = FIRST_ROW, None
    for block in sheet.blocks:
        if isinstance(block, Chart) and block.beside and above:
            yield places[above.name].top + above.rows[above.index[block.beside]]
            continue
        yield row
        if isinstance(block, Words):
            row += len(block.lines) + 1
        elif isinstance(block, Chart):
            row += block.rows + 1
        else:
            count = len(block.constants or many(follow(study, block.records)))
            top = row + 1 + heading_rows(block)
            tables[block.name] = above = block
            places[block.name] = Corner(sheet.name, top, ACROSS_LEFT if block.kind == "across" else 0, count)
            row = top + height(block, count) + 1


def _last_column(table: Table, grid: Grid) -> int:
    if table.kind == "form":
        return len(FORM_PARTS) - 1
    return ACROSS_LEFT + grid.places[table.name].count - 1 if table.kind == "across" else len(table.columns) - 1


def _widths(block: Block, grid: Grid) -> Iterator[tuple[int, float]]:
    """The columns a block takes, with the width it asks for, 0 where it asks for none."""
    if isinstance(block, Words) and block.width:
        yield from enumerate((block.width, *[0] * (WORDS_COLUMNS - 1)))
    elif isinstance(block, Table) and block.kind == "down":
        yield from enumerate(column.width for column in block.columns)
    elif isinstance(block, Table):
        parts = FORM_PARTS if block.kind == "form" else ("title", "unit")
        yield from enumerate(block.widths.get(part, 0) for part in parts)
        yield from ((col, block.widths.get("record", 0)) for col in range(len(parts), _last_column(block, grid) + 1))
