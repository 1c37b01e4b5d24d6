"""The survey form goes out blank and comes back as a case; other workbooks are read or refused, never guessed."""

import csv
import io
from pathlib import Path

import openpyxl
import pytest

from holdover.case.schema import AC_VOLTS, Candidate, Case, Load
from holdover.findings import render
from holdover.model.study import study
from holdover.reading.table.headers import read_header
from holdover.returned.answers import country_of, purpose_of
from holdover.returned.extract import case_files, write_case
from holdover.returned.form import ABOUT, FORM_SHEETS, OFFER, RUN, form_bytes, is_form
from holdover.returned.questions import offered
from holdover.returned.read import read_any, read_returned
from holdover.workbook.column import Table
from holdover.workbook.save import NotWritten
from holdover.xlsx import read_xlsx
from returned.books import roomy, thin
from returned.forms import filled_form

LOADS = (
    Load(name="Fridge", place="Kitchen", tier="essential", quantity=1, running_w=150, starting_w=600, duty=0.35, hours_per_day=24),
    Load(name="=Lamp", running_w=9, hours_per_day=4.5, starts_at=18, feed="12 V DC"),
)  # fmt: skip
UNITS = (Candidate(name="Unit A", storage_wh=2050, usable_share=0.95, continuous_w=1900, surge_w=3900, price=1290),)
SHEET_A = (
    ("Unit A",),
    ("Capacity: 2.05 kWh",),
    ("Usable share", "95 %"),
    ("Output 1900 W",),
    ("Surge", 3900),
    ("Price", "1,290.00"),
)
"""A data sheet as somebody pastes it: with a colon, in two cells, in one."""


LAMP = {"name": "Lamp", "running_w": 9, "hours_per_day": "evening"}


def answers(**more: str) -> dict[str, str]:
    """What must be answered, and more."""
    return {"country": "Canada", **more}


def plain(load: Load) -> dict[str, object]:
    """A load as it is typed."""
    return {name: value for name, value in load if value not in (None, "")}


def case_of(file: Path) -> Case:
    """The case of a form that can be read."""
    case, findings, slots = read_any(file)
    assert case is not None, render(findings.found)
    assert slots is None
    return case


@pytest.fixture
def filled(tmp_path: Path) -> Path:
    """A form that was filled in."""
    return filled_form(tmp_path / "survey.xlsx", answers(), [plain(load) for load in LOADS], SHEET_A)


def test_a_filled_form_is_a_case(filled: Path) -> None:
    """Loads and candidates come back as they were typed; figures beside stated watts are those that are typical."""
    case = case_of(filled)
    assert case.loads[0] == LOADS[0].model_copy(update={"power_factor": 0.8})
    assert case.loads[1] == LOADS[1]
    assert case.candidates == UNITS


def test_the_country_sets_voltage_paper_units_and_currency(tmp_path: Path) -> None:
    """By its name, by another name, or by the voltage where it is not listed."""
    found = {}
    for country in ("Canada", "usa", "UK", "Germany", "Japan", "230 V"):
        case = case_of(filled_form(tmp_path / f"{country}.xlsx", {"country": country}, [LAMP]))
        found[country] = (case.sizing.feed, case.about.units, case.about.paper, case.about.currency)
    assert found == {
        "Canada": ("120 V", "metric", "Letter", "$"),
        "usa": ("120 V", "US", "Letter", "$"),
        "UK": ("230 V", "metric", "A4", "£"),
        "Germany": ("230 V", "metric", "A4", "€"),
        "Japan": ("100 V", "metric", "A4", "¥"),
        "230 V": ("230 V", "metric", None, "$"),
    }


def test_every_listed_country_has_a_voltage_and_a_paper() -> None:
    """Each is found by its own name and offered in the list."""
    assert len(offered()["countries"]) > 60
    for name in offered()["countries"]:
        country = country_of(name)
        assert country is not None
        assert country.name == name
        assert country.feed in AC_VOLTS
        assert country.paper in ("Letter", "A4")


@pytest.mark.parametrize(
    ("purpose", "days", "more"),
    [("power cut", 2, {}), ("stall", 1, {"repeats": "yes"}), ("clinic", 3, {}), ("vehicle", 1, {})],
)
def test_the_purpose_sets_what_is_usual_for_it(purpose: str, days: int, more: dict[str, str], tmp_path: Path) -> None:
    """Days, and at a stall the day that repeats; what is typed goes before."""
    told = answers(purpose=purpose, distance="6 mi" if purpose == "vehicle" else "")
    case = case_of(filled_form(tmp_path / "a.xlsx", told, [LAMP]))
    assert case.outage.days == days
    assert {name: getattr(case.outage, name) for name in more} == more
    told["days"] = "5"
    assert case_of(filled_form(tmp_path / "b.xlsx", told, [LAMP])).outage.days == 5


def test_what_people_say_of_an_outage_is_a_power_cut() -> None:
    """Outage, blackout or storm, alone or in a phrase; what may be two purposes, or is none, is asked about."""
    said = (
        "outage",
        "Power outage",
        "blackout",
        "storm",
        "hurricane power outage",
        "Hurricanes!",
        "a day at the market",
    )
    assert [purpose_of(each) for each in said] == ["power cut"] * 6 + ["stall"]
    assert [purpose_of(each) for each in ("boat", "outages at the clinic", "stormy petrel", "")] == [""] * 4


def test_a_word_in_place_of_a_name_is_no_name(tmp_path: Path) -> None:
    """`me` is no firm at the head of an offer, nor a client."""
    told = answers(client="Me", prepared_by="me")
    assert case_of(filled_form(tmp_path / "a.xlsx", told, [LAMP])).about.prepared_by == ""
    assert case_of(tmp_path / "a.xlsx").about.client == ""


def test_a_vehicle_is_asked_for_in_the_units_of_the_roads(tmp_path: Path) -> None:
    """Bare figures are miles where roads are, else kilometres; a unit that was typed goes before."""
    lamp = [LAMP]
    drives = {}
    for country, distance in (("US", "6"), ("Germany", "6"), ("Germany", "6 mi"), ("US", "9 km")):
        case = case_of(
            filled_form(tmp_path / f"{country}{distance}.xlsx", {"country": country, "distance": distance}, lamp)
        )
        vehicle = case.vehicle
        drives[country, distance] = (vehicle.distance, vehicle.distance_unit, vehicle.charger_v, vehicle.charger_a)
    assert drives == {
        ("US", "6"): (6, "mi", 120, 12),
        ("Germany", "6"): (6, "km", 230, 10),
        ("Germany", "6 mi"): (6, "mi", 230, 10),
        ("US", "9 km"): (9, "km", 120, 12),
    }


def test_what_must_never_stop_is_critical(tmp_path: Path) -> None:
    """By its words or as another name of the same thing; a name that is on no line is an error, for it would be lost."""
    loads: list[dict[str, object]] = [{"name": "CPAP"}, {"name": "Kitchen fridge", "running_w": 150}, LAMP]
    case = case_of(filled_form(tmp_path / "a.xlsx", answers(never_stops="cpap, refrigerator"), loads))
    assert [load.tier for load in case.loads] == ["critical", "critical", None]
    file = filled_form(tmp_path / "b.xlsx", answers(never_stops="CPAP; dialysis machine"), loads)
    none, findings, _ = read_any(file)
    assert none is None
    assert [(error.code, error.cell) for error in findings.errors] == [("R003", "B9")]


def test_the_own_headings_of_a_form_give_no_notes(filled: Path) -> None:
    """Nobody is told what the form itself says."""
    codes = {finding.code for finding in read_any(filled)[1].found}
    assert not codes & {"C014", "C011", "C018"}


@pytest.mark.parametrize("name", list(Load.model_fields))
def test_every_heading_of_the_form_means_its_own_field(name: str) -> None:
    """The reader of tables takes each heading for the field below it, and no two for one."""
    tables = {block.name: block for sheet in FORM_SHEETS for block in sheet.blocks if isinstance(block, Table)}
    table = tables["form_loads"]
    (column,) = [column for column in table.columns if column.name == name]
    header = read_header(column.title, "loads")
    assert header is not None
    assert (header.field, header.bad_unit, header.aside) == (name, "", "")


def test_cells_of_a_form_keep_what_is_typed_as_it_stands(filled: Path) -> None:
    """They are texts: else a program would take 2-3 for a day in February, and 1/2 for one in January."""
    book = openpyxl.load_workbook(filled)
    names = read_xlsx(filled.read_bytes(), filled.name).names
    for name in ("form_loads_hours_per_day", "form_loads_running_w", "form_about_days", "form_offer_a"):
        sheet, area = names[name]
        assert book[sheet][area.split(":")[0].replace("$", "")].number_format == "@", name


def test_what_is_asked_for_is_offered(filled: Path) -> None:
    """Countries, purposes and typical loads drop down; another word may be typed."""
    book = openpyxl.load_workbook(filled)
    offered = {rule.formula1: rule.showErrorMessage for sheet in book for rule in sheet.data_validations.dataValidation}
    for name in ("list_countries_word", "list_loads_word", "list_powercut_clinic4_word"):
        assert not offered[name]
        sheet, area = read_xlsx(filled.read_bytes(), filled.name).names[name]
        assert sheet == "Lists"
        assert area


def test_the_form_shows_what_is_to_be_filled_in_and_nothing_else() -> None:
    """The lists behind the drop-downs are hidden."""
    book = openpyxl.load_workbook(io.BytesIO(form_bytes()))
    assert [sheet.title for sheet in book if sheet.sheet_state == "visible"] == [ABOUT, RUN, OFFER]


def test_a_blank_form_says_that_it_is_blank(tmp_path: Path) -> None:
    """No case comes of it, and the findings say what is missing: the country, and a load."""
    file = tmp_path / "survey.xlsx"
    file.write_bytes(form_bytes())
    assert is_form(read_xlsx(file.read_bytes(), file.name))
    case, findings, _ = read_any(file)
    assert case is None
    assert [finding.code for finding in findings.errors] == ["R003", "C018"]


@pytest.mark.parametrize(
    ("about", "wording"),
    [
        ({}, "the country is missing"),
        ({"country": "Canad"}, "Canada is"),
        ({"country": "Brazil"}, "not known here"),
        ({"country": "Canada", "purpose": "boat"}, "none of those that are known"),
        ({"country": "Canada", "purpose": "vehicle"}, "how far"),
        ({"country": "Canada", "never_stops": "kiln"}, "`kiln` must never stop"),
        ({"country": "Canada", "days": "a few"}, "can't be read"),
        ({"country": "Canada", "days": "40"}, "between"),
    ],
)
def test_an_answer_that_cannot_be_taken_is_told_at_its_cell(
    about: dict[str, str], wording: str, tmp_path: Path
) -> None:
    """One error each, on the first sheet, with a remedy."""
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", about, [LAMP]))
    assert case is None
    (error,) = findings.errors
    assert wording in error.message
    assert error.sheet == ABOUT
    assert error.remedy


SHEET = "2 x 200 W, Voc 24.3 V, Vmp 20.4 V, Isc 10.4 A, Imp 9.8 A, -0.28 %/°C"
MODULE = {"power_w": 200, "voc_v": 24.3, "vmp_v": 20.4, "isc_a": 10.4, "imp_a": 9.8, "voc_tempco": -0.0028}


@pytest.mark.parametrize(
    ("typed", "count", "stated"),
    [
        (SHEET, 2, MODULE),
        (SHEET.replace("2 x", "two"), 2, MODULE),
        (SHEET.removeprefix("2 x ").replace(", ", "\n"), 1, MODULE),
        (
            "4 panels\nPmax 393 W\nOpen-circuit voltage (Voc): 37.2 V\nVoltage at maximum power 30.9 V\nIsc = 13.6\nImpp 12.7 A\n"
            "Temperature coefficient of Pmax: -0.35 %/°C\nTemperature coefficient of Voc: -0.27 %/K",
            4,
            {"power_w": 393, "voc_v": 37.2, "vmp_v": 30.9, "isc_a": 13.6, "imp_a": 12.7, "voc_tempco": -0.0027},
        ),
        ("none", 0, {}),
    ],
)
def test_solar_modules_are_read_from_what_is_pasted(
    typed: str, count: int, stated: dict[str, float], tmp_path: Path
) -> None:
    """How many, and the figures of their data sheet; every month has the sun that was answered."""
    sun = {"latitude": "40.7 N", "sun_hours": "2.5", "coldest_c": "0 F"}
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(solar=typed, **sun), [LAMP]))
    assert case is not None, render(findings.found)
    assert case.array.modules == count
    assert {name: getattr(case.array, name) for name in stated} == pytest.approx(stated)
    assert [month.peak_sun_hours for month in case.months] == [2.5 if count else None] * 12
    assert case.sun.latitude_deg == 40.7
    assert case.sun.coldest_c == pytest.approx(-17.7778, abs=1e-4)


def test_modules_without_voc_per_degree_count_by_the_electrical_code(tmp_path: Path) -> None:
    """What folding modules state seldom has a factor for crystalline silicon, which is told; thin film has none."""
    silent = SHEET.removesuffix(", -0.28 %/°C")
    sun = {"latitude": "40.7 N", "sun_hours": "2.5", "coldest_c": "0 F"}
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(solar=silent, **sun), [LAMP]))
    assert case is not None
    assert (case.array.modules, case.array.voc_tempco) == (2, -0.004)
    (told,) = [each.message for each in findings.found if each.code == "R005" and each.level == "warning"]
    assert "-0.4 % for each °C" in told
    about = answers(solar=f"{silent}, CIGS", **sun)
    assert case_of(filled_form(tmp_path / "b.xlsx", about, [LAMP])).array.voc_tempco is None


def test_modules_that_cannot_be_judged_are_told_and_not_counted(tmp_path: Path) -> None:
    """All that is lacking at once, each at its question; they stay in the plan, whose first page says what is lacking."""
    sun = "How far north or south is it? How many hours of full sun has a day there? How cold can a day get there?"
    asked = {SHEET: [sun], "two 200-watt panels": ["Voc, Vmp, Isc", sun], "yes please": ["watts", sun], "": []}
    for number, (typed, told) in enumerate(asked.items()):
        case, findings, _ = read_any(filled_form(tmp_path / f"{number}.xlsx", answers(solar=typed), [LAMP]))
        assert case is not None
        assert case.array.modules == (2 if "2" in typed else 0)  # without their watts nobody can tell what they are
        assert bool(study(case).answer.notice) == bool(case.array.modules)
        warned = [each for each in findings.found if each.level == "warning" and each.code == "R005"]
        assert len(warned) == len(told)
        assert all(part in each.message for part, each in zip(told, warned, strict=True))
        assert not {"A017", "A018", "A020"} & {finding.code for finding in findings.found}


def test_any_table_of_loads_is_a_case(tmp_path: Path) -> None:
    """A workbook of somebody's own with a table of loads is read like one in a case folder."""
    book = openpyxl.Workbook()
    for row in (["Appliance", "Watts", "Hours per day"], ["Fridge", 150, 8], ["TV", 90, 4]):
        book.active.append(row)
    book.save(tmp_path / "list.xlsx")
    case, _, _ = read_any(tmp_path / "list.xlsx")
    assert case is not None
    assert [load.name for load in case.loads] == ["Fridge", "TV"]


def test_a_value_of_a_candidate_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    """Whatever is wrong with the only candidate is said, at its line."""
    lines = [*SHEET_A[:1], ("Capacity: lots",), *SHEET_A[2:]]
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(), [plain(LOADS[0])], lines))
    assert case is None
    assert [(error.code, error.sheet) for error in findings.errors] == [("Q001", OFFER)]


def test_a_form_without_candidates_is_a_case(tmp_path: Path) -> None:
    """Nobody has to offer anything yet: the adviser says that there are none, and no error does."""
    case, findings, _ = read_any(filled_form(tmp_path / "a.xlsx", answers(), [plain(LOADS[0])]))
    assert case is not None, render(findings.found)
    assert case.candidates == ()
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


def test_what_a_vehicle_takes_is_asked_with_its_unit(tmp_path: Path) -> None:
    """A figure with its unit is kept; of a bare one the unit goes by size and roads: 3.4 is no consumption per 100 miles."""
    read = {}
    for country, said in (
        ("US", "3.4 mi/kWh"),
        ("US", "30"),
        ("US", "3.4"),
        ("US", "290"),
        ("Germany", "18"),
        ("US", ""),
    ):
        told = answers(country=country, purpose="vehicle", distance="6 mi", consumption=said)
        vehicle = case_of(filled_form(tmp_path / "a.xlsx", told, [LAMP])).vehicle
        read[country, said] = (vehicle.consumption, vehicle.consumption_unit)
    assert read == {
        ("US", "3.4 mi/kWh"): (3.4, "mi/kWh"),
        ("US", "30"): (30, "kWh/100 mi"),
        ("US", "3.4"): (3.4, "mi/kWh"),
        ("US", "290"): (290, "Wh/mi"),
        ("Germany", "18"): (18, "kWh/100 km"),
        ("US", ""): (None, "kWh/100 km"),
    }


def test_a_vehicle_from_the_form_is_a_trip(tmp_path: Path) -> None:
    """Its card speaks of the road, not of a house without power; a stall's is of a day away."""
    for purpose, plan in (("vehicle", "trip"), ("stall", "day away"), ("power cut", "outage")):
        told = answers(purpose=purpose, distance="6 mi" if purpose == "vehicle" else "")
        assert case_of(filled_form(tmp_path / "a.xlsx", told, [LAMP])).about.purpose == plan
