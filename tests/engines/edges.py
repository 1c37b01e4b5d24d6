"""Cases in which a slip of the pen in a formula shows: amounts below 1, sums at their limit, the second that counts."""

import random
from typing import Any

from engines.plans import TINY, TINY_UNIT, WIRED, WIRED_UNIT, but
from holdover.case.schema import (
    About,
    Array,
    Assumed,
    Candidate,
    Case,
    Delivery,
    Load,
    Money,
    Month,
    Outage,
    Point,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
)

AC_FEEDS: tuple[Any, ...] = ("240 V", "208 V", "120 V")
DC_FEEDS: tuple[Any, ...] = ("12 V DC", "24 V DC", "48 V DC", "USB")


def taking_turns(seed: int, feeds: tuple[Any, ...]) -> Case:
    """Loads of which now one, now another is the largest by watts, by watts with margin, by volt-amperes, at its start."""
    rng = random.Random(seed)
    loads = []
    for i in range(60):
        running_w = rng.choice((0.8, 0.9, 1, 1.1, 1.2))
        loads.append(
            Load(
                name=f"Load {i}",
                running_w=running_w,
                starting_w=round(running_w + rng.choice((0, 0.3, 0.6, 1, 1.5, 2)), 3),
                power_factor=rng.choice((0.7, 0.85, 1)),
                hours_per_day=rng.choice((1, 2, 3, 5)),
                starts_at=rng.choice((None, *range(0, 24, 3))),
                feed=rng.choice(feeds),
                turns=rng.choice("abcdef"),
            )
        )
    return Case(loads=tuple(loads), outage=Outage(days=1))


_DROPS = (
    Load(name="Beep", tier="critical", running_w=0.31, hours_per_day=24, gap_ms=0.4),
    Load(name="Peep", tier="critical", running_w=0.11, hours_per_day=24, gap_ms=0.6),
    Load(name="Glow", running_w=0.52, hours_per_day=4, starts_at=18, power_factor=0.9, feed="240 V"),
    Load(name="Shine", running_w=0.37, starting_w=0.91, hours_per_day=2, feed="208 V"),
    Load(name="Stick", running_w=0.41, hours_per_day=5, feed="USB", starts_at=20),
    Load(name="Pin", running_w=0.35, starting_w=0.6, hours_per_day=24, feed="12 V DC"),
    Load(name="Nail", running_w=0.45, hours_per_day=24, feed="24 V DC", tier="convenience"),
    Load(name="Bolt", running_w=0.55, starting_w=0.9, hours_per_day=24, feed="48 V DC"),
    Load(name="Meter", measured_wh_per_day=0.7, feed="USB"),
    Load(name="Tag", measured_wh_per_day=2, running_w=0.1, hours_per_day=23.5),
)
_WORST = but(
    TINY_UNIT, name="Worst", storage_wh=0.3, pack_wh=None, packs_max=None, continuous_w=0.4, surge_w=0.5, ac_charge_w=None,
    charge_min_c=26,
)  # fmt: skip
_SECOND = but(
    TINY_UNIT, name="Second", storage_wh=19.5, pack_wh=0.5, packs_max=8, packs=1, inverter_efficiency=0.9, dc_efficiency=0.7,
    usable_share=0.8, ac_charge_efficiency=0.6, charge_min_c=20, continuous_w=2.9, ac_charge_w=1.3,
)  # fmt: skip
_PV = but(
    TINY_UNIT, pv_inputs=2, pv_min_v=5.0, pv_max_v=12.9, pv_max_isc_a=1.4, pv_max_a=0.9, pv_input_w=1.9, pv_total_w=3.9
)
_GREAT = but(
    WIRED_UNIT, storage_wh=180_000.0, continuous_w=9000, surge_w=20_000, pv_input_w=None, pv_total_w=None, pv_max_a=60.0,
    pv_max_isc_a=90.0, pv_max_v=400.0,
)  # fmt: skip
_MANY = but(
    TINY, array=but(TINY.array, modules=13, isc_a=0.47), months=(Month(peak_sun_hours=6),) * 12, outage=Outage(days=1, starts_at=6),
    loads=TINY.loads[:2],
)  # fmt: skip
_SILENT = Candidate(name="Silent")
_PORTS = but(
    TINY_UNIT, ac_volts_2=240, volts_at_once="both", dc_w=5.0, usb_w=1.0, dc_12v_w=1.0, dc_24v_w=1.0, dc_48v_w=1.0, transfer_ms=0.3,
    storage_wh=200.0,
)  # fmt: skip

EDGES: dict[str, Case] = {
    **{f"loads that take turns, {seed}": taking_turns(seed, AC_FEEDS) for seed in (9, 13)},
    "DC loads that take turns": but(
        taking_turns(12, DC_FEEDS),
        loads=(*taking_turns(12, DC_FEEDS).loads, Load(running_w=1, feed="100 V"), Load(running_w=1, feed="230 V")),
    ),
    "one load at either voltage": Case(
        loads=(Load(name="Low", running_w=1, hours_per_day=24), Load(name="High", running_w=1, feed="240 V")),
        candidates=(Candidate(name="Both", ac_volts=120, ac_volts_2=240),),
        outage=Outage(days=1),
    ),
    "two silent sheets": but(
        WIRED,
        candidates=(_SILENT, Candidate(name="Mute")),
        sizing=Sizing(basis="days without recharging", storage_c=-15),
        money=Money(labour_price=0.5),
        vehicle=Vehicle(distance=3),
        outage=Outage(days=1, starts_at=6),
    ),
    "two silent on their legs": but(
        WIRED,
        candidates=tuple(
            Candidate(name=n, ac_volts=120, ac_volts_2=240, volts_at_once="both", packs=1, pack_wh=1)
            for n in ("Silent", "Mute")
        ),
        sizing=Sizing(storage_c=-15),
        outage=Outage(days=1, starts_at=6),
    ),
    "drops of power": but(
        TINY,
        loads=_DROPS,
        candidates=(
            but(
                TINY_UNIT,
                usb_w=0.06,
                dc_12v_w=0.2,
                dc_24v_w=0.1,
                dc_48v_w=0.3,
                dc_w=0.9,
                transfer_ms=0.75,
                continuous_w=0.63,
                surge_w=0.8,
                ac_volts_2=240,
                volts_at_once="by switch",
            ),
            but(
                TINY_UNIT,
                name="Bare",
                usb_w=0.0,
                dc_12v_w=0.0,
                dc_24v_w=0.0,
                dc_48v_w=0.0,
                dc_w=0.0,
                transfer_ms=0.0,
                leg_w=0.2,
                continuous_va=0.5,
                ac_volts_2=240,
                volts_at_once="both",
            ),
            Candidate(name="Enough", storage_wh=3, ac_volts_2=240, usb_w=0.5, dc_12v_w=0.9, dc_24v_w=0.5, dc_48v_w=1.0),
        ),
        outage=Outage(days=1, starts_at=20, sky=0.1),
        vehicle=Vehicle(distance=0.004, consumption=18, charger_v=100, charger_a=1),
    ),
    "short of one thing each": but(
        TINY,
        loads=(
            *_DROPS[:3],
            *_DROPS[4:8],
            Load(name="Night and day", running_w=0.036, hours_per_day=24, starts_at=23.5),
        ),
        candidates=(
            but(_PORTS, name="24 V", dc_24v_w=0.1),
            but(_PORTS, name="48 V", dc_48v_w=0.1),
            but(_PORTS, name="Storage", storage_wh=5.0),
            but(_PORTS, name="Voltages", volts_at_once=None),
            _SILENT,
        ),
        sizing=but(TINY.sizing, basis="days without recharging"),
        outage=Outage(days=1, starts_at=20),
    ),
    "sun before need": but(
        TINY,
        array=but(TINY.array, modules=9),
        months=(Month(peak_sun_hours=5.5),) * 12,
        candidates=(
            but(TINY_UNIT, storage_wh=3.2),
            but(TINY_UNIT, name="Lower", storage_wh=1.4, pv_max_a=0.05, pack_wh=None, idle_w=0.01),
        ),
        outage=Outage(days=2, starts_at=9, start_share=0.35, without="Glow", generator_from=9, generator_hours=12),
        sizing=but(TINY.sizing, reserve=0.3),
        money=Money(accessories_price=0.5),
    ),
    "sun before need, start below reserve": but(
        TINY,
        array=but(TINY.array, modules=9),
        months=(Month(peak_sun_hours=5.5),) * 12,
        candidates=(
            but(TINY_UNIT, storage_wh=3.2, pack_wh=0.5),
            but(TINY_UNIT, name="Lower", storage_wh=1.4, pv_max_a=0.05, pack_wh=None, idle_w=0.01),
            but(_SILENT, continuous_w=9, surge_w=9, price=5, pack_wh=0.5, packs_max=4, packs=2),
        ),
        outage=Outage(
            days=1,
            starts_at=9,
            start_share=0.15,
            without="Pip",
            promise="all loads",
            generator_hours=1.5,
            generator_from=9,
            packs=2,
            candidate="Tiny",
        ),
        vehicle=Vehicle(distance=0.002, consumption=18, charger_v=100, charger_a=1),
        sizing=but(TINY.sizing, reserve=0.3),
    ),
    "nine candidates": but(
        TINY,
        about=About(client="Somebody"),
        loads=(
            Load(running_w=0.2, hours_per_day=0.5),
            *TINY.loads,
            *(Load(name=f"No. {n}", tier="critical", running_w=0.01 * n, hours_per_day=2 * n + 2) for n in range(1, 6)),
        ),
        candidates=tuple(
            but(
                TINY_UNIT,
                name=f"Unit {n}",
                storage_wh=0.7 * n,
                price=11.0 - n,
                weight_kg=n / 10,
                pack_wh=None if n % 3 else 0.4,
            )
            for n in range(1, 10)
        ),
        outage=Outage(
            days=1, starts_at=22, generator_from=3.9933, generator_hours=4, mains_from=6.9933, mains_hours=0.8
        ),
        money=Money(accessories_price=0.5),
    ),
    "the nearest is the second": but(
        TINY,
        candidates=(_WORST, _SECOND),
        loads=(*TINY.loads, Load(name="Drip", running_w=0.06, hours_per_day=24, feed="12 V DC")),
        array=Array(),
        outage=Outage(days=1, starts_at=16, promise="all loads", without="Drip"),
    ),
    "nearer by a pack": but(
        TINY,
        candidates=(but(_SECOND, storage_wh=19.2, continuous_w=9.0),),
        array=Array(),
        recharge=Recharge(),
        outage=Outage(days=1, starts_at=16, promise="all loads", drop_essential_at=0.123),
    ),
    "the device spoils it": but(
        TINY,
        candidates=(_WORST, but(_SECOND, storage_wh=17.8, surge_w=9.0, continuous_w=9.0)),
        outage=Outage(days=1, starts_at=16, promise="all loads", drop_convenience_at=0.987, drop_essential_at=0.983),
    ),
    "mains all day": but(
        TINY,
        loads=(Load(running_w=0.2, hours_per_day=0.5, feed="USB"), *TINY.loads),
        outage=Outage(days=4, starts_at=3, mains_from=0, mains_hours=24, generator_from=6.4083, generator_hours=24),
        money=Money(tax_share=0.5),
    ),
    "until midnight": but(
        TINY,
        loads=(
            *TINY.loads,
            Load(name="Night", tier="critical", running_w=8, hours_per_day=3, starts_at=0),
            Load(name="Night too", running_w=0.5, hours_per_day=3, starts_at=23),
        ),
        candidates=(
            but(TINY_UNIT, continuous_w=9.0, surge_w=9.0, packs=0),
            but(TINY_UNIT, name="Other", continuous_w=9.0, surge_w=9.0, price=1.0, pack_price=0.1),
        ),
        outage=Outage(
            days=2,
            starts_at=23,
            start_share=0.85,
            drop_convenience_at=0.9,
            drop_essential_at=0.3,
            mains_from=6.9867,
            mains_hours=1.0066,
        ),
    ),
    "a great house": Case(
        loads=(
            Load(name="House", running_w=3000, hours_per_day=24),
            Load(name="Meter", running_w=100, hours_per_day=23.5, measured_wh_per_day=500),
        ),
        candidates=(
            _GREAT,
            but(_GREAT, name="Other", continuous_w=5760.4, pack_wh=None, weight_kg=46.0),
            but(_GREAT, name="Astray", ac_volts=None, ac_volts_2=None, continuous_w=5760.4),
            but(_GREAT, name="Silent", storage_wh=None),
            but(_GREAT, name="Unsaid", continuous_w=None),
            but(_GREAT, name="Weak", continuous_w=1000.0),
            but(_GREAT, name="Weak and silent", storage_wh=None, continuous_w=1000.0),
        ),
        array=Array(modules=40, power_w=400, voc_v=37, vmp_v=31, isc_a=13.7, imp_a=12.9, voc_tempco=-0.0027),
        sun=Sun(latitude_deg=45, month=2, coldest_c=-25),
        vehicle=Vehicle(distance=100, consumption=18, charger_v=240, charger_a=24),
        deliveries=(
            Delivery(energy_wh=9000),
            Delivery(name="Long", energy_wh=25200, power_w=7200),
            Delivery(name="Longer", energy_wh=25200, power_w=8000),
        ),
        recharge=Recharge(outlet_a=1),
        outage=Outage(days=1, repeats="yes", sky=0, mains_from=5, mains_hours=0.8),
        months=(Month(peak_sun_hours=5),) * 12,
    ),
    "many layouts": but(
        _MANY, candidates=(_PV, but(_PV, name="No limit", pv_max_v=None)), money=Money(labour_price=0.5)
    ),
    "many layouts, turned about": but(
        _MANY,
        candidates=(
            but(_PV, pv_max_v=None, weight_kg=1.6),
            but(_PV, name="Three", pv_inputs=3, pv_input_w=None, pv_max_a=0.75, pv_total_w=4.4),
            but(_PV, name="Neither one nor two", pv_min_v=3.4, pv_max_v=7.0),
        ),
    ),
    "many layouts, cut by current": but(
        _MANY,
        # Two in series stand at the lowest voltage exactly.
        candidates=(but(_PV, pv_input_w=None, pv_total_w=None, pv_min_v=5.3344, pv_max_a=0.3, pv_max_isc_a=2.4),),
    ),
    "a hundredth of a watt": but(
        TINY,
        loads=(
            Load(name="One", tier="critical", running_w=0.01, hours_per_day=24),
            Load(name="Two", running_w=0.008, hours_per_day=24),
            Load(name="Three", running_w=0.011, hours_per_day=24, tier="convenience"),
        ),
        candidates=(
            but(TINY_UNIT, storage_wh=0.9, idle_w=0.0, pack_wh=0.2, packs=0),
            but(TINY_UNIT, name="Less", storage_wh=0.4, idle_w=0.0, pack_wh=0.6),
            but(_SILENT, ac_volts=120, ac_volts_2=240, volts_at_once="both"),
        ),
        array=but(TINY.array, modules=1, power_w=1),
        months=(Month(peak_sun_hours=1.2),) * 12,
        sizing=but(TINY.sizing, reserve=0.3, basis="days without recharging"),
        outage=Outage(days=1, starts_at=9, start_share=0.35, without="Three", promise="all loads", candidate="Tiny"),
        assumed=Assumed(idle_w=0),
    ),
    "two that fit, with gaps": but(
        TINY,
        array=Array(),
        candidates=tuple(
            but(TINY_UNIT, name=f"{wh} Wh", storage_wh=wh, price=wh / 4, packs=1, pack_price=None)
            for wh in (14.0, 18.0)
        ),
        outage=Outage(days=2, promise="critical", starts_at=15),
    ),
    "a pack more lasts to midnight": but(
        TINY,
        array=Array(),
        candidates=(but(TINY_UNIT, storage_wh=5.6, packs=0),),
        outage=Outage(days=2, promise="critical", starts_at=15),
        recharge=Recharge(generator_w=0),
    ),
    "a device that drops at nothing": but(
        TINY,
        loads=(
            Load(name="One", tier="critical", running_w=0.001, hours_per_day=24),
            Load(name="Two", running_w=0.036, hours_per_day=24),
            Load(name="Three", running_w=0.011, hours_per_day=24, tier="convenience"),
        ),
        candidates=(
            but(TINY_UNIT, storage_wh=0.2, idle_w=0.0, pack_wh=None),
            but(TINY_UNIT, name="Less", storage_wh=0.15, idle_w=0.0, pack_wh=None, pv_max_a=0.01),
        ),
        months=(Month(peak_sun_hours=0.5),) * 12,
        sizing=but(TINY.sizing, reserve=0.3),
        outage=Outage(days=2, starts_at=9, start_share=0.32, drop_convenience_at=0, drop_essential_at=0),
    ),
    "by days, though the start is below the reserve": but(
        TINY,
        loads=(Load(name="Two", running_w=0.008, hours_per_day=24),),
        candidates=(but(TINY_UNIT, storage_wh=9.0),),
        sizing=but(TINY.sizing, reserve=0.3, basis="days without recharging"),
        outage=Outage(days=1, starts_at=9, start_share=0.25),
    ),
    "a comfort alone": but(
        TINY,
        loads=(Load(name="Toy", tier="convenience", running_w=0.6, hours_per_day=24),),
        candidates=(but(TINY_UNIT, storage_wh=0.3, pack_wh=None),),
        array=Array(),
        outage=Outage(days=1),
    ),
    "nothing is left in the cold": but(
        TINY,
        sizing=but(TINY.sizing, storage_c=-10),
        points=(Point(temperature_c=0, capacity_share=0), Point(temperature_c=50, capacity_share=0)),
        outage=Outage(days=1),
        vehicle=Vehicle(distance=0.004, consumption=18, charger_v=100, charger_a=1),
    ),
    "a clear winter": Case(
        loads=(Load(name="Lamp", running_w=4, hours_per_day=5),),
        sun=Sun(resource="clearness index", latitude_deg=61, month=12, coldest_c=-30),
        months=(Month(clearness=0.86),) * 12,
        array=Array(modules=1),
        outage=Outage(days=1),
    ),
    "the day repeats and runs down": but(
        TINY,
        array=Array(),
        candidates=(but(TINY_UNIT, storage_wh=40.0, price=3.0047),),
        outage=Outage(days=1, starts_at=15, repeats="yes"),
        vehicle=Vehicle(distance=0.14, distance_margin=0.3, consumption=18, charger_v=100, charger_a=1),
    ),
    "a burner and a bilge pump": but(
        TINY,
        about=About(purpose="day away"),
        sizing=but(TINY.sizing, feed="120 V"),
        loads=(
            Load(name="Oil burner", running_w=1, hours_per_day=2),
            Load(name="Bilge", running_w=1, hours_per_day=2, feed="12 V DC"),
            Load(name="Freezer", running_w=1, hours_per_day=2, feed="12 V DC"),
            Load(name="Kettle", running_w=1, hours_per_day=2, on="no"),
        ),
    ),
    "a trip at 10 °C": but(
        TINY,
        about=About(purpose="trip"),
        sizing=but(TINY.sizing, storage_c=10.0),
        vehicle=Vehicle(),
        array=Array(),
        recharge=but(TINY.recharge, generator_w=0.9),
        outage=Outage(days=1, generator_hours=0.9),
    ),
    "a trip at 9 °C": but(
        TINY,
        about=About(purpose="trip"),
        sizing=but(TINY.sizing, storage_c=9.0),
        vehicle=Vehicle(),
        outage=Outage(days=2),
    ),
    "off the grid at 35 °C": but(
        TINY,
        about=About(purpose="off grid"),
        sizing=but(TINY.sizing, storage_c=35.0, feed="230 V"),
        loads=(
            Load(name="Fountain", running_w=9000, hours_per_day=2),
            Load(name="Kettle", running_w=1, hours_per_day=2),
        ),
        vehicle=Vehicle(),
        array=Array(modules=1),
    ),
    "off the grid, strings wait for a limit": but(
        TINY,
        about=About(purpose="off grid"),
        loads=(
            Load(name="Beep", tier="critical", running_w=0.12, hours_per_day=24, gap_ms=0.3),
            Load(name="Glow", running_w=0.5, hours_per_day=4, gap_ms=0.2),
        ),
        candidates=(
            but(TINY_UNIT, name="Stated", pv_max_v=6, pv_max_isc_a=2, pv_input_w=0.5, transfer_ms=None),
            but(TINY_UNIT, name="Open", pv_max_v=6, pv_max_a=0.5),
            but(TINY_UNIT, name="Just enough", pv_max_v=6, pv_max_a=0.8),
            but(TINY_UNIT, name="Room for one", pv_max_v=6, pv_max_a=0.5, pv_inputs=3),
            but(TINY_UNIT, name="No limit", pv_max_v=6, pv_max_a=None),
            but(TINY_UNIT, name="No input", pv_inputs=None),
        ),
        array=but(TINY.array, modules=3),
        recharge=but(TINY.recharge, generator_w=2),
        outage=Outage(days=1),
    ),
    "off the grid, a generator by the hour": but(
        TINY,
        about=About(purpose="off grid"),
        loads=(Load(name="Beep", tier="critical", running_w=0.12, hours_per_day=24, gap_ms=0.3),),
        candidates=(but(TINY_UNIT, pv_max_v=1),),
        sun=Sun(month=1, coldest_c=0),
        recharge=but(TINY.recharge, generator_w=0.9),
        outage=Outage(days=1, generator_hours=0.9),
    ),
    "a day away, an outlet by night": but(
        TINY,
        about=About(purpose="day away"),
        loads=(Load(name="Beep", running_w=0.12, hours_per_day=24, gap_ms=0.3),),
        array=Array(),
        recharge=Recharge(),
        outage=Outage(days=1, generator_hours=2, mains_hours=0.5, repeats="yes"),
        money=Money(accessories_price=0.5, labour_price=0.5),
    ),
    "a drive of less than a kilometre, no candidate": Case(vehicle=Vehicle(distance=0.9)),
    "two sheets leave as much open as is told elsewhere": but(
        TINY,
        loads=(Load(name="Beep", tier="critical", running_w=0.12, hours_per_day=24, gap_ms=0.3),),
        candidates=tuple(
            but(TINY_UNIT, name=name, continuous_w=None, surge_w=9, transfer_ms=None) for name in ("One", "Two")
        ),
        array=Array(),
        outage=Outage(days=1),
    ),
    "two days away at 34 °C, a string waits": but(
        TINY,
        about=About(purpose="day away"),
        sizing=but(TINY.sizing, storage_c=34.0),
        candidates=(but(TINY_UNIT, pv_max_v=6, pv_max_a=0.5),),
        array=but(TINY.array, modules=3),
        outage=Outage(days=2),
    ),
}
