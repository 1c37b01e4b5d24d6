"""What each setting that is tried on the first page comes to, for the candidate followed."""

from dataclasses import asdict, dataclass
from typing import Final

from holdover.case.measure import in_units
from holdover.case.schema import Case
from holdover.model.dust import DUST
from holdover.model.offer import Offer
from holdover.model.spoken import spoken, thousands

LONG_NAME: Final = 22
"""Letters of a candidate's name for which its cell has room [-]; definition. The line below names it whole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """A result in words beside each setting."""

    candidate: str
    packs: str
    days: str
    left: str
    sun: str
    generator: str

    def handed_over(self) -> "Tried":
        """The same as it is told once something else is tried."""
        return Tried(**{name: said and f"was {said}" for name, said in asdict(self).items()})


def tried_of(case: Case, shown: Offer, *, beyond: bool) -> Tried:
    """What the settings come to [-].

    Args:
        case: The case [-].
        shown: The candidate followed [-].
        beyond: Whether more days are asked than the workbook reaches [-].

    Holds for: any candidate, a blank one too.
    Source: definition.
    """
    outage = case.outage
    ends = outage.starts_at + 24 * outage.days
    return Tried(
        candidate=shown.name[:LONG_NAME] or "none listed",
        packs=_packs(outage.packs or 0, shown) if shown.name else "",
        days=f"{'only ' if beyond else ''}to day {ends // 24 + 1}, {ends % 24:02d}:00",
        left=_left(case),
        sun=_sun(case, shown),
        generator=_fuel(case, shown),
    )


def _packs(asked: int, shown: Offer) -> str:
    """Packs that it gets of those that it takes; where more are asked, that these are all."""
    most = shown.given.packs_max or 0
    return f"{'only ' if asked > most else ''}{shown.held.packs} of {most}"


def _sun(case: Case, shown: Offer) -> str:
    """What comes in; and that the days have shares of their own, where none is left for the one that is tried."""
    if case.array.modules <= 0:
        return "no modules planned"
    own = sum(day.sky is not None for day in case.days)
    told = f"{thousands(sum(shown.carried.taking.sun_wh) / case.outage.days)} Wh/day"
    return f"by day: {told}" if own >= case.outage.days else told


def _left(case: Case) -> str:
    """Whether a load of the name that is typed is left out, and how many there are of it."""
    wanted = case.outage.leave_out.lower()
    if not wanted:
        return "nothing"
    named = sum(load.name.lower() == wanted for load in case.loads)
    return "left out" if named == 1 else "all of that name" if named else "no load of that name"


def _fuel(case: Case, shown: Offer) -> str:
    """Fuel through the whole outage, in the unit of the client: for what is drawn, and what idling burns comes on top."""
    if case.outage.generator_hours > 0 and case.recharge.generator_w <= 0:
        return "no watts stated"
    units = case.about.units
    fuel, unit = in_units(shown.carried.fuel_l, "l", units)
    told = f"{spoken(fuel, 1 if units == 'US' else 0)} {unit} or more"
    return told if round(shown.carried.fuel_l, DUST) > 0 else "no fuel"
