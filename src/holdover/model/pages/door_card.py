"""The card for the refrigerator door: what to switch off in which order, and the charge to hold at each reading."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from holdover.case.measure import us_first
from holdover.case.papers import Calls
from holdover.case.schema import Case, Outage, Purpose
from holdover.model.decision import with_packs
from holdover.model.demand import TIERS
from holdover.model.dust import DUST
from holdover.model.loads import LoadLine
from holdover.model.offer import Offer
from holdover.model.outage.promise import HoldLine
from holdover.model.outage.told import stretch_of, trips_unless
from holdover.model.spoken import clock_words, spoken

ROOM: Final = {"critical": 5, "essential": 8, "convenience": 8}
"""Lines that the card has for the loads of a tier [-]."""
LONG_NAME: Final = 44
"""Letters of a load's name, and of its place with it, for which a line of the card has room [-]; definition."""
HEADS: Final[dict[Purpose, str]] = {
    "outage": "When the power is out",
    "day away": "Away from the outlet",
    "trip": "On the trip",
    "off grid": "When the unit runs low",
}
"""How the card is headed, by what the plan is for [-]."""
FUEL_UNKNOWN: Final = "Fuel: unknown until its AC charging is stated."
"""What is told where nobody knows what the generator must charge with [-]."""
OUTDOORS: Final = ("Outdoors, 6 m (20 ft) from doors, windows.", "Let it cool before you refuel.")
"""How a generator is run [-]; where none is planned, only a house without power is likely to borrow one."""
FOOD: Final = (
    "Refrigerator 4 h, full freezer 48 h,",
    "with doors shut; a half-full freezer 24 h.",
    "Over 4 °C (40 °F) for 2 h: discard.",
)
"""How long food keeps without power [-]: of food in a house, never of medicine; USDA and FDA, from memory."""
ROADSIDE: Final = (
    "Stand clear of traffic, cord dry, unrolled.",
    "End the charge first, then unplug.",
)
"""How a vehicle is charged at the roadside [-]; common practice."""
MEDICINE: Final = "Cold medicine: its leaflet says how long."
"""What stands below, whatever the plan [-]."""
GALLON_L: Final = 3.785411784
"""Litres of a US gallon [l]; definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A reading of the display at a clock hour, "" for one that an earlier one repeats."""

    number: int
    clock: int | str


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorDay:
    """A day, from midnight: what the display must read to leave a list on [%], by reading; "" where the power is on.

    `date` stands where its date is written in by hand.
    """

    number: int | str
    date: str
    convenience: tuple[float | str, ...]
    essential: tuple[float | str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """A load and its place in the order of its tier, such as `essential 2`; "" where it does not count.

    `first` is 1 for a critical load of which the gap that it bears is stated: it leads its list.
    """

    words: str
    energy_wh: float
    first: int
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A line of one of the lists, blank behind the last."""

    number: int | str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorCard:
    """The card. `clocks` are the hours of the readings in the order of a day, `heads` the same as they are written.

    `counts` and `lists` go by tier, the critical one first.
    """

    title: str
    who: str
    purpose: str
    readings: tuple[Reading, ...]
    clocks: tuple[int | str, ...]
    heads: tuple[str, ...]
    days: tuple[DoorDay, ...]
    start: str
    device: str
    stops: str
    switches: tuple[Switch, ...]
    counts: tuple[int, ...]
    lists: tuple[tuple[Listed, ...], ...]
    generator: str
    fuel: str
    outdoors: tuple[str, ...]
    food: tuple[str, ...]
    outlet: str
    calls: tuple[str, ...]


def door_card_of(case: Case, lines: Sequence[LoadLine], shown: Offer, days: int, *, draft: str = "") -> DoorCard:
    """The card of the candidate that is followed.

    Args:
        case: The case.
        lines: The inventory.
        shown: The candidate; one without a name where none is listed.
        days: Days that the card has room for, from midnight to midnight [days].
        draft: Why it is a draft, "" where it is none.
    """
    readings = readings_of(case.outage)
    clocks = sorted(int(one.clock) for one in readings if one.clock != "")
    blanks = ("",) * (len(readings) - len(clocks))
    switches = switches_of(lines)
    return DoorCard(
        title=HEADS[case.about.purpose],
        who=f"Draft. {draft}" if draft else _who(shown),
        purpose=_purpose(case),
        readings=readings,
        clocks=(*clocks, *blanks),
        heads=(*(clock_time(hour) for hour in clocks), *blanks),
        days=tuple(_day(number, (*clocks, *blanks), case.outage, shown) for number in range(1, days + 1)),
        start=_start(case, shown),
        device=_device(case.outage),
        stops=_stops(case.outage, shown),
        switches=switches,
        counts=tuple(sum(one.key.startswith(tier) for one in switches) for tier in TIERS),
        lists=tuple(_list(tier, switches) for tier in TIERS),
        generator=_generator(case),
        fuel=_fuel(case, shown),
        outdoors=_outdoors(case),
        food=_beside(case, shown),
        outlet=_outlet(case.outage),
        calls=_calls(case),
    )


def clock_time(hour: float) -> str:
    """A clock hour as it is written [-].

    Args:
        hour: Clock hour [h].

    Holds for: hours from 0 to 48; whole minutes.
    Source: definition.

    >>> clock_time(18.5), clock_time(24.25)
    ('18:30', '00:15')
    """
    minutes = int(spoken(60 * hour)) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def readings_of(outage: Outage) -> tuple[Reading, ...]:
    """The readings as the case states them; one that repeats an earlier one counts once."""
    hours = (outage.reading_1, outage.reading_2, outage.reading_3, outage.reading_4)
    return tuple(Reading(number=i + 1, clock="" if clock in hours[:i] else clock) for i, clock in enumerate(hours))


def switches_of(lines: Sequence[LoadLine]) -> tuple[Switch, ...]:
    """Each load with its place in its tier's order: what uses most in a day goes first.

    Critical loads are not switched off: those that bear but a stated gap stand first, so that a list cut short names them.
    """
    energy = {line.number: round(line.energy_wh, DUST) for line in lines}
    first = {line.number: int(line.critical_gap_ms != "" and energy[line.number] > 0) for line in lines}
    placed: Counter[str] = Counter()
    keys: dict[int, str] = {}
    for line in sorted(lines, key=lambda line: (-first[line.number], -energy[line.number], line.number)):
        placed[line.tier] += 1
        keys[line.number] = f"{line.tier} {placed[line.tier]}" if energy[line.number] > 0 else ""
    return tuple(
        Switch(words=_load_words(line), energy_wh=energy[line.number], first=first[line.number], key=keys[line.number])
        for line in lines
    )


def _list(tier: str, switches: Sequence[Switch]) -> tuple[Listed, ...]:
    """The lines of a tier; the last says how many more there are where it has no room for them."""
    names = {switch.key: switch.words for switch in switches if switch.key.startswith(tier)}
    room, found = ROOM[tier], []
    for k in range(1, room + 1):
        name = names.get(f"{tier} {k}", "")
        if k == room < len(names):
            name = f"and {len(names) - room + 1} more: see the Load sheet"
        found.append(Listed(number=k if k <= len(names) else "", name=name))
    return tuple(found)


def _load_words(line: LoadLine) -> str:
    """A load and where it is; of a long name the place is left out, or its end: it is read from a metre away."""
    name, place = line.given.name, line.given.place
    behind = f", {place}" if place and len(name) + len(place) <= LONG_NAME else ""
    return (name[:LONG_NAME] or f"Line {line.number}") + behind


def _day(number: int, clocks: Sequence[int | str], outage: Outage, shown: Offer) -> DoorDay:
    """The charge to hold on a day, in whole per cent as a display shows it."""
    carried = shown.carried
    told = {line.t: line for line in carried.hold} if shown.name and carried.store.full_wh > 0 else {}
    midnight = 24 * (number - 1)
    read = [None if clock == "" else told.get(midnight + int(clock) - outage.starts_at) for clock in clocks]

    def shares(of: str) -> tuple[float | str, ...]:
        return tuple("" if line is None else _percent(line, of) for line in read)

    first = midnight + int(clocks[0])
    there = number == 1 or first < outage.starts_at + 24 * outage.days
    return DoorDay(
        number=number if there else "",
        date="date" if there else "",
        convenience=shares("convenience_share"),
        essential=shares("essential_share"),
    )


def _percent(line: HoldLine, of: str) -> float | str:
    share = getattr(line, of)
    return share if isinstance(share, str) else float(round(100 * share))


def _who(shown: Offer) -> str:
    if not shown.name:
        return "No candidate is listed yet."
    short = "" if shown.fit.fits else ": it falls short, so this is no plan to rely on"
    return f"{with_packs(shown.name, shown.held.packs)}{short}"


def _purpose(case: Case) -> str:
    outage = case.outage
    begins = f"{outage.starts_at:02d}:00"
    said = f"For {stretch_of(case).words}, from {begins} on day 1."
    return " ".join(word for word in (said, case.about.prepared_by, case.about.date) if word)


def _start(case: Case, shown: Offer) -> str:
    """What is off from the beginning, which may be no reading."""
    carried, outage = shown.carried, case.outage
    if not shown.name or carried.store.full_wh <= 0:
        return "No charge can be told yet: the storage is not stated." if shown.name else ""
    first = carried.hold[0]
    charge = round(100 * outage.start_share, DUST)

    def off(share: float | str) -> bool:
        return isinstance(share, str) or round(100 * share - charge, DUST) > 0

    begins = f"At {outage.starts_at:02d}:00, {stretch_of(case).begins}, with {spoken(charge)} %"
    if off(first.essential_share):
        return f"{begins}: list A and list B off."
    trips = trips_unless(outage, carried)
    warned = f" But {trips}." if trips else ""
    return f"{begins}: {'list A off' if off(first.convenience_share) else 'all may stay on'}.{warned}"


def _device(outage: Outage) -> str:
    parts = [
        f"list {letter} below {spoken(100 * share)} %"
        for letter, share in (("A", outage.drop_convenience_at), ("B", outage.drop_essential_at))
        if share is not None
    ]
    return f"The unit itself switches off {' and '.join(parts)}." if parts else ""


def _stops(outage: Outage, shown: Offer) -> str:
    """When loads that are never switched off stop all the same."""
    until = shown.carried.critical.until_h
    if not shown.name or isinstance(until, str) or shown.carried.store.full_wh <= 0:
        return ""
    return f"What is never off stops at {clock_words(until, outage.starts_at)}: have its second way ready before."


def _generator(case: Case) -> str:
    outage = case.outage
    if case.recharge.generator_w <= 0:
        return "None is planned. If you borrow one:" if case.about.purpose == "outage" else "No generator is planned."
    if outage.generator_hours <= 0:
        return "A generator is there, but no hours for it."
    if outage.generator_hours >= 24:
        return "Run it all day."
    end = outage.generator_from + outage.generator_hours
    return f"Run it from {clock_time(outage.generator_from)} to {clock_time(end)} each day."


def _fuel(case: Case, shown: Offer) -> str:
    litres = round(shown.carried.fuel_l, DUST)
    if not shown.name:
        return ""
    if case.recharge.generator_w > 0 and case.outage.generator_hours > 0 and shown.given.ac_charge_w is None:
        return FUEL_UNKNOWN
    if litres <= 0:
        return ""
    fuel = (f"{spoken(litres, 1)} l", f"{spoken(litres / GALLON_L, 1)} US gal")
    first, second = reversed(fuel) if case.about.units == "US" else fuel
    days = "the day" if case.outage.days == 1 else f"{case.outage.days} days"
    return f"Fuel for {days}: at least {first} ({second})."


def _outdoors(case: Case) -> tuple[str, ...]:
    """How a generator is run, be it one that is planned or one that is borrowed in a house without power."""
    if case.about.purpose != "outage" and case.recharge.generator_w <= 0:
        return "", ""
    return _in_order(OUTDOORS, case)


def _in_order(lines: tuple[str, ...], case: Case) -> tuple[str, ...]:
    """Lines in which amounts are told in both units, the client's in front."""
    return tuple(map(us_first, lines)) if case.about.units == "US" else lines


def _beside(case: Case, shown: Offer) -> tuple[str, ...]:
    """What is to be known beside the lists: what a drive takes, and how long food keeps in a house without power."""
    at_home = case.about.purpose == "outage"
    if case.vehicle.distance <= 0:
        return _in_order(FOOD, case) if at_home else ("", "", "")
    return (_drive(shown), *(FOOD[: len(ROADSIDE)] if at_home else ROADSIDE))


def _drive(shown: Offer) -> str:
    """What the display must read before the vehicle is charged; rounded up, so that the drive has its margin."""
    store, needed_wh = shown.carried.store, shown.vehicle.storage_needed_wh
    if not shown.name or store.full_wh <= 0:
        return ""
    share = ceil(round(100 * (store.reserve_wh + needed_wh) / store.full_wh, DUST))
    return (
        f"Charge the vehicle at {share} % or more." if share <= 100 else "A full storage is not enough for the drive."
    )


def _calls(case: Case) -> tuple[str, ...]:
    """Whom to call, each behind what they are; the power company last: where there is no grid, there is none."""
    grid = case.about.purpose == "outage" or case.outage.mains_hours > 0
    told = {name: f"{info.title}: {getattr(case.calls, name)}" for name, info in Calls.model_fields.items()}
    company = told.pop("power_company")
    return (*told.values(), company if grid else "")


def _outlet(outage: Outage) -> str:
    if outage.mains_hours <= 0:
        return ""
    if outage.mains_hours >= 24:
        return "Plug the unit in wherever an outlet works."
    end = outage.mains_from + outage.mains_hours
    return f"Plug the unit in from {clock_time(outage.mains_from)} to {clock_time(end)}."
