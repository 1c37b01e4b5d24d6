"""What a motor's plate and starter say of a load: its draw at full load, and its start in volt-amperes.

What is stated in watts or amperes goes before; what stands in a table is told with its source.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from holdover.case.figures import figure
from holdover.case.kinds import is_motor
from holdover.case.schema import DC_VOLTS
from holdover.findings import NOWHERE, Finding, Place, report, show
from holdover.reading.entries import Entry, Reading, Row, is_empty, typed_text, unstated
from holdover.reading.quantity.motor import (
    AMOUNT,
    CHART_W,
    CODE_KVA,
    LOCKED_TIMES,
    Motor,
    code_va,
    full_load_va,
    read_motor,
    shaft_hp,
    shaft_kw,
)
from holdover.reading.quantity.nameplate import states_ceiling
from holdover.reading.quantity.numbers import MARKS
from holdover.reading.quantity.quantity import Quantity, amounts
from holdover.reading.quantity.units import find_unit

FIELDS: Final = ("motor", "running_w", "starting_w")
"""Where a plate may be typed, the column of its own first."""
FACTOR: Final = 0.8
"""Power factor of a single-phase motor at full load, where none is stated [-]; common practice."""
SOFT_SHARE: Final = 0.5
"""What is left of a start with a soft starter [share]; common practice, below the cut of 60 to 75 % that trade pages claim."""
FAR: Final = 1.5
"""A start that is stated is set beside that of the code from this ratio on [-]; common practice."""

LARGE_W: Final = 500.0
"""From this draw on the power factor of a motor is asked for [W]; common practice."""

Report = Callable[..., None]
Fields = dict[str, Any]


def take_motor(entries: Mapping[str, Entry], reading: Reading) -> tuple[dict[str, Entry], Motor]:
    """What is said of a motor, and the entries without it; the first place that says something goes before the others."""
    motor, left = Motor(), dict(entries)
    for name in FIELDS:
        entry = entries.get(name)
        if entry is None or is_empty(entry.value) or entry.kind:
            continue
        if name == "motor":
            del left[name]
            said = _own(entry, reading)
        elif isinstance(entry.value, str):
            said = read_motor(entry.value, reading.mark(entry))
        else:
            continue
        if said.is_silent:
            continue
        if name != "motor":
            left[name] = replace(entry, value=said.rest)
        if said.volts:
            left["motor"] = entry
        motor = _joined(motor, said)
    if motor.hp is not None:
        left = _without_maximum(left, reading)
    if motor.hp is None and (motor.starter or motor.code):
        motor = _with_shaft(motor, left, reading)
    if motor.starter == "star":
        reading.report("L009.star", entries["name"].place if "name" in entries else next(iter(entries.values())).place)
        motor = Motor()
    return left, motor


def in_watts(row: Row) -> bool:
    """Whether the draw of a load is stated in watts, and not in amperes or volt-amperes, which count whole as they are."""
    entry = row.entries.get("running_w")
    if entry is None or is_empty(entry.value):
        return False
    if not isinstance(entry.value, str):
        return not any(find_unit(entry.unit, kind) for kind in ("VA", "A"))
    said = amounts(entry.value, "W", entry.unit, watts_of_load=True)[MARKS[0]]
    return isinstance(said, Quantity) and not said.kind


def without_factor(rows: Iterable[tuple[Row, Fields]]) -> list[Finding]:
    """That motors state watts and no power factor, told once for all of them: at 1 their volt-amperes are too few."""
    lacking = [
        (row, str(fields.get("name", "")))
        for row, fields in rows
        if fields.get("running_w", 0.0) >= LARGE_W and "power_factor" not in fields and fields.get("on") != "no"
        if fields.get("feed") not in DC_VOLTS and is_motor(str(fields.get("name", ""))) and in_watts(row)
    ]
    names = ", ".join(name for _, name in lacking)
    place = replace(lacking[0][0].place, row=None, cell="", item="") if lacking else NOWHERE
    return [report("L012", place, names=names, factor=FACTOR)] if lacking else []


def _without_maximum(entries: dict[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries without a maximum of the draw, which says less than the horsepower does."""
    entry = entries.get("running_w")
    if entry is None or not states_ceiling(entry.value):
        return entries
    reading.report("L010.motor", entry.place, typed=show(str(entry.value)))
    return entries | {"running_w": replace(entry, value="")}


def _with_shaft(motor: Motor, left: dict[str, Entry], reading: Reading) -> Motor:
    """A motor with the kilowatts that stand beside its starter or its code; what was read so is taken from the entries."""
    entry = left.get("running_w")
    shaft = shaft_kw(entry.value, reading.mark(entry)) if entry and isinstance(entry.value, str) else None
    if entry is None or shaft is None:
        return motor
    kw, volts = shaft
    if volts:
        left["motor"] = entry
    left["running_w"] = replace(entry, value="")
    return replace(motor, hp=_shaft(kw, entry, reading), volts=motor.volts or volts)


def _shaft(kw: float, entry: Entry, reading: Reading) -> float:
    hp = shaft_hp(kw)
    reading.report("L008.shaft", entry.place, kw=kw, hp=_hp(hp), watts=1000 * kw)
    return hp


def _own(entry: Entry, reading: Reading) -> Motor:
    """A plate in the column of its own: a bare number is horsepower or in the unit of the header, a bare letter a code."""
    text = typed_text(entry.value).strip()
    if unstated(text):
        return Motor()
    if text.upper() in CODE_KVA:
        return Motor(code=text.upper())
    said = read_motor(text, reading.mark(entry))
    shaft = shaft_kw(f"{said.rest} {entry.unit}", reading.mark(entry)) if said.hp is None else None
    if shaft:
        said = replace(said, hp=_shaft(shaft[0], entry, reading), volts=said.volts or shaft[1], rest="")
    elif said.hp is None and re.fullmatch(AMOUNT, said.rest):
        said = replace(said, hp=read_motor(f"{said.rest} hp", reading.mark(entry)).hp, rest="")
    if said.is_silent or said.rest:
        reading.report("L009.unread", entry.place, typed=show(said.rest or text))
    return said


def _joined(one: Motor, other: Motor) -> Motor:
    return Motor(
        hp=other.hp if one.hp is None else one.hp,
        code=one.code or other.code,
        locked_a=other.locked_a if one.locked_a is None else one.locked_a,
        starter=one.starter or other.starter,
        volts=one.volts or other.volts,
    )


def with_motor(motor: Motor, fields: Fields, volts: float, place: Place, reading: Reading) -> Fields:
    """The fields of a load with the draw and the start of its motor, where they are not stated otherwise."""
    if motor.is_silent:
        return fields
    full = None if motor.hp is None else full_load_va(motor.hp)
    if motor.hp is not None and full is None and "running_w" not in fields:
        reading.report("L009.large", place, hp=_hp(motor.hp))
    if full and "running_w" not in fields:
        fields = fields | {"power_factor": fields.get("power_factor", FACTOR)}
        fields |= {"running_w": full * fields["power_factor"]}
        reading.report(
            "L008.running",
            place,
            hp=_hp(motor.hp or 0.0),
            va=full,
            watts=fields["running_w"],
            factor=fields["power_factor"],
        )
    running = fields["running_w"] / (fields.get("power_factor") or 1.0) if "running_w" in fields else None
    start, how = _start(motor, full, running, volts)
    if not start:
        if motor.code or motor.starter:
            reading.report("L009.alone", place, said=f"code {motor.code}" if motor.code else f"a {motor.starter} start")
        return fields
    if motor.starter == "soft":
        start, how = start * SOFT_SHARE, f"half of {figure(start)} VA, with a soft starter: {how}"
    if "starting_w" in fields:
        if start > FAR * fields["starting_w"]:
            reading.report("L008.beside", place, stated=fields["starting_w"], va=start, how=how)
        return fields
    chart = "" if motor.hp is None else f" ({figure(CHART_W * motor.hp)} W here: NDSU Extension, 2022)"
    reading.report("L008.start", place, va=start, how=how, chart=chart)
    return fields | {"starting_w": max(start, fields.get("running_w", 0.0))}


def _hp(hp: float) -> str:
    """Horsepower as plates state it: 1/3, not 0.3333."""
    near = Fraction(hp).limit_denominator(8)
    return str(near) if near < 1 and abs(near - hp) < 0.005 else figure(hp)


def _start(motor: Motor, full: float | None, running: float | None, volts: float) -> tuple[float, str]:
    """The start without a starter [VA] and where it comes from; 0 where nothing tells it."""
    if motor.locked_a is not None:
        return motor.locked_a * volts, f"{figure(motor.locked_a)} A at {figure(volts)} V with the rotor locked"
    if motor.code and motor.hp is not None:
        least, most = code_va(motor.code, motor.hp)
        return most, f"code {motor.code}, {figure(least)} to {figure(most)} VA (NEC Table 430.7(B))"
    six = "six times full load, the most the code reckons with (NEC Table 430.251(A))"
    if motor.code and full is None:
        return 0.0, ""
    known = full if full else running if motor.starter else None
    return (LOCKED_TIMES * known, six) if known else (0.0, "")
