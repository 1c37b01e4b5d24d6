"""What an answer says of solar modules: how many, and the figures of their data sheet, in one line or pasted below each other.

It finds figures and leaves their bounds to the reader of settings; what months and a place are missing is for the adviser.
"""

import re
from dataclasses import replace
from typing import Final

from holdover.case.words import either, vocabulary
from holdover.findings import Findings, show
from holdover.reading.entries import Entry, Row, is_empty, typed_text
from holdover.reading.quantity.numbers import MARKS, Mark, plain
from holdover.reading.quantity.quantity import Quantity, amounts

MONTHS: Final = 12
"""Months that a year of peak sun hours is stated for [count]."""
CODE_PER_DEGREE: Final = -0.004
"""Change of the open-circuit voltage of crystalline silicon, where its label is silent [1/°C].

The factors of NEC Table 690.7(A), by transcription, come to it down to -25 °C and to less below; with the margin that a string has it is
at or above each of them.
"""
_WORDS: Final = vocabulary("units")["module"]
_NUMBER: Final = r"[0-9]+(?:[.,][0-9]+)?"
_COUNT: Final = re.compile(
    rf"(?<![\w.,])(?P<count>[1-9][0-9]{{0,2}})(?:\s*[x×*]\s*(?=[0-9])|\s+(?=[0-9]+\s*k?W)|\s*{either(_WORDS['pieces'])}(?!\w))",
    re.IGNORECASE,
)
_COUNTED: Final = re.compile(rf"\b{either(_WORDS['counts'])}\b", re.IGNORECASE)
_BETWEEN: Final = (
    (re.compile(r"(?<=[0-9])\s*[x×*]\s*(?=[0-9])", re.IGNORECASE), " x "),
    (re.compile(r"(?<=[0-9])-(?=k?w)", re.IGNORECASE), " "),
)
"""What stands between a count and its figure, or a figure and its unit, and how that is set apart."""
_NAMED: Final = {
    name: re.compile(rf"(?<!\w){either(words)}(?!\w)[^0-9\n−-]{{0,12}}(?P<figure>{_NUMBER}\s*{unit})", re.IGNORECASE)
    for name, (words, unit) in {
        "voc_v": (_WORDS["voc"], "V?"),
        "vmp_v": (_WORDS["vmp"], "V?"),
        "isc_a": (_WORDS["isc"], "A?"),
        "imp_a": (_WORDS["imp"], "A?"),
    }.items()
}
_POWER: Final = re.compile(r"(?<![\w.,])(?P<figure>[0-9]+(?:[.,][0-9]+)?\s*k?W(?:atts?)?)p?(?!\w)", re.IGNORECASE)
_PER_DEGREE: Final = rf"(?P<figure>[-−]\s*{_NUMBER}\s*%\s*/\s*(?:°\s*C|K|C))(?!\w)"
_VOC_FALLS: Final = re.compile(rf"(?<!\w){either(_WORDS['voc'])}(?!\w)[^\n0-9−-]{{0,30}}{_PER_DEGREE}", re.IGNORECASE)
_FALLS: Final = re.compile(_PER_DEGREE, re.IGNORECASE)
_POWER_FALLS: Final = re.compile(
    rf"(?<!\w){either(_WORDS['power'])}(?!\w)[^\n0-9−-]{{0,30}}{_PER_DEGREE}", re.IGNORECASE
)
_THIN: Final = re.compile(rf"(?<!\w){either(_WORDS['thin'])}(?!\w)", re.IGNORECASE)
"""Other cells than those of crystalline silicon, of which the code has no factors."""
_FIGURES: Final = {"power_w": _POWER, **_NAMED}
_TITLES: Final = {
    "power_w": "of",
    "voc_v": "Voc",
    "vmp_v": "Vmp",
    "isc_a": "Isc",
    "imp_a": "Imp",
    "voc_tempco": "Voc per degree",
}


def read_modules(entry: Entry, findings: Findings) -> dict[str, Entry]:
    """Fields of the modules that an answer states, {} where it lacks a figure; what was read is told.

    Args:
        entry: What was typed, and where.
        findings: Get a warning where a figure is lacking: without it nobody can tell what the modules do to an input.
    """
    text = in_digits(plain(typed_text(entry.value)))
    for pattern, apart in _BETWEEN:
        text = pattern.sub(apart, text)
    found = {name: match["figure"] for name, pattern in _FIGURES.items() if (match := pattern.search(text))}
    falls = _VOC_FALLS.search(text) or (None if _POWER_FALLS.search(text) else _FALLS.search(text))
    if falls:
        found["voc_tempco"] = falls["figure"]
    if "power_w" not in found:
        findings.report("R005.power", entry.place, found=typed_text(entry.value))
        return {}
    lacks = [title for name, title in _TITLES.items() if name not in found]
    by_code = lacks == [_TITLES["voc_tempco"]] and not _THIN.search(text)
    if by_code:
        findings.report(
            "R005.code", entry.place, per_degree=f"{100 * CODE_PER_DEGREE:g}", found=typed_text(entry.value)
        )
    elif lacks:
        findings.report("R005.lacks", entry.place, lacks=", ".join(lacks), found=typed_text(entry.value))
    counted = _COUNT.search(text)
    found = {"modules": counted["count"] if counted else "1"} | found
    said = ", ".join(f"{_TITLES[name]} {figure}" for name, figure in found.items() if name != "modules")
    findings.report("R005.read", entry.place, typed=show(entry.value), count=found["modules"], said=said)
    read = {name: Entry(value=re.sub(r"[−-]\s*", "-", figure), place=entry.place) for name, figure in found.items()}
    return read | ({"voc_tempco": Entry(value=CODE_PER_DEGREE, place=entry.place)} if by_code else {})


def in_digits(text: str) -> str:
    """A text in which small numbers stand as digits: `2 days` for `two days`."""
    return _COUNTED.sub(lambda word: str(_WORDS["counts"][word.group().casefold()]), text)


def months_of(entry: Entry | None, mark: Mark | None) -> list[Row]:
    """A row for each month with the same peak sun hours; none where nothing was typed, one where it can't be read."""
    if entry is None or is_empty(entry.value):
        return []
    first = Row(part="months", place=entry.place, entries={"peak_sun_hours": entry})
    said = amounts(typed_text(entry.value), "h/day")[mark or MARKS[0]]
    if not isinstance(said, Quantity):
        return [first]
    like_it = Row(part="months", place=entry.place, entries={"peak_sun_hours": replace(entry, value=said.value)})
    return [first, *[like_it] * (MONTHS - 1)]
