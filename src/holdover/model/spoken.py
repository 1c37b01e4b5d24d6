"""Numbers inside sentences, rounded the way a spreadsheet rounds them: half away from zero, on the decimal digits."""

from decimal import ROUND_HALF_UP, Decimal

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
