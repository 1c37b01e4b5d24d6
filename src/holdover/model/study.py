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
from holdover.model.charted import Charted, charted, layout_lines
from holdover.model.decision import Decision, decide
from holdover.model.demand import Demand, Hour, demand_of, hours_of_day
from holdover.model.doubt import Doubt, doubt_of
from holdover.model.fit import common_remarks
from holdover.model.ledger import ClockHour, LedgerHour, Levels, Mark, Plan, clock_hours, ledger
from holdover.model.loads import LoadLine, load_lines
from holdover.model.look_for import LookFor, look_for_of, module_cold_v
from holdover.model.offer import DeliveryLine, Desk, Offer, SkyDay
from holdover.model.outage import OutageRun, Supply
from holdover.model.rank import Contender, ranks_of
from holdover.model.reason import common_asks
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
PROMISED = "critical and essential"
"""The promise, until the case states it [-]."""


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
    marks: tuple[Mark, Mark]
    run: OutageRun
    unshed: OutageRun
    plans: tuple[Plan, Plan]
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
    module_w: tuple[tuple[float, ...], ...]
    skies: tuple[SkyDay, ...]
    vehicle: VehiclePlan
    deliveries: tuple[DeliveryLine, ...]
    errands: int
    offers: tuple[Offer, ...]
    look_for: LookFor
    doubt: Doubt
    decision: Decision
    shown: Shown
    what_if: tuple[WhatIf, ...]
    clock: tuple[ClockHour, ...]
    ledger: tuple[LedgerHour, ...]
    charted: Charted


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
    look_for = look_for_of(
        desk.lines, desk.demand, case, desk.capacity, PROMISED, module_cold_v(case.array, case.sun.coldest_c)
    )
    decision = decide(offers, desk.demand, desk.trip, case, look_for)
    shown, what_if = _shown(desk, offers, decision)
    clock = clock_hours(
        desk.tiers,
        [offer.supply for offer in offers],
        shown.supply,
        SCALES,
        inverter_always_on=case.sizing.inverter == "always on",
        generator_from=case.outage.generator_from,
        generator_hours=case.outage.generator_hours,
    )
    pick = offers[max(1, decision.pick_number) - 1]
    trials = [*(tried.run for tried in what_if), shown.unshed]
    return Study(
        case=case,
        slots=slots,
        lines=desk.lines,
        hours=desk.hours,
        demand=desk.demand,
        points=points,
        capacity=desk.capacity,
        months=desk.months,
        module_w=desk.module_w,
        skies=desk.skies,
        vehicle=desk.trip,
        deliveries=desk.deliveries,
        errands=int(case.vehicle.distance > 0) + sum(not is_blank(line.given) for line in desk.deliveries),
        offers=offers,
        look_for=look_for,
        doubt=doubt_of(desk.lines, case.sizing),
        decision=decision,
        shown=shown,
        what_if=what_if,
        clock=clock,
        ledger=ledger([offer.outage for offer in offers], trials, [day.sky for day in desk.skies], clock),
        charted=charted(
            case,
            desk.hours,
            desk.months,
            desk.module_w,
            tuple(layout_lines(offer.strings, offer.name) for offer in offers),
            column=pick.number,
            name=pick.name,
            words=pick.strings.words,
            refill=pick.recharge,
            storage=pick.storage,
        ),
    )


def _desk(case: Case, slots: Slots, capacity: Capacity) -> Desk:
    """What every candidate is set against."""
    lines = load_lines(_padded(case.loads, slots.loads, Load()), case.sizing)
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
    fits = [draft.fit for draft in drafts if draft.given.name]
    common = (*common_remarks(fits), *common_asks(fits))
    return tuple(
        desk.offer(draft, rank, i + 1, common) for i, (draft, rank) in enumerate(zip(drafts, ranks, strict=True))
    )


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
            marks=(Mark(h=0, levels=offer.levels), Mark(h=24 * desk.case.outage.days, levels=offer.levels)),
            run=offer.outage,
            unshed=unshed,
            plans=(Plan(name="Shed as set above", run=offer.outage), Plan(name="Nothing shed", run=unshed)),
            gained_h=lasts_h - unshed.endurance_h,
        ),
        tuple(WhatIf(scale=scale, run=run, gained_h=run.endurance_h - lasts_h) for scale, run in tried),
    )
