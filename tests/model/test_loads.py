"""Lines of the inventory against a raster of 1,440 minutes and against brute force."""

from operator import attrgetter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Load, Sizing
from holdover.model.loads import HOURS, LoadLine, asks, energy_wh, load_lines, overlap_h, step_w, without

MINUTES = 1440
clock = st.integers(0, MINUTES - 1)
lengths = st.integers(0, MINUTES)


def raster(start: int, length: int) -> list[bool]:
    """Each minute of the day: whether a window from `start` of `length` minutes covers it, midnight crossed or not."""
    return [(minute - start) % MINUTES < length for minute in range(MINUTES)]


def line(load: Load, feed: str = "120 V") -> LoadLine:
    return load_lines([load], Sizing.model_validate({"feed": feed}))[0]


def covered_h(start: float, length: float, begin: int, end: int) -> float:
    return sum(overlap_h(h, start, length) for h in range(begin, end))


# The schedule


@given(clock, lengths)
@settings(derandomize=True, deadline=None, max_examples=300)
def test_each_clock_hour_holds_as_many_minutes_as_the_raster(start: int, length: int) -> None:
    """Any window, also across midnight, covers in every clock hour the minutes that a raster counts."""
    on = raster(start, length)
    for h in HOURS:
        assert overlap_h(h, start / 60, length / 60) == pytest.approx(sum(on[60 * h : 60 * h + 60]) / 60, abs=1e-12)


def test_a_night_shift_is_eight_hours() -> None:
    """22:00 to 06:00 are 8 h; 1 h of them lies in 05:00 to 07:00 and 1 h in 21:00 to 23:00."""
    assert covered_h(22, 8, 0, 24) == 8
    assert covered_h(22, 8, 5, 7) == 1
    assert covered_h(22, 8, 21, 23) == 1


@pytest.mark.parametrize("start", [0, 0.5, 7.25, 23.5])
def test_equal_start_and_end_mean_the_whole_day_only_with_24_hours(start: float) -> None:
    """The length decides: 24 h cover every hour once, 0 h none; start and end are the same in both."""
    assert [overlap_h(h, start, 24) for h in HOURS] == [1] * 24
    assert [overlap_h(h, start, 0) for h in HOURS] == [0] * 24


def test_a_window_that_ends_on_the_hour_leaves_the_next_one_alone() -> None:
    """No float dust of 18:20 plus 100 minutes switches a load on for the hour that begins at 20:00."""
    for start in range(MINUTES):
        for end in range(60, MINUTES + start, 60):
            length = end - start
            if 0 < length < MINUTES - 60:
                assert overlap_h(end // 60 % 24, start / 60, length / 60) == 0


@given(clock, st.integers(1, MINUTES), st.floats(0, 1), st.floats(0, 5000))
@settings(derandomize=True, deadline=None)
def test_energy_by_hour_is_that_of_the_raster(start: int, length: int, duty: float, watts: float) -> None:
    """Watts times duty summed over the minutes of an hour are the energy of that hour, and of the day."""
    one = line(Load(name="x", running_w=watts, duty=duty, hours_per_day=length / 60, starts_at=start / 60))
    minutes = [watts * duty / 60 * on for on in raster(start, length)]
    assert one.energy_wh == pytest.approx(sum(minutes), rel=1e-9)
    for h in HOURS:
        assert one.energy_wh * one.share[h] == pytest.approx(sum(minutes[60 * h : 60 * h + 60]), rel=1e-9, abs=1e-9)


@given(clock | st.none(), st.integers(1, MINUTES))
@settings(derandomize=True, deadline=None)
def test_the_shares_of_a_day_are_one(start: int | None, length: int) -> None:
    """Whatever the schedule, the 24 shares add up to the day."""
    start_h = None if start is None else start / 60
    one = line(Load(name="x", running_w=100, hours_per_day=length / 60, starts_at=start_h))
    assert sum(one.share) == pytest.approx(1, rel=1e-12)


def test_a_load_that_promises_no_time_may_run_in_any_hour() -> None:
    """Without a start the energy lies evenly over the day and the draw counts in every hour."""
    one = line(Load(name="x", running_w=600, hours_per_day=0.5))
    assert one.share == (1 / 24,) * 24
    assert one.w == (600.0,) * 24


def test_a_load_of_no_hours_is_never_on() -> None:
    """0 hours a day are no energy, no draw and no start, with or without a clock time."""
    for start in (None, 8.0):
        one = line(Load(name="x", running_w=600, starting_w=900, hours_per_day=0, starts_at=start))
        assert (one.energy_wh, sum(one.w), sum(one.step), sum(one.share)) == (0, 0, 0, 0)


def test_a_minute_in_an_hour_counts_with_its_whole_draw() -> None:
    """A load that runs from 7:59 to 8:01 draws its watts in both hours, not before and not after."""
    one = line(Load(name="x", running_w=700, hours_per_day=2 / 60, starts_at=7 + 59 / 60))
    assert [h for h in HOURS if one.w[h]] == [7, 8]
    assert one.w[7] == one.w[8] == 700


# Energy


def test_a_meter_overrides_watts_times_hours() -> None:
    """Metered energy of one replaces its product, times how many; draw stays as stated."""
    one = line(Load(name="x", quantity=3, running_w=150, duty=0.5, hours_per_day=24, measured_wh_per_day=900))
    assert one.energy_wh == 2700
    assert one.total_w == 450
    assert one.metered == 1


def test_a_meter_that_read_nothing_has_still_measured() -> None:
    """0 Wh metered is no energy; a blank is watts times hours."""
    assert energy_wh(1, 100, 1, 24, 0.0) == 0
    assert energy_wh(1, 100, 1, 24, None) == 2400
    assert line(Load(name="x", running_w=100, hours_per_day=24, measured_wh_per_day=0)).energy_wh == 0


def test_metered_energy_without_hours_lies_evenly() -> None:
    """A label that gives only kWh a year is spread over the 24 hours."""
    one = line(Load(name="x", measured_wh_per_day=960))
    assert [one.energy_wh * share for share in one.share] == pytest.approx([40] * 24, rel=1e-12)
    assert one.is_ac == 1


def test_the_shares_of_the_lines_are_those_of_the_energy() -> None:
    """Each line's part of the day's energy; nothing is divided where there is none."""
    found = load_lines(
        [Load(name="a", running_w=100, hours_per_day=3), Load(name="b", running_w=50, hours_per_day=2)], Sizing()
    )
    assert [one.energy_share for one in found] == [0.75, 0.25]
    assert line(Load()).energy_share == 0


# Blanks and feeds


def test_blanks_take_what_the_form_promises() -> None:
    """Blank: one of them, all of the time, power factor 1, essential, starting as running, at the house voltage."""
    one = line(Load(name="x", running_w=80, hours_per_day=5), "230 V")
    assert (one.quantity, one.energy_wh, one.total_w, one.total_va) == (1, 400, 80, 80)
    assert (one.tier, one.step_w, one.volts, one.is_ac, one.is_dc) == ("essential", 0, 230, 1, 0)


def test_none_of_them_is_not_one_of_them() -> None:
    """A quantity of 0 keeps the line and counts nothing; only a blank means one."""
    one = line(Load(name="x", quantity=0, running_w=80, hours_per_day=5))
    assert (one.total_w, one.energy_wh, sum(one.w)) == (0, 0, 0)


def test_a_blank_line_is_no_load() -> None:
    """A spare row feeds nothing: neither AC nor DC, no volts, no watts, no hour."""
    one = line(Load())
    assert (one.is_ac, one.is_dc, one.volts, one.total_w, one.energy_wh) == (0, 0, 0, 0, 0)
    assert sum(one.share) == sum(one.w) == sum(one.hour_need_va) == sum(one.step) == 0


@pytest.mark.parametrize("feed", ["12 V DC", "24 V DC", "48 V DC", "USB"])
def test_a_load_at_a_dc_port_starts_there_and_has_no_ac_volts(feed: Any) -> None:
    """A load on a DC port never reaches the inverter: its energy and its start are the port's."""
    one = line(Load(name="x", running_w=40, starting_w=120, hours_per_day=2, feed=feed))
    assert (one.is_ac, one.is_dc, one.volts, one.step_w) == (0, 1, 0, 80)
    assert one.step == (-80,) * 24
    assert (one.ac_wh, one.dc_wh) == (0, 80)


@pytest.mark.parametrize(("feed", "volts"), [("100 V", 100), ("208 V", 208), ("240 V", 240)])
def test_a_load_keeps_its_own_feed(feed: Any, volts: float) -> None:
    """Its own AC voltage goes before that of the house."""
    one = line(Load(name="x", running_w=40, hours_per_day=2, feed=feed))
    assert (one.volts, one.ac_wh, one.dc_wh) == (volts, 80, 0)


def test_apparent_power_is_watts_over_the_power_factor() -> None:
    """Two of 300 W at 0.75 are 800 VA."""
    one = line(Load(name="x", quantity=2, running_w=300, power_factor=0.75, hours_per_day=1))
    assert (one.total_w, one.total_va) == (600, 800)


# Starting


def test_starting_is_the_whole_draw_of_one() -> None:
    """500 W running and 2,000 W at start add 1,500 W, for one of them, however many there are."""
    one = line(Load(name="x", quantity=3, running_w=500, starting_w=2000, hours_per_day=24))
    assert one.step_w == 1500


def test_a_start_below_running_adds_nothing() -> None:
    """A starting figure under the running one never lowers the need; a blank one adds nothing."""
    assert step_w(500, 300) == 0
    assert step_w(500, None) == 0
    assert step_w(500, 500) == 0


def test_a_motor_starts_only_in_its_hours() -> None:
    """The step stands in the hours of the schedule and in no other."""
    one = line(Load(name="x", running_w=500, starting_w=800, hours_per_day=2, starts_at=23))
    assert [h for h in HOURS if one.step[h]] == [0, 23]


# Turns


def test_of_loads_that_take_turns_the_largest_counts() -> None:
    """Kettle and toaster with one word never add; in an hour without the larger the smaller counts."""
    kettle = Load(name="kettle", running_w=1500, hours_per_day=1, starts_at=7, turns="kitchen")
    toaster = Load(name="toaster", running_w=900, hours_per_day=2, starts_at=7, turns="Kitchen")
    lamp = Load(name="lamp", running_w=60, hours_per_day=24)
    found = load_lines([toaster, lamp, kettle], Sizing())
    drawn = [sum(one.w[h] for one in found) for h in HOURS]
    assert (drawn[6], drawn[7], drawn[8], drawn[9]) == (60, 1560, 960, 60)
    assert [one.rank_w for one in found] == [2, 0, 1]


def test_equals_that_take_turns_count_once() -> None:
    """Two of the same watts under one word draw the watts of one."""
    two = [Load(name=name, running_w=800, hours_per_day=24, turns="t") for name in "ab"]
    assert [one.w[0] for one in load_lines(two, Sizing())] == [800, 0]


def test_apparent_power_takes_its_own_turn() -> None:
    """The largest in watts and the largest in volt-amperes may be two different loads."""
    heater = Load(name="heater", running_w=800, hours_per_day=24, turns="t")
    motor = Load(name="motor", running_w=700, power_factor=0.7, hours_per_day=24, turns="t")
    found = load_lines([heater, motor], Sizing())
    assert [one.w[0] for one in found] == [800, 0]
    assert [one.hour_need_va[0] for one in found] == pytest.approx([0, 1250], rel=1e-12)  # on all day: 125 %


def test_turns_do_not_save_energy() -> None:
    """Whoever waits still runs its hours."""
    two = [Load(name=name, running_w=800, hours_per_day=1, turns="t") for name in "ab"]
    assert sum(one.energy_wh for one in load_lines(two, Sizing())) == 1600


def test_the_inverter_and_the_dc_ports_take_turns_apart() -> None:
    """One word on an AC and on a DC load lets both count: each loads its own output."""
    ac = Load(name="ac", running_w=800, hours_per_day=24, turns="t")
    dc = Load(name="dc", running_w=60, hours_per_day=24, turns="t", feed="12 V DC")
    assert [one.w[0] for one in load_lines([ac, dc], Sizing())] == [800, 60]


def test_each_dc_socket_feeds_its_own_of_those_that_take_turns() -> None:
    """A 60 W pad on USB and a 45 W cooler on 12 V take turns: 12 V must still give 45 W while the pad rests."""
    pad = Load(name="pad", running_w=60, hours_per_day=24, turns="t", feed="USB")
    cooler = Load(name="cooler", running_w=45, hours_per_day=24, turns="t", feed="12 V DC")
    fan = Load(name="fan", running_w=30, hours_per_day=24, turns="t", feed="12 V DC")
    assert [one.w[0] for one in load_lines([pad, cooler, fan], Sizing())] == [60, 45, 0]


loads = st.builds(
    Load,
    name=st.just("x"),
    quantity=st.integers(0, 4) | st.none(),
    running_w=st.integers(0, 3000).map(float),
    starting_w=st.none() | st.integers(0, 9000).map(float),
    power_factor=st.none() | st.sampled_from([0.5, 0.8, 1.0]),
    hours_per_day=st.integers(0, 48).map(lambda n: n / 2),
    starts_at=st.none() | st.integers(0, 47).map(lambda n: n / 2),
    feed=st.none() | st.sampled_from(["120 V", "12 V DC"]),
    turns=st.sampled_from(["", "a", "A", "b"]),
)


@given(st.lists(loads, max_size=7))
@settings(derandomize=True, deadline=None)
def test_turns_are_the_largest_of_each_word(rows: list[Load]) -> None:
    """In every hour the draw is that of the free loads plus the largest of each word, by brute force."""
    found = load_lines(rows, Sizing(at_once=0))
    for h in HOURS:
        for is_ac in (0, 1):
            on = [one for one in found if one.share[h] > 0 and one.is_ac == is_ac]
            for draw, counted in ((attrgetter("total_w"), "w"), (attrgetter("need_va"), "hour_need_va")):
                words = {one.turns.lower() for one in on} - {""}
                wanted = sum(draw(one) for one in on if not one.turns)
                wanted += sum(max(draw(one) for one in on if one.turns.lower() == word) for word in words)
                got = sum(getattr(one, counted)[h] for one in found if one.is_ac == is_ac)
                assert got == pytest.approx(wanted, rel=1e-12, abs=1e-9)


def test_a_metered_load_without_watts_draws_its_mean_at_least() -> None:
    """240 Wh a day over 8 hours are 30 W while it runs; without hours, 10 W all day. Metered watts are never none."""
    eight, all_day = load_lines(
        (Load(name="a", measured_wh_per_day=240, hours_per_day=8), Load(name="b", measured_wh_per_day=240, quantity=2)),
        Sizing(),
    )
    assert (eight.one_w, eight.total_w) == (30, 30)
    assert (all_day.one_w, all_day.total_w) == (10, 20)


def test_none_of_a_load_is_no_load() -> None:
    """A line set to a quantity of 0 asks for no voltage, no gap and no energy."""
    (line,) = load_lines(
        (Load(name="a", running_w=900, hours_per_day=2, feed="240 V", quantity=0, gap_ms=5),), Sizing()
    )
    assert (line.volts, line.is_ac, line.is_dc, line.energy_wh, line.gap_ms) == (0, 0, 0, 0, "")


@pytest.mark.parametrize(
    ("load", "asked"),
    [
        (Load(), ""),
        (Load(name="fridge", running_w=100, hours_per_day=24), ""),
        (Load(name="fridge"), "no watts yet"),
        (Load(running_w=100, hours_per_day=1), "no name yet"),
        (Load(name="fridge", running_w=100), "no hours yet"),
        (Load(name="fridge", measured_wh_per_day=900), ""),
        (Load(name="fridge", running_w=100, starting_w=90, hours_per_day=2), "starts below its running draw"),
        (Load(name="fridge", running_w=100, hours_per_day=10, measured_wh_per_day=800), ""),
        (
            Load(name="fridge", running_w=100, hours_per_day=10, measured_wh_per_day=799),
            "metered energy is not watts x duty x hours",
        ),
        (Load(name="fridge", running_w=100, hours_per_day=24, measured_wh_per_day=900), ""),
        (
            Load(name="fridge", running_w=100, hours_per_day=24, measured_wh_per_day=3201),
            "metered energy is not watts x duty x hours",
        ),
        (
            Load(name="fridge", running_w=100, duty=1, hours_per_day=24, measured_wh_per_day=900),
            "metered energy is not watts x duty x hours",
        ),
        (Load(name="fridge", running_w=100, duty=0.8, hours_per_day=10, measured_wh_per_day=799), ""),
        (Load(name="fan", running_w=0, hours_per_day=5), "draws 0 W"),
        (
            Load(name="fan", running_w=0, hours_per_day=5, measured_wh_per_day=90),
            "metered energy is not watts x duty x hours",
        ),
        (Load(name="fan", running_w=30, hours_per_day=0.05), ""),
        (
            Load(name="fan", running_w=30, hours_per_day=0.5 / 24),  # 0:30, typed where hours are asked for
            "under 3 minutes a day: half an hour is 0.5",
        ),
        (
            Load(running_w=100, starting_w=50, basis="typical"),
            "no name yet; no hours yet; starts below its running draw; a typical figure: measure it",
        ),
    ],
)
def test_what_an_adviser_would_ask_of_a_line(load: Load, asked: str) -> None:
    """Each question stands alone, and all that apply stand together."""
    assert asks(load) == asked


def test_a_load_left_out_counts_nowhere() -> None:
    """Left out by its name, whatever its case, a load of 100 W for 10 h uses nothing; the others stay."""
    loads = without((Load(name="Lamp", running_w=100, hours_per_day=10), Load(name="Fan", running_w=50)), "lamp")
    lamp, fan = load_lines(loads, Sizing())
    assert (lamp.energy_wh, lamp.total_w, fan.total_w) == (0, 0, 50)
