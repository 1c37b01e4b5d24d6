"""Texts, choices and feeds."""

import datetime
from typing import Final

from holdover.case.safe_text import removed, safe_text, too_long
from holdover.case.words import choice_of, nearest, vocabulary
from holdover.reading.entries import Entry, Reading, allowed, is_empty, report_error_cell, typed_text, unstated
from holdover.reading.fields import Asked
from holdover.reading.quantity.numbers import plain
from holdover.reading.voltage import feed_of

YES_NO: Final = ("yes", "no")
"""Choices that may be typed as true and false."""


def read_text(entry: Entry, asked: Asked, reading: Reading) -> str | None:
    """A text or a choice; None where it is blank or can't be taken."""
    value = entry.value
    if is_empty(value):
        return None
    if entry.kind == "error":
        report_error_cell(entry, reading)
        return None
    if isinstance(value, bool) and asked.choices == YES_NO:
        return YES_NO[not value]
    if isinstance(value, bool | list | dict):
        reading.report("Q009.text", entry.place, title=asked.title, found=typed_text(value))
        return None
    typed = _day(value) if entry.kind == "date" and isinstance(value, float) else typed_text(value)
    if asked.choices:
        return _choice(typed, entry, asked, reading)
    if removed(typed):
        reading.report("Q019", entry.place, found=typed)
    if too_long(typed):
        reading.report("Q020", entry.place, found=typed)
    return safe_text(typed) or None


def _day(serial: float) -> str:
    """A sheet's day as people write it."""
    try:
        return (datetime.datetime(1899, 12, 30) + datetime.timedelta(days=serial)).date().isoformat()
    except OverflowError:
        return f"{serial:g}"


def _choice(typed: str, entry: Entry, asked: Asked, reading: Reading) -> str | None:
    nothing = unstated(typed)
    if nothing:
        if nothing == "unknown":
            reading.report("Q016", entry.place, title=asked.title, found=typed)
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
    near = nearest(word, list(asked.choices))
    title, choices = asked.title, choices_in_words(asked)
    if asked.name == "feed" and "/" in word:
        reading.report("Q007.wired", entry.place, title=title, found=typed, allowed=allowed(asked))
    elif near:
        reading.report(
            "Q007.near_or", entry.place, title=title, near=near, choices=choices, found=typed, allowed=allowed(asked)
        )
    else:
        reading.report("Q007.choose", entry.place, title=title, choices=choices, found=typed, allowed=allowed(asked))
    return None


def choices_in_words(asked: Asked) -> str:
    """All choices, each with its meaning where it has one; which of them is meant is not guessed."""
    meanings = vocabulary("words")["meanings"].get(asked.name, {})
    told = [f"{choice} ({meanings[choice]})" if choice in meanings else choice for choice in asked.choices]
    return f"{', '.join(told[:-1])} or {told[-1]}"
