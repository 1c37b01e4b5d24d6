"""The timeline of the first page: the outage of the candidate shown in cells, and the marks over and under them."""

from dataclasses import dataclass
from math import ceil, floor

from holdover.case.schema import Case
from holdover.model.demand import TIERS
from holdover.model.dust import DUST
from holdover.model.offer import Offer
from holdover.model.spoken import spoken
from holdover.model.verdict.fit import UNDER

CELLS = 48
"""Cells of the timeline [-]; definition."""
STEP = 4
"""Cells between two marks of the timeline [-]: whole hours, two for each day of outage; definition."""
TIMED_DAYS = 7
"""Days of outage up to which clock times stand between the days; with more of them they are numbers alone [-]; definition."""
DASH, BLANK, NIGHT = "–", " ", "·"
"""Stand in a cell of the timeline for a tier that is off, for one that asks nothing, and for an hour of night [-]."""
DAYBREAK, NIGHTFALL = 6, 18
"""Clock hours between which it is day on the timeline [h]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of the timeline. A share is "" where there is no storage to take it of."""

    number: int
    from_h: int
    to_h: int
    night: str
    critical: str
    essential: str
    convenience: str
    charge: float | str
    critical_kept: float | str
    essential_kept: float | str

    @property
    def is_night(self) -> int:
        """1 where its first hour is of the night [-]."""
        return int(self.night == NIGHT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What stands over and under every fourth cell: the day or the clock time, and the charge in percent.

    A day stands over the first mark that lies in it.

    `at_h` counts from the midnight before the outage begins.
    """

    number: int
    at_h: int
    time: str
    charge: str


def cells_of(case: Case, shown: Offer) -> tuple[Cell, ...]:
    """The outage in equal cells, whatever its length; a cell in which a tier is off for an hour tells it as off.

    Of a candidate whose output falls short nothing is told to run: its tiers are blank.
    """
    hours, carried = 24 * case.outage.days, shown.carried
    full = carried.store.full_wh
    reserve, told = carried.store.reserve_wh, tiers_told(shown)

    def cell(i: int) -> Cell:
        first = floor(round(i * hours / CELLS, DUST))
        after = ceil(round((i + 1) * hours / CELLS, DUST))
        served = min(carried.hours[t].served for t in range(first, after))
        clock = (case.outage.starts_at + first) % 24
        kept = [carried.taking.needs.needs_wh[k][first] for k in (0, 1)]
        shares: list[float | str] = [
            wh / full if full > 0 else ""
            for wh in (carried.hours[first].state_before_wh, reserve + kept[0], reserve + kept[1])
        ]
        states = [_state(tier_told, off=served < place) for place, tier_told in enumerate(told, start=1)]
        return Cell(
            number=i,
            from_h=first,
            to_h=after,
            night=BLANK if DAYBREAK <= clock < NIGHTFALL else NIGHT,
            critical=states[0],
            essential=states[1],
            convenience=states[2],
            charge=shares[0],
            critical_kept=shares[1],
            essential_kept=shares[2],
        )

    return tuple(cell(i) for i in range(CELLS))


def tiers_told(shown: Offer) -> tuple[int, ...]:
    """By tier 1 where the timeline tells when it runs, 0 where it stays blank: output falls short, or nothing is asked [-]."""
    carried = shown.carried
    runs = carried.store.full_wh > 0 and shown.fit.output != UNDER
    return tuple(int(runs and round(carried.tiers[tier].asked_wh, DUST) > 0) for tier in TIERS)


def _state(told: int, *, off: bool) -> str:
    return (DASH if off else "") if told else BLANK


def off_means(days: int, output: str = "OK") -> str:
    """What a dash and a dot in the timeline stand for; a cell of more than an hour is dashed for a part of it, too [-].

    Args:
        days: Days planned [days].
        output: Word of the output half; where it is UNDER nothing is told to run [-].

    Holds for: whole days.
    Source: definition.

    >>> off_means(2), off_means(3)
    ('– off or short · night', '– off or short, part of 1.5 h · night')
    """
    if output == UNDER:
        return f"blank: its output falls short {NIGHT} night"
    hours = "" if 24 * days <= CELLS else f", part of {spoken(24 * days / CELLS, 1)} h"
    return f"{DASH} off or short{hours} {NIGHT} night"


def marks_of(case: Case, shown: Offer) -> tuple[Mark, ...]:
    """Days and clock times over the timeline, and the charge under it."""
    hours, carried = 24 * case.outage.days, shown.carried
    full = carried.store.full_wh

    def mark(k: int) -> Mark:
        before, began = (case.outage.starts_at + hours * STEP * n // CELLS for n in (k - 1, k))
        day, day_before = began // 24, before // 24
        timed = case.outage.days <= TIMED_DAYS
        if k == 0:
            time = "day 1"
        elif day > day_before:
            time = f"day {day + 1}" if timed else f"{day + 1}"
        else:
            time = f"{began % 24:02d}:00" if timed else ""
        first = floor(round(STEP * k * hours / CELLS, DUST))
        charge = spoken(100 * carried.hours[first].state_before_wh / full) if full > 0 else ""
        return Mark(number=k, at_h=began, time=time, charge=charge)

    return tuple(mark(k) for k in range(CELLS // STEP))
