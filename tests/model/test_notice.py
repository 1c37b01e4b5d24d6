"""What the first page says of the settings before the advice."""

import pytest

from holdover.case.schema import Array, Candidate, Case, Load, Money, Outage, Sun, Weights
from holdover.model.pages.notice import notice_of

LOADS = (Load(name="Fridge"),)
UNITS = (Candidate(name="Unit Alder"),)
NOTHING = Weights(price=0, life_cost=0, usable=0, weight=0, noise=0)
BY_SCORE = Money(rank_by="weighted score")


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
            Case(array=Array(modules=2), sun=Sun(resource="clearness index")),
            "Latitude is not stated, so no string layout is allowed.",
        ),
        (Case(array=Array(modules=2), sun=Sun(resource="clearness index", latitude_deg=0)), ""),
        (Case(array=Array(modules=2)), ""),
        (Case(sun=Sun(resource="clearness index")), ""),
    ],
)
def test_a_setting_that_does_nothing_is_named(case: Case, said: str) -> None:
    """Names that are nobody's in any case of letters, weights all 0 where they rank, a latitude where the sun needs it."""
    assert notice_of(case) == said
