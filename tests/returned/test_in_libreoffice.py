"""A client types in LibreOffice, and saves as .ods on the way: what comes back is read and audited as it counts there."""

from pathlib import Path

from holdover.model.study import Slots
from holdover.returned.audit import audit_file
from holdover.returned.compare import compare
from holdover.returned.read import read_returned
from holdover.workbook.grid import xl
from returned.books import job, roomy, shortened, whole
from returned.test_moved import office

CASE = shortened(job(4))
SPARE = Slots(loads=roomy(CASE).loads, candidates=roomy(CASE).candidates + 2, days=roomy(CASE).days)


def test_words_and_times_are_counted_as_the_workbook_counts_them(tmp_path: Path) -> None:
    """`1.5 kW` is read, with a warning, and is no number to a formula; 21:30 is half past nine to both."""
    file, back = tmp_path / "a.xlsx", tmp_path / "b.xlsx"
    file.write_bytes(whole(CASE, SPARE))
    before, _ = read_returned(file)
    assert before is not None
    watts, start = (before.spots["loads", 0, name] for name in ("running_w", "starts_at"))
    steps = [
        ["type", watts.home, xl(watts.row, watts.col), "1.5 kW"],
        ["type", start.home, xl(start.row, start.col), 21.5 / 24],
    ]
    office([{"from": str(file), "to": str(back), "steps": steps}], tmp_path)
    returned, findings = read_returned(back)
    assert returned is not None, findings.errors
    assert "W006" in [finding.code for finding in findings.found]
    assert (returned.case.loads[0].running_w, returned.case.loads[0].starts_at) == (1500, 21.5)
    assert (returned.counted.loads[0].running_w, returned.counted.loads[0].starts_at) == (None, 21.5)
    audit, _ = audit_file(back, None)
    assert audit is not None
    assert (audit.formulas, audit.values) == ((), ())


def test_spare_slots_survive_ods(tmp_path: Path) -> None:
    """Saved as .ods, an empty text has no type: opened again and edited, a spare column is no candidate for that."""
    file, sheets, back = tmp_path / "a.xlsx", tmp_path / "b.ods", tmp_path / "c.xlsx"
    file.write_bytes(whole(CASE, SPARE))
    before, _ = read_returned(file)
    assert before is not None
    watts = before.spots["loads", 0, "running_w"]
    edit = ["type", watts.home, xl(watts.row, watts.col), 77]
    office(
        [
            {"from": str(file), "to": str(sheets), "steps": [], "as typed": True},
            {"from": str(sheets), "to": str(back), "steps": [edit], "as typed": True},
        ],
        tmp_path,
    )
    returned, findings = read_returned(back)
    assert returned is not None, findings.errors
    assert returned.case.loads[0].running_w == 77
    assert len(returned.case.candidates) == len(before.case.candidates)
    found = compare(returned)
    assert (found.formulas, found.values) == ((), ())
    assert found.numbers > 3000
