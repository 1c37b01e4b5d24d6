"""Reads a workbook both ways: its plain sheets at once where that can be, and every sheet tag by tag."""

from collections.abc import Iterator
from contextlib import contextmanager

from holdover.xlsx import BadFile, Book, quick, read_xlsx

Read = Book | tuple[str, str]
"""What was read, or the words of the refusal and of its remedy."""


def read(data: bytes) -> Read:
    """Read a workbook."""
    try:
        return read_xlsx(data, "survey.xlsx")
    except BadFile as bad:
        return bad.message, bad.remedy


@contextmanager
def counted() -> Iterator[list[bool]]:
    """Whether each sheet was taken at once."""
    takes = quick.QuickSheetPart.takes
    taken: list[bool] = []

    def told(self: quick.QuickSheetPart, data: bytes, start: int, end: int) -> bool:
        taken.append(takes(self, data, start, end))
        return taken[-1]

    quick.QuickSheetPart.takes = told  # type: ignore[method-assign]
    try:
        yield taken
    finally:
        quick.QuickSheetPart.takes = takes  # type: ignore[method-assign]


def both_ways(data: bytes) -> tuple[Read, Read, list[bool]]:
    """What is read the quick way and tag by tag, and whether each sheet was taken at once the first time."""
    with counted() as taken:
        quickly = read(data)
    takes = quick.QuickSheetPart.takes
    quick.QuickSheetPart.takes = lambda *_: False  # type: ignore[method-assign]
    try:
        return quickly, read(data), taken
    finally:
        quick.QuickSheetPart.takes = takes  # type: ignore[method-assign]


def is_same_at_once(data: bytes) -> bool:
    """Whether every sheet of a workbook is taken at once, and reads the same tag by tag."""
    quickly, by_tags, taken = both_ways(data)
    return isinstance(quickly, Book) and quickly == by_tags and bool(taken) and all(taken)
