"""The card for the refrigerator door: its readings, its order of switching off, and what it says."""

from holdover.case.papers import Calls
from holdover.case.schema import About, Candidate, Case, Load, Outage, Recharge, Sizing, Vehicle
from holdover.model.pages.door_card import FOOD, OUTDOORS, ROADSIDE, ROOM, DoorCard, clock_time
from holdover.model.study import Slots, Study, study

UNIT = Candidate(name="Unit", storage_wh=4000, continuous_w=1800, surge_w=4000, price=1500)
LOADS = (
    Load(name="Breathing device", place="Bedroom", running_w=40, hours_per_day=8, tier="critical"),
    Load(name="Fridge", running_w=100, duty=0.5, hours_per_day=24),
    Load(name="Lamps", running_w=60, hours_per_day=5, starts_at=17),
    Load(name="Kettle", running_w=1500, hours_per_day=0.2, tier="convenience"),
    Load(name="TV", running_w=100, hours_per_day=4, starts_at=18, tier="convenience"),
    Load(name="Radio", running_w=75, hours_per_day=4, tier="convenience"),
    Load(name="In the shed", running_w=75, hours_per_day=4, tier="convenience", on="no"),
)


def worked(outage: Outage, *, loads: tuple[Load, ...] = LOADS, unit: Candidate = UNIT, **parts: object) -> Study:
    case = Case(loads=loads, candidates=(unit,), outage=outage)
    return study(case.model_copy(update=parts), Slots(loads=len(loads) + 2, candidates=2, days=4))


def card(outage: Outage, *, loads: tuple[Load, ...] = LOADS, unit: Candidate = UNIT, **parts: object) -> DoorCard:
    return worked(outage, loads=loads, unit=unit, **parts).door_card


def test_a_power_company_is_called_only_where_there_is_a_grid() -> None:
    """In an outage, or where an outlet is within reach; on a trip and off the grid nobody restores the power."""
    calls = Calls(emergency="112", power_company="555 0100")
    house = card(Outage(), calls=calls).calls
    assert house == ("Emergency: 112", "Installer: ", "Device maker: ", "Neighbour: ", "Power company: 555 0100")
    away = About(purpose="day away")
    assert card(Outage(), calls=calls, about=away).calls == (*house[:-1], "")
    assert card(Outage(mains_hours=8), calls=calls, about=away).calls == house


def test_the_charge_to_hold_is_that_of_the_outage() -> None:
    """Every reading of the outage stands on the card in its day and column, and nothing else does."""
    outage = Outage(days=3, starts_at=18)
    made = worked(outage)
    told = {
        (day, clock): (made.door_card.days[day].convenience[i], made.door_card.days[day].essential[i])
        for day in range(len(made.door_card.days))
        for i, clock in enumerate((6, 12, 18, 22))
    }
    assert made.door_card.heads == ("06:00", "12:00", "18:00", "22:00")
    for line in made.shown.carried.hold:
        shares = told.pop(divmod(18 + line.t, 24))
        expected = (line.convenience_share, line.essential_share)
        assert shares == tuple(one if isinstance(one, str) else round(100 * one) for one in expected)
    assert set(told.values()) == {("", "")}
    assert [day.number for day in made.door_card.days] == [1, 2, 3, 4, ""]


def test_a_card_of_a_unit_that_falls_short_says_so_at_its_head() -> None:
    """Nobody hangs up a plan that does not hold; one that fits bears its name alone."""
    strong = UNIT.model_copy(update={"continuous_w": 3000, "surge_w": 6000})
    assert card(Outage(days=1), unit=strong).who == "Unit"
    assert card(Outage(days=4)).who == "Unit: it falls short, so this is no plan to rely on"


def test_a_reading_that_is_repeated_has_no_column() -> None:
    """Read twice a day: two columns, in the order of the clock."""
    found = card(Outage(days=1, reading_1=20, reading_2=8, reading_3=20, reading_4=8))
    assert found.heads == ("08:00", "20:00", "", "")
    assert found.days[0].convenience[2:] == ("", "")


def test_the_largest_use_of_a_day_is_switched_off_first() -> None:
    """TV 400 Wh, kettle 300, radio 300: of equals the first one listed; what does not count is not on the card."""
    found = card(Outage(days=1))
    critical, essential, convenience = ([one.name for one in each if one.name] for each in found.lists)
    assert convenience == ["TV", "Kettle", "Radio"]
    assert essential == ["Fridge", "Lamps"]
    assert critical == ["Breathing device, Bedroom"]
    assert found.counts == (1, 2, 3)


def test_a_critical_load_that_bears_only_a_stated_gap_is_named_first_of_what_is_never_off() -> None:
    """Six critical loads, room for five: the device of least use stands first, for its gap is stated; the rest by use."""
    pumps = tuple(Load(name=f"Pump {n}", running_w=100 * n, hours_per_day=8, tier="critical") for n in range(1, 6))
    off = Load(name="Never used", running_w=50, hours_per_day=0, tier="critical", gap_ms=10)
    device = Load(name="Breathing device", running_w=40, hours_per_day=8, tier="critical", gap_ms=20)
    named = [one.name for one in card(Outage(days=1), loads=(*pumps, off, device)).lists[0]]
    assert named == ["Breathing device", "Pump 5", "Pump 4", "Pump 3", "and 2 more: see the Load sheet"]


def test_more_loads_than_there_are_lines_are_counted() -> None:
    """Eleven convenience loads on eight lines: seven by name, four told by their number."""
    many = tuple(Load(name=f"No. {i}", running_w=100 - i, hours_per_day=1, tier="convenience") for i in range(11))
    found = card(Outage(days=1), loads=many).lists[2]
    assert len(found) == ROOM["convenience"] == 8
    assert [one.name for one in found[-2:]] == ["No. 6", "and 4 more: see the Load sheet"]


def test_a_long_name_leaves_out_its_place_and_then_its_end() -> None:
    """44 letters have room on a line that is read from a metre away: place and name, else the name, else its beginning."""
    names = ("x" * 38, "y" * 39, "z" * 45)
    loads = tuple(Load(name=name, place="Pantry", running_w=9 - i, hours_per_day=1) for i, name in enumerate(names))
    told = [one.name for one in card(Outage(days=1), loads=loads).lists[1] if one.name]
    assert told == [f"{names[0]}, Pantry", names[1], "z" * 44]


def test_when_the_generator_runs_and_what_it_burns() -> None:
    """2 h a day of 1 kW for two days at half a litre a kWh: 2 l, and 0.5 US gallons."""
    outage = Outage(days=2, generator_from=17.5, generator_hours=2)
    unit = UNIT.model_copy(update={"ac_charge_w": 900.0})
    recharge = Recharge(generator_w=1000, fuel_l_per_kwh=0.5)
    made = worked(outage, unit=unit, recharge=recharge)
    assert made.door_card.generator == "Run it from 17:30 to 19:30 each day."
    burnt = made.shown.carried.generator_wh / 1000 * 0.5
    litres, gallons = f"{round(burnt, 1):g} l", f"{round(burnt / 3.785411784, 1):g} US gal"
    assert made.door_card.fuel == f"Fuel for 2 days: at least {litres} ({gallons})."
    american = worked(outage, unit=unit, recharge=recharge, about=About(units="US")).door_card
    assert american.fuel == f"Fuel for 2 days: at least {gallons} ({litres})."
    assert american.outdoors[0] == "Outdoors, 20 ft (6 m) from doors, windows."
    assert american.food[2] == "Over 40 °F (4 °C) for 2 h: discard."
    assert card(Outage(days=2)).generator == "None is planned. If you borrow one:"
    assert "no hours" in card(Outage(days=2), recharge=Recharge(generator_w=900)).generator
    assert card(Outage(generator_hours=24), recharge=Recharge(generator_w=900)).generator == "Run it all day."


def test_an_outlet_within_reach() -> None:
    """Overnight, all day, never."""
    assert card(Outage(mains_from=22, mains_hours=8)).outlet == "Plug the unit in from 22:00 to 06:00."
    assert card(Outage(mains_hours=24)).outlet == "Plug the unit in wherever an outlet works."
    assert card(Outage()).outlet == ""


def test_what_is_off_from_the_start() -> None:
    """A full unit leaves all on; one that is nearly empty leaves neither list on; a silent data sheet tells nothing."""
    large = UNIT.model_copy(update={"storage_wh": 9000})
    assert (
        card(Outage(days=1, starts_at=18), unit=large).start
        == "At 18:00, when the power goes, with 100 %: all may stay on."
    )
    low = card(Outage(days=1, starts_at=18, start_share=0.11)).start
    assert low == "At 18:00, when the power goes, with 11 %: list A and list B off."
    silent = card(Outage(days=1), unit=UNIT.model_copy(update={"storage_wh": None}))
    assert "not stated" in silent.start
    assert {share for day in silent.days for share in day.convenience} == {""}


def test_what_the_device_does_by_itself() -> None:
    """Shares that are set in it, for either list or for both."""
    assert card(Outage()).device == ""
    found = card(Outage(drop_convenience_at=0.4, drop_essential_at=0.155)).device
    assert found == "The unit itself switches off list A below 40 % and list B below 16 %."


def test_clock_times() -> None:
    """Whole minutes; a day ends at midnight."""
    assert [clock_time(hour) for hour in (0, 6.75, 23.99, 24, 30.5)] == ["00:00", "06:45", "23:59", "00:00", "06:30"]


def test_a_list_is_off_at_the_start_where_less_is_there_than_it_takes() -> None:
    """What list A takes until the first reading is told in whole per cent: at that charge it may stay on.

    Three tenths of a per cent less, and it is off; three tenths more change nothing.
    """
    unit = UNIT.model_copy(update={"storage_wh": 6000.0})
    hold = worked(Outage(days=1, starts_at=18), unit=unit).shown.carried.hold[0].convenience_share
    assert hold == 0.75
    said = [card(Outage(days=1, starts_at=18, start_share=share), unit=unit).start for share in (0.747, 0.75, 0.753)]
    assert [words.partition(": ")[2] for words in said] == ["list A off.", "all may stay on.", "all may stay on."]


def test_the_readings_of_the_card_are_numbered() -> None:
    """Four of them, from 1, as the case states them; a tier has as many lines as there is room."""
    found = card(Outage(days=1, reading_1=20, reading_2=8, reading_3=20, reading_4=8))
    assert [(one.number, one.clock) for one in found.readings] == [(1, 20), (2, 8), (3, ""), (4, "")]
    assert [len(each) for each in found.lists] == [ROOM[tier] for tier in ("critical", "essential", "convenience")]


def test_a_card_away_from_the_house_speaks_of_its_plan() -> None:
    """Off the grid nothing goes out: the card is headed by its purpose, with no food rules and no generator to place."""
    whole = worked(Outage())
    away = study(whole.case.model_copy(update={"about": About(purpose="off grid")})).door_card
    assert (whole.door_card.title, away.title) == ("When the power is out", "When the unit runs low")
    assert whole.door_card.food == FOOD and away.food == ("", "", "")
    assert whole.door_card.outdoors == OUTDOORS and away.outdoors == ("", "")


def test_the_card_of_a_drive_tells_the_charge_that_it_takes() -> None:
    """2,500 Wh out of 4,000, a tenth kept back: charge at 73 % or more; how the cord lies, and no food of a house."""
    vehicle = Vehicle(
        distance=10, consumption=168, consumption_unit="Wh/km", distance_margin=0.25, charger_efficiency=0.84
    )
    about, sizing = About(purpose="trip"), Sizing(reserve=0.1, age_share=1, storage_c=25)
    unit = UNIT.model_copy(update={"inverter_efficiency": 1.0, "idle_w": 0.0, "usable_share": 1.0})
    found = card(Outage(days=1), unit=unit, vehicle=vehicle, about=about, sizing=sizing)
    assert found.title == "On the trip"
    assert found.food == ("Charge the vehicle at 73 % or more.", *ROADSIDE)
    far = vehicle.model_copy(update={"distance": 90})
    at_home = card(Outage(days=1), unit=unit, vehicle=far).food
    assert at_home == ("A full storage is not enough for the drive.", *FOOD[:2])  # there is food in the house


def test_what_a_client_hangs_up_names_no_source() -> None:
    """Where a rule is from stands in the code; nobody reads it at the door."""
    assert not any(word in line for line in (*FOOD, *OUTDOORS, *ROADSIDE) for word in ("memory", "USDA", "seen"))
