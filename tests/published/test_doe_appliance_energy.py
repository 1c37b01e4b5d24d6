"""US Department of Energy, Estimating Appliance and Home Electronic Energy Use: the method and its worked examples.

Read in public copies of the page (a city's, and a university's course notes), found as search results.
"""

import pytest

from holdover.model.loads import energy_wh


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
