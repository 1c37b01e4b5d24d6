"""Every table of a workbook in its place: where a cell stands, and the formula and the value in it."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any, Final, NamedTuple, TypeVar

from holdover.workbook import typed
from holdover.workbook.column import FORM_PART, Column, Part, Table, Value, input_name, values_of
from holdover.workbook.path import follow
from holdover.xlsx import column_letters

Made = TypeVar("Made")
Area = tuple[str, int, int, int, int]
"""Sheet and corners: top, left, bottom and right, from 0."""
REFERENCE: Final = re.compile(r"\{(?:([\w@]+)\.)?([\w@]+)(?:\[(same|daily(?:-1)?|-1|\+1|last|end|\d+)\])?\}")


@dataclass(frozen=True, slots=True)
class Corner:
    """Where a table stands: its first record's first cell, from 0."""

    sheet: str
    top: int
    left: int
    count: int


class Cell(NamedTuple):
    """One cell of the map."""

    table: Table
    column: Column
    record: int
    part: Part
    sheet: str
    row: int
    col: int
    fill: str | Callable[[int], str]  # its formula, or what puts it together by the number of the record
    value: Value  # what the reference model says, or what was typed

    def __str__(self) -> str:
        return f"{self.table.name}.{self.column.name}[{self.record}]{self.part and ' ' + self.part}"

    @property
    def formula(self) -> str:
        """Its formula, empty where none stands."""
        return self.fill if isinstance(self.fill, str) else self.fill(self.record)

    @property
    def computed(self) -> bool:
        """Whether a formula stands there; which one is put together only for who reads it."""
        return bool(self.fill)

    @property
    def typed(self) -> bool:
        """Whether it is an input: people type here."""
        return self.column.section is not None and self.part in ("set", "") and not self.computed


class Run(NamedTuple):
    """The cells of a column, and what stands in each by the number of its record."""

    table: Table
    column: Column
    sheet: str
    row: int
    col: int
    down: int
    """Rows from a cell to the next one, and columns."""
    along: int
    length: int
    formula: Callable[[int], str]
    value: Callable[[int], Any]

    def at(self, record: int) -> tuple[int, int]:
        """Row and column of a cell, from 0."""
        return self.row + record * self.down, self.col + record * self.along


class Grid:
    """All tables of a workbook, in their places."""

    def __init__(self, tables: Mapping[str, Table], places: Mapping[str, Corner]) -> None:
        self.tables = tables
        self.places = places
        self._keeps = False
        self._kept: dict[tuple[str, ...], Any] = {}

    def keep(self) -> None:
        """From now on keep what is asked for by `once`, since more workbooks like this one come: it takes some memory."""
        self._keeps = True

    def once(self, key: tuple[str, ...], make: Callable[[], Made]) -> Made:
        """What hangs on the layout alone, whatever the study: of workbooks that are alike it is made for the first."""
        if not self._keeps:
            return make()
        if key not in self._kept:
            self._kept[key] = make()
        made: Made = self._kept[key]
        return made

    def at(self, table: Table, column: str, record: int, part: Part = "") -> tuple[int, int]:
        """Row and column of a cell, from 0."""
        place = self.places[table.name]
        try:
            index = table.index[column]
        except KeyError:
            close = get_close_matches(column, table.index, n=1)
            raise KeyError(f"no column {column!r} in table {table.name!r}; nearest: {close}") from None
        if table.kind == "form":
            if part == "set" and (slot := self.slots.get(f"{table.name}.{column}")):
                return self.at(*slot, 0, "set")
            return place.top + table.rows[index], place.left + table.before(FORM_PART[part])
        if table.kind == "across":
            return place.top + table.rows[index], place.left + record * table.stride
        return place.top + record, place.left + table.offsets[index]

    def reach(self, table: Table, column: Column, part: Part = "") -> int:
        """How many of the sheet's columns a cell takes."""
        if table.kind == "down":
            return column.cells
        slot = self.slots.get(f"{table.name}.{column.name}") if part == "set" else None
        if slot:
            return slot[0].cells.get("set", 1)
        if table.kind == "across":
            return max(column.cells, table.cells.get("record", 1))
        return table.cells.get(FORM_PART[part], 1)

    @cached_property
    def readers(self) -> Mapping[str, Table]:
        """The tables that read what is typed, by the table in which it is."""
        return {table.reads: table for table in self.tables.values() if table.reads}

    @cached_property
    def keepers(self) -> Mapping[str, Table]:
        """The tables that keep what others show in other units, by the tables that show it."""
        return {table.keeps: table for table in self.tables.values() if table.keeps}

    def meant(self, table: Table, other: str, name: str) -> str:
        """The table whose cell a formula of a table means by a name: of what is typed, where it is read."""
        keeper = self.keepers.get(other)
        if keeper and not table.literal and name in keeper.index:
            return keeper.name
        reader = None if table.literal else self.readers.get(other)
        return reader.name if reader and self.tables[other].kind != "form" and name in reader.index else other

    @cached_property
    def slots(self) -> Mapping[str, tuple[Table, str]]:
        """Settings that are typed in another table than their own, each with that table and its column."""
        return {c.slot: (table, c.name) for table in self.tables.values() for c in table.columns if c.slot}

    def home_of(self, table: Table, column: Column, part: Part = "") -> str:
        """The sheet on which a cell stands."""
        slot = self.slots.get(f"{table.name}.{column.name}") if part == "set" else None
        return self.places[slot[0].name if slot else table.name].sheet

    @cached_property
    def names(self) -> Mapping[str, Area]:
        """Every name that a formula may use, with its sheet and corners."""
        found: dict[str, Area] = {}
        for table in self.tables.values():
            place = self.places[table.name]
            last = 0 if table.kind == "form" else place.count - 1
            spans = [(c.name, c.name, c.name) for c in table.columns] + list(table.spans)
            for name, left, right in spans:
                corners = (*self.at(table, left, 0), *self.at(table, right, last))
                found[f"{table.name}_{name}"] = (place.sheet, *corners)
            if table.kind == "form":
                for c in table.columns:
                    if c.section:
                        corner = self.at(table, c.name, 0, "set")
                        found[input_name(table, c)] = (self.home_of(table, c, "set"), *corner, *corner)
        for shown, keeper in self.keepers.items():  # a name means what is counted with
            found |= {f"{shown}_{c.name}": found[f"{keeper.name}_{c.name}"] for c in keeper.columns}
        return found

    @cached_property
    def used(self) -> frozenset[str]:
        """Every name that a formula uses; a form's own formula names what is typed elsewhere."""
        named = frozenset(
            f"{self.meant(table, other, name)}_{name}".replace("@", str(i))
            for table in self.tables.values()
            for column in table.columns
            for text in column.texts
            for other, name, record in REFERENCE.findall(text)
            if other and not record
            for i in range(self.places[table.name].count if "@" in other + name else 1)
        )
        forms = (t for by in (self.readers, self.keepers) for n, t in by.items() if self.tables[n].kind == "form")
        return named | {f"{t.name}_{column.name}" for t in forms for column in t.columns}

    @cached_property
    def defined(self) -> Mapping[str, Area]:
        """The names that a workbook defines: of inputs, single figures and lists to choose from, and those in use."""
        standing = {
            name
            for table in self.tables.values()
            for c in table.columns
            for name in (f"{table.name}_{c.name}", input_name(table, c))
            if c.section
            or (c.unit and self.places[table.name].count == 1 and not table.literal)
            or table.name.startswith("list_")
        }
        return {name: area for name, area in self.names.items() if name in standing or name in self.used}

    def cells(self, study: object) -> Iterator[Cell]:
        """The one map, table by table."""
        for table in self.tables.values():
            yield from self.cells_of(table, study)

    def cells_of(self, table: Table, study: object) -> Iterator[Cell]:
        """The cells of one table, with what the model says of each."""
        if table.kind == "form":
            yield from self._form(table, study)
            return
        for column in table.columns:
            yield from self.cells_in(table, column, study)

    def cells_in(self, table: Table, column: Column, study: object) -> Iterator[Cell]:
        """The cells of one column of a table that is no form; the column may differ from the one declared."""
        run = self.run(table, column, study)
        fill = run.formula if column.formula else ""
        for i in range(run.length):
            yield Cell(table, column, i, "", run.sheet, *run.at(i), fill, run.value(i))

    def run(self, table: Table, column: Column, study: object) -> Run:
        """The cells of one column of a table that is no form, as a whole; the column may differ from the one declared."""
        place, at = self.places[table.name], self.at(table, column.name, 0)
        steps = (1, 0) if table.kind == "down" else (0, table.stride)
        key = table.name, "formula", column.formula, column.first
        formula = self.once(key, lambda: self._formula_of(table, column))
        return Run(table, column, place.sheet, *at, *steps, place.count, formula, values_of(table, column, study))

    def _formula_of(self, table: Table, column: Column) -> Callable[[int], str]:
        """The formula of a column by the number of the record; it is put together when first asked for."""
        fills: list[Callable[[int], str]] = []

        def formula(record: int) -> str:
            if not fills:
                fills.extend(self._filled(table, text) for text in (column.first or column.formula, column.formula))
            text = fills[record > 0](record)
            return f"=({text[1:]})" if table.chained and record % 2 and text else text

        return formula

    def _form(self, table: Table, study: object) -> Iterator[Cell]:
        section = follow(study, table.records)
        sheet = self.places[table.name].sheet
        reader = self.readers.get(table.name)
        for column in table.columns:
            path, at = column.path or column.name, self.at(table, column.name, 0)
            if column.field is None:
                formula = self._filled(table, column.formula)(0)
                yield Cell(table, column, 0, "", sheet, *at, formula, follow(section, path))
                continue
            given = path in section.model_fields_set
            usual = column.field.default
            standing = xl(*self.at(table, column.name, 0, "usual"))
            shown = typed.stored(column.field, getattr(section, path), column.shown) if given else None
            yield self._part(table, column, "set", shown)
            if table.cells.get("usual", 1):
                yield self._part(table, column, "usual", typed.stored(None, usual, column.shown))
            else:  # it has no cell of its own: the formula holds it
                standing = f'"{usual}"' if isinstance(usual, str) else f"{usual or 0:.15g}"
            silent = '""' if usual in (None, "") else standing
            counts = getattr(section, path)
            if column.otherwise:
                silent, counts = self._filled(table, column.otherwise[0])(0), follow(study, column.otherwise[1])
            used = typed.stored(None, counts, column.shown)
            said = f"{reader.name}_{column.name}" if reader else input_name(table, column)
            formula = f"={said}" if reader and silent == '""' else f'=IF({said}="",{silent},{said})'
            if column.shown and table.name in self.keepers:
                kept = f"{self.keepers[table.name].name}_{column.name}"
                formula = f'=IF({kept}="","",{column.shown.shown_text(kept)})'
            yield Cell(table, column, 0, "", sheet, *at, formula, "" if used is None else used)

    def _part(self, table: Table, column: Column, part: Part, value: Value) -> Cell:
        at, sheet = self.at(table, column.name, 0, part), self.home_of(table, column, part)
        return Cell(table, column, 0, part, sheet, *at, "", None if value == "" else value)

    def _filled(self, table: Table, text: str) -> Callable[[int], str]:
        """A function of the record's number that gives the formula with addresses in place of names."""
        return self.once((table.name, "fill", text), lambda: self._put_together(table, text))

    def _put_together(self, table: Table, text: str) -> Callable[[int], str]:
        template, end = "", 0
        moving: list[Callable[[int], str]] = []
        for match in REFERENCE.finditer(text):
            template += text[end : match.start()].replace("%", "%%")
            end = match.end()
            found = self._reference(table, *match.groups())
            before, after, move = (found, "", None) if isinstance(found, str) else found
            if template.endswith(":"):  # the second end of cells beside each other
                before = before.rpartition("!")[2]
            if move is None:
                template += before
            else:
                template += f"{before}%s{after}"
                moving.append(move)
        template += text[end:].replace("%", "%%")
        if not moving:
            standing = template.replace("%%", "%")
            return lambda _: standing
        return lambda record: template % tuple([move(record) for move in moving])

    def _reference(
        self, table: Table, other: str | None, name: str, record: str | None
    ) -> str | tuple[str, str, Callable[[int], str]]:
        """What stands for a name: an address or defined name, or one of which a part moves with the record."""
        if other is None and record is None and self.meant(table, table.name, name) != table.name:
            other, record = table.name, "same"
        if other is not None:
            other = self.meant(table, other, name)
        if other is None:
            if record == "last":
                return self._to_last(table, name)
            return self._moving(table, "", name, int(record or 0))
        if record is None:
            full = f"{other}_{name}"
            return ("", "", lambda i: self._known(full.replace("@", str(i)))) if "@" in full else self._known(full)
        if other not in self.tables or record in ("-1", "+1", "last"):
            raise KeyError(f"no table {other!r} with such a record, named by table {table.name!r}")
        target, sheet = self.tables[other], self.places[other].sheet
        there = "" if sheet == self.places[table.name].sheet else f"'{sheet}'!" if " " in sheet else f"{sheet}!"
        if record == "same":
            return self._moving(target, there, name, 0)
        if record.startswith("daily"):
            return self._turning(table, target, there, name, _shift(record))
        if record == "end":
            return there + xl(*self.at(target, name, self.places[other].count - 1), fixed=True)
        if "@" in name:
            return "", "", lambda i: there + xl(*self.at(target, name.replace("@", str(i)), int(record)), fixed=True)
        return there + xl(*self.at(target, name, int(record)), fixed=True)

    def alike(self, table: Table, column: Column) -> Sequence[range]:
        """Which records' formulas read the same, each from its own cell; a record whose formula reads otherwise is alone."""
        return self.once((table.name, "alike", column.name), lambda: self._alike(table, column))

    def _alike(self, table: Table, column: Column) -> Sequence[range]:
        length, first = self.places[table.name].count, int(bool(column.first))
        if table.kind == "form" or not self._reads_alike(table, column):
            return [range(i, i + 1) for i in range(length)]
        apart = [range(first)] if first else []
        if table.chained:
            return [*apart, *(range(i, length, 2) for i in range(first, min(first + 2, length)))]
        return [*apart, *(range(*pair) for pair in pairwise(sorted({first, *self._begun_anew(table, column), length})))]

    def _begun_anew(self, table: Table, column: Column) -> Iterator[int]:
        """The records at which another table, whose records come around again beside a column's, begins anew."""
        for other, _, which in set(REFERENCE.findall(column.formula)):
            if which.startswith("daily"):
                count, shift = self.places[other].count, _shift(which)
                yield from range(count - shift, self.places[table.name].count - 1 - shift, count)

    def _reads_alike(self, table: Table, column: Column) -> bool:
        """Whether a formula reads the same from each record's own cell, until a table comes around again.

        It stays on its sheet: what spreadsheet programs share between cells may not lead to another.
        """
        sheet = self.places[table.name].sheet
        for said, name, record in REFERENCE.findall(column.formula):
            other = self.meant(table, said or table.name, name)
            if "@" in other + name:
                return False
            target = self.tables.get(other, table)
            if (record or not said) and self.places[target.name].sheet != sheet:
                return False
            if (record.startswith(("same", "daily")) or not said) and (target.kind, target.stride) != (
                table.kind,
                table.stride,
            ):
                return False
        return True

    def _to_last(self, table: Table, name: str) -> tuple[str, str, Callable[[int], str]]:
        """The cells from the record's own to the last."""
        row, col = self.at(table, name, 0)
        last = self.places[table.name].count - 1
        if table.kind == "across":
            right = letters(col + last * table.stride)
            return "", f"{row + 1}:${right}{row + 1}", lambda i: letters(col + i * table.stride)
        column, end = letters(col), row + 1 + last
        return column, f":{column}${end}", lambda i: str(row + 1 + i)

    def _moving(self, table: Table, there: str, name: str, shift: int) -> tuple[str, str, Callable[[int], str]]:
        """The record's own cell: its row moves down a table, its column moves across one, a form's stands."""
        if "@" in name:
            return "", "", lambda i: there + xl(*self.at(table, name.replace("@", str(i)), i + shift))
        row, col = self.at(table, name, 0)
        if table.kind == "down":
            first = row + 1 + shift
            return f"{there}{letters(col)}", "", lambda i: str(first + i)
        if table.kind == "across":
            step = table.stride
            left = col + shift * step
            return there, str(row + 1), lambda i: letters(left + i * step)
        return there, "", lambda _: xl(row, col)

    def _turning(
        self, table: Table, target: Table, there: str, name: str, shift: int
    ) -> tuple[str, str, Callable[[int], str]]:
        """The cell of the record whose turn it is: after a table's last one comes its first again.

        Beside a record that is by itself at the end, after which nothing comes, stands the blank after the last one.
        """
        before, after, move = self._moving(target, there, name, shift)
        count, most = self.places[target.name].count, max(0, self.places[table.name].count - 2)
        return before, after, lambda i: move(i - min(i + shift, most) // count * count)

    def _known(self, name: str) -> str:
        if name not in self.names:
            raise KeyError(f"no name {name!r}; nearest: {get_close_matches(name, self.names, n=1)}")
        return name


def _shift(record: str) -> int:
    """By how many records a turn comes before the one whose turn it is."""
    return int(record.removeprefix("daily") or 0)


@lru_cache(maxsize=4096)
def letters(col: int) -> str:
    """Column letters of a column number from 0."""
    return column_letters(col + 1)


def xl(row: int, col: int, *, fixed: bool = False) -> str:
    """A1 address of a row and column from 0."""
    return f"${letters(col)}${row + 1}" if fixed else f"{letters(col)}{row + 1}"
