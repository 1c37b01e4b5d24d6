"""What each clock hour takes out of a candidate's storage and what its sources put in, for each set of tiers.

Set 1 is the critical loads, set 2 those and the essential, set 3 all. It follows no state of charge: see `hold.py` and
`shedding.py`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from operator import add, mul
from typing import Final, NamedTuple

from holdover.model.demand import TIERS
from holdover.model.dust import TRACE
from holdover.model.loads import HOURS

SETS: Final = range(len(TIERS))
"""Places of the tier sets [-]; set k holds the first k + 1 tiers; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TierDay:
    """What the loads of one tier draw in each clock hour, at their own plugs."""

    ac_wh: tuple[float, ...]
    dc_wh: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Converter:
    """How a candidate turns energy. `bypass_w` is the AC that goes past the inverter while a source is connected."""

    inverter_efficiency: float
    idle_w: float
    dc_efficiency: float
    charge_efficiency: float
    may_charge: int
    ac_charge_w: float
    ac_charge_efficiency: float
    bypass_w: float

    @property
    def charged_share(self) -> float:
        """Solar energy of the same effect per energy that is charged from AC [-]."""
        return self.ac_charge_efficiency / self.charge_efficiency


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """AC from outside: the most it gives, and the share of each clock hour in which it is connected."""

    w: float
    share: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDay:
    """One tier set by clock hour. `charge_wh` is what the sources charge, as solar energy of the same effect.

    `source_wh` is what each source gives at its outlet, in the order of the sources.
    """

    out_wh: tuple[float, ...]
    charge_wh: tuple[float, ...]
    source_wh: tuple[tuple[float, ...], ...]


def demand_wh(
    ac_wh: float, dc_wh: float, inverter_on: int, inverter_efficiency: float, idle_w: float, dc_efficiency: float
) -> float:
    """What the loads of an hour take out of storage [Wh].

    Args:
        ac_wh: Drawn by the AC loads [Wh].
        dc_wh: Drawn at the DC ports [Wh].
        inverter_on: 1 where the inverter is on, else 0 [-].
        inverter_efficiency: Added output per added storage draw [-].
        idle_w: Draw of the inverter itself while it is on [W].
        dc_efficiency: Output of a DC port per storage draw [-].

    Holds for: one hour; an inverter whose losses are a steady draw and a share of its output.
    Source: energy balance.

    >>> demand_wh(90, 46, 1, 0.9, 10, 0.92)
    160.0
    """
    return ac_wh / inverter_efficiency + idle_w * inverter_on + dc_wh / dc_efficiency


def passed_w(ac_w: float, bypass_w: float, source_w: float) -> float:
    """AC that a connected source gives straight to the loads [W].

    Args:
        ac_w: Draw of the AC loads [W].
        bypass_w: The most that goes past the inverter [W].
        source_w: The most that the source gives [W].

    Holds for: hourly means; the inverter gives what is missing.
    Source: definition.

    >>> passed_w(900, 1800, 1440), passed_w(2000, 1800, 1440)
    (900, 1440)
    """
    return min(ac_w, bypass_w, source_w)


def charging_w(ac_w: float, bypass_w: float, source_w: float, ac_charge_w: float) -> float:
    """What a connected source charges with, after the loads [W].

    Args:
        ac_w: Draw of the AC loads [W].
        bypass_w: The most that goes past the inverter [W].
        source_w: The most that the source gives [W].
        ac_charge_w: The most that is charged from AC [W].

    Holds for: charging that is set to what is left.
    Source: definition.

    >>> charging_w(900, 1800, 1440, 1000)
    540
    """
    return min(source_w - passed_w(ac_w, bypass_w, source_w), ac_charge_w)


def lowest_ask_w(running_w: float, bypass_w: float, ac_charge_w: float, ac_charge_min_w: float | None) -> float:
    """The least that loads and charger together ask of a source [W].

    Args:
        running_w: Draw of the AC loads that run at once [W].
        bypass_w: The most that goes past the inverter [W].
        ac_charge_w: The most that is charged from AC [W].
        ac_charge_min_w: Lowest setting of the charger; None where it can't be set lower [W].

    Holds for: a charger that is left connected. Where it is more than the source gives, the source trips.
    Source: definition.

    >>> lowest_ask_w(900, 1800, 1000, None), lowest_ask_w(900, 1800, 1000, 200)
    (1900, 1100)
    """
    return min(running_w, bypass_w) + lowest_charge_w(ac_charge_w, ac_charge_min_w)


def lowest_charge_w(ac_charge_w: float, ac_charge_min_w: float | None) -> float:
    """The least that a charger takes: its lowest setting, or all it takes [W].

    Args:
        ac_charge_w: Most that it takes from a source [W].
        ac_charge_min_w: Lowest setting, None where it can't be set lower [W].

    Holds for: chargers that are on or off, and those with settings.
    Source: common practice.

    >>> lowest_charge_w(1200, None), lowest_charge_w(1200, 400)
    (1200, 400)
    """
    return ac_charge_w if ac_charge_min_w is None else min(ac_charge_min_w, ac_charge_w)


def set_days(
    tiers: Mapping[str, TierDay],
    converter: Converter,
    sources: Sequence[Source],
    *,
    always_on: bool,
    scale: float = 1.0,
    margin: float = 0.0,
) -> tuple[SetDay, SetDay, SetDay]:
    """The three tier sets by clock hour.

    Args:
        tiers: Draw by tier: critical, essential and convenience.
        converter: How the candidate turns energy.
        sources: What may be connected; their shares of an hour come to 1 at most.
        always_on: The inverter is on in every hour, for a set that has an AC load at all; else in hours with AC load.
        scale: Factor on the energy of every load, for asking what if [-].
        margin: Share by which loads and idle draw are raised; what a source then passes on it can't charge with [-].

    Holds for: mean draws of an hour; sources that pass AC through and charge with what is left. A set with more loads
        then never has more left: of each watt-hour more a source passes on one at most, and charges with no more.
    Source: energy balance.
    """
    raised = replace(converter, idle_w=converter.idle_w * (1 + margin))
    factor = scale * (1 + margin)
    first, second, third = (
        _set_day(tiers, raised, sources, TIERS[: k + 1], always_on=always_on, scale=factor) for k in SETS
    )
    return first, second, third


def _set_day(
    tiers: Mapping[str, TierDay],
    c: Converter,
    sources: Sequence[Source],
    members: Sequence[str],
    *,
    always_on: bool,
    scale: float,
) -> SetDay:
    ac = [scale * sum(hour) for hour in zip(*(tiers[tier].ac_wh for tier in members), strict=True)]
    dc = [scale * sum(hour) for hour in zip(*(tiers[tier].dc_wh for tier in members), strict=True)]
    any_ac = sum(ac) > TRACE
    ways = [_way(source, ac, c) for source in sources]
    passed = map(sum, zip(NOTHING, *(way.passed_wh for way in ways), strict=True))
    charged = map(sum, zip(NOTHING, *(way.charged_wh for way in ways), strict=True))
    out = [
        demand_wh(
            one - past, dc_wh, any_ac if always_on else one > TRACE, c.inverter_efficiency, c.idle_w, c.dc_efficiency
        )
        for one, dc_wh, past in zip(ac, dc, passed, strict=True)
    ]
    return SetDay(
        out_wh=tuple(out),
        charge_wh=tuple(wh * c.ac_charge_efficiency / c.charge_efficiency for wh in charged),
        source_wh=tuple(way.given_wh for way in ways),
    )


NOTHING: Final = (0.0,) * len(HOURS)
"""By clock hour what a source gives that is never connected [Wh]."""


class _Way(NamedTuple):
    """What a source passes on, what it charges with and both together, by clock hour [Wh]."""

    passed_wh: tuple[float, ...]
    charged_wh: tuple[float, ...]
    given_wh: tuple[float, ...]


def _way(s: Source, ac_w: Sequence[float], c: Converter) -> _Way:
    if not any(s.share):
        return _Way(NOTHING, NOTHING, NOTHING)
    passed = [passed_w(one, c.bypass_w, s.w) for one in ac_w]
    charging = [charging_w(one, c.bypass_w, s.w, c.ac_charge_w) for one in ac_w]
    return _Way(
        passed_wh=tuple(map(mul, s.share, passed)),
        charged_wh=tuple(map(mul, s.share, charging)),
        given_wh=tuple(map(mul, s.share, map(add, passed, charging))),
    )
