"""What the rows of a case depend on: decimal marks, the house voltage, the currency."""

from collections.abc import Sequence
from dataclasses import replace

from holdover.case.schema import AC_VOLTS
from holdover.findings import Findings
from holdover.reading.decimal_mark import decide_marks
from holdover.reading.entries import Context, Row
from holdover.reading.quantity.numbers import Mark
from holdover.reading.row import read_row


def context_of(
    rows: Sequence[Row], findings: Findings, usual: Mark | None = None, signs: frozenset[str] = frozenset()
) -> Context:
    """What all the rows say together. Sections are read here for their feed and currency alone, without findings.

    `usual` is the decimal mark of a file whose figures do not tell, where it is known; `signs` are those of the
    currency, where the country is known.
    """
    decided = decide_marks(rows, findings)
    files = {row.place.file for row in rows} if usual else set()
    marks = dict.fromkeys(files, usual) | {file: mark or usual for file, mark in decided.items()}
    marked = Context(marks=marks, signs=signs)
    found = marked
    for row in rows:
        if row.part == "sizing" and "feed" in row.entries:
            feed = read_row(row, marked)[0].get("feed")
            if feed in AC_VOLTS:
                found = replace(found, house=feed, house_is_set=True)
        if row.part == "about" and "currency" in row.entries:
            found = replace(found, currency=str(read_row(row, marked)[0].get("currency", found.currency)))
    return found
