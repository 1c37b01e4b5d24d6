"""What an experienced adviser would remark on in a case that can be read. Pure over the case."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from holdover.advice.kilo import small_candidate, small_load
from holdover.advice.mains import voltage_of_candidate, voltage_of_load
from holdover.advice.silence import silent_candidate, silent_settings
from holdover.advice.sunlight import too_bright
from holdover.case.figures import figure
from holdover.case.kinds import cycles, is_heater, is_medical, is_motor
from holdover.case.schema import AC_VOLTS, DISAGREE, Candidate, Case, Load, is_blank
from holdover.case.words import folded
from holdover.findings import Finding, Level, Place, at, show

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


def _say(code: str, message: str, remedy: str, level: Level = "warning", **more: Any) -> Finding:
    return Finding(code=code, level=level, message=message, remedy=remedy, **more)


def _daily_wh(load: Load) -> float:
    duty = 1.0 if load.duty is None else load.duty
    return (load.running_w or 0.0) * duty * (load.hours_per_day or 0.0)


def _load(load: Load, case: Case) -> Iterator[Finding]:
    running, starting = load.running_w or 0.0, load.starting_w
    if is_motor(load.name) and starting is None:
        yield _say(
            "A001",
            "a motor without a starting figure; it is taken to start at its running watts",
            f"state it; motors draw about four times running at start, here {4 * running:.0f} W (NDSU Extension, 2022)",
        )
    if starting is not None and starting < running:
        yield _say(
            "A002",
            f"starts at {figure(starting)} W, less than it runs at ({figure(running)} W)",
            "starting is the whole draw at start; what is only added to running belongs in starting_adds_w",
        )
    hours = load.hours_per_day or 0.0
    all_day = cycles(load.name) and hours >= 24 and load.duty in (None, 1.0)
    if all_day and load.measured_wh_per_day is None:
        yield _say(
            "A003",
            f"counted as running all day: {figure(_daily_wh(load) / 1000)} kWh",
            "state its duty; a refrigerator runs about a third of the time (US DOE), or meter it",
        )
    computed, metered = _daily_wh(load), load.measured_wh_per_day
    # With no duty stated, what the meter says of a load that rests in between is the answer, not a contradiction.
    rests = load.duty is None and (hours >= 24 or cycles(load.name)) and metered is not None and metered < computed
    if metered is not None and computed > 0 and abs(computed - metered) > DISAGREE * metered and not rests:
        yield _say(
            "A004",
            f"metered at {figure(metered)} Wh a day, but watts x duty x hours give {figure(computed)} Wh",
            "the metered energy is counted; check that it is per day and for one of them, or correct the duty",
        )
    if metered is not None and load.running_w is None:
        yield _say(
            "A005",
            "metered energy without watts: it counts for storage, not for the inverter",
            "state its running watts",
        )
    if is_medical(load.name) and load.tier != "critical":
        yield _say(
            "A006",
            f"a medical load in tier {load.tier or 'essential'} may be shed",
            'set tier = "critical"; ask the equipment supplier and the care team about backup',
        )
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
        yield _say(
            "A007",
            f"draws {figure(running)} W to make heat; the strongest candidate gives {figure(power)} W",
            "leave it out: heat from storage is rarely practical, a fuel burner or less heat is",
        )
    elif units and count * each > HEATS_LONG_SHARE * storage > 0:
        yield _say(
            "A007",
            f"makes heat of {figure(count * each / 1000)} kWh a day; the largest candidate stores {figure(storage / 1000)} kWh",
            f"leave it out or cut its hours: alone it empties that in {storage / max(count * running, 1):.1f} h",
        )


def _most_wh(unit: Candidate) -> float:
    return (unit.storage_wh or 0.0) + (unit.pack_wh or 0.0) * (unit.packs_max or 0)


def _candidate(unit: Candidate, case: Case) -> Iterator[Finding]:
    for weight, what in ((unit.weight_kg, "unit"), (unit.pack_weight_kg, "pack")):
        if weight is not None and weight > case.sizing.lift_kg:
            yield _say(
                "A009",
                f"the {what} weighs {figure(weight)} kg; one person lifts {figure(case.sizing.lift_kg)} kg at most",
                "plan for two persons or a cart, and where it is to stand",
            )
    lowest = case.assumed.charge_min_c if unit.charge_min_c is None else unit.charge_min_c
    if case.sizing.storage_c < lowest:
        yield _say(
            "A010",
            f"stands at {figure(case.sizing.storage_c)} °C, but is not charged below {figure(lowest)} °C",
            "keep it where it is warmer; until then no sun and no generator refills it",
        )
    yield from small_candidate(unit)
    yield from voltage_of_candidate(unit, case)
    yield from silent_candidate(unit, case)
    for message in _contradictions(unit):
        yield _say("A011", f"the data sheet contradicts itself: {message}", "check the data sheet and correct the row")


def _contradictions(unit: Candidate) -> Iterator[str]:
    inputs = (unit.pv_inputs or 0) * (unit.pv_input_w or 0.0)
    if unit.surge_w is not None and unit.continuous_w is not None and unit.surge_w < unit.continuous_w:
        yield f"surge {figure(unit.surge_w)} W below continuous {figure(unit.continuous_w)} W"
    if unit.continuous_va is not None and unit.continuous_w is not None and unit.continuous_va < unit.continuous_w:
        yield f"continuous {figure(unit.continuous_va)} VA below {figure(unit.continuous_w)} W"
    if unit.packs_max and unit.pack_wh is None:
        yield f"up to {unit.packs_max} packs, but the energy of a pack is not stated"
    if unit.pack_wh and unit.packs_max is None:
        yield "a pack is stated, but not how many it takes"
    if inputs and unit.pv_total_w is not None and unit.pv_total_w > inputs:
        yield f"solar inputs together {figure(unit.pv_total_w)} W, above {unit.pv_inputs} x {figure(unit.pv_input_w or 0.0)} W"
    if unit.pv_min_v is not None and unit.pv_max_v is not None and unit.pv_min_v >= unit.pv_max_v:
        yield f"lowest solar voltage {figure(unit.pv_min_v)} V not below the highest {figure(unit.pv_max_v)} V"
    if unit.pv_max_a is not None and unit.pv_max_isc_a is not None and unit.pv_max_isc_a < unit.pv_max_a:
        yield f"short-circuit current {figure(unit.pv_max_isc_a)} A below working current {figure(unit.pv_max_a)} A"
    if unit.packs is not None and unit.packs > (unit.packs_max or 0):
        yield f"{unit.packs} packs fixed by hand, {unit.packs_max or 0} at most"


def _twice(case: Case, places: Places) -> Iterator[Finding]:
    """Names that stand twice; both rows count."""
    names = {"loads": [load.name for load in case.loads], "candidates": [unit.name for unit in case.candidates]}
    for part, code in (("loads", "A012"), ("candidates", "A013")):
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
            yield at(
                _say(code, f"{show(name)} stands twice{before}; both are counted", _TWICE[part]),
                places.get((part, index), Place(item=name)),
            )


_TWICE: Final = {
    "loads": "raise the quantity of one and delete the other if they are the same",
    "candidates": "give them names of their own, so that a choice can be told",
}


def _whole(case: Case) -> Iterator[tuple[str, Finding]]:
    """Remarks on settings, each with the part it belongs to."""
    loads = [load for load in case.loads if not is_blank(load)]
    units = [unit for unit in case.candidates if not is_blank(unit)]
    if not loads:
        yield "loads", _say("A014", "the case has no loads", "add loads.csv or [[loads]]")
    if not units:
        yield "candidates", _say("A015", "the case has no candidates", "add candidates.csv or [[candidates]]")
    if case.outage.candidate and case.outage.candidate.lower() not in {unit.name.lower() for unit in units}:
        yield (
            "outage",
            _say(
                "A016",
                f"the outage shows {show(case.outage.candidate)}, which is no candidate",
                "write one of their names",
            ),
        )
    yield from _settings(case)
    yield from silent_settings(case)
    if case.array.modules:
        yield from _sun(case)


def _settings(case: Case) -> Iterator[tuple[str, Finding]]:
    """Settings that are allowed, each by itself, and odd beside the others."""
    outage, house = case.outage, case.sizing.feed
    if outage.drop_convenience_at < outage.drop_essential_at:
        yield (
            "outage",
            _say(
                "A021",
                f"convenience loads drop below {figure(outage.drop_convenience_at * 100)} %, essential loads already below "
                f"{figure(outage.drop_essential_at * 100)} %: the essential ones would go first",
                "set drop_convenience_at above drop_essential_at",
            ),
        )
    for message, remedy in _temperature(case):
        yield "sizing", _say("A022", message, remedy)
    if case.vehicle.distance and "charger_v" not in case.vehicle.model_fields_set and house != "120 V":
        yield (
            "vehicle",
            _say(
                "A023",
                f"the vehicle is charged at {figure(case.vehicle.charger_v)} V as usual, but the feed of the house is {house}",
                f"write charger_v = {figure(AC_VOLTS[house])} under [vehicle], and charger_a of that charger",
            ),
        )


def _temperature(case: Case) -> Iterator[tuple[str, str]]:
    """Where storage stands colder or hotter than anything is known of it."""
    stands = case.sizing.storage_c
    known = [point.temperature_c for point in case.points if point.temperature_c is not None]
    if known and stands < min(known):
        yield (
            f"storage at {figure(stands)} °C is colder than the coldest point of capacity ({figure(min(known))} °C); "
            "what it holds there is not known",
            "plan for a warmer place, or add a point from the maker's data sheet",
        )
    if stands > HOT_C:
        yield (
            f"storage at {figure(stands)} °C: above {figure(HOT_C)} °C makers limit charging",
            "plan for a cooler place, or ask the maker",
        )
    elif known and stands > max(known):
        yield (
            f"storage at {figure(stands)} °C is hotter than the hottest point of capacity ({figure(max(known))} °C); "
            "what it holds there is not known",
            "plan for a cooler place, or add a point from the maker's data sheet",
        )


def _sun(case: Case) -> Iterator[tuple[str, Finding]]:
    latitude = case.sun.latitude_deg
    if "latitude_deg" not in case.sun.model_fields_set:
        yield (
            "sun",
            _say(
                "A017",
                "modules are planned, but the latitude is not set",
                "write latitude_deg = 40.7 under [sun]",
                "error",
            ),
        )
    yield from _module(case)
    column = {"global irradiation": "global_kwh", "clearness index": "clearness"}.get(
        case.sun.resource, "peak_sun_hours"
    )
    blank = [number for number, month in enumerate(case.months, 1) if getattr(month, column) is None]
    needed = {case.sun.month, case.outage.month} & set(blank)
    if blank:
        level = " (among them the design month or the month of the outage)" if needed else ""
        yield (
            "months",
            _say(
                "A018",
                f"no {case.sun.resource} for {len(blank)} of 12 months{level}; they count as no sun",
                f"write {column} for every month, under [monthly]",
            ),
        )
    if "latitude_deg" in case.sun.model_fields_set:
        yield from (("months", remark) for remark in too_bright(case))
    toward = case.array.azimuth_deg % 360
    from_equator = min(abs(toward - (180 if latitude > 0 else 0)), 360 - abs(toward - (180 if latitude > 0 else 0)))
    if abs(latitude) > 10 and case.array.tilt_deg > 10 and from_equator > 90:
        yield (
            "array",
            _say(
                "A019",
                f"the array faces {figure(toward)}°, away from the equator",
                "check the facing: 180 is south, 0 is north",
            ),
        )


def _module(case: Case) -> Iterator[tuple[str, Finding]]:
    """What the check against over-voltage stands on is stated: a check on usual figures is none."""
    for part, names in MODULE.items():
        section = getattr(case, part)
        for name in names:
            if name in section.model_fields_set:
                continue
            info = type(section).model_fields[name]
            yield (
                part,
                _say(
                    "A020",
                    f"modules are planned, but {str(info.title).lower()} ({name}) is not set; "
                    "an over-voltage check on usual figures is no check",
                    f"write {name} under [{part}], from {_FROM[part]}",
                    "error",
                ),
            )


_FROM: Final = {"array": "the data sheet of the module", "sun": "the weather records of the place"}
