"""What data sheets write beside a figure: the figure is read, and what it is for. All of them are invented."""

import time
from pathlib import Path

import pytest

from holdover.case.schema import Candidate
from holdover.findings import Finding, Findings
from holdover.reading.table.offered import read_pasted
from holdover.reading.table.source import RawCell, RawTable
from holdover.returned.read import read_any

HEAD = "name;storage_wh;continuous_w;surge_w;price;pack_wh;warranty_years;cycles;transfer_ms;weight_kg;noise_db"
PLAIN = "U;2000;3000 W;6000 W;999;1000 Wh;5;3000;10;25;40"


def told(folder: Path, **cells: str) -> tuple[Candidate | None, list[Finding]]:
    """The candidate of a row in which some cells are other, and what is said of it."""
    row = dict(zip(HEAD.split(";"), PLAIN.split(";"), strict=True)) | cells
    (folder / "case.toml").write_text('[about]\ncurrency = "€"\n', encoding="utf-8")
    (folder / "loads.csv").write_text("name,running_w,hours_per_day\nLamp,9,5\n", encoding="utf-8")
    (folder / "candidates.csv").write_text(f"{HEAD}\n{';'.join(row.values())}\n", encoding="utf-8")
    case, findings, *_ = read_any(folder)
    return (case.candidates[0] if case else None), findings.found


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("surge_w", "10 kW (10 s)", 10_000), ("surge_w", "10 kW for 10 s", 10_000), ("surge_w", "6 kW peak", 6000),
        ("surge_w", "6 kW, 5 sec", 6000), ("surge_w", "6 kW / 500 ms", 6000),
        ("warranty_years", "5 Jahre", 5), ("warranty_years", "5 years / 5 Jahre Garantie", 5), ("warranty_years", "3 ans", 3),
        ("warranty_years", "2 años", 2), ("warranty_years", "60 Monate", 5), ("warranty_years", "5 years limited warranty", 5),
        ("cycles", ">= 3500 Zyklen", 3500), ("cycles", "≥3500 Zyklen (80 %)", 3500), ("transfer_ms", "<30 ms", 30),
        ("transfer_ms", "10 ms typ.", 10), ("weight_kg", "ca. 25 kg", 25), ("weight_kg", "25 kg netto", 25),
        ("weight_kg", "25 kg (net)", 25), ("noise_db", "≤ 45 dB(A)", 45), ("noise_db", "max. 45 dB(A)", 45),
        ("price", "499 € each", 499), ("price", "499,- €", 499), ("price", "499 €/Stück", 499),
    ],
)  # fmt: skip
def test_a_figure_is_read_with_what_stands_beside_it(field: str, typed: str, value: float, tmp_path: Path) -> None:
    """For how long a surge is there, the word for warranty, a limit, a net weight, the price of one: all change nothing."""
    candidate, found = told(tmp_path, **{field: typed})
    assert candidate is not None, [each.message for each in found]
    assert getattr(candidate, field) == value


def test_an_output_for_seconds_is_no_continuous_output(tmp_path: Path) -> None:
    """Beside a continuous output it is the surge; alone in its cell it is refused."""
    candidate, _ = told(tmp_path, continuous_w="3 kW (6 kW for 5 s)", surge_w="")
    assert candidate is not None
    assert (candidate.continuous_w, candidate.surge_w) == (3000, 6000)
    nothing, found = told(tmp_path, continuous_w="3 kW (10 s)")
    assert nothing is None
    assert [each.code for each in found if each.level == "error"] == ["Q001"]


def test_the_price_of_a_pack_is_read_beside_what_it_holds() -> None:
    """`Add-on battery 2048 Wh, $499 each` states two figures, on a line of a pasted data sheet as in a cell."""
    lines = ("Unit Tansy", "Capacity: 2 kWh", "Output: 2 kW (4 kW for 3 s)", "Add-on battery 2048 Wh, 499 each")
    raw = RawTable(file="form", rows={n: {1: RawCell(value=line)} for n, line in enumerate(lines, 1)})
    (row,) = read_pasted(raw, Findings())
    assert (row.entries["pack_wh"].value, row.entries["pack_price"].value) == ("2048 Wh", "499")
    assert (row.entries["continuous_w"].value, row.entries["surge_w"].value) == ("2 kW", "4 kW")


def pasted(*lines: str) -> RawTable:
    """A sheet into which lines were pasted, one a row; an empty one is a blank row."""
    return RawTable(file="form", rows={n: {1: RawCell(value=line)} for n, line in enumerate(lines, 1) if line})


def entries(*lines: str) -> list[dict[str, str]]:
    """What is read of pasted lines, a unit each."""
    rows = read_pasted(pasted(*lines), Findings())
    return [{name: str(entry.value) for name, entry in row.entries.items()} for row in rows]


UNIT = ("Unit A", "Storage: 3,072 Wh", "Output: 3000 W", "Surge: 6000 W")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("LiFePO4, 4000 cycles", {"cycles": "4000 cycles"}), ("4000 cycles", {"cycles": "4000 cycles"}),
        ("LFP battery, 4,000+ cycles to 80%", {"cycles": "4,000+ cycles"}), ("6500 cycles LFP", {"cycles": "6500 cycles"}),
        ("99 lbs", {"weight_kg": "99 lbs"}), ("Net weight approx. 70 lbs", {"weight_kg": "approx. 70 lbs"}),
        ("51 lb (23 kg)", {"weight_kg": "51 lb"}), ("$3,199", {"price": "$3,199"}), ("1.299,00 €", {"price": "1.299,00 €"}),
        ("$1,699.00 (was $1,999)", {"price": "$1,699.00"}), ("Price: $1,699 (reg. $1,999)", {"price": "$1,699"}),
        ("120 V", {"ac_volts": "120 V"}), ("230V / 50Hz", {"ac_volts": "230V"}), ("120/240 V", {"ac_volts": "120/240 V"}),
        ("120/240 V split phase", {"ac_volts": "120/240 V", "volts_at_once": "both"}),
        ("Output 120/240 V split phase", {"ac_volts": "120/240 V", "volts_at_once": "both"}),
        ("120V pure sine wave, 5 outlets", {"ac_volts": "120V", "ac_sockets": "5"}), ("45 dB", {"noise_db": "45 dB"}),
        ("5 year warranty", {"warranty_years": "5 year"}), ("5 years", {"warranty_years": "5 years"}),
        ("Recharge 1800 W from wall outlet", {"ac_charge_w": "1800 W"}), ("500 W solar", {"pv_total_w": "500 W"}),
        ("Add-on battery 2,048 Wh $899, up to 4", {"pack_wh": "2,048 Wh", "pack_price": "$899", "packs_max": "4"}),
        ("Extra battery: 2048 Wh - $899", {"pack_wh": "2048 Wh", "pack_price": "$899"}),
        ("Expandable up to 11,264 Wh with 4 extra batteries", {"packs_max": "4", "pack_wh": "2048 Wh"}),
        ("Expansion: up to 11,264 Wh with 4 extra batteries", {"packs_max": "4", "pack_wh": "2048 Wh"}),
        ("• 99 lbs", {"weight_kg": "99 lbs"}), ("- $3,199", {"price": "$3,199"}), ("220-240 V", {"ac_volts": "220-240 V"}),
        ("51 lb • 5 outlets • $899", {"weight_kg": "51 lb", "ac_sockets": "5", "price": "$899"}),
        ("2048 Wh extra battery", {"pack_wh": "2048 Wh"}), ("4000 cycles battery life", {"cycles": "4000 cycles"}),
        ("Charging 1800W AC", {"ac_charge_w": "1800W"}), ("AC charge input 3000W", {"ac_charge_w": "3000W"}),
        ("Input AC 1800W, solar 500W", {"ac_charge_w": "1800W", "pv_total_w": "500W"}),
        ("120V 1800W AC input", {"ac_charge_w": "1800W"}), ("AC charge: 15 A at 120 V", {"ac_charge_w": "1800 W"}),
        ("AC charging: 230V/10A max", {"ac_charge_w": "2300 W"}), ("AC charge: 15 A", {}), ("Outlets: 4 AC, 2 USB", {}),
        ("Outlets: 4 x 120V/20A, 1 x 30A L14-30", {"ac_sockets": "5"}), ("$1,199 (sale), was $1,599", {"price": "$1,199"}),
        ("120/240V split-phase output 3000W continuous", {"ac_volts": "120/240V", "volts_at_once": "both"}),
        ("Extra battery 3600Wh $1,899, 77 lbs", {"pack_wh": "3600Wh", "pack_price": "$1,899", "pack_weight_kg": "77 lbs"}),
        ("Expansion: up to 4 Larch packs, 2,458 Wh each", {"packs_max": "4", "pack_wh": "2,458 Wh"}),
        ("Expansion: up to 4 kWh battery packs", {}), ("Maximum number of packs 2", {"packs_max": "2"}), ("Number of packs: 2", {"packs_max": "2"}),
        ("Expansion pack weight: 48 lbs, price $1,199", {"pack_weight_kg": "48 lbs", "pack_price": "$1,199"}),
        ("EPS 20ms", {"transfer_ms": "20ms"}), ("Recharge cycles 3000", {"cycles": "3000"}),
        ("Expansion: 2 x 2048 Wh, 77 lbs", {"packs_max": "2", "pack_wh": "2048 Wh"}), ("3-phase", {"ac_volts": "3-phase"}), ("400 V three-phase, 50 Hz", {"ac_volts": "400 V three-phase, 50 Hz"}),
        ("Three units make three-phase 400 V", {}), ("3072 Wh", {}), ("3072Wh / 3000W (6000 W peak)", {}),
    ],
)  # fmt: skip
def test_a_line_without_a_label_is_read_by_its_units_and_words(line: str, told: dict[str, str]) -> None:
    """`99 lbs` is a weight; what says the same as a line above adds nothing."""
    (plain,) = entries(*UNIT)
    (more,) = entries(*UNIT, line)
    assert {name: value for name, value in more.items() if name not in plain} == told
    assert {name: more[name] for name in plain} == plain


def test_what_a_line_without_a_label_was_read_as_is_told() -> None:
    """A note quotes the line and names its figures; a line with a label needs none."""
    findings = Findings()
    read_pasted(pasted(*UNIT, "99 lbs"), findings)
    (note,) = findings.found
    assert (note.code, note.level, note.row, note.found) == ("C028", "note", len(UNIT) + 1, "99 lbs")
    assert note.message.endswith("Weight 99 lbs")


@pytest.mark.parametrize(
    "line",
    [
        "12 V", "51.2 V", "120V input", "15 A", "20 A x 2", "160 Ah", "24 months", "Charges 0-80% in 50 min", "2 x 2048 Wh",
        "$899 per battery", "99 lbs with 2 packs", "10 year design life", "ISO 9001", "1,024 Wh or 2,048 Wh", "1800 W charger",
        "100-240 V", "2048 Wh battery pack", "$75 / month", "Runs a 700 W fridge for 10 hours", "10 lb battery",
        "Unit B 5000 Wh", "Dimensions 16 x 12 x 13 in", "500 W", "80 lb or 90 lb",
    ],
)  # fmt: skip
def test_a_line_that_may_mean_several_things_is_left_aside(line: str) -> None:
    """A voltage of a battery, a price of a pack, a part of a line that is not understood: no figure is guessed."""
    assert entries(*UNIT, line) == entries(*UNIT)


def test_watts_alone_are_the_output_where_no_other_line_may_be_it() -> None:
    """Two lines of bare watts, or one beside a stated output, may be those of an input; beside a peak they are the output."""
    (one,) = entries("Unit A", "2 kWh", "2400 W", "4800 W peak")
    assert (one["storage_wh"], one["continuous_w"], one["surge_w"]) == ("2 kWh", "2400 W", "4800 W")
    (two,) = entries("Unit A", "2 kWh", "2400 W", "1800 W")
    assert "continuous_w" not in two
    (beside,) = entries("Unit A", "3.6 kWh / 3600 W (7200 W peak)", "1800 W")
    assert (beside["continuous_w"], beside["surge_w"]) == ("3600 W", "7200 W")


def test_units_without_labels_are_told_apart_by_their_names() -> None:
    """A third bare name begins a third unit, and a line such as `LFP 3000 Wh` is the name of one where another energy stands above."""
    blocks = (*UNIT, "", "Unit B", *UNIT[1:], "", "Unit C", "2048Wh Capacity", "2400W AC Output / 4800W Surge", "$899")
    assert [row["name"] for row in entries(*blocks)] == ["Unit A", "Unit B", "Unit C"]
    assert entries(*blocks)[2] == {
        "name": "Unit C", "storage_wh": "2048Wh", "continuous_w": "2400W", "surge_w": "4800W", "price": "$899",
    }  # fmt: skip
    assert [row["name"] for row in entries(*UNIT, "LFP 5000 Wh", "Output: 5 kW", "Surge: 9 kW")] == [
        "Unit A",
        "LFP 5000 Wh",
    ]


def test_a_very_long_line_is_left_aside() -> None:
    """It is no line of a data sheet, and to look through it costs the square of its length."""
    assert entries(*UNIT, f"99 lbs{', pure sine wave' * 20}") == entries(*UNIT)
    assert entries(*UNIT, f"99 lbs{', pure sine wave' * 2}") != entries(*UNIT)


BLANKS = 99_000
"""About as many as a line may have that is read at all [-]."""


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (f"Weight{' ' * BLANKS}99 lbs", "99 lbs"), (f"Weight{' ' * BLANKS}:{' ' * BLANKS}99 lbs", "99 lbs"),
        (f"Weight{' ' * BLANKS}\t{' ' * BLANKS}99 lbs", "99 lbs"), (f"99{' ' * BLANKS}lbs", "99 lbs"),
        (f"Colour{' ' * BLANKS}blue", None), (f"Colour{' : ' * (BLANKS // 3)}blue", None), (f"Colour{' 1' * (BLANKS // 2)}", None),
    ],
)  # fmt: skip
def test_a_line_with_very_many_blanks_costs_no_time(line: str, told: str | None) -> None:
    """A run of blanks says what one does, and a tab within it parts a label from its figure; the time is not its square."""
    begin = time.process_time()
    (unit,) = entries(*UNIT, line)
    assert unit.get("weight_kg") == told
    assert time.process_time() - begin < 1.0
