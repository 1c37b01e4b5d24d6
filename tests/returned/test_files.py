"""A file that can't be a returned workbook is told why before it is looked into; what is not opened in one is named."""

import zipfile
from pathlib import Path

from holdover.findings import Finding
from holdover.model.study import Slots
from holdover.returned.read import read_any, read_returned
from holdover.xlsx import MAX_FILE
from returned.books import job, thin


def told(path: Path) -> Finding:
    """The one finding about a file that is not read."""
    returned, findings = read_returned(path)
    assert returned is None
    (finding,) = findings.found
    return finding


def test_a_folder_or_nothing_is_no_workbook(tmp_path: Path) -> None:
    """Both are told by what they are."""
    (tmp_path / "a.xlsx").mkdir()
    for name, message in (
        ("a.xlsx", "this is a folder; a returned workbook is a file"),
        ("b.xlsx", "there is no such file"),
    ):
        found = told(tmp_path / name)
        assert (found.code, found.message, found.remedy) == ("F001", message, "give the workbook's name")


def test_a_workbook_may_not_be_larger_than_any(tmp_path: Path) -> None:
    """Its size alone refuses it; nothing of it is read."""
    path = tmp_path / "a.xlsx"
    with path.open("wb") as file:
        file.truncate(MAX_FILE + 1)
    found = told(path)
    assert (found.code, found.message) == ("F004", f"a workbook has at most {MAX_FILE // 10**6} MB")


def test_macros_are_named_and_not_opened(tmp_path: Path) -> None:
    """A workbook that came back with macros is read, and a note says that they were not opened."""
    path, case = tmp_path / "a.xlsx", job(3)
    path.write_bytes(thin(case, Slots(loads=max(1, len(case.loads)), candidates=max(1, len(case.candidates)))))
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0")
    read, findings, _ = read_any(path)
    assert read is not None
    notes = [(f.level, f.message) for f in findings.found if f.code == "W001"]
    assert notes == [("note", "The workbook holds macros; they were not opened.")]
