"""One candidate set against the case: everything that is worked out of it, in the order of the method.

It ranks nobody: a draft becomes an offer when the whole field is known.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import Candidate, Case, Day, Delivery, Outage
from holdover.model.demand import TIERS, Demand, Hour
from holdover.model.fit import Check, Fit, fit_of, lasting, remarks_of
from holdover.model.inflow import generator_by_clock, generator_in_w, sun_by_hour
from holdover.model.loads import LoadLine
from holdover.model.money import Cost, cost_of
from holdover.model.outage import OutageRun, Supply, TierDay, run_outage
from holdover.model.rank import Rank
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
class Levels:
    """States of charge at which something happens."""

    full_wh: float
    start_wh: float
    convenience_at_wh: float
    essential_at_wh: float
    reserve_wh: float


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
    lasts: Check
    remarks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
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
        cost = cost_of(c, storage, held, case.money)
        return Draft(
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
        """Fixed by hand, or the fewest for the loads and for the vehicle, whichever asks for more; all where none do."""
        if c.packs is not None:
            return storage.packs_limit
        wanted = vehicle.packs_needed if self.case.vehicle.distance > 0 else 0
        return max(storage.packs_for_loads, wanted) if isinstance(wanted, int) else storage.packs_limit

    def offer(self, draft: Draft, rank: Rank, number: int) -> Offer:
        """A ranked candidate worked out to the end: refill and outage."""
        c, case, storage, held = draft.given, self.case, draft.storage, draft.held
        may_charge = case.sizing.storage_c >= storage.charge_min_c
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
            may_charge=may_charge,
        )
        supply = _supply(storage, held, may_charge)
        generator = (
            case.recharge.generator_w,
            c.ac_charge_w or 0.0,
            storage.ac_charge_efficiency,
            storage.charge_efficiency,
        )
        plan = case.outage
        generator_wh = generator_by_clock(*generator, plan.generator_from, plan.generator_hours)
        named = c.name != "" and c.name.lower() == plan.candidate.lower()
        outage = self.run(supply, refill.outage_w, generator_wh)
        lasts = lasting(24.0 * plan.days, outage.endurance_h, listed=c.name != "")
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
            levels=_levels(supply, plan),
            generator_in_w=generator_in_w(*generator),
            generator_wh=generator_wh,
            outage=outage,
            shown=number if named else "",
            need_shown_wh=storage.needed_wh if c.name else 0.0,
            lasts=lasts,
            remarks=remarks_of(draft.fit, lasts) if c.name else "",
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


def _levels(supply: Supply, plan: Outage) -> Levels:
    """Shares of full storage as states of charge."""
    full = supply.full_wh
    return Levels(
        full_wh=full,
        start_wh=plan.start_share * full,
        convenience_at_wh=plan.drop_convenience_at * full,
        essential_at_wh=plan.drop_essential_at * full,
        reserve_wh=supply.reserve_wh,
    )
