"""The survey form goes out blank and comes back as a case; other workbooks are read or refused, never guessed."""

import csv
import io
from pathlib import Path

import openpyxl
import pytest

from holdover.case.schema import Candidate, Case, Load
from holdover.findings import render
from holdover.reading.table.headers import read_header
from holdover.returned.extract import case_files, write_case
from holdover.returned.form import FORM_SHEETS, form_bytes, is_form
from holdover.returned.read import read_any, read_returned
from holdover.returned.starter import start_case
from holdover.workbook.column import Table
from holdover.workbook.page import Sheet
from holdover.workbook.save import NotWritten
from holdover.xlsx import read_xlsx
from returned.books import roomy, thin

LOADS = (
    Load(name="Fridge", place="Kitchen", tier="essential", quantity=1, running_w=150, starting_w=600, duty=0.35, hours_per_day=24),
    Load(name="=Lamp", running_w=9, hours_per_day=4.5, starts_at=18, feed="12 V DC"),
)  # fmt: skip
UNITS = (Candidate(name="Unit A", storage_wh=2050, usable_share=0.95, continuous_w=1900, surge_w=3900, price=1290),)


@pytest.fixture
def filled(tmp_path: Path) -> Path:
    """A form that was filled in."""
    file = tmp_path / "survey.xlsx"
    file.write_bytes(form_bytes("test"))
    names = read_xlsx(file.read_bytes(), file.name).names
    book = openpyxl.load_workbook(file)
    for part, rows in {"loads": LOADS, "candidates": UNITS}.items():
        sheet, area = names[f"form_{part}_name"]
        top = int(area.split(":")[0].split("$")[2])
        for i, row in enumerate(rows):
            for col, (_, value) in enumerate(row, 1):
                if value not in (None, ""):
                    cell = book[sheet].cell(top + i, col)
                    cell.value = value
                    cell.data_type = "s" if isinstance(value, str) else "n"
    book.save(file)
    return file


def test_a_filled_form_is_a_case(filled: Path) -> None:
    """Loads and candidates come back as they were typed; everything else is as usual."""
    case, findings, slots = read_any(filled)
    assert case == Case(loads=LOADS, candidates=UNITS), render(findings.found)
    assert slots is None


def test_a_case_folder_takes_its_tables_from_the_form(filled: Path) -> None:
    """Beside a case file that names it, the form stands for both tables."""
    text = 'loads = "survey.xlsx"\ncandidates = "survey.xlsx"\n[sizing]\nreserve = 0.2\n'
    (filled.parent / "case.toml").write_text(text, encoding="utf-8")
    case, findings, _ = read_any(filled.parent)
    assert case is not None, render(findings.errors)
    assert (case.loads, case.candidates, case.sizing.reserve) == (LOADS, UNITS, 0.2)
    assert not [finding for finding in findings.found if finding.level == "warning" and finding.code[0] != "A"]


@pytest.mark.parametrize("sheet", FORM_SHEETS, ids=lambda sheet: sheet.name)
def test_every_heading_of_the_form_means_its_own_field(sheet: Sheet) -> None:
    """The reader of tables takes each heading for the field below it, and no two for one."""
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    for column in table.columns:
        header = read_header(column.title, table.records)
        assert header is not None
        assert header.field == column.name


def test_shares_are_shown_and_typed_in_percent(filled: Path) -> None:
    """35 % stands in a form as a sheet keeps it, 0.35 shown as a percentage, and 1 is the whole."""
    book = openpyxl.load_workbook(filled)
    names = read_xlsx(filled.read_bytes(), filled.name).names
    sheet, area = names["form_loads_duty"]
    top = int(area.split(":")[0].split("$")[2])
    column = area.split("$")[1]
    assert book[sheet][f"{column}{top - 1}"].value == "%"
    for row, value in ((top, 0.35), (top + 1, 1.0)):
        assert "%" in book[sheet][f"{column}{row}"].number_format
        book[sheet][f"{column}{row}"] = value
    book.save(filled)
    case, findings, _ = read_any(filled)
    assert case is not None, render(findings.found)
    assert [load.duty for load in case.loads] == [0.35, 1.0]
    assert not [f for f in findings.found if f.code.startswith("Q")]


def test_the_form_shows_what_is_to_be_filled_in_and_nothing_else() -> None:
    """The lists behind the drop-downs are hidden."""
    book = openpyxl.load_workbook(io.BytesIO(form_bytes()))
    assert [sheet.title for sheet in book if sheet.sheet_state == "visible"] == ["Loads", "Candidates"]


def test_the_case_file_beside_a_form_speaks_of_the_form(tmp_path: Path) -> None:
    """It names no tables and no example rows that are not there, and has every setting of the other starter."""
    start_case(tmp_path / "form", form=True)
    start_case(tmp_path / "tables", form=False)
    form, tables = ((tmp_path / name / "case.toml").read_text(encoding="utf-8") for name in ("form", "tables"))
    assert not any(word in form for word in ("loads.csv", "candidates.csv", "example", "two tables"))
    assert form.startswith("# A case for holdover. The survey form beside it")
    assert form.split("# A line like")[1] == tables.split("# A line like")[1]


def test_a_blank_form_says_that_it_is_blank(tmp_path: Path) -> None:
    """No case comes of it, and the finding says what is missing."""
    file = tmp_path / "survey.xlsx"
    file.write_bytes(form_bytes())
    assert is_form(read_xlsx(file.read_bytes(), file.name))
    case, findings, _ = read_any(file)
    assert case is None
    assert [finding.code for finding in findings.errors] == ["C018"]


def test_any_table_of_loads_is_a_case(tmp_path: Path) -> None:
    """A workbook of somebody's own with a table of loads is read like one in a case folder."""
    book = openpyxl.Workbook()
    for row in (["Appliance", "Watts", "Hours per day"], ["Fridge", 150, 8], ["TV", 90, 4]):
        book.active.append(row)
    book.save(tmp_path / "list.xlsx")
    case, _, _ = read_any(tmp_path / "list.xlsx")
    assert case is not None
    assert [load.name for load in case.loads] == ["Fridge", "TV"]


def retitled(filled: Path, was: str, now: str) -> Path:
    """The form with a heading of its candidates typed over."""
    book = openpyxl.load_workbook(filled)
    (heading,) = [cell for row in book["Candidates"].iter_rows() for cell in row if cell.value == was]
    heading.value = now
    book.save(filled)
    return filled


def test_an_error_among_the_candidates_of_a_form_is_told(filled: Path) -> None:
    """A heading that is not known is an error there as among the loads; the case has candidates, only not all of them."""
    case, findings, _ = read_any(retitled(filled, "Surge output", "Peak kick"))
    assert case is None
    assert {error.code for error in findings.errors} == {"C003", "C010"}
    assert {error.sheet for error in findings.errors} == {"Candidates"}


def test_a_value_of_a_candidate_that_cannot_be_read_is_told(filled: Path) -> None:
    """Whatever is wrong with the only candidate is said."""
    book = openpyxl.load_workbook(filled)
    (name,) = [cell for row in book["Candidates"].iter_rows() for cell in row if cell.value == "Unit A"]
    name.offset(0, 1).value = "lots"
    book.save(filled)
    case, findings, _ = read_any(filled)
    assert case is None
    assert [(error.code, error.sheet) for error in findings.errors] == [("Q001", "Candidates")]


def test_a_form_without_candidates_is_a_case(filled: Path) -> None:
    """Nobody has to offer anything yet: the adviser says that there are none, and no error does."""
    book = openpyxl.load_workbook(filled)
    (name,) = [cell for row in book["Candidates"].iter_rows() for cell in row if cell.value == "Unit A"]
    for cell in book["Candidates"][name.row]:
        cell.value = None
    book.save(filled)
    case, findings, _ = read_any(filled)
    assert case == Case(loads=LOADS), render(findings.found)
    assert "A015" in {finding.code for finding in findings.found}
    assert "C018" not in {finding.code for finding in findings.found}


def test_an_error_among_the_candidates_of_another_workbook_is_told(tmp_path: Path) -> None:
    """A table of candidates that is there must be right; one that is not there is not missed."""
    book = openpyxl.Workbook()
    for row in (["Appliance", "Watts", "Hours per day"], ["Fridge", 150, 8], ["TV", 90, 4]):
        book.active.append(row)
    units = book.create_sheet("Units")
    for row in (["Unit", "Storage Wh", "Continuous W", "Peak kick"], ["Unit A", 2050, 1900, 3900]):
        units.append(row)
    book.save(tmp_path / "list.xlsx")
    case, findings, _ = read_any(tmp_path / "list.xlsx")
    assert case is None
    assert "C003" in {error.code for error in findings.errors}


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"not a workbook", form_bytes()[:4000]])
def test_a_broken_workbook_is_refused_in_words(data: bytes, tmp_path: Path) -> None:
    """A file that is no workbook gives one error with a remedy, by either reader."""
    file = tmp_path / "a.xlsx"
    file.write_bytes(data)
    assert read_any(file)[0] is None
    returned, findings = read_returned(file)
    assert returned is None
    assert [(error.code, bool(error.remedy)) for error in findings.errors] == [("X001", True)]


def test_a_workbook_that_is_not_there_is_told(tmp_path: Path) -> None:
    """A wrong name is told as such."""
    _, findings = read_returned(tmp_path / "none.xlsx")
    assert [error.code for error in findings.errors] == ["F001"]


def test_a_folder_or_case_file_is_read_as_before(tmp_path: Path) -> None:
    """read_any gives a folder to the reader of folders, with no slots of its own."""
    write_case(Case(loads=LOADS), tmp_path / "a")
    case, _, slots = read_any(tmp_path / "a")
    assert case == Case(loads=LOADS)
    assert slots is None


def test_a_workbook_of_another_schema_is_refused(tmp_path: Path) -> None:
    """The property names the schema; a later one is not guessed at."""
    file = tmp_path / "a.xlsx"
    file.write_bytes(thin(Case(), roomy(Case())))
    book = openpyxl.load_workbook(file)
    book.custom_doc_props["holdover_schema"].value = "holdover case 9"
    book.save(file)
    _, findings = read_returned(file)
    assert [error.code for error in findings.errors] == ["T006"]


def test_no_cell_of_a_written_table_is_a_formula() -> None:
    """Texts that a spreadsheet program would compute have an apostrophe before them; numbers keep their minus."""
    wide = tuple(f"{sign}1" for sign in "＝＋－＠")
    names = ("=1+1", "+A1", "-2", "@SUM(A1)", "'=x", *wide, "plain")
    loads = tuple(Load(name=name, running_w=1, hours_per_day=1) for name in names)
    unit = UNITS[0].model_copy(update={"charge_min_c": -10.0})
    files = case_files(Case(loads=loads, candidates=(unit,)))
    rows = list(csv.reader(io.StringIO(files["loads.csv"])))
    assert [row[0] for row in rows[1:]] == [
        "'=1+1",
        "'+A1",
        "'-2",
        "'@SUM(A1)",
        "''=x",
        *[f"'{name}" for name in wide],
        "plain",
    ]
    assert ",-10," in files["candidates.csv"]


def test_only_what_was_set_is_written() -> None:
    """A case without settings is one line, and a table has the columns it needs and those that are filled."""
    assert case_files(Case()) == {"case.toml": 'schema = "holdover case 1"\n'}
    assert (
        case_files(Case(loads=LOADS[1:]))["loads.csv"].splitlines()[0] == "name,running_w,hours_per_day,starts_at,feed"
    )


def test_one_edit_is_one_line_of_difference() -> None:
    """Between the files of a case and those of its edited copy only the edited lines differ."""
    one = Case(loads=LOADS, candidates=UNITS)
    other = one.model_copy(update={"loads": (LOADS[0].model_copy(update={"running_w": 155.0}), LOADS[1])})
    before, after = case_files(one), case_files(other)
    assert before["case.toml"] == after["case.toml"]
    pairs = list(zip(before["loads.csv"].splitlines(), after["loads.csv"].splitlines(), strict=True))
    assert [pair for pair in pairs if pair[0] != pair[1]] == [
        ("Fridge,Kitchen,essential,1,150,600,0.35,24,,", "Fridge,Kitchen,essential,1,155,600,0.35,24,,")
    ]


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    """write_case refuses a folder that is not empty."""
    assert write_case(Case(loads=LOADS), tmp_path) == ["case.toml", "loads.csv"]
    with pytest.raises(NotWritten, match="not empty"):
        write_case(Case(), tmp_path)
    assert sorted(file.name for file in tmp_path.iterdir()) == ["case.toml", "loads.csv"]


def test_a_form_of_a_case_in_us_units_asks_in_them(tmp_path: Path) -> None:
    """Beside a starter case in US units a bare weight is in pounds and a bare temperature in °F; elsewhere kg and °C."""
    for like, weight_kg, lowest_c in (("home", 23.13321087, 5 / 3), ("stall", 51.0, 35.0)):
        folder = tmp_path / like
        start_case(folder, like, form=True)
        path = folder / "survey.xlsx"
        names = read_xlsx(path.read_bytes(), path.name).names
        book = openpyxl.load_workbook(path)
        row = {
            "name": "Unit",
            "storage_wh": 2000,
            "continuous_w": 1500,
            "surge_w": 3000,
            "weight_kg": 51,
            "charge_min_c": 35,
        }
        for part, line in (("candidates", row), ("loads", {"name": "Lamp", "running_w": 9, "hours_per_day": 5})):
            for field, value in line.items():
                sheet, area = names[f"form_{part}_{field}"]
                book[sheet][area.split(":")[0].replace("$", "")].value = value
        book.save(path)
        case, findings, _ = read_any(folder)
        assert case is not None, render(findings.found)
        assert case.candidates[0].weight_kg == pytest.approx(weight_kg)
        assert case.candidates[0].charge_min_c == pytest.approx(lowest_c)
