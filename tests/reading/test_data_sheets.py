"""What data sheets write beside a figure: the figure is read, and what it is for. All of them are invented."""

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
