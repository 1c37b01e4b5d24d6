"""Shared formulas: one text that stands for many cells, moved to each of them."""

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final, NamedTuple

MAX_ROW: Final = 1_048_576
MAX_COLUMN: Final = 16_384

REFERENCES: Final = re.compile(
    r"""
    "[^"]*" | '[^']*' | \[[^\[\]]*\]      # texts, quoted sheets and brackets hold no references of ours
    | (?<![\w.$\\?])(?P<reference>
        (?P<column>\$?[A-Za-z]{1,3})(?P<row>\$?[0-9]{1,7})
      | (?P<column_1>\$?[A-Za-z]{1,3}):(?P<column_2>\$?[A-Za-z]{1,3})
      | (?P<row_1>\$?[0-9]{1,7}):(?P<row_2>\$?[0-9]{1,7})
    )(?![\w.(!\\?])
    """,
    re.VERBOSE,
)

NO_REFERENCE: Final = ""
"""Beyond the grid: a name that looks like a reference."""
OFF_GRID: Final = "#REF!"


def column_number(letters: str) -> int:
    """Number of a column from its letters: A is 1, XFD is 16384."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number


def column_letters(number: int) -> str:
    """Letters of a column from its number: 1 is A, 28 is AB."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@dataclass(frozen=True)
class SharedFormula:
    """A formula and the cell it was written for."""

    text: str
    row: int
    column: int

    @cached_property
    def pieces(self) -> list[str]:
        """The text taken apart once: every second piece is a reference."""
        pieces, end = [], 0
        for match in REFERENCES.finditer(self.text):
            if match["reference"]:
                pieces += [self.text[end : match.start()], match[0]]
                end = match.end()
        return [*pieces, self.text[end:]]

    @cached_property
    def moving(self) -> set[str]:
        """The references that read otherwise in another cell: all but those like $A$1."""
        found = {reference for reference, *_ in REFERENCES.findall(self.text)} - {""}
        return {reference for reference in found if reference.count("$") < 2 or ":" in reference}

    @property
    def most_moving(self) -> int:
        """As many as these can be, told by its length alone: each is of two characters and a third parts it from the next."""
        return (len(self.text) + 1) // 3

    def at(self, row: int, column: int) -> str:
        """The formula as it reads in another cell."""
        down, right = row - self.row, column - self.column
        moved = {reference: _moved(reference, down, right) for reference in self.moving}
        there = self.pieces.copy()
        there[1::2] = [moved.get(reference, reference) for reference in there[1::2]]
        return "".join(there)


class Moved(NamedTuple):
    """A shared formula in another cell than the one it was written in; its text is made when it is asked for."""

    shared: SharedFormula
    row: int
    column: int

    def __str__(self) -> str:
        return "=" + self.shared.at(self.row, self.column)


def _moved(reference: str, down: int, right: int) -> str:
    """A reference moved; what only looks like one stays."""
    match = REFERENCES.fullmatch(reference)
    _, column, row, column_1, column_2, row_1, row_2 = match.groups() if match else ("",) * 7
    if column:
        first, between, last = _column(column, right), "", _row(row, down)
    elif column_1:
        first, between, last = _column(column_1, right), ":", _column(column_2, right)
    elif row_1:
        first, between, last = _row(row_1, down), ":", _row(row_2, down)
    else:
        return reference
    if NO_REFERENCE in (first, last):
        return reference
    return OFF_GRID if OFF_GRID in (first, last) else first + between + last


@lru_cache(8192)
def _row(text: str, down: int) -> str:
    number = int(text.lstrip("$"))
    if not 1 <= number <= MAX_ROW:
        return NO_REFERENCE
    if text.startswith("$"):
        return text
    return str(number + down) if 1 <= number + down <= MAX_ROW else OFF_GRID


@lru_cache(8192)
def _column(text: str, right: int) -> str:
    number = column_number(text.lstrip("$"))
    if number > MAX_COLUMN:
        return NO_REFERENCE
    if text.startswith("$") or not right:
        return text
    return column_letters(number + right) if 1 <= number + right <= MAX_COLUMN else OFF_GRID
