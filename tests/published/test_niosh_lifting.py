"""NIOSH Publication 94-110, revised lifting equation: the load constant is 23 kg (51 lb), for an ideal lift.

Seen on the pages of CCOHS and of an ergonomics handbook that quote it, found as search results.
"""

from holdover.case.schema import Candidate, Case, Sizing
from holdover.model.study import study


def test_the_usual_limit_is_the_load_constant() -> None:
    """Nobody set it: one person lifts 23 kg at most, and 23.1 kg ask for a look."""
    assert Sizing().lift_kg == 23
    units = (Candidate(name="a", weight_kg=23), Candidate(name="b", weight_kg=23.1))
    assert [offer.fit.lift.verdict for offer in study(Case(candidates=units)).offers[:2]] == ["OK", "CHECK"]
