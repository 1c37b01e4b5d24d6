"""What figures that nobody states could bring at best: whether an answer may still keep a promise that breaks.

Bounds that are worked out in one step: a promise that breaks them is never kept. One that stays within them may break for
all that. What the figures bring once they are stated is followed hour by hour in `shedding.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.model.dust import DUST, TRACE
from holdover.model.loads import HOURS
from holdover.model.outage.tier_sets import Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What bounds every candidate alike.

    `given_wh` is what the sources give on a day, passed on to loads or charged. `unasked_h` are the hours of a day in which the inverter is on for promised loads and none of them asks for AC; `dark_h` and
    `alone_h` whole hours from the start of the outage until the sun may be up, and until a source is connected.
    """

    given_wh: float
    unasked_h: int
    dark_h: int
    alone_h: int


def dark_h(starts_at: int, solar_noon_at: float, sunset_deg: float) -> int:
    """Whole hours from the start of an outage in which the sun is not up; 0 where it is up at the start [h].

    Args:
        starts_at: Clock hour at which the outage begins [h].
        solar_noon_at: Clock time of solar noon [h].
        sunset_deg: Hour angle of sunset [°].

    Holds for: the mean day of a month. An hour in which it rises is not counted.
    Source: 15° of hour angle an hour; definition.

    >>> dark_h(18, 12, 90), dark_h(18, 12.5, 85), dark_h(19, 12, 75), dark_h(9, 12, 90)
    (12, 0, 12, 0)
    """
    since_rise_h = (starts_at - solar_noon_at + sunset_deg / 15) % 24
    if round(since_rise_h - 2 * sunset_deg / 15, DUST) < 0:
        return 0
    return int(round(24 - since_rise_h, DUST))


def alone_h(sources: Sequence[Source], starts_at: int) -> int:
    """Hours from the start of an outage in which no source is connected; 24 where none ever is [h].

    Args:
        sources: Outlet and generator.
        starts_at: Clock hour at which the outage begins [h].

    Holds for: daily windows.
    Source: definition.

    >>> evening = Source(w=900, share=(0.0,) * 17 + (0.5,) + (1.0,) * 3 + (0.0,) * 3)
    >>> alone_h([evening], 12), alone_h([evening], 18), alone_h([], 18)
    (5, 0, 24)
    """
    alone = set(alone_in(sources))
    return next((p for p in HOURS if (starts_at + p) % 24 not in alone), 24)


def unasked_h(ac_wh: Sequence[float], *, always_on: bool) -> int:
    """Hours of a day in which an inverter is on and no AC load asks for anything [h].

    Args:
        ac_wh: What AC loads draw in each clock hour [Wh].
        always_on: The inverter is on all day, if there is an AC load at all.

    Holds for: any day. Storage that is down to its reserve feeds the inverter no more in such an hour, and nobody goes
        without: so its draw there is left out of what must be taken.
    Source: definition.

    >>> unasked_h([20.0, 0.0], always_on=True), unasked_h([0.0, 0.0], always_on=True), unasked_h([9.0, 0.0], always_on=False)
    (1, 0, 0)
    """
    return sum(wh <= TRACE for wh in ac_wh) if always_on and sum(ac_wh) > TRACE else 0


def alone_in(sources: Sequence[Source]) -> list[int]:
    """Clock hours in which no source is connected [-]."""
    return [hour for hour in HOURS if not any(source.share[hour] > 0 for source in sources)]


def gap_wh(nets_wh: Sequence[float], eased_wh: float, sources: Sequence[Source], *, whole: bool) -> float:
    """What a promise takes out of storage from one window of a source to the next, at least [Wh].

    Args:
        nets_wh: What comes in less what it takes, by clock hour, the sun apart [Wh].
        eased_wh: Sun of the best day, and what it need not take, at most [Wh].
        sources: Outlet and generator.
        whole: Whether the time between two windows lies in the outage in one piece.

    Holds for: one source with one window a day; 0 elsewhere. An hour of which the source has a part is left out.
    Source: energy balance.

    >>> evening = Source(w=900, share=(0.0,) * 17 + (1.0,) * 4 + (0.0,) * 3)
    >>> gap_wh([-50.0] * 24, 100.0, [evening, Source(w=0, share=(0.0,) * 24)], whole=True)
    900.0
    """
    if not whole or all(any(source.share) for source in sources):
        return 0.0
    return -sum(nets_wh[hour] for hour in alone_in(sources)) - eased_wh


def left_wh(above_wh: float, nets_wh: Sequence[float], days: int, sun_wh: float, eased_wh: float) -> float:
    """What would be left above the reserve when the days are over, had storage room for all that comes [Wh].

    Args:
        above_wh: Stored above the reserve at the start [Wh].
        nets_wh: What comes in less what the promise takes, by clock hour, the sun apart [Wh].
        days: Length of the outage [days].
        sun_wh: Sun of all days at best [Wh].
        eased_wh: What it need not take on a day, and what a charger that is not stated could charge, as solar energy of the
            same effect [Wh].

    Holds for: a promise that is kept; below 0 none is, whatever is stated. Nothing is lost in charging.
    Source: energy balance.

    >>> left_wh(900.0, [-50.0] * 24, 2, 1000.0, 200.0)
    -100.0
    """
    return above_wh + days * (sum(nets_wh) + eased_wh) + sun_wh


def left_at_first_wh(above_wh: float, nets_wh: Sequence[float], starts_at: int, hours: int) -> float:
    """What would be left above the reserve when the first of what is not stated comes [Wh].

    Args:
        above_wh: Stored above the reserve at the start [Wh].
        nets_wh: What comes in less what the promise takes, by clock hour, the sun that is counted with it [Wh].
        starts_at: Clock hour at which the outage begins [h].
        hours: Hours until then, a day at most [h].

    Holds for: as `left_wh`.
    Source: energy balance.

    >>> left_at_first_wh(900.0, [-50.0] * 24, 18, 12)
    300.0
    """
    return above_wh + sum(nets_wh[(starts_at + p) % 24] for p in range(hours))
