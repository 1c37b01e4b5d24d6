"""Small cases by hand, each for slips of the pen that no other case notices; what they are for stands beside them."""

from engines.plans import TINY, TINY_UNIT, but
from holdover.case.measure import Units
from holdover.case.schema import (
    About,
    Array,
    Candidate,
    Case,
    Day,
    Load,
    Money,
    Outage,
    Recharge,
    Sizing,
    Sun,
    Tier,
    Vehicle,
)

_BARE = but(TINY, array=Array(), recharge=Recharge())
"""No module, no source: storage alone."""
_BEEP = Load(name="Beep", tier="critical", running_w=0.1, hours_per_day=24)
_HUM = Load(name="Hum", running_w=0.1, hours_per_day=24)
_ALONE: Candidate = but(TINY_UNIT, pack_wh=None, packs_max=None)
_WARM = Sizing(storage_c=25, age_share=1, reserve=0.05)


def _at(name: str, running_w: float, hours: float, starts_at: float, tier: Tier = "essential") -> Load:
    return Load(name=name, tier=tier, running_w=running_w, hours_per_day=hours, starts_at=starts_at)


def _late(tier: Tier) -> Case:
    """A load of an hour asks more than storage has room for; before it a source fills, and lists ask in the night."""
    unit: Candidate = but(TINY_UNIT, ac_charge_w=3, bypass_w=0)
    case: Case = but(
        _BARE,
        loads=(_at("Late", 3.2, 1, 12, tier), _at("Hum", 0.1, 5, 0), _at("Toy", 0.1, 5, 0, "convenience")),
        candidates=(unit, but(unit, name="Tinier", storage_wh=4.2)),
        recharge=Recharge(outlet_v=100, outlet_a=0.1),
        outage=Outage(
            days=1,
            starts_at=0,
            reading_1=3,
            reading_2=3,
            reading_3=6,
            reading_4=6,
            mains_from=5,
            mains_hours=7,
            packs=0,
        ),
    )
    return case


_FULL: Candidate = but(_ALONE, name="Full", storage_wh=20.0, price=30.0, surge_w=50.0)


def _beside(cheaper: Candidate, units: Units = "metric") -> Case:
    """A candidate that leaves nothing open, one that costs less and comes after it all the same, just within the budget, and
    one that costs and weighs less than half a unit more.
    """
    case: Case = but(
        _BARE,
        about=About(units=units),
        loads=(but(_HUM, starting_w=1.5),),
        candidates=(_FULL, but(cheaper, price=20.0, weight_kg=1.2), but(_FULL, name="Twin", price=30.4, weight_kg=1.0)),
        sizing=_WARM,
        money=Money(budget=20.0),
        outage=Outage(days=1, starts_at=0, packs=0),
    )
    return case


_DRIVEN: Candidate = but(_ALONE, storage_wh=12.0, continuous_w=120.5, surge_w=200.0)

SLIPS: dict[str, Case] = {
    # Less than a watt-hour is missing, and one pack, an hour, or the card alone would help one of several shortages.
    "a pack would do": but(
        TINY,
        loads=(_BEEP,),
        candidates=(but(TINY_UNIT, storage_wh=5.08, ac_volts=240, pv_max_v=3),),
        money=Money(budget=2.0),
        recharge=Recharge(),
        sizing=but(_WARM, storage_c=-3),
        sun=Sun(month=1, coldest_c=0),
        outage=Outage(days=1, starts_at=0, packs=0, sky=0),
    ),
    "an hour would do": but(
        _BARE,
        loads=(_BEEP,),
        candidates=(but(_ALONE, storage_wh=4.4, ac_volts=240),),
        recharge=Recharge(generator_w=2),
        outage=Outage(days=1, starts_at=0, packs=0),
    ),
    "the card would do": but(
        _BARE,
        loads=(_HUM,),
        candidates=(but(_ALONE, storage_wh=12.0, ac_volts=240),),
        outage=Outage(days=1, starts_at=0, drop_essential_at=0.9),
    ),
    # Price alone would put another first: one whose start is open, one without the margin.
    "an open one costs less": _beside(but(_FULL, name="Open", surge_w=None, continuous_w=1.0), "US"),
    "a scant one costs less": _beside(but(_FULL, name="Scant", storage_wh=4.5)),
    # The budget just pays the first of some packs, or none of them, or who is nearest of those within it; names are long.
    "a pack may follow": but(
        _BARE,
        loads=(_BEEP, _HUM),
        candidates=(but(TINY_UNIT, storage_wh=5.0, price=30.0, pack_price=7.5, weight_kg=None),),
        money=Money(budget=37.5),
        outage=Outage(days=1, starts_at=0),
    ),
    "packs may follow": but(
        _BARE,
        loads=(_BEEP, _HUM),
        candidates=(but(TINY_UNIT, storage_wh=5.2, price=30.0, pack_price=0.7), but(_ALONE, name="Bare", price=None)),
        money=Money(budget=30.5, rank_by="weight"),
        outage=Outage(days=1, starts_at=0),
    ),
    "a budget for less": but(
        _BARE,
        loads=(
            _BEEP,
            but(_HUM, name="A lamp of which the name is longer than a line"),
            but(_HUM, name="A lamp of which the place is too long", place="Pantry 7"),
        ),
        candidates=(
            but(_ALONE, storage_wh=2.0, price=3.0),
            but(_ALONE, name="Near", storage_wh=4.0, price=4.4),
            but(_ALONE, name="Far", storage_wh=1.0, price=2.0),
            but(_FULL, name="Full, and of a long name", weight_kg=None),
        ),
        money=Money(budget=4.4, tax_share=0),
        outage=Outage(days=1, starts_at=0),
    ),
    # Two packs make up for what is missing; they age, and a share of them is usable.
    "packs would do": but(
        _BARE,
        loads=(_BEEP, _HUM, Load(name="Glow", running_w=0.09, hours_per_day=24)),
        candidates=(but(TINY_UNIT, usable_share=0.9, storage_wh=8.6),),
        sizing=but(_WARM, age_share=0.95),
        recharge=Recharge(generator_w=0.6),
        outage=Outage(days=1, starts_at=0, packs=0),
    ),
    # One load left out helps storage, another output; one that is off at the peak helps no output.
    "two shortages": but(
        _BARE,
        loads=(_at("Four", 4, 10, 1), _at("Five", 5, 2, 1), _at("Three", 3, 20, 1), _at("Two", 2, 1, 12)),
        candidates=(but(_ALONE, storage_wh=148.0, continuous_w=13.0, surge_w=90.0),),
        sizing=but(_WARM, energy_margin=0),
        outage=Outage(days=1, starts_at=0),
    ),
    "critical loads are lost later": _late("critical"),
    "essential loads are lost later": _late("essential"),
    # At the start less is there than all ask, and more than that with what lies below the reserve.
    "low at the start": but(
        _BARE,
        loads=(
            Load(name="Beep", tier="critical", running_w=0.05, hours_per_day=24),
            Load(name="Toy", tier="convenience", running_w=0.25, hours_per_day=24),
        ),
        candidates=(TINY_UNIT, but(TINY_UNIT, name="Tinier", storage_wh=6.0)),
        sizing=_WARM,
        outage=Outage(days=1, starts_at=0, start_share=0.1, drop_convenience_at=0.02, drop_essential_at=0.01, packs=0),
    ),
    "low at the start, then filled": but(
        _BARE,
        loads=(_at("Beep", 0.3, 1, 0, "critical"), _at("Hum", 0.5, 4, 12)),
        candidates=(TINY_UNIT, but(_ALONE, name="Tinier", storage_wh=3.0)),
        sizing=but(_WARM, inverter="only with AC loads"),
        recharge=Recharge(generator_w=2),
        outage=Outage(days=1, starts_at=0, start_share=0.15, generator_from=2, generator_hours=6),
    ),
    # A day ends with less than it began with; accessories are all that comes on the price.
    "runs down": but(
        _BARE,
        loads=(_BEEP, _at("Counter", 0.3, 8, 8)),
        candidates=(but(TINY_UNIT, storage_wh=12.0, ac_charge_w=0.3, bypass_w=0),),
        recharge=Recharge(outlet_v=100, outlet_a=0.1),
        money=Money(accessories_price=0.4),
        outage=Outage(days=2, starts_at=6, repeats="yes", mains_from=22, mains_hours=8, packs=0),
    ),
    # The sun never sets, and two inputs share what they take; labour is all that comes on the price, which the pick does
    # not state; the budget is just kept.
    "midnight sun": but(
        TINY,
        loads=(_BEEP,),
        candidates=(
            but(_ALONE, storage_wh=12.0, price=None, pv_inputs=2, pv_total_w=0.1),
            but(_ALONE, name="Other", storage_wh=12.0, weight_kg=2.0),
        ),
        sun=Sun(latitude_deg=72, month=6, coldest_c=0),
        money=Money(labour_price=0.7, budget=4.2, rank_by="weight"),
        outage=Outage(days=1, starts_at=3, month=6),
    ),
    # Loads are off, or break, at midnight.
    "all are off": but(
        _BARE,
        loads=(_HUM, Load(name="Toy", tier="convenience", running_w=0.6, hours_per_day=24)),
        candidates=(but(_ALONE, storage_wh=0.01),),
        outage=Outage(days=1),
    ),
    "two are off": but(
        _BARE,
        loads=(_at("Beep", 0.3, 1, 0, "critical"), _at("Hum", 0.3, 1, 0), _at("Toy", 0.3, 1, 12, "convenience")),
        candidates=(but(_ALONE, storage_wh=0.01),),
        sizing=Sizing(inverter="only with AC loads"),
        recharge=Recharge(outlet_v=100, outlet_a=0.1),
        outage=Outage(days=1, starts_at=0, reading_1=1, mains_from=11, mains_hours=3),
    ),
    "off at midnight": but(
        _BARE,
        loads=(Load(name="Toy", tier="convenience", running_w=0.3, hours_per_day=24),),
        candidates=(but(TINY_UNIT, packs_max=9, storage_wh=2.42), but(TINY_UNIT, name="Tinier")),
        recharge=Recharge(generator_w=2),
        outage=Outage(days=1, starts_at=16, promise="all loads", packs=0, generator_from=17, candidate="Tiny"),
    ),
    # The sun carries a list on the first day; on the second, which is dark, it is off.
    "off on the second day": but(
        TINY,
        loads=(
            Load(name="Beep", tier="critical", running_w=0.02, hours_per_day=24),
            _at("Toy", 0.9, 6, 9, "convenience"),
        ),
        candidates=(TINY_UNIT,),
        recharge=Recharge(),
        days=(Day(sky=1.4), Day(sky=0)),
        outage=Outage(days=2, starts_at=0, packs=0, reading_1=3, reading_2=6, reading_3=9, reading_4=15),
    ),
    # Of DC loads that take turns one counts by its watts, the other by what is needed of it. Beside them runs what is on
    # until past noon of the next day.
    "turns at DC sockets": but(
        _BARE,
        loads=(
            Load(name="A", running_w=0.5, hours_per_day=1, starts_at=4, feed="48 V DC", turns="x"),
            Load(name="B", running_w=0.45, starting_w=0.9, hours_per_day=24, feed="48 V DC", turns="x"),
            Load(name="C", running_w=0.6, starting_w=2.6, hours_per_day=1, starts_at=9, feed="12 V DC", turns="y"),
            Load(name="D", running_w=0.55, hours_per_day=24, feed="12 V DC", turns="y"),
            _at("Till noon", 0.1, 23, 14),
        ),
        candidates=(TINY_UNIT,),
        outage=Outage(days=1),
    ),
    # Loads and drive leave less than a watt-hour; the charger is held by half a watt; weight is not stated; a source trips.
    "a short drive": but(
        _BARE,
        loads=(_BEEP,),
        candidates=(
            but(_DRIVEN, weight_kg=None),
            but(_DRIVEN, name="Other volts", ac_volts=240),
            but(_DRIVEN, name="Small", storage_wh=3.0, continuous_w=60.0),
            but(_DRIVEN, name="Dear", price=9.0),
            but(_DRIVEN, name="Weak", continuous_w=60.4),
        ),
        recharge=Recharge(generator_w=0.07),
        vehicle=Vehicle(distance=0.0172, distance_unit="km", consumption=20, charger_v=120, charger_a=1),
        outage=Outage(days=1, generator_hours=2),
    ),
    # A charger trips what the loads alone would not; its lowest setting is larger than what is too much.
    "a charger that trips": but(
        _BARE,
        candidates=(
            but(TINY_UNIT, ac_charge_w=9, ac_charge_min_w=3.2),
            but(TINY_UNIT, name="Any setting", ac_charge_w=9, ac_charge_min_w=None),
        ),
        recharge=Recharge(generator_w=4),
        outage=Outage(days=1, generator_hours=3),
    ),
    # It breaks before the sun comes, and after an outlet that a charger of unknown power would use.
    "the sun is too late": but(
        TINY,
        loads=(_at("Glow", 1.2, 6, 18),),
        candidates=(
            but(_ALONE, ac_charge_w=None, ac_charge_min_w=None, pv_inputs=None),
            but(_ALONE, name="No outlet", ac_charge_w=0, ac_charge_min_w=None, pv_inputs=None),
        ),
        recharge=Recharge(outlet_v=100, outlet_a=0.1),
        outage=Outage(days=2, starts_at=18, mains_from=19, mains_hours=1, packs=0),
    ),
    # Two loads that are enough, and what heats last of them, in output and in storage; they need but run in turns.
    # All that is not stated might just keep the promise: less than a watt-hour is left; the sun rises past midnight.
    "it may just be kept": but(
        TINY,
        loads=(Load(name="Glow", running_w=0.1, hours_per_day=24),),
        candidates=(
            but(_ALONE, storage_wh=3.0, ac_charge_w=None, ac_charge_min_w=None, pv_inputs=None),
            but(_ALONE, name="No sun", storage_wh=4.1, ac_charge_w=None, ac_charge_min_w=None, pv_inputs=0),
        ),
        recharge=Recharge(generator_w=0.2),
        outage=Outage(days=1, starts_at=2, generator_from=3, generator_hours=1, sky=0.3),
    ),
    # Somebody's health depends on the load that would be the least to leave out.
    "what breathes is kept": but(
        _BARE,
        loads=(
            Load(name="CPAP", running_w=1.6, hours_per_day=9, starts_at=20),
            Load(name="Lamp", running_w=1.7, hours_per_day=9, starts_at=20),
            Load(name="Fan", running_w=2.6, hours_per_day=9, starts_at=20),
        ),
        candidates=(but(_ALONE, storage_wh=60.0, continuous_w=5.5, surge_w=9),),
        outage=Outage(days=1, promise="all loads"),
    ),
    "heating is spared": but(
        _BARE,
        loads=(
            _at("Furnace", 2.1, 3, 18),
            _at("Mill", 2.4, 3, 18),
            _at("Lamp", 0.2, 3, 18),
            _at("Boiler", 0.3, 3, 18, "convenience"),
            _BEEP,
        ),
        candidates=(but(_ALONE, storage_wh=12.0),),
        outage=Outage(days=1, starts_at=15),
    ),
    "heating is spared of storage, too": but(
        _BARE,
        loads=(_at("Circulator", 0.8, 6, 18), _at("Mill", 0.7, 8, 18), _at("Lamp", 0.2, 3, 18)),
        candidates=(but(_ALONE, storage_wh=12.0),),
        outage=Outage(days=1, starts_at=15),
    ),
    "heating alone is enough": but(
        _BARE,
        loads=(_at("Heat pump", 1.8, 6, 18), _at("Mill", 0.1, 8, 18), _at("Lamp", 2.3, 0.5, 18)),
        candidates=(but(_ALONE, storage_wh=12.0),),
        outage=Outage(days=1, starts_at=15),
    ),
    # Storage would last from each window to the next, if somebody said how much it charges; the outlet is out of use.
    "charging that nobody stated": but(
        _BARE,
        loads=(_at("Glow", 1.2, 8, 0),),
        candidates=(but(_ALONE, storage_wh=17.0, ac_charge_w=None, ac_charge_min_w=None),),
        recharge=Recharge(generator_w=4),
        outage=Outage(days=2, starts_at=0, generator_from=12, generator_hours=3, packs=0),
    ),
    # Two fit and no weight is stated; of three starts in an hour one is larger and two are alike; two loads of one name are left out.
    "weights that nobody stated": but(
        _BARE,
        loads=(
            Load(name="Saw", running_w=0.1, starting_w=2.1, hours_per_day=24),
            Load(name="Mill", running_w=0.1, starting_w=1.1, hours_per_day=24),
            Load(name="Pump", running_w=0.1, starting_w=1.1, hours_per_day=24),
            _BEEP,
            _at("Toy", 0.1, 2, 9),
            _at("toy", 0.1, 2, 9),
        ),
        candidates=(but(_FULL, weight_kg=None), but(_FULL, name="Dear", price=40.0, weight_kg=None)),
        money=Money(rank_by="weight", budget=30.5),
        outage=Outage(days=1, leave_out="Toy"),
    ),
    # What silent data sheets could bring at best decides, by night, between the windows, and in the end.
    "no answer on the inputs would do": but(
        TINY,
        candidates=(
            but(TINY_UNIT, pv_inputs=None, pack_wh=None, ac_charge_w=None),
            but(TINY_UNIT, name="Long", pv_inputs=None, storage_wh=9.5, pack_wh=None, ac_charge_w=None, idle_w=0.11),
            but(TINY_UNIT, name="One string", pv_max_v=5, pv_max_a=0.5, pack_wh=None),
        ),
        outage=Outage(days=1, starts_at=19, promise="all loads", generator_from=18.4, generator_hours=1.5, sky=0.37),
    ),
    # One pack is set and two would bring the vehicle there; the hours of a generator are planned, but not its watts.
    "a pack more for the drive": Case(
        candidates=(
            Candidate(
                name="Unit", storage_wh=200, pack_wh=200, packs_max=2, continuous_w=1800, surge_w=3000, ac_volts=120
            ),
        ),
        vehicle=Vehicle(distance=0.9, distance_unit="mi", consumption=280, consumption_unit="Wh/mi"),
        outage=Outage(days=1, packs=1, generator_hours=1),
    ),
    # Of the two hours more that are tried the day has room for one, and that is enough.
    "an hour of the generator lacks": but(
        _BARE,
        loads=(_at("Glow", 2, 24, 0),),
        candidates=(but(_ALONE, storage_wh=1.0, ac_charge_w=3, bypass_w=4),),
        recharge=Recharge(generator_w=8),
        outage=Outage(days=1, starts_at=0, generator_from=0, generator_hours=23, packs=0),
    ),
}
"""Each number is near 1, so that a small fault decides something."""
