"""Kinds of loads, told by the words in their names."""

import re
from functools import cache, lru_cache
from typing import Final

from holdover.case.words import either, folded, spelt, vocabulary

_VOLTS: Final = re.compile(
    rf"(?<![0-9.,])([0-9]{{2,3}}) ?{either(vocabulary('units')['spellings']['V']['V'])}(?![a-z0-9])", re.IGNORECASE
)


def _is_of(kind: str, name: str) -> bool:
    """Whether a name says a word of a kind, be it in the plural, or by what it is called in the table of typical loads."""
    return _words_of(kind).search(_said(name)) is not None


@cache
def _words_of(kind: str) -> re.Pattern[str]:
    return re.compile(f" {either(vocabulary('words')['kinds'][kind])}s? ")


@cache
def _friends() -> re.Pattern[str]:
    """Words that are another thing in English than in the language of who says them."""
    return re.compile(rf"\b{either(vocabulary('words')['friends'])}\w*", re.IGNORECASE)


@lru_cache(maxsize=64)
def _said(name: str) -> str:
    """A name in small letters, then in the words of that table; one is asked for several kinds in turn."""
    return f" {folded(name)} {spelt(name)} "


def is_heater(name: str) -> bool:
    """Whether a load turns what it draws into heat."""
    return _is_of("heaters", name) and not _is_of("burning", name) and not is_beside(name)


def is_motor(name: str) -> bool:
    """Whether a load draws more at start than running."""
    return _is_of("motors", name) and not is_heater(name) and not is_beside(name)


def cycles(name: str) -> bool:
    """Whether a load switches itself off and on."""
    return _is_of("cycling", name) and not is_beside(name)


def is_medical(name: str) -> bool:
    """Whether somebody's health depends on a load; a ventilator that is said to be a fan is none to breathe by."""
    return _is_of("medical", _friends().sub(" ", name) if _is_of("fans", name) else name)


def is_beside(name: str) -> bool:
    """Whether a load stands beside a motor or heater and has its name, but not its draw."""
    return _is_of("beside", name)


def is_charger(name: str) -> bool:
    """Whether the voltage in a load's name may be that of what it feeds."""
    return _is_of("chargers", name)


def volts_in(name: str) -> list[float]:
    """Voltages that a name states [V]."""
    return [float(number) for number in _VOLTS.findall(name)]
