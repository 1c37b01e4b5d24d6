"""A rural electric cooperative's page on generator sizing (hoecoop.org/generatorsizing), found as a search result.

Its rule: add up what runs at the same time, and where a start rating is higher than the run rating, take that one.
Its chart states the whole draw at start, not what is added to running.
"""

import pytest

from holdover.case.schema import Load, Sizing
from holdover.model.demand import Demand, demand_of, hours_of_day
from holdover.model.loads import load_lines, step_w


def demand(*loads: Load) -> Demand:
    lines = load_lines(loads, Sizing())
    return demand_of(lines, hours_of_day(lines), Sizing())


def on(name: str, running_w: float, starting_w: float | None = None) -> Load:
    return Load(name=name, running_w=running_w, starting_w=starting_w, hours_per_day=24)


def test_the_sum_of_the_page() -> None:
    """A 100 W bulb, a 200 W cooker, a 1,200 W refrigerator that starts at 2,900 W and a 750 W TV ask for 3,950 W."""
    found = demand(on("bulb", 100), on("cooker", 200), on("refrigerator", 1200, 2900), on("TV", 750))
    assert found.peak_start_one_w == 3950
    assert found.peak_start_all_w == 3950  # one motor: one start and all starts are the same


@pytest.mark.parametrize(
    ("name", "running_w", "starting_w"),
    [
        ("refrigerator/freezer", 500, 750),
        ("small refrigerator", 500, 2000),
        ("freezer, frost free, 24 cu. ft.", 720, 1890),
        ("furnace fan", 1100, 2000),
        ("sump pump, 1/3 hp", 800, 1250),
        ("clothes washer", 1150, 2200),
        ("garage door opener, 1/4 hp", 550, 1000),
        ("blender", 375, 500),
        ("heater, kerosene", 500, 725),
        ("air source heat pump, 3 ton", 5400, 7200),
        ("ground source heat pump, 3 ton", 3000, 5000),
    ],
)
def test_a_start_rating_takes_the_place_of_the_run_rating(name: str, running_w: float, starting_w: float) -> None:
    """Alone, each appliance of the chart asks for its start rating; beside 100 W of lamps, for 100 W more."""
    assert running_w + step_w(running_w, starting_w) == starting_w
    assert demand(on(name, running_w, starting_w)).peak_start_one_w == starting_w
    assert demand(on(name, running_w, starting_w), on("lamps", 100)).peak_start_one_w == starting_w + 100


def test_by_the_page_everything_starts_together() -> None:
    """Taking every start rating, as the page does for more than one motor, is this model's start of all together."""
    found = demand(on("refrigerator", 500, 750), on("sump pump", 800, 1250), on("bulb", 50))
    assert found.peak_start_all_w == 750 + 1250 + 50
    assert found.peak_start_one_w <= found.peak_start_all_w
