"""Where the tables of a returned workbook stand now: sheets renamed and reordered, rows and columns inserted.

Defined names are looked up first. They follow every edit, but a program may drop them: then headings are.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import SequenceMatcher
from functools import cached_property, lru_cache
from types import MappingProxyType
from typing import Final

from holdover.case.schema import MAX_CANDIDATES, MAX_DAYS, MAX_LOADS, Case
from holdover.model.study import Slots, Study, study
from holdover.returned.shifts import GONE, Gap, Shift, Sightings, gaps, shift_of
from holdover.returned.spelling import column_of, references
from holdover.workbook.book import sheets_for
from holdover.workbook.column import Column, Part, Table, input_name
from holdover.workbook.grid import Area, Grid
from holdover.workbook.page import Page, lay_out
from holdover.xlsx import Book, CellData, SheetData

US_NAME: Final = "kept_sizing_lift_kg"
"""A name that only a workbook in US units defines."""
TITLE_WITHIN: Final = 30
"""Rows of a sheet in which its title is looked for [count]."""
MOST: Final = MappingProxyType({"lines": MAX_LOADS + 100, "offers": MAX_CANDIDATES + 20, "outage.clock": MAX_DAYS})
"""Loads, candidates and days of outage that a workbook of ours may hold, by the records of their tables [count].

As many as a case may have; of loads and candidates room for some put in."""
ANCHORS: Final = ("name", "sentence", "corner", "hint", "plain", "caution", "title", "band", "head", "label", "asked")
"""Kinds of labels in a sheet's first column by which its rows are found again."""
BLANK_ROOM: Final = 700
"""Rows and columns behind the last filled cell of a sheet to which a name may reach [count]."""

Lines = dict[int, frozenset[int]]
At = tuple[int, int]
"""Row and column, from 0."""
Texts = Sequence[tuple[int, str]]
"""Texts, each with its row or column from 0."""


@dataclass(frozen=True)
class Shipped:
    """A workbook as it is written."""

    slots: Slots
    grid: Grid
    pages: tuple[Page, ...]
    empty: Study

    @cached_property
    def formulas(self) -> Mapping[str, Mapping[tuple[int, int], str]]:
        """Every formula, by sheet, row and column from 0. Few readers need them, and they are many."""
        formulas: dict[str, dict[tuple[int, int], str]] = {page.sheet.name: {} for page in self.pages}
        for cell in self.grid.cells(self.empty):
            if cell.computed:
                formulas[cell.sheet][cell.row, cell.col] = cell.formula
        return formulas

    @cached_property
    def worked_out(self) -> Mapping[str, Sequence[tuple[Table, Column, At, At]]]:
        """By sheet, every column that is worked out, with its first cell and its last."""
        lines: dict[str, list[tuple[Table, Column, At, At]]] = {}
        for table in self.grid.tables.values():
            place, form = self.grid.places[table.name], table.kind == "form"
            for column in table.columns:
                if not column.kept and (column.formula or (form and column.field)):
                    first, last = (self.grid.at(table, column.name, i) for i in (0, 0 if form else place.count - 1))
                    lines.setdefault(place.sheet, []).append((table, column, first, last))
        return lines

    @cached_property
    def headings(self) -> Mapping[str, tuple[Texts, Mapping[int, Texts]]]:
        """By sheet, its labels in the first column by row, and the heads of each row by column."""
        found: dict[str, tuple[Texts, Mapping[int, Texts]]] = {}
        for page in self.pages:
            first = [(each.row, each.text) for each in page.labels() if each.kind in ANCHORS and each.col == page.left]
            heads: dict[int, list[tuple[int, str]]] = {}
            for label in page.labels():
                if label.kind == "head":
                    heads.setdefault(label.row, []).append((label.col, label.text))
            found[page.sheet.name] = first, {row: sorted(texts) for row, texts in heads.items()}
        return found

    @cached_property
    def ends(self) -> Mapping[str, tuple[int, int]]:
        """By sheet, the last row and the last column that has a name, from 0."""
        ends: dict[str, tuple[int, int]] = {}
        for sheet, _, _, bottom, right in self.grid.names.values():
            row, col = ends.get(sheet, (0, 0))
            ends[sheet] = max(row, bottom), max(col, right)
        return ends


@lru_cache(maxsize=8)
def shipped(slots: Slots) -> Shipped:
    """The workbook with that many slots. Its layout depends on nothing else."""
    slots = replace(slots, keys=None)
    empty = study(Case(), slots)
    return Shipped(slots, *lay_out(sheets_for(slots), empty), empty)


class FoundGrid(Grid):
    """The tables where they now stand. Sheets keep the names they were written under; `sheets` has today's."""

    def __init__(self, grid: Grid, sheets: Mapping[str, str], rows: Mapping[str, Shift], cols: Mapping[str, Shift]):
        super().__init__(grid.tables, grid.places)
        self.sheets, self.rows, self.cols = sheets, rows, cols
        self.strayed: dict[tuple[str, str, Part], tuple[int, int]] = {}
        """Columns whose name points elsewhere than their table stands: their first cell."""

    def at(self, table: Table, column: str, record: int, part: Part = "") -> tuple[int, int]:
        """Row and column of a cell now, from 0; GONE for one that was deleted."""
        if part == "set" and (slot := self.slots.get(f"{table.name}.{column}")):
            return self.at(*slot, record, part)
        row, col = super().at(table, column, record, part)
        sheet = self.places[table.name].sheet
        stray = self.strayed.get((table.name, column, part)) if self.strayed else None
        if stray is None:
            return self.rows[sheet].at(row), self.cols[sheet].at(col)
        first = super().at(table, column, 0, part)
        return stray[0] + row - first[0], stray[1] + col - first[1]

    def shifts(self, sheet: str) -> tuple[Callable[[int], int], Callable[[int], int]]:
        """Where a row and a column of a sheet stand now, each from 0; GONE for one that was deleted."""
        return self.rows[sheet].at, self.cols[sheet].at

    def sheet_of(self, table: Table) -> str:
        """Today's name of its sheet, "" where that is gone."""
        return self.sheets[self.places[table.name].sheet]

    def own_cell(self, table: Table, column: str) -> tuple[int, int]:
        """Where the cell of a form stands that says where a setting is typed instead, from 0; GONE if deleted."""
        place = self.places[table.name]
        row, col = place.top + table.rows[table.index[column]], place.left + table.before("set")
        return self.rows[place.sheet].at(row), self.cols[place.sheet].at(col)

    def along(self, table: Table) -> Callable[[int], int]:
        """Where each place for a record stands now, by its number; -1 is the line before the first."""
        place = self.places[table.name]
        down = table.kind == "down"
        shift, start = (self.rows if down else self.cols)[place.sheet], place.top if down else place.left
        step = table.cells.get("record", 1) if table.kind == "across" else 1
        return lambda record: shift.at(start + step * record)

    def inserted(self, table: Table) -> tuple[int, ...]:
        """Rows of a table, or columns where its records stand side by side, that were put between its records."""
        if table.kind == "form" or not self.sheet_of(table):
            return ()
        place, down = self.places[table.name], table.kind == "down"
        shift, start = (self.rows if down else self.cols)[place.sheet], place.top if down else place.left
        taken = place.count * (1 if down else table.cells.get("record", 1))
        stand = [now for now in map(shift.at, range(start, start + taken)) if now != GONE]
        return tuple(sorted(set(range(min(stand), max(stand) + 1)) - set(stand))) if stand else ()


@dataclass(slots=True)
class Search:
    """What is looked through to place the tables."""

    book: Book
    shipped: Shipped
    by_name: dict[str, SheetData] = field(init=False)
    areas: dict[str, Area] = field(init=False)

    def __post_init__(self) -> None:
        self.by_name = {sheet.name: sheet for sheet in self.book.sheets}
        ends = {
            name: (max(sheet.rows, default=0), max(map(max, filter(None, sheet.rows.values())), default=0))
            for name, sheet in self.by_name.items()
        }
        self.areas = {}
        for name, (sheet, text) in self.book.names.items():
            area, (last, right) = corners_of(sheet, text), ends.get(sheet, (0, 0))
            if area[1] >= 0 and area[3] < last + BLANK_ROOM and area[4] < right + BLANK_ROOM:
                self.areas[name] = area

    def place(self) -> FoundGrid:
        """The tables where they now stand."""
        homes = self._homes()
        sheets = {page.sheet.name: self._sheet_of(page, homes) for page in self.shipped.pages}
        rows, cols = {name: Sightings() for name in sheets}, {name: Sightings() for name in sheets}
        for name, (sheet, *was) in self.shipped.grid.names.items():
            area = self.areas.get(name.casefold())
            if area and area[0] == sheets[sheet]:
                for one, now in ((was[0], area[1]), (was[2], area[3])):
                    rows[sheet].add(one, now, 3)
                for one, now in ((was[1], area[2]), (was[3], area[4])):
                    cols[sheet].add(one, now, 3)
        for page in self.shipped.pages:
            name = page.sheet.name
            if sheets[name]:
                self._see_headings(page, self.by_name[sheets[name]], rows[name], cols[name])
        self._see_references(sheets, rows, cols)
        grid = FoundGrid(
            self.shipped.grid,
            sheets,
            {name: self._shift(name, sheets[name], seen, 0) for name, seen in rows.items()},
            {name: self._shift(name, sheets[name], seen, 1) for name, seen in cols.items()},
        )
        self._see_strays(grid)
        return grid

    def _homes(self) -> dict[str, Counter[str]]:
        """By sheet as written, the sheets on which its names now stand."""
        homes: dict[str, Counter[str]] = {}
        for name, (sheet, *_) in self.shipped.grid.names.items():
            area = self.areas.get(name.casefold())
            if area:
                homes.setdefault(sheet, Counter())[area[0]] += 1
        return homes

    def _sheet_of(self, page: Page, homes: Mapping[str, Counter[str]]) -> str:
        """The sheet with its names; else with its own name; else with its title; "" where there is none."""
        name = page.sheet.name
        if name in homes:
            return homes[name].most_common(1)[0][0]
        taken = {counts.most_common(1)[0][0] for counts in homes.values()}
        rest = [each for each in self.book.sheets if each.name not in taken]
        for each in rest:
            if each.name.casefold() == name.casefold():
                return each.name
        return next((each.name for each in rest if _title_of(each, page) is not None), "")

    def _see_headings(self, page: Page, found: SheetData, rows: Sightings, cols: Sightings) -> None:
        title = _title_of(found, page)
        first = title[1] if title else 1
        cols.add(page.left, first - 1)
        was, heads_by_row = self.shipped.headings[page.sheet.name]
        now = [(row, text) for row, cells in sorted(found.rows.items()) if (text := _text(cells, first))]
        for one, other in _matches(was, now):
            rows.add(one, other - 1)
        known = rows.known()
        for row, heads in heads_by_row.items():
            if row not in known:
                continue
            cells = found.rows.get(known[row] + 1, {})
            now = [(col, text) for col in sorted(cells) if (text := _text(cells, col))]
            for one, other in _matches(heads, now):
                cols.add(one, other - 1)

    def _see_references(
        self, sheets: Mapping[str, str], rows: Mapping[str, Sightings], cols: Mapping[str, Sightings]
    ) -> None:
        """Formulas of sheets that nobody cut into say where the rows of the others went."""
        torn = [name for name in sheets if gaps(rows[name].known()) or gaps(cols[name].known())]
        if not torn:
            return
        cut = {name.upper() for name in torn}
        names = {name.upper(): name for name in sheets}
        back = {now.upper(): was.upper() for was, now in sheets.items()}
        for name, formulas in self.shipped.formulas.items():
            if name.upper() in cut or not sheets[name]:
                continue
            down, along = (_plainly(seen[name]) for seen in (rows, cols))
            cells = self.by_name[sheets[name]].rows
            for (row, col), formula in formulas.items():
                cell = cells.get(down.at(row) + 1, {}).get(along.at(col) + 1)
                if cell is None or not any(each in formula for each in torn):
                    continue
                said = references(formula, name)
                if not any(sheet in cut for sheet, *_ in said):
                    continue
                says = [(back.get(s, s), r, c) for s, r, c in references(cell.formula, sheets[name])]
                if len(said) == len(says):
                    for (sheet, r, c), (other, r_now, c_now) in zip(said, says, strict=True):
                        if sheet == other and sheet in cut:
                            rows[names[sheet]].add(r, r_now)
                            cols[names[sheet]].add(c, c_now)

    def _shift(self, name: str, now: str, seen: Sightings, axis: int) -> Shift:
        """The shift of a sheet's rows (axis 0) or columns (axis 1)."""

        def break_of(gap: Gap) -> int:
            low, high, first, after = gap
            was, is_ = self._lines_of(name, now, axis)

            def score(last: int) -> tuple[int, int]:
                before = sum(was.get(i) == is_.get(i + first) for i in range(low, last + 1) if i in was)
                beyond = sum(was.get(i) == is_.get(i + after) for i in range(last + 1, high) if i in was)
                return before + beyond, last

            return max(range(low, high), key=score)

        return shift_of(seen.known(), self.shipped.ends.get(name, (0, 0))[axis] + 61, break_of)

    def _lines_of(self, name: str, now: str, axis: int) -> tuple[Lines, Lines]:
        """Where formulas stood, and stand now: by row the columns (axis 0), by column the rows."""
        cells = self.by_name[now].rows if now else {}
        here = ((row - 1, col - 1) for row, line in cells.items() for col, cell in line.items() if cell.worked_out)
        return _lines(self.shipped.formulas[name], axis), _lines(here, axis)

    def _see_strays(self, grid: FoundGrid) -> None:
        """Input columns whose name does not stand where the rest of their table stands: the name counts."""
        for table in grid.tables.values():
            part: Part = "set" if table.kind == "form" else ""
            for column in table.columns:
                area = self.areas.get(input_name(table, column).casefold()) if column.section else None
                if not area or area[0] != grid.sheets[grid.home_of(table, column, part)]:
                    continue
                if (area[1], area[2]) != grid.at(table, column.name, 0, part):
                    home, name = grid.slots.get(f"{table.name}.{column.name}", (table, column.name))
                    grid.strayed[home.name, name, part] = area[1], area[2]


def slots_of(book: Book) -> Slots | None:
    """How many rows, columns and days a workbook was written with: from its property, else from the sizes of its names."""
    slots = stated_slots(book) or _sized_slots(book)
    return replace(slots, us=_is_us(book)) if slots else None


def _is_us(book: Book) -> bool:
    """Whether it was written in US units: by its property, else by a name that only such a workbook has."""
    return book.properties.get("holdover_units", "US" if US_NAME in book.names else "metric") == "US"


def stated_slots(book: Book) -> Slots | None:
    """What its property says, None where that is not what a workbook of ours may say."""
    words = book.properties.get("holdover_slots", "").split()
    if len(words) != len(MOST) or not all(re.fullmatch("[0-9]{1,4}", word) for word in words):
        return None
    return _within(*map(int, words))


def _sized_slots(book: Book) -> Slots | None:
    sizes: dict[str, Counter[int]] = {records: Counter() for records in MOST}
    grid = shipped(Slots(loads=1, candidates=1, days=1)).grid
    for table in grid.tables.values():
        if table.records not in sizes:
            continue
        for column in table.columns:
            found = book.names.get(f"{table.name}_{column.name}".casefold())
            if found:
                _, top, left, bottom, right = corners_of(*found)
                sizes[table.records][bottom - top + 1 if table.kind == "down" else right - left + 1] += 1
    if not all(sizes.values()):
        return None
    loads, candidates, moments = (counts.most_common(1)[0][0] for counts in sizes.values())
    return _within(loads, candidates, moments // 24)


def _within(loads: int, candidates: int, days: int) -> Slots | None:
    """So many slots, None where no workbook of ours has them: nothing is laid out on the word of a file alone."""
    fits = all(0 < size <= most for size, most in zip((loads, candidates, days), MOST.values(), strict=True))
    return Slots(loads=loads, candidates=candidates, days=days) if fits else None


def corners_of(sheet: str, area: str) -> Area:
    """Sheet and corners, from 0, of an absolute area, whichever of its corners are named and in which order."""
    first, _, last = area.partition(":")
    top, left = _cell(first)
    if not last:
        return sheet, top, left, top, left
    bottom, right = _cell(last)
    return sheet, min(top, bottom), min(left, right), max(top, bottom), max(left, right)


def _cell(text: str) -> At:
    _, letters, number = text.split("$")
    return int(number) - 1, column_of(letters)


def _title_of(found: SheetData, page: Page) -> tuple[int, int] | None:
    """Row and column of a sheet's title that has its sentence below it."""
    for row in range(1, TITLE_WITHIN):
        for col, cell in found.rows.get(row, {}).items():
            if cell.value == page.sheet.name and any(
                _text(found.rows.get(below, {}), col) == page.sheet.title for below in range(row + 1, TITLE_WITHIN)
            ):
                return row, col
    return None


def _text(cells: Mapping[int, CellData], col: int) -> str:
    cell = cells.get(col)
    return cell.value.strip() if cell and isinstance(cell.value, str) else ""


def _matches(was: Sequence[tuple[int, str]], now: Sequence[tuple[int, str]]) -> Iterable[tuple[int, int]]:
    """Places of equal texts in equal order; one that has moved while those on both sides have not is another's text."""
    before, after = [text for _, text in was], [text for _, text in now]
    if before == after:
        blocks = [(0, 0, len(was))]
    else:
        blocks = [*SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()]
    found = [(was[a + i][0], now[b + i][0]) for a, b, size in blocks for i in range(size)]
    moved = [there - here for here, there in found]
    for i, match in enumerate(found):
        if not (0 < i < len(found) - 1 and moved[i - 1] == moved[i + 1] != moved[i]):
            yield match


def _lines(cells: Iterable[tuple[int, int]], axis: int) -> Lines:
    """By row, the columns in which formulas stand; by column, the rows."""
    found: dict[int, set[int]] = {}
    for cell in cells:
        found.setdefault(cell[axis], set()).add(cell[1 - axis])
    return {line: frozenset(places) for line, places in found.items()}


def _plainly(seen: Sightings) -> Shift:
    return shift_of(seen.known(), 600, lambda gap: gap[1] - 1)
