"""The candidate tried: what is asked of it, and what would help it once that was tried.

It works nothing out itself: the what-ifs are in `outage/what_if.py`, the mends in `mend.py`.
"""

from collections.abc import Sequence

from holdover.case.schema import Outage
from holdover.model.desk import Desk
from holdover.model.money import total_of
from holdover.model.offer import Draft, Offer, means_of
from holdover.model.outage.promise import sources_of
from holdover.model.outage.what_if import LONGER, MORE_GENERATOR_H, WITHOUT, Asked, Setting, Trial
from holdover.model.verdict.mend import Mend, attempt_of, load_to_try, mend_of


def setting_of(desk: Desk, offer: Draft | Offer) -> Setting:
    """The outage of a candidate, as planned."""
    return Setting(
        plan=desk.plan,
        tiers=desk.tiers,
        converter=offer.converter,
        sources=desk.sources,
        sun_wh=offer.carried.taking.sun_wh,
        room=offer.room,
    )


def asked_of(desk: Desk, offer: Draft | Offer, *, to_mend: bool) -> Asked:
    """What is asked of a candidate, and the price of the packs that an answer takes.

    Where nobody names a load to do without, and a mend is looked for, the load is tried that may be one.
    """
    case, outage = desk.case, desk.case.outage
    longer = case.model_copy(update={"outage": outage.model_copy(update={"generator_hours": _longer_hours(outage)})})
    without = outage.without
    if to_mend and not without:
        without = load_to_try(offer.fit, desk.lines, desk.spare, means_of(desk, offer))
    return Asked(
        lines=desk.lines,
        without=without,
        longer=sources_of(longer, desk.demand.house_v)[1],
        price_of=lambda packs: total_of(offer.given, packs, case.money),
    )


def _longer_hours(outage: Outage) -> float:
    """Hours of the generator that are tried in place of those planned [h/day]."""
    return min(24.0, outage.generator_hours + MORE_GENERATOR_H)


def mend_tried(desk: Desk, offer: Draft | Offer, asked: Asked, tried: Sequence[Trial]) -> Mend:
    """What would help a candidate, of what was tried on it."""
    by_name = {trial.name: trial for trial in tried}
    outage = desk.case.outage
    longer_h = _longer_hours(outage) - outage.generator_hours
    attempt = attempt_of(desk.lines, asked.without, by_name[WITHOUT], by_name[LONGER], longer_h)
    return mend_of(offer.fit, desk.lines, desk.spare, means_of(desk, offer), attempt)
