"""The program as its users meet it: what each command does, how it ends, and what it never does to their files.

Run as a script it is the warm parent of the kill loop: FOLDER, the count of each signal such as SIGKILL=120, and
`real` where every child computes the workbook anew.
"""

import contextlib
import errno
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

import openpyxl
import pytest

import holdover.model.study
import holdover.workbook.book
import holdover.workbook.save
from holdover import report
from holdover.cli import app
from holdover.model.study import study
from holdover.returned import read
from holdover.xlsx import read_xlsx

ROOT = Path(__file__).resolve().parents[1]
SCRIPT = Path(sys.executable).with_name("holdover")
MODULE = (sys.executable, "-m", "holdover")
BUFFERED = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
"""The environment of most users, in which what is printed waits to be sent."""
BROKEN = "name,watts,hours\nFridge,150,8\nLamp,abc,30\n"
NASTY = 'name,watts,hours\n"\x1b[31mred [/foo]",100,4\n"\u0645 \u202e rtl",50,3\n"🧊 fridge",150,8\n"=1+1\x9b",10,2\n'
UNITS = 'name,storage_wh,continuous_w,surge_w\n"\x1b]0;x\x07 unit [bold]",3000,1000,2000\n"🔋🔋",200,100,200\n'


@dataclass(frozen=True)
class Ran:
    """How a command ended, and what it said."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """What it printed, which must be strict JSON."""
        return json.loads(self.out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))


def ran(*words: str | Path) -> Ran:
    """A command run in this process, as `main` runs it."""
    out, err, before = io.StringIO(), io.StringIO(), sys.argv
    sys.argv = ["holdover", *map(str, words)]
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = report.guarded(partial(app, prog_name="holdover"))
    finally:
        sys.argv = before
    return Ran(code, out.getvalue(), err.getvalue())


def process(*words: str | Path, **settings: Any) -> Ran:
    """A command run as a process of its own."""
    environment = BUFFERED | settings.pop("env", {})
    done = subprocess.run([*MODULE, *map(str, words)], capture_output=True, env=environment, check=False, **settings)
    return Ran(done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"))


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A case folder as `new` writes it."""
    folder = tmp_path_factory.mktemp("cli") / "house"
    assert ran("new", folder).code == 0
    return folder


@pytest.fixture(scope="module")
def built(house: Path) -> Path:
    """The workbook of that case, which no test changes."""
    target = house.parent / "built.xlsx"
    assert ran("build", house, "-o", target).code == 0
    return target


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """For tests of where a file goes, not of what is in it: the workbook takes no time to compute."""
    monkeypatch.setattr(holdover.workbook.book, "build", lambda *_, **__: b"new")


@pytest.fixture(scope="module")
def edits(built: Path) -> dict[str, Path]:
    """Copies of the workbook: one with an input changed, one with a formula overwritten by a number."""
    book = openpyxl.load_workbook(built)
    sheet, cell = book.defined_names["load_running_w"].attr_text.split("!")
    first = book[sheet.strip("'")][cell.split(":")[0].replace("$", "")]
    was, first.value = first.value, 155
    assert was == 150
    book.save(built.with_name("input.xlsx"))
    first.value = was
    sheet, cell = book.defined_names["demand_energy_wh"].attr_text.split("!")
    total = book[sheet.strip("'")][cell.replace("$", "")]
    assert str(total.value).startswith("=")
    total.value = 1
    book.save(built.with_name("formula.xlsx"))
    return {name: built.with_name(f"{name}.xlsx") for name in ("input", "formula")}


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """A case with two mistakes."""
    (tmp_path / "case.toml").write_text('[about]\ntitle = "x"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text(BROKEN, encoding="utf-8")
    return tmp_path


@pytest.fixture
def nasty(tmp_path: Path) -> Path:
    """A case whose names would act on a terminal."""
    folder = tmp_path / "nasty"
    folder.mkdir()
    text = '[about]\ntitle = "Ümläut \\u202e \\u001b[31m 🏠"\ncurrency = "€"\n'
    (folder / "case.toml").write_text(text, encoding="utf-8")
    (folder / "loads.csv").write_text(NASTY, encoding="utf-8")
    (folder / "candidates.csv").write_text(UNITS, encoding="utf-8")
    return folder


# The way they are meant to be used


def test_new_writes_a_case_and_says_what_to_do_next(house: Path) -> None:
    """The folder holds the three files; a second `new` leaves it as it is and ends with 4."""
    assert {file.name for file in house.iterdir()} == {"case.toml", "loads.csv", "candidates.csv"}
    before = {file: file.read_bytes() for file in house.iterdir()}
    again = ran("new", house)
    assert again.code == 4
    assert "not empty" in again.err
    assert {file: file.read_bytes() for file in house.iterdir()} == before


def test_new_names_the_next_command(tmp_path: Path) -> None:
    """What it prints last can be typed as it stands, blanks in the folder's name or not."""
    done = ran("new", tmp_path / "my house")
    assert done.out.splitlines()[-1].endswith(f"holdover build '{tmp_path / 'my house'}'")


def test_check_of_a_sound_case(house: Path) -> None:
    """Nothing to remark, and exit code 0; the JSON is an empty list."""
    assert ran("check", house) == Ran(0, "nothing to remark\n", "")
    assert ran("check", house, "--json").json == {"findings": []}


def test_check_of_a_broken_case(broken: Path) -> None:
    """Every mistake is told at once, with file, row and remedy; exit code 1."""
    done = ran("check", broken)
    assert done.code == 1
    assert "loads.csv, row 3" in done.out
    assert "abc" in done.out
    assert "30" in done.out
    assert done.out.count("= help:") >= 2
    listed = ran("check", broken, "--json")
    assert listed.code == 1
    errors = [one for one in listed.json["findings"] if one["level"] == "error"]
    assert len(errors) >= 2
    assert all(one["code"] and one["remedy"] for one in errors)


def test_check_shows_three_of_a_kind_or_all(tmp_path: Path) -> None:
    """Of six findings of one kind three are shown and the rest are counted with their rows; with --all each is shown."""
    (tmp_path / "case.toml").write_text("", encoding="utf-8")
    rows = "".join(f"Load {n},lots,5\n" for n in range(6))
    (tmp_path / "loads.csv").write_text(f"name,watts,hours\n{rows}", encoding="utf-8")
    some, each = ran("check", tmp_path), ran("check", tmp_path, "--all")
    assert (some.code, each.code) == (1, 1)
    assert some.out.count("error[Q001]") == 3
    assert "3 more errors Q001 (loads.csv, rows 5 to 7)" in some.out
    assert each.out.count("error[Q001]") == 6


@pytest.mark.parametrize("command", ["build", "show", "extract"])
def test_a_broken_case_goes_no_further(command: str, broken: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Nothing is written or computed; the findings stand on stderr, the exit code is 1."""
    goal = tmp_path_factory.mktemp("goal") / "out.xlsx"
    words: dict[str, list[Any]] = {"build": ["-o", goal], "show": [], "extract": [goal]}
    done = ran(command, broken, *words[command])
    assert (done.code, done.out) == (1, "")
    assert "loads.csv, row 3" in done.err
    assert not goal.exists()


@pytest.mark.usefixtures("quick")
def test_build_writes_a_workbook_and_a_summary(house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without -o the workbook is named after the folder; the summary tells demand, pick, and why others fall short."""
    monkeypatch.chdir(tmp_path)
    done = ran("build", house)
    assert (done.code, done.err) == (0, "")
    assert [file.name for file in tmp_path.iterdir()] == ["house.xlsx"]
    assert (tmp_path / "house.xlsx").read_bytes() == b"new"
    assert "1,800 Wh a day from 4 loads" in done.out
    assert "Unit Two (example) with 1 expansion pack fits and ranks first" in done.out
    assert "Unit Three (example): starting 943 W needed, 930 W there" in done.out
    assert done.out.endswith("\nWrote house.xlsx.\n")
    assert max(map(len, done.out.splitlines())) <= 100


def test_show_says_what_build_says(house: Path) -> None:
    """The same summary, without a workbook."""
    done = ran("show", house)
    assert (done.code, done.err) == (0, "")
    assert "Unit Two (example) with 1 expansion pack fits and ranks first" in done.out
    assert "Wrote" not in done.out


def test_show_json_has_the_documented_keys(house: Path) -> None:
    """The keys are those of the table in DEVELOPERS.md, each; no figure is NaN or infinite."""
    found = ran("show", house, "--json").json
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## `show --json`")[1].split("\n## ")[0]
    keys = {key for row in re.findall(r"(?m)^\| (`.*?) \|", text) for key in re.findall(r"`(\w+)`", row)}
    assert set(found) == keys | {"schema", "version"}
    assert found["schema"] == "holdover show 1"
    assert [unit["name"] for unit in found["candidates"]] == [f"Unit {n} (example)" for n in ("One", "Two", "Three")]
    told = set(re.search(r"each with (.*?)\|", text)[1].replace("`", " ").replace(",", " ").split())  # type: ignore[index]
    assert {
        "storage",
        "held",
        "cost",
        "fit",
        "rank",
        "recharge",
        "strings",
        "vehicle",
        "outage",
        "lasts",
        "remarks",
    } <= told
    assert set(found["candidates"][0]) == {"name", "storage", "held", "cost", "fit", "rank", "recharge", "strings", "vehicle", "outage", "lasts", "remarks"}  # fmt: skip
    assert set(found["candidates"][0]["fit"]["running"]) == {"needed", "has", "margin", "verdict"}
    assert len(found["hours"]) == 24
    assert len(found["months"]) == 12
    assert len(found["outage"]["shed"]["hours"]) == 24 * 2
    assert {"energy_wh", "peak_running_w", "peak_starting_w"} <= set(found["demand"])
    assert set(found["outage"]) == {"candidate", "shed", "unshed", "what_if"}


def test_show_json_of_a_broken_case(broken: Path) -> None:
    """It is JSON too, with the findings alone."""
    done = ran("show", broken, "--json")
    assert (done.code, set(done.json), done.err) == (1, {"findings"}, "")


def test_typical() -> None:
    """Without a word all rows, with one those it means, each with hours and source; an unknown one ends with 1."""
    everything, some = ran("typical", "--json").json["typical"], ran("typical", "fridge", "--json").json["typical"]
    assert len(everything) > 30
    assert [row["name"] for row in some] == ["Refrigerator"]
    assert all(row["source"] for row in everything)
    text = ran("typical", "fridge")
    assert (text.code, text.err) == (0, "")
    assert "Freezer" not in text.out
    assert some[0]["source"][:30] in text.out
    assert len(ran("typical").out.splitlines()) > 2 * len(everything)
    nothing = ran("typical", "zeppelin")
    assert (nothing.code, nothing.out) == (1, "")
    assert "zeppelin" in nothing.err
    assert ran("typical", "zeppelin", "--json") == Ran(1, '{\n "typical": []\n}\n', "")


def test_audit_of_a_workbook_as_it_was_built(built: Path, house: Path) -> None:
    """Nothing differs, and exit code 0; the JSON says the same."""
    done = ran("audit", built, "--against", house, "--json")
    assert (done.code, done.err) == (0, "")
    assert done.json["clean"] is True
    assert done.json["schema"] == "holdover audit 1"
    assert done.json["counts"]["numbers"] > 10_000
    assert done.json["findings"] == []


def test_audit_of_an_edited_workbook(edits: dict[str, Path], house: Path) -> None:
    """The input is named with what it was and is; a formula overwritten too; exit code 1."""
    done = ran("audit", edits["input"], "--against", house)
    assert done.code == 1
    assert "150 W -> 155 W" in done.out or "150 -> 155" in done.out, done.out
    done = ran("audit", edits["formula"], "--json")
    assert (done.code, done.json["counts"]["formulas"]) == (1, 1)


@pytest.fixture(scope="module")
def beside(built: Path) -> Path:
    """A copy of the workbook with a line typed right below its loads."""
    book = openpyxl.load_workbook(built)
    sheet, area = book.defined_names["load_name"].attr_text.split("!")
    book[sheet.strip("'")].cell(int(area.rsplit("$", 1)[1]) + 1, 1).value = "Stray lamp"
    book.save(built.with_name("beside.xlsx"))
    return built.with_name("beside.xlsx")


def test_audit_tells_the_findings(beside: Path, house: Path) -> None:
    """What no formula counts is told on stderr, or in the JSON, and exit code 1 goes with it."""
    done = ran("audit", beside, "--against", house)
    assert done.code == 1
    assert "warning[W005]" in done.err
    assert "Stray lamp" in done.err
    assert "No result could be checked" in done.out
    listed = ran("audit", beside, "--json")
    assert (listed.code, listed.err, listed.json["clean"], listed.json["counts"]["uncounted"]) == (1, "", False, 1)
    assert "W005" in {finding["code"] for finding in listed.json["findings"]}


@pytest.mark.parametrize("words", [["nothing.xlsx"], ["built.xlsx", "--against", "nothing"]])
@pytest.mark.parametrize("json_too", [False, True])
def test_audit_of_what_is_not_there(words: list[str], json_too: bool, built: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    """Exit code 1 and a finding, on stderr or as JSON."""
    monkeypatch.chdir(built.parent)
    done = ran("audit", *words, *["--json"] * json_too)
    assert done.code == 1
    assert "there is no such file" in (done.json["findings"][0]["message"] if json_too else done.err)


def test_extract_gives_the_case_back(built: Path, house: Path, tmp_path: Path) -> None:
    """The folder it writes computes the same; a folder that is not empty is refused."""
    done = ran("extract", built, tmp_path / "again")
    assert (done.code, done.err) == (0, "")
    assert "loads.csv" in done.out
    assert ran("show", tmp_path / "again").out == ran("show", house).out
    assert ran("extract", built, tmp_path / "again").code == 4


def test_build_from_an_edited_workbook(edits: dict[str, Path], tmp_path: Path) -> None:
    """A returned workbook is a case: the new one counts the edit."""
    done = ran("build", edits["input"], "-o", tmp_path / "new.xlsx")
    assert done.code == 0
    assert "1,842 Wh a day" in done.out
    assert (tmp_path / "new.xlsx").is_file()


def fill(form: Path) -> None:
    """Fill in two loads and a unit, as a client would."""
    book = openpyxl.load_workbook(form)
    typed = {
        "loads": [{"name": "Fridge", "running_w": 150, "hours_per_day": 8}, {"name": "TV", "running_w": 90, "hours_per_day": 5}],
        "candidates": [{"name": "Unit A", "storage_wh": 3000, "continuous_w": 1500, "surge_w": 3000, "price": 1200}],
    }  # fmt: skip
    for part, rows in typed.items():
        for field in rows[0]:
            sheet, area = book.defined_names[f"form_{part}_{field}"].attr_text.split("!")
            column, row = area.replace("$", "", 1).split(":")[0].split("$")
            for number, values in enumerate(rows):
                book[sheet.strip("'")][f"{column}{int(row) + number}"] = values[field]
    book.save(form)


def test_a_form_is_filled_in_and_built(tmp_path: Path) -> None:
    """`new --form` writes a form in place of the tables; filled in, it is a case by itself."""
    assert ran("new", tmp_path / "job", "--form").code == 0
    assert {file.name for file in (tmp_path / "job").iterdir()} == {"case.toml", "survey.xlsx"}
    fill(tmp_path / "job" / "survey.xlsx")
    done = ran("show", tmp_path / "job" / "survey.xlsx")
    assert done.code == 0
    assert "1,650 Wh a day from 2 loads" in done.out


def test_a_form_is_read_from_its_folder(tmp_path: Path) -> None:
    """The command that `new --form` names at the end reads the form with the settings beside it."""
    ran("new", tmp_path / "job", "--form")
    fill(tmp_path / "job" / "survey.xlsx")
    assert "1,650 Wh a day from 2 loads" in ran("show", tmp_path / "job").out


# The ways it ends


@pytest.mark.parametrize(
    "words",
    [
        [], ["frob"], ["build"], ["check", "a", "b"], ["check", "--jsn", "a"], ["build", "a", "-o"], ["extract", "a"],
        ["build", "a", "-o", "plan.ods"], ["build", "a", "-o", "plan"], ["build", "a", "-o", ""],
    ],
    ids=" ".join,
)  # fmt: skip
def test_a_wrong_command_line(words: list[str]) -> None:
    """Exit code 2 and how it is used; an output that no program would open as a workbook is a wrong command line."""
    done = ran(*words)
    assert done.code == 2
    assert "Usage: holdover" in done.err + done.out or "requires an argument" in done.err


@pytest.mark.parametrize("command", ["check", "build", "show"])
@pytest.mark.parametrize("there", ["nothing", "nothing.xlsx", "empty", "text.txt"])
def test_what_is_no_case(command: str, there: str, tmp_path: Path) -> None:
    """A missing file, an empty folder and another kind of file are told with a remedy; exit code 1."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "text.txt").write_text("hello")
    done = ran(command, tmp_path / there)
    assert done.code == 1
    assert "= help:" in done.out + done.err


@pytest.mark.parametrize("command", ["check", "build", "show", "extract", "audit"])
def test_a_name_that_is_too_long(command: str, tmp_path: Path) -> None:
    """No file has such a name: a finding says that it can't be opened."""
    done = ran(command, tmp_path / f"{'x' * 300}.xlsx", *[tmp_path / "out"] * (command == "extract"))
    assert done.code == 1, done
    assert "[F010]" in done.out + done.err
    assert "can't be opened" in done.out + done.err


@pytest.mark.usefixtures("quick")
def test_an_output_whose_name_is_too_long(house: Path, tmp_path: Path) -> None:
    """Exit code 4, and the remedy is a shorter name."""
    done = ran("build", house, "-o", tmp_path / f"{'x' * 300}.xlsx")
    assert (done.code, done.out) == (4, "")
    assert "its name is too long" in done.err
    assert ran("new", tmp_path / ("x" * 300)).code == 4
    assert not list(tmp_path.iterdir())


def raising(wrong: BaseException) -> Callable[..., Any]:
    """A function that raises."""

    def raiser(*_: Any, **__: Any) -> None:
        raise wrong

    return raiser


def test_a_bug_ends_with_70_and_a_log(house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One line on the terminal; the details are in a file, which it names."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setattr(read, "read_any", raising(RuntimeError("boom")))
    done = ran("check", house)
    assert (done.code, done.out, done.err.count("\n")) == (70, "", 1)
    (log,) = tmp_path.glob("holdover-*.log")
    assert str(log) in done.err
    assert "RuntimeError: boom" in log.read_text(encoding="utf-8")


def test_a_bug_with_nowhere_to_log(house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is told all the same."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "gone"))
    monkeypatch.setattr(read, "read_any", raising(RuntimeError("boom")))
    done = ran("check", house)
    assert (done.code, done.err.count("\n")) == (70, 1)
    assert "RuntimeError" in done.err


def test_an_interrupt_ends_with_130(house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C is answered with a line."""
    monkeypatch.setattr(read, "read_any", raising(KeyboardInterrupt()))
    done = ran("check", house)
    assert (done.code, done.out, done.err) == (130, "", "Interrupted. Nothing was left half-written.\n")


# What it never does to a file


@pytest.mark.parametrize(("name", "word"), [("input", "inputs"), ("formula", "formulas")])
def test_build_does_not_replace_an_edited_workbook(name: str, word: str, edits: dict[str, Path], house: Path) -> None:
    """The edits stay, exit code 4, and the message says what was edited and what to do."""
    before = edits[name].read_bytes()
    done = ran("build", house, "-o", edits[name])
    assert done.code == 4
    assert f"its {word} were changed since it was written" in done.err
    assert "--force" in done.err
    assert "holdover build FILE -o NEW" in done.err
    assert edits[name].read_bytes() == before


def test_build_does_not_replace_what_was_typed_beside_the_tables(beside: Path, house: Path) -> None:
    """A line below the loads stays too; it would not come along, so that nobody is told to build on it."""
    before = beside.read_bytes()
    done = ran("build", house, "-o", beside)
    assert done.code == 4
    assert "its cells outside of the tables were changed since it was written" in done.err
    assert "--force" in done.err
    assert "build FILE" not in done.err
    assert beside.read_bytes() == before


@pytest.mark.usefixtures("quick")
def test_build_warns_where_the_workbook_seems_open(house: Path, tmp_path: Path) -> None:
    """A lock file of a spreadsheet program beside the target: it is written, and the warning says which one shows the old."""
    done = ran("build", house, "-o", tmp_path / "plan.xlsx")
    assert (done.code, done.err) == (0, "")
    (tmp_path / ".~lock.plan.xlsx#").write_bytes(b"")
    done = ran("build", house, "-o", tmp_path / "plan.xlsx", "--force")
    assert done.code == 0
    assert "seems to be open in LibreOffice" in done.err
    assert "= help: close it there" in done.err
    assert (tmp_path / "plan.xlsx").read_bytes() == b"new"


def test_build_replaces_an_edited_workbook_with_force(edits: dict[str, Path], house: Path, tmp_path: Path) -> None:
    """With --force the edits are gone."""
    target = Path(shutil.copy(edits["formula"], tmp_path / "plan.xlsx"))
    assert ran("build", house, "-o", target, "--force").code == 0
    assert ran("audit", target).code == 0


def test_build_replaces_a_workbook_that_nobody_edited(built: Path, house: Path, tmp_path: Path) -> None:
    """It is written anew without a question, and nothing else is left."""
    target = Path(shutil.copy(built, tmp_path / "plan.xlsx"))
    number = target.stat().st_ino
    assert ran("build", house, "-o", target).code == 0
    assert target.stat().st_ino != number
    assert [file.name for file in tmp_path.iterdir()] == ["plan.xlsx"]


@pytest.mark.usefixtures("quick")
def test_build_does_not_replace_what_is_not_its_own(house: Path, tmp_path: Path) -> None:
    """Another file by that name stays unless --force is given; a folder stays in any case."""
    other = tmp_path / "other.xlsx"
    other.write_bytes(b"mine")
    done = ran("build", house, "-o", other)
    assert done.code == 4
    assert "can't be read as a workbook that holdover wrote" in done.err
    assert other.read_bytes() == b"mine"
    (tmp_path / "folder.xlsx").mkdir()
    done = ran("build", house, "-o", tmp_path / "folder.xlsx", "--force")
    assert done.code == 4
    assert "is a folder" in done.err


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("given", ["folder", "file", "link"])
def test_build_never_replaces_what_it_reads(given: str, tmp_path: Path) -> None:
    """A table of the case is not overwritten, not even with --force, nor through a link."""
    (tmp_path / "case.toml").write_text('loads = "survey.xlsx"\n', encoding="utf-8")
    book = openpyxl.Workbook()
    for row in (["Appliance", "Watts", "Hours per day"], ["Fridge", 150, 8]):
        book.active.append(row)
    survey = tmp_path / "survey.xlsx"
    book.save(survey)
    before, target = survey.read_bytes(), survey
    if given == "link":
        target = tmp_path / "link.xlsx"
        target.symlink_to(survey)
    done = ran("build", tmp_path / "case.toml" if given == "file" else tmp_path, "-o", target, "--force")
    assert done.code == 4
    assert "one of the files being read" in done.err
    assert survey.read_bytes() == before


@pytest.mark.usefixtures("quick")
def test_build_never_replaces_the_workbook_it_reads(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A returned workbook needs another name for what is built from it."""
    monkeypatch.chdir(built.parent)
    before = built.read_bytes()
    done = ran("build", built, "--force")
    assert done.code == 4
    assert "Give the output another name" in done.err
    assert built.read_bytes() == before


@pytest.mark.usefixtures("quick")
def test_output_into_a_folder_that_is_not_there(house: Path, tmp_path: Path) -> None:
    """Exit code 4; the folder is named, and is not made."""
    done = ran("build", house, "-o", tmp_path / "none" / "plan.xlsx")
    assert done.code == 4
    assert f"The folder {tmp_path / 'none'} does not exist" in done.err
    assert "Make the folder first" in done.err
    assert not list(tmp_path.iterdir())


@pytest.fixture
def locked(built: Path) -> Iterator[Path]:
    """A folder that may be read only, open to every user down to it, with a workbook in it."""
    folder = Path(tempfile.mkdtemp(dir="/tmp"))
    shutil.copy(built, folder / "plan.xlsx")
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.usefixtures("quick")
@pytest.mark.skipif(os.name != "posix", reason="modes as on POSIX systems")
def test_output_into_a_read_only_folder(locked: Path, house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit code 4 and a remedy; the old file is as it was. A superuser writes as nobody, since modes don't bind root."""
    write, user = holdover.workbook.save.write_whole, os.geteuid()

    def as_nobody(*words: Any, **more: Any) -> None:
        if user == 0:
            os.seteuid(65534)
        try:
            write(*words, **more)
        finally:
            if user == 0:
                os.seteuid(0)

    monkeypatch.setattr(holdover.workbook.save, "write_whole", as_nobody)
    before = (locked / "plan.xlsx").read_bytes()
    done = ran("build", house, "-o", locked / "plan.xlsx", "--force")
    assert done.code == 4
    assert "its folder may not be written to" in done.err
    assert "Give another folder" in done.err
    assert (locked / "plan.xlsx").read_bytes() == before


@pytest.mark.skipif(os.name != "posix", reason="limits as on POSIX systems")
def test_output_onto_a_full_disk(built: Path, house: Path, tmp_path: Path) -> None:
    """A process whose files may not grow past 20 kB ends with 4: old file whole, no rest, and a remedy."""
    target = Path(shutil.copy(built, tmp_path / "plan.xlsx"))
    import resource  # which only POSIX systems have

    full = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))  # noqa: E731
    done = process("build", house, "-o", target, "--force", preexec_fn=full, env={"PYTHONDONTWRITEBYTECODE": "1"})
    assert (done.code, done.out) == (4, "")
    assert "no room on the disk" in done.err
    assert "Make room" in done.err
    assert [file.name for file in tmp_path.iterdir()] == ["plan.xlsx"]
    assert target.read_bytes() == built.read_bytes()


# At the terminal


def test_help_and_version_are_quick() -> None:
    """None loads the case, the model, the workbook or the libraries that read and write one."""
    code = """
import json, sys
from holdover.cli import app
from holdover.report import guarded
sys.argv = ["holdover", *sys.argv[1:]]
code = guarded(app)
print(json.dumps([code, sorted(sys.modules)]))
"""
    for words in (["--help"], ["--version"], ["build", "--help"]):
        told = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True).stdout
        ended, loaded = json.loads(told.splitlines()[-1])
        assert ended == 0
        assert len(told.splitlines()) > 1
        assert "holdover.cli" in loaded
        heavy = r"(holdover\.(case|model|workbook|returned)|openpyxl|xlsxwriter)\b.*"
        assert [name for name in loaded if re.fullmatch(heavy, name)] == [], words


def test_completion_answers() -> None:
    """The shell is told every command, quickly enough to be of use."""
    words = {"_HOLDOVER_COMPLETE": "complete_bash", "COMP_WORDS": "holdover ", "COMP_CWORD": "1"}
    done = subprocess.run([SCRIPT], capture_output=True, text=True, env=os.environ | words, check=True)
    assert set(done.stdout.split()) == {"new", "check", "build", "show", "typical", "extract", "audit"}


@pytest.mark.parametrize("words", [["check"], ["show"], ["show", "--json"], ["check", "--json"]], ids=" ".join)
def test_outside_text_can_do_nothing_to_a_terminal(words: list[str], nasty: Path) -> None:
    """Control and direction marks in names are left out or spelt; brackets and emoji are just text."""
    done = ran(words[0], nasty, *words[1:])
    assert done.code == 0
    for text in (done.out, done.err):
        assert not [mark for mark in text if mark != "\n" and not mark.isprintable()]
    if words == ["show"]:
        assert "unit [bold]" in done.out
        assert "🔋🔋 " in done.out


@pytest.mark.parametrize("name", ["\x1b[31mred", "\u202eoverride", "a\nb", "\udcff", "🏠 [/foo]"])
def test_names_of_files_can_do_nothing_either(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A path is shown escaped, where it is told and where it is refused."""
    monkeypatch.chdir(tmp_path)
    wrong = [ran("check", f"{name}!"), ran("typical", f"{name}?zeppelin")]
    ends = [ran("new", name), ran("new", name), ran("extract", name, name), *wrong]
    assert [end.code for end in ends] == [0, 4, 4, 1, 1]
    for end in ends:
        assert not [mark for mark in end.out + end.err if mark != "\n" and not mark.isprintable()]


def test_columns_stand_below_each_other_with_wide_letters(nasty: Path) -> None:
    """An emoji takes two places on a terminal, so it gets one blank less behind it."""
    lines = ran("show", nasty).out.splitlines()
    head, unit = (next(line for line in lines if word in line) for word in ("candidate ", "🔋🔋 "))
    assert unit.index("🔋🔋") == head.index("candidate")
    assert unit.index("0") + 2 == head.index("packs") + len("pack")


POOR: dict[str, dict[str, str]] = {
    "ascii": {"PYTHONIOENCODING": "ascii"},
    "C": {"LC_ALL": "C"},
    "POSIX, no help": {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
}
"""Terminals that lack most letters."""


@pytest.mark.parametrize("poor", POOR)
def test_a_terminal_without_the_letters(poor: str, nasty: Path) -> None:
    """Letters it lacks are replaced, in JSON they are escaped and nothing is lost; no traceback."""
    shown, listed = process("show", nasty, env=POOR[poor]), process("show", nasty, "--json", env=POOR[poor])
    assert (shown.code, listed.code) == (0, 0)
    for text in (shown.out, shown.err, listed.out):
        assert "Traceback" not in text
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f]", text)
    assert listed.json["case"]["about"]["currency"] == "€"
    assert [unit["name"] for unit in listed.json["candidates"]][1] == "🔋🔋"


@pytest.mark.parametrize("words", ["typical", "show HOUSE --json", "check HOUSE", "--help"])
def test_a_reader_that_leaves(words: str, house: Path) -> None:
    """When nobody reads what is printed, as with `| head -1`, there is no traceback and no bug."""
    command = [*MODULE, *(str(house) if word == "HOUSE" else word for word in words.split())]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=BUFFERED) as child:
        assert child.stdout and child.stderr
        child.stdout.close()
        assert child.stderr.read() == ""
    assert child.returncode == 0 or words == "--help"  # which typer prints itself


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
def test_printing_onto_a_full_disk(house: Path) -> None:
    """It is told that the report could not be printed; exit code 4."""
    with Path("/dev/full").open("wb") as full:
        command = [*MODULE, "show", str(house), "--json"]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, check=False, env=BUFFERED)
    assert done.returncode == 4
    assert os.strerror(errno.ENOSPC).encode() in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
def test_remarks_onto_a_full_disk(nasty: Path) -> None:
    """Where only stderr can't be written to, the result is printed all the same; so where nobody reads it."""
    whole = process("show", nasty)
    assert whole.err
    with Path("/dev/full").open("wb") as full:
        command = [*MODULE, "show", str(nasty)]
        done = subprocess.run(command, stdout=subprocess.PIPE, stderr=full, check=False, env=BUFFERED)
    assert (done.returncode, done.stdout.decode()) == (0, whole.out)
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=BUFFERED) as child:
        assert child.stdout and child.stderr
        child.stderr.close()
        assert child.stdout.read().decode() == whole.out
    assert child.returncode == 0


def test_one_load_is_one(tmp_path: Path) -> None:
    """The summary counts in the singular."""
    (tmp_path / "case.toml").write_text("", encoding="utf-8")
    (tmp_path / "loads.csv").write_text("name,watts,hours\nRouter,12,24\n", encoding="utf-8")
    assert "Wh a day from 1 load; " in ran("show", tmp_path).out


@pytest.mark.skipif(os.name != "posix", reason="descriptors as on POSIX systems")
def test_no_output_at_all(house: Path) -> None:
    """With stdout closed by the shell the command does its work in silence."""
    command = ["sh", "-c", 'exec "$@" >&-', "sh", *MODULE, "check", str(house)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=BUFFERED)
    assert (done.returncode, done.stderr) == (0, "")


# Killed at any moment

SIGNALS = {signal.SIGTERM, signal.SIGINT}
LONGEST_WAIT = 0.015
"""Longest time from the beginning of the writing to a kill [s]; it takes about 0.01."""


def killable(words: list[str], near: Callable[[], None]) -> int:
    """Fork a child that runs a command; `near` is called there as the file is about to be written."""
    write = holdover.workbook.save.write_whole

    def told(*given: Any, **more: Any) -> None:
        near()
        write(*given, **more)

    signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    child = os.fork()
    if child:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
        return child
    code = 99
    try:
        with contextlib.suppress(KeyboardInterrupt):
            signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background ignores it
            signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
            holdover.workbook.save.write_whole = told
            sys.argv = ["holdover", *words]
            sys.stdout = sys.stderr = open(os.devnull, "w")  # noqa: SIM115, PTH123
            code = report.guarded(app)
    finally:
        os._exit(code)


def _tell(pipe: int) -> None:
    os.write(pipe, b"w")


def warmed(folder: Path, *, real: bool) -> tuple[Path, list[str], float]:
    """A workbook, the command that writes it anew, and how long that takes once everything is imported and read."""
    house, target = folder / "house", folder / "out" / "plan.xlsx"
    target.parent.mkdir()
    ran("new", house)
    case = read.read_any(house)
    read.read_any = lambda path: case  # noqa: ARG005 (its name is part of the signature)
    words = ["build", str(house), "-o", str(target), "--force"]
    assert ran(*words).code == 0
    if not real:
        data, worked_out = target.read_bytes(), study(*case[::2])  # type: ignore[arg-type]
        holdover.model.study.study = lambda *_: worked_out
        holdover.workbook.book.build = lambda *_, **__: data
    begin = time.perf_counter()
    os.waitpid(killable(words, lambda: None), 0)
    return target, words, time.perf_counter() - begin


def kill_loop(name: str, count: int, target: Path, words: list[str], whole: float) -> dict[str, int]:
    """Kill builds of one target: at any moment of the command, and every second time while the file is written.

    Where a busy machine lets most builds end before the signal, more are tried, until a quarter of `count` was killed.
    """
    luck, sound = Random(name), target.read_bytes()
    assert is_sound(sound)
    result = {"killed": 0, "finished": 0, "writing": 0, "damaged": 0, "left": 0, "new": 0}
    for number in range(8 * count):
        if number >= count and result["killed"] > count // 4:
            break
        before = target.stat().st_ino
        listen, tell = os.pipe()
        child = killable(words, partial(_tell, tell))
        os.close(tell)
        if number % 2:
            result["writing"] += os.read(listen, 1) == b"w"
            time.sleep(luck.uniform(0, LONGEST_WAIT))
        else:
            time.sleep(luck.uniform(0, 1.15 * whole))
        os.close(listen)
        with contextlib.suppress(ProcessLookupError):
            os.kill(child, getattr(signal, name))
        _, status = os.waitpid(child, 0)
        done = os.waitstatus_to_exitcode(status) == 0
        result["finished" if done else "killed"] += 1
        result["new"] += target.stat().st_ino != before
        data = target.read_bytes()
        result["damaged"] += data != sound and not is_sound(data)
        for path in target.parent.iterdir():
            if path != target:
                result["left"] += 1
                path.unlink()
    return result


def is_sound(data: bytes) -> bool:
    """Whether a workbook is whole, by the archive's own sums and by the reader."""
    try:
        return zipfile.ZipFile(io.BytesIO(data)).testzip() is None and bool(read_xlsx(data, "plan.xlsx").sheets)
    except Exception:
        return False


@pytest.mark.skipif(os.name != "posix", reason="forks and signals as on POSIX systems")
def test_a_build_that_is_killed(tmp_path: Path) -> None:
    """At whatever moment, the workbook is whole, old or new; asked to end, the program leaves no temporary file."""
    counts = {"SIGKILL": 120, "SIGTERM": 60, "SIGINT": 60}
    command = [sys.executable, "-W", "ignore", __file__, str(tmp_path), *(f"{name}={n}" for name, n in counts.items())]
    results = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    assert set(results) == set(counts)
    for name, result in results.items():
        assert result["damaged"] == 0
        assert result["killed"] + result["finished"] >= counts[name]
        assert result["killed"] > counts[name] // 4
        assert result["writing"] > counts[name] // 3
        assert result["killed"] + result["finished"] > result["new"] > 0
        assert name == "SIGKILL" or result["left"] == 0


if __name__ == "__main__":
    place, job, took = warmed(Path(sys.argv[1]), real="real" in sys.argv)
    asked = dict(word.split("=") for word in sys.argv[2:] if "=" in word)
    counted = {name: kill_loop(name, int(number), place, job, took) for name, number in asked.items()}
    sys.stdout.write(json.dumps(counted))
