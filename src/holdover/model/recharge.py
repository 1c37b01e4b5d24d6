"""Filling up again: what the sun brings each month, and how long sun, mains or a generator take.

It does not follow the state of charge hour by hour; that is in `outage/`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Recharge as Means
from holdover.model.dust import DUST
from holdover.model.strings import Strings

NEVER: Final = "never"
"""Stands for the days of a refill that is never full [-]."""
TOO_COLD: Final = "too cold to charge"
"""Stands for every refill of cells that are not to be charged at their temperature [-]."""
NO_AC: Final = "no AC charging"
"""Stands for the hours of a refill from a socket the candidate does not have [-]."""
AC_UNSTATED: Final = "not stated"
"""Stands for the hours of a refill through a charger of which the data sheet says nothing [-]."""
NO_PRICE: Final = "not stated"
"""Stands for what fuel costs where no price of it is stated [-]."""
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
    generator_fuel_l: float | str
    generator_cost: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """What is to be filled, and how it takes energy. `ac_charge_w` 0: it has no AC charging; blank: not stated.

    `outlet_w` is what an outlet gives for hours [W].
    """

    full_wh: float
    reserve_wh: float
    day_draw_wh: float
    charge_efficiency: float
    may_charge: int
    ac_charge_w: float | None
    ac_charge_efficiency: float
    outlet_w: float


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


def array_hours(strings: Strings, module_w: Sequence[Sequence[float]]) -> tuple[tuple[float, ...], ...]:
    """Output of the array by month and clock hour [W].

    Args:
        strings: The candidate's best layout [-].
        module_w: Output of one module by month and clock hour [W].

    Holds for: mean days of the month.
    Source: definition.
    """
    return tuple(tuple(array_w(one, strings.modules_used, strings.limit_w) for one in month) for month in module_w)


def recharge(
    cells: Cells, means: Means, array_hours: Sequence[Sequence[float]], design_month: int, outage_month: int
) -> Recharge:
    """What the sun brings one candidate each month, and how it is filled again [-].

    Args:
        cells: What is to be filled.
        means: Generator and fuel [-].
        array_hours: Output of the array, 12 months of 24 clock hours [W].
        design_month: Month the refill is told for, 1..12 [-].
        outage_month: Month of the outage, 1..12 [-].

    Holds for: mean days of the month.
    Source: energy balance.

    >>> cells = Cells(
    ...     full_wh=2000, reserve_wh=200, day_draw_wh=900, charge_efficiency=0.95, may_charge=1, ac_charge_w=1000,
    ...     ac_charge_efficiency=0.9, outlet_w=1440,
    ... )
    >>> recharge(cells, Means(), [[0.0] * 24] * 12, 12, 1).mains_h
    2.0
    """

    def unless_cold(told: float | str) -> float | str:
        return told if cells.may_charge else TOO_COLD

    monthly_wh = tuple(sum(day) for day in array_hours)
    harvest_wh, need_wh = monthly_wh[design_month - 1], cells.day_draw_wh
    room_wh, kept = cells.full_wh - cells.reserve_wh, cells.ac_charge_efficiency
    charger_w = cells.ac_charge_w or 0.0
    mains_w, generator_w = min(cells.outlet_w, charger_w), min(means.generator_w, charger_w)
    no_ac = AC_UNSTATED if cells.ac_charge_w is None else NO_AC
    no_generator = no_ac if means.generator_w else NO_GENERATOR
    generator_h = unless_cold(charging_h(room_wh, generator_w, kept) if generator_w else no_generator)
    fuel, cost = _fuel(generator_h, generator_w, means)
    return Recharge(
        monthly_wh=monthly_wh,
        share_of_need=tuple(wh / need_wh if need_wh else 0.0 for wh in monthly_wh),
        design_w=tuple(array_hours[design_month - 1]),
        outage_w=tuple(array_hours[outage_month - 1]),
        refill_days_on=unless_cold(refill_days(room_wh, harvest_wh, need_wh, cells.charge_efficiency)),
        refill_days_off=unless_cold(NEVER if not harvest_wh else room_wh / (harvest_wh * cells.charge_efficiency)),
        mains_h=unless_cold(charging_h(room_wh, mains_w, kept) if mains_w else no_ac),
        generator_w_used=generator_w,
        generator_h=generator_h,
        generator_fuel_l=fuel,
        generator_cost=cost,
    )


def _fuel(generator_h: float | str, generator_w: float, means: Means) -> tuple[float | str, float | str]:
    """Fuel of a refill [l], and what it costs [money]; what is not known is no 0."""
    if isinstance(generator_h, str):
        return generator_h, generator_h
    fuel = fuel_l(generator_h, generator_w, means.fuel_l_per_kwh)
    return fuel, fuel * means.fuel_price if means.fuel_price > 0 else NO_PRICE
