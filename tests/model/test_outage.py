"""The outage against arithmetic and against what must always hold."""

from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.model.inflow import OUTAGE_HOURS, generator_by_clock
from holdover.model.outage import OutageRun, Supply, TierDay, run_outage, state_after_wh, wasted_wh

DAY = (0.0,) * 24
DARK = [0.0] * OUTAGE_HOURS
NONE = TierDay(ac_wh=DAY, dc_wh=DAY)
IDEAL = Supply(
    full_wh=1000,
    reserve_wh=0,
    inverter_efficiency=1,
    idle_w=0,
    dc_efficiency=1,
    charge_efficiency=1,
    may_charge=True,
)
USUAL = Supply(
    full_wh=4000,
    reserve_wh=400,
    inverter_efficiency=0.9,
    idle_w=15,
    dc_efficiency=0.92,
    charge_efficiency=0.95,
    may_charge=True,
)
PLAIN: dict[str, Any] = {
    "days": 3,
    "starts_at": 0,
    "start_share": 1.0,
    "drop_convenience_at": 0.0,
    "drop_essential_at": 0.0,
    "inverter_always_on": True,
    "sun_wh": DARK,
    "generator_wh": DAY,
}
SHEDDING = {"drop_convenience_at": 0.5, "drop_essential_at": 0.25}


def ac(watts: float) -> TierDay:
    return TierDay(ac_wh=(watts,) * 24, dc_wh=DAY)


def tiers(critical: TierDay = NONE, essential: TierDay = NONE, convenience: TierDay = NONE) -> dict[str, TierDay]:
    return {"critical": critical, "essential": essential, "convenience": convenience}


def run(supply: Supply, drawn: dict[str, TierDay], **changed: Any) -> OutageRun:
    return run_outage(supply, drawn, **{**PLAIN, **changed})


# Arithmetic


def test_losses_and_idle_draw_shorten_a_steady_load_as_the_closed_form_says() -> None:
    """2000 Wh usable, 100 W AC, inverter 0.90, idle 10 W: 2000/(100/0.9 + 10) = 16.514 h."""
    supply = replace(IDEAL, full_wh=2000, inverter_efficiency=0.9, idle_w=10)
    assert run(supply, tiers(ac(100))).endurance_h == pytest.approx(16.514, abs=1e-3)  # last digit of the hand sum


def test_without_idle_draw_the_same_load_lasts_eighteen_hours() -> None:
    """2000 Wh usable, 100 W AC, inverter 0.90: 18 h, a whole number of hours that rounding must not break."""
    supply = replace(IDEAL, full_wh=2000, inverter_efficiency=0.9)
    assert run(supply, tiers(ac(100))).endurance_h == pytest.approx(18, rel=1e-12)


def test_the_idle_draw_alone_is_240_wh_a_day() -> None:
    """10 W for 24 h take 240 Wh out of storage though no load runs."""
    idle = run(replace(IDEAL, idle_w=10), tiers(), days=1)
    assert (idle.idle_wh, idle.demand_wh, idle.hours[23].state_wh) == (240, 240, 760)


@pytest.mark.parametrize("watts", [30, 70, 90, 110, 333, 999])
@pytest.mark.parametrize("reserve_wh", [0, 100])
@pytest.mark.parametrize("start_share", [1.0, 0.62])
def test_a_steady_load_without_sun_ends_when_division_says(watts: int, reserve_wh: float, start_share: float) -> None:
    """In whole and in broken hours the end is what is above the reserve over the load."""
    supply = replace(IDEAL, reserve_wh=reserve_wh)
    steady = run(supply, tiers(ac(watts)), start_share=start_share)
    assert steady.endurance_h == pytest.approx((1000 * start_share - reserve_wh) / watts, rel=1e-12)


def test_an_hour_that_ends_exactly_at_the_reserve_is_a_served_hour() -> None:
    """900 Wh above the reserve at 100 W: nine hours are whole, the tenth has nothing."""
    steady = run(replace(IDEAL, reserve_wh=100), tiers(ac(100)))
    assert steady.endurance_h == 9
    assert [h.served_share for h in steady.hours[7:10]] == [1, 1, 0]


def test_an_outage_that_is_outlasted_counts_its_whole_length() -> None:
    """With nothing unserved the endurance is the outage itself."""
    assert run(replace(IDEAL, full_wh=1e6), tiers(ac(100)), days=14).endurance_h == 336


def test_dust_in_the_last_bit_is_no_shortage() -> None:
    """0.1 Wh taken ten times from 1 Wh leaves dust in binary; the tenth hour is served."""
    tenths = run(replace(IDEAL, full_wh=1), tiers(ac(0.1)))
    assert tenths.endurance_h == pytest.approx(10, abs=1e-9)


def test_dc_loads_pass_by_the_inverter() -> None:
    """92 W at a DC port of 0.92 take 100 W out of storage, whatever the inverter's efficiency."""
    port = tiers(TierDay(ac_wh=DAY, dc_wh=(92.0,) * 24))
    supply = replace(USUAL, idle_w=0, inverter_efficiency=0.5, reserve_wh=0, full_wh=1000)
    assert run(supply, port).endurance_h == pytest.approx(10, rel=1e-12)


# Rules


def test_a_start_below_the_reserve_stays_there_and_what_lacks_to_the_reserve_is_not_counted() -> None:
    """At 5 % with a reserve of 10 % every draw is unserved, nothing more, and the state keeps."""
    low = run(replace(IDEAL, reserve_wh=100), tiers(ac(40)), start_share=0.05, days=1)
    assert low.endurance_h == 0
    assert low.unserved_wh == pytest.approx(24 * 40, rel=1e-12)
    assert {h.state_wh for h in low.hours} == {50}


def test_after_the_end_nothing_happens() -> None:
    """There are always 336 rows; those after the last day are inactive and keep the state."""
    short = run(USUAL, tiers(ac(100)), days=2, sun_wh=[50.0] * OUTAGE_HOURS, generator_wh=(20.0,) * 24)
    rest = short.hours[48:]
    assert len(short.hours) == 336
    assert [h.t for h in short.hours] == list(range(336))
    assert {h.state_wh for h in rest} == {h.state_before_wh for h in rest} == {short.hours[47].state_wh}
    assert {h.served_share for h in rest} == {1}
    assert {(h.out_h, h.plot_h) for h in rest} == {("", 48)}
    counted = {"t", "day", "clock", "state_before_wh", "state_wh", "served_share", "out_h", "plot_h"}
    assert {getattr(h, f.name) for h in rest for f in fields(h) if f.name not in counted} == {0}


def test_days_count_from_the_start_and_hours_from_midnight() -> None:
    """An outage from 18:00 has its second day from the next 18:00; the clock goes over midnight."""
    evening = run(USUAL, tiers(), starts_at=18)
    assert [(h.t, h.day, h.clock) for h in evening.hours[:25:6]] == [
        (0, 1, 18),
        (6, 1, 0),
        (12, 1, 6),
        (18, 1, 12),
        (24, 2, 18),
    ]


def test_a_tier_stays_on_exactly_at_its_share_and_drops_just_below() -> None:
    """Convenience loads at 50 %: the hour that starts with 500 of 1000 Wh still runs them, the next does not."""
    shed = run(IDEAL, tiers(critical=ac(50), convenience=ac(50)), drop_convenience_at=0.5, drop_essential_at=0.25)
    assert [h.convenience_on for h in shed.hours[4:7]] == [1, 1, 0]
    assert [h.state_before_wh for h in shed.hours[4:7]] == [600, 500, 400]
    assert [h.ac_wh for h in shed.hours[4:7]] == [100, 100, 50]


def test_critical_loads_are_never_shed() -> None:
    """With both shares at 100 % the other tiers run one hour, the critical one to the end."""
    bare = run(IDEAL, tiers(ac(10), ac(20), ac(30)), days=1, drop_convenience_at=1, drop_essential_at=1)
    assert [h.ac_wh for h in bare.hours[:24]] == [60] + [10] * 23
    assert (bare.convenience_off_h, bare.essential_off_h) == (23, 23)


def test_shedding_is_off_at_a_share_of_nothing() -> None:
    """Shares of 0 keep every tier on in empty storage too, so the run is that of one critical tier."""
    together, apart = run(IDEAL, tiers(ac(60))), run(IDEAL, tiers(ac(10), ac(20), ac(30)))
    assert together.unserved_wh == apart.unserved_wh > 0
    assert apart.convenience_off_h == apart.essential_off_h == 0


def test_shed_tiers_come_back_with_the_sun() -> None:
    """What is dropped in the night is on again once the state is above its share."""
    sun = [0.0] * 8 + [300.0] * 8 + [0.0] * (OUTAGE_HOURS - 16)
    back = run(IDEAL, tiers(ac(50), convenience=ac(50)), sun_wh=sun, days=1, drop_convenience_at=0.5)
    on = "".join(str(h.convenience_on) for h in back.hours[:24])
    assert on == "1" * 6 + "0" * 3 + "1" * 13 + "0" * 2


def test_the_inverter_rests_where_no_ac_load_is_left_on() -> None:
    """Switched by its loads it draws idle power in the hours of AC load only, and not when that load is shed."""
    evening = TierDay(ac_wh=(0.0,) * 18 + (100.0, 100.0, 100.0, 0.5) + (0.0,) * 2, dc_wh=(5.0,) * 24)
    supply = replace(IDEAL, idle_w=10)
    by_load = run(supply, tiers(convenience=evening), days=2, inverter_always_on=False)
    assert [h.clock for h in by_load.hours if h.inverter_on] == [18, 19, 20, 21] * 2
    assert by_load.idle_wh == 80
    shed = run(supply, tiers(convenience=evening), days=2, inverter_always_on=False, drop_convenience_at=0.6)
    assert [h.t for h in shed.hours if h.inverter_on] == [18, 19, 20]
    always = run(supply, tiers(convenience=evening), days=2)
    assert always.idle_wh == 480


def test_cold_cells_run_loads_from_the_sun_but_store_nothing() -> None:
    """Below the lowest charging temperature the surplus is wasted and a draw is served as ever."""
    sun = [100.0] * 6 + [0.0] * (OUTAGE_HOURS - 6)
    cold = run(replace(IDEAL, may_charge=False), tiers(ac(40)), sun_wh=sun, start_share=0.5, days=1)
    assert {h.stored_wh for h in cold.hours} == {0}
    assert [h.state_wh for h in cold.hours[:8]] == [500] * 6 + [460, 420]
    assert cold.wasted_wh == 360
    assert cold.used_wh == 240


def test_a_state_above_full_is_never_pushed_down_by_a_surplus() -> None:
    """Should storage hold more than full, a surplus leaves it alone and is wasted."""
    assert state_after_wh(1100, 50, 1000, 100, 0.9, may_charge=True) == 1100
    assert wasted_wh(1100, 50, 1000, 0.9, may_charge=True) == 50


def test_the_lowest_state_counts_the_start_and_nothing_after_the_end() -> None:
    """A state that only rises is lowest at the start; without storage the share is 0."""
    rising = run(IDEAL, tiers(), sun_wh=[10.0] * OUTAGE_HOURS, start_share=0.3, days=1)
    assert (rising.lowest_wh, rising.lowest_share) == (300, 0.3)
    assert run(replace(IDEAL, full_wh=0), tiers(ac(1)), days=1).lowest_share == 0


def test_what_if_loads_double_is_the_case_with_doubled_loads() -> None:
    """The factor on loads leaves idle draw and sun alone."""
    once = tiers(ac(40), TierDay(ac_wh=DAY, dc_wh=(20.0,) * 24), ac(7))
    twice = tiers(ac(80), TierDay(ac_wh=DAY, dc_wh=(40.0,) * 24), ac(14))
    sun = [30.0] * OUTAGE_HOURS
    assert run(USUAL, once, sun_wh=sun, scale=2, **SHEDDING) == run(USUAL, twice, sun_wh=sun, **SHEDDING)


def test_the_generator_stores_its_ac_energy_times_the_ac_charge_efficiency() -> None:
    """3 h of 600 W through a charger of 0.9 store 1620 Wh, whatever the solar charge efficiency."""
    for charge_efficiency in (0.85, 0.95, 1.0):
        window = generator_by_clock(2000, 600, 0.9, charge_efficiency, 6.5, 3)
        supply = replace(IDEAL, full_wh=5000, charge_efficiency=charge_efficiency)
        charged = run(supply, tiers(), generator_wh=window, start_share=0, days=1)
        assert charged.hours[23].state_wh == pytest.approx(1620, rel=1e-12)


# What must always hold

watts = st.integers(0, 400).map(float)
days_of_watts = st.tuples(*[watts] * 8).map(lambda eight: tuple(w for w in eight for _ in range(3)))
tier_days = st.builds(TierDay, ac_wh=days_of_watts, dc_wh=days_of_watts)
shares = st.integers(0, 100).map(lambda n: n / 100)
efficiencies = st.integers(50, 100).map(lambda n: n / 100)


@st.composite
def supplies(draw: st.DrawFn) -> Supply:
    full = float(draw(st.integers(0, 20_000)))
    return Supply(
        full_wh=full,
        reserve_wh=full * draw(st.integers(0, 40)) / 100,
        inverter_efficiency=draw(efficiencies),
        idle_w=float(draw(st.integers(0, 40))),
        dc_efficiency=draw(efficiencies),
        charge_efficiency=draw(efficiencies),
        may_charge=draw(st.booleans()),
    )


cases = st.fixed_dictionaries(
    {
        "days": st.integers(1, 4),
        "starts_at": st.integers(0, 23),
        "start_share": shares,
        "drop_convenience_at": shares,
        "drop_essential_at": shares,
        "inverter_always_on": st.booleans(),
        "sun_wh": days_of_watts.map(lambda day: [4 * w for w in day] * 14),
        "generator_wh": days_of_watts,
    }
)
loads = st.builds(tiers, tier_days, tier_days, tier_days)
searched = settings(derandomize=True, deadline=None, max_examples=40)


@given(supplies(), loads, cases)
@searched
def test_energy_balances_in_each_hour(supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any]) -> None:
    """Storage changes by what is stored less what it serves; sun and generator are used, stored or wasted."""
    for h in run(supply, drawn, **case).hours:
        inflow = h.sun_wh + h.generator_wh
        direct = min(inflow, h.demand_wh)
        from_storage = h.demand_wh - direct - h.unserved_wh
        size = max(1.0, inflow, h.demand_wh, h.state_before_wh)
        assert h.state_wh - h.state_before_wh == pytest.approx(h.stored_wh - from_storage, abs=1e-9 * size)
        assert inflow == pytest.approx(
            direct + h.stored_wh / supply.charge_efficiency + h.wasted_wh, rel=1e-9, abs=1e-9 * size
        )
        assert min(h.stored_wh, h.wasted_wh, h.unserved_wh) >= 0
        assert from_storage >= -1e-9 * size
        assert 0 <= h.state_wh <= supply.full_wh
        assert h.state_wh >= min(h.state_before_wh, supply.reserve_wh)


@given(supplies(), loads, cases)
@searched
def test_energy_balances_over_the_outage(supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any]) -> None:
    """End less start is charge efficiency times inflow kept, less loads and idle draw through their losses."""
    whole = run(supply, drawn, **case)
    hours = whole.hours
    out_ac = sum(h.ac_wh for h in hours) / supply.inverter_efficiency
    out_dc = sum(h.dc_wh for h in hours) / supply.dc_efficiency
    assert whole.demand_wh == pytest.approx(out_ac + out_dc + whole.idle_wh, rel=1e-9)
    charge_loss = sum(h.stored_wh for h in hours) * (1 / supply.charge_efficiency - 1)
    change = hours[-1].state_wh - hours[0].state_before_wh
    balance = whole.used_wh - charge_loss - (whole.demand_wh - whole.unserved_wh)
    size = max(1.0, whole.sun_wh + whole.generator_wh, whole.demand_wh)
    assert change == pytest.approx(balance, abs=1e-9 * size)
    assert whole.used_wh + whole.wasted_wh == pytest.approx(whole.sun_wh + whole.generator_wh, rel=1e-9)


@given(loads, cases, st.integers(0, 20_000))
@searched
def test_without_losses_what_is_served_wasted_and_kept_is_the_sun(
    drawn: dict[str, TierDay], case: dict[str, Any], full_wh: int
) -> None:
    """With every efficiency 1 and no idle draw: served + wasted + rise of storage = sun and generator."""
    whole = run(replace(IDEAL, full_wh=float(full_wh)), drawn, **case)
    served = sum(h.ac_wh + h.dc_wh for h in whole.hours) - whole.unserved_wh
    rise = whole.hours[-1].state_wh - whole.hours[0].state_before_wh
    assert served + whole.wasted_wh + rise == pytest.approx(whole.sun_wh + whole.generator_wh, rel=1e-9, abs=1e-6)


@given(supplies(), loads, cases)
@searched
def test_twice_the_watts_and_watt_hours_are_twice_the_energies(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any]
) -> None:
    """Doubling every power and energy doubles every energy and leaves hours and shares alone."""
    double = replace(supply, full_wh=2 * supply.full_wh, reserve_wh=2 * supply.reserve_wh, idle_w=2 * supply.idle_w)
    flow = {"sun_wh": [2 * w for w in case["sun_wh"]], "generator_wh": [2 * w for w in case["generator_wh"]]}
    one, two = run(supply, drawn, **case), run(double, drawn, **{**case, **flow}, scale=2)
    assert two.endurance_h == pytest.approx(one.endurance_h, rel=1e-9)
    assert two.lowest_share == one.lowest_share
    for name in ("unserved_wh", "lowest_wh", "demand_wh", "idle_wh", "sun_wh", "wasted_wh", "used_wh"):
        assert getattr(two, name) == pytest.approx(2 * getattr(one, name), rel=1e-9)


# More of a good thing. Without shedding this is provable: A = state − reserve follows
# A' = min(room, A + net·efficiency) or max(min(A, 0), A + net), both of which rise with A and with net,
# and what is unserved falls with both. A larger unit also raises the reserve, so A rises with its size only
# where the start is not below the reserve.

SLACK = 1e-6  # Wh or h over 336 sums of numbers of at most 1e5: rounding only


def not_worse(better: OutageRun, worse: OutageRun) -> None:
    assert better.unserved_wh <= worse.unserved_wh + SLACK
    assert better.endurance_h >= worse.endurance_h - SLACK


@given(supplies(), loads, cases, st.integers(100, 300))
@searched
def test_without_shedding_more_storage_never_serves_less(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any], percent: int
) -> None:
    """A unit larger by any factor, started at or above its reserve, leaves no more unserved and lasts as long."""
    larger = replace(supply, full_wh=supply.full_wh * percent / 100, reserve_wh=supply.reserve_wh * percent / 100)
    reserve = supply.reserve_wh / supply.full_wh if supply.full_wh else 0
    plain = {**case, "drop_convenience_at": 0, "drop_essential_at": 0, "start_share": max(case["start_share"], reserve)}
    not_worse(run(larger, drawn, **plain), run(supply, drawn, **plain))


def test_more_storage_started_below_its_reserve_has_the_deeper_hole_to_fill() -> None:
    """Empty at the start and with a reserve of 10 %, the larger unit serves later: the restriction is needed."""
    sun = [100.0] * 3 + [0.0] * (OUTAGE_HOURS - 3)
    load = tiers(TierDay(ac_wh=(0.0,) * 3 + (50.0,) * 21, dc_wh=DAY))
    small, large = (
        run(replace(IDEAL, full_wh=full, reserve_wh=full / 10), load, sun_wh=sun, start_share=0, days=1)
        for full in (1000, 2000)
    )
    assert (small.endurance_h, large.endurance_h) == (7, 5)


@given(supplies(), loads, cases, st.integers(100, 300))
@searched
def test_without_shedding_more_load_is_never_served_longer(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any], percent: int
) -> None:
    """Loads raised by any factor leave no less unserved and do not last longer."""
    plain = {**case, "drop_convenience_at": 0, "drop_essential_at": 0}
    not_worse(run(supply, drawn, **plain), run(supply, drawn, **plain, scale=percent / 100))


@given(supplies(), loads, cases, st.integers(0, 100))
@searched
def test_without_shedding_more_idle_draw_never_lengthens(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any], extra_w: int
) -> None:
    """A larger idle draw leaves no less unserved and does not last longer."""
    plain = {**case, "drop_convenience_at": 0, "drop_essential_at": 0}
    not_worse(run(supply, drawn, **plain), run(replace(supply, idle_w=supply.idle_w + extra_w), drawn, **plain))


@given(supplies(), loads, cases, days_of_watts)
@searched
def test_without_shedding_more_sun_never_serves_less(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any], extra: tuple[float, ...]
) -> None:
    """Sun added in any hours leaves no more unserved and lasts as long."""
    plain = {**case, "drop_convenience_at": 0, "drop_essential_at": 0}
    more = [s + e for s, e in zip(case["sun_wh"], extra * 14, strict=True)]
    not_worse(run(supply, drawn, **{**plain, "sun_wh": more}), run(supply, drawn, **plain))


@given(supplies(), loads, cases)
@searched
def test_shedding_lies_between_everything_on_and_critical_alone(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any]
) -> None:
    """Shedding never lasts shorter than no shedding, and never longer than the critical loads by themselves."""
    shed = run(supply, drawn, **case)
    not_worse(shed, run(supply, drawn, **{**case, "drop_convenience_at": 0, "drop_essential_at": 0}))
    not_worse(run(supply, tiers(drawn["critical"]), **case), shed)


def test_with_shedding_more_storage_can_end_sooner() -> None:
    """100 W critical and 500 W convenience, dropped below 50 %: 1000 Wh last 5 h, 1200 Wh last 2 h.

    The larger unit stands exactly at its share after an hour and so runs everything for another; 100 Wh of sun do the
    same to the smaller one. Decided once an hour, shedding breaks what is proved above without it.
    """
    drawn = tiers(critical=ac(100), convenience=ac(500))
    small, large = (run(replace(IDEAL, full_wh=full), drawn, drop_convenience_at=0.5) for full in (1000, 1200))
    assert (small.endurance_h, large.endurance_h) == (5, 2)
    sunny = run(IDEAL, drawn, drop_convenience_at=0.5, sun_wh=[100.0] + [0.0] * (OUTAGE_HOURS - 1))
    assert sunny.endurance_h == pytest.approx(1 + 5 / 6, rel=1e-12)


# What the sheet and its chart show of an hour


@given(supplies(), loads, cases)
@searched
def test_the_first_moment_of_giving_out_is_the_endurance(
    supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any]
) -> None:
    """`out_h` holds a moment in the hours with unserved energy alone, and its least is the endurance."""
    whole = run(supply, drawn, **case)
    moments = [h.out_h for h in whole.hours if isinstance(h.out_h, float | int)]
    assert whole.endurance_h == min(moments, default=24 * case["days"])
    assert len(moments) == sum(h.unserved_wh > 1e-6 for h in whole.hours)
    assert [h.plot_h for h in whole.hours] == [min(t, 24 * case["days"]) for t in range(1, 337)]


@given(supplies(), loads, cases)
@searched
def test_one_number_tells_both_switches(supply: Supply, drawn: dict[str, TierDay], case: dict[str, Any]) -> None:
    """4 all on, 3 convenience shed, 2 essential shed, 1 both, 0 after the end."""
    told = {(1, 1, 1): 4, (1, 1, 0): 3, (1, 0, 1): 2, (1, 0, 0): 1, (0, 0, 0): 0}
    for h in run(supply, drawn, **case).hours:
        assert h.kept == told[h.active, h.essential_on, h.convenience_on]
