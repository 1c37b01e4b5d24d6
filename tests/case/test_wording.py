"""What is said of a quantity: the unit it was read in, and where it belongs."""

from pathlib import Path

import pytest

from holdover.case.folder import read_case
from holdover.case.headers import read_header
from holdover.findings import Finding

LOADS = "name,running_w,hours_per_day\nLamp,10,5\n"
UNITS = "name,storage_wh,continuous_w,surge_w\nUnit A,2048,2400,4800\n"


def told(folder: Path, toml: str = "", loads: str = LOADS, units: str = UNITS) -> list[Finding]:
    (folder / "case.toml").write_text(toml, encoding="utf-8")
    (folder / "loads.csv").write_text(loads, encoding="utf-8")
    (folder / "candidates.csv").write_text(units, encoding="utf-8")
    return read_case(folder)[1].found


@pytest.mark.parametrize(
    ("toml", "message"),
    [
        ('[vehicle]\ndistance = "20 mi"', "20 mi read as 20 mi"),
        ('[sizing]\nautonomy_days = "24 h"', "24 h read as 1 day"),
        ('[sizing]\nautonomy_days = "36 h"', "36 h read as 1.5 days"),
        ('[sizing]\nstorage_c = "68 °F"', "68 °F read as 20 °C"),
    ],
)
def test_a_converted_quantity(toml: str, message: str, tmp_path: Path) -> None:
    """A quantity is shown back in the unit it counts in; a distance keeps its own, and one day is no days."""
    assert [f.message for f in told(tmp_path, toml)] == [message]


def test_two_readings_have_a_unit_each(tmp_path: Path) -> None:
    """Of two readings of a number, both are offered with their unit."""
    (found,) = told(tmp_path, loads='name,running_w,hours_per_day\nLamp,"1,200",5\n')
    assert found.code == "Q003"
    assert found.remedy.endswith("write 1200 W or 1.2 W")


def test_volt_amperes_have_a_column(tmp_path: Path) -> None:
    """Volt-amperes among the watts of a candidate are sent to the column they belong into."""
    (found,) = told(tmp_path, units=UNITS.replace("2400", "2 kVA"))
    assert found.code == "Q006"
    assert "Continuous apparent output (continuous_va)" in found.remedy


@pytest.mark.parametrize(
    "head", ["AC output", "ac output:", "AC OUTPUT", "AC out", "AC output (rated)", "AC output, max"]
)
def test_ac_output_alone_is_not_guessed(head: str) -> None:
    """A header AC output may mean watts or volts, and is taken only with a unit that tells."""
    header = read_header(head, "candidates")
    assert header is None or (header.refused and not header.field)


FRIDGES = "name,running_w,hours_per_day\nWell pump,900,1\nFridge,lots,5\nFridge,150,24\n"


def test_advice_beside_errors(tmp_path: Path) -> None:
    """Rows without an error are advised on although another row has one, and no case comes back."""
    found = told(tmp_path, loads=FRIDGES)
    assert sorted((f.code, f.row) for f in found) == [("A001", 2), ("A001", 4), ("A003", 4), ("Q001", 3)]
    assert read_case(tmp_path)[0] is None


def test_no_advice_on_what_was_not_read(tmp_path: Path) -> None:
    """What an unread row might have said is not missed: no load, no candidate, no voltage is called missing."""
    loads = "name,running_w,hours_per_day,feed\nOven,900,1,230 V\n"
    assert [f.code for f in told(tmp_path, loads=loads, units=UNITS.replace("2400", "lots"))] == ["Q001"]
    assert [f.code for f in told(tmp_path, loads=LOADS.replace("10", "lots"))] == ["Q001"]


@pytest.mark.parametrize("toml", ['[sizing]\nlift_kg = "much"', "[sizing]\nlift = 2", "[[points]]\ntemperature_c = 1"])
def test_no_advice_where_a_setting_is_wrong(toml: str, tmp_path: Path) -> None:
    """A setting that can't be read may change every remark, so none is made."""
    assert [f.level for f in told(tmp_path, toml, loads=FRIDGES.replace("lots", "100"))] == ["error"]
