"""A delivered workbook as a file of parts, altered by hand as a program or a person could."""

import io
import re
import zipfile
from collections.abc import Callable
from functools import cache
from xml.sax.saxutils import escape

from holdover.case.schema import Array, Candidate, Case, Load, Sun
from holdover.findings import Findings
from holdover.model.study import Slots
from holdover.returned.read import Returned, returned_of
from holdover.workbook.grid import xl
from holdover.workbook.page import Label
from holdover.xlsx import read_xlsx
from returned.books import whole

CASE = Case(
    loads=tuple(
        Load(name=name, place=place, running_w=watts, hours_per_day=hours)
        for name, place, watts, hours in (
            ("Fridge", "kitchen", 110, 9),
            ("Freezer", "cellar", 90, 8),
            ("Router", "hall", 12, 24),
            ("Blower", "cellar", 450, 4),
            ("Television", "parlour", 80, 3.5),
            ("Desk lamp", "study", 9, 6),
        )
    ),
    candidates=(
        Candidate(name="Alder", storage_wh=4000, continuous_w=3000, surge_w=6000, ac_volts=120, price=3999),
        Candidate(name="Birch", storage_wh=2000, continuous_w=1500, surge_w=3000, ac_volts=120, price=1999),
    ),
    sun=Sun(latitude_deg=44, coldest_c=-20),
    array=Array(modules=4, power_w=400, voc_v=37, vmp_v=31, isc_a=13.7, imp_a=12.9, voc_tempco=-0.0027),
)
SLOTS = Slots(loads=8, candidates=2, days=3)


@cache
def delivered() -> bytes:
    """The workbook as it is written."""
    return whole(CASE, SLOTS)


class Parts(dict[str, str]):
    """The parts of a workbook that are text, by their names; pictures apart, of which it has none."""

    def __init__(self, data: bytes) -> None:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            super().__init__({name: archive.read(name).decode() for name in archive.namelist()})

    def packed(self) -> bytes:
        """The file."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
            for name, text in self.items():
                archive.writestr(name, text)
        return out.getvalue()

    def sheet(self, name: str) -> str:
        """The part of a sheet."""
        names = re.findall('<sheet name="([^"]+)"', self["xl/workbook.xml"])
        return f"xl/worksheets/sheet{names.index(name) + 1}.xml"

    def swap(self, part: str, old: str, new: str, count: int = 1) -> None:
        """Another text in a part; a regular expression that must be found."""
        text, found = re.subn(old, new, self[part], count=count, flags=re.DOTALL)
        assert found, (part, old)
        self[part] = text

    def retype(self, sheet: str, cell: str, text: str | float | None, formula: str = "") -> None:
        """Something else in a cell; nothing, where it is None."""
        stored = f"<f>{escape(formula)}</f>" if formula else ""
        if text is None:
            inside = stored + "/>"
        elif isinstance(text, str):
            inside = f' t="inlineStr">{stored}<is><t xml:space="preserve">{escape(text)}</t></is></c>'
        else:
            inside = f">{stored}<v>{text!r}</v></c>"
        inside = inside if text is not None else "/>"
        part = self.sheet(sheet)
        pattern = re.compile(f'<c r="{cell}"( s="[0-9]+")?(?: t="[a-zA-Z]+")?(?:/>|>.*?</c>)')
        text_now, found = pattern.subn(lambda at: f'<c r="{cell}"{at[1] or ""}{inside}', self[part], count=1)
        assert found, (sheet, cell)
        self[part] = text_now

    def type_in(self, sheet: str, row: int, col: int, text: str | float | None) -> None:
        """Something typed into a cell, from 0, be it new or not; cleared, where it is None."""
        cell, part = xl(row, col), self.sheet(sheet)
        if f'<c r="{cell}"' not in self[part]:
            self._make_room(part, row + 1, cell)
        self.retype(sheet, cell, text)

    def _make_room(self, part: str, row: int, cell: str) -> None:
        """A blank cell where none is, in the order of rows and columns."""
        line = re.search(f'<row r="{row}"[^>]*(?:(?<=/)>|(?<!/)>.*?</row>)', self[part], re.DOTALL)
        if line is None:
            later = [at for at in re.finditer('<row r="([0-9]+)"', self[part]) if int(at[1]) > row]
            place = later[0].start() if later else self[part].index("</sheetData>")
            self[part] = f'{self[part][:place]}<row r="{row}"><c r="{cell}"/></row>{self[part][place:]}'
            return
        head, _, cells = line[0].removesuffix("/>").removesuffix("</row>").partition(">")
        there = re.findall('<c r="[^"]+"[^>]*(?:(?<=/)>|(?<!/)>.*?</c>)', cells, re.DOTALL)
        after = [each for each in there if _order(each.split('"')[1]) > _order(cell)]
        kept = cells.removesuffix("".join(after))
        self[part] = self[part].replace(line[0], f'{head}>{kept}<c r="{cell}"/>{"".join(after)}</row>', 1)


def _order(cell: str) -> tuple[int, str]:
    """Columns as they follow on each other."""
    column = cell.rstrip("0123456789")
    return len(column), column


def altered(change: Callable[[Parts], None]) -> bytes:
    """The delivered workbook with a change made to its parts."""
    parts = Parts(delivered())
    change(parts)
    return parts.packed()


def taken(data: bytes) -> Returned:
    """A file as the reader takes it."""
    findings = Findings()
    returned = returned_of(read_xlsx(data, "a.xlsx"), "a.xlsx", findings)
    assert returned is not None, findings.errors
    return returned


@cache
def as_delivered() -> Returned:
    """The workbook as it was written, read."""
    return taken(delivered())


def standing() -> list[tuple[str, str, Label]]:
    """Every standing text that fills a cell: its sheet, its cell, and what it is."""
    return [
        (page.sheet.name, xl(label.row, label.col), label)
        for page in as_delivered().shipped.pages
        for label in page.labels()
        if label.text and label.text != "money"
    ]
