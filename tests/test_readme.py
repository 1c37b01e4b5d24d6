"""The README keeps its word: its commands run, its tables are complete, and nothing in the project speaks out of turn."""

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import typer.main

from holdover import report
from holdover.cli import app

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SKIPPED = {".git", ".hypothesis", ".mypy_cache", ".pytest_cache", ".ruff_cache", ".import_linter_cache", "__pycache__"}


def blocks() -> list[list[str]]:
    """The lines of each block that is marked sh."""
    return [text.splitlines() for text in re.findall(r"(?ms)^```sh\n(.*?)^```", README)]


def section(title: str) -> str:
    """What stands below a heading."""
    return README.split(f"\n## {title}\n")[1].split("\n## ")[0]


def run(line: str, folder: Path) -> str:
    """What a line of the README prints, run as it stands but for the program's path."""
    name, *words = shlex.split(line, comments=True)
    assert name == "holdover"
    done = subprocess.run(
        [sys.executable, "-m", "holdover", *words], cwd=folder, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_it_opens_with_the_job_in_one_paragraph() -> None:
    """Before anything else the README says for whom, from what, and what comes out."""
    name, opening, *_ = README.split("\n\n")
    assert name == "# holdover"
    assert opening.startswith("**From a survey of loads")
    assert len(opening.split()) < 150
    for word in ("advise", "survey", "continuous output", "surge", "storage", "solar", "workbook", "live formula"):
        assert word in opening, word


def test_two_commands_lead_to_a_workbook(tmp_path: Path) -> None:
    """The first block installs and builds; its second line, run in a copy, writes the workbook it names."""
    install, build = blocks()[0]
    assert install == "python -m pip install ."
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    printed = run(build, tmp_path)
    assert printed.endswith("Wrote wrenfold.xlsx.\n")
    assert (tmp_path / "wrenfold.xlsx").stat().st_size > 100_000


def test_your_own_case_runs_line_by_line(tmp_path: Path) -> None:
    """new, check and build, as they stand there, end well one after the other."""
    lines = blocks()[1]
    assert [line.split()[1] for line in lines] == ["new", "check", "build"]
    for line in lines:
        run(line, tmp_path)
    assert (tmp_path / "my-house.xlsx").is_file()


def usage(name: str) -> str:
    """How a command is called, from its declaration."""
    words = [f"holdover {name}"]
    for one in typer.main.get_command(app).commands[name].params:  # type: ignore[attr-defined]
        word = one.metavar if one.param_type_name == "argument" else one.opts[0]
        if one.param_type_name == "option" and not one.is_flag:
            word = f"{word} {one.metavar}"
        words.append(word if one.required else f"[{word}]")
    return " ".join(words)


def test_the_table_of_commands_is_complete() -> None:
    """It lists the commands of the program, each with all of its arguments and options, and no other."""
    told = re.findall(r"(?m)^\| `(holdover \w+.*?)` \|", section("Your own case"))
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    assert set(told) == {usage(name) for name in commands}
    assert len(told) == len(commands) == 7


def test_every_exit_code_is_told() -> None:
    """The exit codes are those of the program."""
    line = re.search(r"Exit codes: (.*?)\n\n", README, re.S)
    assert line
    codes = [int(code) for code in re.findall(r"(?:^|· )(\d+) ", line[1].replace("\n", " "))]
    named = (report.DONE, report.ERRORS, report.USAGE, report.NOT_WRITTEN, report.BUG, report.INTERRUPTED)
    assert codes == list(named)


def test_the_test_command_is_the_one_that_ci_runs() -> None:
    """What the README says of running the tests is what .ci/run ends with, after the same installation."""
    install, test = blocks()[2]
    assert (install, test) == ("python -m pip install '.[test]'", "python -m pytest")
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[-1] == test
    assert any(line.startswith("python -m pip install") and line.endswith("'.[test]'") for line in lines)
    assert os.access(ROOT / ".ci" / "run", os.X_OK)


def files() -> list[Path]:
    """Every file of the project: those that git tracks, or all where there is no git."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        listed = subprocess.run(["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True)  # fmt: skip
        found = [ROOT / os.fsdecode(name) for name in listed.stdout.split(b"\0") if name]
    else:
        found = [path for path in ROOT.rglob("*") if not SKIPPED & set(path.parts)]
    return [path for path in found if path.is_file()]


@pytest.mark.parametrize("word", ["/work/" + "shared", "record" + "ing", "vid" + "eo", "TO" + "DO", "FIX" + "ME"])
def test_no_file_says(word: str) -> None:
    """No file speaks of where it was made or of what is left to do."""
    looked = files()
    assert len(looked) > 150
    assert [str(path) for path in looked if word.lower().encode() in path.read_bytes().lower()] == []
