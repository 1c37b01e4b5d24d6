"""A workbook in US units: what is read and typed is in them, what is counted with is not, and no number is another."""

import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from engines.bench import Bench
from engines.cases import CORNERS, SAMPLES, sample, small
from engines.engines import Formualizer
from engines.walk import agree, cells_of, disagreeing
from holdover.case.measure import US
from holdover.case.schema import Case, Recharge
from holdover.case.section import measure_of
from holdover.model.study import Slots, Study, study
from holdover.workbook.book import build, sheets_for
from holdover.workbook.column import Column, Table
from holdover.workbook.pdf import office, pdf_bytes
from holdover.workbook.style import FORMATS

TOLMERE, WRENFOLD = (sample(path) for path in SAMPLES)
FOREIGN = re.compile(r"\d (?:kg|km|°C|l)\b|\b(?:kg|°C|l/kWh|litre)\b")
DOMESTIC = re.compile(r"\d (?:lb|mi|°F|gal)\b|\b(?:lb|°F|gal|gallon)\b")
BOTH_METRIC = re.compile(r"23 kg \(51 lb\)|\d+ °C \(\d+ °F\)|[\d.]+ l \([\d.]+ US gal\)|20 feet \(6 m\)")
BOTH_US = re.compile(r"51 lb \(23 kg\)|\d+ °F \(\d+ °C\)|[\d.]+ US gal \([\d.]+ l\)|20 f(?:ee)?t \(6 m\)|per °C|1/°C")
"""What is told in both units wherever it stands, and coefficients, which data sheets state per °C everywhere."""


def in_units(case: Case, units: str, **changed: object) -> Case:
    """The case as a client reads it who knows other units."""
    about = case.about.model_copy(update={"units": units})
    set_here = case.about.model_fields_set | {"units"}
    return case.model_copy(update={"about": type(about).model_validate(
        {name: getattr(about, name) for name in set_here})} | changed)  # fmt: skip


def shown_columns(slots: Slots) -> Iterator[tuple[str, Column]]:
    """The columns of the sheets that people see."""
    for sheet in sheets_for(slots):
        for table in sheet.blocks if not sheet.working else ():
            if isinstance(table, Table):
                yield from ((sheet.name, column) for column in table.columns)


CASES = {
    "a drive": in_units(WRENFOLD, "US"),
    "far from mains": in_units(TOLMERE, "US"),
    "a cold room": in_units(CORNERS["cold room, drive"], "US", recharge=Recharge(generator_w=1200, fuel_price=1.1)),
    "nothing": in_units(Case(), "US"),
}


@pytest.mark.parametrize("name", CASES)
def test_every_formula_gives_what_the_model_says(name: str) -> None:
    """From spoiled results an engine computes every cell anew, those in US units too."""
    made = small(CASES[name])
    assert made.slots.us
    cells = cells_of(made)
    assert disagreeing(Formualizer(build(made, version="test", poison=-987.5)), cells) == {}
    turned = [cell for cell in cells if cell.column.shown]
    assert len(turned) > 30


def test_units_change_no_number_that_is_not_shown_in_them() -> None:
    """Of two workbooks of one case, in both units, every cell holds the same, but for what is told of the units."""
    plain, turned = (small(in_units(WRENFOLD, units)) for units in ("metric", "US"))
    values = {str(cell): cell for cell in cells_of(plain)}
    seen = 0
    for cell in cells_of(turned):
        before = values.get(str(cell))
        if before is None or not isinstance(cell.value, int | float) or cell.table.name in {"takes_sizing", "told"}:
            continue
        kept = cell.column.shown.read(cell.value) if cell.column.shown else cell.value
        assert agree(before.value, kept), (str(cell), before.value, cell.value)
        seen += 1
    assert seen > 10_000


def test_what_is_seen_is_in_the_units_of_the_client() -> None:
    """No column of a sheet that is shown keeps a metric unit in a US workbook, nor has a US one in a metric workbook."""
    metric, ours = (
        {(n, c.name): c for n, c in shown_columns(Slots(loads=2, candidates=1, us=us))} for us in (False, True)
    )
    assert metric.keys() == ours.keys()
    domestic = {measure.unit for measure in US.values()} - {"money"}
    assert not [key for key, column in metric.items() if column.unit in domestic]
    left = {key for key, column in ours.items() if column.unit in US}
    assert {name for _, name in left} == {"noct_c"}, "a data sheet of a module states it in °C everywhere"
    assert ours["Candidates", "weight_kg"].unit == "lb"
    assert ours["Solar recharge", "fuel_price"].title == "Fuel price per gallon"


def test_every_measure_has_a_number_of_decimals() -> None:
    """A cord of 24.006145573 ft helps nobody: what is shown in US units has its format, as has what it is kept in."""
    units = {unit for measure in US.values() for unit in (measure.kept, measure.unit)}
    assert units - FORMATS.keys() == set()


def test_every_input_that_is_measured_is_typed_in_us_units() -> None:
    """By their declarations: what has a weight, a temperature or a volume is typed in the client's unit, and no other is."""
    for _, column in shown_columns(Slots(loads=2, candidates=1, us=True)):
        if column.field is not None:
            measure = US.get(measure_of(column.field))
            assert column.shown == measure, column.name


def test_an_edit_in_us_units_reaches_every_cell() -> None:
    """What is typed in lb, °F and gal counts as the same weight, temperature and volume."""
    case = CASES["a drive"]
    bench = Bench(
        study(case, Slots(loads=40, candidates=9, days=5, us=True)), ("storage", "there", "need", "figures", "refill")
    )
    bench.type_in("candidates", "weight_kg", 100.0, 0)
    bench.type_in("sizing", "lift_kg", 60.0)
    bench.type_in("sizing", "storage_c", 41.0)
    bench.type_in("recharge", "fuel_l_per_kwh", 0.2)
    bench.type_in("recharge", "fuel_price", 4.0)
    bench.engine.recalculate()
    first = case.candidates[0].model_copy(update={"weight_kg": 45.359237})
    sizing = type(case.sizing)(**case.sizing.model_dump(exclude_unset=True) | {"lift_kg": 27.2155422, "storage_c": 5.0})
    recharge = Recharge(
        **case.recharge.model_dump(exclude_unset=True)
        | {"fuel_l_per_kwh": 0.7570823568, "fuel_price": 1.0566882094325938}
    )
    edited = case.model_copy(
        update={"candidates": (first, *case.candidates[1:]), "sizing": sizing, "recharge": recharge}
    )
    bench.made = study(edited, bench.made.slots)
    assert bench.differences() == []


def printed(made: Study, folder: Path) -> str:
    """The text of the printed pages."""
    path = folder / "pages.pdf"
    path.write_bytes(pdf_bytes(build(made, version="test")))
    told = subprocess.run(["pdftotext", "-layout", str(path), "-"], check=True, capture_output=True, text=True)
    return told.stdout


@pytest.mark.skipif(not (office() and shutil.which("pdftotext")), reason="no LibreOffice, or no pdftotext")
def test_what_is_printed_is_in_the_units_of_the_client(tmp_path: Path) -> None:
    """In US units no page tells of kg, km, °C or litres, in metric ones none of lb, miles, °F or gallons."""
    ours = BOTH_US.sub("", printed(study(CASES["a drive"]), tmp_path))
    assert FOREIGN.findall(ours) == []
    assert {"lb", "mi", "gal"} <= set(re.findall(r"\b(?:lb|mi|gal)\b|°F", ours))
    theirs = BOTH_METRIC.sub("", printed(study(TOLMERE), tmp_path))
    assert DOMESTIC.findall(theirs) == []
    assert "kg" in theirs
