"""A workbook that an older holdover wrote: read by the names of its inputs, built on, not audited."""

from pathlib import Path

import pytest

import holdover
from holdover.returned.read import read_any, read_returned
from holdover.xlsx import read_xlsx

FILE = Path(__file__).parent / "older" / "starter-0.1.xlsx"
"""Written by holdover 0.1.0 from its starter case."""


def test_its_inputs_are_read_by_their_names() -> None:
    """Loads, candidates and settings are those that stand in its cells."""
    book = read_xlsx(FILE.read_bytes(), FILE.name)
    load = {row: cells for sheet in book.sheets if sheet.name == "Load" for row, cells in sheet.rows.items()}
    typed = {str(cell.value) for cells in load.values() for cell in cells.values() if cell.kind == "text"}
    case, findings, slots = read_any(FILE)
    assert case is not None
    assert slots is None
    assert len(case.loads) == 4
    assert {one.name for one in case.loads} <= typed
    assert [one.storage_wh is not None and one.continuous_w is not None for one in case.candidates] == [True] * len(
        case.candidates
    )
    assert case.about.title in {
        str(cell.value) for sheet in book.sheets for cells in sheet.rows.values() for cell in cells.values()
    }
    assert "W007" in {finding.code for finding in findings.found}


def test_what_is_new_takes_its_usual_value() -> None:
    """The promise and the readings were not asked then."""
    case, _, _ = read_any(FILE)
    assert case is not None
    assert "promise" not in case.outage.model_fields_set
    assert case.outage.promise == "critical and essential"


def test_a_workbook_of_today_is_built_from_it() -> None:
    """It is worked out and written like any case."""
    assert holdover.build(holdover.study(holdover.read_case(FILE)))[:2] == b"PK"


def test_it_is_not_audited() -> None:
    """Its formulas are others: the finding says what can be done with it."""
    returned, findings = read_returned(FILE)
    assert returned is None
    assert [finding.code for finding in findings.errors] == ["W002"]
    with pytest.raises(holdover.CaseError, match="older holdover"):
        holdover.audit(FILE)
