"""Numbers and clock times inside sentences, rounded the way a spreadsheet rounds them: half away from zero."""

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from math import floor

from holdover.model.dust import DUST
from holdover.model.outage.shedding import TierServed


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


def tiers_words(tiers: Mapping[str, TierServed], days: int, starts_at: int) -> str:
    """What runs until when, in one sentence; what is off is never said to last [-].

    Args:
        tiers: What each tier gets, the last to be shed first; one that asks for nothing is passed over [-].
        days: Days of the planned outage [days].
        starts_at: Clock hour at which it begins [h].

    Holds for: outages of whole days.
    Source: definition.

    >>> whole = TierServed(asked_wh=90, served_wh=90, served_share=1, off_h=0, until_h="")
    >>> part = TierServed(asked_wh=90, served_wh=50, served_share=50 / 90, off_h=31, until_h=51)
    >>> tiers_words({"critical": whole, "essential": part}, 4, 18)
    'Critical loads run through all 4 days; essential ones until 21:00 on day 3, off or short 31 of 96 h.'
    """
    asked = {tier: got for tier, got in tiers.items() if round(got.asked_wh, DUST) > 0}
    if not asked:
        return ""
    through = "through the whole day" if days == 1 else f"through all {days} days"
    if all(got.until_h == "" for got in asked.values()):
        return f"All loads run {through}."
    parts: list[str] = []
    for tier, got in asked.items():
        name = f"{tier} ones" if parts else f"{tier.capitalize()} loads"
        if isinstance(got.until_h, str):
            parts.append(f"{name} {'' if parts else 'run '}{through}")
            continue
        hours = f"off or short {spoken(got.off_h)} of {24 * days} h"
        if round(got.until_h, DUST) <= 0:
            parts.append(f"{name} {'' if parts else 'are '}{hours}, from the start on")
        else:
            parts.append(f"{name} {'' if parts else 'run '}until {clock_words(got.until_h, starts_at)}, {hours}")
    return "; ".join(parts) + "."
