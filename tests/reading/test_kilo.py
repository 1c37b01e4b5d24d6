"""Kilowatts typed as bare numbers: refused where certain, asked about where likely, never where a unit is stated."""

from pathlib import Path

import pytest

from holdover.findings import Finding
from holdover.returned.read import read_any

LOADS = "name,running_w,hours_per_day\nLamp,10,5\n"
UNITS = "name,storage_wh,continuous_w,surge_w\nUnit A,2048,2400,4800\n"


def told(folder: Path, loads: str = LOADS, units: str = UNITS) -> list[Finding]:
    (folder / "case.toml").write_text("", encoding="utf-8")
    (folder / "loads.csv").write_text(loads, encoding="utf-8")
    (folder / "candidates.csv").write_text(units, encoding="utf-8")
    return read_any(folder)[1].found


def test_a_candidate_in_kilowatts_is_refused(tmp_path: Path) -> None:
    """Bare 2, 2 and 4 under headers without a unit are refused, each with both readings and what to write."""
    found = told(tmp_path, units="Candidate;Capacity;Continuous;Surge\nU;2;2;4\n")
    assert [(f.code, f.level, f.column) for f in found] == [
        ("Q023", "error", "Capacity"),
        ("Q023", "error", "Continuous"),
        ("Q023", "error", "Surge"),
    ]
    assert found[0].message.startswith("Storage may be 2 Wh or 2 kWh")
    assert "write 2 kWh, or head the column with (kWh)" in found[0].remedy
    assert "write 4 W" in found[2].remedy


@pytest.mark.parametrize(("name", "power"), [("Microwave", "1.5"), ("Kitchen fridge", "0,15"), ("LED lamps", "0.01")])
def test_a_load_that_is_usual_in_kilowatts_is_refused(name: str, power: str, tmp_path: Path) -> None:
    """A figure that is far too little in watts and the usual in kilowatts is not guessed at."""
    (found,) = told(tmp_path, f"Item;Power;Hours\n{name};{power};1\n")
    assert (found.code, found.level, found.column) == ("Q023", "error", "Power")
    assert f"write {power} kW, or head the column with (kW)" in found.remedy


@pytest.mark.parametrize(
    "loads",
    [
        "Item;Power;Hours\nMicrowave;1.5 kW;1\n",
        "Item;Power (kW);Hours\nMicrowave;1.5;1\n",
        "Item;Power;Hours\nRouter;12;24\nLamp;9;5\n",
        "Item;Power;Hours\nA;7;1\nB;9;1\nC;21;1\n",
        "Item;Power (W);Hours\nA;7;1\nB;9;1\nC;12;1\n",
        "Item;Power;Hours\nA;1,200;1\nB;1,500;1\nC;1,100.5;1\n",
        "Item;Power;Hours\nMicrowave;0;1\n",
    ],
)
def test_a_stated_unit_or_a_likely_figure_is_left_in_peace(loads: str, tmp_path: Path) -> None:
    """Nothing is asked where the unit stands there, or where watts are as likely."""
    assert [f for f in told(tmp_path, loads) if f.level != "note"] == []


def test_under_a_header_in_watts_it_is_only_told(tmp_path: Path) -> None:
    """A header that says watts is believed, with a warning that gives the watts to write."""
    (found,) = told(tmp_path, "name,running_w,hours_per_day\nMicrowave,1.5,1\n")
    assert (found.code, found.level) == ("A024", "warning")
    assert "if 1.5 kW is meant, write 1500 W" in found.remedy
    (found,) = told(tmp_path, units=UNITS.replace("2048", "2.05"))
    assert (found.code, "storage 2.05 Wh" in found.message) == ("A024", True)


@pytest.mark.parametrize(("name", "said"), [("Bench heater", True), ("Bench heater controls", False), ("Clock", False)])
def test_heaters_and_motors_below_five_watts(name: str, said: bool, tmp_path: Path) -> None:
    """A heater of 3 W is asked about; its controls and a clock are not."""
    assert ("A024" in [f.code for f in told(tmp_path, f"Item,Watts,Hours\n{name},3,1\n")]) == said


def test_a_column_of_small_numbers_is_asked_about(tmp_path: Path) -> None:
    """Three rows of 20 and less under a header without a unit may be kilowatts; metered energy likewise."""
    (found,) = told(tmp_path, "Item;Power;Hours\nA;0.2;1\nB;1.5;1\nC;20;1\n")
    assert (found.code, found.level, found.column) == ("Q024", "warning", "Power")
    assert "write 1.5 kW or head the column with (kW)" in found.remedy
    metered = told(tmp_path, "Item;W;Hours;Metered\nA;90;8;0.7\nB;90;8;0.7\nC;90;8;0.7\n")
    assert [f.column for f in metered if f.code == "Q024"] == ["Metered"]


def test_a_start_below_the_running_draw_is_asked_about(tmp_path: Path) -> None:
    """A bare 1,2 beside 0,4 kW may be 1.2 W or 1.2 kW, and neither is guessed at."""
    (found,) = (each for each in told(tmp_path, "Item;Power;Start;Hours\nP;0,4 kW;1,2;1\n") if each.level == "error")
    assert (found.code, found.column) == ("Q023", "Start")
    assert "1,2 W or 1,2 kW: it runs at 400 W" in found.message


@pytest.mark.parametrize("start", ["300", "1,2 kW", "1,2 W", "800", "0", "0,1", "12"])
def test_any_other_start_is_left_in_peace(start: str, tmp_path: Path) -> None:
    """What states its unit, or makes no sense in kW either, is not asked about."""
    assert "Q023" not in {each.code for each in told(tmp_path, f"Item;Power;Start;Hours\nP;0,4 kW;{start};1\n")}
