"""Cells written straight: nothing that somebody typed becomes a formula, and the file is XlsxWriter's, cell for cell."""

import io
import math
import re
import zipfile
from collections.abc import Iterable, Iterator
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from openpyxl.formula.translate import Translator
from xlsxwriter.worksheet import Worksheet

from engines.cases import CORNERS, SAMPLES, generated, sample
from holdover.model.study import study
from holdover.workbook import write
from holdover.workbook.book import build
from holdover.workbook.cells import CellError, Cells, element, escaped
from holdover.workbook.grid import xl
from holdover.workbook.package import SealedBook, SealedPackage
from holdover.xlsx import column_number
from holdover.xlsx.shared import SharedFormula

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
ANY_TEXT = st.text(st.characters(codec=None, exclude_categories=()))
ODD = ("=1+1", "_x000D_", "_x005F_x0041_", "a\rb", "<f>1</f>", "]]>", "&amp;", "\x00\x1f\ufffe", "\ud800", '"', "'", "")
CASES = {
    **{path.name: sample(path) for path in SAMPLES},
    **{name: CORNERS[name] for name in ("empty", "on the hour")},
    **{f"generated {seed}": generated(seed) for seed in (7, 300)},
}


def whole(text: str) -> str:
    """A text without half characters."""
    return re.sub("[\ud800-\udfff]", "\ufffd", text)


def said(text: str) -> str:
    """What a spreadsheet program reads in a text of a file (ECMA-376 part 1, 22.9.2.19)."""
    return re.sub("_x([0-9A-Fa-f]{4})_", lambda match: chr(int(match[1], 16)), text)


@given(ANY_TEXT)
@example("".join(ODD))
def test_any_text_is_read_as_it_was(text: str) -> None:
    """Whatever a text is made of, it comes out of XML and of the escapes of spreadsheets as it went in."""
    found = ElementTree.fromstring(f"<v>{escaped(text)}</v>")  # noqa: S314 (our own text)
    assert said(found.text or "") == whole(text)
    assert not len(found)


VALUES = st.one_of(ANY_TEXT, st.sampled_from(ODD), st.floats(allow_nan=False, allow_infinity=False), st.integers(-9, 9))


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 800), VALUES), max_size=30))
def test_what_is_typed_is_never_a_formula(typed: list[tuple[int, int, str | float]]) -> None:
    """Texts and numbers of any kind give cells of texts and numbers, each where it belongs, in order, and no formula."""
    strings: list[str] = []
    cells = Cells(lambda text: strings.append(text) or len(strings) - 1)  # type: ignore[func-returns-value]
    for row, col, value in typed:
        if isinstance(value, str):
            cells.text(row, col, 1, value)
        else:
            cells.number(row, col, 1, value)
    wanted = {xl(row, col): value for row, col, value in typed}
    rows = [(row, ElementTree.fromstring(f"<row>{line}</row>")) for row, line in cells.rows()]  # noqa: S314
    found = {}
    for row, line in rows:
        columns = [re.sub(r"\d", "", str(cell.get("r"))) for cell in line]
        assert columns == sorted(columns, key=lambda letters: (len(letters), letters))
        for cell in line:
            assert cell.find("f") is None
            assert str(cell.get("r")).endswith(str(row + 1))
            stored = cell.findtext("v") or ""
            found[cell.get("r")] = strings[int(stored)] if cell.get("t") == "s" else float(stored)
    assert [row for row, _ in rows] == sorted({row for row, *_ in typed})
    assert found == wanted


@given(ANY_TEXT)
@example("</v></c><c><f>1+1</f>")
def test_a_result_stays_within_its_cell(text: str) -> None:
    """A result that holds words of a user, whatever they are, is the result of that formula and nothing more."""
    cells = Cells(len)
    cells.formula(0, 0, 1, 'A1&"<"', text)
    tags = cells.share(element("A1<2"), (1, 0), (3, 0))
    cells.formulas([(1, 0), (2, 0)], 1, tags, [text, text])
    lines = [ElementTree.fromstring(f"<row>{line}</row>") for _, line in cells.rows()]  # noqa: S314
    assert [[child.tag for child in cell] for line in lines for cell in line] == [["f", "v"]] * 3
    assert [line.findtext("c/f") for line in lines] == ['A1&"<"', "A1<2", ""]
    assert {said(line.findtext("c/v") or "") for line in lines} == {whole(text)}


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(value: float) -> None:
    """A file can hold neither infinity nor what is no number: it would be damaged."""
    cells = Cells(len)
    with pytest.raises(CellError, match="no number"):
        cells.number(0, 0, 1, value)
    with pytest.raises(CellError, match="no number"):
        cells.formula(0, 0, 1, "1/0", value)


def test_numbers_are_short_and_exact() -> None:
    """A whole number has no point, zero has no sign, what is typed keeps its last bit, a result eleven digits."""
    cells = Cells(len)
    for col, value in enumerate((5.0, -0.0, 0.1 + 0.2, 7, 1e300)):
        cells.number(0, col, 1, value)
        cells.formula(1, col, 1, "1", value)
    (_, typed), (_, results) = cells.rows()
    assert re.findall("<v>(.*?)</v>", typed) == ["5", "0", "0.30000000000000004", "7", "1e+300"]
    assert re.findall("<v>(.*?)</v>", results) == ["5", "0", "0.3", "7", "1e+300"]


def test_no_cell_is_part_of_two() -> None:
    """Merged cells that overlap would be repaired away; they are refused with the place."""
    cells = Cells(len)
    cells.span(3, 1, 4, 1, edged=True)
    cells.span(3, 5, 6, 1, edged=False)
    assert cells.merged() == [[3, 1, 3, 4], [3, 5, 3, 6]]
    cells.span(3, 4, 5, 1, edged=True)
    with pytest.raises(CellError, match="E4 "):
        cells.merged()


def test_behind_a_merged_cell_stands_only_what_is_seen() -> None:
    """With an edge every cell of it has the look, without one the first."""
    cells = Cells(len)
    cells.span(0, 0, 2, 1, edged=True)
    cells.span(1, 0, 2, 1, edged=False)
    assert [line.count("<c ") for _, line in cells.rows()] == [3, 1]
    cells.span(1, 0, 2, 1, edged=False)
    assert cells.ends() == ((1, 0), (1, 2))


class PlainCells(Cells):
    """The same cells, each written by XlsxWriter itself; what is kept here tells where formulas stand."""

    def __init__(self, sheet: "PlainSheet") -> None:
        super().__init__(len)
        self.sheet = sheet
        self.first: dict[str, Translator] = {}

    def look(self, number: int) -> Any:
        """The format that has a number."""
        formats = self.sheet.workbook_add_format.__self__.formats
        return next(each for each in formats if each.xf_index == number)

    def blank(self, row: int, col: int, look: int) -> None:
        super().blank(row, col, look)
        assert self.sheet.write_blank(row, col, None, self.look(look)) == 0

    def text(self, row: int, col: int, look: int, words: str) -> None:
        super().text(row, col, look, words)
        assert self.sheet.write_string(row, col, words, self.look(look)) == 0

    def number(self, row: int, col: int, look: int, value: float) -> None:
        super().number(row, col, look, value)
        assert self.sheet.write_number(row, col, value, self.look(look)) == 0

    def formulas(
        self, places: Iterable[tuple[int, int]], look: int, tags: Iterable[str], results: Iterable[float | str]
    ) -> None:
        at, written, stored = [*places], [*tags], [*results]
        super().formulas(at, look, written, stored)
        for (row, col), tag, result in zip(at, written, stored, strict=True):
            found = ElementTree.fromstring(tag)  # noqa: S314 (our own text)
            words, number = f"={found.text or ''}", found.get("si")
            if number and found.get("ref"):
                self.first[number] = Translator(words, xl(row, col))
            elif number:
                words = self.first[number].translate_formula(xl(row, col))
            shown = result if isinstance(result, str) else float(f"{result:.11g}")
            assert self.sheet.write_formula(row, col, words, self.look(look), shown) == 0

    def span(self, row: int, left: int, right: int, look: int, *, edged: bool) -> None:
        assert self.sheet.merge_range(row, left, row, right, "", self.look(look) if edged else None) == 0
        if not edged:
            self.blank(row, left, look)


class PlainSheet(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """A sheet that is XlsxWriter's in everything."""

    def __init__(self) -> None:
        super().__init__()
        self.cells = PlainCells(self)

    def _prepare_formula(self, formula: str, _expand: bool = False) -> str:
        return formula.removeprefix("=")


def by_xlsxwriter(book: SealedBook, names: Iterable[tuple[str, str]]) -> None:
    """Names, each searched by XlsxWriter."""
    assert {book.define_name(*each) for each in names} == {0}


def parts_of(data: bytes) -> dict[str, str]:
    """The parts of a file but for the time and the seal."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = [name for name in archive.namelist() if name != "docProps/core.xml"]
        return {name: re.sub(">[0-9a-f]{32}<", "><", archive.read(name).decode()) for name in names}


def without_cells(sheet: str) -> str:
    """A sheet's XML with its rows, but without what stands in them; what merged cells there are, in order."""
    merged = sorted(re.findall('<mergeCell ref="[^"]*"/>', sheet))
    bare = re.sub("<c [^>]*/>|<c [^>]*>.*?</c>", "", re.sub("<mergeCell ref.*?/>", "", sheet), flags=re.DOTALL)
    return re.sub(r' spans="[\d:]*"', "", bare).replace("/></row>", "/>").replace("></row>", "/>") + "".join(merged)


def cells_of(sheet: str) -> Iterator[tuple[str | None, ...]]:
    """Every cell of a sheet: place, look, kind, its formula as it reads there, and its stored value or result."""
    shared: dict[str, SharedFormula] = {}
    for row in ElementTree.fromstring(sheet.encode()).iter(f"{MAIN}row"):  # noqa: S314 (our own file)
        for cell in row:
            place, formula, value = cell.get("r", ""), cell.find(f"{MAIN}f"), cell.findtext(f"{MAIN}v")
            words = None if formula is None else formula.text
            if formula is not None and "si" in formula.keys():  # noqa: SIM118 (an element is no mapping)
                index, column = formula.get("si", ""), column_number(place.rstrip("0123456789"))
                if words:
                    shared[index] = SharedFormula(words, int(row.get("r", "")), column)
                words = shared[index].at(int(row.get("r", "")), column)
            number = bool(value) and not cell.get("t")  # XlsxWriter writes sixteen digits, a sign of zero, and a point
            yield place, cell.get("s"), cell.get("t"), words, f"{float(value or 0) + 0.0:.16g}" if number else value


@pytest.mark.parametrize("name", CASES)
def test_the_file_is_the_one_that_xlsxwriter_writes(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """All parts but the sheets are the same bytes, sheets the same but for their cells, and cells the same one by one."""
    worked_out = study(CASES[name])
    straight = build(worked_out, version="test")
    monkeypatch.setattr(write, "StraightSheet", PlainSheet)
    monkeypatch.setattr(SealedBook, "define", by_xlsxwriter)
    monkeypatch.delattr(SealedBook, "_write_defined_names")
    monkeypatch.delattr(SealedPackage, "_write_shared_strings_file")
    plain = build(worked_out, version="test")
    ours, theirs = parts_of(straight), parts_of(plain)
    assert list(ours) == list(theirs)
    for part, text in ours.items():
        if part.startswith("xl/worksheets/sheet"):
            assert without_cells(text) == without_cells(theirs[part]), part
            both = zip(cells_of(text), cells_of(theirs[part]), strict=True)
            assert [(mine, other) for mine, other in both if mine != other] == [], part
        else:
            assert text == theirs[part], part


@pytest.mark.parametrize("title", ["<r><b></r>", "<r><t>x</t></r>", " <r>", "_x0041_ ", "a\n"])
def test_no_text_is_taken_for_markup(title: str) -> None:
    """A title in the brackets that rich text has in a file is that text, and the file is sound."""
    about = CASES["empty"].about.model_copy(update={"title": title})
    data = build(study(CASES["empty"].model_copy(update={"about": about})), version="test")
    texts = ElementTree.fromstring(parts_of(data)["xl/sharedStrings.xml"])  # noqa: S314 (our own file)
    assert title in {said(each.text or "") for each in texts.iter(f"{MAIN}t")}


IN_ORDER = [
    "sheetPr",
    "dimension",
    "sheetViews",
    "sheetFormatPr",
    "cols",
    "sheetData",
    "sheetProtection",
    "mergeCells",
    "conditionalFormatting",
    "dataValidations",
    "printOptions",
    "pageMargins",
    "pageSetup",
    "headerFooter",
    "rowBreaks",
    "colBreaks",
    "drawing",
    "legacyDrawing",
]
"""Of the parts of a sheet those that are written, in the order of ECMA-376 part 1, 18.3.1.99; from memory."""


@pytest.mark.parametrize("name", CASES)
def test_everything_stands_in_the_order_of_the_standard(name: str) -> None:
    """Parts of a sheet, rows and cells follow each other as programs want them, and say nothing that is not known."""
    for part, text in parts_of(build(study(CASES[name]), version="test")).items():
        if not part.startswith("xl/worksheets/sheet"):
            continue
        root = ElementTree.fromstring(text.encode())  # noqa: S314 (our own file)
        order = [IN_ORDER.index(child.tag.removeprefix(MAIN)) for child in root]
        assert order == sorted(order), part
        rows = [int(str(row.get("r"))) for row in root.iter(f"{MAIN}row")]
        assert rows == sorted(set(rows)), part
        shares: dict[str, int] = {}
        for row in root.iter(f"{MAIN}row"):
            columns = [column_number(str(cell.get("r")).removesuffix(str(row.get("r")))) for cell in row]
            assert columns == sorted(set(columns)), part
            for cell in row:
                assert cell.keys() in (["r", "s"], ["r", "s", "t"]), part
                assert cell.get("t") in (None, "s", "str"), part
                for formula in cell.iter(f"{MAIN}f"):
                    index = formula.get("si")
                    if index is not None:
                        assert (index in shares) == (formula.text is None), part
                        shares[index] = shares.get(index, 0) + 1
