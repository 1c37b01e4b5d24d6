"""At the terminal: speed, letters, streams that are full or closed."""

import errno
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from cli.running import BUFFERED, MODULE, SCRIPT, process, ran

SAMPLE = sorted(path for path in (Path(__file__).resolve().parents[2] / "samples").iterdir() if path.is_dir())[0]
LOADED = """
import json, sys
from holdover.cli import app
from holdover.report import guarded
sys.argv = ["holdover", *sys.argv[1:]]
code = guarded(app)
print(json.dumps([code, sorted(sys.modules)]))
"""


def loaded_by(*words: str) -> tuple[int, list[str]]:
    """How a command ends, and the modules it has loaded by then."""
    told = subprocess.run([sys.executable, "-c", LOADED, *words], capture_output=True, text=True, check=True).stdout
    assert len(told.splitlines()) > 1
    ended, loaded = json.loads(told.splitlines()[-1])
    assert "holdover.cli" in loaded
    return ended, loaded


def test_help_and_version_are_quick() -> None:
    """None loads the case, the model, the workbook or the libraries that read and write one."""
    for words in (["--help"], ["--version"], ["build", "--help"]):
        ended, loaded = loaded_by(*words)
        assert ended == 0
        heavy = r"(holdover\.(case|model|workbook|returned)|openpyxl|xlsxwriter)\b.*"
        assert [name for name in loaded if re.fullmatch(heavy, name)] == [], words


NEEDED: dict[tuple[str, ...], str] = {
    ("check",): r"holdover\.(workbook|returned|model\.(?!sun$).*)|openpyxl|xlsxwriter",
    ("show",): r"holdover\.(workbook|returned)|openpyxl|xlsxwriter",
}
"""Of commands that read a case what they have no use for; the model of the sun says where a place lies."""


@pytest.mark.parametrize("words", NEEDED, ids=" ".join)
def test_a_command_loads_only_what_it_needs(words: tuple[str, ...]) -> None:
    """A case is read and worked out without a sheet being declared."""
    ended, loaded = loaded_by(*words, str(SAMPLE))
    assert ended == 0
    assert [name for name in loaded if re.match(NEEDED[words], name)] == []


def test_completion_answers() -> None:
    """The shell is told every command, quickly enough to be of use."""
    words = {"_HOLDOVER_COMPLETE": "complete_bash", "COMP_WORDS": "holdover ", "COMP_CWORD": "1"}
    done = subprocess.run([SCRIPT], capture_output=True, text=True, env=os.environ | words, check=True)
    assert set(done.stdout.split()) == {"new", "ask", "check", "build", "batch", "show", "typical", "extract", "audit"}


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
