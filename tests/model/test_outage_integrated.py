"""The outage against an integrator that knows no hourly sums: an ODE solver with events at full and reserve."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

import pytest
from scipy.integrate import quad, solve_ivp

from holdover.model.inflow import OUTAGE_HOURS, generator_by_clock, sun_by_hour
from holdover.model.outage import OutageRun, Supply, TierDay, run_outage

DAY = (0.0,) * 24
NONE = TierDay(ac_wh=DAY, dc_wh=DAY)


def run(supply: Supply, critical: TierDay, **case: Any) -> OutageRun:
    plain = {"starts_at": 0, "sun_wh": [0.0] * OUTAGE_HOURS, "generator_wh": DAY}
    return run_outage(
        supply,
        {"critical": critical, "essential": NONE, "convenience": NONE},
        drop_convenience_at=0,
        drop_essential_at=0,
        inverter_always_on=True,
        **{**plain, **case},
    )


def integrated(
    supply: Supply,
    power_in: Callable[[float], float],
    power_out: Callable[[float], float],
    start_wh: float,
    hours: int,
    breaks: Sequence[float],
) -> tuple[list[float], float, float]:
    """State at each hour's end, moment of the first shortage, unserved energy; walls are found as events."""
    state, first, unserved, ends = start_wh, float(hours), 0.0, []
    for left, right in pairwise(sorted({*range(hours + 1), *breaks})):
        middle = (left + right) / 2
        net = quad(lambda t: power_in(t) - power_out(t), left, right)[0] / (right - left)
        slope = net * supply.charge_efficiency if net >= 0 else net
        wall = supply.full_wh if net >= 0 else supply.reserve_wh

        def at_wall(_t: float, y: Sequence[float], wall: float = wall) -> float:
            return y[0] - wall

        at_wall.terminal = True  # type: ignore[attr-defined]  # the way scipy is told to stop there
        reached, end = left, state
        if abs(state - wall) > 1e-9:
            solved = solve_ivp(
                lambda _t, _y, k=slope: [k], (left, right), [state], events=at_wall, rtol=1e-10, atol=1e-10
            )
            reached, end = solved.t[-1], solved.y[0, -1]
        state = end
        if net < 0 and right - reached > 1e-9:
            first = min(first, reached)
            unserved += quad(lambda t: power_out(t) - power_in(t), reached, right)[0]
        if right == int(right):
            ends.append(state)
        assert left < middle < right
    return ends, first, unserved


def test_an_integrator_finds_the_same_states_shortage_and_end() -> None:
    """An ODE solver with events at full and reserve agrees on every hour's end, the moment of shortage, the rest."""
    load = TierDay(ac_wh=tuple(60.0 + 40 * (h % 5) for h in range(24)), dc_wh=tuple(10.0 * (h % 3) for h in range(24)))
    day = [0.0] * 8 + [100.0, 300.0, 600.0, 700.0, 650.0, 400.0, 150.0] + [0.0] * 9
    supply = Supply(
        full_wh=2500,
        reserve_wh=250,
        inverter_efficiency=0.9,
        idle_w=15,
        dc_efficiency=0.92,
        charge_efficiency=0.95,
        may_charge=True,
    )
    starts_at, days = 15, 3
    sun = sun_by_hour(day, [None, 1.5, 0.1], sky=0.8, starts_at=starts_at)

    def power_in(t: float) -> float:
        return sun[int(t)]

    def power_out(t: float) -> float:
        h = (starts_at + int(t)) % 24
        return load.ac_wh[h] / 0.9 + 15 + load.dc_wh[h] / 0.92

    ends, first, unserved = integrated(supply, power_in, power_out, 0.9 * 2500, 24 * days, ())
    model = run(supply, load, days=days, starts_at=starts_at, start_share=0.9, sun_wh=sun)
    assert [h.state_wh for h in model.hours[:72]] == pytest.approx(ends, rel=1e-7)  # the solver's own tolerance
    assert model.endurance_h == pytest.approx(first, rel=1e-7)
    assert model.unserved_wh == pytest.approx(unserved, rel=1e-7)
    assert 0 < first < 24  # the case does run short,
    assert model.wasted_wh > 0  # and does run full


def test_a_generator_that_starts_within_an_hour_is_integrated_alike() -> None:
    """On from 17:15 to 19:45 the energy of the broken hours agrees at their ends while nothing is lost in charging.

    With a charge loss an hour that holds both a draw and a surplus is netted first; the model says so.
    """
    supply = Supply(
        full_wh=6000,
        reserve_wh=0,
        inverter_efficiency=1,
        idle_w=12,
        dc_efficiency=1,
        charge_efficiency=1,
        may_charge=True,
    )
    window = generator_by_clock(900, 700, 1.0, 1.0, 17.25, 2.5)

    def power_in(t: float) -> float:
        return 700.0 if 17.25 <= t % 24 < 19.75 else 0.0

    def power_out(_t: float) -> float:
        return 50.0 + 12

    ends, first, _ = integrated(supply, power_in, power_out, 3000, 48, (17.25, 19.75, 41.25, 43.75))
    model = run(supply, TierDay(ac_wh=(50.0,) * 24, dc_wh=DAY), days=2, start_share=0.5, generator_wh=window)
    assert [h.state_wh for h in model.hours[:48]] == pytest.approx(ends, rel=1e-7)  # the solver's own tolerance
    assert model.endurance_h == first == 48
