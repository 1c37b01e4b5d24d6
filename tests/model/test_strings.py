"""Layouts of modules on a candidate's inputs: limits that must never be passed, verdicts, the choice."""

from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import LAYOUT_NEEDS, Array, Candidate, Case, Load, Month, Sun
from holdover.model.solar_module import module_hours, module_w
from holdover.model.strings import PARALLEL, SERIES, Strings, cold_v, hot_v, input_limit_w, isc_a, strings
from holdover.model.study import study
from holdover.model.sun import sun_months

DAY = [0.0] * 7 + [50, 120, 200, 260, 300, 310, 300, 250, 180, 110, 40] + [0.0] * 6
"""Output of one module through a day [W]."""
PLAIN = Array(
    modules=4, power_w=400, voc_v=40, vmp_v=32, isc_a=10, imp_a=9, voc_tempco=0, power_tempco=0, voltage_margin=0
)
"""A module whose voltage does not move, for numbers that can be done in the head."""
SHEET = Array(modules=4, power_w=400, voc_v=37, vmp_v=31, isc_a=13.9, imp_a=12.9, voc_tempco=-0.0028)
"""A module as data sheets state them."""
fixed = settings(derandomize=True, deadline=None, max_examples=150)


def lay(candidate: Candidate, array: Array = PLAIN, day: Sequence[float] = DAY, cold: float | None = -20) -> Strings:
    return strings(candidate, array, day, coldest_c=cold, hottest_c=40)


def one(candidate: Candidate, series: int, parallel: int, array: Array = PLAIN) -> str:
    layouts = lay(candidate, array).layouts
    return layouts[(parallel - 1) * len(SERIES) + series - 1].verdict


def test_all_layouts_stand_in_order() -> None:
    """The 72 layouts are listed by parallel, then series."""
    found = [(layout.series, layout.parallel) for layout in lay(Candidate()).layouts]
    assert found == [(s, p) for p in PARALLEL for s in SERIES]
    assert len(found) == 72


@pytest.mark.parametrize(
    ("stated", "series", "parallel", "verdict"),
    [
        ({}, 1, 1, "solar inputs not stated"),
        ({"pv_inputs": 0}, 1, 1, "no solar input"),
        ({"pv_inputs": 0, "pv_max_v": 100}, 1, 1, "no solar input"),
        ({"pv_inputs": 1, "pv_max_v": 500}, 5, 1, "too many modules"),
        ({"pv_inputs": 1, "pv_max_v": 60}, 5, 1, "too high in the cold"),
        ({"pv_inputs": 1}, 1, 1, "no voltage limit stated"),
        ({"pv_inputs": 1, "pv_max_v": 0}, 1, 1, "no voltage limit stated"),
        ({"pv_inputs": 1, "pv_max_v": 79}, 2, 1, "too high in the cold"),
        ({"pv_inputs": 1, "pv_max_v": 80}, 2, 1, "allowed"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_min_v": 33}, 1, 1, "too low in the heat"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_min_v": 32}, 1, 1, "allowed"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_isc_a": 24.9}, 1, 2, "too much current"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_isc_a": 25}, 1, 2, "allowed"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_isc_a": 0}, 1, 1, "too much current"),
        # Two strings work at 18 A: more than the input draws is asked, unless what it stands at short circuit is stated.
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_a": 18}, 1, 2, "allowed"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_a": 17.9}, 1, 2, "short-circuit limit not stated"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_a": 17.9, "pv_max_isc_a": 25}, 1, 2, "allowed"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_max_a": 8}, 1, 1, "allowed"),
        # Two reasons at once: the one that destroys the input is told first.
        ({"pv_inputs": 1, "pv_max_v": 30, "pv_min_v": 33, "pv_max_isc_a": 1}, 1, 1, "too high in the cold"),
        ({"pv_inputs": 1, "pv_max_v": 80, "pv_min_v": 33, "pv_max_isc_a": 1}, 1, 1, "too low in the heat"),
    ],
)
def test_verdict(stated: dict[str, float], series: int, parallel: int, verdict: str) -> None:
    """Each reason is told in its own words, the first that applies, and a value at its limit is allowed."""
    assert one(Candidate.model_validate(stated), series, parallel) == verdict


def test_float_dust_does_not_forbid_a_value_at_its_limit() -> None:
    """A cold voltage that is the limit on paper and a hair above it in the machine is allowed."""
    array = PLAIN.model_copy(update={"modules": 1, "voc_tempco": -0.0027, "voltage_margin": 0.1})
    limit = 49.346  # 40 V times 1.1215 times 1.1
    assert cold_v(1, 40, -0.0027, -20, 0.1) > limit
    assert one(Candidate(pv_inputs=1, pv_max_v=limit), 1, 1, array) == "allowed"
    assert one(Candidate(pv_inputs=1, pv_max_v=limit - 0.001), 1, 1, array) == "too high in the cold"


def test_a_colder_place_takes_fewer_in_series() -> None:
    """The colder the record, the fewer go in series: three at 25 °C, two at -20 °C on 120 V."""
    for cold, most in ((25, 3), (-20, 2)):
        found = lay(Candidate(pv_inputs=1, pv_max_v=120), SHEET, cold=cold)
        assert max(layout.series for layout in found.layouts if layout.verdict == "allowed") == most


def test_two_and_two_in_parallel_on_two_inputs() -> None:
    """Four modules on two inputs for 60 V stand two in parallel on each."""
    found = lay(Candidate(pv_inputs=2, pv_min_v=11, pv_max_v=60), SHEET)
    assert found.words == "1 in series, 2 in parallel, on 2 inputs"
    assert (found.series, found.parallel, found.inputs_used, found.modules_used) == (1, 2, 2, 4)
    assert found.cold_margin_v == pytest.approx(60 - float(found.cold_v))
    assert found.layouts[found.best - 1].parallel == 2


def test_a_tie_goes_to_fewer_modules_then_to_less_current() -> None:
    """When the input is the limit, fewer modules win; with as many modules, fewer strings in parallel do."""
    unit = Candidate(pv_inputs=1, pv_max_v=200, pv_input_w=30)
    found = lay(unit, PLAIN, [0.0] * 10 + [200.0] * 4 + [0.0] * 10)
    assert (found.series, found.parallel, found.modules_used, found.modules_idle) == (1, 1, 1, 3)
    found = lay(Candidate(pv_inputs=1, pv_max_v=200), PLAIN)
    assert (found.series, found.parallel) == (4, 1)


def test_a_dim_month_does_not_decide_for_a_layout_that_clips_in_a_bright_one() -> None:
    """Where all harvest alike, the layout whose current the input does not cut is taken."""
    dim = [0.0] * 10 + [20.0] * 4 + [0.0] * 10
    unit = Candidate(pv_inputs=2, pv_max_v=450, pv_max_a=13)
    found = lay(unit, PLAIN.model_copy(update={"modules": 6}), dim)
    assert (found.series, found.parallel, found.inputs_used) == (3, 1, 2)


def test_ten_in_series_find_their_place_on_a_high_input() -> None:
    """An input of several hundred volts takes a long string; a single module is too low for it."""
    found = lay(Candidate(pv_inputs=1, pv_max_v=460, pv_min_v=200), PLAIN.model_copy(update={"modules": 10}))
    assert (found.series, found.parallel) == (10, 1)


def test_where_no_layout_is_allowed_the_longest_string_is_told_too() -> None:
    """A single module is too low, two in series are too high: both stand in the words."""
    found = lay(Candidate(pv_inputs=1, pv_max_v=75, pv_min_v=40), PLAIN.model_copy(update={"modules": 2}))
    assert found.words == (
        "no layout is allowed (a single module: too low in the heat, 2 in series: too high in the cold)"
    )


def test_fewer_modules_count_before_lower_voltage() -> None:
    """Two modules in series that fill the limit win over three apart that fill it at half the voltage."""
    unit = Candidate(pv_inputs=3, pv_max_v=90, pv_max_isc_a=13, pv_total_w=500)
    found = lay(unit, PLAIN.model_copy(update={"modules": 3}), [0.0] * 10 + [250.0] * 4 + [0.0] * 10)
    assert (found.series, found.parallel, found.inputs_used, found.modules_used) == (2, 1, 1, 2)


def test_a_layout_s_volts_and_amps_are_those_of_the_rules() -> None:
    """Each layout's cold and hot voltage and its current are those of the three rules for its series and parallel."""
    array = SHEET.model_copy(update={"modules": 6})
    voc_v, vmp_v, isc_1, voc_tempco = 37, 31, 13.9, -0.0028
    for layout in lay(Candidate(pv_inputs=1, pv_max_v=200), array).layouts:
        cold = cold_v(layout.series, voc_v, voc_tempco, -20, array.voltage_margin)
        hot = hot_v(layout.series, vmp_v, array.power_tempco, 40, array.noct_c)
        assert (layout.cold_v, layout.hot_v, layout.isc_a) == (cold, hot, isc_a(layout.parallel, isc_1))


def test_the_working_current_clips_and_series_gets_round_it() -> None:
    """Where an input draws 10 A at most, modules in series harvest more than the same in parallel."""
    found = lay(Candidate(pv_inputs=1, pv_max_v=200, pv_max_a=10))
    assert (found.series, found.parallel) == (4, 1)
    assert found.limit_w == 4 * 32 * 9


@pytest.mark.parametrize(
    ("stated", "limit_w"),
    [
        ({}, 2 * 2 * 32 * 9),
        ({"pv_max_a": 8.0}, 2 * 2 * 32 * 8),
        ({"pv_input_w": 300.0}, 600),
        ({"pv_total_w": 500.0}, 500),
        ({"pv_input_w": 300.0, "pv_total_w": 700.0}, 600),
    ],
)
def test_limit_of_the_inputs(stated: dict[str, float], limit_w: float) -> None:
    """Each input is limited by modules, current and power, all together by their own limit; blanks limit nothing."""
    unit = Candidate.model_validate({"pv_inputs": 2, "pv_max_v": 80, "pv_min_v": 50, **stated})
    found = lay(unit)
    assert (found.series, found.parallel) == (2, 1)
    assert found.limit_w == limit_w
    assert found.harvest_wh == pytest.approx(sum(min(4 * w, limit_w) for w in DAY))


def test_input_limit_takes_blanks_as_no_limit() -> None:
    """A blank current or power does not limit; a zero does."""
    assert input_limit_w(60, 18, None, None) == 1080
    assert input_limit_w(60, 18, None, 500) == 500
    assert input_limit_w(60, 18, 0, None) == 0


@pytest.mark.parametrize(
    ("stated", "modules", "words"),
    [
        ({}, 0, "no solar planned"),
        ({"pv_inputs": 2, "pv_max_v": 60}, 0, "no solar planned"),
        ({}, 4, "solar inputs not stated"),
        ({"pv_inputs": 0}, 4, "no solar input"),
        ({"pv_inputs": 1}, 4, "no layout is allowed (a single module: no voltage limit stated)"),
        ({"pv_inputs": 1, "pv_max_v": 20}, 4, "no layout is allowed (a single module: too high in the cold)"),
        ({"pv_inputs": 1, "pv_max_v": 90, "pv_max_isc_a": 13}, 1, "1 in series, 1 in parallel, on 1 input"),
        ({"pv_inputs": 2, "pv_max_v": 90, "pv_min_v": 50}, 7, "2 in series, 1 in parallel, on 2 inputs"),
    ],
)
def test_words(stated: dict[str, float], modules: int, words: str) -> None:
    """The outcome is told in one sentence."""
    unit = Candidate.model_validate({**stated, "pv_max_isc_a": 13})
    found = lay(unit, PLAIN.model_copy(update={"modules": modules}))
    assert found.words.startswith(words)
    assert ("unused" in found.words) == (found.best > 0 and found.modules_idle > 0)


def test_modules_that_find_no_place_are_counted() -> None:
    """Seven modules on two inputs of one pair each leave three without a place."""
    unit = Candidate(pv_inputs=2, pv_max_v=90, pv_min_v=50, pv_max_isc_a=13)
    found = lay(unit, PLAIN.model_copy(update={"modules": 7}))
    assert found.words == "2 in series, 1 in parallel, on 2 inputs; 3 modules unused"


def test_nothing_allowed_is_all_zero() -> None:
    """Without an allowed layout every number of the best one is zero and all modules are idle."""
    found = lay(Candidate(pv_inputs=2, pv_max_v=20))
    best = (found.best, found.series, found.parallel, found.inputs_used, found.modules_used, found.allowed)
    assert best == (0,) * 6
    assert (found.cold_v, found.hot_v, found.isc_a, found.limit_w, found.harvest_wh, found.cold_margin_v) == (0.0,) * 6
    assert found.modules_idle == 4
    assert all(layout.harvest_wh == 0 for layout in found.layouts)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("power_w", "power"),
        ("voc_v", "open-circuit voltage"),
        ("vmp_v", "maximum power voltage"),
        ("isc_a", "short-circuit current"),
        ("imp_a", "maximum power current"),
        ("voc_tempco", "open-circuit voltage per °C"),
    ],
)
def test_a_module_figure_that_is_blank_allows_no_layout(name: str, told: str) -> None:
    """Whatever the input bears, no layout is allowed, none has volts, none harvests, and the words ask for the figure."""
    unit = Candidate(pv_inputs=2, pv_max_v=1500)
    assert lay(unit, SHEET).allowed > 0
    found = lay(unit, SHEET.model_copy(update={name: None}))
    assert found.words == f"no layout is allowed (not stated: {told})"
    assert (found.allowed, found.best, found.modules_used, found.harvest_wh, found.cold_v) == (0, 0, 0, 0, 0)
    assert {layout.verdict for layout in found.layouts} == {"a figure is not stated"}
    assert {(o.cold_v, o.hot_v, o.isc_a, o.limit_w) for o in found.layouts} == {("", "", "", 0)}


def test_clearing_the_coldest_air_allows_no_layout_and_never_one_more() -> None:
    """Three in series on an input for 120 V, worked by hand: no figure of a mild place may stand in for a blank.

    37 V · (1 + 0.0028 · 45) · 1.05 = 43.74 V each at -20 °C: two are 87.5 V, three are 131 V, too high.
    At 25 °C, which a blank read as mild would be, three are 116.6 V and would be "allowed" on the same input.
    """
    unit = Candidate(pv_inputs=1, pv_max_v=120)
    three = 3 - 1
    cold, mild, blank = (lay(unit, SHEET, cold=c) for c in (-20, 25, None))
    assert cold.layouts[three].cold_v == pytest.approx(131.2, abs=0.05)  # last digit above
    assert cold.layouts[three].verdict == "too high in the cold"
    assert mild.layouts[three].cold_v == pytest.approx(116.6, abs=0.05)  # last digit above
    assert mild.layouts[three].verdict == "allowed"
    assert (blank.missing, blank.allowed) == ("coldest air", 0)
    assert blank.words == "no layout is allowed (not stated: coldest air)"


def test_everything_that_is_missing_is_named_at_once() -> None:
    """An array of which only the number is known asks for all of it; where no module goes, nothing is asked."""
    bare = lay(Candidate(pv_inputs=1, pv_max_v=60), Array(modules=2), cold=None)
    assert bare.missing == (
        "power, open-circuit voltage, maximum power voltage, short-circuit current, maximum power current, "
        "open-circuit voltage per °C, coldest air"
    )
    assert lay(Candidate(), Array(modules=2), cold=None).words == "solar inputs not stated"
    assert lay(Candidate(pv_inputs=1, pv_max_v=60), Array(), cold=None).words == "no solar planned"


def test_a_module_of_unknown_power_is_counted_as_giving_none() -> None:
    """Nothing that is not stated is counted."""
    june = sun_months(Sun(latitude_deg=40), [Month(peak_sun_hours=5)] * 12, SHEET)[5]
    assert sum(module_hours(june, SHEET)) > 0
    assert module_hours(june, SHEET.model_copy(update={"power_w": None})) == (0.0,) * 24


CANDIDATES = st.builds(
    Candidate,
    pv_inputs=st.none() | st.integers(0, 6),
    pv_min_v=st.none() | st.floats(0, 120),
    pv_max_v=st.none() | st.floats(0, 600),
    pv_max_a=st.none() | st.floats(0, 50),
    pv_max_isc_a=st.none() | st.floats(0, 80),
    pv_input_w=st.none() | st.floats(0, 3000),
    pv_total_w=st.none() | st.floats(0, 6000),
)
ARRAYS = st.builds(
    Array,
    modules=st.integers(0, 60),
    power_w=st.just(400.0),
    voc_v=st.floats(10, 60),
    vmp_v=st.floats(8, 50),
    isc_a=st.floats(1, 20),
    imp_a=st.floats(1, 18),
    voc_tempco=st.floats(-0.005, 0),
    power_tempco=st.floats(-0.006, 0),
)


@fixed
@given(CANDIDATES, ARRAYS)
def test_the_best_is_allowed_and_no_allowed_one_is_better(unit: Candidate, array: Array) -> None:
    """The best layout keeps every limit with the modules that are planned, and none that is allowed harvests more."""
    found = lay(unit, array)
    allowed = [layout for layout in found.layouts if layout.verdict == "allowed"]
    assert found.allowed == len(allowed)
    assert (found.best == 0) == (not allowed)
    for layout in allowed:
        assert unit.pv_inputs is not None
        assert unit.pv_max_v is not None
        assert 1 <= layout.inputs_used <= unit.pv_inputs
        assert layout.modules_used == layout.inputs_used * layout.series * layout.parallel <= array.modules
        assert float(layout.cold_v) <= unit.pv_max_v + 1e-6
        assert float(layout.hot_v) >= (unit.pv_min_v or 0) - 1e-6
        assert float(layout.isc_a) <= (unit.pv_max_isc_a if unit.pv_max_isc_a is not None else 1e9) + 1e-6
        assert layout.harvest_wh <= found.harvest_wh + 1e-6
        assert layout.limit_w <= (unit.pv_total_w if unit.pv_total_w is not None else 1e9)
    assert found.modules_used + found.modules_idle == array.modules


@fixed
@given(CANDIDATES, ARRAYS, st.sets(st.sampled_from([*LAYOUT_NEEDS["array"], *LAYOUT_NEEDS["sun"]]), min_size=1))
def test_nothing_is_allowed_while_anything_is_missing(unit: Candidate, array: Array, blanks: set[str]) -> None:
    """Whichever needed settings are blank, and however many, no layout is allowed and nothing is harvested."""
    cold = None if "coldest_c" in blanks else 25.0
    found = lay(unit, array.model_copy(update=dict.fromkeys(blanks - {"coldest_c"})), cold=cold)
    assert (found.allowed, found.modules_used, found.limit_w, found.harvest_wh) == (0, 0, 0, 0)
    assert found.missing.count(",") == len(blanks) - 1


def test_without_a_latitude_nothing_is_allowed_where_the_sun_is_worked_out_from_it() -> None:
    """Stated as peak sun hours the sun needs none; a latitude of 0 is one that was stated. What is open is CHECK."""
    loads = (Load(name="Fridge", running_w=100, hours_per_day=8),)
    unit = Candidate(name="A", storage_wh=2000, pv_inputs=1, pv_max_v=60, pv_max_a=15, pv_max_isc_a=90, price=1)
    for sun, missing in (
        (Sun(coldest_c=-5, resource="clearness index"), "latitude"),
        (Sun(coldest_c=-5, resource="global irradiation"), "latitude"),
        (Sun(resource="clearness index"), "coldest air, latitude"),
        (Sun(coldest_c=-5, resource="clearness index", latitude_deg=0), ""),
        (Sun(coldest_c=-5), ""),
    ):
        offer = study(Case(loads=loads, candidates=(unit,), array=SHEET, sun=sun)).offers[0]
        assert offer.strings.missing == missing
        assert (offer.strings.allowed == 0) == bool(missing)
        assert offer.fit.solar.verdict == ("CHECK" if missing else "OK")


def test_modules_that_wait_for_a_limit_are_asked_about() -> None:
    """Four modules find one place by one string; whether two strings may work at 25.8 A of 15 A, the maker is asked."""
    unit = Candidate(name="A", storage_wh=2000, pv_inputs=1, pv_max_v=45, pv_max_a=15, price=1)
    loads = (Load(name="Fridge", running_w=100, hours_per_day=8),)
    plan: dict[str, Any] = {
        "array": SHEET,
        "sun": Sun(coldest_c=-5),
        "months": (Month(peak_sun_hours=3),) * 12,
        "loads": loads,
    }
    offer = study(Case(candidates=(unit,), **plan)).offers[0]
    assert (offer.strings.modules_used, offer.strings.held_back, offer.fit.solar.verdict) == (1, 1, "CHECK")
    assert offer.strings.words.endswith("3 modules unused; more in parallel: short-circuit limit not stated")
    assert "short-circuit limit of its solar inputs" in offer.ask
    stated = unit.model_copy(update={"pv_max_isc_a": 80})
    known = study(Case(candidates=(stated,), **plan)).offers[0]
    assert (known.strings.parallel > 1, known.strings.held_back, known.fit.solar.verdict) == (True, 0, "OK")


@fixed
@given(CANDIDATES, ARRAYS, st.integers(0, 20))
def test_more_modules_never_harvest_less(unit: Candidate, array: Array, more: int) -> None:
    """Planning more modules never lowers the best harvest."""
    richer = array.model_copy(update={"modules": array.modules + more})
    assert lay(unit, richer).harvest_wh >= lay(unit, array).harvest_wh - 1e-6


@fixed
@given(CANDIDATES, ARRAYS, st.floats(-60, 20))
def test_deeper_cold_never_allows_more(unit: Candidate, array: Array, cold: float) -> None:
    """A colder record never allows a layout that the milder one forbids."""
    mild = {layout.series for layout in lay(unit, array, cold=25).layouts if layout.verdict == "allowed"}
    deep = {layout.series for layout in lay(unit, array, cold=cold).layouts if layout.verdict == "allowed"}
    assert deep <= mild


@fixed
@given(st.floats(0, 1.5), st.floats(-40, 60), st.floats(-0.01, 0))
def test_a_module_gives_between_nothing_and_a_cold_clear_noon(sun: float, air: float, tempco: float) -> None:
    """A module's output is never negative, and never above its power times sun times what the cold adds."""
    watts = module_w(sun, air, power_w=400, power_tempco=tempco, noct_c=45, array_efficiency=0.85)
    assert 0 <= watts <= 400 * sun * 0.85 * (1 - tempco * 65) + 1e-9


def test_the_hottest_place_does_not_turn_power_around() -> None:
    """A coefficient so steep that the line falls below zero gives none, not less than none."""
    assert module_w(1.0, 60, power_w=400, power_tempco=-0.0125, noct_c=80, array_efficiency=1) == 0


def test_hot_voltage_by_hand() -> None:
    """31 V at 40 °C of air and 45 °C nominal: cells at 71.25 °C, 16.65 % less."""
    assert hot_v(1, 31, -0.0036, 40, 45) == pytest.approx(31 * (1 - 0.0036 * 46.25))


def at_five(tilt_deg: float, azimuth_deg: float, clearness: float) -> float:
    """Watts at 17:00 by the clock: the mean of the hours before and after."""
    sun = Sun(resource="clearness index", latitude_deg=40, solar_noon_at=13, ambient_c=28)
    array = SHEET.model_copy(update={"tilt_deg": tilt_deg, "azimuth_deg": azimuth_deg})
    june = sun_months(sun, [Month(clearness=clearness)] * 12, array)[5]
    day = module_hours(june, array)
    found = lay(Candidate(pv_inputs=2, pv_min_v=11, pv_max_v=60, pv_max_a=26), array, day)
    assert found.words == "1 in series, 2 in parallel, on 2 inputs"
    hours = [min(found.modules_used * watts, found.limit_w) for watts in day]
    return (hours[16] + hours[17]) / 2


def test_almost_seven_hundred_watts_at_five_in_the_afternoon() -> None:
    """Four modules of 400 W, two and two in parallel, give almost 700 W at five on a clear June day: common practice.

    Assumed: 40° north, summer time (solar noon at 13:00), a clear day (clearness 0.70), air at 28 °C, the usual array
    efficiency of 0.85. Flat: 666 W; 30° to the south-west: 810 W; 30° to the south, the sun gone round: 600 W.
    """
    flat, southwest, south = at_five(0, 180, 0.70), at_five(30, 225, 0.70), at_five(30, 180, 0.70)
    assert south < flat < 700 < southwest
    assert flat == pytest.approx(700, rel=0.06)
    # The mean June day, clouds in it (0.55), still gives 620 W to the south-west.
    assert 550 < at_five(30, 225, 0.55) < 700


def test_what_is_not_known_of_a_module_gives_nothing() -> None:
    """Without the open-circuit voltage no layout takes, gives or harvests anything."""
    found = lay(Candidate(pv_inputs=2, pv_max_v=90), PLAIN.model_copy(update={"voc_v": None}))
    assert {(one.limit_w, one.gives_w, one.harvest_wh) for one in found.layouts} == {(0.0, 0.0, 0.0)}


def test_without_inputs_no_module_finds_a_place() -> None:
    """A blank count of inputs is none, whatever is planned."""
    found = lay(Candidate(pv_max_v=90))
    assert {(one.inputs_used, one.modules_used, one.gives_w, one.harvest_wh) for one in found.layouts} == {(0, 0, 0, 0)}


def test_a_layout_of_more_modules_than_there_are_gives_nothing() -> None:
    """Five in series of four: none is used, and none gives or harvests anything."""
    layout = lay(Candidate(pv_inputs=1, pv_max_v=500)).layouts[4]
    assert (layout.series, layout.modules_used, layout.gives_w, layout.harvest_wh) == (5, 0, 0, 0)


def test_the_longest_string_is_all_modules_in_one() -> None:
    """Four in series, one string; 20 are cut to the 12 that are looked at, and no module makes no string."""
    unit = Candidate(pv_inputs=1, pv_max_v=90)
    assert [lay(unit, PLAIN.model_copy(update={"modules": planned})).longest for planned in (0, 1, 4, 20)] == [
        0,
        1,
        4,
        len(SERIES),
    ]
    assert (lay(unit).chain, lay(unit, PLAIN.model_copy(update={"modules": 0})).chain) == ("too high in the cold", "")
