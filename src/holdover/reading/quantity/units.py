"""Units a quantity may be written in, each with its factor to the unit of the field."""

import re
from dataclasses import dataclass
from typing import Final

MILE_KM: Final = 1.609344
"""One mile [km], exact by definition."""
POUND_KG: Final = 0.45359237
"""One pound, avoirdupois [kg], exact by definition."""
GALLON_L: Final = 3.785411784
"""One US liquid gallon [l], exact by definition."""
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

    @property
    def is_own(self) -> bool:
        """Whether it is the unit of the field under another spelling."""
        return self.factor == self.divisor and self.offset == 0


def _of(factor: float) -> Unit:
    # 35 / 100 is exact to the last digit, 35 * 0.01 is not.
    inverse = round(1 / factor) if factor < 1 else 0
    return Unit(divisor=inverse) if inverse and 1 / inverse == factor else Unit(factor=factor)


def _spread(factors: dict[float, str]) -> dict[str, Unit]:
    return {word: _of(factor) for factor, words in factors.items() for word in words.split()}


_PERIODS: Final = {
    1.0: "/day /d perday aday daily /24h /24hr /24hours in24h",
    DAYS_A_WEEK: "/week /wk perweek aweek weekly",
    DAYS_A_MONTH: "/month /mo permonth amonth monthly",
    DAYS_A_YEAR: "/year /yr /y /a peryear ayear perannum annually /annum yearly /annual",
}


def _per_period(amounts: dict[float, str]) -> dict[str, Unit]:
    return {
        word + tail: Unit(factor=_of(factor).factor, divisor=_of(factor).divisor * days)
        for factor, words in amounts.items()
        for word in words.split()
        for days, tails in _PERIODS.items()
        for tail in tails.split()
    }


_HOURS: Final = {1.0: "h hr hrs hour hours std", 1 / 60: "min mins minute minutes", 1 / 3600: "s sec secs seconds"}
_ENERGY: Final = {
    1.0: "wh watthours watthour watt-hours watt-hour w-h",
    1000.0: "kwh kilowatthours kw-h kilowatt-hours",
}
_LENGTHS: Final = {1.0: "km kilometer kilometers kilometre kilometres", MILE_KM: "mi mile miles"}

_CONSUMPTIONS: Final = {
    "Wh/km": "wh/km whperkm",
    "kWh/100 km": "kwh/100km kwhper100km",
    "km/kWh": "km/kwh kmperkwh",
    "Wh/mi": "wh/mi wh/mile whpermile whpermi",
    "kWh/100 mi": "kwh/100mi kwh/100miles kwhper100miles kwhper100mi",
    "mi/kWh": "mi/kwh miles/kwh mile/kwh milesperkwh mi/kw-h",
}

UNITS: Final[dict[str, dict[str, Unit]]] = {
    "W": _spread({1.0: "w watt watts", 1000.0: "kw kilowatt kilowatts"}),
    "VA": _spread({1.0: "va v-a voltampere voltamperes volt-amperes voltamps", 1000.0: "kva"}),
    "Wh": _spread({**_ENERGY, 1e6: "mwh"}),
    "Wh/day": _per_period(_ENERGY),
    "V": _spread({1.0: "v volt volts vac vdc vdc. acv dcv v~"}),
    "A": _spread({1.0: "a amp amps ampere amperes aac adc", 0.001: "ma milliamp milliamps"}),
    "Ah": _spread({1.0: "ah amphours amp-hours amperehours ampere-hours a-h", 0.001: "mah"}),
    "°C": {
        **_spread({1.0: "°c c degc celsius degreescelsius degreesc ℃"}),
        **dict.fromkeys(
            ("°f", "f", "degf", "fahrenheit", "degreesfahrenheit", "degreesf", "℉"),
            Unit(factor=5, divisor=9, offset=-160 / 9),
        ),
    },
    "h": {**_spread(_HOURS), **_per_period(_HOURS)},
    "share": _spread({0.01: "% percent pct %/100", 1.0: "share"}),
    "clock": _spread({1.0: "h hr hrs hour hours uhr clock o'clock"}),
    "ms": _spread({1.0: "ms msec msecs millisecond milliseconds", 1000.0: "s sec secs second seconds"}),
    "cycles": _spread({1.0: "cycles cycle times"}),
    "kg": _spread(
        {1.0: "kg kgs kilo kilos kilogram kilograms", 0.001: "g gram grams", POUND_KG: "lb lbs pound pounds"}
    ),
    "money": {},
    "weight": {},
    "dB(A)": _spread({1.0: "db dba db(a)"}),
    "years": _spread({1.0: "years year yr yrs y a", 1 / 12: "months month mo"}),
    "days": _spread({1.0: "days day d", 1 / 24: "h hr hrs hour hours", 7.0: "weeks week wk"}),
    "1-12": {},
    "°": _spread({1.0: "° deg degree degrees"}),
    "kWh/m²·day": _spread(
        {
            1.0: "kwh/m2day kwh/m2/day kwh/m2/d kwh/m2d kwh/m2perday kwh/m2 kwh/day/m2",
            0.001: "wh/m2day wh/m2/day wh/m2/d wh/m2d",
            MEGAJOULE_KWH: "mj/m2day mj/m2/day mj/m2/d mj/m2d",
        }
    ),
    "h/day": _spread(
        {1.0: "h h/day h/d hours hours/day hrs/day hrs hr/day kwh/m2day kwh/m2/day kwh/m2/d psh sunhours"}
    ),
    "1/°C": _spread({1.0: "1/°c /°c /k 1/k /c 1/c", 0.01: "%/°c %/k %/c %/degc %per°c"}),
    "l/kWh": _spread(
        {1.0: "l/kwh liter/kwh litre/kwh liters/kwh litres/kwh", GALLON_L: "gal/kwh gallon/kwh gallons/kwh"}
    ),
    "km": _spread(_LENGTHS),
    "consumption": _spread({1.0: " ".join(_CONSUMPTIONS.values())}),
}
"""By the unit of a field: the spellings read, plain lower case without spaces."""

KEPT: Final = {word: unit for unit, words in _CONSUMPTIONS.items() for word in words.split()} | {
    word: "km" if word.startswith("k") else "mi" for word in UNITS["km"]
}
"""Units that are a setting of their own beside the number, which is kept as it was written."""

COUNTS: Final = frozenset({"pc", "pcs", "pce", "piece", "pieces", "no", "nos", "each", "ea", "unit", "units", "x"})
"""Words that may follow a bare count."""

REFUSED: Final = {
    "hp": "horsepower is what the shaft gives, not what is drawn: write watts (motors draw about 1000 W per hp)",
    "btu": "BTU is heat moved, not electricity drawn: write the watts of the rating plate",
    "btu/h": "BTU is heat moved, not electricity drawn: write the watts of the rating plate",
    "btu/hr": "BTU is heat moved, not electricity drawn: write the watts of the rating plate",
    "mw": "MW and mW are a thousand million apart: write W or kW",
    "tons": "tons are cooling given, not electricity drawn: write the watts of the rating plate",
    "ton": "tons are cooling given, not electricity drawn: write the watts of the rating plate",
}
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
    "weight": "2",
    "dB(A)": "50 dB",
    "years": "5 years",
    "days": "1.5 days or 36 h",
    "1-12": "12 or December",
    "°": "40.7",
    "kWh/m²·day": "3.5",
    "h/day": "4.2",
    "1/°C": "-0.28 %/°C or -0.0028",
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
