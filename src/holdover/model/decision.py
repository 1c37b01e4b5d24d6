"""What the client is told first: the advice in clock time, what it must carry, the pick, and who comes nearest."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from holdover.case.schema import Case
from holdover.model.demand import Demand
from holdover.model.dust import DUST
from holdover.model.look_for import LookFor
from holdover.model.money import STAGES
from holdover.model.offer import Offer
from holdover.model.outage.told import (
    NOTHING_RECHARGES,
    stretch_of,
    tiers_words,
    trips_unless,
)
from holdover.model.spoken import spoken, thousands
from holdover.model.vehicle import VehiclePlan, takes_words
from holdover.model.verdict.fit import CHECK, REMARKS, common_remarks
from holdover.model.verdict.rank import UNSTATED
from holdover.model.verdict.reason import ASKED, common_asks


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What the client is told first. `nearest` is who of those that do not fit falls short least; `drive` is how far
    the vehicle comes with the pick, or with who is nearest where none fits; what it takes where none is listed. `told_number` is of whom the sheets tell: the
    pick, else the nearest, else the first.
    """

    listed: int
    fitting: int
    planned_h: float
    pick_number: int
    pick: str
    nearest_number: int
    told_number: int
    nearest: str
    nearest_reason: str
    nearest_mends: str
    headline: str
    chosen_by: str
    drive: str
    ask: str
    over_budget: str
    """How much above the budget the one told of is, and what the budget buys, in sentences."""
    stages_paid: int
    made_for: str
    why: str
    field_remarks: str
    field_asks: str
    pick_packs: int
    pick_usable_wh: float | str
    pick_days: float | str
    pick_weight_kg: float | str
    pick_total: float | str
    pick_remarks: str


def decide(offers: Sequence[Offer], demand: Demand, drive: VehiclePlan, case: Case, look_for: LookFor) -> Decision:
    """The advice on a ranked field of candidates, and for whom it is."""
    listed = [offer for offer in offers if offer.name]
    fitting = [offer for offer in listed if offer.fit.fits]
    pick, nearest = pick_of(listed), nearest_of(listed)
    told = pick or nearest
    fits = [offer.fit for offer in listed]
    field_asks = ", ".join(ASKED[name] for name in common_asks(fits))
    over = over_budget(told, listed, case) if told else ""
    headline = _advice(pick, case, field_asks) + over if pick else _none_advised(listed, nearest, look_for, over)
    return Decision(
        listed=len(listed),
        fitting=len(fitting),
        planned_h=24.0 * case.outage.days,
        nearest_number=nearest.number if nearest else 0,
        told_number=told_of(offers).number,
        nearest=nearest.name if nearest else "none",
        nearest_reason=nearest.reason if nearest else "",
        nearest_mends=nearest.mend.words if nearest else "",
        headline=(f"{NOTHING_RECHARGES} " if case.is_unfed else "") + headline,
        chosen_by=_chosen_by(fitting, case),
        drive=told.arrival.words if told else takes_words(drive) if drive.distance > 0 else "",
        over_budget=over,
        stages_paid=stages_paid(pick, case.money.budget) if pick else 0,
        made_for=_made_for(case),
        why=_why(demand, drive, case),
        field_remarks="; ".join(REMARKS[name] for name in common_remarks(fits)),
        field_asks=field_asks,
        **(_picked(pick) if pick else NOBODY),
    )


def _picked(pick: Offer) -> dict[str, Any]:
    """What is told of the pick."""
    return {
        "pick_number": pick.number,
        "pick": pick.name,
        "ask": pick.ask,
        "pick_packs": pick.held.packs,
        "pick_usable_wh": pick.held.usable_wh,
        "pick_days": pick.held.days,
        "pick_weight_kg": pick.fit.weight_kg,
        "pick_total": pick.cost.total,
        "pick_remarks": pick.remarks or "nothing",
    }


NOBODY: Final[dict[str, Any]] = {
    "pick_number": 0,
    "pick": "none",
    "ask": "",
    "pick_packs": 0,
    "pick_usable_wh": "none",
    "pick_days": "none",
    "pick_weight_kg": "none",
    "pick_total": "none",
    "pick_remarks": "none",
}
"""What is told where nobody is picked [-]."""


def pick_of(listed: Sequence[Offer]) -> Offer | None:
    """The first in rank, None where none fits."""
    return next((offer for offer in listed if offer.rank.rank == 1), None)


def told_of(offers: Sequence[Offer]) -> Offer:
    """Of whom the sheets tell: the pick, else the nearest, else the first."""
    listed = [offer for offer in offers if offer.name]
    return pick_of(listed) or nearest_of(listed) or offers[0]


def tried_of(offers: Sequence[Offer]) -> Offer:
    """On whom what-ifs are tried: the one named to be followed, else the first in rank by the figures as handed over, else the nearest.

    So a price that is changed, which may change the pick, leaves what was tried as it was.
    """
    listed = [offer for offer in offers if offer.name]
    named = next((offer for offer in offers if offer.shown != ""), None)
    first = next((offer for offer in listed if offer.rank.handed_rank == 1), None)
    return named or first or nearest_of(listed) or offers[0]


def nearest_of(listed: Sequence[Offer]) -> Offer | None:
    """Of those that do not fit, the one whose worst miss is the smallest; the first of equals, None where all fit."""
    short = [offer for offer in listed if not offer.fit.fits]
    return max(short, key=lambda offer: (round(offer.fit.least_ratio, 9), -offer.number), default=None)


def with_packs(name: str, packs: int) -> str:
    """A candidate and its packs, as it is advised [-]."""
    return f"{name} with {packs} pack{'' if packs == 1 else 's'}" if packs else name


def _none_advised(listed: Sequence[Offer], nearest: Offer | None, look_for: LookFor, over: str) -> str:
    """What is said where nobody is picked: who is nearest, how far above the budget, and what would help."""
    if not listed:
        return f"No candidate is listed yet. {look_for.words}".rstrip()
    many = none_fits("The only candidate", len(listed), nearest.fit.verdict if nearest else "")
    if nearest is None:
        return many
    said = f"{many} Nearest is {with_packs(nearest.name, nearest.held.packs)}: {nearest.reason}.{over}"
    return f"{said} What would help: {nearest.mend.words}." if nearest.mend.words else said


def none_fits(only: str, listed: int, verdict: str) -> str:
    """That no candidate fits, or none is known to: of what a data sheet does not say nothing is said to fail [-].

    Args:
        only: What stands for the only one [-].
        listed: Candidates [-].
        verdict: Of the nearest: CHECK where nothing is known to fall short [-].

    Holds for: one candidate or more.
    Source: definition.

    >>> none_fits("Unit A", 1, "falls short"), none_fits("It", 3, "CHECK")
    ('Unit A does not fit.', 'None of the 3 candidates is known to fit.')
    """
    known = verdict != CHECK
    if listed == 1:
        return f"{only} {'does not fit' if known else 'is not known to fit'}."
    return f"None of the {listed} candidates {'fits' if known else 'is known to fit'}."


def _advice(pick: Offer, case: Case, field_asks: str) -> str:
    """The pick and what runs until when; nothing that is off is said to last, what is not stated neither to run nor to fail."""
    runs = tiers_words(pick.carried.tiers, stretch_of(case))
    said = f"{with_packs(pick.name, pick.held.packs)}. {runs}".rstrip()
    return said + reservations(pick, case, field_asks)


def asked_first(asked: str, field_asks: str) -> str:
    """What is to be asked of the pick before it is chosen: of its own data sheet, and of all [-].

    Args:
        asked: What its data sheet leaves open [-].
        field_asks: What every data sheet leaves open [-].

    Holds for: any; many figures are not named one by one.
    Source: definition.

    >>> asked_first("transfer time", ""), asked_first("storage, surge output", "output of the DC ports together, transfer time")
    ('its transfer time', 'several figures, see Comparison')
    """
    said = ", ".join(word for word in (asked, field_asks) if word)
    return f"its {said.removeprefix('its ')}" if len(said) <= LONG_FIELD else SEVERAL


def reservations(pick: Offer, case: Case, field_asks: str) -> str:
    """What stands behind what runs, each a sentence: a margin that is not there, a data sheet that leaves something open."""
    said, laid = "", pick.strings
    if laid.modules_idle and laid.modules_used:
        said = f" Only {laid.modules_used} of {case.array.modules} modules can be connected."
    if pick.carried.promise.kept and not pick.carried.promise.margin_held:
        margin = pick.fit.promise.margin
        short = "" if isinstance(margin, str) else f", {thousands(-margin)} Wh short"
        said += f" It holds without any margin: with {spoken(100 * case.sizing.energy_margin, 2)} % more on the loads it would not{short}."
    trips = trips_unless(case.outage, pick.carried)
    said += f" But {trips}." if trips else ""
    if pick.carried.runs_down:
        said += f" Each day ends with {thousands(-pick.carried.daily_balance_wh)} Wh less than it began with."
    return said + open_words(pick, field_asks)


def open_words(pick: Offer, field_asks: str) -> str:
    """What the data sheet of the pick leaves open, in a sentence; "" where nothing is to be asked."""
    if not (pick.asked or field_asks):
        return ""
    if pick.fit.output == CHECK:
        return f" Whether it fits is open: ask first for {asked_first(pick.asked, field_asks)}."
    return OPEN


def over_budget(offer: Offer, listed: Sequence[Offer], case: Case) -> str:
    """How much above the budget a candidate's price is, and what the budget buys; "" where it is not, or nobody knows [-].

    Args:
        offer: The candidate advised with its packs, or who is nearest [-].
        listed: All candidates that are listed [-].
        case: The case [-].

    Holds for: prices in one currency.
    Source: arithmetic.
    """
    found, currency = offer.fit.budget, case.about.currency
    if found.verdict != CHECK or found.margin == "":
        return ""
    above, most = thousands(-float(found.margin)), thousands(float(found.needed))
    bought = _within_budget(offer, listed, currency, float(found.needed))
    return f" Its price is {currency} {above} above the budget of {currency} {most}. {bought}."


def _within_budget(offer: Offer, listed: Sequence[Offer], currency: str, most: float) -> str:
    """What a budget buys that the candidate told of exceeds: another that fits, fewer packs of it, or who is nearest."""
    best = min(filter(is_within, listed), key=standing, default=None)
    named = (
        f"{with_packs(best.name, best.held.packs)} for {currency} {thousands(float(best.cost.total))}" if best else ""
    )
    if best and best.fit.fits:
        return f"Within it the first is {named}" + (f"; {best.ask}" if best.ask else "")
    if offer.fit.fits and (paid := stages_paid(offer, most)):
        stage = offer.stages[paid - 1]
        said = f"{with_packs(offer.name, stage.packs)} for {currency} {thousands(float(stage.total))}"
        return f"Within it is {said}, with {spoken(100 * float(stage.need_share))} % of the storage needed; packs can follow"
    if best is None:
        return "Nothing listed is known to be within it"
    return f"Within it, nearest is {named}: {first_miss(best.reason)}"


def is_within(offer: Offer) -> bool:
    """Whether a budget is set, and the price is known and within it."""
    margin = offer.fit.budget.margin
    return not isinstance(margin, str) and round(margin, DUST) >= 0


def stages_paid(pick: Offer, most: float | None) -> int:
    """How many stages of the pick, first the unit alone, a budget pays [-]; 0 where none is set."""
    if most is None:
        return 0
    totals = [stage.total for stage in pick.stages[:STAGES]]
    return sum(not isinstance(total, str) and round(total - most, DUST) <= 0 for total in totals)


def standing(offer: Offer) -> tuple[bool, float, int]:
    """By which candidates stand on the first page: those that fit by rank, the others by how near they come."""
    fits, fit = offer.fit.fits, offer.fit
    return not fits, float(offer.rank.rank) if fits else -round(fit.least_ratio, 9), offer.number


def first_miss(reason: str) -> str:
    """The first of what is not met, and whether there is more [-].

    Args:
        reason: Each miss, with semicolons between [-].

    Holds for: any reason.
    Source: definition.

    >>> first_miss("running: 5 W less than the 90 needed; starting: 3 W less"), first_miss("")
    ('running: 5 W less than the 90 needed; and more', '')
    """
    first, _, rest = reason.partition("; ")
    return f"{first}{AND_MORE}" if rest else first


AND_MORE: Final = "; and more"
"""Stands for what else is not met [-]."""
OPEN: Final = " Its data sheet leaves something open: ask before buying."
"""What is told where what is to be asked does not decide [-]."""
LONG_FIELD: Final = 59
"""What is to be asked is named on the first page where it has no more letters than this [-]; definition."""
SEVERAL: Final = "several figures, see Comparison"
"""What stands there in place of more [-]."""
THIN: Final = "the only one that may do, without any margin"
"""Why one is the pick that alone keeps the promise, but not its margin [-]."""


def chosen_words(offers: Sequence[Offer], case: Case) -> str:
    """Why the pick is the pick, "" where none is. Those whose margin is not there, or that leave something open, come behind it, even
    where what they are ranked by would put them first.
    """
    fitting = [offer for offer in offers if offer.name and offer.fit.fits]
    if not fitting:
        return ""
    first = next(offer for offer in fitting if offer.rank.rank == 1)
    ahead = {offer.rank.behind for offer in fitting if offer.rank.key < first.rank.key}
    if len(fitting) == 1 and not fitting[0].carried.promise.margin_held:
        return THIN
    put_back = " and ".join(word for behind, word in ((1, "what is open"), (2, "margin")) if behind in ahead)
    by = ranked_by(case.money.rank_by, first.rank.key)
    return chosen_by(len(fitting), by, put_back, may=first.fit.output == CHECK)


def ranked_by(rank_by: str, key: float) -> str:
    """What decides between candidates that fit: what is asked for, else the price, else the order in which they are listed [-].

    Args:
        rank_by: What they are to be ranked by [-].
        key: Of the first: the figure, `UNSTATED` and the price where it is not stated, twice that where neither is [-].

    Holds for: figures below `UNSTATED`.
    Source: definition.

    >>> ranked_by("weight", 23), ranked_by("weight", 1e12 + 900), ranked_by("price", 2e12)
    ('by weight', 'by price, weight not stated', 'as listed, price not stated')
    """
    if key < UNSTATED:
        return f"by {rank_by}"
    return f"{'by price' if key < 2 * UNSTATED else 'as listed'}, {rank_by} not stated"


def chosen_by(fitting: int, by: str, put_back: str = "", *, may: bool = False) -> str:
    """Why one is the pick, in words that may stand anywhere in a sentence [-].

    Args:
        fitting: Candidates that fit [-].
        by: By what they are ranked, such as "by price" [-].
        put_back: What keeps others behind that it would put first, "" where nothing does [-].
        may: Whether its data sheet leaves open whether its output is enough [-].

    Holds for: one that fits, or more.
    Source: definition.

    >>> chosen_by(1, "by price", may=True), chosen_by(3, "by price"), chosen_by(2, "by price", "margin")
    ('the only one that may fit', 'first of 3 that fit, by price', 'first of 2 that fit: by margin, then by price')
    """
    if fitting == 1:
        return f"the only one that {'may fit' if may else 'fits'}"
    by = f": by {put_back}, then {by}" if put_back else f", {by}"
    return f"first of {fitting} that {'may ' if may else ''}fit{by}"


def _chosen_by(fitting: Sequence[Offer], case: Case) -> str:
    said = chosen_words(fitting, case)
    return f"{said[0].upper()}{said[1:]}." if fitting else ""


def _made_for(case: Case) -> str:
    about = case.about
    by = f"prepared by {about.prepared_by}" if about.prepared_by else ""
    return "; ".join(word for word in (about.title, about.client, about.place, about.date, by) if word)


def _why(demand: Demand, drive: VehiclePlan, case: Case) -> str:
    """What the loads ask for, in a line."""
    if not demand.lines:
        why = "No load is listed yet."
    else:
        why = (
            f"{thousands(demand.energy_wh)} Wh a day, {thousands(demand.peak_running_w)} W running and "
            f"{thousands(demand.peak_starting_w)} W starting at the peak."
        )
    if demand.incomplete:
        lack = "line lacks" if demand.incomplete == 1 else "lines lack"
        why += f" {demand.incomplete} {lack} watts or hours."
    if demand.pool_words:
        why += f" {demand.pool_words}"
    if case.vehicle.distance > 0:
        why += (
            f" The drive takes {thousands(drive.needed_outlet_wh)} Wh at its charger, from full storage, loads apart."
        )
    return why
