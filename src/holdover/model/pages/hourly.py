"""The outage as a table of hours: the clock's, a candidate's, and those of a what-if.

A table reaches beyond the planned outage, to the horizon of the workbook; there nothing is asked, needed or decided.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from holdover.case.schema import Case
from holdover.model.demand import TIERS
from holdover.model.desk import Desk, padded
from holdover.model.dust import TRACE
from holdover.model.loads import HOURS
from holdover.model.outage.at_best import Bounds
from holdover.model.outage.hold import full_needed_wh
from holdover.model.outage.promise import Carried, Plan, shown_hold
from holdover.model.outage.shedding import until_alone
from holdover.model.outage.tier_sets import SETS, Source, TierDay
from holdover.model.outage.what_if import Asked, Trial, tiers_without

STOPPED: Final = -1.0
"""Stands for the charge after an hour that could not be served [Wh]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockHour:
    """An hour that all candidates share; it begins at `t`. `reads` is 1 where the display is read, and after the end.

    `lasts` is 1 until the outage is over. What each tier asks is counted at the plugs.
    """

    t: int
    day: int
    clock: int
    lasts: int
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
class HoldRow:
    """A reading of the display: what it must read to leave a tier on, or "off". All "" where nothing is read."""

    day: int
    place: int
    at_h: int
    t: int | str
    clock: int | str
    essential_share: float | str
    convenience_share: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedHour:
    """An hour of a what-if: the need above the reserve, and the charge at its start, STOPPED after a first failure."""

    need_wh: float
    state_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A reading of the display, in the order in which it is set, and how long after the outage begins it comes [h]."""

    number: int
    after_h: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageTable:
    """The outage in the tables of a workbook. `beyond` tells that it is longer than they reach, "" where it isn't.

    `raised` is what loads with the margin come to, times. `before` tells how many candidates come before the one shown, and before the one that what-ifs are tried on.

    `bounds` are of what nobody states.
    By clock hour: the shares in which the sources are connected and what runs meanwhile; by tier set (1 critical, 2 and
    essential, 3 all) whether the inverter is on and what is asked, AC also with the margin; and of the promised set, also without one load.
    `sun_wh` is what the one tried gets, hour by hour, `generator_wh` what
    a generator gives the one shown in each clock hour, all days together. `wasted_wh` is what finds no room, hour by hour; `drop_wh` is, by clock hour,
    what it must hold above the reserve to serve convenience loads for an hour and carry the others from there. `needed` is full storage that carries each set of each candidate, or "never".
    `held` has the hours of every candidate, `hold` the readings of the one shown, `tried` of every what-if, `sure` of the low, the likely and the high day.
    """

    days: int
    promised: int
    before: tuple[int, int]
    raised: float
    mains_w: float
    generator_w: float
    beyond: str
    mains_share: tuple[float, ...]
    generator_share: tuple[float, ...]
    mains_running_w: tuple[float, ...]
    generator_running_w: tuple[float, ...]
    on: tuple[tuple[int, ...], ...]
    ac_wh: tuple[tuple[float, ...], ...]
    dc_wh: tuple[tuple[float, ...], ...]
    raised_ac_wh: tuple[tuple[float, ...], ...]
    without: str
    """The load that a what-if leaves out: the one that is named, else the one that may mend the nearest candidate."""
    left_ac_wh: tuple[float, ...]
    left_dc_wh: tuple[float, ...]
    day_ac_wh: float
    day_dc_wh: float
    day_on_h: int
    bounds: Bounds
    longer_share: tuple[float, ...]
    sun_wh: tuple[float, ...]
    generator_wh: tuple[float, ...]
    needed: tuple[tuple[float | str, ...], ...]
    readings: tuple[Reading, ...]
    followed: tuple[HeldHour, ...]
    clock: tuple[ClockHour, ...]
    held: tuple[tuple[HeldHour, ...], ...]
    wasted_wh: tuple[float, ...]
    drop_wh: tuple[float, ...]
    hold: tuple[HoldRow, ...]
    tried: tuple[tuple[TriedHour, ...], ...]
    sure: tuple[tuple[TriedHour, ...], ...]

    @property
    def hours(self) -> int:
        """Its length [h]."""
        return 24 * self.days

    @property
    def order(self) -> tuple[int, ...]:
        """Clock hours in the order in which they come in the outage [o'clock]."""
        return tuple(hour.clock for hour in self.clock[: len(HOURS)])

    @property
    def promised_ac_wh(self) -> tuple[float, ...]:
        """AC that the promised loads ask by clock hour [Wh]."""
        return self.ac_wh[self.promised - 1]

    @property
    def promised_dc_wh(self) -> tuple[float, ...]:
        """DC that the promised loads ask by clock hour [Wh]."""
        return self.dc_wh[self.promised - 1]

    @property
    def lines_above(self) -> int:
        """Lines of clock hours above those of the one shown: each has its sun, then its sets as they are and raised [-]."""
        return (1 + 2 * len(SETS)) * self.before[0]

    @property
    def tried_above(self) -> int:
        """Lines of clock hours above those of the one tried [-]."""
        return (1 + 2 * len(SETS)) * self.before[1]

    @property
    def promised_place(self) -> int:
        """The line of the clock hours of the promised loads of the one tried, counted from 1 [-]."""
        return self.tried_above + 1 + self.promised

    @property
    def fields_above(self) -> int:
        """Lines of the hours above its own: each has needs, what is to be held for two lists, charge and tiers served [-]."""
        return (len(SETS) + len(TIERS[1:]) + 2) * self.before[0]


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
            lasts=int(t < plan.clock.hours),
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


def hold_rows(plan: Plan, carried: Carried, horizon_days: int) -> tuple[HoldRow, ...]:
    """The readings of the display: at the start, then four a day. A reading that is none is blank."""
    offsets = sorted((reading - plan.clock.starts_at) % 24 for reading in plan.clock.readings)

    def row(d: int, k: int) -> HoldRow:
        at = 24 * (d - 1) + offsets[k - 1] if k else 0
        twice = (at == 0 and k > 0) or (k > 1 and offsets[k - 1] == offsets[k - 2])
        if twice or at >= plan.clock.hours:
            return HoldRow(day=d, place=k, at_h=at, t="", clock="", essential_share="", convenience_share="")
        return HoldRow(
            day=d,
            place=k,
            at_h=at,
            t=at,
            clock=plan.clock.clock(at),
            essential_share=shown_hold(plan, carried.card, carried.store, 0, at),
            convenience_share=shown_hold(plan, carried.card, carried.store, 1, at),
        )

    return (row(1, 0), *(row(d, k) for d in range(1, horizon_days + 1) for k in (1, 2, 3, 4)))


def tried_hours(trial: Trial, horizon_days: int) -> tuple[TriedHour, ...]:
    """The hours of a what-if up to the horizon, and the moment after it."""
    _, states = until_alone(trial.nets_wh, trial.store)
    states = [*states, STOPPED] if trial.until_h != "" else states
    told = [TriedHour(need_wh=need, state_wh=states[min(t, len(states) - 1)]) for t, need in enumerate(trial.needs_wh)]
    over = TriedHour(need_wh=0.0, state_wh=told[-1].state_wh)
    return (*told, *(over,) * (24 * horizon_days + 1 - len(told)))


def within(case: Case, horizon_days: int) -> Case:
    """The case with an outage that is no longer than the tables of the workbook reach."""
    if case.outage.days <= horizon_days:
        return case
    return case.model_copy(update={"outage": case.outage.model_copy(update={"days": horizon_days})})


def beyond_words(days: int, horizon_days: int) -> str:
    """That an outage is longer than the tables reach; "" where it isn't [-].

    Args:
        days: Days of outage that are asked [days].
        horizon_days: Days that the tables reach [days].

    Holds for: whole days.
    Source: definition.

    >>> beyond_words(3, 4)
    ''
    >>> beyond_words(9, 4)[:50]
    '9 days are asked and this workbook reaches 4: it i'
    """
    if days <= horizon_days:
        return ""
    return f"{days} days are asked and this workbook reaches {horizon_days}: it is worked out to there. Build it anew for more."


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """What is followed: every candidate, the places of the one shown and of the one tried, the what-ifs of that, and its low, likely and high day."""

    offers: Sequence[Carried]
    shown: int
    tried: int
    trials: Sequence[Trial]
    sure: Sequence[Trial]
    asked: Asked


def _inverter_on(by_set: Sequence[Sequence[float]], *, always_on: bool) -> tuple[tuple[int, ...], ...]:
    return tuple(tuple(int((sum(row) if always_on else wh) > TRACE) for wh in row) for row in by_set)


def _raised(by_set: Sequence[Sequence[float]], margin: float) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(wh * (1 + margin) for wh in row) for row in by_set)


def _left(desk: Desk, asked: Asked, kind: str) -> tuple[float, ...]:
    """What the promised loads ask for in each clock hour without the one that is left out [Wh]."""
    return _by_set(tiers_without(asked.lines, desk.tiers, asked.without), kind)[desk.plan.promised - 1]


def outage_table(desk: Desk, followed: Followed, asked_days: int, horizon: int) -> OutageTable:
    """Every table of the outage.

    Args:
        desk: What every candidate is set against.
        followed: What is followed.
        asked_days: Days of outage that are asked [days].
        horizon: Days that the tables reach [days].

    Holds for: a plan no longer than the tables reach.
    Source: definition.
    """
    plan, promised, (mains, generator) = desk.plan, desk.plan.promised, desk.sources
    held, carried = tuple(held_hours(one, horizon) for one in followed.offers), followed.offers[followed.shown]
    ac, dc = _by_set(desk.tiers, "ac_wh"), _by_set(desk.tiers, "dc_wh")
    return OutageTable(
        days=plan.days,
        promised=promised,
        before=(followed.shown, followed.tried),
        raised=1 + plan.energy_margin,
        mains_w=mains.w,
        generator_w=generator.w,
        beyond=beyond_words(asked_days, horizon),
        mains_share=mains.share,
        generator_share=generator.share,
        longer_share=followed.asked.longer.share,
        mains_running_w=_running(desk, mains),
        generator_running_w=_running(desk, generator),
        on=_inverter_on(ac, always_on=plan.always_on),
        ac_wh=ac,
        dc_wh=dc,
        raised_ac_wh=_raised(ac, plan.energy_margin),
        without=followed.asked.without,
        left_ac_wh=_left(desk, followed.asked, "ac_wh"),
        left_dc_wh=_left(desk, followed.asked, "dc_wh"),
        day_ac_wh=sum(ac[promised - 1]),
        day_dc_wh=sum(dc[promised - 1]),
        day_on_h=sum(_inverter_on(ac, always_on=plan.always_on)[promised - 1]),
        bounds=desk.bounds,
        sun_wh=padded(followed.offers[followed.tried].taking.sun_wh, 24 * horizon + 1, 0.0),
        generator_wh=_generator_wh(carried),
        needed=tuple(_needed(plan, one) for one in followed.offers),
        readings=_readings(plan),
        followed=held[followed.shown],
        clock=clock_hours(plan, desk.tiers, [day.sky for day in desk.skies], horizon),
        held=held,
        wasted_wh=padded([hour.wasted_wh for hour in carried.hours], 24 * horizon + 1, 0.0),
        drop_wh=_drop_wh(carried),
        hold=hold_rows(plan, carried, horizon),
        tried=tuple(tried_hours(trial, horizon) for trial in followed.trials),
        sure=tuple(tried_hours(trial, horizon) for trial in followed.sure),
    )


def _readings(plan: Plan) -> tuple[Reading, ...]:
    after = ((reading - plan.clock.starts_at) % 24 for reading in plan.clock.readings)
    return tuple(Reading(number=n, after_h=h) for n, h in enumerate(after, start=1))


def _by_set(tiers: Mapping[str, TierDay], kind: str) -> tuple[tuple[float, ...], ...]:
    """What each tier set asks by clock hour [Wh]."""
    rows = [getattr(tiers[tier], kind) for tier in TIERS]
    return tuple(tuple(sum(row[h] for row in rows[: k + 1]) for h in HOURS) for k in SETS)


def _running(desk: Desk, source: Source) -> tuple[float, ...]:
    """What runs at once while a source is connected, by clock hour [W]."""
    return tuple(hour.running_w if on > 0 else 0.0 for hour, on in zip(desk.hours, source.share, strict=True))


def _needed(plan: Plan, carried: Carried) -> tuple[float | str, ...]:
    rows = carried.taking.needs.needs_wh
    return tuple(full_needed_wh(max(row), row[0], plan.start_share, plan.reserve) for row in rows)


def _generator_wh(carried: Carried) -> tuple[float, ...]:
    """What a generator gives in each clock hour, all days together [Wh]."""
    given = [0.0 for _ in HOURS]
    for hour in carried.hours:
        given[hour.clock] += carried.taking.sets[max(0, hour.served - 1)].source_wh[1][hour.clock]
    return tuple(given)


def _drop_wh(carried: Carried) -> tuple[float, ...]:
    """What must be held to serve convenience loads in a clock hour, on the day that takes most [Wh]."""
    needs, (_, without, with_them) = carried.taking.needs.needs_wh[1], carried.taking.raised_day_wh
    most = [max(needs[hour.t] for hour in carried.hours if hour.clock == h) for h in HOURS]
    return tuple(most[h] + without[h] - with_them[h] for h in HOURS)
