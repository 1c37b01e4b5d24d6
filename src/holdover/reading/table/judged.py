"""A column is what stands in it: where no cell can be what its header says, that is told once, not in each row."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from holdover.case.words import folded, vocabulary
from holdover.findings import Findings, Place, show
from holdover.reading.choice import choices_in_words
from holdover.reading.entries import Context, Entry, Row, allowed, is_empty, typed_text, unstated
from holdover.reading.fields import ASKED
from holdover.reading.quantity.units import LIKE
from holdover.reading.row import read_row
from holdover.reading.tier import with_tiers

UNREAD: Final = {"Q001", "Q006", "Q007"}
"""Codes of findings that say that a text is no figure, or none of the words."""
ROWS: Final = 3
"""Rows from which a column says what it is [count]."""
SHOWN: Final = 3
"""Cells of such a column that are shown [count]."""


def judged(part: str, rows: Sequence[Row], findings: Findings) -> list[Row]:
    """The rows without the columns that hold something else; one whose cells are the words of another field is taken so."""
    meant = with_tiers(rows, Findings())  # words of a scale are tiers
    headed = sorted({name for row in rows for name in row.entries})
    for name in headed:
        cells = [row.entries[name] for row in meant if name in row.entries and _says(row.entries[name])]
        if not cells or any(is_read(part, name, entry) for entry in cells):
            continue
        other = vocabulary("headers")["instead"][part].get(folded(cells[0].place.column), "")
        if other and other not in headed and all(is_read(part, other, entry) for entry in cells):
            title = cells[0].place.column
            findings.report("C023.words", _column(cells), title=title, meant=ASKED[part][other].title)
        elif len(cells) >= ROWS:
            _report(part, name, cells, findings)
            other = ""
        else:
            continue
        rows = [_without(row, name, other) for row in rows]
    return list(rows)


def _column(cells: Sequence[Entry]) -> Place:
    return replace(cells[0].place, item="")


def _report(part: str, name: str, cells: Sequence[Entry], findings: Findings) -> None:
    """That none of the cells can be read, with some of them."""
    asked, place = ASKED[part][name], _column(cells)
    found = ", ".join(dict.fromkeys(show(typed_text(entry.value)) for entry in cells[:SHOWN]))
    title, field, limits = place.column, asked.title, allowed(asked)
    if asked.choices:
        choices = choices_in_words(asked)
        findings.report("C023.choice", place, title=title, field=field, choices=choices, found=found, allowed=limits)
    else:
        like = LIKE.get(asked.unit, "")
        findings.report("C023.figure", place, title=title, field=field, like=like, found=found, allowed=limits)


def _says(entry: Entry) -> bool:
    return not is_empty(entry.value) and not unstated(entry.value) and not entry.kind


def is_read(part: str, name: str, entry: Entry) -> bool:
    """Whether a cell can be what its header says, be it out of bounds or in doubt."""
    if not isinstance(entry.value, str):
        return True
    row = Row(part=part, place=entry.place, entries={name: entry})
    return not UNREAD & {finding.code for finding in read_row(row, Context())[1] if finding.level == "error"}


def _without(row: Row, name: str, meant: str) -> Row:
    """The row without a column, or with it as another one."""
    entries = {meant if each == name else each: entry for each, entry in row.entries.items()}
    return replace(row, entries={each: entry for each, entry in entries.items() if each}, unread=row.unread | {name})
