"""A column headed `No.` numbers the rows, or says how many there are; which one is told by what stands in it."""

import re
from itertools import pairwise
from typing import Final

from holdover.case.words import either, folded, vocabulary
from holdover.reading.table.headers import HeadedTable, Header
from holdover.reading.table.source import RawCell
from holdover.reading.table.totals import names_total

_WORDS: Final = vocabulary("headers")["numbering"]
EITHER: Final = frozenset(_WORDS["either"])
"""Headers that may mean the number of the row or how many there are."""
RISING: Final = 5
"""Rows from which numbers that only rise are those of rows [count]; nobody owns ever more of each load."""
_WHOLE: Final = re.compile(rf"\s*([0-9]{{1,6}})(?:\.0*)?\s*({either(_WORDS['pieces'])})?\s*", re.IGNORECASE)


def may_count(part: str, table: HeadedTable, column: int, *, seen: bool) -> bool:
    """Whether a column that usually numbers the rows may say how many there are.

    Args:
        part: loads or candidates
        table: the table, its header found
        column: the column in doubt
        seen: whether another column numbers the rows already
    """
    title = table.titles[column].strip()
    if part != "loads" or (folded(title) or title) not in EITHER or _counts(table.headers):
        return False
    found = [_WHOLE.fullmatch(str(cell.value)) for cell in _cells(table, column)]
    whole = [match for match in found if match]
    if any(match[2] for match in whole):
        return True
    numbers = [int(match[1]) for match in whole]
    if len(whole) < len(found) or not numbers:
        return False  # names such as A-12 are no count
    rises = all(a < b for a, b in pairwise(numbers))
    runs = numbers == list(range(1, len(numbers) + 1)) or (rises and len(numbers) >= RISING)
    return not runs or (seen and len(numbers) > 1)


def _counts(headers: dict[int, Header | None]) -> bool:
    return any(header is not None and header.field == "quantity" for header in headers.values())


def _cells(table: HeadedTable, column: int) -> list[RawCell]:
    """The filled cells of a column below the header, without those of rows that add up others."""
    rows = [row for number, row in table.raw.rows.items() if number > table.head]
    return [
        row[column]
        for row in rows
        if column in row
        and str(row[column].value or "").strip()
        and not any(isinstance(cell.value, str) and names_total(cell.value) for cell in row.values())
    ]
