"""Every cell of a returned workbook against what was written there and against the model."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from holdover.case.safe_text import safe_text
from holdover.case.schema import FORMS, RECORDS
from holdover.case.section import Section, is_blank
from holdover.findings import show
from holdover.model.study import Study, study
from holdover.reading.entries import is_empty
from holdover.returned.found import corners_of
from holdover.returned.read import ADDED, Returned, Spot
from holdover.returned.spelling import moved, same
from holdover.workbook.column import input_name
from holdover.workbook.grid import Area, Cell, xl
from holdover.workbook.sheets.as_read import UNREAD
from holdover.xlsx import CellData

AGREE: Final = 1e-9
"""Largest relative difference between a result and the model; of sums that cancel, measured against one unit [-]."""

LONG: Final = 120
"""Longest text that is shown as a whole [characters]."""

Value = float | str | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One difference: where, what it is, what was there, what is there."""

    what: str
    sheet: str
    cell: str = ""
    label: str = ""
    was: Value = None
    now: Value = None

    @property
    def shown(self) -> tuple[str, str]:
        """What was there and what is there, as they may be shown: of long texts the part in which they differ."""
        if not (isinstance(self.was, str) and isinstance(self.now, str) and max(len(self.was), len(self.now)) > LONG):
            return _shown(self.was), _shown(self.now)
        pairs = enumerate(zip(self.was, self.now, strict=False))
        alike = next((i for i, (one, other) in pairs if one != other), min(len(self.was), len(self.now)))
        start = max(0, alike - LONG // 3)
        before, after = (f"{'…' if start else ''}{text[start:]}" for text in (self.was, self.now))
        return _shown(before), _shown(after)


@dataclass(slots=True, kw_only=True)
class Compared:
    """What a walk through a workbook found."""

    formulas: tuple[Change, ...] = ()
    values: tuple[Change, ...] = ()
    numbers: int = 0
    unstored: int = 0
    remarks: tuple[str, ...] = ()
    headline: str = ""
    """What is advised by the inputs as the workbook's formulas read them."""


def compare(returned: Returned) -> Compared:
    """Walk through all cells that were written."""
    walk = _Walk(returned)
    walk.cells()
    return Compared(
        formulas=(*walk.typed_formulas(), *walk.places(), *walk.formulas, *walk.names()),
        values=tuple(walk.values),
        numbers=walk.numbers,
        unstored=walk.unstored,
        remarks=tuple(walk.remarks()),
        headline=walk.study.decision.headline,
    )


def row_of(returned: Returned, part: str, record: int) -> Section:
    """A row of the case, or the only one of a form; a blank one beyond the last."""
    if part in FORMS:
        form: Section = getattr(returned.case, part)
        return form
    rows: tuple[Section, ...] = getattr(returned.case, part)
    return rows[record] if record < len(rows) else RECORDS[part]()


def label_of(part: str, record: int, name: str, row: Section) -> str:
    """What an input is called: whose it is, and its title."""
    title = str((FORMS | RECORDS)[part].model_fields[name].title)
    if part in FORMS:
        return title
    return f"{getattr(row, 'name', '') or f'{part} {record + 1}'}, {title}"


class _Walk:
    def __init__(self, returned: Returned) -> None:
        self.returned = returned
        self.grid = returned.grid
        self.rows = {sheet.name: sheet.rows for sheet in returned.book.sheets}
        slots = replace(returned.shipped.slots, keys=self._keys())
        self.study: Study = study(returned.counted, slots, unread=self._unread())
        self.spelled = {now.upper(): was for was, now in self.grid.sheets.items() if now.upper() != was.upper()}
        self.names_by = {name.upper(): name for name in self.grid.sheets}
        self.moved = {name for s in (self.grid.rows, self.grid.cols) for name, shift in s.items() if not shift.unmoved}
        self.formulas: list[Change] = []
        self.values: list[Change] = []
        self.numbers = self.unstored = 0

    def _keys(self) -> tuple[float, ...] | None:
        """By which candidates were ranked when it was handed over; None where that can't be read, or nobody kept it."""
        table = self.grid.tables["rank"]
        rows = self.rows.get(self.grid.sheet_of(table), {})
        places = (self.grid.at(table, "handed_key", i) for i in range(self.grid.places[table.name].count))
        found = [rows.get(row + 1, {}).get(col + 1) for row, col in places]
        keys = tuple(cell.value for cell in found if cell and isinstance(cell.value, float | int))
        return keys if len(keys) == len(found) else None

    def _unread(self) -> int:
        """Cells that are filled and that the workbook's formulas can't read, be it that no formula has their row."""
        tables = self.returned.shipped.grid.tables
        return sum(
            spot.column.name in tables[f"read_{spot.table.name}"].index
            for at, spot in self.returned.spots.items()
            if (self._is_filled(spot) if spot.counted == ADDED else at in self.returned.as_blank)
        )

    def _is_filled(self, spot: Spot) -> bool:
        found = self._found_at(spot)
        return found is not None and not is_empty(found.value)

    def _found_at(self, spot: Spot) -> CellData | None:
        """What stands in the cell of an input now."""
        return self.rows[self.grid.sheets[spot.home]].get(spot.row + 1, {}).get(spot.col + 1)

    def cells(self) -> None:
        """Formulas and standing figures, each against what was written; results against the model."""
        for table in self.grid.tables.values():
            if not self.grid.sheet_of(table):
                continue
            sheet = self.grid.places[table.name].sheet
            rows, (row_of, col_of) = self.rows[self.grid.sheet_of(table)], self.grid.shifts(sheet)
            for written in self.returned.shipped.grid.cells_of(table, self.study):
                if written.typed or written.column.kept:
                    continue
                cell = written
                if sheet in self.moved:
                    cell = cell._replace(row=row_of(cell.row), col=col_of(cell.col))
                if sheet in self.moved or any(name in cell.formula for name in self.moved):
                    cell = cell._replace(fill=moved(cell.formula, self._mover(sheet)))
                found = rows.get(cell.row + 1, {}).get(cell.col + 1)
                if min(cell.row, cell.col) < 0:
                    self.formulas.append(self._change("deleted", cell, cell.formula or cell.value, None))
                elif cell.computed:
                    self._formula(cell, found)
                elif not agree(found, cell.value):
                    now = found.value if found else None
                    self.formulas.append(self._change("a standing figure was changed", cell, cell.value, now))

    def typed_formulas(self) -> Iterator[Change]:
        """Inputs in whose cells formulas stand now: they follow other cells, and no longer what somebody typed."""
        for (part, record, name), spot in self.returned.spots.items():
            found = self._found_at(spot)
            if found is not None and found.worked_out:
                yield Change(
                    what="an input was turned into a formula",
                    sheet=self.grid.sheets[spot.home],
                    cell=spot.cell,
                    label=label_of(part, record, name, row_of(self.returned, part, record)),
                    now=found.formula,
                )

    def _mover(self, home: str) -> Callable[[str, int, int], tuple[int, int]]:
        """Where a cell that a formula of a sheet names stands now."""

        def move(sheet: str, row: int, col: int) -> tuple[int, int]:
            name = self.names_by[sheet] if sheet else home
            return self.grid.rows[name].at(row), self.grid.cols[name].at(col)

        return move

    def _formula(self, cell: Cell, found: CellData | None) -> None:
        if found is None or (found.kind == "blank" and not found.worked_out):
            self.formulas.append(self._change("the formula is missing", cell, cell.formula, None))
        elif not found.worked_out:
            if cell.value == "" and found.value == "":
                return  # a text of no characters, kept as such by a program that drops such formulas
            self.formulas.append(self._change("overwritten by a value", cell, cell.formula, found.value))
        elif not same(cell.formula, found.formula, self.spelled):
            what = "a cell it names was deleted" if "#REF!" in found.formula else "the formula was altered"
            self.formulas.append(self._change(what, cell, cell.formula, found.formula))
        elif found.kind == "blank":
            self.unstored += cell.value != ""
        elif not (cell.table.of_cells or cell.column.name == UNREAD):  # what can't be read the reader tells
            self.numbers += 1
            if not agree(found, cell.value):
                self.values.append(self._change("", cell, cell.value, found.value))

    def _change(self, what: str, cell: Cell, was: Value, now: Value) -> Change:
        gone = min(cell.row, cell.col) < 0
        return Change(
            what=what,
            sheet=self.grid.sheets[cell.sheet],
            cell="" if gone else xl(cell.row, cell.col),
            label=self._cell_label(cell),
            was=was,
            now=now,
        )

    def _cell_label(self, cell: Cell) -> str:
        whose = ": ".join(filter(None, (cell.table.title, cell.column.title)))
        if cell.table.kind == "form":
            return whose + (f" ({cell.part})" if cell.part else "")
        return whose + ("" if self.grid.places[cell.table.name].count == 1 else f", {cell.record + 1}")

    def places(self) -> Iterator[Change]:
        """Sheets that are gone, and rows that were put in where no formula counts them."""
        for was, now in self.grid.sheets.items():
            if not now:
                yield Change(what="the sheet is gone", sheet=was)
        told = set()
        for (part, record, _), spot in self.returned.spots.items():
            rows = getattr(self.returned.case, part)
            if spot.counted != ADDED or (part, record) in told or record >= len(rows) or is_blank(rows[record]):
                continue
            told.add((part, record))
            yield Change(
                what=f"a {'row' if spot.table.kind == 'down' else 'column'} was put in; no formula counts it",
                sheet=self.grid.sheet_of(spot.table),
                cell=spot.cell,
                label=spot.table.title,
            )

    def names(self) -> Iterator[Change]:
        """Defined names that formulas use, and that are gone or mean other cells than they did."""
        written = self.returned.shipped.grid.names
        used = self.returned.shipped.grid.used
        typed = {input_name(spot.table, spot.column) for spot in self.returned.spots.values()}
        for name in sorted(used | typed):
            area = self.returned.book.names.get(name.casefold())
            expected = self._expected(name)
            if area is None and name not in used:
                continue  # nothing needs it but the reader, which found the inputs by their headings
            if area is None:
                yield Change(what="the defined name is gone", sheet=self.grid.sheets[written[name][0]], label=name)
            elif expected and corners_of(*area) != expected:
                yield Change(
                    what="the defined name means other cells",
                    sheet=expected[0],
                    label=name,
                    was=_area(expected),
                    now=_area(corners_of(*area)),
                )

    def _expected(self, name: str) -> Area | None:
        """Where a name should stand now; None where its sheet, or an end of it, is gone."""
        sheet, top, left, bottom, right = self.returned.shipped.grid.names[name]
        rows, cols = self.grid.rows[sheet], self.grid.cols[sheet]
        ends = rows.at(top), cols.at(left), rows.at(bottom), cols.at(right)
        return (self.grid.sheets[sheet], *ends) if self.grid.sheets[sheet] and min(ends) >= 0 else None

    def remarks(self) -> Iterator[str]:
        """What was rearranged and changes nothing."""
        for was, now in self.grid.sheets.items():
            if now and now != was:
                yield f"the sheet {show(was)} is now called {show(now)}"
        here = [now for now in self.grid.sheets.values() if now]
        order = [sheet.name for sheet in self.returned.book.sheets]
        if [name for name in order if name in here] != here:
            yield "the sheets stand in another order"
        for was, now in self.grid.sheets.items():
            moved = [
                kind
                for kind, shifts in (("rows", self.grid.rows), ("columns", self.grid.cols))
                if not shifts[was].unmoved
            ]
            if now and moved:
                yield f"{' and '.join(moved)} were inserted or deleted on the sheet {show(now)}"


def agree(found: CellData | None, want: Value) -> bool:
    """Whether a cell shows what it should: numbers to 1e-9, texts equal once they are safe to show."""
    if want is None or want == "":
        return found is None or found.value in (None, "")
    if found is None or found.kind in {"error", "bool"}:
        return False
    if isinstance(want, str):
        got = f"{found.value:.10g}" if isinstance(found.value, float) else str(found.value)
        return got == want or safe_text(got) == safe_text(want)
    if not isinstance(found.value, float):
        return False
    return abs(found.value - want) <= AGREE * max(abs(found.value), abs(want), 1.0)


def _area(area: Area) -> str:
    sheet, top, left, bottom, right = area
    ends = dict.fromkeys((xl(top, left), xl(bottom, right)))
    return f"{sheet}!{':'.join(ends)}"


def _shown(value: Value) -> str:
    if value is None:
        return "blank"
    return f"{value:.12g}" if isinstance(value, float) else show(value, LONG)
