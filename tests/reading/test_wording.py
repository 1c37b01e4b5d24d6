"""What is said of a quantity: the unit it was read in, and where it belongs."""

from pathlib import Path
from typing import get_args

import pytest

from holdover.case.figures import clock, figure
from holdover.case.schema import Criterion
from holdover.findings import Finding
from holdover.reading.table.headers import read_header
from holdover.returned.read import read_any

LOADS = "name,running_w,hours_per_day\nLamp,10,5\n"
UNITS = "name,storage_wh,continuous_w,surge_w\nUnit A,2048,2400,4800\n"


def told(folder: Path, toml: str = "", loads: str = LOADS, units: str = UNITS) -> list[Finding]:
    (folder / "case.toml").write_text(toml, encoding="utf-8")
    (folder / "loads.csv").write_text(loads, encoding="utf-8")
    (folder / "candidates.csv").write_text(units, encoding="utf-8")
    return read_any(folder)[1].found


@pytest.mark.parametrize(
    ("toml", "message"),
    [
        ('[sizing]\nbasis = "planned outage"\nautonomy_days = "24 h"', "24 h read as 1 day"),
        ('[sizing]\nbasis = "planned outage"\nautonomy_days = "36 h"', "36 h read as 1.5 days"),
        ('[sizing]\nstorage_c = "68 °F"', "68 °F read as 20 °C"),
        ('[sizing]\nstorage_c = "40 °F"', "40 °F read as 4.444 °C"),
        ('[sizing]\nlift_kg = "55 lb"', "55 lb read as 24.95 kg"),
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
    assert sorted((f.code, f.row) for f in found) == [
        ("A001", 2),
        ("A001", 4),
        ("A003", 4),
        ("A025", 2),
        ("L012", None),
        ("Q001", 3),
    ]
    assert read_any(tmp_path)[0] is None


def test_no_advice_on_what_was_not_read(tmp_path: Path) -> None:
    """What an unread row might have said is not missed: no load, no candidate, no voltage is called missing."""
    loads = "name,running_w,hours_per_day,feed\nOven,900,1,230 V\n"
    assert [f.code for f in told(tmp_path, loads=loads, units=UNITS.replace("2400", "lots"))] == ["Q001"]
    assert [f.code for f in told(tmp_path, loads=LOADS.replace("10", "lots"))] == ["Q001"]


@pytest.mark.parametrize("toml", ['[sizing]\nlift_kg = "much"', "[sizing]\nlift = 2", "[[points]]\ntemperature_c = 1"])
def test_no_advice_where_a_setting_is_wrong(toml: str, tmp_path: Path) -> None:
    """A setting that can't be read may change every remark, so none is made."""
    assert [f.level for f in told(tmp_path, toml, loads=FRIDGES.replace("lots", "100"))] == ["error"]


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (44.9056, "44.91"), (575.342, "575.3"), (1e6, "1000000"), (-20 / 3, "-6.667"), (0.0, "0"), (8.0, "8"),
        (12345.6, "12346"), (0.0028, "0.0028"), (999.96, "1000"), (-0.00001, "-0.00001"), (1e15, "1" + "0" * 15),
    ],
)  # fmt: skip
def test_a_figure_in_a_message(value: float, told: str) -> None:
    """Four digits are told, whole ones from 1000 up, never a power of ten."""
    assert figure(value) == told


@pytest.mark.parametrize(("hours", "told"), [(22.5, "22:30"), (6.5, "06:30"), (0.0, "00:00"), (23.999, "00:00")])
def test_a_clock_hour_in_a_message(hours: float, told: str) -> None:
    """A clock hour is told as people write it."""
    assert clock(hours) == told


def test_figures_are_told_short_and_kept_whole(tmp_path: Path) -> None:
    """What is told is rounded, what is stored is not; times are told as times."""
    text = "name,W,From,Until,Metered (kWh/yr)\nTV,80,22:30,06:30,\nFridge,150,0:00,24:00,210\n"
    found = told(tmp_path, loads=text)
    assert any(f.message == "from 22:30 to 06:30 read as 8 h a day" for f in found)
    found = told(tmp_path, units=UNITS.replace("surge_w", "surge_w,weight_kg").replace("4800", "4800,99 lb"))
    assert [f.message for f in found if f.code == "Q005"] == ["99 lb read as 44.91 kg"]
    case = read_any(tmp_path)[0]
    assert case is not None
    assert case.candidates[0].weight_kg == pytest.approx(99 * 0.45359237, rel=1e-14)
    (wide,) = told(tmp_path, units=UNITS.replace("2048", "-1"))
    assert wide.allowed == "0 to 1000000 Wh"


@pytest.mark.parametrize(
    ("hours", "remedy"),
    [
        ("8-17", "if these are clock times, write 8:00-17:00"),
        ("18-22 h", "if these are clock times, write 18:00-22:00"),
        ("30-40", "write the one figure to count with"),
        ("6:00-8:00; 18:00-22:00", "write one row per span"),
        ("8-10 and 18-22", "write one row per span"),
    ],
)
def test_hours_that_are_no_figure(hours: str, remedy: str, tmp_path: Path) -> None:
    """A range of hours may be two clock times, which is said with them; of several spans each takes a row."""
    (found,) = told(tmp_path, loads=f"name,running_w,hours_per_day\nLamp,10,{hours}\n")
    assert found.code == "Q001"
    assert found.remedy.startswith(remedy)


def test_two_marks_name_both_cells(tmp_path: Path) -> None:
    """Of two cells that contradict each other in their decimal mark, both are named with row and column."""
    (found,) = told(tmp_path, loads='name,running_w,hours_per_day\nA,10.5,3\nB,10,"2,5"\n')
    assert (found.code, found.level, found.row, found.column) == ("Q004", "warning", 3, "hours_per_day")
    assert "the other stands in loads.csv, row 2, column running_w" in found.remedy


def test_a_column_that_is_not_there_hides_nothing_of_the_others(tmp_path: Path) -> None:
    """No column of hours, and watts that are none: both are told at once, and hours not again of each row."""
    found = told(tmp_path, loads="name,running_w\nLamp,twelve\nFridge,90\n")
    assert [(each.code, each.row) for each in found if each.level == "error"] == [("C010", 1), ("Q001", 2)]


def test_of_two_marks_each_cell_is_read_that_can_only_mean_one_thing(tmp_path: Path) -> None:
    """12,5 and 12.5 in one file are read; only 1.234, which may be either, is asked about."""
    found = told(tmp_path, loads='name,running_w,hours_per_day\nA,"12,5",2.5\nB,1.234,3\n')
    assert [(each.code, each.row) for each in found] == [("Q004", 2), ("Q003", 3)]


@pytest.mark.parametrize(
    ("toml", "fields"),
    [
        ('distance = "20 mi"\nconsumption = 18', {"distance": 20, "distance_unit": "mi", "consumption": 18}),
        ('consumption = "31 kWh/100 mi"', {"consumption": 31, "consumption_unit": "kWh/100 mi"}),
        ('consumption = "3.5 mi/kWh"', {"consumption": 3.5, "consumption_unit": "mi/kWh"}),
        ('consumption = "6 km per kWh"', {"consumption": 6, "consumption_unit": "km/kWh"}),
        ('consumption = "165 Wh/km"', {"consumption": 165, "consumption_unit": "Wh/km"}),
        ('consumption = "18 kWh/100km"', {"consumption": 18, "consumption_unit": "kWh/100 km"}),
        (
            'consumption = "300 Wh/mile"\nconsumption_unit = "Wh/mi"',
            {"consumption": 300, "consumption_unit": "Wh/mi"},
        ),
    ],
)
def test_a_unit_that_is_a_setting_of_its_own(toml: str, fields: dict[str, object], tmp_path: Path) -> None:
    """Distance and consumption may be written with their unit; nothing is converted, so nothing is told."""
    assert told(tmp_path, f"[vehicle]\n{toml}\n") == []
    case = read_any(tmp_path)[0]
    assert case is not None
    assert {name: getattr(case.vehicle, name) for name in case.vehicle.model_fields_set} == fields


def test_two_units_of_a_consumption_disagree(tmp_path: Path) -> None:
    """A unit behind the number and another one as a setting are an error; a unit of another kind too."""
    toml = '[vehicle]\nconsumption = "3.5 mi/kWh"\nconsumption_unit = "Wh/km"\n'
    (found,) = told(tmp_path, toml)
    assert (found.code, found.level) == ("L004", "error")
    assert "unit of the consumption" in found.message
    (found,) = told(tmp_path, '[vehicle]\nconsumption = "18 kWh"\n')
    assert (found.code, "3.5 mi/kWh" in found.remedy) == ("Q006", True)


def test_unknown_columns_are_told_once_each(tmp_path: Path) -> None:
    """The fields are listed with the first one; what no row has is not missed in every row beside them."""
    rows = "".join(f"Load {n};9;5;red;{400 + n}\n" for n in range(9))
    found = told(tmp_path, loads=f"Item;Potenza;Hours;Colour;Metered (Wh/day)\n{rows}Load 10;9;5;red;\n")
    assert [(f.code, f.column) for f in found] == [("C003", "Potenza"), ("C003", "Colour")]
    assert "Running, Starting, Power factor" in found[0].allowed
    assert found[1].allowed == ""
    assert found[0].remedy.startswith("if it is Running, head it so; else")


def test_an_unknown_column_may_be_the_missing_one(tmp_path: Path) -> None:
    """Power among candidates is asked about as the output that has no column, not as anything of the sun."""
    found = told(tmp_path, units="Candidate;Capacity;Power;Surge\nU;2000;2000;4000\n")
    assert [(f.code, f.remedy) for f in found if f.code == "C003"] == [
        ("C003", "if it is Continuous output, head it so")
    ]
    found = told(tmp_path, loads="name,runing_w,hours_per_day\nA,9,5\n")
    assert found[0].remedy == "if it is Running, head it so"


def test_unknown_keys_are_told_once_each(tmp_path: Path) -> None:
    """So it is in a case file, part by part."""
    found = told(tmp_path, "[sizing]\nlift = 2\nlifts = 3\n[outage]\nnight = 2\n")
    assert [bool(f.allowed) for f in found] == [True, False, True]


def tiers(folder: Path, *rows: str) -> tuple[list[str | None], list[Finding]]:
    text = "name,watts,hours,priority\n" + "".join(
        f"{row if ',' in row else f'Load {n},9,5,{row}'}\n" for n, row in enumerate(rows)
    )
    found = told(folder, loads=text)
    case = read_any(folder)[0]
    return [load.tier for load in case.loads] if case else [], found


@pytest.mark.parametrize(
    ("words", "meant", "level"),
    [
        (["High", "low", "medium", ""], ["critical", "convenience", "essential", None], "note"),
        (["low", "high"], ["convenience", "critical"], "note"),
        (["low"], ["convenience"], "note"),
        (["low priority", "critical"], ["convenience", "critical"], "note"),
        (["high", "nice to have", "medium"], ["critical", "convenience", "essential"], "note"),
        (["1", "3", "2", "3"], ["critical", "convenience", "essential", "convenience"], "warning"),
        (["C", "a", "b"], ["convenience", "critical", "essential"], "warning"),
    ],
)
def test_tiers_of_another_scale(words: list[str], meant: list[str], level: str, tmp_path: Path) -> None:
    """A scale is taken where the whole file says which end is which, and told in one finding."""
    found_tiers, found = tiers(tmp_path, *words)
    assert found_tiers == meant
    (said,) = [f for f in found if f.code not in ("A012", "A044")]
    assert (said.code, said.level) == ("Q025", level)
    assert f"{words[0]} as {meant[0]}" in said.message


def test_words_that_say_their_tier_by_themselves(tmp_path: Path) -> None:
    """Must, should and nice need no other word beside them."""
    assert tiers(tmp_path, "must", "should", "nice", "critical") == (
        ["critical", "essential", "convenience", "critical"],
        [],
    )
    assert tiers(tmp_path, "must") == (["critical"], [])
    assert tiers(tmp_path, "very important", "important") == (["critical", "essential"], [])


@pytest.mark.parametrize(
    "words",
    [
        ["1", "2"],
        ["1", "2", "3", "4"],
        ["high", "1", "low"],
        ["high", "critical", "low"],  # whether high is as high as critical, nobody can tell
        ["A", "B"],
        ["1", "2", "CPAP,60,8,3"],
    ],
)
def test_tiers_in_doubt_are_asked_about(words: list[str], tmp_path: Path) -> None:
    """Where the order may be another one, every choice is offered with its meaning, and none is preferred."""
    found_tiers, found = tiers(tmp_path, *words)
    assert found_tiers == []
    remedy = next(f.remedy for f in found if f.code in {"Q007", "C023"})  # C023: for the column at once
    assert "write critical (never shed), essential (shed last) or convenience (shed first)" in remedy


def test_an_unknown_word_is_answered_with_all_choices(tmp_path: Path) -> None:
    """So is a word for any other choice; one that is like a choice is asked about first."""
    (found,) = told(tmp_path, '[money]\nrank_by = "beauty"\n')
    for choice in get_args(Criterion):
        assert choice in found.remedy
    (found,) = told(tmp_path, '[sizing]\nstarting = "togethre"\n')
    assert found.remedy.startswith("did you mean together? else write one at a time (")
