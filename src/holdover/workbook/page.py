"""A sheet of the workbook: tables, words and charts, one below the other."""

from collections.abc import Mapping, Sequence
from dataclasses import KW_ONLY, dataclass
from typing import Any, Final, Literal

from holdover.workbook.grid import FORM_COLUMN, Grid, Place, Table, follow, many

FIRST_ROW: Final = 3
"""Row of the first block, below the sheet's title."""
ACROSS_LEFT: Final = 2
"""Column of the first record of an across table, right of title and unit."""


@dataclass(frozen=True)
class Words:
    """Standing text: how to read the sheet, or what can hurt."""

    lines: tuple[str, ...]
    _: KW_ONLY
    look: Literal["plain", "caution"] = "plain"


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
    widths: tuple[float, ...] = ()
    freeze: str = ""  # the table whose headings stay in sight
    paper: tuple[str, str] | None = None  # table and column of the last column that is printed
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


def lay_out(sheets: Sequence[Sheet], study: object) -> tuple[Grid, Mapping[int, int]]:
    """Every table in its place, and the row of every block by its identity."""
    tables: dict[str, Table] = {}
    places: dict[str, Place] = {}
    rows: dict[int, int] = {}
    for sheet in sheets:
        row = FIRST_ROW
        above = None
        for block in sheet.blocks:
            rows[id(block)] = row
            if isinstance(block, Chart) and block.beside and above:
                rows[id(block)] = places[above.name].top + above.rows[above.index[block.beside]]
            elif isinstance(block, Words):
                row += len(block.lines) + 1
            elif isinstance(block, Chart):
                row += block.rows + 1
            else:
                records: Any = block.constants or many(follow(study, block.records))
                top = row + 1 + heading_rows(block)
                left = ACROSS_LEFT if block.kind == "across" else 0
                tables[block.name] = block
                places[block.name] = Place(sheet.name, top, left, len(records))
                row = top + height(block, len(records)) + 1
                above = block
    return Grid(tables, places), rows


def last_column(table: Table, count: int) -> int:
    """The rightmost column that a table uses, from 0."""
    if table.kind == "form":
        return FORM_COLUMN[""] + 2
    return ACROSS_LEFT + count - 1 if table.kind == "across" else len(table.columns) - 1
