"""The library: what a program gets from it, what it raises, and that asking for it costs nothing."""

import gc
import subprocess
import sys
from pathlib import Path

import pytest

import holdover
from engines.cases import ROOT, SAMPLES, sample
from holdover.library import Received
from holdover.model.study import slots_for
from holdover.model.study import study as worked_out

HOUSE = SAMPLES[-1]


def test_a_case_is_read_worked_out_written_and_audited(tmp_path: Path) -> None:
    """Four calls lead from a folder to an audit of the workbook, which is clean and names the case's pick."""
    case = holdover.read_case(str(HOUSE))
    assert case == sample(HOUSE)
    study = holdover.study(case)
    assert study == worked_out(case)
    file = tmp_path / "house.xlsx"
    file.write_bytes(holdover.build(study))
    audit = holdover.audit(file, against=HOUSE)
    assert audit.clean
    assert audit.compared
    assert audit.after == study.decision.headline
    assert audit.version == holdover.version()
    assert holdover.read_case(file) == case
    assert holdover.read(file).slots == study.slots == slots_for(case)


@pytest.mark.parametrize("on", [True, False])
def test_the_search_for_garbage_is_left_as_it_was(on: bool, tmp_path: Path) -> None:
    """A call that puts it off turns it on again where it was on, after a fault, too; where it was off it stays off."""
    file = tmp_path / "broken.xlsx"
    file.write_bytes(b"PK\x03\x04")
    try:
        if not on:
            gc.disable()
        assert holdover.read(file).findings.errors
        assert gc.isenabled() == on
        with pytest.raises(holdover.CaseError):
            holdover.audit(file)
        assert gc.isenabled() == on
    finally:
        gc.enable()


def test_what_a_reader_remarks_comes_with_the_case() -> None:
    """`read` gives warnings and notes beside a sound case, and no slots where there is no workbook."""
    received = holdover.read(SAMPLES[0])
    assert isinstance(received, Received)
    assert received.case == sample(SAMPLES[0])
    assert {finding.level for finding in received.findings.found} == {"warning", "note"}
    assert received.slots is None


def test_a_case_with_errors_is_raised_with_its_findings(tmp_path: Path) -> None:
    """The exception carries every finding, and as text it is what `holdover check` prints."""
    (tmp_path / "case.toml").write_text('[about]\ntitle = "x"\n', encoding="utf-8")
    (tmp_path / "loads.csv").write_text("name,watts,hours\nLamp,abc,30\n", encoding="utf-8")
    with pytest.raises(holdover.CaseError) as raised:
        holdover.read_case(tmp_path)
    assert len(raised.value.findings.errors) == 2
    done = subprocess.run(
        [sys.executable, "-m", "holdover", "check", tmp_path], capture_output=True, text=True, check=False
    )
    assert done.stdout.rstrip() == str(raised.value)
    assert str(raised.value).endswith("2 errors, 1 warning")


@pytest.mark.parametrize("against", [None, ROOT / "gone"])
def test_an_audit_of_what_cannot_be_read_is_raised(against: Path | None, tmp_path: Path) -> None:
    """A workbook, or a case to hold it against, that is not there is an error with a code."""
    file = tmp_path / "house.xlsx"
    if against:
        file.write_bytes(holdover.build(holdover.study(holdover.read_case(HOUSE))))
    with pytest.raises(holdover.CaseError) as raised:
        holdover.audit(file, against)
    assert [finding.code for finding in raised.value.findings.errors] == ["F001"]


def test_everything_that_is_promised_is_there() -> None:
    """Each public name can be had, is listed by dir(), and nothing else can be had in silence."""
    for name in holdover.__all__:
        assert getattr(holdover, name).__name__ == name
    assert set(holdover.__all__) <= set(dir(holdover))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = holdover.nothing  # type: ignore[attr-defined]  # mypy knows what there is


def test_importing_it_loads_nothing() -> None:
    """`import holdover` takes no module but its own, so that it takes no time."""
    words = "import sys; before = set(sys.modules); import holdover; print(*sorted(set(sys.modules) - before))"
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["holdover"]
