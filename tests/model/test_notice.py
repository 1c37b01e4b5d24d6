"""What the first page says of the settings before the advice."""

from typing import Any

import pytest

from holdover.advice.remarks import advise
from holdover.case.schema import About, Array, Candidate, Case, Load, Money, Outage, Recharge, Sizing, Sun, Weights
from holdover.model.outage.told import NOTHING_RECHARGES
from holdover.model.pages.notice import SPREAD, notice_of
from holdover.model.pages.quotation import UNSIGNED
from holdover.model.storage import COLDER
from holdover.model.study import Slots, study

LOADS = (Load(name="Fridge"),)
ALDER = Candidate(name="Alder", storage_wh=4000, continuous_w=2000, surge_w=4000, price=900)
LAMP = Load(name="Lamp", running_w=20, hours_per_day=5)
UNITS = (Candidate(name="Unit Alder"),)
NOTHING = Weights(price=0, life_cost=0, usable=0, weight=0, noise=0)
BY_SCORE = Money(rank_by="weighted score")


STATED = Array(modules=2, power_w=400, voc_v=37.5, vmp_v=31, isc_a=13.9, imp_a=12.9, voc_tempco=-0.0028)


@pytest.mark.parametrize(
    ("case", "said"),
    [
        (Case(), ""),
        (Case(loads=LOADS, candidates=UNITS, outage=Outage(candidate="unit alder", leave_out="FRIDGE")), ""),
        (
            Case(candidates=UNITS, outage=Outage(candidate="Unit Older")),
            "No candidate is called Unit Older, so it is not followed.",
        ),
        (Case(loads=LOADS, outage=Outage(leave_out="Fridg")), "No load is called Fridg, so it is not left out."),
        (Case(loads=LOADS, outage=Outage(without="Lamp")), "No load is called Lamp to do without."),
        (Case(money=BY_SCORE, weights=NOTHING), "All weights are 0, so the score ranks nothing."),
        (Case(weights=NOTHING), ""),
        (
            Case(array=STATED, sun=Sun(resource="clearness index", coldest_c=-5)),
            "With latitude not stated no layout of modules is counted.",
        ),
        (
            Case(array=STATED, sun=Sun(latitude_deg=40)),
            "With coldest air not stated no layout of modules is counted.",
        ),
        (Case(array=STATED, sun=Sun(resource="clearness index", latitude_deg=0, coldest_c=-5)), ""),
        (Case(array=STATED, sun=Sun(coldest_c=-5)), ""),
        (Case(sun=Sun(resource="clearness index")), ""),
    ],
)
def test_a_setting_that_does_nothing_is_named(case: Case, said: str) -> None:
    """Names that are nobody's in any case of letters, weights all 0 where they rank, a latitude where the sun needs it."""
    assert notice_of(case) == said


@pytest.mark.parametrize(
    ("promise", "tier", "said"),
    [
        ("critical", "essential", "No load is critical, so nothing is promised."),
        ("critical", "critical", ""),
        ("critical and essential", "convenience", "No load is critical or essential, so nothing is promised."),
        ("critical and essential", "essential", ""),
        ("all loads", "convenience", ""),
    ],
)
def test_a_promise_of_no_load_is_named(promise: str, tier: str, said: str) -> None:
    """What runs by a promise of loads of which there are none is no achievement: the page says so."""
    lamp = Load.model_validate({"name": "Lamp", "running_w": 20, "hours_per_day": 5, "tier": tier})
    outage = Outage.model_validate({"promise": promise})
    assert study(Case(loads=(lamp,), outage=outage)).answer.notice == said


STALL = Case(about=About(purpose="day away"), outage=Outage(days=1, mains_from=19, mains_hours=10.5))
GRINDER = Load(name="Grinder", running_w=400, hours_per_day=0.75)


@pytest.mark.parametrize(
    ("case", "loads", "said"),
    [
        (STALL, (GRINDER,), SPREAD),
        (STALL, (GRINDER, GRINDER), SPREAD),
        (STALL, (GRINDER.model_copy(update={"starts_at": 9.0}),), ""),
        (STALL, (GRINDER.model_copy(update={"on": "no"}),), ""),
        (STALL, (GRINDER.model_copy(update={"hours_per_day": 24.0}),), ""),
        (STALL.model_copy(update={"about": About()}), (GRINDER,), ""),
        (STALL.model_copy(update={"outage": Outage(days=1)}), (GRINDER,), ""),
    ],
)
def test_loads_without_a_time_are_told_where_the_outlet_is_at_home(
    case: Case, loads: tuple[Load, ...], said: str
) -> None:
    """Spread over 24 hours two thirds of a stall's grinder would run at home, where the outlet feeds it."""
    notice = study(case.model_copy(update={"loads": loads})).answer.notice
    assert notice == said
    assert ("A043" in {found.code for found in advise(case.model_copy(update={"loads": loads}))}) == bool(said)


FAR = Case(about=About(purpose="off grid"), outage=Outage(days=3))


@pytest.mark.parametrize(("storage_c", "said"), [(-20.5, COLDER.lstrip()), (-20.0, ""), (45.0, "")])
def test_a_place_colder_than_what_is_known_of_storage_is_told(storage_c: float, said: str) -> None:
    """The coldest usual point is -20 °C: below it the share is that of the point, and the first page says to ask."""
    found = study(Case(loads=(LAMP,), candidates=(ALDER,), sizing=Sizing(storage_c=storage_c)))
    assert found.answer.notice == said


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({}, True),
        ({"about": About()}, False),
        ({"array": STATED}, False),
        ({"outage": Outage(days=3, mains_hours=2)}, False),
        ({"outage": Outage(days=3, generator_hours=2)}, True),
        ({"recharge": Recharge(generator_w=900)}, True),
        ({"recharge": Recharge(generator_w=900), "outage": Outage(days=3, generator_hours=2)}, False),
    ],
)
def test_off_the_grid_with_nothing_that_recharges_is_the_first_thing_said(change: dict[str, Any], told: bool) -> None:
    """A unit that carries three days is empty on the fourth for good where no module, generator or outlet is planned."""
    case = FAR.model_copy(update={"loads": (LAMP,), "candidates": (ALDER,)} | change)
    found = study(case)
    assert (NOTHING_RECHARGES in found.answer.notice) == told
    assert found.decision.headline.startswith(NOTHING_RECHARGES) == told
    assert ("A042" in {each.code for each in advise(case)}) == told


@pytest.mark.parametrize(
    ("candidates", "advice"),
    [
        ((ALDER,), "Without it: choose Alder. All loads run through the whole day."),
        ((ALDER.model_copy(update={"storage_wh": 5.0}),), "Without it no candidate is known to fit."),
        ((), "No candidate is listed yet."),
    ],
)
def test_what_cannot_be_read_comes_before_the_advice(candidates: tuple[Candidate, ...], advice: str) -> None:
    """With cells that can't be read nobody is told to buy before they are told to mend; with none nothing is said of it."""
    case = Case(loads=(LAMP,), candidates=candidates, outage=Outage(days=1))
    one, seven, none = study(case, unread=1), study(case, unread=7), study(case)
    assert one.answer.hero == "First mend a cell that can't be read."
    assert seven.answer.hero == "First mend 7 cells that can't be read."
    assert seven.answer.lead == f"What follows leaves out what stands there. {advice}"
    assert seven.quotation.title == "Draft, to be mended first"
    assert one.quotation.warning.startswith("A cell of the workbook can't be read and is left out: ")
    assert seven.door_card.who.startswith("Draft. 7 cells of the workbook can't be read and are left out: ")
    assert (none.unread.first, none.unread.count) == ("", 0)
    assert "mend" not in none.answer.hero + none.quotation.title + none.door_card.who


FRIDGE = Load(name="Fridge", tier="critical", running_w=150)
PUMP = Load(name="Pump", hours_per_day=2)


@pytest.mark.parametrize(
    ("loads", "notice"),
    [
        ((LAMP, FRIDGE), "Fridge lacks its hours a day and isn't counted."),
        ((PUMP, FRIDGE), "Pump lacks its watts and isn't counted. And 1 more."),
        ((LAMP, Load(running_w=350)), "Line 2 lacks its hours a day and isn't counted."),
    ],
)
def test_a_load_that_lacks_figures_comes_before_the_advice(loads: tuple[Load, ...], notice: str) -> None:
    """It counts for nothing, so nobody may sign an offer or hang up a card that leaves out a load by mistake."""
    found = study(Case(loads=loads, candidates=(ALDER,), outage=Outage(days=1)))
    assert found.answer.hero == "First fill in what loads lack."
    assert found.answer.notice == notice
    assert found.answer.lead.startswith("What follows leaves out what lacks figures. Without it: choose Alder.")
    assert found.decision.headline.startswith(f"{found.answer.notice} Without it: Alder.")
    assert (found.quotation.title, found.quotation.signed_by) == ("Draft, to be mended first", UNSIGNED)
    assert found.quotation.warning.startswith("Loads lack watts or hours and are left out: ")
    assert found.door_card.who.startswith("Draft. Loads lack watts or hours")


@pytest.mark.parametrize(
    "load",
    [Load(), Load(name="Fridge", on="no"), Load(name="Fridge", running_w=150, hours_per_day=0), Load(place="Hall")],
)
def test_a_load_that_is_left_out_on_purpose_is_no_lack(load: Load) -> None:
    """A cleared line, one that does not count, and one that runs 0 hours say what they mean."""
    found = study(Case(loads=(LAMP, load), candidates=(ALDER,), outage=Outage(days=1)))
    assert (found.answer.hero, found.answer.notice, found.quotation.title) == ("Choose Alder.", "", "Offer")


def test_days_that_are_not_worked_out_come_before_the_advice() -> None:
    """Who types 5 days into a workbook of 2 is not told to buy what carries 2 of them."""
    case = Case(loads=(LAMP,), candidates=(ALDER,), outage=Outage(days=5))
    found = study(case, Slots(loads=5, candidates=2, days=2))
    asked = "5 days are asked and this workbook reaches 2: it is worked out to there. Build it anew for more."
    assert found.answer.hero == "First build this workbook anew."
    assert found.answer.lead == f"{asked} For 2 days: choose Alder. All loads run through both days."
    assert found.decision.headline.startswith(f"{asked} For 2 days: Alder.")
    assert (found.quotation.title, found.quotation.warning) == ("Draft, to be mended first", asked)
    assert found.door_card.who == f"Draft. {asked}"
