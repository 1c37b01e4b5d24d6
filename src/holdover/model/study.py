"""The whole case worked out: the one contract between the model and everything that shows it.

Slots beyond the case's rows are worked out too, blank: the workbook has formulas standing there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from holdover.case.schema import (
    MAX_DAYS,
    MAX_DELIVERIES,
    MAX_POINTS,
    Candidate,
    Case,
    Day,
    Delivery,
    Load,
    Point,
    is_blank,
)
from holdover.model.clock import CalendarHour, ClockHour, calendar, clock_hours
from holdover.model.decision import Decision, decide
from holdover.model.demand import Demand, Hour, demand_of, hours_of_day
from holdover.model.loads import LoadLine, load_lines
from holdover.model.offer import DeliveryLine, Desk, Levels, Offer, SkyDay
from holdover.model.outage import OutageRun, Supply
from holdover.model.rank import Contender, ranks_of
from holdover.model.solar import MeanDays, Solar, mean_days, places_of, solar_of
from holdover.model.storage import Capacity, PointLine, capacity_of, point_lines
from holdover.model.sun import SunMonth, sun_months
from holdover.model.vehicle import (
    VehiclePlan,
    delivery_plan,
    vehicle_plan,
)

Row = TypeVar("Row")

SCALES = (0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5)
"""Factors on every load's energy that the what-if table tries [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """How many rows and columns the workbook holds."""

    loads: int
    candidates: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """The outage of the candidate shown with every load scaled."""

    scale: float
    run: OutageRun
    gained_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The candidate that the outage sheet follows, and what shedding buys it."""

    number: int
    name: str
    supply: Supply
    generator_in_w: float
    levels: Levels
    marks: tuple[int, int]
    """First and last hour of the outage."""
    comes_wh: tuple[float, ...]
    """What sun and generator bring in each hour."""
    run: OutageRun
    unshed: OutageRun
    plans: tuple[OutageRun, OutageRun]
    """Shed as set, and nothing shed."""
    gained_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """Everything that is computed, complete at birth."""

    case: Case
    slots: Slots
    lines: tuple[LoadLine, ...]
    hours: tuple[Hour, ...]
    demand: Demand
    points: tuple[PointLine, ...]
    capacity: Capacity
    months: tuple[SunMonth, ...]
    mean_days: MeanDays
    pick: Offer
    """The candidate advised; the first one where none fits."""
    solar: Solar
    layout_places: tuple[tuple[int | str, ...], ...]
    skies: tuple[SkyDay, ...]
    vehicle: VehiclePlan
    deliveries: tuple[DeliveryLine, ...]
    errands: int
    offers: tuple[Offer, ...]
    decision: Decision
    shown: Shown
    what_if: tuple[WhatIf, ...]
    clock: tuple[ClockHour, ...]
    calendar: tuple[CalendarHour, ...]


def slots_for(case: Case) -> Slots:
    """Room for the case and for what the client adds."""
    return Slots(
        loads=max(30, -(-(len(case.loads) + 8) // 5) * 5),
        candidates=max(8, len(case.candidates) + 2),
    )


def study(case: Case, slots: Slots | None = None) -> Study:
    """Work the whole case out. Pure: the same case gives the same study."""
    slots = slots or slots_for(case)
    points = point_lines(_padded(case.points, MAX_POINTS, Point()), case.sizing.storage_c)
    desk = _desk(case, slots, capacity_of(points, case.sizing))
    offers = _offers(desk, slots)
    decision = decide(offers, desk.demand, desk.trip, case)
    shown, what_if = _shown(desk, offers, decision)
    clock = clock_hours(case, desk.tiers, [offer.supply for offer in offers], shown.supply, SCALES)
    pick = offers[max(1, decision.pick_number) - 1]
    return Study(
        case=case,
        slots=slots,
        lines=desk.lines,
        hours=desk.hours,
        demand=desk.demand,
        points=points,
        capacity=desk.capacity,
        months=desk.months,
        mean_days=mean_days(case, desk.months, desk.module_w),
        pick=pick,
        solar=solar_of(case, desk.hours, desk.months, pick),
        layout_places=tuple(places_of(offer.strings.layouts) for offer in offers),
        skies=desk.skies,
        vehicle=desk.trip,
        deliveries=desk.deliveries,
        errands=int(case.vehicle.distance > 0) + sum(not is_blank(line.given) for line in desk.deliveries),
        offers=offers,
        decision=decision,
        shown=shown,
        what_if=what_if,
        clock=clock,
        calendar=calendar(shown.run.hours, [day.sky for day in desk.skies], clock),
    )


def _desk(case: Case, slots: Slots, capacity: Capacity) -> Desk:
    """What every candidate is set against."""
    lines = load_lines(_padded(case.loads, slots.loads, Load()), case.sizing.feed)
    hours = hours_of_day(lines)
    margin = case.sizing.running_margin
    skies = tuple(
        SkyDay(given=day, day=i + 1, sky=case.outage.sky if day.sky is None else day.sky)
        for i, day in enumerate(_padded(case.days, MAX_DAYS, Day()))
    )
    deliveries = tuple(
        DeliveryLine(given=d, number=i + 1, plan=delivery_plan(d, margin))
        for i, d in enumerate(_padded(case.deliveries, MAX_DELIVERIES, Delivery()))
    )
    return Desk(
        case,
        lines,
        demand_of(lines, hours, case.sizing),
        hours,
        capacity,
        sun_months(case.sun, case.months, case.array),
        skies,
        vehicle_plan(case.vehicle, margin),
        deliveries,
    )


def _offers(desk: Desk, slots: Slots) -> tuple[Offer, ...]:
    """Every candidate, ranked in its field and worked out to the end."""
    case = desk.case
    drafts = [desk.draft(c) for c in _padded(case.candidates, slots.candidates, Candidate())]
    field = [Contender(fit=d.fit, held=d.held, cost=d.cost, noise_db=d.given.noise_db) for d in drafts]
    ranks = ranks_of(field, case.money, case.weights)
    return tuple(desk.offer(draft, rank, i + 1) for i, (draft, rank) in enumerate(zip(drafts, ranks, strict=True)))


def _padded(rows: Sequence[Row], size: int, blank: Row) -> tuple[Row, ...]:
    return (*rows, *(blank,) * (size - len(rows)))


def _shown(desk: Desk, offers: Sequence[Offer], decision: Decision) -> tuple[Shown, tuple[WhatIf, ...]]:
    """The candidate named for the outage sheet, else the pick, else the first."""
    named = [offer.number for offer in offers if offer.shown != ""]
    offer = offers[(min(named) if named else max(1, decision.pick_number)) - 1]

    def again(*, scale: float = 1.0, shed: bool = True) -> OutageRun:
        return desk.run(offer.supply, offer.recharge.outage_w, offer.generator_wh, scale=scale, shed=shed)

    lasts_h, unshed = offer.outage.endurance_h, again(shed=False)
    tried = [(scale, again(scale=scale)) for scale in SCALES]
    return (
        Shown(
            number=offer.number,
            name=offer.name or "none",
            supply=offer.supply,
            generator_in_w=offer.generator_in_w,
            levels=offer.levels,
            marks=(0, 24 * desk.case.outage.days),
            comes_wh=tuple(hour.sun_wh + hour.generator_wh for hour in offer.outage.hours),
            run=offer.outage,
            unshed=unshed,
            plans=(offer.outage, unshed),
            gained_h=lasts_h - unshed.endurance_h,
        ),
        tuple(WhatIf(scale=scale, run=run, gained_h=run.endurance_h - lasts_h) for scale, run in tried),
    )
