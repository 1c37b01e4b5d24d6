"""Typical figures of household loads: a small table to start from until somebody measures."""

import csv
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Final

from holdover.case.figures import figure
from holdover.case.kinds import is_beside
from holdover.case.words import folded

WITHOUT: Final = " without "
"""Before what a row of the table lacks."""
SMALL: Final = {"storage_wh": 50.0, "continuous_w": 50.0, "surge_w": 50.0}
"""No candidate holds or gives less [Wh, W]; common practice."""
BELOW: Final = 20.0
"""Below the least that is common by this factor, a figure is no figure in watts [-]; common practice."""
AROUND: Final = 2.0
"""Within the common figures by this factor, a figure in kilowatts is meant [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typical:
    """A row of the table. Starting watts are the whole power at start."""

    name: str
    words: tuple[str, ...]
    running_w: float
    starting_w: float | None
    duty: float | None
    power_factor: float | None
    hours_per_day: float
    low_w: float
    high_w: float
    source: str


@cache
def table() -> tuple[Typical, ...]:
    """The whole table, in the order of the file."""
    text = (files("holdover") / "data" / "typical.csv").read_text(encoding="utf-8")
    return tuple(
        Typical(
            name=row["name"],
            words=tuple(_stem(word) for word in row["words"].split("|")),
            running_w=float(row["running_w"]),
            starting_w=_maybe(row["starting_w"]),
            duty=_maybe(row["duty"]),
            power_factor=_maybe(row["power_factor"]),
            hours_per_day=float(row["hours_per_day"]),
            low_w=float(row["low_w"]),
            high_w=float(row["high_w"]),
            source=row["source"],
        )
        for row in csv.DictReader(text.splitlines())
    )


def typical(word: str) -> tuple[Typical, ...]:
    """Rows that a word may mean: those of which it says a name in full, else those that share its words."""
    said = _stem(word).split()
    if not said:
        return table()
    named = _named(said)
    return named or tuple(
        row
        for row in table()
        if all(
            any(each in name.split() for name in (*row.words, _stem(row.name).partition(WITHOUT)[0])) for each in said
        )
    )


@lru_cache(maxsize=4096)
def best(name: str) -> Typical | None:
    """The one row that the name of a load means; None where it means none, or two alike."""
    rows = _named(_stem(name).split())
    return rows[0] if len(rows) == 1 else None


def small_for(name: str, value: float) -> str:
    """What is usual for a load that draws far too little in watts and the usual in kilowatts; "" for any other."""
    row = best(name)
    if row is None or is_beside(name) or not 0 < value < row.low_w / BELOW:
        return ""
    if not row.low_w / AROUND <= 1000 * value <= AROUND * row.high_w:
        return ""
    return f"{figure(row.low_w)} to {figure(row.high_w)} W are usual for {row.name}"


def _named(said: list[str]) -> tuple[Typical, ...]:
    """Rows with the longest name of which every word was said."""
    lengths = {
        row: max((len(word.split()) for word in row.words if set(word.split()) <= set(said)), default=0)
        for row in table()
        if not _has_more(row, said)
    }
    longest = max(lengths.values())
    return tuple(row for row, length in lengths.items() if length == longest) if longest else ()


def _has_more(row: Typical, said: list[str]) -> bool:
    """Whether a name says what the row is without, such as a heated humidifier."""
    lacks = _stem(row.name).partition(WITHOUT)[2].split()
    return bool(lacks) and "without" not in said and bool(set(lacks) & set(said))


@lru_cache(maxsize=4096)
def _stem(text: str) -> str:
    """Folded words, in the singular."""
    return " ".join(word[:-1] if len(word) > 3 and word.endswith("s") else word for word in folded(text).split())


def _maybe(text: str) -> float | None:
    return float(text) if text else None
