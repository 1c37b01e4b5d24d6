"""What is given up last, and what never: what heats a house, and what somebody's health depends on.

What leaving a load out would give back is in `mend.py`.
"""

from typing import Final

from holdover.case.words import vocabulary
from holdover.model.dust import DUST
from holdover.model.loads import LoadLine

BEHIND: Final = 1e10
"""Added to what leaving an essential load out gives back [Wh, W], more than any gives: convenience is given up first."""
HEATING: Final = tuple(vocabulary("words")["heating"]["parts"])
"""Parts of the names of loads that keep a house warm and its pipes whole [-]; common practice: they are given up last.

A name tells it, and not the typical load that it may mean: names are typed in the workbook, which knows no such table.
"""
HEALTH: Final = tuple(vocabulary("words")["health"]["parts"])
"""Parts of the names of loads on which somebody's health depends [-]; common practice: none is named to be left out, be it
typed as critical or not. A name tells it, as with heating."""
PIPES: Final = " and see that pipes do not freeze"
"""What stands behind such a load where no other would do, and pipes may freeze [-]."""
HEATED_C: Final = 25.0
"""Where it is warmer than this, nobody heats [°C]; common practice. A heated house is less warm, whatever stands outside."""
FROST_C: Final = 5.0
"""Where it never is colder than this, no pipe freezes [°C]; common practice, with 5 °C for a clear night."""


def may_freeze(storage_c: float, coldest_c: float | None) -> bool:
    """Whether pipes may freeze where heating is left out [-].

    Args:
        storage_c: Where the unit stands [°C].
        coldest_c: Coldest air of the place, None where it is not stated [°C].

    Holds for: a unit that stands in the building, or outside in its season.
    Source: common practice; what is not stated is taken for cold.

    >>> may_freeze(20, None), may_freeze(30, -20), may_freeze(20, 8)
    (True, False, False)
    """
    return round(storage_c - HEATED_C, DUST) <= 0 and (coldest_c is None or round(coldest_c - FROST_C, DUST) < 0)


def heats(name: str) -> bool:
    """Whether a load of this name keeps a house warm."""
    return any(word in f" {name.lower()}" for word in HEATING)


def must_run(line: LoadLine) -> bool:
    """Whether a load is critical, by its tier or since somebody's health depends on it."""
    return line.tier == "critical" or any(part in f" {line.name.lower()}" for part in HEALTH)


def behind(line: LoadLine) -> float:
    """What is added to what a line gives back, so that it is chosen after others [Wh or W]."""
    return line.number / 10_000 + after(line)


def after(line: LoadLine) -> float:
    """What sets essential loads behind those of convenience, and what heats behind all [Wh or W]."""
    return (0.0 if line.tier == "convenience" else BEHIND) + 2 * BEHIND * heats(line.name)
