"""Each check at its limit, the two halves of the verdict, and what a silent data sheet leaves open."""

from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import About, Array, Candidate, Case, Load, Month, Outage, Recharge, Sizing, Sun, Vehicle
from holdover.model.study import study
from holdover.model.verdict.fit import (
    CHECK,
    NOT_PLANNED,
    NOT_STATED,
    OK,
    OUTAGE,
    OUTPUT,
    REMARKS,
    UNDER,
    Check,
    Fit,
    check,
    remarks_of,
)
from model.judging import AMPLE, KEPT, LOADS, Judged, broken, fit, judged, worked

# Hard checks


def test_every_check_is_there() -> None:
    """Eleven checks make the output half and four the outage half; five are remarks. With room in all it fits."""
    assert [f.name for f in fields(Fit) if f.type in (Check, "Check")] == [*OUTPUT, *OUTAGE, *REMARKS]
    found = judged()
    assert (found.fit.fits, found.fit.unders, found.fit.asks, found.fit.verdict) == (1, 0, 0, "fits")
    assert (found.fit.output, found.fit.outage) == (OK, OK)
    assert (found.reason, found.asks, remarks_of(found.fit, ())) == ("every check holds", "", "")


@pytest.mark.parametrize(
    ("name", "field", "needed", "said"),
    [
        ("running", "continuous_w", 1125.0, "running: 1 W less than the 1,125 needed"),
        ("apparent", "continuous_va", 1375.0, "apparent power: 1 VA less than the 1,375 needed"),
        ("starting", "surge_w", 2500.0, "starting: 1 W less than the 2,500 needed"),
        ("leg", "leg_w", 1000.0, "one leg: 1 W less than the 1,000 needed"),
        ("dc", "dc_w", 30.0, "DC ports, together: 1 W less than the 30 needed"),
        ("dc_12v", "dc_12v_w", 30.0, "12 V DC ports: 1 W less than the 30 needed"),
    ],
)
def test_a_check_turns_at_its_limit(name: str, field: str, needed: float, said: str) -> None:
    """Just enough is enough; one watt less is UNDER, with both numbers in the reason.

    The motor can't be split between two legs: its 1,000 W stand on one.
    """
    found = fit(**{field: needed})
    assert getattr(found, name) == Check(needed=needed, has=needed, margin=0, ratio=1, verdict=OK)
    assert (found.fits, found.output) == (1, OK)
    short = judged(**{field: needed - 1})
    ratio = (needed - 1) / needed
    assert getattr(short.fit, name) == Check(needed=needed, has=needed - 1, margin=-1, ratio=ratio, verdict=UNDER)
    assert (short.fit.fits, short.fit.unders, short.fit.verdict, short.reason) == (0, 1, "falls short", said)
    assert (short.fit.output, short.fit.outage, short.fit.least_ratio) == (UNDER, OK, ratio)


def test_margins_are_on_top_of_the_peaks() -> None:
    """40 % on continuous loads and 10 % on starting raise what is needed, not what is there."""
    found = fit({"sizing": Sizing(running_margin=0.4, starting_margin=0.1)})
    assert (found.running.needed, found.apparent.needed) == pytest.approx((1260, 1540), rel=1e-12)
    assert found.starting.needed == pytest.approx(2750, rel=1e-12)


@pytest.mark.parametrize(("dust", "verdict"), [(1e-9, OK), (1e-7, OK), (1e-5, UNDER), (-1e-5, OK)])
def test_a_margin_of_dust_is_none(dust: float, verdict: str) -> None:
    """A difference that rounds to nothing at six decimals does not fail a candidate; a larger one does."""
    assert check(300 + dust, 300).verdict == verdict


def test_a_product_that_floats_miss_is_still_enough() -> None:
    """1.1 x 3 kW is 3,300.0000000000005 in floats; 3,300 W are enough for it."""
    heater = (Load(name="h", running_w=3000, hours_per_day=4),)
    case = {"loads": heater, "sizing": Sizing(running_margin=0.1)}
    assert fit(case, continuous_w=3300.0).running.verdict == OK


# A data sheet that is silent


@pytest.mark.parametrize(
    ("blank", "name", "asked"),
    [
        ({"continuous_w": None}, "running", "continuous output"),
        ({"continuous_va": None, "continuous_w": 1374.0}, "apparent", "continuous apparent output"),
        ({"surge_w": None, "continuous_w": 2499.0}, "starting", "surge output"),
        ({"dc_w": None, "dc_12v_w": None}, "dc", "output of the DC ports together, output of its 12 V DC ports"),
        ({"dc_12v_w": None}, "dc_12v", "output of its 12 V DC ports"),
    ],
)
def test_a_silent_data_sheet_is_asked_and_never_a_failure(blank: dict[str, Any], name: str, asked: str) -> None:
    """Worked by hand: nothing is known to fail, so it fits; nothing is known to hold, so it is CHECK and is asked."""
    found = judged(**blank)
    assert getattr(found.fit, name).verdict == CHECK
    assert (found.fit.fits, found.fit.unders, found.fit.output) == (1, 0, CHECK)
    assert found.asks == f"ask for: {asked}"
    assert found.reason == "nothing falls short"


def test_nothing_stated_at_all_falls_short_of_nothing() -> None:
    """A name and a price: every figure is asked for, none fails."""
    whole = worked(Candidate(name="mute", price=900))
    found = Judged(whole.offers[0], whole, broken())
    assert (found.fit.unders, found.fit.output, found.fit.outage) == (0, CHECK, CHECK)
    assert "storage" in found.asks
    assert found.fit.promise.verdict == CHECK


@pytest.mark.parametrize(
    ("blank", "name", "has"),
    [
        ({"continuous_va": None, "continuous_w": 1375.0}, "apparent", 1375),
        ({"surge_w": None, "continuous_w": 2500.0}, "starting", 2500),
        ({"leg_w": None}, "leg", "no legs"),
        ({"dc_w": None, "dc_12v_w": 30.0}, "dc", 30),
    ],
)
def test_what_holds_on_the_figure_that_is_sure_holds(blank: dict[str, Any], name: str, has: Any) -> None:
    """Blank volt-amperes are at least the watts, a surge at least the continuous output, the ports at least one."""
    found = getattr(fit(**blank), name)
    assert (found.has, found.verdict) == (has, OK)


@pytest.mark.parametrize("field", ["dc_w", "dc_12v_w"])
def test_a_stated_nothing_is_a_failure(field: str) -> None:
    """0 W at the ports is a statement: it has none."""
    found = fit(**{field: 0.0})
    assert (found.output, found.fits, found.least_ratio) == (UNDER, 0, 0)


def test_a_port_that_nobody_asks_for_may_be_silent() -> None:
    """No USB load, no question about USB."""
    assert fit(usb_w=None).usb == Check(needed=0, has=NOT_STATED, margin="", ratio="", verdict=OK)


# Voltages and legs

WELL = Load(name="well", running_w=700, hours_per_day=1, starts_at=6, feed="240 V")


@pytest.mark.parametrize(
    ("made", "second", "at_once", "missing", "verdict"),
    [
        (120.0, None, None, 1, UNDER),
        (120.0, 240.0, "both", 0, OK),
        (240.0, 120.0, "both", 0, OK),
        (120.0, 240.0, None, 0, CHECK),
        (120.0, 240.0, "by switch", 1, UNDER),
        (240.0, None, None, 2, UNDER),
        (None, None, None, 1, CHECK),
        (230.0, None, None, 3, UNDER),
    ],
)
def test_every_ac_voltage_must_be_there_at_once(
    made: float | None, second: float | None, at_once: str | None, missing: int, verdict: str
) -> None:
    """Each AC load needs its own voltage; of two voltages by switch only one is there, and silence is asked."""
    found = fit({"loads": (*LOADS, WELL)}, ac_volts=made, ac_volts_2=second, volts_at_once=at_once)
    assert (found.voltage.needed, found.voltage.has) == (3, 3 - missing)
    assert found.voltage.verdict == verdict


def test_two_voltages_by_switch_do_for_loads_of_one() -> None:
    """Nobody asks for 240 V: that it comes by a switch, or is not said, matters to nobody."""
    for at_once in ("by switch", None):
        assert fit(ac_volts_2=240.0, volts_at_once=at_once).voltage.verdict == OK
    told = judged({"loads": (*LOADS, WELL)}, ac_volts_2=240.0, volts_at_once="by switch").reason
    assert told == "voltage: 1 of 3 AC loads are not served; it gives one voltage at a time"


def test_a_leg_gives_half_where_both_voltages_are_there_at_once() -> None:
    """Worked by hand: 3,000 W in all are 1,500 W a leg; a heater of 1,600 W on one leg is too much for it.

    The half is taken, not stated, and is not enough: CHECK, and no figure is shown as if it were there; stated it is UNDER.
    """
    case = {"loads": (Load(name="heater", running_w=1600, hours_per_day=1, starts_at=6), WELL)}
    split = {"ac_volts_2": 240.0, "volts_at_once": "both", "continuous_w": 3000.0, "continuous_va": 3000.0}
    found = fit(case, **split)
    assert (found.leg.needed, found.leg.has, found.leg.verdict) == (350 + 1600, NOT_STATED, CHECK)
    assert fit(case, **split | {"continuous_w": 3900.0}).leg.has == 1950
    assert fit(case, **split, leg_w=1500.0).leg.verdict == UNDER
    assert fit(case, **split, leg_w=1950.0).leg.verdict == OK


def test_dc_loads_need_no_ac_voltage() -> None:
    """A unit of another AC voltage still feeds what hangs on its ports."""
    assert fit({"loads": LOADS[2:]}, ac_volts=230.0).fits == 1


# Critical loads


def test_a_critical_load_bears_no_longer_gap_than_it_states() -> None:
    """Worked by hand: a ventilator tolerates 15 ms; a unit of 30 ms is UNDER, of 15 ms is OK, silent is CHECK."""
    critical = {"loads": (*LOADS, Load(name="ventilator", running_w=60, hours_per_day=24, gap_ms=15, tier="critical"))}
    found = judged(critical, transfer_ms=30.0)
    assert (found.fit.gap.verdict, found.fit.output, found.fit.fits) == (UNDER, UNDER, 0)
    assert (found.fit.gap.ratio, found.fit.least_ratio) == (0.5, 0.5)
    assert found.reason == "transfer: a gap of 30 ms, where a critical load tolerates 15"
    assert fit(critical, transfer_ms=15.0).gap.verdict == OK
    silent = judged(critical, transfer_ms=None)
    assert (silent.fit.gap.verdict, silent.asks) == (CHECK, "ask for: transfer time")


@pytest.mark.parametrize("changed", [{}, {"transfer_ms": None}])
def test_where_the_unit_alone_feeds_its_loads_there_is_no_gap_to_bear(changed: dict[str, Any]) -> None:
    """Off the grid nothing is transferred: the time is neither asked nor judged. A generator by the hour brings it back."""
    loads = (*LOADS, Load(name="ventilator", running_w=60, hours_per_day=24, gap_ms=15, tier="critical"))
    unit = {"transfer_ms": 30.0, **changed}
    away = {"loads": loads, "about": About(purpose="off grid")}
    found = judged(away, **unit)
    assert (found.fit.gap.verdict, found.fit.transfer.verdict, found.asks) == (NOT_PLANNED, NOT_PLANNED, "")
    assert (found.fit.output, found.fit.fits) == (OK, 1)
    backed = away | {"recharge": Recharge(generator_w=1800), "outage": Outage(generator_hours=2)}
    assert fit(backed, **unit).gap.verdict in (UNDER, CHECK)
    assert fit(away | {"outage": Outage(mains_hours=2)}, **unit).gap.verdict in (UNDER, CHECK)


def test_the_same_gap_is_a_remark_where_no_critical_load_minds() -> None:
    """The lamps tolerate 20 ms and are essential: 30 ms are told and decide nothing."""
    found = fit(transfer_ms=30.0)
    assert (found.gap.verdict, found.transfer.verdict, found.fits) == (NOT_STATED, CHECK, 1)


# The outage half


def test_a_broken_promise_is_under_with_its_hour_and_both_numbers() -> None:
    """Worked by hand from an outage that begins at 18:00: hour 27 is 21:00 on day 2."""
    full, usable = worked(AMPLE).offers[0].held.full_wh, worked(AMPLE).offers[0].held.usable_wh
    found = judged(None, broken(full + 178 / 0.9))
    assert (found.fit.output, found.fit.outage, found.fit.fits) == (OK, UNDER, 0)
    assert found.reason == (
        f"essential loads are off or short from 21:00 on day 2: storage 178 Wh less than the "
        f"{round(usable + 178):,} needed with 10 % margin ({usable:,.0f} usable)"
    )
    assert found.fit.least_ratio == pytest.approx(full / (full + 178 / 0.9), rel=1e-12)


def test_a_promise_kept_without_its_margin_fits_and_is_told() -> None:
    """CHECK: every tier of the promise is served, and the margin on energy is not there."""
    full = worked(AMPLE).offers[0].held.full_wh
    found = judged(None, broken(full + 200 / 0.9, word=CHECK))
    assert (found.fit.outage, found.fit.fits, found.fit.asks) == (CHECK, 1, 1)
    assert found.asks.startswith("the promise is kept, without the margin: storage 200 Wh less than the ")


def test_a_promise_that_the_device_breaks_is_told_apart() -> None:
    """Storage would do, but what is set in the device sheds a promised tier: UNDER, and no storage is missing."""
    found = judged(None, broken(1000))
    assert (found.fit.outage, found.fit.least_ratio) == (UNDER, 1)
    assert found.reason == (
        "essential loads are off or short from 21:00 on day 2: the device drops them while storage would do"
    )


def test_a_promise_that_holds_with_its_margin_may_still_ask_for_a_look() -> None:
    """CHECK with the margin there: a source that trips, or a day that does not repeat."""
    whole = worked(AMPLE)
    through = replace(
        whole.offers[0].carried, lowest_charge_w=500.0, source_trips_w=460.0, runs_down=1, daily_balance_wh=-90.0
    )
    found = Judged(replace(whole.offers[0], carried=through), whole, replace(KEPT, word=CHECK))
    assert (found.fit.outage, found.fit.fits) == (CHECK, 1)
    assert found.asks == (
        "loads and charger trip a source by 460 W unless charging is set lower; "
        "the last day ends with 90 Wh less than it began with"
    )


@pytest.mark.parametrize(("over_w", "said"), [(4143.0, "3,643"), (500.5, "1")])
def test_loads_that_trip_a_source_by_themselves_are_told_without_the_charger(over_w: float, said: str) -> None:
    """Loads of 5,643 W and a charger of 500 at 2,000 W: without the charger still 3,643 too many; no setting cures it."""
    whole = worked(AMPLE)
    through = replace(whole.offers[0].carried, lowest_charge_w=500.0, source_trips_w=over_w)
    found = Judged(replace(whole.offers[0], carried=through), whole, replace(KEPT, word=CHECK))
    assert found.asks == f"loads alone draw {said} W more than a source gives: it trips"


def test_a_promise_that_no_size_keeps_says_so() -> None:
    """A start at the reserve: never."""
    found = judged(None, broken("never", until_h=0))
    assert (found.fit.promise.needed, found.fit.least_ratio, found.fit.outage) == ("never", 0, UNDER)
    assert "no size of storage keeps the promise" in found.reason


def test_days_without_refill_are_asked_for_only_where_storage_is_sized_by_them() -> None:
    """Worked by hand: by days the need is the mean day with its margin; a promise broken beyond it is a CHECK.

    Where critical loads go short it stays UNDER.
    """
    assert fit().storage.verdict == NOT_PLANNED
    days = {"sizing": Sizing(basis="days without recharging")}
    offer = worked(AMPLE, **days).offers[0]
    enough = offer.storage.needed_wh / offer.storage.per_wh
    assert fit(days, storage_wh=enough).storage.verdict == OK
    assert fit(days, storage_wh=enough - 1).storage.verdict == UNDER
    assert fit(days, broken()).outage == CHECK
    assert fit(days, broken(tier="critical")).outage == UNDER


def test_what_is_not_planned_is_not_checked() -> None:
    """Without modules and without a vehicle those checks say so, and count neither way."""
    found = fit(pv_inputs=None)
    assert (found.solar.verdict, found.vehicle.verdict, found.unders) == (NOT_PLANNED, NOT_PLANNED, 0)


def test_modules_that_find_no_allowed_layout_are_a_reason() -> None:
    """No input, or one that the cold voltage would destroy, is UNDER once modules are planned; a blank is CHECK."""
    sheet = {"power_w": 400, "voc_v": 37, "vmp_v": 31, "isc_a": 13.9, "imp_a": 12.9, "voc_tempco": -0.0028}
    array = Array.model_validate({"modules": 2, **sheet})
    case = {"array": array, "months": (Month(peak_sun_hours=4),) * 12, "sun": Sun(coldest_c=-30)}
    assert fit(case).solar.verdict == OK
    none = judged(case, pv_inputs=0)
    assert (none.fit.solar.verdict, none.fit.outage, none.fit.fits) == (UNDER, UNDER, 0)
    assert "solar: no solar input" in none.reason
    assert fit(case, pv_max_v=43.0).solar.verdict == UNDER
    silent = judged(case, pv_max_v=None)
    assert (silent.fit.solar.verdict, silent.asks) == (CHECK, "ask for: its solar inputs")


def test_a_vehicle_needs_storage_and_the_chargers_draw() -> None:
    """Too little storage for loads and drive, too little output or the wrong voltage each fail the vehicle."""
    case = {"vehicle": Vehicle(distance=5), "sizing": Sizing(basis="days without recharging")}
    assert fit(case).vehicle.verdict == OK
    assert fit(case, storage_wh=1000.0).vehicle.verdict == UNDER
    assert fit(case, continuous_w=1300.0, continuous_va=5000.0).vehicle.verdict == UNDER
    assert fit(case, continuous_w=1300.0, continuous_va=5000.0).least_ratio < 1
    assert fit(case, ac_volts=230.0).vehicle.verdict == UNDER
    assert fit(case, continuous_w=None).vehicle.verdict == CHECK
    abroad = {**case, "vehicle": Vehicle(distance=5, charger_v=230)}
    assert (fit(abroad).vehicle.verdict, fit(abroad, ac_volts=None).vehicle.verdict) == (UNDER, CHECK)
    assert "vehicle: its charger needs another voltage" in judged(case, ac_volts=230.0).reason
    assert "storage for loads and drive: " in judged(case, storage_wh=1000.0).reason


# Spare columns, several reasons, and what must always hold


def test_a_spare_column_is_judged_in_no_way() -> None:
    """A candidate without a name has no verdict, no reason and does not fit."""
    spare = worked(AMPLE).offers[1]
    assert {getattr(spare.fit, name).verdict for name in (*OUTPUT, *OUTAGE, *REMARKS)} == {""}
    assert (spare.fit.fits, spare.fit.verdict, spare.fit.output, spare.fit.outage) == (0, "", "", "")
    assert (spare.reason, spare.ask, spare.remarks) == ("", "", "")


def test_every_shortfall_is_told() -> None:
    """All failed checks stand in the reason, in their order."""
    found = judged(None, broken(), continuous_w=500.0, continuous_va=500.0, surge_w=900.0, dc_w=0.0)
    assert found.fit.unders == 5
    assert [part.split(":")[0] for part in found.reason.split("; ")] == [
        "running",
        "apparent power",
        "starting",
        "DC ports, together",
        "essential loads are off or short from 21",  # 21:00 on day 2: storage 1 Wh less
    ]


@given(st.integers(0, 3000), st.integers(0, 5000), st.integers(0, 60), st.integers(0, 9000))
@settings(derandomize=True, deadline=None, max_examples=40)
def test_more_of_everything_never_turns_a_fit_away(watts: int, surge: int, dc: int, storage: int) -> None:
    """A candidate that fits still fits with more output, surge, ports and storage."""
    less = {"continuous_w": float(watts), "surge_w": float(surge), "dc_w": float(dc), "storage_wh": float(storage)}
    more = {name: value * 1.5 + 10 for name, value in less.items()}
    small, large = worked(AMPLE.model_copy(update=less), AMPLE.model_copy(update=more)).offers[:2]
    assert large.fit.unders <= small.fit.unders
    assert large.fit.least_ratio >= small.fit.least_ratio
    assert small.fit.fits == (small.fit.unders == 0) == (UNDER not in (small.fit.output, small.fit.outage))
    for name in ("running", "apparent", "starting", "dc"):
        one = getattr(small.fit, name)
        assert (one.verdict == OK) == (round(one.margin, 6) >= 0)
        assert one.margin == pytest.approx(one.has - one.needed, rel=1e-12, abs=1e-9)


def test_a_charger_that_is_held_by_half_a_watt_lacks_its_voltage_alone() -> None:
    """240 V x 10 A are 2,400 W: with 2,400.5 W of 120 V what is wrong is the voltage, with 2,399.4 W the draw."""
    drive = {"vehicle": Vehicle(distance=1, charger_v=240, charger_a=10)}
    assert judged(drive, storage_wh=30_000, continuous_w=2400.5).reason.endswith(
        "vehicle: its charger needs another voltage"
    )
    assert judged(drive, storage_wh=30_000, continuous_w=2399.4).reason.endswith(
        "vehicle: its charger draws 1 W more than this unit gives"
    )


def test_a_weight_of_nothing_is_a_weight() -> None:
    """A data sheet that says 0 kg, of the unit and of its pack, is not silent."""
    found = fit(weight_kg=0.0, pack_wh=1000.0, pack_weight_kg=0.0, packs_max=1, packs=1)
    assert (found.weight_kg, found.heaviest_kg) == (0.0, 0.0)


def waiting(**other: Any) -> tuple[Fit, str]:
    """The fit, and what is asked, of a unit that falls short of three days by what a source may give that is not stated."""
    unit = {"name": "A", "storage_wh": 6000, "continuous_w": 3000, "surge_w": 6000, "ac_volts": 120, "pv_inputs": 0}
    case = Case(
        about=About(purpose="trip"),
        loads=(Load(name="Fridge", running_w=150, hours_per_day=24, tier="critical"),),
        candidates=(Candidate(**{**unit, **other.get("unit", {})}),),
        outage=Outage(days=3, generator_from=10, generator_hours=6, sky=other.get("sky", 0.6)),
        recharge=Recharge(generator_w=other.get("generator_w", 2000)),
        vehicle=Vehicle(distance=other.get("distance", 5), distance_unit="km", consumption=18),
        array=Array(modules=other.get("modules", 0)),
        sizing=Sizing(feed="120 V"),
    )
    (offer, *_) = study(case).offers
    return offer.fit, offer.asked


def test_a_drive_waits_for_charging_that_is_not_stated() -> None:
    """Storage that the drive alone would find is not said to be short while nobody knows what the loads leave of it."""
    found, asked = waiting()
    assert (found.promise.verdict, found.vehicle.verdict, found.outage, asked) == (CHECK, CHECK, CHECK, "AC charging")
    known, _ = waiting(unit={"ac_charge_w": 50})
    assert (known.promise.verdict, known.vehicle.verdict) == (UNDER, UNDER)
    far, _ = waiting(distance=30)
    assert (far.promise.verdict, far.vehicle.verdict) == (CHECK, UNDER)
    assert waiting(generator_w=0)[0].vehicle.verdict == UNDER


def test_what_no_charging_can_cure_falls_short() -> None:
    """From 16:00 to 10:00 the fridge takes 18 x 150 Wh and what goes with it: 2800 Wh hold less each time, however charged.

    As much is told of the same unit with all that the generator gives stated; and with storage that holds the night it waits.
    """
    silent, asked = waiting(unit={"storage_wh": 2800})
    stated, _ = waiting(unit={"storage_wh": 2800, "ac_charge_w": 2000})
    assert (silent.promise.verdict, stated.promise.verdict, asked) == (UNDER, UNDER, "")
    assert waiting()[0].promise.verdict == CHECK


def test_nothing_waits_for_inputs_under_a_sky_that_gives_none() -> None:
    """Modules on inputs that are not stated might keep the promise, but not where the sun of the days is set to nothing."""
    inputs: dict[str, Any] = {"generator_w": 0, "modules": 2, "unit": {"pv_inputs": None}}
    assert waiting(**inputs)[0].promise.verdict == CHECK
    assert waiting(**inputs, sky=0.0)[0].promise.verdict == UNDER
