"""Cases for the engines: the samples, corners that a job may have, and cases drawn at random within the bounds."""

import random
from pathlib import Path
from typing import Any

from pydantic.fields import FieldInfo

from holdover.case.folder import read_case
from holdover.case.schema import (
    FORMS,
    MAX_DAYS,
    MAX_DELIVERIES,
    Array,
    Candidate,
    Case,
    Day,
    Delivery,
    Load,
    Month,
    Outage,
    Point,
    Section,
    Sizing,
    Sun,
    Vehicle,
    bounds_of,
    choices_of,
    is_text,
    is_whole,
)

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = tuple(sorted(path for path in (ROOT / "samples").iterdir() if path.is_dir()))
WORDS = ("", "kettle", "pump", "Lamp", "=SUM(A1)", "+1", "@home", 'say "hi"', "a&b <c>", "Ünïcode", "*")
LIKELY: dict[str, tuple[float, float]] = {
    "running_w": (0, 2500),
    "starting_w": (0, 6000),
    "measured_wh_per_day": (0, 3000),
    "quantity": (0, 5),
    "storage_wh": (0, 6000),
    "continuous_w": (0, 5000),
    "continuous_va": (0, 5000),
    "surge_w": (0, 12000),
    "dc_w": (0, 500),
    "idle_w": (0, 60),
    "pack_wh": (0, 5000),
    "packs_max": (0, 6),
    "packs": (0, 6),
    "pv_inputs": (0, 3),
    "pv_max_v": (20, 500),
    "pv_min_v": (0, 60),
    "pv_max_a": (5, 30),
    "pv_max_isc_a": (10, 60),
    "pv_input_w": (100, 3000),
    "pv_total_w": (100, 5000),
    "ac_charge_w": (0, 3000),
    "modules": (0, 12),
    "global_kwh": (0, 9),
    "peak_sun_hours": (0, 9),
    "distance": (0, 100),
    "consumption": (0.5, 300),
    "generator_w": (0, 4000),
    "price": (0, 9000),
    "weight_kg": (0, 60),
    "cycles": (500, 6000),
    "coldest_c": (-40, 30),
    "hottest_c": (0, 55),
    "voc_v": (10, 80),
    "vmp_v": (8, 70),
    "energy_wh": (0, 3000),
    "times": (0, 9),
}
"""Ranges in which a drawn number is likely to decide something; elsewhere the bounds themselves."""


def sample(path: Path) -> Case:
    case, findings = read_case(path)
    assert case is not None, findings.errors
    return case


def drawn_value(info: FieldInfo, name: str, rng: random.Random) -> Any:
    """A value that the field allows."""
    choices = choices_of(info)
    if choices:
        return rng.choice(choices)
    if is_text(info):
        return rng.choice(WORDS)
    low, high = LIKELY.get(name, bounds_of(info))
    assert low is not None and high is not None, name
    if is_whole(info):
        return rng.randint(int(low), int(high))
    if rng.random() < 0.15:
        return float(rng.choice([low, high]))
    return float(f"{rng.uniform(low, high):.4g}") if low != high else low


def within(info: FieldInfo, value: Any) -> Any:
    low, high = bounds_of(info)
    if isinstance(value, float | int) and low is not None and high is not None:
        return type(value)(min(high, max(low, value)))
    return value


def drawn(section: type[Section], rng: random.Random, *, fill: float, **fixed: Any) -> Any:
    """A section of which a share of the fields is filled."""
    values = {
        name: within(info, drawn_value(info, name, rng))
        for name, info in section.model_fields.items()
        if rng.random() < fill
    }
    return section(**{**values, **fixed})


def generated(seed: int) -> Case:
    """A case drawn at random: small, odd, but within the bounds."""
    rng = random.Random(seed)
    loads = [
        drawn(
            Load,
            rng,
            fill=0.6,
            name=f"Load {i}",
            running_w=drawn_value(Load.model_fields["running_w"], "running_w", rng),
        )
        if rng.random() < 0.85
        else (Load() if rng.random() < 0.5 else drawn(Load, rng, fill=0.4))
        for i in range(rng.randint(0, 12))
    ]
    candidates = [
        drawn(Candidate, rng, fill=rng.choice([0.4, 0.75, 0.95]), name=f"Unit {i}")
        if rng.random() < 0.9
        else Candidate()
        for i in range(rng.randint(0, 5))
    ]
    forms = {part: drawn(section, rng, fill=0.5) for part, section in FORMS.items() if part != "about"}
    return Case(
        loads=tuple(loads),
        candidates=tuple(candidates),
        points=tuple(drawn(Point, rng, fill=0.9) for _ in range(rng.randint(0, 6))),
        months=tuple(drawn(Month, rng, fill=0.8) for _ in range(12)),
        days=tuple(drawn(Day, rng, fill=0.7) for _ in range(rng.randint(0, MAX_DAYS))),
        deliveries=tuple(drawn(Delivery, rng, fill=0.8) for _ in range(rng.randint(0, MAX_DELIVERIES))),
        **forms,
    )


_UNIT = Candidate(
    name="Only one", storage_wh=2050, continuous_w=1900, surge_w=3900, ac_volts=120, dc_w=130, price=1290, weight_kg=24.5,
    pv_inputs=1, pv_min_v=12, pv_max_v=62, pv_max_a=13, ac_charge_w=1100, ac_sockets=4, noise_db=44, transfer_ms=15,
)  # fmt: skip
_FRIDGE = Load(name="Fridge", running_w=110, starting_w=640, duty=0.35, hours_per_day=24)

CORNERS: dict[str, Case] = {
    "empty": Case(),
    "no candidates": Case(loads=(_FRIDGE,)),
    "no loads": Case(candidates=(_UNIT,)),
    "one of each": Case(loads=(_FRIDGE,), candidates=(_UNIT,)),
    "DC loads only": Case(loads=(Load(name="Lamp", running_w=9, hours_per_day=5, feed="USB"),), candidates=(_UNIT,)),
    "240 V loads": Case(loads=(_FRIDGE, Load(name="Well pump", running_w=900, starting_w=2600, hours_per_day=1, feed="240 V")), candidates=(_UNIT,)),
    "nothing fits": Case(loads=(Load(name="Kiln", running_w=9000, hours_per_day=6),), candidates=(_UNIT, _UNIT)),
    "gaps in the rows": Case(loads=(Load(), _FRIDGE, Load(), Load(name="TV", running_w=80, hours_per_day=3, starts_at=19)), candidates=(Candidate(), _UNIT)),
    "south and sunny": Case(
        loads=(_FRIDGE,),
        candidates=(_UNIT, _UNIT.model_copy(update={"name": "Second", "price": None, "pv_max_v": 45.0})),
        sun=Sun(resource="global irradiation", latitude_deg=-33.4, month=6, solar_noon_at=12.3),
        months=tuple(Month(global_kwh=g, ambient_c=t) for g, t in zip((7.1, 6.3, 5.2, 3.9, 2.9, 2.4, 2.6, 3.5, 4.6, 5.8, 6.7, 7.2), (23, 23, 21, 18, 14, 12, 11, 12, 14, 17, 19, 22), strict=True)),
        array=Array(modules=2, azimuth_deg=0, tilt_deg=40),
    ),
    "polar": Case(
        loads=(_FRIDGE,),
        candidates=(_UNIT,),
        sun=Sun(resource="clearness index", latitude_deg=78.2, month=4, coldest_c=-45),
        months=(Month(clearness=0.55),) * 12,
        array=Array(modules=1, tilt_deg=75),
    ),
    "cold room, drive": Case(
        loads=(_FRIDGE,),
        candidates=(_UNIT.model_copy(update={"pack_wh": 2050.0, "packs_max": 2, "pack_price": 800.0}),),
        sizing=Sizing(storage_c=-8, inverter="only with AC loads", starting="together"),
        outage=Outage(days=14, starts_at=7, start_share=0.05, drop_convenience_at=1, drop_essential_at=0, generator_from=22.5, generator_hours=6),
        vehicle=Vehicle(distance=11, distance_unit="mi", consumption=3.1, consumption_unit="mi/kWh"),
        deliveries=(Delivery(name="E-bike", energy_wh=520, power_w=130, times=3),),
    ),
}  # fmt: skip
"""Cases at the edge of what a job may be."""
