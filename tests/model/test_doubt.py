"""How sure the day is, by hand and at random."""

import math
import random

import pytest

from holdover.case.schema import Load, Sizing
from holdover.model.doubt import Doubt, doubt_of
from holdover.model.loads import load_lines

FRIDGE = Load(name="fridge", measured_wh_per_day=1200, basis="metered")
FREEZER = Load(name="freezer", measured_wh_per_day=1000, basis="label")
PUMP = Load(name="pump", running_w=800, hours_per_day=1, basis="typical")


def doubt(*loads: Load, **sizing: float) -> Doubt:
    assumed = Sizing.model_validate(sizing)
    return doubt_of(load_lines(loads, assumed), assumed)


def test_low_and_high_are_worked_out_by_hand() -> None:
    """1200 Wh metered (5 %), 1000 Wh by label (20 %), 800 Wh typical (50 %): 60, 200 and 400 Wh.

    The root of 3600 + 40,000 + 160,000 is 451.22 Wh: the day of 3000 Wh lies between 2548.78 and 3451.22 Wh.
    """
    found = doubt(FRIDGE, FREEZER, PUMP)
    assert [line.doubt_wh for line in found.lines] == pytest.approx([60, 200, 400], rel=1e-12)
    assert found.doubt_wh == pytest.approx(451.2206, abs=1e-4)
    assert (found.low_wh, found.likely_wh, found.high_wh) == pytest.approx((2548.7794, 3000, 3451.2206), abs=1e-4)
    assert (found.low_scale, found.high_scale) == pytest.approx((0.849593, 1.150407), abs=1e-6)


def test_the_load_that_moves_the_day_most_is_measured_first() -> None:
    """The pump uses least and is known worst: it holds 160,000 of 203,600."""
    found = doubt(FRIDGE, FREEZER, PUMP)
    assert (found.measure_first, found.measure_number, found.words) == ("pump", 3, "Measure first: pump.")
    assert found.measure_share == pytest.approx(160_000 / 203_600, rel=1e-12)


def test_once_measured_another_is_first() -> None:
    """With the pump on a meter its doubt is 40 Wh, and the freezer's label is what is left."""
    assert doubt(FRIDGE, FREEZER, PUMP.model_copy(update={"basis": "metered"})).measure_first == "freezer"


@pytest.mark.parametrize(
    ("load", "spread"),
    [
        (Load(running_w=10, hours_per_day=1), 0.5),
        (Load(running_w=10, hours_per_day=1, basis="estimate"), 0.5),
        (Load(running_w=10, hours_per_day=1, basis="label"), 0.2),
        (Load(measured_wh_per_day=10), 0.2),
        (Load(measured_wh_per_day=10, basis="typical"), 0.5),
        (Load(measured_wh_per_day=10, basis="metered"), 0.05),
    ],
)
def test_each_basis_has_its_doubt(load: Load, spread: float) -> None:
    """What says nothing of its basis is doubted as the worse of what it may be."""
    assert doubt(load).lines[0].spread == spread


def test_doubts_may_be_set() -> None:
    """The shares of the case count, not the usual ones."""
    assert doubt(PUMP, typical_spread=0.25).doubt_wh == 200


def test_no_load_is_no_doubt() -> None:
    """Nothing to measure, and scales of 1."""
    found = doubt(Load(), Load(name="off", running_w=50, hours_per_day=9, on="no"))
    assert (found.low_wh, found.high_wh, found.low_scale, found.high_scale) == (0, 0, 1, 1)
    assert (found.measure_first, found.words) == ("", "")


def test_a_day_is_never_below_nothing() -> None:
    """A doubt of twice the energy leaves a low day of 0."""
    assert doubt(PUMP, typical_spread=2).low_wh == 0


def test_the_root_of_squares_is_the_spread_of_independent_loads() -> None:
    """10,000 drawn days, each load by itself: their standard deviation is the doubt within 3 %."""
    draw = random.Random(5)
    found = doubt(FRIDGE, FREEZER, PUMP)
    days = [sum(draw.gauss(0, line.doubt_wh) for line in found.lines) for _ in range(10_000)]
    deviation = math.sqrt(sum(day**2 for day in days) / len(days))
    sampling = 0.03  # four standard errors of a standard deviation from 10,000 days
    assert deviation == pytest.approx(found.doubt_wh, rel=sampling)
