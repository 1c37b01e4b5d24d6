"""Holds every formula cell of a workbook against the reference model."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any

from engines.engines import Answer, Value
from holdover.model.study import Study
from holdover.workbook.book import sheets_for
from holdover.workbook.column import values_of
from holdover.workbook.grid import Cell, Grid
from holdover.workbook.page import lay_out
from holdover.workbook.path import follow

REL = 1e-9
"""Largest relative difference between a formula and the model."""


def grid_of(study: Study) -> Grid:
    return lay_out(sheets_for(study.slots), study)[0]


def cells_of(study: Study) -> Sequence[Cell]:
    return list(grid_of(study).cells(study))


def revalued(cells: Iterable[Cell], study: Study) -> Iterator[Cell]:
    """The same cells with what the model says in another study of as many slots."""
    values: dict[tuple[str, str], Callable[[int], Any]] = {}
    for cell in cells:
        key = cell.table.name, cell.column.name
        if cell.table.constants:
            continue
        if key not in values:
            values[key] = values_of(cell.table, cell.column, study)
            if cell.column.otherwise and cell.table.kind == "form":  # what counts where nothing is set
                values[key] = partial(lambda counts, _: counts, follow(study, cell.column.otherwise[1]))
        value = values[key](cell.record)
        yield cell._replace(value="" if value is None else value)


def agree(got: Value, want: Any) -> bool:
    """Numbers to 1e-9 relative, texts equal; an empty text may come back as a blank."""
    if isinstance(want, str):
        return got == want or (want == "" and got is None)
    if not isinstance(got, float | int):
        return False
    return bool(abs(got - want) <= REL * max(abs(got), abs(want), DUST))


DUST = 1.0
"""Differences of sums that cancel are measured against this many units: 1e-9 W, Wh or share."""


def disagreeing(answer: Answer, cells: Iterable[Cell]) -> dict[str, tuple[Value, Any, str]]:
    """Formula cells that the engine and the model compute differently."""
    found = {}
    for cell in cells:
        if cell.computed:
            got = answer(cell.sheet, cell.row, cell.col)
            if not agree(got, cell.value):
                found[str(cell)] = (got, cell.value, cell.formula)
    return found
