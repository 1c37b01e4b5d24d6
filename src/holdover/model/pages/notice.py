"""What the first page must say of the settings themselves: names that are nobody's, weights that weigh nothing, no place.

Cells of a workbook that can't be read are named in the same place; no case knows of them but by their number.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import Case, Weights
from holdover.model.decision import Decision, with_packs
from holdover.model.demand import Demand
from holdover.model.dust import DUST
from holdover.model.loads import LoadLine, lacks_words
from holdover.model.outage.told import NOTHING_RECHARGES
from holdover.model.solar_module import missing

SPREAD: Final = (
    "Loads without a time count as spread over day and night, hours at the outlet too: type under From when they run."
)
"""Said of a day away where some hours are spent at an outlet [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """What keeps the advice from being one on what was typed, and what is said in place of it and of an offer's title:
    cells of a workbook that can't be read, loads that lack figures, days that it does not reach.

    `count` is of such cells. `at`, `line` and `words` tell which they are: none, of whatever case. `line` stands for no row and no column.
    """

    count: int = 0
    at: int = 1
    line: int = 99_999
    words: str = ""
    first: str = ""
    advice: str = ""
    paper: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What the advice leaves out: `cells` that can't be read, `loads` that lack their watts or hours, in `words` the
    first of them; `beyond` tells of days that are asked and not worked out, beside the `days` that are."""

    cells: int
    loads: int
    words: str
    beyond: str
    days: int

    @property
    def headline(self) -> str:
        """What is said before the advice where it is told without a page, with a blank at its end."""
        return "".join(f"{word} " for word in (self.words, self.beyond, f"{self.without}:" if self.any else "") if word)

    @property
    def any(self) -> bool:
        """Whether anything is left out."""
        return self.cells + self.loads > 0 or self.beyond != ""

    @property
    def without(self) -> str:
        """For what the advice holds."""
        return "Without it" if self.cells + self.loads else f"For {self.days} day{'' if self.days == 1 else 's'}"


def left_of(lines: Sequence[LoadLine], beyond: str, days: int, cells: int = 0) -> Left:
    """What the advice leaves out.

    Args:
        lines: The inventory.
        beyond: That more days are asked than are worked out, "" where they aren't [-].
        days: Days that are worked out [days].
        cells: Cells of a workbook that can't be read [-].
    """
    loads = sum(line.incomplete for line in lines)
    return Left(cells=cells, loads=loads, words=lacks_words(lines), beyond=beyond, days=days)


def unread_of(left: Left, decision: Decision, told: str) -> Unread:
    """What is said where anything is left out: nobody may take the advice for one on what was typed.

    Args:
        left: What is left out.
        decision: The advice without it.
        told: What runs until when on the candidate advised [-].
    """
    if not left.any:
        return Unread()
    advice = f"{left.without} no candidate is known to fit." if decision.listed else "No candidate is listed yet."
    if decision.pick_number:
        advice = f"{left.without}: choose {with_packs(decision.pick, decision.pick_packs)}. {told}"
    first, paper, what = _in_place_of_it(left)
    return Unread(
        count=left.cells,
        first=first,
        advice=f"What follows leaves out what {what}. {advice}" if what else advice,
        paper=paper,
    )


def _in_place_of_it(left: Left) -> tuple[str, str, str]:
    """What is to be done first, why the papers are drafts, and what is left out, "" where only days are."""
    names, one = "left out: the first page names the first.", left.cells == 1
    if left.cells:
        cells, paper = ("a cell", "A cell") if one else (f"{left.cells} cells",) * 2
        paper = f"{paper} of the workbook can't be read and {'is' if one else 'are'} {names}"
        return f"First mend {cells} that can't be read.", paper, "stands there"
    if left.loads:
        return "First fill in what loads lack.", f"Loads lack watts or hours and are {names}", "lacks figures"
    return "First build this workbook anew.", left.beyond, ""


def empty_words(promise: str, demand: Demand) -> str:
    """That the promise is one of loads of which there are none, "" where there are some or no load at all [-].

    Args:
        promise: Which loads are promised [-].
        demand: What all loads ask for.
    """
    asked = demand.critical_wh + (demand.essential_wh if promise != "critical" else 0.0)
    if promise == "all loads" or round(asked, DUST) > 0 or round(demand.energy_wh, DUST) <= 0:
        return ""
    return f"No load is {promise.replace(' and ', ' or ')}, so nothing is promised."


def notice_of(case: Case, lacks: str = "", untimed: int = 0) -> str:
    """What is said before the advice, "" where there is nothing to say [-].

    Args:
        case: The case [-].
        lacks: Which loads lack figures, and that nothing is promised [-].
        untimed: Loads that run for some hours of no stated time [-].

    Holds for: any case; names count in any case of letters.
    Source: definition.

    >>> from holdover.case.schema import Outage
    >>> notice_of(Case(outage=Outage(leave_out="Fridge")))
    'No load is called Fridge, so it is not left out.'
    """
    outage, loads = case.outage, [load.name for load in case.loads]
    said = [lacks] if lacks else []
    if outage.candidate and not _named(outage.candidate, (c.name for c in case.candidates)):
        said.append(f"No candidate is called {outage.candidate}, so it is not followed.")
    if outage.leave_out and not _named(outage.leave_out, loads):
        said.append(f"No load is called {outage.leave_out}, so it is not left out.")
    if outage.without and not _named(outage.without, loads):
        said.append(f"No load is called {outage.without} to do without.")
    if case.money.rank_by == "weighted score" and not any(getattr(case.weights, name) for name in Weights.model_fields):
        said.append("All weights are 0, so the score ranks nothing.")
    unsaid = missing(case.array, case.sun.coldest_c, unplaced=case.sun.unplaced)
    if case.array.modules and unsaid:
        said.append(f"With {unsaid} not stated no layout of modules is counted.")
    if case.is_unfed:
        said.append(NOTHING_RECHARGES)
    if untimed and case.about.purpose == "day away" and outage.mains_hours > 0:
        said.append(SPREAD)
    return " ".join(said)


def _named(name: str, names: Iterable[str]) -> bool:
    return name.lower() in {each.lower() for each in names}
