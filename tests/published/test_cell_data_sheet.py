"""The data sheet of a 304 Ah lithium iron phosphate cell, quoted on the web: at least 3,500 cycles at 25 °C until 80 %
of new is left, at least 1,800 at 45 °C; charging from 0 °C on. Found as search results (two pages)."""

import pytest

from holdover.case.schema import Candidate, Case, Load, Money, Outage, Sizing
from holdover.model.money import cycles_kwh
from holdover.model.study import study


def test_the_usual_cycles_lie_between_those_of_the_warm_and_of_the_hot_cell() -> None:
    """A unit that states none costs more for a kWh over life than the cell at 25 °C, and less than at 45 °C.

    Used every day for 50 years, so that the cycles are what ends it.
    """
    units = [Candidate(name="u", storage_wh=1000, price=900, cycles=cycles) for cycles in (3500, None, 1800)]
    daily = Case(
        candidates=tuple(units),
        loads=(Load(name="lamp", running_w=50, hours_per_day=10),),
        money=Money(uses_per_year=365, years=50),
        outage=Outage(days=1),
    )
    costs = [offer.cost.per_life_kwh for offer in study(daily).offers[:3]]
    assert all(isinstance(cost, float) for cost in costs)
    assert costs == sorted(costs, key=float)
    assert len(set(costs)) == 3


def test_cycles_end_at_80_percent() -> None:
    """A cell that falls to 80 % over 3,500 cycles gives the mean of 90 %: 3,150 full storages."""
    assert cycles_kwh(3500, 1000) == pytest.approx(3150, rel=1e-12)  # arithmetic on the sheet's two figures


def test_below_freezing_a_silent_data_sheet_asks_for_a_look() -> None:
    """At 0 °C it may charge, a tenth of a degree below it the cold check wants a look."""
    verdicts = [
        study(Case(candidates=(Candidate(name="u"),), sizing=Sizing(storage_c=c))).offers[0].fit.cold.verdict
        for c in (0.0, -0.1)
    ]
    assert verdicts == ["OK", "CHECK"]
