"""The gate: lint, format, types and import contracts are tests, so that one command tells all."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import holdover

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = Path(holdover.__file__).parent


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """A run of this Python over the sources of this checkout."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    return subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=600,
        env=environment,
        check=False,
    )


def test_ruff_finds_nothing() -> None:
    """ruff check is clean over sources and tests."""
    found = run("-m", "ruff", "check", "src", "tests")
    assert found.returncode == 0, found.stdout
    assert "All checks passed" in found.stdout


def test_everything_is_formatted() -> None:
    """ruff format would change no file, and there are files."""
    found = run("-m", "ruff", "format", "--check", "src", "tests")
    assert found.returncode == 0, found.stdout
    assert int(re.findall(r"(\d+) files? already formatted", found.stdout)[0]) > 60


@pytest.mark.long
def test_types_are_strict() -> None:
    """mypy --strict is clean over the package and the tests, and looked at them all."""
    found = run("-m", "mypy")
    assert found.returncode == 0, found.stdout
    files = [path for folder in ("src", "tests") for path in (ROOT / folder).rglob("*.py")]
    assert int(re.findall(r"in (\d+) source files", found.stdout)[0]) == len(files)


def test_imports_go_one_way() -> None:
    """The import contracts hold: rooms know each other in one order, and few modules know the libraries."""
    words = "import sys; from importlinter.cli import lint_imports_command; sys.argv = ['lint-imports']; lint_imports_command()"
    found = run("-c", words)
    assert found.returncode == 0, found.stdout + found.stderr
    assert re.search(r"\b([2-9]|[1-9][0-9]) kept, 0 broken", found.stdout), found.stdout


@pytest.mark.skipif(
    "CI" not in os.environ and ROOT / "src" in PACKAGE.parents, reason="a developer may run from the checkout"
)
def test_the_tests_run_against_the_installed_wheel() -> None:
    """The package under test is the installed one, as `.ci/setup` installs it, the starter case included."""
    folder = PACKAGE
    assert ROOT / "src" not in folder.parents
    assert not re.search(r"pip install.* (-e|--editable)\b", (ROOT / ".ci" / "setup").read_text(encoding="utf-8"))
    assert (folder / "templates" / "home" / "case.toml").is_file()
