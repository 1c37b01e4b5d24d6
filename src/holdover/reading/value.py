"""From what stands in a cell or behind a key to a number within its bounds, or a finding that says why not."""

import datetime
import math
import re
from typing import Final

from holdover.case.figures import exact, figure
from holdover.findings import SHOWN, show
from holdover.reading.entries import (
    BLANK,
    LARGEST,
    UNKNOWN,
    Entry,
    Reading,
    allowed,
    is_empty,
    say_error_cell,
    shown_unit,
    typed_text,
)
from holdover.reading.fields import ASKED, Asked
from holdover.reading.quantity.numbers import MARKS, Fault, Mark, plain
from holdover.reading.quantity.quantity import Quantity, read_quantity
from holdover.reading.quantity.units import LIKE, find_unit
from holdover.xlsx import DAYS_TO_1904

CURRENCIES: Final = {"USD": "$", "US$": "$", "EUR": "€", "GBP": "£", "JPY": "¥", "INR": "₹"}
"""Two ways to write one currency."""
PLURALS: Final = frozenset({"days", "years", "cycles"})
"""Units that are words."""


def read_number(entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    """The quantity that stands here, within its bounds; None where it is blank or can't be taken."""
    quantity = _quantity(entry, asked, reading)
    if quantity is None or not _in_bounds(quantity, entry, asked, reading):
        return None
    _note(quantity, entry, asked, reading)
    return quantity


def _quantity(entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    value = entry.value
    if is_empty(value):
        return None
    if entry.kind == "error":
        say_error_cell(entry, reading)
        return None
    if entry.kind == "date" or isinstance(value, datetime.date | datetime.time):
        return _from_date(entry, asked, reading)
    if isinstance(value, bool | list | dict):
        reading.say(
            "Q009",
            "error",
            f"{asked.title} must be a number, not {'yes or no' if isinstance(value, bool) else 'a list'}",
            entry.place,
            found=show(typed_text(value)),
            remedy=f"write it like {LIKE[asked.unit]}",
        )
        return None
    if isinstance(value, int | float):
        return _from_number(value, entry, asked, reading)
    return _from_text(value, entry, asked, reading)


def _from_date(entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    """A cell formatted as date or time: a time of day is taken where hours are asked for."""
    hours = _hours_of(entry.value)
    if hours is not None and asked.unit in {"clock", "h"}:
        reading.say(
            "X012",
            "note",
            f"a time of {int(hours):02d}:{round(hours % 1 * 60):02d} read as {figure(hours)} h",
            entry.place,
        )
        return Quantity(value=hours)
    reading.say(
        "X006",
        "error",
        f"{asked.title} must be a number, not a date",
        entry.place,
        found=show(typed_text(entry.value)),
        remedy="format the cell as a number and type it again (sheets turn 1/2 and 3-4 into dates)",
    )
    return None


def _hours_of(value: object) -> float | None:
    if isinstance(value, datetime.datetime):
        return None
    if isinstance(value, datetime.time):
        return value.hour + value.minute / 60 + value.second / 3600
    if isinstance(value, str):
        try:
            return _hours_of(datetime.time.fromisoformat(value))
        except ValueError:
            return None
    # A sheet keeps a time of day as a share of a day, one that counts from 1904 begins there; minutes are what people type.
    if isinstance(value, int | float) and not isinstance(value, bool):
        share = value - DAYS_TO_1904 if value >= DAYS_TO_1904 else value
        return round(share * 1440) / 60 if 0 <= share <= 1 else None
    return None


def _from_number(value: float, entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    if abs(value) > LARGEST or math.isnan(value) or math.isinf(value):
        reading.say(
            "Q010",
            "error",
            f"{asked.title} is no number that can be counted with",
            entry.place,
            found=show(typed_text(value)),
            allowed=allowed(asked),
            remedy=f"write it like {LIKE[asked.unit]}",
        )
        return None
    value = float(value)
    if not entry.unit:
        return Quantity(value=value)
    for kind in ("VA", "A") if asked.watts_of_load else ():
        found = find_unit(entry.unit, kind)
        if found:
            return Quantity(value=found.convert(value), kind=kind)
    unit = find_unit(entry.unit, asked.unit)
    return Quantity(value=unit.convert(value) if unit else value)


def readings(entry: Entry, asked: Asked) -> dict[Mark, float]:
    """What a text says under either decimal mark, where that lies within the bounds."""
    values: dict[Mark, float] = {}
    for mark in MARKS:
        try:
            quantity = read_quantity(
                entry.value, asked.unit, mark, bare_unit=entry.unit, watts_of_load=asked.watts_of_load
            )
        except Fault:
            continue
        if _fits(quantity, asked):
            values[mark] = quantity.value
    return values


def _fits(quantity: Quantity, asked: Asked) -> bool:
    low, high = asked.low, asked.high
    whole = not asked.whole or quantity.value == round(quantity.value)
    return whole and (low is None or quantity.value >= low) and (high is None or quantity.value <= high)


def _from_text(value: str, entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    word = plain(value).strip().casefold()
    if word in BLANK:
        return None
    if word in UNKNOWN:
        reading.say(
            "Q016",
            "warning",
            f"{asked.title} is not known; taken as left blank",
            entry.place,
            found=show(value),
            remedy="find it out, or leave the cell blank",
        )
        return None
    possible = readings(entry, asked)
    mark = reading.marks.get(entry.place.file)
    if mark is None and len(set(possible.values())) == 2:
        small, large = sorted(possible.values(), key=abs)
        unit = f" {shown_unit(asked)}".rstrip()
        reading.say(
            "Q003",
            "error",
            f"{asked.title} may be read as {exact(small)} or as {exact(large)}",
            entry.place,
            found=show(value),
            remedy=f"nothing else in the file tells which: write {exact(large)}{unit} or {_sure(small)}{unit}",
        )
        return None
    mark = mark or (next(iter(possible)) if possible else None)
    try:
        return _parsed(value, entry, asked, mark)
    except Fault as fault:
        _say_fault(fault, entry, asked, reading)
        return None


def _sure(value: float) -> str:
    """The value written so that its mark can only be a decimal mark."""
    text = exact(value)
    return f"{text}0" if len(text.partition(".")[2]) == 3 else text


def _parsed(value: str, entry: Entry, asked: Asked, mark: Mark | None) -> Quantity:
    """Read under the mark of the file, or under the one that gets furthest."""
    faults: list[Fault] = []
    for each in (mark,) if mark else MARKS:
        try:
            return read_quantity(value, asked.unit, each, bare_unit=entry.unit, watts_of_load=asked.watts_of_load)
        except Fault as fault:
            faults.append(fault)
    raise max(faults, key=lambda fault: fault.at)


def _say_fault(fault: Fault, entry: Entry, asked: Asked, reading: Reading) -> None:
    caret = len(show(entry.value[: fault.at], 10**6))
    reading.say(
        fault.code,
        "error",
        f"{asked.title} can't be read: {fault.message}",
        entry.place,
        found=show(entry.value),
        caret=caret if caret < SHOWN else None,
        allowed=allowed(asked),
        remedy=_VA_REMEDY if _is_apparent(fault, entry, asked) else fault.remedy or f"write it like {LIKE[asked.unit]}",
    )


_VA_REMEDY: Final = (
    f"write volt-amperes into the column {ASKED['candidates']['continuous_va'].title} (continuous_va), "
    f"and here watts, like {LIKE['W']}"
)


def _is_apparent(fault: Fault, entry: Entry, asked: Asked) -> bool:
    """Whether volt-amperes stand where the continuous watts of a candidate are asked for."""
    word = re.sub(r"^[^A-Za-z]+", "", plain(entry.value))
    return asked.name == "continuous_w" and fault.code == "Q006" and find_unit(word, "VA") is not None


def _in_bounds(quantity: Quantity, entry: Entry, asked: Asked, reading: Reading) -> bool:
    typed = show(typed_text(entry.value))
    if asked.whole and quantity.value != round(quantity.value):
        reading.say(
            "Q008",
            "error",
            f"{asked.title} must be a whole number",
            entry.place,
            found=typed,
            allowed=allowed(asked),
            remedy=f"write {round(quantity.value)}",
        )
        return False
    if quantity.kind or _fits(quantity, asked):
        return True
    remedy = f"write it like {LIKE[asked.unit]}"
    if asked.unit == "share" and 1 < quantity.value <= 100:
        remedy = f"{exact(quantity.value)} means {exact(quantity.value * 100)} %: write {exact(quantity.value)} %"
    if asked.name == "hours_per_day" and quantity.value > 24:
        remedy = "write the hours of one day, for example 1.5; for several of a load raise its quantity instead"
    reading.say(
        "Q002",
        "error",
        f"{asked.title} must be between {allowed(asked).replace(' to ', ' and ')}",
        entry.place,
        found=typed,
        allowed=allowed(asked),
        remedy=remedy,
    )
    return False


def _note(quantity: Quantity, entry: Entry, asked: Asked, reading: Reading) -> None:
    """What was turned into something else is shown back."""
    if quantity.loose:
        reading.say(
            "Q014",
            "note",
            f"read as {figure(quantity.value)}; `{quantity.loose}` is not counted with",
            entry.place,
            found=show(entry.value),
        )
    if asked.unit == "money":
        _check_currency(quantity, entry, reading)
        return
    unit = find_unit(quantity.unit, asked.unit)
    same = not quantity.unit or (unit is not None and unit.is_own) or asked.unit == "share" or quantity.kept
    if same and not quantity.count:
        return
    if quantity.kind and quantity.volts is None:
        return  # told where the volts are known
    count = f"{quantity.count} of " if quantity.count else ""
    value = quantity.value * (quantity.volts or 1) if quantity.kind else quantity.value
    reading.say(
        "Q005",
        "note",
        f"{show(typed_text(entry.value))} read as {count}{_told(value, quantity, asked)}",
        entry.place,
    )


def _told(value: float, quantity: Quantity, asked: Asked) -> str:
    """A value with its unit."""
    unit = (quantity.kind and "VA") or asked.unit
    number = figure(value)
    return f"{number} {unit.removesuffix('s') if number == '1' and unit in PLURALS else unit}"


def _check_currency(quantity: Quantity, entry: Entry, reading: Reading) -> None:
    signs = quantity.unit
    if signs and CURRENCIES.get(signs, signs) != CURRENCIES.get(reading.currency, reading.currency):
        reading.say(
            "Q013",
            "error",
            f"the price is in {show(signs)}, the case counts in {show(reading.currency)}",
            entry.place,
            found=show(entry.value),
            remedy=f'turn it into {show(reading.currency)}, or set currency = "{show(signs)}" under [about]',
        )
