"""The outage as it goes: what must always hold, and small outages followed by hand."""

from dataclasses import replace
from typing import Any

import pytest

from holdover.model.demand import TIERS
from holdover.model.outage.hold import OutageClock
from holdover.model.outage.shedding import until_alone
from holdover.model.outage.tier_sets import TierDay
from model.outages import IDEAL, NO_SOURCE, NO_SOURCES, NONE, NOTHING, PLAN, Scene, ac, scenes, tiers, window

DARK = (0.0,) * 24
QUIET = OutageClock(hours=24, starts_at=0, readings=(12,) * 4)


def scene(critical: TierDay, essential: TierDay, convenience: TierDay, **plan: Any) -> Scene:
    whole = replace(PLAN, **{"clock": QUIET, **plan})
    return Scene(
        plan=whole,
        tiers=tiers(critical, essential, convenience),
        converter=IDEAL,
        sources=NO_SOURCES,
        sun_wh=(0.0,) * whole.clock.hours,
    )


# What must always hold


def test_storage_that_the_promise_takes_keeps_it() -> None:
    """In 1,200 outages, each with just the storage its promise takes, no promised load ever goes without."""
    for one in scenes(1200, seed=17):
        taking = one.taking()
        assert isinstance(taking.full_needed_wh, float)
        found = one.carried(taking.full_needed_wh, taking)
        assert found.promise.kept == found.promise.margin_held == 1
        assert found.promise.word == "OK"
        for name in TIERS[: one.plan.promised]:
            assert found.tiers[name].until_h == ""
            assert found.tiers[name].served_wh == pytest.approx(found.tiers[name].asked_wh, rel=1e-12)


def test_without_a_margin_less_storage_than_needed_never_keeps_the_promise() -> None:
    """With no margin, 0.1 % less storage than the promise takes breaks it, whatever is shed."""
    tried = 0
    for one in scenes(300, seed=19):
        one = replace(one, plan=replace(one.plan, energy_margin=0))
        taking = one.taking()
        assert isinstance(taking.full_needed_wh, float)
        if taking.full_needed_wh > 10:
            tried += 1
            assert one.carried(0.999 * taking.full_needed_wh, taking).promise.word == "UNDER"
    assert tried > 180


def test_energy_balances_in_every_hour() -> None:
    """Storage changes by what is stored less what it gives; what comes in is used, stored or wasted."""
    for number, one in enumerate(scenes(200, seed=29)):
        taking = one.taking()
        found = one.carried(500.0 * (number % 12), taking)
        efficiency, store = one.converter.charge_efficiency, found.store
        for hour in found.hours:
            day = taking.sets[max(0, hour.served - 1)]
            comes = taking.sun_wh[hour.t] + day.charge_wh[hour.clock]
            out = day.out_wh[hour.clock]
            direct = min(comes, out)
            from_storage = out - direct - hour.missing_wh
            assert hour.state_wh - hour.state_before_wh == pytest.approx(hour.stored_wh - from_storage, abs=1e-6)
            assert comes == pytest.approx(direct + hour.stored_wh / efficiency + hour.wasted_wh, abs=1e-6)
            assert from_storage >= -1e-6
            assert min(store.reserve_wh, store.start_wh) - 1e-6 <= hour.state_wh <= store.full_wh + 1e-6
            assert hour.missing_wh == 0 or hour.served == 0
        change = found.hours[-1].state_wh - store.start_wh
        taken = sum(taking.sets[max(0, h.served - 1)].out_wh[h.clock] - h.missing_wh for h in found.hours)
        lost = sum(h.stored_wh for h in found.hours) * (1 / efficiency - 1)
        assert change == pytest.approx(found.used_wh - lost - taken, abs=1e-5)


def test_a_tier_that_is_less_important_is_never_served_longer() -> None:
    """Until what hour: convenience first, then essential, then critical; served shares lie within 0 and 1."""
    for number, one in enumerate(scenes(300, seed=37)):
        found = one.carried(400.0 * (number % 15))
        ends = [
            until if isinstance(until := found.tiers[name].until_h, int) else one.plan.clock.hours for name in TIERS
        ]
        broken = [found.tiers[name].until_h != "" for name in TIERS]
        for less, more in ((2, 1), (1, 0)):
            if broken[less] and broken[more]:
                assert ends[less] <= ends[more]
        for served in found.tiers.values():
            assert 0 <= served.served_share <= 1
            assert 0 <= served.off_h <= one.plan.clock.hours
            assert served.served_wh <= served.asked_wh + 1e-9


def end_h(one: Scene, full_wh: float) -> int:
    """The hour in which the promise breaks; the length of the outage where it does not."""
    until = one.carried(full_wh).promise.until_h
    return until if isinstance(until, int) else one.plan.clock.hours


def test_more_storage_sun_or_source_never_shortens_and_another_load_never_lengthens() -> None:
    """The promise breaks no earlier with more of what helps, and no later with another critical load."""
    for number, one in enumerate(scenes(400, seed=41)):
        full = 300.0 * (1 + number % 20)
        ends = end_h(one, full)
        assert ends <= end_h(one, 1.07 * full + 20)
        assert ends <= end_h(replace(one, sun_wh=tuple(1.2 * wh + 10 for wh in one.sun_wh)), full)
        mains, generator = (replace(s, w=1.5 * s.w + 100) for s in one.sources)
        assert ends <= end_h(replace(one, sources=(mains, generator)), full)
        heavy = one.tiers["critical"]
        heavier = {**one.tiers, "critical": replace(heavy, dc_wh=tuple(wh + 30 for wh in heavy.dc_wh))}
        assert end_h(replace(one, tiers=heavier), full) <= ends


def test_alone_a_set_lasts_no_shorter_than_in_company() -> None:
    """With everything else off, the promised loads run at least as long as with lists that are switched by the card."""
    for number, one in enumerate(scenes(200, seed=43)):
        full = 300.0 * (1 + number % 15)
        alone, _ = until_alone(one.taking().nets_wh[one.plan.promised - 1], one.store(full))
        assert (alone if isinstance(alone, int) else one.plan.clock.hours) >= end_h(one, full)


# By hand


def test_convenience_gets_what_can_be_spared() -> None:
    """1,300 Wh for a day from midnight, read at noon: essential 50 W all day, convenience 20 W all day.

    Essential loads need 1,200 Wh. Until noon both lists take 840 Wh, and 600 must be left then: 1,440 to hold, not
    there. List A is off in the morning. At noon 1,300 − 600 = 700 Wh are left, and 12 × 70 = 840 are to be held: off
    again. With 1,440 Wh it is on in the morning; at noon 600 are left, all of it saved for the essential list.
    """
    for full, on in ((1300, []), (1439, []), (1440, list(range(12))), (1680, list(range(24)))):
        found = scene(ac(0), ac(50), ac(20)).carried(full)
        assert [hour.t for hour in found.hours if hour.served == 3] == on
        assert found.promise.word == "OK"
        assert found.tiers["convenience"].off_h == 24 - len(on)
    assert found.hours[-1].state_wh == 0


def test_a_list_is_not_saved_for_a_set_that_needs_nothing() -> None:
    """300 Wh and 50 W of convenience alone: nobody else needs it, so it runs its six hours and is short in the seventh.

    After that it is off until the next reading, and then still has nothing.
    """
    found = scene(ac(0), ac(0), ac(50)).carried(300)
    assert [hour.served for hour in found.hours] == [3] * 6 + [2] * 18
    told = found.tiers["convenience"]
    assert (told.asked_wh, told.served_wh, told.served_share, told.off_h, told.until_h) == (1200, 300, 0.25, 18, 6)
    assert found.promise.kept == 1


def test_only_hours_in_which_something_is_asked_for_count_as_off() -> None:
    """Nothing is stored, and 50 W of convenience run from 8 to 20 alone: twelve hours are asked for and off, not 24."""
    told = scene(ac(0), ac(0), ac(50, range(8, 20))).carried(0).tiers["convenience"]
    assert (told.asked_wh, told.asked_h, told.off_h) == (600, 12, 12)


def test_where_the_essential_list_can_not_be_carried_the_critical_one_is() -> None:
    """700 Wh, critical 20 W, essential 50 W: 480 Wh are saved for the critical loads.

    To hold for the essential list until noon: 12 × 70 + 12 × 20 = 1,080. Not there: off from the start. At noon
    700 − 240 = 460 are left, and 840 to be held: off again. The promise of both breaks in the first hour, and the
    critical loads run through.
    """
    found = scene(ac(20), ac(50), ac(0)).carried(700)
    assert {hour.served for hour in found.hours} == {1}
    assert (found.promise.kept, found.promise.until_h, found.promise.broken_tier) == (0, 0, "essential")
    assert found.promise.word == "UNDER"
    assert (found.tiers["critical"].until_h, found.tiers["essential"].off_h) == ("", 24)
    critical = replace(scene(ac(20), ac(50), ac(0)).plan, promised=1)
    assert replace(scene(ac(20), ac(50), ac(0)), plan=critical).carried(700).promise.word == "OK"


def test_critical_loads_are_never_shed_and_end_when_storage_does() -> None:
    """330 Wh at 30 W: eleven hours whole; in the twelfth nothing is left."""
    found = scene(ac(30), ac(0), ac(0)).carried(330)
    assert [hour.served >= 1 for hour in found.hours] == [True] * 11 + [False] * 13
    assert found.tiers["critical"].until_h == 11
    assert found.hours[11].missing_wh == 30
    # An hour that is not served whole counts as not served, and what was left is gone.
    short = scene(ac(30), ac(0), ac(0)).carried(340)
    assert short.tiers["critical"].until_h == 11
    assert (short.hours[11].missing_wh, short.hours[11].state_wh) == (20, 0)


def test_a_device_with_a_threshold_is_followed_every_hour() -> None:
    """1,000 Wh, 50 W and 50 W of convenience, dropped below 50 %: five hours of both, then 50 W only.

    At exactly 500 Wh the convenience loads stay on for one hour more.
    """
    found = scene(ac(0), ac(50), ac(50), drop_convenience_at=0.5).carried(1000)
    assert [hour.served for hour in found.hours[:8]] == [3] * 6 + [2] * 2
    assert found.hours[6].state_before_wh == 400
    assert found.promise.kept == 0  # 400 Wh carry eight of the eighteen hours that are left
    assert found.promise.until_h == 14


def test_convenience_is_off_where_the_essential_list_is() -> None:
    """A device that drops essential loads below 80 % and convenience loads below 20 %: at 70 % both are off."""
    found = scene(ac(10), ac(20), ac(30), start_share=0.7, drop_essential_at=0.8, drop_convenience_at=0.2).carried(1000)
    assert {hour.served for hour in found.hours} == {1}
    assert found.tiers["convenience"].until_h == found.tiers["essential"].until_h == 0


def test_what_can_not_be_carried_later_leaves_convenience_off_before() -> None:
    """1,000 Wh; essential 100 W from noon on, 1,200 Wh, more than storage holds; 2,000 Wh of sun in the morning.

    Convenience asks 50 W from 0:00 to 3:00, and the sun would bring that back. Still it is off: the afternoon is lost
    as it is, and nothing is given away before it. With storage of 1,200 Wh it is on.
    """
    base = scene(
        ac(0),
        ac(100, range(12, 24)),
        ac(50, range(3)),
        clock=OutageClock(hours=24, starts_at=0, readings=(3, 12, 12, 12)),
    )
    sunny = replace(base, sun_wh=(0.0,) * 6 + (1000.0,) * 2 + (0.0,) * 16)
    small, large = sunny.carried(1000), sunny.carried(1200)
    assert (small.hours[0].served, large.hours[0].served) == (2, 3)
    assert (small.hold[0].convenience_share, large.hold[0].convenience_share) == ("off", 0.13)  # 150 of 1,200
    assert (small.promise.until_h, large.promise.word) == (22, "OK")


def test_the_safe_threshold_keeps_the_promise() -> None:
    """A device set to the one safe share keeps the promise of critical and essential loads."""
    tried = 0
    for number, one in enumerate(scenes(300, seed=47)):
        one = replace(one, plan=replace(one.plan, promised=2))
        taking = one.taking()
        assert isinstance(taking.full_needed_wh, float)
        full = taking.full_needed_wh * (1 + 0.1 * (number % 9)) + 1
        share = one.carried(full, taking).safe_drop_share
        if share < 1:
            tried += 1
            device = replace(one, plan=replace(one.plan, drop_convenience_at=share, drop_essential_at=0.0))
            assert device.carried(full, taking).promise.kept == 1
    assert tried > 60


def test_a_list_that_is_off_while_nothing_is_asked_breaks_nothing() -> None:
    """Convenience asks 80 W from 0:00 to 6:00 only; from noon it is off, and nobody misses it."""
    plan = {"promised": 3}
    found = scene(ac(0), ac(50), ac(80, range(6)), **plan).carried(1680)
    assert found.promise.word == "OK"
    assert found.tiers["convenience"].served_share == 1


def test_nothing_is_served_below_the_reserve_but_what_comes_in() -> None:
    """A start of 5 % under a reserve of 10 %: 40 W run only in the hours in which 60 W of sun come in."""
    low = replace(
        scene(ac(40), ac(0), ac(0), start_share=0.05, reserve=0.1), sun_wh=(0.0,) * 8 + (60.0,) * 4 + (0.0,) * 12
    )
    found = low.carried(1000)
    assert [hour.t for hour in found.hours if hour.served] == [8, 9, 10, 11]
    assert found.promise.full_needed_wh == "never"
    assert found.lowest_wh == 50


def test_cold_cells_are_not_charged() -> None:
    """Too cold to charge: 100 W of surplus all day is wasted, and storage stays where it was."""
    cold = replace(
        scene(ac(50), ac(0), ac(0), start_share=0.5),
        converter=replace(IDEAL, may_charge=0),
        sun_wh=(150.0,) * 24,
    )
    found = cold.carried(1000)
    assert {hour.state_wh for hour in found.hours} == {500}
    assert (found.wasted_wh, found.used_wh, found.promise.word) == (2400, 1200, "OK")


def test_fuel_is_counted_at_the_generators_outlet() -> None:
    """900 W of loads and 600 W of charging for two hours: 3 kWh, at 0.5 l/kWh 1.5 litres."""
    unit = replace(IDEAL, bypass_w=1800, ac_charge_w=600)
    base = scene(ac(900, [17, 18]), TierDay(ac_wh=NOTHING, dc_wh=NOTHING), ac(0))
    found = replace(base, converter=unit, sources=(NO_SOURCE, window(1500, [17, 18]))).carried(1000)
    assert (found.generator_wh, found.fuel_l, found.mains_wh) == (3000, 1.5, 0)


def test_a_tier_that_asks_for_nothing_yet_is_told_to_last_until_it_does() -> None:
    """From the reading at noon on storage holds only what is critical, but the lamps are not lit before 20:00: they last until then."""
    found = scene(ac(10), NONE, ac(40, (2, 20, 21))).carried(240 + 50)
    assert [hour.served for hour in found.hours[11:13]] == [3, 2]
    assert (found.tiers["convenience"].until_h, found.tiers["convenience"].off_h) == (20, 2)
