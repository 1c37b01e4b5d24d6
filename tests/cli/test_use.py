"""The commands as they are meant to be used: what each does and says."""

import re
from pathlib import Path
from typing import Any

import pytest

from cli.running import ROOT, Ran, ran
from returned.forms import filled_form


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


def test_halves_are_rounded_as_the_workbook_rounds_them(tmp_path: Path) -> None:
    """2.5 Wh a day are told as 3, up from a half; never to the even one."""
    (tmp_path / "case.toml").write_text("", encoding="utf-8")
    (tmp_path / "loads.csv").write_text("name,running W,hours per day\nLamp,2.5,1\n", encoding="utf-8")
    assert "Demand    3 Wh a day from 1 load; 3 W running" in ran("show", tmp_path).out


def test_nothing_is_told_to_run_on_an_output_that_falls_short(tmp_path: Path) -> None:
    """Storage for a week and too few watts: what storage would carry is told as that, and as nothing else."""
    (tmp_path / "case.toml").write_text("", encoding="utf-8")
    (tmp_path / "loads.csv").write_text("name,running W,hours per day\nHeater,900,24\n", encoding="utf-8")
    (tmp_path / "candidates.csv").write_text(
        "name,storage Wh,continuous W,surge W,volts\nUnit Weak,200000,500,1000,120\n", encoding="utf-8"
    )
    out = ran("show", tmp_path).out
    assert "Unit Weak: Output falls short; storage alone would carry: all loads through" in out
    assert "loads run" not in out


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
    rows = "".join(f"Load {n},lots,5\n" for n in range(6)) + "Fan,50,5\n"
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
    assert "Unit Two (example) with 3 packs. All loads run through both days. The only one that fits." in done.out
    assert "Unit Three (example): starting: 13 W less than the 943 needed" in done.out
    assert done.out.endswith("\nWrote house.xlsx.\n")
    assert max(map(len, done.out.splitlines())) <= 100


def test_show_says_what_build_says(house: Path) -> None:
    """The same summary, without a workbook."""
    done = ran("show", house)
    assert (done.code, done.err) == (0, "")
    assert "Unit Two (example) with 3 packs. All loads run through both days. The only one that fits." in done.out
    assert "lasts" not in done.out
    assert "Wrote" not in done.out


def test_show_json_has_the_documented_keys(house: Path) -> None:
    """The keys are those of the table in DEVELOPERS.md, each; no figure is NaN or infinite."""
    found = ran("show", house, "--json").json
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## `show --json`")[1].split("\n## ")[0]
    keys = {key for row in re.findall(r"(?m)^\| (`.*?) \|", text) for key in re.findall(r"`(\w+)`", row)}
    assert set(found) == keys | {"schema", "version"}
    assert found["schema"] == "holdover show 2"
    assert [unit["name"] for unit in found["candidates"]] == [f"Unit {n} (example)" for n in ("One", "Two", "Three")]
    row = re.search(r"(?m)^\| `candidates` \|.*$", text)
    assert row
    first = found["candidates"][0]
    assert set(first) - set(re.findall(r"`(\w+)`", row[0])) == {"name"}
    assert {"kept", "until_h", "full_needed_wh", "full_needed_without_refill_wh", "packs"} <= set(first["promise"])
    assert set(first["tiers"]) == {"critical", "essential", "convenience"}
    assert set(first["tiers"]["critical"]) == {"asked_wh", "served_wh", "served_share", "asked_h", "off_h", "until_h"}
    assert {first["output"], first["outage"]} <= {"OK", "CHECK", "UNDER"}
    assert set(first["fit"]["running"]) == {"needed", "has", "margin", "ratio", "verdict"}
    assert {"pick", "nearest", "headline"} <= set(found["decision"])
    assert {"continuous_w", "surge_w", "continuous_va", "nameplate_wh"} <= set(found["look_for"])
    assert len(found["hours"]) == 24
    assert len(found["months"]) == 12
    assert len(found["outage"]["hours"]) == 24 * 2
    assert [(line["clock"], line["day"]) for line in found["hold"]][:3] == [(18, 1), (22, 1), (6, 1)]
    assert {"energy_wh", "peak_running_w", "peak_starting_w"} <= set(found["demand"])
    assert set(found["outage"]) == {"candidate", "hours", "what_if", "sure"}


def test_show_json_of_a_broken_case(broken: Path) -> None:
    """It is JSON too, with the findings alone."""
    done = ran("show", broken, "--json")
    assert (done.code, set(done.json), done.err) == (1, {"findings"}, "")


def test_typical() -> None:
    """Without a word all rows, with one those it means, each with hours and source; an unknown one ends with 1."""
    everything, some = ran("typical", "--json").json["typical"], ran("typical", "fridge", "--json").json["typical"]
    assert len(everything) >= 120
    assert some[0]["name"] == "Refrigerator-freezer, 16 to 20 cu ft"
    assert all("efrigerator" in row["name"] + str(row["words"]) for row in some)
    assert all(row["source"] for row in everything)
    text = ran("typical", "fridge")
    assert (text.code, text.err) == (0, "")
    assert "Chest freezer" not in text.out
    assert "10 CFR 430.32(a)" in text.out
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


def test_a_form_is_filled_in_and_built(tmp_path: Path) -> None:
    """`new --form` writes one workbook; filled in, it is a case by itself, and `build` takes it without a case file."""
    told = ran("new", tmp_path / "job", "--form")
    form = tmp_path / "job.xlsx"
    assert told.code == 0
    assert [file.name for file in tmp_path.iterdir()] == ["job.xlsx"]
    assert f"holdover build {form}" in told.out
    loads = [
        {"name": "Fridge", "running_w": 150, "hours_per_day": 8, "duty": 1},
        {"name": "TV", "running_w": 90, "hours_per_day": "5 h"},
    ]
    offer = [["Unit A"], ["Capacity: 3000 Wh"], ["Output: 1500 W"], ["Surge: 3000 W"], ["Price: 1200"]]
    filled_form(form, {"country": "US"}, loads, offer)
    done = ran("build", form, "-o", tmp_path / "answer.xlsx")
    assert done.code == 0
    assert "1,650 Wh a day from 2 loads" in done.out
    assert "Unit A" in done.out


def test_a_form_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    """What somebody filled in is theirs."""
    assert ran("new", tmp_path / "job.xlsx", "--form").code == 0
    before = (tmp_path / "job.xlsx").read_bytes()
    told = ran("new", tmp_path / "job", "--form")
    assert (told.code, "is there already" in told.err) == (4, True)
    assert (tmp_path / "job.xlsx").read_bytes() == before


COMMANDS = ("new", "ask", "check", "build", "batch", "show", "typical", "extract", "audit")


def test_help_names_the_first_step_and_cuts_nothing() -> None:
    """Each command is told in full, and below them what to type first."""
    told = ran("--help").out
    assert re.findall(r"(?m)^  (\w+) +[A-Z].*\.$", told) == list(COMMANDS)
    assert "..." not in told.split("Commands:")[1]
    assert re.findall(r"(?m)^ +holdover (\w+)", told) == ["new", "ask"]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_help_has_an_example_that_is_understood(command: str) -> None:
    """A line that can be typed: its options are those of the command, and it is not broken in two."""
    told = ran(command, "--help").out
    examples = re.findall(r"(?m)^ +Example: holdover (.*)$", told)
    assert examples
    for line in examples:
        name, *words = line.split()
        assert name == command
        assert all(word in told for word in words if word.startswith("-"))
