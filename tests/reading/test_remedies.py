"""What is advised leads to a file that is read: in the unit of the column, in the spelling and the name of the file."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from holdover.findings import Finding, Place
from holdover.reading.entries import Context, Entry, Reading, example
from holdover.reading.fields import ASKED, Asked
from holdover.reading.value import read_number
from holdover.returned.read import read_any

LOADS = "name,running_w,hours_per_day,duty\nLamp,10,5,\n"
UNITS = "name,storage_wh,continuous_w,surge_w,weight_kg,usable_share,charge_min_c\nUnit A,2048,2400,4800,,,\n"


def told(
    folder: Path, toml: str = "", loads: str = LOADS, units: str = UNITS, name: str = "case.toml"
) -> list[Finding]:
    """What is said of a case, in the order in which it is told."""
    files = {name: toml, "loads.csv": loads, "candidates.csv": units}
    for file, text in files.items():
        if text or file == name:
            (folder / file).write_text(text, encoding="utf-8")
    return read_any(folder / name if name != "case.toml" else folder)[1].sorted()


def error(found: list[Finding]) -> Finding:
    """The one error."""
    (each,) = [finding for finding in found if finding.level == "error"]
    return each


@pytest.mark.parametrize("head", ["duty %", "Duty (%)", "duty percent", "Duty cycle percent", "Duty [%]", "DUTY %"])
@pytest.mark.parametrize("value", ["130", "101", "250 "])
def test_a_percentage_above_100_is_not_called_a_share(head: str, value: str, tmp_path: Path) -> None:
    """In a column of percentages 130 is 130 %, which is too much; nobody is told to write 1.3 %."""
    found = error(told(tmp_path, loads=LOADS.replace("duty", head).replace(",5,", f",5,{value}")))
    assert (found.code, found.allowed, found.remedy) == ("Q002", "0 % to 100 %", "write it like 35 %")


@pytest.mark.parametrize(
    ("column", "head", "value", "limits"),
    [("storage_wh", "Storage kWh", "5000", "0 to 1000 kWh"), ("storage_wh", "Capacity (kWh)", "1001", "0 to 1000 kWh"),
     ("storage_wh", "storage_wh", "5000 kWh", "0 to 1000 kWh"), ("storage_wh", "Storage (MWh)", "2", "0 to 1 MWh"),
     ("continuous_w", "Continuous kW", "5000", "0 to 200 kW"), ("continuous_w", "continuous_w", "201 kW", "0 to 200 kW"),
     ("surge_w", "Surge (kW)", "501", "0 to 500 kW"), ("weight_kg", "Weight (lb)", "99999", "0 to 4409 lb"),
     ("charge_min_c", "Min charge temp (°F)", "200", "-40 to 104 °F"), ("storage_wh", "storage_wh", "9999999", "0 to 1000000 Wh"),
     ("surge_w", "surge_w", "999999", "0 to 500000 W")],
)  # fmt: skip
def test_bounds_are_told_in_the_unit_of_the_column(
    column: str, head: str, value: str, limits: str, tmp_path: Path
) -> None:
    """Who writes kilowatt-hours is told how many of them are allowed."""
    cells = dict(zip(UNITS.splitlines()[0].split(","), UNITS.splitlines()[1].split(","), strict=True)) | {column: value}
    units = ",".join(head if name == column else name for name in cells) + "\n" + ",".join(cells.values()) + "\n"
    found = error(told(tmp_path, units=units))
    assert (found.code, found.allowed) == ("Q002", limits)
    assert found.message.endswith(f"must be between {limits.replace(' to ', ' and ')}")


@pytest.mark.parametrize(
    ("line", "remedy"),
    [("reserve = 15", '15 means 1500 %: write 0.15 or "15 %"'), ("reserve = 2", '2 means 200 %: write 0.02 or "2 %"'),
     ('reserve = "much"', 'write it like "35 %" or 0.35'), ("running_margin = 25", '25 means 2500 %: write 0.25 or "25 %"'),
     ("lift_kg = 99999", 'write it like "23 kg" or "50 lb"'), ('lift_kg = "heavy"', 'write it like "23 kg" or "50 lb"'),
     ("lift_kg = true", 'write it like "23 kg" or "50 lb"'), ("storage_c = [1]", 'write it like "20 °C" or "68 °F"'),
     ("storage_c = 999", 'write it like "20 °C" or "68 °F"'), ("autonomy_days = -1", 'write it like "1.5 days" or "36 h"')],
)  # fmt: skip
def test_a_case_file_is_answered_in_its_own_spelling(line: str, remedy: str, tmp_path: Path) -> None:
    """What is advised is TOML: a number with a unit stands in quotes, and what is advised is read."""
    assert error(told(tmp_path, f"[sizing]\n{line}\n")).remedy == remedy
    key = line.partition(" =")[0]
    advised = remedy.rpartition("write ")[2].removeprefix("it like ").split(" or ")
    for value in advised:
        assert not [f for f in told(tmp_path, f"[sizing]\n{key} = {value}\n") if f.level == "error"]


@pytest.mark.parametrize("name", ["plan.toml", "smith.toml", "Case 7.toml"])
@pytest.mark.parametrize(
    "toml",
    ["[array]\nmodules = 4\n", "[outage]\ncandidate = 'Zed'\n", "x = 1\n", "[sizing]\nx = 1\n", "loads = 'gone.csv'\n",
     "[[points]]\ntemperature_c = 1\n", "points = [{temperature_c = 1}]\n", "[sizing]\nautonomy_days = 2\n", "x", "loads = 1\n"],
)  # fmt: skip
def test_the_file_is_named_as_it_is_called(name: str, toml: str, tmp_path: Path) -> None:
    """No remark on a setting is without a file, none names another one."""
    found = told(tmp_path, toml, loads="", units="", name=name)
    assert found
    assert {finding.file for finding in found} == {name}


@pytest.mark.parametrize(
    "toml",
    ["[sizing]\nreserve = 10%\n", "[a\n", "x = [1\n", "title = Cabin\n", "a = 1\na = 2\n", "[about]\n[about]\n", "x\n",
     '[about]\ntitle = "x\n', "reserve: 1\n", 'x = "\\q"\n', "\x01", "use_typical = true\n[sizing]\nreserve = .1\n"],
)  # fmt: skip
def test_a_fault_in_the_case_file_hides_no_table(toml: str, tmp_path: Path) -> None:
    """The tables are read all the same; what the file would have said of them is not missed, and no case comes of it."""
    loads = LOADS.replace(",5,", ",55,").replace("duty", "feed").replace(",55,", ",55,220 V")
    found = told(tmp_path, toml, loads=loads, units=UNITS.replace("4800,", "lots,"))
    assert [(f.file, f.code) for f in found if f.level == "error"] == [
        ("case.toml", "T001"), ("loads.csv", "Q002"), ("candidates.csv", "Q001"),
    ]  # fmt: skip
    assert read_any(tmp_path)[0] is None
    parser = ("Cannot", "Invalid", "Expected", "Unescaped", "Illegal", "Unclosed", "Found")
    assert not [word for word in parser if word in found[0].message]


def test_findings_stand_in_the_order_in_which_files_are_opened(tmp_path: Path) -> None:
    """The case file comes first, then the loads, then the candidates, row by row, whatever their names are."""
    toml = 'loads = "z.csv"\ncandidates = "a.csv"\n[sizing]\nlift_kg = "55 lb"\n'
    (tmp_path / "z.csv").write_text("name,running_w,hours_per_day\nWell pump,900,x\nFan,lots,5\n", encoding="utf-8")
    (tmp_path / "a.csv").write_text("name,storage_wh,continuous_w,surge_w\nU,1,2,x\nV,y,2,3\n", encoding="utf-8")
    found = told(tmp_path, toml, loads="", units="")
    places = [(f.file, f.row or 0) for f in found]
    assert [file for n, (file, _) in enumerate(places) if file not in [each for each, _ in places[:n]]] == [
        "case.toml", "z.csv", "a.csv",
    ]  # fmt: skip
    assert all(one[1] <= other[1] for one, other in pairwise(places) if one[0] == other[0])


NUMBERS = [asked for fields in ASKED.values() for asked in fields.values() if not (asked.text or asked.choices)]


@pytest.mark.parametrize("file", ["loads.csv", "case.toml"])
@pytest.mark.parametrize("asked", NUMBERS, ids=lambda asked: f"{asked.part}.{asked.name}")
def test_what_is_to_be_written_can_be_read(asked: Asked, file: str) -> None:
    """Of each number that is asked for there is an example, and each of its spellings is taken by its reader."""
    place = Place(file=file)
    like = example(asked, Entry(value="nonsense", place=place))
    for spelling in re.split(", | or ", like):
        value: object = spelling.strip('"')
        if file == "case.toml" and not spelling.startswith('"'):
            value = float(spelling)
        reading = Reading(context=Context())
        assert read_number(Entry(value=value, place=place), asked, reading) is not None, (like, reading.findings.found)
        assert not reading.findings.errors
