"""What runs until when, in words; what the days planned are called by what the plan is for."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Case, Outage, Purpose
from holdover.model.dust import DUST
from holdover.model.outage.promise import Carried
from holdover.model.outage.shedding import TierServed
from holdover.model.spoken import clock_words, spoken, thousands

STRETCH: Final[dict[Purpose, tuple[str, str, str]]] = {
    "outage": ("an outage of ", "", "when the power goes"),
    "day away": ("", " away from the outlet", "when you leave"),
    "trip": ("a trip of ", "", "when you leave"),
    "off grid": ("", " off the grid", "at the start"),
}
"""What stands before and behind so many days in a sentence, and how their first moment is called [-]; definition."""

NOTHING_RECHARGES: Final = (
    "No module, generator or outlet recharges the storage: it stays empty after the days planned."
)
"""Said of a plan off the grid that does without [-]."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The days planned: how many, the clock hour at which the first begins, what they are for, and the load that is left
    out of them, "" where none is."""

    days: int
    starts_at: int = 0
    purpose: Purpose = "outage"
    left_out: str = ""

    @property
    def words(self) -> str:
        """So many days of what, such as "an outage of 2 days"."""
        before, behind, _ = STRETCH[self.purpose]
        return f"{before}{'a day' if self.days == 1 else f'{self.days} days'}{behind}"

    @property
    def all(self) -> str:
        """What all loads are called: one that is left out does not run."""
        return f"all loads but {self.left_out}" if self.left_out else "all loads"

    @property
    def begins(self) -> str:
        """Its first moment, such as "when the power goes"."""
        return STRETCH[self.purpose][2]


def stretch_of(case: Case) -> Stretch:
    """The days that a case plans."""
    name = case.outage.leave_out
    left_out = name if name and any(load.name.lower() == name.lower() for load in case.loads) else ""
    return Stretch(case.outage.days, case.outage.starts_at, case.about.purpose, left_out)


def tiers_words(tiers: Mapping[str, TierServed], stretch: Stretch, *, output: str = "OK") -> str:
    """What runs until when, in one sentence; what is off is never said to last [-].

    Args:
        tiers: What each tier gets, the last to be shed first; one that asks for nothing is passed over [-].
        stretch: The days planned.
        output: Word of the output half; where it is UNDER loads can't run, and what storage would carry is told [-].

    Holds for: whole days.
    Source: definition.

    >>> whole = TierServed(asked_wh=90, served_wh=90, served_share=1, asked_h=96, off_h=0, until_h="")
    >>> part = TierServed(asked_wh=90, served_wh=50, served_share=50 / 90, asked_h=80, off_h=31, until_h=51)
    >>> tiers_words({"critical": whole, "essential": part}, Stretch(4, 18))
    'Critical loads run through all 4 days; essential ones until 21:00 on day 3, off or short 31 of their 80 h.'
    >>> tiers_words({"critical": whole, "essential": whole, "convenience": part}, Stretch(4, 18))
    'Critical and essential loads run through all 4 days; convenience ones until 21:00 on day 3, off or short 31 of their 80 h.'
    >>> tiers_words({"critical": whole}, Stretch(1, 18), output="UNDER")
    'Output falls short; storage alone would carry: all loads through the whole day.'
    >>> tiers_words({"critical": whole}, Stretch(1, left_out="Freezer"))
    'All loads but Freezer run through the whole day.'
    """
    parts = _merged(parts_of(tiers, stretch), through(stretch))
    if not parts:
        return ""
    called = [
        stretch.all if names == "all" else f"{names} {'ones' if i else 'loads'}" for i, (names, _) in enumerate(parts)
    ]
    told = [f"{names} {part}" for names, (_, part) in zip(called, parts, strict=True)]
    if output == "UNDER":
        return f"Output falls short; storage alone would carry: {'; '.join(told)}."
    part = parts[0][1]
    told[0] = f"{called[0][0].upper()}{called[0][1:]} {'are' if part.startswith('off') else 'run'} {part}"
    return "; ".join(told) + "."


def trips_unless(outage: Outage, carried: Carried) -> str:
    """What keeps a source from tripping, to stand in a sentence; "" where none trips [-].

    Where loads alone are more than it gives no setting of the charger cures it: loads must be off beside it.

    Args:
        outage: The plan, for the name of the source [-].
        carried: The candidate carried through it.

    Holds for: an outlet, a generator, or both.
    Source: definition.
    """
    over_w, loads_w = carried.source_trips_w, carried.loads_trip_w
    if round(over_w, DUST) <= 0:
        return ""
    source = "a source" if outage.generator_hours > 0 else "the outlet"
    source = "the generator" if outage.mains_hours <= 0 else source
    if round(loads_w, DUST) > 0:
        return f"{source} trips unless {thousands(loads_w)} W of loads are off beside it"
    return f"{source} trips unless charging is set {thousands(over_w)} W lower"


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


def parts_of(tiers: Mapping[str, TierServed], stretch: Stretch) -> dict[str, str]:
    """What becomes of each tier that asks for anything, without its name [-]."""
    parts = {}
    for tier, got in tiers.items():
        if round(got.asked_wh, DUST) <= 0:
            continue
        off = f"off or short {spoken(got.off_h)} of their {spoken(got.asked_h)} h"
        if isinstance(got.until_h, str):
            parts[tier] = through(stretch)
        elif round(got.until_h, DUST) <= 0:
            parts[tier] = f"{off}, from the start on"
        else:
            parts[tier] = f"until {clock_words(got.until_h, stretch.starts_at)}, {off}"
    return parts


def through(stretch: Stretch) -> str:
    """The days planned, from their beginning to their end, in words [-].

    Args:
        stretch: The days planned.

    Holds for: whole days.
    Source: definition.

    >>> through(Stretch(1)), through(Stretch(2)), through(Stretch(4))
    ('through the whole day', 'through both days', 'through all 4 days')
    >>> through(Stretch(1, purpose="day away")), through(Stretch(2, purpose="trip"))
    ('through the whole day away', 'through the whole trip')
    """
    if stretch.purpose == "trip":
        return "through the whole trip"
    days = {1: "the whole day", 2: "both days"}.get(stretch.days, f"all {stretch.days} days")
    return f"through {days}{' away' if stretch.purpose == 'day away' else ''}"
