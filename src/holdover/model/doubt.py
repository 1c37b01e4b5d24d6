"""How sure the day's energy is: each load's doubt by its basis, a low and a high day, and what to measure first."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from holdover.case.schema import Load, Sizing
from holdover.model.dust import DUST
from holdover.model.loads import LoadLine


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadDoubt:
    """One line: by how much its energy may be off."""

    number: int
    spread: float
    doubt_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """The day between low and high; scales are shares of the likely day."""

    lines: tuple[LoadDoubt, ...]
    doubt_wh: float
    low_wh: float
    likely_wh: float
    high_wh: float
    low_scale: float
    high_scale: float
    measure_number: int
    measure_first: str
    measure_share: float
    words: str


def spread_of(load: Load, sizing: Sizing) -> float:
    """Doubt about a line's energy by its basis [share].

    Args:
        load: A line of the inventory [-].
        sizing: The doubts by basis [-].

    Holds for: a day's energy that does not say its basis may be a meter's or a label's: the larger doubt counts.
    Source: common practice.

    >>> spread_of(Load(basis="metered"), Sizing()), spread_of(Load(measured_wh_per_day=900), Sizing())
    (0.05, 0.2)
    >>> spread_of(Load(running_w=90), Sizing())
    0.5
    """
    if load.basis == "metered":
        return sizing.metered_spread
    if load.basis == "label" or (load.basis is None and load.measured_wh_per_day is not None):
        return sizing.label_spread
    return sizing.typical_spread


def doubt_of(lines: Sequence[LoadLine], sizing: Sizing) -> Doubt:
    """The low and the high day: doubts of different loads are independent, so their squares add up."""
    each = tuple(
        LoadDoubt(number=line.number, spread=spread, doubt_wh=round(spread * line.energy_wh, DUST))
        for line in lines
        for spread in [spread_of(line.given, sizing)]
    )
    likely = sum(line.energy_wh for line in lines)
    squares = sum(one.doubt_wh**2 for one in each)
    doubt = sqrt(squares)
    low, high = max(0.0, likely - doubt), likely + doubt
    largest = max((one.doubt_wh for one in each), default=0.0)
    first = next((one for one in each if one.doubt_wh == largest and largest > 0), None)
    name = _name(lines[first.number - 1]) if first else ""
    share = first.doubt_wh**2 / squares if first else 0.0
    return Doubt(
        lines=each,
        doubt_wh=doubt,
        low_wh=low,
        likely_wh=likely,
        high_wh=high,
        low_scale=low / likely if likely else 1.0,
        high_scale=high / likely if likely else 1.0,
        measure_number=first.number if first else 0,
        measure_first=name,
        measure_share=share,
        words=f"Measure first: {name}." if name else "",
    )


def _name(line: LoadLine) -> str:
    return line.name or f"line {line.number}"
