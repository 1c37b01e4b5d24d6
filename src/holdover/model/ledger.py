"""The outage of all candidates side by side, hour by hour, and the clock that every one of them runs by.

It works nothing out that `outage.py` does not say: it sets runs beside each other, as the workbook does.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdover.model.dust import TRACE
from holdover.model.loads import HOURS, overlap_h
from holdover.model.outage import OutageHour, OutageRun, Supply, TierDay, demand_wh

KEPT = ((0, 0), (0, 1), (1, 0), (1, 1))
"""What is on, as (essential, convenience), in the order of `OutageHour.kept` from 1 [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """States of charge at which something happens."""

    full_wh: float
    start_wh: float
    convenience_at_wh: float
    essential_at_wh: float
    reserve_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An end of the level lines of a chart."""

    h: int
    levels: Levels


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A way of running the outage, by name."""

    name: str
    run: OutageRun


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
class LedgerHour:
    """An hour of the outage: `runs` has one hour a candidate, `trials` one a what-if of the candidate shown.

    The last of the trials is the one in which nothing is shed. `comes_wh` is what sun and generator bring that one.
    """

    t: int
    day: int
    clock: int
    active: int
    sky: float
    generator_h: float
    comes_wh: float
    runs: tuple[OutageHour, ...]
    trials: tuple[OutageHour, ...]


def levels_of(supply: Supply, start_share: float, drop_convenience_at: float, drop_essential_at: float) -> Levels:
    """The states of charge at which something happens, for one candidate; shares are of full storage [-]."""
    full = supply.full_wh
    return Levels(
        full_wh=full,
        start_wh=start_share * full,
        convenience_at_wh=drop_convenience_at * full,
        essential_at_wh=drop_essential_at * full,
        reserve_wh=supply.reserve_wh,
    )


def clock_hours(
    tiers: Mapping[str, TierDay],
    supplies: Sequence[Supply],
    shown: Supply,
    scales: Sequence[float],
    *,
    inverter_always_on: bool,
    generator_from: float,
    generator_hours: float,
) -> tuple[ClockHour, ...]:
    """What each clock hour takes out of storage, for each set of loads left on and each candidate.

    Args:
        tiers: Draw by tier: critical, essential and convenience.
        supplies: What each candidate brings.
        shown: What the candidate shown brings.
        scales: Factors on the energy of every load that are tried [-].
        inverter_always_on: False: it is on only in hours with AC loads left on.
        generator_from: Clock time at which the generator is started [h].
        generator_hours: Hours it runs a day [h].

    Holds for: every day of the outage alike.
    Source: energy balance.
    """

    def left(kind: str, h: int) -> tuple[float, ...]:
        critical, essential, convenience = (
            getattr(tiers[tier], kind)[h] for tier in ("critical", "essential", "convenience")
        )
        return tuple(critical + e * essential + c * convenience for e, c in KEPT)

    def hour(h: int) -> ClockHour:
        ac_wh, dc_wh = left("ac_wh", h), left("dc_wh", h)
        on = tuple(int(inverter_always_on or wh > TRACE) for wh in ac_wh)

        def four(supply: Supply, scale: float = 1.0) -> tuple[float, ...]:
            inverter, idle_w, dc = supply.inverter_efficiency, supply.idle_w, supply.dc_efficiency
            rows = zip(ac_wh, dc_wh, on, strict=True)
            return tuple(demand_wh(scale * a, scale * d, i, inverter, idle_w, dc) for a, d, i in rows)

        return ClockHour(
            hour=h,
            generator_h=overlap_h(h, generator_from, generator_hours),
            ac_wh=ac_wh,
            dc_wh=dc_wh,
            inverter_on=on,
            draws=tuple(four(supply) for supply in supplies),
            trial_draws=tuple(four(shown, scale) for scale in scales),
        )

    return tuple(hour(h) for h in HOURS)


def ledger(
    runs: Sequence[OutageRun], trials: Sequence[OutageRun], skies: Sequence[float], clock: Sequence[ClockHour]
) -> tuple[LedgerHour, ...]:
    """Every hour of the longest outage with all runs in it, side by side; sky and generator are 0 after its end."""
    return tuple(
        LedgerHour(
            t=beside[0].t,
            day=beside[0].day,
            clock=beside[0].clock,
            active=beside[0].active,
            sky=beside[0].active * skies[beside[0].day - 1],
            generator_h=beside[0].active * clock[beside[0].clock].generator_h,
            comes_wh=tried[0].sun_wh + tried[0].generator_wh,
            runs=beside,
            trials=tried,
        )
        for beside, tried in zip(
            zip(*(run.hours for run in runs), strict=True),
            zip(*(run.hours for run in trials), strict=True),
            strict=True,
        )
    )
