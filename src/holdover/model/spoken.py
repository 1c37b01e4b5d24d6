"""Numbers and clock times inside sentences, rounded the way a spreadsheet rounds them: half away from zero."""

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from math import floor

from holdover.model.dust import DUST


def spoken(number: float, decimals: int = 0) -> str:
    """A number as text [-].

    Args:
        number: Any finite number [-].
        decimals: Decimals kept at most [-].

    Holds for: magnitudes below 1e15.
    Source: the ROUND of spreadsheet programs, after six decimals have settled float dust.

    >>> spoken(2.5), spoken(1.005, 2), spoken(3.0, 1)
    ('3', '1.01', '3')
    """
    step = Decimal(1).scaleb(-decimals)
    text = format(Decimal(repr(round(number, DUST))).quantize(step, ROUND_HALF_UP), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def thousands(number: float, decimals: int = 0) -> str:
    """A number as text, with a mark between its thousands [-].

    Args:
        number: Any finite number [-].
        decimals: Decimals, all of them written [-].

    Holds for: magnitudes below 1e15.
    Source: the FIXED of spreadsheet programs, after `spoken`.

    >>> thousands(8944.5), thousands(-3.2), thousands(7486.95, 2)
    ('8,945', '-3', '7,486.95')
    """
    return f"{Decimal(spoken(number, decimals)):,.{decimals}f}"


def cut(number: float) -> str:
    """A number cut to a tenth, float dust settled first, in words [-].

    Args:
        number: A distance [km or mi].

    Holds for: any number.
    Source: common practice: nobody is told of ground that is not reached.

    >>> cut(3.97), cut(4.0)
    ('3.9', '4')
    """
    return spoken(float(Decimal(repr(round(number, DUST))).quantize(Decimal("0.1"), ROUND_DOWN)), 1)


def duration(hours: float) -> str:
    """How long something takes, in minutes below an hour [-].

    Args:
        hours: Any length of time, 0 or more [h].

    Holds for: any length; minutes are whole, hours to a tenth.
    Source: definition.

    >>> duration(1 / 3), duration(1.0), duration(5.55)
    ('20 min', '1 h', '5.6 h')
    """
    return f"{spoken(60 * hours)} min" if round(hours, DUST) < 1 else f"{spoken(hours, 1)} h"


def clock_words(t: float, starts_at: int) -> str:
    """An hour of the outage as a clock time and the day of the outage [-].

    Args:
        t: Hours since it began [h].
        starts_at: Clock hour at which it began [h].

    Holds for: whole clock hours; a day ends at midnight, so that day 1 is the one on which the outage begins.
    Source: definition.

    >>> clock_words(51, 18), clock_words(0, 18), clock_words(10, 18)
    ('21:00 on day 3', '18:00 on day 1', '04:00 on day 2')
    """
    hour = starts_at + floor(round(t, DUST))
    return f"{hour % 24:02d}:00 on day {hour // 24 + 1}"
