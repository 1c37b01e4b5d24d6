"""Cases for the engines: the samples, corners that a job may have, and cases drawn at random within the bounds."""

import os
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic.fields import FieldInfo

from engines.edges import EDGES
from engines.near import NEAR
from engines.plans import PLANS
from engines.slips import SLIPS
from holdover.case.papers import Item, Term
from holdover.case.schema import (
    FORMS,
    MAX_DAYS,
    MAX_DELIVERIES,
    MAX_ITEMS,
    MAX_TERMS,
    Array,
    Candidate,
    Case,
    Day,
    Delivery,
    Load,
    Money,
    Month,
    Outage,
    Point,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
    Weights,
)
from holdover.case.section import Section, bounds_of, choices_of, is_text, is_whole
from holdover.model.study import Slots, Study, study
from holdover.returned.read import read_any

WHOLE = os.environ.get("HOLDOVER_SUITE") == "whole"
"""Whether every engine takes every case, and every mutant is tried: an hour, not minutes."""
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
    "usb_w": (0, 150),
    "dc_12v_w": (0, 200),
    "dc_24v_w": (0, 200),
    "dc_48v_w": (0, 200),
    "leg_w": (0, 2500),
    "bypass_w": (0, 3000),
    "ac_charge_min_w": (0, 1000),
    "hours_per_day": (0, 12),
    "at_once": (0, 4),
    "outlet_a": (1, 20),
    "mains_hours": (0, 10),
    "generator_hours": (0, 6),
    "days": (1, 6),
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
    "module_price": (0, 400),
}
"""Ranges in which a drawn number is likely to decide something; elsewhere the bounds themselves."""


def few_slots(case: Case) -> Slots:
    """Few spare ones, so that the workbook is soon recalculated."""
    return Slots(
        loads=len(case.loads) + 3,
        candidates=max(2, len(case.candidates) + 1),
        days=min(MAX_DAYS, case.outage.days + 1),
        us=case.about.units == "US",
    )


def no_slots(case: Case) -> Slots:
    """No spare candidate and no spare day; loads have one of few sizes, so that layouts are shared."""
    loads = next((size for size in (4, 8, 12, 24, 60) if size >= len(case.loads)), len(case.loads))
    us = case.about.units == "US"
    return Slots(loads=loads, candidates=max(1, len(case.candidates)), days=case.outage.days, us=us)


def small(case: Case) -> Study:
    """The study with few spare slots."""
    return study(case, few_slots(case))


def snug(case: Case) -> Study:
    """The study with no spare slots but those of loads."""
    return study(case, no_slots(case))


def repriced(case: Case) -> Study:
    """The study of a workbook in whose field the last came first when it was handed over."""
    made = small(case)
    return study(case, replace(made.slots, keys=tuple(-key for key in made.slots.keys or ())))


def sample(path: Path) -> Case:
    case, findings, _ = read_any(path)
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
    named = {"leave_out": loads, "without": loads, "candidate": candidates}
    chosen = {key: rng.choice(rows).name for key, rows in named.items() if rows and rng.random() < 0.5}
    forms["outage"] = forms["outage"].model_copy(update=chosen)
    return Case(
        loads=tuple(loads),
        candidates=tuple(candidates),
        points=tuple(drawn(Point, rng, fill=0.9) for _ in range(rng.randint(0, 6))),
        months=tuple(drawn(Month, rng, fill=0.8) for _ in range(12)),
        days=tuple(drawn(Day, rng, fill=0.7) for _ in range(rng.randint(0, MAX_DAYS))),
        deliveries=tuple(drawn(Delivery, rng, fill=0.8) for _ in range(rng.randint(0, MAX_DELIVERIES))),
        items=tuple(drawn(Item, rng, fill=0.7) for _ in range(rng.randint(0, MAX_ITEMS))),
        terms=tuple(drawn(Term, rng, fill=0.6) for _ in range(rng.randint(0, MAX_TERMS))),
        **forms,
    )


_UNIT = Candidate(
    name="Only one", storage_wh=2050, continuous_w=1900, surge_w=3900, ac_volts=120, dc_w=130, price=1290, weight_kg=24.5,
    pv_inputs=1, pv_min_v=12, pv_max_v=62, pv_max_a=13, ac_charge_w=1100, ac_sockets=4, noise_db=44, transfer_ms=15,
)  # fmt: skip
_FRIDGE = Load(name="Fridge", running_w=110, starting_w=640, duty=0.35, hours_per_day=24)

_DOLL = {
    "storage_wh": 5.2, "continuous_w": 1.1, "surge_w": 1.2, "dc_w": 0.5, "idle_w": 0.02, "price": 0.8, "weight_kg": 0.4,
    "pv_min_v": 0.5, "pv_max_v": 13.4, "pv_max_a": 0.6, "pv_input_w": 1.5, "pv_total_w": 2.4, "pv_inputs": 2, "ac_charge_w": 0.5,
    "noise_db": 49.6, "transfer_ms": 0.2, "ac_sockets": 2, "pack_wh": 0.6, "packs_max": 2, "pack_price": 0.3,
    "pack_weight_kg": 0.5,
}  # fmt: skip

CORNERS: dict[str, Case] = {
    "empty": Case(),
    "no candidates": Case(loads=(_FRIDGE,), vehicle=Vehicle(distance=0.7, distance_unit="mi")),
    "no loads": Case(candidates=(_UNIT,), sizing=Sizing(inverter="only with AC loads", basis="days without recharging")),
    "one of each": Case(loads=(_FRIDGE,), candidates=(_UNIT,)),
    "DC loads only": Case(
        loads=(
            Load(name="Lamp", running_w=9, hours_per_day=5, feed="USB"),
            Load(name="Pad", running_w=60, hours_per_day=24, feed="USB", turns="port"),
            Load(name="Cooler", running_w=45, hours_per_day=24, feed="12 V DC", turns="port"),
        ),
        candidates=(_UNIT,),
    ),
    "240 V loads": Case(loads=(_FRIDGE, Load(name="Well pump", running_w=900, starting_w=2600, hours_per_day=1, feed="240 V")), candidates=(_UNIT,)),
    "one load left out, one module of two": Case(loads=(_FRIDGE, Load(name="Radio", running_w=15, hours_per_day=3)), candidates=(_UNIT.model_copy(update={"pv_max_isc_a": 20.0}),), array=Array(modules=2, power_w=400, voc_v=37, vmp_v=31, isc_a=13.7, imp_a=12.9, voc_tempco=-0.0027), sun=Sun(latitude_deg=45, coldest_c=-10), months=(Month(peak_sun_hours=3),) * 12, outage=Outage(days=1, leave_out="Radio")),
    "nothing fits": Case(loads=(Load(name="Kiln", running_w=9000, hours_per_day=6),), candidates=(_UNIT, _UNIT), array=Array(modules=14)),
    "gaps in the rows": Case(loads=(Load(), _FRIDGE, Load(), Load(name="TV", running_w=80, hours_per_day=3, starts_at=19), Load(name="Clock", running_w=0.1, hours_per_day=10, measured_wh_per_day=2), Load(name="Rests", running_w=9, hours_per_day=24, measured_wh_per_day=90), Load(name="Never rests", running_w=9, duty=1, hours_per_day=24, measured_wh_per_day=90), Load(name="All day", running_w=1, hours_per_day=24, measured_wh_per_day=40), Load(name="Trickle", running_w=1, hours_per_day=24, measured_wh_per_day=2)), candidates=(Candidate(), _UNIT, Candidate(name="Silent sheet"))),
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
    "doll's house": Case(
        loads=(
            Load(name="Lamp", running_w=0.3, starting_w=0.5, hours_per_day=10, starts_at=18, tier="critical"),
            Load(name="Fan", running_w=0.2, starting_w=0.25, hours_per_day=2, starts_at=9.5, turns="a", power_factor=0.9),
            Load(name="Bell", running_w=0.2, hours_per_day=1, starts_at=9, turns="a", tier="convenience", gap_ms=0.5),
            Load(name="Charm", running_w=0.1, hours_per_day=3, feed="USB", starts_at=1),
        ),
        candidates=(
            _UNIT.model_copy(update=_DOLL),
            _UNIT.model_copy(update=_DOLL | {"name": "Second", "price": 0.9, "surge_w": 0.4, "weight_kg": 0.3}),
            _UNIT.model_copy(update=_DOLL | {"name": "Third", "storage_wh": 0.7, "cycles": 1, "price": 0.4}),
        ),
        sizing=Sizing(lift_kg=5, energy_margin=0, reserve=0.05, age_share=1, storage_c=25),
        outage=Outage(days=1, starts_at=17, start_share=0.9, sky=0.1, generator_hours=0.5, generator_from=20),
        recharge=Recharge(generator_w=0.6, fuel_price=2),
        sun=Sun(latitude_deg=52, month=6, resource="clearness index"),
        months=tuple(Month(clearness=c / 100, ambient_c=c - 40) for c in range(35, 59, 2)),
        array=Array(modules=3, power_w=1, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=0.4, tilt_deg=10),
        vehicle=Vehicle(distance=0.03, consumption=20, consumption_unit="Wh/km", charger_v=120, charger_a=1),
        deliveries=(Delivery(name="Toy", energy_wh=0.6, power_w=0.2), Delivery(name="Top", energy_wh=0.1, power_w=0.7, times=3)),
        money=Money(tax_share=0.19, discount_share=0.05, accessories_price=0.5, rank_by="weighted score"),
    ),
}  # fmt: skip
_SMALL = CORNERS["doll's house"]
_LOW = _UNIT.model_copy(update=_DOLL | {"ac_sockets": 3, "weight_kg": 4.5, "pack_weight_kg": 4.6, "charge_min_c": 24.5})
CORNERS |= {
    "doll's house, no drive": _SMALL.model_copy(
        update={
            "vehicle": Vehicle(),
            "candidates": (
                _LOW,
                _LOW.model_copy(update={"name": "Second", "packs": 2, "price": 0.9, "pack_price": None}),
            ),
            "sizing": Sizing(lift_kg=5, starting="together", inverter="only with AC loads", storage_c=25),
            "outage": Outage(days=2, candidate="second", starts_at=3, sky=1.4, drop_essential_at=0.9),
            "sun": Sun(latitude_deg=66.2, month=12, resource="peak sun hours"),
            "months": (*(Month(peak_sun_hours=h / 2) for h in range(1, 12)), Month(peak_sun_hours=0.9)),
            "array": Array(modules=5, power_w=3, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=1.4, azimuth_deg=130),
        }
    ),
    "twins": _SMALL.model_copy(
        update={
            "vehicle": Vehicle(),
            "candidates": (
                _LOW.model_copy(
                    update={"packs": 1, "pv_max_a": None, "price": 0.5, "pv_min_v": 2.0, "pv_max_isc_a": 0.7}
                    | {"pv_input_w": None, "pv_total_w": None, "dc_w": 0.04}
                ),
                _LOW.model_copy(update={"name": "Twin", "price": 0.5, "packs": 0}),
                _LOW.model_copy(update={"name": "TWIN", "price": 0.5, "packs": 1, "pack_price": None}),
                _LOW.model_copy(update={"name": "Twin", "price": 0.5, "packs": 0, "pv_min_v": 3.5}),
            ),
            "loads": (
                Load(name="Left", running_w=0.2, hours_per_day=3, turns="pair", starts_at=9, power_factor=0.8),
                Load(name="Right", running_w=0.2, hours_per_day=3, turns="Pair", starts_at=10, power_factor=0.8),
                Load(name="Third", running_w=0.2, hours_per_day=23.5, turns="pair", starts_at=23.25, power_factor=0.7),
            ),
            "outage": Outage(candidate="twin", days=3, starts_at=12, sky=0.9),
            "array": Array(modules=4, power_w=3, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=1.4),
            "deliveries": tuple(
                Delivery(name=f"No. {n}", energy_wh=n / 7, power_w=n / 8, times=n % 3 or None) for n in range(1, 7)
            ),
        }
    ),
    "cold and sunny": _SMALL.model_copy(
        update={
            "sizing": Sizing(storage_c=-6, reserve=0.2),
            "outage": Outage(days=2, starts_at=8, start_share=0.6, sky=1.5, month=6),
            "vehicle": Vehicle(
                distance=0.4, consumption=9, consumption_unit="Wh/km", charger_v=120, charger_a=1, charger_efficiency=1
            ),
            "candidates": (
                _LOW.model_copy(update={"pack_wh": 3.0, "packs_max": 4}),
                _LOW.model_copy(update={"pack_wh": None, "continuous_w": 150.5, "surge_w": 300, "storage_wh": 9}),
                _LOW.model_copy(
                    update={"pack_wh": None, "continuous_w": 150.5, "surge_w": 300, "storage_wh": 30, "ac_volts": 230}
                ),
                _LOW.model_copy(
                    update={
                        "pack_wh": 2.0,
                        "packs_max": 6,
                        "continuous_w": 150,
                        "surge_w": 300,
                        "ac_volts": 230,
                        "ac_volts_2": 120,
                    }
                ),
            ),
        }
    ),
}

_HOME = sample(ROOT / "templates" / "home")
_ONE, _TWO, *_ = _HOME.candidates
CORNERS |= {
    "starter": _HOME,
    "starter, the second first": _HOME.model_copy(
        update={
            "candidates": (_TWO, _ONE),
            "weights": Weights(price=1, life_cost=0, usable=0, weight=0, noise=0),
            "vehicle": Vehicle(distance=0.5, consumption=500, charger_a=5),
        }
    ),
    "starter, twins": _HOME.model_copy(
        update={
            "candidates": (
                _TWO,
                _TWO.model_copy(update={"name": "Twin"}),
                _ONE,
                _TWO.model_copy(update={"packs_max": 1}),
            ),
            "weights": Weights(price=0, life_cost=0, usable=0, weight=0, noise=0),
            "vehicle": Vehicle(distance=12, consumption=200, consumption_unit="Wh/km", charger_a=5),
        }
    ),
    "speck": _SMALL.model_copy(
        update={
            "loads": (
                Load(name="Spark", running_w=0.01, hours_per_day=10, starts_at=20),
                Load(name="Dot", running_w=0.06, hours_per_day=2, feed="USB"),
            ),
            "candidates": (
                _LOW.model_copy(update={"idle_w": 0.0, "storage_wh": 0.8, "dc_w": 0.03, "pv_input_w": 0.05}),
                _LOW.model_copy(update={"idle_w": 0.0, "storage_wh": 0.5, "packs": 0}),
            ),
            "months": (Month(clearness=0.02),) * 5 + (Month(clearness=0.4),) * 7,
            "array": Array(modules=3, power_w=1, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=0.4),
            "vehicle": Vehicle(),
        }
    ),
    "speck, dim": _SMALL.model_copy(
        update={
            "loads": (
                Load(name="Meter", measured_wh_per_day=2.4),
                Load(name="Half", measured_wh_per_day=1, hours_per_day=0.5, starts_at=7),
            ),
            "candidates": (
                _LOW.model_copy(update={"charge_min_c": 0}),
                _LOW.model_copy(update={"name": "Second", "storage_wh": 1.0, "packs": 0}),
            ),
            "months": (Month(clearness=0.02),) * 12,
            "array": Array(modules=1, power_w=1, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=0.4),
            "vehicle": Vehicle(),
        }
    ),
    "starter, a quiet one first": _HOME.model_copy(
        update={
            "loads": tuple(load.model_copy(update={"gap_ms": None}) for load in _HOME.loads),
            "candidates": (
                _ONE.model_copy(update={"noise_db": None, "weight_kg": None, "ac_sockets": None}),
                _TWO.model_copy(update={"noise_db": 90.0}),
            ),
            "outage": Outage(days=1, starts_at=12, leave_out="No load of this name"),
        }
    ),
    "no voltage limit stated": CORNERS["one of each"].model_copy(
        update={"candidates": (_UNIT.model_copy(update={"pv_max_v": None}),), "array": Array(modules=2)}
    ),
}
"""Cases at the edge of what a job may be. In the doll's house every number is near 1, so that no threshold is far."""

_STRINGY = {"pv_inputs": 2, "pv_min_v": 0.0, "pv_max_v": 480.0, "pv_max_isc_a": None, "pv_max_a": 13.0}
CORNERS |= {
    "on the hour": Case(
        loads=(
            Load(name="Oven", running_w=1500, hours_per_day=0.333333333333333, starts_at=18.6666666666667),
            Load(name="Kettle", running_w=1500, hours_per_day=0.5, starts_at=19, turns="ring", starting_w=1600),
            Load(
                name="Grill", running_w=1700, hours_per_day=0.666666666666668, starts_at=18.3333333333333, turns="ring"
            ),
            Load(name="Unknown"),
            Load(name="Someday", running_w=40),
            Load(name="None of it", quantity=0, running_w=5),
            Load(name="Lamp", running_w=5, hours_per_day=1, feed="12 V DC", starts_at=3),
        ),
        candidates=(
            _UNIT.model_copy(
                update={
                    "name": "Fixed",
                    "packs": 0,
                    "packs_max": 4,
                    "pack_wh": 2100.0,
                    "dc_w": None,
                    "ac_charge_w": None,
                }
            ),
            _UNIT.model_copy(
                update={"name": "Heavy", "ac_volts_2": 120, "packs_max": 1, "pack_wh": 500.0, "pack_price": 9.0}
                | _STRINGY
            ),
            _UNIT.model_copy(
                update={"name": "Wide", "continuous_w": 5000.0, "surge_w": 9000.0, "packs_max": 1, "pack_wh": 15000.0}
                | {"pv_min_v": 120.0, "pv_max_v": 460.0}
            ),
        ),
        sizing=Sizing(inverter="only with AC loads", lift_kg=20, autonomy_days=0.5),
        outage=Outage(days=3, starts_at=18, sky=0),
        recharge=Recharge(generator_w=500),
        vehicle=Vehicle(distance=20, consumption=150, consumption_unit="Wh/km", charger_a=10),
        sun=Sun(latitude_deg=50, month=12),
        months=(Month(peak_sun_hours=1.1),) * 12,
        array=Array(modules=6),
    ),
    "two small inputs, dim": _SMALL.model_copy(
        update={
            "candidates": (
                _LOW.model_copy(
                    update={"pv_inputs": 2, "pv_input_w": 0.8, "pv_total_w": None, "pv_max_v": 100.0, "pv_min_v": None}
                ),
            ),
            "sun": Sun(latitude_deg=30, month=6, hottest_c=60),
            "months": (Month(peak_sun_hours=0.4),) * 12,
            "array": Array(
                modules=4, power_w=3, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=0.4, power_tempco=-0.0098, noct_c=70
            ),
        }
    ),
    "two in a chain": Case(
        loads=(_FRIDGE, Load(name="Forgotten")),
        candidates=(
            _UNIT.model_copy(
                update={"name": "High", "pv_min_v": 120.0, "pv_max_v": 460.0, "packs_max": 1, "pack_wh": 100.0}
            ),
            _UNIT.model_copy(update={"name": "Narrow", "pv_min_v": 45.0, "pv_max_v": 50.0, "weight_kg": 15.0}),
        ),
        sizing=Sizing(autonomy_days=0.4, lift_kg=15),
        outage=Outage(days=4, sky=0),
        sun=Sun(latitude_deg=50, month=12),
        months=(Month(peak_sun_hours=1.1),) * 12,
        array=Array(modules=2),
    ),
}
CORNERS |= PLANS | EDGES | NEAR | SLIPS
