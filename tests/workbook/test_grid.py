"""What a declaration says: where the model keeps a value, and which names the formulas use."""

import re
from types import SimpleNamespace

import pytest

from engines.cases import SAMPLES, sample
from holdover.model.study import study
from holdover.workbook.book import sheets_for
from holdover.workbook.column import Column, Table, values_of
from holdover.workbook.grid import letters
from holdover.workbook.page import lay_out

RECORDS = tuple(SimpleNamespace(held=SimpleNamespace(packs=n)) for n in (4, 5, 6))
WHOLE = SimpleNamespace(rows=RECORDS, total=15, months=(("a", "b", "c"), ("d", "e", "f")), offers=RECORDS)


@pytest.mark.parametrize(
    ("path", "values"),
    [
        ("held.packs", [4, 5, 6]),
        ("/total", [15, 15, 15]),
        ("/months.1.@", ["d", "e", "f"]),
        ("/offers.@.held.packs", [4, 5, 6]),
        ("/offers.2.held.packs", [6, 6, 6]),
    ],
)
def test_a_path_leads_from_the_record_or_with_a_slash_from_the_study(path: str, values: list[object]) -> None:
    """`@` is the number of the record, from 0."""
    column = Column("one", "One", path=path)
    value = values_of(Table("table", "Table", "rows", (column,)), column, WHOLE)
    assert [value(i) for i in range(3)] == values


def test_standing_values_and_constants_are_no_path() -> None:
    """What stands in a column by itself is not looked for in the study."""
    column = Column("one", "One", standing=("x", "y", "z"))
    assert values_of(Table("table", "Table", "rows", (column,)), column, WHOLE)(1) == "y"
    constants = Table("table", "Table", "", (Column("one", "One"), Column("two", "Two")), constants=((1, 2), (3, 4)))
    assert values_of(constants, constants.columns[1], WHOLE)(1) == 4


def test_the_names_in_use_are_those_in_the_formulas() -> None:
    """The declarations tell beforehand which names stand in any formula, no more and no fewer."""
    worked_out = study(sample(SAMPLES[0]))
    grid, _ = lay_out(sheets_for(worked_out.slots), worked_out)
    words: set[str] = set()
    for cell in grid.cells(worked_out):
        words.update(re.findall(r"[a-z]\w*", re.sub(r'"[^"]*"|\w+!', "", cell.formula)))
    assert len(grid.used) > 200
    assert words & grid.names.keys() == grid.used
    assert grid.used <= grid.defined.keys() <= grid.names.keys()


def test_letters_of_columns() -> None:
    """Column numbers count from 0."""
    assert [letters(col) for col in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
