"""Typical loads: what people write means the row that they mean, or several to choose from, or none."""

from itertools import chain

import pytest

from holdover.case.typical import Typical, meant, small_for, table, typical
from holdover.case.words import vocabulary

VOLTS = {"": 120.0, "120": 120.0, "230": 230.0}
STATUSES = {"seen", "search result", "from memory", "common practice"}
FIGURES = {"low", "running", "high", "start", "energy", "power factor"}


def names(said: str, house_v: float = 120.0) -> list[str]:
    return [row.name for row in meant(said, house_v)]


def called(name: str) -> Typical:
    (row,) = [row for row in table() if row.name == name]
    return row


def test_there_are_rows_enough() -> None:
    """What people really ask for, in every group."""
    assert len(table()) >= 120
    assert len({row.name for row in table()}) == len(table())
    assert {row.group for row in table()} == set(vocabulary("typical")["groups"])


@pytest.mark.parametrize("row", table(), ids=lambda row: row.name)
def test_a_row_is_whole(row: Typical) -> None:
    """Its figure lies within its range, it starts no lower than it runs, and its day is one that it can draw."""
    assert 0 <= row.low_w <= row.running_w <= row.high_w
    assert row.start_va is None or row.start_va >= row.running_va
    assert row.power_factor is None or 0.3 <= row.power_factor < 1
    assert row.duty is None or 0 < row.duty < 1
    assert row.duty is None or row.energy_wh is None
    assert 0 < row.hours_per_day <= 24
    assert 0 < row.day_wh <= row.running_w * row.hours_per_day * (1 + 1e-9)
    assert row.house in VOLTS


@pytest.mark.parametrize("row", table(), ids=lambda row: row.name)
def test_a_row_says_where_it_is_from(row: Typical) -> None:
    """It has a status, and sources each with theirs; what is from memory though the rest is not is named."""
    assert row.status in STATUSES
    assert set(row.from_memory) <= FIGURES
    stated = [status for status in STATUSES if f"({status})" in row.source]
    assert stated
    assert (row.status == "from memory") == (stated == ["from memory"])
    assert row.status not in {"seen", "search result"} or row.status in stated
    assert row.status != "from memory" or not row.from_memory  # all of it is
    assert all(word in row.source for word in row.from_memory)


def test_every_source_is_used_and_has_a_status() -> None:
    """No source stands there for nothing."""
    told = " ".join(row.source for row in table())
    for name, status in vocabulary("typical")["sources"].values():
        assert status in STATUSES
        assert f"{name} ({status})" in told


@pytest.mark.parametrize("row", table(), ids=lambda row: row.name)
def test_a_row_answers_to_its_own_words(row: Typical) -> None:
    """Its name and each of its words mean it alone, in the houses that have it."""
    for word in (row.name, *row.words):
        assert names(word, VOLTS[row.house]) == [row.name], word


def test_what_may_be_several_names_rows_that_there_are() -> None:
    """A bare word offers two rows or more in either house."""
    for which in vocabulary("typical")["which"]:
        for word in which["words"]:
            if not any(word == each for row in table() for each in row.words):
                assert all(len(names(word, volts)) >= 2 for volts in (120, 230)), word


MEANT = {
    "Kitchen fridge": "Refrigerator-freezer, 16 to 20 cu ft",
    "Fridge freezer": "Refrigerator-freezer, 16 to 20 cu ft",
    "refridgerator": "Refrigerator-freezer, 16 to 20 cu ft",
    "Fridge 120 V": "Refrigerator-freezer, 16 to 20 cu ft",
    "Mini fridge (den)": "Compact refrigerator, under 5 cu ft",
    "12V car fridge": "Camping refrigerator, 12 V compressor",
    "Vaccine refrigerator": "Medicine or vaccine refrigerator, 5 cu ft",
    "medicine fridge": "Medicine or vaccine refrigerator, 5 cu ft",
    "Wine fridge": "Drinks cooler with a glass door, 20 cu ft",
    "Drinks fridge": "Drinks cooler with a glass door, 20 cu ft",
    "Display fridge": "Cold display counter, small",
    "Refrigerated counter": "Cold display counter, small",
    "Chest freezers (garage)": "Chest freezer, 7 cu ft",
    "Garage freezer": "Upright freezer, 14 to 20 cu ft",
    "Ice-cream freezer": "Ice-cream or chest cooler, 7 cu ft",
    "Microwave oven": "Microwave oven, 1000 W of output",
    "mircowave": "Microwave oven, 1000 W of output",
    "Toaster oven": "Toaster oven",
    "Slow cooker": "Slow cooker",
    "Rice cooker": "Rice cooker",
    "Range hood": "Range hood",
    "Cooker hood": "Range hood",
    "Fan oven": "Range or oven",
    "Expresso machine": "Espresso machine, home",
    "Coffee grinder": "Coffee grinder",
    "Waffle iron": "Crepe or waffle plate",
    "Steam iron": "Iron",
    "Gas boiler": "Gas boiler with its pump",
    "Combi boyler": "Gas boiler with its pump",
    "Oil boiler": "Oil boiler or burner",
    "Gas water heater": "Gas water heater, its controls and fan",
    "Electric water heater": "Water heater with a tank",
    "Heat pump water heater": "Heat pump water heater",
    "Pellet stove": "Pellet stove",
    "pelet stove": "Pellet stove",
    "Fan heater": "Portable heater",
    "Furnace (gas)": "Furnace blower, standard (PSC) motor",
    "ECM furnace fan": "Furnace blower, ECM motor",
    "Electric furnace": "Electric furnace, 15 kW",
    "Heat pump": "Air-source heat pump, 2 to 3 ton",
    "Mini-split 12k": "Mini-split air conditioner, 12,000 Btu",
    "Window air con": "Window air conditioner, 8,000 Btu",
    "Window AC 5,000 Btu": "Window air conditioner, 5,000 Btu",
    "dehumidifer": "Dehumidifier, 22 to 25 pint",
    "Heat recovery ventilator": "Heat recovery ventilator",
    "Circulator": "Boiler circulator, standard",
    "WELL PUMP 1/2 hp": "Well pump, 1/2 hp",
    "½ hp well pump": "Well pump, 1/2 hp",
    "Well pump 0.5 HP": "Well pump, 1/2 hp",
    "1 hp well pump": "Well pump, 1 hp",
    "1½ hp well pump": "Well pump, 1 1/2 hp",
    "Well pump, 1-1/2 horsepower": "Well pump, 1 1/2 hp",
    "borewell pump": "Well pump, 1/2 hp",
    "Pump, sump": "Sump pump, 1/3 hp",
    "sumpump": "Sump pump, 1/3 hp",
    "3 hp three-phase pump": "Pump, three-phase, 230 V, 3 hp",
    "Pool pump": "Pool pump, 1 hp",
    "Oxigen consentrator": "Oxygen concentrator, 5 L/min",
    "Portable concentrator": "Portable oxygen concentrator",
    "CPAP": "CPAP, heated humidifier and tube on",  # never less than what may keep somebody well
    "BiPAP machine": "CPAP, heated humidifier and tube on",
    "C-PAP without humidifier": "CPAP, humidifier off",
    "CPAP with heated humidifier": "CPAP, heated humidifier and tube on",
    "Humidifier": "Humidifier",
    "ventillator": "Home ventilator",
    "Nebuliser": "Nebulizer compressor",
    "Breast pump": "Breast pump",
    "Stair lift": "Stairlift, its charger",
    "LED TV": "Television, 43 to 55 in",
    "LED lamps": "LED bulb",
    "Heat lamp": "Brooder lamp",
    "Brooder lamp": "Brooder lamp",
    "Wi-Fi router": "Wi-Fi router",
    "Router / modem": "Gateway (modem and router)",
    "Wifi camera": "IP camera",
    "Receipt printer": "Till with tablet and receipt printer",
    "Card reader": "Card terminal",
    "Washing mashine": "Washing machine, cold or hot fill",
    "Pressure washer": "Pressure washer",
    "Gas dryer": "Gas dryer",
    "Hairdrier": "Hair dryer",
    "Milking vacuum": "Vacuum pump for milking, 1 hp",
    "Drill charger": "Tool battery charger",
    "ebike": "E-bike charger",
    "Electric car": "Electric vehicle, 120 V, 12 A",
    "EV charger 16A": "Electric vehicle, 230 V, 16 A",
    "EV level 2": "Electric vehicle, 240 V, 30 A",
    "Garage door opener": "Garage door opener",
    "Infant incubator": "Infant incubator",
    "RV fridge": "Camping refrigerator, 12 V compressor",
    "Food truck fridge": "Reach-in refrigerator, 29 cu ft",
    "Central A/C": "Central air conditioner, 2.5 to 3 ton",
    "Ceiling fan with light": "Ceiling fan",
    "Oxygen concentrator 10 L": "Oxygen concentrator, 10 L/min",
    "Baby monitor": "IP camera",
}
"""What people write, and the one row that it means in a house of 120 V."""


@pytest.mark.parametrize("said", MEANT)
def test_a_name_means_one_row(said: str) -> None:
    """The longest phrase wins, whatever the order, the case, the plural and the usual misspellings."""
    assert names(said) == [MEANT[said]]


ABROAD = {
    "Fridge": "Fridge-freezer, 250 to 350 L",
    "Kettle": "Kettle, 230 V",
    "Washing machine": "Washing machine that heats its water",
    "Tumble drier": "Tumble dryer, 230 V",
    "Electric car": "Electric vehicle, 230 V, 10 A",
    "Gas boiler": "Gas boiler with its pump",
}


@pytest.mark.parametrize("said", ABROAD)
def test_a_house_of_230_v_has_loads_of_its_own(said: str) -> None:
    """Where loads differ from one mains voltage to the other, the house says which is meant."""
    assert names(said, 230) == names(said, 240) == [ABROAD[said]]


NONE = [
    "Thing", "Wood stove", "Camping stove", "Gas stove", "Pressure cooker", "Hand dryer", "Soldering iron",
    "Curling iron", "Flat iron", "Hair iron", "Fire blanket", "Wood router", "Heart monitor", "Apnea monitor",
    "Light duty", "120 V AC", "Pool heater", "Attic ventilator", "Concrete mixer", "Can opener", "Insulin pump",
    "Fridge thermostat", "Freezer alarm", "Sump pump alarm", "Drill press", "Oxygen cylinder", "CPAP filter",
    "Gas oven", "Solar pump", "Propane heater", "Electric boiler", "Coffee boiler", "Wood boiler", "Gas fridge",
    "Two-way radio", "Robot vacuum", "3D printer", "Smoke alarm", "Patient lift", "Golf cart charger", "Heat pump dryer",
]  # fmt: skip


@pytest.mark.parametrize("said", NONE)
def test_a_name_that_shares_a_word_means_none(said: str) -> None:
    """Words that block keep a load from the figures of another one."""
    assert names(said) == []


WHICH = {
    "Pump": {"Well pump, 1/2 hp", "Sump pump, 1/3 hp", "Pool pump, 1 hp"},
    "Water pump": {"Well pump, 1/2 hp", "Pressure pump (jet), 1/2 hp"},
    "2 hp sump pump": {"Sump pump, 1/3 hp", "Well pump, 1/2 hp"},
    "Stove": {"Range or oven", "Pellet stove"},
    "Boiler": {"Gas boiler with its pump", "Oil boiler or burner", "Water heater with a tank"},
    "Heater": {"Portable heater", "Water heater with a tank"},
    "Furnace": {"Furnace blower, standard (PSC) motor", "Electric furnace, 15 kW"},
    "Motor": {"Electric motor, 1/2 hp", "Electric motor, 1 hp"},
    "Charger": {"Phone charger", "E-bike charger"},
    "Car": {"Electric vehicle, 120 V, 8 A", "Electric vehicle, 120 V, 12 A"},
    "Fan": {"Ceiling fan", "Box or window fan"},
    "Lamp": {"LED bulb", "Filament lamp", "Brooder lamp"},
    "Lights": {"LED bulb", "Filament lamp"},
    "Compressor": {"Air compressor, 1/2 hp", "Air compressor, 1 hp"},
    "Incubator": {"Egg incubator", "Infant incubator"},
    "Air conditioner": {"Window air conditioner, 8,000 Btu", "Central air conditioner, 2.5 to 3 ton"},
    "Washer/dryer": {"Washing machine, cold or hot fill", "Clothes dryer, 240 V"},
    "Kitchen lights": {"LED bulb", "Filament lamp"},
    "Fridge light": {"LED bulb", "Filament lamp"},
    "A/C": {"Window air conditioner, 8,000 Btu", "Portable air conditioner with a hose"},
    "Computer + monitor": {"Desktop computer", "Monitor"},
    "Smart TV and soundbar": {"Television, 43 to 55 in", "Stereo"},
    "Oxygen concentrator 8 L": {"Oxygen concentrator, 5 L/min", "Oxygen concentrator, 10 L/min"},
    "1.5 hp pool pump": {"Pool pump, 1 hp", "Well pump, 1 hp"},
    "Fridge and TV": {"Refrigerator-freezer, 16 to 20 cu ft", "Television, 43 to 55 in"},
}


@pytest.mark.parametrize("said", WHICH)
def test_a_bare_word_asks_which(said: str) -> None:
    """What may be one of several is never taken for one of them."""
    assert set(names(said)) >= WHICH[said]
    assert len(names(said)) >= 2


def test_there_are_names_enough() -> None:
    """At least 80 names, the ones that misled among them."""
    assert len(MEANT) >= 80
    assert len({*MEANT, *NONE, *WHICH}) == len(MEANT) + len(NONE) + len(WHICH)


def test_search() -> None:
    """A word finds the rows that it means first, then those in whose names it stands; nothing finds all of them."""
    assert typical("fridge")[0].name == "Refrigerator-freezer, 16 to 20 cu ft"
    pumps = {row.name for row in typical("pump")}
    assert {"Well pump, 1/2 hp", "Sewage or grinder pump", "Air-source heat pump, 2 to 3 ton"} <= pumps
    assert typical("zebra") == ()
    assert typical("") == table()


@pytest.mark.parametrize(
    ("word", "group"),
    [("car", "vehicle"), ("EV", "vehicle"), ("medical", "medical"), ("kitchen", "kitchen"), ("stall", "market")],
)
def test_a_group_is_found_by_its_words(word: str, group: str) -> None:
    """All rows of a group, and no other."""
    assert typical(word) == tuple(row for row in table() if row.group == group)
    assert len(typical(word)) >= 5


def test_every_group_is_found() -> None:
    """No group is without a word, and no word stands for two."""
    words = list(chain.from_iterable(vocabulary("typical")["groups"].values()))
    assert len(words) == len(set(words))
    for group, named in vocabulary("typical")["groups"].items():
        assert all({row.group for row in typical(word)} == {group} for word in named), group


def test_stated_energy_stays_over_other_hours() -> None:
    """A label's energy a day is that of a day, whatever hours the client writes; of more than usual a duty is a share."""
    fridge, griddle = called("Refrigerator-freezer, 16 to 20 cu ft"), called("Griddle or contact grill")
    for hours in (12, 16, 24):
        assert fridge.running_w * fridge.share_over(hours) * hours == pytest.approx(1500)
        assert griddle.share_over(hours) == griddle.duty
    assert fridge.share_over(2) == 1  # more than it draws in that time is not counted
    assert called("Wi-Fi router").share_over(5) == 1


def test_a_start_counts_in_full() -> None:
    """The volt-amperes of a start are watts to the inverter; a load without one starts at what it runs at."""
    assert called("Well pump, 1/2 hp").starting_w == called("Well pump, 1/2 hp").start_va == 5600
    assert called("Toaster").start_va is None
    assert called("Toaster").starting_w == called("Toaster").running_w


def test_what_draws_more_than_its_kind_starts_with_more() -> None:
    """A well pump of 8 A at 230 V is one of 1 hp (NEC Table 430.248), so its start is not that of the usual 1/2 hp."""
    pump, watts = called("Well pump, 1/2 hp"), 8 * 230
    assert pump.start_at(pump.running_w) == pump.start_va == 5600
    assert pump.start_at(watts) == pytest.approx(5600 * 1840 / 1130)  # the row of 1 hp has 10,000
    assert called("Kettle, 230 V").start_at(2500) is None


def test_the_plate_of_a_refrigerator_says_nothing_of_its_motor() -> None:
    """6.5 A at 115 V has the heater of the defrost in it: the start stays that of the motor, as typical."""
    fridge = called("Refrigerator-freezer, 16 to 20 cu ft")
    assert fridge.start_at(6.5 * 115) == fridge.start_va == 1800
    assert fridge.start_at(2000) == 2000


@pytest.mark.parametrize("which", ["two_legs", "plate_of_most"])
def test_lists_of_rows_name_rows_that_there_are(which: str) -> None:
    """What is wired for 240 V, and what has a heater of its defrost, are rows of the table."""
    assert set(vocabulary("typical")[which]["rows"]) <= {row.name for row in table()}


def test_kilowatts_in_place_of_watts() -> None:
    """A figure far below the usual that fits in kilowatts is doubted, even where the name may be several loads."""
    assert "Portable heater" in small_for("Heater", 1.5)
    assert "750 to 2000 W" in small_for("Space heater", 1.5)
    assert small_for("Space heater", 1500) == ""
    assert small_for("Phone charger", 5) == ""
    assert small_for("Thing", 1.5) == ""


@pytest.mark.parametrize(
    ("name", "watts", "hours", "energy_wh"),
    [
        ("Microwave oven, 1000 W of output", 1400, 0.25, 350),
        ("Drip coffee maker", 900, 1 / 6, 150),
        ("Sump pump, 1/2 hp", 940, 2, 1880),
        ("Sump pump, 1/2 hp", 940, 24, 940 * 6),
        ("Furnace blower, standard (PSC) motor", 600, 8, 4800),
        ("Furnace blower, standard (PSC) motor", 600, 24, 600 * 9.6),
        ("Griddle or contact grill", 1800, 5, 9000),
        ("Griddle or contact grill", 1800, 6, 9000),
        ("Espresso machine, home", 1300, 8, 2600),
    ],
)
def test_hours_that_somebody_states_count_whole(name: str, watts: float, hours: float, energy_wh: float) -> None:
    """A microwave oven of 1,400 W for a quarter of an hour takes 350 Wh; what is only plugged in rests in between."""
    assert watts * hours * called(name).share_over(hours, watts) == pytest.approx(energy_wh)


@pytest.mark.parametrize("row", table(), ids=lambda row: row.name)
def test_more_hours_never_take_less(row: Typical) -> None:
    """Below a whole day, which says only that it is plugged in; hours that nobody states take the usual energy."""
    runs = [
        round(hours * row.share_over(hours), 9)
        for hours in (0.05, 0.1, 0.2, 0.5, 1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 23)
    ]
    assert runs == sorted(runs)
    assert row.running_w * row.hours_per_day * row.share_over(None) == pytest.approx(row.day_wh)


def test_what_is_on_all_day_takes_its_energy_in_whatever_hours() -> None:
    """A refrigerator of 150 W "for 12 h" is one whose compressor runs for so long: 1.5 kWh of its label."""
    fridge = called("Refrigerator-freezer, 16 to 20 cu ft")
    assert 150 * 12 * fridge.share_over(12, 150) == pytest.approx(1500)
    assert fridge.share_over(5, 150) == 1
    assert fridge.share_over(None, 0) == 1
