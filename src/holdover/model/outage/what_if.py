"""What if: the outage of one candidate tried again with other loads, packs, sun and generator hours.

Each trial leaves the promised loads on and nothing else, so it tells what storage can do, not what a list decides.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from holdover.model.dust import DUST, holds
from holdover.model.loads import HOURS, LoadLine
from holdover.model.outage.promise import Plan, packs_for, taking_of
from holdover.model.outage.shedding import Store, until_alone
from holdover.model.outage.tier_sets import Converter, Source, TierDay
from holdover.model.spoken import clock_words

SCALES: Final = (0.8, 1.25)
"""Factors on the energy of every load that are tried [-]; common practice. What lies between is told by the doubt."""
MORE_GENERATOR_H: Final = 2.0
"""Generator hours a day that are tried on top [h]; common practice."""
WITHOUT: Final = "Without one load"
"""Name of the trial that leaves a load out [-]."""
LONGER: Final = "Two more generator hours"
"""Name of the trial with a longer window of the generator [-]."""
TOO_FEW: Final = "not enough"
"""Stands for packs where all of them are not enough [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What a candidate can hold: nameplates, and full storage per nameplate at its temperature and age."""

    storage_wh: float
    pack_wh: float
    packs_max: int
    packs: int
    full_per_wh: float
    pack_price: float | str = "not stated"

    def full_wh(self, packs: int) -> float:
        """Full storage with so many packs [Wh]."""
        return (self.storage_wh + packs * self.pack_wh) * self.full_per_wh


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One what-if. `packs_needed` is what keeps the promise with its margin; `price` is of those packs.

    `words` tells whether the promise is kept, or until when.
    By clock hour, without the sun, `plain_wh` and with the margin `raised_wh` are what comes in less what its tier set takes;
    `nets_wh` and `needs_wh` are of that set, hour by hour.
    """

    name: str
    kept: int
    until_h: int | str
    packs: int
    full_needed_wh: float | str
    packs_needed: int | str
    price: float | str
    words: str
    store: Store
    plain_wh: tuple[float, ...]
    raised_wh: tuple[float, ...]
    nets_wh: tuple[float, ...]
    needs_wh: tuple[float, ...]

    @property
    def held(self) -> bool:
        """Whether the promise is kept with its margin."""
        needed = self.full_needed_wh
        return self.kept == 1 and not isinstance(needed, str) and round(self.store.full_wh - needed, DUST) >= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """All that a trial may change."""

    plan: Plan
    tiers: Mapping[str, TierDay]
    converter: Converter
    sources: tuple[Source, Source]
    sun_wh: Sequence[float]
    room: Room


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked: a load left out by name, a generator with a longer window, and the price by number of packs."""

    lines: Sequence[LoadLine]
    without: str
    longer: Source
    price_of: Callable[[int], float | str]


def tiers_without(lines: Sequence[LoadLine], tiers: Mapping[str, TierDay], name: str) -> dict[str, TierDay]:
    """The tiers without the loads of one name, whatever its case; as they are where nobody has it.

    Args:
        lines: The inventory, worked out.
        tiers: Draw by tier.
        name: The load left out.

    Holds for: mean days.
    Source: definition.
    """
    left = dict(tiers)
    for line in lines:
        if name and line.name.lower() == name.lower():
            day = left[line.tier]
            left[line.tier] = TierDay(
                ac_wh=tuple(day.ac_wh[h] - line.ac_wh * line.share[h] for h in HOURS),
                dc_wh=tuple(day.dc_wh[h] - line.dc_wh * line.share[h] for h in HOURS),
            )
    return left


def trials(setting: Setting, asked: Asked) -> tuple[Trial, ...]:
    """Every what-if of one candidate.

    Args:
        setting: The outage as planned.
        asked: What is asked.

    Holds for: steps of an hour.
    Source: definition.
    """
    packs, most = setting.room.packs, setting.room.packs_max

    def trial(name: str, changed: Setting, *, scale: float = 1.0, packs: int = packs) -> Trial:
        return _trial(name, changed, asked, scale, packs)

    dark = replace(setting, sun_wh=[0.0] * len(setting.sun_wh))
    longer = replace(setting, sources=(setting.sources[0], asked.longer))
    return (
        trial("As planned", setting),
        trial("Nothing shed", replace(setting, plan=replace(setting.plan, promised=3))),
        *(trial(f"Loads x {scale:g}", setting, scale=scale) for scale in SCALES),
        trial(WITHOUT, replace(setting, tiers=tiers_without(asked.lines, setting.tiers, asked.without))),
        trial("A pack more", setting, packs=min(most, packs + 1)),
        trial("A pack less", setting, packs=max(0, packs - 1)),
        trial("No sun", dark),
        trial(LONGER, longer),
    )


def sure(setting: Setting, asked: Asked, low_scale: float, high_scale: float) -> tuple[Trial, Trial, Trial]:
    """The promise on the low, the likely and the high day of the loads.

    Args:
        setting: The outage as planned.
        asked: What is asked; its price.
        low_scale: The low day as a share of the likely one [-].
        high_scale: The high day likewise [-].

    Holds for: the doubt of the day spread over all loads alike.
    Source: definition.
    """
    packs = setting.room.packs
    return (
        _trial("Low day", setting, asked, low_scale, packs),
        _trial("Likely day", setting, asked, 1.0, packs),
        _trial("High day", setting, asked, high_scale, packs),
    )


def _trial(name: str, setting: Setting, asked: Asked, scale: float, packs: int) -> Trial:
    plan, room, converter = setting.plan, setting.room, setting.converter
    taking = taking_of(plan, setting.tiers, converter, setting.sources, setting.sun_wh, scale)
    full = room.full_wh(packs)
    store = Store(
        full_wh=full,
        reserve_wh=plan.reserve * full,
        start_wh=plan.start_share * full,
        charge_efficiency=converter.charge_efficiency,
        may_charge=converter.may_charge,
    )
    needed = taking.full_needed_wh
    place = plan.promised - 1
    until, _ = until_alone(taking.nets_wh[place], store)
    fewest = packs_for(needed, room.storage_wh, room.pack_wh, room.packs_max, room.full_per_wh)
    enough = not isinstance(needed, str) and holds(room.full_wh(fewest), needed)
    return Trial(
        name=name,
        kept=int(until == ""),
        until_h=until,
        packs=packs,
        full_needed_wh=needed,
        packs_needed=fewest if enough else TOO_FEW,
        price=asked.price_of(fewest) if enough else "",
        words=_words(until, plan.clock.starts_at, held=not isinstance(needed, str) and round(full - needed, DUST) >= 0),
        store=store,
        plain_wh=taking.plain_day_wh[place],
        raised_wh=taking.raised_day_wh[place],
        nets_wh=taking.nets_wh[place],
        needs_wh=taking.needs.needs_wh[place],
    )


def _words(until: int | str, starts_at: int, *, held: bool) -> str:
    if isinstance(until, int):
        return f"until {clock_words(until, starts_at)}"
    return "kept" if held else "kept, no margin"
