"""What holds for every case, whatever is wrong with it: it is read or plainly refused, quickly and printably."""

import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from holdover.case.schema import Case
from holdover.findings import Findings, as_dict, catalogue, render
from holdover.returned.read import read_any

CODES = {wording.code for wording in catalogue().values()}
"""Every code of a finding."""
SECONDS = 5.0
"""Longest time for one case [s of the processor]; the slowest took 1.5 s."""


def judge(path: Path, values: Mapping[str, Any]) -> Findings:
    """Read a case and hold it against the values it must have; its findings."""
    begin = time.process_time()
    case, findings, _ = read_any(path)
    taken = time.process_time() - begin
    told = render(findings.sorted())
    assert (case is None) == bool(findings.errors), told
    for place, value in values.items():
        assert case is not None, told
        found = _value(case, place)
        wanted = pytest.approx(value, rel=1e-12, abs=1e-9) if isinstance(value, float) else value
        assert found == wanted, (place, told)
    assert taken < SECONDS
    assert not [mark for mark in told if ord(mark) < 32 and mark != "\n"]
    assert not set(told) & set("\x7f\x9b\u202e\u2066\u200b")
    for finding in findings.found:
        assert finding.code in CODES
        assert finding.remedy or finding.level == "note" or finding.code in {"F010", "Q020"}
        assert as_dict(finding)["code"] == finding.code
    return findings


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
