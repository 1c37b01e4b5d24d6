"""A data sheet of one large lithium iron phosphate cell, quoted on the web: at least 3,500 cycles at 25 °C until 80 %
of new is left, at least 1,800 at 45 °C; charging from 0 °C on. Found as search results (two pages)."""

from holdover.case.schema import Assumed, Candidate, Case, Sizing
from holdover.model.money import life_kwh
from holdover.model.study import study


def test_the_usual_cycles_lie_between_those_of_the_warm_and_of_the_hot_cell() -> None:
    """Nobody stated them: 3,000 cycles, fewer than the sheet's 3,500 at 25 °C and more than its 1,800 at 45 °C."""
    assert 1800 <= Assumed().cycles <= 3500


def test_cycles_end_at_80_percent() -> None:
    """A cell that falls to 80 % over 3,500 cycles gives the mean of 90 %: 3,150 full storages."""
    assert life_kwh(3500, 1000) == 3150


def test_below_freezing_a_silent_data_sheet_asks_for_a_look() -> None:
    """At 0 °C it may charge, a tenth of a degree below it the cold check wants a look."""
    verdicts = [
        study(Case(candidates=(Candidate(name="u"),), sizing=Sizing(storage_c=c))).offers[0].fit.cold.verdict
        for c in (0.0, -0.1)
    ]
    assert verdicts == ["OK", "LOOK"]
