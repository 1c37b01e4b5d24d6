"""What the index says of a case, and what comes before its pick."""

from holdover.case.schema import Candidate, Case, Load, Sizing
from holdover.findings import Findings
from holdover.fleet.entry import Entry, of_study
from holdover.model.study import study

LAMP = Load(name="Lamp", running_w=20, hours_per_day=5, starting_w=60)
UNIT = Candidate(name="Unit Alder", storage_wh=2000, continuous_w=50, surge_w=300, ac_volts=120)


def entry(*loads: Load, unit: Candidate = UNIT) -> Entry:
    case = Case(loads=loads, candidates=(unit,), sizing=Sizing(feed="120 V"))
    return of_study(study(case), Findings(), listed=False)


def test_a_pick_that_may_not_fit_is_told_as_one() -> None:
    """A figure of its output that is not stated is asked first, a load without hours filled in first; else it is the pick."""
    assert entry(LAMP).told_pick == "Unit Alder"
    assert entry(LAMP, unit=UNIT.model_copy(update={"surge_w": None})).told_pick == "ask first: Unit Alder"
    nameless = Load(name="Fridge", running_w=100)
    assert entry(LAMP, nameless).told_pick == "fill in first: Unit Alder"


def test_nothing_comes_before_a_pick_that_is_none() -> None:
    """Where no candidate fits there is nothing to choose, whatever is open."""
    small = UNIT.model_copy(update={"storage_wh": 20, "surge_w": None})
    assert (entry(LAMP, unit=small).first, entry(LAMP, unit=small).told_pick) == ("", "none")
