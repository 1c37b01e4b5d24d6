"""The clock that every candidate runs by: what its hours take out of storage, and the hours of the outage."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdover.case.schema import Case
from holdover.model.dust import TRACE
from holdover.model.loads import HOURS, overlap_h
from holdover.model.outage import OutageHour, Supply, TierDay, demand_wh

KEPT = ((0, 0), (0, 1), (1, 0), (1, 1))
"""What is on, as (essential, convenience), in the order of `OutageHour.kept` from 1 [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockHour:
    """A clock hour of the outage. Tuples of four go by what is on, as `KEPT` has it.

    `draws` holds such a four for each candidate, `trial_draws` for each factor on the loads of the one shown.
    """

    hour: int
    generator_h: float
    ac_wh: tuple[float, ...]
    dc_wh: tuple[float, ...]
    inverter_on: tuple[int, ...]
    draws: tuple[tuple[float, ...], ...]
    trial_draws: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarHour:
    """An hour of the outage, whichever candidate runs in it; sky and generator are 0 after the end."""

    t: int
    day: int
    clock: int
    active: int
    sky: float
    generator_h: float


def clock_hours(
    case: Case, tiers: Mapping[str, TierDay], supplies: Sequence[Supply], shown: Supply, scales: Sequence[float]
) -> tuple[ClockHour, ...]:
    """What each clock hour takes out of storage, for each set of loads left on and each candidate.

    Args:
        case: Says when the generator runs, and whether the inverter stays on without AC loads.
        tiers: Draw by tier: critical, essential and convenience.
        supplies: What each candidate brings.
        shown: What the candidate shown brings.
        scales: Factors on the energy of every load that are tried [-].

    Holds for: every day of the outage alike.
    Source: energy balance.
    """

    always_on = case.sizing.inverter == "always on"

    def left(kind: str, h: int) -> tuple[float, ...]:
        critical, essential, convenience = (
            getattr(tiers[tier], kind)[h] for tier in ("critical", "essential", "convenience")
        )
        return tuple(critical + e * essential + c * convenience for e, c in KEPT)

    def hour(h: int) -> ClockHour:
        ac_wh, dc_wh = left("ac_wh", h), left("dc_wh", h)
        on = tuple(int(always_on or wh > TRACE) for wh in ac_wh)

        def four(supply: Supply, scale: float = 1.0) -> tuple[float, ...]:
            inverter, idle_w, dc = supply.inverter_efficiency, supply.idle_w, supply.dc_efficiency
            rows = zip(ac_wh, dc_wh, on, strict=True)
            return tuple(demand_wh(scale * a, scale * d, i, inverter, idle_w, dc) for a, d, i in rows)

        return ClockHour(
            hour=h,
            generator_h=overlap_h(h, case.outage.generator_from, case.outage.generator_hours),
            ac_wh=ac_wh,
            dc_wh=dc_wh,
            inverter_on=on,
            draws=tuple(four(supply) for supply in supplies),
            trial_draws=tuple(four(shown, scale) for scale in scales),
        )

    return tuple(hour(h) for h in HOURS)


def calendar(
    hours: Sequence[OutageHour], skies: Sequence[float], clock: Sequence[ClockHour]
) -> tuple[CalendarHour, ...]:
    """Every hour of the longest outage, its sky and its generator.

    Args:
        hours: Of any run.
        skies: Share of the sun by day of the outage.
        clock: The clock hours.

    Holds for: days counted from the start of the outage.
    Source: definition.
    """
    return tuple(
        CalendarHour(
            t=hour.t,
            day=hour.day,
            clock=hour.clock,
            active=hour.active,
            sky=hour.active * skies[hour.day - 1],
            generator_h=hour.active * clock[hour.clock].generator_h,
        )
        for hour in hours
    )
