"""Typical draws of loads, from labels and measured draws: a table to start from until somebody measures.

The rows stand in `typical.csv`; how people call and spell them, and where the figures are from, in `typical.toml`.
"""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Final

from holdover.case.figures import figure
from holdover.case.kinds import is_beside
from holdover.case.words import spelt, vocabulary

SMALL: Final = {"storage_wh": 50.0, "continuous_w": 50.0, "surge_w": 50.0}
"""No candidate holds or gives less [Wh, W]; common practice."""
BELOW: Final = 20.0
"""Below the least that is common by this factor, a figure is no figure in watts [-]; common practice."""
AROUND: Final = 2.0
"""Within the common figures by this factor, a figure in kilowatts is meant [-]; common practice."""
DAY_H: Final = 24.0
"""What is on for so long is plugged in, and runs as it wants [h]."""
SHORT_H: Final = 1.0
"""Up to so long people state how long a thing runs, not how long it is at hand [h]; common practice."""
HIGHER: Final = 220.0
"""From this voltage a house has the loads of 230 V, below it those of 120 V [V]; common practice."""

Words = frozenset[str]
"""A name as the set of its words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typical:
    """A row of the table; None where nothing is stated.

    The start is kept in volt-amperes: an inverter trips on current, whatever the power factor.
    """

    name: str
    group: str
    words: tuple[str, ...]
    blocks: tuple[str, ...]
    """Words beside which the row is not meant."""
    house: str
    """Voltage of the houses that have it: 120, 230, or "" for any."""
    low_w: float
    running_w: float
    high_w: float
    start_va: float | None
    """Whole draw at the moment it starts; None where it starts no higher than it runs."""
    power_factor: float | None
    duty: float | None
    energy_wh: float | None
    """Energy of a day, of a label or a meter; None where it follows from the duty."""
    hours_per_day: float
    status: str
    """How far the running draw was seen."""
    from_memory: tuple[str, ...]
    """Figures that rest on memory in a row that was seen otherwise: low, running, high, start, energy, power
    factor."""
    source: str

    @property
    def running_va(self) -> float:
        """Apparent power while it runs [VA]."""
        return self.running_w / (self.power_factor or 1.0)

    @property
    def starting_w(self) -> float:
        """What counts as watts at start: all of the volt-amperes, for the inverter carries the whole current [W]."""
        return self.running_w if self.start_va is None else self.start_va

    @property
    def day_wh(self) -> float:
        """Energy of a usual day [Wh]."""
        runs = self.running_w * self.hours_per_day * (1.0 if self.duty is None else self.duty)
        return runs if self.energy_wh is None else self.energy_wh

    @property
    def usual_share(self) -> float | None:
        """Share of its usual hours that it runs; None where it runs through them [share]."""
        if self.energy_wh is None:
            return self.duty
        return min(1.0, self.energy_wh / (self.running_w * self.hours_per_day))

    @property
    def plate_is_most(self) -> bool:
        """Whether its plate states the most that it draws, the heater of its defrost included."""
        return self.name in vocabulary("typical")["plate_of_most"]["rows"]

    def start_at(self, watts: float) -> float | None:
        """The start of one that draws so much [VA]: what draws more than any of its kind has a motor as much larger.

        A plate that states the most it draws says nothing of its motor.
        """
        larger = 1.0 if self.plate_is_most else max(1.0, watts / self.high_w)
        return None if self.start_va is None else max(watts, self.start_va * larger)

    def share_over(self, hours_per_day: float | None, watts: float | None = None) -> float:
        """Share of its hours that it runs [share].

        Hours that somebody states are hours in which it runs: up to the usual ones, or one, they count whole, and of more
        the usual share, if that is longer. All day says only that it is plugged in. What is on all day takes its stated
        energy in whatever hours.

        Args:
            hours_per_day: as stated, None where nobody stated any [h]
            watts: that it draws, None for the typical ones [W]
        """
        usual = self.hours_per_day
        hours = usual if hours_per_day is None else hours_per_day
        drawn = hours * (self.running_w if watts is None else watts)
        if not drawn:
            return 1.0
        if self.energy_wh is not None and (usual >= DAY_H or hours_per_day is None):
            return min(1.0, self.energy_wh / drawn)
        share = 1.0 if self.usual_share is None else self.usual_share
        if hours_per_day is None or hours >= DAY_H:
            return share
        return min(1.0, max(share, max(usual, SHORT_H) / hours))


@cache
def table() -> tuple[Typical, ...]:
    """The whole table, in the order of the file."""
    text = (files("holdover") / "data" / "typical.csv").read_text(encoding="utf-8")
    return tuple(_row(row) for row in csv.DictReader(text.splitlines()))


def _row(row: dict[str, str]) -> Typical:
    sources = vocabulary("typical")["sources"]
    told = [f"{name} ({status})" for name, status in (sources[key] for key in row["sources"].split("|"))]
    memory = _parts(row["from_memory"])
    return Typical(
        name=row["name"],
        group=row["group"],
        words=_parts(row["words"]),
        blocks=_parts(row["not"]),
        house=row["house"],
        low_w=float(row["low_w"]),
        running_w=float(row["running_w"]),
        high_w=float(row["high_w"]),
        start_va=_maybe(row["start_va"]),
        power_factor=_maybe(row["power_factor"]),
        duty=_maybe(row["duty"]),
        energy_wh=_maybe(row["energy_wh"]),
        hours_per_day=float(row["hours_per_day"]),
        status=row["status"],
        from_memory=memory,
        source="; ".join([f"{', '.join(memory)} from memory", *told] if memory else told),
    )


def _parts(text: str) -> tuple[str, ...]:
    return tuple(text.split("|")) if text else ()


def _maybe(text: str) -> float | None:
    return float(text) if text else None


def typical(word: str) -> tuple[Typical, ...]:
    """Rows to show for a word: its group; else those it means, before others in whose names its words stand."""
    said = _said(word)
    if not said:
        return table()
    for group, words in vocabulary("typical")["groups"].items():
        if said in {_said(each) for each in words}:
            return tuple(row for row in table() if row.group == group)
    sharing = (row for row in table() if said <= _said(" ".join((row.name, *row.words))))
    return tuple(dict.fromkeys((*meant(word), *meant(word, HIGHER), *sharing)))


@lru_cache(maxsize=8192)
def meant(name: str, house_v: float = 0.0) -> tuple[Typical, ...]:
    """Rows that the name of a load may mean in a house of a voltage: those with the longest phrase that was said.

    Bare words, such as pump, mean every row that stands for them; a name of two loads, such as fridge and TV, means both.
    """
    said = _said(name)
    house = "230" if house_v >= HIGHER else "120"
    found = [
        (phrase, [row for row in rows if row.house in ("", house)])
        for phrase, blocks, rows in _phrases_of(said)
        if phrase <= said and _is_free(said, phrase, blocks)
    ]
    longest = max((len(phrase) for phrase, rows in found if rows), default=0)
    of_longest = [(phrase, rows) for phrase, rows in found if len(phrase) == longest]
    single = [(phrase, rows) for phrase, rows in of_longest if len(rows) == 1]  # goes before what may be several
    used = frozenset(word for phrase, _ in single for word in phrase)
    another = [(phrase, rows) for phrase, rows in found if single and len(rows) == 1 and not phrase & used]
    names = {row.name for _, rows in (single or of_longest) + another for row in rows}
    return tuple(row for row in table() if row.name in names)


def on_two_legs(name: str) -> bool:
    """Whether a load is one that is mostly wired for 240 V in a house of 120 V."""
    rows = () if is_beside(name) else meant(name)
    return bool(rows) and all(row.name in vocabulary("typical")["two_legs"]["rows"] for row in rows)


def small_for(name: str, value: float) -> str:
    """What is usual for a load that draws far too little in watts and the usual in kilowatts; "" for any other."""
    rows = () if is_beside(name) else meant(name)
    if not 0 < value < min((row.low_w for row in rows), default=0.0):
        return ""
    for row in rows:
        if value < row.low_w / BELOW and row.low_w / AROUND <= 1000 * value <= AROUND * row.high_w:
            return f"{figure(row.low_w)} to {figure(row.high_w)} W are usual for {row.name}"
    return ""


Phrase = tuple[Words, tuple[Words, ...], tuple[Typical, ...]]
"""What is said, the words beside which it is not meant, and the rows it stands for."""


def _phrases_of(said: Words) -> Iterator[Phrase]:
    """Phrases that are filed under a word of those said."""
    index = _index()
    return (phrase for word in said for phrase in index.get(word, ()))


@cache
def _index() -> dict[str, list[Phrase]]:
    """Every phrase by one of its words."""
    index: dict[str, list[Phrase]] = {}
    for words, blocks, rows in _declared():
        apart = tuple(_said(block) for block in blocks)
        for phrase in {_said(each) for each in words}:
            index.setdefault(max(phrase, key=lambda word: (len(word), word)), []).append((phrase, apart, rows))
    return index


def _declared() -> Iterator[tuple[Iterable[str], Iterable[str], tuple[Typical, ...]]]:
    around = vocabulary("typical")
    named = {row.name: row for row in table()}
    for row in table():
        yield (row.name, *row.words), (*row.blocks, *around["beside"]), (row,)
    for which in around["which"]:
        blocks = (*which.get("not", ()), *around["beside"])
        yield which["words"], blocks, tuple(named[name] for name in which["rows"])


def _is_free(said: Words, phrase: Words, blocks: Iterable[Words]) -> bool:
    """Whether no blocking word was said but those of the phrase itself."""
    return not any(block <= said and not block <= phrase for block in blocks)


def _said(text: str) -> Words:
    """The words of a text as the table has them: in the singular, spellings and numbers made alike."""
    return frozenset(spelt(text).split())
