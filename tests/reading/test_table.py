"""Tables: the dress of a file never changes what stands in it."""

import csv
import io
import itertools
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import RECORDS
from holdover.case.words import data
from holdover.findings import Findings, render
from holdover.reading.case import build_case
from holdover.reading.fields import ASKED
from holdover.reading.table.headers import read_header
from holdover.reading.table.table import read_table
from holdover.reading.toml import CaseFile
from holdover.returned.read import read_any

EXAMPLES = settings(max_examples=100, derandomize=True, deadline=None)
NAMES = st.text(
    alphabet=st.characters(codec="utf-16", categories=("L", "N", "P", "S", "Zs"), exclude_characters="\u00ad"),
    min_size=1,
    max_size=12,
).map(str.strip)
HEAD = ["name", "running_w", "hours_per_day"]


def as_csv(rows: list[list[str]], delimiter: str, end: str) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter, lineterminator=end).writerows(rows)
    return text.getvalue()


@EXAMPLES
@given(
    st.lists(
        st.tuples(NAMES.filter(lambda n: len(n) > 3), st.integers(1, 9999), st.integers(0, 24)), min_size=1, max_size=5
    ),
    st.sampled_from(",;\t|"),
    st.sampled_from(["\n", "\r\n"]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_dress(rows: list[tuple[str, int, int]], delimiter: str, end: str, encoding: str) -> None:
    """Every delimiter, line end and encoding gives the rows that were written."""
    findings = Findings()
    # The words by which a table's own rows are told are not names of loads.
    rows = [("Load " + name, watts, hours) for name, watts, hours in rows]
    text = as_csv([HEAD, *([name, str(watts), str(hours)] for name, watts, hours in rows)], delimiter, end)
    read = read_table("loads", text.encode(encoding), "loads.csv", findings)
    assert not findings.errors, render(findings.found)
    assert [[row.entries[name].value for name in HEAD] for row in read] == [[n, str(w), str(h)] for n, w, h in rows]


def test_rows_are_numbered_as_in_the_sheet() -> None:
    """A finding names the row the spreadsheet shows, below titles, blank lines and the header."""
    text = "Survey\n\nname,running_w,hours_per_day\n\nLamp,10,5\nPump,x,5\n"
    findings = Findings()
    rows = read_table("loads", text.encode(), "loads.csv", findings)
    assert [row.place.row for row in rows] == [5, 6]


def test_a_field_beyond_all_measure() -> None:
    """A quotation mark that is closed after many lines swallows them; what csv says of it is told in our words."""
    findings = Findings()
    text = 'name,running_w,hours_per_day\n"' + "a line of many\n" * 10_000 + '",10,5\n'
    assert read_table("loads", text.encode(), "loads.csv", findings) == []
    (found,) = findings.found
    assert (found.code, found.message) == ("C001", "the table is broken: a field of more than 131 072 characters")


def headers() -> list[tuple[str, str, str]]:
    table = data("headers.toml")
    return [
        (part, name, word) for part in ("loads", "candidates") for name, words in table[part].items() for word in words
    ]


def test_no_header_means_two_fields() -> None:
    """No word of the trade stands for two fields of one part, and every field of the words exists."""
    for part in ("loads", "candidates"):
        words = [(word.partition(" [")[0], name) for each, name, word in headers() if each == part]
        meant: dict[str, set[str]] = {}
        for word, name in words:
            meant.setdefault(word, set()).add(name)
            assert name in ASKED[part]
        assert {word: names for word, names in meant.items() if len(names) > 1} == {}


@pytest.mark.parametrize(("part", "name", "word"), headers())
def test_header_words(part: str, name: str, word: str) -> None:
    """Each word is known in any case and punctuation, with its unit."""
    text, _, unit = word.partition(" [")
    for typed in (text, text.upper(), text.title() + " *", text.replace(" ", "_"), f" {text}: "):
        header = read_header(typed, part)
        assert header is not None, typed
        assert (header.field, header.unit) == (name, unit.rstrip("]")), typed


def test_every_field_can_be_a_column() -> None:
    """The names of the schema are headers themselves."""
    for part in ("loads", "candidates"):
        for name in RECORDS[part].model_fields:
            header = read_header(name, part)
            assert header is not None
            assert header.field == name


@EXAMPLES
@given(
    st.lists(st.tuples(st.integers(0, 9999), st.integers(0, 999)), min_size=1, max_size=6), st.booleans(), st.booleans()
)
def test_one_cell_decides_the_mark(parts: list[tuple[int, int]], comma: bool, thousands: bool) -> None:
    """In a file where one cell can be read one way only, every other number is read that way."""
    mark, other = (",", ".") if comma else (".", ",")
    values = [float(f"{whole}.{part:03d}") for whole, part in parts]
    texts = [f"{whole:,}".replace(",", other if thousands else "") + f"{mark}{part:03d}" for whole, part in parts]
    lines = [f"Load {n};{text} W;5" for n, text in enumerate(texts)] + [f"Lamp;7{mark}5;5"]
    table = "name;running_w;hours_per_day\n" + "\n".join(lines)
    findings = Findings()
    case = build_case(CaseFile(rows=read_table("loads", table.encode(), "loads.csv", findings)), findings).case
    assert case is not None, render(findings.found)
    assert not findings.errors
    assert [load.running_w for load in case.loads] == [*values, 7.5]


def test_whole_finding_of_a_case_file(tmp_path: Path) -> None:
    """In a case file the place is line and key."""
    (tmp_path / "case.toml").write_text("[sizing]\n\nreserve = 15\n")
    _, findings, _ = read_any(tmp_path)
    assert render(findings.errors) == (
        "error[Q002]: Reserve never planned on must be between 0 % and 90 %\n"
        "  --> case.toml, line 3, key sizing.reserve\n"
        "   |  15\n"
        "   = allowed: 0 % to 90 %\n"
        '   = help: 15 means 1500 %: write 0.15 or "15 %"\n'
        "\n"
        "1 error\n"
    )


def test_order_of_columns_is_free(tmp_path: Path) -> None:
    """Every order of the columns gives the same load."""
    cells = {"name": "Fan", "running_w": "50 W", "hours_per_day": "3 h", "tier": "critical"}
    found = set()
    for order in itertools.permutations(cells):
        (tmp_path / "case.toml").write_text("")
        (tmp_path / "loads.csv").write_text(",".join(order) + "\n" + ",".join(cells[name] for name in order) + "\n")
        case, findings, _ = read_any(tmp_path)
        assert case is not None, render(findings.found)
        found.add(case.loads[0].model_dump_json())
    assert len(found) == 1


def test_case_holds_only_what_was_set(tmp_path: Path) -> None:
    """A setting the case leaves out is not among the fields set."""
    (tmp_path / "case.toml").write_text(
        '[sizing]\nreserve = 0.2\n[[loads]]\nname = "A"\nrunning_w = 5\nhours_per_day = 1\n'
    )
    case, *_ = read_any(tmp_path)
    assert case is not None
    assert case.model_fields_set == {"sizing", "loads"}
    assert case.sizing.model_fields_set == {"reserve"}
    assert case.loads[0].model_fields_set == {"name", "running_w", "hours_per_day"}


def test_places_of_rows(tmp_path: Path) -> None:
    """The findings know where each row of the case was read."""
    (tmp_path / "case.toml").write_text("")
    (tmp_path / "loads.csv").write_text("name,running_w,hours_per_day\nA,5,1\n\nB,6,1\n")
    _, findings, _ = read_any(tmp_path)
    place = findings.places["loads", 1]
    assert (place.file, place.row, place.item) == ("loads.csv", 4, "B")


def test_whole_finding(tmp_path: Path) -> None:
    """A finding names file, row, load, column as typed, the text with a caret, the bounds and a remedy."""
    (tmp_path / "case.toml").write_text("")
    (tmp_path / "loads.csv").write_text("Survey\nAppliance,Rated power,Hours/day\nCompressor,1.5 kW (start 4 kW),2\n")
    _, findings, _ = read_any(tmp_path)
    assert render(findings.errors) == (
        "error[Q001]: Running can't be read: `(start 4 kW)` stands behind the unit\n"
        '  --> loads.csv, row 3 ("Compressor"), column Rated power\n'
        "   |  1.5 kW (start 4 kW)\n"
        "   |         ^\n"
        "   = allowed: 0 to 50000 W\n"
        "   = help: write 1.5 kW here and the rest in a column or on a line of its own\n"
        "\n"
        "1 error\n"
    )


@pytest.mark.parametrize(
    ("head", "rows", "codes"),
    [
        ("Item;No.;W;Hours", ["A;14;9;5", "B;2;9;5", "C;3;9;5"], ["C019"]),
        ("No.;Item;W;Hours", ["1;A;9;5", "2;B;9;5", "3;C;9;5"], ["C015"]),
        ("No.;Item;W;Hours", ["1;A;9;5", "2;B;9;5", "4;C;9;5"], ["C019"]),
        ("No.;Item;W;Hours", ["1;A;9;5", "2;B;9;5", "4;C;9;5", "5;D;9;5", "9;E;9;5"], ["C015"]),
        ("No.;Item;W;Hours", ["1;A;9;5", "2;B;9;5", ";Total;18;"], ["C015", "C008"]),
        ("Nr;Item;W;Hours", ["2;A;9;5"], ["C019"]),
        ("#;Item;W;Hours", ["2;A;9;5"], ["C019"]),
        ("No.;Item;W;Hours", ["1 pc;A;9;5", "2 pcs;B;9;5"], ["C019"]),
        ("No.;Item;W;Hours", ["A-1;A;9;5", "A-7;B;9;5"], ["C015"]),
        ("No.;Item;Qty;W;Hours", ["14;A;2;9;5", "2;B;2;9;5"], ["C015"]),
        ("No.;Item;No.;W;Hours", ["1;A;14;9;5", "2;B;2;9;5"], ["C015", "C019"]),
        ("No.;Item;No.;W;Hours", ["1;A;1;9;5", "2;B;2;9;5"], ["C015", "C019"]),
        ("Row;Item;W;Hours", ["7;A;9;5", "3;B;9;5"], ["C015"]),
    ],
)
def test_a_column_headed_no(head: str, rows: list[str], codes: list[str]) -> None:
    """`No.` is left out where it numbers the rows; where it may say how many there are, that is asked."""
    findings = Findings()
    read_table("loads", "\n".join([head, *rows]).encode(), "loads.csv", findings)
    assert [f.code for f in findings.found] == codes
    for finding in findings.errors:
        assert "head it Qty" in finding.remedy


def below(*rows: str) -> tuple[list[str], Findings]:
    """The names that are read of a lamp and the rows below it, and what is said."""
    findings = Findings()
    text = "\n".join(["Item;Power (W);Hours;Remark", "Lamp;10;3;", *rows])
    found = read_table("loads", text.encode(), "loads.csv", findings)
    return [str(row.entries["name"].value) for row in found], findings


@pytest.mark.parametrize(
    "row",
    [
        "Note: measured by JK;;;",
        "* without kitchen",
        "† at night only;;",
        ";;;Note: as built",
        "Source: the tenant",
    ],
)
def test_a_remark_below_the_table_is_no_row(row: str) -> None:
    """It is left out with a note that quotes it, below a total too; nothing is missing in it."""
    for rows in ([row], ["Total;10;;", row], ["Total", row], [row, "* and more"]):
        names, found = below(*rows)
        assert names == ["Lamp"]
        told = [f for f in found.found if f.code == "C020"]
        assert {f.level for f in told} == {"note"}
        assert any(row.strip(";").split(";")[0] in f.message for f in told)
        assert found.errors == []


def test_a_name_without_figures_below_the_table() -> None:
    """It is left out with a warning that quotes it; what is known to draw power stays, and its figures are missed."""
    names, found = below("Prepared in spring for the owner;;;")
    (told,) = found.found
    assert (names, told.code, told.level) == (["Lamp"], "C020", "warning")
    assert told.message.endswith("Prepared in spring for the owner")
    for name in ("Sump pump", "Fridge", "CPAP", "Fan heater"):
        assert below(f"{name};;;") == (["Lamp", name], Findings())


@pytest.mark.parametrize(
    "row", ["* Fan;50;3;", "Note: fan;50;3;", "a) Fan;50;3;", "Notebook;50;3;", "Fan;;;broken", "Fan;50;;", "Fan;tbd;;"]
)
def test_a_row_with_figures_or_remarks_of_its_own_stays(row: str) -> None:
    """Nothing that has a figure, or a remark beside its name, is taken for a remark below the table."""
    assert below(row)[0] == ["Lamp", row.split(";")[0]]


def test_a_name_above_figures_stays() -> None:
    """Only below the last row with figures is a bare name a remark."""
    assert below("Kitchen things;;;", "Fan;50;3;")[0] == ["Lamp", "Kitchen things", "Fan"]


@pytest.mark.parametrize(
    ("typed", "percent"), [("0.004", "0.4 %"), ("0.355", "35.5 %"), ("1", "100 %"), ("0,125", "12,5 %")]
)
def test_a_share_among_percentages_is_told_as_its_exact_percentage(typed: str, percent: str) -> None:
    """The remedy offers both readings, and neither is another value than what was typed."""
    findings = Findings()
    text = f"name;watts;hours;Duty (%)\nA;200;5;{typed}\nB;20;5;50\n"
    read_table("loads", text.encode(), "loads.csv", findings)
    (found,) = findings.errors
    assert (found.code, found.remedy) == ("Q022", f"write {typed} %, or {percent}")


@pytest.mark.parametrize("sign", "=+-@\uff1d\uff0b\uff0d\uff20")
def test_the_guard_before_a_formula_is_taken_off(sign: str) -> None:
    """A text that a spreadsheet program would take for a formula stands behind an apostrophe, full-width signs too."""
    findings = Findings()
    text = f"name,running_w,hours_per_day\n'{sign}1+1,10,5\n''{sign}x,10,5\n'x,10,5\n"
    rows = read_table("loads", text.encode(), "loads.csv", findings)
    assert [row.entries["name"].value for row in rows] == [f"{sign}1+1", f"'{sign}x", "'x"]


@pytest.mark.parametrize(
    ("name", "total"), [("Summe / Total", "2.050 W"), ("Gesamt / Total", "2050"), ("Total | Suma", "2.050")]
)
def test_a_total_in_two_languages(name: str, total: str) -> None:
    """A row that adds up others is known by either half of its name, and under the decimal mark of its file."""
    findings = Findings()
    text = f"Load;W;Hours\nHeater;2.000 W;1\nLamp;50;5,5\n{name};{total};\n"
    rows = read_table("loads", text.encode(), "loads.csv", findings)
    assert [row.entries["name"].value for row in rows] == ["Heater", "Lamp"]
    assert [each.code for each in findings.found] == ["C008"]
