"""What a candidate's storage really holds, what the loads take out of it in a day, and the packs they need.

It judges nothing: that is `fit.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from holdover.case.schema import Assumed, Candidate, Point, Sizing
from holdover.model.demand import Demand


@dataclass(frozen=True, slots=True, kw_only=True)
class PointLine:
    """One point of the line of capacity against temperature, with what the interpolation needs of it."""

    given: Point
    below_c: float | str
    above_c: float | str


COLDER: Final = " The unit stands colder than any point at which its storage is known: ask its maker."
"""Said where storage is taken as large as at the coldest of the points, and nobody knows whether it is [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacity:
    """The share of capacity at the storage temperature, by straight line between the points; whether it is colder than all."""

    lower_c: float | str
    upper_c: float | str
    lower_share: float
    upper_share: float
    temperature_share: float
    kept_share: float
    colder: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Storage:
    """A candidate's storage, with and without packs."""

    usable_share: float
    cycles: float
    inverter_efficiency: float
    idle_w: float
    dc_efficiency: float
    charge_efficiency: float
    ac_charge_efficiency: float
    charge_min_c: float
    ac_draw_wh: float
    idle_draw_wh: float
    dc_draw_wh: float
    day_draw_wh: float
    needed_wh: float
    per_wh: float
    usable_bare_wh: float
    packs_limit: int
    usable_most_wh: float
    packs_for_loads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What stands in the client's room: the candidate with the packs it gets."""

    packs: int
    nameplate_wh: float
    full_wh: float
    reserve_wh: float
    usable_wh: float
    runtime_h: float | str
    days: float | str


def temperature_share(storage_c: float, lower: tuple[float, float] | None, upper: tuple[float, float] | None) -> float:
    """Share of capacity at a temperature, on the straight line between two points [share].

    Args:
        storage_c: Temperature of the storage [°C].
        lower: Nearest point at or below, as (°C, share); None beyond the coldest point [-].
        upper: Nearest point at or above, likewise [-].

    Holds for: any temperature; beyond the last point the last share holds, without points it is 1.
    Source: straight-line interpolation; the points are the maker's or common practice.

    >>> round(temperature_share(5, (0, 0.85), (10, 0.95)), 6)
    0.9
    """
    if lower is None:
        return 1.0 if upper is None else upper[1]
    if upper is None:
        return lower[1]
    if upper[0] == lower[0]:
        return lower[1]
    return lower[1] + (upper[1] - lower[1]) * (storage_c - lower[0]) / (upper[0] - lower[0])


def day_draw_wh(
    ac_wh: float, inverter_efficiency: float, idle_w: float, inverter_hours: float, dc_wh: float, dc_efficiency: float
) -> float:
    """Energy that a day of the loads takes out of storage [Wh].

    Args:
        ac_wh: Energy of the AC loads in a day [Wh].
        inverter_efficiency: Added output per added draw [share].
        idle_w: Draw of the inverter while it is on [W].
        inverter_hours: Hours a day the inverter is on [h].
        dc_wh: Energy of the DC loads in a day [Wh].
        dc_efficiency: Output of the DC ports per draw [share].

    Holds for: an inverter whose losses are a fixed draw plus a fixed share.
    Source: common practice.

    >>> day_draw_wh(900, 0.9, 10, 24, 0, 1)
    1240.0
    """
    return ac_wh / inverter_efficiency + idle_w * inverter_hours + dc_wh / dc_efficiency


def packs_needed(needed_wh: float, storage_wh: float, pack_wh: float, packs_max: int, per_wh: float) -> int:
    """Fewest packs with which the usable storage holds the need, or the most there can be [-].

    Args:
        needed_wh: What must be usable [Wh].
        storage_wh: Nameplate without packs [Wh].
        pack_wh: Nameplate of a pack [Wh].
        packs_max: Packs at most [-].
        per_wh: Usable share of each nameplate Wh [share].

    Holds for: non-negative numbers; whole packs are guarded against float dust.
    Source: arithmetic.

    >>> packs_needed(2500, 1000, 1000, 3, 0.9)
    2
    """
    if pack_wh <= 0 or per_wh <= 0:
        return 0
    return min(packs_max, max(0, ceil(round((needed_wh / per_wh - storage_wh) / pack_wh, 9))))


def point_lines(points: Sequence[Point], storage_c: float) -> tuple[PointLine, ...]:
    """Each point, and on which side of the storage temperature it lies. Half-filled points do not count."""

    def side(p: Point, *, below: bool) -> float | str:
        if p.temperature_c is None or p.capacity_share is None:
            return ""
        inside = p.temperature_c <= storage_c if below else p.temperature_c >= storage_c
        return p.temperature_c if inside else ""

    return tuple(PointLine(given=p, below_c=side(p, below=True), above_c=side(p, below=False)) for p in points)


def capacity_of(lines: Sequence[PointLine], sizing: Sizing) -> Capacity:
    """Share of nameplate capacity that is there at the storage temperature and age."""
    below = [(line.below_c, line.given.capacity_share or 0.0) for line in lines if isinstance(line.below_c, float)]
    above = [(line.above_c, line.given.capacity_share or 0.0) for line in lines if isinstance(line.above_c, float)]
    lower = max(below, key=lambda p: p[0], default=None)
    upper = min(above, key=lambda p: p[0], default=None)
    share = temperature_share(sizing.storage_c, lower, upper)
    return Capacity(
        lower_c=lower[0] if lower else "none",
        upper_c=upper[0] if upper else "none",
        lower_share=lower[1] if lower else 0.0,
        upper_share=upper[1] if upper else 0.0,
        temperature_share=share,
        kept_share=share * sizing.age_share,
        colder=COLDER if upper and not lower else "",
    )


def packs_fixed(c: Candidate, for_all: int | None) -> int | None:
    """Packs fixed by hand for the candidate itself, else for every candidate; None where neither is [packs]."""
    return for_all if c.packs is None else c.packs


def storage_of(
    c: Candidate, demand: Demand, sizing: Sizing, assumed: Assumed, capacity: Capacity, packs: int | None = None
) -> Storage:
    """The candidate's storage against the loads' day, with `packs` fixed by hand, if any.

    A silent data sheet takes the assumed figures.
    """

    def stated(name: str) -> float:
        value: float | None = getattr(c, name)
        fallback: float = getattr(assumed, name)
        return fallback if value is None else value

    inverter, idle_w, dc = stated("inverter_efficiency"), stated("idle_w"), stated("dc_efficiency")
    draw = day_draw_wh(demand.ac_wh, inverter, idle_w, demand.inverter_hours, demand.dc_wh, dc)
    needed = draw * sizing.autonomy_days * (1 + sizing.energy_margin)
    per_wh = stated("usable_share") * capacity.kept_share * (1 - sizing.reserve)
    bare, pack, most = c.storage_wh or 0.0, c.pack_wh or 0.0, c.packs_max or 0
    limit = most if packs is None else min(packs, most)
    return Storage(
        usable_share=stated("usable_share"),
        cycles=stated("cycles"),
        inverter_efficiency=inverter,
        idle_w=idle_w,
        dc_efficiency=dc,
        charge_efficiency=stated("charge_efficiency"),
        ac_charge_efficiency=stated("ac_charge_efficiency"),
        charge_min_c=stated("charge_min_c"),
        ac_draw_wh=demand.ac_wh / inverter,
        idle_draw_wh=idle_w * demand.inverter_hours,
        dc_draw_wh=demand.dc_wh / dc,
        day_draw_wh=draw,
        needed_wh=needed,
        per_wh=per_wh,
        usable_bare_wh=bare * per_wh,
        packs_limit=limit,
        usable_most_wh=(bare + limit * pack) * per_wh,
        packs_for_loads=packs_needed(needed, bare, pack, most, per_wh),
    )


def held_of(c: Candidate, storage: Storage, packs: int, kept_share: float, reserve: float) -> Held:
    """Storage, reserve and endurance at the day's mean draw, with the packs it gets."""
    nameplate = (c.storage_wh or 0.0) + packs * (c.pack_wh or 0.0)
    full = nameplate * storage.usable_share * kept_share
    usable = full - full * reserve
    draw = storage.day_draw_wh
    return Held(
        packs=packs,
        nameplate_wh=nameplate,
        full_wh=full,
        reserve_wh=full * reserve,
        usable_wh=usable,
        runtime_h=usable / (draw / 24) if draw > 0 else "no draw",
        days=usable / draw if draw > 0 else "no draw",
    )
