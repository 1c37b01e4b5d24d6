"""Quantities as people write them: number, unit and the special forms of the trade. An own grammar."""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from holdover.case.figures import figure
from holdover.case.words import either, vocabulary
from holdover.reading.quantity.clock import HALF, UNTIL, named_spans, read_length, read_span, read_time
from holdover.reading.quantity.nameplate import read_plate
from holdover.reading.quantity.numbers import MARKS, Fault, Mark, plain, scan
from holdover.reading.quantity.units import KEPT, LIKE, REFUSED, UNITS, find_unit, plain_unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """What a text says: the value in the unit of the field, and what else stood there."""

    value: float
    unit: str = ""
    """The unit as written, "" where the number stood bare."""
    kind: str = ""
    """VA or A where a field of watts was stated that way."""
    volts: float | None = None
    """Volts written beside amps or amp-hours."""
    count: int | None = None
    """The 2 of `2 x 60 W`."""
    starts_at: float | None = None
    """The 18:00 of `18:00-22:30`."""
    guessed: str = ""
    """What a word or a range was taken for, where it says no figure of its own: it is told."""
    loose: str = ""
    """A word such as `about` or `<` that stood before the number."""
    kept: str = ""
    """The unit of a distance or a consumption, where it was written: it is a setting of its own."""


_WORDS: Final = vocabulary("units")
_AMOUNTS: Final = _WORDS["amounts"]
_LOOSE: Final = re.compile(rf"(?:[~≈]|{either(_AMOUNTS['about'])}(?![^\W\d_]|[$€£]))\s*", re.IGNORECASE)
_LIMIT: Final = re.compile(rf"(?:[<>]=?|[≤≥]|{either(_AMOUNTS['limits'])})\s*", re.IGNORECASE)
VOLTS_MAX: Final = 1_500.0
"""Highest voltage of a solar input [V]; the schema's bound."""
SET_APART: Final = frozenset({"km", "consumption"})
"""Kinds of quantity that keep the number as it was written; their unit is a setting of its own."""
LIMITED: Final = frozenset({"ms", "dB(A)", "cycles", "years"})
"""Units in which data sheets state a limit (`< 20 ms`, `3500+ cycles`); the limit itself is read."""
_COUNT: Final = re.compile(
    rf"(?P<count>[1-9][0-9]{{0,2}}) ?(?:[x*@]|{either(_AMOUNTS['pieces'])} (?:@|{either(_AMOUNTS['of'])})?) ?(?=[0-9.,½¼¾])",
    re.IGNORECASE,
)
TO: Final = rf"(?:-|\.\.+|…|{either(_AMOUNTS['to'])})"
"""What stands between the ends of a range, as a pattern."""
_CLOCK_HOURS: Final = re.compile(
    rf"([0-9]{{1,2}})\s*{TO}\s*([0-9]{{1,2}})\s*{either(_WORDS['spellings']['clock']['h'])}?", re.IGNORECASE
)
_ONE_SPAN: Final = re.compile(
    rf"[0-9](?:[:.h][0-9]{{2}})?\s*(?:h|{HALF})?\s*{UNTIL}\s*[0-9]{{1,2}}(?:[:.h][0-9]{{2}})?", re.IGNORECASE
)
_AND: Final = rf"\s*(?:[,+&/]|\b{either(_WORDS['times']['and'])}\b)\s*"
_LENGTHS: Final = re.compile(
    rf"(?P<low>[0-9]{{1,3}}(?:[.,][0-9])?)\s*{TO}\s*(?P<high>[0-9]{{1,3}}(?:[.,][0-9])?)\s*(?P<unit>[A-Za-z][A-Za-z /]*)",
    re.IGNORECASE,
)
CLOCK_FROM: Final = 12.0
"""Above so many hours a range such as `8-17 h` may be one of the clock [h]; common practice."""
_PART_FIRST: Final = re.compile(rf"(?P<part>{either(named_spans())})[\s,;:]+(?P<length>.+)")
_PART_LAST: Final = re.compile(
    rf"(?P<length>.+?)[\s,;]+(?:{either(_WORDS['times']['each'])}\s+)?(?P<part>{either(named_spans())})"
)
_AT: Final = either(_AMOUNTS["at"])
_PAIR: Final = re.compile(rf"\s*(?:[@x*/,]|{_AT})?\s*", re.IGNORECASE)
_POINTS: Final = ["n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"]
_COMPASS: Final = {word: point for point, words in _WORDS["compass"].items() for word in words}
_SIDE: Final = re.compile(rf"(?<![^\W\d_]){either(_COMPASS)}$", re.IGNORECASE)
"""The S of `33.9° S`; no letter of `degrees`."""
_SIGNS: Final = _WORDS["currencies"]
SIGN: Final = r"[A-Za-z]{0,3}[$€£¥₹₩₺₦₱]"
"""The sign of a currency, be it with letters that say whose it is: `CA$`."""
_CURRENCY: Final = re.compile(
    rf"[A-Z]{{3}}|[A-Z]{{0,3}}\$|{either(_SIGNS['signs'])}|{either(_SIGNS['letters'])}(?=[ 0-9])", re.ASCII
)


def read_quantity(text: str, unit: str, mark: Mark, *, bare_unit: str = "", watts_of_load: bool = False) -> Quantity:
    """The quantity a text says, in the unit of its field.

    Args:
        text: as typed
        unit: of the field, a key of UNITS
        mark: the decimal mark of the file
        bare_unit: what a number without a unit is in, "" for the field's own
        watts_of_load: whether amps and volt-amperes are taken too
    """
    line = plain(text)
    start = len(line) - len(line.lstrip())
    line = line.rstrip()
    if start >= len(line):
        raise Fault("nothing stands here", 0)
    special = _special(line[start:], unit, mark)
    if special:
        return special
    loose = _LOOSE.match(line, start) or (_LIMIT.match(line, start) if unit in LIMITED else None)
    begin = loose.end() if loose else start
    if unit == "W" and watts_of_load:
        found = _plate_watts(line, begin, mark, bare_unit)
    elif unit == "Wh":
        found = _storage(line, begin, mark, bare_unit)
    else:
        found = _simple(line, begin, unit, mark, bare_unit)
    return replace(found, loose=loose.group().strip()) if loose else found


@lru_cache(maxsize=8192)
def amounts(text: str, unit: str, bare_unit: str = "", watts_of_load: bool = False) -> Mapping[Mark, Quantity | Fault]:
    """What a text says under each decimal mark, or why it can't be read so; each text is read once and remembered."""
    found: dict[Mark, Quantity | Fault] = {}
    for mark in MARKS:
        if found and not {".", ","} & set(text):  # there is nothing that a mark would change
            found[mark] = found[MARKS[0]]
            continue
        try:
            found[mark] = read_quantity(text, unit, mark, bare_unit=bare_unit, watts_of_load=watts_of_load)
        except Fault as fault:
            found[mark] = fault.with_traceback(None)
    return MappingProxyType(found)


def _special(word: str, unit: str, mark: Mark) -> Quantity | None:
    """Forms that are no number with a unit behind it."""
    if unit == "h":
        named = [each for each in re.split(_AND, word.casefold()) if each in named_spans()]
        if len(_ONE_SPAN.findall(word)) > 1 or len(named) > 1:
            raise Fault(
                "several spans of the clock are not one figure", 0, "write one row per span, each with its hours"
            )
        span = read_span(word)
        if span:
            return Quantity(value=span.hours, unit="span", starts_at=span.starts_at, guessed=span.named)
        length = read_length(word)
        if length is not None:
            return Quantity(value=length, unit="length")
        return _longer(word) or _in_part_of_day(word.casefold(), mark)
    if unit == "clock":
        time = read_time(word)
        if time is None and read_span(word):
            raise Fault("a span of the clock is not one time", 0, code="Q006")
        return None if time is None else Quantity(value=time)
    if unit == "1-12":
        return _month(word.casefold()) if len(word) >= 3 else None
    if unit == "°":
        points = re.sub(either(_COMPASS), lambda found: _COMPASS[found.group()], word.casefold())
        points = re.sub(r"[\s-]", "", points)
        if points in _POINTS:
            return Quantity(value=_POINTS.index(points) * 22.5, unit="compass")
    return None


def _longer(word: str) -> Quantity | None:
    """The longer of two lengths such as `2-3 h`; None where it is no such range, or may be two hours of the clock."""
    found = _LENGTHS.fullmatch(word)
    if not found:
        return None
    low, high = (float(found[end].replace(",", ".")) for end in ("low", "high"))
    unit = find_unit(found["unit"], "h")
    if unit is None or not low < high or (unit.is_own and high > CLOCK_FROM):
        return None
    return Quantity(
        value=unit.convert(high), unit=found["unit"], guessed=f"{found['high']} {found['unit']}, the longer"
    )


def _in_part_of_day(word: str, mark: Mark) -> Quantity | None:
    """A length within a named part of the day, such as `10 min in the morning`: it counts from the beginning of that."""
    found = _PART_FIRST.fullmatch(word) or _PART_LAST.fullmatch(word)
    try:
        said = read_quantity(found["length"], "h", mark) if found else None
    except Fault:
        return None
    if not found or not said or said.starts_at is not None or not said.unit:
        return None
    part = named_spans()[found["part"]]
    told = f"{figure(said.value)} h from {part.named.partition('-')[0]}"
    return Quantity(value=said.value, unit="length", starts_at=part.starts_at, guessed=told)


def _month(word: str) -> Quantity | None:
    """The one month with a name that begins so."""
    months = enumerate(_WORDS["months"].values(), 1)
    meant = [number for number, names in months if any(name.startswith(word.rstrip(".")) for name in names)]
    return Quantity(value=float(meant[0])) if len(meant) == 1 else None


def _simple(line: str, start: int, unit: str, mark: Mark, bare_unit: str) -> Quantity:
    if unit in {"money", "money/l"}:
        return _money(line, start, mark, unit)
    value, end = scan(line, start, mark)
    tail = line[end:].strip()
    if unit in LIMITED and tail.startswith("+"):
        tail = tail[1:].strip()
    side = _SIDE.search(tail) if unit == "°" else None
    point = _COMPASS[side.group().casefold()] if side else ""
    if side and point in {"n", "s"}:
        value, tail = (-abs(value) if point == "s" else value), tail[: side.start()].strip()
    written = tail or bare_unit
    if not written:
        return Quantity(value=value)
    if unit == "Wh/day" and _same_energy(tail, bare_unit or unit):  # the heading says in which time
        return Quantity(value=_converted(line, value, end, bare_unit or unit, unit), unit=tail)
    return Quantity(
        value=_converted(line, value, end, written, unit),
        unit=tail,
        kept=KEPT.get(plain_unit(tail), "") if unit in SET_APART else "",
    )


def _same_energy(tail: str, headed: str) -> bool:
    """Whether an energy without its time is in the energy of its heading: `2900 Wh` below Wh/day, no `340 kWh` there."""
    energy, heading = find_unit(tail, "Wh"), find_unit(headed, "Wh/day")
    return energy is not None and heading is not None and energy.factor == heading.factor


def _converted(line: str, value: float, end: int, written: str, unit: str) -> float:
    found = find_unit(written, unit)
    if found is None:
        raise _unit_fault(line, end, written, unit)
    if unit in SET_APART:
        return value
    return found.convert(value)


def _unit_fault(line: str, end: int, tail: str, unit: str) -> Fault:
    place = min(len(line) - len(line[end:].lstrip()), len(line))
    word = plain_unit(tail)
    if word in REFUSED:
        return Fault(f"{tail} can't be turned into {unit or 'a number'}", place, REFUSED[word], code="Q006")
    first = re.match(r"[^\s(\[{,;]+", tail)
    rest = tail[first.end() :].strip() if first else ""
    if first and rest and find_unit(first.group(), unit):
        return Fault(
            f"`{rest}` stands behind the unit",
            line.index(rest, place + first.end()),
            f"write {line[:place].strip()} {first.group()} here and the rest in a column or on a line of its own",
        )
    if re.match(rf"(?:/|{TO})\s*[0-9]", tail) and unit != "V":
        return Fault("a range is not one figure", place, _range_remedy(line, unit))
    if unit == "Wh/day" and find_unit(tail, "Wh"):
        return Fault(
            "an energy without its time", place, f"write per day or per year, for example {LIKE[unit]}", code="Q011"
        )
    if unit == "Wh" and find_unit(tail, "Ah"):
        return Fault("amp-hours are no energy without volts", place, "write 100 Ah @ 12.8 V", code="Q012")
    if any(find_unit(tail, other) for other in UNITS):
        return Fault(f"`{tail}` is a unit, but not of this kind", place, f"write it like {LIKE[unit]}", code="Q006")
    return Fault(f"`{tail}` is not understood", place, f"write it like {LIKE[unit]}")


def _range_remedy(line: str, unit: str) -> str:
    """What to write in place of a range; in `8-17` people may mean the clock."""
    one = "write the one figure to count with, the higher to be safe"
    hours = _CLOCK_HOURS.fullmatch(line.strip())
    if unit != "h" or not hours or max(int(hours[1]), int(hours[2])) > 24:
        return one
    return f"if these are clock times, write {hours[1]}:00-{hours[2]}:00; if they are a length, {one}"


def _plate_watts(line: str, start: int, mark: Mark, bare_unit: str) -> Quantity:
    """Watts of a load, be it with all that stands on its nameplate around them."""
    try:
        return _load_watts(line, start, mark, bare_unit)
    except Fault as fault:
        plate = read_plate(line)
        begin = len(plate.line) - len(plate.line.lstrip())
        if plate.line == line or begin >= len(plate.line):
            raise
        try:
            found = _load_watts(plate.line.rstrip(), begin, mark, bare_unit)
        except Fault:
            raise fault from None
    if found.kind == "A" and found.volts is None and plate.is_wide and plate.low_v:
        # A supply that takes any outlet draws its rated current where the voltage is lowest.
        return replace(found, value=found.value * plate.low_v, kind="VA")
    return replace(found, volts=plate.volts) if found.volts is None else found


def _load_watts(line: str, start: int, mark: Mark, bare_unit: str) -> Quantity:
    """Watts of a load: also `2 x 60 W`, `850 VA`, `12 A` and `12 A @ 120 V`."""
    counted = _COUNT.match(line, start)
    count = int(counted["count"]) if counted else None
    begin = counted.end() if counted else start
    value, end = scan(line, begin, mark)
    tail = line[end:].strip()
    pair = _amps_and_volts(line, value, end, mark)
    if pair:
        return replace(pair, count=count)
    written = tail or bare_unit
    for kind in ("VA", "A"):
        found = find_unit(written, kind) if written else None
        if found:
            return Quantity(value=found.convert(value), unit=tail, kind=kind, count=count)
    if not written:
        return Quantity(value=value, count=count)
    return Quantity(value=_converted(line, value, end, written, "W"), unit=tail, count=count)


def _amps_and_volts(line: str, value: float, end: int, mark: Mark) -> Quantity | None:
    """`12 A @ 120 V` or `120 V 12 A`; None where the text is no such pair."""
    pair = _two(line, value, end, mark)
    if not pair:
        return None
    (first, unit), (second, other) = pair
    amps, volts = find_unit(unit, "A"), find_unit(other, "V")
    if amps and volts:
        return Quantity(value=amps.convert(first), unit="A @ V", kind="A", volts=second)
    volts, amps = find_unit(unit, "V"), find_unit(other, "A")
    if amps and volts:
        return Quantity(value=amps.convert(second), unit="A @ V", kind="A", volts=first)
    return None


def _storage(line: str, start: int, mark: Mark, bare_unit: str) -> Quantity:
    """An energy, or amp-hours with volts: `100 Ah @ 12.8 V`, `12.8V 100Ah`."""
    value, end = scan(line, start, mark)
    pair = _two(line, value, end, mark)
    if pair:
        for (first, unit), (second, other) in (pair, pair[::-1]):
            hours, volts = find_unit(unit, "Ah"), find_unit(other, "V")
            if hours and volts:
                return Quantity(value=hours.convert(first) * second, unit="Ah @ V", volts=second)
    return _simple(line, start, "Wh", mark, bare_unit)


def _two(line: str, value: float, end: int, mark: Mark) -> tuple[tuple[float, str], tuple[float, str]] | None:
    """Two numbers with a unit each, whatever stands between them."""
    first = re.compile(r"\s*([A-Za-z]{1,4})").match(line, end)
    if not first:
        return None
    unit = first[1]
    for cut in (unit, unit[:-1] if unit[-1:] in "xX" else "", re.sub(f"(?i){_AT}$", "", unit)):
        place = first.start(1) + len(cut)
        begin = _PAIR.match(line, place)
        if not cut or not begin:
            continue
        try:
            second, stop = scan(line, begin.end(), mark)
        except Fault:
            continue
        return (value, cut), (second, line[stop:].strip())
    return None


_NO_CENTS: Final = re.compile(r"[.,]?-{1,2}(?=\s*[^\W\d_]|\s*[$€£])")
"""What stands for the cents before a currency: `499,- €`."""
_THOUSANDS: Final = re.compile(rf"\s?{either(_AMOUNTS['thousands'])}(?![^\W\d_])", re.IGNORECASE)
"""What makes thousands of an amount of money, as in `$9k`."""
_PER: Final = re.compile(r"(?:/|per\b|an?\b)\s*")


def _money(line: str, start: int, mark: Mark, unit: str) -> Quantity:
    begin = _skip_currency(line, start)
    value, end = scan(line, begin, mark)
    thousands = _THOUSANDS.match(line, end)
    if thousands:
        value, end = value * 1000, thousands.end()
    dash = _NO_CENTS.match(line, end)
    end = dash.end() if dash else end
    stop = _skip_currency(line, end)
    tail = line[stop:].strip()
    if tail in {"-", ",-", ".-", ".--"} or (unit == "money" and tail.casefold() in _AMOUNTS["priced"]):
        tail = ""
    price_of = find_unit(_PER.sub("", tail), "l") if unit == "money/l" and _PER.match(tail) else None
    if tail and price_of is None:
        raise Fault(f"`{tail}` is not understood", len(line) - len(line[stop:].lstrip()), f"write it like {LIKE[unit]}")
    signs = (line[start:begin] + line[end:stop]).replace(" ", "")
    return Quantity(value=value / (price_of.factor if price_of else 1), unit=signs)


def _skip_currency(line: str, start: int) -> int:
    place = start + len(line[start:]) - len(line[start:].lstrip())
    word = _CURRENCY.match(line, place)
    if word:
        place = word.end()
    elif place < len(line) and unicodedata.category(line[place]) == "Sc":
        place += 1
    else:
        return start
    return place + len(line[place:]) - len(line[place:].lstrip())


def read_range(text: str, mark: Mark) -> tuple[float, float]:
    """Lowest and highest volts of an input such as `12-60 V` or `12 V to 60 V`."""
    ends = re.split(rf"\s*(?:~|{TO})\s*", plain(text).strip())
    if len(ends) != 2 or not all(ends):
        raise Fault("it is not two voltages", 0)
    low, high = (read_quantity(end, "V", mark).value for end in ends)
    if not 0 <= low < high <= VOLTS_MAX:
        raise Fault(f"{figure(low)} V to {figure(high)} V is no range up to {figure(VOLTS_MAX)} V", 0)
    return low, high
