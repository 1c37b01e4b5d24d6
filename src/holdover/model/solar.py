"""The sun in short for the candidate that is shown, and the hours on the way from the flat to one module."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Case, Resource
from holdover.model.demand import Hour
from holdover.model.dust import TRACE
from holdover.model.loads import HOURS
from holdover.model.offer import Offer
from holdover.model.outage.tier_sets import demand_wh
from holdover.model.storage import Storage
from holdover.model.strings import Layout, ranking
from holdover.model.sun import CLEARNESS_HIGH, CLEARNESS_LOW, SunMonth, hour_angle_deg, hour_kwh

MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
"""Months as the sheets call them [-]; common practice."""
STATED: Final[dict[Resource, str]] = {
    "peak sun hours": "Peak sun hours count as stated; latitude, tilt and facing only shape the day.",
    "clearness index": "Clearness index times the sun outside the air, turned into the plane of the array.",
    "global irradiation": "Global irradiation on the flat, turned into the plane of the array.",
}
"""What is done with each way of stating the sun [-]; definition."""

ByHour = tuple[tuple[float, ...], ...]
"""12 months of 24 clock hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeanDays:
    """Between a month's number and the watts of one module: by clock hour, by month, or by month and clock hour."""

    hour_angle_deg: tuple[float, ...]
    held_clearness: tuple[float, ...]
    global_kwh: ByHour
    diffuse_kwh: ByHour
    module_w: ByHour
    design_module_w: tuple[float, ...]
    outage_module_w: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solar:
    """The sun in short, for the pick; for the nearest candidate where none fits. `draw_wh` holds 24 clock hours."""

    column: int
    name: str
    words: str
    stated: str
    blank_months: int
    design_month: str
    sun_hours: float
    harvest_wh: float
    need_wh: float
    covered_share: float
    draw_wh: tuple[float, ...]


def places_of(layouts: Sequence[Layout]) -> tuple[int | str, ...]:
    """Place of each layout among those allowed, "" where it is not [-].

    Args:
        layouts: The layouts of a candidate [-].

    Holds for: harvests told apart at a millionth of a watt-hour.
    Source: definition.

    >>> from holdover.case.schema import Array, Candidate
    >>> from holdover.model.strings import strings
    >>> one = Candidate(pv_inputs=1, pv_max_v=60, pv_max_a=15)
    >>> sheet = {"power_w": 400, "voc_v": 37, "vmp_v": 31, "isc_a": 13.9, "imp_a": 12.9, "voc_tempco": -0.0028}
    >>> found = strings(one, Array(modules=2, **sheet), [200.0] * 24, coldest_c=-20, hottest_c=40)
    >>> places_of(found.layouts).index(1) + 1 == found.best
    True
    """
    places = {number: place for place, number in enumerate(ranking(layouts), start=1)}
    return tuple(places.get(i + 1, "") for i in range(len(layouts)))


def mean_days(case: Case, months: Sequence[SunMonth], module_w: ByHour) -> MeanDays:
    """The mean days of the months on the way from their numbers to one module [-].

    Args:
        case: The case [-].
        months: Sun in the plane of the array, January first [-].
        module_w: Output of one module by month and hour [W].

    Holds for: mean days.
    Source: definition.
    """
    return MeanDays(
        hour_angle_deg=tuple(hour_angle_deg(h, case.sun.solar_noon_at) for h in HOURS),
        held_clearness=tuple(max(CLEARNESS_LOW, min(CLEARNESS_HIGH, month.clearness)) for month in months),
        global_kwh=tuple(
            tuple(hour_kwh(m.global_kwh, shape, m.shape_global_sum) for shape in m.shape_global) for m in months
        ),
        diffuse_kwh=tuple(
            tuple(hour_kwh(m.diffuse_kwh, shape, m.shape_diffuse_sum) for shape in m.shape_diffuse) for m in months
        ),
        module_w=module_w,
        design_module_w=module_w[case.sun.month - 1],
        outage_module_w=module_w[case.outage.month - 1],
    )


def solar_of(case: Case, hours: Sequence[Hour], months: Sequence[SunMonth], shown: Offer) -> Solar:
    """The sun in short [-].

    Args:
        case: The case [-].
        hours: Demand by clock hour [-].
        months: Sun in the plane of the array, January first [-].
        shown: The candidate shown [-].

    Holds for: mean days.
    Source: definition.

    >>> MONTH_NAMES[11], STATED["global irradiation"][:18]
    ('Dec', 'Global irradiation')
    """
    design, storage = case.sun.month - 1, shown.storage
    need_wh, harvest_wh = storage.day_draw_wh, shown.recharge.monthly_wh[design]
    counted = {"peak sun hours": "peak_sun_hours", "clearness index": "clearness", "global irradiation": "global_kwh"}
    return Solar(
        column=shown.number,
        name=shown.name or "none",
        words=shown.strings.words,
        stated=STATED[case.sun.resource],
        blank_months=sum(getattr(month, counted[case.sun.resource]) is None for month in case.months),
        design_month=MONTH_NAMES[design],
        sun_hours=months[design].peak_sun_hours,
        harvest_wh=harvest_wh,
        need_wh=need_wh,
        covered_share=harvest_wh / need_wh if need_wh else 0.0,
        draw_wh=tuple(_draw_wh(hour, storage, always_on=case.sizing.inverter == "always on") for hour in hours),
    )


def _draw_wh(hour: Hour, storage: Storage, *, always_on: bool) -> float:
    """What all loads of a clock hour take out of storage."""
    on = int(always_on or hour.ac_wh > TRACE)
    inverter, dc = storage.inverter_efficiency, storage.dc_efficiency
    return demand_wh(hour.ac_wh, hour.dc_wh, on, inverter, storage.idle_w, dc)
