"""What a candidate must hold to keep the promise of the outage, whether it does, and what each tier gets."""

from dataclasses import dataclass
from typing import Literal

Word = Literal["OK", "CHECK", "UNDER"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """Full storage that keeps the promise against what is there; `until_h` is the hour in which it breaks."""

    full_needed_wh: float | str
    full_needed_without_refill_wh: float | str
    packs: int
    kept: int
    margin_held: int
    until_h: int | str
    broken_tier: str
    word: Word


@dataclass(frozen=True, slots=True, kw_only=True)
class TierServed:
    """What one tier asked for and got over the outage; `until_h` is the first hour in which it is shed or short."""

    asked_wh: float
    served_wh: float
    served_share: float
    off_h: int
    until_h: int | str
