"""What hostile workbooks can do: be refused in words, quickly, in little memory, or be read for what they hold."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from xlsx.files import CASES

ENVIRONMENT = os.environ | {
    "PYTHONPATH": os.pathsep.join([str(Path(__file__).parents[1]), os.environ.get("PYTHONPATH", "")]).rstrip(os.pathsep)
}
"""The children find the modules beside this one."""

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="bounds on memory are Linux's")

MAX_MB = 300
MAX_SECONDS = 2
"""Of processor time, for a refusal."""


@pytest.fixture(scope="module")
def reader() -> Iterator[subprocess.Popen[str]]:
    """A child that reads files in children of its own."""
    command = [sys.executable, "-W", "ignore", "-m", "xlsx.child"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=ENVIRONMENT) as child:
        yield child
        assert child.stdin
        child.stdin.close()


@pytest.mark.parametrize(("name", "expected"), [(name, expected) for name, _, expected in CASES])
def test_hostile_workbook(name: str, expected: str, reader: subprocess.Popen[str]) -> None:
    """Every file is read or refused as foreseen, within 2 s and 300 MB."""
    assert reader.stdin
    assert reader.stdout
    reader.stdin.write(name + "\n")
    reader.stdin.flush()
    answer = json.loads(reader.stdout.readline())
    outcome, _, words = expected.partition(" ")
    assert answer["outcome"].startswith(outcome), answer
    assert [word for word in words.split() if word not in answer["outcome"]] == [], answer
    assert "could not be read (" not in answer["outcome"], "an exception that nobody foresaw"
    assert answer["mb"] <= MAX_MB
    assert answer["seconds"] <= MAX_SECONDS or outcome == "read"


def test_case_names() -> None:
    """No two cases have the same name, so that none hides another."""
    assert len({name for name, _, _ in CASES}) == len(CASES) >= 60


@pytest.mark.parametrize("seed", range(4))
def test_mutants(seed: int) -> None:
    """Whatever is changed in a workbook, one class of exception comes out, quickly and in little memory."""
    command = [sys.executable, "-W", "ignore", "-m", "xlsx.fuzz", "1250", str(seed)]
    answer = json.loads(subprocess.run(command, check=True, capture_output=True, text=True, env=ENVIRONMENT).stdout)
    assert set(answer["outcomes"]) == {"read", "refused"}
    assert sum(answer["outcomes"].values()) == 1250
    assert answer["slowest"] <= 1
    assert answer["mb"] <= 150
