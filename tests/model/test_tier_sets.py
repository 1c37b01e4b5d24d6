"""What a clock hour takes and brings in, against balances made by hand."""

from dataclasses import replace
from itertools import pairwise

import pytest

from holdover.model.outage.inflow import mains_and_generator
from holdover.model.outage.promise import source_trips_w
from holdover.model.outage.tier_sets import Converter, TierDay, set_days
from model.outages import IDEAL, NOTHING, ac, scenes, tiers, window

UNIT = Converter(
    inverter_efficiency=0.9,
    idle_w=20,
    dc_efficiency=0.8,
    charge_efficiency=0.95,
    may_charge=1,
    ac_charge_w=800,
    ac_charge_efficiency=0.76,
    bypass_w=1800,
)


def test_a_source_carries_the_loads_and_charges_with_what_is_left() -> None:
    """A generator of 1,500 W, loads of 900 W AC and 40 W DC.

    900 W pass through, 600 W are left and charge. Out of storage: idle 20 + 40/0.8 = 70 W. In: 600 × 0.76 =
    456 W stored, which is 480 W of sun at 0.95. Without it the hour takes 900/0.9 + 70 = 1,070 W.
    """
    day = TierDay(ac_wh=(900.0,) * 24, dc_wh=(40.0,) * 24)
    critical = set_days(tiers(day), UNIT, [window(1500, [17])], always_on=True)[0]
    assert critical.out_wh[17] == pytest.approx(70, rel=1e-12)
    assert critical.charge_wh[17] == pytest.approx(480, rel=1e-12)
    assert critical.out_wh[18] == pytest.approx(1070, rel=1e-12)
    assert critical.charge_wh[18] == 0
    assert critical.source_wh[0][17] == 1500


def test_the_inverter_gives_what_the_source_or_the_bypass_does_not() -> None:
    """Loads of 2,250 W on a source of 1,500 W: 750/0.9 + 20 from storage, no charging. Bypass of 450: 1,800/0.9."""
    narrow = replace(UNIT, bypass_w=450)
    loads = tiers(ac(2250))
    source = [window(1500, range(24))]
    wide, close = (set_days(loads, one, source, always_on=True)[0] for one in (UNIT, narrow))
    assert wide.out_wh[0] == pytest.approx(750 / 0.9 + 20, rel=1e-12)
    assert wide.charge_wh[0] == 0
    assert close.out_wh[0] == pytest.approx(2020, rel=1e-12)
    assert close.charge_wh[0] == pytest.approx(800 * 0.76 / 0.95, rel=1e-12)  # the charger's own limit


def test_a_source_for_a_part_of_the_hour_counts_for_that_part() -> None:
    """From 17:30 half of the hour passes through: 450 of 900 Wh, and 300 Wh charge."""
    _, generator = mains_and_generator(0, 0, 17.5, 1)
    half = replace(window(1500, []), share=generator)
    critical = set_days(tiers(ac(900)), UNIT, [half], always_on=True)[0]
    assert critical.out_wh[17] == pytest.approx(450 / 0.9 + 20, rel=1e-12)
    assert critical.charge_wh[17] == pytest.approx(300 * 0.76 / 0.95, rel=1e-12)


def test_the_generator_rests_while_the_outlet_is_there() -> None:
    """Both from 22:00: the outlet counts; from 21:30 the generator has its half hour before it."""
    mains, generator = mains_and_generator(22, 8, 21.5, 10)
    assert [mains[h] for h in (21, 22, 23, 0, 5, 6)] == [0, 1, 1, 1, 1, 0]
    assert [generator[h] for h in (21, 22, 5, 6, 7)] == [0.5, 0, 0, 1, 0.5]


def test_an_inverter_that_feeds_nothing_is_off() -> None:
    """Idle counts for a set with an AC load only: the critical set here has a DC load and no idle draw."""
    box = TierDay(ac_wh=NOTHING, dc_wh=(8.0,) * 24)
    always = set_days(tiers(box, ac(100, [18])), UNIT, (), always_on=True)
    assert always[0].out_wh == (10.0,) * 24
    assert always[1].out_wh[0] == pytest.approx(30, rel=1e-12)
    by_load = set_days(tiers(box, ac(100, [18])), UNIT, (), always_on=False)
    assert by_load[1].out_wh[0] == 10
    assert by_load[1].out_wh[18] == pytest.approx(100 / 0.9 + 30, rel=1e-12)


def test_another_tier_never_takes_less_and_never_leaves_more_to_charge() -> None:
    """So where a set can't be served no larger one can: the sheet asks for the smaller one first. 1,000 outages."""
    for scene in scenes(1000, seed=2):
        taking = scene.taking()
        one, two, three = taking.sets
        for h in range(24):
            assert one.out_wh[h] <= two.out_wh[h] + 1e-9 <= three.out_wh[h] + 2e-9
            assert one.charge_wh[h] >= two.charge_wh[h] - 1e-9 >= three.charge_wh[h] - 2e-9
        for nets in (taking.nets_wh, taking.raised_wh):
            assert all(
                less >= more - 1e-9 for each, larger in pairwise(nets) for less, more in zip(each, larger, strict=True)
            )


def test_a_scale_multiplies_loads_and_nothing_else() -> None:
    once, twice = tiers(ac(40), ac(7, [3])), tiers(ac(80), ac(14, [3]))
    sources = [window(300, [3, 4])]
    assert set_days(once, UNIT, sources, always_on=True, scale=2) == set_days(twice, UNIT, sources, always_on=True)


def test_the_margin_on_loads_leaves_a_source_less_to_charge_with() -> None:
    """A generator of 1,000 W, loads of 800 W, a margin of 25 %: 1,000 W pass through and nothing is left to charge.

    Without the margin 200 W charge: 200 × 0.76/0.95 = 160 Wh. Idle is raised too: 20 × 1.25 = 25 Wh. At 40 % the
    loads ask 1,120 W: storage gives 120/0.9 + 28 Wh.
    """
    source = [window(1000, range(24))]
    plain, raised, more = (
        set_days(tiers(ac(800)), UNIT, source, always_on=True, margin=margin)[0] for margin in (0, 0.25, 0.4)
    )
    assert (plain.out_wh[0], plain.charge_wh[0]) == pytest.approx((20, 160), rel=1e-12)
    assert (raised.out_wh[0], raised.charge_wh[0]) == pytest.approx((25, 0), rel=1e-12)
    assert (more.out_wh[0], more.charge_wh[0]) == pytest.approx((120 / 0.9 + 28, 0), rel=1e-12)


def test_a_margin_is_the_same_as_loads_and_idle_draw_that_much_larger() -> None:
    """What keeps the promise with 25 % on energy keeps it, without a margin, for loads and an idle draw × 1.25."""
    for scene in scenes(100, seed=11):
        larger = {
            name: TierDay(ac_wh=tuple(1.25 * wh for wh in day.ac_wh), dc_wh=tuple(1.25 * wh for wh in day.dc_wh))
            for name, day in scene.tiers.items()
        }
        unit = replace(scene.converter, idle_w=1.25 * scene.converter.idle_w)
        held = scene.taking(plan=replace(scene.plan, energy_margin=0.25))
        grown = scene.taking(plan=replace(scene.plan, energy_margin=0), tiers=larger, converter=unit)
        assert held.full_needed_wh == pytest.approx(grown.full_needed_wh, rel=1e-9)


def test_a_source_trips_where_the_charger_can_not_be_set_low_enough() -> None:
    """12 A at 120 V give 1,440 W. Loads of 900 W and a charger of 800 W ask 1,700: 260 too many.

    Set down to 400 W they ask 1,300: it holds. Past a bypass of 500 W the loads ask only 500: it holds too.
    Outside of the window nothing is asked of it.
    """
    running, outlet = [900.0] * 24, [window(1440, [22, 23])]
    assert source_trips_w(running, outlet, 1800, 800, None) == 260
    assert source_trips_w(running, outlet, 1800, 800, 400) == 0
    assert source_trips_w(running, outlet, 500, 800, None) == 0
    assert source_trips_w([900.0] * 22 + [0, 0], outlet, 1800, 800, None) == 0
    assert source_trips_w(running, [window(0, [22, 23])], 1800, 800, None) == 0, "nobody states what it gives"


def test_without_a_charger_a_source_only_passes_through() -> None:
    bare = replace(IDEAL, bypass_w=500)
    found = set_days(tiers(ac(300)), bare, [window(1000, [4])], always_on=True)[0]
    assert (found.out_wh[4], found.charge_wh[4], found.source_wh[0][4]) == (0, 0, 300)
