"""What the client is told first: the advice in a sentence, what it must carry, and the pick's own figures."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

from holdover.case.schema import Case
from holdover.model.demand import Demand
from holdover.model.dust import DUST
from holdover.model.fit import LOOK
from holdover.model.offer import Offer
from holdover.model.spoken import spoken
from holdover.model.vehicle import VehiclePlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What the client is told first."""

    listed: int
    fitting: int
    planned_h: float
    pick_number: int
    pick: str
    headline: str
    made_for: str
    why: str
    pick_packs: int
    pick_usable_wh: float | str
    pick_days: float | str
    pick_endurance_h: float | str
    pick_weight_kg: float | str
    pick_total: float | str
    pick_remarks: str


def decide(offers: Sequence[Offer], demand: Demand, drive: VehiclePlan, case: Case) -> Decision:
    """The advice on a ranked field of candidates, and for whom it is."""
    planned_h = 24.0 * case.outage.days
    listed = [offer for offer in offers if offer.name]
    fitting = [offer for offer in listed if offer.fit.fits]
    pick = next((offer for offer in fitting if offer.rank.rank == 1), None)
    if pick:
        many = "" if pick.held.packs == 1 else "s"
        packs = f" with {pick.held.packs} expansion pack{many}" if pick.held.packs else ""
        headline = f"{pick.name}{packs} fits and ranks first of {len(fitting)} that fit, by {case.money.rank_by}."
        if pick.lasts.verdict == LOOK:
            lasts_h = floor(round(pick.outage.endurance_h, DUST))
            headline += f" In the outage it lasts {lasts_h} of {spoken(planned_h)} h."
    elif len(listed) == 1:
        headline = "The only candidate does not fit. Lower the loads, or look at a larger unit."
    elif listed:
        headline = f"None of the {len(listed)} candidates fits. Lower the loads, or look at larger units."
    else:
        headline = "No candidate is listed yet."
    about = case.about
    why = (
        f"{spoken(demand.energy_wh)} Wh a day, {spoken(demand.peak_running_w)} W running and "
        f"{spoken(demand.peak_starting_w)} W starting at the peak."
        if demand.lines
        else "No load is listed yet."
    )
    if demand.incomplete:
        lack = "line lacks" if demand.incomplete == 1 else "lines lack"
        why += f" {demand.incomplete} {lack} watts or hours."
    if case.vehicle.distance > 0:
        why += f" The drive takes {spoken(drive.needed_outlet_wh)} Wh at its charger, from full storage, loads apart."
    by = f"prepared by {about.prepared_by}" if about.prepared_by else ""
    return Decision(
        listed=len(listed),
        fitting=len(fitting),
        planned_h=planned_h,
        pick_number=pick.number if pick else 0,
        pick=pick.name if pick else "none",
        headline=headline,
        made_for="; ".join(word for word in (about.title, about.client, about.place, about.date, by) if word),
        why=why,
        pick_packs=pick.held.packs if pick else 0,
        pick_usable_wh=pick.held.usable_wh if pick else "none",
        pick_days=pick.held.days if pick else "none",
        pick_endurance_h=pick.outage.endurance_h if pick else "none",
        pick_weight_kg=pick.fit.weight_kg if pick else "none",
        pick_total=pick.cost.total if pick else "none",
        pick_remarks=(pick.remarks or "nothing") if pick else "none",
    )
