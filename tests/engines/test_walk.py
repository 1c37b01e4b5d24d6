"""Every formula cell, in every engine, against the reference model, after the cached results were poisoned."""

from collections.abc import Sequence
from dataclasses import astuple
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from engines.cases import CORNERS, SAMPLES, WHOLE, few_slots, generated, no_slots, sample, small, snug
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
    return astuple((no_slots if case[0] in SNUG else few_slots)(case[1]))


CASES = cases()
CHOSEN = [name for name in CASES if WHOLE or name in NAMED or name in SLOW]


def whole_or_small(name: str) -> Study:
    """Samples with all their spare slots, as a client gets them; the others with few, or none but of loads."""
    return chosen(name) if name in CHOSEN else worked_out(name)


def worked_out(name: str) -> Study:
    return study(CASES[name]) if name in NAMED else (snug if name in SNUG else small)(CASES[name])


@cache
def chosen(name: str) -> Study:
    """A case that several engines take."""
    return worked_out(name)


@cache
def poisoned(name: str) -> bytes:
    """The workbook of such a case, with wrong stored results."""
    return build(chosen(name), version="test", poison=POISON)


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
    found = whole_or_small(name)
    data = poisoned(name) if name in CHOSEN else build(found, version="test", poison=POISON)
    cells = cells_of(found)
    counted(Formualizer(data), cells, "formualizer", name)
    if name in CHOSEN:
        counted(iron(data), cells, "ironcalc", name)


@pytest.mark.long
def test_libreoffice_agrees_with_the_model(tmp_path: Path) -> None:
    """LibreOffice, recalculating the chosen cases in one start, computes what the model computed."""
    files = []
    for i, name in enumerate(CHOSEN):
        files.append(tmp_path / f"case{i}.xlsx")
        files[-1].write_bytes(poisoned(name))
    for name, saved in zip(CHOSEN, libreoffice(files, tmp_path), strict=True):
        counted(cached(saved), cells_of(chosen(name)), "libreoffice", name)


@pytest.mark.long
@pytest.mark.parametrize("name", CASES if WHOLE else NAMED)
def test_gnumeric_agrees_with_the_model(name: str, tmp_path: Path) -> None:
    """Gnumeric computes what the model computed."""
    file = tmp_path / "case.xlsx"
    file.write_bytes(poisoned(name))
    counted(cached(gnumeric(file, tmp_path)), cells_of(whole_or_small(name)), "gnumeric", name)


@pytest.mark.parametrize("name", CHOSEN)
def test_the_cached_results_are_the_models(name: str) -> None:
    """What a viewer shows without recalculating is the model's value, and never an error."""
    found = whole_or_small(name)
    data = build(found, version="test")
    answer = answers_of(read_xlsx(data, "case.xlsx"))
    assert not disagreeing(answer, cells_of(found))


def test_the_walk_sees_poison() -> None:
    """A workbook that nobody recalculated is not taken for a right one."""
    found = small(CORNERS["one of each"])
    answer = answers_of(read_xlsx(build(found, version="test", poison=POISON), "case.xlsx"))
    cells = [cell for cell in cells_of(found) if cell.computed]
    assert len(disagreeing(answer, cells)) == len(cells)
