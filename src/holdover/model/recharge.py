"""Filling up again: what the sun brings each month, and how long sun, mains or a generator take.

It does not follow the state of charge hour by hour; that is `outage.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Array
from holdover.case.schema import Recharge as Means
from holdover.model.dust import DUST
from holdover.model.strings import Strings, module_hours
from holdover.model.sun import SunMonth

NEVER: Final = "never"
"""Stands for the days of a refill that is never full [-]."""
TOO_COLD: Final = "too cold to charge"
"""Stands for every refill of cells that are not to be charged at their temperature [-]."""
NO_AC: Final = "no AC charging"
"""Stands for the hours of a refill from a socket the candidate does not have [-]."""
NO_GENERATOR: Final = "no generator"
"""Stands for the hours of a refill from a generator that is not there, or finds no socket [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recharge:
    """What refills one candidate; tuples hold 12 months or 24 hours."""

    monthly_wh: tuple[float, ...]
    share_of_need: tuple[float, ...]
    design_w: tuple[float, ...]
    outage_w: tuple[float, ...]
    refill_days_on: float | str
    refill_days_off: float | str
    mains_h: float | str
    generator_w_used: float
    generator_h: float | str
    generator_fuel_l: float
    generator_cost: float


def array_w(module_w: float, modules_used: int, limit_w: float) -> float:
    """Output of the array in an hour, cut at the limit of the inputs [W].

    Args:
        module_w: Output of one module [W].
        modules_used: Modules that found a place [-].
        limit_w: Limit of all inputs used [W].

    Holds for: hourly means; a cut within the hour is not seen.
    Source: common practice.

    >>> array_w(250.0, 4, 800.0)
    800.0
    """
    return min(modules_used * module_w, limit_w)


def refill_days(room_wh: float, harvest_wh: float, draw_wh: float, charge_efficiency: float) -> float | str:
    """Days until the sun has filled the room, or the word for never [days].

    Args:
        room_wh: Full storage less the reserve [Wh].
        harvest_wh: Harvest of a day [Wh].
        draw_wh: What the loads take out of storage in a day, 0 when they are off [Wh].
        charge_efficiency: Stored per solar energy in [-].

    Holds for: mean days one like the other; the night's discharge is not followed.
    Source: energy balance.

    >>> refill_days(1900.0, 3000.0, 1000.0, 0.95)
    1.0
    """
    spare_wh = harvest_wh - draw_wh
    return NEVER if round(spare_wh, DUST) <= 0 else room_wh / (spare_wh * charge_efficiency)


def charging_h(room_wh: float, source_w: float, ac_charge_efficiency: float) -> float:
    """Hours until a socket has filled the room [h].

    Args:
        room_wh: Full storage less the reserve [Wh].
        source_w: Charging power at the outlet, above 0 [W].
        ac_charge_efficiency: Stored per energy at the outlet [-].

    Holds for: charging at full power to the end; the last tenth takes longer in life.
    Source: energy balance.

    >>> charging_h(1800.0, 1000.0, 0.9)
    2.0
    """
    return room_wh / (source_w * ac_charge_efficiency)


def fuel_l(hours_h: float, source_w: float, fuel_l_per_kwh: float) -> float:
    """Fuel a generator burns [l].

    Args:
        hours_h: Time it runs [h].
        source_w: What is drawn from it [W].
        fuel_l_per_kwh: Fuel per energy at the outlet [l/kWh].

    Holds for: the load at which the fuel per kWh was stated; a lightly loaded set burns more per kWh.
    Source: definition.

    >>> fuel_l(2.0, 1000.0, 0.54)
    1.08
    """
    return hours_h * source_w / 1000 * fuel_l_per_kwh


def recharge(
    *,
    full_wh: float,
    reserve_wh: float,
    day_draw_wh: float,
    charge_efficiency: float,
    ac_charge_w: float | None,
    ac_charge_efficiency: float,
    means: Means,
    array: Array,
    strings: Strings,
    months: Sequence[SunMonth],
    design_month: int,
    outage_month: int,
    may_charge: bool = True,
) -> Recharge:
    """What the sun brings one candidate each month, and how it is filled again [-].

    Args:
        full_wh: Full storage with its packs [Wh].
        reserve_wh: The part never planned on [Wh].
        day_draw_wh: What the loads take out of storage in a day [Wh].
        charge_efficiency: Stored per solar energy in [-].
        ac_charge_w: Charging power at the outlet; blank or 0 = none [W].
        ac_charge_efficiency: Stored per energy at the outlet [-].
        means: Generator and fuel [-].
        array: The module [-].
        strings: The candidate's best layout [-].
        months: Sun in the plane of the array, January first [-].
        design_month: Month the refill is told for, 1..12 [-].
        outage_month: Month of the outage, 1..12 [-].
        may_charge: Whether the cells are warm enough to be charged [-].

    Holds for: mean days of the month.
    Source: energy balance.

    >>> from holdover.case.schema import Candidate, Month, Sun
    >>> from holdover.model.strings import strings
    >>> from holdover.model.sun import sun_months
    >>> months = sun_months(Sun(), [Month()] * 12, Array())
    >>> dark = strings(Candidate(), Array(), [0.0] * 24, coldest_c=-20, hottest_c=40)
    >>> recharge(
    ...     full_wh=2000, reserve_wh=200, day_draw_wh=900, charge_efficiency=0.95, ac_charge_w=1000,
    ...     ac_charge_efficiency=0.9, means=Means(), array=Array(), strings=dark, months=months,
    ...     design_month=12, outage_month=1,
    ... ).mains_h
    2.0
    """

    def unless_cold(told: float | str) -> float | str:
        return told if may_charge else TOO_COLD

    hours = tuple(
        tuple(array_w(one, strings.modules_used, strings.limit_w) for one in module_hours(month, array))
        for month in months
    )
    monthly_wh = tuple(sum(day) for day in hours)
    harvest_wh = monthly_wh[design_month - 1]
    room_wh = full_wh - reserve_wh
    mains_w = ac_charge_w or 0.0
    generator_w = min(means.generator_w, mains_w)
    generator_h = charging_h(room_wh, generator_w, ac_charge_efficiency) if generator_w and may_charge else 0.0
    fuel = fuel_l(generator_h, generator_w, means.fuel_l_per_kwh)
    return Recharge(
        monthly_wh=monthly_wh,
        share_of_need=tuple(wh / day_draw_wh if day_draw_wh else 0.0 for wh in monthly_wh),
        design_w=hours[design_month - 1],
        outage_w=hours[outage_month - 1],
        refill_days_on=unless_cold(refill_days(room_wh, harvest_wh, day_draw_wh, charge_efficiency)),
        refill_days_off=unless_cold(NEVER if not harvest_wh else room_wh / (harvest_wh * charge_efficiency)),
        mains_h=unless_cold(charging_h(room_wh, mains_w, ac_charge_efficiency) if mains_w else NO_AC),
        generator_w_used=generator_w,
        generator_h=unless_cold(generator_h if generator_w else NO_AC if means.generator_w else NO_GENERATOR),
        generator_fuel_l=fuel,
        generator_cost=fuel * means.fuel_price,
    )
