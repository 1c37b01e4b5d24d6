"""What stands in a case's files before it is read, and what reading a row of it takes."""

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final, Literal

from holdover.case.figures import figure
from holdover.case.words import folded, vocabulary
from holdover.findings import SHOWN, Findings, Place, show
from holdover.reading.fields import Asked
from holdover.reading.quantity.numbers import Mark, plain
from holdover.reading.quantity.units import LIKE

STROKES: Final = re.compile(r"[-_./…\s?()]+")
"""Signs that say nothing where no others stand beside them; a question mark among them says that it is not known."""

LARGEST: Final = 1e15
"""Largest bare number taken [-]; every bound of the case lies far below."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What stands at one place, as it was typed."""

    value: Any
    place: Place
    unit: str = ""
    """What bare numbers here are in, from the header or a units row."""
    kind: str = ""
    """date, error or unstored (a formula without its last result), where a sheet says so."""


@dataclass(slots=True, kw_only=True)
class Row:
    """One row, or one section, before its fields are read."""

    part: str
    place: Place
    entries: dict[str, Entry] = field(default_factory=dict)
    headed: frozenset[str] | None = None
    """Where its table has columns that are not known: the fields that have a column. What the row lacks beside them may
    stand in one of the others."""
    unread: frozenset[str] = frozenset()
    """Fields whose columns held something else, which was told."""
    aside: tuple[str, ...] = ()
    """Lines of its data sheet that were left aside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the meaning of a row depends on, and only the whole case says."""

    marks: Mapping[str, Mark | None] = field(default_factory=dict)
    """The decimal mark of each file; None where it is in doubt."""
    currency: str = "$"
    signs: frozenset[str] = frozenset()
    """How it may be written, where the country is known and others have one of that name."""
    house: str = "120 V"
    house_is_set: bool = False
    cells: Mapping[str, str] = field(default_factory=dict)
    """Of a workbook: in which sheet and cell a setting is typed, such as `about.currency`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The reading of one row: what it depends on, and what there is to say about it."""

    context: Context
    findings: Findings = field(default_factory=Findings)

    def report(self, kind: str, place: Place, **fields: Any) -> None:
        """Collect the finding that the catalogue words so, at a place."""
        self.findings.report(kind, place, **fields)

    def mark(self, entry: Entry) -> Mark | None:
        """The decimal mark of the file an entry stands in."""
        return self.context.marks.get(entry.place.file)


def is_empty(value: object) -> bool:
    """Whether nothing stands here."""
    return value is None or (isinstance(value, str) and not value.strip())


def unstated(value: object) -> Literal["", "left out", "unknown"]:
    """What a word says that stands where a figure is asked for and states none: `n/a` or a dash, `tbd` or `?`."""
    return _unstated(value) if isinstance(value, str) and len(value) <= SHOWN and value.strip() else ""


@lru_cache(maxsize=4096)
def _unstated(text: str) -> Literal["", "left out", "unknown"]:
    words = vocabulary("words")["blank"]
    word, strokes = _letters(text), STROKES.fullmatch(plain(text))
    if word in map(_letters, words["unknown"]) or (strokes and "?" in text):
        return "unknown"
    return "left out" if strokes or word in map(_letters, words["left_out"]) else ""


def _letters(text: str) -> str:
    """The letters and digits of a text: `n/a`, `N. A.` and `#N/A` are one."""
    return folded(text).replace(" ", "")


def bare_number(entry: Entry) -> float | None:
    """The number of a cell that holds nothing but digits and a mark."""
    if isinstance(entry.value, bool):
        return None
    if isinstance(entry.value, int | float):
        return float(entry.value)
    if isinstance(entry.value, str) and re.fullmatch(r"\s*[0-9]+(?:[.,][0-9]*)?\s*", entry.value):
        return float(entry.value.strip().replace(",", "."))
    return None


def unit_in_words(asked: Asked) -> str:
    """The unit as people see it, "" where it is only a kind of number."""
    return (
        ""
        if asked.unit in {"share", "money", "money/l", "clock", "1-12", "weight", "km", "consumption"}
        else asked.unit
    )


def allowed(asked: Asked) -> str:
    """The bounds in words."""
    if asked.choices:
        return ", ".join(asked.choices)
    unit = f" {unit_in_words(asked)}".rstrip()
    if asked.low is None or asked.high is None:
        return ""
    if asked.unit == "share":
        return f"{figure(asked.low * 100)} % to {figure(asked.high * 100)} %"
    return f"{figure(asked.low)} to {figure(asked.high)}{unit}"


def in_toml(entry: Entry) -> bool:
    """Whether it stands in a case file, where all but bare numbers is in quotes."""
    return entry.place.file.endswith(".toml")


LIKE_NAMED: Final = {"power_factor": "0.8", "solar_noon_at": "12:30 or 13", "idle_w": "18 W", "days": "3"}
"""Of fields whose bounds leave out what others of their unit are like."""


def example(asked: Asked, entry: Entry) -> str:
    """Something that can be typed in place of an entry."""
    like = "35 %" if entry.unit == "%" else LIKE_NAMED.get(asked.name, LIKE[asked.unit])
    if not in_toml(entry):
        return like
    parts = re.split(r"(, | or )", like)
    return "".join(part if re.fullmatch(r", | or |-?[0-9.]+", part) else f'"{part}"' for part in parts)


def typed_text(value: object) -> str:
    """The value as it was typed, or close to it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float) and value.is_integer() and abs(value) < LARGEST:
        return str(int(value))
    if isinstance(value, int) and abs(value) > LARGEST:
        return "a whole number of very many digits"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return show(value, 10**6) if isinstance(value, list | dict) else str(value)


def report_error_cell(entry: Entry, reading: Reading) -> None:
    """A cell that shows #REF! or the like."""
    reading.report("X005", entry.place, found=entry.value)
