"""What is printed of a batch."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from holdover.findings import show
from holdover.fleet.entry import Entry, names_apart
from holdover.model.spoken import spoken

if TYPE_CHECKING:
    from holdover.fleet.batch import Batch

HEADS: Final = ("case", "pick", "packs", "output", "runtime", "price", "findings", "workbook")
PATH: Final = 60
"""Longest path that is shown [characters]."""
STATES: Final = {
    "written": "written",
    "reused": "up to date",
    "edited": "left as edited by somebody",
    "errors": "with errors",
    "failed": "not worked out",
}
"""What is said of so many cases of a state."""


def faults(entries: Sequence[Entry]) -> list[tuple[str, str]]:
    """What keeps cases from having a workbook, once each, by the first of them, of whose path the end tells most."""
    wrong: dict[str, list[str]] = {}
    for entry in entries:
        if entry.state in ("errors", "failed"):
            wrong.setdefault(entry.headline, []).append(show(entry.case, 1000))
    return [(_named(paths), words) for words, paths in wrong.items()]


def _named(paths: Sequence[str]) -> str:
    first = paths[0] if len(paths[0]) <= PATH else f"…{paths[0][1 - PATH :]}"
    return first if len(paths) == 1 else f"{first} and {len(paths) - 1:,} more"


def lines(entries: Sequence[Entry]) -> list[tuple[str, ...]]:
    """The cases in short, each as it is told apart from the others; findings are errors and warnings."""
    return [_line(entry, name) for entry, name in zip(entries, names_apart(entries), strict=True)]


def _line(entry: Entry, name: str) -> tuple[str, ...]:
    price = entry.price if isinstance(entry.price, str) else f"{float(spoken(entry.price, 2)):,.2f}".removesuffix(".00")
    said = "" if entry.fitting == "" else "none fits"
    return (
        show(name, 32),
        show(entry.told_pick, 24) or said,
        str(entry.packs),
        entry.output,
        entry.kept,
        f"{price} {show(entry.currency, 8)}".strip() if price else "",
        str(entry.errors + entry.warnings),
        f"{show(entry.workbook, 40)}{', left as edited' if entry.state == 'edited' else ''}" or entry.state,
    )


def asking(entries: Sequence[Entry]) -> list[Entry]:
    """Cases that ask for a look: with errors, left as they were, or without a candidate that fits."""
    return [entry for entry in entries if entry.state != "written" or not entry.fitting]


def summary(batch: "Batch") -> str:
    """How many cases there were, and what became of them."""
    counts = Counter[str](entry.state for entry in batch.entries)
    counts["written"] -= batch.up_to_date
    counts["reused"] = batch.up_to_date
    told = [f"{counts[state]:,} {words}" for state, words in STATES.items() if counts[state]]
    none = sum(entry.fitting == 0 for entry in batch.entries)
    count = len(batch.entries)
    parts = [f"{count:,} case{'' if count == 1 else 's'}: {', '.join(told)}"]
    parts += [f"{none:,} without a candidate that fits"] if none else []
    rate = (count - batch.reused) / batch.seconds if batch.seconds else 0
    return f"{'; '.join(parts)}; {batch.seconds:,.0f} s, {rate:.1f} a second."
