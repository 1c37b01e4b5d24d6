"""A column is declared once: its name, title, unit, formula and where the model keeps its value.

Writer, reader, auditor and tests walk the same declarations; nothing else knows a cell address.

In a formula `{name}` is this record's cell, `{name[-1]}` the record's before it, `{name[+1]}` the record's after it and
`{name[last]}` the cells from this record to the last one. `{table.name}` is a defined name (the whole column of a table,
the one value of a form), `{table.name[same]}` the cell of the same record in another table, `{table.name[3]}` that of
record 3 (from 0) and `{table.name[end]}` that of the last one. Of a table whose records come around again beside this
one's, such as the hours of a day, `{table.name[daily]}` is the cell of the record whose turn it is, and
`{table.name[daily-1]}` that of the turn before. `@` inside a name stands for the number of the record (from 0).

What people type is read once, on a sheet of its own (`sheets/as_read.py`). A name of such a column means the cell that
was read, in every table but those that do the reading: theirs are `literal`.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import KW_ONLY, dataclass, field, replace
from functools import cached_property, partial
from itertools import accumulate
from typing import Any, Final, Literal

from pydantic.fields import FieldInfo

from holdover.case.measure import Measure
from holdover.case.section import Section, source_of, unit_of
from holdover.workbook import typed
from holdover.workbook.path import follow, many, stated, steps_of, values_at, walk

Value = float | str | None
Kind = Literal["down", "across", "form"]
Part = Literal["", "set", "usual"]
FORM_PARTS: Final = ("title", "set", "usual", "used", "unit", "note")
"""What stands beside each other in a row of a form."""
FORM_PART: Final[dict[Part, str]] = {"set": "set", "usual": "usual", "": "used"}
ACROSS_PARTS: Final = ("title", "unit", "record")
"""What stands beside each other where records do."""
SPARE: Final = '=""'
"""Test of a cell that is blank in a record that nobody has filled."""


@dataclass(frozen=True)
class Column:
    """One quantity: a column of a table, a row of a form."""

    name: str
    title: str
    unit: str = ""
    _: KW_ONLY
    formula: str = ""  # what the spreadsheet computes; "" where people type, or where a constant stands
    first: str = ""  # the first record's formula, which has nothing above it
    path: str = ""  # where the model keeps the value, if not at record.name; see `values_of`
    standing: tuple[Value, ...] = ()  # what stands there, a value a record, if it is neither typed nor the model's
    note: str = ""
    group: str = ""
    role: str = ""  # how it looks: see style.py
    width: float = 0  # of the sheet's column, in characters, in a table that runs down; 0: as others need it
    cells: int = 1  # how many of the sheet's columns it takes; where records stand side by side, if more than they do
    kept: bool = False  # what was handed over: it stays as it was written, whatever is computed by then
    slot: str = ""  # the setting, such as outage.days, that is typed here and nowhere else; see `Grid.slots`
    shown: Measure | None = None  # how it is shown and typed, if not in the unit it is kept in: see measures.py
    # Of a setting: a formula for what counts where nothing is typed, and the path in the study to what is in use then.
    otherwise: tuple[str, str] | None = None
    silent: str | None = None  # what stands there where the case says nothing, if not a blank
    skip: int = 0  # blank rows above it, where records stand side by side
    folded: bool = False  # it is folded away; a reader opens it with the sign in the margin
    printed: bool = True  # False: it does not go on paper, nor does what stands right of it
    off: str = ""  # SPARE: a record whose cell says so is not shown
    section: type[Section] | None = None  # where the schema declares it, if people type it
    free: bool = False  # anything may be typed, and is read as people write it; nothing is refused while typing
    offers: str = ""  # defined name of a list that its cells offer, where other words may be typed, too

    @property
    def texts(self) -> tuple[str, ...]:
        """Texts of its formulas."""
        return self.formula, self.first, *(self.otherwise or ())[:1]

    @cached_property
    def field(self) -> FieldInfo | None:
        """The input that people type, with its bounds and choices."""
        return self.section.model_fields[self.name] if self.section else None


@dataclass(frozen=True)
class Table:
    """Records that share columns. A form is one record: what is set, what is usual, what is in use."""

    name: str
    title: str
    records: str  # path in the study
    columns: tuple[Column, ...]
    _: KW_ONLY
    kind: Kind = "down"
    note: str = ""
    spans: tuple[tuple[str, str, str], ...] = ()
    # Widths of the sheet's columns by what stands in them: `title`, `unit` and `record` of a table whose records stand
    # side by side; the `FORM_PARTS` of a form.
    widths: Mapping[str, float] = field(default_factory=dict)
    # How many of the sheet's columns the same parts take, where it is not one each; 0: the part is left out.
    cells: Mapping[str, int] = field(default_factory=dict)
    step: int = 0  # the sheet's columns from a record to the one beside it; 0: as many as a record takes
    folded: bool = False  # all of it is folded away
    left: int = 0  # the sheet's column, from 0, in which it begins
    beside: bool = False  # it stands beside the block before, not below it
    gap: int = 1  # blank rows below it
    tall: float = 0  # height of its records' rows in points; 0: as usual
    tallest: float = 0  # the same where there is room: few records share the height of `ROOM_FOR` of them
    space: float = 0  # height of the blank row below it; 0: as usual
    marked: str = ""  # of records below each other: the column in which "1" stands in the one that is advised
    heads: bool = True  # whether its columns have headings, or its form headings
    units: bool = True  # whether a row of units stands below the headings
    constants: tuple[tuple[Value, ...], ...] = ()
    # Each record needs the one before. Every second one stands in brackets: LibreOffice works out a run of like
    # formulas at once, by threads, and then takes such a chain for a circle (Err:522). No two alike, no run.
    chained: bool = False
    reads: str = ""  # the table whose typed cells are read here
    keeps: str = ""  # the table whose figures stand here in the units they are kept in, since it shows them in others
    literal: bool = False  # its formulas name the cells in which people type, not what was read of them
    order: str = ""  # path in the study to the numbers of its records as they stand; "": as they come
    of_cells: bool = False  # it tells which of those cells can\'t be read; a case, and so the model, knows of none

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Place of each column by its name."""
        return {column.name: i for i, column in enumerate(self.columns)}

    @cached_property
    def offsets(self) -> tuple[int, ...]:
        """Of a table that runs down, the sheet's columns from its left edge to each of its own, and to its right edge."""
        return tuple(accumulate((column.cells for column in self.columns), initial=0))

    @property
    def stride(self) -> int:
        """Of records side by side, the sheet's columns from one to the next."""
        return self.step or self.cells.get("record", 1)

    def before(self, part: str) -> int:
        """Of any other table, the sheet's columns from its left edge to a part."""
        parts = FORM_PARTS if self.kind == "form" else ACROSS_PARTS
        return sum(self.cells.get(each, 1) for each in parts[: parts.index(part)])

    @cached_property
    def rows(self) -> tuple[int, ...]:
        """Offset of each column of an across table or form below its heading; a new group takes a row of its own."""
        offsets, at, heading = [], 0, ""
        for column in self.columns:
            if column.group and column.group != heading:
                heading, at = column.group, at + 1
            at += column.skip
            offsets.append(at)
            at += 1
        return tuple(offsets)


def asked(
    section: type[Section], *names: str, prefix: str = "", widths: Mapping[str, float] | None = None
) -> tuple[Column, ...]:
    """Input columns, as the schema declares them; all of the section's where none is named. `widths` go by name."""
    return tuple(
        Column(
            name,
            info.title or name,
            unit_of(info),
            path=f"{prefix}{name}",
            note=". ".join(
                part.rstrip(".")
                for part in (info.description or "", source_of(info) and f"Source: {source_of(info)}")
                if part
            ),
            width=(widths or {}).get(name, 0),
            section=section,
        )
        for name, info in section.model_fields.items()
        if not names or name in names
    )


def group(title: str, *columns: Column) -> tuple[Column, ...]:
    """Columns under a heading of their own."""
    return tuple(replace(column, group=title) for column in columns)


def each(numbers: Iterable[int], *columns: Column) -> tuple[Column, ...]:
    """The same columns once a number, # standing for it."""
    texts = ("name", "title", "formula", "first", "path", "note")
    return tuple(
        replace(column, **{text: getattr(column, text).replace("#", str(n)) for text in texts})
        for n in numbers
        for column in columns
    )


def input_name(table: Table, column: Column) -> str:
    """Defined name of the cells in which a column's inputs are typed."""
    return f"set_{table.name}_{column.name}" if table.kind == "form" else f"{table.name}_{column.name}"


def values_of(table: Table, column: Column, study: object) -> Callable[[int], Any]:
    """What stands in a column by the number of the record, from 0, as it is typed and shown.

    A path leads on from the record, or from the study where it begins with a slash: `@` in it is the record's number.
    So `held.packs` is what each record holds there, and `/months.3.cos_zenith.@` one value of the study a record.
    """
    if table.constants:
        return lambda i: table.constants[i][table.index[column.name]]
    if column.standing:
        return column.standing.__getitem__
    if table.order:
        order, value = follow(study, table.order), values_of(replace(table, order=""), column, study)
        return lambda i: value(order[i])
    path = column.path or column.name
    if not path.startswith("/"):
        records = many(follow(study, table.records))
        if column.silent is not None:
            return partial(stated, records, steps_of(path), column.silent)
        values = [*values_at(records, path)]
        info = column.field if table.kind != "form" else None
        if column.shown or (info and typed.is_clock(info)):
            values = [typed.stored(info, value, column.shown) for value in values]
        return values.__getitem__
    head, numbered, tail = path[1:].partition("@")
    one = walk(study, steps_of(head.strip(".")))
    steps = steps_of(tail.strip(".")) if tail else ()
    shown = column.shown
    return lambda i: typed.stored(None, walk(one[i], steps) if numbered else one, shown)
