"""From what stands in a cell or behind a key to a number within its bounds, or a finding that says why not."""

import datetime
import math
import re
from typing import Final

from holdover.case.figures import exact, figure
from holdover.case.words import vocabulary
from holdover.findings import SHOWN, show
from holdover.reading.entries import (
    LARGEST,
    Entry,
    Reading,
    allowed,
    example,
    in_toml,
    is_empty,
    report_error_cell,
    typed_text,
    unit_in_words,
    unstated,
)
from holdover.reading.fields import ASKED, Asked
from holdover.reading.quantity.clock import read_span
from holdover.reading.quantity.numbers import MARKS, Fault, Mark, plain
from holdover.reading.quantity.quantity import Quantity, amounts
from holdover.reading.quantity.units import LIKE, find_unit
from holdover.xlsx import DAYS_TO_1904

CURRENCIES: Final[dict[str, str]] = vocabulary("units")["currencies"]["same"]
"""Two ways to write one currency."""
THOUSANDTHS: Final = frozenset(vocabulary("units")["currencies"]["thousandths"])
"""Currencies of which a price may have three decimals."""
OUTPUT_VOLTS: Final = ("ac_volts", "ac_volts_2")
"""Fields of a candidate that are voltages of its output."""
BETWEEN_PHASES: Final = (380.0, 690.0)
"""Outputs within are those between two of three phases [V]: 380, 400, 415, 480, 600, 690 (IEC 60038, from memory)."""
PLURALS: Final = frozenset({"days", "years", "cycles"})
"""Units that are words."""
SPANS: Final[dict[tuple[str, str], str]] = {
    ("loads", "starts_at"): "hours_per_day",
    ("loads", "ends_at"): "hours_per_day",
    ("outage", "generator_from"): "generator_hours",
    ("outage", "mains_from"): "mains_hours",
}
"""By the field of a clock hour, the one that takes from when until when."""


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
        report_error_cell(entry, reading)
        return None
    if entry.kind == "date" or isinstance(value, datetime.date | datetime.time):
        return _from_date(entry, asked, reading)
    if isinstance(value, bool | list | dict):
        reading.report(
            "Q009.yes_or_no" if isinstance(value, bool) else "Q009.list",
            entry.place,
            title=asked.title,
            like=example(asked, entry),
            found=typed_text(value),
        )
        return None
    if isinstance(value, int | float):
        return _from_number(value, entry, asked, reading)
    return _from_text(value, entry, asked, reading)


def _from_date(entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    """A cell formatted as date or time: a time of day is taken where hours are asked for, and there bare hours, too."""
    if asked.unit == "clock" and isinstance(entry.value, int | float) and 1 < entry.value <= 24:
        return Quantity(value=float(entry.value) % 24)
    hours = _hours_of(entry.value)
    if hours is not None and asked.unit in {"clock", "h"}:
        reading.report("X012", entry.place, time=f"{int(hours):02d}:{round(hours % 1 * 60):02d}", hours=hours)
        return Quantity(value=hours)
    reading.report("X006", entry.place, title=asked.title, found=typed_text(entry.value))
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
        reading.report(
            "Q010.number",
            entry.place,
            title=asked.title,
            like=example(asked, entry),
            found=typed_text(value),
            allowed=allowed(asked),
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
    found = amounts(entry.value, asked.unit, entry.unit, asked.watts_of_load)
    return {mark: said.value for mark, said in found.items() if isinstance(said, Quantity) and _fits(said, asked)}


def _fits(quantity: Quantity, asked: Asked) -> bool:
    low, high = asked.low, asked.high
    whole = not asked.whole or quantity.value == round(quantity.value)
    return whole and (low is None or quantity.value >= low) and (high is None or quantity.value <= high)


def _from_text(value: str, entry: Entry, asked: Asked, reading: Reading) -> Quantity | None:
    nothing = unstated(value)
    if nothing:
        if nothing == "unknown":
            reading.report("Q016", entry.place, title=asked.title, found=value)
        return None
    possible = readings(entry, asked)
    mark = reading.mark(entry)
    if mark is None and len(set(possible.values())) == 2:
        small, large = sorted(possible.values(), key=abs)
        unit = f" {unit_in_words(asked)}".rstrip()
        reading.report(
            "Q003.mark",
            entry.place,
            title=asked.title,
            small=exact(small),
            large=exact(large),
            sure=_sure(small),
            unit=unit,
            found=value,
        )
        return None
    mark = mark or (next(iter(possible)) if possible else None)
    said = _parsed(value, entry, asked, mark)
    if isinstance(said, Quantity):
        return None if _has_thousandths(said, entry, asked, mark, reading) else said
    _report_fault(said, entry, asked, reading)
    return None


def _has_thousandths(said: Quantity, entry: Entry, asked: Asked, mark: Mark | None, reading: Reading) -> bool:
    """Whether a price has three decimals, as one with a mark between its thousands seems to have; if so it is told."""
    if asked.unit != "money" or {said.unit, reading.context.currency} & THOUSANDTHS:
        return False
    if not re.search(
        rf"(?<![0-9])[1-9][0-9]{{0,2}}{re.escape(mark or MARKS[0])}[0-9]{{3}}(?![0-9])", plain(entry.value)
    ):
        return False
    small, large = exact(said.value), exact(said.value * 1000)
    reading.report(
        "Q003.money",
        entry.place,
        title=asked.title,
        small=small,
        large=large,
        sure=f"{said.value:.2f}",
        found=entry.value,
    )
    return True


def _sure(value: float) -> str:
    """The value written so that its mark can only be a decimal mark."""
    text = exact(value)
    return f"{text}0" if len(text.partition(".")[2]) == 3 else text


def _parsed(value: str, entry: Entry, asked: Asked, mark: Mark | None) -> Quantity | Fault:
    """Read under the mark of the file, or under the one that gets furthest."""
    found = amounts(value, asked.unit, entry.unit, asked.watts_of_load)
    said = [found[each] for each in ((mark,) if mark else MARKS)]
    faults = [each for each in said if isinstance(each, Fault)]
    if len(faults) == len(said):
        return max(faults, key=lambda fault: fault.at)
    return next(each for each in said if isinstance(each, Quantity))


def _report_fault(fault: Fault, entry: Entry, asked: Asked, reading: Reading) -> None:
    before = len(show(entry.value[: fault.at], 10**6))
    caret = before if before < SHOWN else None
    why, how, typed = fault.message, fault.remedy or f"write it like {example(asked, entry)}", entry.value
    wording, meant = _meant_for(fault, entry, asked)
    if meant:
        reading.report(
            f"Q006.{wording}",
            entry.place,
            title=asked.title,
            why=why,
            how=how,
            column=f"{ASKED[asked.part][meant].title} ({meant})",
            like=LIKE[asked.unit],
            caret=caret,
            found=typed,
            allowed=allowed(asked),
        )
    else:
        reading.report(
            f"{fault.code}.amount",
            entry.place,
            title=asked.title,
            why=why,
            how=how,
            caret=caret,
            found=typed,
            allowed=allowed(asked),
        )


def _meant_for(fault: Fault, entry: Entry, asked: Asked) -> tuple[str, str]:
    """How a fault is worded, and the field that its text is meant for, "" where none is known."""
    word = re.sub(r"^[^A-Za-z]+", "", plain(entry.value))
    place = asked.part, asked.name
    if fault.code != "Q006":
        return "amount", ""
    if place == ("candidates", "continuous_w") and find_unit(word, "VA"):
        return "apparent", "continuous_va"
    if place == ("loads", "running_w") and (find_unit(word, "Wh") or find_unit(word, "Wh/day")):
        return "energy", "measured_wh_per_day"
    if place in SPANS and read_span(plain(entry.value)):
        return "span", SPANS[place]
    return "amount", ""


def _in_bounds(quantity: Quantity, entry: Entry, asked: Asked, reading: Reading) -> bool:
    typed = typed_text(entry.value)
    if asked.whole and quantity.value != round(quantity.value):
        reading.report(
            "Q008",
            entry.place,
            title=asked.title,
            whole=str(round(quantity.value)),
            found=typed,
            allowed=allowed(asked),
        )
        return False
    if quantity.kind or _fits(quantity, asked):
        return True
    low, high = BETWEEN_PHASES
    if (asked.part, asked.name) in {("candidates", name) for name in OUTPUT_VOLTS} and low <= quantity.value <= high:
        reading.report("Q001.phases", entry.place, found=typed)
        return False
    title, limits = asked.title, _limits(quantity, entry, asked)
    between = limits.replace(" to ", " and ")
    if asked.unit == "share" and not (quantity.unit or entry.unit) and 1 < quantity.value <= 100:
        number, percent, share = (exact(quantity.value * each) for each in (1, 100, 0.01))
        reading.report(
            "Q002.share_in_toml" if in_toml(entry) else "Q002.share",
            entry.place,
            title=title,
            between=between,
            number=number,
            percent=percent,
            share=share,
            found=typed,
            allowed=limits,
        )
    elif asked.name == "hours_per_day" and quantity.value > 24:
        reading.report("Q002.hours", entry.place, title=title, between=between, found=typed, allowed=limits)
    else:
        like = example(asked, entry)
        reading.report("Q002.bounds", entry.place, title=title, between=between, like=like, found=typed, allowed=limits)
    return False


def _limits(quantity: Quantity, entry: Entry, asked: Asked) -> str:
    """The bounds in words, in the unit that stands in the cell or in its header."""
    written = quantity.unit or entry.unit
    unit = find_unit(written, asked.unit) if written and not quantity.starts_at else None
    if unit is None or unit.is_own or asked.unit == "share" or asked.low is None or asked.high is None:
        return allowed(asked)
    return f"{figure(unit.restore(asked.low))} to {figure(unit.restore(asked.high))} {written}"


def _note(quantity: Quantity, entry: Entry, asked: Asked, reading: Reading) -> None:
    """What was turned into something else is shown back."""
    if quantity.loose:
        reading.report("Q014", entry.place, number=quantity.value, loose=quantity.loose, found=entry.value)
    if asked.unit in {"money", "money/l"}:
        _check_currency(quantity, entry, reading)
        return
    if quantity.guessed:
        reading.report("Q005.guessed", entry.place, typed=typed_text(entry.value), guessed=quantity.guessed)
        return
    unit = find_unit(quantity.unit, asked.unit)
    same = not quantity.unit or (unit is not None and unit.is_own) or asked.unit == "share" or quantity.kept
    if same and not quantity.count:
        return
    if quantity.kind and quantity.volts is None:
        return  # told where the volts are known
    count = f"{quantity.count} of " if quantity.count else ""
    value = quantity.value * (quantity.volts or 1) if quantity.kind == "A" else quantity.value
    reading.report(
        "Q005.turned", entry.place, typed=typed_text(entry.value), count=count, value=_with_unit(value, quantity, asked)
    )


def _with_unit(value: float, quantity: Quantity, asked: Asked) -> str:
    """A value with its unit."""
    unit = (quantity.kind and "VA") or asked.unit
    number = figure(value)
    return f"{number} {unit.removesuffix('s') if number == '1' and unit in PLURALS else unit}"


def _check_currency(quantity: Quantity, entry: Entry, reading: Reading) -> None:
    signs, currency, own = quantity.unit, reading.context.currency, reading.context.signs
    if own and signs and signs not in own:
        reading.report(
            "Q013.country", entry.place, signs=signs, currency=currency, like=min(own - {currency}), found=entry.value
        )
    elif not own and signs and CURRENCIES.get(signs, signs) != CURRENCIES.get(currency, currency):
        cell = reading.context.cells.get("about.currency", "")
        reading.report(
            "Q013.workbook" if cell else "Q013.folder",
            entry.place,
            signs=signs,
            currency=currency,
            cell=cell,
            found=entry.value,
        )
