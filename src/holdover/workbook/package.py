"""The file that a workbook is: its parts, sealed, and packed denser than XlsxWriter packs them.

What comes in thousands is written straight: cells, rows, areas of cells made of several, texts, names. All else is
XlsxWriter's.
"""

import re
from collections.abc import Iterable
from io import BytesIO
from typing import Any, Final
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo
from zlib import DEFLATED, MAX_WBITS, compressobj

from xlsxwriter import Workbook
from xlsxwriter.packager import Packager
from xlsxwriter.sharedstrings import SharedStrings
from xlsxwriter.worksheet import Worksheet

from holdover.workbook.cells import CellError, Cells, escaped
from holdover.workbook.grid import xl
from holdover.workbook.seal import SEAL, seal_of

LEVEL: Final = 7
"""How hard parts are pressed, of 9: a hundredth smaller than at the usual 6 for a hundredth of a second; 8 takes six."""
LARGE: Final = 500_000, 8
"""From how many bytes on a part is pressed harder, and how hard: the hours of an outage, 6 kB less for a fiftieth of a second."""
MEMORY: Final = 5
"""How much memory that takes, of 9: with less than the usual 8 a part is cut into shorter blocks, each with a code of its
own, which saves 7 kB of a sample whose cells look otherwise from table to table."""
OF_A_SCRIPT: Final = re.compile(r'<a:font script="[^"]*" typeface="[^"]*"/>')
"""Fonts that a theme names for other scripts, in a theme of which no cell takes a font."""
WHEN: Final = (1980, 1, 1, 0, 0, 0)
"""Time of every part: the same workbook is the same file."""


class StraightSheet(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """A sheet of which the cells are written straight."""

    def __init__(self) -> None:
        super().__init__()
        self.cells = Cells(lambda words: int(self.str_table._get_shared_string_index(words)))

    def _prepare_formula(self, formula: str, _expand: bool = False) -> str:
        """No formula of a rule needs a prefix, so none is searched for one."""
        return formula.removeprefix("=")

    def _assemble_xml_file(self) -> None:
        for row, col in self.cells.ends():
            if self._check_dimensions(row, col):
                raise CellError(f"{self.name}!{xl(row, col)}: beyond the last cell of a sheet")
        super()._assemble_xml_file()

    def _write_rows(self) -> None:
        cells = dict(self.cells.rows())
        usual = self._row_look(self.default_row_height)
        for row in sorted({*cells, *self.row_info}):
            info = self.row_info.get(row)
            look = self._row_look(info.height, info.hidden, info.level, info.collapsed) if info else usual
            self.fh.write(f'<row r="{row + 1}"{look}>{cells.pop(row, "")}</row>')

    def _row_look(self, height: int, hidden: bool = False, level: int = 0, collapsed: bool = False) -> str:
        """What a row is like as attributes (18.3.1.73); heights are in pixels, those of a new sheet are left out."""
        tall = height != self.original_row_height or height != self.default_row_height
        return "".join(
            (
                f' ht="{height * 0.75:.16g}"' if tall else "",
                ' hidden="1"' if hidden else "",
                ' customHeight="1"' if tall else "",
                f' outlineLevel="{level}"' if level else "",
                ' collapsed="1"' if collapsed else "",
            )
        )

    def _write_merge_cells(self) -> None:
        areas = self.cells.merged()
        if areas:
            tags = [f'<mergeCell ref="{xl(top, left)}:{xl(bottom, right)}"/>' for top, left, bottom, right in areas]
            self.fh.write(f'<mergeCells count="{len(tags)}">{"".join(tags)}</mergeCells>')


class StraightTexts(SharedStrings):  # type: ignore[misc]  # XlsxWriter has no types
    """The texts of a workbook; XlsxWriter would take one in the brackets of its rich text for that."""

    def _write_sst_strings(self) -> None:
        for words in map(escaped, self.string_table.string_array):
            kept = ' xml:space="preserve"' if words != words.strip() else ""
            self.fh.write(f"<si><t{kept}>{words}</t></si>")


def _encoded(part: tuple[Any, str, bool]) -> tuple[BytesIO, str, bool]:
    """A part as bytes: what it holds, its name, and that it is binary."""
    content, name, is_binary = part
    return (content if is_binary else BytesIO(content.getvalue().encode())), name, True


class SealedPackage(Packager):  # type: ignore[misc]  # XlsxWriter has no types
    """Parts of which the properties tell what stands in the ones before them; the book packs them itself."""

    def _write_shared_strings_file(self) -> None:
        texts = StraightTexts()
        texts.string_table = self.workbook.str_table
        texts._set_xml_writer(self._filename("xl/sharedStrings.xml"))
        texts._assemble_xml_file()

    def _write_custom_file(self) -> None:
        self.filenames: list[tuple[Any, str, bool]] = [*map(_encoded, self.filenames)]
        seal = seal_of(content.getvalue() for content, _, _ in self.filenames)
        if self.workbook.set_custom_property(SEAL, seal, "text") == -1:
            raise CellError(f"{SEAL}: XlsxWriter refused it")
        super()._write_custom_file()

    def _create_package(self) -> list[Any]:
        self.workbook.parts = super()._create_package()
        return []


class SealedBook(Workbook):  # type: ignore[misc]  # XlsxWriter has no types
    """A sealed workbook that lists its names where programs look for them, and not among its properties, too."""

    theme_xml: str

    def __init__(self, options: dict[str, Any]) -> None:
        super().__init__(BytesIO(), options)
        self.theme_xml = OF_A_SCRIPT.sub("", self.theme_xml)
        self.parts: list[tuple[Any, str, bool]] = []

    def define(self, names: Iterable[tuple[str, str]]) -> None:
        """Give areas of cells names, each sound: XlsxWriter would search it for what can't stand there."""
        self.defined_names += [[name, -1, area, False] for name, area in names]

    def packed(self) -> bytes:
        """Close the workbook: its file."""
        self.close()
        buffer = BytesIO()
        with ZipFile(buffer, "w") as archive:
            for content, name, _ in map(_encoded, self.parts):
                part = ZipInfo(name, WHEN)
                data = content.getvalue()
                part.compress_type = ZIP_DEFLATED
                level = LARGE[1] if len(data) >= LARGE[0] else LEVEL
                with archive.open(part, "w") as packing:
                    packing._compressor = compressobj(level, DEFLATED, -MAX_WBITS, MEMORY)  # type: ignore[attr-defined]  # no call sets the memory
                    packing.write(data)
        return buffer.getvalue()

    def _get_packager(self) -> SealedPackage:
        return SealedPackage()

    def _extract_named_ranges(self, _names: Any) -> list[str]:
        return []

    def _write_defined_names(self) -> None:
        self._xml_start_tag("definedNames")
        for name, sheet, area, hidden in self.defined_names:
            if sheet < 0:
                self.fh.write(f'<definedName name="{name}">{escaped(area)}</definedName>')
            else:  # what is printed of a sheet
                self._write_defined_name([name, sheet, area, hidden])
        self._xml_end_tag("definedNames")
