"""What an experienced adviser would remark on in a case that can be read. Pure over the case."""

from collections.abc import Iterator, Mapping
from typing import Final

from holdover.advice.kilo import small_candidate, small_load
from holdover.advice.mains import voltage_of_candidate, voltage_of_load
from holdover.advice.silence import silent_candidate, silent_settings
from holdover.advice.sunlight import too_bright
from holdover.case.kinds import cycles, is_heater, is_medical, is_motor
from holdover.case.schema import AC_VOLTS, DISAGREE, Candidate, Case, Load, is_blank
from holdover.case.words import folded
from holdover.findings import Finding, Place, at, report

Places = Mapping[tuple[str, int], Place]

HEATS_LONG_SHARE: Final = 0.5
"""A heater that takes this share of a candidate's storage in a day is told [share]; common practice."""
HOT_C: Final = 45.0
"""Makers limit charging of lithium iron phosphate above this [°C]; common practice."""
MODULE: Final = {
    "array": ("voc_v", "vmp_v", "isc_a", "imp_a", "power_w", "voc_tempco"),
    "sun": ("coldest_c",),
}
"""Settings on which the checks of a solar input stand, by their part."""


def advise(case: Case, places: Places | None = None) -> list[Finding]:
    """Remarks on a case; `places` says where its rows were read (`Findings.places`)."""
    where = places or {}
    found: list[Finding] = []
    for index, load in enumerate(case.loads):
        if not is_blank(load):
            place = where.get(("loads", index), Place(item=load.name))
            found.extend(at(remark, place) for remark in _load(load, case))
    for index, unit in enumerate(case.candidates):
        if not is_blank(unit):
            place = where.get(("candidates", index), Place(item=unit.name))
            found.extend(at(remark, place) for remark in _candidate(unit, case))
    found.extend(_twice(case, where))
    found.extend(at(remark, where.get((part, 0), Place(column=part))) for part, remark in _whole(case))
    return found


def _daily_wh(load: Load) -> float:
    duty = 1.0 if load.duty is None else load.duty
    return (load.running_w or 0.0) * duty * (load.hours_per_day or 0.0)


def _load(load: Load, case: Case) -> Iterator[Finding]:
    running, starting = load.running_w or 0.0, load.starting_w
    if is_motor(load.name) and starting is None:
        yield report("A001", starting=4 * running)
    if starting is not None and starting < running:
        yield report("A002", starting=starting, running=running)
    hours = load.hours_per_day or 0.0
    all_day = cycles(load.name) and hours >= 24 and load.duty in (None, 1.0)
    if all_day and load.measured_wh_per_day is None:
        yield report("A003", kwh=_daily_wh(load) / 1000)
    computed, metered = _daily_wh(load), load.measured_wh_per_day
    # With no duty stated, what the meter says of a load that rests in between is the answer, not a contradiction.
    rests = load.duty is None and (hours >= 24 or cycles(load.name)) and metered is not None and metered < computed
    if metered is not None and computed > 0 and abs(computed - metered) > DISAGREE * metered and not rests:
        yield report("A004", metered=metered, computed=computed)
    if metered is not None and load.running_w is None:
        yield report("A005")
    if is_medical(load.name) and load.tier != "critical":
        yield report("A006", tier=load.tier or "essential")
    if is_heater(load.name):
        yield from _heater(load, case)
    yield from voltage_of_load(load, case)
    yield from small_load(load)


def _heater(load: Load, case: Case) -> Iterator[Finding]:
    count = 1 if load.quantity is None else load.quantity
    each = _daily_wh(load) if load.measured_wh_per_day is None else load.measured_wh_per_day
    units = [unit for unit in case.candidates if not is_blank(unit)]
    power = max((unit.continuous_w or 0.0 for unit in units), default=0.0)
    storage = max((_most_wh(unit) for unit in units), default=0.0)
    running = load.running_w or 0.0
    if units and running > power:
        yield report("A007.power", running=running, power=power)
    elif units and count * each > HEATS_LONG_SHARE * storage > 0:
        hours = storage / max(count * running, 1)
        yield report("A007.storage", kwh=count * each / 1000, storage_kwh=storage / 1000, hours=hours)


def _most_wh(unit: Candidate) -> float:
    return (unit.storage_wh or 0.0) + (unit.pack_wh or 0.0) * (unit.packs_max or 0)


def _candidate(unit: Candidate, case: Case) -> Iterator[Finding]:
    for weight, what in ((unit.weight_kg, "unit"), (unit.pack_weight_kg, "pack")):
        if weight is not None and weight > case.sizing.lift_kg:
            yield report("A009", what=what, weight_kg=weight, lift_kg=case.sizing.lift_kg)
    lowest = case.assumed.charge_min_c if unit.charge_min_c is None else unit.charge_min_c
    if case.sizing.storage_c < lowest:
        yield report("A010", stands_c=case.sizing.storage_c, lowest_c=lowest)
    yield from small_candidate(unit)
    yield from voltage_of_candidate(unit, case)
    yield from silent_candidate(unit, case)
    yield from _output_contradicts(unit)
    yield from _packs_contradict(unit)
    yield from _solar_contradicts(unit)
    if unit.packs is not None and unit.packs > (unit.packs_max or 0):
        yield report("A011.packs", packs=unit.packs, packs_max=unit.packs_max or 0)


def _output_contradicts(unit: Candidate) -> Iterator[Finding]:
    if unit.continuous_w is None:
        return
    if unit.surge_w is not None and unit.surge_w < unit.continuous_w:
        yield report("A011.surge", surge_w=unit.surge_w, continuous_w=unit.continuous_w)
    if unit.continuous_va is not None and unit.continuous_va < unit.continuous_w:
        yield report("A011.apparent", continuous_va=unit.continuous_va, continuous_w=unit.continuous_w)


def _packs_contradict(unit: Candidate) -> Iterator[Finding]:
    if unit.packs_max and unit.pack_wh is None:
        yield report("A011.pack_energy", packs_max=unit.packs_max)
    if unit.pack_wh and unit.packs_max is None:
        yield report("A011.packs_most")


def _solar_contradicts(unit: Candidate) -> Iterator[Finding]:
    inputs, input_w, total_w = unit.pv_inputs or 0, unit.pv_input_w or 0.0, unit.pv_total_w
    if inputs * input_w and total_w is not None and total_w > inputs * input_w:
        yield report("A011.solar_power", total_w=total_w, inputs=inputs, input_w=input_w)
    if unit.pv_min_v is not None and unit.pv_max_v is not None and unit.pv_min_v >= unit.pv_max_v:
        yield report("A011.solar_voltage", min_v=unit.pv_min_v, max_v=unit.pv_max_v)
    if unit.pv_max_a is not None and unit.pv_max_isc_a is not None and unit.pv_max_isc_a < unit.pv_max_a:
        yield report("A011.solar_current", isc_a=unit.pv_max_isc_a, max_a=unit.pv_max_a)


def _twice(case: Case, places: Places) -> Iterator[Finding]:
    """Names that stand twice; both rows count."""
    names = {"loads": [load.name for load in case.loads], "candidates": [unit.name for unit in case.candidates]}
    for part in names:
        seen: dict[str, int] = {}
        for index, name in enumerate(names[part]):
            word = folded(name)
            if not word:
                continue
            if word not in seen:
                seen[word] = index
                continue
            first = places.get((part, seen[word]), Place()).row
            before = f" (also row {first})" if first is not None else ""
            twice = report("A012" if part == "loads" else "A013", name=name, before=before)
            yield at(twice, places.get((part, index), Place(item=name)))


def _whole(case: Case) -> Iterator[tuple[str, Finding]]:
    """Remarks on settings, each with the part it belongs to."""
    loads = [load for load in case.loads if not is_blank(load)]
    units = [unit for unit in case.candidates if not is_blank(unit)]
    if not loads:
        yield "loads", report("A014")
    if not units:
        yield "candidates", report("A015")
    if case.outage.candidate and case.outage.candidate.lower() not in {unit.name.lower() for unit in units}:
        yield "outage", report("A016", candidate=case.outage.candidate)
    yield from _settings(case)
    yield from silent_settings(case)
    if case.array.modules:
        yield from _sun(case)


def _settings(case: Case) -> Iterator[tuple[str, Finding]]:
    """Settings that are allowed, each by itself, and odd beside the others."""
    outage, house = case.outage, case.sizing.feed
    if outage.drop_convenience_at < outage.drop_essential_at:
        convenience, essential = outage.drop_convenience_at * 100, outage.drop_essential_at * 100
        yield "outage", report("A021", convenience=convenience, essential=essential)
    yield from (("sizing", remark) for remark in _temperature(case))
    if case.vehicle.distance and "charger_v" not in case.vehicle.model_fields_set and house != "120 V":
        yield "vehicle", report("A023", charger_v=case.vehicle.charger_v, house=house, house_v=AC_VOLTS[house])


def _temperature(case: Case) -> Iterator[Finding]:
    """Where storage stands colder or hotter than anything is known of it."""
    stands = case.sizing.storage_c
    known = [point.temperature_c for point in case.points if point.temperature_c is not None]
    if known and stands < min(known):
        yield report("A022.colder", stands_c=stands, coldest_c=min(known))
    if stands > HOT_C:
        yield report("A022.hot", stands_c=stands, hot_c=HOT_C)
    elif known and stands > max(known):
        yield report("A022.hotter", stands_c=stands, hottest_c=max(known))


def _sun(case: Case) -> Iterator[tuple[str, Finding]]:
    latitude = case.sun.latitude_deg
    if "latitude_deg" not in case.sun.model_fields_set:
        yield "sun", report("A017")
    yield from _module(case)
    column = {"global irradiation": "global_kwh", "clearness index": "clearness"}.get(
        case.sun.resource, "peak_sun_hours"
    )
    blank = [number for number, month in enumerate(case.months, 1) if getattr(month, column) is None]
    needed = {case.sun.month, case.outage.month} & set(blank)
    if blank:
        resource = case.sun.resource
        yield (
            "months",
            report("A018.needed" if needed else "A018.other", resource=resource, blank=len(blank), column=column),
        )
    if "latitude_deg" in case.sun.model_fields_set:
        yield from (("months", remark) for remark in too_bright(case))
    toward = case.array.azimuth_deg % 360
    from_equator = min(abs(toward - (180 if latitude > 0 else 0)), 360 - abs(toward - (180 if latitude > 0 else 0)))
    if abs(latitude) > 10 and case.array.tilt_deg > 10 and from_equator > 90:
        yield "array", report("A019", azimuth_deg=toward)


def _module(case: Case) -> Iterator[tuple[str, Finding]]:
    """What the check against over-voltage stands on is stated: a check on usual figures is none."""
    for part, names in MODULE.items():
        section = getattr(case, part)
        for name in names:
            if name not in section.model_fields_set:
                title = str(type(section).model_fields[name].title).lower()
                yield part, report("A020.array" if part == "array" else "A020.sun", title=title, name=name)
