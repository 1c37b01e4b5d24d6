"""One candidate set against the case: everything that is worked out of it, in the order of the method.

It ranks nobody: a draft becomes an offer when the whole field is known.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from holdover.case.schema import Candidate
from holdover.model.delivery import DeliveryFit, delivery_fit
from holdover.model.demand import TIERS
from holdover.model.desk import Desk, alone_of
from holdover.model.dust import DUST
from holdover.model.money import Cost, Stage, cost_of, stages_of
from holdover.model.outage.at_best import gap_wh, left_at_first_wh, left_wh
from holdover.model.outage.inflow import sun_by_hour
from holdover.model.outage.promise import Carried, Fate, Taking, carried, packs_for, source_trips_w, taking_of
from holdover.model.outage.shedding import Store
from holdover.model.outage.tier_sets import Converter, lowest_charge_w
from holdover.model.outage.what_if import Room
from holdover.model.recharge import Cells, Recharge, array_hours, array_w, recharge
from holdover.model.storage import Held, Storage, held_of, packs_fixed, storage_of
from holdover.model.strings import Strings, strings
from holdover.model.vehicle import Arrival, Inverter, Stock, VehicleFit, arrival, vehicle_fit
from holdover.model.verdict.fit import Against, Fit, Waits, Worked, fit_of, remarks_of, solar_unsaid
from holdover.model.verdict.given_up import may_freeze
from holdover.model.verdict.mend import Means, Mend, mend_of
from holdover.model.verdict.rank import Rank
from holdover.model.verdict.reason import Short, asked_of, asks_of, breaks_words, reason_of, short_of, waits_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One candidate, worked out against the case."""

    given: Candidate
    number: int
    name: str
    storage: Storage
    held: Held
    cost: Cost
    stages: tuple[Stage, ...]
    strings: Strings
    recharge: Recharge
    vehicle: VehicleFit
    arrival: Arrival
    deliveries: tuple[DeliveryFit, ...]
    converter: Converter
    room: Room
    carried: Carried
    fit: Fit
    mend: Mend
    waits: Waits
    rank: Rank
    shown: int | str
    short: Short
    reason: str
    asked: str
    ask: str
    remarks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A candidate before the field is ranked. `loads_wh` is what the loads need out of its usable storage."""

    given: Candidate
    storage: Storage
    strings: Strings
    converter: Converter
    loads_wh: float | str
    vehicle: VehicleFit
    room: Room
    held: Held
    carried: Carried
    cost: Cost
    fit: Fit
    waits: Waits


def draft_of(desk: Desk, c: Candidate) -> Draft:
    """A candidate worked out as far as the ranking needs it."""
    case = desk.case
    fixed = packs_fixed(c, case.outage.packs)
    storage = storage_of(c, desk.demand, case.sizing, case.assumed, desk.capacity, fixed)
    design_w = desk.module_w[case.sun.month - 1]
    sun = case.sun
    layouts = strings(c, case.array, design_w, coldest_c=sun.coldest_c, hottest_c=sun.hottest_c, unplaced=sun.unplaced)
    converter = _converter(desk, c, storage)
    taking = taking_of(desk.plan, desk.tiers, converter, desk.sources, _sun_wh(desk, layouts))
    loads_wh = _loads_wh(desk, storage, taking)
    vehicle = _vehicle(desk, c, storage, loads_wh)
    full_per_wh = storage.usable_share * desk.capacity.kept_share
    promised = packs_for(taking.full_needed_wh, c.storage_wh or 0.0, c.pack_wh or 0.0, c.packs_max or 0, full_per_wh)
    packs = _packs(desk, c, storage, vehicle, promised)
    held = held_of(c, storage, packs, desk.capacity.kept_share, case.sizing.reserve)
    through = carried(desk.plan, desk.tiers, taking, _store(desk, held, converter), _fate(desk, c, converter, promised))
    waits = _waits(desk, c, layouts, through, converter)
    cost = cost_of(c, storage, held, case.money, sum(tier.served_wh for tier in through.tiers.values()))
    worked = Worked(
        storage=storage,
        held=held,
        strings=layouts,
        vehicle=vehicle,
        promise=through.promise,
        waits=waits,
        total=cost.total,
    )
    return Draft(
        given=c,
        storage=storage,
        strings=layouts,
        converter=converter,
        loads_wh=loads_wh,
        vehicle=vehicle,
        room=_room(c, packs, full_per_wh),
        held=held,
        carried=through,
        cost=cost,
        fit=fit_of(c, Against(case=case, ac_volts=desk.ac_volts, demand=desk.demand, trip=desk.trip), worked),
        waits=waits,
    )


def _waits(desk: Desk, c: Candidate, layouts: Strings, through: Carried, converter: Converter) -> Waits:
    """What is planned, counts for nothing for want of a figure, and might keep a promise that breaks."""
    case = desk.case
    planned = c.name != "" and case.array.modules > 0
    unsaid = planned and ((layouts.allowed == 0 and solar_unsaid(c, case)) or layouts.held_back > 0)
    unknown = unsaid and layouts.missing != ""  # of modules or a place not known nobody can tell what they bring
    left = 0.0 if unknown else _left_at_best_wh(desk, c, layouts, through, converter, unsaid=unsaid)
    may_keep = through.promise.word == "UNDER" and round(left, DUST) >= 0
    shines = unknown or sum(desk.module_w[case.outage.month - 1]) > 0
    bright = any(day.sky > 0 for day in desk.skies)
    return Waits(
        ac=may_keep and c.ac_charge_w is None and desk.bounds.given_wh > 0,
        sun=may_keep and unsaid and bright and shines,
        lowest=round(through.source_trips_w, DUST) > 0 and c.ac_charge_w is not None and c.ac_charge_min_w is None,
        left_wh=left,
    )


def _left_at_best_wh(
    desk: Desk, c: Candidate, layouts: Strings, through: Carried, converter: Converter, *, unsaid: bool
) -> float:
    """What is left at worst above the reserve if all that is not stated is at its best [Wh]; below 0 the promise breaks.

    `unsaid` tells that the data sheet does not say what of the modules it takes: then it is all they give.
    """
    plan, store, bounds = desk.plan, through.store, desk.bounds
    nets = through.taking.plain_day_wh[plan.promised - 1]
    skies = [day.sky for day in desk.skies]
    counted, silent = _mean_day_wh(desk, layouts), c.ac_charge_w is None
    sun_wh = desk.case.array.modules * sum(desk.module_w[desk.case.outage.month - 1]) if unsaid else sum(counted)
    charged_wh = bounds.given_wh * converter.charged_share if silent else 0.0
    unasked_wh = converter.idle_w * bounds.unasked_h
    above = max(0.0, store.start_wh - store.reserve_wh)
    first = min(bounds.dark_h if unsaid else 24, bounds.alone_h if silent else 24)
    in_one = plan.days > 1 or bounds.alone_h == 0
    gap = gap_wh(nets, max(skies) * sun_wh + unasked_wh, desk.sources, whole=in_one)
    in_the_end = left_wh(above, nets, plan.days, sum(skies[: plan.days]) * sun_wh, charged_wh + unasked_wh)
    at_first = left_at_first_wh(
        above + unasked_wh,
        [net + skies[0] * wh for net, wh in zip(nets, counted, strict=True)],
        plan.clock.starts_at,
        first,
    )
    return min(store.room_wh - gap, at_first, in_the_end)


def _room(c: Candidate, packs: int, full_per_wh: float) -> Room:
    return Room(
        storage_wh=c.storage_wh or 0.0,
        pack_wh=c.pack_wh or 0.0,
        packs_max=c.packs_max or 0,
        packs=packs,
        full_per_wh=full_per_wh,
        pack_price="not stated" if c.pack_price is None else c.pack_price,
    )


def offer_of(desk: Desk, draft: Draft, rank: Rank, number: int, common: Sequence[str]) -> Offer:
    """A ranked candidate told to the end; what is common to the field is left out of its remarks and asks."""
    c, case, held, promise = draft.given, desk.case, draft.held, draft.carried.promise
    short = short_of(c, draft.fit, draft.carried, draft.vehicle, draft.strings.words, case)
    waiting = waits_words(draft.waits, draft.strings)
    asked = asked_of(c, draft.fit, common, draft.waits, draft.strings)
    named = c.name != "" and c.name.lower() == case.outage.candidate.lower()
    return Offer(
        given=c,
        number=number,
        name=c.name,
        storage=draft.storage,
        held=held,
        cost=draft.cost,
        stages=stages_of(c, draft.storage, held, case.money, promise.full_needed_wh, desk.capacity.kept_share),
        strings=draft.strings,
        recharge=_refill(desk, draft),
        vehicle=draft.vehicle,
        arrival=_arrival(desk, draft),
        deliveries=_deliveries(desk, draft),
        converter=draft.converter,
        room=draft.room,
        carried=draft.carried,
        fit=draft.fit,
        mend=mend_of(draft.fit, desk.lines, desk.spare, means_of(desk, draft)),
        waits=draft.waits,
        rank=rank,
        shown=number if named else "",
        short=short,
        reason=reason_of(
            c,
            draft.fit,
            short,
            f"{waiting}: {breaks_words(draft.carried, case)}",
            critical_stops=draft.carried.critical.until_h != "",
        ),
        asked=asked,
        ask=asks_of(c, draft.fit, draft.carried, asked, desk.case.sizing.energy_margin),
        remarks=remarks_of(draft.fit, common) if c.name else "",
    )


def _converter(desk: Desk, c: Candidate, storage: Storage) -> Converter:
    """How the candidate turns energy; a pass-through that nobody states is taken as the continuous output."""
    return Converter(
        inverter_efficiency=storage.inverter_efficiency,
        idle_w=storage.idle_w,
        dc_efficiency=storage.dc_efficiency,
        charge_efficiency=storage.charge_efficiency,
        may_charge=int(desk.case.sizing.storage_c >= storage.charge_min_c),
        ac_charge_w=c.ac_charge_w or 0.0,
        ac_charge_efficiency=storage.ac_charge_efficiency,
        bypass_w=(c.continuous_w or 0.0) if c.bypass_w is None else c.bypass_w,
    )


def _mean_day_wh(desk: Desk, layouts: Strings) -> list[float]:
    """Sun by clock hour on a mean day of the outage's month."""
    mean_day = desk.module_w[desk.case.outage.month - 1]
    return [array_w(one, layouts.modules_used, layouts.limit_w) for one in mean_day]


def _sun_wh(desk: Desk, layouts: Strings) -> list[float]:
    """Sun in each hour of the planned outage."""
    outage = desk.case.outage
    skies = [day.sky for day in desk.skies]
    return sun_by_hour(_mean_day_wh(desk, layouts), skies, sky=outage.sky, starts_at=outage.starts_at)[
        : desk.plan.clock.hours
    ]


def _loads_wh(desk: Desk, storage: Storage, taking: Taking) -> float | str:
    """What the loads need out of usable storage, by what the sizing rests on."""
    if desk.case.sizing.basis != "planned days":
        return storage.needed_wh
    full = taking.full_needed_wh
    return full if isinstance(full, str) else (1 - desk.case.sizing.reserve) * full


def _vehicle(desk: Desk, c: Candidate, storage: Storage, loads_wh: float | str) -> VehicleFit:
    stock = Stock(
        storage_wh=c.storage_wh or 0.0,
        pack_wh=c.pack_wh or 0.0,
        packs_max=c.packs_max or 0,
        packs_limit=storage.packs_limit,
        usable_per_wh=storage.per_wh,
    )
    inverter = Inverter(
        inverter_efficiency=storage.inverter_efficiency,
        idle_w=storage.idle_w,
        continuous_w=c.continuous_w or 0.0,
        ac_volts=(desk.demand.house_v if c.ac_volts is None else c.ac_volts, c.ac_volts_2),
    )
    return vehicle_fit(desk.trip, stock, inverter, loads_wh=loads_wh, listed=c.name != "")


def _packs(desk: Desk, c: Candidate, storage: Storage, vehicle: VehicleFit, promised: int) -> int:
    """Fixed by hand, or the fewest for the loads, and for the vehicle beside them; all where none do."""
    if packs_fixed(c, desk.case.outage.packs) is not None:
        return storage.packs_limit
    if desk.case.vehicle.distance <= 0:
        return promised if desk.case.sizing.basis == "planned days" else storage.packs_for_loads
    wanted = vehicle.packs_with_loads
    return wanted if isinstance(wanted, int) else storage.packs_limit


def _store(desk: Desk, held: Held, converter: Converter) -> Store:
    return Store(
        full_wh=held.full_wh,
        reserve_wh=held.reserve_wh,
        start_wh=desk.plan.start_share * held.full_wh,
        charge_efficiency=converter.charge_efficiency,
        may_charge=converter.may_charge,
    )


def _fate(desk: Desk, c: Candidate, converter: Converter, promised: int) -> Fate:
    running = [hour.running_w for hour in desk.hours]
    trips_w = source_trips_w(running, desk.sources, converter.bypass_w, converter.ac_charge_w, c.ac_charge_min_w)
    return Fate(
        packs=promised,
        lowest_charge_w=lowest_charge_w(converter.ac_charge_w, c.ac_charge_min_w),
        source_trips_w=trips_w,
        fuel_l_per_kwh=desk.case.recharge.fuel_l_per_kwh,
    )


def _refill(desk: Desk, draft: Draft) -> Recharge:
    case, storage, held = desk.case, draft.storage, draft.held
    cells = Cells(
        full_wh=held.full_wh,
        reserve_wh=held.reserve_wh,
        day_draw_wh=storage.day_draw_wh,
        charge_efficiency=storage.charge_efficiency,
        may_charge=draft.converter.may_charge,
        ac_charge_w=draft.given.ac_charge_w,
        ac_charge_efficiency=storage.ac_charge_efficiency,
        outlet_w=desk.sources[0].w,
    )
    hours = array_hours(draft.strings, desk.module_w)
    return recharge(cells, case.recharge, hours, case.sun.month, case.outage.month)


def _arrival(desk: Desk, draft: Draft) -> Arrival:
    return arrival(
        desk.trip,
        nameplate_wh=draft.held.nameplate_wh,
        usable_wh=draft.held.usable_wh,
        inverter_efficiency=draft.storage.inverter_efficiency,
        idle_w=draft.storage.idle_w,
        loads_wh=draft.loads_wh,
    )


def _deliveries(desk: Desk, draft: Draft) -> tuple[DeliveryFit, ...]:
    """Every delivery from the candidate with the packs it gets."""
    return tuple(
        delivery_fit(
            line.plan,
            usable_wh=draft.held.usable_wh,
            inverter_efficiency=draft.storage.inverter_efficiency,
            idle_w=draft.storage.idle_w,
            continuous_w=draft.given.continuous_w or 0.0,
            listed=draft.given.name != "" and line.plan.energy_wh > 0,
        )
        for line in desk.deliveries
    )


def means_of(desk: Desk, draft: Draft | Offer) -> Means:
    """With what a candidate's miss could be made up for."""
    storage, plan = draft.storage, desk.plan
    promised = [desk.tiers[tier] for tier in TIERS[: plan.promised]]
    drawn = (
        share
        * (
            sum(day.ac_wh[hour] for day in promised) / storage.inverter_efficiency
            + sum(day.dc_wh[hour] for day in promised) / storage.dc_efficiency
            + storage.idle_w
        )
        for hour, share in enumerate(alone_of(desk.sources))
    )
    return Means(
        pack_wh=draft.room.pack_wh,
        packs_max=draft.room.packs_max,
        storage=storage,
        held=draft.held,
        drawn_wh=sum(drawn),
        drops_promised=(plan.promised > 1 and plan.drop_essential_at is not None)
        or (plan.promised > 2 and plan.drop_convenience_at is not None),
        freezes=may_freeze(desk.case.sizing.storage_c, desk.case.sun.coldest_c),
    )
