"""NDSU Extension (2022), Safely use standby generators for emergency power: about 1,000 W per horsepower to run, about
four times that to start. Found as a search result."""

import pytest

from holdover.case.schema import Load, Sizing
from holdover.case.typical import table
from holdover.model.demand import demand_of, hours_of_day
from holdover.model.loads import load_lines

RUNNING_W, STARTING_W = 1000.0, 4000.0
"""Watts per horsepower, running and at start."""
SIZES = {"Electric motor, 1/2 hp": 0.5, "Electric motor, 1 hp": 1, "Well pump, 1 hp": 1, "Pool pump, 1 hp": 1}


@pytest.mark.parametrize(("hp", "running_w", "starting_w"), [(1, 1000, 4000), (0.5, 500, 2000), (5, 5000, 20_000)])
def test_a_motor_of_the_rule_starts_at_four_times_its_running_watts(
    hp: float, running_w: float, starting_w: float
) -> None:
    """By its horsepower a motor asks for four times its draw at start."""
    load = Load(name="motor", running_w=RUNNING_W * hp, starting_w=STARTING_W * hp, hours_per_day=1)
    lines = load_lines([load], Sizing(feed="240 V"))
    demand = demand_of(lines, hours_of_day(lines), Sizing())
    assert (demand.peak_running_w, demand.peak_starting_w) == (running_w, starting_w)


@pytest.mark.parametrize("name", SIZES)
def test_typical_motors_start_no_lower_than_the_rule(name: str) -> None:
    """The rule speaks of watts of a generator; in volt-amperes, by which an inverter trips, a start is more."""
    (row,) = [row for row in table() if row.name == name]
    assert row.start_va is not None
    assert row.start_va >= STARTING_W * SIZES[name]
    assert row.running_w == pytest.approx(RUNNING_W * SIZES[name], rel=0.45)  # the table's allow for the power factor
