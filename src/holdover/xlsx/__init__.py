"""A workbook file from elsewhere, opened safely: bytes in, cells out, or `BadFile`; nothing else comes out.

The room stands alone. It needs the standard library only, and knows nothing of cases.

    archive   the outside: what kind of file it is, and whether its directory holds
    stream    one XML part, through expat within bounds
    cells     the cells of a sheet, tag by tag
    quick     the cells of a sheet that is written plainly, as most are
    shared    formulas that are written once for many cells; letters of columns
    book      the whole: `read_xlsx`
"""

from holdover.xlsx.archive import MAX_FILE, Archive, BadFile
from holdover.xlsx.book import Book, read_xlsx
from holdover.xlsx.cells import DAYS_TO_1904, CellData, SheetData
from holdover.xlsx.shared import column_letters, column_number

__all__ = [
    "DAYS_TO_1904",
    "MAX_FILE",
    "Archive",
    "BadFile",
    "Book",
    "CellData",
    "SheetData",
    "column_letters",
    "column_number",
    "read_xlsx",
]
