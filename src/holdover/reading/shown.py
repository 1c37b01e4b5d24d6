"""The candidate that the outage shows, by its name."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from holdover.case.words import folded
from holdover.reading.entries import Reading, Row


def settle_shown(rows: Iterable[Row], sections: Mapping[str, Sequence[dict[str, Any]]], reading: Reading) -> None:
    """A name that only differs from one candidate's by case, spaces or punctuation becomes that candidate's own.

    The model and the workbook compare names as spreadsheet programs do, where only case is left aside.
    """
    outage = next(iter(sections.get("outage", ())), {})
    word = outage.get("candidate", "")
    names = [unit["name"] for unit in sections.get("candidates", ()) if "name" in unit]
    if not folded(word) or word.lower() in {name.lower() for name in names}:
        return
    alike = [name for name in names if folded(name) == folded(word)]
    if len(alike) != 1:
        return
    outage["candidate"] = alike[0]
    place = next(row.entries["candidate"].place for row in rows if row.part == "outage")
    reading.report("Q027", place, name=alike[0], written=word)
