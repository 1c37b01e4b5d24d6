"""Whether a candidate gives the loads what they need: each check with both numbers and the margin between them.

Hard checks decide whether it fits; soft ones only ask for a look. The ranking is in `rank.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import Candidate, Case
from holdover.model.demand import Demand
from holdover.model.dust import DUST
from holdover.model.loads import LoadLine
from holdover.model.spoken import spoken
from holdover.model.storage import Held, Storage
from holdover.model.strings import Strings
from holdover.model.vehicle import VehicleFit

OK, SHORT, LOOK = "OK", "SHORT", "LOOK"
NOT_PLANNED, NOT_STATED = "not planned", "not stated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check: what is needed, what is there, the margin and the verdict in a word."""

    needed: float | str
    has: float | str
    margin: float | str
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """All checks of one candidate."""

    running: Check
    apparent: Check
    starting: Check
    dc: Check
    voltage: Check
    storage: Check
    solar: Check
    vehicle: Check
    sockets: Check
    lift: Check
    noise: Check
    transfer: Check
    cold: Check
    shorts: int
    fits: int
    verdict: str
    reason: str
    weight_kg: float | str
    heaviest_kg: float


def check(needed: float, has: float, *, listed: bool = True) -> Check:
    """Needed against what is there; a difference smaller than dust is none."""
    margin = has - needed
    return Check(needed=needed, has=has, margin=margin, verdict=_word(listed, round(margin, DUST) >= 0, SHORT))


def look(limit: float | None, value: float | None, *, listed: bool = True) -> Check:
    """A value that should not exceed its limit; where one of them is not stated, so it says."""
    if limit is None or value is None:
        return Check(
            needed=NOT_STATED if limit is None else limit,
            has=NOT_STATED if value is None else value,
            margin="",
            verdict=NOT_STATED if listed else "",
        )
    return Check(
        needed=limit,
        has=value,
        margin=limit - value,
        verdict=_word(listed, round(limit - value, DUST) >= 0, LOOK),
    )


def lasting(planned_h: float, endurance_h: float, *, listed: bool = True) -> Check:
    """The planned outage against the hours it is carried through; a soft check, since sun and shedding are in it."""
    margin = endurance_h - planned_h
    return Check(
        needed=planned_h, has=endurance_h, margin=margin, verdict=_word(listed, round(margin, DUST) >= 0, LOOK)
    )


def remarks_of(fit: "Fit", lasts: Check) -> str:
    """Everything that asks for a look, in words."""
    soft = {name: getattr(fit, name) for name in _REMARKS if name != "lasts"} | {"lasts": lasts}
    return "; ".join(words for name, words in _REMARKS.items() if soft[name].verdict == LOOK)


def fit_of(
    c: Candidate,
    case: Case,
    lines: Sequence[LoadLine],
    demand: Demand,
    storage: Storage,
    held: Held,
    strings: Strings,
    vehicle: VehicleFit,
) -> Fit:
    """Every check, hard and soft, for one candidate."""
    listed, sizing = c.name != "", case.sizing
    continuous = c.continuous_w or 0.0
    hard = {
        "running": check(demand.peak_running_w * (1 + sizing.running_margin), continuous, listed=listed),
        "apparent": check(
            demand.peak_apparent_va * (1 + sizing.running_margin),
            continuous if c.continuous_va is None else c.continuous_va,
            listed=listed,
        ),
        "starting": check(demand.peak_starting_w * (1 + sizing.starting_margin), c.surge_w or 0.0, listed=listed),
        "dc": check(demand.peak_dc_w, c.dc_w or 0.0, listed=listed),
        "voltage": _voltage(c, lines, demand.house_v, listed=listed),
        "storage": check(storage.needed_wh, storage.usable_most_wh, listed=listed),
        "solar": _planned(check(1, strings.allowed, listed=listed), case.array.modules > 0, listed=listed),
        "vehicle": _planned(_vehicle(storage, vehicle, listed=listed), case.vehicle.distance > 0, listed=listed),
    }
    pack_kg = (c.pack_weight_kg or 0.0) if held.packs else 0.0
    heaviest = max(c.weight_kg or 0.0, pack_kg)
    unweighed = c.weight_kg is None or (held.packs > 0 and c.pack_weight_kg is None)
    gap = demand.shortest_gap_ms if isinstance(demand.shortest_gap_ms, float | int) else None
    soft = {
        "sockets": look(c.ac_sockets, demand.ac_items, listed=listed),
        "lift": look(sizing.lift_kg, None if unweighed and heaviest <= sizing.lift_kg else heaviest, listed=listed),
        "noise": look(sizing.noise_limit_db, c.noise_db, listed=listed),
        "transfer": _transfer(gap, c.transfer_ms, listed=listed),
        "cold": look(sizing.storage_c, storage.charge_min_c, listed=listed),
    }
    shorts = sum(found.verdict == SHORT for found in hard.values())
    return Fit(
        **hard,
        **soft,
        shorts=shorts,
        fits=int(listed and shorts == 0),
        verdict=_word(listed, shorts == 0, "falls short", "fits"),
        reason=_reason(c, hard, strings, vehicle) if listed else "",
        weight_kg=NOT_STATED if unweighed else (c.weight_kg or 0.0) + held.packs * (c.pack_weight_kg or 0.0),
        heaviest_kg=heaviest,
    )


def _word(listed: bool, holds: bool, bad: str, good: str = OK) -> str:
    return "" if not listed else good if holds else bad


def _planned(found: Check, planned: bool, *, listed: bool) -> Check:
    if planned:
        return found
    return Check(needed=0.0, has=found.has, margin="", verdict=NOT_PLANNED if listed else "")


def _voltage(c: Candidate, lines: Sequence[LoadLine], house_v: float, *, listed: bool) -> Check:
    made = {house_v if c.ac_volts is None else c.ac_volts, c.ac_volts_2}
    wanted = [line.volts for line in lines if line.is_ac]
    return check(len(wanted), sum(v in made for v in wanted), listed=listed)


def _transfer(gap_ms: float | None, transfer_ms: float | None, *, listed: bool) -> Check:
    """Beside a load that rides out a stated gap only, a transfer time that is not stated asks for a look."""
    found = look(gap_ms, transfer_ms, listed=listed)
    if listed and gap_ms is not None and transfer_ms is None:
        return Check(needed=found.needed, has=found.has, margin="", verdict=LOOK)
    return found


def _vehicle(storage: Storage, vehicle: VehicleFit, *, listed: bool) -> Check:
    """Storage at its most against loads and trip together; holding the charger's draw is part of the verdict."""
    needed, has = vehicle.needed_with_loads_wh, storage.usable_most_wh
    if isinstance(needed, str):
        return Check(needed=needed, has=has, margin="", verdict=_word(listed, False, SHORT))
    found = check(needed, has, listed=listed)
    if found.verdict == OK and vehicle.holds == "UNDER":
        return Check(needed=found.needed, has=found.has, margin=found.margin, verdict=SHORT)
    return found


_SAYING = {
    "running": "running {0} W needed, {1} W there",
    "apparent": "apparent power {0} VA needed, {1} VA there",
    "starting": "starting {0} W needed, {1} W there",
    "dc": "DC ports {0} W needed, {1} W there",
    "storage": "storage {0} Wh needed, {1} Wh usable at most",
    "vehicle": "vehicle and loads {0} Wh needed, {1} Wh usable at most",
}


def _reason(c: Candidate, hard: dict[str, Check], strings: Strings, vehicle: VehicleFit) -> str:
    parts = []
    for name, found in hard.items():
        if found.verdict != SHORT:
            continue
        if name == "voltage":
            parts.append(f"voltage: another one is needed by {spoken(-float(found.margin))} of the AC loads")
        elif name == "solar":
            parts.append(f"solar: {strings.words}")
        elif name == "vehicle":
            parts.append(_astray(found, vehicle))
        elif name == "dc" and c.dc_w is None:
            parts.append("DC ports: their output is not stated")
        else:
            parts.append(_SAYING[name].format(spoken(float(found.needed)), spoken(float(found.has))))
    return "every check holds" if not parts else "; ".join(parts)


def _astray(found: Check, vehicle: VehicleFit) -> str:
    """Why a drive fails: storage first, then the charger's draw, then its voltage."""
    if isinstance(found.needed, str):
        return "vehicle: no storage holds the loads alone"
    if round(float(found.margin), DUST) < 0:
        return _SAYING["vehicle"].format(spoken(float(found.needed)), spoken(float(found.has)))
    if round(vehicle.draw_margin_w, DUST) < 0:
        return "vehicle: its charger draws too much"
    return "vehicle: its charger needs another voltage"


_REMARKS = {
    "sockets": "more AC items than sockets",
    "lift": "more than one person lifts",
    "noise": "louder than the limit",
    "transfer": "its transfer gap is not stated, or too long for a load",
    "cold": "too cold there to charge",
    "lasts": "does not last the planned outage",
}
