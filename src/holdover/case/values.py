"""From what stands in a cell or behind a key to the value of a field, or a finding that says why not."""

import datetime
import math
from dataclasses import dataclass, field, replace
from typing import Any, Final

from holdover.case.asked import Asked
from holdover.case.numbers import MARKS, Fault, Mark, plain
from holdover.case.quantities import Quantity, read_quantity
from holdover.case.text import removed, safe_text, too_long
from holdover.case.units import LIKE, find_unit
from holdover.case.words import choice_of, data, folded, nearest
from holdover.findings import SHOWN, Finding, Findings, Level, Place, at, show

BLANK: Final = frozenset({"-", "--", "---", "n/a", "na", "n.a.", "none", "nil", "blank", "(blank)"})
"""Words for a field left out; nobody means a number by them."""
UNKNOWN: Final = frozenset({"?", "??", "???", "tbd", "tbc", "tba", "unknown", "unk", "not known", "not stated"})
"""Words for a number that is still to be found."""
LARGEST: Final = 1e15
"""Largest bare number taken [-]; every bound of the case lies far below."""

CURRENCIES: Final = {"USD": "$", "US$": "$", "EUR": "€", "GBP": "£", "JPY": "¥", "INR": "₹"}
"""Two ways to write one currency."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What stands at one place, as it was typed."""

    value: Any
    place: Place
    unit: str = ""
    """What bare numbers here are in, from the header or a units row."""
    kind: str = ""
    """date or error, where a sheet says so."""


@dataclass(slots=True, kw_only=True)
class Row:
    """One row, or one section, before its fields are read."""

    part: str
    place: Place
    entries: dict[str, Entry] = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class Reading:
    """What the reading of one case carries along."""

    findings: Findings
    marks: dict[str, Mark | None] = field(default_factory=dict)
    """The decimal mark of each file, once it is decided."""
    currency: str = "$"
    house: str = "120 V"
    house_is_set: bool = False

    def say(self, code: str, level: Level, message: str, place: Place, **more: Any) -> None:
        """Collect a finding at a place."""
        self.findings.add(at(Finding(code=code, level=level, message=message, **more), place))


def is_empty(value: object) -> bool:
    """Whether nothing stands here."""
    return value is None or (isinstance(value, str) and not value.strip())


def allowed(asked: Asked) -> str:
    """The bounds in words."""
    if asked.choices:
        return ", ".join(asked.choices)
    unit = "" if asked.unit in {"", "share", "money", "clock", "1-12", "weight", "km"} else f" {asked.unit}"
    if asked.low is None or asked.high is None:
        return ""
    if asked.unit == "share":
        return f"{asked.low * 100:g} % to {asked.high * 100:g} %"
    return f"{asked.low:,g} to {asked.high:,g}{unit}".replace(",", " " if asked.high >= 10_000 else "")


def read_text(entry: Entry, asked: Asked, reading: Reading) -> str | None:
    """A text or a choice; None where it is blank or can't be taken."""
    value = entry.value
    if is_empty(value):
        return None
    if entry.kind == "error":
        _say_error_cell(entry, reading)
        return None
    if isinstance(value, bool | list | dict):
        reading.say(
            "Q009",
            "error",
            f"{asked.title} must be text",
            entry.place,
            found=show(_typed(value)),
            remedy="write a word",
        )
        return None
    typed = _typed(value)
    if asked.choices:
        return _choice(typed, entry, asked, reading)
    if removed(typed):
        reading.say(
            "Q019",
            "warning",
            "control or invisible characters were left out",
            entry.place,
            found=show(typed),
            remedy="retype the text if it now reads wrongly",
        )
    if too_long(typed):
        reading.say("Q020", "warning", "the text was cut at 32 000 characters", entry.place, found=show(typed))
    return safe_text(typed) or None


def _typed(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float) and value.is_integer() and abs(value) < LARGEST:
        return str(int(value))
    if isinstance(value, int) and abs(value) > LARGEST:
        return "a whole number of very many digits"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return str(value)


def _choice(typed: str, entry: Entry, asked: Asked, reading: Reading) -> str | None:
    if typed.strip().casefold() in BLANK:
        return None
    word = plain(typed).strip()
    if asked.name == "feed":
        taken = feed_of(word, asked, reading, entry)
        if taken is not None:
            return taken or None
    else:
        taken = choice_of(asked.name, word, asked.choices)
        if taken is not None:
            return taken
    close = nearest(word, list(asked.choices))
    remedy = f"did you mean {close}?" if close else f"write {asked.choices[0]}"
    reading.say(
        "Q007",
        "error",
        f"{asked.title} is not one of the words known",
        entry.place,
        found=show(typed),
        allowed=allowed(asked),
        remedy=remedy,
    )
    return None


def feed_of(word: str, asked: Asked, reading: Reading, entry: Entry) -> str | None:
    """A feed, "" for the feed of the house, None where the word means none."""
    if folded(word) in data("words.toml")["house"]["words"] and asked.part == "loads":
        return ""
    taken = choice_of("feed", word, asked.choices)
    if taken is not None:
        return taken
    try:
        volts = read_quantity(word, "V", ".").value
    except Fault:
        return None
    nominal = nominal_volts(volts, entry, reading)
    meant = None if nominal is None else f"{nominal:g} V"
    return meant if meant in asked.choices else None


def nominal_volts(volts: float, entry: Entry, reading: Reading) -> float | None:
    """The nominal system voltage a nameplate means; None, with a finding, where it may mean two."""
    if volts in data("words.toml")["nominal"]["120"]:
        meant = 120.0
    elif volts == 220:
        if not reading.house_is_set:
            reading.say(
                "Q018",
                "error",
                "220 V may stand for 230 V or for 240 V",
                entry.place,
                found=show(_typed(entry.value)),
                remedy='write 230 V or 240 V, or set feed = "230 V" under [sizing]',
            )
            return None
        meant = 230.0 if reading.house == "230 V" else 240.0
    else:
        return volts
    reading.say("Q017", "note", f"{volts:g} V read as the nominal {meant:g} V", entry.place)
    return meant


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
        _say_error_cell(entry, reading)
        return None
    if entry.kind == "date" or isinstance(value, datetime.date | datetime.time):
        return _from_date(entry, asked, reading)
    if isinstance(value, bool | list | dict):
        reading.say(
            "Q009",
            "error",
            f"{asked.title} must be a number, not {'yes or no' if isinstance(value, bool) else 'a list'}",
            entry.place,
            found=show(_typed(value)),
            remedy=f"write it like {LIKE[asked.unit]}",
        )
        return None
    if isinstance(value, int | float):
        return _from_number(value, entry, asked, reading)
    return _from_text(value, entry, asked, reading)


def _say_error_cell(entry: Entry, reading: Reading) -> None:
    reading.say(
        "X005",
        "error",
        "the cell shows an error",
        entry.place,
        found=show(entry.value),
        remedy="mend the formula or type the value over it",
    )


def _from_date(entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    """A cell formatted as date or time: a time of day is taken where hours are asked for."""
    hours = _hours_of(entry.value)
    if hours is not None and asked.unit in {"clock", "h"}:
        reading.say(
            "X012", "note", f"a time of {int(hours):02d}:{round(hours % 1 * 60):02d} read as {hours:g} h", entry.place
        )
        return Quantity(value=hours)
    reading.say(
        "X006",
        "error",
        f"{asked.title} must be a number, not a date",
        entry.place,
        found=show(_typed(entry.value)),
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
    # A sheet keeps a time of day as a share of a day; minutes are what people type.
    if isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= 1:
        return round(value * 1440) / 60
    return None


def _from_number(value: float, entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    if abs(value) > LARGEST or math.isnan(value) or math.isinf(value):
        reading.say(
            "Q010",
            "error",
            f"{asked.title} is no number that can be counted with",
            entry.place,
            found=show(_typed(value)),
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
        reading.say(
            "Q003",
            "error",
            f"{asked.title} may be read as {small:g} or as {large:g}",
            entry.place,
            found=show(value),
            remedy=f"nothing else in the file tells which: write {large:g} or {_sure(small)} {asked.unit}".rstrip(),
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
    text = f"{value:g}"
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
        remedy=fault.remedy or f"write it like {LIKE[asked.unit]}",
    )


def _in_bounds(quantity: Quantity, entry: Entry, asked: Asked, reading: Reading) -> bool:
    typed = show(_typed(entry.value))
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
        remedy = f"{quantity.value:g} means {quantity.value * 100:g} %: write {quantity.value:g} %"
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
            f"read as {quantity.value:g}; `{quantity.loose}` is not counted with",
            entry.place,
            found=show(entry.value),
        )
    if asked.unit == "money":
        _check_currency(quantity, entry, reading)
        return
    unit = find_unit(quantity.unit, asked.unit)
    same = not quantity.unit or (unit is not None and unit.is_own) or asked.unit == "share"
    if same and not quantity.count:
        return
    if quantity.kind and quantity.volts is None:
        return  # told where the volts are known
    count = f"{quantity.count} of " if quantity.count else ""
    value = quantity.value * (quantity.volts or 1) if quantity.kind else quantity.value
    reading.say(
        "Q005",
        "note",
        f"{show(_typed(entry.value))} read as {count}{value:.6g} {(quantity.kind and 'VA') or asked.unit}",
        entry.place,
    )


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


def with_unit(entry: Entry, unit: str) -> Entry:
    """The entry, its bare number in another unit."""
    return replace(entry, unit=unit)
