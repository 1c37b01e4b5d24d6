"""What is on offer may be pasted as it comes: data sheets line by line, a table, or a table on its side."""

from pathlib import Path
from typing import Any

import pytest

from holdover.case.schema import Candidate, Case
from holdover.findings import Findings, render
from holdover.returned.form import OFFER
from holdover.returned.read import read_any
from returned.forms import filled_form

LAMP = {"name": "Lamp", "running_w": "9 W", "hours_per_day": "5 h"}

ROWAN = """\
Unit Rowan 2000
Capacity: 2048 Wh LiFePO4 (51.2 V, 40 Ah)
AC output: 2400 W (surge 4800 W), 120 V
AC outlets: 4
Weight 22 kg / 48.5 lb
UPS switchover: <20 ms
Solar input: 11-60 V, 15 A, 500 W max
Cycle life: 3500 cycles to 80 %
Warranty: 5 years
Noise: < 45 dB at 1 m
Expansion: up to 2 x 2048 Wh
Price: $1,299"""
"""An invented data sheet, with what such sheets say beside their figures."""
SORREL = """\
Unit Sorrel
Battery
Capacity\t3.6 kWh
Output\t3.6 kW (7.2 kW peak)
Voltage\t120/240 V
Solar\t2 x 11-150V 1600W
Transfer time\t30 ms
Price\t$2,699.00"""
"""Another one, in two columns and with a heading of its own."""


def pasted(folder: Path, text: str) -> tuple[Case | None, Findings]:
    """What a form says in which a text was pasted, a line a row and a tab between cells."""
    lines = [line.split("\t") for line in text.splitlines()]
    case, findings, _ = read_any(filled_form(folder / "form.xlsx", {"country": "US"}, [LAMP], lines))
    return case, findings


def candidates(folder: Path, text: str) -> tuple[Candidate, ...]:
    """The candidates of it, which must be readable."""
    case, findings = pasted(folder, text)
    assert case is not None, render(findings.found)
    return case.candidates


def stated(candidate: Candidate) -> dict[str, Any]:
    """What a candidate states."""
    return {name: value for name, value in candidate if value not in (None, "")}


ROWAN_IS = {
    "name": "Unit Rowan 2000", "storage_wh": 2048, "continuous_w": 2400, "surge_w": 4800, "ac_volts": 120, "ac_sockets": 4,
    "weight_kg": 22, "transfer_ms": 20, "pv_min_v": 11, "pv_max_v": 60, "pv_max_a": 15, "pv_total_w": 500, "cycles": 3500,
    "warranty_years": 5, "noise_db": 45, "pack_wh": 2048, "packs_max": 2, "price": 1299,
}  # fmt: skip
SORREL_IS = {
    "name": "Unit Sorrel", "storage_wh": 3600, "continuous_w": 3600, "surge_w": 7200, "ac_volts": 120, "ac_volts_2": 240,
    "pv_inputs": 2, "pv_min_v": 11, "pv_max_v": 150, "pv_total_w": 1600, "transfer_ms": 30, "price": 2699,
}  # fmt: skip


@pytest.mark.parametrize("between", ["\n\n", "\n"])
def test_data_sheets_are_read_line_by_line(between: str, tmp_path: Path) -> None:
    """One below the other, with a blank row between them or none; a heading within a sheet begins no unit."""
    one, other = candidates(tmp_path, ROWAN + between + SORREL)
    assert stated(one) == pytest.approx(ROWAN_IS)
    assert stated(other) == pytest.approx(SORREL_IS)


def test_what_was_read_of_a_line_with_several_figures_is_told(tmp_path: Path) -> None:
    """Each such line, with what was taken from it; lines that say nothing asked are counted and shown."""
    _, findings = pasted(tmp_path, f"{ROWAN}\nDimensions: 40 x 28 x 30 cm\nApp: yes")
    told = {finding.column: finding.message for finding in findings.found if finding.code == "Q028"}
    assert "Continuous output 2400 W, Surge output 4800 W, AC voltage 120 V" in told["AC output"]
    (aside,) = [finding for finding in findings.found if finding.code == "C024"]
    assert aside.message.endswith(": 2")
    assert aside.sheet == OFFER


TABLE = """\
Model\tCapacity\tOutput\tSurge\tVoltage\tUPS\tSolar\tPrice\tExtra battery
Unit Rowan\t2.05 kWh\t2400 W\t4800 W\t120 V\t<20 ms\t11-60 V, 500 W\t$1299.00\t
Unit Sorrel\t3.6kWh LFP\t3.6 kW (7.2 kW peak)\t7200\t120/240V\t30 ms\t2 x 11-150V 1600W\t$2699.00\t3.6 kWh x 2
Unit Teasel\t1024Wh\t1800W\t2700W\t120\t10ms\t11~60V/10A\t799\t1024Wh, up to 1"""
"""A table as a dealer sends it: cells with several figures, words behind them, units glued to numbers."""


def test_a_table_is_read_as_in_a_file(tmp_path: Path) -> None:
    """Its headings need no place of their own, and its cells may state several figures."""
    rowan, sorrel, teasel = candidates(tmp_path, TABLE)
    assert (rowan.pv_min_v, rowan.pv_max_v, rowan.pv_total_w, rowan.transfer_ms) == (11, 60, 500, 20)
    assert (sorrel.storage_wh, sorrel.continuous_w, sorrel.surge_w) == (3600, 3600, 7200)
    assert (sorrel.pack_wh, sorrel.packs_max, sorrel.pv_inputs) == (3600, 2, 2)
    assert (teasel.pack_wh, teasel.packs_max, teasel.pv_max_a) == (1024, 1, 10)


def test_a_table_on_its_side_is_read_so(tmp_path: Path) -> None:
    """Data sheets side by side: labels in the first column, a unit in each of the others."""
    text = "Model\tUnit A\tUnit B\nCapacity\t2 kWh\t3 kWh\nOutput\t1500 W\t2 kW\nSurge\t3000 W\t4 kW\nPrice\t900\t1100"
    one, other = candidates(tmp_path, text)
    assert (one.name, one.storage_wh, other.name, other.continuous_w) == ("Unit A", 2000, "Unit B", 2000)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("We can deliver on Monday.\nCall us.", "C026"),
        ("Unit A\nCapacity: lots\nOutput: 1500 W\nSurge: 3000 W", "Q001"),
        ("Unit A\nCapacity: 2 kWh or 3 kWh\nOutput: 1500 W\nSurge: 3000 W", "Q001"),
        ("Unit A\nCapacity: 2 kWh\nOutput: 1500 W", "R001"),
        ("Capacity: 2 kWh\nOutput: 1500 W\nSurge: 3000 W", "R001"),
    ],
)
def test_what_cannot_be_read_without_guessing_is_refused(text: str, code: str, tmp_path: Path) -> None:
    """Words alone, two figures of one kind, a figure or a name that is missing: an error each, with a remedy."""
    case, findings = pasted(tmp_path, text)
    assert case is None
    assert {error.code for error in findings.errors} == {code}
    assert all(error.remedy and error.sheet == OFFER for error in findings.errors)


@pytest.mark.parametrize(
    ("line", "more"),
    [
        ("Battery: LFP, 4000 cycles", {"cycles": 4000}),
        ("Battery: LiFePO4 (4000+ cycles to 80 %)", {"cycles": 4000}),
        ("Battery\t4000 cycles", {"cycles": 4000}),
        ("Battery: LFP", {}),
        ("Battery: LiFePO4, 51.2 V 70.3 Ah", {}),
    ],
)
def test_what_the_battery_is_made_of_is_no_unit(line: str, more: dict[str, int], tmp_path: Path) -> None:
    """A line on the battery within a data sheet names no unit; the cycles that it states are read."""
    sheet = (
        f"Unit Heron\nCapacity: 3600 Wh\nAC output: 2400 W (surge 4800 W), 120 V\n{line}\nWeight: 38 kg\nPrice: $2,190"
    )
    (heron,) = candidates(tmp_path, sheet)
    told = {
        "name": "Unit Heron", "storage_wh": 3600, "continuous_w": 2400, "surge_w": 4800, "ac_volts": 120, "weight_kg": 38,
        "price": 2190,
    }  # fmt: skip
    assert stated(heron) == told | more


def test_a_line_on_the_battery_may_state_its_storage(tmp_path: Path) -> None:
    """Where no other line states the storage, the line on the battery does."""
    (heron,) = candidates(tmp_path, "Unit Heron\nBattery: LFP 3600 Wh, 4000 cycles\nOutput: 2400 W\nSurge: 4800 W")
    assert (heron.storage_wh, heron.cycles, heron.name) == (3600, 4000, "Unit Heron")


def test_a_figure_that_is_stated_twice_is_told(tmp_path: Path) -> None:
    """The first counts; nobody finds out by the price."""
    case, findings = pasted(tmp_path, ROWAN + "\nWarranty: 2 years")
    assert case is not None
    assert case.candidates[0].warranty_years == 5
    assert [finding.found for finding in findings.found if finding.code == "C025"] == ["2 years"]


def test_split_phase_is_two_voltages_at_once(tmp_path: Path) -> None:
    """`120/240 V, split phase` says the voltages and that both are there together."""
    (unit,) = candidates(
        tmp_path, "Unit A\nCapacity: 2 kWh\nOutput: 1500 W\nSurge: 3000 W\nVoltage: 120/240V, split phase"
    )
    assert (unit.ac_volts, unit.ac_volts_2, unit.volts_at_once) == (120, 240, "both")


@pytest.mark.parametrize(
    ("typed", "each", "together"),
    [("2 x 1500 W", 1500, None), ("2 x 1,5 kW", 1500, None), ("2 x 1500 W, 3000 W in all", 1500, 3000),
     ("2 x 11-150 V 1600 W", None, 1600)],
)  # fmt: skip
def test_watts_times_inputs_are_those_of_each(
    typed: str, each: float | None, together: float | None, tmp_path: Path
) -> None:
    """`2 x 1500 W` of solar are 1500 W at each of two inputs; watts behind a range of volts are those of all of them."""
    text = f"Model\tCapacity\tOutput\tSurge\tMax PV input\tPrice\nUnit A\t2 kWh\t1500 W\t3000 W\t{typed}\t900\n"
    (unit,) = candidates(tmp_path, text)
    assert (unit.pv_inputs, unit.pv_input_w, unit.pv_total_w) == (2, each, together)
