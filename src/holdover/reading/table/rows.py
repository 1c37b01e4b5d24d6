"""The rows below a header: which of them are rows, and what only sheets have."""

import re
from collections import Counter
from dataclasses import replace
from typing import Final

from holdover.case.figures import exact
from holdover.case.kinds import is_medical
from holdover.case.words import abroad, folded
from holdover.findings import Findings, Place, show
from holdover.reading.composite import taken_apart
from holdover.reading.entries import Entry, Row, bare_number, is_empty
from holdover.reading.fields import ASKED
from holdover.reading.table.blocks import until_another
from holdover.reading.table.footnotes import footnotes
from holdover.reading.table.headers import HeadedTable, Header, is_unit_of, read_header, spellings
from holdover.reading.table.judged import judged
from holdover.reading.table.source import ROWS_MAX, RawCell, RawTable
from holdover.reading.table.totals import Figures, is_total
from holdover.xlsx import column_letters

INSTEAD: Final = {
    "running_w": {"running_a", "running_va", "measured_wh_per_day"},
    "hours_per_day": {"ends_at", "measured_wh_per_day"},
    "storage_wh": {"storage_ah"},
}
"""By needed field, those of which a column does as well."""
TYPICAL: Final = {"running_w", "hours_per_day"}
"""Needed fields without a column of which a table can be read where typical figures are wanted."""


def read_rows(
    part: str, table: HeadedTable, columns: dict[int, Header], findings: Findings, *, use_typical: bool
) -> list[Row]:
    """The rows of a part; totals, repeated headers and rows of units are left out, and said."""
    raw = table.raw
    missing = _missing(part, table, columns, findings, use_typical=use_typical)
    if table.rows_below > ROWS_MAX:
        findings.report("C007", raw.place(None), most=f"{ROWS_MAX:,}".replace(",", " "))
        return []
    columns, first = _units_row(part, table, columns, findings)
    name_column = next((c for c, h in columns.items() if h.field == "name"), 0)
    rows: list[Row] = []
    used: list[int] = []
    below = [number for number in until_another(part, table, columns, findings) if number >= first]
    figures = Figures(part=part, raw=raw, columns=columns)
    remarks = footnotes(raw, below, columns, findings)
    for number in below:
        if number in remarks:
            continue
        cells = _filled(raw, number)
        if not cells:
            continue
        if is_total(figures, number, used, name_column, findings):
            continue
        used.append(number)
        rows.append(_row(part, table, number, cells, columns, findings))
    _report_about_sheet(table, columns, used, findings)
    if not rows:
        findings.report("C018", raw.place(table.head))
    rows = judged(part, taken_apart(part, rows, findings), findings)
    _name_apart(part, table, rows, findings)
    _settle_percent(part, rows, findings)
    return [replace(row, unread=row.unread | missing) for row in rows] if missing else rows


def _name_apart(part: str, table: HeadedTable, rows: list[Row], findings: Findings) -> None:
    """Say beside the name of a load what it means in the language of the headings, where it is another thing in English."""
    titles = {folded(re.split(r"[(\[]", title)[0]) for title in table.titles.values()}
    for language, words in abroad("words").items():
        headings = abroad("headers").get(language, {}).get(part, {}).values()
        if part != "loads" or not titles & {folded(word) for heading in headings for word in heading}:
            continue
        friends: dict[str, str] = words.get("friends", {})
        for row in rows:
            entry = row.entries.get("name")
            said = folded(str(entry.value)).split() if entry else []
            meant = next((friends[word] for word in said if word in friends), "")
            if not entry or not meant or is_medical(" ".join(word for word in said if word not in friends)):
                continue
            name = f"{meant} ({str(entry.value).strip()})"
            findings.report("L011", entry.place, name=name, found=entry.value)
            row.entries["name"] = replace(entry, value=name)


def _filled(raw: RawTable, number: int) -> dict[int, RawCell]:
    """The cells of a row in which something stands, be it a formula without a result."""
    return {column: cell for column, cell in raw.rows[number].items() if cell.formula or not is_empty(cell.value)}


def _missing(
    part: str, table: HeadedTable, columns: dict[int, Header], findings: Findings, *, use_typical: bool
) -> frozenset[str]:
    """The fields it takes that have no column: told once, not of each row, so that the other columns are read beside."""
    fields = {h.field for h in columns.values()}
    needed = [name for name, asked in ASKED[part].items() if asked.needed]
    missing = [
        name for name in needed if not fields & {name, *INSTEAD.get(name, ())} and not (use_typical and name in TYPICAL)
    ]
    for name in missing:
        findings.report(
            "C010",
            table.raw.place(table.head),
            name=name,
            heading=ASKED[part][name].title,
            found=", ".join(table.titles.values()),
            allowed=", ".join(spellings(part, name)[:12]),
        )
    return frozenset(missing)


def _units_row(
    part: str, table: HeadedTable, columns: dict[int, Header], findings: Findings
) -> tuple[dict[int, Header], int]:
    """The columns with the units of a row of units, and the first row that is none."""
    below = [number for number in sorted(table.raw.rows) if number > table.head]
    if not below:
        return columns, table.head + 1
    row = table.raw.rows[below[0]]
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
    findings.report("C011.row", table.raw.place(below[0]), row=below[0], found=", ".join(units.values()))
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
    table: HeadedTable,
    number: int,
    cells: dict[int, RawCell],
    columns: dict[int, Header],
    findings: Findings,
) -> Row:
    raw = table.raw
    name = next((cell for column, cell in cells.items() if column in columns and columns[column].field == "name"), None)
    item = str(name.value) if name and name.value is not None else ""
    row = Row(part=part, place=replace(raw.place(number), item=item))
    beyond = False
    for column, cell in cells.items():
        if beyond and column not in table.titles:
            continue
        title = table.titles.get(column, "")
        place = raw.place(number, column, title, item)
        if cell.formula and cell.value is None:
            findings.report("X004", place)
        elif column in columns:
            header = columns[column]
            kind = cell.kind if cell.kind in {"date", "error"} else ""
            # A sheet keeps 35 % as 0.35 where it shows it so, whatever the header says.
            shown = cell.percent and ASKED[part][header.field].unit == "share"
            unit = "share" if shown else header.unit
            row.entries[header.field] = Entry(value=cell.value, place=place, unit=unit, kind=kind)
        elif column not in table.titles:
            beyond = True  # once for a row
            _report_beyond(table, cell, place, column, findings)
    return row


def _report_beyond(table: HeadedTable, cell: RawCell, place: Place, column: int, findings: Findings) -> None:
    if column > max(table.titles):
        findings.report("C006", place, found=cell.value)
    else:
        findings.report("C005", place, column=column_letters(column), found=cell.value)


def _report_about_sheet(table: HeadedTable, columns: dict[int, Header], used: list[int], findings: Findings) -> None:
    """What only sheets have: hidden rows, merged cells, formulas."""
    raw = table.raw
    hidden = [number for number in used if number in raw.hidden_rows]
    for number in hidden:
        findings.report("X008", raw.place(number))
    formulas = sum(cell.formula for number in used for c, cell in raw.rows[number].items() if c in columns)
    if formulas:
        findings.report("X010", raw.place(None), formulas=formulas)
    filled = set(used)
    for top, left, bottom, right in raw.merged:
        rows = [number for number in filled if top <= number <= bottom]
        touched = [c for c in columns if left <= c <= right]
        if rows and touched and (bottom > top or len(touched) > 1):
            area = f"{column_letters(left)}{top}:{column_letters(right)}{bottom}"
            findings.report("X007", raw.place(max(top, table.head), left), area=area)


def _percent(entry: Entry) -> str:
    """A share as its percentage with all of its digits, under the decimal mark it was typed with."""
    number = exact((bare_number(entry) or 0.0) * 100)
    return number.replace(".", ",") if isinstance(entry.value, str) and "," in entry.value else number


def _settle_percent(part: str, rows: list[Row], findings: Findings) -> None:
    """Below a header with %, a sheet may hold 0.35 shown as 35 %; a column of shares is read as shares."""
    for name, asked in ASKED[part].items():
        cells = [
            (row, row.entries[name])
            for row in rows
            if asked.unit == "share" and name in row.entries and row.entries[name].unit == "%"
        ]
        bare = [(row, entry, value) for row, entry in cells if (value := bare_number(entry)) is not None]
        small = [(row, entry) for row, entry, value in bare if 0 < value <= 1]
        if not small:
            continue
        if len(small) < sum(value > 0 for _, _, value in bare):
            for row, entry in small:
                findings.report(
                    "Q022", entry.place, share=show(entry.value), percent=_percent(entry), found=entry.value
                )
                del row.entries[name]
            continue
        for row, _, _ in bare:
            row.entries[name] = replace(row.entries[name], unit="")
        first = small[0][1].place
        findings.report("Q021", first, column=first.column)
