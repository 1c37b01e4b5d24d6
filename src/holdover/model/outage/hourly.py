"""The outage as a table of hours: the clock's, a candidate's, and those of a what-if.

A table reaches beyond the planned outage, to the horizon of the workbook; there nothing is asked, needed or decided.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from holdover.case.schema import Case
from holdover.model.desk import Desk
from holdover.model.outage.promise import Carried, Plan
from holdover.model.outage.shedding import until_alone
from holdover.model.outage.tier_sets import TierDay
from holdover.model.outage.what_if import Trial

DAYBREAK: Final = 6
NIGHTFALL: Final = 18
"""Clock hours between which it is day [h]; common practice."""
STOPPED: Final = -1.0
"""Stands for the charge after an hour that could not be served [Wh]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockHour:
    """An hour that all candidates share; it begins at `t`. `reads` is 1 where the display is read, and after the end.

    What each tier asks is counted at the plugs.
    """

    t: int
    day: int
    clock: int
    night: int
    sky: float
    reads: int
    critical_wh: float
    essential_wh: float
    convenience_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldHour:
    """An hour of a candidate: needs and holds above the reserve, the charge at its start, and how many tiers it serves.

    `served` is "" once the outage is over.
    """

    critical_need_wh: float
    essential_need_wh: float
    all_need_wh: float
    essential_hold_wh: float
    convenience_hold_wh: float
    state_wh: float
    served: int | Literal[""]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownHour:
    """An hour of the candidate shown, for the chart: shares of full storage, and the place along the outage, 0 to 1."""

    along: float
    state_share: float
    essential_kept_share: float
    critical_kept_share: float
    wasted_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedHour:
    """An hour of a what-if: the need above the reserve, and the charge at its start, STOPPED after a first failure."""

    need_wh: float
    state_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageTable:
    """The outage in the tables of a workbook. `beyond` tells that the outage is longer than they reach, "" where it isn't.

    `held` has the hours of every candidate, `tried` of every what-if, `sure` of the low, the likely and the high day.
    """

    days: int
    hours: int
    promised: int
    mains_w: float
    generator_w: float
    beyond: str
    mains_share: tuple[float, ...]
    generator_share: tuple[float, ...]
    clock: tuple[ClockHour, ...]
    held: tuple[tuple[HeldHour, ...], ...]
    shown: tuple[ShownHour, ...]
    tried: tuple[tuple[TriedHour, ...], ...]
    sure: tuple[tuple[TriedHour, ...], ...]


def clock_hours(
    plan: Plan, tiers: Mapping[str, TierDay], skies: Sequence[float], horizon_days: int
) -> tuple[ClockHour, ...]:
    """Every hour up to the horizon, and the moment after it.

    Args:
        plan: The outage.
        tiers: Draw by tier.
        skies: Share of the sun on each day.
        horizon_days: Days that the table reaches [days].

    Holds for: days counted from the start of the outage.
    Source: definition.
    """

    def hour(t: int) -> ClockHour:
        clock = plan.clock.clock(t)
        asked = {tier: day.ac_wh[clock] + day.dc_wh[clock] for tier, day in tiers.items()}
        return ClockHour(
            t=t,
            day=t // 24 + 1,
            clock=clock,
            night=int(not DAYBREAK <= clock < NIGHTFALL),
            sky=skies[min(t // 24, horizon_days - 1)],
            reads=int(t >= plan.clock.hours or plan.clock.is_reading(t)),
            critical_wh=asked["critical"],
            essential_wh=asked["essential"],
            convenience_wh=asked["convenience"],
        )

    return tuple(hour(t) for t in range(24 * horizon_days + 1))


def held_hours(carried: Carried, horizon_days: int) -> tuple[HeldHour, ...]:
    """A candidate's hours up to the horizon, and the moment after it."""
    hours, needs, card = carried.hours, carried.taking.needs.needs_wh, carried.card
    over = HeldHour(
        critical_need_wh=0.0,
        essential_need_wh=0.0,
        all_need_wh=0.0,
        essential_hold_wh=0.0,
        convenience_hold_wh=0.0,
        state_wh=hours[-1].state_wh,
        served="",
    )
    told = [
        HeldHour(
            critical_need_wh=needs[0][t],
            essential_need_wh=needs[1][t],
            all_need_wh=needs[2][t],
            essential_hold_wh=card.essential_wh[t],
            convenience_hold_wh=card.convenience_wh[t],
            state_wh=hour.state_before_wh,
            served=hour.served,
        )
        for t, hour in enumerate(hours)
    ]
    return (*told, *(over,) * (24 * horizon_days + 1 - len(told)))


def shown_hours(carried: Carried, held: Sequence[HeldHour]) -> tuple[ShownHour, ...]:
    """The hours of a candidate as its chart shows them."""
    full, reserve = carried.store.full_wh, carried.store.reserve_wh
    count = len(carried.hours)

    def share(wh: float) -> float:
        return wh / full if full > 0 else 0.0

    return tuple(
        ShownHour(
            along=min(1.0, t / count),
            state_share=share(hour.state_wh),
            essential_kept_share=share(reserve + hour.essential_need_wh),
            critical_kept_share=share(reserve + hour.critical_need_wh),
            wasted_wh=carried.hours[t].wasted_wh if t < count else 0.0,
        )
        for t, hour in enumerate(held)
    )


def tried_hours(trial: Trial, horizon_days: int) -> tuple[TriedHour, ...]:
    """The hours of a what-if up to the horizon, and the moment after it."""
    _, states = until_alone(trial.nets_wh, trial.store)
    states = [*states, STOPPED] if trial.until_h != "" else states
    told = [
        TriedHour(need_wh=need, state_wh=states[min(t, len(states) - 1)]) for t, need in enumerate(trial.needs_wh)
    ]
    over = TriedHour(need_wh=0.0, state_wh=told[-1].state_wh)
    return (*told, *(over,) * (24 * horizon_days + 1 - len(told)))


def within(case: Case, horizon_days: int) -> Case:
    """The case with an outage that is no longer than the tables of the workbook reach."""
    if case.outage.days <= horizon_days:
        return case
    return case.model_copy(update={"outage": case.outage.model_copy(update={"days": horizon_days})})


def beyond_words(days: int, horizon_days: int) -> str:
    """That an outage is longer than the tables reach; "" where it isn't."""
    if days <= horizon_days:
        return ""
    return f"{days} days are asked and this workbook reaches {horizon_days}: it is worked out to there. Build it anew for more."


def outage_table(
    desk: Desk, offers: Sequence[Carried], shown: int, trials: tuple[Sequence[Trial], Sequence[Trial]], days: tuple[int, int]
) -> OutageTable:
    """Every table of the outage.

    Args:
        desk: What every candidate is set against.
        offers: Every candidate carried through the outage.
        shown: Place of the candidate shown [-].
        trials: Its what-ifs, and its low, likely and high day.
        days: Days that are asked, and that the tables reach [days].

    Holds for: a plan no longer than the tables reach.
    Source: definition.
    """
    asked, horizon = days
    held = tuple(held_hours(one, horizon) for one in offers)
    mains, generator = desk.sources
    return OutageTable(
        days=desk.plan.days,
        hours=desk.plan.clock.hours,
        promised=desk.plan.promised,
        mains_w=mains.w,
        generator_w=generator.w,
        beyond=beyond_words(asked, horizon),
        mains_share=mains.share,
        generator_share=generator.share,
        clock=clock_hours(desk.plan, desk.tiers, [day.sky for day in desk.skies], horizon),
        held=held,
        shown=shown_hours(offers[shown], held[shown]),
        tried=tuple(tried_hours(trial, horizon) for trial in trials[0]),
        sure=tuple(tried_hours(trial, horizon) for trial in trials[1]),
    )
