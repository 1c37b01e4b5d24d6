"""What would help a candidate that falls short: packs, a load left out, more generator hours.

Packs are sized by the miss, which does not hang on them. Of loads and generator hours only what was tried and keeps the
promise with its margin is named: what a load takes while a source runs, or what finds storage full, is nothing gained.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, islice
from math import ceil
from operator import mul
from typing import Final

from holdover.case.schema import Sizing
from holdover.model.demand import TIERS, Demand
from holdover.model.dust import DUST, holds
from holdover.model.loads import LoadLine
from holdover.model.outage.what_if import Trial
from holdover.model.spoken import spoken, thousands
from holdover.model.storage import Held, Storage
from holdover.model.verdict.fit import UNDER, Fit
from holdover.model.verdict.given_up import BEHIND, PIPES, after, behind, heats, must_run

NO_SHARES: Final = "the operation card followed, no shares set in the device"
"""What helps where a device drops loads by itself that storage would carry [-]."""


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
    """More generator hours a day."""
    left_out_for_storage: str
    left_out_for_output: str
    eased_start: str
    for_storage: str
    for_output: str
    """What would help either, in words."""
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """With what a candidate's miss could be made up for.

    `drawn_wh` is what the promised loads and the inverter take out of storage in a day, while no source is connected.
    """

    pack_wh: float
    packs_max: int
    storage: Storage
    held: Held
    drawn_wh: float
    drops_promised: bool
    """Whether a share is set in the device at which it drops loads that are promised."""
    freezes: bool
    """Whether pipes may freeze where heating is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """What was tried on the candidate followed: a load left out by name, and a longer window of the generator.

    `left_out` and `longer_h` [h/day] are "" and 0 where the promise is not kept with its margin by it.
    """

    left_out: str
    longer_h: float


UNTRIED: Final = Attempt(left_out="", longer_h=0.0)
"""Nothing was tried, or nothing of it was enough [-]."""


def attempt_of(lines: Sequence[LoadLine], without: str, left: Trial, longer: Trial, longer_h: float) -> Attempt:
    """What was enough of what was tried. No load is left out that must not stop, whatever comes of it.

    Args:
        lines: The inventory, worked out.
        without: Name of the load that was left out.
        left: The outage without it.
        longer: The outage with a longer window of the generator.
        longer_h: By how much it is longer [h/day].

    Holds for: trials of one candidate.
    Source: definition.
    """
    spared = without != "" and not any(must_run(line) for line in _named(lines, without))
    return Attempt(left_out=without if spared and left.held else "", longer_h=longer_h if longer.held else 0.0)


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


def share_of_need_wh(needed_wh: float, taken_wh: float, drawn_wh: float) -> float:
    """What leaving a load out may give back of what storage must hold: as much of it as the load takes of the draw [Wh].

    Args:
        needed_wh: What the promise takes of usable storage [Wh].
        taken_wh: What the load takes out of storage in a day, while no source is connected [Wh].
        drawn_wh: What all promised loads take in the same hours, idle draw counted [Wh].

    Holds for: choosing which load to try: draws that are spread over those hours alike.
    Source: arithmetic.

    >>> share_of_need_wh(3000, 200, 1000)
    600.0
    """
    return needed_wh * taken_wh / drawn_wh if drawn_wh > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """What leaving each load out may give back, whichever the candidate, in the order of the lines."""

    helps_promise: tuple[bool, ...]
    """Whether it is in the promise, and may be left out."""
    runs_w: tuple[float, ...]
    """What it frees of running draw while it is on, 0 where nothing [W]."""
    frees_w: tuple[float, ...]
    """By how much the highest draw of any hour falls without it, 0 where it does not [W]."""
    starts_w: tuple[float | str, ...]
    """What one of it adds at its start, "" where nothing [W]."""
    alone_share: tuple[float, ...]
    """Of its day's energy what it takes while no source is connected [-]."""
    by_energy: tuple[tuple[int, ...], ...]
    by_running: tuple[tuple[int, ...], ...]
    """Places of lines that give back storage or running draw, those that give least first, each tier for itself; of
    storage AC and DC, too, so that their order is the same for all candidates."""
    hardest: LoadLine | None
    """The line that adds most at its start, the first of equals; None where none adds anything."""
    no_starts_w: float
    """What must be there at the peak though nothing starts [W]."""
    others_start_w: float
    """The same with whatever starts hardest but for that line; more than any gives where all start together [W]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spared:
    """What leaving one load out gives back, "" where that is not enough; and what it adds at its start at the peak.

    `behind` is for choosing the least, "" where the load must run: the number of the line in its fourth decimal so that no
    two are alike, and `BEHIND` more of an essential load, so that it is chosen after those of convenience. Where leaving it
    out is enough, the figure is what it gives back, whole, and that.
    """

    behind: float | str
    stores_wh: float | str
    runs_w: float | str
    starts_w: float | str


def spare_of(
    lines: Sequence[LoadLine],
    demand: Demand,
    needed_w: Sequence[float],
    promised: int,
    sizing: Sizing,
    alone: Sequence[float],
) -> Spare:
    """What leaving each load out may give back.

    `needed_w` is the running draw by clock hour, with its margin; `promised` tells how many tiers must never go without;
    `alone` is the share of each clock hour in which no source is connected.
    """
    alone_share = tuple(sum(map(mul, line.share, alone)) for line in lines)
    frees = [line.name != "" and _frees(line, demand) for line in lines]
    runs_w = tuple(line.need_w if is_free else 0.0 for line, is_free in zip(lines, frees, strict=True))
    frees_w = tuple(
        max(needed_w) - max(need - own for need, own in zip(needed_w, line.hour_need_w, strict=True))
        if is_free
        else 0.0
        for line, is_free in zip(lines, frees, strict=True)
    )
    starts_w = tuple(_start_w(line) for line in lines)
    helps = tuple(line.name != "" and _is_spared(line, promised) for line in lines)
    helping = [i for i, is_spared in enumerate(helps) if is_spared]
    running = [i for i, watts in enumerate(frees_w) if round(watts, DUST) > 0]
    adding = [i for i, step in enumerate(starts_w) if step != ""]
    steps = sorted((float(starts_w[i]) for i in adding), reverse=True)
    margin = 1 + sizing.starting_margin
    others_w = demand.peak_running_w + (steps[1] if len(steps) > 1 else 0.0)
    return Spare(
        frees_w=frees_w,
        no_starts_w=demand.peak_running_w * margin,
        others_start_w=others_w * margin if sizing.starting == "one at a time" else BEHIND,
        helps_promise=helps,
        alone_share=alone_share,
        runs_w=runs_w,
        starts_w=starts_w,
        by_energy=_ordered(
            helping, lambda i: lines[i].energy_wh * alone_share[i], lambda i: (after(lines[i]), lines[i].dc_wh > 0)
        ),
        by_running=_ordered(running, runs_w.__getitem__, lambda i: after(lines[i])),
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


def load_to_try(fit: Fit, lines: Sequence[LoadLine], spare: Spare, means: Means) -> str:
    """Name of the load that may make up for what storage misses, "" where none is thought to."""
    missing_wh, _ = _missing(fit)
    found = _least(lines, spare.by_energy, lambda i: _stores_wh(i, lines, spare, means, fit), missing_wh)
    return found[0].name if found else ""


def mend_of(fit: Fit, lines: Sequence[LoadLine], spare: Spare, means: Means, attempt: Attempt | None = None) -> Mend:
    """What would help a candidate, out of its misses in storage and in running draw; `attempt` is of this candidate."""
    missing_wh, missing_w = _missing(fit)
    found = attempt or UNTRIED
    pack_usable_wh = means.pack_wh * means.storage.per_wh
    packs = more_packs(missing_wh, pack_usable_wh, means.packs_max - means.held.packs)
    hours, left_out = (found.longer_h, found.left_out) if missing_wh > 0 else (0.0, "")
    runs, other = (*_least_running(lines, spare, missing_w), None, None)[:2]
    starts, is_alone = _eased(fit, spare)
    by_card = _by_card(fit)
    for_storage = [NO_SHARES] if by_card else []
    if packs:
        for_storage.append(f"{packs} more pack{'' if packs == 1 else 's'}")
    if left_out:
        day_wh = sum(line.energy_wh for line in _named(lines, left_out))
        pipes = PIPES * (means.freezes and heats(left_out))
        for_storage.append(f"{left_out} left out ({thousands(day_wh)} Wh a day){pipes}")
    if hours > 0:
        more = spoken(hours, 1)
        for_storage.append(f"{more} more generator {'hour' if more == '1' else 'hours'} a day")
    for_output = _output_parts(runs, other, left_out, means)
    if starts:
        what = starts.name if is_alone else f"motors, above all {starts.name},"
        for_output.append(f"{what} started while less is on ({thousands(starts.step_w)} W more at its start)")
    is_mended = (bool(packs or left_out or hours > 0), runs is not None)
    words = _words([*for_storage, *for_output], fit, is_mended, is_tried=attempt is not None)
    return Mend(
        missing_wh=missing_wh,
        missing_w=missing_w,
        by_card=by_card,
        more_packs=packs,
        generator_h=hours,
        left_out_for_storage=left_out,
        left_out_for_output=runs.name if runs else "",
        eased_start=starts.name if starts else "",
        for_storage=", or ".join(for_storage),
        for_output=", or ".join(for_output),
        words=words + (f"; with {NO_SHARES}" if missing_wh > 0 and means.drops_promised else ""),
    )


def _output_parts(runs: LoadLine | None, other: LoadLine | None, left_out: str, means: Means) -> list[str]:
    """What would help the running draw; a load that is left out for storage is not named twice."""
    parts = []
    if runs and runs.name.lower() != left_out.lower():
        pipes = PIPES * (means.freezes and heats(runs.name))
        parts.append(f"{runs.name} left out ({thousands(runs.total_w)} W){pipes}")
    if runs and other and _takes_turns(runs, other):
        parts.append(f"{runs.name} and {other.name} not at the same time")
    return parts


def _words(parts: Sequence[str], fit: Fit, mended: tuple[bool, bool], *, is_tried: bool) -> str:
    """What would help in a sentence; where storage or output find nothing that is enough, the unit that would do.

    Of a candidate on which nothing was tried it is not said that nothing else is enough.
    """
    needed_w = ceil(round(float(fit.running.needed), DUST))
    short = [
        (is_mended, f"{thousands(needed)} {unit}")
        for missing, is_mended, needed, unit in zip(
            _missing(fit), mended, (fit.promise.needed, needed_w), ("Wh usable", "W continuous"), strict=True
        )
        if missing > 0 and not isinstance(needed, str)
    ]
    told = ", or ".join(parts)
    if any(not is_mended for is_mended, _ in short):
        larger = f"a unit of {' and '.join(what for _, what in short)}"
        beside = "; none of these is enough alone: it takes " if is_tried else ", or "
        return f"{told}{beside}{larger}" if told else larger
    return f"{told}; each of its {fit.unders} shortages must be mended" if told and fit.unders > 1 else told


def spared_of(fit: Fit, lines: Sequence[LoadLine], spare: Spare, means: Means) -> tuple[Spared, ...]:
    """What each load's leaving out gives back to a candidate [Wh of usable storage, W], if it is enough."""
    missing_wh, missing_w = _missing(fit)
    return tuple(
        Spared(
            behind="" if line.name == "" or must_run(line) else behind(line),
            stores_wh=_enough(line, _stores_wh(i, lines, spare, means, fit), missing_wh)
            if spare.helps_promise[i]
            else "",
            runs_w=_enough(line, spare.runs_w[i], missing_w, spare.frees_w[i]) if spare.runs_w[i] > 0 else "",
            starts_w=spare.starts_w[i],
        )
        for i, line in enumerate(lines)
    )


def _stores_wh(i: int, lines: Sequence[LoadLine], spare: Spare, means: Means, fit: Fit) -> float:
    """What leaving a line out may give back of usable storage [Wh], 0 where nobody knows what is needed."""
    line, storage, needed_wh = lines[i], means.storage, fit.promise.needed
    if isinstance(needed_wh, str):
        return 0.0
    day_wh = out_of_storage_wh(line.ac_wh, line.dc_wh, storage.inverter_efficiency, storage.dc_efficiency)
    return share_of_need_wh(needed_wh, day_wh * spare.alone_share[i], means.drawn_wh)


def _start_w(line: LoadLine) -> float | str:
    """What one of an AC load adds at its start [W], "" where it adds nothing."""
    step = round(line.step_w * line.is_ac, DUST) if line.name else 0.0
    return step if step > 0 else ""


def _enough(line: LoadLine, given: float, missing: float, helps: float | None = None) -> float | str:
    """What a line gives back, "" where it does not make up for what is missing, or where nothing is.

    `helps` is what counts of it, if that is not all that it gives.
    """
    given = round(given, DUST)
    if missing <= 0 or round((given if helps is None else helps) - missing, DUST) < 0:
        return ""
    return float(spoken(given)) + behind(line)


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


def _named(lines: Sequence[LoadLine], name: str) -> list[LoadLine]:
    return [line for line in lines if line.name.lower() == name.lower()]


def _least_running(lines: Sequence[LoadLine], spare: Spare, missing_w: float) -> list[LoadLine]:
    """Lines without which the output is enough in every hour, in the order of what they free; the first two at least."""
    found: list[tuple[float, int]] = []
    if missing_w <= 0:
        return []
    for order in spare.by_running:
        near = (i for i in order if spare.frees_w[i] > missing_w - 1)  # most of them are far from it
        enough = ((_enough(lines[i], spare.runs_w[i], missing_w, spare.frees_w[i]), i) for i in near)
        there = ((float(figure), i) for figure, i in enough if figure != "")
        for _, alike in islice(groupby(there, key=lambda one: spoken(round(spare.runs_w[one[1]], DUST))), 2):
            found += alike
    return [lines[i] for _, i in sorted(found)]


def _eased(fit: Fit, spare: Spare) -> tuple[LoadLine | None, bool]:
    """Whose start is too hard, and whether easing it alone is enough; None where nothing starts, or it is no matter."""
    surge_w = fit.starting.has
    if fit.starting.verdict != UNDER or isinstance(surge_w, str) or not holds(surge_w, spare.no_starts_w):
        return None, False
    return spare.hardest, holds(surge_w, spare.others_start_w)


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
    """Whether leaving a load out helps the promise: it is in it, and need not run."""
    return TIERS.index(line.tier) < promised and not must_run(line)


def _frees(line: LoadLine, demand: Demand) -> bool:
    """Whether what a load draws is free once it is left out: of loads that share a place the next would take it."""
    shares = bool(line.turns) or (line.pool == 1 and demand.pool_words != "")
    return line.is_ac == 1 and not must_run(line) and not shares


def _takes_turns(first: LoadLine, other: LoadLine) -> bool:
    """Whether the day has hours for both: either is enough, so they need but run in turns."""
    hours = sum(line.hours if line.hours > 0 else HOURS_A_DAY for line in (first, other))
    return round(hours - HOURS_A_DAY, DUST) <= 0
