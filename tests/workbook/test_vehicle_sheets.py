"""The vehicle sheet: an engine that starts from nothing computes what the reference model says, cell by cell."""

from typing import Any, get_args

import pytest

from engines.bench import Bench
from holdover.case.schema import Candidate, Case, ConsumptionUnit, Delivery, Load, Point, Sizing, Vehicle
from holdover.case.section import choices_of, is_text
from holdover.model.study import Slots, study

MINE = ("vehicle", "drive", "deliveries", "trip", "ranges", "drive_said", "drive_lead")
SLOTS = Slots(loads=3, candidates=5, days=3)  # a day more than any of these plans; each recalculation works all out

LOADS = (Load(name="Fridge", running_w=150, duty=0.4, hours_per_day=24),)
SMALL = Candidate(name="Small", storage_wh=1000, continuous_w=1000, surge_w=2000, pack_wh=1000, packs_max=2)
STACK = Candidate(name="Stack", storage_wh=3000, continuous_w=3000, pack_wh=2500, packs_max=9, idle_w=40)
LARGE = Candidate(
    name="Large", storage_wh=9000, continuous_w=6000, ac_volts=240, ac_volts_2=120, inverter_efficiency=0.93
)
FIXED = Candidate(name="Fixed", storage_wh=3000, continuous_w=1800, pack_wh=2500, packs_max=9, packs=4)
PLAIN = Case(
    loads=LOADS,
    candidates=(SMALL, STACK, LARGE, FIXED),
    vehicle=Vehicle(distance=25),
    deliveries=(
        Delivery(name="Drill", energy_wh=90, power_w=100, times=4),
        Delivery(name="Bike", energy_wh=600),
        Delivery(name="Pump", energy_wh=800, power_w=2000, times=0),
    ),
)


def changed(**parts: object) -> Case:
    return PLAIN.model_copy(update=parts)


FIGURES = {"Wh/km": 180, "kWh/100 km": 18, "km/kWh": 5.5, "Wh/mi": 290, "kWh/100 mi": 29, "mi/kWh": 3.4}
CASES = {
    **{
        f"consumption in {unit}": changed(
            vehicle=Vehicle(
                distance=30,
                distance_unit="mi" if "mi" in unit else "km",
                consumption=FIGURES[unit],
                consumption_unit=unit,
                consumption_at="outlet" if unit.startswith("k") else "battery",
            )
        )
        for unit in get_args(ConsumptionUnit)
    },
    "consumption left open, in miles a kWh": changed(vehicle=Vehicle(distance=12, consumption_unit="mi/kWh")),
    "no vehicle": changed(vehicle=Vehicle()),
    "nothing at all": Case(),
    "out of reach": changed(vehicle=Vehicle(distance=2000)),
    "a charger of 240 V": changed(vehicle=Vehicle(distance=9, charger_v=240, charger_a=16)),
    "no capacity left": changed(points=(Point(temperature_c=20, capacity_share=0),)),
    "packs met to the watt-hour": changed(
        loads=(),
        candidates=(STACK.model_copy(update={"idle_w": 0, "inverter_efficiency": 1, "usable_share": 1}), SMALL),
        points=(),
        sizing=Sizing(reserve=0, age_share=1),
        vehicle=Vehicle(
            distance=55, distance_margin=0, consumption=10, consumption_unit="km/kWh", charger_efficiency=1
        ),
    ),
    "packs met but for dust": changed(
        loads=(),
        candidates=(
            STACK.model_copy(
                update={"storage_wh": 0.1, "pack_wh": 0.1, "idle_w": 0, "inverter_efficiency": 1, "usable_share": 1}
            ),
            SMALL,
        ),
        points=(),
        sizing=Sizing(reserve=0, age_share=1),
        vehicle=Vehicle(
            distance=0.07, distance_margin=0, consumption=100, consumption_unit="km/kWh", charger_efficiency=1
        ),
    ),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_engine_computes_what_the_model_says(case: Case) -> None:
    """Every formula of the vehicle sheet, computed from spoiled results, is the model's value."""
    assert Bench(study(case, SLOTS), MINE).differences()[:5] == []


def test_the_cases_say_every_word_there_is() -> None:
    """The cases above have packs needed and none, out of reach, and every verdict, for drive and deliveries."""
    offers = [offer for case in CASES.values() for offer in study(case, SLOTS).offers]
    assert (
        {offer.vehicle.reaches for offer in offers}
        == {offer.vehicle.holds for offer in offers}
        == {"OK", "UNDER", "not planned", ""}
    )
    assert {fit.holds for offer in offers for fit in offer.deliveries} == {"OK", "UNDER", ""}
    assert {offer.vehicle.packs_needed for offer in offers} > {0, 1, "out of reach"}
    exact = study(CASES["packs met to the watt-hour"], SLOTS).offers[0]
    assert exact.vehicle.packs_needed == 1
    assert exact.vehicle.storage_needed_wh == pytest.approx(5500, abs=1e-9)
    dusty = study(CASES["packs met but for dust"], SLOTS).offers[0]
    assert ((0.07 * 10 - 0.1) / 0.1 > 6, dusty.vehicle.packs_needed) == (True, 6)


def test_typing_is_the_same_as_a_case_with_those_values() -> None:
    """Values typed into the yellow cells give what a case with those values gives, with nothing rebuilt."""
    drive: dict[str, Any] = {
        "distance": 40,
        "distance_unit": "mi",
        "consumption": 3.1,
        "consumption_unit": "mi/kWh",
        "charger_a": 8,
    }
    more: dict[str, Any] = {"name": "Saw", "energy_wh": 333, "power_w": 950, "times": 3}
    bench = Bench(study(PLAIN, SLOTS), MINE)
    for name, value in drive.items():
        bench.type_in("vehicle", name, value)
    for name, value in more.items():
        bench.type_in("deliveries", name, value, 3)
    bench.engine.recalculate()
    deliveries = (*PLAIN.deliveries, Delivery(**more))
    bench.made = study(changed(vehicle=Vehicle(**drive), deliveries=deliveries), SLOTS)
    assert bench.differences()[:5] == []


def test_cleared_and_bounding_inputs_make_no_error() -> None:
    """Each input of the sheet cleared, at its bounds and at each of its choices, leaves numbers and text only."""
    bench = Bench(study(PLAIN, Slots(loads=2, candidates=5, days=1)), MINE)  # a drive hangs on no outage
    for table, section in (("vehicle", Vehicle), ("deliveries", Delivery)):
        for name, info in section.model_fields.items():
            limits = [m.ge if hasattr(m, "ge") else m.le for m in info.metadata if not is_text(info)]
            for value in (None, *limits, *choices_of(info)):
                bench.type_in(table, name, value)
                bench.engine.recalculate()
                assert bench.errors() == [], (table, name, value)


def read(bench: Bench, table: str, column: str, record: int = 0) -> Any:
    wanted = (table, column, record)
    return next(bench.value(c) for c in bench.cells() if (c.table.name, c.column.name, c.record) == wanted)


def test_the_answer_is_a_range_in_the_clients_unit() -> None:
    """Typed in miles, told in miles, cut to a tenth; worked by hand.

    One unit of 1,000 Wh, all of it usable, no losses: 1,000 Wh at 250 Wh a mile are 4 miles; of 17 wanted.
    In km, at 250 Wh a mile, 1,000 Wh are 6.437 km: 6.4 of 17 km.
    """
    unit = Candidate(
        name="Only", storage_wh=1000, continuous_w=2000, surge_w=4000, usable_share=1, inverter_efficiency=1, idle_w=0
    )
    case = Case(
        candidates=(unit,),
        points=(),
        sizing=Sizing(reserve=0, age_share=1),
        vehicle=Vehicle(
            distance=17, distance_unit="mi", consumption=250, consumption_unit="Wh/mi", consumption_at="outlet"
        ),
    )
    bench = Bench(study(case, SLOTS), MINE)
    assert read(bench, "drive_said", "headline") == "Only: 4 of 17 miles."
    bench.type_in("vehicle", "distance_unit", "km")
    bench.engine.recalculate()
    assert read(bench, "drive_said", "headline") == "Only: 6.4 of 17 km."
    bench.type_in("vehicle", "distance", None)
    bench.engine.recalculate()
    assert read(bench, "drive_said", "headline") == "No drive is planned."


def test_loads_and_drive_are_held_as_their_sum() -> None:
    """2,000 Wh carry the drive of 1,500 alone and the loads of 1,200 alone, not the 2,700 of both; by hand."""
    unit = Candidate(
        name="Only", storage_wh=2000, continuous_w=2000, surge_w=4000, usable_share=1, inverter_efficiency=1, idle_w=0
    )
    case = Case(
        loads=(Load(name="Pump", running_w=50, hours_per_day=24),),
        candidates=(unit,),
        points=(),
        sizing=Sizing(reserve=0, age_share=1, energy_margin=0, basis="days without recharging", autonomy_days=1),
        vehicle=Vehicle(
            distance=6, distance_margin=0, consumption=250, consumption_unit="Wh/km", consumption_at="outlet"
        ),
    )
    bench = Bench(study(case, SLOTS), MINE)
    assert (read(bench, "trip", "storage_needed_wh"), read(bench, "trip", "loads_wh")) == (1500, 1200)
    assert (read(bench, "trip", "reaches"), read(bench, "trip", "holds")) == ("OK", "OK")
    assert read(bench, "trip", "needed_with_loads_wh") == pytest.approx(2700)
    assert read(bench, "trip", "reaches_with_loads") == "UNDER"
    assert bench.differences() == []
    bench.type_in("candidates", "storage_wh", 2700)
    bench.engine.recalculate()
    assert read(bench, "trip", "reaches_with_loads") == "OK"
