"""Every case folder of the corpus is read or plainly refused, quickly, with the codes and values it must give."""

import sys
import time
from pathlib import Path
from typing import Any

import pytest

from holdover.case.codes import CODES
from holdover.case.folder import read_case
from holdover.case.schema import Case
from holdover.findings import as_dict, render

sys.path.insert(0, str(Path(__file__).parent))
from example import Example, write
from make import examples

EXAMPLES = examples()
SECONDS = 5.0
"""Longest time for one case [s]; the slowest took 0.5 s here; a busy machine is slower."""
ELSEWHERE = {"F010"}
"""Codes no file on disk gives to everybody: a superuser may open what others may not."""


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_example(example: Example, tmp_path: Path) -> None:
    """The case gives exactly the errors expected, says what it must, and holds the values."""
    path = write(example, tmp_path)
    begin = time.perf_counter()
    case, findings = read_case(path)
    taken = time.perf_counter() - begin
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


def test_corpus_is_large() -> None:
    """The corpus holds at least 150 cases."""
    assert len(EXAMPLES) >= 150


def test_every_code_has_a_case() -> None:
    """Every code of the register is expected by some case of the corpus."""
    expected = {code for example in EXAMPLES for code in example.errors | example.said}
    assert set(CODES) - expected == ELSEWHERE
