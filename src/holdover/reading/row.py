"""From quantities to the fields of one row: watts from amps, hours from two times, and the like."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from holdover.case.figures import clock, figure
from holdover.case.schema import AC_VOLTS, DC_VOLTS, is_near
from holdover.findings import Finding, show
from holdover.reading.choice import read_text
from holdover.reading.entries import Context, Entry, Reading, Row, is_empty, typed_text, unstated
from holdover.reading.fields import ASKED, Asked
from holdover.reading.motor import take_motor, with_motor
from holdover.reading.quantity.motor import Motor
from holdover.reading.quantity.nameplate import read_two_voltages
from holdover.reading.quantity.numbers import MARKS, Fault
from holdover.reading.quantity.quantity import Quantity, amounts, read_range
from holdover.reading.quantity.units import LIKE, find_unit
from holdover.reading.value import OUTPUT_VOLTS, read_number
from holdover.reading.voltage import load_volts, nominal_volts, of_one_phase, of_three_phases, output_volts
from holdover.reading.when import with_times

AGREE: Final = 0.1
"""Two statements of one figure may differ by so much [share]; common practice for nameplates."""

_SHARE_OF_HOURS: Final = re.compile(
    r"(?P<hours>[^,;/(]*[0-9][^,;/(]*?)\s*[,;/(]\s*(?P<duty>[^,;/()0-9%]*[0-9][^,;/()%]* ?%)\s*\)?\s*"
)
"""Hours and the share of them that a load runs, as in `24 h, about 35 %`."""
_OUTPUTS: Final = frozenset({"continuous_w", "continuous_va", "surge_w", "ac_volts_2"})
"""Fields beside the voltage where a data sheet says of how many phases an output is."""

Fields = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stated:
    """What was typed in a row, and the reading it belongs to."""

    row: Row
    numbers: Mapping[str, Quantity]
    reading: Reading
    motor: Motor

    def disagree(self, what: str, first: str, second: str) -> None:
        """Collect that two statements of one figure differ."""
        self.reading.report("L004.disagree", self.row.place, what=what, first=first, second=second)

    def volts(self, fields: Fields) -> float:
        """Volts of the feed that a load has or that the house has."""
        return (AC_VOLTS | DC_VOLTS)[fields.get("feed", self.reading.context.house)]

    def apparent(self, number: Quantity, fields: Fields) -> float:
        """Volt-amperes of a quantity stated in volt-amperes or amps."""
        return number.value if number.kind == "VA" else number.value * (number.volts or self.volts(fields))


def read_row(row: Row, context: Context) -> tuple[Fields, list[Finding]]:
    """Every field of a row that was set, in the schema's units and order, and what there is to say about it."""
    reading = Reading(context=context)
    asked = ASKED[row.part]
    numbers: dict[str, Quantity] = {}
    fields: Fields = {}
    entries, motor = take_motor(row.entries, reading) if row.part == "loads" else (row.entries, Motor())
    if row.part == "loads":
        entries = _with_duty(with_times(_wired(_metered(entries, reading), reading), reading), reading)
    row = replace(row, entries=dict(entries))
    for name, entry in row.entries.items():
        if name == "motor":
            continue
        if asked[name].text:
            text = read_text(entry, asked[name], reading)
            if text is not None:
                fields[name] = text
        elif (row.part, name) == ("candidates", "ac_volts") and isinstance(entry.value, str):
            fields |= output_volts(entry, reading)
        elif row.part == "candidates" and name in _OUTPUTS and of_three_phases(entry, reading):
            continue
        elif (row.part, name) == ("candidates", "pv_volts"):
            fields |= _solar_volts(entry, row, reading)
        else:
            number = read_number(entry, asked[name], reading)
            if number is not None:
                numbers[name] = number
    fields |= {name: _plain(number, asked[name]) for name, number in numbers.items() if not number.kind}
    if motor.volts:
        numbers["motor"] = Quantity(value=0.0, kind="A", volts=motor.volts)
    stated = _Stated(row=row, numbers=numbers, reading=reading, motor=motor)
    for step in _STEPS.get(row.part, ()):
        fields = step(stated, fields)
    return {name: fields[name] for name in asked if name in fields}, reading.findings.found


def _metered(entries: Mapping[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries of a load, an energy with its time that stands in place of the draw moved to where it belongs.

    `230 kWh/yr` is what an energy label states. Without its time, as in `2 kWh`, it may mean anything, and is refused.
    """
    entry, left = entries.get("running_w"), dict(entries)
    own = entries.get("measured_wh_per_day")
    if entry is None or not isinstance(entry.value, str) or (own and not is_empty(own.value)):
        return left
    energies = [said for said in amounts(entry.value, "Wh/day").values() if isinstance(said, Quantity)]
    if not any(said.unit and not find_unit(said.unit, "Wh") for said in energies):
        return left
    reading.report("L005.metered", entry.place, typed=show(entry.value))
    del left["running_w"]
    return left | {"measured_wh_per_day": replace(entry, unit="")}


def _wired(entries: dict[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries of a load, of a motor for two voltages the current at the one it is fed with; the wiring decides, which is told."""
    entry, feed = entries.get("running_w"), entries.get("feed")
    plate = read_two_voltages(entry.value) if entry else None
    if entry is None or plate is None:
        return entries
    stated = read_text(feed, ASKED["loads"]["feed"], Reading(context=reading.context)) if feed else None
    volts = (AC_VOLTS | DC_VOLTS)[stated or reading.context.house]
    low, high = (f"{plate.low_a} A @ {plate.low_v} V", f"{plate.high_a} A @ {plate.high_v} V")
    nearer = abs(float(plate.low_v) - volts) <= abs(float(plate.high_v) - volts)
    taken, other = (low, high) if nearer else (high, low)
    reading.report("L005.wired", entry.place, typed=show(entry.value), taken=taken, other=other)
    return entries | {"running_w": replace(entry, value=taken, unit="")}


def _with_duty(entries: dict[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries of a load, the 35 % of `24 h, 35 %` moved to the duty, unless one is stated already."""
    entry, own = entries.get("hours_per_day"), entries.get("duty")
    said = _SHARE_OF_HOURS.fullmatch(entry.value) if entry and isinstance(entry.value, str) else None
    if entry is None or said is None or (own and not is_empty(own.value)):
        return entries
    reading.report("L005.duty", entry.place, typed=show(entry.value), hours=said["hours"], duty=said["duty"])
    moved = {"hours_per_day": replace(entry, value=said["hours"]), "duty": replace(entry, value=said["duty"], unit="")}
    return entries | moved


def _plain(number: Quantity, asked: Asked) -> float | int:
    return round(number.value) if asked.whole else number.value


def _without(fields: Fields, *names: str) -> Fields:
    return {name: value for name, value in fields.items() if name not in names}


def _solar_volts(entry: Entry, row: Row, reading: Reading) -> Fields:
    """The minimum and maximum voltage of a solar input, such as `12-60 V`."""
    if is_empty(entry.value) or unstated(entry.value):
        return {}
    try:
        low, high = read_range(typed_text(entry.value), reading.mark(entry) or MARKS[0])
    except Fault as fault:
        reading.report("Q001.solar", entry.place, why=fault.message, found=entry.value)
        return {}
    for name in ("pv_min_v", "pv_max_v"):
        if name in row.entries and not is_empty(row.entries[name].value):
            reading.report("L004.disagree", row.place, what="solar voltage", first=name, second=entry.place.column)
    reading.report("Q005.range", entry.place, typed=show(entry.value), low=low, high=high)
    return {"pv_min_v": low, "pv_max_v": high}


def _feed(stated: _Stated, fields: Fields) -> Fields:
    """Volts written beside amps say the feed where nothing else does; a nameplate may differ from it a little."""
    context = stated.reading.context
    for name, number in stated.numbers.items():
        if number.volts is None or name == "storage_wh":
            continue
        if is_near(number.volts, stated.volts(fields)) and ("feed" in fields or context.house_is_set):
            continue
        volts = load_volts(number.volts, stated.row.entries[name], stated.reading)
        known = {v: feed for feed, v in (AC_VOLTS | DC_VOLTS).items() if feed != "USB"}
        feed = known.get(volts or 0.0)
        if feed and "feed" not in fields and feed != context.house:
            fields = fields | {"feed": feed}
            stated.reading.report("L005.feed", stated.row.place, feed=feed, typed=show(stated.row.entries[name].value))
        elif feed and fields.get("feed", feed) != feed:
            stated.disagree("feed", fields["feed"], feed)
    return fields


def _factor(stated: _Stated, fields: Fields) -> Fields:
    """Watts and volt-amperes together say the power factor."""
    watts, apparent = fields.get("running_w"), fields.get("running_va")
    if not watts or not apparent or "power_factor" in fields or not 0.1 * apparent <= watts <= apparent:
        return fields
    stated.reading.report(
        "L005.power_factor", stated.row.place, factor=watts / apparent, watts=watts, apparent=apparent
    )
    return fields | {"power_factor": watts / apparent}


def _running(stated: _Stated, fields: Fields) -> Fields:
    return _watts("running", stated, fields)


def _starting(stated: _Stated, fields: Fields) -> Fields:
    return _watts("starting", stated, fields)


def _watts(kind: str, stated: _Stated, fields: Fields) -> Fields:
    """Running or starting watts from whichever of watts, volt-amperes and amps are stated."""
    watts: float | None = fields.get(f"{kind}_w")
    typed = stated.numbers.get(f"{kind}_w")
    others = [typed] if typed and typed.kind else []
    others += [
        Quantity(value=fields[f"{kind}_{tail}"], kind=tail.upper())
        for tail in ("va", "a")
        if f"{kind}_{tail}" in fields
    ]
    fields = _without(fields, f"{kind}_va", f"{kind}_a")
    for number in others:
        known = kind == "running" and "power_factor" in fields
        other = stated.apparent(number, fields) * (fields["power_factor"] if known else 1.0)
        if watts is None:
            watts = other
            _report_watts(number, kind, other, stated, fields)
        # Volt-amperes are no less than watts: with the power factor unknown only an excess of watts contradicts them.
        elif watts > other * (1 + AGREE) or (known and watts < other * (1 - AGREE)):
            stated.disagree(f"{kind} power", f"{figure(watts)} W", f"{figure(other)} W")
    return fields if watts is None else fields | {f"{kind}_w": watts}


def _report_watts(number: Quantity, kind: str, watts: float, stated: _Stated, fields: Fields) -> None:
    volts = number.volts or stated.volts(fields)
    typed = f"{figure(number.value)} A at {figure(volts)} V" if number.kind == "A" else f"{figure(number.value)} VA"
    factor = (
        f"power factor {figure(fields['power_factor'])}" if "power_factor" in fields else "power factor unknown, so 1"
    )
    if kind == "starting":  # a motor's power factor is low at start, but the inverter carries the whole current
        factor = "all of it counts at start"
    if fields.get("feed") in DC_VOLTS:
        factor = "direct current"
    stated.reading.report("L005.watts", stated.row.place, what=kind, stated=typed, watts=watts, factor=factor)


def _adds(stated: _Stated, fields: Fields) -> Fields:
    """What starting adds, turned into the whole power at start."""
    adds = fields.get("starting_adds_w")
    typed = stated.numbers.get("starting_adds_w")
    if typed and typed.kind:
        adds = stated.apparent(typed, fields)
    fields = _without(fields, "starting_adds_w")
    if adds is None:
        return fields
    running, starting = fields.get("running_w"), fields.get("starting_w")
    if running is None:
        stated.reading.report("L004.adds", stated.row.place)
    elif starting is None:
        stated.reading.report("L005.adds", stated.row.place, starting=running + adds, running=running, adds=adds)
        return fields | {"starting_w": running + adds}
    elif abs(starting - running - adds) > AGREE * starting:
        stated.disagree("starting power", f"{figure(starting)} W", f"{figure(running)} + {figure(adds)} W")
    return fields


def _motor(stated: _Stated, fields: Fields) -> Fields:
    """The draw and the start of a motor whose plate or starter is stated."""
    volts = stated.motor.volts or stated.volts(fields)
    return with_motor(stated.motor, fields, volts, stated.row.place, stated.reading)


def _bounds(stated: _Stated, fields: Fields) -> Fields:
    """Watts that were computed lie within the same bounds as watts that were typed."""
    for name in ("running_w", "starting_w"):
        asked = ASKED["loads"][name]
        low, high = asked.low or 0.0, asked.high or 0.0
        if not low <= fields.get(name, 0.0) <= high:
            stated.reading.report(
                "Q002.computed", stated.row.place, title=asked.title, watts=fields[name], most=high, like=LIKE["W"]
            )
            fields = _without(fields, name)
    return fields


def _count(stated: _Stated, fields: Fields) -> Fields:
    """The 2 of `2 x 60 W`, unless the quantity is stated too and differs."""
    counts = {number.count for number in stated.numbers.values() if number.count is not None}
    if "quantity" in fields:
        counts.add(fields["quantity"])
    if len(counts) > 1:
        first, second = sorted(counts)[:2]
        stated.disagree("quantity", str(first), str(second))
    return fields | {"quantity": counts.pop()} if len(counts) == 1 else fields


def _hours(stated: _Stated, fields: Fields) -> Fields:
    """Hours and start from `18:00-22:30`, or from the columns From and Until."""
    span = stated.numbers.get("hours_per_day")
    if span and span.starts_at is not None:
        if abs(fields.get("starts_at", span.starts_at) - span.starts_at) > 1e-6:
            stated.disagree("start", clock(fields["starts_at"]), clock(span.starts_at))
        fields = fields | {"starts_at": span.starts_at}
    ends, starts = fields.get("ends_at"), fields.get("starts_at")
    fields = _without(fields, "ends_at")
    if ends is None:
        return fields
    if starts is None:
        stated.reading.report("L006", stated.row.place)
        return fields
    hours = (ends - starts) % 24 or 24.0
    typed = fields.get("hours_per_day")
    if typed is not None and abs(typed - hours) > 1 / 60:
        spanned = f"{figure(hours)} h from {clock(starts)} to {clock(ends)}"
        stated.disagree("hours a day", f"{figure(typed)} h", spanned)
    stated.reading.report("L005.hours", stated.row.place, starts=clock(starts), ends=clock(ends), hours=hours)
    return fields | {"hours_per_day": hours}


def _windows(stated: _Stated, fields: Fields) -> Fields:
    """The 17:00 of a window such as `17:00-19:30`: from when on generator or outlet are there."""
    for source in ("generator", "mains"):
        span = stated.numbers.get(f"{source}_hours")
        if span and span.starts_at is not None:
            if abs(fields.get(f"{source}_from", span.starts_at) - span.starts_at) > 1e-6:
                stated.disagree("start", clock(fields[f"{source}_from"]), clock(span.starts_at))
            fields = fields | {f"{source}_from": span.starts_at}
    return fields


def _outputs(stated: _Stated, fields: Fields) -> Fields:
    """The nominal voltages of an output typed as numbers."""
    for name in OUTPUT_VOLTS:
        if name in stated.numbers:
            nominal = nominal_volts(stated.numbers[name].value, stated.row.entries[name], stated.reading)
            fields = _without(fields, name) if nominal is None else fields | {name: nominal}
    return of_one_phase(fields, stated.numbers, stated.row, stated.reading)


def _storage(stated: _Stated, fields: Fields) -> Fields:
    """Storage from amp-hours and the voltage of the battery."""
    hours, volts, typed = fields.get("storage_ah"), fields.get("battery_v"), fields.get("storage_wh")
    fields = _without(fields, "storage_ah", "battery_v")
    if hours is None or volts is None:
        if hours is not None and typed is None:
            stated.reading.report("Q012.battery", stated.row.place)
        return fields
    storage = hours * volts
    if typed is not None and abs(typed - storage) > AGREE * storage:
        stated.disagree("storage", f"{figure(typed)} Wh", f"{figure(hours)} Ah at {figure(volts)} V")
    if typed is not None or storage > (ASKED["candidates"]["storage_wh"].high or 0.0):
        return fields
    stated.reading.report("L005.storage", stated.row.place, ah=hours, volts=volts, storage_wh=storage)
    return fields | {"storage_wh": storage}


def _units(stated: _Stated, fields: Fields) -> Fields:
    """The mi of `40 mi` is the unit the distance is in; so it is with the consumption."""
    for name in ("distance", "consumption"):
        unit = stated.numbers[name].kept if name in stated.numbers else ""
        if not unit:
            continue
        if fields.get(f"{name}_unit", unit) != unit:
            stated.disagree(f"unit of the {name}", fields[f"{name}_unit"], unit)
        fields = fields | {f"{name}_unit": unit}
    return fields


_STEPS: Final[Mapping[str, Sequence[Callable[[_Stated, Fields], Fields]]]] = {
    "loads": (_feed, _factor, _running, _starting, _adds, _motor, _bounds, _count, _hours),
    "candidates": (_outputs, _storage),
    "outage": (_windows,),
    "vehicle": (_units,),
}
"""What is worked out of a row once its figures are read, by part; each step takes the fields so far."""
