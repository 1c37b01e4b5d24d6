"""The cells of a sheet that is written plainly, found by one regular expression in place of a call for each tag.

Plain are rows, cells, formulas and values as programs write them, that fill `sheetData` without a gap: no comment, no
text between tags, no other tag, each attribute one that such a tag may have. What a cell means is asked of `SheetPart`,
but for numbers and formulas, which are most. All else, whatever would be refused among it, is left to it altogether: it
hears the sheet tag by tag then, as if nothing had been tried, so that a file is read or refused in the same words both ways.

Nothing here judges whether a tag is well-formed: expat is given each way in which one is written, once, where the rows
begin. What stands between tags is plain if it has the characters and the entities that XML has.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import lru_cache
from math import isfinite
from typing import Final
from xml.parsers import expat

from holdover.xlsx.archive import BadFile
from holdover.xlsx.cells import MAX_COLUMNS, MAX_ROWS, CellData, Kind, SheetPart, Value, unescaped
from holdover.xlsx.shared import Moved, SharedFormula, column_letters
from holdover.xlsx.stream import MAIN, Closes, Opens, is_on

DATA: Final = "sheetData"
OPENS: Final = b"<sheetData>"
ENDS: Final = b"</sheetData>"
ROW_ENDS: Final = "</row>"
SLICE: Final = 1 << 20
"""How much of a sheet is decoded at a time, as whole rows [bytes]."""
NO_CHARACTERS: Final = bytes(set(range(32)) - {9, 10})
"""What no text of XML has; a return is no part of a plain one."""
NO_TEXTS: Final = ("]]>", "\ufffe", "\uffff")
"""The same of more than one byte."""
SHUT: Final = -1
"""Where the cells of a row begin that holds none."""

GAP: Final = r"[ \t\n]{0,100}+"
ROW: Final = re.compile(rf'{GAP}<row r="([0-9]{{1,7}})"([^<>/]{{0,400}})(/?)>{GAP}')
CELL: Final = re.compile(
    rf'<c r="([A-Z]{{1,3}}+)([0-9]{{1,7}}+)"([^<>/]{{0,80}}+)(?:/>|>{GAP}'
    rf"(?:<f([^<>/]{{0,200}}+)(?:/>|>([^<]{{0,50000}}+)</f>){GAP})?"
    rf"(?:<v>(?:([0-9.eE+-]{{1,100}}+)|([^<]{{1,50000}}+))</v>{GAP}|(<v></v>|<v ?/>){GAP}"
    rf'|<is>{GAP}<t(?: xml:space="preserve")?>([^<]{{0,50000}}+)</t>{GAP}</is>{GAP})?</c>){GAP}'
    r"|([\s\S]+)"
)
"""Of a cell: letters and number of its place, attributes, those of its formula, the formula, digits or other characters of
its value, a value that is empty, or a text. The last group takes all the rest, from what is no such cell on."""
TERMS: Final = re.compile(r'(?: (?:[a-zA-Z0-9]+|x14ac:dyDescent)="[\w.:$ -]*")* ?', re.ASCII)
TERM: Final = re.compile(r'([a-zA-Z0-9:]+)="([^"]*)"')
LAYOUT: Final = frozenset(["spans", "s", "ht", "outlineLevel", "thickTop", "thickBot", "ph", "x14ac:dyDescent"])
OF_ROW: Final = LAYOUT | {"hidden", "collapsed", "customFormat", "customHeight"}
OF_CELL: Final = frozenset(["s", "t", "cm", "vm", "ph"])
OF_FORMULA: Final = frozenset(["t", "ref", "si", "ca", "aca"])

Look = tuple[str, Kind, bool]
"""What the attributes of a cell say: its type, what a number in it is, whether that is a percentage."""


class NotPlainError(ValueError):
    """It is to be heard tag by tag."""


class QuickSheetPart(SheetPart):
    """A sheet of which plain cells are taken at once."""

    in_data = False
    """Whether the tag around the rows is open."""

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {**super().opens(), MAIN + DATA: self._open_data}

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {**super().closes(), MAIN + DATA: self._close_data}

    def _open_data(self, _: dict[str, str]) -> None:
        self.in_data = True

    def _close_data(self) -> None:
        self.in_data = False

    def inside(self, data: bytes) -> tuple[int, int]:
        """From where to where its rows go, if they may be plain."""
        start = data.find(OPENS) + len(OPENS)
        end = data.find(ENDS, start)
        return (start, end) if len(OPENS) <= start < end and data.count(DATA.encode(), 0, start) == 1 else (0, 0)

    def takes(self, data: bytes, start: int, end: int) -> bool:
        """Take the plain rows there, of which nothing was heard; False if it can't, and nothing has happened then.

        The name of the tag around them stands nowhere before: if it is open, it is the one that begins them. XML reads
        a return as a new line.
        """
        if not self.in_data or self.depth != 2 or self.row or b"\r" in data:
            return False
        left = self.budget.left
        plain = Plain(self)
        try:
            for text in _slices(data, start, end):
                plain.take(text)
            plain.pay()
            if is_well_formed(data[:start] + plain.tags().encode()):
                return True
        except (BadFile, KeyError, ValueError):
            pass
        self.budget.left = left
        self._forget()
        return False

    def _forget(self) -> None:
        """Nothing was heard of its cells."""
        self.row, self.digits, self.at = 0, "", ""
        for kept in (self.rows, self.shared, self.hidden_rows):
            kept.clear()


def _slices(data: bytes, start: int, end: int) -> Iterator[str]:
    """The rows as text, so many at a time."""
    ends = ROW_ENDS.encode()
    while start < end:
        cut = end if end - start <= SLICE else data.rfind(ends, start, start + SLICE) + len(ends)
        if cut <= start:
            raise NotPlainError  # a row longer than that
        part = data[start:cut]
        text = part.decode()
        if len(part.translate(None, NO_CHARACTERS)) < len(part) or any(each in text for each in NO_TEXTS):
            raise NotPlainError
        yield text
        start = cut


def is_well_formed(begun: bytes) -> bool:
    """Whether expat takes what may be the beginning of a part, to the last byte."""
    parser = expat.ParserCreate("utf-8", " ")
    try:
        parser.Parse(begun)
    except expat.ExpatError:
        return False
    return parser.CurrentByteIndex == len(begun)


class Plain:
    """Plain rows of a sheet; what they hold goes to its part."""

    def __init__(self, part: SheetPart) -> None:
        self.part = part
        self.lines: dict[str, bool] = {}
        """Whether rows are hidden, by what they say of themselves."""
        self.looks: dict[str, Look] = {}
        """The same of cells."""
        self.numbers: dict[str, str] = {}
        """By attributes of a formula, the number under which cells share it, "" where they do not."""
        self.sharers: dict[str, SharedFormula] = {}
        """By attributes of a formula, the one that is repeated there."""
        self.repeated: dict[str, int] = defaultdict(int)
        """By the same, how many cells repeat it [count]."""
        self.cells = self.texts = 0

    def pay(self) -> None:
        """Pay for everything: cells, characters, formulas that are written once for many cells."""
        budget = self.part.budget
        budget.spend_cell(self.cells)
        budget.spend_text(self.texts)
        repeated = [(self.sharers[about], count) for about, count in self.repeated.items()]
        budget.spend_moved_at_most(
            sum(count * len(shared.text) for shared, count in repeated),
            sum(count * shared.most_moving for shared, count in repeated),
            lambda: sum(count * len(shared.moving) for shared, count in repeated),
        )

    def tags(self) -> str:
        """Every tag with attributes as it was written, once."""
        ways: dict[str, Iterable[str]] = {"row": self.lines, "c": self.looks, "f": self.numbers}
        return "".join(f"<{tag}{about}/>" for tag, written in ways.items() for about in written)

    def take(self, text: str) -> None:
        """Take rows, whole ones."""
        *rows, rest = text.split(ROW_ENDS)
        for row in rows:
            start = self._open(row)
            if start == SHUT:
                raise NotPlainError
            self._take_cells(row, start)
        if self.part.row > MAX_ROWS and max(self.part.rows, default=0) > MAX_ROWS:
            raise NotPlainError
        if rest.strip() and self._open(rest) != SHUT:
            raise NotPlainError

    def _open(self, text: str) -> int:
        """Open a row, and those before it that hold nothing; where its cells begin, SHUT if it holds nothing either."""
        at, shut = 0, "/"
        while shut and (match := ROW.match(text, at)):
            number, about, shut = match.groups()
            is_hidden = self.lines.get(about)
            if is_hidden is None:
                is_hidden = self.lines[about] = is_on(_terms(about, OF_ROW).get("hidden"))
            before = self.part.row
            self.part.begin_row(int(number), is_hidden=is_hidden)
            if self.part.row <= before:
                raise NotPlainError
            at = match.end()
        if shut and at < len(text):
            raise NotPlainError
        return SHUT if shut else at

    def _take_cells(self, text: str, start: int) -> None:
        """The cells of a row; most of them hold numbers, and most numbers are worked out."""
        part, looks, columns, made = self.part, self.looks, columns_by_letters(), tuple.__new__
        row, at, sharers = part.row, part.digits, self.sharers
        cells: dict[int, CellData] = {}
        letters, kept = "", 0
        value: Value
        worked_out: str | Moved
        found = CELL.findall(text, start)
        self.cells += len(found)
        for letters, number, terms, about, formula, digits, words, empty, inline, _ in found:
            if number != at:  # nor is there any in what is no cell
                raise NotPlainError
            type_, kind, is_percent = looks.get(terms) or self._look(terms)
            column = columns[letters]
            if about in sharers and not formula:
                self.repeated[about] += 1
                worked_out = made(Moved, (sharers[about], row, column))
            else:
                worked_out = self._formula(about, formula, column) if about or formula else ""
            if digits and type_ == "n":
                kept += len(digits)
                value = float(digits)
                if not isfinite(value):
                    raise NotPlainError
                if kind == "date":
                    value += part.shelf.shift
            elif digits or words or inline or (empty and type_ == "str"):
                value, kind, is_percent = self._value(type_, digits or words, inline)
            elif worked_out:
                value, kind, is_percent = None, "blank", False
            else:
                continue
            if column in cells:
                raise NotPlainError
            cells[column] = made(CellData, (value, worked_out, kind, is_percent))
        self.texts += kept
        part.at = letters + at if found else ""
        if cells:
            part.rows[row] = cells

    def _look(self, text: str) -> Look:
        """What the attributes of a cell say."""
        said, shelf = _terms(text, OF_CELL), self.part.shelf
        number = said.get("s")
        is_date = number in shelf.dates
        look: Look = said.get("t", "n"), "date" if is_date else "number", number in shelf.percents and not is_date
        self.looks[text] = look
        return look

    def _formula(self, about: str, formula: str, column: int) -> str | Moved:
        """The formula of a cell in the row at hand."""
        words = _plainly(formula)
        self.texts += len(words)
        if not about:
            return "=" + words
        part, number = self.part, self.numbers.get(about)
        if number is None:
            number = self.numbers[about] = _shared_number(about)
        if not words:
            if not number:
                return ""
            self.sharers[about] = part.shared[number]
            self.repeated[about] += 1
            return Moved(part.shared[number], part.row, column)
        if number:
            if number in part.shared:
                raise NotPlainError
            part.shared[number] = SharedFormula(words, part.row, column)
        return "=" + words

    def _value(self, type_: str, stored: str, inline: str) -> tuple[Value, Kind, bool]:
        """The value of a cell that holds something other than a number."""
        words, run = _plainly(stored), _plainly(inline)
        self.texts += len(words) + len(run)
        if type_ == "str":
            return unescaped(words), "text", False
        part = self.part
        if type_ == "s":
            return part.string_of(words), "text", False
        part.type, part.format, part.runs = type_, None, [run]
        value, kind = part.value_of(words or None)
        if kind in ("number", "blank"):
            raise NotPlainError  # it is written in odd characters, or is no value of that type
        return value, kind, False


def _shared_number(about: str) -> str:
    """The number under which a formula with these attributes is shared, "" where it is not."""
    said = _terms(about, OF_FORMULA)
    if said.get("t") == "dataTable":
        raise NotPlainError
    return said.get("si", "") if said.get("t") == "shared" else ""


def _terms(text: str, known: frozenset[str]) -> dict[str, str]:
    """The attributes of a tag, each of them known."""
    said = dict(TERM.findall(text))
    if not TERMS.fullmatch(text) or not said.keys() <= known:
        raise NotPlainError
    return said


def _plainly(text: str) -> str:
    """Text with the characters that are written as entities; any other one is left to expat."""
    if "&" not in text:
        return text
    text = text.replace("&lt;", "<").replace("&gt;", ">")
    if "&" in text:
        text = text.replace("&quot;", '"').replace("&apos;", "'")
        if text.count("&") != text.count("&amp;"):
            raise NotPlainError
        text = text.replace("&amp;", "&")
    return text


@lru_cache(maxsize=1)
def columns_by_letters() -> dict[str, int]:
    """Numbers of the columns that may hold something, by their letters."""
    return {column_letters(number): number for number in range(1, MAX_COLUMNS + 1)}
