"""What runs until when, in words."""

from collections.abc import Mapping

from holdover.model.dust import DUST
from holdover.model.outage.shedding import TierServed
from holdover.model.spoken import clock_words, spoken


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


def parts_of(tiers: Mapping[str, TierServed], days: int, starts_at: int) -> dict[str, str]:
    """What becomes of each tier that asks for anything, without its name [-]."""
    through = "through the whole day" if days == 1 else f"through all {days} days"
    parts = {}
    for tier, got in tiers.items():
        if round(got.asked_wh, DUST) <= 0:
            continue
        off = f"off or short {spoken(got.off_h)} of {24 * days} h"
        if isinstance(got.until_h, str):
            parts[tier] = through
        elif got.until_h <= 0:
            parts[tier] = f"{off}, from the start on"
        else:
            parts[tier] = f"until {clock_words(got.until_h, starts_at)}, {off}"
    return parts
