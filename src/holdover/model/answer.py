"""The first page: what the client reads before anything else, in cells as they stand there.

It decides nothing: that is `decision.py`. What runs when, and what a change makes of it, is told of the candidate shown.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from holdover.case.schema import Case
from holdover.model.decision import Decision, with_packs
from holdover.model.demand import TIERS, Demand
from holdover.model.doubt import Doubt
from holdover.model.dust import DUST
from holdover.model.look_for import LookFor
from holdover.model.offer import Offer
from holdover.model.outage.shedding import TierServed
from holdover.model.outage.what_if import Trial
from holdover.model.spoken import clock_words, spoken, tiers_words

CELLS = 48
"""Cells of the timeline [-]; definition."""
STEP = 3
"""Cells between two marks of the timeline [-]; definition."""
PLACES = 8
"""Candidates that the first page has room for [-]; definition."""
DASH, BLANK, NIGHT = "–", " ", "·"
"""Stand in a cell of the timeline for a tier that is off, for one that asks nothing, and for an hour of night [-]."""
DAYBREAK, NIGHTFALL = 6, 18
"""Clock hours between which it is day on the timeline [h]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of the timeline. A share is "" where there is no storage to take it of."""

    number: int
    from_h: int
    to_h: int
    night: str
    critical: str
    essential: str
    convenience: str
    charge: float | str
    critical_kept: float | str
    essential_kept: float | str

    @property
    def is_night(self) -> int:
        """1 where its first hour is of the night [-]."""
        return int(self.night == NIGHT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What stands over and under every third cell: the day or the clock time, and the charge in percent."""

    number: int
    from_h: int
    to_h: int
    time: str
    charge: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What runs until when on one candidate: the part of each tier, and the sentence; "" for a spare column.

    `named` is the candidate with its packs. `more` and `heavier` are against the pick, "" where nobody knows or it is
    the pick itself. `phrase` is what it gives up, or lacks; `order` its place on the first page, 0 for a spare column.
    """

    number: int
    named: str
    critical: str
    essential: str
    convenience: str
    words: str
    more: int | str
    heavier: int | str
    more_words: str
    heavier_words: str
    phrase: str
    near_key: float
    order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A line of the candidates, best first. `number` is the candidate's, 0 where none is left."""

    place: int
    number: int
    rank: str
    name: str
    output: str
    outage: str
    price: float | str
    phrase: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The first page."""

    through: str
    title: str
    line: str
    hero: str
    lead: str
    price: float | str
    price_says: str
    usable_wh: float | str
    usable_says: str
    heaviest_kg: float | str
    heaviest_says: str
    shown: str
    cells: tuple[Cell, ...]
    marks: tuple[Mark, ...]
    told: tuple[Told, ...]
    places: tuple[Place, ...]
    beyond: str
    candidate_now: str
    packs_now: str
    days_now: str
    left_now: str
    sun_now: str
    generator_now: str
    now: str
    pack_more: str
    generator_more: str
    dark: str
    measure: str
    day_range: str
    high_day: str
    cautions: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the first page is told from."""

    case: Case
    demand: Demand
    doubt: Doubt
    offers: Sequence[Offer]
    look_for: LookFor
    decision: Decision
    shown: Offer
    trials: Sequence[Trial]
    sure: Sequence[Trial]


def answer_of(facts: Facts) -> Answer:
    """The first page of a study."""
    case, decision, shown = facts.case, facts.decision, facts.shown
    pick = facts.offers[decision.pick_number - 1] if decision.pick_number else None
    told = told_of(facts, pick)
    listed = shown.name != ""
    trials = {trial.name: trial for trial in facts.trials}
    price = pick.cost.total if pick else ""
    usable = pick.held.usable_wh if pick else ""
    days = case.outage.days
    return Answer(
        through="through the whole day" if days == 1 else f"through all {days} days",
        title=case.about.title,
        line=" · ".join(
            word
            for word in (
                case.about.client,
                case.about.place,
                case.about.date,
                f"prepared by {case.about.prepared_by}" if case.about.prepared_by else "",
            )
            if word
        ),
        hero=_hero(decision),
        lead=_lead(facts, told),
        price=price,
        price_says=_price_says(case, pick),
        usable_wh=usable,
        usable_says=_usable_says(case, pick),
        heaviest_kg="" if pick is None else pick.fit.heaviest_kg,
        heaviest_says=_heaviest_says(pick),
        shown=with_packs(shown.name, shown.held.packs) if listed else "no candidate is listed yet",
        cells=cells_of(case, shown),
        marks=marks_of(case, shown),
        told=told,
        places=_places(facts, told),
        beyond=_beyond(decision.listed),
        candidate_now=shown.name if listed else "none listed",
        packs_now=f"{shown.held.packs} of {shown.given.packs_max or 0}" if listed else "",
        days_now=f"to {clock_words(24 * case.outage.days, case.outage.starts_at)}",
        left_now=_left_now(facts),
        sun_now=f"{spoken(sum(shown.carried.taking.sun_wh) / case.outage.days)} Wh a day",
        generator_now=_fuel(shown),
        now=_now(shown, case),
        pack_more=_pack_more(trials["A pack more"], shown, case),
        generator_more=f"Generator two hours a day longer: {_outcome(trials['Two more generator hours'], case)}."
        if listed
        else "",
        dark=f"If no sun comes: {_outcome(trials['No sun'], case)}." if listed else "",
        measure=_measure(facts.doubt),
        day_range=_day_range(facts.doubt),
        high_day=_high_day(facts.sure[2], shown) if listed else "",
        cautions=_cautions(facts, shown),
    )


# The timeline


def cells_of(case: Case, shown: Offer) -> tuple[Cell, ...]:
    """The outage in equal cells, whatever its length; a cell in which a tier is off for an hour tells it as off."""
    hours, carried = 24 * case.outage.days, shown.carried
    full = carried.store.full_wh
    reserve = carried.store.reserve_wh

    def cell(i: int) -> Cell:
        first = floor(round(i * hours / CELLS, DUST))
        after = ceil(round((i + 1) * hours / CELLS, DUST))
        served = min(carried.hours[t].served for t in range(first, after))
        clock = (case.outage.starts_at + first) % 24
        kept = [carried.taking.needs.needs_wh[k][first] for k in (0, 1)]
        shares: list[float | str] = [
            wh / full if full > 0 else ""
            for wh in (carried.hours[first].state_before_wh, reserve + kept[0], reserve + kept[1])
        ]
        states = [_state(carried.tiers[tier], full, off=served < place) for place, tier in enumerate(TIERS, start=1)]
        return Cell(
            number=i,
            from_h=first,
            to_h=after,
            night=BLANK if DAYBREAK <= clock < NIGHTFALL else NIGHT,
            critical=states[0],
            essential=states[1],
            convenience=states[2],
            charge=shares[0],
            critical_kept=shares[1],
            essential_kept=shares[2],
        )

    return tuple(cell(i) for i in range(CELLS))


def _state(tier: TierServed, full_wh: float, *, off: bool) -> str:
    if full_wh <= 0 or round(tier.asked_wh, DUST) <= 0:
        return BLANK
    return DASH if off else ""


def marks_of(case: Case, shown: Offer) -> tuple[Mark, ...]:
    """Days and clock times over the timeline, and the charge under it."""
    hours, carried = 24 * case.outage.days, shown.carried
    full = carried.store.full_wh

    def mark(k: int) -> Mark:
        first, after = (floor(round(STEP * n * hours / CELLS, DUST)) for n in (k, k + 1))
        at = case.outage.starts_at + first
        midnight = k == 0 or at % 24 == 0 or at // 24 < (case.outage.starts_at + after - 1) // 24
        day = (case.outage.starts_at + max(after - 1, first)) // 24 + 1 if k else 1
        charge = spoken(100 * carried.hours[first].state_before_wh / full) if full > 0 else ""
        return Mark(
            number=k, from_h=first, to_h=after, time=f"day {day}" if midnight else f"{at % 24:02d}:00", charge=charge
        )

    return tuple(mark(k) for k in range(CELLS // STEP))


# The candidates


def told_of(facts: Facts, pick: Offer | None) -> tuple[Told, ...]:
    """What is told of each candidate."""
    case = facts.case
    order = sorted(
        (offer for offer in facts.offers if offer.name),
        key=lambda o: (
            (0, float(o.rank.rank), 0.0) if o.fit.fits else (1, -round(o.fit.least_ratio, 9), float(o.number))
        ),
    )
    places = {offer.number: i for i, offer in enumerate(order, start=1)}

    def one(offer: Offer) -> Told:
        parts = parts_of(offer.carried.tiers, case.outage.days, case.outage.starts_at) if offer.name else {}
        more = _against(offer.cost.total, pick.cost.total) if pick and offer.fit.fits else ""
        heavier = _against(offer.fit.weight_kg, pick.fit.weight_kg) if pick and offer.fit.fits else ""
        return Told(
            number=offer.number,
            named=with_packs(offer.name, offer.held.packs) if offer.name else "",
            critical=parts.get("critical", ""),
            essential=parts.get("essential", ""),
            convenience=parts.get("convenience", ""),
            words=tiers_words(offer.carried.tiers, case.outage.days, case.outage.starts_at) if offer.name else "",
            more=more,
            heavier=heavier,
            more_words=_in_words(more, "more", "less"),
            heavier_words=_in_words(heavier, "kg heavier", "kg lighter"),
            phrase=_phrase(offer, _in_words(more, "more", "less"), _in_words(heavier, "kg heavier", "kg lighter"))
            if offer.name
            else "",
            near_key=round(offer.fit.least_ratio, 9) if offer.name and not offer.fit.fits else -1.0,
            order=places.get(offer.number, 0),
        )

    return tuple(one(offer) for offer in facts.offers)


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


def _against(one: float | str, other: float | str) -> int | str:
    """How much more than the pick, in whole figures; "" where one of them is not stated."""
    return "" if isinstance(one, str) or isinstance(other, str) else int(spoken(one - other))


def _in_words(difference: int | str, above: str, below: str) -> str:
    if isinstance(difference, str) or difference == 0:
        return ""
    return f"{abs(difference)} {above if difference > 0 else below}"


def _phrase(offer: Offer, more: str, heavier: str) -> str:
    """What it costs beyond the pick and what is to be asked; of one that falls short, why: the first reason."""
    if not offer.fit.fits:
        first, _, rest = offer.reason.partition("; ")
        return f"{first}; and more" if rest else first
    return "; ".join(part for part in (more, heavier, offer.ask) if part)


def _places(facts: Facts, told: Sequence[Told]) -> tuple[Place, ...]:
    by_place = {one.order: (offer, one) for offer, one in zip(facts.offers, told, strict=True) if one.order}
    starts_at = facts.case.outage.starts_at

    def place(i: int) -> Place:
        if i not in by_place:
            return Place(place=i, number=0, rank="", name="", output="", outage="", price="", phrase="")
        offer, one = by_place[i]
        promise = offer.carried.promise
        return Place(
            place=i,
            number=offer.number,
            rank=str(offer.rank.rank) if offer.fit.fits else DASH,
            name=f"{offer.name} + {offer.held.packs}" if offer.held.packs else offer.name,
            output=offer.fit.output,
            outage=f"to {clock_words(promise.until_h, starts_at)}"
            if offer.fit.outage == "UNDER" and not isinstance(promise.until_h, str)
            else offer.fit.outage,
            price=offer.cost.total,
            phrase=one.phrase,
        )

    return tuple(place(i) for i in range(1, PLACES + 1))


def _beyond(listed: int) -> str:
    more = listed - PLACES
    return f"{more} more on the Comparison sheet." if more > 0 else ""


# Sentences


def _hero(decision: Decision) -> str:
    if decision.pick_number:
        return f"Choose {with_packs(decision.pick, decision.pick_packs)}."
    if decision.listed == 0:
        return "No candidate is listed yet."
    return (
        "The only candidate does not fit."
        if decision.listed == 1
        else f"None of the {decision.listed} candidates fits."
    )


def _lead(facts: Facts, told: Sequence[Told]) -> str:
    """What runs until when on the pick; who comes nearest where none fits; what to look for where none is listed."""
    decision = facts.decision
    if decision.pick_number:
        pick = facts.offers[decision.pick_number - 1]
        if pick.given.storage_wh is None:
            return "Its storage is not stated, so nothing is said of how long loads run."
        margin = (
            "" if pick.carried.promise.margin_held or not pick.carried.promise.kept else " The margin is not there."
        )
        return told[pick.number - 1].words + margin
    if decision.listed == 0:
        return facts.look_for.words
    nearest = facts.offers[decision.nearest_number - 1]
    helps = f" What would help: {nearest.mend.words}." if nearest.mend.words else ""
    return f"Nearest is {with_packs(nearest.name, nearest.held.packs)}: {nearest.reason}.{helps}"


def _price_says(case: Case, pick: Offer | None) -> str:
    if pick is None:
        return ""
    money = case.money
    extras = [
        word
        for word, there in (
            ("packs", pick.held.packs > 0),
            ("accessories", money.accessories_price > 0),
            ("labour", money.labour_price > 0),
            ("tax", money.tax_share > 0),
        )
        if there
    ]
    return f"price with {', '.join(extras)}" if extras else "price"


def _usable_says(case: Case, pick: Offer | None) -> str:
    if pick is None:
        return ""
    needed = pick.carried.promise.full_needed_wh
    if isinstance(needed, str):
        return "usable; a start at the reserve carries nothing"
    return f"usable; the promise takes {spoken((1 - case.sizing.reserve) * needed)} Wh"


def _heaviest_says(pick: Offer | None) -> str:
    if pick is None:
        return ""
    pieces = 1 + pick.held.packs
    heavy = pick.fit.lift.verdict
    lifts = {"OK": "one person lifts it", "CHECK": "two persons, or weigh it first"}.get(heavy, "two persons lift it")
    return f"heaviest of {pieces} pieces: {lifts}" if pieces > 1 else f"weight: {lifts}"


def _outcome(trial: Trial, case: Case) -> str:
    if trial.kept:
        return "the promise is kept"
    return f"the promise is kept until {clock_words(float(trial.until_h), case.outage.starts_at)}"


def _pack_more(trial: Trial, shown: Offer, case: Case) -> str:
    if shown.name == "":
        return ""
    if trial.packs <= shown.held.packs:
        return "It takes no more packs."
    price = shown.given.pack_price
    costs = "" if price is None else f" for {spoken(price)} before tax"
    return f"One pack more{costs}: {_outcome(trial, case)}."


def _left_now(facts: Facts) -> str:
    wanted = facts.case.outage.leave_out
    if not wanted:
        return "nothing"
    return (
        "left out" if any(load.name.lower() == wanted.lower() for load in facts.case.loads) else "no load of that name"
    )


def _fuel(shown: Offer) -> str:
    litres = shown.carried.fuel_l
    return f"{spoken(litres)} l of fuel in all" if round(litres, DUST) > 0 else "no fuel"


def _now(shown: Offer, case: Case) -> str:
    """The outage of the candidate shown in a line."""
    if shown.name == "":
        return "No candidate is listed yet."
    promise = shown.carried.promise
    kept = (
        "the promise is kept"
        if promise.kept
        else f"the promise is kept until {clock_words(float(promise.until_h), case.outage.starts_at)}"
    )
    lowest = f"lowest charge {spoken(100 * shown.carried.lowest_share)} %"
    price = shown.cost.total
    cost = "price not stated" if isinstance(price, str) else f"price {spoken(price)}"
    return f"{with_packs(shown.name, shown.held.packs)}: {kept}, {lowest}, {cost}."


def _measure(doubt: Doubt) -> str:
    if not doubt.measure_first:
        return ""
    return f"{doubt.measure_first}: {spoken(100 * doubt.measure_share)} % of the doubt."


def _day_range(doubt: Doubt) -> str:
    return f"A day takes {spoken(doubt.low_wh)} to {spoken(doubt.high_wh)} Wh at the plugs."


def _high_day(high: Trial, shown: Offer) -> str:
    if isinstance(high.packs_needed, str):
        return f"On the high day {shown.name} does not hold enough."
    return f"On the high day it takes {with_packs(shown.name, high.packs_needed)}."


def _cautions(facts: Facts, shown: Offer) -> str:
    """The cautions that apply to this case, each a sentence."""
    said = [
        "Never connect a unit or a generator to the building's wiring without a transfer switch or interlock installed "
        "by a licensed electrician."
    ]
    if round(facts.demand.critical_wh, DUST) > 0:
        said.append(
            "A critical load needs a second way out, planned with its maker, and with the clinician where health "
            "depends on it."
        )
    if facts.case.outage.generator_hours > 0:
        said.append("A generator runs outdoors only, far from doors and windows: carbon monoxide kills.")
    if shown.name and shown.carried.store.may_charge == 0:
        said.append("It is too cold there to charge lithium cells.")
    said.append("Local codes come first.")
    return " ".join(said)
