"""Filling up again: sums by hand, words where there is no number, what must hold always."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Array, Candidate, Month, Sun
from holdover.case.schema import Recharge as Means
from holdover.model.recharge import (
    AC_UNSTATED,
    NEVER,
    NO_AC,
    NO_GENERATOR,
    NO_PRICE,
    Cells,
    Recharge,
    array_hours,
    fuel_l,
    recharge,
    refill_days,
)
from holdover.model.solar_module import module_hours
from holdover.model.strings import strings
from holdover.model.sun import sun_months

ARRAY = Array(modules=4, power_w=400, voc_v=37, vmp_v=31, isc_a=13.9, imp_a=12.9, voc_tempco=-0.0028, power_tempco=0)
"""Without a temperature coefficient a peak sun hour of one module is 340 Wh."""
fixed = settings(derandomize=True, deadline=None, max_examples=100)


def fill(
    *,
    hours: float = 4.0,
    draw_wh: float = 900.0,
    ac_charge_w: float | None = 1000.0,
    means: Means | None = None,
    unit: Candidate | None = None,
    reserve_wh: float = 200.0,
) -> Recharge:
    months = sun_months(Sun(latitude_deg=36), [Month(peak_sun_hours=hours)] * 11 + [Month(peak_sun_hours=2.0)], ARRAY)
    unit = unit or Candidate(pv_inputs=2, pv_max_v=60)
    cells = Cells(
        full_wh=2000.0,
        reserve_wh=reserve_wh,
        day_draw_wh=draw_wh,
        charge_efficiency=0.95,
        may_charge=1,
        ac_charge_w=ac_charge_w,
        ac_charge_efficiency=0.9,
        outlet_w=1440.0,
    )
    module_w = [module_hours(month, ARRAY) for month in months]
    layouts = strings(unit, ARRAY, module_w[5], coldest_c=-20, hottest_c=40)
    return recharge(cells, means or Means(), array_hours(layouts, module_w), 6, 12)


def test_an_outlet_gives_no_more_than_its_circuit_for_hours() -> None:
    """1800 Wh at 0.9 through a charger of 3 kW: 12 A at 120 V, 1440 W, fill it; one of 1200 W takes all it can."""
    assert fill(ac_charge_w=3000.0).mains_h == pytest.approx(1800 / (1440 * 0.9))
    assert fill(ac_charge_w=1200.0).mains_h == pytest.approx(1800 / (1200 * 0.9))


def test_a_peak_sun_hour_of_a_kilowatt_is_a_kilowatt_hour() -> None:
    """Four modules of 400 W at 0.85 harvest 5440 Wh from four peak sun hours and half of it from two."""
    found = fill()
    assert found.monthly_wh[:11] == pytest.approx([5440.0] * 11)
    assert found.monthly_wh[11] == pytest.approx(2720.0)
    assert sum(found.design_w) == pytest.approx(5440.0)
    assert sum(found.outage_w) == pytest.approx(2720.0)
    assert found.share_of_need[0] == pytest.approx(5440 / 900)


def test_days_to_refill() -> None:
    """The room of 1800 Wh over what is left of the harvest, times what charging keeps."""
    found = fill()
    assert found.refill_days_on == pytest.approx(1800 / ((5440 - 900) * 0.95))
    assert found.refill_days_off == pytest.approx(1800 / (5440 * 0.95))


@pytest.mark.parametrize(("draw_wh", "never"), [(5440.0, True), (6000.0, True), (5439.0, False)])
def test_never_where_the_loads_take_it_all(draw_wh: float, never: bool) -> None:
    """Where the loads take what the sun brings, or a hair less, the storage is never full again."""
    assert (fill(draw_wh=draw_wh).refill_days_on == NEVER) == never
    assert fill(draw_wh=draw_wh).refill_days_off != NEVER


def test_never_guards_against_float_dust() -> None:
    """A harvest that is above the draw by float dust only never fills."""
    assert refill_days(1000.0, 0.1 + 0.2, 0.3, 0.95) == NEVER


def test_without_sun_every_month_is_nothing() -> None:
    """A candidate without solar input harvests nothing and is never full from the sun."""
    found = fill(unit=Candidate())
    assert found.monthly_wh == (0.0,) * 12
    assert (found.refill_days_on, found.refill_days_off) == (NEVER, NEVER)
    assert found.share_of_need == (0.0,) * 12


def test_without_loads_the_share_of_need_is_told_as_nothing() -> None:
    """Where nothing is drawn there is no share to tell, and loads on or off is the same."""
    found = fill(draw_wh=0.0)
    assert found.share_of_need == (0.0,) * 12
    assert found.refill_days_on == found.refill_days_off


def test_mains() -> None:
    """1800 Wh of room at 1000 W and 0.9 are two hours."""
    assert fill().mains_h == pytest.approx(2.0)


@pytest.mark.parametrize(("ac_charge_w", "said"), [(None, AC_UNSTATED), (0.0, NO_AC)])
def test_no_charging_from_a_socket(ac_charge_w: float | None, said: str) -> None:
    """Without charging from AC neither mains nor a generator fills; a data sheet that is silent is not said to have none, nor to burn none."""
    found = fill(ac_charge_w=ac_charge_w, means=Means(generator_w=2000, fuel_price=2))
    assert (found.mains_h, found.generator_h) == (said, said)
    assert fill(ac_charge_w=ac_charge_w, means=Means()).generator_h == NO_GENERATOR
    assert (found.generator_w_used, found.generator_fuel_l, found.generator_cost) == (0.0, said, said)


@pytest.mark.parametrize(("generator_w", "used_w"), [(500.0, 500.0), (1000.0, 1000.0), (3000.0, 1000.0)])
def test_generator_is_used_as_far_as_the_charger_takes_it(generator_w: float, used_w: float) -> None:
    """The smaller of generator and charger counts; fuel follows energy, cost follows fuel."""
    found = fill(means=Means(generator_w=generator_w, fuel_l_per_kwh=0.5, fuel_price=2.0))
    assert found.generator_w_used == used_w
    assert found.generator_h == pytest.approx(1800 / (used_w * 0.9))
    assert found.generator_fuel_l == pytest.approx(1.0)  # 2 kWh at the outlet, whatever the power
    assert found.generator_cost == pytest.approx(2.0)


def test_no_generator() -> None:
    """Without a generator a word stands for the hours, the fuel and its cost."""
    found = fill()
    assert {found.generator_h, found.generator_fuel_l, found.generator_cost} == {NO_GENERATOR}


def test_fuel_without_a_price_is_not_free() -> None:
    """Nobody stated what fuel costs: the cost is not stated."""
    assert fill(means=Means(generator_w=900, fuel_price=0)).generator_cost == NO_PRICE


def test_usual_fuel_against_heat_content() -> None:
    """The usual 0.54 l/kWh is petrol of 120238 Btu/gal (EIA) burnt at 20 % (assumed): 7.05 kWh/gal."""
    litres_a_gallon = 3.785411784
    assert litres_a_gallon / fuel_l(1.0, 1000.0, Means().fuel_l_per_kwh) == pytest.approx(7.05, abs=0.05)


def test_the_input_s_limit_cuts_the_hours() -> None:
    """No hour of any month is above the limit of the inputs."""
    unit = Candidate(pv_inputs=2, pv_max_v=60, pv_input_w=150)
    found = fill(unit=unit)
    assert max(found.design_w) == 300
    assert max(*found.design_w, *found.outage_w) <= 300
    assert found.monthly_wh[0] < 5440


@fixed
@given(st.floats(0, 12), st.floats(0, 20_000), st.floats(0, 1900))
def test_loads_never_speed_up_a_refill(hours: float, draw_wh: float, reserve_wh: float) -> None:
    """With the loads on the refill takes at least as long as with them off, and no number is negative."""
    found = fill(hours=hours, draw_wh=draw_wh, reserve_wh=reserve_wh)
    on, off = (inf if isinstance(d, str) else d for d in (found.refill_days_on, found.refill_days_off))
    assert on >= off >= 0
    assert min(*found.monthly_wh, *found.share_of_need, *found.design_w) >= 0


def test_cells_too_cold_are_filled_by_nothing() -> None:
    """Below the lowest charging temperature neither sun nor outlet nor generator fills storage."""
    from holdover.case.schema import Candidate, Case, Load, Recharge, Sizing
    from holdover.model.study import study

    unit = Candidate(name="u", storage_wh=2000, continuous_w=900, surge_w=900, ac_charge_w=500, charge_min_c=0)
    case = Case(
        loads=(Load(name="Lamp", running_w=10, hours_per_day=5),),
        candidates=(unit,),
        sizing=Sizing(storage_c=-0.5),
        recharge=Recharge(generator_w=900),
    )
    told = study(case).offers[0].recharge
    assert {told.refill_days_on, told.refill_days_off, told.mains_h, told.generator_h} == {"too cold to charge"}
    assert {told.generator_fuel_l, told.generator_cost} == {"too cold to charge"}
    warm = study(case.model_copy(update={"sizing": Sizing(storage_c=0)})).offers[0].recharge
    assert isinstance(warm.mains_h, float)


def test_the_hours_told_are_those_of_the_month_designed_for_and_of_the_outage() -> None:
    """An array that gives 1 W in every hour of January, 2 W in February and so on."""
    cells = Cells(
        full_wh=2000, reserve_wh=200, day_draw_wh=900, charge_efficiency=0.95, may_charge=1, ac_charge_w=None,
        ac_charge_efficiency=0.9, outlet_w=1440,
    )  # fmt: skip
    found = recharge(cells, Means(), [[float(month)] * 24 for month in range(1, 13)], 12, 6)
    assert (set(found.design_w), set(found.outage_w)) == ({12.0}, {6.0})
