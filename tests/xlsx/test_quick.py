"""A sheet that is written plainly is read at once: to the same cells, or refused in the same words, as tag by tag."""

import io
from random import Random

import openpyxl
import pytest
import xlsxwriter

from holdover.xlsx import Book, CellData, stream
from xlsx.fuzz import changed_text, rich_parts
from xlsx.inside import CELL_CASES, FORMULAS
from xlsx.pack import MAIN, book, cell, pack, parts, sheet, strings, styles, workbook
from xlsx.ways import both_ways

STYLES = styles('<xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="9"/>')
"""Format 1 shows a date, format 2 a percentage."""

PLAIN = {
    "number": ('<c r="A1"><v>750</v></c>', CellData(750.0, "", "number")),
    "negative": ('<c r="A1" t="n"><v>-1.5E-3</v></c>', CellData(-0.0015, "", "number")),
    "percentage": ('<c r="A1" s="2"><v>0.35</v></c>', CellData(0.35, "", "number", percent=True)),
    "date": ('<c r="A1" s="1"><v>45000.5</v></c>', CellData(45000.5, "", "date")),
    "text": ('<c r="A1" s="1" t="s"><v>1</v></c>', CellData("Watts", "", "text")),
    "text worked out": ('<c r="A1" t="str"><f>B1</f><v>a &lt; b&apos; &amp;apos; _x0041_</v></c>', CellData("a < b' &apos; A", "=B1", "text")),
    "empty text": ('<c r="A1" t="str"><f>B1</f><v></v></c>', CellData("", "=B1", "text")),
    "empty text, cut short": ('<c r="A1" t="str"><f>B1</f><v/></c>', CellData("", "=B1", "text")),
    "no result": ('<c r="A1" s="0"><f>B1</f><v></v></c>', CellData(None, "=B1", "blank")),
    "no value": ('<c r="A1" t="str"><f>B1</f></c>', CellData(None, "=B1", "blank")),
    "inline": ('<c r="A1" t="inlineStr"><is><t xml:space="preserve"> Well pump </t></is></c>', CellData(" Well pump ", "", "text")),
    "of two lines": ('<c r="A1" t="str"><v>one\ntwo\tthree</v></c>', CellData("one\ntwo\tthree", "", "text")),
    "true": ('<c r="A1" t="b"><v>1</v></c>', CellData(True, "", "bool")),
    "error": ('<c r="A1" t="e"><f>1/0</f><v>#DIV/0!</v></c>', CellData("#DIV/0!", "=1/0", "error")),
    "date in words": ('<c r="A1" t="d"><v>2024-02-29</v></c>', CellData(45351.0, "", "date")),
    "array": ('<c r="A1"><f t="array" ref="A1:A2">B1:B2*2</f><v>1</v></c>', CellData(1.0, "=B1:B2*2", "number")),
    "always worked out": ('<c r="A1"><f aca="false">"&lt;"&amp;B1</f><v>1</v></c>', CellData(1.0, '="<"&B1', "number")),
    "spaced": ('\n <c r="A1" >\n  <f>B1</f>\n  <v>2</v>\n </c>\n', CellData(2.0, "=B1", "number")),
}  # fmt: skip
"""Cells as programs write them, and what they hold."""


@pytest.mark.parametrize(("written", "held"), PLAIN.values(), ids=PLAIN)
def test_a_plain_cell_is_taken_at_once(written: str, held: CellData) -> None:
    """It holds what it says, and the same tag by tag; one with nothing but a format is left out."""
    beside = '<c r="B1" s="1"/><c r="C1" t="s"></c>'
    quickly, by_tags, taken = both_ways(book(sheet=cell(written + beside), styles=STYLES))
    assert isinstance(quickly, Book)
    assert quickly.sheets[0].rows == {1: {1: held}}
    assert (quickly, taken) == (by_tags, [True])


def test_days_count_from_1904_where_the_workbook_says_so() -> None:
    """A date is moved by the days between the two beginnings, a number is not."""
    rows = cell('<c r="A1" s="1"><v>45000</v></c><c r="B1"><v>45000</v></c>')
    quickly, by_tags, taken = both_ways(book(book=workbook(more='<workbookPr date1904="1"/>'), sheet=rows))
    assert isinstance(quickly, Book)
    assert [each.value for each in quickly.sheets[0].rows[1].values()] == [46462.0, 45000.0]
    assert (quickly, taken) == (by_tags, [True])


def test_a_shared_formula_reads_as_in_its_own_cell() -> None:
    """Three cells share a formula, a fourth begins another; hidden rows and rows of nothing are told."""
    rows = (
        '<row r="2" hidden="1" ht="15" customHeight="1"/>'
        '<row r="3" spans="1:3"><c r="A3"><f t="shared" si="0" ref="A3:C3">A$1+B2</f><v>1</v></c>'
        '<c r="B3"><f t="shared" si="0"/><v>2</v></c><c r="C3" t="str"><f t="shared" si="0"></f><v>x</v></c></row>'
        '<row r="7"><c r="B7"><f t="shared" ref="B7:B8" si="1">B6</f><v>1</v></c></row><row r="9" hidden="true"></row>'
    )
    after = '<mergeCells><mergeCell ref="A1:B2"/></mergeCells>'
    quickly, by_tags, taken = both_ways(book(sheet=sheet(rows, after=after)))
    assert isinstance(quickly, Book)
    formulas = [each.formula for row in quickly.sheets[0].rows.values() for each in row.values()]
    assert formulas == ["=A$1+B2", "=B$1+C2", "=C$1+D2", "=B6"]
    assert quickly.sheets[0].hidden_rows == {2, 9}
    assert quickly.sheets[0].merged == ((1, 1, 2, 2),)
    assert (quickly, taken) == (by_tags, [True])


ONE = '<c r="A1"><v>1</v></c>'
ODD = {
    "comment": f"{ONE}<!-- -->",
    "literal": '<c r="A1" t="str"><v><![CDATA[x]]></v></c>',
    "instruction": f"{ONE}<?x?>",
    "word between": f"{ONE}x",
    "prefix": f'<m:c xmlns:m="{MAIN}" r="A1"><v>1</v></m:c>',
    "other space of names": '<c xmlns="urn:x" r="A1"><v>1</v></c>',
    "return": '<c r="A1" t="str"><v>a\r\nb\rc</v></c>',
    "number of a character": '<c r="A1" t="str"><v>a&#10;b&#x41;</v></c>',
    "runs": '<c r="A1" t="inlineStr"><is><r><t>a</t></r><r><t>b</t></r></is></c>',
    "aid to reading": '<c r="A1" t="inlineStr"><is><t>a</t><rPh sb="0" eb="1"><t>b</t></rPh></is></c>',
    "value and text": '<c r="A1" t="inlineStr"><v>1</v><is><t>a</t></is></c>',
    "text that is no text beside a number": '<c r="A1"><v>1</v><is><t>&x;</t></is></c>',
    "text of another type": '<c r="A1" t="inl"><is><t>a</t></is></c>',
    "value of a text": '<c r="A1" t="inlineStr"><v>1</v></c>',
    "value before formula": '<c r="A1"><v>1</v><f>B1</f></c>',
    "two values": '<c r="A1"><v>1</v><v>2</v></c>',
    "no place": "<c><v>1</v></c>",
    "place in small letters": '<c r="a1"><v>1</v></c>',
    "place of another row": '<c r="A2"><v>1</v></c>',
    "zero before its number": '<c r="A01"><v>1</v></c>',
    "twice": ONE + ONE,
    "outside of the grid": '<c r="XFE1"><v>1</v></c>',
    "beyond the last column": '<c r="BMK1"><v>1</v></c>',
    "attribute twice": '<c r="A1" s="1" s="1"><v>1</v></c>',
    "unknown attribute": '<c r="A1" x="1"><v>1</v></c>',
    "attribute without its prefix": '<c r="A1" x14ac:dyDescent="1"><v>1</v></c>',
    "attribute without its prefix, of a row": f'{ONE}</row><row r="2" x14ac:dyDescent="1">',
    "attribute twice, of a row": f'{ONE}</row><row r="2" ht="1" ht="1">',
    "attribute twice, of a formula": '<c r="A1"><f ca="1" ca="1">B1</f></c>',
    "attribute with an entity": '<c r="A1" t="&#110;"><v>1</v></c>',
    "unknown entity": '<c r="A1" t="str"><v>&x;</v></c>',
    "bare ampersand": '<c r="A1" t="str"><v>a & b</v></c>',
    "no character of XML": '<c r="A1" t="str"><v>\x01</v></c>',
    "no character of XML, in a formula": '<c r="A1"><f>B1&amp;"\x1f"</f><v>1</v></c>',
    "no character of XML, inline": '<c r="A1" t="inlineStr"><is><t>\uffff</t></is></c>',
    "no character of XML, between rows": f"{ONE}</row>\x0c",
    "end of a literal": '<c r="A1" t="str"><v>]]></v></c>',
    "end of a literal, in a formula": '<c r="A1"><f>A[B[1]]>2</f><v>1</v></c>',
    "bare ampersand in a formula": '<c r="A1"><f>A2&A3&amp;A4</f><v>1</v></c>',
    "entity in capitals": '<c r="A1"><f>A2&LT;A3</f><v>1</v></c>',
    "ampersand that only seems one": '<c r="A1"><f>A2&amp;&;lt;</f><v>1</v></c>',
    "unclosed": '<c r="A1"><v>1</v>',
    "closed twice": f"{ONE}</c>",
    "row in a row": f'<row r="2">{ONE}</row>',
    "row closed twice": f"{ONE}</row>",
    "row before": f'{ONE}</row><row r="1"><c r="B1"><v>1</v></c>',
    "row without a number": f"{ONE}</row><row><c><v>1</v></c>",
    "row outside of the grid": f'{ONE}</row><row r="1048577">',
    "row too far down": f'{ONE}</row><row r="20001"><c r="A20001"><v>1</v></c>',
    "too large": '<c r="A1"><v>1e999</v></c>',
    "number after a tab": '<c r="A1"><v>\t45000.5</v></c>',
    "no number": '<c r="A1"><v>1.2.3</v></c>',
    "number of 101 digits": f'<c r="A1"><v>{"1" * 101}</v></c>',
    "long text": f'<c r="A1" t="str"><v>{"x" * 50_001}</v></c>',
    "text that is not there": '<c r="A1" t="s"><v>2</v></c>',
    "number of a text with a sign": '<c r="A1" t="s"><v>+1</v></c>',
    "unknown type": '<c r="A1" t="zz"><v>1</v></c>',
    "neither true nor false": '<c r="A1" t="b"><v>2</v></c>',
    "no date": '<c r="A1" t="d"><v>x</v></c>',
    "table of data": '<c r="A1"><f t="dataTable" r1="B1"/><v>1</v></c>',
    "table of data that says no more": '<c r="A1"><f t="dataTable"/><v>1</v></c>',
    "shared by nobody": '<c r="A1"><f t="shared" si="7"/><v>1</v></c>',
    "shared twice": '<c r="A1"><f t="shared" si="0">B1</f></c><c r="B1"><f t="shared" si="0">C1</f></c>'
    '<c r="C1"><f t="shared" si="0"/></c>',
}
"""What may stand in a row and is not plain."""


@pytest.mark.parametrize("inside", ODD.values(), ids=ODD)
def test_what_is_not_plain_is_heard_tag_by_tag(inside: str) -> None:
    """It is read, or refused, as if nothing had been tried."""
    quickly, by_tags, taken = both_ways(book(sheet=cell(inside)))
    assert quickly == by_tags
    assert True not in taken


AROUND = {
    "in a comment": f'<worksheet xmlns="{MAIN}"><!--<sheetData><row r="1">{ONE}</row></sheetData>--></worksheet>',
    "in a literal": f'<worksheet xmlns="{MAIN}"><x><![CDATA[<sheetData><row r="1">{ONE}</row></sheetData>]]></x></worksheet>',
    "in a comment of another": f'<worksheet xmlns="{MAIN}"><sheetData x="1"><!--<sheetData><row r="1">{ONE}</row></sheetData>-->'
    "</sheetData></worksheet>",
    "in a literal of another": f'<worksheet xmlns="{MAIN}"><sheetData x="1"><![CDATA[<sheetData><row r="1">{ONE}</row></sheetData>]]>'
    "</sheetData></worksheet>",
    "of another space": f'<m:worksheet xmlns:m="{MAIN}" xmlns="urn:x"><sheetData><row r="1">{ONE}</row></sheetData></m:worksheet>',
    "deeper": f'<worksheet xmlns="{MAIN}"><x><sheetData><row r="1">{ONE}</row></sheetData></x></worksheet>',
    "after a row": f'<worksheet xmlns="{MAIN}"><row r="1"><c><v>7</v></c></row><sheetData><row r="1">{ONE}</row></sheetData></worksheet>',
    "not UTF-8": f'<worksheet xmlns="{MAIN}"><sheetData><row r="1"><c r="A1" t="str"><v>\udcff</v></c></row></sheetData></worksheet>',
    "cut off": f'<worksheet xmlns="{MAIN}"><sheetData><row r="1">{ONE}</row><row r="2"></sheetData></worksheet>',
}  # fmt: skip
"""Rows that are not those of a sheet."""


@pytest.mark.parametrize("text", AROUND.values(), ids=AROUND)
def test_rows_elsewhere_are_heard_tag_by_tag(text: str) -> None:
    """What only looks like the rows of a sheet is none of its rows."""
    quickly, by_tags, taken = both_ways(book(sheet=text.encode("utf-8", "surrogateescape")))
    assert quickly == by_tags
    assert True not in taken


def test_what_follows_the_rows_is_heard_as_ever() -> None:
    """Rows that come again, and cells without a place, count on from where the plain ones end; so it is refused, too."""
    head, tail = sheet(f'<row r="1">{ONE}</row>').split("</worksheet>")[0], "</worksheet>"
    for more in (
        "<sheetData><row><c><v>2</v></c></row></sheetData>",
        "<row><c><v>2</v></c></row>",
        '<row r="1"><c r="A1"><v>2</v></c></row>',
        "<c><v>2</v></c>",
        "<sheetData>",
    ):
        quickly, by_tags, taken = both_ways(book(sheet=head + more + tail))
        assert (quickly, taken) == (by_tags, [True])


MANY = ("wide_characters", "shared_fair", "quotes_in_formats", "brackets_in_formats", "shared_bomb_of_many")
HOSTILE = {name: make for name, make, _ in (*CELL_CASES, *FORMULAS) if not name[0].isdigit() and name not in MANY}
"""Sheets that are wrong or odd, without those that are only so much of the same that they take a while."""


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_sheet_is_refused_in_the_same_words(name: str) -> None:
    """Whatever is wrong with it, both ways say the same."""
    quickly, by_tags, _ = both_ways(HOSTILE[name]())
    assert quickly == by_tags


def plain_parts() -> dict[str, str | bytes]:
    """A workbook with one of everything that is plain."""
    cells = [written.replace('r="A1"', f'r="{chr(65 + i)}2"') for i, (written, _) in enumerate(PLAIN.values())]
    rows = (
        '<row r="1" spans="1:3"><c r="A1"><f t="shared" si="0" ref="A1:C1">A$3+B2</f><v>1</v></c>'
        '<c r="B1"><f t="shared" si="0"/><v>2</v></c></row>'
        f'<row r="2">{"".join(cells)}</row><row r="4" hidden="1"/><row r="5"><c r="A5" t="s"><v>1</v></c></row>'
    )
    return {**rich_parts(), **parts(sheet=sheet(rows), styles=STYLES, strings=strings("<t>Load</t>", "<t>Watts</t>"))}


def test_whatever_is_changed_both_ways_agree() -> None:
    """300 changes of a plain sheet: many leave it plain, many do not, and what comes out is the same."""
    luck, usual = Random(5), plain_parts()
    name = "xl/worksheets/sheet1.xml"
    at_once = 0
    for _ in range(300):
        changed = changed_text(str(usual[name]), luck) or " "
        quickly, by_tags, taken = both_ways(pack({**usual, name: changed}, 0))
        assert quickly == by_tags, changed
        at_once += any(taken)
    assert 50 < at_once < 250


@pytest.mark.parametrize("limit", ["MAX_CELLS", "MAX_TEXTS", "MAX_MOVED", "MAX_MOVES", "MAX_TAGS"])
def test_what_costs_too_much_is_refused_in_the_same_words(limit: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Limits are reached at the same place both ways, and what fits to the last is read."""
    data = pack(plain_parts(), 0)
    usual = getattr(stream, limit)
    refused = 0
    for most in range(0, 150, 3):
        monkeypatch.setattr(stream, limit, most)
        quickly, by_tags, _ = both_ways(data)
        assert quickly == by_tags, most
        refused += not isinstance(quickly, Book)
    monkeypatch.setattr(stream, limit, usual)
    assert refused
    assert isinstance(both_ways(data)[0], Book)


@pytest.mark.parametrize(("most", "is_read"), [(0, False), (3, False), (4, True), (5, True), (1000, True)])
def test_references_are_counted_where_an_estimate_is_too_much(
    most: int, is_read: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two formulas of two references, each repeated in another cell, move four: a length of 35 may hold twelve."""
    text = f'A1&amp;B1&amp;"{"x" * 27}"'
    rows = "".join(
        f'<c r="{letter}1" t="str"><f t="shared" si="{i}"{about}</c>'
        for letter, i, about in (("C", 0, f">{text}</f>"), ("D", 0, "/>"), ("E", 1, f">{text}</f>"), ("F", 1, "/>"))
    )
    monkeypatch.setattr(stream, "MAX_MOVES", most)
    quickly, by_tags, taken = both_ways(book(sheet=cell(rows)))
    assert quickly == by_tags
    assert (isinstance(quickly, Book), True in taken) == (is_read, is_read)


def test_what_was_tried_costs_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of three cells whose texts are too long the texts are told, not that six cells are more than three."""
    texts = "".join(f'<c r="{letter}1" t="str"><v>{"x" * 40}</v></c>' for letter in "ABC")
    monkeypatch.setattr(stream, "MAX_CELLS", 3)
    monkeypatch.setattr(stream, "MAX_TEXTS", 100)
    quickly, by_tags, _ = both_ways(book(sheet=cell(texts)))
    assert quickly == by_tags
    assert not isinstance(quickly, Book)
    assert "characters of text" in quickly[0]


def test_a_sheet_of_many_slices_is_one_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows are decoded so many at a time; where one is cut, nothing is lost."""
    rows = "".join(
        f'<row r="{i}"><c r="A{i}" t="str"><v>ä€😀{i}</v></c><c r="B{i}"><f>A{i}</f><v>{i}</v></c></row>'
        for i in range(1, 300)
    )
    data = book(sheet=sheet(rows))
    whole = both_ways(data)
    for size in (100, 101, 102, 103, 1000):
        monkeypatch.setattr("holdover.xlsx.quick.SLICE", size)
        assert both_ways(data) == whole
    assert whole[2] == [True]
    monkeypatch.setattr("holdover.xlsx.quick.SLICE", 40)
    assert both_ways(data) == (*whole[:2], [False])


def by_openpyxl() -> bytes:
    """A workbook that openpyxl saved."""
    target, made = io.BytesIO(), openpyxl.Workbook()
    page = made.worksheets[0]
    for row in (["Load", "W", "On"], ["Well pump & more", 750, True], ["Lamp", 0.5, "=B2*2"], [None, "#N/A", "=A1"]):
        page.append(row)
    page["D9"].number_format = "0%"
    page["D9"] = 0.35
    made.save(target)
    return target.getvalue()


def by_xlsxwriter() -> bytes:
    """A workbook that XlsxWriter saved."""
    target = io.BytesIO()
    made = xlsxwriter.Workbook(target, {"in_memory": True})
    page = made.add_worksheet("Loads")
    page.write_row(0, 0, ["Load", "W < 1 kW", 750.25, True, ""])
    page.write_formula(1, 0, '=IF(B1="","a & b",C1)', None, "a & b")
    page.write_number(2, 0, 45000, made.add_format({"num_format": "yyyy-mm-dd"}))
    page.write_blank(3, 0, None, made.add_format({"bold": True}))
    page.set_row(4, 30, None, {"hidden": True})
    made.close()
    return target.getvalue()


@pytest.mark.parametrize("save", [by_openpyxl, by_xlsxwriter])
def test_what_programs_save_is_plain(save: object) -> None:
    """Each of their sheets is taken at once, and reads the same tag by tag."""
    assert callable(save)
    quickly, by_tags, taken = both_ways(save())
    assert isinstance(quickly, Book)
    assert (quickly, set(taken)) == (by_tags, {True})
