"""A workbook that holds values alone: a formula put beside them is soon evaluated.

It is written by hand, part by part: a library that can write any workbook takes five times as long, and the mutants ask
for one of every case.
"""

import io
import zipfile
from collections.abc import Iterable, Mapping
from functools import cache

from holdover.workbook.cells import escaped
from holdover.workbook.grid import Area, Cell, xl
from holdover.xlsx import column_letters

PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEETS = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
TYPES = f"""<Types xmlns="{PACKAGE}/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="xml" ContentType="{KIND}.worksheet+xml"/>
<Override PartName="/book.xml" ContentType="{KIND}.sheet.main+xml"/></Types>"""
"""Office Open XML, ECMA-376, parts 1 and 2, as are the names of parts, elements and attributes; from memory."""
letters = cache(column_letters)


def still(cells: Iterable[Cell], names: Mapping[str, Area]) -> bytes:
    """The values of the cells, and the names, as a file's bytes; a blank is left out, an empty text is not."""
    rows: dict[str, dict[int, dict[int, str]]] = {}
    for cell in cells:
        sheet = rows.setdefault(cell.sheet, {})
        if isinstance(cell.value, str):
            if cell.value or cell.computed:
                sheet.setdefault(cell.row, {})[cell.col] = f't="str"><v>{escaped(cell.value)}</v>'
        elif cell.value is not None:
            sheet.setdefault(cell.row, {})[cell.col] = f"><v>{float(cell.value)!r}</v>"
    parts = {f"sheet{number}.xml": _sheet(found) for number, found in enumerate(rows.values())}
    parts |= {
        "[Content_Types].xml": TYPES,
        "_rels/.rels": _relations({"book": ("officeDocument", "book.xml")}),
        "_rels/book.xml.rels": _relations({f"s{number}": ("worksheet", part) for number, part in enumerate(parts)}),
        "book.xml": _book(rows, names),
    }
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as file:
        for part, text in parts.items():
            file.writestr(part, text)
    return packed.getvalue()


def _sheet(rows: Mapping[int, Mapping[int, str]]) -> str:
    lines = (f'<row r="{row + 1}">{_line(row, line)}</row>' for row, line in sorted(rows.items()))
    return f'<worksheet xmlns="{SHEETS}"><sheetData>{"".join(lines)}</sheetData></worksheet>'


def _line(row: int, told: Mapping[int, str]) -> str:
    return "".join(f'<c r="{letters(col + 1)}{row + 1}" {said}</c>' for col, said in sorted(told.items()))


def _relations(targets: Mapping[str, tuple[str, str]]) -> str:
    told = (f'<Relationship Id="{key}" Type="{OFFICE}/{kind}" Target="{to}"/>' for key, (kind, to) in targets.items())
    return f'<Relationships xmlns="{PACKAGE}/relationships">{"".join(told)}</Relationships>'


def _book(sheets: Iterable[str], names: Mapping[str, Area]) -> str:
    listed = "".join(f'<sheet name="{name}" sheetId="{i + 1}" r:id="s{i}"/>' for i, name in enumerate(sheets))
    defined = "".join(
        f"<definedName name=\"{name}\">'{sheet}'!{xl(top, left, fixed=True)}:{xl(bottom, right, fixed=True)}</definedName>"
        for name, (sheet, top, left, bottom, right) in names.items()
    )
    head = f'<workbook xmlns="{SHEETS}" xmlns:r="{OFFICE}">'
    return f"{head}<sheets>{listed}</sheets><definedNames>{defined}</definedNames></workbook>"
