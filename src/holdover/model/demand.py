"""What all loads ask for together: energy and draw by hour, and the peaks the candidates must meet.

It knows nothing of candidates: that is `fit.py`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from holdover.case.schema import AC_VOLTS, DC_VOLTS, Purpose, Sizing
from holdover.model.dust import DUST, TRACE
from holdover.model.loads import HOURS, LOW_V, UNLIMITED, LoadLine

_NAMED = {
    "total_wh": ("busiest_wh", "busiest_at"),
    "running_w": ("peak_running_w", "peak_running_at"),
    "needed_w": ("needed_running_w", "needed_running_at"),
    "needed_va": ("needed_va", "needed_va_at"),
    "start_one_w": ("peak_start_one_w", "peak_start_one_at"),
    "start_all_w": ("peak_start_all_w", "peak_start_all_at"),
    "dc_w": ("peak_dc_w", "peak_dc_at"),
}
"""Peaks and their hours; draws are rounded to a microwatt, so that the first hour of equals is found [-]."""

NO_GAP: Final = "not planned"
"""What stands for the gap that loads tolerate where none can come [-]."""

TIERS = ("critical", "essential", "convenience")
"""Tiers of loads, the last to be shed first [-]."""

SOCKETS = {"usb": "USB", "dc_12v": "12 V DC", "dc_24v": "24 V DC", "dc_48v": "48 V DC"}
"""DC sockets by the word that their fields begin with, and the feed that asks for them [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """One clock hour of the mean day. `needed_w` and `needed_va` hold the allowance on continuous loads."""

    hour: int
    ac_critical_wh: float
    ac_essential_wh: float
    ac_convenience_wh: float
    dc_critical_wh: float
    dc_essential_wh: float
    dc_convenience_wh: float
    critical_wh: float
    essential_wh: float
    convenience_wh: float
    total_wh: float
    ac_wh: float
    dc_wh: float
    running_w: float
    needed_w: float
    needed_va: float
    start_one_w: float
    start_all_w: float
    high_w: float
    leg_w: float
    dc_w: float
    dc_start_one_w: float
    dc_start_all_w: float
    socket_w: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SocketNeed:
    """What the loads of one DC socket ask for: running, and with the largest start or all of them."""

    feed: str
    volts: float
    running_w: float
    step_w: float
    needed_w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolNames:
    """Names of the short pool up to a line, AC and DC apart."""

    ac: str
    dc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """The day's sums and peaks. A peak's hour is the first in which it falls."""

    lines: int
    incomplete: int
    energy_wh: float
    ac_wh: float
    dc_wh: float
    critical_wh: float
    essential_wh: float
    convenience_wh: float
    mean_w: float
    busiest_wh: float
    busiest_at: int
    peak_running_w: float
    peak_running_at: int
    needed_running_w: float
    needed_running_at: int
    needed_va: float
    needed_va_at: int
    peak_start_one_w: float
    peak_start_one_at: int
    peak_start_all_w: float
    peak_start_all_at: int
    peak_starting_w: float
    largest_low_w: float
    needed_leg_w: float
    peak_dc_w: float
    peak_dc_at: int
    peak_dc_starting_w: float
    sockets: tuple[SocketNeed, ...]
    places: int
    pool_ac: int
    pool_dc: int
    pool_words: str
    inverter_hours: int
    ac_items: float
    ac_voltages: str
    switched: int
    shortest_gap_ms: float | str
    critical_gap_ms: float | str
    house_v: float


def leg_w(low_w: float, high_w: float, largest_w: float) -> float:
    """What one leg must give, the loads of the lower voltage spread over two legs as well as they can be [W].

    Args:
        low_w: Needed by the loads of the lower voltage, each on one leg [W].
        high_w: Needed by the loads of the higher voltage, half of it on each leg [W].
        largest_w: Largest single one of the lower voltage, which can't be spread [W].

    Holds for: two legs; no more than what runs can be on one of them.
    Source: common practice of panel balancing.

    >>> leg_w(1000, 2400, 800), leg_w(1000, 2400, 300)
    (2000.0, 1700.0)
    """
    return high_w / 2 + max(low_w / 2, min(low_w, largest_w))


def hours_of_day(lines: Sequence[LoadLine]) -> tuple[Hour, ...]:
    """The mean day in 24 clock hours [Wh in the hour, W, VA]."""
    largest_low = max((i.low_one_w for i in lines), default=0.0)
    ac, dc = [line for line in lines if line.is_ac], [line for line in lines if line.is_dc]
    by_tier = {tier: [line for line in lines if line.tier == tier] for tier in TIERS}
    return tuple(_hour(by_tier, ac, dc, h, largest_low) for h in HOURS)


def is_switched(purpose: Purpose, mains_hours: float, generator_w: float, generator_hours: float) -> bool:
    """Whether loads are ever fed past storage, so that they bear a gap when that ends [-].

    Args:
        purpose: What the plan is for [-].
        mains_hours: Hours a day at an outlet [h].
        generator_w: What the generator gives for hours [W].
        generator_hours: Hours a day that it runs [h].

    Holds for: a unit that feeds its loads at all times, but while a source passes through it.
    Source: definition.

    >>> is_switched("outage", 0, 0, 0), is_switched("off grid", 0, 0, 2), is_switched("off grid", 0, 1800, 2)
    (True, False, True)
    """
    return purpose == "outage" or mains_hours > 0 or (generator_w > 0 and generator_hours > 0)


def demand_of(lines: Sequence[LoadLine], hours: Sequence[Hour], sizing: Sizing, *, switched: bool = True) -> Demand:
    """Sums and peaks of the mean day; `switched` tells whether the loads bear a gap at all."""
    together = sizing.starting == "together"
    ac_pool, dc_pool = (sum(line.pool * getattr(line, kind) for line in lines) for kind in ("is_ac", "is_dc"))
    names = pool_names(lines)
    return Demand(
        lines=sum(line.is_ac + line.is_dc for line in lines),
        incomplete=sum(line.incomplete for line in lines),
        **_energies(lines, hours),
        **_peaks(hours, together=together),
        largest_low_w=max((line.low_one_w for line in lines), default=0.0),
        needed_leg_w=max(hour.leg_w for hour in hours),
        sockets=tuple(
            _socket(lines, hours, place, feed, together=together) for place, feed in enumerate(SOCKETS.values())
        ),
        places=sizing.at_once or UNLIMITED,
        pool_ac=ac_pool,
        pool_dc=dc_pool,
        pool_words=_pool_words(names, sizing.at_once, (ac_pool, dc_pool)),
        inverter_hours=24 if sizing.inverter == "always on" else sum(h.ac_wh > TRACE for h in hours),
        ac_items=sum(line.is_ac * line.quantity for line in lines),
        ac_voltages=" and ".join(feed for feed, volts in AC_VOLTS.items() if any(i.volts == volts for i in lines)),
        switched=int(switched),
        shortest_gap_ms=_least([line.gap_ms for line in lines], switched=switched),
        critical_gap_ms=_least([line.critical_gap_ms for line in lines], switched=switched),
        house_v=AC_VOLTS[sizing.feed],
    )


def _energies(lines: Sequence[LoadLine], hours: Sequence[Hour]) -> dict[str, Any]:
    energy = sum(line.energy_wh for line in lines)
    return {
        "energy_wh": energy,
        "ac_wh": sum(line.ac_wh for line in lines),
        "dc_wh": sum(line.dc_wh for line in lines),
        **{f"{tier}_wh": sum(getattr(hour, f"{tier}_wh") for hour in hours) for tier in TIERS},
        "mean_w": energy / 24,
    }


def _peaks(hours: Sequence[Hour], *, together: bool) -> dict[str, Any]:
    """Every peak, and its first hour where that is told."""
    found: dict[str, Any] = {}
    for name, (top, at) in _NAMED.items():
        found[top] = max(getattr(hour, name) for hour in hours)
        rounded = [round(getattr(hour, name), DUST) for hour in hours]
        found[at] = hours[rounded.index(max(rounded))].hour
    dc_start = "dc_start_all_w" if together else "dc_start_one_w"
    return found | {
        "peak_starting_w": found["peak_start_all_w" if together else "peak_start_one_w"],
        "peak_dc_starting_w": max(getattr(hour, dc_start) for hour in hours),
    }


def _least(gaps: Sequence[float | str], *, switched: bool) -> float | str:
    if not switched:
        return NO_GAP
    return min((gap for gap in gaps if not isinstance(gap, str)), default="none stated")


def _socket(lines: Sequence[LoadLine], hours: Sequence[Hour], place: int, feed: str, *, together: bool) -> SocketNeed:
    """Running at its peak and the largest start, in whichever hour that falls: on the safe side."""
    mine = [line for line in lines if line.dc_v == DC_VOLTS[feed]]
    steps = [line.together_w if together else line.step_w for line in mine]
    step = sum(steps) if together else max(steps, default=0.0)
    running = max(hour.socket_w[place] for hour in hours)
    return SocketNeed(feed=feed, volts=DC_VOLTS[feed], running_w=running, step_w=step, needed_w=running + step)


def pool_names(lines: Sequence[LoadLine]) -> tuple[PoolNames, ...]:
    """Line by line who is in the short pool so far."""
    ac: list[str] = []
    dc: list[str] = []
    found = []
    for line in lines:
        if line.pool:
            (ac if line.is_ac else dc).append(line.name or f"line {line.number}")
        found.append(PoolNames(ac=", ".join(ac), dc=", ".join(dc)))
    return tuple(found)


def _pool_words(names: Sequence[PoolNames], at_once: int, pools: tuple[int, int]) -> str:
    """Which loads are counted on not to run all together, in words."""
    said = []
    for kind, many in zip(("ac", "dc"), pools, strict=True):
        if 0 < at_once < many:
            said.append(f"at most {at_once} of: {getattr(names[-1], kind)}")
    return f"Counts on {'; and on '.join(said)}." if said else ""


def _hour(
    by_tier: Mapping[str, Sequence[LoadLine]],
    ac_lines: Sequence[LoadLine],
    dc_lines: Sequence[LoadLine],
    h: int,
    largest_low_w: float,
) -> Hour:
    ac = {tier: sum([i.ac_wh * i.share[h] for i in lines]) for tier, lines in by_tier.items()}
    dc = {tier: sum([i.dc_wh * i.share[h] for i in lines]) for tier, lines in by_tier.items()}
    running, dc_w = _sum([i.w[h] for i in ac_lines]), _sum([i.w[h] for i in dc_lines])
    needed = _sum([i.hour_need_w[h] for i in ac_lines])
    high = sum([i.hour_need_w[h] for i in ac_lines if i.volts >= LOW_V])
    draws = {
        "total_wh": sum(ac.values()) + sum(dc.values()),
        "running_w": running,
        "needed_w": needed,
        "needed_va": _sum([i.hour_need_va[h] for i in ac_lines]),
        "start_one_w": _sum([running, max([0.0, *(i.step[h] for i in ac_lines)])]),
        "start_all_w": _sum([running, *(i.together_w for i in ac_lines if i.share[h] > TRACE)]),
        "dc_w": dc_w,
    }
    return Hour(
        hour=h,
        ac_critical_wh=ac["critical"],
        ac_essential_wh=ac["essential"],
        ac_convenience_wh=ac["convenience"],
        dc_critical_wh=dc["critical"],
        dc_essential_wh=dc["essential"],
        dc_convenience_wh=dc["convenience"],
        critical_wh=ac["critical"] + dc["critical"],
        essential_wh=ac["essential"] + dc["essential"],
        convenience_wh=ac["convenience"] + dc["convenience"],
        ac_wh=sum(ac.values()),
        dc_wh=sum(dc.values()),
        high_w=high,
        leg_w=leg_w(needed - high, high, largest_low_w),
        dc_start_one_w=dc_w - min([0.0, *(i.step[h] for i in dc_lines)]),
        dc_start_all_w=dc_w + sum(i.together_w for i in dc_lines if i.share[h] > TRACE),
        socket_w=tuple(sum(i.w[h] for i in dc_lines if i.dc_v == DC_VOLTS[feed]) for feed in SOCKETS.values()),
        **draws,
    )


def _sum(watts: Iterable[float]) -> float:
    return round(sum(watts, 0.0), DUST)
