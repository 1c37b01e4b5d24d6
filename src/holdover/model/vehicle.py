"""A vehicle that must reach the next charger: energy, hours, range and packs.

It takes usable storage as a share of the nameplate: where that share comes from is told in `storage.py`. What the loads
need of the same storage is told beside it, as the sum of both.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from holdover.case.measure import Units
from holdover.case.schema import ConsumptionAt, ConsumptionUnit, DistanceUnit, Vehicle
from holdover.model.dust import DUST, holds
from holdover.model.spoken import cut, spoken, thousands

KM_PER_MILE: Final = 1.609344
"""Length of a mile [km], source: definition of the international mile, exact."""

USUAL_WH_PER_KM: Final = 180.0
"""Of a vehicle whose consumption is not stated [Wh/km], source: common practice, a mid-size car on a main road."""
USUAL_CONSUMPTION: Final[dict[DistanceUnit, str]] = {"mi": "29 kWh/100 mi", "km": "18 kWh/100 km"}
"""How that is told, by the unit of the distance [-]."""

PACKS_SHOWN: Final = 6
"""Ranges are shown for none up to this many packs [packs], source: the width of the table."""


OUT_OF_REACH: Final = "out of reach"
"""Said where the most packs do not do [text], source: definition."""

NEVER: Final = "never"
"""Said of a need that no storage holds [text], source: definition."""

Verdict = Literal["OK", "UNDER", "not planned", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class VehiclePlan:
    """What the drive asks for, whichever candidate is taken."""

    distance: float
    distance_unit: DistanceUnit
    distance_km: float
    wanted: float
    consumption_wh_per_km: float
    outlet_wh_per_km: float
    charger_v: float
    charger_w: float
    needed_outlet_wh: float
    charging_h: float

    @property
    def road(self) -> str:
        """What distances are told in, in a sentence [text]."""
        return "miles" if self.distance_unit == "mi" else "km"


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleFit:
    """What a candidate does for the drive. Ranges are for 0 to 6 packs, "" beyond the most it takes.

    `packs_needed` and `reaches` are for the drive alone, their twins `_with_loads` for loads and drive from the same
    storage; `holds` and `draw_margin_w` are for the charger's draw while nothing else is on. `range_km` is what arrives in the vehicle, `nameplate_km` what the nameplate alone would promise; each stands
    beside its twin in the unit of the distance. Ranges hold no margin: the margin is on the distance.
    """

    storage_needed_wh: float
    charging_h: float
    range_km: tuple[float | str, ...]
    range_own: tuple[float | str, ...]
    nameplate_km: tuple[float | str, ...]
    nameplate_own: tuple[float | str, ...]
    packs_needed: int | str
    draw_margin_w: float
    holds: Verdict
    reaches: Verdict
    loads_wh: float | str
    needed_with_loads_wh: float | str
    packs_with_loads: int | str
    reaches_with_loads: Verdict

    @property
    def range_told(self) -> tuple[float | str, ...]:
        """The ranges as sentences tell them, cut to a tenth [km or mi]."""
        return tuple(each if isinstance(each, str) else float(cut(each)) for each in self.range_own)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """How far the vehicle comes with the packs the candidate gets, and how far the nameplate alone would promise.

    `left_own` is how far it comes on what is left when the loads have theirs first; `brief` says the range, `told`
    that of the distance, `words` is the answer in a line. All are "" where no vehicle is planned.
    """

    range_km: float
    range_own: float
    nameplate_km: float
    nameplate_own: float
    lost_share: float
    left_own: float
    brief: str
    told: str
    words: str

    @property
    def range_told(self) -> float:
        """The range as sentences tell it, cut to a tenth [km or mi]."""
        return float(cut(self.range_own))

    @property
    def left_told(self) -> float:
        """What is left of it behind the loads, cut to a tenth [km or mi]."""
        return float(cut(self.left_own))


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
        if holds((storage_wh + n * pack_wh) * usable_per_wh, needed_wh):
            return n
    return OUT_OF_REACH


def needed_with_loads_wh(drive_wh: float, loads_wh: float | str) -> float | str:
    """What loads and drive need of the same storage: the sum, or the word for never [Wh].

    Args:
        drive_wh: What the drive takes out of storage [Wh].
        loads_wh: What the loads need out of usable storage, or the word for never [Wh].

    Holds for: a drive at any time: no recharging is counted on to make up for it, and the inverter's idle draw counts for
        both. On the safe side.
    Source: energy balance.

    >>> needed_with_loads_wh(2500.0, 1200.0), needed_with_loads_wh(2500.0, "never")
    (3700.0, 'never')
    """
    return NEVER if isinstance(loads_wh, str) else loads_wh + drive_wh


def in_words(plan: VehiclePlan, range_own: float, left_own: float, *, loaded: bool) -> str:
    """The range as a client says it, in the unit of the distance [text]; "" where no vehicle is planned.

    Args:
        plan: What the drive asks for.
        range_own: How far the vehicle comes [km or mi].
        left_own: How far it comes when the loads have theirs first [km or mi].
        loaded: Whether there are loads to have theirs.

    Holds for: any range; it is cut to a tenth, not rounded, so that nobody is told of ground that is not reached.
    Source: common practice.

    >>> in_words(vehicle_plan(Vehicle(distance=17, distance_unit="mi")), 3.97, 0.0, loaded=False)
    '3.9 of 17 miles'
    """
    if plan.distance <= 0:
        return ""
    told = range_words(plan, range_own)
    return f"{told}; {cut(left_own)} with the loads served first" if loaded else told


def takes_words(plan: VehiclePlan) -> str:
    """What the distance takes, before any candidate is known [text].

    Args:
        plan: What the drive asks for.

    Holds for: a drive that is planned; what a candidate loses on the way to its outlet comes on top.
    Source: common practice.

    >>> takes_words(vehicle_plan(Vehicle(distance=17, distance_unit="mi", consumption=30, consumption_unit="kWh/100 mi")))
    '17 miles take 7,286 Wh at the charger with the margin, loads apart; 1 kWh there brings 2.8 miles'
    """
    brings = cut(1000 / plan.outlet_wh_per_km * plan.distance / plan.distance_km)
    takes = thousands(plan.needed_outlet_wh)
    return (
        f"{spoken(plan.distance, 1)} {plan.road} take {takes} Wh at the charger with the margin, loads apart; "
        f"1 kWh there brings {brings} {plan.road}"
    )


def range_words(plan: VehiclePlan, range_own: float) -> str:
    """The range of the distance, in its unit [text].

    Args:
        plan: What the drive asks for.
        range_own: How far the vehicle comes [km or mi].

    Holds for: a drive that is planned; see `in_words`.
    Source: common practice.

    >>> range_words(vehicle_plan(Vehicle(distance=50)), 52.0)
    '52 km, where 50 are planned (60 with the margin)'
    """
    comes, goes = cut(range_own), spoken(plan.distance, 1)
    if round(range_own - plan.distance, DUST) < 0:
        return f"{comes} of {goes} {plan.road}"
    told = f"{comes} {plan.road}, where {goes} are planned"
    # Where the vehicle arrives on paper, with nothing to spare, the distance with its margin stands beside it.
    return f"{told} ({spoken(plan.wanted, 1)} with the margin)" if round(range_own - plan.wanted, DUST) < 0 else told


def vehicle_plan(vehicle: Vehicle, units: Units = "metric") -> VehiclePlan:
    """What the drive asks for; `units` are those of a distance that does not say its own.

    A charger's current is what its circuit gives for hours, 80 % of the breaker (SAE J1772 level 1: 12 A of 15 A, by
    transcription): the allowance of 125 % is in it already, and is not asked of the candidate again.
    """
    own = vehicle.distance_unit or ("mi" if units == "US" else "km")
    km = distance_km(vehicle.distance, own)
    stated = vehicle.consumption
    per_km = USUAL_WH_PER_KM if stated is None else consumption_wh_per_km(stated, vehicle.consumption_unit)
    at_outlet = outlet_wh_per_km(per_km, vehicle.consumption_at, vehicle.charger_efficiency)
    draw_w = charger_w(vehicle.charger_v, vehicle.charger_a)
    needed_wh = km * (1 + vehicle.distance_margin) * at_outlet
    return VehiclePlan(
        distance=vehicle.distance,
        distance_unit=own,
        distance_km=km,
        wanted=vehicle.distance * (1 + vehicle.distance_margin),
        consumption_wh_per_km=per_km,
        outlet_wh_per_km=at_outlet,
        charger_v=vehicle.charger_v,
        charger_w=draw_w,
        needed_outlet_wh=needed_wh,
        charging_h=needed_wh / draw_w,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Storage that can be had. `packs_limit` is the most packs it may get here, None where that is the most it takes.

    `usable_per_wh` is usable storage per nameplate, reserve, temperature and age counted in.
    """

    storage_wh: float
    pack_wh: float
    packs_max: int
    usable_per_wh: float
    packs_limit: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inverter:
    """What stands behind the outlet. Of two voltages the second is None where there is only one."""

    inverter_efficiency: float
    idle_w: float
    continuous_w: float
    ac_volts: tuple[float | None, ...]


def vehicle_fit(
    plan: VehiclePlan, stock: Stock, inverter: Inverter, *, loads_wh: float | str = 0.0, listed: bool = True
) -> VehicleFit:
    """What a candidate does for the drive, with none up to the most packs.

    Args:
        plan: What the drive asks for.
        stock: Storage without and with packs.
        inverter: What stands behind the outlet.
        loads_wh: What the loads need out of the same usable storage, or the word for never [Wh].
        listed: False: a spare column, of which nothing is judged.

    Holds for: full storage given to the vehicle and nothing else.
    Source: energy balance.
    """
    efficiency, idle_w = inverter.inverter_efficiency, inverter.idle_w
    needed_wh = storage_needed_wh(plan.needed_outlet_wh, plan.charging_h, efficiency, idle_w)
    plates = [stock.storage_wh + n * stock.pack_wh for n in range(min(stock.packs_max, PACKS_SHOWN) + 1)]
    outlets = [outlet_from_storage_wh(p * stock.usable_per_wh, plan.charger_w, efficiency, idle_w) for p in plates]
    ranges = [outlet_wh / plan.outlet_wh_per_km for outlet_wh in outlets]
    promised = [plate_wh / plan.consumption_wh_per_km for plate_wh in plates]
    both_wh = needed_with_loads_wh(needed_wh, loads_wh)
    packs, for_both = _packs(needed_wh, stock), _packs(both_wh, stock)
    limit = stock.packs_max if stock.packs_limit is None else stock.packs_limit
    margin_w = inverter.continuous_w - plan.charger_w
    told: Verdict | None = "" if not listed else "not planned" if plan.distance_km <= 0 else None
    return VehicleFit(
        storage_needed_wh=needed_wh,
        charging_h=plan.charging_h,
        range_km=_seven(ranges),
        range_own=_seven([_own(km, plan.distance_unit) for km in ranges]),
        nameplate_km=_seven(promised),
        nameplate_own=_seven([_own(km, plan.distance_unit) for km in promised]),
        packs_needed=packs,
        draw_margin_w=margin_w,
        holds=verdict(margin_w, also=plan.charger_v in inverter.ac_volts) if told is None else told,
        reaches=_within(packs, limit) if told is None else told,
        loads_wh=loads_wh,
        needed_with_loads_wh=both_wh,
        packs_with_loads=for_both,
        reaches_with_loads=_within(for_both, limit) if told is None else told,
    )


def arrival(
    plan: VehiclePlan,
    *,
    nameplate_wh: float,
    usable_wh: float,
    inverter_efficiency: float,
    idle_w: float,
    loads_wh: float | str = 0.0,
) -> Arrival:
    """How far the vehicle comes on the storage that is there.

    Args:
        plan: What the drive asks for.
        nameplate_wh: Nameplate with its packs [Wh].
        usable_wh: Usable storage with its packs [Wh].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].
        loads_wh: What the loads need out of the same usable storage, or the word for never [Wh].

    Holds for: full storage given to the vehicle and nothing else; `left_own` on what the loads leave of it.
    Source: energy balance.
    """
    spare_wh = 0.0 if isinstance(loads_wh, str) else max(0.0, usable_wh - loads_wh)
    arrives, left = (
        outlet_from_storage_wh(wh, plan.charger_w, inverter_efficiency, idle_w) / plan.outlet_wh_per_km
        for wh in (usable_wh, spare_wh)
    )
    range_own, left_own = _own(arrives, plan.distance_unit), _own(left, plan.distance_unit)
    promised = nameplate_wh / plan.consumption_wh_per_km
    return Arrival(
        range_km=arrives,
        range_own=range_own,
        nameplate_km=promised,
        nameplate_own=_own(promised, plan.distance_unit),
        lost_share=1 - arrives / promised if promised else 0.0,
        left_own=left_own,
        brief=f"range {cut(range_own)} {plan.road}" if plan.distance > 0 else "",
        told=range_words(plan, range_own) if plan.distance > 0 else "",
        words=in_words(plan, range_own, left_own, loaded=isinstance(loads_wh, str) or loads_wh > 0),
    )


def _own(km: float, unit: DistanceUnit) -> float:
    return km / KM_PER_MILE if unit == "mi" else km


def _seven(numbers: Sequence[float]) -> tuple[float | str, ...]:
    return (*numbers, *[""] * (PACKS_SHOWN + 1 - len(numbers)))


def _packs(needed_wh: float | str, stock: Stock) -> int | str:
    if isinstance(needed_wh, str):
        return OUT_OF_REACH
    return packs_needed(needed_wh, stock.storage_wh, stock.pack_wh, stock.packs_max, stock.usable_per_wh)


def _within(packs: int | str, limit: int) -> Verdict:
    return "OK" if isinstance(packs, int) and packs <= limit else "UNDER"


def verdict(margin_w: float, *, also: bool = True) -> Verdict:
    """OK where the draw leaves a margin and what else is asked holds; a margin of dust is none."""
    return "OK" if round(margin_w, DUST) >= 0 and also else "UNDER"
