"""What is said to help, helps: every mend that is named, made and worked out anew."""

from random import Random

import pytest

from holdover.case.schema import MAX_POINTS, Candidate, Case, Load, Outage, Point, Recharge, Sizing
from holdover.model.desk import Desk, desk_of, padded
from holdover.model.offer import Draft, draft_of
from holdover.model.outage.what_if import trials
from holdover.model.pages.door_card import FUEL_UNKNOWN
from holdover.model.pages.followed import asked_of, mend_tried, setting_of
from holdover.model.storage import capacity_of, point_lines
from holdover.model.study import study
from holdover.model.verdict.fit import OK, UNDER
from holdover.model.verdict.mend import Mend

DRAWN = 25
"""Cases that are drawn, each with four candidates."""


def desk(case: Case) -> Desk:
    points = point_lines(padded(case.points, MAX_POINTS, Point()), case.sizing.storage_c)
    return desk_of(case, len(case.loads), capacity_of(points, case.sizing))


def mended(at: Desk, draft: Draft) -> Mend:
    asked = asked_of(at, draft, to_mend=True)
    return mend_tried(at, draft, asked, trials(setting_of(at, draft), asked))


def drawn(rng: Random) -> tuple[Case, list[Candidate]]:
    def load(i: int) -> Load:
        watts = rng.choice((20, 60, 150, 400, 900))
        return Load(
            name=f"Load {i}",
            tier=rng.choice(("critical", "essential", "essential", "convenience")),
            running_w=watts,
            starting_w=rng.choice((None, 3 * watts)),
            hours_per_day=rng.choice((1, 4, 8, 24)),
            starts_at=rng.choice((None, 0, 6, 12, 18, 22)),
        )

    def candidate() -> Candidate:
        return Candidate(
            name="Unit",
            storage_wh=rng.choice((800, 2000, 5000)),
            continuous_w=rng.choice((500, 1200, 3000)),
            surge_w=rng.choice((1500, 4000)),
            ac_volts=120,
            pack_wh=1000,
            packs_max=rng.randint(0, 2),
            packs=0,
            ac_charge_w=rng.choice((300, 900, 2000)),
        )

    outage = Outage(
        days=rng.randint(1, 2),
        starts_at=rng.choice((0, 9, 18)),
        generator_from=rng.choice((6, 17)),
        generator_hours=rng.choice((0, 2, 5.5, 9)),
        mains_hours=rng.choice((0, 0, 3)),
        promise=rng.choice(("critical", "critical and essential", "all loads")),
        start_share=rng.choice((1, 0.8)),
    )
    sources = Recharge(generator_w=rng.choice((0, 1000, 2200)), outlet_a=5)
    loads = tuple(load(i) for i in range(rng.randint(2, 5)))
    return Case(loads=loads, outage=outage, recharge=sources), [candidate() for _ in range(4)]


def nearly(draft: Draft, share: float) -> Candidate:
    """The candidate with storage that is somewhat less than what the promise takes."""
    needed = draft.carried.promise.full_needed_wh
    if isinstance(needed, str) or needed <= 0:
        return draft.given
    return draft.given.model_copy(update={"storage_wh": share * needed / draft.room.full_per_wh})


def without(case: Case, name: str) -> Case:
    loads = (load.model_copy(update={"on": "no"}) if load.name == name else load for load in case.loads)
    return case.model_copy(update={"loads": tuple(loads)})


def eased(case: Case, name: str) -> Case:
    """The case without the start of a load; of all loads where no name is told."""
    loads = (load.model_copy(update={"starting_w": None}) if name in ("", load.name) else load for load in case.loads)
    return case.model_copy(update={"loads": tuple(loads)})


def test_whatever_is_said_to_help_helps() -> None:
    """Each mend that is named for 100 candidates, drawn at random, is made, and cures what it is named for."""
    rng, seen = Random(3), dict.fromkeys(("packs", "load", "generator", "output", "start"), 0)
    for _ in range(DRAWN):
        case, field = drawn(rng)
        at = desk(case)
        for one in field:
            c = nearly(draft_of(at, one), rng.uniform(0.6, 1))
            draft = draft_of(at, c)
            mend = mended(at, draft)
            if mend.more_packs:
                more = c.model_copy(update={"packs": mend.more_packs})
                assert draft_of(at, more).carried.promise.margin_held, (case, c)
                seen["packs"] += 1
            if mend.left_out_for_storage:
                again = draft_of(desk(without(case, mend.left_out_for_storage)), c)
                assert again.carried.promise.margin_held, (case, c)
                seen["load"] += 1
            if mend.generator_h:
                hours = case.outage.generator_hours + mend.generator_h
                longer = case.model_copy(update={"outage": case.outage.model_copy(update={"generator_hours": hours})})
                assert draft_of(desk(longer), c).carried.promise.margin_held, (case, c)
                seen["generator"] += 1
            if mend.left_out_for_output:
                again = draft_of(desk(without(case, mend.left_out_for_output)), c)
                assert again.fit.running.verdict == OK, (case, c)
                seen["output"] += 1
            if mend.eased_start:
                name = "" if "above all" in mend.words else mend.eased_start
                assert draft_of(desk(eased(case, name)), c).fit.starting.verdict == OK, (case, c)
                seen["start"] += 1
    assert min(seen.values()) >= 5, seen


# A generator in the evening: what runs beside it takes nothing of what storage must hold.

LAMPS = Load(name="lamps", running_w=120, hours_per_day=5, starts_at=18)
FREEZER = Load(name="freezer", running_w=60, hours_per_day=24)
PUMP = Load(name="pump", running_w=30, hours_per_day=24)
EVENING = Outage(days=2, starts_at=18, generator_from=17, generator_hours=7, sky=0)
SMALL = Candidate(
    name="small",
    storage_wh=2000,
    usable_share=1,
    continuous_w=2000,
    surge_w=4000,
    inverter_efficiency=0.9,
    idle_w=10,
    ac_volts=120,
    ac_charge_w=1500,
    ac_charge_efficiency=0.9,
)
AS_NEW = Sizing(age_share=1, storage_c=25)


def evening(*loads: Load, **outage: object) -> Case:
    plan = EVENING.model_copy(update=outage)
    return Case(loads=loads, candidates=(SMALL,), outage=plan, recharge=Recharge(generator_w=2200), sizing=AS_NEW)


def test_a_load_that_runs_while_the_generator_does_is_no_mend() -> None:
    """From 00:00 to 17:00 freezer and pump take 17 x (90 / 0.9 + 10) = 1870 Wh, with 10 % 2057; the lamps are off then.

    Usable are 1800: 257 are missing, with the lamps and without them. The pump takes 17 x 30 / 0.9 x 1.1 = 623 of it.
    """
    case = evening(LAMPS, FREEZER, PUMP)
    found = study(case)
    assert found.offers[0].fit.outage == UNDER
    assert found.offers[0].mend.missing_wh == pytest.approx(257, abs=1e-6)
    assert study(without(case, "lamps")).offers[0].mend.missing_wh == pytest.approx(257, abs=1e-6)
    assert found.outage.without == found.offers[0].mend.left_out_for_storage == "pump"


def test_a_load_that_is_named_by_hand_is_tried_in_place_of_another() -> None:
    """The lamps are named to do without; they mend nothing, and so no load is said to help."""
    found = study(evening(LAMPS, FREEZER, PUMP, without="Lamps"))
    assert (found.outage.without, found.offers[0].mend.left_out_for_storage) == ("Lamps", "")
    assert study(evening(LAMPS, FREEZER, PUMP, without="freezer")).offers[0].mend.left_out_for_storage == "freezer"


def test_nothing_that_is_critical_is_said_to_be_left_out() -> None:
    """The freezer would mend it; critical, it is no mend even where it is named by hand."""
    critical = FREEZER.model_copy(update={"tier": "critical"})
    assert study(evening(LAMPS, critical, without="freezer")).offers[0].mend.left_out_for_storage == ""


def test_of_a_candidate_that_nobody_follows_only_packs_and_a_larger_unit_are_told() -> None:
    """Another candidate is followed, so that nothing was tried on the nearest: no load and no generator hour is named."""
    case = evening(LAMPS, FREEZER, PUMP, candidate="none")
    other = SMALL.model_copy(update={"name": "none", "storage_wh": 500})
    mend = study(case.model_copy(update={"candidates": (SMALL, other)})).compared.mend
    assert (mend.left_out_for_storage, mend.generator_h) == ("", 0)
    assert mend.words.startswith("a unit of ")


def test_an_output_is_mended_only_if_it_is_in_every_hour() -> None:
    """At noon 1600 W run and at 18:00 1500 W, where 1000 are given: neither load of one hour alone is a mend."""
    noon = Load(name="noon", running_w=1600, hours_per_day=1, starts_at=12)
    night = Load(name="night", running_w=1500, hours_per_day=1, starts_at=18)
    weak = SMALL.model_copy(update={"continuous_w": 1000.0, "storage_wh": 9000.0})
    both = Case(loads=(noon, night), candidates=(weak,), outage=EVENING)
    assert study(both).offers[0].mend.left_out_for_output == ""
    assert study(both.model_copy(update={"loads": (noon,)})).offers[0].mend.left_out_for_output == "noon"


def test_a_device_that_drops_what_is_promised_must_not() -> None:
    """With storage mended, a share set in the device would still drop essential loads: that is told beside each mend."""
    words = study(evening(LAMPS, FREEZER, PUMP, drop_essential_at=0.5)).offers[0].mend.words
    assert words.endswith("; with the operation card followed, no shares set in the device")


def test_watts_that_are_needed_are_told_rounded_up_everywhere() -> None:
    """145 W for three hours or more ask for 181.25 with a quarter more: 182 are enough, 181 are not; 100 W lack 82 of them."""
    pump = Load(name="pump", running_w=145, hours_per_day=24, tier="critical")
    weak = SMALL.model_copy(update={"continuous_w": 100.0, "storage_wh": 99_000.0})
    found = study(Case(loads=(pump,), candidates=(weak,), outage=EVENING))
    assert found.offers[0].reason.startswith("running: 82 W less than the 182 needed")
    assert found.offers[0].mend.words == "a unit of 182 W continuous"
    assert "182 W continuous" in found.look_for.words


def test_fuel_is_not_told_while_nobody_knows_what_is_charged() -> None:
    """A generator that feeds a charger of unknown power: no number of litres; with its power stated one."""
    silent = SMALL.model_copy(update={"ac_charge_w": None})
    case = evening(FREEZER)
    assert study(case.model_copy(update={"candidates": (silent,)})).door_card.fuel == FUEL_UNKNOWN
    assert study(case).door_card.fuel.startswith("Fuel for 2 days: at least ")


@pytest.mark.parametrize("name", ["Oxygen concentrator", "CPAP", "Beatmungsgerät", "Medicine fridge", "Oxygène"])
def test_what_somebody_breathes_by_is_not_named_to_be_left_out(name: str) -> None:
    """Typed as essential, it would be the one load that makes up for storage and output alike: a lamp is named, or a unit."""
    device = Load(name=name, running_w=900, hours_per_day=10, starts_at=20, tier="essential")
    lamp = Load(name="Lamp", running_w=950, hours_per_day=10, starts_at=20, tier="essential")
    unit = Candidate(name="A", storage_wh=16_000, continuous_w=1500, surge_w=3000, ac_volts=120, packs=0)
    for loads, left_out in (((device, lamp), "Lamp"), ((device, device), "")):
        found = study(Case(loads=loads, candidates=(unit,), outage=Outage(days=1)))
        mend = found.offers[0].mend
        assert (mend.left_out_for_storage, mend.left_out_for_output) == (left_out, left_out)
        assert f"{name} left out" not in mend.words
        assert "at the same time" not in mend.words
    asked = study(Case(loads=(device, device), candidates=(unit,), outage=Outage(days=1, without=name)))
    assert asked.offers[0].mend.left_out_for_storage == ""
