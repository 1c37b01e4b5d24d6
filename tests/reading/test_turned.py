"""Tables whose headers run down a column, and sheets that are told apart by name."""

import io
from typing import Any

import openpyxl
import pytest

from holdover.findings import Findings, render
from holdover.reading.entries import Row
from holdover.reading.table.table import read_table

LOADS: list[list[Any]] = [["Item", "Qty", "Power (W)", "Hours"], ["Lamp", 2, 9, 5], ["TV", 1, 90, 3]]
SIDE: list[list[Any]] = [
    ["", "Unit Oak", "Unit Ash"],
    ["Capacity (kWh)", 2.05, 3.1],
    ["Continuous output (W)", 1900, 2600],
    ["Surge (W)", 3900, 5200],
    ["Price", 1290, 1980],
]


def book(**sheets: list[list[Any]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append([None if value == "" else value for value in row])
    data = io.BytesIO()
    made.save(data)
    return data.getvalue()


def read(part: str, data: bytes, file: str = "survey.xlsx") -> tuple[list[Row], Findings]:
    findings = Findings()
    return read_table(part, data, file, findings), findings


def names(rows: list[Row]) -> list[str]:
    return [str(row.entries["name"].value) for row in rows]


@pytest.mark.parametrize("corner", ["", "Model", "Candidate", "Specification"])
def test_candidates_side_by_side(corner: str) -> None:
    """Each column of the sheet is a candidate, whatever stands in the corner; a note says so."""
    side: list[list[Any]] = [[corner, *SIDE[0][1:]], *SIDE[1:]]
    rows, found = read("candidates", book(Loads=LOADS, Candidates=side))
    assert found.errors == [], render(found.found)
    assert names(rows) == ["Unit Oak", "Unit Ash"]
    assert [row.entries["surge_w"].value for row in rows] == [3900, 5200]
    assert [(f.code, f.level, f.sheet) for f in found.found if f.code == "C021"] == [("C021", "note", "Candidates")]
    loads, said = read("loads", book(Loads=LOADS, Candidates=side))
    assert (names(loads), said.found) == (["Lamp", "TV"], [])


def test_a_cell_of_a_turned_table_is_named_as_the_sheet_names_it() -> None:
    """The place is that of the sheet: cell C3, row 3, of Unit Ash."""
    rows, _ = read("candidates", book(Candidates=SIDE))
    place = rows[1].entries["continuous_w"].place
    assert (place.cell, place.row, place.column, place.item) == ("C3", 3, "Continuous output (W)", "Unit Ash")


def test_a_column_of_units_beside_the_headers() -> None:
    """Units may stand in a column of their own."""
    side: list[list[Any]] = [
        ["Model", "", "Oak"],
        ["Capacity", "kWh", 2.05],
        ["Continuous", "kW", 1.9],
        ["Surge", "kW", 3.9],
    ]
    rows, found = read("candidates", book(Candidates=side))
    assert found.errors == [], render(found.found)
    assert [(row.entries["storage_wh"].value, row.entries["storage_wh"].unit) for row in rows] == [(2.05, "kWh")]


def test_side_by_side_in_a_csv() -> None:
    """A CSV is turned likewise, under any delimiter."""
    text = "\n".join(";".join(map(str, row)) for row in SIDE)
    rows, found = read("candidates", text.encode(), "candidates.csv")
    assert (names(rows), [f.code for f in found.found if f.code != "C011"]) == (["Unit Oak", "Unit Ash"], ["C021"])


def test_a_sheet_of_the_other_part_is_never_taken() -> None:
    """Where the sheet of candidates can't be read, the loads are not read in its place."""
    rows, found = read("candidates", book(Loads=LOADS, Candidates=[["nothing", "here"], [1, 2]]))
    assert (rows, [f.code for f in found.errors]) == ([], ["C002"])
    assert "turn the table" in found.errors[0].remedy
    rows, found = read("candidates", book(Loads=LOADS))
    assert (rows, [f.code for f in found.errors]) == ([], ["C002"])


def test_a_remark_below_a_sheet() -> None:
    """Below the table of a sheet a remark is left out as it is in a CSV."""
    rows, found = read("loads", book(Loads=[*LOADS, ["* without kitchen"], ["Note: measured by JK", "", "see plan"]]))
    assert (names(rows), [f.code for f in found.found]) == (["Lamp", "TV"], ["C020", "C020"])


@pytest.mark.parametrize("corner", ["", "Model"])
def test_a_title_above_candidates_side_by_side(corner: str) -> None:
    """A title above a table on its side is left out with a note, as above an upright one."""
    rows, found = read("candidates", book(Candidates=[["Price list, autumn"], [], [corner, *SIDE[0][1:]], *SIDE[1:]]))
    assert found.errors == [], render(found.found)
    assert names(rows) == ["Unit Oak", "Unit Ash"]
    assert [(each.cell, each.level, each.found) for each in found.found if each.code == "C014"] == [
        ("A1", "note", "Price list, autumn")
    ]
