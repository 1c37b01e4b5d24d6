"""From quantities to the fields of one row: watts from amps, hours from two times, and the like."""

from typing import Any, Final

from holdover.case.figures import clock, figure
from holdover.case.schema import AC_VOLTS, DC_VOLTS, is_near
from holdover.findings import Finding, show
from holdover.reading.choice import read_text
from holdover.reading.entries import BLANK, Context, Entry, Reading, Row, is_empty, typed_text
from holdover.reading.fields import ASKED, Asked
from holdover.reading.quantity.numbers import MARKS, Fault
from holdover.reading.quantity.quantity import Quantity, read_range
from holdover.reading.quantity.units import LIKE
from holdover.reading.value import read_number
from holdover.reading.voltage import nominal_volts, output_volts

AGREE: Final = 0.1
"""Two statements of one figure may differ by so much [share]; common practice for nameplates."""

Fields = dict[str, Any]


def read_row(row: Row, context: Context) -> tuple[Fields, list[Finding]]:
    """Every field of a row that was set, in the schema's units and order, and what there is to say about it."""
    reading = Reading(context=context)
    asked = ASKED[row.part]
    numbers: dict[str, Quantity] = {}
    fields: Fields = {}
    for name, entry in row.entries.items():
        if asked[name].text:
            text = read_text(entry, asked[name], reading)
            if text is not None:
                fields[name] = text
        elif (row.part, name) == ("candidates", "ac_volts") and isinstance(entry.value, str):
            output_volts(entry, fields, reading)
        elif (row.part, name) == ("candidates", "pv_volts"):
            _solar_volts(entry, row, fields, reading)
        else:
            number = read_number(entry, asked[name], reading)
            if number is not None:
                numbers[name] = number
    fields |= {name: _plain(number, asked[name]) for name, number in numbers.items() if not number.kind}
    _FINISH.get(row.part, _nothing)(row, fields, numbers, reading)
    return {name: fields[name] for name in asked if name in fields}, reading.findings.found


def _plain(number: Quantity, asked: Asked) -> float | int:
    return round(number.value) if asked.whole else number.value


def _nothing(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    """Most rows are complete as read."""


def _load(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    _feed(row, fields, numbers, reading)
    _factor(row, fields, reading)
    for kind in ("running", "starting"):
        watts = _watts(kind, row, fields, numbers, reading)
        if watts is not None:
            fields[f"{kind}_w"] = watts
    _adds(row, fields, numbers, reading)
    for name in ("running_w", "starting_w"):
        _bound(name, row, fields, reading)
    _count(row, fields, numbers, reading)
    _hours(row, fields, numbers, reading)


def _feed(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    """Volts written beside amps say the feed where nothing else does; a nameplate may differ from it a little."""
    for name, number in numbers.items():
        if number.kind != "A" or number.volts is None:
            continue
        stands = (AC_VOLTS | DC_VOLTS)[fields.get("feed", reading.context.house)]
        if is_near(number.volts, stands) and ("feed" in fields or reading.context.house_is_set):
            continue
        volts = nominal_volts(number.volts, row.entries[name], reading)
        known = {v: feed for feed, v in (AC_VOLTS | DC_VOLTS).items() if feed != "USB"}
        feed = known.get(volts or 0.0)
        if feed and "feed" not in fields and feed != reading.context.house:
            fields["feed"] = feed
            reading.report("L005.feed", row.place, feed=feed, typed=show(row.entries[name].value))
        elif feed and fields.get("feed", feed) != feed:
            _disagree("feed", fields["feed"], feed, row, reading)


def _factor(row: Row, fields: Fields, reading: Reading) -> None:
    """Watts and volt-amperes together say the power factor."""
    watts, apparent = fields.get("running_w"), fields.get("running_va")
    if watts and apparent and "power_factor" not in fields and 0.1 * apparent <= watts <= apparent:
        fields["power_factor"] = watts / apparent
        reading.report("L005.power_factor", row.place, factor=watts / apparent, watts=watts, apparent=apparent)


def _watts(kind: str, row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> float | None:
    """Running or starting watts from whichever of watts, volt-amperes and amps are stated."""
    watts: float | None = fields.get(f"{kind}_w")
    others = [numbers[f"{kind}_w"]] if f"{kind}_w" in numbers and numbers[f"{kind}_w"].kind else []
    for tail in ("va", "a"):
        value = fields.pop(f"{kind}_{tail}", None)
        if value is not None:
            others.append(Quantity(value=value, kind=tail.upper()))
    for number in others:
        other = _apparent(number, fields, reading) * (fields.get("power_factor", 1.0) if kind == "running" else 1.0)
        if watts is None:
            watts = other
            _report_watts(number, kind, other, row, fields, reading)
        # Volt-amperes are no less than watts: with the power factor unknown only an excess of watts contradicts them.
        elif watts > other * (1 + AGREE) or (
            kind == "running" and "power_factor" in fields and watts < other * (1 - AGREE)
        ):
            _disagree(f"{kind} power", f"{figure(watts)} W", f"{figure(other)} W", row, reading)
    return watts


def _apparent(number: Quantity, fields: Fields, reading: Reading) -> float:
    """Volt-amperes of a quantity stated in volt-amperes or amps."""
    if number.kind == "VA":
        return number.value
    return number.value * (number.volts or (AC_VOLTS | DC_VOLTS)[fields.get("feed", reading.context.house)])


def _report_watts(number: Quantity, kind: str, watts: float, row: Row, fields: Fields, reading: Reading) -> None:
    apparent = _apparent(number, fields, reading)
    volts = number.volts or (AC_VOLTS | DC_VOLTS)[fields.get("feed", reading.context.house)]
    stated = f"{figure(number.value)} A at {figure(volts)} V" if number.kind == "A" else f"{figure(apparent)} VA"
    factor = (
        f"power factor {figure(fields['power_factor'])}" if "power_factor" in fields else "power factor unknown, so 1"
    )
    if kind == "starting":  # a motor's power factor is low at start, but the inverter carries the whole current
        factor = "all of it counts at start"
    if fields.get("feed") in DC_VOLTS:
        factor = "direct current"
    reading.report("L005.watts", row.place, what=kind, stated=stated, watts=watts, factor=factor)


def _adds(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    """What starting adds, turned into the whole power at start."""
    adds = fields.pop("starting_adds_w", None)
    stated = numbers.get("starting_adds_w")
    if stated and stated.kind:
        adds = _apparent(stated, fields, reading)
    if adds is None:
        return
    running, starting = fields.get("running_w"), fields.get("starting_w")
    if running is None:
        reading.report("L004.adds", row.place)
    elif starting is not None and abs(starting - running - adds) > AGREE * starting:
        _disagree("starting power", f"{figure(starting)} W", f"{figure(running)} + {figure(adds)} W", row, reading)
    elif starting is None:
        fields["starting_w"] = running + adds
        reading.report("L005.adds", row.place, starting=running + adds, running=running, adds=adds)


def _bound(name: str, row: Row, fields: Fields, reading: Reading) -> None:
    """Watts that were computed lie within the same bounds as watts that were typed."""
    asked = ASKED["loads"][name]
    if not (asked.low or 0.0) <= fields.get(name, 0.0) <= (asked.high or 0.0):
        reading.report(
            "Q002.computed", row.place, title=asked.title, watts=fields[name], most=asked.high or 0.0, like=LIKE["W"]
        )
        del fields[name]


def _count(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    """The 2 of `2 x 60 W`, unless the quantity is stated too and differs."""
    counts = {number.count for number in numbers.values() if number.count is not None}
    if "quantity" in fields:
        counts.add(fields["quantity"])
    if len(counts) > 1:
        first, second = sorted(counts)[:2]
        _disagree("quantity", str(first), str(second), row, reading)
    elif counts:
        fields["quantity"] = counts.pop()


def _hours(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    """Hours and start from `18:00-22:30`, or from the columns From and Until."""
    span = numbers.get("hours_per_day")
    if span and span.starts_at is not None:
        if abs(fields.get("starts_at", span.starts_at) - span.starts_at) > 1e-6:
            _disagree("start", clock(fields["starts_at"]), clock(span.starts_at), row, reading)
        fields["starts_at"] = span.starts_at
    ends, starts = fields.pop("ends_at", None), fields.get("starts_at")
    if ends is None:
        return
    if starts is None:
        reading.report("L006", row.place)
        return
    hours = (ends - starts) % 24 or 24.0
    stated = fields.get("hours_per_day")
    if stated is not None and abs(stated - hours) > 1 / 60:
        _disagree(
            "hours a day",
            f"{figure(stated)} h",
            f"{figure(hours)} h from {clock(starts)} to {clock(ends)}",
            row,
            reading,
        )
    fields["hours_per_day"] = hours
    reading.report("L005.hours", row.place, starts=clock(starts), ends=clock(ends), hours=hours)


def _disagree(what: str, first: str, second: str, row: Row, reading: Reading) -> None:
    reading.report("L004.disagree", row.place, what=what, first=first, second=second)


def _solar_volts(entry: Entry, row: Row, fields: Fields, reading: Reading) -> None:
    """The lowest and highest voltage of a solar input, such as `12-60 V`."""
    if is_empty(entry.value) or str(entry.value).strip().casefold() in BLANK:
        return
    try:
        low, high = read_range(typed_text(entry.value), reading.mark(entry) or MARKS[0])
    except Fault as fault:
        reading.report("Q001.solar", entry.place, why=fault.message, found=entry.value)
        return
    for name, volts in (("pv_min_v", low), ("pv_max_v", high)):
        if name in row.entries and not is_empty(row.entries[name].value):
            _disagree("solar voltage", name, entry.place.column, row, reading)
        fields[name] = volts
    reading.report("Q005.range", entry.place, typed=show(entry.value), low=low, high=high)


def _candidate(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    for name in ("ac_volts", "ac_volts_2"):
        if name in numbers:
            nominal = nominal_volts(numbers[name].value, row.entries[name], reading)
            fields.pop(name) if nominal is None else fields.update({name: nominal})
    hours, volts = fields.pop("storage_ah", None), fields.pop("battery_v", None)
    if hours is None or volts is None:
        if hours is not None and "storage_wh" not in fields:
            reading.report("Q012.battery", row.place)
        return
    storage = hours * volts
    stated = fields.get("storage_wh")
    if stated is not None and abs(stated - storage) > AGREE * storage:
        _disagree("storage", f"{figure(stated)} Wh", f"{figure(hours)} Ah at {figure(volts)} V", row, reading)
    elif stated is None and storage <= (ASKED["candidates"]["storage_wh"].high or 0.0):
        fields["storage_wh"] = storage
        reading.report("L005.storage", row.place, ah=hours, volts=volts, storage_wh=storage)


def _vehicle(row: Row, fields: Fields, numbers: dict[str, Quantity], reading: Reading) -> None:
    """The mi of `40 mi` is the unit the distance is in; so it is with the consumption."""
    for name in ("distance", "consumption"):
        unit = numbers[name].kept if name in numbers else ""
        if not unit:
            continue
        if fields.get(f"{name}_unit", unit) != unit:
            _disagree(f"unit of the {name}", fields[f"{name}_unit"], unit, row, reading)
        fields[f"{name}_unit"] = unit


_FINISH: Final = {"loads": _load, "candidates": _candidate, "vehicle": _vehicle}
