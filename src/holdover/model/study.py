"""The whole case worked out: the one contract between the model and everything that shows it.

Slots beyond the case's rows are worked out too, blank: the workbook has formulas standing there.
"""

from dataclasses import dataclass, field, replace

from holdover.case.schema import MAX_DAYS, MAX_POINTS, Candidate, Case, Point
from holdover.case.section import is_blank
from holdover.model.decision import Decision, decide, nearest_of, told_of, tried_of
from holdover.model.demand import Demand, Hour, PoolNames, pool_names
from holdover.model.desk import DeliveryLine, Desk, SkyDay, desk_of, padded
from holdover.model.doubt import Doubt, doubt_of
from holdover.model.drive import Drive, drive_of
from holdover.model.loads import LoadLine
from holdover.model.look_for import Gain, LookFor, gains_of, look_for_of
from holdover.model.offer import Offer, draft_of, offer_of
from holdover.model.outage.what_if import Asked, Setting, Trial, sure, trials
from holdover.model.pages.answer import Answer, Facts, answer_of
from holdover.model.pages.cautions import cautions_of
from holdover.model.pages.compared import Compared, compared_of
from holdover.model.pages.door_card import DoorCard, door_card_of
from holdover.model.pages.followed import asked_of, mend_tried, setting_of
from holdover.model.pages.hourly import Followed, OutageTable, beyond_words, outage_table, within
from holdover.model.pages.notice import Unread, left_of
from holdover.model.pages.outage import OutagePage, outage_page
from holdover.model.pages.quotation import Quotation, quotation_of
from holdover.model.solar import Solar, SunHours, solar_of, sun_hours
from holdover.model.storage import Capacity, PointLine, capacity_of, point_lines
from holdover.model.sun import SunMonth
from holdover.model.vehicle import VehiclePlan
from holdover.model.verdict.fit import common_remarks
from holdover.model.verdict.rank import Contender, ranks_of
from holdover.model.verdict.reason import common_asks


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """How many rows and columns the workbook holds, and how many days of outage its tables of hours reach.

    `keys` are the figures by which each candidate was ranked when it was handed over, None where that is now. They take no
    room: slots are alike without them.
    """

    loads: int
    candidates: int
    days: int = MAX_DAYS
    us: bool = False
    """Whether what is shown and typed is in US units."""
    keys: tuple[float, ...] | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """Everything that is computed, complete at birth.

    `pick` is the candidate advised, the nearest one where none fits, the first blank one where none is listed; `shown` is the one that the outage sheet follows.
    `trials` and `sure` are of `tried`: what if, and the low, the likely and the high day. That is `shown`, unless what
    candidates are ranked by was changed since the workbook was handed over.
    """

    case: Case
    slots: Slots
    lines: tuple[LoadLine, ...]
    hours: tuple[Hour, ...]
    demand: Demand
    doubt: Doubt
    points: tuple[PointLine, ...]
    capacity: Capacity
    months: tuple[SunMonth, ...]
    sun_hours: SunHours
    solar: Solar
    skies: tuple[SkyDay, ...]
    vehicle: VehiclePlan
    drive: Drive
    deliveries: tuple[DeliveryLine, ...]
    errands: int
    offers: tuple[Offer, ...]
    look_for: LookFor
    gains: tuple[Gain, ...]
    pool_names: tuple[PoolNames, ...]
    compared: Compared
    decision: Decision
    pick: Offer
    shown: Offer
    tried: Offer
    trials: tuple[Trial, ...]
    sure: tuple[Trial, Trial, Trial]
    outage: OutageTable
    outage_page: OutagePage
    answer: Answer
    quotation: Quotation
    door_card: DoorCard

    @property
    def unread(self) -> Unread:
        """What can't be read of a workbook, and what is said of it."""
        return self.answer.unread


def slots_for(case: Case) -> Slots:
    """Room for the case and for what the client adds: rows, columns, and a day more of outage."""
    return Slots(
        loads=max(25, -(-(len(case.loads) + 4) // 5) * 5),
        candidates=max(4, len(case.candidates) + 1),
        days=min(MAX_DAYS, case.outage.days + 1),
        us=case.about.units == "US",
    )


def study(case: Case, slots: Slots | None = None, *, unread: int = 0) -> Study:
    """Work the whole case out. Pure: the same case gives the same study.

    An outage beyond the days of the slots is worked out to there; `outage.beyond` says so. `unread` counts the cells of
    a workbook that can't be read and are blank in the case.
    """
    slots = slots or slots_for(case)
    facts = _facts(case, slots)
    given, case = case, facts.case
    desk, shown, offers = facts.desk, facts.shown, facts.offers
    table = _table(facts, given.outage.days, slots.days)
    answer, errands = answer_of(facts, unread), _errands(desk)
    return Study(
        case=given,
        slots=replace(slots, keys=tuple(offer.rank.handed_key for offer in offers)),
        lines=desk.lines,
        hours=desk.hours,
        demand=desk.demand,
        doubt=facts.doubt,
        points=_points(case),
        capacity=desk.capacity,
        months=desk.months,
        sun_hours=sun_hours(case, desk.months, desk.module_w),
        solar=solar_of(case, desk.months, desk.module_w, shown),
        skies=desk.skies,
        vehicle=desk.trip,
        drive=drive_of(case, desk.trip, errands, shown),
        deliveries=desk.deliveries,
        errands=errands,
        offers=offers,
        look_for=facts.look_for,
        gains=gains_of(desk.lines, shown.storage, case.assumed, facts.look_for),
        pool_names=pool_names(desk.lines),
        compared=compared_of(desk, offers, facts.decision, facts.told),
        decision=facts.decision,
        pick=facts.told,
        shown=shown,
        tried=facts.tried,
        trials=facts.trials,
        sure=facts.sure,
        outage=table,
        outage_page=_outage_page(facts, answer, table),
        answer=answer,
        quotation=quotation_of(case, shown, facts.decision.field_asks, answer.unread.paper),
        door_card=door_card_of(case, desk.lines, shown, slots.days + 1, draft=answer.unread.paper),
    )


def _outage_page(facts: Facts, answer: Answer, table: OutageTable) -> OutagePage:
    told, what_ifs = answer.told[facts.shown.number - 1], (*facts.trials, *facts.sure)
    return outage_page(facts.case, facts.shown, told, table, what_ifs, answer.told[facts.tried.number - 1].named)


def _points(case: Case) -> tuple[PointLine, ...]:
    return point_lines(padded(case.points, MAX_POINTS, Point()), case.sizing.storage_c)


def _errands(desk: Desk) -> int:
    """How many drives and deliveries are planned [-]."""
    return int(desk.case.vehicle.distance > 0) + sum(not is_blank(line.given) for line in desk.deliveries)


def _facts(given: Case, slots: Slots) -> Facts:
    """What all pages tell of: the candidates worked out, who is advised, and what if."""
    case = within(given, slots.days)
    desk = desk_of(case, slots.loads, capacity_of(_points(case), case.sizing))
    doubt = doubt_of(desk.lines, case.sizing)
    offers = _offers(desk, slots)
    look_for = look_for_of(desk.lines, desk.demand, case, desk.capacity)
    left = left_of(desk.lines, beyond_words(given.outage.days, slots.days), case.outage.days)
    told = told_of(offers)
    shown = next((offer for offer in offers if offer.shown != ""), told)
    tried = tried_of(offers)
    setting, asked, found, offers = _tried(desk, tried, offers)
    decision = decide(offers, desk.demand, desk.trip, case, look_for)
    return Facts(
        desk=desk,
        doubt=doubt,
        offers=offers,
        look_for=look_for,
        decision=replace(decision, headline=left.headline + decision.headline),
        told=offers[told.number - 1],
        shown=offers[shown.number - 1],
        tried=offers[tried.number - 1],
        asked=asked,
        trials=found,
        sure=sure(setting, asked, doubt.low_scale, doubt.high_scale),
        left=left,
        cautions=cautions_of(case, desk.lines, desk.demand, us=slots.us),
    )


def _tried(
    desk: Desk, tried: Offer, offers: tuple[Offer, ...]
) -> tuple[Setting, Asked, tuple[Trial, ...], tuple[Offer, ...]]:
    """What is tried on a candidate, and the offers: of the nearest, if it is that one, with what would help."""
    to_mend = tried is nearest_of([offer for offer in offers if offer.name])
    setting, asked = setting_of(desk, tried), asked_of(desk, tried, to_mend=to_mend)
    found = trials(setting, asked)
    if to_mend:
        mended = replace(tried, mend=mend_tried(desk, tried, asked, found))
        offers = tuple(mended if offer is tried else offer for offer in offers)
    return setting, asked, found, offers


def _table(facts: Facts, asked_days: int, horizon: int) -> OutageTable:
    """The outage by hour, of every candidate, of the one shown and of the one tried."""
    followed = Followed(
        offers=[offer.carried for offer in facts.offers],
        shown=facts.shown.number - 1,
        tried=facts.tried.number - 1,
        trials=facts.trials,
        sure=facts.sure,
        asked=facts.asked,
    )
    return outage_table(facts.desk, followed, asked_days, horizon)


def _offers(desk: Desk, slots: Slots) -> tuple[Offer, ...]:
    """Every candidate, ranked in its field and worked out to the end."""
    case = desk.case
    listed, spare = len(case.candidates), max(0, slots.candidates - len(case.candidates))
    drafts = [draft_of(desk, c) for c in case.candidates]
    drafts += [draft_of(desk, Candidate())] * spare if spare else []
    contenders = [
        Contender(
            fit=d.fit,
            held=d.held,
            cost=d.cost,
            noise_db=d.given.noise_db,
            margin_held=d.carried.promise.margin_held,
        )
        for d in drafts
    ]
    ranks = ranks_of(contenders, case.money, case.weights, slots.keys or ())
    fits = [draft.fit for draft in drafts if draft.given.name]
    common = (*common_remarks(fits), *common_asks(fits))
    told = list(zip(drafts, ranks, range(1, len(drafts) + 1), strict=True))
    offers = [offer_of(desk, draft, rank, i, common) for draft, rank, i in told[: listed + 1]]
    offers += [replace(offers[-1], rank=rank, number=i) for _, rank, i in told[listed + 1 :]]  # spare ones are alike
    return tuple(offers)
