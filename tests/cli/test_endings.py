"""The ways a command ends: exit codes, sentences, a log."""

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cli.running import ran
from holdover.reading import folder


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
    monkeypatch.setattr(folder, "read_folder", raising(RuntimeError("boom")))
    done = ran("check", house)
    assert (done.code, done.out, done.err.count("\n")) == (70, "", 1)
    (log,) = tmp_path.glob("holdover-*.log")
    assert str(log) in done.err
    assert "RuntimeError: boom" in log.read_text(encoding="utf-8")


def test_a_bug_with_nowhere_to_log(house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is told all the same."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "gone"))
    monkeypatch.setattr(folder, "read_folder", raising(RuntimeError("boom")))
    done = ran("check", house)
    assert (done.code, done.err.count("\n")) == (70, 1)
    assert "RuntimeError" in done.err


def test_an_interrupt_ends_with_130(house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C is answered with a line."""
    monkeypatch.setattr(folder, "read_folder", raising(KeyboardInterrupt()))
    done = ran("check", house)
    assert (done.code, done.out, done.err) == (130, "", "Interrupted. Nothing was left half-written.\n")
