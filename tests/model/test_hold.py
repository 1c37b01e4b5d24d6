"""The backward pass against a search by bisection, and against sums done by hand."""

from dataclasses import replace
from itertools import pairwise

import pytest

from holdover.model.outage.hold import full_needed_wh, hold_share, needs_of
from model.outages import IDEAL, NO_SOURCES, PLAN, Scene, ac, holds_out, scenes, searched_wh, tiers

RANDOM = 1200


def test_the_least_storage_is_what_a_search_finds() -> None:
    """In 1,200 outages the backward pass and a search by bisection give the same storage for every tier set."""
    kept, sizes = 0, set()
    for scene in scenes(RANDOM):
        taking = scene.taking()
        row = taking.needs.needs_wh[scene.plan.promised - 1]
        found = full_needed_wh(max(row), row[0], scene.plan.start_share, scene.plan.reserve)
        assert found == taking.full_needed_wh
        net = taking.raised_wh[scene.plan.promised - 1]
        assert isinstance(found, float)
        assert found == pytest.approx(searched_wh(scene, net), rel=1e-8, abs=2e-6)  # the search's own last step
        kept += found == 0
        sizes.add(round(found))
    assert kept < RANDOM / 4
    assert len(sizes) > RANDOM / 2


def test_a_thousandth_less_storage_breaks_the_promise() -> None:
    """With the storage the promise takes it is kept; with 0.1 % less it is not."""
    tried = 0
    for scene in scenes(400, seed=11):
        taking = scene.taking()
        needed, net = taking.full_needed_wh, taking.raised_wh[scene.plan.promised - 1]
        assert isinstance(needed, float)
        if needed > 1:
            tried += 1
            assert holds_out(scene, net, needed)
            assert not holds_out(scene, net, 0.999 * needed)
    assert tried > 250


def test_tier_sets_are_nested() -> None:
    """A set with another tier in it never needs less, in no hour."""
    for scene in scenes(300, seed=3):
        critical, essential, everything = scene.taking().needs.needs_wh
        for less, more, most in zip(critical, essential, everything, strict=True):
            assert less <= more + 1e-9
            assert more <= most + 1e-9


def test_three_hours_by_hand() -> None:
    """Hours of −100, +80 and −50 Wh. Last hour: 50 needed. Before it 80 come in, so nothing. First: 100."""
    assert needs_of([[-100, 80, -50]], 1.0, 1).needs_wh == ((100, 0, 50, 0),)
    # Half of the 80 is lost in charging: 40 of the 50 come in, so 10 must be there before, and 110 at the start.
    assert needs_of([[-100, 80, -50]], 0.5, 1).needs_wh == ((110, 10, 50, 0),)
    # Too cold to charge: all 150 must be there at the start.
    assert needs_of([[-100, 80, -50]], 1.0, 0).needs_wh == ((150, 50, 50, 0),)


def test_a_start_that_is_not_full_needs_more() -> None:
    """900 Wh above a reserve of 10 %: 1,000 Wh when full, 900/(0.55 − 0.1) = 2,000 Wh at 55 %, none at 10 %."""
    assert full_needed_wh(900, 900, 1, 0.1) == 1000
    assert full_needed_wh(900, 900, 0.55, 0.1) == pytest.approx(2000, rel=1e-12)
    assert full_needed_wh(900, 900, 0.1, 0.1) == "never"
    assert full_needed_wh(900, 900, 0.05, 0.1) == "never"


def test_a_start_at_the_reserve_serves_what_the_first_hours_bring_in() -> None:
    """The need of 900 Wh comes later and is charged first: full storage of 1,000 Wh, even from the reserve up."""
    assert full_needed_wh(900, 0, 0.1, 0.1) == 1000
    assert full_needed_wh(900, 0, 0.05, 0.1) == "never"
    assert full_needed_wh(0, 0, 0, 0.1) == 0


def test_without_refill_the_whole_draw_stands_in_storage() -> None:
    """100 W for two days at 0.8 and 10 W idle: 48 × (125 + 10) = 6,480 Wh; 10 % margin and reserve: 7,920 Wh."""
    scene = Scene(
        plan=replace(PLAN, clock=replace(PLAN.clock, hours=48), reserve=0.1, energy_margin=0.1),
        tiers=tiers(ac(100)),
        converter=replace(IDEAL, inverter_efficiency=0.8, idle_w=10),
        sources=NO_SOURCES,
        sun_wh=(500.0,) * 48,
    )
    assert scene.taking().full_needed_without_refill_wh == pytest.approx(7920, rel=1e-12)
    assert scene.taking().full_needed_wh == 0


def test_without_refill_never_takes_less() -> None:
    for scene in scenes(200, seed=5):
        taking = scene.taking()
        needed, bare = taking.full_needed_wh, taking.full_needed_without_refill_wh
        assert isinstance(needed, float)
        assert isinstance(bare, float)
        assert needed <= bare + 1e-6


@pytest.mark.parametrize(
    ("need_wh", "full_wh", "told"),
    [(0, 1000, 0.1), (413, 1000, 0.52), (410, 1000, 0.51), (900, 1000, 1.0), (900.1, 1000, "off"), (5, 0, "off")],
)
def test_the_display_is_told_in_whole_percents_rounded_up(need_wh: float, full_wh: float, told: float | str) -> None:
    """Reserve of 10 %: 41.3 % above it are 52 %; what finds no room is told as off."""
    assert hold_share(need_wh, full_wh, 0.1) == told


def test_more_of_anything_never_takes_more_storage() -> None:
    """More sun and a longer or larger source need less; another load needs more."""
    for scene in scenes(200, seed=23):
        needed = scene.taking().full_needed_wh
        sunny = scene.taking(sun_wh=tuple(1.3 * wh + 5 for wh in scene.sun_wh)).full_needed_wh
        larger = tuple(replace(one, w=1.5 * one.w + 200) for one in scene.sources)
        longer = tuple(replace(one, share=tuple(min(0.5, 1.5 * z) for z in one.share)) for one in scene.sources)
        heavier = {**scene.tiers, "critical": ac(80)}
        more = {
            name: replace(day, ac_wh=tuple(x + y for x, y in zip(day.ac_wh, heavier[name].ac_wh, strict=True)))
            for name, day in scene.tiers.items()
        }
        chain = [
            (sunny, needed),
            (scene.taking(sources=larger).full_needed_wh, needed),
            (scene.taking(sources=longer).full_needed_wh, needed),
            (needed, scene.taking(tiers=more).full_needed_wh),
        ]
        for less, most in chain:
            assert isinstance(less, float)
            assert isinstance(most, float)
            assert less <= most + 1e-6


def test_the_need_falls_by_what_is_drawn() -> None:
    """In an hour with a draw the need falls by just that; storage that follows it ends at the reserve."""
    for scene in scenes(50, seed=31):
        taking = scene.taking()
        for net, need in zip(taking.raised_wh, taking.needs.needs_wh, strict=True):
            for one, (before, after) in zip(net, pairwise(need), strict=True):
                if one < 0:
                    assert before == pytest.approx(after - one, rel=1e-12)
                else:
                    assert before <= after
