"""From the bytes of a file to the rows of a part: where the header is and what the columns mean."""

import csv
import io
import re
from collections.abc import Set
from dataclasses import replace
from typing import Final

from holdover.case.words import folded, nearest, vocabulary
from holdover.findings import Findings, Place
from holdover.reading.entries import Row
from holdover.reading.fields import ASKED, TABLED, Asked
from holdover.reading.table.data_sheet import TELLING, read_data_sheets
from holdover.reading.table.headers import (
    HeadedTable,
    Header,
    about,
    header_of,
    is_head,
    known_headers,
    quantities,
    read_header,
)
from holdover.reading.table.numbering import may_count
from holdover.reading.table.rows import read_rows
from holdover.reading.table.source import (
    COLUMNS_MAX,
    DELIMITERS,
    RawCell,
    RawTable,
    csv_table,
    csv_text,
    sheet_tables,
    turned,
)
from holdover.reading.table.unlabelled import CHEMISTRY
from holdover.xlsx import column_letters

LINE_MAX: Final = 100_000
"""Longest line of a CSV [characters]."""
SHEET_LINES: Final = 1_000
"""Most lines of a text of data sheets [count]."""
SHEET_LINE_MAX: Final = 500
"""Longest line of a text of data sheets [characters]: a longer one is none, and costs its square."""
TURNED_FIELDS: Final = 3
"""Fields from which a column of words is a column of headers, and a text the data sheet of a unit [count]."""
LABEL_AND_VALUE: Final = 2
"""Columns of a data sheet that is pasted line by line [count]."""
HEADER_WITHIN: Final = 40
"""Filled rows among which the header is looked for [count]."""

OFFERED: Final = 4
"""Most fields of one unit that are offered for a column that is not known [count]."""
NEEDED: Final = {
    part: {name for name, asked in ASKED[part].items() if asked.needed and not asked.text} for part in TABLED
}
"""Figures without which nothing is counted, by part; a list of words has none of them."""

SHEETS: Final[dict[str, list[str]]] = vocabulary("headers")["sheets"]
"""Names by which a sheet is told from another that has the same headers."""


def read_table(part: str, data: bytes, file: str, findings: Findings, *, use_typical: bool = False) -> list[Row]:
    """The rows of a part from a CSV or a workbook; findings say what was left out and why.

    Args:
        part: loads or candidates
        data: what the file holds
        file: its name
        findings: where what there is to say is collected
        use_typical: whether typical figures stand in for columns that are not there
    """
    if not data.strip():
        findings.report("F012", Place(file=file))
        return []
    # A workbook under the name of a CSV is told by its first bytes, and refused by the reader of workbooks.
    as_sheet = file.casefold().endswith(".xlsx") or data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0"))
    if as_sheet:
        table = _from_sheets(part, data, file, findings)
    else:
        said = Findings()
        table = _from_csv(part, data, file, said)
        sheets = _data_sheets(data, file) if part == "candidates" and table is None else None
        findings.extend((sheets[1] if sheets else said).found)
        if sheets:
            return sheets[0]
    return [] if table is None else _rows(part, table, findings, use_typical=use_typical)


def _data_sheets(data: bytes, file: str) -> tuple[list[Row], Findings] | None:
    """The units of a text of data sheets, with what there is to say; None where it is no such text."""
    findings = Findings()
    lines = (csv_text(data, file, findings) or "").splitlines()[: SHEET_LINES + 1]
    if len(lines) > SHEET_LINES or any(len(line) > SHEET_LINE_MAX for line in lines):
        return None
    raw = RawTable(file=file, rows={n: {1: RawCell(value=line)} for n, line in enumerate(lines, 1) if line.strip()})
    rows = read_data_sheets(raw, findings)
    stated = [TELLING & row.entries.keys() for row in rows if "name" in row.entries]
    return (rows, findings) if any(len(fields) >= TURNED_FIELDS for fields in stated) else None


def read_raw(part: str, raw: RawTable, findings: Findings) -> list[Row] | None:
    """The rows of a part from cells, be its headers in a row or down a column; None where it is no table of the part.

    Two columns are no table on its side: they are labels and values, of one unit or of several.
    """
    table = _find_header(raw, part)
    if not table or not _has_header(table, part) or not table.rows_below or table.score < TURNED_FIELDS:
        widest = max((max(row) for row in raw.rows.values()), default=0)
        table = _turned(raw, part) if widest > LABEL_AND_VALUE else None
    if not table:
        return None
    if table.raw.turned:
        _report_turned(table, findings)
    return _rows(part, table, findings)


def _rows(part: str, table: HeadedTable, findings: Findings, *, use_typical: bool = False) -> list[Row]:
    columns = _columns(part, table, findings)
    rows = read_rows(part, table, columns, findings, use_typical=use_typical)
    headed = frozenset(header.field for header in columns.values())
    return [replace(row, headed=headed) for row in rows] if None in table.headers.values() else rows


def _from_csv(part: str, data: bytes, file: str, findings: Findings) -> HeadedTable | None:
    """The table under the delimiter with which most headers are known."""
    text = csv_text(data, file, findings)
    if text is None:
        return None
    if any(len(line) > LINE_MAX for line in io.StringIO(text, newline=None)):
        findings.report("C001.long", Place(file=file))
        return None
    best: HeadedTable | None = None
    on_its_side: HeadedTable | None = None
    faults: list[tuple[int, str]] = []
    for delimiter in DELIMITERS:
        try:
            raw = csv_table(text, delimiter, file)
        except csv.Error as fault:
            faults.append((text.count(delimiter), str(fault)))
            continue
        best = _better(best, _find_header(raw, part))
        on_its_side = _better(on_its_side, _turned(raw, part))
    if best and _has_header(best, part):
        return best
    if on_its_side:
        _report_turned(on_its_side, findings)
        return on_its_side
    if faults:
        _report_broken(text, max(faults)[1], file, findings)
        return None
    first = next((line for line in io.StringIO(text, newline=None) if line.strip()), "")
    _report_header_missing(part, first.strip(), Place(file=file), findings)
    if best and best.score > 1:
        _columns(part, best, findings)  # for what there is to say of the row that comes nearest to one
    return None


def _better(one: HeadedTable | None, other: HeadedTable | None) -> HeadedTable | None:
    """The one with more headers, the first where both have as many."""
    return other if other and (one is None or other.score > one.score) else one


def _turned(raw: RawTable, part: str) -> HeadedTable | None:
    """The table of one whose headers run down its first column, as data sheets are compared side by side."""
    if len(raw.rows) > HEADER_WITHIN or not all(len(row) <= COLUMNS_MAX for row in raw.rows.values()):
        return None  # it has more rows than there are fields
    table = _find_header(turned(raw), part)
    if not table or not any(number > table.head for number in table.raw.rows) or table.score < TURNED_FIELDS:
        return None
    if "name" in {h.field for h in table.headers.values() if h}:
        return table
    # Above the names in the first line nothing may stand, or a word such as Specification.
    first = min(line for number, row in table.raw.rows.items() if number > table.head for line in row)
    if first >= min(line for line, header in table.headers.items() if header):
        return None
    title = table.titles.get(first, ASKED[part]["name"].title)
    return replace(table, headers=table.headers | {first: Header(field="name")}, titles=table.titles | {first: title})


def _report_turned(table: HeadedTable, findings: Findings) -> None:
    findings.report("C021", table.raw.place(None), column=column_letters(table.head))


def _report_broken(text: str, fault: str, file: str, findings: Findings) -> None:
    row, typed = next(
        ((n, line) for n, line in enumerate(io.StringIO(text, newline=None), 1) if line.count('"') % 2), (None, "")
    )
    place = Place(file=file, row=row)
    if "field larger" in fault:
        findings.report("C001.field", place, found=typed.rstrip("\n"))
    else:
        findings.report("C001.open" if "end of data" in fault else "C001.within", place, found=typed.rstrip("\n"))


def _has_header(table: HeadedTable, part: str) -> bool:
    return is_head({h.field for h in table.headers.values() if h and h.field}, part)


def _report_header_missing(part: str, found: str, place: Place, findings: Findings) -> None:
    wanted = ", ".join(f"{asked.title}" for asked in ASKED[part].values() if asked.needed)
    findings.report(f"C002.{part}", place, part=part, found=found, allowed=wanted)


def _find_header(raw: RawTable, part: str) -> HeadedTable | None:
    """The first row among the first ones in which most headers are known."""
    best: HeadedTable | None = None
    for number in list(raw.rows)[:HEADER_WITHIN]:
        row = raw.rows[number]
        titles = {
            column: str(cell.value).strip()
            for column, cell in row.items()
            if isinstance(cell.value, str) and cell.value.strip() and column <= COLUMNS_MAX and len(cell.value) <= 100
        }
        headers = {column: read_header(title, part) for column, title in titles.items()}
        table = HeadedTable(raw=raw, head=number, headers=headers, titles=titles)
        if best is None or table.score > best.score:
            best = table
    return best and replace(best, headers=best.headers | _by_what_they_head(best, part))


def _by_what_they_head(table: HeadedTable, part: str) -> dict[int, Header | None]:
    """What headers mean that may mean several things, by the units below them."""
    meant: dict[int, Header | None] = {}
    named = sum(header is not None and header.field == "name" for header in table.headers.values()) > 1
    fields = {header.field for header in table.headers.values() if header}
    with_others = vocabulary("headers")["with_another"][part]
    for column, header in table.headers.items():
        beside = with_others.get(folded(table.titles[column]), {})
        if header is None and fields & set(beside):
            meant[column] = Header(field=next(beside[field] for field in beside if field in fields))
            continue
        again = named and header is not None and header.field == "name"
        if header is None or header.refused or again:
            below = [
                row[column].value for number, row in table.raw.rows.items() if number > table.head and column in row
            ]
            texts = [each for each in below if isinstance(each, str)]
            found = header_of(table.titles[column], part, texts)
            if found and found.field:
                meant[column] = found
            if again and texts and all(CHEMISTRY.search(each) and not re.search("[0-9]{3}", each) for each in texts):
                meant[column] = Header(beside=True)  # beside `Model` a column `Battery` of `LFP` names no unit
    return meant


def _from_sheets(part: str, data: bytes, file: str, findings: Findings) -> HeadedTable | None:
    """The table of the sheet that fits best; two that fit alike are told apart by name or not at all."""
    sheets = sheet_tables(data, file, findings)
    if not sheets:
        return None
    every, sheets = sheets, _named(part, sheets)
    upright = _upright(part, sheets)
    tables = upright or [table for table in (_turned(raw, part) for raw in sheets) if table]
    tables = [t for t in tables if not t.raw.hidden] or tables
    most = max((table.score for table in tables), default=0)
    best = [table for table in tables if table.score == most]
    if not best:
        _report_header_missing(part, ", ".join(raw.sheet for raw in sheets), Place(file=file), findings)
        near = max((t for raw in sheets if (t := _find_header(raw, part))), key=lambda t: t.score, default=None)
        if near and near.score > 1:
            _columns(part, near, findings)
        return None
    if len(best) > 1:
        findings.report(
            "X003",
            Place(file=file),
            sheets=len(best),
            part=part,
            name=part.capitalize(),
            found=", ".join(table.raw.sheet for table in best),
        )
        return None
    table = best[0]
    if table.raw.turned:
        _report_turned(table, findings)
    if table.raw.hidden:
        findings.report("X009", table.raw.place(None), sheet=table.raw.sheet)
    _report_passed_by(part, table, every, findings)
    return table


def _upright(part: str, sheets: list[RawTable]) -> list[HeadedTable]:
    """The tables of a part whose headers stand in a row."""
    return [table for table in (_find_header(raw, part) for raw in sheets) if table and _has_header(table, part)]


def _report_passed_by(part: str, taken: HeadedTable, sheets: list[RawTable], findings: Findings) -> None:
    """Name each other sheet with a table of the part, unless it is rather one of the other part."""
    others = {t.raw.sheet: t.score for each in TABLED if each != part for t in _upright(each, sheets)}
    for table in _upright(part, sheets):
        fields = {header.field for header in table.headers.values() if header}
        rows = table.rows_below and "name" in fields and fields & NEEDED[part]
        if rows and table.raw.sheet != taken.raw.sheet and table.score > others.get(table.raw.sheet, 0):
            findings.report("X013", table.raw.place(table.head), sheet=table.raw.sheet, part=part, name=taken.raw.sheet)


def _named(part: str, sheets: list[RawTable]) -> list[RawTable]:
    """The sheets that may hold a part: the one that has its name, else those that don't have the other's."""
    named = [raw for raw in sheets if folded(raw.sheet) in SHEETS[part] and not raw.hidden]
    others = {name for other, names in SHEETS.items() if other != part for name in names}
    apart = [raw for raw in sheets if folded(raw.sheet) not in others]
    return named if len(named) == 1 else apart


def _columns(part: str, table: HeadedTable, findings: Findings) -> dict[int, Header]:
    """What each column means; those that mean nothing are findings."""
    columns: dict[int, Header] = {}
    raw = table.raw
    taken: dict[str, str] = {}
    numbered = False
    unknown: list[tuple[str, Place]] = []
    above = _above(table)
    for column, header in table.headers.items():
        title = table.titles[column]
        place = raw.place(table.head, column, title)
        if column in above:
            findings.report("C014.title", place, found=title)
        elif header is None:
            unknown.append((title, place))
        elif header.refused:
            findings.report("C016", place, title=title, found=title, how=header.refused)
        elif header.ignored and may_count(part, table, column, seen=numbered):
            _report_count(title, place, findings)
        elif header.ignored or header.beside:
            numbered = numbered or header.ignored
            findings.report("C015.beside" if header.beside else "C015.rows", place, title=title)
        elif header.field in taken:
            findings.report("C004.columns", place, first=taken[header.field], title=title, found=title)
        else:
            taken[header.field] = title
            columns[column] = header
            _check_unit(part, header, title, place, findings)
    if unknown:
        _report_unknown(part, unknown, set(taken), findings)
    if table.head != min(raw.rows):
        _report_before(table, findings)
    return columns


def _above(table: HeadedTable) -> set[int]:
    """Lines of a table on its side that stand above its first header with nothing beside them."""
    if not table.raw.turned:
        return set()
    first = min(line for line, header in table.headers.items() if header)
    beside = {line for number, row in table.raw.rows.items() if number > table.head for line in row}
    return {line for line in table.headers if line < first} - beside


def _report_before(table: HeadedTable, findings: Findings) -> None:
    raw = table.raw
    findings.report(
        "C014.column" if raw.turned else "C014.row",
        raw.place(table.head),
        head=column_letters(table.head) if raw.turned else table.head,
        above=sum(number < table.head for number in raw.rows),
    )


def _report_count(title: str, place: Place, findings: Findings) -> None:
    findings.report("C019", place, title=title, found=title)


def _check_unit(part: str, header: Header, title: str, place: Place, findings: Findings) -> None:
    unit = ASKED[part][header.field].unit
    if header.bad_unit:
        findings.report("C012.unit" if unit else "C012.bare", place, wrong=header.bad_unit, unit=unit, found=title)
    elif header.aside:
        findings.report("C017.unit" if unit else "C017.bare", place, aside=header.aside, unit=unit, found=title)
    elif header.unit and header.unit != unit:
        findings.report("C011.header", place, title=title, unit=header.unit)


def _report_unknown(part: str, unknown: list[tuple[str, Place]], taken: set[str], findings: Findings) -> None:
    """Each column that is not known; what may be a column is listed with the first of them alone.

    Nothing is offered that is in another unit than the header says: the header most like it, or all that it may be.
    """
    missing = [name for name, asked in ASKED[part].items() if asked.needed and name not in taken]
    for number, (title, place) in enumerate(unknown):
        units = quantities(title, part)
        free = [name for name in ASKED[part] if name not in taken and _may_mean(title, units, ASKED[part][name])]
        words = [word for word in known_headers(part) if _means(word, part) in free]
        near = nearest(title, [word for word in words if _means(word, part) in missing]) or nearest(title, words)
        near = near or (_with_all_words(title, words) if units else "")
        if _means(nearest(title, known_headers(part)), part) in taken:
            near = ""  # it is most like one that is there already
        fields = "" if number else ", ".join(dict.fromkeys(asked.title for asked in ASKED[part].values()))
        may_be = [name for name in free if name in missing or (units and len(free) <= OFFERED)]
        headings = " or ".join(dict.fromkeys(ASKED[part][name].title for name in may_be))
        if near and _means(near, part) in missing:
            heading = ASKED[part][_means(near, part)].title
            findings.report("C003.needed", place, title=title, heading=heading, found=title, allowed=fields)
        elif near and not (units and may_be):
            findings.report("C003.near", place, title=title, near=near, found=title, allowed=fields)
        elif may_be:
            findings.report(
                "C003.price" if "money" in units else "C003.missing",
                place,
                title=title,
                headings=headings,
                found=title,
                allowed=fields,
            )
        else:
            findings.report(
                "C003.money" if "money" in units else "C003.far", place, title=title, found=title, allowed=fields
            )


def _may_mean(title: str, units: Set[str], asked: Asked) -> bool:
    """Whether a field is in a unit that a header may be in, and about what the header is about."""
    return (not units or asked.unit in units) and about(title) <= about(asked.title)


def _with_all_words(title: str, words: list[str]) -> str:
    """The shortest known header with all words of a title but the unit at its end, "" where there is none."""
    wanted = set(folded(title).split()[:-1])
    return min((word for word in words if wanted and wanted <= set(word.split())), key=len, default="")


def _means(word: str, part: str) -> str:
    header = read_header(word, part)
    return header.field if header else ""
