"""The index as a workbook: what it shows, worked out in Python beside the formulas that do the same."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import About, Case, PaperSize
from holdover.fleet.choices import (
    UNREAD,
    Choice,
    Line,
    Sums,
    Unit,
    choice_of,
    compared,
    lines_of,
    sums_of,
    units_of,
    with_choice,
)
from holdover.fleet.entry import Entry, names_apart
from holdover.fleet.sheets import index_sheets
from holdover.workbook.page import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A case with how many there are like it, as it is typed."""

    entry: Entry
    times: int | str | None
    title: str = ""
    """What it is called."""

    @property
    def counts(self) -> int | str:
        """For how many it counts; a word where that can't be read."""
        if self.times is None:
            return 0
        return UNREAD if isinstance(self.times, str) or self.times < 0 else self.times


SPARE: Final = Told(entry=Entry(case="", state=""), times=None)
"""A line without a case, where there is one case only: not every program counts in a range of one cell."""
OWN: Final = "own currency"
"""Stands in headings for the currency where cases differ in it."""
LEAST: Final = 2
"""Lines and candidates that the sheets have at least [count]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """All that the index shows. `case` lends it its title, its paper and its currency."""

    case: Case
    entries: tuple[Told, ...]
    sums: Sums
    lines: tuple[Line, ...]
    units: tuple[Unit, ...]
    choice: Choice | None
    listed: int
    """How many candidates the list has that all cases share."""


def fleet_of(entries: Sequence[Entry], times: Sequence[int | str | None] | None = None) -> Fleet:
    """The cases together; `times` is how many there are like each, usually one; None, a blank, leaves one out."""
    typed: Sequence[int | str | None] = [1] * len(entries) if times is None else times
    told = [
        Told(entry=entry, times=n, title=title)
        for entry, n, title in zip(entries, typed, names_apart(entries), strict=True)
    ]
    told += [SPARE] * (LEAST - len(told))
    counts = [each.counts for each in told]
    sums, names = sums_of([each.entry for each in told], counts), compared(entries)
    names += ("",) * (LEAST - len(names)) if names else ()
    lines = lines_of([(each.title, each.entry) for each in told], names, counts)
    units = units_of(names, lines, alike=bool(sums.alike))
    choice = choice_of(units, lines, sums) if units else None
    listed = max((len(entry.choices) for entry in entries), default=0)
    about = About(
        title=f"Index of {len(entries):,} cases",
        currency=(sums.currency or About().currency) if sums.alike else OWN,
        paper=_paper(entries),
    )
    return Fleet(
        case=Case(about=about),
        entries=tuple(told),
        sums=sums,
        lines=with_choice(lines, choice) if choice else lines,
        units=units,
        choice=choice,
        listed=listed,
    )


def _paper(entries: Sequence[Entry]) -> PaperSize:
    """What most cases are printed on."""
    papers = [entry.paper for entry in entries if entry.paper]
    return "Letter" if 2 * papers.count("Letter") > len(papers) else "A4"


def sheets_of(fleet: Fleet) -> tuple[Sheet, ...]:
    """The sheets of the index."""
    return index_sheets([unit.name for unit in fleet.units], listed=fleet.listed, alike=bool(fleet.sums.alike))


def index_bytes(fleet: Fleet, *, version: str) -> bytes:
    """The index as the bytes of an .xlsx file."""
    from holdover.workbook.write import workbook_bytes

    return workbook_bytes(sheets_of(fleet), fleet, version=version, marks={"holdover_version": version})
