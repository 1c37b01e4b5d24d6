"""A few tables of a workbook at the quick engine: computed anew from spoiled results, edited, compared."""

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from engines.engines import Formualizer, Value
from engines.walk import agree, grid_of
from holdover.model.study import Study
from holdover.workbook.book import build
from holdover.workbook.grid import Cell

if TYPE_CHECKING:
    from holdover.workbook.column import Part

POISON = -999.25


class Bench:
    """A workbook with every cached result spoiled, computed anew; of its cells those of some tables are looked at."""

    def __init__(self, made: Study, tables: Sequence[str]) -> None:
        self.made, self.tables, self.grid = made, tables, grid_of(made)
        self.engine = Formualizer(build(made, version="test", poison=POISON))

    def cells(self) -> Iterator[Cell]:
        """Formula cells of the tables."""
        for name in self.tables:
            yield from (cell for cell in self.grid.cells_of(self.grid.tables[name], self.made) if cell.computed)

    @cached_property
    def standing(self) -> Sequence[Cell]:
        """The same, for who does not ask what the model says of the edits."""
        return tuple(self.cells())

    def value(self, cell: Cell) -> Value:
        return self.engine(cell.sheet, cell.row, cell.col)

    def type_in(self, table: str, column: str, value: Value, record: int = 0) -> None:
        """Type a value into an input; None clears it."""
        typed = self.grid.tables[table]
        part: Part = "set" if typed.kind == "form" else ""
        home = self.grid.home_of(typed, typed.columns[typed.index[column]], part)
        self.engine.edit(home, *self.grid.at(typed, column, record, part), value)

    def errors(self) -> list[str]:
        """Formula cells of the tables that show an error, or nothing at all."""
        found = ((cell, self.value(cell)) for cell in self.standing)
        return [f"{cell}: {got}" for cell, got in found if got is None or str(got).startswith("#")]

    def differences(self) -> list[str]:
        found = ((cell, self.value(cell)) for cell in self.cells())
        return [f"{cell}: {got!r}, not {cell.value!r}" for cell, got in found if not agree(got, cell.value)]
