"""One candidate set against the case: everything that is worked out of it, in the order of the method.

It ranks nobody: a draft becomes an offer when the whole field is known.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import Candidate, Case, Day, Delivery
from holdover.model.demand import TIERS, Demand, Hour
from holdover.model.dust import DUST
from holdover.model.fit import Against, Fit, Worked, fit_of, remarks_of
from holdover.model.inflow import generator_by_clock, generator_in_w, sun_by_hour
from holdover.model.ledger import Levels, levels_of
from holdover.model.loads import LoadLine
from holdover.model.mend import Means, Mend, mend_of
from holdover.model.money import Cost, Stage, cost_of, stages_of
from holdover.model.outage import OutageRun, Supply, TierDay, run_outage
from holdover.model.promise import Promise, TierServed
from holdover.model.rank import Rank
from holdover.model.reason import asks_of, reason_of
from holdover.model.recharge import Recharge, recharge
from holdover.model.storage import Capacity, Held, Storage, held_of, storage_of
from holdover.model.strings import Strings, module_hours, strings
from holdover.model.sun import SunMonth
from holdover.model.vehicle import (
    Arrival,
    DeliveryFit,
    DeliveryPlan,
    VehicleFit,
    VehiclePlan,
    arrival,
    delivery_fit,
    vehicle_fit,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyDay:
    """One day of the outage under its sky."""

    given: Day
    day: int
    sky: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryLine:
    """One delivery."""

    given: Delivery
    number: int
    plan: DeliveryPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One candidate, worked out against the case."""

    given: Candidate
    number: int
    name: str
    storage: Storage
    held: Held
    cost: Cost
    stages: tuple[Stage, ...]
    strings: Strings
    recharge: Recharge
    vehicle: VehicleFit
    arrival: Arrival
    deliveries: tuple[DeliveryFit, ...]
    promise: Promise
    tiers: dict[str, TierServed]
    fit: Fit
    mend: Mend
    rank: Rank
    supply: Supply
    levels: Levels
    generator_in_w: float
    generator_wh: tuple[float, ...]
    outage: OutageRun
    shown: int | str
    need_shown_wh: float
    reason: str
    ask: str
    remarks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A candidate before the field is ranked."""

    given: Candidate
    storage: Storage
    held: Held
    cost: Cost
    strings: Strings
    recharge: Recharge
    vehicle: VehicleFit
    supply: Supply
    generator_in_w: float
    generator_wh: tuple[float, ...]
    outage: OutageRun
    promise: Promise
    tiers: dict[str, TierServed]
    fit: Fit


class Desk:
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
        self.case, self.lines, self.demand, self.hours = case, lines, demand, hours
        self.capacity, self.months = capacity, months
        self.skies, self.trip, self.deliveries = skies, trip, deliveries
        self.module_w = tuple(module_hours(month, case.array) for month in months)
        self.tiers = {
            tier: TierDay(
                ac_wh=tuple(getattr(hour, f"ac_{tier}_wh") for hour in hours),
                dc_wh=tuple(getattr(hour, f"dc_{tier}_wh") for hour in hours),
            )
            for tier in TIERS
        }

    def draft(self, c: Candidate) -> Draft:
        """A candidate worked out as far as the ranking needs it."""
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
            packs_limit=storage.packs_limit,
            usable_per_wh=storage.per_wh,
            inverter_efficiency=storage.inverter_efficiency,
            idle_w=storage.idle_w,
            continuous_w=c.continuous_w or 0.0,
            ac_volts=(self.demand.house_v if c.ac_volts is None else c.ac_volts, c.ac_volts_2),
            listed=c.name != "",
        )
        held = held_of(c, storage, self._packs(c, storage, vehicle), self.capacity.kept_share, sizing.reserve)
        may_charge = sizing.storage_c >= storage.charge_min_c
        refill = self._refill(c, storage, held, layouts, may_charge=may_charge)
        generator = (
            case.recharge.generator_w,
            c.ac_charge_w or 0.0,
            storage.ac_charge_efficiency,
            storage.charge_efficiency,
        )
        generator_wh = generator_by_clock(*generator, case.outage.generator_from, case.outage.generator_hours)
        supply = _supply(storage, held, may_charge)
        outage = self.run(supply, refill.outage_w, generator_wh)
        tiers = self._tiers(outage)
        promise = _promise_by_days(storage, held, tiers, sizing.reserve)
        use_wh = sum(tier.served_wh for tier in tiers.values())
        return Draft(
            given=c,
            storage=storage,
            held=held,
            cost=cost_of(c, storage, held, case.money, use_wh),
            strings=layouts,
            recharge=refill,
            vehicle=vehicle,
            supply=supply,
            generator_in_w=generator_in_w(*generator),
            generator_wh=generator_wh,
            outage=outage,
            promise=promise,
            tiers=tiers,
            fit=fit_of(
                c,
                Against(case=case, lines=self.lines, demand=self.demand),
                Worked(storage=storage, held=held, strings=layouts, vehicle=vehicle, promise=promise),
            ),
        )

    def _refill(self, c: Candidate, storage: Storage, held: Held, layouts: Strings, *, may_charge: bool) -> Recharge:
        case = self.case
        return recharge(
            full_wh=held.full_wh,
            reserve_wh=held.reserve_wh,
            day_draw_wh=storage.day_draw_wh,
            charge_efficiency=storage.charge_efficiency,
            ac_charge_w=c.ac_charge_w,
            ac_charge_efficiency=storage.ac_charge_efficiency,
            means=case.recharge,
            array=case.array,
            strings=layouts,
            months=self.months,
            design_month=case.sun.month,
            outage_month=case.outage.month,
            may_charge=may_charge,
        )

    def _tiers(self, run: OutageRun) -> dict[str, TierServed]:
        """What each tier asked for and got, at the plugs."""
        return {tier: _served(run, day, tier) for tier, day in self.tiers.items()}

    def _packs(self, c: Candidate, storage: Storage, vehicle: VehicleFit) -> int:
        """Fixed by hand, or the fewest for the loads and for the vehicle, whichever asks for more; all where none do."""
        if c.packs is not None:
            return storage.packs_limit
        wanted = vehicle.packs_needed if self.case.vehicle.distance > 0 else 0
        return max(storage.packs_for_loads, wanted) if isinstance(wanted, int) else storage.packs_limit

    def offer(self, draft: Draft, rank: Rank, number: int, common: Sequence[str]) -> Offer:
        """A ranked candidate told to the end; what is common to the field is left out of its remarks and asks."""
        c, case, storage, held, plan = draft.given, self.case, draft.storage, draft.held, self.case.outage
        named = c.name != "" and c.name.lower() == plan.candidate.lower()
        return Offer(
            given=c,
            number=number,
            name=c.name,
            storage=storage,
            held=held,
            cost=draft.cost,
            stages=stages_of(c, storage, held, case.money, draft.promise.full_needed_wh, self.capacity.kept_share),
            strings=draft.strings,
            recharge=draft.recharge,
            vehicle=draft.vehicle,
            arrival=self._arrival(draft),
            deliveries=self._deliveries(draft),
            promise=draft.promise,
            tiers=draft.tiers,
            fit=draft.fit,
            mend=mend_of(draft.fit, self.lines, self.demand, self._means(draft)),
            rank=rank,
            supply=draft.supply,
            levels=levels_of(draft.supply, plan.start_share, plan.drop_convenience_at, plan.drop_essential_at),
            generator_in_w=draft.generator_in_w,
            generator_wh=draft.generator_wh,
            outage=draft.outage,
            shown=number if named else "",
            need_shown_wh=storage.needed_wh if c.name else 0.0,
            reason=reason_of(c, draft.fit, draft.promise, draft.vehicle, draft.strings.words, plan.starts_at),
            ask=asks_of(c, case, draft.fit, draft.promise, common),
            remarks=remarks_of(draft.fit, common) if c.name else "",
        )

    def _arrival(self, draft: Draft) -> Arrival:
        return arrival(
            self.trip,
            nameplate_wh=draft.held.nameplate_wh,
            usable_wh=draft.held.usable_wh,
            inverter_efficiency=draft.storage.inverter_efficiency,
            idle_w=draft.storage.idle_w,
        )

    def _deliveries(self, draft: Draft) -> tuple[DeliveryFit, ...]:
        return tuple(
            delivery_fit(
                line.plan,
                usable_wh=draft.held.usable_wh,
                inverter_efficiency=draft.storage.inverter_efficiency,
                idle_w=draft.storage.idle_w,
                continuous_w=draft.given.continuous_w or 0.0,
                listed=draft.given.name != "" and line.plan.energy_wh > 0,
            )
            for line in self.deliveries
        )

    def _means(self, draft: Draft) -> Means:
        sizing = self.case.sizing
        return Means(
            pack_wh=draft.given.pack_wh or 0.0,
            packs_max=draft.given.packs_max or 0,
            storage=draft.storage,
            held=draft.held,
            kept_share=self.capacity.kept_share,
            generator_in_w=draft.generator_in_w,
            days=self.case.outage.days,
            energy_margin=sizing.energy_margin,
            reserve=sizing.reserve,
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
        """The case's outage on a candidate's supply; `scale` multiplies every load's energy."""
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


def _supply(storage: Storage, held: Held, may_charge: bool) -> Supply:
    """What the hours of an outage draw on."""
    return Supply(
        full_wh=held.full_wh,
        reserve_wh=held.reserve_wh,
        inverter_efficiency=storage.inverter_efficiency,
        idle_w=storage.idle_w,
        dc_efficiency=storage.dc_efficiency,
        charge_efficiency=storage.charge_efficiency,
        may_charge=int(may_charge),
    )


def _promise_by_days(storage: Storage, held: Held, tiers: dict[str, TierServed], reserve: float) -> Promise:
    """Until the outage says what it takes: the mean days without refill stand for the promise."""
    needed = storage.needed_wh / (1 - reserve)
    kept = round(held.full_wh - needed, DUST) >= 0
    tier, short = next(((tier, got.until_h) for tier, got in tiers.items() if got.until_h != ""), ("", ""))
    return Promise(
        full_needed_wh=needed,
        full_needed_without_refill_wh=needed,
        packs=storage.packs_for_loads,
        kept=int(kept),
        margin_held=int(kept),
        until_h="" if kept else short,
        broken_tier="" if kept else tier,
        word="OK" if kept else "UNDER",
    )


def _served(run: OutageRun, day: TierDay, tier: str) -> TierServed:
    asked = served = 0.0
    off = 0
    until: int | str = ""
    for hour in run.hours:
        if not hour.active:
            continue
        wanted = day.ac_wh[hour.clock] + day.dc_wh[hour.clock]
        on = {"critical": 1, "essential": hour.essential_on, "convenience": hour.convenience_on}[tier]
        got = wanted * on * hour.served_share
        asked, served = asked + wanted, served + got
        if round(wanted - got, DUST) > 0:
            off += 1
            until = hour.t if until == "" else until
    share = served / asked if asked > 0 else 1.0
    return TierServed(asked_wh=asked, served_wh=served, served_share=share, off_h=off, until_h=until)
