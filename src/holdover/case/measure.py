"""Units that people in the United States read and type, in place of those that a case is kept in.

A case, its names and its formulas are metric. What of it is shown or typed goes through here, once.
"""

import re
from dataclasses import dataclass
from math import floor
from typing import Final, Literal

from holdover.case.figures import exact, figure

Units = Literal["metric", "US"]
MILE_KM: Final = 1.609344
"""One mile [km], exact by definition."""
POUND_KG: Final = 0.45359237
"""One pound, avoirdupois [kg], exact by definition."""
GALLON_L: Final = 3.785411784
"""One US liquid gallon [l], exact by definition."""
FOOT_M: Final = 0.3048
"""One international foot [m], exact by definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A unit in which something is shown: shown = kept * times / over + plus."""

    kept: str
    """The unit it is kept in."""
    unit: str
    """The unit it is shown in."""
    times: float = 1.0
    over: float = 1.0
    plus: float = 0.0
    words: tuple[str, str] = ("", "")
    """A word of titles, and what stands there in its place."""

    @property
    def is_price(self) -> bool:
        """Whether it is money for so much of something: its unit is the currency, which no measure changes."""
        return self.kept == self.unit

    @property
    def is_same(self) -> bool:
        """Whether the number is the same, and only its unit is told otherwise."""
        return (self.times, self.over, self.plus) == (1, 1, 0)

    def shown(self, kept: float) -> float:
        """What is kept as it is shown, to 14 digits: 51.25593781 kg are 113 lb, not 112.99999999999999."""
        return float(f"{kept * self.times / self.over + self.plus:.14g}")

    def read(self, shown: float) -> float:
        """What was typed, in the unit it is kept in."""
        return (shown - self.plus) * self.over / self.times

    def typed(self, shown: float) -> float:
        """What was typed, in the unit it is kept in: the shortest number of up to 12 digits that is shown so, if one is."""
        kept, typed = self.read(shown), float(f"{shown:.14g}")
        shorter = (float(f"{kept:.{digits}g}") for digits in range(1, 13))
        return next((short for short in shorter if self.shown(short) == typed), float(exact(kept)))

    def shown_text(self, kept: str) -> str:
        """The formula that shows what a formula gives."""
        return kept + _step("*", self.times) + _step("/", self.over) + (f"+{exact(self.plus)}" if self.plus else "")

    def read_text(self, shown: str) -> str:
        """The formula that reads what was typed into a cell."""
        bare = f"({shown}-{exact(self.plus)})" if self.plus else shown
        return bare + _step("*", self.over) + _step("/", self.times)

    def titled(self, title: str) -> str:
        """A title that names the unit it is kept in, with the one in which it is shown."""
        if self.words[0]:
            return title.replace(*self.words)
        return f"{title.removesuffix(self.kept)}{self.unit}" if title.endswith(f", {self.kept}") else title


def _step(sign: str, by: float) -> str:
    return "" if by == 1 else f"{sign}{exact(by)}"


WEIGHT: Final = Measure(kept="kg", unit="lb", over=POUND_KG)
TEMPERATURE: Final = Measure(kept="°C", unit="°F", times=9.0, over=5.0, plus=32.0)
LENGTH: Final = Measure(kept="m", unit="ft", over=FOOT_M)
VOLUME: Final = Measure(kept="l", unit="gal", over=GALLON_L)
US: Final = {
    "kg": WEIGHT,
    "°C": TEMPERATURE,
    "m": LENGTH,
    "l": VOLUME,
    "l/kWh": Measure(kept="l/kWh", unit="gal/kWh", over=GALLON_L),
    "km": Measure(kept="km", unit="mi", over=MILE_KM),
    "Wh/km": Measure(kept="Wh/km", unit="Wh/mi", times=MILE_KM),
    "km or mi": Measure(kept="km or mi", unit="mi or km"),
    "money/l": Measure(kept="money", unit="money", times=GALLON_L, words=("litre", "gallon")),
}
"""By what is measured, how it is shown where units are US. What is not here is the same everywhere."""

US_WORDS: Final = {
    "mains": "utility power",
    "petrol": "gasoline",
    "RCD": "GFCI",
    "earth": "ground",
    "earthed": "grounded",
}
"""Words of the trade in the United States, by those that stand elsewhere."""
_BOTH: Final = re.compile(r"(\d+ (?:kg|m|°C|l)) \((\d+ (?:lb|ft|°F|gal))\)")
"""An amount in both units, as it stands elsewhere."""
_SAID: Final = re.compile(rf"\b({'|'.join(US_WORDS)})\b", re.IGNORECASE)


def in_us_words(text: str) -> str:
    """A text in the words of the United States.

    >>> in_us_words("Mains for part of the day; an RCD trips.")
    'Utility power for part of the day; a GFCI trips.'
    >>> in_us_words("an RCD (GFCI), 15 m (50 ft) away")
    'a GFCI, 50 ft (15 m) away'
    """
    text = us_first(text.replace("RCD (GFCI)", "RCD"))

    def other(found: re.Match[str]) -> str:
        word = US_WORDS.get(found[0]) or US_WORDS[found[0].lower()]
        return word[0].upper() + word[1:] if found[0][0].isupper() else word

    return _SAID.sub(other, text.replace("an RCD", "a RCD").replace("an earth", "a earth"))


def us_first(text: str) -> str:
    """A text with the US unit in front where an amount is told in both.

    >>> us_first("over 15 m (50 ft)")
    'over 50 ft (15 m)'
    """
    return _BOTH.sub(r"\2 (\1)", text)


def in_units(amount: float, unit: str, units: Units) -> tuple[float, str]:
    """An amount and its unit as the client reads them; `units` is what the case says."""
    return (US[unit].shown(amount), US[unit].unit) if units == "US" else (amount, unit)


def at_most(amount: float, unit: str, units: Units) -> str:
    """A limit in tenths, as the client reads it and sheets show it; rounded down, so that what it allows is within it."""
    number, word = in_units(amount, unit, units)
    return f"{floor(round(10 * number, 6)) / 10:g} {word}"


def told(amount: float, unit: str, units: Units) -> str:
    """An amount of four digits with its unit, as the client reads it."""
    number, word = in_units(amount, unit, units)
    return f"{figure(number)} {word}"
