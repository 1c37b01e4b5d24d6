"""What the index says of a case. Plain data: it goes between processes, into the journal and into index.json."""

import sys
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final, Literal

if TYPE_CHECKING:
    from holdover.findings import Findings
    from holdover.model.study import Study

State = Literal["written", "edited", "errors", "failed", ""]
"""Its workbook was written; one that somebody edited was left; the case has errors; it could not be worked out; "" of a line without a case."""
FALLS_SHORT: Final = ""
"""Stands in the place of a price where a candidate does not fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A case in the index: what was found, and where its workbook is. "" stands where there is nothing to tell.

    Energy in Wh a day, days of outage, price in the case's currency.
    """

    case: str
    state: State
    title: str = ""
    workbook: str = ""
    pdf: str = ""
    headline: str = ""
    """What is advised, or the first thing that is wrong."""
    pick: str = ""
    packs: int | str = ""
    price: float | str = ""
    currency: str = ""
    fitting: int | str = ""
    """How many candidates fit."""
    promise: str = ""
    days: int | str = ""
    kept: str = ""
    """Whether the promise is kept by the pick, or by the nearest where none fits: OK, CHECK or UNDER."""
    energy_wh: float | str = ""
    errors: int = 0
    warnings: int = 0
    notes: int = 0
    choices: Mapping[str, float | str] = field(default_factory=dict)
    """By candidate of a list that all cases share, its price: "not stated", or "" where it does not fit."""
    fingerprint: str = ""
    """Of what the case was made from."""
    sha256: str = ""
    """Of the workbook as it was written."""

    def as_dict(self) -> dict[str, Any]:
        """The entry for JSON."""
        return asdict(self)


def entry_from(told: Mapping[str, Any]) -> Entry:
    """An entry as it came out of JSON.

    Raises:
        TypeError, KeyError, AttributeError: it is none.
    """
    choices = {sys.intern(name): price for name, price in told["choices"].items()}
    return Entry(**(dict(told) | {"choices": choices}))


def of_study(study: "Study", findings: "Findings", *, listed: bool) -> Entry:
    """What the index says of a case that was worked out; `listed`: its candidates are those of all cases."""
    case, decision = study.case, study.decision
    told = study.offers[decision.told_number - 1]
    entry = Entry(
        case="",
        state="written",
        title=case.about.title,
        headline=decision.headline,
        pick=decision.pick,
        packs=decision.pick_packs if decision.pick_number else "",
        price=decision.pick_total if decision.pick_number else "",
        currency=case.about.currency,
        fitting=decision.fitting,
        promise=case.outage.promise,
        days=case.outage.days,
        kept=told.fit.outage if told.name else "",
        energy_wh=study.demand.energy_wh,
        choices=_choices(study) if listed else {},
    )
    return counted(entry, findings)


def _choices(study: "Study") -> dict[str, float | str]:
    """Prices of the candidates that fit, by their names; a name that is there twice is numbered."""
    found: dict[str, float | str] = {}
    for offer in study.offers:
        if offer.name:
            name = offer.name if offer.name not in found else f"{offer.name} ({offer.number})"
            found[name] = offer.cost.total if offer.fit.fits else FALLS_SHORT
    return found


def of_errors(findings: "Findings") -> Entry:
    """What the index says of a case that can't be taken."""
    from holdover.findings import where

    first = findings.errors[0]
    return counted(Entry(case="", state="errors", headline=f"{where(first)}: {first.message}"), findings)


def failed(words: str) -> Entry:
    """What the index says of a case that could not be worked out."""
    return Entry(case="", state="failed", headline=words)


def counted(entry: Entry, findings: "Findings") -> Entry:
    """The entry with how many findings there are of each level."""
    levels = [finding.level for finding in findings.found]
    return replace(entry, errors=levels.count("error"), warnings=levels.count("warning"), notes=levels.count("note"))
