"""Cases of how a unit is wired, of outages, their sources and promises, and of the written offer, for the engines."""

from typing import Any

from holdover.case.papers import Business, Calls, Item, OfferPaper, Term
from holdover.case.schema import (
    Array,
    Candidate,
    Case,
    Day,
    Delivery,
    Load,
    Money,
    Month,
    Outage,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
)
from holdover.case.section import Section


def but(of: Section, **changes: Any) -> Any:
    """The same section with changes."""
    return of.model_copy(update=changes)


_LOADS = (
    Load(name="Breathing aid", tier="critical", running_w=62, hours_per_day=8, starts_at=22.5, gap_ms=40, basis="metered"),
    Load(name="Fridge", running_w=110, starting_w=640, duty=0.35, hours_per_day=24, basis="label"),
    Load(name="Well pump", running_w=900, starting_w=2600, power_factor=0.8, hours_per_day=1, feed="240 V"),
    Load(name="Dryer", tier="convenience", running_w=1800, hours_per_day=3, starts_at=13, feed="240 V"),
    Load(name="Microwave", running_w=1200, hours_per_day=0.3),
    Load(name="Kettle", tier="convenience", running_w=1400, hours_per_day=0.2),
    Load(name="Toaster", tier="convenience", quantity=2, running_w=700, hours_per_day=0.2, gap_ms=15),
    Load(name="Iron", on="no", running_w=2000, hours_per_day=1),
    Load(name="Television", tier="convenience", running_w=90, hours_per_day=3, starts_at=19, on="yes"),
    Load(name="Heat pad", tier="convenience", running_w=80, hours_per_day=2, starts_at=21, turns="bed"),
    Load(name="Blanket", running_w=70, hours_per_day=9, starts_at=21.5, turns="bed"),
    Load(name="Lamp", running_w=9, hours_per_day=5, starts_at=18, feed="USB"),
    Load(name="Tablet", running_w=15, hours_per_day=2, feed="USB", tier="convenience"),
    Load(name="Telephone", running_w=15, starting_w=26, hours_per_day=2.9, feed="USB"),
    Load(name="Speaker", running_w=5, starting_w=12, hours_per_day=1, feed="USB"),
    Load(name="Medicine box", tier="critical", running_w=45, starting_w=95, duty=0.4, hours_per_day=24, feed="12 V DC"),
    Load(name="Fan", running_w=30, starting_w=55, hours_per_day=6, starts_at=10, feed="24 V DC"),
    Load(name="Radio link", running_w=20, starting_w=31, hours_per_day=24, feed="48 V DC", basis="estimate"),
    Load(name="Lift pump", running_w=18, starting_w=40, hours_per_day=24, feed="12 V DC"),
    Load(name="Blower", running_w=12, starting_w=33, hours_per_day=7, starts_at=9, feed="24 V DC"),
    Load(name="Gate", running_w=6, starting_w=24, hours_per_day=24, feed="48 V DC", tier="convenience"),
)  # fmt: skip
WIRED_UNIT = Candidate(
    name="Both at once", storage_wh=3600, usable_share=0.95, cycles=3500, continuous_w=3600, continuous_va=4000, surge_w=7000,
    ac_volts=120, ac_volts_2=240, volts_at_once="both", ac_sockets=5, dc_w=300, usb_w=140, dc_12v_w=120, dc_24v_w=100,
    dc_48v_w=60, idle_w=22, pack_wh=3600, packs_max=4, ac_charge_w=1800, pv_inputs=2, pv_min_v=20, pv_max_v=140, pv_max_a=14,
    pv_max_isc_a=20, pv_input_w=1200, pv_total_w=2000, weight_kg=45, pack_weight_kg=35, price=3200, pack_price=1900,
    noise_db=48, transfer_ms=12,
)  # fmt: skip
_WAYS = (
    WIRED_UNIT,
    but(WIRED_UNIT, name="By switch", volts_at_once="by switch", usb_w=0.0, dc_48v_w=None, price=2600, packs=1),
    but(WIRED_UNIT, name="Not said", volts_at_once=None, leg_w=1500.0, dc_w=None, bypass_w=0.0, ac_charge_min_w=300.0),
    but(WIRED_UNIT, name="One leg", leg_w=900.0, usb_w=None, dc_12v_w=None, dc_24v_w=None, dc_48v_w=None, bypass_w=1500.0),
    but(WIRED_UNIT, name="One voltage", ac_volts_2=None, volts_at_once=None, transfer_ms=60, ac_charge_min_w=100.0),
    but(WIRED_UNIT, name="No DC", dc_w=0.0, usb_w=None, dc_12v_w=0.0, dc_24v_w=None, dc_48v_w=None, surge_w=3500.0),
    but(WIRED_UNIT, name="Small ports", usb_w=12.0, dc_12v_w=50.0, dc_24v_w=30.0, dc_48v_w=60.0, transfer_ms=None, price=None),
)  # fmt: skip
_MODULE = Array(
    modules=4, power_w=400, voc_v=37, vmp_v=31, isc_a=13.7, imp_a=12.9, voc_tempco=-0.0027, tilt_deg=50, azimuth_deg=180
)
_SKY = Sun(latitude_deg=45, month=2, coldest_c=-25)
_MONTHS = tuple(Month(peak_sun_hours=h, ambient_c=c) for h, c in zip((2.2, 3.1, 4, 4.5, 5, 5.3, 5.4, 5.1, 4.2, 3, 2, 1.8), range(12), strict=True))  # fmt: skip
WIRED = Case(loads=_LOADS, candidates=_WAYS, sun=_SKY, months=_MONTHS, array=_MODULE)
_TWO = but(WIRED, candidates=(_WAYS[0], _WAYS[3]))
_HUNGRY = tuple(load for load in _LOADS if load.feed != "240 V")

TINY_UNIT = Candidate(
    name="Tiny", storage_wh=4.0, usable_share=1, continuous_w=4, surge_w=9, ac_volts=120, dc_w=2, idle_w=0.05,
    inverter_efficiency=0.8, charge_efficiency=0.75, pack_wh=1.5, packs_max=3, ac_charge_w=0.8, ac_charge_min_w=0.3,
    bypass_w=1.4, pv_inputs=1, pv_min_v=1, pv_max_v=20, pv_max_a=2, price=3, pack_price=0.7, weight_kg=0.6, cycles=60,
    transfer_ms=0.5, noise_db=50.5,
)  # fmt: skip
TINY = Case(
    loads=(
        Load(name="Beep", tier="critical", running_w=0.12, hours_per_day=24),
        Load(name="Glow", running_w=0.5, hours_per_day=4, starts_at=18, power_factor=0.9),
        Load(name="Hum", running_w=0.3, starting_w=0.7, duty=0.5, hours_per_day=24),
        Load(name="Toy", tier="convenience", running_w=0.6, hours_per_day=3, starts_at=16.5),
        Load(name="Sip", tier="convenience", running_w=0.9, hours_per_day=0.4),
        Load(name="Blip", running_w=0.4, hours_per_day=0.5, measured_wh_per_day=0.3),
        Load(name="Pip", running_w=0.1, hours_per_day=5, feed="USB", starts_at=20, tier="convenience"),
    ),
    candidates=(
        TINY_UNIT,
        but(TINY_UNIT, name="Tinier", storage_wh=2.2, packs_max=1, price=2, bypass_w=None, ac_charge_min_w=None),
        but(TINY_UNIT, name="Tight", storage_wh=6.5, packs_max=None, pack_wh=None, price=6, bypass_w=0.2, ac_charge_w=2.5),
    ),
    sizing=Sizing(storage_c=25, age_share=1, reserve=0.05),
    outage=Outage(days=3, starts_at=15),
    sun=Sun(latitude_deg=40, month=1, coldest_c=0),
    months=(Month(peak_sun_hours=1.7),) * 12,
    array=Array(modules=2, power_w=1.2, voc_v=4, vmp_v=3.2, isc_a=0.5, imp_a=0.4, voc_tempco=-0.003),
    recharge=Recharge(generator_w=2, fuel_price=2, outlet_v=100, outlet_a=0.1),
)  # fmt: skip

PLANS: dict[str, Case] = {
    "wired every way": WIRED,
    "one short load at once": but(_TWO, sizing=Sizing(at_once=1, starting="together", feed="240 V", starting_margin=0.1)),
    "all short loads at once": but(_TWO, sizing=Sizing(at_once=0, basis="days without recharging", autonomy_days=1.5)),
    "three DC loads at once": but(_TWO, loads=tuple(but(load, tier=None) for load in _LOADS[11:15]), sizing=Sizing(at_once=3)),
    "promise of critical loads": but(_TWO, outage=Outage(days=3, promise="critical", starts_at=0, start_share=0.4, leave_out="dryer")),
    "promise of all loads": but(_TWO, loads=_HUNGRY, outage=Outage(days=3, promise="all loads", without="Kettle", starts_at=23)),
    "device drops loads": but(
        _TWO,
        loads=_HUNGRY,
        outage=Outage(days=3, drop_convenience_at=0.6, drop_essential_at=0.35, starts_at=17, candidate="One leg", packs=0),
    ),
    "a person reads twice": but(
        _TWO, loads=_HUNGRY, outage=Outage(days=4, reading_1=20, reading_2=7, reading_3=7, reading_4=20, packs=1, sky=0.3)
    ),
    "mains by night": but(
        WIRED,
        loads=_HUNGRY,
        outage=Outage(days=3, mains_from=21.5, mains_hours=8.25, repeats="yes", generator_from=3, generator_hours=6),
        recharge=Recharge(generator_w=1200, fuel_price=1.8, outlet_v=120, outlet_a=6),
        days=(Day(sky=0.2), Day(), Day(sky=1.2)),
    ),
    "loads and drive": but(
        _TWO,
        loads=_HUNGRY[:4],
        vehicle=Vehicle(distance=17, distance_unit="mi", consumption=29, consumption_unit="kWh/100 mi", consumption_at="outlet"),
        deliveries=(Delivery(name="Saw", energy_wh=118, power_w=190, times=4), Delivery(name="Bicycle", energy_wh=600)),
        outage=Outage(days=1, packs=9),
    ),
    "none fits": but(
        WIRED,
        loads=(*_LOADS, Load(name="Kiln", running_w=6000, starting_w=8000, hours_per_day=4, starts_at=9)),
        recharge=Recharge(generator_w=900),
        outage=Outage(days=6, generator_hours=2),
        vehicle=Vehicle(distance=250, distance_unit="mi", consumption=290, consumption_unit="Wh/mi"),
    ),
    "misses by little": but(
        _TWO,
        loads=(*_HUNGRY, Load(name="Planer", running_w=2300, starting_w=6900, hours_per_day=1, starts_at=10)),
        candidates=(but(WIRED_UNIT, packs_max=1, surge_w=6800.0, continuous_w=3050.0), but(_WAYS[3], packs_max=1)),
        recharge=Recharge(generator_w=900),
        outage=Outage(days=3),
    ),
    "fourteen days": but(_TWO, loads=_HUNGRY[:3], outage=Outage(days=14, starts_at=5), sun=but(_SKY, coldest_c=None)),
    "dark months": but(
        _TWO,
        sun=Sun(resource="clearness index", latitude_deg=61, month=12, coldest_c=-30),
        months=tuple(Month(clearness=k) for k in (0.1, 0.25, 0.3, 0.4, 0.5, 0.55, 0.5, 0.45, 0.4, 0.29, None, 0.05)),
        outage=Outage(month=12, days=2),
    ),
    "a written offer": but(
        _TWO,
        business=Business(name="A. Dviser", address="2 Row", contact="000", licence="L 1"),
        offer=OfferPaper(number="7", valid_until="soon", module_price=210),
        items=(Item(name="Frame", price=300), Item(name="Work", quantity=2.5, counted_in="h", price=80), Item(quantity=3), Item(name="Trip", quantity=0, price=5)),
        terms=(Term(included="unit", excluded="permits", paid_share=0.3, paid_when="on order", delivery="two weeks"), Term(paid_share=0.7), Term(excluded="roof work")),
        calls=Calls(emergency="112", neighbour="next door"),
        money=Money(accessories_price=120, labour_price=90, discount_share=0.1, tax_share=0.2, rank_by="price per kWh over life", uses_per_year=200, years=12),
    ),
    "tiny, promise of all": but(TINY, outage=Outage(days=2, starts_at=15, promise="all loads", sky=0.8)),
    "tiny, mains and generator": but(
        TINY,
        outage=Outage(days=3, starts_at=19, mains_from=22.5, mains_hours=2.5, generator_from=23.5, generator_hours=3.5, repeats="yes", start_share=0.7),
    ),
    "tiny, read once": but(
        TINY,
        outage=Outage(days=2, starts_at=1, reading_1=1, reading_2=1, reading_3=1, reading_4=1, promise="critical", start_share=0.9, sky=0.2, packs=1),
    ),
    "tiny, device drops": but(
        TINY, outage=Outage(days=2, starts_at=10, drop_convenience_at=0.7, drop_essential_at=0.45, candidate="Tinier", sky=1)
    ),
    "tiny, card beside a device": but(
        TINY, outage=Outage(days=3, starts_at=13, drop_essential_at=0.5, candidate="tight", without="Toy", generator_hours=1, sky=0.5)
    ),
    "tiny, silent sheets": but(
        TINY,
        candidates=(Candidate(name="Silent"), Candidate(name="Storage alone", storage_wh=5), Candidate(name="Surge alone", surge_w=3, continuous_w=2)),
        outage=Outage(days=1, starts_at=6),
        vehicle=Vehicle(distance=0.002, consumption=20, charger_v=100, charger_a=1),
    ),
    "tiny, only toys": but(
        TINY,
        loads=tuple(but(load, tier="convenience") for load in TINY.loads if load.name != "Sip"),
        outage=Outage(days=8, starts_at=5, start_share=0.1),
        sizing=Sizing(storage_c=-4, age_share=1, reserve=0.05),
        vehicle=Vehicle(),
        deliveries=(Delivery(energy_wh=0.6),),
        recharge=Recharge(generator_w=2, fuel_price=2),
    ),
    "tiny, misses by little": but(
        TINY,
        loads=(
            Load(name="Beep", tier="critical", running_w=0.5, hours_per_day=24),
            Load(name="Four", running_w=0.4, hours_per_day=10, starts_at=1),
            Load(name="Five", running_w=0.5, hours_per_day=10, starts_at=1),
            Load(name="Three", running_w=0.3, hours_per_day=10, starts_at=1),
        ),
        candidates=(but(TINY_UNIT, storage_wh=27.5, pack_wh=3.0, packs_max=2, bypass_w=None),),
        array=Array(),
        outage=Outage(days=1, starts_at=0),
    ),
    "tiny, packs alone would help": but(
        TINY,
        loads=(Load(name="Beep", tier="critical", running_w=0.2, hours_per_day=24),),
        candidates=(but(TINY_UNIT, packs=0, ac_volts=240),),
        array=Array(),
        recharge=Recharge(),
        outage=Outage(days=1, starts_at=0),
    ),
    "tiny, filled for less than a night": but(
        TINY,
        loads=(
            Load(name="Beep", running_w=0.15, hours_per_day=24),
            Load(name="Toy", tier="convenience", running_w=0.1, hours_per_day=1, starts_at=8),
        ),
        candidates=(TINY_UNIT, but(TINY_UNIT, storage_wh=1.6, packs_max=None, pack_wh=None, ac_charge_w=1.2, bypass_w=None)),
        sizing=Sizing(storage_c=25, age_share=1, reserve=0.05, energy_margin=0),
        array=Array(),
        outage=Outage(days=2, starts_at=8, generator_from=11, generator_hours=5),
    ),
    "tiny, no solar": but(TINY, array=Array(), outage=Outage(days=1, starts_at=6, packs=2, leave_out="Hum", promise="all loads")),
    "tiny, only when on": but(
        TINY,
        sizing=Sizing(inverter="only with AC loads", reserve=0.2, storage_c=-3, energy_margin=0),
        outage=Outage(days=2, starts_at=6, generator_from=16.9, generator_hours=5.7),
        vehicle=Vehicle(distance=0.005, consumption=25, charger_v=100, charger_a=1, distance_unit="km", consumption_unit="kWh/100 km"),
    ),
}  # fmt: skip
"""How a unit is wired, what feeds it and what is promised; the tiny ones have every number near 1."""
