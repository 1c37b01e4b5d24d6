"""What all loads ask for together: energy and draw by hour, and the peaks the candidates must meet.

It knows nothing of candidates: that is `fit.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import AC_VOLTS, Sizing
from holdover.model.dust import DUST, TRACE
from holdover.model.loads import HOURS, LoadLine

PEAKS = ("total_wh", "running_w", "apparent_va", "start_one_w", "start_all_w", "dc_w")
"""What has a peak; rounded to six decimals the first hour of equals is found whatever float dust says [-]."""

TIERS = ("critical", "essential", "convenience")
"""Tiers of loads, the last to be shed first [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """One clock hour of the mean day."""

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
    apparent_va: float
    start_one_w: float
    start_all_w: float
    dc_w: float
    rounded: tuple[float, ...]


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
    peak_apparent_va: float
    peak_apparent_at: int
    peak_start_one_w: float
    peak_start_one_at: int
    peak_start_all_w: float
    peak_start_all_at: int
    peak_starting_w: float
    peak_dc_w: float
    peak_dc_at: int
    inverter_hours: int
    ac_items: float
    shortest_gap_ms: float | str
    house_v: float


def hours_of_day(lines: Sequence[LoadLine]) -> tuple[Hour, ...]:
    """The mean day in 24 clock hours [Wh in the hour, W, VA]."""
    return tuple(_hour(lines, h) for h in HOURS)


def demand_of(lines: Sequence[LoadLine], hours: Sequence[Hour], sizing: Sizing) -> Demand:
    """Sums and peaks of the mean day."""

    def peak(name: str) -> tuple[float, int]:
        top: float = max(getattr(hour, name) for hour in hours)
        place = PEAKS.index(name)
        return top, next(hour.hour for hour in hours if hour.rounded[place] == round(top, DUST))

    running, apparent, dc, busiest = peak("running_w"), peak("apparent_va"), peak("dc_w"), peak("total_wh")
    one, together = peak("start_one_w"), peak("start_all_w")
    energy = sum(line.energy_wh for line in lines)
    gaps = [line.gap_ms for line in lines if not isinstance(line.gap_ms, str)]
    return Demand(
        lines=sum(line.is_ac + line.is_dc for line in lines),
        incomplete=sum(line.incomplete for line in lines),
        energy_wh=energy,
        ac_wh=sum(line.ac_wh for line in lines),
        dc_wh=sum(line.dc_wh for line in lines),
        critical_wh=sum(h.critical_wh for h in hours),
        essential_wh=sum(h.essential_wh for h in hours),
        convenience_wh=sum(h.convenience_wh for h in hours),
        mean_w=energy / 24,
        busiest_wh=busiest[0],
        busiest_at=busiest[1],
        peak_running_w=running[0],
        peak_running_at=running[1],
        peak_apparent_va=apparent[0],
        peak_apparent_at=apparent[1],
        peak_start_one_w=one[0],
        peak_start_one_at=one[1],
        peak_start_all_w=together[0],
        peak_start_all_at=together[1],
        peak_starting_w=(together if sizing.starting == "together" else one)[0],
        peak_dc_w=dc[0],
        peak_dc_at=dc[1],
        inverter_hours=24 if sizing.inverter == "always on" else sum(h.ac_wh > TRACE for h in hours),
        ac_items=sum(line.is_ac * line.quantity for line in lines),
        shortest_gap_ms=min(gaps) if gaps else "none stated",
        house_v=AC_VOLTS[sizing.feed],
    )


def _hour(lines: Sequence[LoadLine], h: int) -> Hour:
    ac = {tier: sum(i.ac_wh * i.share[h] for i in lines if i.tier == tier) for tier in TIERS}
    dc = {tier: sum(i.dc_wh * i.share[h] for i in lines if i.tier == tier) for tier in TIERS}
    running = sum(i.is_ac * i.w[h] for i in lines)
    draws = {
        "total_wh": sum(ac.values()) + sum(dc.values()),
        "running_w": running,
        "apparent_va": sum(i.is_ac * i.va[h] for i in lines),
        "start_one_w": running + max((i.step[h] for i in lines), default=0.0),
        "start_all_w": running + sum(i.quantity * i.step[h] for i in lines),
        "dc_w": sum(i.is_dc * i.w[h] for i in lines),
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
        **draws,
        rounded=tuple(round(draws[name], DUST) for name in PEAKS),
    )
