"""Cases made for the test: large ones, links and pipes give the codes and values they must, in little time and memory."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from holdover.returned.read import read_any
from hostile.generated import Example, large, on_disk, write
from hostile.judge import CODES, judge

EXAMPLES = [*large(), *on_disk()]
ELSEWHERE = {
    "C024", "C025", "C026", "C027", "C029", "F010", "F015", "Q029", "R003", "R004", "R005", "R006",
    "W001", "W002", "W003", "W004", "W005", "W006", "W007", "W008", "W009",
}  # fmt: skip
"""F010: a superuser may open what others may not, tested below. F015: see tests/fleet. The rest: forms and workbooks that
came back, see tests/returned."""
LARGE = (
    "19 MB",
    "values beyond, many",
    "100000 rows",
    "breaks only",
    "toml many rows",
    "toml many keys",
    "one long line",
)
MEMORY_KB = 250_000
"""Most memory for one case, the program included [kB]; 161,000 were seen, 45,000 of them before reading."""
PEAK = """
import sys
from pathlib import Path
from holdover.returned.read import read_any
read_any(Path(sys.argv[1]))
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_example(example: Example, tmp_path: Path) -> None:
    """The case gives exactly the errors expected, the remarks it must, and holds the values."""
    findings = judge(write(example, tmp_path), example.values)
    assert {f.code for f in findings.errors} == example.errors
    assert example.remarks <= {f.code for f in findings.found}


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is told by /proc")
@pytest.mark.parametrize("name", LARGE)
def test_memory(name: str, tmp_path: Path) -> None:
    """The largest files are read or refused within bounded memory."""
    (example,) = [each for each in EXAMPLES if each.name == name]
    path = write(example, tmp_path)
    told = subprocess.run([sys.executable, "-c", PEAK, str(path)], check=True, capture_output=True, text=True)
    assert int(told.stdout) < MEMORY_KB


def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that can't be opened is a finding with the system's reason."""
    (tmp_path / "case.toml").write_text("")

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    case, findings, _ = read_any(tmp_path)
    assert case is None
    assert [(f.code, f.file) for f in findings.found] == [("F010", "case.toml")]
    assert "Permission denied" in findings.found[0].message


def test_every_code_has_a_case() -> None:
    """Every code of the source is expected by some folder of the corpus, or by a case made here."""
    assert len(CODES) > 100
    expected = {code for example in EXAMPLES for code in example.errors | example.remarks}
    for text in Path(__file__).parent.glob("*/*/expected.txt"):
        expected |= set(re.findall(r"^(?:error|warning|note)\[(\w+)\]: ", text.read_text(encoding="utf-8"), re.M))
    assert CODES - expected == ELSEWHERE


def test_no_two_cases_have_one_name() -> None:
    """No case hides another."""
    assert len({example.name for example in EXAMPLES}) == len(EXAMPLES)
