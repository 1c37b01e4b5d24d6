"""What runs when: the outage followed hour by hour, and what each tier is served and until when.

Lists are switched at a reading of the display, by what `hold.py` says is to be held, or by a share set in the device.
An hour that can't be served whole counts as not served.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdover.model.demand import TIERS
from holdover.model.dust import DUST
from holdover.model.outage.hold import Needs, OutageClock, gain_wh
from holdover.model.outage.tier_sets import SETS, TierDay

ASKS_WH = 5e-7
"""A tier asks for something in an hour in which it takes more than this [Wh]; what is less is float dust."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """Storage at the temperature and age that the sizing assumes. `may_charge` is 1 where cells are warm enough."""

    full_wh: float
    reserve_wh: float
    start_wh: float
    charge_efficiency: float
    may_charge: int

    @property
    def room_wh(self) -> float:
        """What may be drawn from it when it is full [Wh]."""
        return self.full_wh - self.reserve_wh

    @property
    def gain(self) -> float:
        """Stored of solar energy that comes in [-]."""
        return self.charge_efficiency * self.may_charge


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """What decides on the lists: what is to be held, or a share below which the device drops a tier; None = by card.

    `essential_wh` and `convenience_wh` are what must be held above the reserve to leave the tier on, hour by hour.
    """

    needs: Needs
    essential_wh: tuple[float, ...]
    convenience_wh: tuple[float, ...]
    drop_essential_at: float | None = None
    drop_convenience_at: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShedHour:
    """One hour. `served` tells how many tiers get all they ask for: 3 all, 0 not even the critical one."""

    t: int
    day: int
    clock: int
    state_before_wh: float
    served: int
    net_wh: float
    stored_wh: float
    wasted_wh: float
    missing_wh: float
    state_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TierServed:
    """What becomes of a tier. `until_h` is the first hour in which it asks for something and is shed or short, "" where none is.

    `asked_h` are the hours in which it asks for something, `off_h` those of them in which it is shed or short.
    """

    asked_wh: float
    served_wh: float
    served_share: float
    asked_h: int
    off_h: int
    until_h: int | str


def drawable_wh(state_wh: float, reserve_wh: float) -> float:
    """What may be drawn from storage in an hour [Wh].

    Args:
        state_wh: Stored at its start [Wh].
        reserve_wh: Never planned on [Wh].

    Holds for: any state; below the reserve nothing.
    Source: definition.

    >>> drawable_wh(400, 100), drawable_wh(50, 100)
    (300, 0.0)
    """
    return max(0.0, state_wh - reserve_wh)


def state_after_wh(state_wh: float, net_wh: float, store: Store) -> float:
    """Stored at the end of an hour [Wh]."""
    gained = gain_wh(net_wh, store.charge_efficiency, store.may_charge)
    if net_wh < 0:
        return max(min(state_wh, store.reserve_wh), state_wh + gained)
    return max(state_wh, min(store.full_wh, state_wh + gained))


def stays_on(
    state_wh: float, store: Store, hold_wh: float, below_later_wh: float, drop_at: float | None, before: bool | None
) -> bool:
    """Whether a tier is left on in an hour.

    Args:
        state_wh: Stored at its start [Wh].
        store: The storage.
        hold_wh: What must be held above the reserve to leave the tier on [Wh].
        below_later_wh: The largest need from now on of the set without the tier [Wh].
        drop_at: Share of full storage at which the device drops it; None where a person follows the card [-].
        before: Whether it was on before; None where the display is read now.

    Holds for: a decision at the start of an hour.
    Source: definition. A tier is not switched off to save for a set that needs nothing any more.
    """
    if drop_at is not None:
        return round(state_wh - drop_at * store.full_wh, DUST) >= 0
    if before is not None:
        return before
    if round(below_later_wh, DUST) <= 0:
        return True
    room_wh = store.full_wh - store.reserve_wh
    return round(below_later_wh - room_wh, DUST) <= 0 and round(state_wh - store.reserve_wh - hold_wh, DUST) >= 0


def follow(nets: Sequence[Sequence[float]], store: Store, card: Card, clock: OutageClock) -> tuple[ShedHour, ...]:
    """The outage as it goes: what is decided, drawn, stored, wasted and missing.

    Args:
        nets: What comes in less what each tier set takes, hour by hour [Wh].
        store: The storage.
        card: What decides on the lists.
        clock: The outage's clock.

    Holds for: steps of an hour. A tier that an hour can't serve whole is off in it, and until it is decided anew.
    Source: energy balance.
    """
    hours: list[ShedHour] = []
    state, served = store.start_wh, len(TIERS)
    for t in range(clock.hours):
        asked = _left_on(t, state, served, store, card, is_reading=clock.is_reading(t))
        lacking = [round(-nets[k][t] - drawable_wh(state, store.reserve_wh), DUST) > 0 for k in SETS]
        served = next((k + 1 for k in reversed(range(asked)) if not lacking[k]), 0)
        hours.append(_hour(t, clock, state, served, nets[max(0, served - 1)][t], store))
        state = hours[-1].state_wh
    return tuple(hours)


def _left_on(t: int, state_wh: float, served: int, store: Store, card: Card, *, is_reading: bool) -> int:
    """How many tiers are left on: the critical one always, convenience only while the essential one is on."""
    essential = stays_on(
        state_wh,
        store,
        card.essential_wh[t],
        card.needs.later_wh[0][t],
        card.drop_essential_at,
        None if is_reading else served >= 2,
    )
    convenience = essential and stays_on(
        state_wh,
        store,
        card.convenience_wh[t],
        card.needs.later_wh[1][t],
        card.drop_convenience_at,
        None if is_reading else served >= 3,
    )
    return 1 + essential + convenience


def _hour(t: int, clock: OutageClock, state_wh: float, served: int, net_wh: float, store: Store) -> ShedHour:
    after = state_after_wh(state_wh, net_wh, store)
    room = max(0.0, store.full_wh - state_wh) if store.may_charge else 0.0
    return ShedHour(
        t=t,
        day=t // 24 + 1,
        clock=clock.clock(t),
        state_before_wh=state_wh,
        served=served,
        net_wh=net_wh,
        stored_wh=max(0.0, after - state_wh),
        wasted_wh=max(0.0, net_wh - room / store.charge_efficiency),
        missing_wh=max(0.0, -net_wh - drawable_wh(state_wh, store.reserve_wh)),
        state_wh=after,
    )


def served_of(hours: Sequence[ShedHour], tiers: Mapping[str, TierDay]) -> dict[str, TierServed]:
    """What each tier asks, gets, and until when. Energies are at the plugs; a tier that asks nothing gets all of it."""
    found = {}
    for place, name in enumerate(TIERS, start=1):
        day = tiers[name]
        asked = [day.ac_wh[hour.clock] + day.dc_wh[hour.clock] for hour in hours]
        off = [hour.t for hour in hours if hour.served < place]
        total, lost = sum(asked), sum(asked[t] for t in off)
        missed = [t for t in off if asked[t] > ASKS_WH]
        found[name] = TierServed(
            asked_wh=total,
            served_wh=sum(wh for hour, wh in zip(hours, asked, strict=True) if hour.served >= place),
            served_share=1 - lost / total if round(total, DUST) > 0 else 1.0,
            asked_h=sum(wh > ASKS_WH for wh in asked),
            off_h=len(missed),
            until_h=missed[0] if missed else "",
        )
    return found


def until_alone(net: Sequence[float], store: Store) -> tuple[int | str, list[float]]:
    """The first hour that storage can't serve whole where nothing but one tier set is on, "" where there is none.

    With it goes what is stored at the start of each hour up to it, and at the end where all are served [Wh].

    Args:
        net: What comes in less what the set takes, hour by hour [Wh].
        store: The storage.

    Holds for: a set that is never shed.
    Source: energy balance.
    """
    states = [store.start_wh]
    for t, one in enumerate(net):
        if round(-one - drawable_wh(states[-1], store.reserve_wh), DUST) > 0:
            return t, states
        states.append(state_after_wh(states[-1], one, store))
    return "", states
