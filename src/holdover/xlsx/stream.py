"""One XML part of a workbook from elsewhere, streamed through expat within bounds.

No document type, no entities, no other encoding than UTF-8, no deep nesting, no endless tag or text.
"""

from collections.abc import Callable, Mapping
from typing import Final, NoReturn
from xml.parsers import expat

from holdover.xlsx.archive import AGAIN, CHUNK, SAVE_AS, SMALLER, Archive, BadFile

MAX_TAGS: Final = 2_000_000
"""Most opening and closing tags in a workbook."""
MAX_NAMES: Final = 5_000
"""Most different names of tags and attributes in a part."""
MAX_TAG: Final = 3 * CHUNK
"""Longest tag or comment, about [bytes]."""
MAX_DEPTH: Final = 64
MAX_ATTRIBUTES: Final = 64
MAX_TEXT: Final = 200_000
"""Longest text of a cell [characters]."""
MAX_TEXTS: Final = 16_000_000
"""All text of a workbook together [characters]."""
MAX_MOVED: Final = 80_000_000
"""All text of formulas that were written once for many cells [characters]; it is made only where it is asked for."""
MAX_MOVES: Final = 1_500_000
"""All references that read otherwise in another cell than where they were written."""
MAX_CELLS: Final = 400_000
"""Most cells in a workbook, empty ones with a format among them."""
MAX_AREAS: Final = 200_000
"""All areas for which a sheet has rules of its own."""
LARGE: Final = (2_000_000, 8_000_000)
"""From the first size of a file on [bytes] it may spend more of all this, from the second on so many times as much:"""
LARGER: Final = 3
"""14 days of 220 candidates and 2,100 loads take a million cells and 200 million characters moved."""

MAIN: Final = "http://schemas.openxmlformats.org/spreadsheetml/2006/main "
STRICT: Final = "http://purl.oclc.org/ooxml/"


Left = tuple[int, int, int, int, int, tuple[Callable[[], int], ...]]


class Budget:
    """What a workbook may still spend; shared by its parts."""

    def __init__(self, name: str, size: int) -> None:
        """What a file of that size [bytes] may spend; a small one that wants as much as a large one is a bomb."""
        self.name = name
        low, high = LARGE
        self.times = 1 + (LARGER - 1) * min(1.0, max(0.0, (size - low) / (high - low)))
        self.cells, self.texts, self.moved, self.moves, self.tags, self.areas = (
            int(most * self.times) for most in (MAX_CELLS, MAX_TEXTS, MAX_MOVED, MAX_MOVES, MAX_TAGS, MAX_AREAS)
        )
        self.estimated = 0
        """References moved that were not counted yet, at most."""
        self.counts: tuple[Callable[[], int], ...] = ()
        """How they are counted."""
        self.walked: set[str] = set()

    @property
    def left(self) -> Left:
        """What is left for cells: count, characters, those of moved formulas, references moved, and these uncounted."""
        return self.cells, self.texts, self.moved, self.moves, self.estimated, self.counts

    @left.setter
    def left(self, counts: Left) -> None:
        self.cells, self.texts, self.moved, self.moves, self.estimated, self.counts = counts

    def spend_text(self, length: int) -> None:
        """Pay for characters that are kept."""
        self.texts -= length
        if self.texts < 0:
            raise BadFile(
                f"{self.name} holds more than {MAX_TEXTS * self.times / 1e6:.0f} million characters of text.", SMALLER
            )

    def spend_moved(self, length: int, moves: int) -> None:
        """Pay for a formula that the file writes once for many cells."""
        self.moved -= length
        self.moves -= moves
        if self.estimated > self.moves:
            self.moves -= sum(count() for count in self.counts)
            self.estimated, self.counts = 0, ()
        if self.moved < 0 or self.moves < 0:
            raise BadFile(f"{self.name} holds too many long formulas.", SMALLER)

    def spend_moved_at_most(self, length: int, most: int, count: Callable[[], int]) -> None:
        """Pay for many such formulas; the references that move are only counted if the estimates are too much."""
        self.estimated += most
        self.counts += (count,)
        self.spend_moved(length, 0)

    def spend_cell(self, count: int = 1) -> None:
        """Pay for a cell, or several."""
        self.cells -= count
        if self.cells < 0:
            raise BadFile(f"{self.name} holds more than {MAX_CELLS * self.times:,.0f} cells.", SMALLER)

    def spend_areas(self, count: int) -> None:
        """Pay for areas before they are read."""
        self.areas -= count
        if self.areas < 0:
            raise BadFile(f"{self.name} has rules for more than {MAX_AREAS * self.times:,.0f} areas of cells.", SMALLER)

    def spend_tags(self, count: int) -> None:
        """Pay for tags before they are heard."""
        self.tags -= count
        if self.tags < 0:
            raise BadFile(f"{self.name} holds more than {MAX_TAGS * self.times / 1e6:.0f} million tags.", SMALLER)


Opens = Mapping[str, Callable[[dict[str, str]], None]]
Closes = Mapping[str, Callable[[], None]]


class Part:
    """What is taken from a part."""

    def __init__(self, budget: Budget) -> None:
        self.budget = budget
        self.name = budget.name
        self.words: list[str] = []
        """The text since the last tag opened, in pieces."""
        self.depth = 0
        self.broken = ""
        """How a refusal begins."""
        self.opening: Opens = {}
        self.closing: Closes = {}

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {}

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {}

    def begin(self, broken: str) -> None:
        """Nothing was heard yet; `broken` is how a refusal begins."""
        self.broken, self.depth = broken, 0
        self.opening, self.closing = self.opens(), self.closes()

    def rest(self) -> None:
        """All was heard; what would keep it in memory is let go."""
        self.opening, self.closing = {}, {}

    def inside(self, data: bytes) -> tuple[int, int]:  # noqa: ARG002 — not of most parts
        """From where to where there may be something that needs not be heard tag by tag."""
        return 0, 0

    def takes(self, data: bytes, start: int, end: int) -> bool:  # noqa: ARG002 — not of most parts
        """Take what stands there at once; False if it is to be heard tag by tag."""
        return False

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """A tag opens."""
        self.depth += 1
        if self.depth > MAX_DEPTH or len(attributes) > MAX_ATTRIBUTES:
            self.refuse_shape()
        self.words.clear()
        if hears := self.opening.get(name):
            hears(attributes)

    def refuse_shape(self) -> NoReturn:
        """It is nested too deep, or a tag has too many attributes."""
        raise BadFile(f"{self.broken} is nested too deep or has tags with too many attributes.", AGAIN)

    def end(self, name: str) -> None:
        """A tag closes."""
        self.depth -= 1
        if hears := self.closing.get(name):
            hears()

    def cut(self) -> None:
        """Of text between tags keep no more than is needed to refuse it, if anybody wants it."""
        if sum(map(len, self.words)) > self.budget.texts:
            self.words[:] = ["".join(self.words)[: self.budget.texts + 1]]

    def heard(self) -> str:
        """The text since the last tag opened, which is kept and paid for."""
        text = "".join(self.words)
        self.budget.spend_text(len(text))
        return text


def walk(archive: Archive, path: str, root: str, part: Part, budget: Budget) -> None:
    """Stream a part through expat; the sizes are checked before the first tag, which is `root`, is heard."""
    broken = f"{archive.name} is damaged: its part {path}"
    if path in budget.walked:
        raise BadFile(f"{broken} is used twice.", AGAIN)
    budget.walked.add(path)
    data = _counted(archive, path, budget)

    def first(name: str, attributes: dict[str, str]) -> None:
        if name != root:
            _refuse_root(name, path, archive.name)
        parser.StartElementHandler = part.start
        part.start(name, attributes)

    parser = expat.ParserCreate("utf-8", " ")  # whatever encoding the part declares
    parser.buffer_text = True
    parser.StartElementHandler = first
    parser.EndElementHandler = part.end
    parser.CharacterDataHandler = part.words.append
    parser.StartDoctypeDeclHandler = lambda *_: _refuse_doctype(broken)
    part.begin(broken)
    start, end = part.inside(data)
    try:
        heard = _hear(parser, part, data[:start], 0)
        if not part.takes(data, start, end):
            heard = _hear(parser, part, data[start:end], heard)
        _hear(parser, part, data[end:], heard)
        parser.Parse(b"", True)
    except expat.ExpatError as wrong:
        raise BadFile(f"{broken} is not well-formed.", AGAIN) from wrong
    finally:
        parser.StartElementHandler = None  # it is one of those that keep each other in memory
        part.rest()


def _hear(parser: expat.XMLParserType, part: Part, data: bytes, heard: int) -> int:
    """Feed a stretch of a part to its parser, piece by piece; how much it was fed so far [bytes]."""
    for start in range(0, len(data), CHUNK):
        parser.Parse(data[start : start + CHUNK])
        part.cut()
        if (
            min(heard + start + CHUNK, heard + len(data)) - parser.CurrentByteIndex > MAX_TAG
            or len(parser.intern) > MAX_NAMES
        ):
            raise BadFile(f"{part.broken} has an endless tag or too many names.", AGAIN)
    return heard + len(data)


def _refuse_doctype(broken: str) -> NoReturn:
    raise BadFile(f"{broken} declares a document type, which no workbook needs.", AGAIN)


def _refuse_root(name: str, path: str, file: str) -> NoReturn:
    if name.startswith(STRICT):
        raise BadFile(f"{file} is a Strict Open XML workbook.", f"{SAVE_AS[:-1]}, not as Strict.")
    raise BadFile(f"{file} is not an .xlsx workbook, or damaged: its part {path} is of another kind.", SAVE_AS)


def _counted(archive: Archive, path: str, budget: Budget) -> bytes:
    """The part, once its tags are counted and a document type is excluded."""
    broken = f"{archive.name} is damaged: its part {path}"
    chunks: list[bytes] = []
    tail = b""
    for chunk in archive.chunks(path):
        budget.spend_tags(chunk.count(b"<"))
        if b"<!DOCTYPE" in tail + chunk:  # before expat sees it: it would go on expanding entities to the chunk's end
            _refuse_doctype(broken)
        if b"\0" in chunk:
            raise BadFile(f"{broken} is not written in UTF-8.", AGAIN)
        tail = chunk[-8:]
        chunks.append(chunk)
    return b"".join(chunks)


def is_on(value: str | None) -> bool:
    """Whether an attribute says yes."""
    return value in ("1", "true", "on")
