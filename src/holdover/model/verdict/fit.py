"""Whether a candidate gives the loads what they need: each check with both numbers and the margin between them.

A verdict has two halves, output and outage. What a data sheet does not say is asked, never held against it. What is
worth a remark decides nothing. The ranking is in `rank.py`.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from holdover.case.schema import LAYOUT_NEEDS, Candidate, Case
from holdover.model.demand import NO_GAP, SOCKETS, Demand
from holdover.model.dust import DUST, holds
from holdover.model.loads import LoadLine
from holdover.model.outage.promise import Promise
from holdover.model.storage import Held, Storage
from holdover.model.strings import Strings
from holdover.model.vehicle import VehicleFit, VehiclePlan

OK: Final = "OK"
UNDER: Final = "UNDER"
CHECK: Final = "CHECK"
DAYS: Final = "days without recharging"
"""What storage is sized by where the promise does not decide [-]."""
NOT_PLANNED, NOT_STATED, NO_LEGS = "not planned", "not stated", "no legs"

OUTPUT: Final = ("running", "apparent", "starting", "leg", "voltage", "dc", "usb", "dc_12v", "dc_24v", "dc_48v", "gap")
"""Checks of the output half: what comes out at any moment [-]."""
OUTAGE: Final = ("promise", "storage", "solar", "vehicle")
"""Checks of the outage half: what carries the client through [-]."""
REMARKS: Final = {
    "sockets": "more AC items than sockets",
    "lift": "more than one person lifts",
    "noise": "louder than the limit",
    "transfer": "its transfer gap is not stated, or too long for a load",
    "cold": "too cold there to charge",
    "budget": "dearer than the budget",
}
"""Soft checks and what they say; they never decide [-]."""
SILENT_WHERE_UNKNOWN: Final = ("sockets", "lift", "noise", "budget")
"""Soft checks whose remark says more than that a figure is not stated: without it they are to be looked at, and no more [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check: what is needed, what is there, the margin, there per needed, and the verdict in a word."""

    needed: float | str
    has: float | str
    margin: float | str
    ratio: float | str
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """All checks of one candidate, its verdict in two halves, and how near it comes.

    `volts_1` and `volts_2` are the AC loads that its first and its second voltage serve.
    """

    running: Check
    apparent: Check
    starting: Check
    leg: Check
    voltage: Check
    dc: Check
    usb: Check
    dc_12v: Check
    dc_24v: Check
    dc_48v: Check
    gap: Check
    promise: Check
    storage: Check
    solar: Check
    vehicle: Check
    sockets: Check
    lift: Check
    noise: Check
    transfer: Check
    cold: Check
    budget: Check
    volts_1: int
    volts_2: int
    unders: int
    asks: int
    output: str
    outage: str
    handling: str
    fits: int
    verdict: str
    least_ratio: float
    weight_kg: float | str
    heaviest_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """What every candidate is set against; `ac_volts` tells how many AC loads there are of each voltage."""

    case: Case
    ac_volts: Mapping[float, int]
    demand: Demand
    trip: VehiclePlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Waits:
    """Whether something planned that might keep the promise counts for nothing, as a figure of it is not stated.

    `ac` is charging from an outlet or a generator, `sun` the modules; each only where it comes before the promise breaks.
    `lowest` is the lowest setting of the charger, where it and the loads trip a source. `left_wh` is what is left at worst
    of what is above the reserve if all that is not stated is at its best, 0 where nobody can tell: below 0 no answer keeps
    the promise.
    """

    ac: bool
    sun: bool
    lowest: bool
    left_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """What was worked out of one candidate so far. `total` is its price with packs and all that goes with it."""

    storage: Storage
    held: Held
    strings: Strings
    vehicle: VehicleFit
    promise: Promise
    waits: Waits
    total: float | str


def check(needed: float, stated: float | None, *, taken: float | None = None, listed: bool = True) -> Check:
    """Needed against what is there.

    Where nothing is stated, `taken` stands in if it is enough; if it is not, there is no figure, and one is asked.
    """
    has = taken if stated is None and taken is not None and holds(taken, needed) else stated
    if has is None:
        nothing = round(needed, DUST) <= 0
        return Check(
            needed=needed, has=NOT_STATED, margin="", ratio="", verdict=_word(listed, OK if nothing else CHECK)
        )
    return Check(
        needed=needed,
        has=has,
        margin=has - needed,
        ratio=_ratio(has, needed),
        verdict=_word(listed, OK if holds(has, needed) else UNDER),
    )


def limit(most: float | None, value: float | None, *, over: str = CHECK, listed: bool = True) -> Check:
    """A value that should not exceed its limit; where one of them is not stated, so it says."""
    if most is None or value is None:
        return Check(
            needed=NOT_STATED if most is None else most,
            has=NOT_STATED if value is None else value,
            margin="",
            ratio="",
            verdict=_word(listed, NOT_STATED),
        )
    return Check(
        needed=most,
        has=value,
        margin=most - value,
        ratio=_ratio(most, value),
        verdict=_word(listed, OK if holds(most, value) else over),
    )


def fit_of(c: Candidate, against: Against, worked: Worked) -> Fit:
    """Every check, hard and soft, for one candidate."""
    listed = c.name != ""
    output, outage = _output(c, against, listed=listed), _outage(c, against, worked, listed=listed)
    soft, weight_kg, heaviest_kg = _soft(c, against, worked, listed=listed)
    hard = output | outage
    first, second = _served(c, against)
    unders = sum(found.verdict == UNDER for found in hard.values())
    known = c.storage_wh is not None and not _breaks(worked.promise, against.case)
    return Fit(
        **hard,
        **soft,
        volts_1=first,
        volts_2=second,
        unders=unders,
        asks=sum(found.verdict == CHECK for found in hard.values()),
        output=_half(output, listed=listed),
        outage=_half(outage, listed=listed),
        handling=_half(soft, listed=listed),
        fits=int(listed and unders == 0 and known),
        verdict=_word(listed, "falls short" if unders else "fits" if known else CHECK),
        least_ratio=min([1.0, *(float(f.ratio) for f in hard.values() if f.verdict == UNDER)]),
        weight_kg=weight_kg,
        heaviest_kg=heaviest_kg,
    )


def remarks_of(fit: Fit, common: Sequence[str]) -> str:
    """Everything that asks for a look, in words, but for what is said once for the whole field."""
    return "; ".join(words for name, words in REMARKS.items() if name not in common and _asks(fit, name))


def common_remarks(field: Sequence[Fit]) -> tuple[str, ...]:
    """Names of the remarks that stand on each of several candidates alike."""
    return tuple(name for name in REMARKS if len(field) > 1 and all(_asks(fit, name) for fit in field))


def _asks(fit: Fit, name: str) -> bool:
    found: Check = getattr(fit, name)
    return found.verdict == CHECK and not (name in SILENT_WHERE_UNKNOWN and NOT_STATED in (found.needed, found.has))


def _half(checks: Mapping[str, Check], *, listed: bool) -> str:
    words = {found.verdict for found in checks.values()}
    return _word(listed, UNDER if UNDER in words else CHECK if CHECK in words else OK)


def _word(listed: bool, word: str) -> str:
    return word if listed else ""


def _ratio(there: float, needed: float) -> float:
    return there / needed if needed > 0 else 1.0


def _output(c: Candidate, against: Against, *, listed: bool) -> dict[str, Check]:
    demand, sizing = against.demand, against.case.sizing
    stated = [getattr(c, f"{socket}_w") for socket in SOCKETS]
    sockets_w = None if all(watts is None for watts in stated) else sum(watts or 0.0 for watts in stated)
    starting = demand.peak_starting_w * (1 + sizing.starting_margin)
    return {
        "running": check(demand.needed_running_w, c.continuous_w, listed=listed),
        "apparent": check(demand.needed_va, c.continuous_va, taken=c.continuous_w, listed=listed),
        "starting": check(starting, c.surge_w, taken=c.continuous_w, listed=listed),
        "leg": _leg(c, demand.needed_leg_w, listed=listed),
        "voltage": _voltage(c, against, listed=listed),
        "dc": check(demand.peak_dc_starting_w, c.dc_w, taken=sockets_w, listed=listed),
        **{
            socket: check(need.needed_w, watts, listed=listed)
            for socket, need, watts in zip(SOCKETS, demand.sockets, stated, strict=True)
        },
        "gap": _gap(demand.critical_gap_ms, c.transfer_ms, listed=listed, over=UNDER),
    }


def _leg(c: Candidate, needed_w: float, *, listed: bool) -> Check:
    """What one leg gives; without two voltages at once the output is not split."""
    both = c.volts_at_once == "both" and c.ac_volts_2 is not None
    if c.leg_w is None and not both:
        return Check(needed=needed_w, has=NO_LEGS, margin="", ratio="", verdict=_word(listed, OK))
    return check(needed_w, c.leg_w, taken=None if c.continuous_w is None else c.continuous_w / 2, listed=listed)


def _voltage(c: Candidate, against: Against, *, listed: bool) -> Check:
    """AC loads whose voltage is there; of two voltages both at once, where loads ask for both."""
    ones, twos = _served(c, against)
    served = ones + twos if c.volts_at_once != "by switch" else max(ones, twos)
    found = check(sum(against.ac_volts.values()), served, listed=listed)
    unsaid = c.ac_volts is None if found.verdict == UNDER else ones > 0 and twos > 0 and c.volts_at_once is None
    return _as(found, CHECK, listed=listed) if unsaid else found


def _served(c: Candidate, against: Against) -> tuple[int, int]:
    """AC loads that the first voltage serves, and the second one where it is another."""
    first = against.demand.house_v if c.ac_volts is None else c.ac_volts
    second = None if c.ac_volts_2 == first else c.ac_volts_2
    return against.ac_volts.get(first, 0), 0 if second is None else against.ac_volts.get(second, 0)


def ac_volts_of(lines: Sequence[LoadLine]) -> Mapping[float, int]:
    """How many AC loads there are of each voltage."""
    return Counter(line.volts for line in lines if line.is_ac)


def _gap(gap_ms: float | str, transfer_ms: float | None, *, listed: bool, over: str) -> Check:
    """Beside a load that tolerates a stated gap only, a transfer time that is not stated is asked."""
    if gap_ms == NO_GAP:
        has = NOT_STATED if transfer_ms is None else transfer_ms
        return Check(needed=NO_GAP, has=has, margin="", ratio="", verdict=_word(listed, NO_GAP))
    most = gap_ms if isinstance(gap_ms, float | int) else None
    found = limit(most, transfer_ms, over=over, listed=listed)
    return _as(found, CHECK, listed=listed) if most is not None and transfer_ms is None else found


def _outage(c: Candidate, against: Against, worked: Worked, *, listed: bool) -> dict[str, Check]:
    case, storage = against.case, worked.storage
    most_wh = None if c.storage_wh is None else storage.usable_most_wh
    trip = _trip(worked.vehicle.needed_with_loads_wh, most_wh, listed=listed)
    alone = most_wh is not None and holds(most_wh, worked.vehicle.storage_needed_wh)
    waits = (worked.waits.ac or worked.waits.sun) and _breaks(worked.promise, case)
    if trip.verdict == UNDER and alone and waits:
        trip = _as(trip, CHECK, listed=listed)  # the loads take what nobody can tell yet
    if worked.vehicle.holds not in (OK, NOT_PLANNED):
        trip = _charger(trip, c, against, listed=listed)
    layouts = check(1, worked.strings.allowed, listed=listed)
    if layouts.verdict == UNDER and solar_unsaid(c, case):
        layouts = _as(layouts, CHECK, listed=listed)
    if worked.strings.held_back:
        layouts = _as(layouts, CHECK, listed=listed)
    days = case.sizing.basis == DAYS
    return {
        "promise": _promise(c, worked, case, listed=listed),
        "storage": _planned(check(storage.needed_wh, most_wh, listed=listed), days, listed=listed),
        "solar": _planned(layouts, case.array.modules > 0, listed=listed),
        "vehicle": _planned(trip, case.vehicle.distance > 0, listed=listed),
    }


def _trip(needed_wh: float | str, most_wh: float | None, *, listed: bool) -> Check:
    """Storage at its most against loads and drive together, both out of the same storage."""
    if not isinstance(needed_wh, str):
        return check(needed_wh, most_wh, listed=listed)
    has = NOT_STATED if most_wh is None else most_wh
    word = CHECK if most_wh is None else UNDER
    return Check(needed=needed_wh, has=has, margin="", ratio=0.0, verdict=_word(listed, word))


def _charger(trip: Check, c: Candidate, against: Against, *, listed: bool) -> Check:
    """A drive whose charger the candidate can't feed: too much draw, or another voltage."""
    drive, continuous_w = against.trip, c.continuous_w or 0.0
    draws = not holds(continuous_w, drive.charger_w)
    first = against.demand.house_v if c.ac_volts is None else c.ac_volts
    astray = drive.charger_v not in (first, c.ac_volts_2)
    ratio = 0.0 if astray else _ratio(continuous_w, drive.charger_w)
    stated = (draws and c.continuous_w is not None) or (astray and c.ac_volts is not None)
    word = UNDER if stated or trip.verdict == UNDER else CHECK
    least = ratio if isinstance(trip.ratio, str) else min(trip.ratio, ratio)
    return Check(needed=trip.needed, has=trip.has, margin=trip.margin, ratio=least, verdict=_word(listed, word))


def solar_unsaid(c: Candidate, case: Case) -> bool:
    """Whether a figure is blank without which no layout can be allowed."""
    array = [getattr(case.array, name) for name in LAYOUT_NEEDS["array"]]
    blank = any(value is None for value in (c.pv_inputs, c.pv_max_v, case.sun.coldest_c, *array))
    return c.pv_inputs != 0 and (blank or case.sun.unplaced)


def _breaks(promise: Promise, case: Case) -> bool:
    """Whether a promise breaks. Where storage is sized by days without recharging that is only to be looked at, unless
    critical loads go short.
    """
    return promise.word == UNDER and (case.sizing.basis != DAYS or promise.broken_tier == "critical")


def _promise(c: Candidate, worked: Worked, case: Case, *, listed: bool) -> Check:
    """Usable storage against what the promise takes of it; what waits for a figure is not said to fail."""
    promise, usable_wh, reserve = worked.promise, worked.held.usable_wh, case.sizing.reserve
    word: str = promise.word
    waits = c.storage_wh is None or worked.waits.ac or worked.waits.sun
    if word == UNDER and (waits or not _breaks(promise, case)):
        word = CHECK
    if isinstance(promise.full_needed_wh, str):
        return Check(needed=promise.full_needed_wh, has=usable_wh, margin="", ratio=0.0, verdict=_word(listed, word))
    needed_wh = (1 - reserve) * promise.full_needed_wh
    return Check(
        needed=needed_wh,
        has=usable_wh,
        margin=usable_wh - needed_wh,
        ratio=_ratio(usable_wh, needed_wh),
        verdict=_word(listed, word),
    )


def _planned(found: Check, planned: bool, *, listed: bool) -> Check:
    if planned:
        return found
    return Check(needed=0.0, has=found.has, margin="", ratio="", verdict=_word(listed, NOT_PLANNED))


def _as(found: Check, word: str, *, listed: bool) -> Check:
    return Check(
        needed=found.needed, has=found.has, margin=found.margin, ratio=found.ratio, verdict=_word(listed, word)
    )


def _budget(most: float | None, total: float | str, *, listed: bool) -> Check:
    spent = None if isinstance(total, str) else total
    return _planned(
        _looked_at(limit(most or 0.0, spent, listed=listed), listed=listed), most is not None, listed=listed
    )


def _looked_at(found: Check, *, listed: bool) -> Check:
    """A limit that is asked: where a figure for it is not stated somebody has to look."""
    return _as(found, CHECK, listed=listed) if found.verdict == NOT_STATED else found


def _sockets(c: Candidate, items: float, *, listed: bool) -> Check:
    found = limit(c.ac_sockets, items, listed=listed)
    return _looked_at(found, listed=listed) if round(items, DUST) > 0 else _as(found, OK, listed=listed)


def _soft(
    c: Candidate, against: Against, worked: Worked, *, listed: bool
) -> tuple[dict[str, Check], float | str, float]:
    """Soft checks, the weight with packs and the heaviest piece."""
    demand, sizing, packs = against.demand, against.case.sizing, worked.held.packs
    heaviest = max(c.weight_kg or 0.0, (c.pack_weight_kg or 0.0) if packs else 0.0)
    unweighed = c.weight_kg is None or (packs > 0 and c.pack_weight_kg is None)
    lifted = None if unweighed and heaviest <= sizing.lift_kg else heaviest
    soft = {
        "sockets": _sockets(c, demand.ac_items, listed=listed),
        "lift": _looked_at(limit(sizing.lift_kg, lifted, listed=listed), listed=listed),
        "noise": _looked_at(limit(sizing.noise_limit_db, c.noise_db, listed=listed), listed=listed),
        "transfer": _gap(demand.shortest_gap_ms, c.transfer_ms, listed=listed, over=CHECK),
        "cold": limit(sizing.storage_c, worked.storage.charge_min_c, listed=listed),
        "budget": _budget(against.case.money.budget, worked.total, listed=listed),
    }
    weight = NOT_STATED if unweighed else (c.weight_kg or 0.0) + packs * (c.pack_weight_kg or 0.0)
    return soft, weight, heaviest
