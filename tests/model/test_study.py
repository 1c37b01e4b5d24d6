"""The whole case: pure, in scale, with spare room that changes nothing."""

from pathlib import Path
from typing import Any

import pytest

from holdover.case.schema import Candidate, Case, Delivery, Load, Outage, Recharge, Sizing, Vehicle
from holdover.case.section import Section
from holdover.model.desk import padded
from holdover.model.outage.what_if import SCALES
from holdover.model.study import Slots, Study, slots_for, study
from holdover.returned.read import read_any

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
LOADS = (
    Load(name="fridge", running_w=150, starting_w=900, duty=0.35, hours_per_day=24),
    Load(name="lamps", quantity=5, running_w=9, hours_per_day=5, starts_at=18, tier="convenience"),
    Load(name="device", running_w=40, hours_per_day=8, starts_at=22, tier="critical"),
)
SMALL = Candidate(
    name="small",
    storage_wh=1870,
    continuous_w=1730,
    surge_w=3390,
    pack_wh=1870,
    packs_max=3,
    price=1145,
    pack_price=590,
)
LARGE = Candidate(name="large", storage_wh=4690, continuous_w=1910, surge_w=3850, price=2570)
WEAK = Candidate(name="weak", storage_wh=4690, continuous_w=190, surge_w=700, price=990)


def case(**parts: Any) -> Case:
    by_days = Sizing(basis="days without recharging")
    return Case(**{"loads": LOADS, "candidates": (LARGE, SMALL, WEAK), "sizing": by_days, **parts})


def sample(name: str) -> Case:
    found, *_ = read_any(SAMPLES / name)
    assert found is not None
    return found


def offer(found: Study, name: str) -> Any:
    return next(one for one in found.offers if one.name == name)


def test_one_case_gives_one_study() -> None:
    """Nothing but the case decides: the same case gives the same study, record for record."""
    assert study(case()) == study(case())


def test_days_and_deliveries_are_numbered_from_one() -> None:
    worked_out = study(case())
    assert [day.day for day in worked_out.skies] == list(range(1, 15))
    assert [line.number for line in worked_out.deliveries] == list(range(1, len(worked_out.deliveries) + 1))


def test_spare_rows_and_columns_change_nothing() -> None:
    """Room for more loads and candidates leaves demand, decision and every offer as they are."""
    close, wide = study(case(), Slots(loads=3, candidates=3)), study(case(), Slots(loads=60, candidates=12))
    assert close.demand == wide.demand
    assert close.decision == wide.decision
    assert close.offers == wide.offers[:3]
    assert (len(wide.lines), len(wide.offers)) == (60, 12)


def test_there_is_always_room_for_more() -> None:
    """At least 4 spare loads, a spare candidate and a day more, and 25 and 4 in all; no more days than may be asked.

    Each spare line is some 100 formulas that a client may never need; a case of more loads is built anew.
    """
    for count in (0, 1, 22, 23, 57, 500):
        slots = slots_for(Case(loads=LOADS[:1] * count, candidates=(SMALL,) * min(count, 40)))
        assert slots.loads >= max(25, count + 4)
        assert slots.candidates >= max(4, min(count, 40) + 1)
    assert [slots_for(Case(outage=Outage(days=days))).days for days in (1, 13, 14)] == [2, 14, 14]


def test_the_pick_is_the_first_in_rank_of_those_that_fit() -> None:
    """The cheapest that fits is the pick; the cheaper one that does not fit is passed over."""
    found = study(case())
    assert (found.decision.listed, found.decision.fitting) == (3, 2)
    assert (found.decision.pick, found.decision.pick_number) == ("small", 2)
    assert found.decision.headline.startswith("small with ")
    assert offer(found, "small").rank.rank == 1
    assert offer(found, "weak").rank.rank == ""


def test_where_nothing_fits_nothing_is_picked() -> None:
    """No candidate, or none that fits, is said in words and picks number 0."""
    none = study(case(candidates=()))
    assert (none.decision.pick, none.decision.pick_number, none.decision.headline) == (
        "none",
        0,
        "No candidate is listed yet. Look for 294 W continuous (294 VA), 985 W at a start, 120 V; 6,151 Wh of nameplate "
        "storage with packs, where nothing recharges it.",
    )
    unfit = study(case(candidates=(WEAK,)))
    assert unfit.decision.pick_number == 0
    assert unfit.decision.headline.startswith("The only candidate does not fit.")


def test_an_empty_case_is_worked_out_too() -> None:
    """No loads and no candidates give a whole study of zeros and words."""
    found = study(Case())
    assert found.demand.energy_wh == 0
    assert found.decision.why == "No load is listed yet."
    assert (found.shown.number, found.shown.name) == (1, "")


def test_the_outage_sheet_follows_the_one_named_else_the_pick_else_the_first() -> None:
    """A name counts whatever its case; a name that nobody has, or none, leaves the pick."""
    assert study(case(outage=Outage(candidate="LARGE"))).shown.name == "large"
    assert study(case(outage=Outage(candidate="nobody"))).shown.name == "small"
    assert study(case()).shown.name == "small"
    assert study(case(candidates=(WEAK,))).shown.name == "weak"


def test_the_what_if_of_no_change_is_the_outage_itself() -> None:
    """As planned and on the likely day the storage that is asked is that of the candidate shown; more load asks more."""
    found = study(case(outage=Outage(days=4)))
    needed = found.shown.carried.promise.full_needed_wh
    by_name = {one.name: one for one in found.trials}
    assert by_name["As planned"].full_needed_wh == needed == found.sure[1].full_needed_wh
    asked = [by_name[f"Loads x {scale:g}"].full_needed_wh for scale in SCALES]
    assert asked == sorted(asked, key=float)
    assert float(asked[0]) < float(needed) < float(asked[-1])
    low, _, high = found.sure
    assert float(low.full_needed_wh) < float(needed) < float(high.full_needed_wh)


def test_a_load_switched_off_is_out_everywhere() -> None:
    """With `on = no` demand, outage, what to look for and doubt are those of a case without the line."""
    off = study(case(loads=(LOADS[0].model_copy(update={"on": "no"}), *LOADS[1:])))
    without = study(case(loads=LOADS[1:]))
    assert off.demand == without.demand
    assert off.look_for == without.look_for
    assert off.doubt.doubt_wh == without.doubt.doubt_wh
    assert [one.carried for one in off.offers] == [one.carried for one in without.offers]
    assert [one.full_needed_wh for one in off.trials] == [one.full_needed_wh for one in without.trials]


def test_a_vehicle_may_ask_for_more_packs_than_the_loads() -> None:
    """The packs are the fewest for loads and vehicle from the same storage, within what the unit takes."""
    roomy = SMALL.model_copy(update={"packs_max": 9, "continuous_w": 2290.0})
    alone = offer(study(case(candidates=(roomy,))), "small")
    driven = offer(study(case(candidates=(roomy,), vehicle=Vehicle(distance=30))), "small")
    assert alone.held.packs == alone.storage.packs_for_loads
    assert driven.held.packs == driven.vehicle.packs_with_loads > driven.vehicle.packs_needed > alone.held.packs
    far = offer(study(case(candidates=(roomy,), vehicle=Vehicle(distance=300))), "small")
    assert far.vehicle.packs_needed == "out of reach"
    assert far.held.packs <= 9


def test_packs_fixed_by_hand_stay() -> None:
    """A number typed for the packs is kept, however little it holds."""
    fixed = offer(study(case(candidates=(SMALL.model_copy(update={"packs": 0}),))), "small")
    assert (fixed.held.packs, fixed.fit.outage) == (0, "UNDER")


# Everything twice as large

DOUBLED: dict[Any, tuple[str, ...]] = {
    Load: ("running_w", "starting_w", "measured_wh_per_day"),
    Candidate: (
        "storage_wh", "continuous_w", "continuous_va", "surge_w", "dc_w", "usb_w", "dc_12v_w", "dc_24v_w", "dc_48v_w", "leg_w", "bypass_w", "ac_charge_min_w", "idle_w", "pack_wh", "ac_charge_w",
        "pv_max_a", "pv_max_isc_a", "pv_input_w", "pv_total_w",
    ),
    Delivery: ("energy_wh", "power_w"),
}  # fmt: skip
ENERGIES = {
    "demand": ("energy_wh", "ac_wh", "dc_wh", "critical_wh", "mean_w", "peak_running_w", "needed_running_w", "needed_va", "needed_leg_w",
               "peak_dc_w", "peak_start_one_w", "peak_start_all_w"),
    "storage": ("day_draw_wh", "needed_wh", "usable_bare_wh", "usable_most_wh", "idle_draw_wh"),
    "look_for": ("continuous_w", "continuous_va", "surge_w", "leg_w", "dc_w", "nameplate_wh", "solar_w"),
    "doubt": ("doubt_wh", "low_wh", "high_wh"),
    "held": ("nameplate_wh", "full_wh", "reserve_wh", "usable_wh"),
    "recharge": ("monthly_wh", "design_w", "generator_w_used", "generator_fuel_l"),
    "carried": ("lowest_wh", "sun_wh", "charge_wh", "mains_wh", "generator_wh", "used_wh", "wasted_wh", "daily_balance_wh", "source_trips_w"),
}  # fmt: skip
KEPT = {
    "held": ("packs", "runtime_h", "days"),
    "fit": ("verdict", "output", "outage", "unders", "asks", "fits"),
    "recharge": ("refill_days_on", "refill_days_off", "mains_h", "generator_h", "share_of_need"),
    "carried": ("lowest_share", "safe_drop_share", "runs_down"),
    "rank": ("rank",),
}


def twice(row: Any) -> Any:
    """A row with its watts, watt-hours and amperes doubled; volts, shares, hours and temperatures stay."""
    return row.model_copy(update={name: 2 * v for name in DOUBLED[type(row)] if (v := getattr(row, name)) is not None})


def doubled(one: Case) -> Case:
    """The same case in a world twice as large; modules have twice the area."""

    def section(part: Section, *names: str) -> Any:
        return part.model_copy(update={name: 2 * getattr(part, name) for name in names})

    return one.model_copy(
        update={
            "loads": tuple(map(twice, one.loads)),
            "candidates": tuple(map(twice, one.candidates)),
            "deliveries": tuple(map(twice, one.deliveries)),
            "assumed": section(one.assumed, "idle_w"),
            "array": section(one.array, "power_w", "isc_a", "imp_a"),
            "recharge": section(one.recharge, "generator_w", "outlet_a"),
            "vehicle": section(one.vehicle, "distance", "charger_a"),
        }
    )


def numbers(value: Any) -> list[Any]:
    return list(value) if isinstance(value, tuple) else [value]


def apart(values: list[Any]) -> tuple[Any, Any]:
    """Words in their places, and the figures between them."""
    words = [value if isinstance(value, str) else "" for value in values]
    return words, [value for value in values if not isinstance(value, str)]


@pytest.mark.parametrize("name", ["wrenfold-120v", "tolmere-230v"])
def test_twice_the_watts_are_twice_the_energy(name: str) -> None:
    """Every energy and power doubles when every W, Wh and m² doubles; hours, packs and verdicts stay."""
    one = sample(name)
    before, after = study(one), study(doubled(one))
    pairs = [(before, after), *zip(before.offers, after.offers, strict=True)]
    looked = 0
    for small, large in pairs:
        for part, names in ENERGIES.items():
            for each in names if hasattr(small, part) else ():
                first, second = getattr(getattr(small, part), each), getattr(getattr(large, part), each)
                words, figures = apart(numbers(first))
                assert apart(numbers(second)) == (words, pytest.approx([2 * v for v in figures], rel=1e-9, abs=1e-6)), (
                    each
                )
                looked += any(figures)
        for part, names in KEPT.items():
            for each in names if hasattr(small, part) else ():
                first, second = (
                    numbers(getattr(getattr(small, part), each)),
                    numbers(getattr(getattr(large, part), each)),
                )
                words, figures = apart(first)
                assert apart(second) == (words, pytest.approx(figures, rel=1e-9, abs=1e-9)), each
    assert looked > 100


def test_a_world_twice_as_large_is_another_case() -> None:
    """The doubling doubles something in every part that it names."""
    one = sample("wrenfold-120v")
    two = doubled(one)
    for part in ("loads", "candidates", "deliveries", "assumed", "array", "recharge", "vehicle"):
        assert getattr(one, part) != getattr(two, part)
    assert two.recharge == Recharge(generator_w=5880, outlet_a=24, fuel_price=0.98)


def test_a_planned_outage_sizes_by_its_promise() -> None:
    """Usually packs are the fewest whose full storage keeps the promise of the outage, not so many mean days."""
    planned = offer(study(case(sizing=Sizing())), "small")
    promise, room = planned.carried.promise, planned.room
    assert promise.packs == planned.held.packs == planned.room.packs == 3
    assert room.full_wh(2) < promise.full_needed_wh <= room.full_wh(3) == planned.held.full_wh
    assert promise.word == "OK"
    by_days = offer(study(case()), "small")
    assert by_days.held.packs == by_days.storage.packs_for_loads == 1
    assert (by_days.carried.promise.packs, by_days.carried.promise.word) == (3, "UNDER")
    fixed = offer(study(case(candidates=(SMALL.model_copy(update={"packs": 2}),))), "small")
    assert (fixed.held.packs, fixed.carried.promise.packs) == (2, 3)


def test_what_a_case_says_reaches_the_outage() -> None:
    """Pass-through, lowest charging, outlet and the load left out each change what is worked out."""
    base = study(case(outage=Outage(mains_hours=6), recharge=Recharge(outlet_a=5)))
    other = SMALL.model_copy(update={"ac_charge_w": 700.0, "bypass_w": 0.0, "ac_charge_min_w": 50.0})
    with_charger = study(
        case(candidates=(other,), outage=Outage(mains_hours=6, without="lamps"), recharge=Recharge(outlet_a=5))
    )
    plain, charging = offer(base, "small"), offer(with_charger, "small")
    assert plain.converter.bypass_w == SMALL.continuous_w
    assert plain.carried.mains_wh > 0
    assert charging.converter.bypass_w == 0
    assert charging.carried.mains_wh == 2 * 6 * 600  # 120 V x 5 A, all of it for the charger of 700 W
    assert charging.carried.source_trips_w == 0
    assert plain.carried.taking.full_needed_wh > charging.carried.taking.full_needed_wh
    by_name = {trial.name: trial for trial in with_charger.trials}
    assert float(by_name["Without one load"].full_needed_wh) <= float(by_name["As planned"].full_needed_wh)
    assert by_name["As planned"].price == charging.cost.total


def test_drives_and_deliveries_are_counted_together() -> None:
    """A drive of half a kilometre is one, and a delivery beside it makes two; blank lines are none."""
    drive, kettle = Vehicle(distance=0.5), Delivery(name="pump run", energy_wh=200, power_w=400)
    assert study(case()).errands == 0
    assert study(case(vehicle=drive)).errands == 1
    assert study(case(vehicle=drive, deliveries=(kettle, Delivery()))).errands == 2
    assert study(case(deliveries=(kettle,))).errands == 1


def test_a_day_has_no_more_generator_hours_than_24() -> None:
    """Two more than 23 are 24: what is tried there is what a generator that always runs does by itself."""
    small = Recharge(generator_w=100)
    found = [
        {
            trial.name: trial
            for trial in study(case(outage=Outage(days=1, generator_hours=hours), recharge=small)).trials
        }
        for hours in (23, 24)
    ]
    longer, always = found[0]["Two more generator hours"], found[1]["As planned"]
    assert longer.full_needed_wh == pytest.approx(always.full_needed_wh, rel=1e-12)
    assert longer.full_needed_wh != pytest.approx(found[0]["As planned"].full_needed_wh, rel=1e-6)


def test_rows_are_filled_up_with_blank_ones() -> None:
    """Up to a size, and not beyond."""
    assert padded((1, 2), 4, 0) == (1, 2, 0, 0)
    assert padded((1, 2), 2, 0) == (1, 2)
