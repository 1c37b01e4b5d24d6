"""NDSU Extension (2022), Safely use standby generators for emergency power: about 1,000 W per horsepower to run, about
four times that to start. Found as a search result."""

import pytest

from holdover.case.schema import Load, Sizing
from holdover.case.typical import typical
from holdover.model.demand import demand_of, hours_of_day
from holdover.model.loads import load_lines


@pytest.mark.parametrize(("hp", "running_w", "starting_w"), [(1, 1000, 4000), (0.5, 500, 2000), (5, 5000, 20_000)])
def test_a_motor_of_the_rule_starts_at_four_times_its_running_watts(
    hp: float, running_w: float, starting_w: float
) -> None:
    """The typical motor is that of the rule, and by its horsepower it asks for four times its draw at start."""
    (motor,) = typical("motor")
    assert motor.starting_w is not None
    load = Load(
        name="motor",
        running_w=motor.running_w * hp,
        starting_w=motor.starting_w * hp,
        hours_per_day=motor.hours_per_day,
    )
    lines = load_lines([load], Sizing(feed="240 V"))
    demand = demand_of(lines, hours_of_day(lines), Sizing())
    assert (demand.peak_running_w, demand.peak_starting_w) == (running_w, starting_w)
