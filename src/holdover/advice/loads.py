"""What an adviser would remark on in a load of the inventory. Pure over the case."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from holdover.case.figures import figure
from holdover.case.kinds import cycles, is_charger, is_heater, is_medical, is_motor, volts_in
from holdover.case.schema import AC_VOLTS, DC_VOLTS, DISAGREE, Candidate, Case, Load, is_near
from holdover.case.section import is_blank
from holdover.case.typical import meant, on_two_legs, small_for
from holdover.findings import Finding, report

HEATS_LONG_SHARE: Final = 0.5
"""A heater that takes this share of a candidate's storage in a day is told [share]; common practice."""
START_MOST: Final = 50.0
"""No load starts at more times what it runs at [-]; common practice: of the typical loads none does at more than 30."""
SMALL_W: Final = 5.0
"""No motor and no heater of a survey draws less [W]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What the candidates give: AC voltages, the most output [W] and the most storage [Wh] of one."""

    ac_volts: frozenset[float]
    power_w: float
    storage_wh: float


def offered_by(case: Case) -> Offered:
    """What the candidates of a case give; no voltage where none is listed."""
    listed = [candidate for candidate in case.candidates if not is_blank(candidate)]
    house = AC_VOLTS[case.sizing.feed]
    return Offered(
        ac_volts=frozenset(v for c in listed for v in (c.ac_volts or house, c.ac_volts_2) if v is not None),
        power_w=max((c.continuous_w or 0.0 for c in listed), default=0.0),
        storage_wh=max((_most_wh(c) for c in listed), default=0.0),
    )


def remarks_on_load(load: Load, case: Case, offered: Offered) -> Iterator[Finding]:
    """Remarks on one load: its start, its energy, its tier, its heat, its voltage and its unit."""
    yield from _start(load, AC_VOLTS[case.sizing.feed])
    yield from _energy(load)
    if is_medical(load.name) and load.tier != "critical":
        yield report("A006", tier=load.tier or "essential")
    if is_heater(load.name):
        yield from _heat(load, offered)
    yield from _voltage(load, case, offered)
    yield from _kilowatts(load)


def _daily_wh(load: Load) -> float:
    duty = 1.0 if load.duty is None else load.duty
    return (load.running_w or 0.0) * duty * (load.hours_per_day or 0.0)


def start_is_slip(load: Load) -> bool:
    """Whether a load is said to start at so many times what it runs at that one of the two can't be true."""
    return bool(load.running_w) and (load.starting_w or 0.0) > START_MOST * (load.running_w or 0.0)


def _start(load: Load, house_v: float) -> Iterator[Finding]:
    """A start that is left out, but of what starts no higher than it runs, as a washing machine that heats its water."""
    running, starting = load.running_w or 0.0, load.starting_w
    meant_rows = meant(load.name, house_v)
    level = bool(meant_rows) and all(row.start_va is None for row in meant_rows)
    if is_motor(load.name) and starting is None and not level:
        yield report("A001", starting=4 * running)
    if start_is_slip(load):
        yield report("A041", starting=starting, running=running, times=(starting or 0.0) / running, most=START_MOST)
    if starting is not None and starting < running:
        yield report("A002", starting=starting, running=running)


def _energy(load: Load) -> Iterator[Finding]:
    hours = load.hours_per_day or 0.0
    computed, metered = _daily_wh(load), load.measured_wh_per_day
    if metered is None and cycles(load.name) and hours >= 24 and load.duty in (None, 1.0):
        yield report("A003", kwh=computed / 1000)
    # With no duty stated, what the meter says of a load that rests in between is the answer, not a contradiction.
    rests = load.duty is None and (hours >= 24 or cycles(load.name)) and metered is not None and metered < computed
    if metered is not None and computed > 0 and abs(computed - metered) > DISAGREE * metered and not rests:
        yield report("A004", metered=metered, computed=computed)
    if metered is not None and load.running_w is None:
        yield report("A005")


def _heat(load: Load, offered: Offered) -> Iterator[Finding]:
    count = 1 if load.quantity is None else load.quantity
    each = _daily_wh(load) if load.measured_wh_per_day is None else load.measured_wh_per_day
    running, power, storage = load.running_w or 0.0, offered.power_w, offered.storage_wh
    if offered.ac_volts and running > power:
        yield report("A007.power", running=running, power=power)
    elif offered.ac_volts and count * each > HEATS_LONG_SHARE * storage > 0:
        hours = storage / max(count * running, 1)
        yield report("A007.storage", kwh=count * each / 1000, storage_kwh=storage / 1000, hours=hours)


def _most_wh(candidate: Candidate) -> float:
    return (candidate.storage_wh or 0.0) + (candidate.pack_wh or 0.0) * (candidate.packs_max or 0)


def _voltage(load: Load, case: Case, offered: Offered) -> Iterator[Finding]:
    """A voltage that no candidate makes, or another one than the load's own name states."""
    feed = load.feed or case.sizing.feed
    stated = volts_in(load.name)
    fed = 0.0 if feed == "USB" else (AC_VOLTS | DC_VOLTS)[feed]  # what a USB port agrees on is not known
    usual = [volts for volts in stated if volts in DC_VOLTS.values() or volts >= min(AC_VOLTS.values())]
    if fed and usual and not any(is_near(volts, fed) for volts in usual) and not is_charger(load.name):
        yield report("A025.name", stated=" and ".join(figure(volts) for volts in usual), feed=feed)
    if feed == "120 V" and not load.feed and not stated and on_two_legs(load.name):
        yield report("A025.legs", feed=feed)
    if feed not in AC_VOLTS or not offered.ac_volts or AC_VOLTS[feed] in offered.ac_volts:
        return
    near = sorted(volts for volts in offered.ac_volts if is_near(volts, AC_VOLTS[feed]))
    yield report("A008.near", feed=feed, near=near[0]) if near else report("A008.far", feed=feed)


def _kilowatts(load: Load) -> Iterator[Finding]:
    """A load that draws so little that kilowatts may be meant."""
    watts = load.running_w or 0.0
    why = small_for(load.name, watts)
    if not why and 0 < watts < SMALL_W and (is_heater(load.name) or is_motor(load.name)):
        why = "motors and heaters draw more"
    if why:
        yield report("A024.load", watts=watts, why=why, kilo=f"{figure(watts)} kW", whole=f"{figure(1000 * watts)} W")
