"""The load inventory: what each line draws, uses in a day, and when (one record a line, spare lines included).

It does not add the lines up: that is `demand.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import AC_VOLTS, DISAGREE, Load
from holdover.model.dust import DUST, TRACE

HOURS = range(24)
"""Clock hours of a day [h]; the clock model is a day of 24 hours, without the two odd days of summer time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLine:
    """One line of the inventory, worked out. Blank lines are loads of no watts."""

    given: Load
    number: int
    name: str
    tier: str
    turns: str
    metered: int
    hours: float
    starts: float | str
    quantity: float
    volts: float
    is_ac: int
    is_dc: int
    one_w: float
    total_w: float
    total_va: float
    step_w: float
    gap_ms: float | str
    energy_wh: float
    energy_share: float
    ac_wh: float
    dc_wh: float
    turn_rank_w: int
    turn_rank_va: int
    share: tuple[float, ...]
    w: tuple[float, ...]
    va: tuple[float, ...]
    step: tuple[float, ...]
    incomplete: int
    ask: str


def energy_wh(
    quantity: float, running_w: float, duty: float, hours_per_day: float, measured_wh_per_day: float | None
) -> float:
    """Energy a line uses in a day [Wh].

    Args:
        quantity: How many of them [-].
        running_w: Draw of one while it runs [W].
        duty: Share of the scheduled time it runs [-].
        hours_per_day: Time switched on [h].
        measured_wh_per_day: Metered energy of one in a day, which then replaces the product [Wh].

    Holds for: a draw that is steady while the load runs.
    Source: US DOE, Estimating Appliance and Home Electronic Energy Use.

    >>> energy_wh(1, 200, 1, 4, None)
    800
    """
    return quantity * (running_w * duty * hours_per_day if measured_wh_per_day is None else measured_wh_per_day)


def overlap_h(hour: int, start: float, length: float) -> float:
    """Part of a clock hour that lies inside a daily window, midnight crossed or not [h].

    Args:
        hour: Clock hour 0..23 [h].
        start: Clock time at which the window opens [h].
        length: Length of the window, 0..24 [h].

    Holds for: 0 <= start < 24; a window of 24 hours covers every hour.
    Source: arithmetic; tested against a raster of 1,440 minutes.

    >>> [overlap_h(h, 22.5, 8) for h in (21, 22, 23, 5, 6)]
    [0, 0.5, 1, 1, 0.5]
    """
    end = start + length
    return max(0, min(hour + 1, end) - max(hour, start)) + max(0, min(hour + 25, end) - max(hour + 24, start))


def step_w(running_w: float, starting_w: float | None) -> float:
    """What one motor adds to its running draw while it starts [W].

    Args:
        running_w: Draw while it runs [W].
        starting_w: Whole draw at the moment it starts, None where it starts at its running draw [W].

    Holds for: a starting figure that is the whole draw, not the addition to running.
    Source: common practice.

    >>> step_w(500, 2000)
    1500
    """
    return 0.0 if starting_w is None else max(0.0, starting_w - running_w)


def asks(load: Load) -> str:
    """What an adviser would ask about a line as it stands, in words; "" where nothing [-].

    Args:
        load: A line of the inventory [-].

    Holds for: any line, a blank one included.
    Source: common practice; a meter and a label may differ by a quarter.

    >>> asks(Load(name="fridge", running_w=150))
    'no hours yet'
    """
    watts, metered, hours = load.running_w, load.measured_wh_per_day, load.hours_per_day or 0.0
    said = []
    if watts is None and metered is None and load.name:
        said.append("no watts yet")
    if not load.name and (watts is not None or metered is not None):
        said.append("no name yet")
    if watts is not None and metered is None and hours == 0:
        said.append("no hours yet")
    if load.starting_w is not None and load.starting_w < _one_w(load):
        said.append("starts below its running draw")
    if watts is not None and metered is not None:
        more = metered - watts * (1.0 if load.duty is None else load.duty) * hours
        rests = load.duty is None and hours >= 24  # nobody said how long it rests in between: the meter knows
        if round(max(more, 0.0 if rests else -more) - DISAGREE * metered, DUST) > 0:
            said.append("metered energy is not watts x duty x hours")
    if load.basis == "typical":
        said.append("a typical figure: measure it")
    return "; ".join(said)


def load_lines(loads: Sequence[Load], feed: str) -> tuple[LoadLine, ...]:
    """Every line worked out; `feed` stands where a line leaves its own blank [V by its name]."""
    total = sum(_energy(load) for load in loads)
    volts = [_volts(load, feed) for load in loads]
    watts = [_count(load) * _one_w(load) for load in loads]
    apparent = [w / (load.power_factor or 1.0) for w, load in zip(watts, loads, strict=True)]
    words = [load.turns and (load.turns.lower(), v > 0) for load, v in zip(loads, volts, strict=True)]
    shares = [_shares(load) for load in loads]
    rank_w, rank_va = _turn_ranks(words, watts), _turn_ranks(words, apparent)
    w, va = _counted(words, rank_w, watts, shares), _counted(words, rank_va, apparent, shares)
    return tuple(
        _line(load, i, volts[i], watts[i], apparent[i], rank_w[i], rank_va[i], shares[i], w[i], va[i], total)
        for i, load in enumerate(loads)
    )


def _line(  # one record, built in one place
    load: Load,
    i: int,
    volts: float,
    watts: float,
    apparent: float,
    rank_w: int,
    rank_va: int,
    share: tuple[float, ...],
    w: tuple[float, ...],
    va: tuple[float, ...],
    total: float,
) -> LoadLine:
    is_ac = int(volts > 0)
    is_dc = int(_is_counted(load) and not is_ac)
    energy = _energy(load)
    step = step_w(_one_w(load), load.starting_w) * is_ac
    return LoadLine(
        given=load,
        number=i + 1,
        name=load.name,
        tier=load.tier or "essential",
        turns=load.turns,
        metered=int(load.measured_wh_per_day is not None),
        hours=load.hours_per_day or 0.0,
        starts="" if load.starts_at is None else load.starts_at,
        quantity=_count(load),
        volts=volts,
        is_ac=is_ac,
        is_dc=is_dc,
        one_w=_one_w(load),
        total_w=watts,
        total_va=apparent,
        step_w=step,
        gap_ms=load.gap_ms if is_ac and load.gap_ms is not None else "",
        energy_wh=energy,
        energy_share=energy / total if total else 0.0,
        ac_wh=energy * is_ac,
        dc_wh=energy * is_dc,
        turn_rank_w=rank_w,
        turn_rank_va=rank_va,
        share=share,
        w=w,
        va=va,
        step=tuple(step if s > TRACE else 0.0 for s in share),
        incomplete=int(_is_incomplete(load)),
        ask=asks(load),
    )


def _is_incomplete(load: Load) -> bool:
    """A named line without watts, or without hours, counts for nothing, or for no energy."""
    if not load.name or _count(load) == 0 or load.measured_wh_per_day is not None:
        return False
    return load.running_w is None or not load.hours_per_day


def _is_counted(load: Load) -> bool:
    """A line counts where it has a draw or an energy, and is not set to none of them."""
    return _count(load) > 0 and (load.running_w is not None or load.measured_wh_per_day is not None)


def _one_w(load: Load) -> float:
    """Draw of one; of a metered load without watts at least its mean over its hours."""
    if load.running_w is not None or load.measured_wh_per_day is None:
        return load.running_w or 0.0
    return load.measured_wh_per_day / (load.hours_per_day or 24.0)


def _count(load: Load) -> float:
    return 1.0 if load.quantity is None else float(load.quantity)


def _energy(load: Load) -> float:
    duty = 1.0 if load.duty is None else load.duty
    return energy_wh(_count(load), load.running_w or 0.0, duty, load.hours_per_day or 0.0, load.measured_wh_per_day)


def _volts(load: Load, feed: str) -> float:
    return AC_VOLTS.get(load.feed or feed, 0.0) if _is_counted(load) else 0.0


def _shares(load: Load) -> tuple[float, ...]:
    """Share of the day's energy in each hour. Nobody promised when: evenly. Metered and no hours: evenly too."""
    hours = load.hours_per_day or 0.0
    if hours <= 0:
        return tuple(1 / 24 if load.measured_wh_per_day is not None else 0.0 for _ in HOURS)
    if load.starts_at is None:
        return tuple(1 / 24 for _ in HOURS)
    return tuple(overlap_h(h, load.starts_at, hours) / hours for h in HOURS)


def _turn_ranks(words: Sequence[object], draws: Sequence[float]) -> list[int]:
    """Place of each line among those that take turns with it, the largest draw first; 0 for the others."""
    ranks = [0] * len(words)
    for word in {word for word in words if word}:
        members = [i for i, other in enumerate(words) if other == word]
        for place, i in enumerate(sorted(members, key=lambda i: (-draws[i], i)), start=1):
            ranks[i] = place
    return ranks


def _counted(
    words: Sequence[object], ranks: Sequence[int], draws: Sequence[float], shares: Sequence[tuple[float, ...]]
) -> list[tuple[float, ...]]:
    """Draw of each line in each hour; of those that take turns only the largest that is on counts."""
    rows = []
    for i, word in enumerate(words):
        ahead = [j for j, other in enumerate(words) if word and other == word and ranks[j] < ranks[i]]
        rows.append(
            tuple(
                draws[i] if shares[i][h] > TRACE and not any(shares[j][h] > TRACE for j in ahead) else 0.0
                for h in HOURS
            )
        )
    return rows
