"""What somebody might type into a cell: at its bounds, beyond them, between whole numbers, of another kind."""

from typing import TYPE_CHECKING

from engines.engines import Formualizer, Value
from engines.walk import agree
from holdover.case.section import bounds_of, choices_of, is_text
from holdover.workbook.grid import Cell, Grid
from holdover.workbook.typed import is_clock, read

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

    from holdover.workbook.column import Part


def typed(info: "FieldInfo") -> tuple[Value | bool, ...]:
    """What is typed into a cell to see how it is read."""
    choices = choices_of(info)
    if choices:
        return (
            choices[0],
            f" {choices[-1].upper()} ",
            "no such word",
            "zz",
            "*",
            f"{choices[0][:1]}*",
            "?" * len(choices[0]),
            3,
            True,
            None,
        )
    if is_text(info):
        return (" two words ", 5, True)
    if is_clock(info):
        return (
            *(h / 24 for h in range(24)),
            23.9 / 24,
            0,
            0.0625,
            1,
            1.5,
            2.5,
            *range(2, 26),
            -0.5,
            24.5,
            0.9999,
            "21:30",
            True,
            None,
        )
    low, high = bounds_of(info)
    assert low is not None and high is not None
    return (low, low + 0.5, low - 0.5, (low + high) / 2, high - 0.5, high, high + 0.5, high + 1, "12", True, None)


def misreads(engine: Formualizer, grid: Grid, cell: Cell, spare: int) -> bool:
    """Whether the formula that reads a typed cell makes anything else of it than it should; no formula of ours does."""
    source = grid.tables[cell.table.reads]
    declared = source.columns[source.index[cell.column.name]]
    info = declared.field
    assert info is not None
    part: Part = "set" if source.kind == "form" else ""
    at = (grid.home_of(source, declared, part), *grid.at(source, declared.name, 0, part))
    found = False
    for value in typed(info):
        engine.edit(*at, value)
        got = engine.evaluate(cell.sheet, spare, 0, cell.formula)
        found = found or not agree(got, read(info, value))
    engine.edit(*at, None)
    return found
