"""Every formula cell, in every engine, against the reference model, after the cached results were poisoned."""

from collections.abc import Sequence
from dataclasses import astuple
from pathlib import Path
from typing import Any

import pytest

from engines.cases import CORNERS, SAMPLES, WHOLE, generated, sample, small, snug
from engines.edges import EDGES
from engines.engines import Answer, Formualizer, answers_of, cached, gnumeric, iron, libreoffice
from engines.near import NEAR
from engines.slips import SLIPS
from engines.walk import cells_of, disagreeing
from holdover.case.schema import Case
from holdover.model.study import Study, study
from holdover.workbook.book import build
from holdover.workbook.grid import Cell
from holdover.xlsx import read_xlsx

POISON = -999.25
GENERATED = 8 if WHOLE else 4
"""Cases drawn at random for the walk; the edits draw hundreds more."""
SLOW = (
    "empty",
    "twins",
    "cold and sunny",
    "on the hour",
    "polar",
    "mains by night",
    "misses by little",
    "tiny, device drops",
    "tiny, only when on",
    "generated 0",
)
"""Cases that the slower engines take beside the samples; with HOLDOVER_SUITE=whole they take all."""


NAMED = [path.name for path in SAMPLES]
SNUG = {name for name in (*EDGES, *NEAR, *SLIPS) if not WHOLE and name not in SLOW}
"""Cases that are there for a number of their own. What stands in spare slots is no other there than in the other cases."""


def cases() -> dict[str, Case]:
    """Those of as many slots follow each other: their workbooks are laid out once."""
    others = CORNERS | {f"generated {seed}": generated(seed) for seed in range(GENERATED)}
    return {path.name: sample(path) for path in SAMPLES} | dict(sorted(others.items(), key=slots))


def slots(case: tuple[str, Case]) -> tuple[Any, ...]:
    """How many slots a case takes here."""
    return astuple((snug if case[0] in SNUG else small)(case[1]).slots)


CASES = cases()
CHOSEN = [name for name in CASES if WHOLE or name in NAMED or name in SLOW]


def whole_or_small(name: str) -> Study:
    """Samples with all their spare slots, as a client gets them; the others with few, or none but of loads."""
    return study(CASES[name]) if name in NAMED else (snug if name in SNUG else small)(CASES[name])


def counted(answer: Answer, cells: Sequence[Cell], engine: str, name: str) -> None:
    wrong = disagreeing(answer, cells)
    formulas = sum(cell.computed for cell in cells)
    print(f"{engine}: {name}: {formulas} formula cells, {len(wrong)} differ")
    assert formulas > 3000
    assert not wrong, dict(list(wrong.items())[:10])


@pytest.mark.long
@pytest.mark.parametrize("name", CASES)
def test_engines_from_pypi_agree_with_the_model(name: str) -> None:
    """Formualizer, and for the chosen cases IronCalc, compute what the model computed, cell by cell."""
    worked_out = whole_or_small(name)
    data = build(worked_out, version="test", poison=POISON)
    cells = cells_of(worked_out)
    counted(Formualizer(data), cells, "formualizer", name)
    if name in CHOSEN:
        counted(iron(data), cells, "ironcalc", name)


@pytest.mark.long
def test_libreoffice_agrees_with_the_model(tmp_path: Path) -> None:
    """LibreOffice, recalculating the chosen cases in one start, computes what the model computed."""
    studies = {name: whole_or_small(name) for name in CHOSEN}
    files = []
    for i, worked_out in enumerate(studies.values()):
        files.append(tmp_path / f"case{i}.xlsx")
        files[-1].write_bytes(build(worked_out, version="test", poison=POISON))
    for (name, worked_out), saved in zip(studies.items(), libreoffice(files, tmp_path), strict=True):
        counted(cached(saved), cells_of(worked_out), "libreoffice", name)


@pytest.mark.long
@pytest.mark.parametrize("name", CASES if WHOLE else NAMED)
def test_gnumeric_agrees_with_the_model(name: str, tmp_path: Path) -> None:
    """Gnumeric computes what the model computed."""
    worked_out = whole_or_small(name)
    file = tmp_path / "case.xlsx"
    file.write_bytes(build(worked_out, version="test", poison=POISON))
    counted(cached(gnumeric(file, tmp_path)), cells_of(worked_out), "gnumeric", name)


@pytest.mark.parametrize("name", CHOSEN)
def test_the_cached_results_are_the_models(name: str) -> None:
    """What a viewer shows without recalculating is the model's value, and never an error."""
    worked_out = whole_or_small(name)
    data = build(worked_out, version="test")
    answer = answers_of(read_xlsx(data, "case.xlsx"))
    assert not disagreeing(answer, cells_of(worked_out))


def test_the_walk_sees_poison() -> None:
    """A workbook that nobody recalculated is not taken for a right one."""
    worked_out = small(CORNERS["one of each"])
    answer = answers_of(read_xlsx(build(worked_out, version="test", poison=POISON), "case.xlsx"))
    cells = [cell for cell in cells_of(worked_out) if cell.computed]
    assert len(disagreeing(answer, cells)) == len(cells)
