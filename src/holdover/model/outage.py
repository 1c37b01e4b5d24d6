"""The outage, hour by hour: what is shed, drawn, charged, wasted and left unserved, and how long storage lasts.

It knows no month and no module: the sun of a mean day comes from outside, as watts by clock hour.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdover.model.dust import DUST, TRACE
from holdover.model.inflow import OUTAGE_HOURS
from holdover.model.loads import HOURS


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What a candidate brings to the outage, at the temperature and age that the sizing assumes.

    `may_charge` is 1 where the cells are warm enough to be charged, else 0.
    """

    full_wh: float
    reserve_wh: float
    inverter_efficiency: float
    idle_w: float
    dc_efficiency: float
    charge_efficiency: float
    may_charge: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TierDay:
    """What the loads of one tier draw in each clock hour, at their own plugs."""

    ac_wh: tuple[float, ...]
    dc_wh: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageHour:
    """One hour. Energies are at the storage side, but for `ac_wh` and `dc_wh`, which are at the plugs.

    `kept` tells both switches in one: 4 all loads on, 3 convenience shed, 2 essential shed, 1 both, 0 after the end.
    `out_h` is when storage gives out in the hour, "" where it does not; `plot_h` the end of the hour, on a chart.
    """

    t: int
    day: int
    clock: int
    active: int
    state_before_wh: float
    convenience_on: int
    essential_on: int
    kept: int
    ac_wh: float
    dc_wh: float
    inverter_on: int
    demand_wh: float
    sun_wh: float
    generator_wh: float
    net_wh: float
    stored_wh: float
    wasted_wh: float
    unserved_wh: float
    state_wh: float
    served_share: float
    out_h: float | str
    plot_h: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageRun:
    """A whole outage: its hours and what they come to. `used_wh` is the sun and generator energy not wasted."""

    hours: tuple[OutageHour, ...]
    endurance_h: float
    unserved_wh: float
    lowest_wh: float
    lowest_share: float
    convenience_off_h: int
    essential_off_h: int
    demand_wh: float
    idle_wh: float
    sun_wh: float
    generator_wh: float
    used_wh: float
    wasted_wh: float


def stays_on(state_wh: float, drop_at: float, full_wh: float) -> int:
    """Whether a tier stays on at this state of charge, 1 or 0 [-].

    Args:
        state_wh: Stored at the start of the hour [Wh].
        drop_at: Share of full storage below which the tier is shed [-].
        full_wh: Full storage [Wh].

    Holds for: a decision made once an hour; exactly at the share it stays on.
    Source: definition.

    >>> stays_on(500, 0.5, 1000), stays_on(499.9, 0.5, 1000)
    (1, 0)
    """
    return int(round(state_wh - drop_at * full_wh, DUST) >= 0)


def demand_wh(
    ac_wh: float, dc_wh: float, inverter_on: int, inverter_efficiency: float, idle_w: float, dc_efficiency: float
) -> float:
    """What the loads of an hour take out of storage [Wh].

    Args:
        ac_wh: Drawn by the AC loads [Wh].
        dc_wh: Drawn at the DC ports [Wh].
        inverter_on: 1 where the inverter is on, else 0 [-].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].
        dc_efficiency: Output of a DC port per storage draw [-].

    Holds for: one hour; an inverter whose losses are a steady draw and a share of its output.
    Source: energy balance.

    >>> demand_wh(90, 46, 1, 0.9, 10, 0.92)
    160.0
    """
    return ac_wh / inverter_efficiency + idle_w * inverter_on + dc_wh / dc_efficiency


def state_after_wh(
    before_wh: float, net_wh: float, full_wh: float, reserve_wh: float, charge_efficiency: float, *, may_charge: bool
) -> float:
    """Stored at the end of an hour [Wh].

    Args:
        before_wh: Stored at its start [Wh].
        net_wh: Sun and generator less demand [Wh].
        full_wh: Full storage [Wh].
        reserve_wh: Never planned on [Wh].
        charge_efficiency: Stored per solar energy in [-].
        may_charge: Whether the cells are warm enough to be charged [-].

    Holds for: an hour as one step, its gains and draws set off against each other before anything is stored.
    Source: energy balance.

    >>> state_after_wh(500, 100, 1000, 100, 0.9, may_charge=True)
    590.0
    >>> state_after_wh(150, -100, 1000, 100, 0.9, may_charge=True)
    100
    """
    # A surplus: stored as far as there is room, if the cells may be charged at all.
    if net_wh >= 0:
        return max(before_wh, min(full_wh, before_wh + net_wh * charge_efficiency)) if may_charge else before_wh
    # A draw: down to the reserve, or to where it stood if it stood lower.
    return max(min(before_wh, reserve_wh), before_wh + net_wh)


def wasted_wh(before_wh: float, net_wh: float, full_wh: float, charge_efficiency: float, *, may_charge: bool) -> float:
    """Surplus of an hour that finds no room in storage, before the charge loss [Wh].

    Args:
        before_wh: Stored at its start [Wh].
        net_wh: Sun and generator less demand [Wh].
        full_wh: Full storage [Wh].
        charge_efficiency: Stored per solar energy in [-].
        may_charge: Whether the cells are warm enough to be charged [-].

    Holds for: an hour as one step.
    Source: energy balance. The same as net − stored/charge_efficiency, written so that no rounding is left over.

    >>> wasted_wh(955, 100, 1000, 0.9, may_charge=True)
    50.0
    """
    room = max(0.0, full_wh - before_wh) if may_charge else 0.0
    return max(0.0, net_wh - room / charge_efficiency)


def unserved_wh(before_wh: float, net_wh: float, reserve_wh: float) -> float:
    """Demand of an hour that storage can't meet without touching its reserve [Wh].

    Args:
        before_wh: Stored at its start [Wh].
        net_wh: Sun and generator less demand [Wh].
        reserve_wh: Never planned on [Wh].

    Holds for: any start; what is missing to the reserve at the start is not counted.
    Source: energy balance.

    >>> unserved_wh(150, -100, 100), unserved_wh(50, -20, 100), unserved_wh(150, 100, 100)
    (50, 20, 0.0)
    """
    return max(0.0, min(before_wh, reserve_wh) - (before_wh + net_wh))


def served_share(net_wh: float, unserved_wh: float) -> float:
    """Share of an hour until storage gives out [-].

    Args:
        net_wh: Sun and generator less demand [Wh].
        unserved_wh: Demand that is not met [Wh].

    Holds for: a draw that is steady within the hour.
    Source: arithmetic.

    >>> served_share(-200, 50), served_share(-200, 0)
    (0.75, 1.0)
    """
    return 1 + unserved_wh / net_wh if round(unserved_wh, DUST) > 0 else 1.0


def run_outage(
    supply: Supply,
    tiers: Mapping[str, TierDay],
    *,
    days: int,
    starts_at: int,
    start_share: float,
    drop_convenience_at: float,
    drop_essential_at: float,
    inverter_always_on: bool,
    sun_wh: Sequence[float],
    generator_wh: Sequence[float],
    scale: float = 1.0,
) -> OutageRun:
    """The whole outage, one record an hour; hours after its end are inactive.

    Args:
        supply: What the candidate brings.
        tiers: Draw by tier: critical, essential and convenience.
        days: Length of the outage, 1..14 [days].
        starts_at: Clock hour at which it begins [h].
        start_share: State of charge at the start, share of full storage [-].
        drop_convenience_at: Share of full storage below which convenience loads are shed; 0 = never [-].
        drop_essential_at: The same for essential loads [-].
        inverter_always_on: False: it is on only in hours with AC loads left on.
        sun_wh: Sun in each hour of the longest outage, as `sun_by_hour` gives it [Wh].
        generator_wh: Generator in each clock hour, as `generator_by_clock` gives it [Wh].
        scale: Factor on the energy of every load, for asking what if [-].

    Holds for: steps of an hour; shedding decided once an hour by the state at its start.
    Source: energy balance.

    >>> flat = TierDay(ac_wh=(90.0,) * 24, dc_wh=(0.0,) * 24)
    >>> none = TierDay(ac_wh=(0.0,) * 24, dc_wh=(0.0,) * 24)
    >>> box = Supply(full_wh=1000, reserve_wh=100, inverter_efficiency=0.9, idle_w=20, dc_efficiency=0.92,
    ...              charge_efficiency=0.95, may_charge=True)
    >>> run_outage(box, {"critical": flat, "essential": none, "convenience": none}, days=1, starts_at=18,
    ...            start_share=1, drop_convenience_at=0, drop_essential_at=0, inverter_always_on=True,
    ...            sun_wh=[0.0] * 336, generator_wh=[0.0] * 24).endurance_h
    7.5
    """
    drawn = _drawn(tiers, scale)
    start_wh = state_wh = start_share * supply.full_wh
    hours = []
    for t in range(OUTAGE_HOURS):
        clock, active = (starts_at + t) % 24, int(t < 24 * days)
        convenience_on = active and stays_on(state_wh, drop_convenience_at, supply.full_wh)
        essential_on = active and stays_on(state_wh, drop_essential_at, supply.full_wh)
        ac_wh, dc_wh = drawn[essential_on, convenience_on][clock] if active else (0.0, 0.0)
        inverter_on = active and int(inverter_always_on or ac_wh > TRACE)
        inflow = (sun_wh[t], generator_wh[clock]) if active else (0.0, 0.0)
        hour = _hour(
            supply, t, clock, active, state_wh, convenience_on, essential_on, ac_wh, dc_wh, inverter_on, *inflow, days
        )
        hours.append(hour)
        state_wh = hour.state_wh
    return _run(supply, hours, hours[: 24 * days], start_wh)


def _drawn(tiers: Mapping[str, TierDay], scale: float) -> dict[tuple[int, int], list[tuple[float, float]]]:
    """AC and DC draw by clock hour, for each state of (essential on, convenience on)."""
    critical, essential, convenience = tiers["critical"], tiers["essential"], tiers["convenience"]
    return {
        (e, c): [
            (
                scale * (critical.ac_wh[h] + e * essential.ac_wh[h] + c * convenience.ac_wh[h]),
                scale * (critical.dc_wh[h] + e * essential.dc_wh[h] + c * convenience.dc_wh[h]),
            )
            for h in HOURS
        ]
        for e in (0, 1)
        for c in (0, 1)
    }


def _hour(  # one record, built in one place
    supply: Supply,
    t: int,
    clock: int,
    active: int,
    before_wh: float,
    convenience_on: int,
    essential_on: int,
    ac_wh: float,
    dc_wh: float,
    inverter_on: int,
    sun_wh: float,
    generator_wh: float,
    days: int,
) -> OutageHour:
    full, efficiency, warm = supply.full_wh, supply.charge_efficiency, bool(supply.may_charge)
    out_wh = demand_wh(ac_wh, dc_wh, inverter_on, supply.inverter_efficiency, supply.idle_w, supply.dc_efficiency)
    net_wh = sun_wh + generator_wh - out_wh
    state_wh = state_after_wh(before_wh, net_wh, full, supply.reserve_wh, efficiency, may_charge=warm)
    missing_wh = unserved_wh(before_wh, net_wh, supply.reserve_wh)
    share = served_share(net_wh, missing_wh)
    return OutageHour(
        t=t,
        day=t // 24 + 1,
        clock=clock,
        active=active,
        state_before_wh=before_wh,
        convenience_on=convenience_on,
        essential_on=essential_on,
        kept=active * (1 + 2 * essential_on + convenience_on),
        ac_wh=ac_wh,
        dc_wh=dc_wh,
        inverter_on=inverter_on,
        demand_wh=out_wh,
        sun_wh=sun_wh,
        generator_wh=generator_wh,
        net_wh=net_wh,
        stored_wh=max(0.0, state_wh - before_wh),
        wasted_wh=wasted_wh(before_wh, net_wh, full, efficiency, may_charge=warm),
        unserved_wh=missing_wh,
        state_wh=state_wh,
        served_share=share,
        out_h=t + share if round(missing_wh, DUST) > 0 else "",
        plot_h=min(t + 1, 24 * days),
    )


def _run(supply: Supply, rows: Sequence[OutageHour], hours: Sequence[OutageHour], start_wh: float) -> OutageRun:
    short = (hour.t + hour.served_share for hour in hours if round(hour.unserved_wh, DUST) > 0)
    lowest = min(start_wh, *(hour.state_wh for hour in hours))
    sun = sum(hour.sun_wh for hour in hours)
    generator = sum(hour.generator_wh for hour in hours)
    wasted = sum(hour.wasted_wh for hour in hours)
    return OutageRun(
        hours=tuple(rows),
        endurance_h=next(short, float(len(hours))),
        unserved_wh=sum(hour.unserved_wh for hour in hours),
        lowest_wh=lowest,
        lowest_share=lowest / supply.full_wh if supply.full_wh else 0.0,
        convenience_off_h=len(hours) - sum(hour.convenience_on for hour in hours),
        essential_off_h=len(hours) - sum(hour.essential_on for hour in hours),
        demand_wh=sum(hour.demand_wh for hour in hours),
        idle_wh=sum(supply.idle_w * hour.inverter_on for hour in hours),
        sun_wh=sun,
        generator_wh=generator,
        used_wh=sun + generator - wasted,
        wasted_wh=wasted,
    )
