"""What any candidate must give, out of the loads alone: for a client who has none in hand yet.

It knows no candidate; where a data sheet would count, the usual shares stand in. Only what a load spares is told of one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from holdover.case.schema import Array, Assumed, Case
from holdover.model.demand import TIERS, Demand
from holdover.model.loads import LOW_V, LoadLine
from holdover.model.outage.promise import PROMISED
from holdover.model.spoken import thousands
from holdover.model.storage import Capacity, Storage, day_draw_wh

LESS = " As planned less will do."
"""Said where something recharges storage: how much less depends on how fast a unit charges [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookFor:
    """What to look for on a data sheet. `nameplate_wh` carries the promise without any recharging.

    `day_wh` is what the promised loads take out of storage in a day, `promised` how many tiers they are.
    """

    day_ac_wh: float
    day_dc_wh: float
    day_wh: float
    promised: int
    continuous_w: float
    continuous_va: float
    surge_w: float
    ac_voltages: str
    both_at_once: int
    leg_w: float
    dc_w: float
    usb_w: float
    dc_12v_w: float
    dc_24v_w: float
    dc_48v_w: float
    transfer_ms: float | str
    nameplate_wh: float | str
    solar_w: float
    module_cold_v: float | str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What leaving a load out spares of storage in a day, and of the storage that the promise needs."""

    wh: float
    share: float


def gains_of(lines: Sequence[LoadLine], storage: Storage, assumed: Assumed, look_for: LookFor) -> tuple[Gain, ...]:
    """What each load's leaving out would spare; idle draw is left as it is.

    The watt-hours are those of the candidate followed, the share is of what any unit must hold, at the usual efficiencies.
    """
    found = []
    for line in lines:
        usual_wh = line.ac_wh / assumed.inverter_efficiency + line.dc_wh / assumed.dc_efficiency
        needs = TIERS.index(line.tier) < look_for.promised and look_for.day_wh > 0
        wh = line.ac_wh / storage.inverter_efficiency + line.dc_wh / storage.dc_efficiency
        found.append(Gain(wh=wh, share=usual_wh / look_for.day_wh if needs else 0.0))
    return tuple(found)


def nameplate_wh(
    day_wh: float, days: float, energy_margin: float, per_wh: float, reserve: float, start_share: float
) -> float | str:
    """Nameplate that carries a number of days without recharging, or the word for none [Wh].

    Args:
        day_wh: Taken out of storage in a day [Wh].
        days: Days to be carried [days].
        energy_margin: Margin on energy [share].
        per_wh: Full storage per nameplate, at its age and temperature [share].
        reserve: Share of full storage never planned on [share].
        start_share: State of charge at the start [share].

    Holds for: whole days; a start at or below the reserve carries nothing.
    Source: energy balance.

    >>> round(nameplate_wh(1000, 2, 0.1, 0.8, 0.1, 1), 6), nameplate_wh(1000, 2, 0.1, 0.8, 0.1, 0.1)
    (3055.555556, 'never')
    """
    if day_wh <= 0:
        return 0.0
    if per_wh <= 0 or round(start_share - reserve, 9) <= 0:
        return "never"
    return day_wh * days * (1 + energy_margin) / ((start_share - reserve) * per_wh)


def look_for_of(lines: Sequence[LoadLine], demand: Demand, case: Case, capacity: Capacity) -> LookFor:
    """What any candidate must give to the loads of a case."""
    sizing, assumed = case.sizing, case.assumed
    kept = [line for line in lines if TIERS.index(line.tier) < PROMISED[case.outage.promise]]
    ac_wh, dc_wh = sum(line.ac_wh for line in kept), sum(line.dc_wh for line in kept)
    hours = demand.inverter_hours if ac_wh > 0 else 0
    day = day_draw_wh(ac_wh, assumed.inverter_efficiency, assumed.idle_w, hours, dc_wh, assumed.dc_efficiency)
    volts = [line.volts for line in lines if line.is_ac]
    plate = nameplate_wh(
        day,
        case.outage.days,
        sizing.energy_margin,
        assumed.usable_share * capacity.kept_share,
        sizing.reserve,
        case.outage.start_share,
    )
    sockets = dict(zip(("usb_w", "dc_12v_w", "dc_24v_w", "dc_48v_w"), demand.sockets, strict=True))
    surge = demand.peak_starting_w * (1 + sizing.starting_margin)
    both = int(any(v >= LOW_V for v in volts) and any(v < LOW_V for v in volts))
    return LookFor(
        day_ac_wh=ac_wh,
        day_dc_wh=dc_wh,
        day_wh=day,
        promised=PROMISED[case.outage.promise],
        continuous_w=demand.needed_running_w,
        continuous_va=demand.needed_va,
        surge_w=surge,
        ac_voltages=demand.ac_voltages,
        both_at_once=both,
        leg_w=demand.needed_leg_w,
        dc_w=demand.peak_dc_starting_w,
        **{name: need.needed_w for name, need in sockets.items()},
        transfer_ms=demand.critical_gap_ms,
        nameplate_wh=plate,
        solar_w=planned_w(case.array),
        module_cold_v=module_cold_v(case.array, case.sun.coldest_c),
        words=_words(demand, surge, plate, both=both, case=case),
    )


def planned_w(array: Array) -> float:
    """All modules together, 0 where their power is not stated [W]."""
    return array.modules * (array.power_w or 0.0)


def module_cold_v(array: Array, coldest_c: float | None) -> float | str:
    """Cold voltage of one module of the array [V], "" where none is planned or a figure for it is not stated."""
    if array.modules == 0 or coldest_c is None or array.voc_v is None or array.voc_tempco is None:
        return ""
    return array.voc_v * (1 + array.voc_tempco * (coldest_c - 25)) * (1 + array.voltage_margin)


def _words(demand: Demand, surge_w: float, plate_wh: float | str, *, both: int, case: Case) -> str:
    """The sentence for a client who has no candidate yet; figures are rounded up."""
    if demand.lines == 0:
        return ""
    parts = []
    if demand.needed_running_w > 0:
        parts.append(
            f"{_up(demand.needed_running_w)} W continuous ({_up(demand.needed_va)} VA), {_up(surge_w)} W at a start, "
            f"{demand.ac_voltages}{' both at once' if both else ''}"
        )
    if demand.peak_dc_starting_w > 0:
        parts.append(f"{_up(demand.peak_dc_starting_w)} W at DC ports")
    if not isinstance(plate_wh, str):
        parts.append(f"{_up(plate_wh)} Wh of nameplate storage with packs{unaided(case)}")
    solar_w = planned_w(case.array)
    if solar_w > 0:
        parts.append(f"solar inputs for {_up(solar_w)} W")
    return f"Look for {'; '.join(parts)}.{'' if isinstance(plate_wh, str) or not helps_of(case) else LESS}"


def unaided(case: Case) -> str:
    """What the storage that is looked for goes without [-].

    Args:
        case: The case, with its array, generator and outlet [-].

    Holds for: storage that carries the promise alone; how much less is needed depends on how fast a unit charges.
    Source: definition.

    >>> unaided(Case())
    ', where nothing recharges it'
    """
    helps = helps_of(case)
    return f" if it goes without {' and '.join(helps)}" if helps else ", where nothing recharges it"


def helps_of(case: Case) -> list[str]:
    """What recharges storage as planned."""
    outage = case.outage
    return [
        word
        for word, planned in (
            ("sun", case.array.modules > 0),
            ("generator", case.recharge.generator_w > 0 and outage.generator_hours > 0),
            ("outlet", outage.mains_hours > 0),
        )
        if planned
    ]


def _up(number: float) -> str:
    return thousands(ceil(round(number, 6)))
