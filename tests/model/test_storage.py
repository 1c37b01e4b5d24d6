"""Storage, the day's draw and the packs against interpolation, counting and energy arithmetic."""

from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import USUAL_POINTS, Assumed, Candidate, Load, Point, Sizing
from holdover.model.demand import Demand, demand_of, hours_of_day
from holdover.model.loads import load_lines
from holdover.model.storage import (
    Capacity,
    Held,
    Storage,
    capacity_of,
    day_draw_wh,
    held_of,
    packs_fixed,
    packs_needed,
    point_lines,
    storage_of,
    temperature_share,
)

NO_ALLOWANCE = {"energy_margin": 0, "reserve": 0, "age_share": 1, "storage_c": 25}
STEADY = Load(name="x", running_w=100, hours_per_day=24)


def demand(*loads: Load, **sizing: object) -> Demand:
    lines = load_lines(loads, Sizing())
    return demand_of(lines, hours_of_day(lines), Sizing.model_validate(sizing))


def capacity(points: list[tuple[float | None, float | None]], **sizing: object) -> Capacity:
    chosen = Sizing.model_validate(sizing)
    rows = [Point(temperature_c=t, capacity_share=s) for t, s in points]
    return capacity_of(point_lines(rows, chosen.storage_c), chosen)


def stored(c: Candidate, *loads: Load, packs: int = 0, **sizing: object) -> tuple[Storage, Held]:
    chosen = Sizing.model_validate(sizing)
    kept = capacity_of(point_lines(USUAL_POINTS, chosen.storage_c), chosen)
    storage = storage_of(c, demand(*loads, **sizing), chosen, Assumed(), kept, packs_fixed(c, None))
    return storage, held_of(c, storage, packs, kept.kept_share, chosen.reserve)


# Temperature and age


@given(
    st.lists(
        st.tuples(st.integers(-60, 80), st.floats(0, 1.2)), min_size=1, max_size=8, unique_by=lambda point: point[0]
    ),
    st.integers(-80, 120).map(lambda n: n / 2),
    st.randoms(use_true_random=False),
)
@settings(derandomize=True, deadline=None)
def test_the_line_is_that_of_numpy_in_any_order_of_the_points(
    points: list[tuple[float | None, float | None]], storage_c: float, random: Random
) -> None:
    """Between points on the straight line, beyond them the last share, however the points are listed."""
    at, shares = zip(*sorted(points), strict=True)
    wanted = np.interp(storage_c, at, shares)
    random.shuffle(points)
    assert capacity(points, storage_c=storage_c, age_share=1).temperature_share == pytest.approx(wanted, abs=1e-9)


def test_half_a_point_is_no_point() -> None:
    """Blank and half-filled rows between the points change nothing."""
    points: list[tuple[float | None, float | None]] = [(0, 0.8), (None, 0.1), (10, None), (None, None), (20, 1.0)]
    assert capacity(points, storage_c=10).temperature_share == pytest.approx(0.9, rel=1e-12)
    assert capacity(points, storage_c=-30).lower_c == "none"


def test_no_point_at_all_is_full_capacity() -> None:
    """Without a line temperature takes nothing away."""
    assert capacity([], storage_c=-30).temperature_share == 1


def test_on_a_point_its_own_share_counts() -> None:
    """A storage temperature that is a point takes that point, without a division by nothing."""
    assert temperature_share(10, (10, 0.95), (10, 0.95)) == 0.95
    assert capacity([(0, 0.85), (10, 0.95), (25, 1)], storage_c=10).temperature_share == 0.95


def test_age_and_temperature_multiply() -> None:
    """90 % of new at 90 % for the cold keep 81 % of the nameplate."""
    assert capacity([(0, 0.8), (20, 1)], storage_c=10, age_share=0.9).kept_share == pytest.approx(0.81, rel=1e-12)


def test_the_usual_line_never_falls_with_warmth() -> None:
    """From -40 °C to 60 °C the usual share rises or stays."""
    shares = [
        capacity_of(point_lines(USUAL_POINTS, c), Sizing(storage_c=c)).kept_share for c in np.arange(-40.0, 60.5, 0.5)
    ]
    assert shares == sorted(shares)
    assert shares[0] < shares[-1]


# The day's draw: plain energy arithmetic


@pytest.mark.parametrize(("idle_w", "hours"), [(10, 2000 / (100 / 0.9 + 10)), (0, 18.0)])
def test_two_kilowatt_hours_at_100_watts(idle_w: float, hours: float) -> None:
    """2000 Wh usable at 100 W through 0.90 last 18 h, and 16.514 h where the inverter itself takes 10 W."""
    unit = Candidate(name="u", storage_wh=2000, usable_share=1, inverter_efficiency=0.9, idle_w=idle_w)
    _, held = stored(unit, STEADY, **NO_ALLOWANCE)
    assert held.runtime_h == pytest.approx(hours, rel=1e-12)
    assert held.days == pytest.approx(hours / 24, rel=1e-12)


def test_an_idle_inverter_draws_all_day() -> None:
    """10 W of idle draw alone are 240 Wh a day."""
    assert day_draw_wh(0, 0.9, 10, 24, 0, 0.92) == 240


def test_dc_loads_pass_the_inverter_by() -> None:
    """DC energy is divided by the ports' efficiency, not by the inverter's."""
    dc = Load(name="x", running_w=46, hours_per_day=10, feed="12 V DC")
    storage, _ = stored(Candidate(name="u", dc_efficiency=0.92, inverter_efficiency=0.5, idle_w=0), dc)
    assert storage.day_draw_wh == pytest.approx(500, rel=1e-12)
    assert (storage.ac_draw_wh, storage.dc_draw_wh) == (0, storage.day_draw_wh)


def test_an_inverter_switched_off_between_idles_less() -> None:
    """With AC loads in 5 clock hours, 20 W idle for 5 h in place of 24."""
    lamp = Load(name="x", running_w=10, hours_per_day=5, starts_at=18)
    unit = Candidate(name="u", idle_w=20)
    assert stored(unit, lamp)[0].idle_draw_wh == 480
    assert stored(unit, lamp, inverter="only with AC loads")[0].idle_draw_wh == 100


def test_the_parts_of_the_draw_add_up() -> None:
    """AC, idle and DC draw are the day's draw."""
    dc = Load(name="y", running_w=46, hours_per_day=10, feed="USB")
    storage, _ = stored(Candidate(name="u"), STEADY, dc)
    parts = storage.ac_draw_wh + storage.idle_draw_wh + storage.dc_draw_wh
    assert storage.day_draw_wh == pytest.approx(parts, rel=1e-12)


def test_no_draw_has_no_runtime() -> None:
    """Without loads and idle draw there is nothing to divide by, and it says so."""
    _, held = stored(Candidate(name="u", storage_wh=1000, idle_w=0))
    assert (held.runtime_h, held.days) == ("no draw", "no draw")


def test_a_silent_data_sheet_takes_the_assumed_figures_and_a_zero_is_no_silence() -> None:
    """Blank fields take what is assumed; a stated 0 W of idle draw stays 0 W."""
    silent, _ = stored(Candidate(name="u"), STEADY)
    assumed = Assumed()
    assert (silent.usable_share, silent.cycles, silent.inverter_efficiency) == (
        assumed.usable_share,
        assumed.cycles,
        assumed.inverter_efficiency,
    )
    assert (silent.idle_w, silent.dc_efficiency, silent.charge_min_c) == (assumed.idle_w, assumed.dc_efficiency, 0)
    assert stored(Candidate(name="u", idle_w=0), STEADY)[0].idle_w == 0


# What must be there, and what is


def test_what_is_needed_is_draw_times_days_and_margin() -> None:
    """1.5 days at 2400 Wh with 10 % on top are 3960 Wh."""
    unit = Candidate(name="u", inverter_efficiency=1, idle_w=0)
    storage, _ = stored(unit, STEADY, autonomy_days=1.5, energy_margin=0.1)
    assert storage.needed_wh == pytest.approx(3960, rel=1e-12)


def test_usable_is_what_usable_share_cold_age_and_reserve_leave() -> None:
    """1000 Wh, 95 % usable, 95 % at 10 °C, 90 % of new, 20 % held back: 649.8 Wh."""
    unit = Candidate(name="u", storage_wh=1000, usable_share=0.95)
    storage, held = stored(unit, STEADY, storage_c=10, age_share=0.9, reserve=0.2)
    assert held.usable_wh == pytest.approx(1000 * 0.95 * 0.95 * 0.9 * 0.8, rel=1e-12)
    assert held.full_wh - held.reserve_wh == pytest.approx(held.usable_wh, rel=1e-12)
    assert storage.usable_bare_wh == pytest.approx(held.usable_wh, rel=1e-12)


def test_packs_come_on_top_of_the_nameplate() -> None:
    """Two packs of 800 Wh on 1000 Wh are 2600 Wh, and as usable as the unit itself."""
    unit = Candidate(name="u", storage_wh=1000, pack_wh=800, packs_max=2)
    storage, held = stored(unit, STEADY, packs=2)
    assert held.nameplate_wh == 2600
    assert held.usable_wh == pytest.approx(storage.usable_most_wh, rel=1e-12)


def test_packs_fixed_by_hand_never_exceed_what_fits() -> None:
    """5 packs on a unit that takes 3 are 3; usable storage at most counts the fixed number."""
    storage, _ = stored(Candidate(name="u", storage_wh=1000, pack_wh=500, packs_max=3, packs=5), STEADY)
    assert storage.packs_limit == 3
    storage, _ = stored(Candidate(name="u", storage_wh=1000, pack_wh=500, packs_max=3, packs=1), STEADY)
    assert storage.usable_most_wh == pytest.approx(1500 * storage.per_wh, rel=1e-12)


# Packs


@given(st.integers(0, 40_000), st.integers(0, 8000), st.integers(1, 8000), st.integers(0, 12), st.integers(30, 100))
@settings(derandomize=True, deadline=None, max_examples=400)
def test_the_packs_are_the_fewest_that_hold_the_need(need: int, bare: int, pack: int, most: int, percent: int) -> None:
    """Counted up one by one in whole numbers; where even the most do not, the most."""
    enough = [n for n in range(most + 1) if (bare + n * pack) * percent >= need * 100]
    wanted = enough[0] if enough else most
    assert packs_needed(float(need), float(bare), float(pack), most, percent / 100) == wanted


@pytest.mark.parametrize("per_wh", [0.1, 0.3, 0.7, 0.7363, 0.9 * 0.95 * 0.9 * 0.9, 1 / 3, 600 / 54.5454545 / 11])
@pytest.mark.parametrize("n", range(13))
def test_a_need_that_n_packs_hold_exactly_takes_n_packs(per_wh: float, n: int) -> None:
    """No float dust adds a pack to a need that is met to the last digit, or takes one from a need just above."""
    held = (1870 + n * 1230.7) * per_wh
    assert packs_needed(held, 1870, 1230.7, 20, per_wh) == n
    assert packs_needed(held + 0.01, 1870, 1230.7, 20, per_wh) == n + 1


def test_without_packs_on_offer_there_are_none() -> None:
    """A unit that takes no packs, or packs of nothing, needs none to be counted."""
    assert packs_needed(5000, 1000, 0, 5, 0.9) == 0
    assert packs_needed(5000, 1000, 1000, 0, 0.9) == 0
    assert packs_needed(500, 1000, 1000, 5, 0.9) == 0


# What must always hold


@given(st.integers(0, 900), st.integers(300, 1000), st.integers(-40, 60), st.integers(200, 9000))
@settings(derandomize=True, deadline=None)
def test_more_reserve_age_or_cold_never_lengthens_the_runtime(
    reserve: int, age: int, storage_c: int, storage_wh: int
) -> None:
    """Every allowance takes away; none gives."""
    unit = Candidate(name="u", storage_wh=storage_wh)
    easy: dict[str, Any] = {"reserve": 0.0, "age_share": 1.0, "storage_c": 25.0}
    _, best = stored(unit, STEADY, **easy)
    for harder in ({"reserve": reserve / 1000}, {"age_share": age / 1000}, {"storage_c": float(storage_c)}):
        _, held = stored(unit, STEADY, **{**easy, **harder})
        assert float(held.runtime_h) <= float(best.runtime_h) * (1 + 1e-12)


@given(st.integers(1, 3000), st.floats(0.3, 1), st.floats(0, 200), st.floats(0.3, 1))
@settings(derandomize=True, deadline=None)
def test_the_draw_is_never_less_than_the_loads(ac_wh: int, inverter: float, idle_w: float, dc: float) -> None:
    """Losses only add, and more idle draw never lengthens the runtime."""
    draw = day_draw_wh(ac_wh, inverter, idle_w, 24, ac_wh / 2, dc)
    assert draw >= ac_wh * 1.5 * (1 - 1e-12)
    assert day_draw_wh(ac_wh, inverter, idle_w + 1, 24, ac_wh / 2, dc) > draw


def test_packs_asked_of_every_candidate_yield_to_those_of_one() -> None:
    """Two packs for all are two, but the candidate for which one pack is fixed keeps its own."""
    assert packs_fixed(Candidate(name="u"), 2) == 2
    assert packs_fixed(Candidate(name="u", packs=1), 2) == 1
    assert packs_fixed(Candidate(name="u"), None) is None
