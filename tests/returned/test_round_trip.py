"""Inputs come back exactly as they were, through every program a client may use."""

import functools
import tempfile
from pathlib import Path

import openpyxl
import pytest

from engines.cases import SAMPLES, WHOLE, sample
from engines.engines import gnumeric, libreoffice
from holdover.case.schema import Case
from holdover.findings import render
from holdover.model.study import Slots
from holdover.returned.extract import write_case
from holdover.returned.read import read_any, read_returned
from returned.books import edited, job, roomy, set_in, thin, trimmed, typed_over, whole
from xlsx.ways import is_same_at_once

CASES = 200 if WHOLE else 20
"""Cases that go through the slow programs; 200 before a release."""
BATCH = 20
SLOTS = Slots(loads=9, candidates=5, days=3)  # inputs alone are written, and none is an hour's
BATCHES = [range(first, first + BATCH) for first in range(0, CASES, BATCH)]


def came_back(path: Path) -> Case:
    """The case of a returned workbook that nothing is wrong with."""
    returned, findings = read_returned(path)
    assert returned is not None, render(findings.errors)
    return returned.case


def same(case: Case, other: Case) -> None:
    """Equal in every value, and in which of them were set."""
    assert other == trimmed(case)
    assert set_in(other) == set_in(trimmed(case))


def delivered(seed: int, folder: Path) -> tuple[Path, Case, Slots]:
    """A generated case, written as a folder, read from there, and laid into a workbook that is then typed over."""
    home = folder / f"case {seed}"
    write_case(job(seed), home)
    case, findings, _ = read_any(home)
    assert case is not None, render(findings.errors)
    changed = edited(case, seed)
    slots = SLOTS
    path = folder / f"{seed}.xlsx"
    path.write_bytes(thin(case, slots))
    same(case, came_back(path))
    typed_over(path, changed, slots)
    return path, changed, slots


@functools.cache
def batch(first: int) -> tuple[list[Path], list[Case], "tempfile.TemporaryDirectory[str]"]:
    """Edited workbooks and what they now say. The folder lives as long as the process."""
    kept = tempfile.TemporaryDirectory()
    told = [delivered(seed, Path(kept.name)) for seed in range(first, first + BATCH)]
    return [path for path, *_ in told], [case for _, case, _ in told], kept


@pytest.mark.long
@pytest.mark.parametrize("seeds", BATCHES, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_every_program_gives_the_edited_case_back(seeds: range, tmp_path: Path) -> None:
    """Folder, workbook, edits by openpyxl, saved by LibreOffice and by Gnumeric: the edited case comes back exactly."""
    files, cases, _ = batch(seeds[0])
    assert len(files) == BATCH
    saved = libreoffice(files, tmp_path)
    others = [gnumeric(file, tmp_path) for file in files]
    for file, again, other, case in zip(files, saved, others, cases, strict=True):
        same(case, came_back(file))
        same(case, came_back(again))
        same(case, came_back(other))
    for each in (files[0], saved[0], others[0]):
        assert is_same_at_once(each.read_bytes())


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_a_sample_comes_back_from_its_workbook(path: Path, tmp_path: Path) -> None:
    """A sample's workbook gives the sample's case, with its slots, and a workbook of that is the same file."""
    case = sample(path)
    slots = roomy(case)
    file = tmp_path / "a.xlsx"
    file.write_bytes(whole(case, slots))
    found, findings, room = read_any(file)
    assert found is not None, render(findings.errors)
    same(case, found)
    assert room == slots
    assert is_same_at_once(file.read_bytes())


def test_a_workbook_saved_by_openpyxl_is_read() -> None:
    """openpyxl drops charts and results; the inputs are all there."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "a.xlsx"
        case = sample(SAMPLES[0])
        file.write_bytes(whole(case))
        book = openpyxl.load_workbook(file)
        book.save(file)
        same(case, came_back(file))


@pytest.mark.parametrize("seed", range(300, 360))
def test_a_case_written_as_a_folder_reads_as_it_was(seed: int, tmp_path: Path) -> None:
    """write_case and read_any are inverse, and writing again changes no byte."""
    write_case(job(seed), tmp_path / "one")
    case, findings, _ = read_any(tmp_path / "one")
    assert case is not None, render(findings.errors)
    same(job(seed), case)
    write_case(case, tmp_path / "two")
    files = sorted(each.name for each in (tmp_path / "one").iterdir())
    assert files == sorted(each.name for each in (tmp_path / "two").iterdir())
    for name in files:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
