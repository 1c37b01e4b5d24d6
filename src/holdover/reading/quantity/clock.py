"""Times of day and lengths of time as people write them."""

import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from holdover.case.words import either, vocabulary
from holdover.reading.quantity.numbers import Fault

_WORDS: Final = vocabulary("units")["times"]
_AM, _PM, _CLOCK = either(_WORDS["am"]), either(_WORDS["pm"]), either(_WORDS["clock"])
_HOURS, _MINUTES = either(_WORDS["hours"]), either(_WORDS["minutes"])
HALF: Final = rf"(?:{_AM}|{_PM})"
"""The half of the day behind an hour, as a pattern."""
UNTIL: Final = rf"(?:-|{either(_WORDS['until'])})"
"""What stands between two times, as a pattern."""

_TIME: Final = re.compile(
    r"(?P<hour>[0-9]{1,2})(?:[:.h](?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2}))?)?"
    rf"\s*(?P<clock>{_CLOCK})?\s*(?:(?P<am>{_AM})|(?P<pm>{_PM}))?",
    re.IGNORECASE,
)
_NAMED: Final = dict.fromkeys(_WORDS["noon"], 12.0) | dict.fromkeys(_WORDS["midnight"], 0.0)
_SPAN: Final = re.compile(rf"\s*{UNTIL}\s*", re.IGNORECASE)
_LONG: Final = re.compile(
    rf"(?P<hours>[0-9]{{1,3}})\s*{_HOURS}\s*(?:{either(_WORDS['and'])}\s*)?(?P<minutes>[0-9]{{1,2}})\s*{_MINUTES}?",
    re.IGNORECASE,
)
_COLON: Final = re.compile(
    rf"(?P<hours>[0-9]{{1,2}}):(?P<minutes>[0-9]{{2}})(?::(?P<seconds>[0-9]{{2}}))?(?:\s*{_HOURS})?", re.IGNORECASE
)
_OF_THE_CLOCK: Final = either(set(_WORDS["clock"]) - set(_WORDS["hours"]))
"""Words behind an hour of the clock that no length has."""
_HALF_HOUR: Final = frozenset(_WORDS["half_hour"])
_WHOLE_DAY: Final = frozenset(_WORDS["whole_day"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From a clock hour on, for so many hours."""

    starts_at: float
    hours: float
    named: str = ""
    """From when until when, where a word such as `evening` stands for it."""


def read_time(text: str) -> float | None:
    """Clock hour of a plain text such as `18:00`, `6 pm` or `noon`; None where it has no such form."""
    word = text.strip().casefold()
    if word in _NAMED:
        return _NAMED[word]
    found = _TIME.fullmatch(word)
    half = found and (found["am"] or found["pm"])
    if not found or not (found["minute"] or half or found["clock"]):
        return None
    if "." in word and not half:  # 18.30 is a number of hours unless am or pm stands behind it
        return None
    return _hour_of(found, text)


def _hour_of(found: re.Match[str], text: str) -> float:
    hour, minute = int(found["hour"]), int(found["minute"] or 0)
    half = found["am"] or found["pm"]
    if half and not 1 <= hour <= 12:
        raise Fault("a time with am or pm runs from 1 to 12", _first_digit(text))
    if minute > 59 or int(found["second"] or 0) > 59 or hour > 24 or (hour == 24 and minute):
        raise Fault("a time of day runs from 00:00 to 23:59", _first_digit(text))
    hour = hour % 12 + (12 if found["pm"] else 0) if half else hour % 24
    return hour + minute / 60 + int(found["second"] or 0) / 3600


def read_span(text: str) -> Span | None:
    """The span of a plain text such as `18:00-22:30`; None where it is no span of two times."""
    word = text.strip().casefold()
    if named := named_spans().get(word):
        return named
    return _between(text)


def _between(text: str) -> Span | None:
    parts = _SPAN.split(text.strip(), maxsplit=1)
    if len(parts) != 2:
        return None
    begin, end = (read_time(part) if part.strip() else None for part in parts)
    # In `6-10 pm` the half of the day stands once, as the word for the clock does in `19-22 Uhr`.
    if begin is None and end is not None and re.fullmatch(r"\s*[0-9]{1,2}\s*", parts[0]):
        begin = _bare(parts[0], parts[1])
    if begin is None or end is None:
        return None
    return Span(starts_at=begin, hours=(end - begin) % 24 or 24.0)


@cache
def named_spans() -> dict[str, Span]:
    """Times of day by their names."""
    spans = {told: _between(told) for told in _WORDS["named"]}
    named = {told: Span(starts_at=span.starts_at, hours=span.hours, named=told) for told, span in spans.items() if span}
    return {word: named[told] for told, words in _WORDS["named"].items() for word in words}


def _bare(first: str, second: str) -> float | None:
    half = re.search(rf"(?:{HALF}|{_OF_THE_CLOCK})\s*$", second, re.IGNORECASE)
    return read_time(f"{first.strip()} {half.group().strip()}") if half else None


def read_length(text: str) -> float | None:
    """Hours of a plain text such as `1h30`, `1:30` or `all day`; None where it has no such form."""
    word = text.strip().casefold()
    if word in _WHOLE_DAY:
        return 24.0
    if word in _HALF_HOUR:
        return 0.5
    found = _LONG.fullmatch(word) or _COLON.fullmatch(word)
    if not found:
        return None
    minutes = int(found["minutes"])
    if minutes > 59:
        raise Fault("minutes run from 0 to 59", _first_digit(text))
    seconds = int(found.groupdict().get("seconds") or 0)
    return int(found["hours"]) + minutes / 60 + seconds / 3600


def _first_digit(text: str) -> int:
    found = re.search(r"[0-9]", text)
    return found.start() if found else 0
