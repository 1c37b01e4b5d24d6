"""The drive in short, for the candidate followed."""

from dataclasses import dataclass

from holdover.case.schema import Case
from holdover.model.decision import with_packs
from holdover.model.offer import Offer
from holdover.model.spoken import cut, duration, spoken, thousands
from holdover.model.vehicle import USUAL_CONSUMPTION, VehiclePlan, takes_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """How far the candidate followed brings the vehicle, in sentences; `first_page` may tell of days that repeat instead.

    `spare` is what the charge is for that the loads do not need.
    """

    headline: str
    first_page: str
    lead: str
    spare: str


def drive_of(case: Case, plan: VehiclePlan, errands: int, shown: Offer) -> Drive:
    """The drive in short [-].

    Args:
        case: The case [-].
        plan: What the drive asks for [-].
        errands: Drives and deliveries planned [-].
        shown: The candidate followed [-].

    Holds for: any candidate, a blank one too.
    Source: definition.
    """
    asked = plan.distance > 0 and shown.name != ""
    if asked:
        first_page = f"{_headline(plan, errands, shown, shown.arrival.words)} {_charging(case, plan, shown)}"
    else:
        first_page = f"{takes_words(plan)}." if plan.distance > 0 else _again(case, plan, shown)
    return Drive(
        headline=_headline(plan, errands, shown, shown.arrival.told),
        first_page=first_page,
        lead=f"{_lead(case, plan, shown)} {_loads(shown)}" if asked else "",
        spare="drive, to spare" if plan.distance > 0 else "to spare",
    )


def offered_words(plan: VehiclePlan, left_own: float) -> str:
    """How far the vehicle comes behind the loads, as an offer says it [text]; "" where no vehicle is planned.

    Args:
        plan: What the drive asks for.
        left_own: How far it comes when the loads have theirs first [km or mi].

    Holds for: any range; it is cut to a tenth, so that nobody is told of ground that is not reached.
    Source: common practice.

    >>> from holdover.case.schema import Vehicle
    >>> from holdover.model.vehicle import vehicle_plan
    >>> offered_words(vehicle_plan(Vehicle(distance=12, distance_unit="mi")), 15.88)
    '; the vehicle goes 15.8 miles, 12 are planned'
    """
    if plan.distance <= 0:
        return ""
    return f"; the vehicle goes {cut(left_own)} {plan.road}, {spoken(plan.distance, 1)} are planned"


def _headline(plan: VehiclePlan, errands: int, shown: Offer, range_told: str) -> str:
    if not shown.name:
        return "No candidate is listed yet."
    if plan.distance <= 0:
        return "No drive is planned; deliveries stand below." if errands else "No drive is planned."
    return f"{with_packs(shown.name, shown.held.packs)}: {range_told}."


def _charging(case: Case, plan: VehiclePlan, shown: Offer) -> str:
    """How long the vehicle charges, what of storage that takes, and by which consumption where none is stated."""
    stated = case.vehicle.consumption is not None
    usual = "" if stated else f", at {USUAL_CONSUMPTION[plan.distance_unit]}, as is usual"
    takes, usable = _kwh(shown.vehicle.storage_needed_wh), _kwh(shown.held.usable_wh)
    return f"Charging takes {duration(plan.charging_h)} and {takes} of {usable} kWh{usual}."


def _again(case: Case, plan: VehiclePlan, shown: Offer) -> str:
    """Where no drive is planned and one day must be like the other: whether storage is as full after it as before."""
    through = shown.carried
    if plan.distance > 0 or not shown.name or case.outage.repeats != "yes" or not through.promise.kept:
        return ""
    named = with_packs(shown.name, shown.held.packs)
    if through.runs_down:
        return f"{named}: each day ends with {thousands(-through.daily_balance_wh)} Wh less than it began with."
    return f"{named}: each day ends as full as it began."


def _lead(case: Case, plan: VehiclePlan, shown: Offer) -> str:
    """What the drive takes, whether the charger gets its draw, and whether the vehicle arrives."""
    fit = shown.vehicle
    told = f"The drive takes {_kwh(plan.needed_outlet_wh)} kWh at the charger, {duration(plan.charging_h)} long, "
    told += f"and {_kwh(fit.storage_needed_wh)} kWh drawn from the battery, its margin of {spoken(100 * case.vehicle.distance_margin)} % counted."
    if fit.holds != "OK":
        told += f" {shown.name} does not feed this charger: it asks for {thousands(plan.charger_w)} W at {spoken(plan.charger_v)} V."
    if fit.reaches == "OK":
        return f"{told} Storage is enough for the drive by itself."
    if isinstance(fit.packs_needed, int):
        packs = "1 pack" if fit.packs_needed == 1 else f"{fit.packs_needed} packs"
        return f"{told} It takes {packs} to get there with the margin."
    return f"{told} The vehicle does not get there with its margin, not with every pack it may have."


def _loads(shown: Offer) -> str:
    """Whether storage carries the loads and the drive."""
    fit = shown.vehicle
    if isinstance(fit.needed_with_loads_wh, str):
        return "Loads and drive together: no storage of this candidate carries the loads alone."
    told = f"Loads and drive together need {_kwh(fit.needed_with_loads_wh)} kWh"
    told += f" of the {_kwh(shown.storage.usable_most_wh)} kWh usable with the packs it may get"
    return f"{told}: {fit.reaches_with_loads}."


def _kwh(wh: float) -> str:
    return spoken(wh / 1000, 1)
