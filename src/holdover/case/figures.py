"""Figures in messages: short enough to be read. What is stored is never changed by them."""

from typing import Final

DIGITS: Final = 4
"""Significant digits that are told [count]; a survey is not known to more."""
KEPT_DIGITS: Final = 15
"""Digits of a number that are kept [count]; every spreadsheet program keeps so many."""


def figure(value: float) -> str:
    """A value to 4 significant digits, from 1000 up to whole ones, without grouping or powers of ten."""
    if abs(value) >= 10 ** (DIGITS - 1):
        return f"{value:.0f}"
    return f"{float(f'{value:.{DIGITS}g}'):.10f}".rstrip("0").rstrip(".")


def exact(value: float) -> str:
    """A value with all of its digits, for a reader who is to type it again."""
    return f"{value:.{KEPT_DIGITS}g}"


def clock(hours: float) -> str:
    """A clock hour as people write it: 22.5 is 22:30."""
    minutes = round(hours * 60)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"
