"""Formula text as programs re-spell it: compared token by token, never as text.

Programs drop spaces and quotes of sheet names, write numbers with other digits and functions under newer names or with
a prefix. None of that is an edit.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from typing import Final

from holdover.workbook.grid import xl
from holdover.xlsx import column_number

TOKEN: Final = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")
    |(?P<sheet>'(?:[^']|'')+'!|[^\W\d][\w.]*!)
    |(?P<error>\#(?:REF!|DIV/0!|VALUE!|NAME\?|NUM!|NULL!|N/A))
    |(?P<number>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)
    |(?P<cell>\$?[A-Za-z]{1,3}\$?[0-9]{1,7})(?![\w.(])
    |(?P<word>[^\W\d][\w.]*)
    |(?P<sign><>|<=|>=|[^\s])
    |\s+""",
    re.VERBOSE,
)
PREFIXES: Final = re.compile(r"^(?:_XLFN\.|_XLWS\.|_XLPM\.|_XLFNGNUMERIC\.)+")
ALIASES: Final = {
    "RANK.EQ": "RANK",
    "STDEV.S": "STDEV",
    "VAR.S": "VAR",
    "PERCENTILE.INC": "PERCENTILE",
    "FORECAST.LINEAR": "FORECAST",
}
"""Newer names of functions, and the ones they replace."""
CELL: Final = re.compile(r"\$?([A-Z]{1,3})\$?([0-9]{1,7})")


def tokens(formula: str, sheets: Mapping[str, str] | None = None) -> list[str]:
    """What a formula says, whoever wrote it down.

    Args:
        formula: its text, with or without the sign of equality
        sheets: by name in capitals, what a renamed sheet was called

    >>> tokens("=if( 'Q1'!$a$1 >=1.50, _xlfn.STDEV.S(B2),TRUE())")
    ['IF', '(', 'Q1!', '$A$1', '>=', '1.5', ',', 'STDEV', '(', 'B2', ')', ',', 'TRUE', ')']
    """
    found = [_plain(kind, text, sheets or {}) for kind, text in _scan(formula.removeprefix("="))]
    for place in range(len(found) - 3, -1, -1):
        if found[place] in {"TRUE", "FALSE"} and found[place + 1 : place + 3] == ["(", ")"]:
            del found[place + 1 : place + 3]
    return found


def same(one: str, other: str, sheets: Mapping[str, str] | None = None) -> bool:
    """Whether two formulas say the same; `sheets` are names that `other` has for the sheets of `one`."""
    return one == other or tokens(one) == tokens(other, sheets)


def references(formula: str, home: str) -> list[tuple[str, int, int]]:
    """The single cells a formula names, in order: sheet in capitals, row and column from 0."""
    found: list[tuple[str, int, int]] = []
    sheet = last = home.upper()
    for kind, text in _scan(formula):
        match = CELL.fullmatch(text.upper()) if kind == "cell" else None
        if match:
            found.append((sheet, int(match[2]) - 1, column_of(match[1])))
        elif text == "#REF!":  # a cell that was deleted
            found.append((sheet, -1, -1))
        last, sheet = sheet, _next_sheet(kind, text, last, home.upper())
    return found


def moved(formula: str, move: Callable[[str, int, int], tuple[int, int]]) -> str:
    """The formula after what it names has moved.

    Args:
        formula: its text
        move: from sheet ("" for its own), row and column from 0 to row and column

    >>> moved("=A1+'S t'!$B$2+LOG10(3)", lambda sheet, row, col: (row + 1, col) if sheet else (row, col))
    "=A1+'S t'!$B$3+LOG10(3)"
    >>> moved("=SUM(S!B2:C2)+D1", lambda sheet, row, col: (row + 1, col) if sheet else (row, col))
    '=SUM(S!B3:C3)+D1'
    """
    pieces, sheet, last = [], "", ""
    for match in TOKEN.finditer(formula):
        text = match.group()
        if match.lastgroup == "cell":
            where = CELL.fullmatch(text.upper())
            row, col = move(sheet, int(where[2]) - 1, column_of(where[1])) if where else (0, 0)
            text = "#REF!" if min(row, col) < 0 else xl(row, col, fixed=text.startswith("$"))
        pieces.append(text)
        last, sheet = sheet, _next_sheet(match.lastgroup or "", text, last, "")
    return "".join(pieces)


def _next_sheet(kind: str, text: str, last: str, home: str) -> str:
    """The sheet of what follows a piece of a formula; the second end of a range stands on the sheet of its first."""
    if kind == "sheet":
        return _plain(kind, text, {})[:-1]
    return last if text == ":" else home


@lru_cache(maxsize=1024)
def column_of(letters: str) -> int:
    """Column number from 0 of column letters."""
    return column_number(letters) - 1


def _scan(formula: str) -> Iterator[tuple[str, str]]:
    for match in TOKEN.finditer(formula):
        if match.lastgroup:
            yield match.lastgroup, match.group()


def _plain(kind: str, text: str, sheets: Mapping[str, str]) -> str:
    if kind == "text":
        return text
    if kind == "number":
        return f"{float(text):.15g}"
    if kind == "sheet":
        name = text[:-1]
        name = name[1:-1].replace("''", "'") if name.startswith("'") else name
        return sheets.get(name.upper(), name).upper() + "!"
    plain = text.upper()
    if kind == "word":
        plain = PREFIXES.sub("", plain)
        return ALIASES.get(plain, plain)
    return plain
