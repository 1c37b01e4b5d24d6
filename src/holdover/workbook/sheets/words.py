"""What the words of the sheets mean, in plain words: for whoever meets them for the first time."""

from typing import Final

from holdover.case.words import data
from holdover.workbook.column import Column, Table
from holdover.workbook.page import Sheet

MEANINGS: Final = tuple(data("terms.toml").items())
"""Each word and what it means, in the order in which they are met."""

WORDS = Table(
    "words",
    "",
    "",
    (Column("word", "Word", width=26), Column("means", "What it means", role="words", width=104)),
    constants=MEANINGS,
    units=False,
)

WORDS_SHEET = Sheet("Words", "What the words of these sheets mean. It is not printed.", (WORDS,))
