"""The one safe way to read a workbook from elsewhere.

`read_xlsx` takes bytes and gives cells, or raises `BadFile`; nothing else comes out. It reads the directory
(`archive`), streams the parts it needs through expat within bounds (`stream`) and builds the cells itself
(`cells`). Macros, pictures, drawings and links to other workbooks are never opened
(`Archive.pictures` hands pictures on as they are).
"""

import posixpath
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final

from holdover.xlsx.archive import AGAIN, SMALLER, Archive, BadFile
from holdover.xlsx.cells import DAYS_TO_1904, SheetData, Shelf, unescaped
from holdover.xlsx.quick import QuickSheetPart
from holdover.xlsx.stream import MAIN, MAX_CELLS, MAX_TEXT, Budget, Closes, Opens, Part, is_on, walk

MAX_FORMATS: Final = 65_490
"""Most cell formats in a workbook, as in the programs."""
MAX_CODES: Final = 5_000
"""Most number formats in a workbook."""
MAX_CODE: Final = 500
"""Longest number format."""
MAX_DEFINED_NAMES: Final = 20_000

RELATIONS: Final = "http://schemas.openxmlformats.org/package/2006/relationships "
REL_ID: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships id"
CUSTOM: Final = "http://schemas.openxmlformats.org/officeDocument/2006/custom-properties "
EXTENDED: Final = "http://schemas.openxmlformats.org/officeDocument/2006/extended-properties "

DRAWING: Final = "http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing "
CHART: Final = "http://schemas.openxmlformats.org/drawingml/2006/chart "

NAMED_AREA: Final = re.compile(
    r"(?:'((?:[^']|'')+)'|([^'!\[\]:,()\"]+))!(\$[A-Z]{1,3}\$[0-9]{1,7})(?::(\$[A-Z]{1,3}\$[0-9]{1,7}))?"
)
DATE_FORMATS: Final = frozenset([*range(14, 23), *range(27, 37), 45, 46, 47, *range(50, 59)])
"""Built-in number formats that show a date or a time."""
PERCENT_FORMATS: Final = frozenset([9, 10])
"""Built-in number formats that show a percentage."""
NO_DATE_LETTERS: Final = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?![hms]+\])[^\[\]]*\]', re.IGNORECASE | re.DOTALL)
"""What in a number format is text, spacing, colour or condition."""


@dataclass(frozen=True, slots=True)
class Book:
    """What is taken from a workbook.

    `names` are the defined names of the whole workbook that mean one cell or area, by their casefolded name:
    sheet and absolute area, such as ("Loads", "$B$3:$B$40").
    """

    sheets: tuple[SheetData, ...]
    names: dict[str, tuple[str, str]]
    properties: dict[str, str]
    application: str
    remarks: tuple[str, ...]
    app_version: str = ""
    """The version that the program tells of itself."""
    by_hand: bool = False
    """Whether it is only recalculated when somebody says so."""
    as_displayed: bool = False
    """Whether it counts with the digits that are shown."""


def read_xlsx(data: bytes, name: str) -> Book:
    """Read a workbook; `name` is what its file is called in messages.

    Raises:
        BadFile: for whatever is wrong with it; no other exception comes out but MemoryError.
    """
    try:
        return _read(Archive(data, name), Budget(name, len(data)))
    except (BadFile, MemoryError):
        raise
    except Exception as wrong:  # a hostile file must not end the program, whatever it found
        raise BadFile(f"{name} could not be read ({type(wrong).__name__}).", AGAIN) from wrong


def _read(archive: Archive, budget: Budget) -> Book:
    top = _relations(archive, "", budget)
    main = next((r.target for r in top if r.type.endswith("/officeDocument")), None)
    if main is None:
        raise BadFile(f"{archive.name} is an archive without a workbook in it.", AGAIN)
    workbook = _WorkbookPart(budget)
    walk(archive, main, MAIN + "workbook", workbook, budget)
    relations = _relations(archive, main, budget)
    strings = _StringsPart(budget)
    formats = _FormatsPart(budget)
    for relation in relations:
        if relation.type.endswith("/sharedStrings"):
            walk(archive, relation.target, MAIN + "sst", strings, budget)
        elif relation.type.endswith("/styles"):
            walk(archive, relation.target, MAIN + "styleSheet", formats, budget)
    shelf = Shelf(strings.strings, formats.dates(), formats.percents(), DAYS_TO_1904 if workbook.from_1904 else 0.0)
    sheets, paths = _sheets(archive, workbook, relations, shelf, budget)
    names = workbook.areas({sheet.name for sheet in sheets})
    about = _PropertiesPart(budget)
    for relation in top:
        if relation.target not in archive:
            continue  # nobody misses these
        if relation.type.endswith("/custom-properties"):
            walk(archive, relation.target, CUSTOM + "Properties", about, budget)
        elif relation.type.endswith("/extended-properties"):
            walk(archive, relation.target, EXTENDED + "Properties", about, budget)
    charted = zip(sheets, paths, strict=True)
    return Book(
        sheets=tuple(replace(sheet, charts=_charts(archive, path, budget)) for sheet, path in charted),
        names=names,
        properties=about.properties,
        application=about.application,
        remarks=_remarks(archive, relations),
        app_version=about.app_version,
        by_hand=workbook.by_hand,
        as_displayed=workbook.as_displayed,
    )


def _sheets(
    archive: Archive, workbook: "_WorkbookPart", relations: list["_Relation"], shelf: Shelf, budget: Budget
) -> tuple[tuple[SheetData, ...], tuple[str, ...]]:
    """The sheets in their order, and their parts; chart sheets and macro sheets hold no table and are left out."""
    by_id = {relation.id: relation for relation in relations}
    sheets, paths = [], []
    for title, hidden, relation_id in workbook.sheets:
        relation = by_id.get(relation_id)
        if relation is None:
            raise BadFile(f"{archive.name} is damaged: its sheet {title} is missing.", AGAIN)
        if not relation.type.endswith("/worksheet"):
            continue
        part = QuickSheetPart(title, shelf, budget)
        walk(archive, relation.target, MAIN + "worksheet", part, budget)
        sheets.append(part.sheet(hidden=hidden))
        paths.append(relation.target)
    if not sheets:
        raise BadFile(f"{archive.name} has no sheet with cells.", AGAIN)
    return tuple(sheets), tuple(paths)


def _charts(archive: Archive, path: str, budget: Budget) -> tuple[tuple[int, int], ...] | None:
    """Where the charts of a sheet begin; None where that can't be told, which is no reason to refuse the workbook."""
    folder, base = posixpath.split(path)
    if posixpath.join(folder, "_rels", f"{base}.rels") not in archive:
        return ()
    drawing = _DrawingPart(budget)
    try:
        for relation in _relations(archive, path, budget):
            if relation.type.endswith("/drawing"):
                walk(archive, relation.target, DRAWING + "wsDr", drawing, budget)
    except BadFile:
        return None
    return tuple(drawing.charts)


def _remarks(archive: Archive, relations: list["_Relation"]) -> tuple[str, ...]:
    kinds = {relation.type.rpartition("/")[2] for relation in relations}
    found = {
        "macros": "vbaProject" in kinds or "xlMacrosheet" in kinds or "xl/vbaProject.bin" in archive,
        "links to other workbooks": "externalLink" in kinds or archive.any_under("xl/externalLinks/"),
        "connections to other sources": "connections" in kinds,
        "embedded files": archive.any_under("xl/embeddings/"),
        "comments in threads": archive.any_under("xl/threadedComments/"),
    }
    return tuple(f"The workbook holds {what}; they were not opened." for what, there in found.items() if there)


@dataclass(frozen=True, slots=True)
class _Relation:
    id: str
    type: str
    target: str


def _relations(archive: Archive, path: str, budget: Budget) -> list[_Relation]:
    """What a part refers to inside the file, with full paths; "" is the package itself."""
    folder, base = posixpath.split(path)
    part = _RelationsPart(folder, budget)
    walk(archive, posixpath.join(folder, "_rels", f"{base}.rels"), RELATIONS + "Relationships", part, budget)
    return part.relations


class _RelationsPart(Part):
    def __init__(self, folder: str, budget: Budget) -> None:
        super().__init__(budget)
        self.folder = folder
        self.relations: list[_Relation] = []

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {RELATIONS + "Relationship": self._relation}

    def _relation(self, attributes: dict[str, str]) -> None:
        if attributes.get("TargetMode") != "External":
            target = posixpath.normpath(posixpath.join("/", self.folder, attributes.get("Target", "")))
            relation = _Relation(attributes.get("Id", ""), attributes.get("Type", ""), target.lstrip("/"))
            self.relations.append(relation)


class _WorkbookPart(Part):
    def __init__(self, budget: Budget) -> None:
        super().__init__(budget)
        self.sheets: list[tuple[str, bool, str]] = []
        self.titles: set[str] = set()
        self.from_1904 = self.by_hand = self.as_displayed = False
        self.defined: dict[str, str] = {}
        self.opened: str | None = None
        """The name at hand, None where it is one of a single sheet."""

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {
            MAIN + "sheet": self._sheet,
            MAIN + "definedName": self._name,
            MAIN + "workbookPr": self._about,
            MAIN + "calcPr": self._calculation,
        }

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {MAIN + "definedName": self._close_name}

    def _sheet(self, attributes: dict[str, str]) -> None:
        title = attributes.get("name", "")
        if not title or title.casefold() in self.titles:
            raise BadFile(f"{self.name} is damaged: two sheets have the same name, or one has none.", AGAIN)
        self.titles.add(title.casefold())
        hidden = attributes.get("state", "visible") != "visible"
        self.sheets.append((title, hidden, attributes.get(REL_ID, "")))

    def _name(self, attributes: dict[str, str]) -> None:
        self.opened = None if "localSheetId" in attributes else attributes.get("name", "")

    def _about(self, attributes: dict[str, str]) -> None:
        self.from_1904 = is_on(attributes.get("date1904"))

    def _calculation(self, attributes: dict[str, str]) -> None:
        self.by_hand = attributes.get("calcMode") == "manual"
        self.as_displayed = attributes.get("fullPrecision") in ("0", "false", "off")

    def _close_name(self) -> None:
        if self.opened is not None:
            key = self.opened.casefold()
            if key in self.defined or len(self.defined) >= MAX_DEFINED_NAMES:
                raise BadFile(f"{self.name} defines the name {self.opened} twice, or too many names.", AGAIN)
            self.defined[key] = self.heard()

    def areas(self, titles: set[str]) -> dict[str, tuple[str, str]]:
        """The names that mean one cell or area of a sheet that is there."""
        areas: dict[str, tuple[str, str]] = {}
        for key, text in self.defined.items():
            match = NAMED_AREA.fullmatch(text.strip())
            sheet = (match[1] or match[2]).replace("''", "'") if match else ""
            if match and sheet in titles:
                first, last = match[3], match[4]
                areas[key] = sheet, first if last in (None, first) else f"{first}:{last}"
        return areas


class _DrawingPart(Part):
    def __init__(self, budget: Budget) -> None:
        super().__init__(budget)
        self.charts: list[tuple[int, int]] = []
        self.at: list[int] = []
        """Column and row of the corners of the drawing at hand, from 0."""

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {
            DRAWING + "from": self._corner,
            CHART + "chart": self._chart,
        }

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {DRAWING + "col": self._number, DRAWING + "row": self._number}

    def _corner(self, _: dict[str, str]) -> None:
        self.at = []

    def _number(self) -> None:
        text = self.heard().strip()
        self.at.append(int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else 0)

    def _chart(self, _: dict[str, str]) -> None:
        if len(self.at) > 1:
            self.charts.append((self.at[1] + 1, self.at[0] + 1))


class _StringsPart(Part):
    def __init__(self, budget: Budget) -> None:
        super().__init__(budget)
        self.strings: list[str] = []
        self.runs: list[str] = []
        self.reading_aid = False

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {MAIN + "rPh": self._aid}

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {MAIN + "t": self._close_text, MAIN + "rPh": self._close_aid, MAIN + "si": self._close_string}

    def _aid(self, _: dict[str, str]) -> None:
        self.reading_aid = True

    def _close_text(self) -> None:
        if not self.reading_aid:
            self.runs.append(self.heard())

    def _close_aid(self) -> None:
        self.reading_aid = False

    def _close_string(self) -> None:
        text = "".join(self.runs)
        self.runs = []
        if len(text) > MAX_TEXT or len(self.strings) >= MAX_CELLS:
            raise BadFile(f"{self.budget.name} holds too long a text, or too many.", SMALLER)
        self.strings.append(unescaped(text))


class _FormatsPart(Part):
    def __init__(self, budget: Budget) -> None:
        super().__init__(budget)
        self.codes: dict[str, str] = {}
        self.cell_formats: list[str] = []
        self.counted = 0
        self.in_cells = False

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {MAIN + "xf": self._format, MAIN + "numFmt": self._code, MAIN + "cellXfs": self._cells}

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {MAIN + "cellXfs": self._close_cells}

    def _format(self, attributes: dict[str, str]) -> None:
        self.counted += 1
        if self.counted > MAX_FORMATS:
            raise BadFile(f"{self.name} has more than {MAX_FORMATS:,} cell formats.", SMALLER)
        if self.in_cells:
            self.cell_formats.append(attributes.get("numFmtId", "0"))

    def _code(self, attributes: dict[str, str]) -> None:
        code = attributes.get("formatCode", "")
        if len(code) > MAX_CODE or len(self.codes) >= MAX_CODES:
            raise BadFile(f"{self.name} has too long a number format, or too many.", SMALLER)
        self.codes[attributes.get("numFmtId", "")] = code

    def _cells(self, _: dict[str, str]) -> None:
        self.in_cells = True

    def _close_cells(self) -> None:
        self.in_cells = False

    def dates(self) -> frozenset[str]:
        """Places in the list of cell formats that show a date or a time."""
        return self._that(DATE_FORMATS, _shows_date)

    def percents(self) -> frozenset[str]:
        """Places in the list of cell formats that show a percentage."""
        return self._that(PERCENT_FORMATS, _shows_percent)

    def _that(self, standing: Iterable[int], shows: Callable[[str], bool]) -> frozenset[str]:
        numbers = {str(number) for number in standing} - self.codes.keys()
        numbers |= {number for number, code in self.codes.items() if shows(code)}
        return frozenset(str(place) for place, number in enumerate(self.cell_formats) if number in numbers)


def _shows_percent(code: str) -> bool:
    """Whether a number format shows a percentage: a % stands in it that is no mere text."""
    return "%" in NO_DATE_LETTERS.sub("", code.partition(";")[0])


def _shows_date(code: str) -> bool:
    """Whether a number format shows a date or a time: day, month, year, hour or second stands in it."""
    letters = NO_DATE_LETTERS.sub("", code.partition(";")[0]).casefold()
    return "general" not in letters and any(letter in letters for letter in "dmyhs")


class _PropertiesPart(Part):
    def __init__(self, budget: Budget) -> None:
        super().__init__(budget)
        self.properties: dict[str, str] = {}
        self.application = self.app_version = ""
        self.opened = ""

    def opens(self) -> Opens:
        """Who hears that a tag opens."""
        return {CUSTOM + "property": self._property}

    def closes(self) -> Closes:
        """Who hears that a tag closes."""
        return {
            CUSTOM + "property": self._close_property,
            EXTENDED + "Application": self._close_application,
            EXTENDED + "AppVersion": self._close_version,
        }

    def _property(self, attributes: dict[str, str]) -> None:
        self.opened = attributes.get("name", "")

    def _close_property(self) -> None:
        self.properties[self.opened] = unescaped(self.heard().strip())

    def _close_application(self) -> None:
        self.application = self.heard()

    def _close_version(self) -> None:
        self.app_version = self.heard()
