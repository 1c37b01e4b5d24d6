"""A returned workbook as a case: its inputs, wherever they stand now and whichever program saved it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from holdover.advice.remarks import advise
from holdover.case.digest import digest
from holdover.case.figures import exact
from holdover.case.measure import Measure
from holdover.case.schema import FORMS, MAX_DAYS, MAX_LOADS, RECORDS, SCHEMA, Case
from holdover.case.section import Section, choices_of, is_blank, is_text
from holdover.findings import Findings, Place, render
from holdover.model.study import Slots
from holdover.reading.entries import Entry, Row, is_empty
from holdover.reading.folder import may_be_workbook, read_folder
from holdover.returned.form import is_form, read_form
from holdover.returned.found import MOST, FoundGrid, Search, Shipped, corners_of, shipped, slots_of, stated_slots
from holdover.returned.inputs import AMBIGUOUS_HOUR, check_points, fields_of, look_elsewhere, require
from holdover.returned.logo import keep_logo
from holdover.returned.outside import Inputs, report_outside, report_typed_over
from holdover.workbook.column import Column, Table, Value, input_name
from holdover.workbook.grid import Grid, xl
from holdover.workbook.typed import AMBIGUOUS, clock_hour, is_clock, read
from holdover.xlsx import MAX_FILE, BadFile, Book, CellData, read_xlsx

GROWING: Final = ("loads", "candidates")
"""Parts that may take rows put between their own."""

ADDED: Final = -1
"""Number of a record that no formula counts."""

Look = Callable[[str, int, int], CellData | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Returned:
    """A workbook that came back."""

    case: Case
    counted: Case
    """The case as the workbook's formulas count it: without rows that were put in, blank where some were deleted."""
    slots: Slots
    shipped: Shipped
    book: Book
    grid: FoundGrid
    spots: Mapping[tuple[str, int, str], "Spot"]
    """By part, record and field, where an input stands."""
    as_blank: Mapping[tuple[str, int, str], Value]
    """The same of what was typed where the workbook's formulas read a blank: a number as text, what can't be read."""
    whole: bool = True
    """Whether all that was typed could be read; else the case lacks it, and there is an error about each."""

    @property
    def by_count(self) -> dict[tuple[str, int, str], "Spot"]:
        """The same by the record that the workbook's formulas count."""
        return {(s.part, s.counted, s.field): s for s in self.spots.values() if s.counted != ADDED}

    @property
    def blank_by_count(self) -> dict[tuple[str, int, str], Value]:
        """What was typed and reads as a blank, by the record that the workbook's formulas count."""
        each = ((self.spots[at], typed) for at, typed in self.as_blank.items())
        return {(s.part, s.counted, s.field): typed for s, typed in each if s.counted != ADDED}

    @property
    def untouched(self) -> bool:
        """Whether the inputs are those it was written with."""
        return self.whole and self.book.properties.get("holdover_digest") == digest(self.case)


@dataclass(frozen=True, slots=True)
class Spot:
    """One input: where it stands, and which field of the case it is."""

    part: str
    field: str
    record: int
    table: Table
    column: Column
    row: int
    col: int
    home: str
    """The sheet on which it stands, by the name it was written under: a setting may be typed on another than its form's."""
    counted: int = 0
    """The record as the workbook's formulas count, ADDED where its row or column was put in between."""

    @property
    def cell(self) -> str:
        """Name of its cell, "" where that was deleted."""
        return xl(self.row, self.col) if min(self.row, self.col) >= 0 else ""


PARTS: Final = {section: part for part, section in (FORMS | RECORDS).items()}
"""Which part of the case a section is of."""


def read_any(path: Path) -> tuple[Case | None, Findings, Slots | None]:
    """A case from wherever it is: a folder, a case file, a returned workbook or a filled survey form."""
    if not may_be_workbook(path):
        return *read_folder(path).remarked(advise), None
    found, findings = _book_of(path)
    if found is None:
        return None, findings, None
    book, data = found
    if is_form(book) or (slots_of(book) is None and _is_foreign(book)):
        return *read_form(data, path.name, book, ours=is_form(book)).remarked(advise), None
    if is_older(book):
        return _older_case(book, path.name, findings), findings, None
    returned = returned_of(book, path.name, findings)
    if returned is None or findings.errors:
        return None, findings, None
    report_typed_over(returned.grid, returned.shipped, book, path.name, findings)
    return keep_logo(returned.case, book, data, path.name, findings), findings, returned.slots


def read_returned(path: Path, *, partly: bool = False) -> tuple[Returned | None, Findings]:
    """A workbook of ours, as it came back; None with errors among the findings where it can't be read.

    Where `partly`, inputs that can't be read are left out, with an error about each.
    """
    found, findings = _book_of(path)
    return (returned_of(found[0], path.name, findings, partly=partly) if found else None), findings


def case_from(grid: Grid, tables: Iterable[Table], get: Callable[[str, int, int], Value]) -> Case:
    """The case whose inputs stand in a grid; `get` gives the value of a cell by sheet, row and column from 0.

    Raises:
        ValueError: an input is not one that a case may hold.
    """
    findings = Findings()

    def look(sheet: str, row: int, col: int) -> CellData | None:
        value = get(sheet, row, col)
        return None if value is None else CellData(value, "", "text" if isinstance(value, str) else "number")

    spots = list(spots_of(grid, tables))
    case = _case_of(_rows(spots, look, "", {}), _shown(spots), findings)
    if findings.errors:
        raise ValueError(render(findings.errors))
    return case


def spots_of(grid: Grid, tables: Iterable[Table]) -> Iterator[Spot]:
    """Every input of a grid, with rows that were put in between the others."""
    for table in tables:
        added = grid.inserted(table) if isinstance(grid, FoundGrid) else ()
        for column in table.columns:
            if column.section is None:
                continue
            part, field = PARTS[column.section], column.name
            home = grid.home_of(table, column, "set" if table.kind == "form" else "")
            if isinstance(grid, FoundGrid) and not grid.sheets[home]:
                continue
            if table.kind == "form":
                yield Spot(part, field, 0, table, column, *grid.at(table, column.name, 0, "set"), home)
                continue
            stand = {grid.at(table, column.name, i): i for i in range(grid.places[table.name].count)}
            here = {at: i for at, i in stand.items() if min(at) >= 0}
            if part in GROWING and here:
                row, col = next(iter(here))
                here |= {((line, col) if table.kind == "down" else (row, line)): ADDED for line in added}
            for i, at in enumerate(sorted(here)):
                yield Spot(part, field, i, table, column, *at, home, counted=here[at])


def _book_of(path: Path) -> tuple[tuple[Book, bytes] | None, Findings]:
    """The workbook of a file, vetted."""
    findings = Findings()
    place = Place(file=path.name)
    try:
        if not path.is_file():
            findings.report("F001.folder" if path.is_dir() else "F001.workbook", Place(file=str(path)))
            return None, findings
        if path.stat().st_size > MAX_FILE:
            findings.report("F004.workbook", place, most=MAX_FILE // 10**6)
            return None, findings
        data = path.read_bytes()
        book = read_xlsx(data, path.name)
    except OSError as fault:
        findings.report("F010", place, reason=fault.strerror or "unknown reason")
        return None, findings
    except BadFile as bad:
        findings.report("X001", place, reason=bad.message, how=bad.remedy)
        return None, findings
    for remark in book.remarks:
        findings.report("W001", place, remark=remark)
    return (book, data), findings


def is_older(book: Book) -> bool:
    """Whether it was written by holdover 0.1: its inputs have the names of today's, its sheets another layout."""
    slots = book.properties.get("holdover_slots", "").split()
    return book.properties.get("holdover_version", "").startswith("0.1.") and len(slots) < len(MOST)


def _older_case(book: Book, file: str, findings: Findings) -> Case | None:
    """The case of a workbook of holdover 0.1, by the names of its inputs alone; None where it can't be read."""
    sheets = {sheet.name: sheet.rows for sheet in book.sheets}

    def look(sheet: str, row: int, col: int) -> CellData | None:
        return sheets.get(sheet, {}).get(row + 1, {}).get(col + 1)

    case = _case_of(_rows(_named_spots(book), look, file, {}), {}, findings)
    if findings.errors:
        return None
    findings.report("W007", Place(file=file))
    check_points(case.points, findings)
    findings.extend(advise(case, findings.places))
    return case


def _named_spots(book: Book) -> Iterator[Spot]:
    """Every input of today that a name of the workbook leads to."""
    for table in shipped(Slots(loads=1, candidates=1, days=1)).grid.tables.values():
        for column in table.columns:
            area = book.names.get(input_name(table, column).casefold()) if column.section else None
            if area is None or column.section is None:
                continue
            sheet, top, left, bottom, right = corners_of(*area)
            down = table.kind == "down"
            count = 1 if table.kind == "form" else min(MAX_LOADS, bottom - top + 1 if down else right - left + 1)
            for i in range(count):
                row, col = (top + i, left) if down else (top, left + i)
                yield Spot(PARTS[column.section], column.name, i, table, column, row, col, sheet)


def _is_foreign(book: Book) -> bool:
    """Whether nothing tells that the workbook is one of ours."""
    return not any(key.startswith("holdover_") for key in book.properties)


def returned_of(book: Book, file: str, findings: Findings, *, partly: bool = False) -> Returned | None:
    """What a workbook says; None, with errors among the findings, where it can't be taken, or `partly` taken."""
    schema = book.properties.get("holdover_schema", SCHEMA)
    if schema != SCHEMA:
        findings.report("T006.workbook", Place(file=file), found=schema, allowed=SCHEMA)
        return None
    if is_older(book):
        findings.report("W002.older", Place(file=file), found=book.properties["holdover_version"])
        return None
    slots = slots_of(book)
    if slots is None:
        findings.report("W002.foreign", Place(file=file), found=", ".join(sheet.name for sheet in book.sheets))
        return None
    if "holdover_slots" in book.properties and stated_slots(book) is None:
        findings.report(
            "W002.slots",
            Place(file=file),
            found=book.properties["holdover_slots"],
            most=" and ".join(map(str, MOST.values())),
        )
    written = shipped(slots)
    grid = Search(book, written).place()
    returned = _read(book, file, written, grid, findings)
    return returned if returned and (partly or returned.whole) else None


def _read(book: Book, file: str, written: Shipped, grid: FoundGrid, findings: Findings) -> Returned | None:
    """What stands in the cells; what can't be read is left out. None where a whole table can't be taken."""
    sheets = {sheet.name: sheet.rows for sheet in book.sheets}

    def look(sheet: str, row: int, col: int) -> CellData | None:
        return sheets[grid.sheets[sheet]].get(row + 1, {}).get(col + 1)

    here = _tables_here(grid, file, findings)
    if here is None:
        return None
    is_complete = not findings.errors
    spots = list(spots_of(grid, here))
    rows = _rows(spots, look, file, grid.sheets)
    report_outside(grid, written, book, _inputs(spots), file, findings)
    look_elsewhere(grid, here, look, file, findings)
    settings = _settings(spots, grid, file)
    cells = {name: f"{place.sheet} {place.cell}" for name, place in settings.items()}
    case = _case_of(rows, _shown(spots), findings, cells)
    findings.places |= {(name, 0): place for name, place in settings.items()}
    if not is_complete:
        return None
    whole = not findings.errors
    check_points(case.points, findings)
    _report_added(spots, case, findings)
    as_blank = _as_blank(spots, look)
    told = _as_typed(case, as_blank)
    counted = told.model_copy(update={part: _counted(part, told, spots) for part in RECORDS})
    findings.extend(advise(case, findings.places) if whole else ())  # of half a case there is nothing to remark
    return Returned(
        case=case,
        counted=counted,
        slots=_room(case, spots, written.slots.days),
        shipped=written,
        book=book,
        grid=grid,
        spots={(s.part, s.record, s.field): s for s in spots},
        as_blank={at: typed for at, typed in as_blank.items() if typed is not None},
        whole=whole,
    )


def _tables_here(grid: FoundGrid, file: str, findings: Findings) -> list[Table] | None:
    """The tables in which people type, those that are gone told and left out; None where one is stretched too far."""
    tables = [table for table in grid.tables.values() if any(c.section or c.slot for c in table.columns)]
    here = [table for table in tables if grid.sheet_of(table)]
    for table in tables:
        if table not in here:
            _report_gone(table, grid, file, findings)
        elif _is_too_long(table, grid, file, findings):
            return None
    return here


def _room(case: Case, spots: Iterable[Spot], days: int) -> Slots:
    """Room for what stands in the tables now, and for no fewer days than there was."""
    sizes = {part: 1 + max((s.record for s in spots if s.part == part), default=0) for part in GROWING}
    days = max(days, min(MAX_DAYS, case.outage.days + 1))
    return Slots(loads=sizes["loads"], candidates=sizes["candidates"], days=days, us=case.about.units == "US")


def _settings(spots: Iterable[Spot], grid: FoundGrid, file: str) -> dict[str, Place]:
    """By part and field, such as `sun.latitude_deg`, where a setting is typed now."""
    return {
        f"{spot.part}.{spot.field}": Place(
            file=file, sheet=grid.sheets[spot.home], row=spot.row + 1, cell=spot.cell, column=spot.column.title
        )
        for spot in spots
        if spot.part in FORMS and spot.cell
    }


def _inputs(spots: Iterable[Spot]) -> dict[str, Inputs]:
    """By sheet, the lines in which inputs are typed, and those that were put in between."""
    lines: dict[str, tuple[set[int], set[int], set[tuple[int, int]]]] = {}
    for spot in spots:
        rows, cols, added = lines.setdefault(spot.home, (set(), set(), set()))
        if spot.table.kind == "across":
            rows.add(spot.row)
        elif spot.table.kind == "down":
            cols.add(spot.col)
        if spot.counted == ADDED:
            added.add((spot.row, spot.col))
    return {sheet: Inputs(*found) for sheet, found in lines.items()}


def _as_blank(spots: Iterable[Spot], look: Look) -> dict[tuple[str, int, str], Value]:
    """What was typed where the workbook's formulas read a blank, such as a number as text; None where nothing was."""
    found: dict[tuple[str, int, str], Value] = {}
    for spot in spots:
        info, cell = spot.column.field, look(spot.home, spot.row, spot.col) if spot.cell else None
        if cell is None or is_empty(cell.value):
            found[spot.part, spot.record, spot.field] = None
            continue
        if info is None or (is_text(info) and not choices_of(info)) or (is_clock(info) and cell.kind == "date"):
            continue
        value = None if cell.kind in {"error", "bool", "date"} else cell.value
        if read(info, value, spot.column.shown) == "":
            found[spot.part, spot.record, spot.field] = str(cell.value) if cell.kind == "bool" else cell.value
    return found


def _as_typed(case: Case, as_blank: Iterable[tuple[str, int, str]]) -> Case:
    """The case as the workbook's formulas read its cells: what a reader takes from words beside is none to them."""
    others: dict[str, dict[int, dict[str, Value]]] = {}
    for part, record, field in as_blank:
        others.setdefault(part, {}).setdefault(record, {})[field] = None
    changed: dict[str, Any] = {}
    for part, rows in others.items():
        if part in FORMS:
            changed[part] = _with(getattr(case, part), rows[0])
        else:
            changed[part] = tuple(_with(row, rows.get(i, {})) for i, row in enumerate(getattr(case, part)))
    return case.model_copy(update=changed)


def _with(section: Section, values: Mapping[str, Value]) -> Section:
    """A section with other values; what is None was never set."""
    kept = {name: getattr(section, name) for name in section.model_fields_set if name not in values}
    return type(section)(**kept, **{name: value for name, value in values.items() if value is not None})


def _counted(part: str, case: Case, spots: Iterable[Spot]) -> tuple[Section, ...]:
    """The records of a part in the places where the workbook's formulas count them."""
    rows: tuple[Section, ...] = getattr(case, part)
    found = {spot.counted: rows[spot.record] for spot in spots if spot.part == part and spot.record < len(rows)}
    blank = RECORDS[part]()
    return tuple(found.get(i, blank) for i in range(max(found, default=ADDED) + 1)) if found else rows


def _rows(spots: Iterable[Spot], look: Look, file: str, sheets: Mapping[str, str]) -> list[Row]:
    """What is typed, as rows of the case: one a form, and the records without the blank ones at their end."""
    rows: dict[tuple[str, int], Row] = {}
    found = [(spot, _filled(look(spot.home, spot.row, spot.col)) if spot.cell else None) for spot in spots]
    items = {(spot.part, spot.record): str(cell.value) for spot, cell in found if cell and spot.field == "name"}
    for spot, cell in found:
        at, sheet = (spot.part, spot.record), sheets.get(spot.home, spot.home)
        if at not in rows:
            rows[at] = Row(part=spot.part, place=_place_of(spot, file, sheet, items.get(at, "")))
        if cell is None:
            continue
        place = replace(rows[at].place, sheet=sheet, row=spot.row + 1, column=spot.column.title, cell=spot.cell)
        kind: str = cell.kind if cell.kind in {"date", "error"} else ""
        value: Any = cell.value
        if cell.kind in {"number", "date"}:
            value = float(exact(value))
            if spot.column.field is not None and is_clock(spot.column.field):
                value, kind = clock_hour(value), AMBIGUOUS_HOUR if value == AMBIGUOUS else ""
        elif cell.value is None:
            kind = "unstored"
        unit = spot.column.shown.unit if spot.column.shown and not spot.column.shown.is_price else ""
        rows[at].entries[spot.field] = Entry(value=value, place=place, kind=kind, unit=unit)
    return _trimmed(rows)


def _filled(cell: CellData | None) -> CellData | None:
    """The cell if anything stands there; a formula without a result does."""
    return cell if cell and (not is_empty(cell.value) or (cell.worked_out and cell.value is None)) else None


def _place_of(spot: Spot, file: str, sheet: str, item: str) -> Place:
    """Where a record stands: its row, or where records stand side by side its first cell, which tells the column."""
    place = Place(file=file, sheet=sheet, item=item)
    return replace(place, cell=spot.cell) if spot.table.kind == "across" else replace(place, row=spot.row + 1)


def _trimmed(rows: Mapping[tuple[str, int], Row]) -> list[Row]:
    last = {part: max((i for (p, i), row in rows.items() if p == part and row.entries), default=-1) for part, _ in rows}
    return [
        row for (part, i), row in sorted(rows.items(), key=lambda each: each[0]) if part == "months" or i <= last[part]
    ]


def _shown(spots: Iterable[Spot]) -> dict[tuple[str, str], Measure]:
    """By part and field, the units in which inputs are typed where those are not the ones they are kept in."""
    return {(spot.part, spot.field): spot.column.shown for spot in spots if spot.column.shown}


def _case_of(
    rows: list[Row],
    shown: Mapping[tuple[str, str], Measure],
    findings: Findings,
    cells: Mapping[str, str] = MappingProxyType({}),
) -> Case:
    """The case of its rows; where a value can't be taken its field is left out, and an error says so."""
    sections: dict[str, list[dict[str, Any]]] = {part: [] for part in RECORDS}
    fields = fields_of(rows, shown, findings, cells)
    for row, values in zip(rows, fields, strict=True):
        index = len(sections.setdefault(row.part, []))
        findings.places[row.part, index] = row.place
        sections[row.part].append(values)
        require(row, values, findings)
    made: dict[str, Any] = {
        part: FORMS[part](**found[0]) for part, found in sections.items() if part in FORMS and found
    }
    for part, model in RECORDS.items():
        if any(row.part == part for row in rows) or part != "months":
            made[part] = tuple(model(**values) for values in sections[part])
    case = Case(**made)
    if sum(not is_blank(load) for load in case.loads) > MAX_LOADS:
        findings.report("R002.loads", Place(), most=MAX_LOADS)
    return case


def _report_gone(table: Table, grid: Grid, file: str, findings: Findings) -> None:
    sheet = grid.places[table.name].sheet
    vital = any(PARTS[column.section] in GROWING for column in table.columns if column.section)
    first = next(column for column in table.columns if column.section or column.slot)
    findings.report(
        "W003.vital" if vital else "W003.usual",
        Place(file=file, sheet=sheet),
        table=table.title.strip() or sheet,
        name=f"set_{first.slot.replace('.', '_')}" if first.slot else input_name(table, first),
        sheet=sheet,
    )


def _is_too_long(table: Table, grid: FoundGrid, file: str, findings: Findings) -> bool:
    """Whether a table of loads or candidates was stretched beyond all that a case may hold; if so it is told."""
    most = MOST.get(table.records)
    lines = grid.places[table.name].count + len(grid.inserted(table))
    if most is None or lines <= most:
        return False
    findings.report(
        "W002.stretched",
        Place(file=file, sheet=grid.sheet_of(table)),
        table=table.title,
        lines=f"{lines:,}",
        what="rows" if table.kind == "down" else "columns",
        most=most,
    )
    return True


def _report_added(spots: Iterable[Spot], case: Case, findings: Findings) -> None:
    for part, record in sorted({(spot.part, spot.record) for spot in spots if spot.counted == ADDED}):
        rows: tuple[Section, ...] = getattr(case, part)
        filled = record < len(rows) and not is_blank(rows[record])
        place = findings.places.get((part, record), Place(file=""))
        line = "row" if part == "loads" else "column"
        findings.report("W004.filled" if filled else "W004.blank", place, line=line, part=part)
