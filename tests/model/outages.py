"""Outages drawn at random, and a plain search to hold the backward pass against."""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from holdover.model.outage.hold import OutageClock
from holdover.model.outage.promise import Carried, Fate, Plan, Taking, carried, taking_of
from holdover.model.outage.shedding import Store
from holdover.model.outage.tier_sets import Converter, Source, TierDay

NOTHING = (0.0,) * 24
NONE = TierDay(ac_wh=NOTHING, dc_wh=NOTHING)
IDEAL = Converter(
    inverter_efficiency=1,
    idle_w=0,
    dc_efficiency=1,
    charge_efficiency=1,
    may_charge=1,
    ac_charge_w=0,
    ac_charge_efficiency=1,
    bypass_w=0,
)
PLAN = Plan(
    clock=OutageClock(hours=24, starts_at=0, readings=(6, 12, 18, 22)),
    start_share=1,
    reserve=0,
    energy_margin=0,
    promised=2,
    drop_essential_at=None,
    drop_convenience_at=None,
    always_on=True,
    repeats=False,
)


NO_SOURCE = Source(w=0, share=NOTHING)
NO_SOURCES = (NO_SOURCE, NO_SOURCE)
"""No outlet and no generator."""


@dataclass(frozen=True, kw_only=True)
class Scene:
    """All that an outage needs but the storage."""

    plan: Plan
    tiers: dict[str, TierDay]
    converter: Converter
    sources: tuple[Source, Source]
    sun_wh: tuple[float, ...]

    def taking(self, **changed: Any) -> Taking:
        scene = replace(self, **changed)
        return taking_of(scene.plan, scene.tiers, scene.converter, scene.sources, scene.sun_wh)

    def store(self, full_wh: float) -> Store:
        return Store(
            full_wh=full_wh,
            reserve_wh=self.plan.reserve * full_wh,
            start_wh=self.plan.start_share * full_wh,
            charge_efficiency=self.converter.charge_efficiency,
            may_charge=self.converter.may_charge,
        )

    def carried(self, full_wh: float, taking: Taking | None = None) -> Carried:
        return carried(
            self.plan,
            self.tiers,
            taking or self.taking(),
            self.store(full_wh),
            Fate(packs=0, lowest_charge_w=0.0, source_trips_w=0, fuel_l_per_kwh=0.5),
        )


def ac(watts: float, hours: Sequence[int] = range(24)) -> TierDay:
    """AC of so many watts in some clock hours."""
    return TierDay(ac_wh=tuple(float(watts) * (h in hours) for h in range(24)), dc_wh=NOTHING)


def tiers(critical: TierDay = NONE, essential: TierDay = NONE, convenience: TierDay = NONE) -> dict[str, TierDay]:
    return {"critical": critical, "essential": essential, "convenience": convenience}


def window(watts: float, hours: Sequence[int]) -> Source:
    """A source that is there in some whole clock hours."""
    return Source(w=watts, share=tuple(float(h in hours) for h in range(24)))


def scenes(count: int, seed: int = 7) -> Iterator[Scene]:
    """So many outages, the same ones each time."""
    draw = random.Random(seed)
    for _ in range(count):
        days = draw.randint(1, 3)
        peak = draw.choice((0, 300, 1500))
        starts_at = draw.randrange(24)
        yield Scene(
            plan=_plan(draw, days, starts_at),
            tiers=tiers(_day(draw, 200), _day(draw, 600), _day(draw, 1200)),
            converter=_converter(draw),
            sources=(_source(draw), _source(draw)),
            sun_wh=tuple(
                peak * draw.random() * (7 <= (starts_at + t) % 24 < 17) * draw.choice((0.1, 1))
                for t in range(24 * days)
            ),
        )


def _plan(draw: random.Random, days: int, starts_at: int) -> Plan:
    return Plan(
        clock=OutageClock(hours=24 * days, starts_at=starts_at, readings=tuple(draw.randrange(24) for _ in range(4))),
        start_share=draw.choice((1, 1, draw.uniform(0.4, 1))),
        reserve=draw.choice((0, 0.1, 0.2)),
        energy_margin=draw.choice((0, 0.1, 0.25)),
        promised=draw.randint(1, 3),
        drop_essential_at=None,
        drop_convenience_at=None,
        always_on=draw.random() < 0.6,
        repeats=False,
    )


def _converter(draw: random.Random) -> Converter:
    return Converter(
        inverter_efficiency=draw.uniform(0.8, 1),
        idle_w=draw.choice((0, 15, 30)),
        dc_efficiency=draw.uniform(0.8, 1),
        charge_efficiency=draw.uniform(0.85, 1),
        may_charge=int(draw.random() < 0.85),
        ac_charge_w=draw.choice((0, 500, 1500)),
        ac_charge_efficiency=draw.uniform(0.8, 1),
        bypass_w=draw.choice((0, 1000, 3000)),
    )


def _day(draw: random.Random, top: float) -> TierDay:
    if draw.random() < 0.15:
        return NONE
    steady, some = draw.random() * top / 4, draw.random() < 0.5
    return TierDay(
        ac_wh=tuple(steady + draw.choice((0, 0, draw.random())) * top for _ in range(24)),
        dc_wh=tuple(some * draw.random() * top / 10 for _ in range(24)),
    )


def _source(draw: random.Random) -> Source:
    if draw.random() < 0.4:
        return NO_SOURCE
    first, length = draw.randrange(24), draw.randrange(1, 8)
    return Source(
        w=draw.uniform(200, 3000),
        share=tuple(0.5 * draw.choice((1, 0.3)) * ((h - first) % 24 < length) for h in range(24)),
    )


def holds_out(scene: Scene, net: Sequence[float], full_wh: float) -> bool:
    """Whether so much storage carries a set that is never shed: plain simulation, written apart from the model."""
    floor, state = scene.plan.reserve * full_wh, scene.plan.start_share * full_wh
    for one in net:
        if one < 0:
            state += one
            if state < floor - 1e-7:
                return False
        elif scene.converter.may_charge:
            state = min(full_wh, state + one * scene.converter.charge_efficiency)
    return True


def searched_wh(scene: Scene, net: Sequence[float]) -> float:
    """Least full storage that carries a set, by bisection [Wh]."""
    low, high = 0.0, 1e7
    if holds_out(scene, net, low):
        return 0.0
    assert holds_out(scene, net, high)
    while high - low > 1e-6:
        middle = (low + high) / 2
        if holds_out(scene, net, middle):
            high = middle
        else:
            low = middle
    return high
