"""Sums and peaks of the day against minutes and brute force."""

import itertools
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Load, Sizing
from holdover.model.demand import Demand, Hour, demand_of, hours_of_day
from holdover.model.loads import HOURS, LoadLine, load_lines

FRIDGE = Load(name="fridge", running_w=150, starting_w=900, duty=0.35, hours_per_day=24)
PUMP = Load(name="pump", quantity=2, running_w=600, starting_w=1800, hours_per_day=1, starts_at=6)
LAMP = Load(name="lamp", quantity=4, running_w=10, hours_per_day=5, starts_at=18, tier="convenience")
RADIO = Load(name="radio", running_w=6, hours_per_day=24, feed="12 V DC", tier="critical")


def day(*loads: Load, **sizing: object) -> tuple[tuple[LoadLine, ...], tuple[Hour, ...], Demand]:
    assumed = Sizing.model_validate(sizing)
    lines = load_lines(loads, assumed)
    hours = hours_of_day(lines)
    return lines, hours, demand_of(lines, hours, assumed)


def test_the_day_is_split_into_ac_and_dc() -> None:
    """The inverter carries the AC energy, the ports carry the DC energy, and nothing is lost between."""
    _, hours, demand = day(FRIDGE, LAMP, RADIO)
    assert demand.dc_wh == pytest.approx(144, rel=1e-12)
    assert demand.ac_wh == pytest.approx(1260 + 200, rel=1e-12)
    assert demand.energy_wh == pytest.approx(demand.ac_wh + demand.dc_wh, rel=1e-12)
    assert sum(hour.dc_wh for hour in hours) == pytest.approx(144, rel=1e-12)


def test_dc_loads_do_not_load_the_inverter() -> None:
    """Running, apparent and starting power are of AC loads only; the ports have a peak of their own."""
    _, _, demand = day(FRIDGE, RADIO)
    assert (demand.peak_running_w, demand.needed_va, demand.peak_start_one_w) == (150, 187.5, 900)
    assert demand.peak_dc_w == 6


def test_one_motor_starts_while_the_others_run() -> None:
    """The worst single start: all running, and the one with the largest step starting."""
    _, hours, demand = day(FRIDGE, PUMP)
    assert hours[6].running_w == 150 + 1200
    assert demand.peak_start_one_w == 150 + 600 + 1800
    assert (demand.peak_start_one_at, hours[5].start_one_w) == (6, 900)


def test_a_load_that_ends_on_the_hour_is_off_in_the_next() -> None:
    """20 minutes from 18:40 end at 19:00, though 18.6667 + 0.3333 is a hair more in floating point."""
    oven = Load(name="oven", running_w=1500, hours_per_day=0.333333333333333, starts_at=18.6666666666667)
    kettle = Load(name="kettle", running_w=1500, starting_w=1600, hours_per_day=0.5, starts_at=19)
    _, hours, demand = day(oven, kettle, inverter="only with AC loads")
    assert oven.starts_at is not None and oven.hours_per_day is not None
    assert oven.starts_at + oven.hours_per_day > 19
    assert [hour.running_w for hour in hours[17:21]] == [0, 1500, 1500, 0]
    assert (demand.peak_running_w, demand.peak_start_all_w, demand.inverter_hours) == (1500, 1600, 2)


def test_a_named_line_without_watts_or_hours_is_counted_as_incomplete() -> None:
    """A blank line, one set to none of them and a metered one are not."""
    lines, _, demand = day(
        Load(),
        Load(name="unknown"),
        Load(name="someday", running_w=40),
        Load(name="none", quantity=0),
        Load(name="metered", measured_wh_per_day=100),
        FRIDGE,
    )
    assert [line.incomplete for line in lines] == [0, 1, 1, 0, 0, 0]
    assert demand.incomplete == 2


def test_together_every_motor_starts() -> None:
    """When power comes back to everything each of them draws its starting watts at once."""
    _, _, demand = day(FRIDGE, PUMP, LAMP)
    assert demand.peak_start_all_w == 900 + 2 * 1800


@pytest.mark.parametrize(("starting", "watts"), [("one at a time", 2550), ("together", 4500)])
def test_the_case_says_which_start_is_checked(starting: str, watts: float) -> None:
    """Both are worked out; the check takes the one that the sizing names."""
    _, _, demand = day(FRIDGE, PUMP, starting=starting)
    assert demand.peak_starting_w == watts
    assert (demand.peak_start_one_w, demand.peak_start_all_w) == (2550, 4500)


def test_the_worst_start_need_not_fall_in_the_hour_of_most_running() -> None:
    """A small load with a hard start at night may ask for more than the busiest evening."""
    heater = Load(name="heater", running_w=1500, hours_per_day=2, starts_at=18)
    motor = Load(name="motor", running_w=400, starting_w=2400, hours_per_day=1, starts_at=3)
    _, _, demand = day(heater, motor)
    assert (demand.peak_running_w, demand.peak_running_at) == (1500, 18)
    assert (demand.peak_start_one_w, demand.peak_start_one_at) == (2400, 3)


def test_a_load_whose_turn_it_is_not_may_still_start() -> None:
    """Starting looks at every load that is on, so that a start outside its turn is covered."""
    oven = Load(name="oven", running_w=1200, hours_per_day=1, starts_at=7, turns="t")
    motor = Load(name="motor", running_w=300, starting_w=1000, hours_per_day=1, starts_at=7, turns="t")
    _, _, demand = day(oven, motor)
    assert demand.peak_running_w == 1200
    assert demand.peak_start_one_w == 1200 + 700


def test_a_peak_is_told_with_its_first_hour() -> None:
    """Of equal hours the first is named."""
    _, _, demand = day(Load(name="x", running_w=90, hours_per_day=3, starts_at=20))
    assert (demand.peak_running_at, demand.busiest_at, demand.needed_va_at) == (20, 20, 20)


def test_apparent_power_may_peak_where_watts_do_not() -> None:
    """1,000 W at 0.5 ask for more volt-amperes than 1,500 W at 1."""
    heater = Load(name="heater", running_w=1500, hours_per_day=1, starts_at=8)
    motor = Load(name="motor", running_w=1000, power_factor=0.5, hours_per_day=1, starts_at=12)
    _, _, demand = day(heater, motor)
    assert (demand.peak_running_w, demand.peak_running_at) == (1500, 8)
    assert (demand.needed_va, demand.needed_va_at) == (2000, 12)


def test_the_tiers_share_the_energy() -> None:
    """Each tier's energy is that of its loads."""
    _, _, demand = day(FRIDGE, LAMP, RADIO)
    assert (demand.critical_wh, demand.essential_wh, demand.convenience_wh) == pytest.approx(
        (144, 1260, 200), rel=1e-12
    )


def test_the_inverter_is_on_all_day_or_where_ac_is_wanted() -> None:
    """Always on are 24 hours; switched off between are the clock hours that hold AC energy."""
    lamp, radio = LAMP, RADIO
    assert day(lamp, radio)[2].inverter_hours == 24
    assert day(lamp, radio, inverter="only with AC loads")[2].inverter_hours == 5
    assert day(radio, inverter="only with AC loads")[2].inverter_hours == 0


def test_the_shortest_gap_decides() -> None:
    """The load that takes the shortest gap sets the limit; where none is stated, so it says."""
    first = Load(name="a", running_w=1, hours_per_day=1, gap_ms=30)
    second = Load(name="b", running_w=1, hours_per_day=1, gap_ms=16)
    assert day(first, second, LAMP)[2].shortest_gap_ms == 16
    assert day(LAMP)[2].shortest_gap_ms == "none stated"


def test_every_one_of_a_line_wants_a_socket() -> None:
    """AC items are counted one by one; what hangs on a DC port wants no AC socket."""
    assert day(FRIDGE, PUMP, LAMP, RADIO)[2].ac_items == 1 + 2 + 4


def test_no_load_is_no_demand() -> None:
    """An empty inventory gives zeros, not errors."""
    _, hours, demand = day(Load(), Load())
    assert len(hours) == 24
    assert (demand.lines, demand.energy_wh, demand.peak_running_w, demand.peak_starting_w) == (0, 0, 0, 0)
    assert day()[2].largest_low_w == day()[2].needed_leg_w == 0


# What counts at once

KITCHEN = (
    ("kettle", 1500, 0.3),
    ("toaster", 1100, 0.2),
    ("microwave", 1200, 0.5),
    ("coffee maker", 1000, 0.4),
    ("hair dryer", 1400, 0.2),
    ("iron", 1200, 0.3),
    ("hot plate", 850, 1),
    ("blender", 550, 0.1),
)
"""Name, W and hours a day of eight short-use appliances: 8,800 W all together."""
EIGHT = tuple(Load(name=name, running_w=w, hours_per_day=h, tier="convenience") for name, w, h in KITCHEN)


def test_of_short_use_loads_only_so_many_count_at_once() -> None:
    """Worked by hand: of eight appliances at most two run together, the largest: 1500 + 1400 = 2900 W.

    All are on for less than three hours, so none takes the 25 %. A refrigerator of 150 W, on all day, adds 187.5 W.
    Counted all together, as continuous loads, they would ask for 1.25 x 8800 = 11,000 W.
    """
    _, hours, demand = day(*EIGHT, FRIDGE)
    assert (demand.peak_running_w, demand.needed_running_w) == (2900 + 150, 2900 + 187.5)
    assert {hour.needed_w for hour in hours} == {3087.5}  # nobody promised when: in every hour
    assert demand.energy_wh == pytest.approx(sum(w * h for _, w, h in KITCHEN) + 1260, rel=1e-12)
    assert demand.pool_words == "Counts on at most 2 of: " + ", ".join(name for name, *_ in KITCHEN) + "."
    assert day(*EIGHT, FRIDGE, at_once=0)[2].needed_running_w == 8800 + 187.5
    assert day(*EIGHT, FRIDGE, at_once=3)[2].needed_running_w == 1500 + 1400 + 1200 + 187.5
    assert (day(*EIGHT, at_once=0)[2].pool_words, day(*EIGHT[:2])[2].pool_words) == ("", "")


@pytest.mark.parametrize(
    "changed",
    [
        {"starts_at": 7.0},
        {"turns": "kitchen"},
        {"tier": "critical"},
        {"hours_per_day": 3.0},
        {"hours_per_day": None, "measured_wh_per_day": 90.0},
    ],
)
def test_who_is_not_in_the_short_pool_counts_beside_it(changed: dict[str, object]) -> None:
    """A start time, a turn, a critical tier, three hours or metered without hours: each stands by itself."""
    own = Load(name="own", running_w=100, hours_per_day=1, tier="essential").model_copy(update=changed)
    lines, hours, _ = day(*EIGHT, own)
    assert [line.pool for line in lines] == [1] * 8 + [0]
    assert hours[7].running_w == 2900 + 100


def test_the_start_may_fall_on_any_of_the_short_pool() -> None:
    """The blender does not count as running beside the two largest; its start does."""
    blender = EIGHT[-1].model_copy(update={"starting_w": 1650.0})
    _, _, demand = day(*EIGHT[:-1], blender)
    assert (demand.peak_running_w, demand.peak_start_one_w) == (2900, 2900 + 1100)


def test_together_no_more_of_the_short_pool_start_than_run() -> None:
    """Three drills that add 900, 700 and 500 W: with two on at once the two largest starts come on top of 2 x 600 W."""
    drills = tuple(
        Load(name=str(step), running_w=600, starting_w=600 + step, hours_per_day=1) for step in (500.0, 900.0, 700.0)
    )
    assert day(*drills)[2].peak_start_all_w == 1200 + 900 + 700
    assert day(*drills, at_once=0)[2].peak_start_all_w == 1800 + 900 + 700 + 500


def test_ac_and_dc_pools_are_apart() -> None:
    """Two of each: 60 + 50 W at the ports, 1500 + 1100 W at the inverter."""
    ports = tuple(
        Load(name=name, running_w=w, hours_per_day=1, feed="12 V DC") for name, w in (("a", 40), ("b", 60), ("c", 50))
    )
    _, _, demand = day(*EIGHT[:2], *ports)
    assert (demand.peak_running_w, demand.peak_dc_w) == (2600, 110)
    assert (demand.pool_ac, demand.pool_dc) == (2, 3)
    assert demand.pool_words == "Counts on at most 2 of: a, b, c."


def test_a_shorter_load_of_more_watts_and_a_longer_of_fewer_take_turns() -> None:
    """1500 W for half an hour against 1300 W for eight: 1500 W run, but 1300 x 1.25 = 1625 W are needed."""
    oven = Load(name="oven", running_w=1500, hours_per_day=0.5, starts_at=12, turns="t")
    air = Load(name="air conditioner", running_w=1300, hours_per_day=8, starts_at=10, turns="t")
    _, hours, _ = day(oven, air)
    assert (hours[12].running_w, hours[12].needed_w) == (1500, 1625)
    assert (hours[13].running_w, hours[13].needed_w) == (1300, 1625)


@given(
    st.lists(
        st.tuples(st.integers(1, 2000), st.sampled_from([0.5, 1, 2.9, 3, 24]), st.sampled_from(["critical", None])),
        max_size=6,
    ),
    st.integers(0, 4),
)
@settings(derandomize=True, deadline=None, max_examples=60)
def test_the_peak_is_the_worst_that_may_run_together(rows: list[tuple[int, float, Any]], at_once: int) -> None:
    """By brute force over every set of loads in which no more of the short pool run than may: its worst is the need."""
    loads = [Load(name="x", running_w=w, hours_per_day=h, tier=tier) for w, h, tier in rows]
    worst = 0.0
    for on in itertools.product((0, 1), repeat=len(rows)):
        short = sum(o for o, (_, h, tier) in zip(on, rows, strict=True) if h < 3 and tier is None)
        if at_once == 0 or short <= at_once:
            drawn = sum(o * w * (1.25 if h >= 3 else 1) for o, (w, h, _) in zip(on, rows, strict=True))
            worst = max(worst, drawn)
    assert day(*loads, at_once=at_once)[2].needed_running_w == pytest.approx(worst, rel=1e-12)


def test_a_load_that_is_switched_off_is_not_there() -> None:
    """`on = no` takes a line out of energy, draw, starts, sockets, voltages and gaps; the line stays as typed."""
    off = PUMP.model_copy(update={"on": "no", "gap_ms": 5.0})
    assert day(FRIDGE, off)[2] == day(FRIDGE, Load())[2]
    assert day(FRIDGE, PUMP.model_copy(update={"on": "yes"}))[2] == day(FRIDGE, PUMP)[2]


# DC ports


def test_dc_loads_start_too() -> None:
    """A 12 V compressor of 60 W that starts at 150 W beside a 6 W radio: 66 W running, 156 W at the start."""
    cooler = Load(name="cooler", running_w=60, starting_w=150, hours_per_day=24, duty=0.4, feed="12 V DC")
    _, _, demand = day(cooler, RADIO, FRIDGE)
    assert (demand.peak_dc_w, demand.peak_dc_starting_w, demand.peak_start_one_w) == (66, 156, 900)


def test_each_dc_socket_is_asked_for_its_own_loads() -> None:
    """Worked by hand: USB 2 x 12 W; 12 V 6 W, and 60 W that start at 150 W; nothing at 24 and 48 V."""
    phones = Load(name="phones", quantity=2, running_w=12, hours_per_day=4, feed="USB")
    cooler = Load(name="cooler", running_w=60, starting_w=150, hours_per_day=24, feed="12 V DC")
    _, _, demand = day(cooler, RADIO, phones)
    assert [need.needed_w for need in demand.sockets] == [24, 156, 0, 0]
    assert [need.volts for need in demand.sockets] == [5, 12, 24, 48]
    assert demand.peak_dc_starting_w == 24 + 156


def test_at_one_socket_all_start_together_where_the_case_says_so() -> None:
    """Two 12 V pumps that add 40 and 30 W: together both come on top."""
    pumps = tuple(
        Load(name=str(step), running_w=20, starting_w=20 + step, hours_per_day=24, feed="12 V DC") for step in (40, 30)
    )
    assert day(*pumps)[2].sockets[1].needed_w == 40 + 40
    assert day(*pumps, starting="together")[2].sockets[1].needed_w == 40 + 70
    assert day(*pumps, starting="together")[2].peak_dc_starting_w == 40 + 70


# Legs, voltages, gaps


def test_a_leg_carries_half_of_the_high_voltage_and_its_share_of_the_low() -> None:
    """Worked by hand: a 240 V pump of 2000 W lays 1000 W on each leg; 900 + 300 W at 120 V can't be split 600 to 600.

    The heater of 900 W stands on one leg: 1900 W there. With two of 450 W the legs balance: 1600 W.
    """
    pump = Load(name="well", running_w=2000, hours_per_day=1, starts_at=6, feed="240 V")
    heater = Load(name="heater", running_w=900, hours_per_day=1, starts_at=6)
    lamp = Load(name="lamp", running_w=300, hours_per_day=1, starts_at=6)
    assert day(pump, heater, lamp)[2].needed_leg_w == 1900
    halves = heater.model_copy(update={"quantity": 2, "running_w": 450.0})
    assert day(pump, halves, lamp)[2].needed_leg_w == 1600
    assert day(pump, heater, lamp)[2].ac_voltages == "120 V and 240 V"


def test_the_gap_of_critical_loads_is_told_apart() -> None:
    """A critical load that tolerates 15 ms and an essential one of 30 ms: each sets a limit of its own."""
    device = Load(name="device", running_w=40, hours_per_day=24, gap_ms=15, tier="critical")
    computer = Load(name="computer", running_w=90, hours_per_day=8, gap_ms=30)
    _, _, demand = day(device, computer)
    assert (demand.critical_gap_ms, demand.shortest_gap_ms) == (15, 30)
    assert day(computer)[2].critical_gap_ms == "none stated"


loads = st.builds(
    Load,
    name=st.just("x"),
    tier=st.sampled_from([None, "critical", "essential", "convenience"]),
    quantity=st.integers(1, 4) | st.none(),
    running_w=st.integers(1, 3000).map(float),
    starting_w=st.none() | st.integers(0, 9000).map(float),
    power_factor=st.none() | st.sampled_from([0.5, 0.8, 1.0]),
    duty=st.none() | st.sampled_from([0.1, 0.5, 1.0]),
    hours_per_day=st.integers(1, 96).map(lambda n: n / 4),
    starts_at=st.integers(0, 95).map(lambda n: n / 4),
    feed=st.none() | st.sampled_from(["120 V", "USB"]),
    measured_wh_per_day=st.none() | st.integers(0, 3000).map(float),
)


@given(st.lists(loads, max_size=6))
@settings(derandomize=True, deadline=None)
def test_hours_and_tiers_add_up_to_the_day(rows: list[Load]) -> None:
    """The energy of the 24 hours, of the three tiers, and of AC and DC is each the energy of the day."""
    _, hours, demand = day(*rows)
    for parts in (
        sum(hour.total_wh for hour in hours),
        sum(hour.ac_wh + hour.dc_wh for hour in hours),
        demand.critical_wh + demand.essential_wh + demand.convenience_wh,
        demand.ac_wh + demand.dc_wh,
        demand.mean_w * 24,
    ):
        assert parts == pytest.approx(demand.energy_wh, rel=1e-9, abs=1e-9)
    assert demand.busiest_wh == max(hour.total_wh for hour in hours)


@given(st.lists(loads, max_size=6))
@settings(derandomize=True, deadline=None)
def test_a_peak_lies_between_the_minutes_and_the_sum(rows: list[Load]) -> None:
    """No minute draws more than the peak; the peak is at least the largest load and at most the sum of all."""
    lines, _, demand = day(*rows)
    ac = [(one, row) for one, row in zip(lines, rows, strict=True) if one.is_ac]
    drawn = [0.0] * 1440
    for one, row in ac:
        start, length = round((row.starts_at or 0) * 60), round((row.hours_per_day or 0) * 60)
        for minute in range(start, start + length):
            drawn[minute % 1440] += one.total_w
    assert demand.peak_running_w >= max(drawn) - 1e-9
    assert demand.peak_running_w >= max((one.total_w for one, _ in ac), default=0)
    assert demand.peak_running_w <= sum(one.total_w for one, _ in ac) + 1e-9


@given(st.lists(loads, max_size=6))
@settings(derandomize=True, deadline=None)
def test_starts_and_volt_amperes_are_no_less_than_running(rows: list[Load]) -> None:
    """In every hour: running <= one start <= all starts, and watts <= volt-amperes."""
    lines, hours, _ = day(*rows)
    for hour in hours:
        assert hour.running_w <= hour.start_one_w <= hour.start_all_w + 1e-9
        assert hour.running_w <= hour.needed_w + 1e-9 <= hour.needed_va + 2e-9
        on = [one for one in lines if one.is_ac and one.share[hour.hour] > 0]
        # Brute force: every load in turn is the one that starts, the others run.
        worst = max((sum(each.w[hour.hour] for each in on) + one.step_w for one in on), default=0)
        assert hour.start_one_w == pytest.approx(worst, rel=1e-12)


def test_the_hours_are_those_of_the_clock() -> None:
    """24 records, hour 0 first."""
    assert [hour.hour for hour in day(FRIDGE)[1]] == list(HOURS)
