"""US EPA, miles per gallon of gasoline equivalent: 1 gallon is 33.7 kWh. As quoted in an encyclopedia and in the
trade press; the rule itself was not opened. A label's kWh/100 mi are counted at the outlet."""

import pytest

from holdover.model.vehicle import consumption_wh_per_km

KWH_PER_GALLON = 33.7  # EPA, as quoted


@pytest.mark.parametrize(
    ("mpge", "kwh_per_100_mi"),
    [(100, 33.70), (112, 30.09), (120, 28.08)],  # 3370/MPGe, arithmetic on the definition
)
def test_miles_per_gallon_equivalent_and_kwh_per_100_miles_are_one_consumption(
    mpge: float, kwh_per_100_mi: float
) -> None:
    """A car of so many MPGe goes MPGe/33.7 miles on a kWh; both ways of telling it give the same Wh/km."""
    per_kwh = consumption_wh_per_km(mpge / KWH_PER_GALLON, "mi/kWh")
    per_100 = consumption_wh_per_km(kwh_per_100_mi, "kWh/100 mi")
    last_digit = consumption_wh_per_km(0.01, "kWh/100 mi")
    assert per_kwh == pytest.approx(per_100, abs=last_digit)
