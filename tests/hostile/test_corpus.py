"""Every case folder of the corpus is read or plainly refused, quickly, with the codes and values it must give."""

import re
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

import holdover
from holdover.case.schema import Case
from holdover.findings import as_dict, render
from holdover.reading.folder import read_case

sys.path.insert(0, str(Path(__file__).parent))
from example import Example, write
from make import examples

PACKAGE = Path(holdover.__file__).parent
CODES = {
    code
    for path in PACKAGE.rglob("*.py")
    for code in re.findall(r'"([A-Z][0-9]{3})"', path.read_text(encoding="utf-8"))
}
"""Every code of a finding that stands in the source."""
EXAMPLES = examples()
SECONDS = 5.0
"""Longest time for one case [s of the processor]; the slowest took 1.5 s."""
ELSEWHERE = {"F010", "W001", "W002", "W003", "W004", "W005", "W006"}
"""F010: a superuser may open what others may not, tested below. W001 to W006: returned workbooks, see tests/returned."""
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
from holdover.reading.folder import read_case
read_case(Path(sys.argv[1]))
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_example(example: Example, tmp_path: Path) -> None:
    """The case gives exactly the errors expected, says what it must, and holds the values."""
    path = write(example, tmp_path)
    begin = time.process_time()
    case, findings = read_case(path)
    taken = time.process_time() - begin
    told = render(findings.sorted())
    assert {f.code for f in findings.errors} == example.errors, told
    assert (case is None) == bool(example.errors)
    assert example.said <= {f.code for f in findings.found}, told
    for place, value in example.values.items():
        assert case is not None
        found = _value(case, place)
        assert found == (pytest.approx(value, rel=1e-12, abs=1e-9) if isinstance(value, float) else value), (
            place,
            told,
        )
    assert taken < SECONDS
    assert not [mark for mark in told if ord(mark) < 32 and mark != "\n"]
    assert not set(told) & set("\x7f\x9b\u202e\u2066\u200b")
    for finding in findings.found:
        assert finding.code in CODES
        assert finding.remedy or finding.level == "note" or finding.code in {"F010", "Q020"}
        assert as_dict(finding)["code"] == finding.code


def _value(case: Case, place: str) -> Any:
    """What was set at a path; None where the case left it out."""
    found: Any = case
    for step in place.split("."):
        if step.isdigit():
            found = found[int(step)]
        elif step in found.model_fields_set:
            found = getattr(found, step)
        else:
            return None
    return found


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
    case, findings = read_case(tmp_path)
    assert case is None
    assert [(f.code, f.file) for f in findings.found] == [("F010", "case.toml")]
    assert "Permission denied" in findings.found[0].message


def test_corpus_is_large() -> None:
    """The corpus holds at least 150 cases."""
    assert len(EXAMPLES) >= 150


def test_every_code_has_a_case() -> None:
    """Every code of the source is expected by some case of the corpus."""
    assert len(CODES) > 100
    expected = {code for example in EXAMPLES for code in example.errors | example.said}
    assert set(CODES) - expected == ELSEWHERE
