"""`holdover batch` on the command line: what it prints, and how it ends."""

import io
import sys
from pathlib import Path

import pytest

import holdover
import holdover.fleet.batch
from cli.running import ran
from fleet.fleets import Here, house


@pytest.fixture
def street(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three cases, the last of which has an error; they are worked out here, and their workbooks cost no time."""
    monkeypatch.setattr(holdover.fleet.batch, "Processes", Here)
    monkeypatch.setattr(holdover, "build", lambda _: b"new")
    for number, watts in enumerate(("20", "40", "abc"), 1):
        house(tmp_path / "street" / f"house {number}", watts=watts, title=f"No. {number} \\u001b[31m")
    return tmp_path / "street"


def test_few_cases_are_told_a_line_each(street: Path, tmp_path: Path) -> None:
    """A table, what is wrong, the sum of it, and where the index is; errors end it with 1."""
    done = ran("batch", street, "-o", tmp_path / "out")
    assert done.code == 1
    assert done.err == ""
    table, wrong, summary = done.out.split("\n\n")
    head, _, *rows = table.splitlines()
    assert head.split() == ["case", "pick", "packs", "output", "runtime", "price", "findings", "workbook"]
    assert [row.split()[-2:] for row in rows] == [["house", "1.xlsx"], ["house", "2.xlsx"], ["2", "errors"]]
    assert "Unit Alder" in rows[0] and "900 $" in rows[0]
    assert 'house 3: loads.csv, row 2 ("Lamp"), column watts' in " ".join(wrong.split())
    assert summary.startswith("3 cases: 2 written, 1 with errors; ")
    assert summary.splitlines()[-1] == f"Wrote {tmp_path / 'out' / 'index.xlsx'}."
    assert "\x1b" not in done.out


def test_what_is_wrong_with_a_shared_list_is_told_once(street: Path, tmp_path: Path) -> None:
    """An error that is the same in several cases has one line, with what to do and how many there are."""
    candidates = tmp_path / "list.csv"
    candidates.write_text("name,continuous_w,battery add-on\nUnit Alder,900,1\n", encoding="utf-8")
    done = ran("batch", street, "-o", tmp_path / "out", "--candidates", candidates)
    wrong = " ".join(done.out.split("What is wrong")[1].split())
    assert wrong.count("list.csv") == 2, wrong
    assert "house 1 and 1 more: list.csv" in wrong
    assert "(1 more error: see index.json)" in wrong


def test_what_was_done_before_is_not_counted_as_written(street: Path, tmp_path: Path) -> None:
    """A second run tells what is up to date apart from what it wrote and what it left; the sum is that of the cases."""
    out = tmp_path / "out"
    ran("batch", street, "-o", out)
    (street / "house 1" / "loads.csv").write_text("name,watts,hours\nLamp,33,5\n", encoding="utf-8")
    done = ran("batch", street, "-o", out, "--resume")
    assert "3 cases: 1 written, 1 up to date, 1 with errors; " in done.out


def test_of_many_cases_those_are_told_that_ask_for_a_look(street: Path, tmp_path: Path) -> None:
    """Of more than 40 cases only those with errors, or without a candidate that fits, have a line."""
    for number in range(38):
        house(street / f"more {number}")
    done = ran("batch", street, "-o", tmp_path / "out")
    assert [line.split()[-1] for line in done.out.split("\n\n")[0].splitlines()[2:]] == ["errors"]
    assert "41 cases: 40 written, 1 with errors; " in done.out


def test_programs_get_json(street: Path, tmp_path: Path) -> None:
    """`--json` prints the lines of the index without its findings, of which it has the counts."""
    done = ran("batch", street, "-o", tmp_path / "out", "--json")
    assert done.code == 1
    assert [case["state"] for case in done.json["cases"]] == ["written", "written", "errors"]
    assert done.json["cases"][0]["price"] == 900
    assert [case["errors"] for case in done.json["cases"]] == [0, 0, 1]


def test_a_terminal_is_told_how_far_it_is(street: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A bar with the cases that are done, their rate and the time left; where nobody looks there is none."""

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    shown = Terminal()
    from holdover import report
    from holdover.fleet.batch import batch

    monkeypatch.setattr(sys, "stderr", shown)
    with report.progress() as tell:
        batch([street], tmp_path / "out", tell=tell)
    assert "3/3" in shown.getvalue()
    assert "a second" in shown.getvalue()


def test_what_can_not_be_done_is_a_sentence(street: Path, tmp_path: Path) -> None:
    """No case is 1; a folder that can't be written to, one that holds the cases and a scheduler that is silent are 4."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").touch()
    ends = {
        ("batch", tmp_path / "empty", "-o", tmp_path / "out"): (1, "there is no case here"),
        ("batch", street, "-o", tmp_path / "file"): (4, "can't be written to"),
        ("batch", street, "-o", street): (4, "is where the cases are"),
        ("batch", street, "-o", tmp_path / "out", "--candidates", tmp_path / "gone.csv"): (4, "can't be read"),
        ("batch", street): (2, "-o"),
    }
    for words, (code, said) in ends.items():
        done = ran(*words)
        assert (done.code, said in done.err, "Traceback" in done.err) == (code, True, False), words
