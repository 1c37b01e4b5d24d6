"""The vehicle sheet: an engine that starts from nothing computes what the reference model says, cell by cell."""

import math
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import formualizer
import pytest

from holdover.case.schema import (
    Candidate,
    Case,
    ConsumptionUnit,
    Delivery,
    Load,
    Point,
    Sizing,
    Vehicle,
    choices_of,
    is_text,
)
from holdover.model.study import Slots, Study, study
from holdover.workbook.book import build, sheets_for
from holdover.workbook.grid import Cell
from holdover.workbook.page import lay_out

MINE = ("vehicle", "drive", "deliveries", "trip")
POISON = -999.0
SLOTS = Slots(loads=30, candidates=5)

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


class Engine:
    """A workbook with every cached result spoiled, computed anew."""

    def __init__(self, made: Study, folder: Path) -> None:
        path = folder / "book.xlsx"
        path.write_bytes(build(made, version="test", poison=POISON))
        self.book = formualizer.load_workbook(str(path))
        self.grid, _ = lay_out(sheets_for(made.slots), made)
        self.made = made
        self.book.evaluate_all()

    def cells(self) -> Iterator[Cell]:
        for name in MINE:
            yield from (cell for cell in self.grid.cells_of(self.grid.tables[name], self.made) if cell.formula)

    def value(self, cell: Cell) -> object:
        return self.book.get_value(cell.sheet, cell.row + 1, cell.col + 1)

    def type_in(self, table: str, column: str, value: object, record: int = 0) -> None:
        form = self.grid.tables[table].kind == "form"
        row, col = self.grid.at(self.grid.tables[table], column, record, "set" if form else "")
        self.book.set_value(self.grid.places[table].sheet, row + 1, col + 1, value)

    def differences(self) -> list[str]:
        found = ((cell, self.value(cell)) for cell in self.cells())
        return [f"{cell}: {got!r}, not {cell.value!r}" for cell, got in found if not same(cell.value, got)]


def same(said: object, got: object) -> bool:
    if isinstance(said, str):
        return got == said or (said == "" and got is None)
    return isinstance(got, int | float) and math.isclose(float(said), got, rel_tol=1e-9, abs_tol=1e-9)  # type: ignore[arg-type]


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_engine_computes_what_the_model_says(case: Case, tmp_path: Path) -> None:
    """Every formula of the vehicle sheet, computed from spoiled results, is the model's value."""
    assert Engine(study(case, SLOTS), tmp_path).differences()[:5] == []


def test_the_cases_say_every_word_there_is() -> None:
    """The cases above have packs needed and none, out of reach, and every verdict, for drive and deliveries."""
    offers = [offer for case in CASES.values() for offer in study(case, SLOTS).offers]
    assert (
        {offer.vehicle.reaches for offer in offers}
        == {offer.vehicle.holds for offer in offers}
        == {"OK", "SHORT", "not planned", ""}
    )
    assert {fit.holds for offer in offers for fit in offer.deliveries} == {"OK", "SHORT", ""}
    assert {offer.vehicle.packs_needed for offer in offers} > {0, 1, "out of reach"}
    exact = study(CASES["packs met to the watt-hour"], SLOTS).offers[0]
    assert exact.vehicle.packs_needed == 1
    assert exact.vehicle.storage_needed_wh == pytest.approx(5500, abs=1e-9)
    dusty = study(CASES["packs met but for dust"], SLOTS).offers[0]
    assert ((0.07 * 10 - 0.1) / 0.1 > 6, dusty.vehicle.packs_needed) == (True, 6)


def test_typing_is_the_same_as_a_case_with_those_values(tmp_path: Path) -> None:
    """Values typed into the yellow cells give what a case with those values gives, with nothing rebuilt."""
    drive = {"distance": 40, "distance_unit": "mi", "consumption": 3.1, "consumption_unit": "mi/kWh", "charger_a": 8}
    more = {"name": "Saw", "energy_wh": 333, "power_w": 950, "times": 3}
    engine = Engine(study(PLAIN, SLOTS), tmp_path)
    for name, value in drive.items():
        engine.type_in("vehicle", name, value)
    for name, value in more.items():
        engine.type_in("deliveries", name, value, 3)
    engine.book.evaluate_all()
    deliveries = (*PLAIN.deliveries, Delivery(**more))
    engine.made = study(changed(vehicle=Vehicle(**drive), deliveries=deliveries), SLOTS)
    assert engine.differences()[:5] == []


def test_cleared_and_bounding_inputs_make_no_error(tmp_path: Path) -> None:
    """Each input of the sheet cleared, at its bounds and at each of its choices, leaves numbers and text only."""
    engine = Engine(study(PLAIN, SLOTS), tmp_path)
    cells = list(engine.cells())
    for table, section in (("vehicle", Vehicle), ("deliveries", Delivery)):
        for name, info in section.model_fields.items():
            limits = [m.ge if hasattr(m, "ge") else m.le for m in info.metadata if not is_text(info)]
            for value in (None, *limits, *choices_of(info)):
                engine.type_in(table, name, value)
                engine.book.evaluate_all()
                wrong = [str(c) for c in cells if not isinstance(engine.value(c), int | float | str)]
                assert wrong == [], (table, name, value)
