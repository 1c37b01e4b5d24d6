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
    "weight_kg": 22, "transfer_ms": 20, "pv_inputs": 1, "pv_min_v": 11, "pv_max_v": 60, "pv_max_a": 15, "pv_total_w": 500, "cycles": 3500,
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
        ("Unit A\nCapacity: 2 kWh\nSurge: 3000 W", "R001"),
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


@pytest.mark.parametrize("line", ["Phases: 3", "Number of phases\tthree", "Phasen: 3", "Anzahl der Phasen: drei"])
def test_a_data_sheet_that_counts_three_phases_is_refused(line: str, tmp_path: Path) -> None:
    """One phase of the unit bears a third: a line that only counts them is no line to be left aside."""
    case, findings = pasted(tmp_path, f"{ROWAN}\n{line}")
    assert case is None
    (told,) = findings.errors
    assert "three phases" in told.message
    assert pasted(tmp_path, f"{ROWAN}\nPhases: 1")[0] is not None


KESTREL = """\
Kestrel 4000
Capacity: 4.1 kWh
Output: 3600 W
Surge: 7200 W
Noise: 45 dB
Warranty: 5 years
Price: $2,999"""
"""An invented data sheet that is complete."""
BURROW = """\
Battery capacity\t6,144 Wh
AC output (continuous)\t3,000 W
AC surge\t6,000 W
Weight\t137 lb
Backup switching time\t10 ms
Your price\t$4,299"""
"""The lines of another one, below which name so ever."""


@pytest.mark.parametrize("between", ["\n\n", "\n"])
@pytest.mark.parametrize("name", ["Burrow 6", "Specification\tBurrow 6", "Burrow 6\nSpecification\tBurrow 6"])
def test_a_name_alone_begins_another_unit(between: str, name: str, tmp_path: Path) -> None:
    """Its figures are never those of the unit above; `Specification` over labels and values is a name as `Model` is."""
    kestrel, burrow = candidates(tmp_path, f"{KESTREL}{between}{name}\n{BURROW}")
    assert (kestrel.name, kestrel.storage_wh, kestrel.weight_kg) == ("Kestrel 4000", 4100, None)
    assert (burrow.name, burrow.storage_wh, burrow.continuous_w) == ("Burrow 6", 6144, 3000)
    assert (burrow.surge_w, burrow.transfer_ms, burrow.price) == (6000, 10, 4299)


@pytest.mark.parametrize(
    ("above", "below"),
    [
        (KESTREL, "Burrow 6\nNominal feed-in: 3000 W\nWarranty: 10 years"),
        (KESTREL, "Burrow 6\nNominal feed-in: 3000 W\nWeight: 62 kg"),
        (KESTREL, "\nBurrow 6\nNominal feed-in: 3000 W\nTransfer time: 10 ms"),
        ("Kestrel\nOutput: 3600 W\nSurge: 7200 W\nPrice: 2999", "\nBurrow 6\nCapacity: 6144 Wh\nNominal: 3 kW"),
    ],
)
def test_two_units_are_never_made_one(above: str, below: str, tmp_path: Path) -> None:
    """Where it can't be told whether a line is a name, the error names it and the unit above, and how to tell."""
    case, findings = pasted(tmp_path, f"{above}\n{below}")
    assert case is None
    (doubt,) = [error for error in findings.errors if error.code == "C027"]
    assert "Burrow 6" in doubt.message
    assert "Kestrel" in doubt.message
    assert "Model:" in doubt.remedy
    _, told = pasted(tmp_path, f"{above}\n{below}".replace("Burrow 6", "Model: Burrow 6"))
    assert "C027" not in {error.code for error in told.errors}


def test_a_heading_begins_no_unit(tmp_path: Path) -> None:
    """Headings made of such words as data sheets are divided by, with blank rows above them."""
    text = (
        "Kestrel\n\nPower\nOutput: 3600 W\nSurge: 7200 W\n\nBattery\nCapacity: 4.1 kWh\n\nWeight and price\nPrice: 2999"
    )
    (unit,) = candidates(tmp_path, text)
    assert (unit.storage_wh, unit.continuous_w, unit.price) == (4100, 3600, 2999)


@pytest.mark.parametrize("on_its_side", [False, True])
@pytest.mark.parametrize("head", ["AC output", "AC output (continuous)"])
def test_ac_output_is_known_in_a_table_by_its_unit(head: str, on_its_side: bool, tmp_path: Path) -> None:
    """Watts below it are continuous output, upright or on its side."""
    rows = [["Model", "Capacity", head, "Surge"], ["A", "2 kWh", "1500 W", "3 kW"], ["B", "3 kWh", "2 kW", "4 kW"]]
    table = [list(column) for column in zip(*rows, strict=True)] if on_its_side else rows
    one, other = candidates(tmp_path, "\n".join("\t".join(row) for row in table))
    assert (one.continuous_w, other.continuous_w) == (1500, 2000)


def test_ac_output_in_bare_numbers_is_refused(tmp_path: Path) -> None:
    """They may be volts."""
    _, findings = pasted(tmp_path, "Model\tCapacity\tAC output\tSurge\nA\t2 kWh\t230\t3000 W")
    assert "C016" in {finding.code for finding in findings.found}


@pytest.mark.parametrize("label", ["AC output (continuous / surge)", "Output", "AC output"])
def test_two_watts_with_a_stroke_are_continuous_and_surge(label: str, tmp_path: Path) -> None:
    """The higher one behind; two that do not rise are refused."""
    (unit,) = candidates(tmp_path, f"Burrow 6\nCapacity\t6,144 Wh\n{label}\t3,000 W / 6,000 W")
    assert (unit.continuous_w, unit.surge_w) == (3000, 6000)
    case, _ = pasted(tmp_path, f"Burrow 6\nCapacity\t6,144 Wh\n{label}\t6,000 W / 3,000 W")
    assert case is None


def test_ports_of_one_line_are_told_apart(tmp_path: Path) -> None:
    """Volts times amps of the socket; of two USB ports what each gives is all that is counted on."""
    (unit,) = candidates(tmp_path, f"{KESTREL}\nCar socket 12 V 10 A; 2 x USB-C 100 W")
    assert (unit.dc_12v_w, unit.usb_w) == (120, 100)


def test_lines_as_dealers_write_them_are_known(tmp_path: Path) -> None:
    """The price of today, not the former one; weight in a sentence; cycles under `Life`."""
    text = KESTREL.replace("Price: $2,999", "Was $3,599, NOW $2,999")
    more = "Weighs 114 lbs\nLife: 3,500 cycles to 80%\nRecharge from wall: 1,800 W\nBackup switching time 10 ms"
    (unit,) = candidates(tmp_path, f"{text}\n{more}")
    assert (unit.price, unit.cycles, unit.ac_charge_w, unit.transfer_ms) == (2999, 3500, 1800, 10)
    assert unit.weight_kg == pytest.approx(114 * 0.45359237)
    (table,) = candidates(tmp_path, KESTREL.replace("Price: $2,999", "Price\tWas $3,599, now $2,999\nNow 20 % lighter"))
    assert table.price == 2999


def test_every_line_that_is_left_aside_is_named(tmp_path: Path) -> None:
    """However many there are."""
    lines = [f"Remarkable feature {letter * 20}: very much so" for letter in "abcdefghijklmnopqrst"]
    _, findings = pasted(tmp_path, "\n".join([KESTREL, *lines]))
    (aside,) = [finding for finding in findings.found if finding.code == "C024"]
    assert all(line.partition(":")[0] in aside.found for line in lines)


def test_money_and_energy_that_are_left_aside_are_a_warning(tmp_path: Path) -> None:
    """A price that may be that of both packs, and watts of which nobody can tell what they are, are quoted."""
    text = f"{KESTREL}\nExpansion: 2 x 2048 Wh, all for $1,899\nQuiet mode: 1100 W\nApp: yes"
    _, findings = pasted(tmp_path, text)
    warned = [each for each in findings.found if each.code in {"C024", "Q028"} and each.level == "warning"]
    assert [each.found for each in warned] == ["2 x 2048 Wh, all for $1,899", "Quiet mode 1100 W"]
    assert warned[0].message.endswith("left aside: `all for $1,899`")
    assert [each.found for each in findings.found if each.code == "C024" and each.level == "note"] == ["App yes"]


def test_lines_below_a_name_that_are_none_are_named_too(tmp_path: Path) -> None:
    """A heading or a sentence right below the name; the name itself, said twice, is not."""
    text = KESTREL.replace("Kestrel 4000", "Kestrel 4000\nThe quiet one\nSpecification\tKestrel 4000")
    case, findings = pasted(tmp_path, text)
    assert case is not None
    assert [unit.name for unit in case.candidates] == ["Kestrel 4000"]
    assert [finding.found for finding in findings.found if finding.code == "C024"] == ["The quiet one"]


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


def test_a_data_sheet_without_a_surge_is_read(tmp_path: Path) -> None:
    """What it gives while a motor starts is then not known: it is not stated, and that is told."""
    case, findings = pasted(tmp_path, "Unit A\nCapacity: 2 kWh\nOutput: 1500 W")
    assert case is not None
    assert stated(case.candidates[0]).keys() & {"continuous_w", "surge_w"} == {"continuous_w"}
    assert "A036" in {finding.code for finding in findings.found}


def test_the_watts_that_are_missing_are_looked_for_on_lines_left_aside(tmp_path: Path) -> None:
    """The error quotes the lines that hold that unit, and tells what to write before them."""
    case, findings = pasted(tmp_path, "Unit A\n2 kWh\n2400 W\n4800 W\n99 lbs")
    assert case is None
    (error,) = findings.errors  # a surge that is not stated is asked, and no error
    assert error.code == "R001"
    assert "`2400 W`, `4800 W`" in error.remedy
    assert error.remedy.endswith("Output: 2400 W")
    told, _ = pasted(tmp_path, "Unit A\n2 kWh\nOutput 2400 W\nSurge 4800 W\n99 lbs")
    assert told is not None


@pytest.mark.parametrize(
    ("country", "price", "code"),
    [
        ("Canada", "CA$2,199.00", ""), ("Canada", "C$ 2,199.00", ""), ("Canada", "$2,199.00", ""), ("Canada", "CAD 2,199.00", ""),
        ("Canada", "US$2,199.00", "Q013"), ("US", "US$2,199.00", ""), ("US", "CA$2,199.00", "Q013"), ("US", "A$2,199.00", "Q013"),
        ("Australia", "AU$2,199.00", ""), ("Australia", "A$2,199.00", ""), ("New Zealand", "NZ$2,199.00", ""), ("Germany", "$2,199.00", "Q013"),
    ],
)  # fmt: skip
def test_a_price_is_in_the_money_of_the_country(country: str, price: str, code: str, tmp_path: Path) -> None:
    """CA$ is the dollar of Canada, and US$ is not: a price in other money is told, none is left aside."""
    sheet = ["Unit A", "Capacity: 2048 Wh", "Output: 2400 W", "Surge: 4800 W", f"Price {price}"]
    about = {"country": country}
    case, findings, _ = read_any(filled_form(tmp_path / "form.xlsx", about, [LAMP], [[line] for line in sheet]))
    assert [each.code for each in findings.errors] == [code] * bool(code)
    assert code or (case is not None and case.candidates[0].price == 2199)
    assert "C024" not in {each.code for each in findings.found}


def test_packs_are_counted_only_where_their_number_is_told(tmp_path: Path) -> None:
    """`Expandable to 10 kWh` alone adds no storage and is told; with the number of packs each stores its part of the rest."""
    sheet = "Unit A\n2,048 Wh expandable to 10 kWh\nOutput: 1500 W\nSurge: 3000 W"
    case, findings = pasted(tmp_path, sheet)
    assert case is not None
    assert (case.candidates[0].storage_wh, case.candidates[0].packs_max) == (2048, None)
    assert [finding.code for finding in findings.found if finding.level == "warning"] == ["C029"]
    (unit,) = candidates(tmp_path, sheet.replace("10 kWh", "10 kWh with 4 batteries"))
    assert (unit.pack_wh, unit.packs_max) == (1988, 4)
    (named,) = candidates(tmp_path, f"{sheet}\nExtra battery 2,048 Wh $899, up to 3")
    assert (named.pack_wh, named.packs_max, named.pack_price) == (2048, 3, 899)


def test_a_figure_without_a_label_that_differs_from_the_one_above_is_told(tmp_path: Path) -> None:
    """What stands above counts, and nobody finds out by the hours."""
    case, findings = pasted(tmp_path, f"{ROWAN}\n3.6 kWh")
    assert case is not None
    assert case.candidates[0].storage_wh == 2048
    assert [finding.found for finding in findings.found if finding.code == "C025"] == ["3.6 kWh"]
