"""US Department of Energy, Estimating Appliance and Home Electronic Energy Use: the method and its worked examples.

Read in public copies of the page (a city's, and a university's course notes), found as search results.
"""

import pytest

from holdover.case.typical import table
from holdover.model.loads import energy_wh

RANGES_W = {
    "Drip coffee maker": (900, 1200), "Clothes dryer, 240 V": (1800, 5000), "Dishwasher": (1200, 2400),
    "Box or window fan": (55, 250), "Hair dryer": (1200, 1875), "Portable heater": (750, 1500), "Iron": (1000, 1800),
    "Toaster": (800, 1400), "Vacuum cleaner": (1000, 1440), "Water heater with a tank": (4500, 5500),
    "Whole-house fan": (240, 750), "Toaster oven": (1225, 1225), "Radio": (10, 10),
}  # fmt: skip
"""Typical loads and the range, or the one figure, that the page prints for them [W]."""


def test_a_window_fan_over_a_summer() -> None:
    """200 W for 4 hours a day on 120 days are 96 kWh a year (worked example)."""
    assert energy_wh(1, 200, 1, 4, None) * 120 / 1000 == 96


def test_a_computer_and_its_monitor_over_a_year() -> None:
    """(120 + 150) W for 4 hours a day on 365 days are printed as 394 kWh a year (worked example)."""
    day_wh = energy_wh(1, 120, 1, 4, None) + energy_wh(1, 150, 1, 4, None)
    assert day_wh * 365 / 1000 == pytest.approx(394, abs=0.5)  # printed in whole kWh


def test_a_refrigerator_runs_a_third_of_the_time() -> None:
    """Plugged in for 24 hours it runs 8 (rule of the page); its list has 725 W, so a day takes 5.8 kWh."""
    plugged = energy_wh(1, 725, 1 / 3, 24, None)
    assert plugged == pytest.approx(energy_wh(1, 725, 1, 8, None), rel=1e-12)  # arithmetic: exact
    assert plugged / 1000 == pytest.approx(5.8, rel=1e-12)  # arithmetic on the page's two figures


@pytest.mark.parametrize("name", RANGES_W)
def test_a_typical_draw_lies_within_the_page_s_range(name: str) -> None:
    """Loads that have not changed since; ceiling fans and televisions draw less today than the page says."""
    low, high = RANGES_W[name]
    (row,) = [row for row in table() if row.name == name]
    assert low <= row.running_w <= high
