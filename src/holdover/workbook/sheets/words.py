"""What the words of the sheets mean, in plain words: for whoever meets them for the first time."""

from typing import Final

from holdover.case.words import data
from holdover.workbook.column import Column, Table
from holdover.workbook.page import Sheet

MEANINGS: Final = tuple(data("terms.toml").items())
"""Each word and what it means, in the order in which they are met."""

WIDE: Final = 90
"""Narrow columns of the page."""


def headline(name: str, text: str, wide: int) -> Table:
    """A standing line in large type at the head of a page of so many narrow columns."""
    line = Column("text", "", role="hero", standing=(text,), cells=wide)
    return Table(name, "", "answer", (line,), heads=False, tall=26)


HEAD = headline("words_head", "What the words of these sheets mean.", WIDE)
WORDS = Table(
    "words",
    "",
    "",
    (Column("word", "Word", role="row name", cells=20), Column("means", "What it means", role="row words", cells=70)),
    constants=MEANINGS,
    units=False,
)

WORDS_SHEET = Sheet("Words", "It is not printed.", (HEAD, WORDS), narrow=WIDE)
