"""A vehicle that must reach the next charger, and other one-off deliveries: energy, hours, range and packs.

It takes usable storage as a share of the nameplate: where that share comes from is told in `storage.py`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from holdover.case.schema import ConsumptionAt, ConsumptionUnit, Delivery, DistanceUnit, Vehicle
from holdover.model.dust import DUST

KM_PER_MILE: Final = 1.609344
"""Length of a mile [km], source: definition of the international mile, exact."""

PACKS_SHOWN: Final = 6
"""Ranges are shown for none up to this many packs [packs], source: the width of the table."""


OUT_OF_REACH: Final = "out of reach"
"""Said where the most packs do not do [text], source: definition."""

Verdict = Literal["OK", "SHORT", "not planned", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class VehiclePlan:
    """What the drive asks for, whichever candidate is taken."""

    distance_unit: DistanceUnit
    distance_km: float
    consumption_wh_per_km: float
    outlet_wh_per_km: float
    charger_v: float
    charger_w: float
    needed_outlet_wh: float
    charging_h: float
    draw_needed_w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleFit:
    """What a candidate does for the drive. Ranges are for 0 to 6 packs, "" beyond the most it takes.

    `range_km` is what arrives in the vehicle, `nameplate_km` what the nameplate alone would promise; each stands
    beside its twin in the unit of the distance. Ranges hold no margin: the margin is on the distance.
    """

    storage_needed_wh: float
    charging_h: float
    range_km: tuple[float | str, ...]
    range_own: tuple[float | str, ...]
    nameplate_km: tuple[float | str, ...]
    nameplate_own: tuple[float | str, ...]
    packs_needed: int | str
    draw_needed_w: float
    draw_margin_w: float
    holds: Verdict
    reaches: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """How far the vehicle comes with the packs the candidate gets, and how far the nameplate alone would promise."""

    range_km: float
    range_own: float
    nameplate_km: float
    nameplate_own: float
    lost_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryPlan:
    """One delivery, whichever candidate is taken; `total_wh` and `hours` are for all its times."""

    name: str
    energy_wh: float
    power_w: float
    times: int
    total_wh: float
    hours: float
    draw_needed_w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryFit:
    """What a candidate does for one delivery; `times_possible` is out of usable storage, with nothing else on."""

    once_wh: float
    storage_needed_wh: float
    times_possible: int
    holds: Verdict


def distance_km(distance: float, unit: DistanceUnit) -> float:
    """A distance in kilometres [km].

    Args:
        distance: The distance, in its own unit [km or mi].
        unit: That unit [text].

    Holds for: the international mile.
    Source: definition.

    >>> distance_km(10, "mi")
    16.09344
    """
    return distance * KM_PER_MILE if unit == "mi" else distance


def consumption_wh_per_km(consumption: float, unit: ConsumptionUnit) -> float:
    """A consumption in watt-hours per kilometre [Wh/km].

    Args:
        consumption: The consumption, in its own unit [text names it].
        unit: That unit [text].

    Holds for: consumption > 0; km/kWh and mi/kWh are distance per energy, so the larger the better.
    Source: definition.

    >>> consumption_wh_per_km(18, "kWh/100 km"), consumption_wh_per_km(5, "km/kWh")
    (180.0, 200.0)
    """
    match unit:
        case "Wh/km":
            return consumption
        case "kWh/100 km":
            return consumption * 10.0
        case "km/kWh":
            return 1000 / consumption
        case "Wh/mi":
            return consumption / KM_PER_MILE
        case "kWh/100 mi":
            return consumption * 10 / KM_PER_MILE
        case "mi/kWh":
            return 1000 / (consumption * KM_PER_MILE)


def outlet_wh_per_km(consumption_wh_per_km: float, at: ConsumptionAt, charger_efficiency: float) -> float:
    """A consumption as the outlet sees it [Wh/km].

    Args:
        consumption_wh_per_km: As stated [Wh/km].
        at: Where it is counted [text].
        charger_efficiency: Into the traction battery per energy from the outlet [-].

    Holds for: a label's figure that holds the charging loss already, so it is not divided again.
    Source: common practice; what the dashboard shows leaves the charger out, what the label gives includes it.

    >>> outlet_wh_per_km(168, "battery", 0.84), outlet_wh_per_km(168, "outlet", 0.84)
    (200.0, 168)
    """
    return consumption_wh_per_km / charger_efficiency if at == "battery" else consumption_wh_per_km


def charger_w(charger_v: float, charger_a: float) -> float:
    """What a charger draws at the outlet [W].

    Args:
        charger_v: Its voltage [V].
        charger_a: Its current [A].

    Holds for: single phase and a power factor of 1.
    Source: Joule's law.

    >>> charger_w(120, 12)
    1440
    """
    return charger_v * charger_a


def storage_needed_wh(outlet_wh: float, hours: float, inverter_efficiency: float, idle_w: float) -> float:
    """What a delivery takes out of storage [Wh].

    Args:
        outlet_wh: Energy at the outlet [Wh].
        hours: Time it takes [h].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].

    Holds for: nothing else on at the time: the whole idle draw falls on the delivery.
    Source: energy balance.

    >>> storage_needed_wh(900, 2, 0.9, 15)
    1030.0
    """
    return outlet_wh / inverter_efficiency + idle_w * hours


def outlet_from_storage_wh(usable_wh: float, charger_w: float, inverter_efficiency: float, idle_w: float) -> float:
    """What usable storage gives at the outlet, the same backwards [Wh].

    Args:
        usable_wh: Usable storage [Wh].
        charger_w: Draw at the outlet [W].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].

    Holds for: nothing else on at the time.
    Source: energy balance.

    >>> outlet_from_storage_wh(2520, 1500, 0.8, 15)
    2000.0
    """
    return usable_wh / (1 / inverter_efficiency + idle_w / charger_w)


def packs_needed(
    needed_wh: float, storage_wh: float, pack_wh: float, packs_max: int, usable_per_wh: float
) -> int | str:
    """The fewest packs whose usable storage does, or the words that none do [packs].

    Args:
        needed_wh: Needed out of storage [Wh].
        storage_wh: Nameplate without packs [Wh].
        pack_wh: Nameplate of a pack [Wh].
        packs_max: The most packs it takes [packs].
        usable_per_wh: Usable storage per nameplate [-].

    Holds for: packs as good as the unit itself.
    Source: arithmetic; what is missing by less than a millionth of a watt-hour is not missing.

    >>> packs_needed(2500, 1000, 1000, 2, 0.9), packs_needed(2700, 1000, 1000, 2, 0.9)
    (2, 2)
    >>> packs_needed(2701, 1000, 1000, 2, 0.9)
    'out of reach'
    """
    for n in range(packs_max + 1):
        if round((storage_wh + n * pack_wh) * usable_per_wh - needed_wh, DUST) >= 0:
            return n
    return OUT_OF_REACH


def vehicle_plan(vehicle: Vehicle, running_margin: float) -> VehiclePlan:
    """What the drive asks for; `running_margin` is the allowance on the charger's draw [-]."""
    km = distance_km(vehicle.distance, vehicle.distance_unit)
    per_km = consumption_wh_per_km(vehicle.consumption, vehicle.consumption_unit)
    at_outlet = outlet_wh_per_km(per_km, vehicle.consumption_at, vehicle.charger_efficiency)
    draw_w = charger_w(vehicle.charger_v, vehicle.charger_a)
    needed_wh = km * (1 + vehicle.distance_margin) * at_outlet
    return VehiclePlan(
        distance_unit=vehicle.distance_unit,
        distance_km=km,
        consumption_wh_per_km=per_km,
        outlet_wh_per_km=at_outlet,
        charger_v=vehicle.charger_v,
        charger_w=draw_w,
        needed_outlet_wh=needed_wh,
        charging_h=needed_wh / draw_w,
        draw_needed_w=draw_w * (1 + running_margin),
    )


def vehicle_fit(
    plan: VehiclePlan,
    *,
    storage_wh: float,
    pack_wh: float,
    packs_max: int,
    usable_per_wh: float,
    inverter_efficiency: float,
    idle_w: float,
    continuous_w: float,
    ac_volts: Sequence[float | None],
    packs_limit: int | None = None,
    listed: bool = True,
) -> VehicleFit:
    """What a candidate does for the drive, with none up to the most packs.

    Args:
        plan: What the drive asks for.
        storage_wh: Nameplate without packs [Wh].
        pack_wh: Nameplate of a pack [Wh].
        packs_max: The most packs it takes [packs].
        usable_per_wh: Usable storage per nameplate, reserve, temperature and age counted in [-].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].
        continuous_w: Continuous output [W].
        ac_volts: The voltages it makes, None where it has no second one [V].
        packs_limit: The most packs it may get here, None where that is the most it takes [packs].
        listed: False: a spare column, of which nothing is judged.

    Holds for: full storage given to the vehicle and nothing else.
    Source: energy balance.
    """
    needed_wh = storage_needed_wh(plan.needed_outlet_wh, plan.charging_h, inverter_efficiency, idle_w)
    plates = [storage_wh + n * pack_wh for n in range(min(packs_max, PACKS_SHOWN) + 1)]
    outlets = [outlet_from_storage_wh(p * usable_per_wh, plan.charger_w, inverter_efficiency, idle_w) for p in plates]
    ranges = [outlet_wh / plan.outlet_wh_per_km for outlet_wh in outlets]
    promised = [plate_wh / plan.consumption_wh_per_km for plate_wh in plates]
    packs = packs_needed(needed_wh, storage_wh, pack_wh, packs_max, usable_per_wh)
    limit = packs_max if packs_limit is None else packs_limit
    margin_w = continuous_w - plan.draw_needed_w
    told: Verdict | None = "" if not listed else "not planned" if plan.distance_km <= 0 else None
    return VehicleFit(
        storage_needed_wh=needed_wh,
        charging_h=plan.charging_h,
        range_km=_seven(ranges),
        range_own=_seven([_own(km, plan.distance_unit) for km in ranges]),
        nameplate_km=_seven(promised),
        nameplate_own=_seven([_own(km, plan.distance_unit) for km in promised]),
        packs_needed=packs,
        draw_needed_w=plan.draw_needed_w,
        draw_margin_w=margin_w,
        holds=_verdict(margin_w, also=plan.charger_v in ac_volts) if told is None else told,
        reaches=("OK" if isinstance(packs, int) and packs <= limit else "SHORT") if told is None else told,
    )


def arrival(
    plan: VehiclePlan, *, nameplate_wh: float, usable_wh: float, inverter_efficiency: float, idle_w: float
) -> Arrival:
    """How far the vehicle comes on the storage that is there.

    Args:
        plan: What the drive asks for.
        nameplate_wh: Nameplate with its packs [Wh].
        usable_wh: Usable storage with its packs [Wh].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].

    Holds for: full storage given to the vehicle and nothing else.
    Source: energy balance.
    """
    arrives = outlet_from_storage_wh(usable_wh, plan.charger_w, inverter_efficiency, idle_w) / plan.outlet_wh_per_km
    promised = nameplate_wh / plan.consumption_wh_per_km
    return Arrival(
        range_km=arrives,
        range_own=_own(arrives, plan.distance_unit),
        nameplate_km=promised,
        nameplate_own=_own(promised, plan.distance_unit),
        lost_share=1 - arrives / promised if promised else 0.0,
    )


def delivery_plan(delivery: Delivery, running_margin: float) -> DeliveryPlan:
    """What a delivery asks for; blank times count as once, other blanks as nothing."""
    energy_wh, power_w = delivery.energy_wh or 0.0, delivery.power_w or 0.0
    times = 1 if delivery.times is None else delivery.times
    return DeliveryPlan(
        name=delivery.name,
        energy_wh=energy_wh,
        power_w=power_w,
        times=times,
        total_wh=energy_wh * times,
        hours=energy_wh * times / power_w if power_w else 0.0,
        draw_needed_w=power_w * (1 + running_margin),
    )


def delivery_fit(
    plan: DeliveryPlan,
    *,
    usable_wh: float,
    inverter_efficiency: float,
    idle_w: float,
    continuous_w: float,
    listed: bool = True,
) -> DeliveryFit:
    """What a candidate does for a delivery out of its usable storage.

    Args:
        plan: What the delivery asks for.
        usable_wh: Usable storage, with the packs chosen [Wh].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].
        continuous_w: Continuous output [W].
        listed: False: a spare column or a spare delivery, of which nothing is judged.

    Holds for: nothing else on at the time.
    Source: energy balance.
    """
    once_h = plan.energy_wh / plan.power_w if plan.power_w else 0.0
    once_wh = storage_needed_wh(plan.energy_wh, once_h, inverter_efficiency, idle_w)
    return DeliveryFit(
        once_wh=once_wh,
        storage_needed_wh=storage_needed_wh(plan.total_wh, plan.hours, inverter_efficiency, idle_w),
        times_possible=math.floor(round(usable_wh / once_wh, 9)) if once_wh > 0 else 0,
        holds=_verdict(continuous_w - plan.draw_needed_w) if listed else "",
    )


def _own(km: float, unit: DistanceUnit) -> float:
    return km / KM_PER_MILE if unit == "mi" else km


def _seven(numbers: Sequence[float]) -> tuple[float | str, ...]:
    return (*numbers, *[""] * (PACKS_SHOWN + 1 - len(numbers)))


def _verdict(margin_w: float, *, also: bool = True) -> Verdict:
    return "OK" if round(margin_w, DUST) >= 0 and also else "SHORT"
