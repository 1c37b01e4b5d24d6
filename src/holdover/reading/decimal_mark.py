"""The decimal mark of a file: decided by the cells that only one reading allows, never guessed."""

from collections.abc import Iterable
from dataclasses import replace

from holdover.findings import Findings, where
from holdover.reading.entries import Entry, Row, is_empty
from holdover.reading.fields import ASKED
from holdover.reading.quantity.numbers import Mark
from holdover.reading.value import readings


def decide_marks(rows: Iterable[Row], findings: Findings) -> dict[str, Mark | None]:
    """The decimal mark of every file that needs one; where two cells contradict each other none, and that is told."""
    evidence: dict[str, dict[Mark, Entry]] = {}
    for row in rows:
        for name, entry in row.entries.items():
            asked = ASKED[row.part][name]
            if asked.text or not isinstance(entry.value, str) or is_empty(entry.value) or entry.kind:
                continue
            possible = readings(entry, asked)
            if len(possible) == 1:
                evidence.setdefault(entry.place.file, {}).setdefault(next(iter(possible)), entry)
    for cells in evidence.values():
        if len(cells) == 2:
            _report_conflict(cells, findings)
    return {file: next(iter(cells)) if len(cells) == 1 else None for file, cells in evidence.items()}


def _report_conflict(cells: dict[Mark, Entry], findings: Findings) -> None:
    point, comma = cells["."], cells[","]
    other = where(replace(point.place, item=""))
    findings.report("Q004", comma.place, point=point.value, comma=comma.value, other=other, found=comma.value)
