"""How a sheet falls on paper: what goes on it, how many pages across, and where a page ends."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from holdover.case.schema import Case

MARGIN_SIDE: Final = 0.5
MARGIN_ENDS: Final = 0.7
"""Margins [inch]."""


class Paper(NamedTuple):
    """A size of paper: its number in the file format, and what the margins leave of it on its side [pt]."""

    number: int
    wide: float
    high: float


def _on_its_side(number: int, short: float, long: float) -> Paper:
    return Paper(number, long - 2 * 72 * MARGIN_SIDE, short - 2 * 72 * MARGIN_ENDS)


LETTER: Final = _on_its_side(1, 612, 792)
A4: Final = _on_its_side(9, 595, 842)
LETTER_FEEDS: Final = ("120 V", "208 V")
"""Feeds of houses that print on Letter: North America; common practice. At 100 V, in Japan, paper is A4."""
LEGIBLE: Final = 0.88
"""Scale below which the usual type of 9 points is less than 8."""


def points(width: float) -> float:
    """A column's width [pt] from its width in characters, as spreadsheet programs reckon it."""
    return (7 * width + 5) * 0.75


def paper_of(case: "Case") -> Paper:
    """What a case is printed on: the paper that it states, or that of such a house."""
    usual = "Letter" if case.sizing.feed in LETTER_FEEDS else "A4"
    return LETTER if (case.about.paper or usual) == "Letter" else A4


def pages_across(widths: Sequence[float], paper: Paper) -> int:
    """Pages beside each other that keep a sheet legible."""
    return max(1, -(-int(sum(map(points, widths)) * LEGIBLE) // int(paper.wide)))


def is_one_high(tall: float, paper: Paper) -> bool:
    """Whether so many points fit on one page, made smaller by no more than stays legible."""
    return tall * LEGIBLE <= paper.high


def page_breaks(
    blocks: Sequence[tuple[int, int, bool]],
    height: Callable[[int], float],
    widths: Sequence[float],
    across: int,
    paper: Paper,
) -> list[int]:
    """Rows before which a page ends, so that no block is cut that a page could hold.

    Args:
        blocks: First row of each block, the first row after it, and whether it may be cut anyway: its headings repeat.
        height: A row's height [pt].
        widths: Of the columns on paper.
        across: Pages beside each other.
        paper: What it is printed on.
    """
    page = paper.high / min(1.0, paper.wide * across / sum(map(points, widths)))
    breaks, begun = [], 0
    for first, after, may_be_cut in blocks:
        reach = sum(map(height, range(begun, after)))
        if reach <= page:
            continue
        tall = sum(map(height, range(first, after)))
        if first > begun and ((tall <= page and not may_be_cut) or reach - tall > 0.75 * page):
            breaks.append(first)
            begun = first
        while sum(map(height, range(begun, after))) > page:  # longer than a page: it flows over
            room, row = page, begun
            while room >= height(row):
                room -= height(row)
                row += 1
            begun = row
    return breaks


def lines(text: str, width: float) -> int:
    """Lines that a text takes in a column; a character of the workbook's small type is narrower than the unit of width."""
    return max(1, -(-len(text) // max(1, int(width * 1.1))))
