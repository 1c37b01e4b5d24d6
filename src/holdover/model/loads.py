"""The load inventory: what each line draws, uses in a day, and when (one record a line, spare lines included).

It does not add the lines up: that is `demand.py`.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from operator import mul

from holdover.case.schema import AC_VOLTS, DC_VOLTS, DISAGREE, Load, Sizing
from holdover.model.dust import DUST, TRACE

HOURS = range(24)
"""Clock hours of a day [h]; the clock model is a day of 24 hours, without the two odd days of summer time."""
CONTINUOUS_H = 3.0
"""A load on for so long is continuous [h]; NEC article 100, by transcription."""
SHORT_H = 0.05
"""A load on for less is asked about: half an hour typed as a time, 0:30, stands in its cell as 0.02 [h]; definition."""
LOW_V = 150.0
"""Below it an AC voltage is taken from one leg, from it on across both [V]; common practice: 100 to 127 against 200 to 240."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLine:
    """One line of the inventory, worked out. Blank lines are loads of no watts.

    `w` is the draw that counts in each hour, `hour_need_w` and `hour_need_va` what a candidate must give for it, with
    the allowance on continuous loads; `counts` tells which of them do if it is on then: 8, 2 and 1, added up;
    `counted` the same where nothing else that takes turns is on. While it is on an hour takes `each_hour` of its day,
    and it ends at `until_h`, 24 more after midnight.
    `step` is what one of them adds while it starts, negative at a DC port.
    """

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
    dc_v: float
    continuous: int
    pool: int
    one_w: float
    total_w: float
    total_va: float
    need_w: float
    need_va: float
    low_one_w: float
    step_w: float
    together_w: float
    gap_ms: float | str
    critical_gap_ms: float | str
    energy_wh: float
    energy_share: float
    ac_wh: float
    dc_wh: float
    rank_w: int
    rank_need_w: int
    rank_need_va: int
    rank_step_w: int
    counted: int
    each_hour: float
    until_h: float
    share: tuple[float, ...]
    counts: tuple[int, ...]
    w: tuple[float, ...]
    hour_need_w: tuple[float, ...]
    hour_need_va: tuple[float, ...]
    step: tuple[float, ...]
    incomplete: int
    ask: str

    @property
    def turn(self) -> str:
        """Its word for taking turns, with 1 for AC or the voltage of its DC port; "" where it takes none."""
        return f"{self.turns} {self.is_ac + self.dc_v:g}" if self.turns else ""


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
    if load.name and watts == 0 and metered is None:
        said.append("draws 0 W")
    if 0 < hours < SHORT_H:
        said.append("under 3 minutes a day: half an hour is 0.5")
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


def is_continuous(hours_per_day: float, metered: int) -> int:
    """Whether a load counts as continuous, 1 or 0 [-].

    Args:
        hours_per_day: Time switched on, 0 where it is not stated [h].
        metered: 1 where its energy is metered, else 0 [-].

    Holds for: a metered load that states no hours is on all day.
    Source: NEC article 100, by transcription: on for three hours or more.

    >>> is_continuous(3, 0), is_continuous(2.9, 0), is_continuous(0, 1)
    (1, 0, 1)
    """
    return int(round(hours_per_day - CONTINUOUS_H, DUST) >= 0 or (hours_per_day <= 0 and metered == 1))


def load_lines(loads: Sequence[Load], sizing: Sizing) -> tuple[LoadLine, ...]:
    """Every line worked out; the sizing gives the house voltage, the allowance and the size of the short pool."""
    total = sum(_energy(load) for load in loads)
    firsts = [_first(load, sizing) for load in loads]
    groups = [_group(load, first) for load, first in zip(loads, firsts, strict=True)]
    places = [_places(first, sizing) for first in firsts]
    shares = [_shares(load) for load in loads]
    ranks = {name: _ranks(groups, [getattr(first, name) for first in firsts]) for name in RANKED}
    socket_groups = [_socket_group(group, first) for group, first in zip(groups, firsts, strict=True)]
    counts = {name: _counts(socket_groups, ranks[name], places, shares) for name in COUNTED}
    return tuple(
        _line(
            load,
            i,
            firsts[i],
            _Among(
                places=places[i],
                rank={name: ranks[name][i] for name in RANKED},
                counts={name: counts[name][i] for name in COUNTED},
                share=shares[i],
            ),
            total,
        )
        for i, load in enumerate(loads)
    )


RANKED = ("total_w", "need_w", "need_va", "steps_w")
"""Figures by which loads that do not all run at once are put in order, the largest first [-]."""
COUNTED = {"total_w": 8, "need_w": 2, "need_va": 1}
"""Figures that count in an hour, or don't, and what stands for each that does [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _First:
    """What a line says by itself, before its neighbours are looked at."""

    volts: float
    dc_v: float
    is_ac: int
    is_dc: int
    continuous: int
    pool: int
    one_w: float
    total_w: float
    total_va: float
    need_w: float
    need_va: float
    low_one_w: float
    step_w: float
    steps_w: float


_ITS_OWN = tuple(f.name for f in fields(_First) if f.name != "steps_w")
"""What a line says by itself and keeps [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Among:
    """A line among its neighbours: how many of its group run at once, its ranks, and whether it counts by hour."""

    places: int
    rank: dict[str, int]
    counts: dict[str, tuple[int, ...]]
    share: tuple[float, ...]


def _first(load: Load, sizing: Sizing) -> _First:
    counted = _is_counted(load)
    volts = AC_VOLTS.get(load.feed or sizing.feed, 0.0) if counted else 0.0
    hours, metered = load.hours_per_day or 0.0, int(load.measured_wh_per_day is not None)
    continuous = is_continuous(hours, metered)
    total = _count(load) * _one_w(load)
    apparent = total / (load.power_factor or 1.0)
    factor = 1 + sizing.running_margin * continuous
    step = step_w(_one_w(load), load.starting_w) if counted else 0.0
    free = load.starts_at is None and not load.turns and load.tier != "critical"
    return _First(
        volts=volts,
        dc_v=DC_VOLTS.get(load.feed or sizing.feed, 0.0) if counted else 0.0,
        is_ac=int(volts > 0),
        is_dc=int(counted and volts == 0),
        continuous=continuous,
        pool=int(counted and free and hours > 0 and continuous == 0),
        one_w=_one_w(load),
        total_w=total,
        total_va=apparent,
        need_w=total * factor,
        need_va=apparent * factor,
        low_one_w=_one_w(load) * factor if 0 < volts < LOW_V else 0.0,
        step_w=step,
        steps_w=_count(load) * step,
    )


def _group(load: Load, first: _First) -> object:
    """Whom a line shares its turn with: those of its word, or the short pool; AC and DC apart."""
    return (load.turns.lower(), first.pool, first.is_ac) if load.turns or first.pool else None


def _socket_group(group: object, first: _First) -> object:
    """The same, those that take turns at different DC sockets apart: each socket must feed its own."""
    return group if group is None or first.pool else (group, first.dc_v)


def _places(first: _First, sizing: Sizing) -> int:
    """How many of a line's group run at once."""
    return (sizing.at_once or UNLIMITED) if first.pool else 1


UNLIMITED = 1_000_000
"""Stands where all of the short pool run together [-]; more than there can be lines."""


def _line(load: Load, i: int, first: _First, among: _Among, total: float) -> LoadLine:
    energy, tier, rank = _energy(load), load.tier or "essential", among.rank
    gap = load.gap_ms if first.is_ac and load.gap_ms is not None else ""
    sign, runs_h = 1.0 if first.is_ac else -1.0, _runs_h(load)
    return LoadLine(
        given=load,
        number=i + 1,
        name=load.name,
        tier=tier,
        turns=load.turns,
        metered=int(load.measured_wh_per_day is not None),
        hours=load.hours_per_day or 0.0,
        starts="" if load.starts_at is None else load.starts_at,
        quantity=_count(load),
        **{name: getattr(first, name) for name in _ITS_OWN},
        together_w=first.steps_w if not first.pool or rank["steps_w"] <= among.places else 0.0,
        gap_ms="" if tier == "critical" else gap,
        critical_gap_ms=gap if tier == "critical" else "",
        energy_wh=energy,
        energy_share=energy / total if total else 0.0,
        ac_wh=energy * first.is_ac,
        dc_wh=energy * first.is_dc,
        rank_w=rank["total_w"],
        rank_need_w=rank["need_w"],
        rank_need_va=rank["need_va"],
        rank_step_w=rank["steps_w"] if first.pool else 0,
        counted=sum(bit for name, bit in COUNTED.items() if not first.pool or rank[name] <= among.places),
        each_hour=1 / runs_h if runs_h else 0.0,
        until_h=(load.starts_at or 0.0) + runs_h,
        share=among.share,
        counts=tuple(
            sum(map(mul, COUNTED.values(), hour))
            for hour in zip(*(among.counts[name] for name in COUNTED), strict=True)
        ),
        w=_while_on(first.total_w, among.counts["total_w"], among.share),
        hour_need_w=_while_on(first.need_w, among.counts["need_w"], among.share),
        hour_need_va=_while_on(first.need_va, among.counts["need_va"], among.share),
        step=tuple(sign * first.step_w if s > TRACE else 0.0 for s in among.share),
        incomplete=int(_is_incomplete(load)),
        ask=asks(load),
    )


def _is_incomplete(load: Load) -> bool:
    """A line with a name, or with watts, that lacks its watts or its hours counts for nothing; 0 hours are a statement."""
    silent = not load.name and load.running_w is None
    if silent or _count(load) == 0 or load.measured_wh_per_day is not None:
        return False
    return load.running_w is None or load.hours_per_day is None


def untimed(lines: Sequence[LoadLine]) -> tuple[LoadLine, ...]:
    """Lines that run for some hours of no stated time: they count as spread over day and night."""
    return tuple(
        line
        for line in lines
        if line.energy_wh > 0 and line.given.starts_at is None and 0 < (line.given.hours_per_day or 0.0) < 24
    )


def lacks_words(lines: Sequence[LoadLine]) -> str:
    """The first line that lacks what it needs to be counted, and how many more there are; "" where none does [-]."""
    lacking = [(number, line.given) for number, line in enumerate(lines, 1) if line.incomplete]
    if not lacking:
        return ""
    number, first = lacking[0]
    what = "watts" if first.running_w is None else "hours a day"
    more = f" And {len(lacking) - 1} more." if len(lacking) > 1 else ""
    return f"{first.name or f'Line {number}'} lacks its {what} and isn't counted.{more}"


def without(loads: Sequence[Load], name: str) -> tuple[Load, ...]:
    """The inventory with the loads of a name switched off, whatever its case."""
    left = name.lower()
    return tuple(load.model_copy(update={"on": "no"}) if left and load.name.lower() == left else load for load in loads)


def _is_counted(load: Load) -> bool:
    """A line counts where it has a draw or an energy, and is not set to none of them."""
    return _count(load) > 0 and (load.running_w is not None or load.measured_wh_per_day is not None)


def _one_w(load: Load) -> float:
    """Draw of one; of a metered load without watts at least its mean over its hours."""
    if load.running_w is not None or load.measured_wh_per_day is None:
        return load.running_w or 0.0
    return load.measured_wh_per_day / (load.hours_per_day or 24.0)


def _count(load: Load) -> float:
    """How many of them count: none where the line is switched off."""
    if load.on == "no":
        return 0.0
    return 1.0 if load.quantity is None else float(load.quantity)


def _energy(load: Load) -> float:
    duty = 1.0 if load.duty is None else load.duty
    return energy_wh(_count(load), load.running_w or 0.0, duty, load.hours_per_day or 0.0, load.measured_wh_per_day)


def _shares(load: Load) -> tuple[float, ...]:
    """Share of the day's energy in each hour. Nobody promised when: evenly. Metered and no hours: evenly too."""
    hours = load.hours_per_day or 0.0
    if hours <= 0:
        return tuple(1 / 24 if load.measured_wh_per_day is not None else 0.0 for _ in HOURS)
    if load.starts_at is None:
        return tuple(1 / 24 for _ in HOURS)
    return tuple(overlap_h(h, load.starts_at, hours) / hours for h in HOURS)


def _ranks(groups: Sequence[object], figures: Sequence[float]) -> list[int]:
    """Place of each line in its group, the largest figure first; 0 for those in none."""
    ranks = [0] * len(groups)
    for members in _members(groups):
        for place, i in enumerate(sorted(members, key=lambda i: (-figures[i], i)), start=1):
            ranks[i] = place
    return ranks


def _members(groups: Sequence[object]) -> Iterable[list[int]]:
    """The lines of each group."""
    found: defaultdict[object, list[int]] = defaultdict(list)
    for i, group in enumerate(groups):
        if group:
            found[group].append(i)
    return found.values()


def _counts(
    groups: Sequence[object], ranks: Sequence[int], places: Sequence[int], shares: Sequence[tuple[float, ...]]
) -> list[tuple[int, ...]]:
    """Whether each line counts in each hour if it is on; of a group only so many of the largest that are on as run at once."""
    rows = [(1,) * len(HOURS) for _ in groups]
    for members in _members(groups):
        ahead = [0] * len(HOURS)
        for i in sorted(members, key=ranks.__getitem__):
            rows[i] = tuple(int(before < places[i]) for before in ahead)
            ahead = [before + (share > TRACE) for share, before in zip(shares[i], ahead, strict=True)]
    return rows


def _while_on(figure: float, counts: Sequence[int], shares: Sequence[float]) -> tuple[float, ...]:
    """A figure of a line in the hours in which it is on and counts."""
    return tuple(figure * count if share > TRACE else 0.0 for count, share in zip(counts, shares, strict=True))


def _runs_h(load: Load) -> float:
    """Over how many hours of a day its energy is spread [h]."""
    hours = load.hours_per_day or 0.0
    if hours > 0 and load.starts_at is not None:
        return hours
    return 24.0 if hours > 0 or load.measured_wh_per_day is not None else 0.0
