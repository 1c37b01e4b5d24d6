"""Remarks below a table, which are no rows of it."""

import re
from collections.abc import Mapping
from typing import Final

from holdover.case.kinds import is_heater, is_medical, is_motor
from holdover.case.typical import meant
from holdover.case.words import either, vocabulary
from holdover.findings import Findings
from holdover.reading.table.headers import Header
from holdover.reading.table.source import RawCell, RawTable
from holdover.reading.table.totals import names_total

MARKED: Final = re.compile(
    rf"\s*(?:[*†‡§]|\(?[0-9a-z]\)\s|{either(vocabulary('headers')['footnotes']['first'])}(?!\w))", re.IGNORECASE
)
"""How a remark below a table begins."""
LONGEST_NAME: Final = 6
"""A text of more words is a sentence, though the name of a load stands in it [words]; common practice."""
FIGURE: Final = re.compile(r"\s*[~<>≈]?\s*[0-9.,]*[0-9]")


def footnotes(raw: RawTable, rows: list[int], columns: Mapping[int, Header], findings: Findings) -> set[int]:
    """The rows below the last figures of a table that hold only words, each quoted in a finding.

    A row that is marked as a remark is told in a note; one that is only a name, and may be a load without its figures,
    in a warning; one that names what is known to draw power stays a row.
    """
    left_out: set[int] = set()
    for number in reversed(rows):
        words = _only_words(raw.rows[number], columns)
        if words is None:
            break
        marked = bool(MARKED.match(words[0]))
        if names_total(words[0]):
            continue  # a total that says nothing more
        if not marked and (len(words) > 1 or _is_load(words[0])):
            continue
        left_out.add(number)
        place = raw.place(number)
        quoted = " ".join(words)
        if marked:
            findings.report("C020.remark", place, quoted=quoted)
        else:
            findings.report("C020.name", place, quoted=quoted)
    return left_out


def _only_words(row: Mapping[int, RawCell], columns: Mapping[int, Header]) -> list[str] | None:
    """The texts of a row without any figure; None where there is one, or a cell that only sheets have."""
    cells = [row[column] for column in sorted(row) if row[column].formula or str(row[column].value or "").strip()]
    if any(cell.formula or cell.kind not in {"", "text"} or not isinstance(cell.value, str) for cell in cells):
        return None
    words = [str(cell.value).strip() for cell in cells]
    figures = [
        str(row[column].value) for column in sorted(row) if column in columns and columns[column].field != "name"
    ]
    if not words or any(FIGURE.match(text) for text in figures):
        return None
    return words


def _is_load(name: str) -> bool:
    named = len(name.split()) <= LONGEST_NAME and bool(meant(name))
    return named or is_motor(name) or is_heater(name) or is_medical(name)
