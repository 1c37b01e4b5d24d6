"""Each check at its limit, and what it says."""

from dataclasses import fields
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Array, Candidate, Case, Load, Money, Month, Outage, Sizing, Sun, Vehicle
from holdover.model.fit import LOOK, NOT_PLANNED, NOT_STATED, OK, SHORT, Check, Fit, check, lasting, look, remarks_of
from holdover.model.offer import Offer
from holdover.model.study import Study, study

LOADS = (
    Load(name="motor", running_w=800, starting_w=2400, power_factor=0.8, hours_per_day=2),
    Load(name="lamps", quantity=2, running_w=50, hours_per_day=5, starts_at=18, gap_ms=20),
    Load(name="radio", running_w=30, hours_per_day=24, feed="12 V DC"),
)
"""900 W running, 1,100 VA, 2,500 W at the worst start, 30 W on DC ports, 3 AC items."""

AMPLE = Candidate(
    name="ample",
    storage_wh=9370,
    continuous_w=5150,
    surge_w=9730,
    ac_volts=120,
    ac_sockets=6,
    dc_w=310,
    pv_inputs=1,
    pv_min_v=12,
    pv_max_v=140,
    weight_kg=21,
    price=1385,
    noise_db=44,
    transfer_ms=12,
)
HARD = ("running", "apparent", "starting", "dc", "voltage", "storage", "solar", "vehicle")
SOFT = ("sockets", "lift", "noise", "transfer", "cold")


def worked(*candidates: Candidate, **case: Any) -> Study:
    return study(Case(candidates=candidates, **{"loads": LOADS, **case}))


def first(c: Candidate = AMPLE, case: dict[str, Any] | None = None, **changed: Any) -> Offer:
    return worked(c.model_copy(update=changed), **(case or {})).offers[0]


def fit(case: dict[str, Any] | None = None, **changed: Any) -> Fit:
    return first(AMPLE, case, **changed).fit


# Hard checks


def test_every_check_is_there() -> None:
    """Eight checks decide and five ask for a look; a candidate with room in all of them fits."""
    assert [f.name for f in fields(Fit) if f.type in (Check, "Check")] == [*HARD, *SOFT]
    found = fit()
    assert (found.fits, found.shorts, found.verdict, found.reason, remarks_of(found, lasting(24, 24))) == (
        1,
        0,
        "fits",
        "every check holds",
        "",
    )


@pytest.mark.parametrize(
    ("name", "field", "needed", "said"),
    [
        ("running", "continuous_w", 1125.0, "running 1125 W needed, 1124 W there"),
        ("apparent", "continuous_va", 1375.0, "apparent power 1375 VA needed, 1374 VA there"),
        ("starting", "surge_w", 2500.0, "starting 2500 W needed, 2499 W there"),
        ("dc", "dc_w", 30.0, "DC ports 30 W needed, 29 W there"),
    ],
)
def test_a_check_turns_at_its_limit(name: str, field: str, needed: float, said: str) -> None:
    """Just enough is enough; one watt less falls short, with both numbers in the reason."""
    changed: dict[str, Any] = {"continuous_va": 9000.0, field: needed}
    found = fit(**changed)
    assert getattr(found, name) == Check(needed=needed, has=needed, margin=0, verdict=OK)
    assert found.fits == 1
    found = fit(**{**changed, field: needed - 1})
    assert getattr(found, name) == Check(needed=needed, has=needed - 1, margin=-1, verdict=SHORT)
    assert (found.fits, found.shorts, found.verdict, found.reason) == (0, 1, "falls short", said)


def test_the_storage_check_turns_at_its_limit() -> None:
    """What is usable with the most packs against what is needed."""
    offer = first(AMPLE, pack_wh=1000.0, packs_max=1)
    per_wh, needed = offer.storage.per_wh, offer.storage.needed_wh
    enough = needed / per_wh - 1000
    assert fit(pack_wh=1000.0, packs_max=1, storage_wh=enough).storage.verdict == OK
    found = fit(pack_wh=1000.0, packs_max=1, storage_wh=enough - 1)
    assert found.storage.verdict == SHORT
    assert float(found.storage.margin) == pytest.approx(-per_wh, rel=1e-6)
    assert found.reason.startswith("storage ")


def test_margins_are_on_top_of_the_peaks() -> None:
    """25 % on running and 10 % on starting raise what is needed, not what is there."""
    found = fit({"sizing": Sizing(running_margin=0.25, starting_margin=0.1)})
    assert (found.running.needed, found.apparent.needed) == (1125, 1375)
    assert found.starting.needed == pytest.approx(2750, rel=1e-12)


def test_volt_amperes_left_blank_are_the_watts() -> None:
    """A sheet that states watts only is taken to give as many volt-amperes."""
    assert fit(continuous_w=1374.0).apparent == Check(needed=1375, has=1374, margin=-1, verdict=SHORT)


@pytest.mark.parametrize(("dust", "verdict"), [(1e-9, OK), (1e-7, OK), (1e-5, SHORT), (-1e-5, OK)])
def test_a_margin_of_dust_is_none(dust: float, verdict: str) -> None:
    """A difference that rounds to nothing at six decimals does not fail a candidate; a larger one does."""
    assert check(300 + dust, 300).verdict == verdict


def test_a_product_that_floats_miss_is_still_enough() -> None:
    """1.1 x 3 kW is 3,300.0000000000005 in floats; 3,300 W are enough for it."""
    heater = (Load(name="h", running_w=3000, hours_per_day=1),)
    case = {"loads": heater, "sizing": Sizing(running_margin=0.1)}
    assert fit(case, continuous_w=3300.0).running.verdict == OK


# Voltage


@pytest.mark.parametrize(
    ("made", "second", "missing"),
    [(120.0, None, 1), (120.0, 240.0, 0), (240.0, 120.0, 0), (240.0, None, 2), (None, None, 1), (230.0, None, 3)],
)
def test_every_ac_voltage_must_be_made(made: float | None, second: float | None, missing: int) -> None:
    """Each AC load needs its own voltage among the one or two of the unit; blank is that of the house."""
    well = Load(name="well", running_w=700, hours_per_day=1, feed="240 V")
    found = fit({"loads": (*LOADS, well)}, ac_volts=made, ac_volts_2=second)
    assert (found.voltage.needed, found.voltage.has) == (3, 3 - missing)
    assert found.voltage.verdict == (SHORT if missing else OK)
    told = f"voltage: another one is needed by {missing} of the AC loads" if missing else "every check holds"
    assert found.reason == told


def test_dc_loads_need_no_ac_voltage() -> None:
    """A unit of another AC voltage still feeds what hangs on its ports."""
    assert fit({"loads": LOADS[2:]}, ac_volts=230.0).fits == 1


# Planned or not


def test_what_is_not_planned_is_not_checked() -> None:
    """Without modules and without a vehicle those checks say so, and count neither way."""
    found = fit(pv_inputs=None)
    assert (found.solar.verdict, found.vehicle.verdict, found.shorts) == (NOT_PLANNED, NOT_PLANNED, 0)


def test_modules_that_find_no_allowed_layout_are_a_reason() -> None:
    """No input, or one that the cold voltage would destroy, falls short once modules are planned."""
    case = {"array": Array(modules=2), "months": (Month(peak_sun_hours=4),) * 12, "sun": Sun(coldest_c=-30)}
    assert fit(case).solar.verdict == OK
    none = fit(case, pv_inputs=0)
    assert (none.solar.verdict, none.fits) == (SHORT, 0)
    assert "solar: no solar input" in none.reason
    cold = fit(case, pv_max_v=43.0)
    assert cold.solar.verdict == SHORT
    assert "solar: " in cold.reason


def test_a_vehicle_needs_storage_and_the_chargers_draw() -> None:
    """Too little storage, too little output or the wrong voltage each fail the vehicle."""
    case = {"vehicle": Vehicle(distance=10)}
    assert fit(case).vehicle.verdict == OK
    assert fit(case, storage_wh=1000.0).vehicle.verdict == SHORT
    assert fit(case, continuous_w=1799.0, continuous_va=5000.0).vehicle.verdict == SHORT
    assert fit(case, continuous_w=1800.0, continuous_va=5000.0).vehicle.verdict == OK
    assert fit(case, ac_volts=230.0).vehicle.verdict == SHORT
    assert "vehicle" in fit(case, storage_wh=1000.0).reason


# Soft checks


@pytest.mark.parametrize(
    ("name", "changed", "remark"),
    [
        ("sockets", {"ac_sockets": 2}, "more AC items than sockets"),
        ("lift", {"weight_kg": 23.5}, "more than one person lifts"),
        ("noise", {"noise_db": 50.5}, "louder than the limit"),
        ("transfer", {"transfer_ms": 20.5}, "its transfer gap is not stated, or too long for a load"),
        ("cold", {"charge_min_c": 21.0}, "too cold there to charge"),
    ],
)
def test_a_soft_check_asks_for_a_look_and_decides_nothing(name: str, changed: dict[str, Any], remark: str) -> None:
    """The remark is made, and the candidate still fits."""
    found = fit(**changed)
    assert getattr(found, name).verdict == LOOK
    assert (remarks_of(found, lasting(24, 24)), found.fits, found.shorts) == (remark, 1, 0)


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("sockets", {"ac_sockets": 3}),
        ("lift", {"weight_kg": 23.0}),
        ("noise", {"noise_db": 50.0}),
        ("transfer", {"transfer_ms": 20.0}),
        ("cold", {"charge_min_c": 20.0}),
    ],
)
def test_on_its_limit_a_soft_check_is_silent(name: str, changed: dict[str, Any]) -> None:
    """A value at its limit is within it."""
    found = fit(**changed)
    assert getattr(found, name).verdict == OK
    assert remarks_of(found, lasting(24, 24)) == ""


@pytest.mark.parametrize(
    ("name", "field"),
    [("sockets", "ac_sockets"), ("lift", "weight_kg"), ("noise", "noise_db")],
)
def test_what_the_sheet_does_not_say_is_not_stated(name: str, field: str) -> None:
    """A blank is neither fine nor worth a look."""
    found = getattr(fit(**{field: None}), name)
    assert found.verdict == NOT_STATED
    assert found.margin == ""


def test_a_transfer_time_not_stated_asks_for_a_look_beside_a_load_that_minds() -> None:
    """A load rides out 20 ms; a sheet that is silent about its gap is worth a look, not a shrug."""
    assert fit(transfer_ms=None).transfer.verdict == LOOK


def test_an_outage_that_is_not_carried_through_asks_for_a_look() -> None:
    """Running dry before the end is told; lasting to the hour is not."""
    assert lasting(48, 47.9).verdict == LOOK
    assert lasting(48, 48).verdict == OK
    assert remarks_of(fit(), lasting(48, 30)) == "does not last the planned outage"
    short = first(AMPLE, {"outage": Outage(days=14, sky=0)})
    assert short.remarks == "does not last the planned outage"
    assert short.fit.fits == 1


def test_packs_of_unknown_weight_leave_the_weight_unstated() -> None:
    """A pack that was not weighed does not weigh nothing."""
    bought = fit(pack_wh=2000.0, packs_max=1, packs=1)
    assert (bought.weight_kg, bought.lift.verdict) == (NOT_STATED, NOT_STATED)


def test_a_gap_that_no_load_states_is_no_limit() -> None:
    """Where every load rides out any gap, the transfer time is not judged."""
    assert look(None, 500).verdict == NOT_STATED
    assert fit({"loads": LOADS[:1]}, transfer_ms=5000.0).transfer.verdict == NOT_STATED


def test_the_pack_that_is_heavier_than_the_unit_is_what_must_be_lifted() -> None:
    """Pieces are lifted one by one; a pack that is not bought is not lifted."""
    heavy: dict[str, Any] = {"pack_wh": 2000.0, "packs_max": 1, "pack_weight_kg": 31.0}
    lifted = fit(**heavy, packs=1)
    assert (lifted.heaviest_kg, lifted.weight_kg, lifted.lift.verdict) == (31, 52, LOOK)
    left = fit(**heavy, packs=0)
    assert (left.heaviest_kg, left.weight_kg, left.lift.verdict) == (21, 21, OK)


# Spare columns, several reasons, and what must always hold


def test_a_spare_column_is_judged_in_no_way() -> None:
    """A candidate without a name has no verdict, no reason and does not fit."""
    found = worked(AMPLE).offers[1].fit
    assert {getattr(found, name).verdict for name in (*HARD, *SOFT)} == {""}
    assert (found.fits, found.verdict, found.reason, worked(AMPLE).offers[1].remarks) == (0, "", "", "")


def test_every_shortfall_is_told() -> None:
    """All failed checks stand in the reason, in their order."""
    found = fit(continuous_w=500.0, surge_w=900.0, dc_w=None, storage_wh=100.0)
    assert found.shorts == 5
    assert [part.split()[0] for part in found.reason.split("; ")] == [
        "running",
        "apparent",
        "starting",
        "DC",
        "storage",
    ]


@given(st.integers(0, 3000), st.integers(0, 5000), st.integers(0, 60), st.integers(0, 9000))
@settings(derandomize=True, deadline=None, max_examples=40)
def test_more_of_everything_never_turns_a_fit_away(watts: int, surge: int, dc: int, storage: int) -> None:
    """A candidate that fits still fits with more output, surge, ports and storage."""
    less = {"continuous_w": float(watts), "surge_w": float(surge), "dc_w": float(dc), "storage_wh": float(storage)}
    more = {name: value * 1.5 + 10 for name, value in less.items()}
    small, large = worked(AMPLE.model_copy(update=less), AMPLE.model_copy(update=more)).offers[:2]
    assert large.fit.shorts <= small.fit.shorts
    assert small.fit.fits == (small.fit.shorts == 0)
    for name in HARD[:6]:
        one = getattr(small.fit, name)
        assert (one.verdict == OK) == (round(one.margin, 6) >= 0)
        assert one.margin == pytest.approx(one.has - one.needed, rel=1e-12, abs=1e-9)


def test_packs_and_the_storage_check_agree() -> None:
    """The candidate gets packs until the check holds, and the one pack less would not hold."""
    for most in range(5):
        offer = first(AMPLE, {"money": Money()}, storage_wh=800.0, pack_wh=700.0, packs_max=most)
        enough = offer.held.usable_wh >= offer.storage.needed_wh
        assert enough == (offer.fit.storage.verdict == OK)
        if enough and offer.held.packs:
            assert offer.held.usable_wh - 700 * offer.storage.per_wh < offer.storage.needed_wh
