"""Cases drawn near every threshold: each number is near 1, so that a small fault decides something."""

import random
from collections.abc import Callable

from engines.plans import TINY, TINY_UNIT, but
from holdover.case.schema import (
    About,
    Array,
    Candidate,
    Case,
    Day,
    Delivery,
    Feed,
    Load,
    Money,
    Month,
    Outage,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
)

FEEDS: tuple[Feed | None, ...] = (None, None, None, "USB", "12 V DC", "24 V DC", "48 V DC")
"""Where a drawn load is plugged in."""


def _number(rng: random.Random, low: float, high: float) -> float:
    return float(f"{rng.uniform(low, high):.3g}")


def _perhaps(rng: random.Random, low: float, high: float, often: float = 0.5) -> float | None:
    return _number(rng, low, high) if rng.random() < often else None


_PLENTY = {
    "continuous_w": 9.0,
    "surge_w": 20.0,
    "dc_w": 5.0,
    "usb_w": 4.0,
    "dc_12v_w": 4.0,
    "dc_24v_w": 4.0,
    "dc_48v_w": 4.0,
}
"""Output that nothing falls short of, so that storage decides."""


def _load(rng: random.Random, n: int) -> Load:
    running = _number(rng, 0.05, 0.9)
    return Load(
        name=f"Load {n}",
        tier=rng.choice(("critical", "essential", "convenience")),
        quantity=rng.choice((1, 1, 1, 2)),
        running_w=running,
        starting_w=running * rng.choice((1, 1.5, 3)) if rng.random() < 0.5 else None,
        power_factor=_perhaps(rng, 0.6, 1),
        duty=_perhaps(rng, 0.3, 1),
        hours_per_day=rng.choice((0.03, 0.3, 1, 2.5, 3, 6, 10, 24)),
        starts_at=rng.choice((None, 0, 7.5, 12, 18, 22.25)),
        feed=rng.choice(FEEDS),
        turns=rng.choice(("", "", "", "pair")),
        gap_ms=_perhaps(rng, 0.2, 1, 0.3),
        basis=rng.choice(("metered", "label", "typical", "estimate")),
    )


_OUTPUTS: tuple[Callable[[random.Random], dict[str, float]], ...] = (
    lambda rng: {"continuous_w": _number(rng, 0.8, 4), "surge_w": _number(rng, 1.5, 6)},
    lambda rng: {"continuous_w": _number(rng, 0.3, 1.5), "surge_w": _number(rng, 0.5, 3)},
    # Just what the smallest charger of a vehicle draws.
    lambda rng: {"continuous_w": 100 + _number(rng, 0, 1), "surge_w": 200.0},
)


def _unit(rng: random.Random, n: int, scale: float) -> Candidate:
    unit: Candidate = but(
        TINY_UNIT,
        name=f"Unit {n}",
        storage_wh=scale * _number(rng, 0.5, 9),
        usable_share=rng.choice((1, 0.9, 0.8)),
        **rng.choice(_OUTPUTS)(rng),
        ac_volts=rng.choice((120, 120, 120, 240)),
        dc_w=_perhaps(rng, 0.3, 2, 0.8),
        usb_w=_perhaps(rng, 0.1, 1),
        dc_12v_w=_perhaps(rng, 0.1, 1),
        dc_24v_w=_perhaps(rng, 0.1, 1),
        dc_48v_w=_perhaps(rng, 0.1, 1),
        pack_wh=_perhaps(rng, 0.4, 3, 0.8),
        packs_max=rng.choice((1, 2, 6)),
        bypass_w=_perhaps(rng, 0.1, 3),
        ac_charge_w=_number(rng, 0.1, 3),
        ac_charge_min_w=_perhaps(rng, 0.05, 0.5),
        pv_inputs=rng.choice((1, 2)),
        pv_max_v=_number(rng, 4, 20),
        pv_input_w=_perhaps(rng, 0.4, 3),
        pv_total_w=_perhaps(rng, 0.6, 5),
        price=_perhaps(rng, 1, 5, 0.8),
        weight_kg=_perhaps(rng, 0.4, 9, 0.8),
    )
    return unit


def _outage(rng: random.Random) -> Outage:
    read = sorted(rng.sample(range(24), 4))
    return Outage(
        days=rng.randint(1, 3),
        starts_at=rng.randint(0, 23),
        start_share=rng.choice((1, 0.6, 0.25, 0.1, 0.05)),
        promise=rng.choice(("critical", "critical and essential", "critical and essential", "all loads")),
        sky=_number(rng, 0, 1.4),
        mains_from=rng.choice((0, 6, 21.5)),
        mains_hours=rng.choice((0, 0, 2.5, 8)),
        generator_from=rng.choice((5, 16.75, 23)),
        generator_hours=rng.choice((0, 0, 1, 3.5)),
        repeats=rng.choice(("yes", "no")),
        packs=rng.choice((None, None, None, 0, 1)),
        drop_convenience_at=_perhaps(rng, 0.2, 0.9, 0.15),
        drop_essential_at=_perhaps(rng, 0.1, 0.6, 0.15),
        without=rng.choice(("", "Load 1", "Load 2")),
        leave_out=rng.choice(("", "", "", "Load 3")),
        reading_1=read[0],
        reading_2=read[1],
        reading_3=read[2],
        reading_4=read[3],
    )


def _sizing(rng: random.Random) -> Sizing:
    return Sizing(
        storage_c=rng.choice((25, 12, 5, -3.3)),
        age_share=rng.choice((1, 0.8)),
        reserve=rng.choice((0.05, 0.1, 0.2)),
        energy_margin=rng.choice((0, 0.1)),
        inverter=rng.choice(("always on", "only with AC loads")),
    )


def near(seed: int) -> Case:
    """A small case of which nothing is far from a threshold."""
    rng = random.Random(seed)
    easy = rng.random() < 0.5
    scale = rng.choice((1, 4, 12) if easy else (1, 1, 0.3, 4))
    units = [_unit(rng, n, scale) for n in range(1, rng.randint(3, 5))]
    case: Case = but(
        TINY,
        about=About(units=rng.choice(("metric", "US"))),
        loads=tuple(_load(rng, n) for n in range(1, rng.randint(4, 9))),
        candidates=tuple(but(unit, ac_volts=120, **_PLENTY) if easy else unit for unit in units),
        sizing=_sizing(rng),
        outage=_outage(rng),
        days=tuple(Day(sky=_perhaps(rng, 0, 1.4)) for _ in range(rng.randint(0, 3))),
        recharge=Recharge(generator_w=_number(rng, 0.3, 3), fuel_price=2, outlet_v=100, outlet_a=0.1),
        sun=Sun(latitude_deg=40, month=rng.choice((1, 6)), coldest_c=0),
        months=(Month(peak_sun_hours=_number(rng, 0.5, 4)),) * 12,
        array=Array(
            modules=rng.choice((0, 1, 4, 6)), power_w=1.2, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=0.4, voc_tempco=-0.003
        ),
        vehicle=Vehicle(
            distance=0 if easy else rng.choice((0, 0.003, 0.02, 0.1)),
            distance_unit=rng.choice((None, "km", "mi")),
            consumption=20,
            charger_v=100,
            charger_efficiency=rng.choice((1, 0.85)),
            charger_a=1,
        ),
        deliveries=(Delivery(name="Toy", energy_wh=0.6, power_w=_number(rng, 0.1, 3), times=2),),
        money=Money(
            rank_by=rng.choice(("price", "weight", "price per usable kWh")),
            accessories_price=rng.choice((0, 0.4, 2)),
            labour_price=rng.choice((0, 0.7, 3)),
            tax_share=rng.choice((0, 0.1)),
            budget=2.5 if easy else None,
        ),
    )
    return case


NEAR: dict[str, Case] = {f"near {seed}": near(seed) for seed in (25, 10, 22, 98, 68, 87)}
"""Those among the drawn that notice faults which no other case does."""
