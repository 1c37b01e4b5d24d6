"""US EIA, energy conversion calculators: gasoline sold in the US in 2021 held 120,238 Btu a gallon; 1 kWh is 3,412 Btu.

Read on the agency's page, found as a search result. That a small set turns a fifth of it into electricity is assumed.
"""

import pytest

from holdover.case.measure import GALLON_L
from holdover.case.schema import Recharge
from holdover.model.recharge import fuel_l

HEAT_KWH_PER_GALLON = 120_238 / 3412
"""35.24 kWh."""


def test_the_usual_fuel_per_kwh_is_a_fifth_of_the_heat() -> None:
    """At 20 % a gallon gives 7.05 kWh; the usual 0.54 l/kWh are that, to the two decimals the usual figure has."""
    usual = Recharge().fuel_l_per_kwh
    assert pytest.approx(GALLON_L / (HEAT_KWH_PER_GALLON * 0.2), abs=0.005) == usual  # its last digit


def test_a_gallon_burns_for_seven_kilowatt_hours() -> None:
    """7.05 kWh at the usual fuel per kWh take a gallon, within the rounding of 0.537 to 0.54 (1 part in 150)."""
    burnt_l = fuel_l(7.05, 1000, Recharge().fuel_l_per_kwh)
    assert burnt_l / GALLON_L == pytest.approx(1, abs=1 / 150)  # 0.54 for 0.537
