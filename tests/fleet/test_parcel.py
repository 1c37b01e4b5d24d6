"""A case that is read from its parcel is the case that stands in its folder, with the same said about it."""

import os
import shutil
from pathlib import Path

import pytest

import holdover
from engines.cases import ROOT, SAMPLES
from fleet.fleets import house
from holdover.fleet.parcel import parcel_of, unpacked
from holdover.library import Received
from holdover.xlsx import MAX_FILE

HOSTILE = sorted(path.parent for path in (ROOT / "tests" / "hostile").glob("*/*/case.toml"))[::9]


def from_parcel(path: Path) -> Received:
    parcel = parcel_of(path)
    assert parcel
    with unpacked(parcel) as there:
        assert not str(there).startswith(str(path))
        return holdover.read(there)


@pytest.mark.parametrize("folder", [*SAMPLES, *HOSTILE], ids=lambda path: path.name)
def test_a_folder_comes_out_as_it_went_in(folder: Path) -> None:
    """Samples and bad files: case, findings and places are those of the folder itself."""
    here, there = holdover.read(folder), from_parcel(folder)
    assert there.found == here.found
    assert there.findings.found == here.findings.found
    assert there.findings.places == here.findings.places


def test_a_workbook_and_a_case_file_come_out_too(tmp_path: Path) -> None:
    """A workbook that came back is one file; a case file brings the tables that stand beside it."""
    book = tmp_path / "back.xlsx"
    book.write_bytes(holdover.build(holdover.study(holdover.read_case(SAMPLES[0]))))
    assert from_parcel(book) == holdover.read(book)
    house(tmp_path / "one")
    (tmp_path / "one" / "case.toml").rename(tmp_path / "one" / "other.toml")
    assert from_parcel(tmp_path / "one" / "other.toml").case == holdover.read_case(tmp_path / "one" / "other.toml")


@pytest.mark.skipif(os.name != "posix", reason="links need rights elsewhere")
def test_what_leads_out_of_a_folder_is_refused_there_too(tmp_path: Path) -> None:
    """A table that is a link to another folder is not sent, and the same is said of it."""
    folder = house(tmp_path / "one")
    shutil.move(folder / "loads.csv", tmp_path / "loads.csv")
    (folder / "loads.csv").symlink_to(tmp_path / "loads.csv")
    parcel = parcel_of(folder)
    assert parcel
    assert b"Lamp" not in b"".join(file.data for file in parcel.files)
    assert from_parcel(folder).findings.errors == holdover.read(folder).findings.errors != []


@pytest.mark.skipif(os.name != "posix", reason="pipes")
def test_what_is_no_file_is_refused_there_too(tmp_path: Path) -> None:
    """A table that is a pipe is not opened, and the same is said of it."""
    folder = house(tmp_path / "one")
    (folder / "case.toml").write_text('loads = "pipe.csv"\n[about]\ntitle = "x"\n', encoding="utf-8")
    (folder / "loads.csv").unlink()
    os.mkfifo(folder / "pipe.csv")
    assert from_parcel(folder).findings.errors == holdover.read(folder).findings.errors != []


def test_what_is_too_large_goes_by_its_size(tmp_path: Path) -> None:
    """A table of more than 20 MB is not sent, and the same is said of it."""
    folder = house(tmp_path / "one")
    os.truncate(folder / "loads.csv", MAX_FILE + 5)
    parcel = parcel_of(folder)
    assert parcel
    assert sum(len(file.data) for file in parcel.files) < 2000
    here = holdover.read(folder).findings.errors
    assert from_parcel(folder).findings.errors == here
    assert [finding.code for finding in here] == ["F004"]


def test_the_fingerprint_tells_what_decides(tmp_path: Path) -> None:
    """It follows each file and each wish, not what lies beside the case."""
    folder = house(tmp_path / "one")

    def told(*more: object) -> str:
        parcel = parcel_of(folder)
        assert parcel
        return parcel.fingerprint(*more)

    first = told("1")
    (folder / "notes.md").write_text("x", encoding="utf-8")
    assert told("1") == first
    assert told("2") != first
    (folder / "loads.csv").write_text("name,watts,hours\nLamp,21,5\n", encoding="utf-8")
    assert told("1") != first
