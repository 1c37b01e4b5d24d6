"""What the index says of a case. Plain data: it goes between processes, into the journal and into index.json."""

import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from holdover.fleet.listing import called

if TYPE_CHECKING:
    from holdover.findings import Findings
    from holdover.model.offer import Offer
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
    client: str = ""
    workbook: str = ""
    pdf: str = ""
    headline: str = ""
    """What is advised, or the first thing that is wrong."""
    pick: str = ""
    first: str = ""
    """What is to be done before the pick is chosen, "" where nothing: its data sheet or the loads leave open whether it fits."""
    packs: int | str = ""
    price: float | str = ""
    currency: str = ""
    fitting: int | str = ""
    """How many candidates fit."""
    promise: str = ""
    days: int | str = ""
    output: str = ""
    """The half of the verdict on output, of the pick, or of the nearest where none fits: OK, CHECK or UNDER."""
    kept: str = ""
    """The half on the outage, of the same: whether the promise is kept as far as storage goes."""
    energy_wh: float | str = ""
    errors: int = 0
    warnings: int = 0
    notes: int = 0
    choices: Mapping[str, float | str] = field(default_factory=dict)
    """By candidate of a list that all cases share, its price: "not stated", or "" where it does not fit."""
    packs_each: Mapping[str, int] = field(default_factory=dict)
    """By candidate of that list that fits, its packs."""
    bare: tuple[str, ...] = ()
    """Candidates of that list that fit without the margin: they keep the promise, with less than it asks for."""
    paper: str = ""
    """What the case is printed on: A4 or Letter."""
    fingerprint: str = ""
    """Of what the case was made from."""
    sha256: str = ""
    """Of the workbook as it was written."""

    @property
    def name(self) -> str:
        """What the case is called: by its client, else by its title, by its file where neither is stated.

        >>> Entry(case="homes/gil.xlsx", state="", client="Gil", title="House").name
        'Gil'
        >>> Entry(case="homes/gil.xlsx", state="").name, Entry(case="homes/bo/case.toml", state="").name
        ('gil', 'bo')
        """
        return self.client or self.own_title or self.file

    @property
    def own_title(self) -> str:
        """Its title, if it is not the usual one."""
        from holdover.case.schema import About

        return "" if self.title == About.model_fields["title"].default else self.title

    @property
    def told_pick(self) -> str:
        """The pick as it is told, after what is to be done first.

        >>> Entry(case="", state="written", pick="Unit Alder", first="ask first").told_pick
        'ask first: Unit Alder'
        """
        return f"{self.first}: {self.pick}" if self.first else self.pick

    @property
    def file(self) -> str:
        """Name of the file or folder that it was read from, without an ending."""
        return called(Path(self.case))

    def as_dict(self) -> dict[str, Any]:
        """The entry for JSON."""
        return asdict(self)


def names_apart(entries: Sequence[Entry]) -> tuple[str, ...]:
    """What each case is called; those of one name are told apart by their titles, by their files where these are alike, too.

    >>> cases = [Entry(case=f"{n}.xlsx", state="", client="Gil", title="House") for n in (1, 2)]
    >>> names_apart([*cases, Entry(case="3.xlsx", state="", client="Bo", title="House")])
    ('Gil, 1', 'Gil, 2', 'Bo')
    """
    names = Counter(entry.name for entry in entries)
    titled = Counter((entry.name, entry.own_title) for entry in entries)

    def apart(entry: Entry) -> str:
        if names[entry.name] < 2:
            return entry.name
        tells = titled[entry.name, entry.own_title] == 1 and entry.own_title
        word = entry.own_title if tells else entry.file
        return f"{entry.name}, {word}" if word not in ("", entry.name) else entry.name

    return tuple(map(apart, entries))


def entry_from(told: Mapping[str, Any]) -> Entry:
    """An entry as it came out of JSON.

    Raises:
        TypeError, KeyError, AttributeError: it is none.
    """
    shared = {
        field: {sys.intern(name): what for name, what in told[field].items()} for field in ("choices", "packs_each")
    }
    return Entry(**(dict(told) | shared | {"bare": tuple(told.get("bare", ()))}))


def of_study(study: "Study", findings: "Findings", *, listed: bool) -> Entry:
    """What the index says of a case that was worked out; `listed`: its candidates are those of all cases."""
    from holdover.workbook.paper import LETTER, paper_of

    case, decision = study.case, study.decision
    told = study.offers[decision.told_number - 1]
    offers = _named(study) if listed else {}
    entry = Entry(
        case="",
        state="written",
        title=case.about.title,
        client=case.about.client,
        headline=decision.headline,
        pick=decision.pick,
        first=_first(study) if decision.pick_number else "",
        packs=decision.pick_packs if decision.pick_number else "",
        price=decision.pick_total if decision.pick_number else "",
        currency=case.about.currency,
        fitting=decision.fitting,
        promise=case.outage.promise,
        days=case.outage.days,
        output=told.fit.output if told.name else "",
        kept=told.fit.outage if told.name else "",
        energy_wh=study.demand.energy_wh,
        choices={name: _price(offer) for name, offer in offers.items()},
        packs_each={name: offer.held.packs for name, offer in offers.items() if offer.fit.fits},
        bare=tuple(name for name, o in offers.items() if o.fit.fits and not o.carried.promise.margin_held),
        paper="Letter" if paper_of(case) == LETTER else "A4",
    )
    return counted(entry, findings)


def _first(study: "Study") -> str:
    """What comes before choosing, as the first page says it, in short."""
    told = study.offers[study.decision.told_number - 1]
    return "fill in first" if study.unread.first else "ask first" if told.fit.output == "CHECK" else ""


def _price(offer: "Offer") -> float | str:
    return offer.cost.total if offer.fit.fits else FALLS_SHORT


def _named(study: "Study") -> dict[str, "Offer"]:
    """The candidates by their names; a name that is there twice is numbered."""
    found: dict[str, Offer] = {}
    for offer in study.offers:
        if offer.name:
            name = offer.name if offer.name not in found else f"{offer.name} ({offer.number})"
            found[name] = offer
    return found


def of_errors(findings: "Findings") -> Entry:
    """What the index says of a case that can't be taken."""
    from holdover.findings import where

    first, more = findings.errors[0], len(findings.errors) - 1
    others = f" ({more} more error{'' if more == 1 else 's'}: see index.json)" if more else ""
    return counted(
        Entry(case="", state="errors", headline=f"{where(first)}: {first.message}: {first.remedy}{others}"), findings
    )


def failed(words: str) -> Entry:
    """What the index says of a case that could not be worked out."""
    return Entry(case="", state="failed", headline=words)


def counted(entry: Entry, findings: "Findings") -> Entry:
    """The entry with how many findings there are of each level."""
    levels = [finding.level for finding in findings.found]
    return replace(entry, errors=levels.count("error"), warnings=levels.count("warning"), notes=levels.count("note"))
