"""Shared formulas: one text that stands for many cells, moved to each of them."""

import re
from typing import Final

MAX_ROW: Final = 1_048_576
MAX_COLUMN: Final = 16_384

REFERENCES: Final = re.compile(
    r"""
    "[^"]*" | '[^']*' | \[[^\[\]]*\]      # texts, quoted sheets and brackets hold no references of ours
    | (?<![\w.$\\?])(?:
        (?P<column>\$?[A-Za-z]{1,3})(?P<row>\$?[0-9]{1,7})
      | (?P<column_1>\$?[A-Za-z]{1,3}):(?P<column_2>\$?[A-Za-z]{1,3})
      | (?P<row_1>\$?[0-9]{1,7}):(?P<row_2>\$?[0-9]{1,7})
    )(?![\w.(!\\?])
    """,
    re.VERBOSE,
)

Piece = str | tuple[str, int]
"""A text that stays, or an axis ("row" or "column") with the number that moves."""


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


class SharedFormula:
    """A formula cut once into what stays and what moves."""

    def __init__(self, text: str, row: int, column: int) -> None:
        self.row = row
        self.column = column
        self.pieces: list[Piece] = []
        done = 0
        for match in REFERENCES.finditer(text):
            moving = _moving(match)
            if moving:
                self.pieces += [text[done : match.start()], *moving]
                done = match.end()
        self.pieces.append(text[done:])

    def at(self, row: int, column: int) -> str:
        """The formula as it reads in another cell."""
        down, right = row - self.row, column - self.column
        return "".join(
            piece if isinstance(piece, str) else _moved(piece[0], piece[1], down if piece[0] == "row" else right)
            for piece in self.pieces
        )


def _moving(match: re.Match[str]) -> list[Piece]:
    """The parts of a reference; none if it only looks like one."""
    found = match.groupdict()
    if found["column"]:
        parts = [("column", found["column"]), ("row", found["row"])]
    elif found["column_1"]:
        parts = [("column", found["column_1"]), ("", ":"), ("column", found["column_2"])]
    elif found["row_1"]:
        parts = [("row", found["row_1"]), ("", ":"), ("row", found["row_2"])]
    else:
        return []
    pieces: list[Piece] = []
    for axis, text in parts:
        if not axis:
            pieces.append(text)
            continue
        number = int(text.lstrip("$")) if axis == "row" else column_number(text.lstrip("$"))
        if not 1 <= number <= (MAX_ROW if axis == "row" else MAX_COLUMN):
            return []  # beyond the grid: a name
        pieces.append(text if text.startswith("$") else (axis, number))
    return pieces


def _moved(axis: str, number: int, by: int) -> str:
    number += by
    if axis == "row":
        return str(number) if 1 <= number <= MAX_ROW else "#REF!"
    return column_letters(number) if 1 <= number <= MAX_COLUMN else "#REF!"
