"""Rows at the foot of a table that add up the rest; they are no loads."""

import re
from typing import Final

from holdover.case.entries import Reading
from holdover.case.figures import figure
from holdover.case.grids import Grid
from holdover.case.headers import Header
from holdover.case.numbers import MARKS, Fault, plain, scan
from holdover.case.words import folded
from holdover.findings import show

WORDS: Final = re.compile(r"(?:grand |sub )?totals?|(?:sub|grand)totals?|sum|sums|summe|total [a-z ]{1,20}")
CLOSE: Final = 0.01
"""A printed total may differ from the sum by so much [share]: the rows above it are rounded."""


def is_total(
    grid: Grid, number: int, used: list[int], columns: dict[int, Header], name_column: int, reading: Reading
) -> bool:
    """Whether a row is a total; said in a finding, also where its sums are not those of the rows above."""
    row = grid.rows[number]
    words = [
        cell.value
        for column, cell in sorted(row.items())
        if isinstance(cell.value, str) and (column == name_column or name_column not in row)
    ]
    word = next((word for word in words if WORDS.fullmatch(folded(word))), None)
    if word is None or not used:
        return False
    numbers = {c: value for c in row if c != name_column and (value := _number(grid, number, c)) is not None}
    place = grid.place(number, item=str(word))
    if not numbers or any(_adds_up(grid, c, value, used, columns) for c, value in numbers.items()):
        reading.say("C008", "note", f"the row {show(word)} adds up others; it was left out", place)
        return True
    reading.say(
        "C009",
        "error",
        "this row is named as a total, but its numbers are not the sum of the rows above",
        place,
        found=show(", ".join(figure(value) for value in numbers.values())),
        remedy="delete the row, or give the load another name",
    )
    return True


def _adds_up(grid: Grid, column: int, value: float, used: list[int], columns: dict[int, Header]) -> bool:
    """Whether a number is the sum of its column, plain or times the quantity, from any row down to the last."""
    quantity = next((c for c, h in columns.items() if h.field == "quantity"), 0)
    plain_sum = times = 0.0
    for number in reversed(used):
        each = _number(grid, number, column) or 0.0
        count = _number(grid, number, quantity)
        plain_sum += each
        times += each * (1.0 if count is None else count)
        if value > 0 and min(abs(plain_sum - value), abs(times - value)) <= CLOSE * value:
            return True
    return value == 0 and plain_sum == 0


def _number(grid: Grid, row: int, column: int) -> float | None:
    """The number a cell begins with; only its size counts here."""
    cell = grid.rows[row].get(column)
    if cell is None or isinstance(cell.value, bool):
        return None
    if isinstance(cell.value, int | float):
        return float(cell.value)
    text = plain(str(cell.value or "")).strip()
    for mark in MARKS:
        try:
            return scan(text, 0, mark)[0]
        except Fault:
            continue
    return None
