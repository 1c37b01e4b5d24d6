"""What is read from a workbook, held against what wrote it and against openpyxl's reading of the same file."""

import io
import json
import subprocess
import sys
import zipfile
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.xlsx import BadFile, Book, CellData, read_xlsx
from xlsx.pack import book as packed
from xlsx.pack import relations, sheet, workbook


class Made:
    """A workbook made by XlsxWriter in memory."""

    def __init__(self, **options: Any) -> None:
        self.buffer = io.BytesIO()
        self.book = xlsxwriter.Workbook(self.buffer, {"in_memory": True} | options)

    def data(self) -> bytes:
        self.book.close()
        return self.buffer.getvalue()

    def read(self) -> Book:
        return read_xlsx(self.data(), "survey.xlsx")


def cells_of(book: Book, sheet: int = 0) -> dict[tuple[int, int], CellData]:
    """All cells of a sheet by row and column."""
    return {(row, column): cell for row, cells in book.sheets[sheet].rows.items() for column, cell in cells.items()}


def repacked(data: bytes, part: str, *changes: tuple[str, str]) -> bytes:
    """A workbook with the text of one part changed."""
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            for before, after in changes if name == part else ():
                assert before.encode() in text
                text = text.replace(before.encode(), after.encode())
            new.writestr(name, text)
    return target.getvalue()


def test_percentages() -> None:
    """A number that is shown as a percentage is told as one; a % that is a text in the format is none."""
    made = Made()
    sheet = made.book.add_worksheet("Loads")
    formats = ["0%", "0.00%", "0.0%;-0.0%", "0", '0"%"', "0\\%", "General"]
    for column, code in enumerate(formats):
        sheet.write_number(0, column, 0.35, made.book.add_format({"num_format": code}))
    assert [cell.percent for cell in cells_of(made.read()).values()] == [True] * 3 + [False] * 4


def test_every_kind_of_cell() -> None:
    """Numbers, texts, booleans, errors, dates and stored results of formulas come back as written."""
    made = Made()
    sheet = made.book.add_worksheet("Loads")
    day = made.book.add_format({"num_format": "yyyy-mm-dd"})
    sheet.write_row(0, 0, [1, -2.5, 1e-9, True, False, "text", " spaced "])
    sheet.write_datetime(1, 0, datetime(2024, 2, 29, 12), day)
    sheet.write_formula(1, 1, "=A1*2", None, 2)
    sheet.write_formula(1, 2, '=F1&"x"', None, "textx")
    sheet.write_formula(1, 3, "=1/0", None, "#DIV/0!")
    sheet.write_formula(1, 4, "=A1>0", None, True)
    sheet.write_formula(1, 5, "=A2+1", day, 45352)
    sheet.write_array_formula("A3:A3", "{=SUM(A1:B1)}", None, -1.5)
    sheet.write_blank(5, 5, None, day)
    assert cells_of(made.read()) == {
        (1, 1): CellData(1.0, "", "number"),
        (1, 2): CellData(-2.5, "", "number"),
        (1, 3): CellData(1e-9, "", "number"),
        (1, 4): CellData(True, "", "bool"),
        (1, 5): CellData(False, "", "bool"),
        (1, 6): CellData("text", "", "text"),
        (1, 7): CellData(" spaced ", "", "text"),
        (2, 1): CellData(45351.5, "", "date"),
        (2, 2): CellData(2.0, "=A1*2", "number"),
        (2, 3): CellData("textx", '=F1&"x"', "text"),
        (2, 4): CellData("#DIV/0!", "=1/0", "error"),
        (2, 5): CellData(True, "=A1>0", "bool"),
        (2, 6): CellData(45352.0, "=A2+1", "date"),
        (3, 1): CellData(-1.5, "=SUM(A1:B1)", "number"),
    }


def test_booleans_are_no_numbers() -> None:
    """TRUE is True and not 1."""
    made = Made()
    made.book.add_worksheet().write_row(0, 0, [True, 1])
    first, second = (cell.value for cell in cells_of(made.read()).values())
    assert first is True
    assert type(second) is float


def test_formula_without_result_is_blank() -> None:
    """A formula that no program has computed has no value, and is not taken for 0."""
    target = io.BytesIO()
    book = openpyxl.Workbook()
    book.active["B2"] = "=1+1"
    book.save(target)
    assert cells_of(read_xlsx(target.getvalue(), "x")) == {(2, 2): CellData(None, "=1+1", "blank")}


@pytest.mark.parametrize(
    ("code", "kind"),
    [
        ("yyyy-mm-dd", "date"),
        ("h:mm", "date"),
        ("[h]:mm:ss", "date"),
        ("mm:ss.0", "date"),
        ("[$-407]d. mmmm yyyy", "date"),
        ("[Red]0.00", "number"),
        ('0.0 "days"', "number"),
        ("0.0\\h", "number"),
        ("0_d", "number"),
        ("0%", "number"),
        ("0.00E+00", "number"),
        ("General", "number"),
        ("#,##0.00 [$USD]", "number"),
        ("[<1]0.00;0", "number"),
        ("@", "number"),
        ('0;"d"', "number"),
    ],
)
def test_which_formats_are_dates(code: str, kind: str) -> None:
    """A date is told by its format; letters in quotes, colours and units are no dates."""
    made = Made()
    made.book.add_worksheet().write_number(0, 0, 45000.25, made.book.add_format({"num_format": code}))
    data = made.data()
    assert cells_of(read_xlsx(data, "x"))[1, 1].kind == kind
    assert openpyxl.load_workbook(io.BytesIO(data)).active["A1"].is_date == (kind == "date")


@pytest.mark.parametrize("number", [*range(50), 57])
def test_built_in_formats(number: int) -> None:
    """Built-in formats are dates where openpyxl takes them for dates."""
    made = Made()
    made.book.add_worksheet().write_number(0, 0, 1.25, made.book.add_format({"num_format": number}))
    data = made.data()
    theirs = openpyxl.load_workbook(io.BytesIO(data)).active["A1"].is_date
    if number in (*range(27, 37), 57):
        theirs = True  # dates in East Asian settings (ECMA-376 part 1, 18.8.30)
    assert (cells_of(read_xlsx(data, "x"))[1, 1].kind == "date") == theirs


def test_days_since_1904() -> None:
    """A workbook that counts from 1904 gives the same serial number for the same day."""
    made = Made(date_1904=True)
    made.book.add_worksheet().write_datetime(0, 0, datetime(2024, 2, 29), made.book.add_format({"num_format": 14}))
    assert cells_of(made.read())[1, 1] == CellData(45351.0, "", "date")


def test_rich_text_is_joined() -> None:
    """Text in several fonts is one text, its blanks kept."""
    made = Made()
    bold = made.book.add_format({"bold": True})
    made.book.add_worksheet().write_rich_string(0, 0, "Well ", bold, "pump ", "2")
    assert cells_of(made.read())[1, 1].value == "Well pump 2"


WRITABLE = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\ufffe\uffff"), min_size=1)
"""Text that XML can hold."""


@settings(max_examples=60, derandomize=True, deadline=None)
@given(st.lists(WRITABLE, min_size=1, max_size=8))
def test_any_text_comes_back(texts: list[str]) -> None:
    """Whatever text was written is read, control characters and things like _x000D_ among it."""
    made = Made()
    sheet = made.book.add_worksheet()
    for row, text in enumerate(texts):
        assert sheet.write_string(row, 0, text) == 0
    assert [cell.value for cell in cells_of(made.read()).values()] == texts


def test_hidden_and_merged() -> None:
    """Hidden sheets, hidden rows and merged areas are told."""
    made = Made()
    made.book.add_worksheet("Loads").merge_range("B2:D5", "wide")
    made.book.add_worksheet("Notes").set_row(6, None, None, {"hidden": True})
    made.book.worksheets()[1].hide()
    made.book.add_worksheet("Deep").very_hidden()
    book = made.read()
    assert [(sheet.name, sheet.hidden) for sheet in book.sheets] == [("Loads", False), ("Notes", True), ("Deep", True)]
    assert book.sheets[0].merged == ((2, 2, 5, 4),)
    assert book.sheets[1].hidden_rows == {7}


def test_what_stands_beside_the_cells() -> None:
    """Protection, rules of typing and of looks, hidden columns, charts, and how it is calculated."""
    later = "http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"
    words = "http://schemas.microsoft.com/office/excel/2006/main"
    rules = (
        '<sheetProtection sheet="1"/><conditionalFormatting sqref="B2:C3 E5"><cfRule type="expression"/>'
        '</conditionalFormatting><dataValidations><dataValidation type="list" sqref="A1"/><dataValidation sqref="A9"/>'
        f'</dataValidations><extLst><ext xmlns:x="{later}" xmlns:m="{words}"><x:dataValidations><x:dataValidation '
        'type="list"><m:sqref>D4:D5</m:sqref></x:dataValidation></x:dataValidations></ext></extLst>'
    )
    drawing = "http://schemas.openxmlformats.org/drawingml/2006"
    anchor = "<d:from><d:col>3</d:col><d:row>{}</d:row></d:from><d:to><d:col>9</d:col><d:row>30</d:row></d:to>"
    changed = {
        "xl/worksheets/_rels/sheet1.xml.rels": relations(("drawing", "../drawings/drawing1.xml")),
        "xl/drawings/drawing1.xml": f'<d:wsDr xmlns:d="{drawing}/spreadsheetDrawing" xmlns:c="{drawing}/chart">'
        f"<d:oneCellAnchor>{anchor.format(7)}<c:chart/></d:oneCellAnchor><d:oneCellAnchor>{anchor.format(2)}</d:oneCellAnchor>"
        "</d:wsDr>",
        "sheet": sheet(before='<cols><col min="2" max="3" hidden="1"/><col min="5" max="5"/></cols>', after=rules),
        "book": workbook(more='<calcPr calcMode="manual" fullPrecision="0"/>'),
    }
    found = read_xlsx(packed(**changed), "a.xlsx")
    (read,) = found.sheets
    assert (found.by_hand, found.as_displayed) == (True, True)
    assert read.protected
    assert read.hidden_columns == ((2, 3),)
    assert read.formatted == ((2, 2, 3, 3), (5, 5, 5, 5))
    assert read.validated == ((1, 1, 1, 1), (4, 4, 5, 4))
    assert read.charts == ((8, 4),)


def test_as_usual_nothing_stands_beside_the_cells() -> None:
    """A workbook without any of it."""
    found = read_xlsx(packed(), "a.xlsx")
    (read,) = found.sheets
    assert not (found.by_hand or found.as_displayed or read.protected)
    assert (read.hidden_columns, read.formatted, read.validated, read.charts) == ((), (), (), ())


def test_names() -> None:
    """Names of the workbook that mean one area are found whatever their case; others are left out."""
    made = Made()
    made.book.add_worksheet("Tom's loads, 2")
    made.book.add_worksheet("Loads")
    for name, area in (
        ("in_Days", "='Tom''s loads, 2'!$B$3"),
        ("in_names", "=Loads!$B$3:$B$40"),
        ("in_rate", "=0.1"),
        ("in_two", "=Loads!$A$1,Loads!$A$3"),
        ("in_relative", "=Loads!A1"),
        ("Loads!in_local", "=Loads!$A$1"),
    ):
        made.book.define_name(name, area)
    book = made.read()
    assert book.names == {"in_days": ("Tom's loads, 2", "$B$3"), "in_names": ("Loads", "$B$3:$B$40")}


def test_properties_and_application() -> None:
    """Custom properties come as text, and the program that wrote the file is known."""
    made = Made()
    made.book.add_worksheet()
    for name, value in (("schema", "holdover é 1"), ("count", 3), ("flag", True), ("empty", "")):
        made.book.set_custom_property(name, value)
    book = made.read()
    assert book.properties == {"schema": "holdover é 1", "count": "3", "flag": "true", "empty": ""}
    assert book.application == "Microsoft Excel"
    assert book.remarks == ()


def test_chart_sheets_hold_no_cells() -> None:
    """A sheet that is a chart is left out."""
    made = Made()
    made.book.add_worksheet("Loads")
    chart = made.book.add_chart({"type": "line"})
    chart.add_series({"values": "=Loads!$A$1:$A$2"})
    made.book.add_chartsheet("Picture").set_chart(chart)
    assert [sheet.name for sheet in made.read().sheets] == ["Loads"]


@settings(max_examples=40, derandomize=True, deadline=None)
@given(
    st.dictionaries(
        st.tuples(st.integers(0, 60), st.integers(0, 40)),
        st.one_of(
            st.integers(-(10**9), 10**9), st.floats(-1e12, 1e12), st.booleans(), st.sampled_from(["a", "é", "=1+2"])
        ),
        min_size=1,
        max_size=40,
    )
)
def test_same_as_openpyxl(cells: dict[tuple[int, int], Any]) -> None:
    """Cell by cell the same values and formulas as openpyxl reads from the same file."""
    made = Made()
    sheet = made.book.add_worksheet()
    for (row, column), value in cells.items():
        sheet.write(row, column, value)
    data = made.data()
    mine = cells_of(read_xlsx(data, "x"))
    formulas, values = (openpyxl.load_workbook(io.BytesIO(data), data_only=flag).active for flag in (False, True))
    theirs = {}
    for cell in (cell for row in values.iter_rows() for cell in row if cell.value is not None):
        formula = formulas[cell.coordinate]
        theirs[cell.row, cell.column] = cell.value, formula.value if formula.data_type == "f" else ""
    assert {place: (cell.value, cell.formula) for place, cell in mine.items()} == theirs


def test_bad_file_says_what_and_what_to_do() -> None:
    """The one exception carries a sentence with the file's name, and a remedy."""
    with pytest.raises(BadFile) as told:
        read_xlsx(b"Load,Watts\n", "survey.xlsx")
    assert told.value.message == "survey.xlsx is a text file renamed to .xlsx."
    assert told.value.remedy.endswith(".csv and give it as such.")
    assert str(told.value) == told.value.message


def test_last_resort(monkeypatch: pytest.MonkeyPatch) -> None:
    """An exception that nobody foresaw comes out as the one class, with its name."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("holdover.xlsx.book.Archive", fail)
    with pytest.raises(BadFile, match=r"survey.xlsx could not be read \(ZeroDivisionError\)"):
        read_xlsx(b"", "survey.xlsx")


LARGE = """
import json, re, sys, time
from pathlib import Path
from holdover.xlsx import read_xlsx
data = Path(sys.argv[1]).read_bytes()
before = time.process_time()
book = read_xlsx(data, "x")
cells = sum(len(row) for row in book.sheets[0].rows.values())
peak = int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])  # its own, not its parent's
print(json.dumps([cells, time.process_time() - before, peak]))
"""


def test_large_workbook_is_read_quickly(tmp_path: Path) -> None:
    """60,000 cells, half of them formulas, take less than 3 s and 150 MB (0.5 s and 65 MB on a quiet machine)."""
    made = Made()
    sheet = made.book.add_worksheet()
    for row in range(3_000):
        for column in range(0, 20, 2):
            sheet.write_string(row, column, f"{row} {column}")
            sheet.write_formula(row, column + 1, f"=SUM(A{row + 1}:B{row + 1})+{column}", None, row)
    (tmp_path / "large.xlsx").write_bytes(made.data())
    told = subprocess.run([sys.executable, "-c", LARGE, str(tmp_path / "large.xlsx")], check=True, capture_output=True)
    cells, seconds, peak = json.loads(told.stdout)
    assert cells == 60_000
    assert seconds < 3
    assert peak < 150_000


def test_cells_twice_are_refused() -> None:
    """A cell that stands twice shows different values in different programs, and is refused."""
    made = Made()
    made.book.add_worksheet().write_row(0, 0, [1, 2])
    data = repacked(made.data(), "xl/worksheets/sheet1.xml", ('r="B1"', 'r="A1"'))
    with pytest.raises(BadFile, match="row 1, column 1 is there twice"):
        read_xlsx(data, "x")
