"""Advice: what an experienced adviser would remark on, and nothing where there is nothing to remark."""

from typing import Any

import pytest

from holdover.advice.remarks import advise
from holdover.case.schema import (
    Array,
    Assumed,
    Candidate,
    Case,
    Load,
    Month,
    Outage,
    Point,
    Recharge,
    Sizing,
    Sun,
    Vehicle,
)
from holdover.case.typical import best, table, typical
from holdover.findings import Place

UNIT = Candidate(name="U", storage_wh=2000, continuous_w=2000, surge_w=4000, ac_volts=120)
LAMP = Load(name="Lamp", running_w=10, hours_per_day=5)


def codes(case: Case) -> list[str]:
    return [finding.code for finding in advise(case)]


def with_load(**fields: Any) -> list[str]:
    thing = Load.model_validate({"name": "Thing", "running_w": 100, "hours_per_day": 2} | fields)
    return codes(Case(loads=(thing,), candidates=(UNIT,)))


def with_unit(**fields: Any) -> list[str]:
    return codes(Case(loads=(LAMP,), candidates=(UNIT.model_copy(update=fields),)))


def test_a_sound_case_gets_no_remark() -> None:
    """A case without faults is left in peace."""
    fridge = Load(name="Fridge", running_w=150, starting_w=900, duty=0.35, hours_per_day=24, measured_wh_per_day=1200)
    assert codes(Case(loads=(LAMP, fridge), candidates=(UNIT,))) == []


@pytest.mark.parametrize("name", ["Fridge", "Deep freezers", "Well pump", "Air compressor", "Furnace fan", "Heat pump"])
def test_motor_without_starting_figure(name: str) -> None:
    """A motor without a starting figure is told, with four times its running watts as a guide."""
    assert "A001" in with_load(name=name)
    assert "A001" not in with_load(name=name, starting_w=500)


@pytest.mark.parametrize(
    "name",
    [
        "Lamp",
        "Television",
        "Kettle",
        "Kerosene heater",
        "Laptop",
        "Pumpkin light",
        "Gas furnace controls",
        "Fridge thermometer",
    ],
)
def test_no_motor(name: str) -> None:
    """What has no motor is not asked for a starting figure."""
    assert "A001" not in with_load(name=name)


def test_starting_below_running() -> None:
    """Starting below running is told; equal is not."""
    assert "A002" in with_load(starting_w=99)
    assert "A002" not in with_load(starting_w=100)


def test_cycling() -> None:
    """A refrigerator that is said to run all day is told, unless it was metered or has a duty."""
    assert "A003" in with_load(name="Fridge", starting_w=500, hours_per_day=24)
    assert "A003" not in with_load(name="Fridge", starting_w=500, hours_per_day=24, duty=0.3)
    assert "A003" not in with_load(name="Fridge", starting_w=500, hours_per_day=24, measured_wh_per_day=2400)
    assert "A003" not in with_load(name="Router", hours_per_day=24)


def test_a_meter_tells_what_a_duty_would() -> None:
    """A load that rests in between and was metered is not asked for its duty; a stated one is held against the meter."""
    fridge = {"name": "Fridge", "starting_w": 500, "running_w": 150, "hours_per_day": 24}
    assert with_load(**fridge, measured_wh_per_day=1200) == []
    assert with_load(**fridge | {"name": "Server", "measured_wh_per_day": 1200}) == []
    assert with_load(**fridge, measured_wh_per_day=1200, duty=1) == ["A004"]
    assert with_load(**fridge, measured_wh_per_day=5000) == ["A004"]


def test_metered_against_computed() -> None:
    """A quarter apart is left in peace, more is told."""
    assert "A004" not in with_load(measured_wh_per_day=250)
    assert "A004" in with_load(measured_wh_per_day=267)
    assert "A004" not in with_load(measured_wh_per_day=160)
    assert "A004" in with_load(measured_wh_per_day=159)


@pytest.mark.parametrize(
    "name",
    [
        "CPAP",
        "Oxygen concentrator",
        "Insulin fridge",
        "Ventilator bedroom",
        "Home dialysis",
        "Sleep apnea machine",
        "Sleep apnoea device",
        "Breathing machine",
        "Respirator",
    ],
)
def test_medical(name: str) -> None:
    """A medical load belongs to the critical tier."""
    assert "A006" in with_load(name=name)
    assert "A006" in with_load(name=name, tier="essential")
    assert "A006" not in with_load(name=name, tier="critical")


def test_heat() -> None:
    """Heat is told where it is beyond a candidate's power, or takes half of its storage in a day."""
    assert "A007" in with_load(name="Space heater", running_w=2500)
    assert "A007" in with_load(name="Kettle", running_w=1500, hours_per_day=1)
    assert "A007" not in with_load(name="Kettle", running_w=1500, hours_per_day=0.5)
    for name in ("Electric shower", "Induction hob", "Iron"):
        assert "A007" in with_load(name=name, running_w=2500)
    assert "A007" not in with_load(name="Vacuum", running_w=2500)


def test_voltage() -> None:
    """A voltage no candidate makes is told; a DC port is not AC."""
    assert "A008" in with_load(feed="240 V")
    assert "A008" not in with_load(feed="12 V DC")
    both = UNIT.model_copy(update={"ac_volts_2": 240.0})
    assert codes(Case(loads=(LAMP.model_copy(update={"feed": "240 V"}),), candidates=(both,))) == []


def test_lift() -> None:
    """More than one person lifts is told for unit and pack."""
    assert with_unit(weight_kg=23.0) == []
    assert with_unit(weight_kg=23.1) == ["A009"]
    assert with_unit(pack_weight_kg=30.0) == ["A009"]


@pytest.mark.parametrize(
    "fields",
    [
        {"surge_w": 1999.0},
        {"continuous_va": 1999.0},
        {"packs_max": 2},
        {"pack_wh": 1000.0},
        {"packs": 1},
        {"packs_max": 2, "pack_wh": 1000.0, "packs": 3},
        {"pv_inputs": 2, "pv_input_w": 200.0, "pv_total_w": 401.0},
        {"pv_inputs": 1, "pv_min_v": 60.0, "pv_max_v": 60.0},
        {"pv_inputs": 1, "pv_max_a": 15.0, "pv_max_isc_a": 14.0},
    ],
)
def test_contradictions(fields: dict[str, float]) -> None:
    """A data sheet that contradicts itself is told once."""
    assert with_unit(**fields) == ["A011"]


def test_sound_data_sheet() -> None:
    """The same fields in order are not told."""
    sound = {"surge_w": 2000.0, "packs_max": 2, "pack_wh": 1000.0, "packs": 2, "pv_inputs": 2, "pv_input_w": 200.0}
    assert with_unit(**sound, pv_total_w=400.0, pv_min_v=12.0, pv_max_v=60.0, pv_max_a=15.0, pv_max_isc_a=20.0) == []


@pytest.mark.parametrize("name", ["pv_min_v", "pv_max_v", "pv_max_a", "pv_max_isc_a", "pv_input_w", "pv_total_w"])
def test_solar_figures_without_inputs(name: str) -> None:
    """Any figure of a solar input asks for how many there are; 0 says that there are none."""
    assert with_unit(**{name: 50.0}) == ["A027"]
    assert with_unit(**{name: 50.0}, pv_inputs=0) == []


def test_silent_ports() -> None:
    """Ports that are not stated are told where a load needs one; 0 is a statement."""
    for feed, dc_w, said in [
        ("USB", None, 1),
        ("12 V DC", None, 1),
        ("USB", 0.0, 0),
        ("120 V", None, 0),
        (None, None, 0),
    ]:
        load = LAMP.model_copy(update={"feed": feed})
        unit = UNIT.model_copy(update={"dc_w": dc_w})
        assert codes(Case(loads=(load,), candidates=(unit,))) == ["A028"] * said


def test_silent_solar_inputs() -> None:
    """With modules planned, a lowest voltage and a short-circuit current that are not stated are told."""
    sun: dict[str, Any] = {
        "months": (Month(peak_sun_hours=3),) * 12,
        "sun": Sun(latitude_deg=40, coldest_c=-20),
        "loads": (LAMP,),
    }
    whole = UNIT.model_copy(
        update={"pv_inputs": 1, "pv_min_v": 12.0, "pv_max_v": 60.0, "pv_max_a": 15.0, "pv_max_isc_a": 20.0}
    )
    silent: list[tuple[dict[str, Any], list[str]]] = [
        ({}, []),
        ({"pv_min_v": None}, ["A029"]),
        ({"pv_max_isc_a": None}, ["A032"]),
        ({"pv_inputs": 0, "pv_min_v": None}, []),
    ]
    for update, said in silent:
        unit = whole.model_copy(update=update)
        assert codes(Case(**sun, candidates=(unit,), array=modules())) == said
        assert codes(Case(**sun, candidates=(unit,))) == []
    found = advise(Case(**sun, candidates=(whole.model_copy(update={"pv_max_isc_a": None}),) * 2, array=modules()))
    (note,) = [f for f in found if f.code == "A032"]
    assert "for U, U;" in note.message


def test_silent_generator() -> None:
    """A generator needs output and hours, and a candidate that says how it is charged; 0 hours is a statement."""
    charged: dict[str, Any] = {"candidates": (UNIT.model_copy(update={"ac_charge_w": 900.0}),)}
    stated, hours = Recharge(generator_w=1800), Outage(generator_hours=2)
    assert whole(recharge=stated, **charged) == ["A031"]
    assert whole(outage=hours, **charged) == ["A031"]
    assert whole(recharge=stated, outage=hours, **charged) == []
    assert whole(recharge=stated, outage=Outage(generator_hours=0), **charged) == []
    assert whole(recharge=stated, outage=hours) == ["A030"]


def test_cold() -> None:
    """Below its charging temperature a unit is not refilled; its own limit counts before the usual one."""
    cold = Sizing(storage_c=-5)
    assert codes(Case(loads=(LAMP,), candidates=(UNIT,), sizing=cold)) == ["A010"]
    hardy = UNIT.model_copy(update={"charge_min_c": -10.0})
    assert codes(Case(loads=(LAMP,), candidates=(hardy,), sizing=cold)) == []
    assert codes(Case(loads=(LAMP,), candidates=(UNIT,), sizing=cold, assumed=Assumed(charge_min_c=-20))) == []


def modules(**fields: Any) -> Array:
    """Two modules with everything their data sheet says."""
    sheet = {"power_w": 390, "voc_v": 37.2, "vmp_v": 30.9, "isc_a": 13.6, "imp_a": 12.7, "voc_tempco": -0.0027}
    return Array(**{"modules": 2} | sheet | fields)


def test_sun() -> None:
    """Modules need a latitude and the sun of every month, and face the equator."""
    sun = (Month(peak_sun_hours=3),) * 12
    bare: dict[str, Any] = {"loads": (LAMP,), "candidates": (UNIT,)}
    nowhere = Sun(coldest_c=-20)
    assert codes(Case(**bare, array=modules(), sun=nowhere)) == ["A017", "A018"]
    assert [f.level for f in advise(Case(**bare, array=modules(), months=sun, sun=nowhere))] == ["error"]
    north, south = Sun(latitude_deg=40, coldest_c=-20), Sun(latitude_deg=-40, coldest_c=-20)
    assert codes(Case(**bare, array=modules(), months=sun, sun=north)) == []
    assert codes(Case(**bare, array=modules(), months=sun, sun=south)) == ["A019"]
    assert codes(Case(**bare, array=modules(azimuth_deg=350), months=sun, sun=south)) == []
    assert codes(Case(**bare, array=modules(azimuth_deg=350), months=sun, sun=north)) == ["A019"]
    assert codes(Case(**bare, array=modules(azimuth_deg=0, tilt_deg=0), months=sun, sun=north)) == []


@pytest.mark.parametrize("name", ["power_w", "voc_v", "vmp_v", "isc_a", "imp_a", "voc_tempco", "coldest_c"])
def test_a_module_is_stated(name: str) -> None:
    """Each figure the over-voltage check stands on is asked for by name, as an error; its usual value may be stated."""
    array = modules().model_dump(exclude_unset=True)
    sun: dict[str, Any] = {"latitude_deg": 40.0, "coldest_c": -20.0}
    for stated in (array, sun):
        stated.pop(name, None)
    case = Case(loads=(LAMP,), candidates=(UNIT,), months=(Month(peak_sun_hours=3),) * 12)
    (found,) = advise(case.model_copy(update={"array": Array(**array), "sun": Sun(**sun)}))
    assert (found.code, found.level) == ("A020", "error")
    assert f"({name})" in found.message
    assert found.column == ("sun" if name == "coldest_c" else "array")
    none = Array(**array | {"modules": 0})
    assert advise(case.model_copy(update={"array": none, "sun": Sun(**sun)})) == []


def whole(**parts: Any) -> list[str]:
    return codes(Case(**{"loads": (LAMP,), "candidates": (UNIT,)} | parts))


def test_shedding_in_order() -> None:
    """Essential loads that a device drops before convenience loads are told; both at once, or one alone, are not."""
    assert whole(outage=Outage(drop_convenience_at=0.24, drop_essential_at=0.25)) == ["A021"]
    assert whole(outage=Outage(drop_convenience_at=0.25, drop_essential_at=0.25)) == []
    assert whole(outage=Outage(drop_essential_at=0.6)) == []


def test_storage_within_what_is_known() -> None:
    """Colder or hotter than the points of capacity is told, as is heat in which charging is limited."""
    hardy = UNIT.model_copy(update={"charge_min_c": -40.0})
    for stands, said in [(-20.1, 1), (-20, 0), (45, 0), (45.1, 1)]:
        assert whole(candidates=(hardy,), sizing=Sizing(storage_c=stands)) == ["A022"] * said
    few = (Point(temperature_c=0, capacity_share=0.8), Point(temperature_c=30, capacity_share=1))
    for stands, said in [(0, 0), (-0.1, 1), (30, 0), (30.1, 1), (50, 1)]:
        assert whole(candidates=(hardy,), points=few, sizing=Sizing(storage_c=stands)) == ["A022"] * said


def test_charger_of_the_house() -> None:
    """A vehicle is asked for its charger's voltage where the house has another than the usual one."""
    abroad = Sizing(feed="230 V")
    unit = UNIT.model_copy(update={"ac_volts": 230.0})
    assert whole(candidates=(unit,), sizing=abroad, vehicle=Vehicle(distance=20)) == ["A023"]
    assert whole(candidates=(unit,), sizing=abroad, vehicle=Vehicle(distance=20, charger_v=120)) == []
    assert whole(candidates=(unit,), sizing=abroad) == []
    assert whole(vehicle=Vehicle(distance=20)) == []


def test_blank_rows_are_no_rows() -> None:
    """Spare rows of a returned workbook are not remarked on."""
    assert codes(Case(loads=(LAMP, Load(), Load()), candidates=(UNIT, Candidate()))) == []


def test_places() -> None:
    """A remark names the file and row where the load was read, and of twins the first one's row."""
    case = Case(loads=(LAMP, LAMP), candidates=(UNIT,))
    places = {("loads", n): Place(file="loads.csv", row=n + 2, item="Lamp") for n in range(2)}
    (found,) = advise(case, places)
    assert (found.code, found.file, found.row) == ("A012", "loads.csv", 3)
    assert "row 2" in found.message


def test_table_of_typical_figures() -> None:
    """Every row lies within its own range, starts at no less than it runs, and names its source."""
    assert 25 <= len(table()) <= 45
    for row in table():
        assert row.low_w <= row.running_w <= row.high_w, row.name
        assert row.starting_w is None or row.starting_w >= row.running_w, row.name
        assert row.duty is None or 0 < row.duty < 1, row.name
        assert 0 < row.hours_per_day <= 24, row.name
        assert row.source


def test_typical_words_are_told_apart() -> None:
    """No word stands for two rows, and every word finds its row."""
    words = [word for row in table() for word in row.words]
    assert len(words) == len(set(words))
    for row in table():
        for word in row.words:
            assert best(word) == row


def test_typical_by_the_way_people_write() -> None:
    """A load is known by its longest name; what may be two things is none."""
    for said, name in [
        ("Kitchen fridge", "Refrigerator"),
        ("Chest freezers (garage)", "Freezer"),
        ("LED lamps", "LED lamp"),
        ("Toaster oven", "Toaster oven"),
        ("WELL PUMP 1/2 hp", "Well pump 1/2 hp"),
        ("Window air conditioner", "Room air conditioner"),
    ]:
        row = best(said)
        assert row is not None
        assert row.name == name
    assert best("Fridge and TV") is None
    assert best("Thing") is None


def test_typical_search() -> None:
    """A word alone lists every row it stands in."""
    assert {row.name for row in typical("pump")} == {"Sump pump 1/3 hp", "Well pump 1/2 hp", "Heat pump 3 ton"}
    assert typical("zebra") == ()
    assert typical("") == table()


def test_typical_without_what_a_name_says() -> None:
    """The figures of a device without a humidifier are not those of one with it, nor of a humidifier."""
    assert typical("humidifier") == ()
    assert best("CPAP with heated humidifier") is None
    for name in ("CPAP", "CPAP without humidifier", "Sleep apnea machine"):
        row = best(name)
        assert row is not None
        assert row.name == "CPAP without heated humidifier"


def test_typical_motors_start_as_the_advice_says() -> None:
    """A pump starts at two and a half times its running watts or more: the charts' figures of added watts are added."""
    for name in ("Sump pump", "Well pump", "Motor"):
        row = best(name)
        assert row is not None
        assert row.starting_w is not None
        assert row.starting_w >= 2.5 * row.running_w


DOE = {  # US DOE, Estimating Appliance and Home Electronic Energy Use: ranges as printed [W]
    "Coffee maker": (900, 1200), "Clothes dryer": (1800, 5000), "Dishwasher": (1200, 2400), "Ceiling fan": (65, 175),
    "Box fan": (55, 250), "Hair dryer": (1200, 1875), "Portable heater": (750, 1500), "Iron": (1000, 1800),
    "Toaster": (800, 1400), "Vacuum cleaner": (1000, 1440), "Water heater 40 gal": (4500, 5500),
}  # fmt: skip


@pytest.mark.parametrize("name", DOE)
def test_typical_lies_within_published_range(name: str) -> None:
    """The running watts lie within the range the US DOE prints for the appliance."""
    low, high = DOE[name]
    (row,) = [row for row in table() if row.name == name]
    assert low <= row.running_w <= high
