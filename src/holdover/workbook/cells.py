"""The cells of a sheet as XML (ECMA-376 part 1, 18.3.1), written straight, a text each.

Words that people typed go through `text` alone: its cell holds their number in the workbook's list of texts, in which
nothing is a formula. What `formula` and `shared` are given to write is declared, never typed.
"""

import math
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from typing import Final

from holdover.workbook.grid import letters, xl

UNHEARD: Final = "\x00-\x08\x0b-\x1f\ufffe\uffff"
"""Characters that no XML holds."""
ODD: Final = re.compile(f"[{UNHEARD}\ud800-\udfff]|_(?=x[0-9A-Fa-f]{{4}}[_{UNHEARD}])")
"""The same, half characters, and the underscore of what would be taken for one of them escaped."""


class CellError(ValueError):
    """A cell that no sheet can hold."""


def escaped(text: str) -> str:
    """Text between tags; what XML can't carry as spreadsheets escape it (ECMA-376 part 1, 22.9.2.19).

    Half characters, which no file can hold, become U+FFFD.

    >>> escaped("a < b, _x000D_, \\r")
    'a &lt; b, _x005F_x000D_, _x000D_'
    """
    if not text.isprintable() or "_x" in text:  # quicker than to search all of it
        text = ODD.sub(_spelled_out, text)
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _spelled_out(match: re.Match[str]) -> str:
    return "\ufffd" if "\ud800" <= match[0] <= "\udfff" else f"_x{ord(match[0]):04X}_"


def element(words: str) -> str:
    """A formula without its =, as it stands in its cell."""
    return f"<f>{escaped(words)}</f>"


def stored(result: float | str) -> tuple[str, str]:
    """The type of a formula's result as an attribute, and the result in 11 digits: programs agree to fewer.

    An empty text has no type: every program then computes it anew on loading.
    """
    if isinstance(result, str):
        return (' t="str"', escaped(result)) if result else ("", "")
    return "", f"{_finite(result):.11g}"


def _finite(value: float) -> float:
    """A number that a workbook can hold, with no minus before a zero."""
    if not math.isfinite(value):
        raise CellError(f"{value} is no number that a workbook can hold")
    return value + 0.0


class Cells:
    """The cells of a sheet. Rows and columns count from 0; a look is a number in the workbook's list of formats.

    A cell that is set again takes the place of what stood there.
    """

    def __init__(self, number_of: Callable[[str], int]) -> None:
        """`number_of` gives the number of a text in the workbook's list."""
        self.number_of = number_of
        self.lines: defaultdict[int, dict[int, str]] = defaultdict(dict)
        self.spans: list[tuple[int, int, int]] = []
        """Cells made of several: row, first and last column."""
        self.shares = 0
        """How many formulas are shared."""

    def blank(self, row: int, col: int, look: int) -> None:
        """Nothing but a look."""
        self.lines[row][col] = f'<c r="{letters(col)}{row + 1}" s="{look}"/>'

    def text(self, row: int, col: int, look: int, words: str) -> None:
        """A text, whatever it looks like."""
        self.lines[row][col] = f'<c r="{letters(col)}{row + 1}" s="{look}" t="s"><v>{self.number_of(words)}</v></c>'

    def number(self, row: int, col: int, look: int, value: float) -> None:
        """A number, to its last bit."""
        typed = repr(_finite(value)).removesuffix(".0")
        self.lines[row][col] = f'<c r="{letters(col)}{row + 1}" s="{look}"><v>{typed}</v></c>'

    def formula(self, row: int, col: int, look: int, words: str, result: float | str) -> None:
        """A formula without its =, and its stored result."""
        self.formulas(((row, col),), look, (element(words),), (result,))

    def formulas(
        self, places: Iterable[tuple[int, int]], look: int, tags: Iterable[str], results: Iterable[float | str]
    ) -> None:
        """Formulas of one look, as `element` and `share` give them, and their stored results."""
        for (row, col), tag, result in zip(places, tags, results, strict=False):
            kind, value = stored(result)
            self.lines[row][col] = f'<c r="{letters(col)}{row + 1}" s="{look}"{kind}>{tag}<v>{value}</v></c>'

    def share(self, tag: str, first: tuple[int, int], end: tuple[int, int]) -> tuple[str, str]:
        """A formula that cells from a first one to `end` share (18.3.1.40): as it stands in the first, and in the others."""
        number, self.shares = self.shares, self.shares + 1
        head = f'<f t="shared" si="{number}"'
        return tag.replace("<f>", f'{head} ref="{xl(*first)}:{xl(*end)}">', 1), f"{head}/>"

    def span(self, row: int, left: int, right: int, look: int, *, edged: bool) -> None:
        """One cell made of several beside each other, blank so far. Of a look without `edged` the first one tells all."""
        self.spans.append((row, left, right))
        for col in range(left, right + 1 if edged else left + 1):
            self.blank(row, col, look)

    def merged(self) -> list[list[int]]:
        """Areas of cells made of several: first row and column, last row and column."""
        spans = sorted(self.spans)
        for (row, _, right), (below, left, _) in pairwise(spans):
            if row == below and left <= right:
                raise CellError(f"{xl(row, left)} would be part of two merged cells")
        return [[row, left, row, right] for row, left, right in spans]

    def ends(self) -> tuple[tuple[int, int], tuple[int, int]]:
        """The first and the last row and column in which anything stands."""
        least, most = (end(map(end, self.lines.values())) for end in (min, max))
        return (min(self.lines), least), (max(self.lines), max([most, *(right for _, _, right in self.spans)]))

    def worked_out(self) -> dict[int, set[int]]:
        """By row, in which columns a formula stands."""
        return {row: {col for col, tag in line.items() if "<f" in tag} for row, line in self.lines.items()}

    def rows(self) -> Iterator[tuple[int, str]]:
        """What stands in each row, from the top down; it is gone from here then."""
        for row in sorted(self.lines):
            line = self.lines.pop(row)
            yield row, "".join([line[col] for col in sorted(line)])
