"""What the first page must say of the settings themselves: names that are nobody's, weights that weigh nothing, no place.

Cells of a workbook that can't be read are named in the same place; no case knows of them but by their number.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from holdover.case.schema import Case, Weights
from holdover.model.decision import Decision, with_packs
from holdover.model.strings import missing


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """Cells of a workbook that can't be read, and what is said of them in place of the advice and of an offer's title.

    `at`, `line` and `words` tell which they are: none, of whatever case. `line` stands for no row and no column.
    """

    count: int = 0
    at: int = 1
    line: int = 99_999
    words: str = ""
    first: str = ""
    advice: str = ""
    paper: str = ""


def unread_of(count: int, decision: Decision, told: str) -> Unread:
    """What is said where cells of a workbook can't be read: nobody may take the advice for one on what was typed.

    Args:
        count: Cells that can't be read [-].
        decision: The advice without what stands there.
        told: What runs until when on the candidate advised [-].
    """
    if count == 0:
        return Unread()
    if decision.pick_number:
        advice = f"Without it: choose {with_packs(decision.pick, decision.pick_packs)}. {told}"
    else:
        advice = "Without it no candidate is known to fit." if decision.listed else "No candidate is listed yet."
    cells, of_them = f"{count} cells", "are left out"
    if count == 1:
        cells, of_them = "a cell", "is left out"
    return Unread(
        count=count,
        first=f"First mend {cells} that can't be read.",
        advice=f"What follows leaves out what stands there. {advice}",
        paper=f"{cells[0].upper()}{cells[1:]} of the workbook can't be read and {of_them}: the first page names the first.",
    )


def notice_of(case: Case) -> str:
    """What is said before the advice, "" where there is nothing to say [-].

    Args:
        case: The case [-].

    Holds for: any case; names count in any case of letters.
    Source: definition.

    >>> from holdover.case.schema import Outage
    >>> notice_of(Case(outage=Outage(leave_out="Fridge")))
    'No load is called Fridge, so it is not left out.'
    """
    outage, loads = case.outage, [load.name for load in case.loads]
    said = []
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
    return " ".join(said)


def _named(name: str, names: Iterable[str]) -> bool:
    return name.lower() in {each.lower() for each in names}
