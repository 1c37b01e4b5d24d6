"""Prices: a point or comma between thousands is never taken for a decimal mark in silence."""

from pathlib import Path

import pytest

from holdover.findings import Finding
from holdover.returned.read import read_any

LOADS = "name,running_w,hours_per_day\nLamp,10.5,5\n"


def read(
    folder: Path, price: str, *, kwh: str = "2.05 kWh", other: str = "2 899", currency: str = "$", pack: str = ""
) -> tuple[float | None, list[Finding]]:
    """The price that was read of one candidate beside another, and what was said of it; other advice apart."""
    rows = [("Unit A", kwh, price, pack), ("Unit B", "3000", other, "")]
    text = "name;storage_wh;continuous_w;surge_w;price;pack_price\n"
    text += "".join(f"{name};{wh};2400;4800;{amount};{extra}\n" for name, wh, amount, extra in rows)
    (folder / "case.toml").write_text(f'[about]\ncurrency = "{currency}"\n', encoding="utf-8")
    (folder / "loads.csv").write_text(LOADS, encoding="utf-8")
    (folder / "candidates.csv").write_text(text, encoding="utf-8")
    case, findings, _ = read_any(folder)
    return (case.candidates[0].price if case else None), [f for f in findings.found if f.code in {"Q003", "A035"}]


@pytest.mark.parametrize(
    ("price", "small", "large"),
    [("2.199", "2.199", "2199"), ("1.000", "1", "1000"), ("12.500", "12.5", "12500"), ("999.999", "999.999", "999999"),
     ("$2.199", "2.199", "2199"), ("2.199 $", "2.199", "2199"), ("3.250 USD", "3.25", "3250"),
     ("US$ 1.499", "1.499", "1499"), ("1.999,-", "", ""), ("9.990", "9.99", "9990"), ("100.100", "100.1", "100100")],
)  # fmt: skip
def test_a_price_with_three_decimals_is_refused(price: str, small: str, large: str, tmp_path: Path) -> None:
    """The point is the decimal mark of the file, and a price has no three decimals: both readings are told."""
    read_as, told = read(tmp_path, price)
    assert read_as is None
    if small:
        assert [(f.code, f.message) for f in told] == [("Q003", f"Price may be read as {small} or as {large}")]


@pytest.mark.parametrize(
    "price", ["2,199", "1,000", "12,500", "999,999", "2,199 $", "1,499", "9,990", "3,250", "1,1", "7,25"]
)
def test_the_same_under_a_decimal_comma(price: str, tmp_path: Path) -> None:
    """In a file whose decimal mark is the comma it is the comma; two decimals are read."""
    read_as, told = read(tmp_path, price, kwh="2,05 kWh")
    assert read_as == (float(price.replace(",", ".")) if len(price) < 5 else None)
    assert [f.code for f in told] == (["A035"] if len(price) < 5 else ["Q003"])


@pytest.mark.parametrize(
    ("price", "value"),
    [("2199", 2199), ("2 199", 2199), ("2,199", 2199), ("2199.00", 2199), ("2,199.50", 2199.5), ("2199.5", 2199.5),
     ("1'299", 1299), ("$2k", 2000), ("1299.999", 1299.999), ("2199.9", 2199.9), ("1,299.-", 1299)],
)  # fmt: skip
def test_a_price_that_is_clear_is_read(price: str, value: float, tmp_path: Path) -> None:
    """Thousands by blank, comma or apostrophe, none or two decimals: read, and nothing is said."""
    assert read(tmp_path, price) == (value, [])


@pytest.mark.parametrize("currency", ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"])
def test_currencies_of_three_decimals(currency: str, tmp_path: Path) -> None:
    """Where a thousandth is coined, three decimals are read; the price per Wh beside the others is asked about."""
    read_as, told = read(tmp_path, "999.500", currency=currency)
    assert (read_as, told) == (999.5, [])


@pytest.mark.parametrize(
    ("pack", "asked"),
    [("0", True), ("1", True), ("1.10", True), ("99", True), ("109", True), ("111", False), ("120", False),
     ("500", False), ("1200", False), ("", False), ("3000", False)],
)  # fmt: skip
def test_a_pack_below_a_twentieth_of_its_unit_is_asked_about(pack: str, asked: bool, tmp_path: Path) -> None:
    """A pack at 1.10 beside a unit at 2200 may be one of 1100; at a twentieth and above nothing is said."""
    read_as, told = read(tmp_path, "2200", pack=pack)
    assert read_as == 2200
    assert [(f.code, f.level) for f in told] == ([("A035", "warning")] if asked else [])


@pytest.mark.parametrize(
    ("price", "asked"),
    [("2.20", True), ("2", True), ("22", True), ("90", True), ("98", True), ("101", False), ("220", False),
     ("900", False), ("2200", False), ("9000", False)],
)  # fmt: skip
def test_a_unit_for_next_to_nothing_is_asked_about(price: str, asked: bool, tmp_path: Path) -> None:
    """Below a twentieth of what a Wh costs elsewhere (2899 for 3000 Wh) a price may have lost its thousands."""
    read_as, told = read(tmp_path, price)
    assert read_as == float(price)
    assert [(f.code, f.level) for f in told] == ([("A035", "warning")] if asked else [])
