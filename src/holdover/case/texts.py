"""Texts, choices and feeds."""

import datetime
import re

from holdover.case.asked import Asked
from holdover.case.entries import BLANK, Entry, Reading, allowed, is_empty, say_error_cell, typed_text
from holdover.case.numbers import Fault, plain
from holdover.case.quantities import read_quantity
from holdover.case.text import removed, safe_text, too_long
from holdover.case.words import choice_of, data, folded, nearest
from holdover.findings import show


def read_text(entry: Entry, asked: Asked, reading: Reading) -> str | None:
    """A text or a choice; None where it is blank or can't be taken."""
    value = entry.value
    if is_empty(value):
        return None
    if entry.kind == "error":
        say_error_cell(entry, reading)
        return None
    if isinstance(value, bool | list | dict):
        reading.say(
            "Q009",
            "error",
            f"{asked.title} must be text",
            entry.place,
            found=show(typed_text(value)),
            remedy="write a word",
        )
        return None
    typed = _day(value) if entry.kind == "date" and isinstance(value, float) else typed_text(value)
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


def _day(serial: float) -> str:
    """A sheet's day as people write it."""
    try:
        return (datetime.datetime(1899, 12, 30) + datetime.timedelta(days=serial)).date().isoformat()
    except OverflowError:
        return f"{serial:g}"


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
    remedy = (f"did you mean {close}? else " if close else "") + f"write {_choices(asked)}"
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


def _choices(asked: Asked) -> str:
    """All choices, each with its meaning where it has one; which of them is meant is not guessed."""
    meanings = data("words.toml")["meanings"].get(asked.name, {})
    told = [f"{choice} ({meanings[choice]})" if choice in meanings else choice for choice in asked.choices]
    return f"{', '.join(told[:-1])} or {told[-1]}"


def feed_of(word: str, asked: Asked, reading: Reading, entry: Entry) -> str | None:
    """A feed, None where the word means none; "" for the feed of the house, and where a finding was given."""
    if folded(word) in data("words.toml")["house"]["words"] and asked.part == "loads":
        return ""
    taken = choice_of("feed", _parted(word), asked.choices)
    if taken is not None:
        return taken
    try:
        volts = read_quantity(word, "V", ".").value
    except Fault:
        return None
    nominal = nominal_volts(volts, entry, reading)
    if nominal is None:
        return ""
    meant = f"{nominal:g} V"
    return meant if meant in asked.choices else None


def _parted(word: str) -> str:
    """`12VDC` as `12 V DC`."""
    return re.sub(r"(?i)(?<=[0-9]) ?v(?:olts?)? ?(?=[ad]c|$)", " v ", word).strip()


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
                found=show(typed_text(entry.value)),
                remedy='write 230 V or 240 V, or set feed = "230 V" under [sizing]',
            )
            return None
        meant = 230.0 if reading.house == "230 V" else 240.0
    else:
        return volts
    reading.say("Q017", "note", f"{volts:g} V read as the nominal {meant:g} V", entry.place)
    return meant
