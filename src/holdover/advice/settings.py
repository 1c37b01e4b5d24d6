"""What an adviser would remark on in the settings of a case, each beside the others. Pure over the case."""

from collections.abc import Iterator
from typing import Final

from holdover.case.measure import told
from holdover.case.schema import AC_VOLTS, LAYOUT_NEEDS, Case
from holdover.case.section import is_blank
from holdover.case.words import vocabulary
from holdover.findings import Finding, report, show
from holdover.model.sun import MEAN_DAYS, declination_deg, extraterrestrial_kwh, sunset_deg

HOT_C: Final = 45.0
"""Makers limit charging of lithium iron phosphate above this [°C]; common practice."""
LEAST_WH_PER_KM: Final = 60.0
"""Vehicles on a road take more than this [Wh/km]; common practice, half of what the thriftiest car takes."""
MOST_WH_PER_KM: Final = 600.0
"""Vehicles on a road take less than this [Wh/km]; common practice, above a loaded van with a trailer."""
NAMED: Final = 8
"""Candidates that are named one by one [count]."""
ROUNDED: Final = 0.05
"""Stated sun may be above what there is by so much [kWh/m²·day]: half the last digit of a table with one decimal."""
MONTHS: Final = tuple(vocabulary("units")["months"])

Remark = tuple[str, Finding]
"""A remark with the part of the case it belongs to."""


def remarks_on_settings(case: Case) -> Iterator[Remark]:
    """Remarks on what is no row of its own, and on parts without rows."""
    offered = [candidate for candidate in case.candidates if not is_blank(candidate)]
    if all(is_blank(load) for load in case.loads):
        yield "loads", report("A014")
    if not offered:
        yield "candidates", report("A015")
    shown = case.outage.candidate
    if shown and shown.lower() not in {candidate.name.lower() for candidate in offered}:
        yield "outage", report("A016", candidate=shown)
    yield from _promise(case)
    yield from _basis(case)
    yield from _shedding(case)
    yield from _temperature(case)
    yield from _charger(case)
    yield from _consumption(case)
    yield from _generator(case)
    yield from _away(case)
    if case.array.modules:
        yield from _solar(case)


def _promise(case: Case) -> Iterator[Remark]:
    """A promise of loads of which there are none."""
    promise = str(case.outage.promise)
    tiers = {load.tier or "essential" for load in case.loads if not is_blank(load)}
    if tiers and promise != "all loads" and not any(tier in promise for tier in tiers):
        yield "outage", report("A044", promise=promise)


def _shedding(case: Case) -> Iterator[Remark]:
    outage = case.outage
    convenience, essential = outage.drop_convenience_at, outage.drop_essential_at
    if convenience is not None and essential is not None and convenience < essential:
        yield "outage", report("A021", convenience=f"{100 * convenience:g}", essential=f"{100 * essential:g}")


def _basis(case: Case) -> Iterator[Remark]:
    """Days without recharging that once sized storage and do so no more, unless the case says so."""
    stated = case.sizing.model_fields_set
    if "autonomy_days" in stated and "basis" not in stated:
        yield "sizing", report("A034", days=case.sizing.autonomy_days)


def _temperature(case: Case) -> Iterator[Remark]:
    """Where storage stands colder or hotter than anything is known of it."""
    stands, units = case.sizing.storage_c, case.about.units
    here = told(stands, "°C", units)
    known = [point.temperature_c for point in case.points if point.temperature_c is not None]
    if known and stands < min(known):
        yield "sizing", report("A022.colder", stands=here, coldest=told(min(known), "°C", units))
    if stands > HOT_C:
        yield "sizing", report("A022.hot", stands=here, hot=told(HOT_C, "°C", units))
    elif known and stands > max(known):
        yield "sizing", report("A022.hotter", stands=here, hottest=told(max(known), "°C", units))


def _charger(case: Case) -> Iterator[Remark]:
    house = case.sizing.feed
    if case.vehicle.distance and "charger_v" not in case.vehicle.model_fields_set and house != "120 V":
        yield "vehicle", report("A023", charger_v=case.vehicle.charger_v, house=house, house_v=AC_VOLTS[house])


def _consumption(case: Case) -> Iterator[Remark]:
    """What the vehicle takes is not stated, or is no car's: a figure in the unit of another one."""
    vehicle = case.vehicle
    if not vehicle.distance:
        return
    from holdover.model.vehicle import USUAL_CONSUMPTION, vehicle_plan  # only where a drive is planned

    plan = vehicle_plan(vehicle, case.about.units)
    if vehicle.consumption is None:
        yield "vehicle", report("A039", usual=USUAL_CONSUMPTION[plan.distance_unit])
    elif not LEAST_WH_PER_KM <= plan.consumption_wh_per_km <= MOST_WH_PER_KM:
        stated = f"{vehicle.consumption:g} {vehicle.consumption_unit}"
        yield "vehicle", report("A040", stated=stated, wh_per_km=plan.consumption_wh_per_km)


def _generator(case: Case) -> Iterator[Remark]:
    """Of its output and its hours one is stated and the other is not."""
    if case.recharge.generator_w and "generator_hours" not in case.outage.model_fields_set:
        yield "outage", report("A031.hours")
    if case.outage.generator_hours and not case.recharge.generator_w:
        yield "recharge", report("A031.output")


def _away(case: Case) -> Iterator[Remark]:
    """Off the grid nothing recharges, or loads of a day away count as run at home, too."""
    if case.about.purpose not in ("day away", "off grid"):
        return
    if case.is_unfed:
        yield "about", report("A042")
    if case.about.purpose != "day away" or case.outage.mains_hours <= 0:
        return
    from holdover.model.loads import load_lines, untimed  # only for plans that are of this kind

    names = [show(line.given.name) for line in untimed(load_lines(case.loads, case.sizing))]
    if names:
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        yield "loads", report("A043", names=f"{', '.join(names[:NAMED])}{more}")


def _solar(case: Case) -> Iterator[Remark]:
    """What modules stand on: the inputs, the place, their data sheet, the months, where they face."""
    offered = [candidate for candidate in case.candidates if not is_blank(candidate)]
    clipped = [show(each.name) for each in offered if each.pv_inputs and each.pv_max_isc_a is None]
    if clipped:
        more = f" and {len(clipped) - NAMED} more" if len(clipped) > NAMED else ""
        yield "array", report("A032", names=f"{', '.join(clipped[:NAMED])}{more}")
    if "latitude_deg" not in case.sun.model_fields_set:
        yield "sun", report("A017")
    yield from _module(case)
    yield from _months(case)
    latitude, toward = case.sun.latitude_deg, case.array.azimuth_deg % 360
    aside = abs(toward - (180 if latitude > 0 else 0))
    if abs(latitude) > 10 and case.array.tilt_deg > 10 and min(aside, 360 - aside) > 90:
        yield "array", report("A019", azimuth_deg=toward)


def _module(case: Case) -> Iterator[Remark]:
    """What the check against over-voltage stands on is stated: a check on usual figures is none."""
    for part, names in LAYOUT_NEEDS.items():
        section = getattr(case, part)
        for name in names:
            if name not in section.model_fields_set:
                title = str(type(section).model_fields[name].title)
                title = title[0].lower() + title[1:]
                yield part, report("A020.array" if part == "array" else "A020.sun", title=title, name=name)


def _months(case: Case) -> Iterator[Remark]:
    """Months without sun, and those with more than there is."""
    resource = case.sun.resource
    column = {"global irradiation": "global_kwh", "clearness index": "clearness"}.get(resource, "peak_sun_hours")
    blank = [number for number, month in enumerate(case.months, 1) if getattr(month, column) is None]
    if blank:
        needed = {case.sun.month, case.outage.month} & set(blank)
        dark = report("A018.needed" if needed else "A018.other", resource=resource, blank=len(blank), column=column)
        yield "months", dark
    if "latitude_deg" in case.sun.model_fields_set and resource == "global irradiation":
        yield from _too_bright(case)


def _too_bright(case: Case) -> Iterator[Remark]:
    """Months whose global irradiation is above that outside the air."""
    latitude = case.sun.latitude_deg
    for name, day, month in zip(MONTHS, MEAN_DAYS, case.months, strict=False):
        declination = declination_deg(day)
        outside = extraterrestrial_kwh(latitude, declination, sunset_deg(latitude, declination), day)
        if month.global_kwh is not None and month.global_kwh > outside + ROUNDED:
            yield (
                "months",
                report("A033", month=name, stated=month.global_kwh, latitude_deg=latitude, outside=round(outside, 2)),
            )
