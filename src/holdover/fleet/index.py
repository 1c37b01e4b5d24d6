"""The index as a workbook: what it shows, worked out in Python beside the formulas that do the same."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import About, Case
from holdover.fleet.choices import (
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
from holdover.fleet.entry import Entry
from holdover.fleet.sheets import index_sheets
from holdover.workbook.page import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A case with how many there are like it. One that can't be read has no title: its path stands for it."""

    entry: Entry
    times: int | None

    @property
    def title(self) -> str:
        """What it is called."""
        return self.entry.title or self.entry.case


SPARE: Final = Told(entry=Entry(case="", state=""), times=None)
"""A line without a case, where there is one case only: not every program counts in a range of one cell."""
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


def fleet_of(entries: Sequence[Entry], times: Sequence[int | None] | None = None) -> Fleet:
    """The cases together; `times` is how many there are like each, usually one; None, a blank, leaves one out."""
    counts: list[int | None] = [1] * len(entries) if times is None else [*times]
    sums, names = sums_of(entries, [n or 0 for n in counts]), compared(entries)
    names += ("",) * (LEAST - len(names)) if names else ()
    told = [Told(entry=entry, times=n) for entry, n in zip(entries, counts, strict=True)]
    told += [SPARE] * (LEAST - len(told))
    lines = lines_of([each.entry for each in told], names, [each.times or 0 for each in told])
    units = units_of(names, lines, alike=bool(sums.alike))
    choice = choice_of(units, lines, sums) if units else None
    listed = max((len(entry.choices) for entry in entries), default=0)
    about = About(title=f"Index of {len(entries):,} cases", currency=sums.currency or About().currency)
    return Fleet(
        case=Case(about=about),
        entries=tuple(told),
        sums=sums,
        lines=tuple(with_choice(line, choice) for line in lines) if choice else lines,
        units=units,
        choice=choice,
        listed=listed,
    )


def sheets_of(fleet: Fleet) -> tuple[Sheet, ...]:
    """The sheets of the index."""
    return index_sheets([unit.name for unit in fleet.units], listed=fleet.listed)


def index_bytes(fleet: Fleet, *, version: str) -> bytes:
    """The index as the bytes of an .xlsx file."""
    from holdover.workbook.write import workbook_bytes

    return workbook_bytes(sheets_of(fleet), fleet, version=version, marks={"holdover_version": version})
