"""Units a quantity may be written in, each with its factor to the unit of the field."""

import re
from dataclasses import dataclass, replace
from typing import Final, get_args

from holdover.case.measure import GALLON_L, MILE_KM, POUND_KG
from holdover.case.schema import ConsumptionUnit
from holdover.case.words import vocabulary

MEGAJOULE_KWH: Final = 1 / 3.6
"""One megajoule [kWh], exact by definition."""
DAYS_A_YEAR: Final = 365.0
"""Days in the year of an energy label [days]; common practice."""
DAYS_A_MONTH: Final = DAYS_A_YEAR / 12
"""Mean month [days]."""
DAYS_A_WEEK: Final = 7.0
"""Week [days]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A way to write a unit: value in the field's unit = written * factor / divisor + offset."""

    factor: float = 1.0
    divisor: float = 1.0
    offset: float = 0.0

    def convert(self, written: float) -> float:
        """The value in the unit of the field."""
        return written * self.factor / self.divisor + self.offset

    def restore(self, value: float) -> float:
        """What is written for a value in the unit of the field."""
        return (value - self.offset) * self.divisor / self.factor

    @property
    def is_own(self) -> bool:
        """Whether it is the unit of the field under another spelling."""
        return self.factor == self.divisor and self.offset == 0


OWN: Final = Unit()
KILO: Final = Unit(factor=1000)
MILLI: Final = Unit(divisor=1000)
HUNDREDTH: Final = Unit(divisor=100)
"""Divided by: 35 / 100 is exact to the last digit, 35 * 0.01 is not."""

MEANT: Final[dict[str, dict[str, Unit]]] = {
    "W": {"W": OWN, "kW": KILO},
    "VA": {"VA": OWN, "kVA": KILO},
    "Wh": {"Wh": OWN, "kWh": KILO, "MWh": Unit(factor=1e6)},
    "V": {"V": OWN},
    "A": {"A": OWN, "mA": MILLI},
    "Ah": {"Ah": OWN, "mAh": MILLI},
    "°C": {"°C": OWN, "°F": Unit(factor=5, divisor=9, offset=-160 / 9)},
    "h": {"h": OWN, "min": Unit(divisor=60), "s": Unit(divisor=3600)},
    "share": {"%": HUNDREDTH, "share": OWN},
    "clock": {"h": OWN},
    "ms": {"ms": OWN, "s": KILO},
    "cycles": {"cycles": OWN},
    "kg": {"kg": OWN, "g": MILLI, "lb": Unit(factor=POUND_KG)},
    "dB(A)": {"dB(A)": OWN},
    "years": {"years": OWN, "months": Unit(divisor=12)},
    "days": {"days": OWN, "h": Unit(divisor=24), "weeks": Unit(factor=DAYS_A_WEEK)},
    "°": {"°": OWN},
    "kWh/m²·day": {"kWh/m²·day": OWN, "Wh/m²·day": MILLI, "MJ/m²·day": Unit(factor=MEGAJOULE_KWH)},
    "h/day": {"h/day": OWN},
    "1/°C": {"1/°C": OWN, "%/°C": HUNDREDTH},
    "l/kWh": {"l/kWh": OWN, "gal/kWh": Unit(factor=GALLON_L)},
    "l": {"l": OWN, "gal": Unit(factor=GALLON_L)},
    "km": {"km": OWN, "mi": Unit(factor=MILE_KM)},
    "consumption": dict.fromkeys(get_args(ConsumptionUnit), OWN),
}
"""By the unit of a field: the units it may be written in. The number of a consumption is kept as it was written."""
PERIODS: Final = {"day": 1.0, "week": DAYS_A_WEEK, "month": DAYS_A_MONTH, "year": DAYS_A_YEAR}
"""What comes up once in so many days [days]."""

_WORDS: Final = vocabulary("units")
_SPELLINGS: Final[dict[str, dict[str, list[str]]]] = _WORDS["spellings"]


def _spelt(kind: str) -> dict[str, Unit]:
    return {word: MEANT[kind][name] for name, words in _SPELLINGS[kind].items() for word in words}


def _per_period(kind: str, names: tuple[str, ...]) -> dict[str, Unit]:
    """Units of a kind with a time behind them: kWh/yr, min a week."""
    return {
        word + tail: replace(MEANT[kind][name], divisor=MEANT[kind][name].divisor * PERIODS[period])
        for name in names
        for word in _SPELLINGS[kind][name]
        for period, tails in _WORDS["periods"].items()
        for tail in tails
    }


UNITS: Final[dict[str, dict[str, Unit]]] = {
    **{kind: _spelt(kind) for kind in MEANT},
    "h": _spelt("h") | _per_period("h", ("h", "min", "s")),
    "Wh/day": _per_period("Wh", ("Wh", "kWh")),
    "money": {},
    "money/l": {},
    "weight": {},
    "1/year": {},
    "1-12": {},
}
"""By the unit of a field: the spellings read, plain lower case without spaces."""

KEPT: Final = {
    word: name for kind in ("consumption", "km") for name, words in _SPELLINGS[kind].items() for word in words
}
"""Units that are a setting of their own beside the number, which is kept as it was written."""

COUNTS: Final = frozenset(_WORDS["amounts"]["counts"])
"""Words that may follow a bare count."""

REFUSED: Final[dict[str, str]] = {word: reason for reason, words in _WORDS["refused"].items() for word in words}
"""Units that need a word of their own. Horsepower: NDSU Extension, 2022."""

LIKE: Final = {
    "W": "850 W or 1.5 kW",
    "VA": "900 VA or 1.2 kVA",
    "Wh": "2048 Wh, 2.05 kWh or 100 Ah @ 12.8 V",
    "Wh/day": "900 Wh/day, 0.9 kWh/day or 340 kWh/yr",
    "Ah": "100 Ah",
    "V": "120 V",
    "A": "12 A",
    "°C": "20 °C or 68 °F",
    "h": "1.5 h, 90 min, 1h30 or 18:00-22:30",
    "share": "35 % or 0.35",
    "clock": "18:00, 6 pm or 18",
    "ms": "10 ms",
    "cycles": "3000",
    "kg": "23 kg or 50 lb",
    "money": "1299 or 1,299.00",
    "money/l": "1.65, 1.65/l or 6.20/gal",
    "weight": "2",
    "dB(A)": "50 dB",
    "years": "5 years",
    "1/year": "12",
    "days": "1.5 days or 36 h",
    "1-12": "12 or December",
    "°": "40.7",
    "kWh/m²·day": "3.5",
    "h/day": "4.2",
    "1/°C": "-0.28 %/°C or -0.0028",
    "l": "20 l or 5 gal",
    "l/kWh": "0.54 l/kWh",
    "km": "40",
    "consumption": "18 kWh/100 km, 31 kWh/100 mi or 3.5 mi/kWh",
    "": "2",
}
"""By the unit of a field: something that is read."""


def plain_unit(text: str) -> str:
    """The unit in lower case, without spaces and dots: `k W h / m²·day` and `kwh/m2day` are one."""
    plain = text.casefold().replace("²", "2").replace("^2", "2").replace("º", "°").replace("˚", "°")
    return re.sub(r"[\s·⋅*.]", "", plain)


def find_unit(text: str, field_unit: str) -> Unit | None:
    """What a written unit is in the unit of a field, None where it is no unit of that kind."""
    if text.strip() == "mWh":  # in lower case it would be a megawatt-hour
        return None
    if field_unit == "":
        return Unit() if plain_unit(text) in COUNTS else None
    return UNITS.get(field_unit, {}).get(plain_unit(text))
