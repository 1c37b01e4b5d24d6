"""Rows typed below, above or beside a table, or on another sheet: they are read or named, never dropped."""

import io
from pathlib import Path

import openpyxl
import pytest

from holdover.findings import Finding
from holdover.returned.read import read_any

HEAD = "name,running_w,hours_per_day\n"
OTHERS = ("hours_per_day,running_w,name", "Appliance,Hours/day,Watts", "Item,Qty,Watts,Hours", "name,running_w,duty",
          "Watts,Hours,Item", "Load,Running (kW),Hours/day,Tier", "name,tier,running_w,hours_per_day", "Qty,Item,Watts,h",
          "Device,Amps,Hours/day", "place,name,running_w,hours_per_day")  # fmt: skip
"""Headers of a second table that stand in other columns than the first one's, or mean something else there."""
AGAIN = ("name,running_w,hours_per_day", "Name,Running_W,Hours per day", "Appliance,Watts,Hours/day", "Item,W,Hrs/day",
         "Load,Running (W),Hours a day", "Device,Power,Hours", "name,running_w", "Item,Wattage,Daily hours",
         "Equipment,Rated power,h/day", "APPLIANCE,WATTS,HOURS")  # fmt: skip
"""Headers that mean the same in the same columns."""


def read(folder: Path, loads: str | bytes) -> tuple[list[tuple[str, float | None]], list[Finding]]:
    """Names and watts of the loads that were read, and what was said; advice apart."""
    (folder / "case.toml").write_text("", encoding="utf-8")
    name = "loads.csv" if isinstance(loads, str) else "loads.xlsx"
    (folder / name).write_bytes(loads.encode() if isinstance(loads, str) else loads)
    case, findings, _ = read_any(folder)
    told = [each for each in findings.found if each.code[0] != "A"]
    return [(load.name, load.running_w) for load in case.loads] if case else [], told


def workbook(**sheets: str) -> bytes:
    """A workbook with a table on each sheet."""
    book, out = openpyxl.Workbook(), io.BytesIO()
    for name, text in sheets.items():
        sheet = book.create_sheet(name)
        for line in text.splitlines():
            sheet.append([float(cell) if cell.isdigit() else cell or None for cell in line.split(",")])
    book.remove(book.worksheets[0])
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize("gap", [1, 2, 3, 5, 10, 20, 50, 100, 500, 1000])
def test_rows_far_below_are_read(gap: int, tmp_path: Path) -> None:
    """Blank lines between, be they a thousand: the load below them is a load."""
    assert read(tmp_path, HEAD + "Lamp,10,5\n" + ",,\n" * gap + "Fan,50,2\n") == ([("Lamp", 10), ("Fan", 50)], [])


@pytest.mark.parametrize("head", AGAIN)
def test_the_same_headers_again(head: str, tmp_path: Path) -> None:
    """A header that stands there again, in whatever words, is no load; what is below it is read."""
    loads, told = read(tmp_path, f"{HEAD}Lamp,10,5\n\n{head}\nFan,50,2\n")
    assert loads == [("Lamp", 10), ("Fan", 50)]
    assert [(f.code, f.row) for f in told] == [("C013", 4)]


@pytest.mark.parametrize("head", OTHERS)
def test_a_second_table_is_refused(head: str, tmp_path: Path) -> None:
    """Rows under other headers are not read into the wrong columns: one error says where they begin."""
    row = ",".join(["50"] * (head.count(",") + 1))
    loads, told = read(tmp_path, f"{HEAD}Lamp,10,5\n\n{head}\n{row}\n{row}\n")
    assert loads == []
    errors = [(f.code, f.row) for f in told if f.level == "error"]
    # With a column more the second one is taken for the table, and its rows may have faults of their own.
    assert errors == [("C022", 4)] or (errors[0] == ("C022", 1) and head.count(",") == 3)


@pytest.mark.parametrize(
    "extra", ["tier", "Qty", "duty", "feed", "place", "remark", "Surge (W)", "basis", "on", "turns"]
)
def test_a_first_table_is_not_dropped_for_a_second_one(extra: str, tmp_path: Path) -> None:
    """A table below has a column more and is taken for the table: the one above it is named by an error."""
    loads, told = read(tmp_path, f"{HEAD}Lamp,10,5\n\nname,running_w,hours_per_day,{extra}\nFan,50,2,\n")
    assert loads == []
    assert [(f.code, f.row) for f in told if f.level == "error"] == [("C022", 1)]


def test_a_table_of_candidates_below_the_loads_is_named(tmp_path: Path) -> None:
    """It is no table of loads; where it was meant to be read, the reader knows what became of it."""
    loads, told = read(tmp_path, f"{HEAD}Lamp,10,5\n\nname,storage_wh,continuous_w,surge_w\nUnit B,2000,2000,4000\n")
    assert loads == [("Lamp", 10)]
    assert [(f.code, f.level, f.row) for f in told] == [("C022", "warning", 4)]


@pytest.mark.parametrize(
    "beside",
    ["Fan,50,2", ",Fan,50,2", ",,,Fan", "see there", ",1", "50 W", ",,Fan", ",TV,80,3,x", "?", ",,,,,,,,,,Fan"],
)
def test_what_stands_beside_is_refused(beside: str, tmp_path: Path) -> None:
    """A value to the right of the last header is an error at its cell, in a CSV and on a sheet."""
    text = f"{HEAD}Lamp,10,5,{beside}\n"
    for table in (text, workbook(Loads=text)):
        for file in tmp_path.iterdir():
            file.unlink()
        loads, told = read(tmp_path, table)
        assert loads == []
        assert [(f.code, f.row) for f in told if f.level == "error"] == [("C006", 2)]


@pytest.mark.parametrize(
    "second", ["Garage", "Upstairs", "Sheet2", "Old loads", "Rest", "2", "Kitchen", "Farm", "Mine", "X"]
)
def test_another_sheet_with_loads_is_named(second: str, tmp_path: Path) -> None:
    """The sheet with more columns is read; the other one is named, whatever it is called."""
    first = "name,running_w,hours_per_day,tier\nLamp,10,5,critical\n"
    loads, told = read(tmp_path, workbook(**{"First": first, second: f"{HEAD}Fan,50,2\n"}))
    assert loads == [("Lamp", 10)]
    assert [(f.code, f.sheet) for f in told] == [("X013", second)]
    loads, told = read(tmp_path, workbook(**{"Loads": f"{HEAD}Fan,50,2\n", second: first}))
    assert loads == [("Fan", 50)]
    assert [(f.code, f.sheet) for f in told] == [("X013", second)]
