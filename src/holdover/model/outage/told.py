"""What runs until when, in words."""

from collections.abc import Mapping

from holdover.model.dust import DUST
from holdover.model.outage.shedding import TierServed
from holdover.model.spoken import clock_words, spoken


def tiers_words(tiers: Mapping[str, TierServed], days: int, starts_at: int, *, output: str = "OK") -> str:
    """What runs until when, in one sentence; what is off is never said to last [-].

    Args:
        tiers: What each tier gets, the last to be shed first; one that asks for nothing is passed over [-].
        days: Days of the planned outage [days].
        starts_at: Clock hour at which it begins [h].
        output: Word of the output half; where it is UNDER loads can't run, and what storage would carry is told [-].

    Holds for: outages of whole days.
    Source: definition.

    >>> whole = TierServed(asked_wh=90, served_wh=90, served_share=1, off_h=0, until_h="")
    >>> part = TierServed(asked_wh=90, served_wh=50, served_share=50 / 90, off_h=31, until_h=51)
    >>> tiers_words({"critical": whole, "essential": part}, 4, 18)
    'Critical loads run through all 4 days; essential ones until 21:00 on day 3, off or short 31 of 96 h.'
    >>> tiers_words({"critical": whole, "essential": whole, "convenience": part}, 4, 18)
    'Critical and essential loads run through all 4 days; convenience ones until 21:00 on day 3, off or short 31 of 96 h.'
    >>> tiers_words({"critical": whole}, 1, 18, output="UNDER")
    'Output falls short; storage alone would carry: all loads through the whole day.'
    """
    parts = _merged(parts_of(tiers, days, starts_at), through(days))
    if not parts:
        return ""
    told = [f"{names} {'ones' if i else 'loads'} {part}" for i, (names, part) in enumerate(parts)]
    if output == "UNDER":
        return f"Output falls short; storage alone would carry: {'; '.join(told)}."
    names, part = parts[0]
    told[0] = f"{names.capitalize()} loads {'are' if part.startswith('off') else 'run'} {part}"
    return "; ".join(told) + "."


def _merged(parts: Mapping[str, str], whole: str) -> list[tuple[str, str]]:
    """Tiers that fare alike, told together: all of them, or two that are next to each other."""
    if len(set(parts.values())) == 1 and (len(parts) > 1 or whole in parts.values()):
        return [("all", next(iter(parts.values())))]
    merged: list[tuple[str, str]] = []
    for tier, part in parts.items():
        if merged and merged[-1][1] == part:
            merged[-1] = (f"{merged[-1][0]} and {tier}", part)
        else:
            merged.append((tier, part))
    return merged


def parts_of(tiers: Mapping[str, TierServed], days: int, starts_at: int) -> dict[str, str]:
    """What becomes of each tier that asks for anything, without its name [-]."""
    parts = {}
    for tier, got in tiers.items():
        if round(got.asked_wh, DUST) <= 0:
            continue
        off = f"off or short {spoken(got.off_h)} of {24 * days} h"
        if isinstance(got.until_h, str):
            parts[tier] = through(days)
        elif round(got.until_h, DUST) <= 0:
            parts[tier] = f"{off}, from the start on"
        else:
            parts[tier] = f"until {clock_words(got.until_h, starts_at)}, {off}"
    return parts


def through(days: int) -> str:
    """The whole outage, in words [-].

    Args:
        days: Days of the planned outage [days].

    Holds for: whole days.
    Source: definition.

    >>> through(1), through(2), through(4)
    ('through the whole day', 'through both days', 'through all 4 days')
    """
    return {1: "through the whole day", 2: "through both days"}.get(days, f"through all {days} days")
