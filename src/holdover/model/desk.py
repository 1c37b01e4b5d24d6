"""What every candidate is set against: the loads, the sun, the outage, the drive and the deliveries of a case."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from holdover.case.schema import MAX_DAYS, MAX_DELIVERIES, Case, Day, Delivery, Load
from holdover.model.delivery import DeliveryPlan, delivery_plan
from holdover.model.demand import TIERS, Demand, Hour, demand_of, hours_of_day, is_switched
from holdover.model.loads import HOURS, LoadLine, load_lines, without
from holdover.model.outage.at_best import Bounds, alone_h, dark_h, unasked_h
from holdover.model.outage.promise import Plan, plan_of, sources_of
from holdover.model.outage.tier_sets import Source, TierDay
from holdover.model.solar_module import module_hours
from holdover.model.storage import Capacity
from holdover.model.sun import SunMonth, sun_months
from holdover.model.vehicle import VehiclePlan, vehicle_plan
from holdover.model.verdict.fit import ac_volts_of
from holdover.model.verdict.mend import Spare, spare_of

Row = TypeVar("Row")


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
class Desk:
    """All that does not depend on the candidate. `module_w` is one module, by month and clock hour.

    `bounds` are of what nobody states.
    """

    case: Case
    lines: tuple[LoadLine, ...]
    hours: tuple[Hour, ...]
    demand: Demand
    capacity: Capacity
    months: tuple[SunMonth, ...]
    module_w: tuple[tuple[float, ...], ...]
    skies: tuple[SkyDay, ...]
    trip: VehiclePlan
    deliveries: tuple[DeliveryLine, ...]
    tiers: Mapping[str, TierDay]
    plan: Plan
    sources: tuple[Source, Source]
    ac_volts: Mapping[float, int]
    spare: Spare
    bounds: Bounds


def padded(rows: Sequence[Row], size: int, blank: Row) -> tuple[Row, ...]:
    """Rows, and blank ones up to a size [-]."""
    return (*rows, *(blank,) * (size - len(rows)))


def desk_of(case: Case, loads: int, capacity: Capacity) -> Desk:
    """The case worked out as far as it knows no candidate; `loads` tells how many lines the inventory has room for."""
    listed = padded(case.loads, loads, Load())
    counted = load_lines(without(listed, case.outage.leave_out), case.sizing)
    lines = (
        counted
        if not case.outage.leave_out
        else tuple(replace(line, given=load) for line, load in zip(counted, listed, strict=True))
    )
    hours = hours_of_day(lines)
    outage, generator_w = case.outage, case.recharge.generator_w
    switched = is_switched(case.about.purpose, outage.mains_hours, generator_w, outage.generator_hours)
    demand = demand_of(lines, hours, case.sizing, switched=switched)
    sources = sources_of(case, demand.house_v)
    months, plan = sun_months(case.sun, case.months, case.array), plan_of(case)
    tiers = {tier: _tier_day(tier, hours) for tier in TIERS}
    return Desk(
        case=case,
        lines=lines,
        hours=hours,
        demand=demand,
        capacity=capacity,
        months=months,
        module_w=tuple(module_hours(month, case.array) for month in months),
        skies=tuple(
            SkyDay(given=day, day=i + 1, sky=case.outage.sky if day.sky is None else day.sky)
            for i, day in enumerate(padded(case.days, MAX_DAYS, Day()))
        ),
        trip=vehicle_plan(case.vehicle, case.about.units),
        deliveries=tuple(
            DeliveryLine(given=one, number=i + 1, plan=delivery_plan(one, case.sizing.running_margin))
            for i, one in enumerate(padded(case.deliveries, MAX_DELIVERIES, Delivery()))
        ),
        tiers=tiers,
        plan=plan,
        sources=sources,
        ac_volts=ac_volts_of(lines),
        spare=spare_of(lines, demand, [hour.needed_w for hour in hours], plan.promised, case.sizing, alone_of(sources)),
        bounds=_bounds(case, plan, tiers, sources, months[outage.month - 1].sunset_deg),
    )


def _bounds(
    case: Case, plan: Plan, tiers: Mapping[str, TierDay], sources: Sequence[Source], sunset_deg: float
) -> Bounds:
    promised_wh = [sum(hour) for hour in zip(*(tiers[tier].ac_wh for tier in TIERS[: plan.promised]), strict=True)]
    return Bounds(
        given_wh=sum(source.w * sum(source.share) for source in sources),
        unasked_h=unasked_h(promised_wh, always_on=plan.always_on),
        dark_h=dark_h(plan.clock.starts_at, case.sun.solar_noon_at, sunset_deg),
        alone_h=alone_h(sources, plan.clock.starts_at),
    )


def alone_of(sources: Sequence[Source]) -> tuple[float, ...]:
    """The share of each clock hour in which no source is connected [-]."""
    return tuple(1 - sum(source.share[hour] for source in sources) for hour in HOURS)


def _tier_day(tier: str, hours: Sequence[Hour]) -> TierDay:
    return TierDay(
        ac_wh=tuple(getattr(hour, f"ac_{tier}_wh") for hour in hours),
        dc_wh=tuple(getattr(hour, f"dc_{tier}_wh") for hour in hours),
    )
