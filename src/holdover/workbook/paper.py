"""How a sheet falls on paper: what goes on it, how many pages across, and where a page ends."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from holdover.case.schema import Case

MARGIN_SIDE: Final = 0.5
MARGIN_ENDS: Final = 0.6
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
LEGIBLE: Final = 8 / 9
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


LETTERS: Final = {
    **dict.fromkeys(" ijlItf.,:;'|!/·", 0.52),
    **dict.fromkeys('r()-[]"*°', 0.63),
    **dict.fromkeys("ABEKPSVXY&Z<>=+~×CDHNRUw", 1.33),
    **dict.fromkeys("mMWGOQ%@", 1.68),
}
"""Widths of letters of the usual type in units of a column's width, as wide as any program sets them; others take 1.04."""
USUAL_SIZE: Final = 9.0
"""Size of the usual type [pt]."""
BOLD: Final = 1.06
"""How much wider bold letters are [-]."""
UNASKED: Final = 8.43
"""Width of a column that a program makes by itself, in characters."""


def wide(text: str) -> float:
    """About how wide a line of the usual type is, in units of a column's width; rather too wide than too narrow."""
    return sum(LETTERS.get(letter, 1.04) for letter in text)


def lines(text: str, width: float, size: float = USUAL_SIZE) -> int:
    """Lines that a text of that size takes in a column of that width, broken between words as programs do."""
    room = max(1.0, width - 0.6) * USUAL_SIZE / size
    if 1.68 * len(text) <= room:
        return 1
    count = 0
    for paragraph in text.split("\n"):
        count, taken = count + 1, 0.0
        for word in paragraph.split(" "):
            needed = wide(word)
            if taken and taken + 0.52 + needed > room:
                count, taken = count + 1, 0.0
            taken += needed + (0.52 if taken else 0.0)
            count += int(needed // room)
    return count


def room_of(widths: Sequence[float], left: int, right: int) -> float:
    """Width of columns of a sheet, from 0, in characters; of those that nothing was asked of, what programs give them."""
    return sum(widths[col] if col < len(widths) else UNASKED for col in range(left, right + 1))
