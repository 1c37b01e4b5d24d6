"""The first page: what the client reads before anything else, in cells as they stand there.

It decides nothing: that is `decision.py`. What runs when, and what a change makes of it, is told of the candidate shown.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from holdover.case.measure import Units, in_units
from holdover.case.schema import About, Case
from holdover.model.decision import (
    AND_MORE,
    LONG_FIELD,
    SEVERAL,
    Decision,
    chosen_words,
    first_miss,
    is_within,
    none_fits,
    open_words,
    reservations,
    standing,
    with_packs,
)
from holdover.model.demand import TIERS
from holdover.model.desk import Desk
from holdover.model.doubt import Doubt
from holdover.model.dust import DUST
from holdover.model.loads import untimed
from holdover.model.look_for import LookFor
from holdover.model.offer import Offer
from holdover.model.outage.told import parts_of, stretch_of, through, tiers_words, trips_unless
from holdover.model.outage.what_if import Asked, Trial
from holdover.model.pages.cautions import Cautions
from holdover.model.pages.more import More, more_of
from holdover.model.pages.notice import Left, Unread, empty_words, notice_of, unread_of
from holdover.model.pages.timeline import DASH, Cell, Mark, cells_of, marks_of, off_means
from holdover.model.pages.tried import Tried, tried_of
from holdover.model.spoken import clock_words, spoken, thousands
from holdover.model.verdict.fit import CHECK

PLACES = 8
"""Candidates that the first page has room for [-]; definition. There is a line for each that may be listed, to this number."""
LAST_PLACE = 1000
"""More than there are candidates [-]: the first among those within the budget has the highest number below it."""
OF_STORAGE = ": storage "
"""Stands between what stops and the storage that is lacking [-]."""
ASK_FIRST = "Ask first, then choose "
"""What stands before the pick where its data sheet leaves open whether its output is enough [-]."""
OFFER_ADDS = "the offer adds more"
"""What the price does not hold: modules and lines of its own that are offered [-]."""
WITHOUT_MODULES = "modules not included"
"""What is counted on and not in the price."""
LONG_ASK = 40
"""What is to be asked takes the room of what is heavier and longer where it has more letters than this [-]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What runs until when on one candidate: the part of each tier, and the sentence; "" for a spare column.

    `named` is the candidate with its packs, `trips` what keeps a source from tripping. `more_words`, `heavier_words` and
    `longer_words` are against the pick, "" where nobody knows or it is the pick itself. `phrase` is what it gives up, or lacks; `order` its place on the
    first page, 0 for a spare column.
    """

    number: int
    named: str
    critical: str
    essential: str
    convenience: str
    words: str
    trips: str
    more_words: str
    heavier_words: str
    longer_words: str
    phrase: str
    near_key: float
    order: int
    within: int


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

    chosen_by: str
    open: str
    """What the data sheet of the pick leaves open, a sentence."""
    through: str
    stretch: str
    title: str
    line: str
    notice: str
    unread: Unread
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
    off_means: str
    marks: tuple[Mark, ...]
    told: tuple[Told, ...]
    places: tuple[Place, ...]
    beyond: str
    tried: Tried
    was: Tried
    now: str
    more: More
    measure: str
    day_range: str
    high_day: str
    cautions: str
    called_for: Cautions


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the first page is told from. `told` is the one advised, else the nearest; `shown` the one followed, `tried` the one that what-ifs are tried on.

    `left` tells of loads that lack figures, and that more days are asked than the workbook reaches.
    """

    desk: Desk
    doubt: Doubt
    offers: tuple[Offer, ...]
    look_for: LookFor
    decision: Decision
    told: Offer
    shown: Offer
    tried: Offer
    asked: Asked
    trials: tuple[Trial, ...]
    sure: tuple[Trial, Trial, Trial]
    left: Left
    cautions: Cautions

    @property
    def case(self) -> Case:
        """The case."""
        return self.desk.case

    @property
    def listed(self) -> list[Offer]:
        """The candidates that have a name."""
        return [offer for offer in self.offers if offer.name]


def answer_of(facts: Facts, unread_cells: int = 0) -> Answer:
    """The first page of a study; what can't be read of a workbook comes before the advice."""
    case, decision, shown = facts.case, facts.decision, facts.shown
    pick = facts.offers[decision.pick_number - 1] if decision.pick_number else None
    told, tried = told_of(facts, pick), tried_of(case, shown, beyond=facts.left.beyond != "")
    unread = unread_of(replace(facts.left, cells=unread_cells), decision, told[pick.number - 1].words if pick else "")
    return Answer(
        chosen_by=chosen_words(facts.offers, case),
        open=open_words(pick, decision.field_asks) if pick else "",
        through=through(stretch_of(case)),
        stretch=stretch_of(case).words,
        title=case.about.title,
        line=_line(case.about),
        notice=notice_of(case, _before(facts), len(untimed(facts.desk.lines))),
        unread=unread,
        hero=unread.first or _hero(facts),
        lead=" ".join(word for word in (facts.left.beyond, unread.advice or _lead(facts, told)) if word),
        price=pick.cost.total if pick else "",
        price_says=_price_says(case, pick),
        usable_wh=pick.held.usable_wh if pick else "",
        usable_says=_usable_says(case, pick),
        heaviest_kg=pick.fit.heaviest_kg if pick else "",
        heaviest_says=_heaviest_says(case, pick),
        shown=with_packs(shown.name, shown.held.packs) if shown.name else "no candidate is listed yet",
        cells=cells_of(case, shown),
        off_means=off_means(case.outage.days, shown.fit.output),
        marks=marks_of(case, shown),
        told=told,
        places=_places(facts, told),
        beyond=_beyond(decision),
        tried=tried,
        was=tried.handed_over(),
        now=_now(shown, case),
        more=more_of(case, shown, facts.tried, facts.trials),
        measure=_measure(facts.doubt),
        day_range=_day_range(facts.doubt),
        high_day=_high_day(facts, shown),
        cautions=_cautions(facts, shown),
        called_for=facts.cautions,
    )


# The candidates


def told_of(facts: Facts, pick: Offer | None) -> tuple[Told, ...]:
    """What is told of each candidate."""
    case = facts.case
    order = sorted(facts.listed, key=standing)
    places = {offer.number: i for i, offer in enumerate(order, start=1)}
    units = case.about.units
    weight = in_units(0.0, "kg", units)[1]

    def one(offer: Offer) -> Told:
        parts = parts_of(offer.carried.tiers, stretch_of(case)) if offer.name else {}
        more = _against(offer.cost.total, pick.cost.total) if pick and offer.fit.fits else ""
        heavier = _heavier(offer, pick, units) if pick and offer.fit.fits else ""
        more_words = _in_words(more, "more", "less")
        heavier_words = _in_words(heavier, f"{weight} heavier", f"{weight} lighter")
        longer = _longer(offer, pick) if pick and offer.fit.fits else ""
        beside = () if len(offer.ask) > LONG_ASK else (heavier_words, longer)
        why = chosen_words(facts.offers, case) if pick is offer else ""
        return Told(
            number=offer.number,
            named=with_packs(offer.name, offer.held.packs) if offer.name else "",
            critical=parts.get("critical", ""),
            essential=parts.get("essential", ""),
            convenience=parts.get("convenience", ""),
            words=tiers_words(offer.carried.tiers, stretch_of(case), output=offer.fit.output) if offer.name else "",
            trips=trips_unless(case.outage, offer.carried) if offer.name else "",
            more_words=more_words,
            heavier_words=heavier_words,
            longer_words=longer,
            phrase=_phrase(offer, (why, more_words, *beside, offer.ask)) if offer.name else "",
            near_key=round(offer.fit.least_ratio, 9) if offer.name and not offer.fit.fits else -1.0,
            order=places.get(offer.number, 0),
            within=LAST_PLACE - places[offer.number] if offer.name and is_within(offer) else 0,
        )

    return tuple(one(offer) for offer in facts.offers)


def _against(one: float | str, other: float | str) -> int | str:
    """How much more than the pick, in whole figures; "" where one of them is not stated."""
    return "" if isinstance(one, str) or isinstance(other, str) else int(spoken(one - other))


def _heavier(one: Offer, other: Offer, units: Units) -> int | str:
    """How much heavier than the pick, in whole units of the client; "" where a weight is not stated."""
    mine, theirs = (
        weight if isinstance(weight, str) else in_units(weight, "kg", units)[0]
        for weight in (one.fit.weight_kg, other.fit.weight_kg)
    )
    return _against(mine, theirs)


def _in_words(difference: int | str, above: str, below: str) -> str:
    if isinstance(difference, str) or difference == 0:
        return ""
    return f"{thousands(abs(difference))} {above if difference > 0 else below}"


def _longer(offer: Offer, pick: Offer) -> str:
    """How much longer or shorter than on the pick a tier runs. Critical loads run throughout with whatever fits."""
    said = []
    for tier in TIERS[1:]:
        off = offer.carried.tiers[tier].off_h - pick.carried.tiers[tier].off_h
        if off:
            said.append(f"{tier} loads {abs(off)} h {'longer' if off < 0 else 'shorter'}")
    return ", ".join(said)


def _phrase(offer: Offer, against: Sequence[str]) -> str:
    """Why it is the pick, or what is other than with it, and what is to be asked; the range of a drive; else its first miss."""
    if not offer.fit.fits:
        return first_miss(offer.reason)
    return "; ".join(part for part in (*against, offer.arrival.brief) if part)


def _in_short(phrase: str) -> str:
    """A miss without how much storage is lacking, which stands beside it on Comparison: a row has two lines."""
    stops, storage, _ = phrase.partition(OF_STORAGE)
    return f"{stops}{AND_MORE}" if storage and phrase.endswith(AND_MORE) else stops


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
            if offer.fit.outage == "UNDER" and not isinstance(promise.until_h, str) and promise.until_h > 0
            else offer.fit.outage,
            price=offer.cost.total,
            phrase=one.phrase if offer.fit.fits else _in_short(one.phrase),
        )

    return tuple(place(i) for i in range(1, min(PLACES, len(facts.offers)) + 1))


def _beyond(decision: Decision) -> str:
    """What every data sheet leaves open, and that more candidates are listed than there are lines."""
    more, asks = decision.listed - PLACES, decision.field_asks
    open_to_all = f"CHECK on all of them, to be asked: {asks if len(asks) <= LONG_FIELD else SEVERAL}." if asks else ""
    said = (open_to_all, f"{more} more on the Comparison sheet." if more > 0 else "")
    return " ".join(each for each in said if each)


# Sentences


def _line(about: About) -> str:
    """For whom, where and when, and by whom."""
    by = f"prepared by {about.prepared_by}" if about.prepared_by else ""
    return " · ".join(word for word in (about.client, about.place, about.date, by) if word)


def _hero(facts: Facts) -> str:
    decision = facts.decision
    if decision.pick_number:
        is_open = facts.offers[decision.pick_number - 1].fit.output == CHECK
        return f"{ASK_FIRST if is_open else 'Choose '}{with_packs(decision.pick, decision.pick_packs)}."
    if decision.listed == 0:
        return "No candidate is listed yet."
    return none_fits("The only candidate", decision.listed, facts.offers[decision.nearest_number - 1].fit.verdict)


def _lead(facts: Facts, told: Sequence[Told]) -> str:
    """What runs until when on the pick; who comes nearest where none fits; what to look for where none is listed."""
    decision = facts.decision
    if decision.pick_number:
        pick = facts.offers[decision.pick_number - 1]
        reserved = reservations(pick, facts.case, decision.field_asks)
        return told[pick.number - 1].words + reserved + decision.over_budget + _other_shown(facts)
    if decision.listed == 0:
        return facts.look_for.words
    nearest = facts.offers[decision.nearest_number - 1]
    helps = f" What would help: {nearest.mend.words}." if nearest.mend.words else ""
    return (
        f"Nearest is {with_packs(nearest.name, nearest.held.packs)}: {told[nearest.number - 1].phrase}.{decision.over_budget}{helps}"
        + _other_shown(facts)
    )


def _other_shown(facts: Facts) -> str:
    """Whose hours stand below, where another candidate is tried than the one told of."""
    if facts.shown.number == facts.decision.told_number:
        return ""
    return f" Below, the hours are of {with_packs(facts.shown.name, facts.shown.held.packs)}."


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
    said = f"price with {', '.join(extras)}" if extras else "price"
    own = any(item.name != "" or item.price is not None for item in case.items)
    modules, priced = case.array.modules > 0, case.offer.module_price is not None
    said += f"; {WITHOUT_MODULES}" if modules and not priced else ""
    return f"{said}; {OFFER_ADDS}" if own or (modules and priced) else said


def _usable_says(case: Case, pick: Offer | None) -> str:
    if pick is None:
        return ""
    needed = pick.fit.promise.needed
    if isinstance(needed, str):
        return "usable; a start at the reserve carries nothing"
    promise, margin = case.outage.promise, case.sizing.energy_margin
    promised = promise if promise == "all loads" else f"{promise} loads"
    held = f" with {spoken(100 * margin, 2)} % margin" if margin > 0 else ""
    return f"usable; {promised} take {thousands(needed)} Wh{held}"


def _heaviest_says(case: Case, pick: Offer | None) -> str:
    if pick is None:
        return ""
    pieces = 1 + pick.held.packs
    known = "a weight is not stated" if pick.fit.heaviest_kg <= case.sizing.lift_kg else "two persons or a cart"
    lifts = "one person lifts it" if pick.fit.lift.verdict == "OK" else known
    known_only = ", as far as stated" if isinstance(pick.fit.weight_kg, str) else ""
    return f"heaviest of {pieces} pieces{known_only}: {lifts}" if pieces > 1 else f"weight: {lifts}"


def _now(shown: Offer, case: Case) -> str:
    """The outage of the candidate shown in a line."""
    if shown.name == "":
        return "No candidate is listed yet."
    promise = shown.carried.promise
    if promise.kept:
        kept = f"promise kept {through(stretch_of(case))}"
    elif promise.until_h == 0:
        kept = "promise not kept from the start on"
    else:
        kept = f"promise kept until {clock_words(float(promise.until_h), case.outage.starts_at)}"
    if shown.fit.output == "UNDER":
        kept = f"output falls short; by storage alone {kept}"
    before = " before the vehicle charges" if case.vehicle.distance > 0 else ""
    lowest = f"lowest charge {spoken(100 * shown.carried.lowest_share)} %{before}"
    price = shown.cost.total
    cost = "price not stated" if isinstance(price, str) else f"price {case.about.currency} {thousands(price)}"
    return f"{with_packs(shown.name, shown.held.packs)}: {kept}, {lowest}, {cost}."


def _measure(doubt: Doubt) -> str:
    if not doubt.measure_first:
        return ""
    return f"{doubt.measure_first}: {spoken(100 * doubt.measure_share)} % of the doubt."


def _day_range(doubt: Doubt) -> str:
    if doubt.high_wh <= 0:
        return ""
    return f"A day takes {thousands(doubt.low_wh)} to {thousands(doubt.high_wh)} Wh at the plugs."


def _high_day(facts: Facts, shown: Offer) -> str:
    """What the most that a day may take asks for; "" where another candidate is tried, or nothing is asked."""
    if not shown.name or facts.tried.number != shown.number or facts.doubt.high_wh <= 0:
        return ""
    packs, day = facts.sure[2].packs_needed, f"At {thousands(facts.doubt.high_wh)} Wh"
    if isinstance(packs, str):
        return f"{day} {shown.name} does not hold enough."
    takes = "loads alone take" if facts.case.vehicle.distance > 0 else "it takes"
    return f"{day} {takes} {with_packs(shown.name, packs)}."


def _before(facts: Facts) -> str:
    """What is said before anything else: loads that lack figures, a promise of no load, a place too cold to know of."""
    promised = empty_words(facts.case.outage.promise, facts.desk.demand)
    said = (facts.left.words, promised, facts.desk.capacity.colder.lstrip())
    return " ".join(word for word in said if word)


def _with_whom(facts: Facts) -> str:
    """Who plans a second way out; away from home a clinician only where a load is called by a medical word."""
    away = facts.case.about.purpose in ("day away", "trip")
    medical = any(caution.applies for caution in facts.cautions.all if caution.name == "medical")
    return "" if away and not medical else ", planned with its maker and, where health depends on it, a clinician"


def _cautions(facts: Facts, shown: Offer) -> str:
    """The cautions that apply to this case, each a sentence."""
    about, said = facts.case.about, []
    if facts.case.vehicle.distance > 0:
        said.append("Charge clear of traffic, with a short dry cord; end the charge before you unplug.")
    if about.purpose != "trip":
        said.append(
            "Never feed a building's wiring without a transfer switch or interlock that a licensed electrician installed."
        )
    if round(facts.desk.demand.critical_wh, DUST) > 0:
        said.append(f"A critical load needs a second way out{_with_whom(facts)}.")
    if facts.case.outage.generator_hours > 0:
        said.append("A generator runs outdoors only, far from doors and windows: carbon monoxide kills.")
    if shown.name and shown.carried.store.may_charge == 0:
        said.append("It is too cold there to charge lithium cells.")
    said.append("Local codes come first.")
    if facts.cautions.count:
        said.append(f"See Cautions for {facts.cautions.count} more.")
    return " ".join(said)
