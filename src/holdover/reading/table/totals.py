"""Rows at the foot of a table that add up the rest; they are no loads."""

import re
from dataclasses import dataclass, field
from itertools import product
from typing import Final

from holdover.case.figures import figure
from holdover.case.words import either, folded, vocabulary
from holdover.findings import SHOWN, Findings
from holdover.reading.fields import ASKED
from holdover.reading.quantity.numbers import MARKS, Fault, Mark, plain, scan
from holdover.reading.quantity.quantity import Quantity, amounts
from holdover.reading.table.headers import Header
from holdover.reading.table.source import RawTable

_WORDS: Final = vocabulary("headers")["totals"]
_NAME: Final = re.compile(rf"{either(_WORDS['whole'])}|{either(_WORDS['first'])} (?:[^\W\d_]| ){{1,20}}")
BACK: Final = 600
"""Rows above a total that are added up [count]; a case has fewer."""
CLOSE: Final = 0.01
"""A printed total may differ from the sum by so much [share]: the rows above it are rounded."""


def names_total(text: str) -> bool:
    """Whether a text is the name of a row that adds up others, be it in two languages: `Summe / Total`."""
    return any(_NAME.fullmatch(folded(each)) for each in (text, *re.split(r"\s/\s|\|", text[:SHOWN])))


@dataclass(slots=True, kw_only=True)
class Figures:
    """The numbers of a table, each read once."""

    part: str
    raw: RawTable
    columns: dict[int, Header]
    read: dict[tuple[int, int, Mark], tuple[float | None, float]] = field(default_factory=dict)

    def at(self, row: int, column: int, mark: Mark = MARKS[0]) -> tuple[float | None, float]:
        """The figure a cell begins with, None where it has none, and its amount in the unit of the field."""
        key = row, column, mark
        if key not in self.read:
            bare = _number(self.raw, row, column, mark)
            self.read[key] = bare, self._amount(row, column, bare or 0.0, mark)
        return self.read[key]

    def _amount(self, row: int, column: int, bare: float, mark: Mark) -> float:
        header, cell = self.columns.get(column), self.raw.rows[row].get(column)
        if header is None or cell is None or ASKED[self.part][header.field].text:
            return bare
        asked = ASKED[self.part][header.field]
        found = amounts(str(cell.value), asked.unit, header.unit, asked.watts_of_load)
        readings = (found[mark], *found.values())
        return next((each.value * (each.count or 1) for each in readings if isinstance(each, Quantity)), bare)


def is_total(figures: Figures, number: int, used: list[int], name_column: int, findings: Findings) -> bool:
    """Whether a row is a total; said in a finding, also where its sums are not those of the rows above."""
    raw = figures.raw
    row = raw.rows[number]
    words = [
        cell.value
        for column, cell in sorted(row.items())
        if isinstance(cell.value, str) and (column == name_column or name_column not in row)
    ]
    word = next((word for word in words if names_total(word)), None)
    if word is None or not used:
        return False
    filled = [column for column in row if column != name_column and figures.at(number, column)[0] is not None]
    place = raw.place(number, item=str(word))
    if not filled or any(_adds_up(figures, column, number, used) for column in filled):
        findings.report("C008", place, word=word)
        return True
    findings.report("C009", place, found=", ".join(figure(figures.at(number, column)[0] or 0.0) for column in filled))
    return True


def _adds_up(figures: Figures, column: int, total: int, used: list[int]) -> bool:
    """Whether a number is the sum of its column, plain or times the quantity, from any row down to the last.

    It is tried with bare figures, and with the units of the cells: a total may be written without its unit. Under either
    decimal mark: which one the file has is told later, by all of its cells.
    """
    quantity = next((c for c, h in figures.columns.items() if h.field == "quantity"), 0)
    for way, mark in product((0, 1), MARKS):
        value = figures.at(total, column, mark)[way] or 0.0
        plain_sum = times = 0.0
        for number in reversed(used[-BACK:]):
            each = figures.at(number, column, mark)[way] or 0.0
            count = figures.at(number, quantity, mark)[0] if quantity else None
            plain_sum += each
            times += each * (1.0 if count is None else count)
            if value > 0 and min(abs(plain_sum - value), abs(times - value)) <= CLOSE * value:
                return True
        if value == 0 and plain_sum == 0:
            return True
    return False


def _number(raw: RawTable, row: int, column: int, first: Mark) -> float | None:
    """The number a cell begins with, by the first mark that can be; only its size counts here."""
    cell = raw.rows[row].get(column)
    if cell is None or isinstance(cell.value, bool):
        return None
    if isinstance(cell.value, int | float):
        return float(cell.value)
    text = plain(str(cell.value or "")).strip()
    for mark in (first, *MARKS):
        try:
            return scan(text, 0, mark)[0]
        except Fault:
            continue
    return None
