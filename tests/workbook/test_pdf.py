"""The printed pages through LibreOffice: found or not, in time or not, and nothing left behind."""

import stat
import time
from pathlib import Path

import pytest

from holdover.workbook.pdf import office, pdf_bytes
from holdover.workbook.save import NotWritten


def program(folder: Path, body: str) -> str:
    """A stand-in for LibreOffice: a shell script that is given the same words."""
    path = folder / "soffice"
    path.write_text(f"#!/bin/sh\nfor last; do :; done\n{body}\n", encoding="utf-8")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return str(path)


def test_the_workbook_goes_in_and_the_pages_come_out(tmp_path: Path) -> None:
    """What the program writes beside its input is what comes back."""
    copy = program(tmp_path, 'cp "$last" "$(dirname "$last")/workbook.pdf"')
    assert pdf_bytes(b"a workbook", program=copy) == b"a workbook"


def test_the_profile_is_of_its_own(tmp_path: Path) -> None:
    """A profile is named that is neither the user's nor one that was used before."""
    tells = program(tmp_path, 'echo "$@" > "$(dirname "$last")/workbook.pdf"')
    first, second = (pdf_bytes(b"", program=tells).decode() for _ in range(2))
    assert "-env:UserInstallation=file:///" in first
    assert first != second


def test_a_program_that_gives_nothing_is_told_of(tmp_path: Path) -> None:
    """No file, no PDF: a sentence, not a trace."""
    with pytest.raises(NotWritten, match="gave none"):
        pdf_bytes(b"", program=program(tmp_path, "exit 77"))


def test_a_program_that_hangs_is_ended_with_all_it_started(tmp_path: Path) -> None:
    """After its time it is stopped, and so is what it started: the child's mark is never made."""
    mark = tmp_path / "mark"
    hangs = program(tmp_path, f'(sleep 1.5; touch "{mark}") &\nsleep 60')
    began = time.monotonic()
    with pytest.raises(NotWritten, match=r"longer than 0\.5 s"):
        pdf_bytes(b"", program=hangs, patience_s=0.5)
    assert time.monotonic() - began < 20
    time.sleep(1.5)
    assert not mark.exists()


def test_without_libreoffice_a_sentence_says_so(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Nothing on the path: the sentence says what is missing and what to do."""
    monkeypatch.setenv("PATH", str(tmp_path))
    if office() is not None:
        pytest.fail("a LibreOffice outside of the path")
    with pytest.raises(NotWritten, match="LibreOffice was not found") as refused:
        pdf_bytes(b"")
    assert "install LibreOffice" in refused.value.remedy
