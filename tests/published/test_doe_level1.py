"""US DOE, Vehicle Technologies Office, report on level 1 charging at the workplace (July 2016), as found in a
search result: 2 to 5 miles of range for an hour of level 1. The rest is arithmetic at the outlet."""

import pytest

from holdover.case.schema import Vehicle
from holdover.model.vehicle import outlet_wh_per_km, vehicle_plan

LABEL = Vehicle(
    distance=40,
    distance_unit="mi",
    consumption=30,
    consumption_unit="kWh/100 mi",
    consumption_at="outlet",
    distance_margin=0,
)


def test_an_hour_of_level_1_brings_2_to_5_miles() -> None:
    """The usual car at the usual charger, of which nothing is stated but the way, gains as much as was published."""
    plan = vehicle_plan(Vehicle(distance=40, distance_unit="mi", distance_margin=0))
    assert 2 <= 40 / plan.charging_h <= 5


@pytest.mark.parametrize(("amperes", "hours"), [(12, 8.33), (16, 6.25)])  # arithmetic: 12 kWh over 1.44 and 1.92 kW
def test_forty_miles_take_a_night(amperes: float, hours: float) -> None:
    """40 mi at 30 kWh/100 mi are 12.0 kWh at the outlet."""
    plan = vehicle_plan(LABEL.model_copy(update={"charger_a": float(amperes)}))
    assert plan.needed_outlet_wh == pytest.approx(12_000, rel=1e-12)
    assert plan.charging_h == pytest.approx(hours, abs=0.005)
    assert outlet_wh_per_km(plan.consumption_wh_per_km, "outlet", 0.84) == plan.outlet_wh_per_km
