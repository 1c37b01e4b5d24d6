"""A wrong formula of the index is noticed: every token of each, against what the model says of several fleets."""

import re
from dataclasses import replace
from functools import partial

from engines.engines import Formualizer
from engines.mutate import mutants
from engines.still import still
from engines.walk import agree
from fleet.fleets import NAMES, entry, fleet
from holdover.fleet.entry import Entry
from holdover.fleet.index import Fleet, fleet_of, sheets_of
from holdover.workbook.column import Column, Table
from holdover.workbook.grid import Grid
from holdover.workbook.page import lay_out

SPARE_ROW = 3000
EQUIVALENT = (
    (r"«6→7»\)", "a guard digit against float dust"),
    (r"«[12]0{14}→", "a mark that no price comes near: one more is a mark, too"),
    (r"«\*→/»1\)", "times one is by one: it turns a comparison into a number"),
)


def tied() -> list[Entry]:
    """Two units that fit as many cases for as much, and no third."""
    prices = {"Unit Alder": 900.0, "Unit Bramble": 900.0, "=Unit Clover": "", "Unit Dogwood": ""}
    return [entry(n, choices=prices, price=900.0, fitting=2) for n in range(3)]


CENTS: tuple[dict[str, float | str], ...] = ({NAMES[0]: 1000.46}, {NAMES[1]: 2000.0})
"""Sums that round down to whole money, though their tenths would round up."""
SAVING: tuple[dict[str, float | str], ...] = ({NAMES[0]: 100.0, NAMES[1]: 50.0}, {NAMES[0]: 200.0})
"""A second unit fits no case more, and is cheaper in one."""
FLEETS: list[tuple[list[Entry], list[int | str | None] | None]] = [
    *((fleet(seed), None) for seed in range(8)),
    (fleet(9), [3, 0, 1, 7, *[1] * 9]),
    (fleet(2), [0] * 13),
    (tied(), None),
    (fleet(1), [None, *[1] * 12]),
    ([entry(n, choices={**dict.fromkeys(NAMES, 100.127), NAMES[n]: ""}, price=100.127) for n in range(3)], None),
    ([entry(n, choices={**dict.fromkeys(NAMES, ""), NAMES[1]: "not stated"}) for n in range(2)], None),
    ([entry(n, fitting=0, choices=dict.fromkeys(NAMES, "")) for n in range(3)], None),
    ([entry(n, choices=dict.fromkeys(NAMES, "") | prices) for n, prices in enumerate(CENTS)], None),
    ([entry(n, choices=dict.fromkeys(NAMES, "") | prices) for n, prices in enumerate(SAVING)], None),
    (fleet(3), [2, "3", -1, *[1] * 10]),
    (fleet(4, 20), None),
    ([entry(7, state="failed", fitting="", choices={}), *fleet(5)], None),
    ([entry(1, choices=dict.fromkeys(NAMES, "not stated"), price="not stated"), *fleet(4)[:2]], None),
]


class Field:
    """Fleets worked out, with an engine that holds the values of each."""

    def __init__(self) -> None:
        self.fleets = [fleet_of(*given) for given in FLEETS]
        self.grids = [lay_out(sheets_of(found), found)[0] for found in self.fleets]
        self.engines = [
            Formualizer(still(grid.cells(found), grid.names))
            for grid, found in zip(self.grids, self.fleets, strict=True)
        ]

    def notices(self, name: str, column: Column) -> bool:
        """Whether a column of that formula would differ from the model anywhere."""
        return any(
            self._differs(engine, grid, grid.tables[name], column, found)
            for engine, grid, found in zip(self.engines, self.grids, self.fleets, strict=True)
        )

    @staticmethod
    def _differs(engine: Formualizer, grid: Grid, table: Table, column: Column, found: Fleet) -> bool:
        ask = partial(engine.evaluate, row=SPARE_ROW, col=0)
        return any(
            not agree(ask(cell.sheet, formula=cell.formula), cell.value) for cell in grid.cells_in(table, column, found)
        )


def columns(grid: Grid) -> list[tuple[str, Column]]:
    """Every computed column; of those that a table repeats by candidate the second one."""
    return [
        (table.name, column)
        for table in grid.tables.values()
        for column in table.columns
        if column.formula and not re.search(r"_[02-9]$", column.name)
    ]


def test_every_token_of_the_index_matters() -> None:
    """Each formula with one token changed disagrees with the model in some fleet, or is equivalent for a reason."""
    field = Field()
    declared = columns(field.grids[0])
    assert not [column.name for name, column in declared if field.notices(name, column)]
    survivors, tried = [], 0
    for name, column in declared:
        for text, told in mutants(column.formula):
            said = f"{name}.{column.name}: {told}"
            if any(re.search(pattern, said) for pattern, _ in EQUIVALENT):
                continue
            tried += 1
            if not field.notices(name, replace(column, formula=text)):
                survivors.append(said)
    print(f"{tried} mutants, {len(survivors)} survive")
    assert tried > 100
    assert not survivors, "survive:\n" + "\n".join(survivors)
