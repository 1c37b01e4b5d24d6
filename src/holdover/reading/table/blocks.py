"""Rows that look like headers below or above the one that was taken: the same table goes on there, or another begins."""

import re
from collections.abc import Mapping
from typing import Final, Literal

from holdover.case.words import folded
from holdover.findings import Findings
from holdover.reading.fields import TABLED
from holdover.reading.table.headers import HeadedTable, Header, is_head, read_header
from holdover.reading.table.source import RawCell

FIGURE: Final = re.compile(r"\s*[0-9]")

FOREIGN: Final = 3
"""Fields of the other part from which a row of nothing but its headers begins a table of that part [count]."""

Block = Literal["", "again", "another", "foreign"]


def until_another(part: str, table: HeadedTable, columns: Mapping[int, Header], findings: Findings) -> list[int]:
    """The rows below the header up to where another table begins, without headers that stand there again.

    What lies beyond is no row of this table: it is told, as is a table that stands above the header.
    """
    raw, rows = table.raw, []
    for number in sorted(raw.rows):
        found = "" if raw.turned or number == table.head else _block(part, table, raw.rows[number], columns)
        place = raw.place(number)
        if number < table.head:
            if found in {"again", "another"}:
                findings.report("C022.above", place, row=number, head=table.head)
            continue
        if found == "again":
            findings.report("C013", place)
        elif found:
            rest = sum(other > number for other in raw.rows)
            if found == "another":
                findings.report("C022.below", place, row=number, rest=rest)
            else:
                findings.report("C022.other", place, row=number, rest=rest, part=part, other=_other(part))
            break
        elif number > table.head:
            rows.append(number)
    return rows


def _block(part: str, table: HeadedTable, row: Mapping[int, RawCell], columns: Mapping[int, Header]) -> Block:
    """What a row is that holds nothing but words: this header again, another one, one of the other part, or a row."""
    words = {column: str(cell.value).strip() for column, cell in row.items() if str(cell.value or "").strip()}
    if any(cell.formula or not isinstance(cell.value, str) or FIGURE.match(cell.value) for cell in row.values()):
        return ""
    if not words or len(words) > len(set(words.values())):
        return ""
    if all(folded(text) == folded(table.titles.get(column, "")) for column, text in words.items()) and len(words) > 1:
        return "again"
    fields, others = (_fields(words, each) for each in (part, _other(part)))
    if len(others) == len(words) and len(words) >= FOREIGN and len(others) > len(fields):
        return "foreign"
    if not is_head(set(fields.values()), part) or 2 * len(fields) < len(words):
        return ""
    same = all(column in columns and columns[column].field == name for column, name in fields.items())
    return "again" if same and len(fields) == len(words) else "another"


def _fields(words: Mapping[int, str], part: str) -> dict[int, str]:
    """By column, the fields that words mean as headers."""
    heads = {column: read_header(text, part) for column, text in words.items()}
    return {column: head.field for column, head in heads.items() if head and head.field}


def _other(part: str) -> str:
    return next(other for other in TABLED if other != part)
