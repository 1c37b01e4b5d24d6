"""What the first page must say of the settings themselves: names that are nobody's, weights that weigh nothing, no place.

That a cell of a workbook can't be read stands in the same place, but no case knows of such cells.
"""

from collections.abc import Iterable

from holdover.case.schema import Case, Weights


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
    if case.array.modules and case.sun.unplaced:
        said.append("Latitude is not stated, so no string layout is allowed.")
    return " ".join(said)


def _named(name: str, names: Iterable[str]) -> bool:
    return name.lower() in {each.lower() for each in names}
