"""The file that a workbook is: its parts, sealed, and packed denser than XlsxWriter packs them."""

from io import BytesIO
from typing import Any, Final
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo
from zlib import DEFLATED, MAX_WBITS, compressobj

from xlsxwriter import Workbook
from xlsxwriter.packager import Packager

from holdover.workbook.cells import CellError
from holdover.workbook.seal import SEAL, seal_of

LEVEL: Final = 7
"""How hard parts are pressed, of 9: a hundredth smaller than at the usual 6 for a hundredth of a second; 8 takes six."""
MEMORY: Final = 5
"""How much memory that takes, of 9: with less than the usual 8 a part is cut into shorter blocks, each with a code of its
own, which saves 7 kB of a sample whose cells look otherwise from table to table."""
WHEN: Final = (1980, 1, 1, 0, 0, 0)
"""Time of every part: the same workbook is the same file."""


class SealedPackage(Packager):  # type: ignore[misc]  # XlsxWriter has no types
    """Parts of which the properties tell what stands in the ones before them; the book packs them itself."""

    def _write_custom_file(self) -> None:
        seal = seal_of(text.getvalue().encode() for text, _, is_binary in self.filenames if not is_binary)
        if self.workbook.set_custom_property(SEAL, seal, "text") == -1:
            raise CellError(f"{SEAL}: XlsxWriter refused it")
        super()._write_custom_file()

    def _create_package(self) -> list[Any]:
        self.workbook.parts = super()._create_package()
        return []


class SealedBook(Workbook):  # type: ignore[misc]  # XlsxWriter has no types
    """A sealed workbook that lists its names where programs look for them, and not among its properties, too."""

    def __init__(self, options: dict[str, Any]) -> None:
        super().__init__(BytesIO(), options)
        self.parts: list[tuple[Any, str, bool]] = []

    def packed(self) -> bytes:
        """Close the workbook: its file."""
        self.close()
        buffer = BytesIO()
        with ZipFile(buffer, "w") as archive:
            for content, name, is_binary in self.parts:
                part = ZipInfo(name, WHEN)
                data = content.getvalue() if is_binary else content.getvalue().encode()
                part.compress_type = ZIP_DEFLATED
                with archive.open(part, "w") as packing:
                    packing._compressor = compressobj(LEVEL, DEFLATED, -MAX_WBITS, MEMORY)  # type: ignore[attr-defined]  # no call sets the memory
                    packing.write(data)
        return buffer.getvalue()

    def _get_packager(self) -> SealedPackage:
        return SealedPackage()

    def _extract_named_ranges(self, _names: Any) -> list[str]:
        return []
