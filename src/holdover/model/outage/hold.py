"""What storage must hold: the backward pass through an outage, and the state of charge to hold at each reading.

It knows no candidate's price and no pack; what really happens is followed in `shedding.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import ceil

from holdover.model.dust import DUST
from holdover.model.outage.tier_sets import SetDay
from holdover.model.recharge import NEVER


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageClock:
    """The outage's clock: its length, the clock hour it begins at, and the clock hours the display is read at."""

    hours: int
    starts_at: int
    readings: tuple[int, ...]

    def clock(self, t: int) -> int:
        """Clock hour of hour t of the outage [h]."""
        return (self.starts_at + t) % 24

    def is_reading(self, t: int) -> bool:
        """Whether the display is read at the start of hour t: at the very start, and at each reading."""
        return t == 0 or self.clock(t) in self.readings


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """Least storage above the reserve that carries each tier set from the start of hour t to the end [Wh].

    `later_wh` is the largest of it from that hour on. Both have one value more than the outage has hours: 0 at its end.
    """

    needs_wh: tuple[tuple[float, ...], ...]
    later_wh: tuple[tuple[float, ...], ...]


def gain_wh(net_wh: float, charge_efficiency: float, may_charge: int) -> float:
    """What an hour adds to storage, below 0 what it takes, were there room [Wh].

    Args:
        net_wh: Sun and charging less what the loads take out of storage [Wh].
        charge_efficiency: Stored per solar energy in [-].
        may_charge: 1 where the cells are warm enough to be charged, else 0 [-].

    Holds for: an hour as one step.
    Source: energy balance.

    >>> gain_wh(100, 0.9, 1), gain_wh(100, 0.9, 0), gain_wh(-100, 0.9, 1)
    (90.0, 0.0, -100)
    """
    return net_wh if net_wh < 0 else net_wh * charge_efficiency * may_charge


def need_before_wh(need_after_wh: float, gain_wh: float) -> float:
    """Least storage above the reserve at the start of an hour [Wh].

    Args:
        need_after_wh: The same at its end [Wh].
        gain_wh: What the hour adds to storage, below 0 what it takes [Wh].

    Holds for: storage with room for what it must hold.
    Source: energy balance, backwards.

    >>> need_before_wh(300, -100), need_before_wh(300, 100), need_before_wh(50, 100)
    (400, 200, 0.0)
    """
    return max(0.0, need_after_wh - gain_wh)


def full_needed_wh(most_wh: float, first_wh: float, start_share: float, reserve: float) -> float | str:
    """Least full storage that carries a tier set through the outage, or the word for never [Wh].

    Args:
        most_wh: The largest need above the reserve in any hour [Wh].
        first_wh: The need above the reserve in the first hour [Wh].
        start_share: State of charge at the start, share of full storage [-].
        reserve: Share of full storage that is never planned on [-].

    Holds for: a reserve below 1. A start below the reserve carries nothing that needs storage.
    Source: energy balance; no smaller storage does.

    >>> full_needed_wh(900, 450, 1.0, 0.1), full_needed_wh(900, 500, 0.5, 0.25), full_needed_wh(900, 450, 0.1, 0.1)
    (1000.0, 2000.0, 'never')
    """
    above = start_share - reserve
    if round(most_wh, DUST) <= 0:
        return 0.0
    # A start at the reserve serves where the first hours bring in what the later ones need; below it nothing does.
    if round(first_wh, DUST) <= 0:
        return NEVER if round(above, 9) < 0 else most_wh / (1 - reserve)
    return NEVER if round(above, 9) <= 0 else max(most_wh / (1 - reserve), first_wh / above)


def hold_share(need_wh: float, full_wh: float, reserve: float) -> float | str:
    """State of charge to hold at a reading, rounded up to a whole percent; "off" where storage has no such room [-].

    Args:
        need_wh: What is to be held above the reserve [Wh].
        full_wh: Full storage [Wh].
        reserve: Share of full storage that is never planned on [-].

    Holds for: a display that shows whole percents.
    Source: definition.

    >>> hold_share(413, 1000, 0.1), hold_share(901, 1000, 0.1)
    (0.52, 'off')
    """
    if full_wh <= 0 or round(need_wh - (full_wh - reserve * full_wh), DUST) > 0:
        return "off"
    return min(1.0, ceil(round(100 * (reserve + need_wh / full_wh), DUST)) / 100)


def day_net_wh(day: SetDay) -> tuple[float, ...]:
    """What the sources charge less what a tier set takes, by clock hour [Wh]."""
    return tuple(charge - out for charge, out in zip(day.charge_wh, day.out_wh, strict=True))


def nets_wh(days: Sequence[SetDay], sun_wh: Sequence[float], clock: OutageClock) -> tuple[tuple[float, ...], ...]:
    """What comes in less what each tier set takes, hour by hour [Wh].

    Args:
        days: The tier sets by clock hour.
        sun_wh: Sun in each hour of the outage [Wh].
        clock: The outage's clock.

    Holds for: every day alike but for its sky.
    Source: energy balance.
    """
    by_clock = [day_net_wh(day) for day in days]
    return tuple(tuple(sun_wh[t] + net[clock.clock(t)] for t in range(clock.hours)) for net in by_clock)


def needs_of(nets: Sequence[Sequence[float]], charge_efficiency: float, may_charge: int) -> Needs:
    """The backward pass of each tier set.

    Args:
        nets: What comes in less what each set takes, hour by hour [Wh].
        charge_efficiency: Stored per solar energy in [-].
        may_charge: 1 where the cells are warm enough to be charged, else 0 [-].

    Holds for: steps of an hour.
    Source: energy balance, backwards.

    >>> needs_of([[-100, 80, -50]], 1.0, 1).needs_wh
    ((100.0, 0.0, 50.0, 0.0),)
    """
    rows = []
    for net in nets:
        row = [0.0]
        for one in reversed(net):
            row.append(need_before_wh(row[-1], gain_wh(one, charge_efficiency, may_charge)))
        rows.append(tuple(reversed(row)))
    later = tuple(tuple(reversed(list(accumulate(reversed(row), max)))) for row in rows)
    return Needs(needs_wh=tuple(rows), later_wh=later)


def holds_wh(
    net: Sequence[float],
    below_wh: Sequence[float],
    clock: OutageClock,
    room_wh: float,
    charge_efficiency: float,
    may_charge: int,
) -> tuple[float, ...]:
    """What must be held above the reserve to leave a tier on until the next reading, hour by hour [Wh].

    Args:
        net: What comes in less what the set with the tier takes, hour by hour [Wh].
        below_wh: The need of the set without the tier, which must be there at the next reading [Wh].
        clock: The outage's clock.
        room_wh: Full storage less the reserve [Wh].
        charge_efficiency: Stored per solar energy in [-].
        may_charge: 1 where the cells are warm enough to be charged, else 0 [-].

    Holds for: a decision that stands from one reading to the next. What finds no room in an hour finds none before it.
    Source: energy balance, backwards.

    >>> clock = OutageClock(hours=4, starts_at=0, readings=(2,))
    >>> holds_wh([-100] * 4, [40, 30, 20, 10, 0], clock, 500, 1.0, 1)
    (220, 120, 200, 100)
    """
    held: list[float] = []  # from the last hour back
    for t in reversed(range(clock.hours)):
        after = held[-1] if held and not clock.is_reading(t + 1) else below_wh[t + 1]
        gained = gain_wh(net[t], charge_efficiency, may_charge)
        held.append(after if round(after - room_wh, DUST) > 0 else need_before_wh(after, gained))
    return tuple(reversed(held))


def safe_drop_share(
    needs_wh: Sequence[float], convenience_wh: Sequence[float], full_wh: float, reserve: float
) -> float:
    """One share at which a device may drop convenience loads so that the others are carried [-].

    Args:
        needs_wh: What critical and essential loads need above the reserve, hour by hour [Wh].
        convenience_wh: What convenience loads add to each hour [Wh].
        full_wh: Full storage [Wh].
        reserve: Share of full storage that is never planned on [-].

    Holds for: a device that decides at the start of each hour; 1 = off from the start.
    Source: energy balance.

    >>> safe_drop_share([400, 100], [50, 500], 1000, 0.1)
    0.7
    """
    most = max(need + more for need, more in zip(needs_wh, convenience_wh, strict=True))
    return min(1.0, reserve + most / full_wh) if full_wh > 0 else 1.0
