"""Loads, demand, comparison and ranking: an engine that starts from nothing computes what the reference model says."""

from random import Random
from typing import Any

import pytest

from engines.bench import Bench
from engines.walk import grid_of
from holdover.case.schema import (
    Array,
    Candidate,
    Case,
    Load,
    Money,
    Outage,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
)
from holdover.case.section import choices_of
from holdover.model.study import Slots, study
from holdover.model.verdict.fit import OUTAGE, OUTPUT, REMARKS

LOADS_SIDE = ("load", "line", "spared", "pool", "hours", "demand", "look_for", "doubt")
MINE = (
    *LOADS_SIDE,
    "storage",
    "need",
    "word",
    "there",
    "check",
    "fit",
    "cost",
    "rank",
    "field",
    "near",
    "stages",
    "lead",
)
SLOTS = Slots(loads=12, candidates=5, days=2)
FEEDS: tuple[str | None, ...] = (*choices_of(Load.model_fields["feed"]), None, "120 V", "120 V")


def stated(section: Any, rows: dict[str, tuple[Any, ...]], random: Random) -> Any:
    """A section of which every figure is drawn from those it may have, None for a blank."""
    drawn = {name: random.choice(values) for name, values in rows.items()}
    return section(**{name: value for name, value in drawn.items() if value is not None})


def load(random: Random) -> Load:
    found: Load = stated(
        Load,
        {
            "name": ("Pump", "Lamp", "Fan", ""),
            "on": ("yes", None, None, None, "no"),
            "tier": ("critical", "essential", "convenience", None),
            "quantity": (None, 0, 1, 3),
            "running_w": (None, 50, 100, 300, 900, 1500),
            "starting_w": (None, None, 80, 900, 2500),
            "power_factor": (None, 0.6, 0.8),
            "duty": (None, 0.4),
            "hours_per_day": (None, 0.5, 2, 2.5, 3, 24),
            "starts_at": (None, None, 0, 6.5, 22.25),
            "feed": FEEDS,
            "turns": ("", "", "Kitchen", "kitchen", "wash"),
            "measured_wh_per_day": (None, None, None, 100, 800),
            "gap_ms": (None, None, None, 5, 15),
            "basis": (None, "metered", "label", "typical", "estimate"),
        },
        random,
    )
    return found


def candidate(random: Random) -> Candidate:
    found: Candidate = stated(
        Candidate,
        {
            "name": ("Unit A", "Unit B", "Unit C", ""),
            "storage_wh": (None, 500, 2000, 6000, 20_000),
            "continuous_w": (None, 0, 800, 2000, 9000),
            "continuous_va": (None, 3000),
            "surge_w": (None, 1000, 4000, 12_000),
            "ac_volts": (None, 120, 230, 240),
            "ac_volts_2": (None, 120, 240),
            "volts_at_once": (None, "both", "by switch"),
            "leg_w": (None, None, 2000),
            "ac_sockets": (None, 2, 8),
            "dc_w": (None, 0, 60, 600),
            "usb_w": (None, 0, 60),
            "dc_12v_w": (None, 0, 900),
            "dc_24v_w": (None, 300),
            "pack_wh": (None, 2000),
            "packs_max": (None, 1, 8),
            "packs": (None, None, None, 2),
            "ac_charge_w": (None, 600),
            "pv_inputs": (None, 0, 2, 2),
            "pv_min_v": (20,),
            "pv_max_v": (None, 150, 150),
            "pv_max_a": (15,),
            "weight_kg": (None, 15, 40),
            "pack_weight_kg": (None, 20),
            "price": (None, 900, 1500, 4000),
            "pack_price": (None, 800),
            "noise_db": (None, 40, 60),
            "transfer_ms": (None, 8, 20),
            "charge_min_c": (None, -10),
            "pv_max_isc_a": (None, 90),
        },
        random,
    )
    return found


MODULES = {
    "modules": (0, 4),
    "power_w": (None, 400),
    "voc_v": (37,),
    "vmp_v": (31,),
    "isc_a": (13.9,),
    "imp_a": (13,),
    "voc_tempco": (-0.0028,),
}
"""Modules of which the power may be blank."""


def drawn(seed: int) -> Case:
    random = Random(seed)
    return Case(
        loads=tuple(load(random) for _ in range(random.choice((0, 1, 4, 10)))),
        candidates=tuple(candidate(random) for _ in range(random.choice((0, 1, 3, 5)))),
        sizing=stated(
            Sizing,
            {
                "basis": ("planned days", "days without recharging"),
                "at_once": (0, 1, 2),
                "starting": ("one at a time", "together"),
                "inverter": ("always on", "only with AC loads"),
                "feed": ("120 V", "230 V"),
                "storage_c": (20, -5),
            },
            random,
        ),
        money=stated(
            Money,
            {"rank_by": choices_of(Money.model_fields["rank_by"]), "labour_price": (0, 150), "tax_share": (0, 0.08)},
            random,
        ),
        outage=stated(
            Outage,
            {
                "days": (1, 2),
                "starts_at": (0, 18, 23),
                "promise": choices_of(Outage.model_fields["promise"]),
                "start_share": (1, 0.5, 0.05),
                "packs": (None, None, None, 1),
                "leave_out": ("", "", "lamp"),
            },
            random,
        ),
        recharge=stated(Recharge, {"generator_w": (0, 2000)}, random),
        vehicle=stated(Vehicle, {"distance": (0, 0, 5), "charger_v": (120, 240), "charger_a": (6, 32)}, random),
        array=stated(Array, MODULES, random),
        sun=stated(Sun, {"coldest_c": (None, -15, -15)}, random),
    )


AMPLE = Candidate(
    name="Ample", storage_wh=30_000, continuous_w=9000, surge_w=20_000, transfer_ms=8, dc_24v_w=100, price=4000
)
GENEROUS = Case(
    loads=(
        Load(name="Breather", running_w=60, hours_per_day=24, tier="critical", gap_ms=15),
        Load(name="Desk", running_w=90, hours_per_day=8, gap_ms=20),
        Load(name="Radio", running_w=20, hours_per_day=4, feed="24 V DC"),
    ),
    candidates=(
        AMPLE,
        AMPLE.model_copy(update={"name": "Slow", "transfer_ms": 30, "dc_24v_w": 10, "price": 3000}),
        AMPLE.model_copy(update={"name": "Silent", "transfer_ms": None, "dc_24v_w": None, "price": 3000}),
        AMPLE.model_copy(update={"name": "Dear", "price": 5000}),
    ),
    vehicle=Vehicle(distance=5, charger_a=6),
    money=Money(budget=4000),
)
CASES = {"generous": GENEROUS, **{f"drawn {seed}": drawn(seed) for seed in range(30)}}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_engine_computes_what_the_model_says(case: Case) -> None:
    """Loads and candidates with any figure blank, every setting that decides: each formula is the model's value."""
    assert Bench(study(case, SLOTS), MINE).differences()[:5] == []


def test_the_cases_say_every_word_there_is() -> None:
    """The cases above have every check that holds and is open, and all but two that fall short."""
    words: dict[str, set[str]] = {}
    for case in CASES.values():
        for offer in study(case, SLOTS).offers:
            for name in (*OUTPUT, *OUTAGE, *REMARKS):
                words.setdefault(name, set()).add(getattr(offer.fit, name).verdict)
    assert {name for name, said in words.items() if "OK" not in said} == set()
    assert {name for name in (*OUTPUT, *OUTAGE) if "UNDER" not in words[name]} <= {"dc_48v", "leg"}
    assert {name for name in words if "CHECK" not in words[name]} == set()


def test_typing_is_the_same_as_a_case_with_those_values() -> None:
    """A load switched off, watts, a price and a surge output typed in the cells: as a case with those values."""
    base = Case(
        loads=(
            Load(name="Fridge", running_w=150, starting_w=900, hours_per_day=24, duty=0.4),
            Load(name="Kettle", running_w=1500, hours_per_day=0.3, tier="convenience"),
            Load(name="Lamp", running_w=9, hours_per_day=5, feed="12 V DC"),
        ),
        candidates=(
            Candidate(name="A", storage_wh=4000, continuous_w=2500, surge_w=3000, price=900, pack_wh=1000, packs_max=2),
            Candidate(name="B", storage_wh=6000, continuous_w=3000, surge_w=800, price=1200),
        ),
    )
    typed = base.model_copy(
        update={
            "loads": (base.loads[0], base.loads[1].model_copy(update={"on": "no"}), base.loads[2]),
            "candidates": (
                base.candidates[0].model_copy(update={"price": 1500}),
                base.candidates[1].model_copy(update={"surge_w": 5000}),
            ),
            "sizing": Sizing(at_once=1, running_margin=0.5),
        }
    )
    bench = Bench(study(base, SLOTS), MINE)
    assert bench.differences()[:5] == []
    bench.type_in("load", "on", "no", 1)
    bench.type_in("candidates", "price", 1500, 0)
    bench.type_in("candidates", "surge_w", 5000, 1)
    bench.type_in("sizing", "at_once", 1)
    bench.type_in("sizing", "running_margin", 0.5)
    bench.engine.recalculate()
    bench.made = study(typed, SLOTS)
    assert bench.differences()[:5] == []


def test_words_and_figures_of_a_check_stand_in_one_row() -> None:
    """The word, what is there and what is asked are three tables beside each other: their rows never part."""
    grid = grid_of(study(Case(), SLOTS))
    need, word, there = (grid.tables[name] for name in ("need", "word", "there"))
    for name in (*OUTPUT, *OUTAGE, *REMARKS):
        rows = {grid.at(table, name, 0)[0] for table in (need, word, there)}
        assert len(rows) == 1, name
        first, second = grid.at(word, name, 0)[1], grid.at(word, name, 1)[1]
        assert first < grid.at(there, name, 0)[1] < second
