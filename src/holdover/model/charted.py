"""What the solar sheets show beside each candidate's own numbers: the year, the design day, and every layout's place.

The sun's hours stand here by clock hour with a value a month, the way they are read down a page.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Case, Month, Resource
from holdover.model.demand import Hour
from holdover.model.dust import TRACE
from holdover.model.outage import demand_wh
from holdover.model.recharge import Recharge
from holdover.model.storage import Storage
from holdover.model.strings import Layout, Strings, ranking
from holdover.model.sun import CLEARNESS_HIGH, CLEARNESS_LOW, SunMonth, hour_angle_deg, hour_kwh

MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
"""Months as the sheets call them [-]; common practice."""
STATED: Final[dict[Resource, str]] = {
    "peak sun hours": "Peak sun hours count as stated; latitude, tilt and facing only shape the day.",
    "clearness index": "Clearness index times the sun outside the air, turned into the plane of the array.",
    "global irradiation": "Global irradiation on the flat, turned into the plane of the array.",
}
"""What is done with each way of stating the sun [-]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YearMonth:
    """One month: what was typed, what came of it, and what it brings the candidate shown."""

    given: Month
    sun: SunMonth
    name: str
    held_clearness: float
    harvest_wh: float
    need_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SunHour:
    """One clock hour; tuples hold 12 months."""

    hour: int
    hour_angle_deg: float
    cos_zenith: tuple[float, ...]
    cos_incidence: tuple[float, ...]
    shape_global: tuple[float, ...]
    shape_diffuse: tuple[float, ...]
    global_kwh: tuple[float, ...]
    diffuse_kwh: tuple[float, ...]
    tilted_raw: tuple[float, ...]
    tilted_kw: tuple[float, ...]
    module_w: tuple[float, ...]
    design_module_w: float
    outage_module_w: float
    harvest_w: float
    draw_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutLine:
    """A layout and its place among those allowed; "" where it is not."""

    name: str
    number: int
    layout: Layout
    rank: int | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Solar:
    """The sun in short, for the pick; for the first candidate where none fits."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Charted:
    """All of it."""

    solar: Solar
    year: tuple[YearMonth, ...]
    hours: tuple[SunHour, ...]
    layouts: tuple[tuple[LayoutLine, ...], ...]


def layout_lines(strings: Strings, name: str) -> tuple[LayoutLine, ...]:
    """Every layout with its place among those allowed [-].

    Args:
        strings: The layouts of a candidate [-].
        name: The candidate [-].

    Holds for: harvests told apart at a millionth of a watt-hour.
    Source: definition.

    >>> from holdover.case.schema import Array, Candidate
    >>> from holdover.model.strings import strings
    >>> unit = Candidate(pv_inputs=1, pv_max_v=60, pv_max_a=15)
    >>> array = Array(modules=2, power_w=400, voc_v=37, vmp_v=31, isc_a=13.9, imp_a=12.9, voc_tempco=-0.0028)
    >>> found = strings(unit, array, [200.0] * 24, coldest_c=-20, hottest_c=40)
    >>> [line.number for line in layout_lines(found, "A") if line.rank == 1] == [found.best]
    True
    """
    places = {number: place for place, number in enumerate(ranking(strings.layouts), start=1)}
    return tuple(
        LayoutLine(name=name, number=number, layout=layout, rank=places.get(number, ""))
        for number, layout in enumerate(strings.layouts, start=1)
    )


def charted(
    case: Case,
    hours: Sequence[Hour],
    months: Sequence[SunMonth],
    module_w: Sequence[Sequence[float]],
    layouts: tuple[tuple[LayoutLine, ...], ...],
    *,
    column: int,
    name: str,
    words: str,
    refill: Recharge,
    storage: Storage,
) -> Charted:
    """What the solar sheets show beside each candidate's own numbers [-].

    Args:
        case: The case [-].
        hours: Demand by clock hour [-].
        months: Sun in the plane of the array, January first [-].
        module_w: Output of one module by month and hour [W].
        layouts: Layouts by candidate [-].
        column: Number of the candidate shown, from 1 [-].
        name: Its name [-].
        words: Its best layout in words [-].
        refill: What refills it [-].
        storage: What goes out of its storage [-].

    Holds for: mean days.
    Source: definition.

    >>> MONTH_NAMES[11], STATED["global irradiation"][:18]
    ('Dec', 'Global irradiation')
    """
    design = case.sun.month - 1
    need_wh, harvest_wh = storage.day_draw_wh, refill.monthly_wh[design]
    counted = {"peak sun hours": "peak_sun_hours", "clearness index": "clearness", "global irradiation": "global_kwh"}
    solar = Solar(
        column=column,
        name=name or "none",
        words=words,
        stated=STATED[case.sun.resource],
        blank_months=sum(getattr(month, counted[case.sun.resource]) is None for month in case.months),
        design_month=MONTH_NAMES[design],
        sun_hours=months[design].peak_sun_hours,
        harvest_wh=harvest_wh,
        need_wh=need_wh,
        covered_share=harvest_wh / need_wh if need_wh else 0.0,
    )
    year = tuple(
        YearMonth(
            given=given,
            sun=sun,
            name=month,
            held_clearness=max(CLEARNESS_LOW, min(CLEARNESS_HIGH, sun.clearness)),
            harvest_wh=brought,
            need_wh=need_wh,
        )
        for given, sun, month, brought in zip(case.months, months, MONTH_NAMES, refill.monthly_wh, strict=True)
    )
    by_hour = tuple(_sun_hour(case, hour, months, module_w, refill, storage) for hour in hours)
    return Charted(solar=solar, year=year, hours=by_hour, layouts=layouts)


def _sun_hour(
    case: Case,
    hour: Hour,
    months: Sequence[SunMonth],
    module_w: Sequence[Sequence[float]],
    refill: Recharge,
    storage: Storage,
) -> SunHour:
    h = hour.hour
    inverter_on = int(case.sizing.inverter == "always on" or hour.ac_wh > TRACE)
    return SunHour(
        hour=h,
        hour_angle_deg=hour_angle_deg(h, case.sun.solar_noon_at),
        cos_zenith=tuple(m.cos_zenith[h] for m in months),
        cos_incidence=tuple(m.cos_incidence[h] for m in months),
        shape_global=tuple(m.shape_global[h] for m in months),
        shape_diffuse=tuple(m.shape_diffuse[h] for m in months),
        global_kwh=tuple(hour_kwh(m.global_kwh, m.shape_global[h], m.shape_global_sum) for m in months),
        diffuse_kwh=tuple(hour_kwh(m.diffuse_kwh, m.shape_diffuse[h], m.shape_diffuse_sum) for m in months),
        tilted_raw=tuple(m.tilted_raw[h] for m in months),
        tilted_kw=tuple(m.tilted_kw[h] for m in months),
        module_w=tuple(month[h] for month in module_w),
        design_module_w=module_w[case.sun.month - 1][h],
        outage_module_w=module_w[case.outage.month - 1][h],
        harvest_w=refill.design_w[h],
        draw_wh=demand_wh(
            hour.ac_wh,
            hour.dc_wh,
            inverter_on,
            storage.inverter_efficiency,
            storage.idle_w,
            storage.dc_efficiency,
        ),
    )
