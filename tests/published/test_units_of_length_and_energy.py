"""International Yard and Pound agreement (1959), from memory: a mile is 1.609344 km exactly. scipy.constants, opened by
the test, is the second voice. Consumption in all its units is arithmetic on it."""

import pytest
from scipy import constants

from holdover.case.schema import ConsumptionUnit
from holdover.model.vehicle import KM_PER_MILE, consumption_wh_per_km, distance_km


def test_a_mile_is_that_of_the_table_of_constants() -> None:
    """scipy.constants holds the mile in metres, from inch and yard."""
    assert pytest.approx(constants.mile / 1000, rel=1e-14) == KM_PER_MILE
    assert distance_km(1, "mi") == 1.609344


@pytest.mark.parametrize(
    ("consumption", "unit", "last_digit"),
    [
        (30, "kWh/100 mi", 0),
        (300, "Wh/mi", 0),
        (3.3333, "mi/kWh", 1e-4),
        (18.641, "kWh/100 km", 1e-3),
        (5.3645, "km/kWh", 1e-4),
    ],  # arithmetic on the definition of the mile, to the digits shown
)
def test_thirty_kwh_on_a_hundred_miles_told_five_ways(
    consumption: float, unit: ConsumptionUnit, last_digit: float
) -> None:
    """Each told figure, off by its last digit at most, is 30 kWh/100 mi; joules and metres say the same."""
    joules_per_metre = 30 * constants.kilo * constants.hour / (100 * constants.mile)
    expected = joules_per_metre / constants.hour * constants.kilo
    assert consumption_wh_per_km(consumption, unit) == pytest.approx(expected, rel=max(last_digit / consumption, 1e-12))
