"""The whole case worked out: the one contract between the model and everything that shows it.

Slots beyond the case's rows are worked out too, blank: the workbook has formulas standing there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from holdover.case.schema import MAX_DAYS, MAX_DELIVERIES, MAX_POINTS, Candidate, Case, Day, Delivery, Load, Point
from holdover.model.charted import Charted, charted, layout_lines
from holdover.model.demand import TIERS, Demand, Hour, demand_of, hours_of_day
from holdover.model.fit import Fit, fit_of
from holdover.model.inflow import generator_by_clock, generator_in_w, sun_by_hour
from holdover.model.ledger import ClockHour, LedgerHour, Levels, Mark, Plan, clock_hours, ledger, levels_of
from holdover.model.loads import LoadLine, load_lines
from holdover.model.money import Cost, cost_of
from holdover.model.outage import OutageRun, Supply, TierDay, run_outage
from holdover.model.rank import Contender, Rank, ranks_of
from holdover.model.recharge import Recharge, recharge
from holdover.model.spoken import spoken
from holdover.model.storage import Capacity, Held, PointLine, Storage, capacity_of, held_of, point_lines, storage_of
from holdover.model.strings import Strings, module_hours, strings
from holdover.model.sun import SunMonth, sun_months
from holdover.model.vehicle import (
    Arrival,
    DeliveryFit,
    DeliveryPlan,
    VehicleFit,
    VehiclePlan,
    arrival,
    delivery_fit,
    delivery_plan,
    vehicle_fit,
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
class SkyDay:
    """One day of the outage under its sky."""

    given: Day
    day: int
    sky: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One candidate, worked out against the case."""

    given: Candidate
    number: int
    name: str
    storage: Storage
    held: Held
    cost: Cost
    strings: Strings
    recharge: Recharge
    vehicle: VehicleFit
    arrival: Arrival
    deliveries: tuple[DeliveryFit, ...]
    fit: Fit
    rank: Rank
    supply: Supply
    levels: Levels
    generator_in_w: float
    generator_wh: tuple[float, ...]
    outage: OutageRun
    shown: int | str
    need_shown_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryLine:
    """One delivery."""

    given: Delivery
    number: int
    plan: DeliveryPlan


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
class Decision:
    """What the client is told first."""

    listed: int
    fitting: int
    pick_number: int
    pick: str
    headline: str
    why: str
    pick_packs: int
    pick_usable_wh: float | str
    pick_days: float | str
    pick_endurance_h: float | str
    pick_weight_kg: float | str
    pick_total: float | str


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
    offers: tuple[Offer, ...]
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
    lines = load_lines(_padded(case.loads, slots.loads, Load()), case.sizing.feed)
    hours = hours_of_day(lines)
    demand = demand_of(lines, hours, case.sizing)
    points = point_lines(_padded(case.points, MAX_POINTS, Point()), case.sizing.storage_c)
    capacity = capacity_of(points, case.sizing)
    months = sun_months(case.sun, case.months, case.array)
    skies = tuple(
        SkyDay(given=day, day=i + 1, sky=case.outage.sky if day.sky is None else day.sky)
        for i, day in enumerate(_padded(case.days, MAX_DAYS, Day()))
    )
    trip = vehicle_plan(case.vehicle, case.sizing.running_margin)
    deliveries = tuple(
        DeliveryLine(given=d, number=i + 1, plan=delivery_plan(d, case.sizing.running_margin))
        for i, d in enumerate(_padded(case.deliveries, MAX_DELIVERIES, Delivery()))
    )
    desk = _Desk(case, lines, demand, hours, capacity, months, skies, trip, deliveries)
    drafts = [desk.draft(c) for c in _padded(case.candidates, slots.candidates, Candidate())]
    ranks = ranks_of(
        [Contender(fit=d.fit, held=d.held, cost=d.cost, noise_db=d.given.noise_db) for d in drafts],
        case.money,
        case.weights,
    )
    offers = tuple(desk.offer(draft, rank, i + 1) for i, (draft, rank) in enumerate(zip(drafts, ranks, strict=True)))
    decision = _decision(offers, demand)
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
        lines=lines,
        hours=hours,
        demand=demand,
        points=points,
        capacity=capacity,
        months=months,
        module_w=desk.module_w,
        skies=skies,
        vehicle=trip,
        deliveries=deliveries,
        offers=offers,
        decision=decision,
        shown=shown,
        what_if=what_if,
        clock=clock,
        ledger=ledger([offer.outage for offer in offers], trials, [day.sky for day in skies], clock),
        charted=charted(
            case,
            hours,
            months,
            desk.module_w,
            tuple(layout_lines(offer.strings, offer.name) for offer in offers),
            column=pick.number,
            name=pick.name,
            words=pick.strings.words,
            refill=pick.recharge,
            storage=pick.storage,
        ),
    )


def _padded(rows: Sequence[Row], size: int, blank: Row) -> tuple[Row, ...]:
    return (*rows, *(blank,) * (size - len(rows)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """A candidate before the field is ranked."""

    given: Candidate
    storage: Storage
    held: Held
    cost: Cost
    strings: Strings
    vehicle: VehicleFit
    arrival: Arrival
    deliveries: tuple[DeliveryFit, ...]
    fit: Fit


class _Desk:
    """What every candidate is set against."""

    def __init__(
        self,
        case: Case,
        lines: tuple[LoadLine, ...],
        demand: Demand,
        hours: tuple[Hour, ...],
        capacity: Capacity,
        months: tuple[SunMonth, ...],
        skies: tuple[SkyDay, ...],
        trip: VehiclePlan,
        deliveries: tuple[DeliveryLine, ...],
    ) -> None:
        self.case, self.lines, self.demand, self.capacity, self.months = case, lines, demand, capacity, months
        self.skies, self.trip, self.deliveries = skies, trip, deliveries
        self.module_w = tuple(module_hours(month, case.array) for month in months)
        self.tiers = {
            tier: TierDay(
                ac_wh=tuple(getattr(hour, f"ac_{tier}_wh") for hour in hours),
                dc_wh=tuple(getattr(hour, f"dc_{tier}_wh") for hour in hours),
            )
            for tier in TIERS
        }

    def draft(self, c: Candidate) -> _Draft:
        case, sizing = self.case, self.case.sizing
        storage = storage_of(c, self.demand, sizing, case.assumed, self.capacity)
        layouts = strings(
            c,
            case.array,
            self.module_w[case.sun.month - 1],
            coldest_c=case.sun.coldest_c,
            hottest_c=case.sun.hottest_c,
        )
        vehicle = vehicle_fit(
            self.trip,
            storage_wh=c.storage_wh or 0.0,
            pack_wh=c.pack_wh or 0.0,
            packs_max=c.packs_max or 0,
            usable_per_wh=storage.per_wh,
            inverter_efficiency=storage.inverter_efficiency,
            idle_w=storage.idle_w,
            continuous_w=c.continuous_w or 0.0,
            ac_volts=(self.demand.house_v if c.ac_volts is None else c.ac_volts, c.ac_volts_2),
            listed=c.name != "",
        )
        held = held_of(c, storage, self._packs(c, storage, vehicle), self.capacity.kept_share, sizing.reserve)
        cost = cost_of(c, storage, held, case.money)
        return _Draft(
            given=c,
            storage=storage,
            held=held,
            cost=cost,
            strings=layouts,
            vehicle=vehicle,
            arrival=arrival(
                self.trip,
                nameplate_wh=held.nameplate_wh,
                usable_wh=held.usable_wh,
                inverter_efficiency=storage.inverter_efficiency,
                idle_w=storage.idle_w,
            ),
            deliveries=tuple(
                delivery_fit(
                    line.plan,
                    usable_wh=held.usable_wh,
                    inverter_efficiency=storage.inverter_efficiency,
                    idle_w=storage.idle_w,
                    continuous_w=c.continuous_w or 0.0,
                    listed=c.name != "" and line.plan.energy_wh > 0,
                )
                for line in self.deliveries
            ),
            fit=fit_of(c, case, self.lines, self.demand, storage, held, layouts, vehicle),
        )

    def _packs(self, c: Candidate, storage: Storage, vehicle: VehicleFit) -> int:
        """Fixed by hand, or the fewest for the loads and for the vehicle, whichever asks for more."""
        if c.packs is not None:
            return storage.packs_limit
        wanted = vehicle.packs_needed if self.case.vehicle.distance > 0 else 0
        return max(storage.packs_for_loads, wanted) if isinstance(wanted, int) else storage.packs_for_loads

    def offer(self, draft: _Draft, rank: Rank, number: int) -> Offer:
        c, case, storage, held = draft.given, self.case, draft.storage, draft.held
        refill = recharge(
            full_wh=held.full_wh,
            reserve_wh=held.reserve_wh,
            day_draw_wh=storage.day_draw_wh,
            charge_efficiency=storage.charge_efficiency,
            ac_charge_w=c.ac_charge_w,
            ac_charge_efficiency=storage.ac_charge_efficiency,
            means=case.recharge,
            array=case.array,
            strings=draft.strings,
            months=self.months,
            design_month=case.sun.month,
            outage_month=case.outage.month,
        )
        supply = Supply(
            full_wh=held.full_wh,
            reserve_wh=held.reserve_wh,
            inverter_efficiency=storage.inverter_efficiency,
            idle_w=storage.idle_w,
            dc_efficiency=storage.dc_efficiency,
            charge_efficiency=storage.charge_efficiency,
            may_charge=int(case.sizing.storage_c >= storage.charge_min_c),
        )
        generator = (
            case.recharge.generator_w,
            c.ac_charge_w or 0.0,
            storage.ac_charge_efficiency,
            storage.charge_efficiency,
        )
        plan = case.outage
        generator_wh = generator_by_clock(*generator, plan.generator_from, plan.generator_hours)
        named = c.name != "" and c.name.lower() == plan.candidate.lower()
        return Offer(
            given=c,
            number=number,
            name=c.name,
            storage=storage,
            held=held,
            cost=draft.cost,
            strings=draft.strings,
            recharge=refill,
            vehicle=draft.vehicle,
            arrival=draft.arrival,
            deliveries=draft.deliveries,
            fit=draft.fit,
            rank=rank,
            supply=supply,
            levels=levels_of(supply, plan.start_share, plan.drop_convenience_at, plan.drop_essential_at),
            generator_in_w=generator_in_w(*generator),
            generator_wh=generator_wh,
            outage=self.run(supply, refill.outage_w, generator_wh),
            shown=number if named else "",
            need_shown_wh=storage.needed_wh if c.name else 0.0,
        )

    def run(
        self,
        supply: Supply,
        mean_day_wh: Sequence[float],
        generator_wh: Sequence[float],
        *,
        scale: float = 1.0,
        shed: bool = True,
    ) -> OutageRun:
        plan = self.case.outage
        return run_outage(
            supply,
            self.tiers,
            days=plan.days,
            starts_at=plan.starts_at,
            start_share=plan.start_share,
            drop_convenience_at=plan.drop_convenience_at if shed else 0.0,
            drop_essential_at=plan.drop_essential_at if shed else 0.0,
            inverter_always_on=self.case.sizing.inverter == "always on",
            sun_wh=sun_by_hour(mean_day_wh, [day.sky for day in self.skies], sky=plan.sky, starts_at=plan.starts_at),
            generator_wh=generator_wh,
            scale=scale,
        )


def _decision(offers: Sequence[Offer], demand: Demand) -> Decision:
    listed = [offer for offer in offers if offer.name]
    fitting = [offer for offer in listed if offer.fit.fits]
    pick = next((offer for offer in fitting if offer.rank.rank == 1), None)
    if pick:
        many = "" if pick.held.packs == 1 else "s"
        packs = f" with {pick.held.packs} expansion pack{many}" if pick.held.packs else ""
        headline = f"{pick.name}{packs} fits and ranks first of {len(fitting)} that fit."
    elif listed:
        headline = f"None of the {len(listed)} candidates fits. Lower the loads, or look at larger units."
    else:
        headline = "No candidate is listed yet."
    why = (
        f"{spoken(demand.energy_wh)} Wh a day, {spoken(demand.peak_running_w)} W running and "
        f"{spoken(demand.peak_starting_w)} W starting at the peak."
        if demand.lines
        else "No load is listed yet."
    )
    return Decision(
        listed=len(listed),
        fitting=len(fitting),
        pick_number=pick.number if pick else 0,
        pick=pick.name if pick else "none",
        headline=headline,
        why=why,
        pick_packs=pick.held.packs if pick else 0,
        pick_usable_wh=pick.held.usable_wh if pick else "none",
        pick_days=pick.held.days if pick else "none",
        pick_endurance_h=pick.outage.endurance_h if pick else "none",
        pick_weight_kg=pick.fit.weight_kg if pick else "none",
        pick_total=pick.cost.total if pick else "none",
    )


def _shown(desk: _Desk, offers: Sequence[Offer], decision: Decision) -> tuple[Shown, tuple[WhatIf, ...]]:
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
