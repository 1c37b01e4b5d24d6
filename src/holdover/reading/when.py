"""When a load runs, of a column that takes it in any words: moved to the hours a day and to the start."""

from typing import Final

from holdover.case.figures import clock, figure
from holdover.findings import show
from holdover.reading.entries import Entry, Reading, bare_number, is_empty, typed_text, unstated
from holdover.reading.quantity.clock import Span, read_span, read_time
from holdover.reading.quantity.numbers import MARKS, Fault, plain
from holdover.reading.quantity.quantity import Quantity, amounts

WHEN: Final = "when"
"""Field of that column; it is turned into the others while reading [-]."""
HOURS, START = "hours_per_day", "starts_at"
"""Fields that it is turned into [-]."""
SAME_H: Final = 1 / 60
"""Hours that a span takes and hours that stand beside it may differ by so much [h]."""


def with_times(entries: dict[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries of a load, what stands under When or From moved to where it belongs.

    `18:00-23:00` says the hours where nothing else does; beside 5 h a day it says the start. `22:00` is a start, `all day` a
    length of time.
    """
    entry = entries.get(WHEN)
    left = {name: each for name, each in entries.items() if name != WHEN}
    if entry is not None and not _is_open(entry):
        return _placed(entry, left, reading)
    start = entries.get(START)
    span = None if start is None else _span(start)
    return left if start is None or span is None else _with_span(span, start, left, reading)


def _placed(entry: Entry, entries: dict[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries with what stands under When: a span, a clock hour or a length of time."""
    span = _span(entry)
    if span:
        return _with_span(span, entry, entries, reading)
    field = START if _is_clock(entry) or not _is_open(entries.get(HOURS)) else HOURS
    return entries if not _is_open(entries.get(field)) else entries | {field: entry}


def _with_span(span: Span, entry: Entry, entries: dict[str, Entry], reading: Reading) -> dict[str, Entry]:
    """The entries with a span of the clock: the hours of it, or its start where hours stand beside it that agree.

    A word such as `evening` says only when it begins, where hours stand beside it.
    """
    hours, typed = entries.get(HOURS), show(typed_text(entry.value))
    if _is_open(hours):
        return {name: each for name, each in entries.items() if name != START} | {HOURS: entry}
    stated = _hours(hours) if hours else None
    if not span.named and stated is not None and abs(stated - span.hours) > SAME_H:
        reading.report("L004.disagree", entry.place, what="hours a day", first=f"{figure(stated)} h", second=typed)
    else:
        reading.report("L005.start", entry.place, typed=typed, starts=clock(span.starts_at))
    return entries | {START: Entry(value=span.starts_at, place=entry.place)}


def _is_open(entry: Entry | None) -> bool:
    """Whether nothing stands here, be it a word that says so."""
    return entry is None or is_empty(entry.value) or bool(unstated(entry.value))


def _span(entry: Entry) -> Span | None:
    try:
        return read_span(plain(entry.value)) if isinstance(entry.value, str) else None
    except Fault:
        return None


def _is_clock(entry: Entry) -> bool:
    """Whether it is an hour of the clock: a cell of a time, a bare number, `22:00` or `7 AM`."""
    if not isinstance(entry.value, str):
        return True
    try:
        return bare_number(entry) is not None or read_time(plain(entry.value)) is not None
    except Fault:
        return True


def _hours(entry: Entry) -> float | None:
    """Hours of a cell [h]; None where they can't be read, or are a span themselves."""
    said = amounts(typed_text(entry.value), "h", entry.unit)[MARKS[0]]
    return said.value if isinstance(said, Quantity) and said.starts_at is None else None
