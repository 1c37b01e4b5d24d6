"""How a cell that people type into is read once: as a formula, and the same in Python.

What can't be read counts as not stated: never as another number, never as an error. This module alone knows how a
value of the case stands in a cell; a clock hour stands there as a time of day.
"""

import re
from typing import TYPE_CHECKING, Final

from holdover.case.figures import exact
from holdover.case.section import bounds_of, choices_of, is_text, is_whole, unit_of
from holdover.xlsx import DAYS_TO_1904

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

    from holdover.case.measure import Measure

Value = float | str | None

DAY_H: Final = 24
"""Hours of a day [h]; a time of day is kept as a share of it."""
AMBIGUOUS: Final = 1.0
"""As a time of day midnight at the end of the day, as hours one in the morning: nobody can tell, so it is asked [-]."""
DIGITS: Final = 12
"""Decimals of an hour that a time of day keeps [-]."""
NEAR_MIN: Final = 1e-6
"""How near to whole minutes a time of day is that was typed in whole minutes [min]; far above what 15 digits lose."""
EXAMPLE: Final = "21:30, or hours from 2 to 24; midnight is 0:00, one in the morning 1:00"
"""How a clock hour is typed."""
_HOURS: Final = f"IF(§<1,ROUND({DAY_H}*§,{DIGITS}),MOD(§,{DAY_H}))"


def list_name(choices: tuple[str, ...]) -> str:
    """Defined name of the list that a drop-down offers."""
    first, last = (re.sub("[^a-z]", "", choices[place].lower()) for place in (0, -1))
    return f"list_{first or 'volts'}_{last or 'volts'}{len(choices)}_word"


def is_clock(info: "FieldInfo") -> bool:
    """Whether it is a clock hour, typed as a time or in hours."""
    return unit_of(info) == "clock"


def formula_of(info: "FieldInfo", cell: str, shown: "Measure | None" = None) -> str:
    """The formula that reads a cell: what it holds if it is what is asked for, else an empty text.

    `shown` is the unit in which it is typed, where that is not the one it is kept in.
    """
    choices = choices_of(info)
    if choices:
        words = list_name(choices).removesuffix("_word")
        known = f"SUMPRODUCT(({{{words}.word}}=TRIM(§))*1)>0"  # to MATCH a * is any word, to = it is none
        inner = f'IF({known},INDEX({{{words}.word}},MATCH(TRIM(§),{{{words}.word}},0)),"")'
        return f'=IF(ISTEXT(§),{inner},"")'.replace("§", cell)
    if is_text(info):
        return '=IF(OR(ISERROR(§),ISLOGICAL(§)),"",TRIM(§))'.replace("§", cell)
    amount = _HOURS if is_clock(info) else shown.read_text("§") if shown else "§"
    low, high = bounds_of(info)
    limits = [("<=", high)] if is_clock(info) and low == 0 else [(">=", low), ("<=", high)]
    conditions = [f"{amount}{sign}{exact(limit)}" for sign, limit in limits if limit is not None]
    if is_whole(info):
        conditions.append(f"{amount}=ROUND({amount},0)")
    if is_clock(info):
        conditions += ["§>=0", f"§<={DAY_H}", f"§<>{exact(AMBIGUOUS)}"]
    conditions.append("NOT(ISLOGICAL(§))")  # to some programs it is a number, too
    return f'=IF(ISNUMBER(§),IF(AND({",".join(conditions)}),{amount},""),"")'.replace("§", cell)


def read(info: "FieldInfo", value: object, shown: "Measure | None" = None) -> float | str:
    """What the formula makes of a cell's value; "" where it is blank or can't be read."""
    choices = choices_of(info)
    if choices:
        word = _trimmed(value).casefold() if isinstance(value, str) else ""
        return next((choice for choice in choices if choice.casefold() == word), "")
    if is_text(info):
        if isinstance(value, bool) or value is None:
            return ""
        return exact(value) if isinstance(value, int | float) else _trimmed(str(value))
    if isinstance(value, bool) or not isinstance(value, int | float):
        return ""
    amount = shown.read(float(value)) if shown else float(value)
    if is_clock(info):
        if amount == AMBIGUOUS or not 0 <= amount <= DAY_H:
            return ""
        amount = round(DAY_H * amount, DIGITS) if amount < 1 else amount % DAY_H
    low, high = bounds_of(info)
    sound = (low is None or amount >= low) and (high is None or amount <= high)
    return amount if sound and (not is_whole(info) or amount == round(amount)) else ""


def stored(info: "FieldInfo | None", value: Value, shown: "Measure | None" = None) -> Value:
    """A value of the case as its cell holds it."""
    if not isinstance(value, int | float):
        return value
    return value / DAY_H if info and is_clock(info) else shown.shown(value) if shown else value


def clock_hour(value: float) -> float:
    """The clock hour of a cell that holds a time of day or hours [h]; what is neither stays as it is.

    What is typed is whole minutes, so those are taken where a time comes as near to them as a cell's digits go. A sheet
    that counts its days from 1904 has a time of day behind so many days.
    """
    share = value - DAYS_TO_1904 if value >= DAYS_TO_1904 else value
    if not 0 <= share < 1:
        return 0.0 if share == DAY_H else value
    minutes = share * DAY_H * 60
    hours = round(minutes) / 60 if abs(minutes - round(minutes)) < NEAR_MIN else round(DAY_H * share, DIGITS)
    return float(exact(hours))


def asked_for(info: "FieldInfo", shown: "Measure | None" = None) -> str:
    """What may stand in a cell, in words."""
    choices = choices_of(info)
    if choices:
        return f"one of {', '.join(choices)}"
    if is_text(info):
        return "a text"
    low, high = bounds(info, shown)
    if is_clock(info):
        return (
            "a full hour such as 21:00, or hours from 2 to 24; midnight is 0:00, one in the morning 1:00"
            if is_whole(info)
            else f"a time such as {EXAMPLE}"
        )
    if low is None or high is None:
        return "a number"
    if unit_of(info) == "share":
        return f"a share from {_figure(100 * low)} % to {_figure(100 * high)} %"
    return f"a {'whole ' if is_whole(info) else ''}number from {_figure(low)} to {_figure(high)}"


def instead_of(info: "FieldInfo", shown: "Measure | None" = None) -> str:
    """What counts where a setting can't be read, in words: what is usual; "" where nothing is."""
    usual = info.default
    if usual in (None, ""):
        return ""
    if is_text(info):
        return str(usual)
    if is_clock(info):
        return f"{int(usual):02d}:{round(usual % 1 * 60):02d}"
    if unit_of(info) == "share":
        return f"{_figure(100 * usual)} %"
    return _figure(shown.shown(usual) if shown else usual)


def bounds(info: "FieldInfo", shown: "Measure | None" = None) -> tuple[float | None, float | None]:
    """Lowest and highest value, as they are typed."""
    low, high = bounds_of(info)
    if shown is None:
        return low, high
    return None if low is None else shown.shown(low), None if high is None else shown.shown(high)


def _figure(number: float) -> str:
    return f"{number:,.10g}"


def _trimmed(text: str) -> str:
    return re.sub(" +", " ", text).strip(" ")
