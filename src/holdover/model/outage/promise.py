"""The promise of an outage: which loads never go without, what that takes, and whether a candidate keeps it.

It puts together what `tier_sets.py`, `hold.py` and `shedding.py` work out; it knows no price and no other candidate.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from holdover.case.schema import Case
from holdover.model.demand import TIERS
from holdover.model.dust import DUST, holds
from holdover.model.outage.hold import (
    Needs,
    OutageClock,
    day_net_wh,
    full_needed_wh,
    hold_share,
    holds_wh,
    needs_of,
    nets_wh,
    safe_drop_share,
)
from holdover.model.outage.inflow import mains_and_generator
from holdover.model.outage.shedding import Card, ShedHour, Store, TierServed, follow, served_of
from holdover.model.outage.tier_sets import Converter, SetDay, Source, TierDay, lowest_ask_w, set_days
from holdover.model.storage import packs_needed

Word = Literal["OK", "CHECK", "UNDER"]
PROMISED: Final = {"critical": 1, "critical and essential": 2, "all loads": 3}
"""How many tiers a promise holds, the critical one first [-]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The outage as the case plans it. `promised` tells how many tiers must never go without."""

    clock: OutageClock
    start_share: float
    reserve: float
    energy_margin: float
    promised: int
    drop_essential_at: float | None
    drop_convenience_at: float | None
    always_on: bool
    repeats: bool

    @property
    def days(self) -> int:
        """Its length [days]."""
        return self.clock.hours // 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """What a promise takes of a candidate, whatever its storage.

    `nets_wh` is what comes in less what is taken, by tier set and hour; in `raised_wh` the margin is on what is taken.
    `passes_w` is the most that the outlet and the generator give straight to the loads. `plain_day_wh` and `raised_day_wh` are the same by clock hour, without the sun. `bare_wh` is what the promised loads
    take where nothing comes in.
    """

    sets: tuple[SetDay, SetDay, SetDay]
    passes_w: tuple[float, ...]
    sun_wh: tuple[float, ...]
    nets_wh: tuple[tuple[float, ...], ...]
    raised_wh: tuple[tuple[float, ...], ...]
    plain_day_wh: tuple[tuple[float, ...], ...]
    raised_day_wh: tuple[tuple[float, ...], ...]
    needs: Needs
    bare_wh: float
    full_needed_wh: float | str
    full_needed_without_refill_wh: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """What the display must read at a reading to leave the essential list and the convenience list on, or "off"."""

    t: int
    day: int
    clock: int
    essential_share: float | str
    convenience_share: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """Whether a candidate keeps the promise. `until_h` and `broken_tier` tell what breaks first, "" where nothing does."""

    full_needed_wh: float | str
    full_needed_without_refill_wh: float | str
    packs: int
    kept: int
    margin_held: int
    until_h: int | str
    broken_tier: str
    word: Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Fate:
    """What is told of an outage and was worked out apart: packs that the promise takes, and what a source must bear.

    `source_trips_w` is how much loads and charger ask above what a source gives, `lowest_charge_w` the least the charger
    takes [W].
    """

    packs: int
    lowest_charge_w: float
    source_trips_w: float
    fuel_l_per_kwh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A candidate carried through the outage. `source_trips_w` is how much loads and charger ask above a source."""

    taking: Taking
    store: Store
    card: Card
    hours: tuple[ShedHour, ...]
    tiers: Mapping[str, TierServed]
    hold: tuple[HoldLine, ...]
    safe_drop_share: float
    lowest_wh: float
    lowest_share: float
    sun_wh: float
    charge_wh: float
    used_wh: float
    wasted_wh: float
    mains_wh: float
    generator_wh: float
    fuel_l: float
    daily_balance_wh: float
    runs_down: int
    lowest_charge_w: float
    source_trips_w: float
    promise: Promise

    @property
    def loads_trip_w(self) -> float:
        """How much the loads alone draw above what a source gives, at worst; 0 where never [W].

        The charger takes its lowest setting beside every source alike, so that what is left without it is the loads'.
        """
        return max(0.0, self.source_trips_w - self.lowest_charge_w)

    @property
    def drops_wh(self) -> tuple[float | str, ...]:
        """Charge below which the device drops the essential and the convenience tier, "" where it drops none [Wh]."""
        shares = (self.card.drop_essential_at, self.card.drop_convenience_at)
        return tuple("" if share is None else share * self.store.full_wh for share in shares)

    @property
    def critical(self) -> TierServed:
        """What becomes of the critical tier."""
        return self.tiers["critical"]

    @property
    def essential(self) -> TierServed:
        """What becomes of the essential tier."""
        return self.tiers["essential"]

    @property
    def convenience(self) -> TierServed:
        """What becomes of the convenience tier."""
        return self.tiers["convenience"]


def plan_of(case: Case) -> Plan:
    """The plan of a case."""
    outage = case.outage
    readings = (outage.reading_1, outage.reading_2, outage.reading_3, outage.reading_4)
    return Plan(
        clock=OutageClock(hours=24 * outage.days, starts_at=outage.starts_at, readings=readings),
        start_share=outage.start_share,
        reserve=case.sizing.reserve,
        energy_margin=case.sizing.energy_margin,
        promised=PROMISED[outage.promise],
        drop_essential_at=outage.drop_essential_at,
        drop_convenience_at=outage.drop_convenience_at,
        always_on=case.sizing.inverter == "always on",
        repeats=outage.repeats == "yes",
    )


def sources_of(case: Case, house_v: float) -> tuple[Source, Source]:
    """The outlet and the generator of a case, each with its window of the day."""
    means, outage = case.recharge, case.outage
    outlet_v = house_v if means.outlet_v is None else means.outlet_v
    mains, generator = mains_and_generator(
        outage.mains_from, outage.mains_hours, outage.generator_from, outage.generator_hours
    )
    return Source(w=outlet_v * means.outlet_a, share=mains), Source(w=means.generator_w, share=generator)


def taking_of(
    plan: Plan,
    tiers: Mapping[str, TierDay],
    converter: Converter,
    sources: tuple[Source, Source],
    sun_wh: Sequence[float],
    scale: float = 1.0,
) -> Taking:
    """What the promise takes, before any storage is chosen.

    Args:
        plan: The outage.
        tiers: Draw by tier: critical, essential and convenience.
        converter: How the candidate turns energy.
        sources: Outlet and generator.
        sun_wh: Sun in each hour of the outage [Wh].
        scale: Factor on the energy of every load, for asking what if [-].

    Holds for: steps of an hour.
    Source: energy balance. Without refill neither sun nor source is there, and the whole draw is needed at the start.
    """
    sets = set_days(tiers, converter, sources, always_on=plan.always_on, scale=scale)
    bare = set_days(tiers, converter, (), always_on=plan.always_on, scale=scale)
    with_margin = set_days(tiers, converter, sources, always_on=plan.always_on, scale=scale, margin=plan.energy_margin)
    raised = nets_wh(with_margin, sun_wh, plan.clock)
    needs = needs_of(raised, converter.charge_efficiency, converter.may_charge)
    row = needs.needs_wh[plan.promised - 1]
    drawn = plan.days * (1 + plan.energy_margin) * sum(bare[plan.promised - 1].out_wh)
    return Taking(
        sets=sets,
        passes_w=tuple(min(converter.bypass_w, source.w) for source in sources),
        sun_wh=tuple(sun_wh),
        nets_wh=nets_wh(sets, sun_wh, plan.clock),
        raised_wh=raised,
        plain_day_wh=tuple(day_net_wh(day) for day in sets),
        raised_day_wh=tuple(day_net_wh(day) for day in with_margin),
        needs=needs,
        bare_wh=drawn,
        full_needed_wh=full_needed_wh(max(row), row[0], plan.start_share, plan.reserve),
        full_needed_without_refill_wh=full_needed_wh(drawn, drawn, plan.start_share, plan.reserve),
    )


def packs_for(
    full_needed_wh: float | str, storage_wh: float, pack_wh: float, packs_max: int, full_per_wh: float
) -> int:
    """Fewest packs with which full storage is what the promise takes; all of them where none are enough [-].

    Args:
        full_needed_wh: Least full storage that keeps the promise, or the word for never [Wh].
        storage_wh: Nameplate without packs [Wh].
        pack_wh: Nameplate of a pack [Wh].
        packs_max: Packs at most [-].
        full_per_wh: Full storage per nameplate, temperature and age counted [-].

    Holds for: non-negative numbers.
    Source: arithmetic.
    """
    if isinstance(full_needed_wh, str):
        return packs_max if pack_wh > 0 else 0
    return packs_needed(full_needed_wh, storage_wh, pack_wh, packs_max, full_per_wh)


def card_of(plan: Plan, taking: Taking, store: Store) -> Card:
    """What decides on the lists in each hour."""
    room = store.full_wh - store.reserve_wh

    def hold(k: int) -> tuple[float, ...]:
        below = taking.needs.needs_wh[k - 1]
        return holds_wh(taking.raised_wh[k], below, plan.clock, room, store.charge_efficiency, store.may_charge)

    return Card(
        needs=taking.needs,
        essential_wh=hold(1),
        convenience_wh=hold(2),
        drop_essential_at=plan.drop_essential_at,
        drop_convenience_at=plan.drop_convenience_at,
    )


def shown_hold(plan: Plan, card: Card, store: Store, k: int, t: int) -> float | str:
    """What the display must read at the start of hour t to leave a list on, or "off"; k: 0 essential, 1 convenience."""
    later = card.needs.later_wh[k][t]
    if round(later, DUST) <= 0:  # nothing is saved for: the reserve alone
        return hold_share(0.0, store.full_wh, plan.reserve)
    hold = (card.essential_wh, card.convenience_wh)[k][t]
    return hold_share(later if _over(later, store) else hold, store.full_wh, plan.reserve)


def hold_lines(plan: Plan, card: Card, store: Store) -> tuple[HoldLine, ...]:
    """The state of charge to hold at each reading of each day."""

    return tuple(
        HoldLine(
            t=t,
            day=t // 24 + 1,
            clock=plan.clock.clock(t),
            essential_share=shown_hold(plan, card, store, 0, t),
            convenience_share=shown_hold(plan, card, store, 1, t),
        )
        for t in range(plan.clock.hours)
        if plan.clock.is_reading(t)
    )


def carried(plan: Plan, tiers: Mapping[str, TierDay], taking: Taking, store: Store, fate: Fate) -> Carried:
    """A candidate with its storage carried through the outage.

    Args:
        plan: The outage.
        tiers: Draw by tier.
        taking: What the promise takes.
        store: The storage it has.
        fate: What else is told of it.

    Holds for: steps of an hour. Fuel is counted as if the charger ran through the whole window.
    Source: energy balance.
    """
    card = card_of(plan, taking, store)
    hours = follow(taking.nets_wh, store, card, plan.clock)
    served = served_of(hours, tiers)
    in_use = [taking.sets[max(0, hour.served - 1)] for hour in hours]
    charge = sum(day.charge_wh[hour.clock] for day, hour in zip(in_use, hours, strict=True))
    mains, generator = (
        sum(day.source_wh[i][hour.clock] for day, hour in zip(in_use, hours, strict=True)) for i in (0, 1)
    )
    sun = sum(taking.sun_wh)
    wasted = sum(hour.wasted_wh for hour in hours)
    lowest = min(store.start_wh, *(hour.state_wh for hour in hours))
    balance = hours[-1].state_wh - hours[-24].state_before_wh
    runs_down = int(plan.repeats and round(balance, DUST) < 0)
    convenience = [less - more for less, more in zip(taking.raised_wh[1], taking.raised_wh[2], strict=True)]
    return Carried(
        taking=taking,
        store=store,
        card=card,
        hours=hours,
        tiers=served,
        hold=hold_lines(plan, card, store),
        safe_drop_share=safe_drop_share(taking.needs.needs_wh[1][:-1], convenience, store.full_wh, plan.reserve),
        lowest_wh=lowest,
        lowest_share=lowest / store.full_wh if store.full_wh else 0.0,
        sun_wh=sun,
        charge_wh=charge,
        used_wh=sun + charge - wasted,
        wasted_wh=wasted,
        mains_wh=mains,
        generator_wh=generator,
        fuel_l=generator / 1000 * fate.fuel_l_per_kwh,
        daily_balance_wh=balance,
        runs_down=runs_down,
        lowest_charge_w=fate.lowest_charge_w,
        source_trips_w=fate.source_trips_w,
        promise=_promise(
            plan, taking, store, served, fate.packs, asks=bool(runs_down or round(fate.source_trips_w, DUST) > 0)
        ),
    )


def _promise(
    plan: Plan, taking: Taking, store: Store, served: Mapping[str, TierServed], packs: int, *, asks: bool
) -> Promise:
    """The promise judged. `asks` tells that something else is to be looked at."""
    needed = taking.full_needed_wh
    broken = [(until, name) for name in TIERS[: plan.promised] if isinstance(until := served[name].until_h, int)]
    until, tier = min(broken, key=lambda one: one[0], default=("", ""))
    held = int(not isinstance(needed, str) and holds(store.full_wh, needed))
    word: Word = "UNDER" if broken else "CHECK" if asks or not held else "OK"
    return Promise(
        full_needed_wh=needed,
        full_needed_without_refill_wh=taking.full_needed_without_refill_wh,
        packs=packs,
        kept=int(not broken),
        margin_held=held,
        until_h=until,
        broken_tier=tier,
        word=word,
    )


def source_trips_w(
    running_w: Sequence[float],
    sources: Sequence[Source],
    bypass_w: float,
    ac_charge_w: float,
    ac_charge_min_w: float | None,
) -> float:
    """How much loads and charger ask above what a source gives, at worst while it is connected; 0 where never [W].

    Args:
        running_w: Draw of the AC loads that run at once, by clock hour [W].
        sources: Outlet and generator.
        bypass_w: The most that goes past the inverter [W].
        ac_charge_w: The most that is charged from AC [W].
        ac_charge_min_w: Lowest setting of the charger; None where it can't be set lower [W].

    Holds for: all loads on.
    Source: definition.

    >>> source_trips_w([900] * 24, [Source(w=1440, share=(1,) * 24)], 1800, 1000, None)
    460
    """
    over = (
        lowest_ask_w(running, bypass_w, ac_charge_w, ac_charge_min_w) - source.w
        for source in sources
        for running, share in zip(running_w, source.share, strict=True)
        if share > 0 and source.w > 0  # of one whose watts nobody states nothing is drawn
    )
    return max(0.0, max(over, default=0.0))


def _over(need_wh: float, store: Store) -> bool:
    """Whether a need finds no room in storage."""
    return round(need_wh - (store.full_wh - store.reserve_wh), DUST) > 0
