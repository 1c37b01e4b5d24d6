"""What would help a candidate that falls short: packs, a load left out, more generator hours, each sized by the miss.

It says what would help, not that it does: the outage must be worked out again to know.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, islice
from math import ceil
from typing import Final

from holdover.case.words import vocabulary
from holdover.model.demand import TIERS, Demand
from holdover.model.dust import DUST
from holdover.model.loads import LoadLine
from holdover.model.spoken import spoken, thousands
from holdover.model.storage import Held, Storage
from holdover.model.verdict.fit import UNDER, Fit

BEHIND: Final = 1e10
"""Added to what leaving an essential load out gives back [Wh, W], more than any gives: convenience is given up first."""
HEATING: Final = tuple(vocabulary("words")["heating"]["parts"])
"""Parts of the names of loads that keep a house warm and its pipes whole [-]; common practice: they are given up last.

A name tells it, and not the typical load that it may mean: names are typed in the workbook, which knows no such table.
"""
PIPES: Final = " and see that pipes do not freeze"
"""What stands behind such a load where no other would do [-]."""


HOURS_A_DAY: Final = 24.0
"""Hours of a day [h]; a metered load that states none is on for so long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """What a candidate misses and what would help. 0 or "" where nothing is missing or nothing would do.

    `by_card` is 1 where storage would do and the shares set in the device break the promise.
    """

    missing_wh: float
    missing_w: float
    by_card: int
    more_packs: int
    generator_h: float
    left_out_for_storage: str
    left_out_for_output: str
    eased_start: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """With what a candidate's miss could be made up for. `promised` tells how many tiers must never go without.

    `generator_stores_w` is what an hour of the generator stores where it feeds the charger alone: on the safe side.
    """

    pack_wh: float
    packs_max: int
    storage: Storage
    held: Held
    generator_stores_w: float
    promised: int
    days: int
    energy_margin: float


def out_of_storage_wh(ac_wh: float, dc_wh: float, inverter_efficiency: float, dc_efficiency: float) -> float:
    """What a load takes out of storage in a day, the idle draw of the inverter apart [Wh].

    Args:
        ac_wh: Its AC energy in a day [Wh].
        dc_wh: Its DC energy in a day [Wh].
        inverter_efficiency: Added output per added storage draw [-].
        dc_efficiency: Output of a DC port per storage draw [-].

    Holds for: a load beside others that keep the inverter on.
    Source: energy balance.

    >>> out_of_storage_wh(900, 0, 0.9, 1)
    1000.0
    """
    return ac_wh / inverter_efficiency + dc_wh / dc_efficiency


def more_packs(missing_wh: float, pack_usable_wh: float, room: int) -> int:
    """Packs that make up for what usable storage misses, 0 where so many can't be added [packs].

    Args:
        missing_wh: Missing of usable storage [Wh].
        pack_usable_wh: Usable storage of one pack, at its age and temperature [Wh].
        room: Packs that can still be added [packs].

    Holds for: packs as good as the unit itself.
    Source: arithmetic; whole packs are guarded against float dust.

    >>> more_packs(1500, 1000, 3), more_packs(1500, 1000, 1)
    (2, 0)
    """
    if missing_wh <= 0 or pack_usable_wh <= 0:
        return 0
    packs = ceil(round(missing_wh / pack_usable_wh, 9))
    return packs if packs <= room else 0


def generator_h(missing_wh: float, stored_w: float) -> float:
    """Generator hours that bring what storage misses, over the whole outage [h].

    Args:
        missing_wh: Missing of usable storage [Wh].
        stored_w: What the generator stores in an hour, 0 where there is none [W].

    Holds for: hours that fall before storage gives out.
    Source: arithmetic.

    >>> generator_h(1800, 900)
    2.0
    """
    return missing_wh / stored_w if stored_w > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """What leaving each load out may give back, whichever the candidate, in the order of the lines."""

    helps_promise: tuple[bool, ...]
    """Whether it is in the promise, and not critical."""
    runs_w: tuple[float, ...]
    """What it frees of running draw in the hour of the hardest one, 0 where nothing [W]."""
    starts_w: tuple[float | str, ...]
    """What it adds at its start in the hour of the hardest one, "" where nothing [W]."""
    by_energy: tuple[tuple[int, ...], ...]
    by_running: tuple[tuple[int, ...], ...]
    """Places of lines that give back storage or running draw, those that give least first, each tier for itself; of
    storage AC and DC, too, so that their order is the same for all candidates."""
    hardest: LoadLine | None
    """The line that adds most at its start, the first of equals; None where none adds anything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spared:
    """What leaving one load out gives back, "" where that is not enough; and what it adds at its start at the peak.

    Where it is enough, the figure is for choosing the least: whole, with the number of the line in its fourth decimal so
    that no two are alike, and `BEHIND` more of an essential load, so that it is chosen after those of convenience.
    """

    stores_wh: float | str
    runs_w: float | str
    starts_w: float | str


def spare_of(lines: Sequence[LoadLine], demand: Demand, promised: int) -> Spare:
    """What leaving each load out may give back; `promised` tells how many tiers must never go without."""
    at = demand.needed_running_at
    runs_w = tuple(line.hour_need_w[at] if line.name and _frees(line, demand) else 0.0 for line in lines)
    starts_w = _starts_w(lines, demand)
    helps = tuple(line.name != "" and _is_spared(line, promised) for line in lines)
    helping = [i for i, is_spared in enumerate(helps) if is_spared]
    running = [i for i, watts in enumerate(runs_w) if watts > 0]
    adding = [i for i, step in enumerate(starts_w) if step != ""]
    return Spare(
        helps_promise=helps,
        runs_w=runs_w,
        starts_w=starts_w,
        by_energy=_ordered(
            helping, lambda i: lines[i].ac_wh + lines[i].dc_wh, lambda i: (_behind(lines[i]), lines[i].dc_wh > 0)
        ),
        by_running=_ordered(running, runs_w.__getitem__, lambda i: _behind(lines[i])),
        hardest=lines[max(adding, key=lambda i: float(starts_w[i]))] if adding else None,
    )


def _ordered(
    places: Iterable[int], gives: Callable[[int], float], apart: Callable[[int], Hashable]
) -> tuple[tuple[int, ...], ...]:
    """Places of lines in the order of what they give, the first of equals first, in groups."""
    groups: defaultdict[Hashable, list[int]] = defaultdict(list)
    for i in sorted(places, key=gives):
        groups[apart(i)].append(i)
    return tuple(map(tuple, groups.values()))


def mend_of(fit: Fit, lines: Sequence[LoadLine], spare: Spare, means: Means) -> Mend:
    """What would help a candidate, out of its misses in storage and in running draw."""
    missing_wh, missing_w = _missing(fit)
    pack_usable_wh = means.pack_wh * means.storage.per_wh
    packs = more_packs(missing_wh, pack_usable_wh, means.packs_max - means.held.packs)
    hours = generator_h(missing_wh, means.generator_stores_w)
    stores, *_ = *_least(lines, spare.by_energy, lambda i: _stores_wh(lines[i], means), missing_wh), None
    runs, other = (*_least(lines, spare.by_running, spare.runs_w.__getitem__, missing_w), None, None)[:2]
    starts = spare.hardest if fit.starting.verdict == UNDER else None
    by_card = _by_card(fit)
    parts = ["the operation card followed, no shares set in the device"] if by_card else []
    if packs:
        parts.append(f"{packs} more pack{'' if packs == 1 else 's'}")
    if stores:
        parts.append(f"{stores.name} left out ({thousands(stores.energy_wh)} Wh a day){PIPES * _heats(stores)}")
    if hours > 0:
        parts.append(f"{spoken(hours, 1)} more generator hours in all")
    if runs and runs is not stores:
        parts.append(f"{runs.name} left out ({thousands(runs.total_w)} W){PIPES * _heats(runs)}")
    if runs and other and _takes_turns(runs, other):
        parts.append(f"{runs.name} and {other.name} not at the same time")
    if starts:
        parts.append(f"{starts.name} started while less is on ({thousands(starts.step_w)} W more at its start)")
    return Mend(
        missing_wh=missing_wh,
        missing_w=missing_w,
        by_card=by_card,
        more_packs=packs,
        generator_h=hours,
        left_out_for_storage=stores.name if stores else "",
        left_out_for_output=runs.name if runs else "",
        eased_start=starts.name if starts else "",
        words=_words(parts, fit, mended=(bool(packs or stores or hours > 0), runs is not None)),
    )


def _words(parts: Sequence[str], fit: Fit, *, mended: tuple[bool, bool]) -> str:
    """What would help in a sentence; where storage or output find nothing that is enough, the unit that would do."""
    short = [
        (is_mended, f"{thousands(float(found.needed))} {unit}")
        for missing, is_mended, found, unit in zip(
            _missing(fit), mended, (fit.promise, fit.running), ("Wh usable", "W continuous"), strict=True
        )
        if missing > 0
    ]
    told = ", or ".join(parts)
    if any(not is_mended for is_mended, _ in short):
        larger = f"a unit of {' and '.join(what for _, what in short)}"
        return f"{told}; no single mend is enough: it takes {larger}" if told else larger
    return f"{told}; each of its {fit.unders} shortages must be mended" if told and fit.unders > 1 else told


def spared_of(fit: Fit, lines: Sequence[LoadLine], spare: Spare, means: Means) -> tuple[Spared, ...]:
    """What each load's leaving out gives back to a candidate [Wh of usable storage, W], if it is enough."""
    missing_wh, missing_w = _missing(fit)
    return tuple(
        Spared(
            stores_wh=_enough(line, _stores_wh(line, means), missing_wh) if spare.helps_promise[i] else "",
            runs_w=_enough(line, spare.runs_w[i], missing_w) if spare.runs_w[i] > 0 else "",
            starts_w=spare.starts_w[i],
        )
        for i, line in enumerate(lines)
    )


def _stores_wh(line: LoadLine, means: Means) -> float:
    """What leaving a line out gives back of usable storage [Wh]."""
    storage = means.storage
    day_wh = out_of_storage_wh(line.ac_wh, line.dc_wh, storage.inverter_efficiency, storage.dc_efficiency)
    return means.days * (1 + means.energy_margin) * day_wh


def _starts_w(lines: Sequence[LoadLine], demand: Demand) -> tuple[float | str, ...]:
    """What each load adds at its start in the hour of the hardest one [W], "" where it adds nothing."""
    steps = (round(line.step[demand.peak_start_one_at], DUST) if line.name else 0.0 for line in lines)
    return tuple(step if step > 0 else "" for step in steps)


def _enough(line: LoadLine, given: float, missing: float) -> float | str:
    """What a line gives back, "" where it does not make up for what is missing, or where nothing is."""
    given = round(given, DUST)
    if missing <= 0 or round(given - missing, DUST) < 0:
        return ""
    return float(spoken(given)) + line.number / 10_000 + _behind(line)


def _behind(line: LoadLine) -> float:
    """What is added to what a line gives back, so that it is chosen after others [Wh or W]."""
    return (0.0 if line.tier == "convenience" else BEHIND) + 2 * BEHIND * _heats(line)


def _least(
    lines: Sequence[LoadLine], orders: Sequence[Sequence[int]], gives: Callable[[int], float], missing: float
) -> list[LoadLine]:
    """Lines that give back enough, in the order of their figures; the first two are among them, if there are as many.

    In each order those that are enough are found by halves. Of them the ones whose figures differ by the number of the
    line alone are told apart, and those that come next, too.
    """

    def figure(i: int) -> float | str:
        return _enough(lines[i], gives(i), missing)

    found = []
    for order in orders:
        place = bisect_left(order, True, key=lambda i: figure(i) != "")
        for _, alike in islice(groupby(order[place:], key=lambda i: spoken(round(gives(i), DUST))), 2):
            found += [(float(figure(i)), i) for i in alike]
    return [lines[i] for _, i in sorted(found)]


def _heats(line: LoadLine) -> bool:
    return any(word in f" {line.name.lower()}" for word in HEATING)


def _missing(fit: Fit) -> tuple[float, float]:
    """What is missing of usable storage [Wh] and of continuous output [W]."""
    missing_wh = -float(fit.promise.margin) if _misses(fit, "promise") else 0.0
    return missing_wh, -float(fit.running.margin) if fit.running.verdict == UNDER else 0.0


def _misses(fit: Fit, name: str) -> bool:
    found = getattr(fit, name)
    return found.verdict == UNDER and not isinstance(found.margin, str) and round(found.margin, DUST) < 0


def _by_card(fit: Fit) -> int:
    """Whether the promise breaks though there is as much as it takes: a person with the card would keep it."""
    margin = fit.promise.margin
    return int(fit.promise.verdict == UNDER and not isinstance(margin, str) and round(margin, DUST) >= 0)


def _is_spared(line: LoadLine, promised: int) -> bool:
    """Whether leaving a load out helps the promise: it is in it, and not critical."""
    return 0 < TIERS.index(line.tier) < promised


def _frees(line: LoadLine, demand: Demand) -> bool:
    """Whether what a load draws is free once it is left out: of loads that share a place the next would take it."""
    shares = bool(line.turns) or (line.pool == 1 and demand.pool_words != "")
    return line.is_ac == 1 and line.tier != "critical" and not shares


def _takes_turns(first: LoadLine, other: LoadLine) -> bool:
    """Whether the day has hours for both: either is enough, so they need but run in turns."""
    hours = sum(line.hours if line.hours > 0 else HOURS_A_DAY for line in (first, other))
    return round(hours - HOURS_A_DAY, DUST) <= 0
