"""Facts of the trade about charging a car from a portable unit: common practice, no document to name."""

import pytest

from holdover.case.schema import Vehicle
from holdover.model.vehicle import Inverter, Stock, vehicle_fit, vehicle_plan

DRIVE = Vehicle(
    distance=11,
    distance_unit="mi",
    consumption=4000 / 11,
    consumption_unit="Wh/mi",
    distance_margin=0,
)


def test_a_portable_120_v_charger_draws_a_little_over_1400_w() -> None:
    """Usual voltage and current of the case are those of the charger that comes with the car (common practice)."""
    assert 1400 < vehicle_plan(Vehicle()).charger_w < 1500  # "a little over": within a hundred watts


@pytest.mark.parametrize(("kwh", "packs", "end"), [(1, 0, "short"), (2, 0, "short"), (3, 0, "short"), (2, 1, "there")])
def test_on_the_nameplate_alone_only_two_and_two_kwh_make_the_drive(kwh: float, packs: int, end: str) -> None:
    """A drive of 11 miles took 4 kWh: 1, 2 and 3 kWh do not make it, 2 + 2 kWh just does (common practice)."""
    found = vehicle_fit(
        vehicle_plan(DRIVE),
        Stock(storage_wh=kwh * 1000.0, pack_wh=kwh * 1000.0, packs_max=packs, usable_per_wh=1.0),
        Inverter(inverter_efficiency=1.0, idle_w=0.0, continuous_w=2000.0, ac_volts=(120.0,)),
    )
    miles = found.nameplate_own[packs]
    assert isinstance(miles, float)
    assert miles == pytest.approx(11 * kwh * (1 + packs) / 4, rel=1e-12)
    assert ("there" if miles >= 11 - 1e-9 else "short") == end
