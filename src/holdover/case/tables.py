"""From the grid of a file to the rows of a part: where the header is, what the columns mean, what is no row."""

import csv
import re
from collections import Counter
from dataclasses import dataclass, replace
from typing import Final

from holdover.case.asked import ASKED
from holdover.case.grids import COLUMNS_MAX, DELIMITERS, ROWS_MAX, Cell, Grid, csv_grid, csv_text, letters, sheet_grids
from holdover.case.headers import Header, is_unit_of, known_headers, read_header, spellings
from holdover.case.totals import is_total
from holdover.case.values import Entry, Reading, Row
from holdover.case.words import folded, nearest
from holdover.findings import Place, show

HEADER_WITHIN: Final = 40
"""Filled rows among which the header is looked for [count]."""
NEEDED: Final = {"loads": ("name",), "candidates": ("name", "storage_wh", "continuous_w", "surge_w")}
"""Fields without a column of which a table can't be read."""
SHEETS: Final = {
    "loads": {"loads", "load", "survey", "inventory", "load survey", "load inventory", "appliances", "load list"},
    "candidates": {"candidates", "candidate", "units", "options", "products", "batteries"},
}
"""Names by which a sheet is told from another that has the same headers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A grid whose header was found."""

    grid: Grid
    head: int
    headers: dict[int, Header | None]
    """By column, None where the header is not known."""
    titles: dict[int, str]

    @property
    def score(self) -> int:
        """Distinct fields known."""
        return len({h.field for h in self.headers.values() if h and h.field})

    @property
    def rows_below(self) -> int:
        """Filled rows below the header."""
        return sum(number > self.head for number in self.grid.rows)


def read_table(part: str, data: bytes, file: str, reading: Reading) -> list[Row]:
    """The rows of a part from a CSV or a workbook; findings say what was left out and why."""
    if not data.strip():
        reading.say("F012", "error", "the file is empty", Place(file=file), remedy="fill it or delete it")
        return []
    # A workbook under the name of a CSV is told by its first bytes, and refused by the reader of workbooks.
    as_sheet = file.casefold().endswith(".xlsx") or data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0"))
    table = _from_sheets(part, data, file, reading) if as_sheet else _from_csv(part, data, file, reading)
    if table is None:
        return []
    columns = _columns(part, table, reading)
    return _rows(part, table, columns, reading)


def _from_csv(part: str, data: bytes, file: str, reading: Reading) -> Table | None:
    """The table under the delimiter with which most headers are known."""
    text = csv_text(data, file, reading)
    if text is None:
        return None
    if len(text) > 200_000 and max(map(len, text.splitlines())) > 100_000:
        reading.say("C001", "error", "a line of more than 100 000 characters", Place(file=file), remedy="save it again")
        return None
    best: Table | None = None
    faults: list[tuple[int, str]] = []
    for delimiter in DELIMITERS:
        try:
            table = _find_header(csv_grid(text, delimiter, file), part)
        except csv.Error as fault:
            faults.append((text.count(delimiter), str(fault)))
            continue
        if table and (best is None or table.score > best.score):
            best = table
    if best is None and faults:
        _say_broken(text, max(faults)[1], file, reading)
        return None
    if best and _has_header(best, part):
        return best
    first = next((line for line in text.splitlines() if line.strip()), "")
    _say_header_missing(part, first, Place(file=file), reading)
    return None


def _say_broken(text: str, fault: str, file: str, reading: Reading) -> None:
    row = next((n for n, line in enumerate(text.splitlines(), 1) if line.count('"') % 2), None)
    message = "a quotation mark is not closed" if "end of data" in fault else "a quotation mark stands within a field"
    if "field larger" in fault:
        message = "a field of more than 131 072 characters"
    typed = text.splitlines()[row - 1] if row else ""
    reading.say(
        "C001",
        "error",
        f"the table is broken: {message}",
        Place(file=file, row=row),
        found=show(typed),
        remedy='write inches as 12 in, and a quotation mark within a quoted field twice: "12"" pipe"',
    )


def _has_header(table: Table, part: str) -> bool:
    fields = {h.field for h in table.headers.values() if h}
    return table.score >= 2 and ("name" in fields or table.score >= 3 or part == "candidates")


def _say_header_missing(part: str, found: str, place: Place, reading: Reading) -> None:
    wanted = ", ".join(f"{asked.title}" for asked in ASKED[part].values() if asked.needed)
    reading.say(
        "C002",
        "error",
        f"no row of headers for {part} was found",
        place,
        found=show(found),
        allowed=wanted,
        remedy="put a row with these headers above the rows",
    )


def _find_header(grid: Grid, part: str) -> Table | None:
    """The first row among the first ones in which most headers are known."""
    best: Table | None = None
    for number in list(grid.rows)[:HEADER_WITHIN]:
        row = grid.rows[number]
        titles = {
            column: str(cell.value).strip()
            for column, cell in row.items()
            if isinstance(cell.value, str) and cell.value.strip() and column <= COLUMNS_MAX and len(cell.value) <= 100
        }
        headers = {column: read_header(title, part) for column, title in titles.items()}
        table = Table(grid=grid, head=number, headers=headers, titles=titles)
        if best is None or table.score > best.score:
            best = table
    return best


def _from_sheets(part: str, data: bytes, file: str, reading: Reading) -> Table | None:
    """The table of the sheet that fits best; two that fit alike are told apart by name or not at all."""
    grids = sheet_grids(data, file, reading)
    if not grids:
        return None
    tables = [table for table in (_find_header(grid, part) for grid in grids) if table and _has_header(table, part)]
    tables = [t for t in tables if not t.grid.hidden] or tables
    named = [table for table in tables if folded(table.grid.sheet) in SHEETS[part]]
    tables = named if len(named) == 1 else tables
    most = max((table.score for table in tables), default=0)
    best = [table for table in tables if table.score == most]
    if not best:
        _say_header_missing(part, ", ".join(grid.sheet for grid in grids), Place(file=file), reading)
        return None
    if len(best) > 1:
        reading.say(
            "X003",
            "error",
            f"{len(best)} sheets may hold the {part}",
            Place(file=file),
            found=show(", ".join(table.grid.sheet for table in best)),
            remedy=f"name the right one {part.capitalize()}, or delete the others",
        )
        return None
    table = best[0]
    if table.grid.hidden:
        reading.say("X009", "note", f"the hidden sheet {show(table.grid.sheet)} was read", table.grid.place(None))
    return table


def _columns(part: str, table: Table, reading: Reading) -> dict[int, Header]:
    """What each column means; those that mean nothing are findings."""
    columns: dict[int, Header] = {}
    grid = table.grid
    taken: dict[str, str] = {}
    for column, header in table.headers.items():
        title = table.titles[column]
        place = grid.place(table.head, column, title)
        if header is None:
            _say_unknown(part, title, place, reading)
        elif header.refused:
            reading.say(
                "C016", "error", f"column {show(title)} can't be taken", place, found=show(title), remedy=header.refused
            )
        elif header.ignored:
            reading.say("C015", "note", f"column {show(title)} numbers the rows and was left out", place)
        elif header.field in taken:
            reading.say(
                "C004",
                "error",
                f"two columns mean the same: {show(taken[header.field])} and {show(title)}",
                place,
                found=show(title),
                remedy="rename or delete one of them",
            )
        else:
            taken[header.field] = title
            columns[column] = header
            _check_unit(part, header, title, place, reading)
    if table.head != min(grid.rows):
        above = sum(number < table.head for number in grid.rows)
        reading.say(
            "C014",
            "note",
            f"row {table.head} was taken as the header; filled rows above it left out: {above}",
            grid.place(table.head),
        )
    return columns


def _check_unit(part: str, header: Header, title: str, place: Place, reading: Reading) -> None:
    unit = ASKED[part][header.field].unit
    if header.bad_unit:
        reading.say(
            "C012",
            "error",
            f"{show(header.bad_unit)} is no unit of this column",
            place,
            found=show(title),
            allowed=unit or "a bare number",
            remedy=f"head it with {unit or 'no unit'} or write the unit into the cells",
        )
    elif header.unit and header.unit != unit:
        reading.say("C011", "note", f"bare numbers in column {show(title)} read as {header.unit}", place)


def _say_unknown(part: str, title: str, place: Place, reading: Reading) -> None:
    close = nearest(title, known_headers(part))
    remedy = f"did you mean {close}?" if close else "move it to the column Remark, or delete the column"
    fields = ", ".join(ASKED[part])
    reading.say(
        "C003", "error", f"column {show(title)} is not known", place, found=show(title), allowed=fields, remedy=remedy
    )


def _rows(part: str, table: Table, columns: dict[int, Header], reading: Reading) -> list[Row]:
    grid = table.grid
    if not _enough(part, table, columns, reading):
        return []
    columns, first = _units_row(part, table, columns, reading)
    name_column = next((c for c, h in columns.items() if h.field == "name"), 0)
    rows: list[Row] = []
    used: list[int] = []
    for number in sorted(n for n in grid.rows if n >= first):
        cells = {c: cell for c, cell in grid.rows[number].items() if not _empty(cell)}
        if not cells:
            continue
        if {c: folded(str(cell.value)) for c, cell in cells.items()} == {c: folded(t) for c, t in table.titles.items()}:
            reading.say("C013", "note", "the header stands here again; the row was left out", grid.place(number))
            continue
        if is_total(grid, number, used, columns, name_column, reading):
            continue
        used.append(number)
        rows.append(_row(part, table, number, cells, columns, name_column, reading))
    _say_about_sheet(table, columns, used, reading)
    if not rows:
        reading.say("C018", "error", "there are no rows below the header", grid.place(table.head), remedy="add a row")
    _settle_percent(part, rows, reading)
    return rows


def _empty(cell: Cell) -> bool:
    return not cell.formula and (cell.value is None or (isinstance(cell.value, str) and not cell.value.strip()))


def _enough(part: str, table: Table, columns: dict[int, Header], reading: Reading) -> bool:
    """Whether there are the columns it takes, and not too many rows."""
    fields = {h.field for h in columns.values()}
    missing = [
        name for name in NEEDED[part] if name not in fields and not (name == "storage_wh" and "storage_ah" in fields)
    ]
    if part == "loads" and not fields & {"running_w", "running_a", "running_va", "measured_wh_per_day"}:
        missing.append("running_w")
    if part == "loads" and not fields & {"hours_per_day", "ends_at", "measured_wh_per_day"}:
        missing.append("hours_per_day")
    for name in missing:
        reading.say(
            "C010",
            "error",
            f"no column for {ASKED[part][name].title.lower()} ({name})",
            table.grid.place(table.head),
            found=show(", ".join(table.titles.values())),
            allowed=show(", ".join(spellings(part, name)[:12]), 200),
            remedy=f"head a column {ASKED[part][name].title}",
        )
    if table.rows_below > ROWS_MAX:
        reading.say(
            "C007",
            "error",
            f"more than {ROWS_MAX:,} rows".replace(",", " "),
            table.grid.place(None),
            remedy="keep only the rows of this case, one for each kind of load with its quantity",
        )
        return False
    return not missing


def _units_row(part: str, table: Table, columns: dict[int, Header], reading: Reading) -> tuple[dict[int, Header], int]:
    """The columns with the units of a row of units, and the first row that is none."""
    below = [number for number in sorted(table.grid.rows) if number > table.head]
    if not below:
        return columns, table.head + 1
    row = table.grid.rows[below[0]]
    words = {
        c: str(cell.value).strip() for c, cell in row.items() if isinstance(cell.value, str) and cell.value.strip()
    }
    units = {c: w for c, w in words.items() if c in columns and is_unit_of(w, columns[c].field, part)}
    rest = [w for c, w in words.items() if c not in units and re.search(r"\w", w)]
    if (
        not units
        or len(words) != len(row)
        or any(re.search(r"[0-9]", w) for w in words.values())
        or len(rest) > len(units)
    ):
        return columns, below[0]
    reading.say(
        "C011",
        "note",
        f"row {below[0]} was read as units",
        table.grid.place(below[0]),
        found=show(", ".join(units.values())),
    )
    with_units = {c: replace(h, unit=units[c].strip("()[] ")) if c in units else h for c, h in columns.items()}
    return _renamed(part, with_units), below[0] + 1


def _renamed(part: str, columns: dict[int, Header]) -> dict[int, Header]:
    """Columns whose unit makes them another field: running in amps."""
    renamed = {}
    for column, header in columns.items():
        other = read_header(f"{header.field} ({header.unit})", part) if header.unit else None
        renamed[column] = other if other and other.field and not other.bad_unit else header
    counts = Counter(header.field for header in renamed.values())
    return {c: h if counts[h.field] == 1 else columns[c] for c, h in renamed.items()}


def _row(
    part: str,
    table: Table,
    number: int,
    cells: dict[int, Cell],
    columns: dict[int, Header],
    name_column: int,
    reading: Reading,
) -> Row:
    grid = table.grid
    name = cells.get(name_column)
    item = str(name.value) if name and name.value is not None else ""
    row = Row(part=part, place=replace(grid.place(number), item=item))
    for column, cell in cells.items():
        title = table.titles.get(column, "")
        place = grid.place(number, column, title, item)
        if cell.formula and cell.value is None:
            reading.say(
                "X004",
                "error",
                "a formula without its last result",
                place,
                remedy="open the workbook in a spreadsheet program, let it calculate and save it, or type the value",
            )
        elif column in columns:
            header = columns[column]
            kind = cell.kind if cell.kind in {"date", "error"} else ""
            row.entries[header.field] = Entry(value=cell.value, place=place, unit=header.unit, kind=kind)
        elif column not in table.titles:
            _say_beyond(table, cell, place, column, reading)
    return row


def _say_beyond(table: Table, cell: Cell, place: Place, column: int, reading: Reading) -> None:
    if column > max(table.titles):
        reading.say(
            "C006",
            "error",
            "a value beyond the last column",
            place,
            found=show(cell.value),
            remedy="give it a header; where a comma is the decimal mark, use semicolons between the fields or quote it",
        )
    else:
        reading.say(
            "C005",
            "error",
            f"a value in column {letters(column)}, which has no header",
            place,
            found=show(cell.value),
            remedy="give the column a header, or delete the value",
        )


def _say_about_sheet(table: Table, columns: dict[int, Header], used: list[int], reading: Reading) -> None:
    """What only sheets have: hidden rows, merged cells, formulas."""
    grid = table.grid
    hidden = [number for number in used if number in grid.hidden_rows]
    for number in hidden:
        reading.say("X008", "note", "a hidden row was read", grid.place(number))
    formulas = sum(cell.formula for number in used for c, cell in grid.rows[number].items() if c in columns)
    if formulas:
        reading.say("X010", "note", f"{formulas} cells hold formulas; their last results were read", grid.place(None))
    filled = set(used)
    for top, left, bottom, right in grid.merged:
        rows = [number for number in filled if top <= number <= bottom]
        touched = [c for c in columns if left <= c <= right]
        if rows and touched and (bottom > top or len(touched) > 1):
            area = f"{letters(left)}{top}:{letters(right)}{bottom}"
            reading.say(
                "X007",
                "error",
                f"the cells {area} are merged",
                grid.place(max(top, table.head), left),
                remedy="unmerge them and fill in every cell",
            )


def _settle_percent(part: str, rows: list[Row], reading: Reading) -> None:
    """Below a header with %, a sheet may hold 0.35 shown as 35 %; a column of shares is read as shares."""
    for name, asked in ASKED[part].items():
        cells = [
            (row, row.entries[name])
            for row in rows
            if asked.unit == "share" and name in row.entries and row.entries[name].unit == "%"
        ]
        bare = [(row, entry, value) for row, entry in cells if (value := _bare(entry)) is not None]
        small = [(row, entry) for row, entry, value in bare if 0 < value <= 1]
        if not small:
            continue
        if len(small) < sum(value > 0 for _, _, value in bare):
            for row, entry in small:
                reading.say(
                    "Q022",
                    "error",
                    "a share among percentages",
                    entry.place,
                    found=show(entry.value),
                    remedy=f"write {show(entry.value)} %, or {_bare(entry) or 0:.0%}".replace("%,", "%,"),
                )
                del row.entries[name]
            continue
        for row, _, _ in bare:
            row.entries[name] = replace(row.entries[name], unit="")
        first = small[0][1].place
        reading.say(
            "Q021",
            "warning",
            f"column {show(first.column)} is headed % but holds shares; 1 was read as 100 %",
            first,
            remedy="write 35 rather than 0.35, or leave the % out of the header",
        )


def _bare(entry: Entry) -> float | None:
    """The number of a cell without a unit of its own."""
    if isinstance(entry.value, bool):
        return None
    if isinstance(entry.value, int | float):
        return float(entry.value)
    if isinstance(entry.value, str) and re.fullmatch(r"\s*[0-9]+(?:[.,][0-9]*)?\s*", entry.value):
        return float(entry.value.strip().replace(",", "."))
    return None
