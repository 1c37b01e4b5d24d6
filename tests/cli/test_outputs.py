"""What a command never does to a file."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import holdover.model.study
import holdover.workbook.book
import holdover.workbook.save
from cli.running import process, ran


@pytest.mark.parametrize(("name", "word"), [("input", "inputs"), ("formula", "formulas")])
def test_build_does_not_replace_an_edited_workbook(name: str, word: str, edits: dict[str, Path], house: Path) -> None:
    """The edits stay, exit code 4, and the message says what was edited and what to do."""
    before = edits[name].read_bytes()
    done = ran("build", house, "-o", edits[name])
    assert done.code == 4
    assert f"its {word} were changed since it was written" in done.err
    assert "--force" in done.err
    assert "holdover build FILE -o NEW" in done.err
    assert edits[name].read_bytes() == before


def test_build_does_not_replace_what_was_typed_beside_the_tables(beside: Path, house: Path) -> None:
    """A line below the loads stays too; it would not come along, so that nobody is told to build on it."""
    before = beside.read_bytes()
    done = ran("build", house, "-o", beside)
    assert done.code == 4
    assert "its cells outside of the tables were changed since it was written" in done.err
    assert "--force" in done.err
    assert "build FILE" not in done.err
    assert beside.read_bytes() == before


@pytest.mark.usefixtures("quick")
def test_build_warns_where_the_workbook_seems_open(house: Path, tmp_path: Path) -> None:
    """A lock file of a spreadsheet program beside the target: it is written, and the warning says which one shows the old."""
    done = ran("build", house, "-o", tmp_path / "plan.xlsx")
    assert (done.code, done.err) == (0, "")
    (tmp_path / ".~lock.plan.xlsx#").write_bytes(b"")
    done = ran("build", house, "-o", tmp_path / "plan.xlsx", "--force")
    assert done.code == 0
    assert "seems to be open in LibreOffice" in done.err
    assert "= help: close it there" in done.err
    assert (tmp_path / "plan.xlsx").read_bytes() == b"new"


def test_build_replaces_an_edited_workbook_with_force(edits: dict[str, Path], house: Path, tmp_path: Path) -> None:
    """With --force the edits are gone."""
    target = Path(shutil.copy(edits["formula"], tmp_path / "plan.xlsx"))
    assert ran("build", house, "-o", target, "--force").code == 0
    assert ran("audit", target).code == 0


def test_build_replaces_a_workbook_that_nobody_edited(built: Path, house: Path, tmp_path: Path) -> None:
    """It is written anew without a question, and nothing else is left."""
    target = Path(shutil.copy(built, tmp_path / "plan.xlsx"))
    number = target.stat().st_ino
    assert ran("build", house, "-o", target).code == 0
    assert target.stat().st_ino != number
    assert [file.name for file in tmp_path.iterdir()] == ["plan.xlsx"]


@pytest.mark.usefixtures("quick")
def test_build_does_not_replace_what_is_not_its_own(house: Path, tmp_path: Path) -> None:
    """Another file by that name stays unless --force is given; a folder stays in any case."""
    other = tmp_path / "other.xlsx"
    other.write_bytes(b"mine")
    done = ran("build", house, "-o", other)
    assert done.code == 4
    assert "can't be read as a workbook that holdover wrote" in done.err
    assert other.read_bytes() == b"mine"
    (tmp_path / "folder.xlsx").mkdir()
    done = ran("build", house, "-o", tmp_path / "folder.xlsx", "--force")
    assert done.code == 4
    assert "is a folder" in done.err


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("given", ["folder", "file", "link"])
def test_build_never_replaces_what_it_reads(given: str, tmp_path: Path) -> None:
    """A table of the case is not overwritten, not even with --force, nor through a link."""
    (tmp_path / "case.toml").write_text('loads = "survey.xlsx"\n', encoding="utf-8")
    book = openpyxl.Workbook()
    for row in (["Appliance", "Watts", "Hours per day"], ["Fridge", 150, 8]):
        book.active.append(row)
    survey = tmp_path / "survey.xlsx"
    book.save(survey)
    before, target = survey.read_bytes(), survey
    if given == "link":
        target = tmp_path / "link.xlsx"
        target.symlink_to(survey)
    done = ran("build", tmp_path / "case.toml" if given == "file" else tmp_path, "-o", target, "--force")
    assert done.code == 4
    assert "one of the files being read" in done.err
    assert survey.read_bytes() == before


@pytest.mark.usefixtures("quick")
def test_build_never_replaces_the_workbook_it_reads(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is built from a returned workbook stands beside it, and it is left alone, whatever is asked for."""
    monkeypatch.chdir(built.parent)
    before = built.read_bytes()
    done = ran("build", built, "--force")
    assert (done.code, built.with_stem(f"{built.stem}-answer").is_file()) == (0, True)
    done = ran("build", built, "-o", built, "--force")
    assert (done.code, "Give the output another name" in done.err) == (4, True)
    assert built.read_bytes() == before


@pytest.mark.usefixtures("quick")
def test_output_into_a_folder_that_is_not_there(house: Path, tmp_path: Path) -> None:
    """Exit code 4; the folder is named, and is not made."""
    done = ran("build", house, "-o", tmp_path / "none" / "plan.xlsx")
    assert done.code == 4
    assert f"The folder {tmp_path / 'none'} does not exist" in done.err
    assert "Make the folder first" in done.err
    assert not list(tmp_path.iterdir())


@pytest.fixture
def locked(built: Path) -> Iterator[Path]:
    """A folder that may be read only, open to every user down to it, with a workbook in it."""
    folder = Path(tempfile.mkdtemp(dir="/tmp"))
    shutil.copy(built, folder / "plan.xlsx")
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.usefixtures("quick")
@pytest.mark.skipif(os.name != "posix", reason="modes as on POSIX systems")
def test_output_into_a_read_only_folder(locked: Path, house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit code 4 and a remedy; the old file is as it was. A superuser writes as nobody, since modes don't bind root."""
    write, user = holdover.workbook.save.write_whole, os.geteuid()

    def as_nobody(*words: Any, **more: Any) -> None:
        if user == 0:
            os.seteuid(65534)
        try:
            write(*words, **more)
        finally:
            if user == 0:
                os.seteuid(0)

    monkeypatch.setattr(holdover.workbook.save, "write_whole", as_nobody)
    before = (locked / "plan.xlsx").read_bytes()
    done = ran("build", house, "-o", locked / "plan.xlsx", "--force")
    assert done.code == 4
    assert "its folder may not be written to" in done.err
    assert "Give another folder" in done.err
    assert (locked / "plan.xlsx").read_bytes() == before


@pytest.mark.skipif(os.name != "posix", reason="limits as on POSIX systems")
def test_output_onto_a_full_disk(built: Path, house: Path, tmp_path: Path) -> None:
    """A process whose files may not grow past 20 kB ends with 4: old file whole, no rest, and a remedy."""
    target = Path(shutil.copy(built, tmp_path / "plan.xlsx"))
    import resource  # which only POSIX systems have

    full = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))  # noqa: E731
    done = process("build", house, "-o", target, "--force", preexec_fn=full, env={"PYTHONDONTWRITEBYTECODE": "1"})
    assert (done.code, done.out) == (4, "")
    assert "no room on the disk" in done.err
    assert "Make room" in done.err
    assert [file.name for file in tmp_path.iterdir()] == ["plan.xlsx"]
    assert target.read_bytes() == built.read_bytes()
