"""The README keeps its word: its commands run, its tables are complete, and nothing in the project speaks out of turn."""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import typer.main

from holdover import report
from holdover.cli import app

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SKIPPED = {
    ".git",
    ".hypothesis",
    ".mypy_cache",
    ".pytest_cache",
    ".ruff_cache",
    ".import_linter_cache",
    "__pycache__",
    ".venv",
}


def blocks(language: str = "sh") -> list[list[str]]:
    """The lines of each block that is marked sh."""
    return [text.splitlines() for text in re.findall(rf"(?ms)^```{language}\n(.*?)^```", README)]


SAMPLE, TESTS = blocks()[0][0], blocks()[1][0]
"""The two lines for a bare machine: one builds a sample, one runs the tests."""


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


def test_one_line_leads_to_a_workbook(tmp_path: Path) -> None:
    """The first block is one line, which sets up and builds; its second half, run in a copy, writes what it names."""
    assert len(blocks()[0]) == 1
    setup, build = SAMPLE.split(" && ")
    assert setup == "sh .ci/setup"
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    printed = run(build.removeprefix(".venv/bin/"), tmp_path)
    assert printed.endswith("Wrote wrenfold.xlsx.\n")
    assert (tmp_path / "wrenfold.xlsx").stat().st_size > 100_000


def test_the_walk_shows_what_the_terminal_shows() -> None:
    """The text of the sample is what `show` prints, line by line."""
    (told,) = blocks("text")
    assert told == [line.rstrip() for line in run("holdover show samples/wrenfold-120v", ROOT).rstrip().splitlines()]


def test_your_own_case_runs_line_by_line(tmp_path: Path) -> None:
    """new, check and build, as they stand there, end well one after the other."""
    lines = blocks()[2]
    assert [line.split()[1] for line in lines] == ["new", "check", "build"]
    for line in lines:
        run(line, tmp_path)
    assert (tmp_path / "my-house.xlsx").is_file()


def usage(name: str) -> str:
    """How a command is called, from its declaration."""
    words = [f"holdover {name}"]
    for one in typer.main.get_command(app).commands[name].params:  # type: ignore[attr-defined]
        word = one.metavar if one.param_type_name == "argument" else one.opts[0]
        if one.nargs < 0:
            word = f"{word}..."
        if one.param_type_name == "option" and not one.is_flag:
            word = f"{word} {one.metavar}"
        words.append(word if one.required else f"[{word}]")
    return " ".join(words)


def test_the_table_of_commands_is_complete() -> None:
    """It lists the commands of the program, each with all of its arguments and options, and no other."""
    told = re.findall(r"(?m)^\| `(holdover \w+.*?)` \|", section("Your own case"))
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    assert set(told) == {usage(name) for name in commands}
    assert len(told) == len(commands) == 9


def test_every_exit_code_is_told() -> None:
    """The exit codes are those of the program."""
    line = re.search(r"Exit codes: (.*?)\n\n", README, re.S)
    assert line
    codes = [int(code) for code in re.findall(r"(?:^|· )(\d+) ", line[1].replace("\n", " "))]
    named = (report.DONE, report.ERRORS, report.USAGE, report.NOT_WRITTEN, report.BUG, report.INTERRUPTED)
    assert codes == list(named)


def test_ci_runs_the_line_of_the_tests_and_nothing_else() -> None:
    """.ci/run goes to the project and runs the README's second line, letter by letter."""
    assert len(blocks()[1]) == 1
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if not line.startswith("#")] == ['cd "$(dirname "$0")/.." || exit', TESTS]
    assert lines[0] == "#!/bin/sh"
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
    assert f"`{TESTS}`" in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


TOLD = 'echo "${0##*/} $*" >> "$TOLD"\n'
PYTHON = """case "$*" in
  *ensurepip*) exit 1 ;;
  "-m venv .venv") mkdir -p .venv/bin && cp "$0" .venv/bin/python ;;
esac
"""
"""A Python as Debian ships it, which makes no virtual environment before python3-venv is there."""


def set_up(folder: Path, *words: str, user: int) -> list[str]:
    """What the setup would call on a bare machine: its programs tell how they were called, and do nothing else."""
    shutil.copytree(ROOT / ".ci", folder / "here" / ".ci")
    programs, told = folder / "bin", folder / "told.txt"
    programs.mkdir()
    for name in ("dirname", "env", "mkdir", "cp"):
        (programs / name).symlink_to(shutil.which(name) or name)
    for name, does in {"apt-get": TOLD, "sudo": 'exec "$@"', "id": f"echo {user}", "python3": TOLD + PYTHON}.items():
        text = TOLD + does if name == "sudo" else does
        (programs / name).write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
        (programs / name).chmod(0o755)
    environment = {"PATH": str(programs), "TOLD": str(told)}
    subprocess.run(["/bin/sh", ".ci/setup", *words], cwd=folder / "here", env=environment, check=True)
    return [line for line in told.read_text(encoding="utf-8").splitlines() if " -c " not in line]


@pytest.mark.skipif(os.name != "posix", reason="for Debian and Ubuntu")
def test_a_bare_machine_is_set_up(tmp_path: Path) -> None:
    """What is missing comes by apt, with sudo for who is not root; then a virtual environment, and holdover in it."""
    install = "apt-get install -y -qq --no-install-recommends python3 python3-venv"
    rest = ["python3 -m venv .venv", "python -m pip install --quiet --disable-pip-version-check ."]
    for user in (0, 1000):
        (tmp_path / str(user)).mkdir()
        found = set_up(tmp_path / str(user), user=user)
        assert [line for line in found if not line.startswith("sudo ")] == ["apt-get update -qq", install, *rest]
        assert sum(line.startswith("sudo ") for line in found) == (2 if user else 0)


@pytest.mark.skipif(os.name != "posix", reason="for Debian and Ubuntu")
def test_a_bare_machine_is_set_up_for_the_tests(tmp_path: Path) -> None:
    """LibreOffice and Gnumeric come along, and the extra of the tests."""
    found = set_up(tmp_path, "test", user=0)
    assert {"libreoffice-calc", "gnumeric", "python3-venv"} <= set(found[1].split())
    assert found[-1].endswith(" .[test]")
    told = (ROOT / ".ci" / "setup").read_text(encoding="utf-8")
    assert "/usr/bin/python3 -c 'import uno' 2>/dev/null || missing=\"$missing python3-uno\"" in told


def test_the_example_of_the_library_runs(tmp_path: Path) -> None:
    """Ten lines of Python read a sample, build its workbook and audit that, printing what they say they do."""
    (lines,) = blocks("python")
    assert len([line for line in lines if line]) == 10
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    done = subprocess.run(
        [sys.executable, "-c", "\n".join(lines)], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    decision, audit, *_ = done.stdout.splitlines()
    assert decision in README.replace("\n", " ")
    assert audit.startswith("Audit of wrenfold.xlsx")
    assert (tmp_path / "wrenfold.xlsx").is_file()


def test_the_changes_are_told_for_the_version_that_is_installed() -> None:
    """What users notice is listed by version, the newest first, and this one is among them."""
    heads = re.findall(r"(?m)^### (.*)", section("Changes"))
    told = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    assert heads[0] in ("Not released", told)
    numbers = [tuple(map(int, head.split("."))) for head in heads if head != "Not released"]
    assert numbers == sorted(numbers, reverse=True)
    assert told in heads
    assert set(re.findall(r"(?m)^(Added|Changed|Deprecated|Removed|Fixed|Security)$", section("Changes")))


def files() -> list[Path]:
    """Every file of the project: those that git tracks, or all where there is no git."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        listed = subprocess.run(["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True)  # fmt: skip
        found = [ROOT / os.fsdecode(name) for name in listed.stdout.split(b"\0") if name]
    else:
        found = [path for path in ROOT.rglob("*") if not SKIPPED & set(path.parts)]
    return [path for path in found if path.is_file()]


@pytest.mark.parametrize(
    "word", ["/work/" + "shared", "record" + "ing", "vid" + "eo", "TO" + "DO", "FIX" + "ME", "<" * 7]
)
def test_no_file_says(word: str) -> None:
    """No file speaks of where it was made or of what is left to do."""
    looked = files()
    assert len(looked) > 150
    assert [str(path) for path in looked if word.lower().encode() in path.read_bytes().lower()] == []
