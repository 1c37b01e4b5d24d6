"""What a reader sees of a workbook: each cell's text as it is shown, its type, its ink, and the room it has.

Widths of letters are those of Arial as the metric-compatible Nimbus Sans has them (`advances.csv`, in thousandths of the
type's size, out of the font's own AFM files). Programs differ by a pixel or two; a cell has that much slack.
"""

import csv
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import time, timedelta
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, Final

import openpyxl
from openpyxl.utils import column_index_from_string, coordinate_to_tuple, range_boundaries

PADDING: Final = 4.0
"""What programs leave free at the sides of a cell together [pixel]."""
INDENT: Final = 12.0
"""A step of indentation [pixel]."""
LINE: Final = 1.13
"""Height of a line as a share of the type's size: ascent and descent of the font."""
WHOLE_PIXELS: Final = 1.06
"""How much wider a line may come out in a window that sets letters on whole pixels."""
PIXELS: Final = 96 / 72
"""Pixels a point on a screen of 96 to the inch."""
MARGINS: Final = {1: (612.0, 792.0), 9: (595.3, 841.9)}
"""Sides of Letter and A4 [pt], by their number in the file."""


@cache
def advances() -> Mapping[str, tuple[int, int]]:
    """Width of each letter, plain and bold, in thousandths of the type's size."""
    with Path(__file__).with_name("advances.csv").open(encoding="utf-8") as file:
        return {row["character"]: (int(row["regular"]), int(row["bold"])) for row in csv.DictReader(file)}


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """How wide a line of text is [pixel]; a letter that is not measured is taken for a wide one."""
    table = advances()
    return sum(table.get(letter, (667, 722))[bold] for letter in text) / 1000 * size * PIXELS * WHOLE_PIXELS


def lines_of(text: str, size: float, room: float, *, bold: bool = False) -> int:
    """Lines that a text takes that breaks between words; a word that is too long breaks, too."""
    count = 0
    for paragraph in text.split("\n"):
        line = ""
        count += 1
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and width_of(longer, size, bold=bold) > room:
                count, longer = count + 1, word
            line = longer
            count += int(width_of(word, size, bold=bold) // max(room, 1))
    return count


def shown(value: Any, code: str) -> str:
    """A cell's value as its number format shows it: the few formats that the workbook uses."""
    if value is None or value == "":
        return ""
    if isinstance(value, time):
        value = (value.hour * 60 + value.minute + value.second / 60) / 1440
    elif isinstance(value, timedelta):
        value = value / timedelta(days=1)
    code = re.sub("_(.)", " ", code)  # room as wide as a letter
    parts = re.split(r";(?=(?:[^\"]*\"[^\"]*\")*[^\"]*$)", code)
    if isinstance(value, str):
        return value if len(parts) < 4 else parts[3].replace("@", value).replace('"', "")
    if below := re.match(r"\[<(\d+)\]", parts[0]):  # a time of the day, few watts; any other number as it stands behind
        parts = [parts[0][below.end() :] if value < int(below[1]) else parts[1]]
    if parts == ["General"]:
        return f"{value:.10g}"
    part = parts[1] if value < 0 and len(parts) > 1 else parts[2] if value == 0 and len(parts) > 2 else parts[0]
    if re.fullmatch(r"\[?h+\]?:mm.*", part):
        minutes = round(value * 1440)
        return f"{minutes // 60:02d}:{minutes % 60:02d}"
    digits = re.search(r"[#0][#0,]*(\.[#0]+)?", part)
    if not digits:
        return part.replace('"', "")
    decimals = len((digits.group(1) or ".")[1:])
    least = (digits.group(1) or "").count("0")
    number = abs(value) if len(parts) > 1 and value < 0 else value
    text = f"{number * (100 if '%' in part else 1):{',' if ',' in digits.group() else ''}.{decimals}f}"
    if decimals > least:
        text = (
            text.rstrip("0")
            if not least
            else text[: len(text) - (decimals - least)] + text[-(decimals - least) :].rstrip("0")
        )
    return (part[: digits.start()] + text + part[digits.end() :]).replace('"', "").replace("\\", "")


@dataclass(frozen=True, slots=True)
class Seen:
    """A cell that somebody sees, with the room it has [pixel] and the height of its rows [pt]."""

    sheet: str
    address: str
    text: str
    number: bool
    size: float
    bold: bool
    wrapped: bool
    shrinks: bool
    room: float
    tall: float
    printed: bool
    looks: tuple[tuple[str, str], ...]  # ink and fill, as it is written and as rules may make it

    def __str__(self) -> str:
        return f"{self.sheet}!{self.address} {self.text!r}"

    def is_in(self, top: int, left: int, bottom: int, right: int) -> bool:
        """Whether it stands between these rows and columns, from 1, ends included."""
        row, col = (int(part) for part in coordinate_to_tuple(self.address))
        return top <= row <= bottom and left <= col <= right

    @property
    def wide(self) -> float:
        """What its text takes on one line [pixel]."""
        return width_of(self.text, self.size, bold=self.bold)

    @property
    def printed_size(self) -> float:
        """Size of its type, which a cell that shrinks it may make smaller [pt]."""
        return self.size * min(1.0, self.room / self.wide) if self.shrinks else self.size

    @property
    def lines(self) -> int:
        """Lines that its text takes here."""
        return lines_of(self.text, self.size, self.room, bold=self.bold) if self.wrapped else 1

    @property
    def fits(self) -> bool:
        """Whether all of it can be read."""
        high = self.lines * self.size * LINE <= self.tall + 0.5  # one that touches its edges is read all the same
        if self.wrapped:
            return high
        return high and self.wide <= (self.room + PADDING) / (0.85 if self.shrinks else 1)


def bared(file: bytes) -> bytes:
    """A workbook without what stands in the cells of hidden sheets: nobody sees it, and most of the time went into it."""
    bare = BytesIO()
    with zipfile.ZipFile(BytesIO(file)) as old, zipfile.ZipFile(bare, "w") as new:
        sheets = re.findall(r"<sheet [^>]*>", old.read("xl/workbook.xml").decode())
        hidden = {f"xl/worksheets/sheet{i}.xml" for i, sheet in enumerate(sheets, 1) if 'state="hidden"' in sheet}
        assert hidden
        for part in old.namelist():
            data = old.read(part)
            if part in hidden:
                data = re.sub(rb"(?s)<sheetData>.*</sheetData>", b"<sheetData/>", data)
            new.writestr(part, data)
    return bare.getvalue()


class Look:
    """A workbook as it is seen, sheet by sheet."""

    def __init__(self, file: bytes) -> None:
        self.book = openpyxl.load_workbook(BytesIO(bared(file)), data_only=True)
        self.sheets = [sheet for sheet in self.book.worksheets if sheet.sheet_state == "visible"]

        self._seen = [cell for sheet in self.sheets for cell in _Sheet(sheet).seen()]

    def seen(self) -> Iterator[Seen]:
        """Every cell with a text, of every sheet that is not hidden."""
        yield from self._seen

    def is_printed(self, name: str) -> bool:
        """Whether a sheet goes on paper: its print range is more than a cell."""
        return ":" in str(self.book[name].print_area or "")

    def scale(self, name: str) -> float:
        """Size of a sheet on paper as a share of its size on the screen."""
        return _Sheet(self.book[name]).scale()


class _Sheet:
    def __init__(self, sheet: Any) -> None:
        self.sheet = sheet
        self.widths: dict[int, float] = {}
        for column in sheet.column_dimensions.values():
            for col in range(column.min, column.max + 1):
                self.widths[col] = 0 if column.hidden else round(column.width * 7)
        usual = sheet.sheet_format.defaultRowHeight
        self.usual = float(usual)
        self.merged = {}
        for area in sheet.merged_cells.ranges:
            self.merged[area.min_row, area.min_col] = area
        self.marks = [
            (range_boundaries(part), rule.formula[0].strip('"'), rule.dxf.numFmt.formatCode)
            for ranges, rules in sheet.conditional_formatting._cf_rules.items()
            for rule in rules
            if rule.dxf and rule.dxf.numFmt and rule.type == "cellIs"
            for part in str(ranges.sqref).split()
        ]
        self.rules = [
            (range_boundaries(part), rule.formula[0].strip('"') if rule.type == "cellIs" else "", rule.dxf)
            for ranges, rules in sheet.conditional_formatting._cf_rules.items()
            for rule in rules
            if rule.dxf
            for part in str(ranges.sqref).split()
        ]
        self.blank_rules = [
            (range_boundaries(part), rule.formula[0])
            for ranges, rules in sheet.conditional_formatting._cf_rules.items()
            for rule in rules
            if rule.dxf and rule.dxf.numFmt and rule.dxf.numFmt.formatCode == ";;;" and rule.type == "expression"
            for part in str(ranges.sqref).split()
        ]
        self.area = (
            range_boundaries(re.sub(r".*!|\$", "", str(sheet.print_area).split(",")[0])) if sheet.print_area else None
        )

    def width(self, left: int, right: int) -> float:
        return sum(self.widths.get(col, 82) for col in range(left, right + 1))

    def height(self, top: int, bottom: int) -> float:
        return sum(self.row_height(row) for row in range(top, bottom + 1))

    def row_height(self, row: int) -> float:
        there = self.sheet.row_dimensions.get(row)
        if there is None:
            return self.usual
        return 0 if there.hidden else there.height or self.usual

    def is_blanked(self, row: int, col: int) -> bool:
        """Whether a rule keeps its number from sight, as that of a spare record."""
        for (left, top, right, bottom), formula in self.blank_rules:
            if left <= col <= right and top <= row <= bottom:
                match = re.fullmatch(r"(\$?)([A-Z]+)(\$?)(\d+)=\"\"", formula)
                assert match, formula
                named = column_index_from_string(match[2])
                at = (
                    int(match[4]) if match[3] else int(match[4]) + row - top,
                    named if match[1] else named + col - left,
                )
                if self.sheet.cell(*at).value in (None, ""):
                    return True
        return False

    def format_of(self, cell: Any, row: int, col: int) -> str:
        """A cell's number format, or what a rule puts in its place for the word that stands there."""
        for (left, top, right, bottom), word, code in self.marks:
            if cell.value == word and left <= col <= right and top <= row <= bottom:
                return str(code)
        return str(cell.number_format)

    def scale(self) -> float:
        """Size on paper as a share of the size on screen, of a sheet that is fitted to its pages."""
        assert self.area
        setup, margins = self.sheet.page_setup, self.sheet.page_margins
        wide, high = MARGINS[int(setup.paperSize)]
        if setup.orientation == "landscape":
            wide, high = high, wide
        left, top, right, bottom = self.area
        room = 72 * (margins.left + margins.right), 72 * (margins.top + margins.bottom)
        across, down = setup.fitToWidth, setup.fitToHeight
        across = 1 if across is None else int(across)
        down = 1 if down is None else int(down)
        by_width = across * (wide - room[0]) / (self.width(left, right) / PIXELS) if across else 1.0
        by_height = down * (high - room[1]) / self.height(top, bottom) if down else 1.0
        return min(1.0, by_width, by_height)

    def is_printed(self, row: int, col: int) -> bool:
        if self.area is None:
            return False
        left, top, right, bottom = self.area
        return top <= row <= bottom and left <= col <= right and (left, top) != (right, bottom)

    def seen(self) -> Iterator[Seen]:
        for (row, col), cell in sorted(self.sheet._cells.items()):
            if cell.value in (None, "") or not self.row_height(row) or not self.widths.get(col, 82):
                continue
            text = shown(cell.value, self.format_of(cell, row, col))
            if text.strip() and not self.is_blanked(row, col):
                yield self._seen(cell, row, col, text)

    def _seen(self, cell: Any, row: int, col: int, text: str) -> Seen:
        area = self.merged.get((row, col))
        right, bottom = (area.max_col, area.max_row) if area else (col, row)
        align, number = cell.alignment, not isinstance(cell.value, str)
        room = self.width(col, right)
        if not number and not area and not align.wrap_text:
            room += self.beside(row, col, align.horizontal or "left")
        return Seen(
            sheet=self.sheet.title,
            address=cell.coordinate,
            text=text,
            number=number,
            size=cell.font.sz,
            bold=bool(cell.font.b),
            wrapped=bool(align.wrap_text),
            shrinks=bool(align.shrink_to_fit),
            room=room - PADDING - INDENT * int(align.indent or 0),
            tall=self.height(row, bottom),
            printed=self.is_printed(row, col),
            looks=tuple(self.looks(cell, row, col)),
        )

    def looks(self, cell: Any, row: int, col: int) -> Iterator[tuple[str, str]]:
        """Ink and fill of a cell as it is written, and under each rule that its value may meet."""
        ink = _color(cell.font.color, "000000")
        fill = _color(cell.fill.fgColor, "FFFFFF") if cell.fill.fill_type == "solid" else "FFFFFF"
        stays = True
        for (left, top, right, bottom), word, there in self.rules:
            if left <= col <= right and top <= row <= bottom and word in ("", cell.value):
                stays = stays and not (word and there.font and there.fill)  # a rule that its word meets for certain
                yield (
                    _color(there.font.color, ink) if there.font else ink,
                    _color(there.fill.bgColor, fill) if there.fill else fill,
                )
        if stays:
            yield ink, fill

    def beside(self, row: int, col: int, align: str) -> float:
        """Room in the blank cells into which a text may run on [pixel]."""
        room, step = 0.0, -1 if align == "right" else 1
        at = col + step
        last = self.area[2] if self.area and self.is_printed(row, col) else max(self.widths, default=col) + 12
        while 1 <= at <= last and self.sheet.cell(row, at).value in (None, "") and room < 3000:
            room += self.width(at, at)
            at += step
        return room


def _color(color: Any, usual: str) -> str:
    return str(color.rgb)[-6:] if color is not None and color.type == "rgb" else usual


def luminance(color: str) -> float:
    """Relative luminance of a colour such as 1D5C63, 0 to 1 (WCAG 2.1)."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.1)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
