"""Workbooks whose sheets, formats, texts, formulas or structure are wrong, hostile or odd; see `files.py`."""

from collections.abc import Callable

from xlsx.pack import LAUGHS, MAIN, OLE, REL, book, cell, pack, parts, relations, sheet, strings, styles, workbook

Case = tuple[str, Callable[[], bytes], str]
SHEETS = [("worksheet", "worksheets/sheet1.xml")]
STRINGS = ("sharedStrings", "sharedStrings.xml")
MAIN_PART = ("officeDocument", "xl/workbook.xml")
DATE = cell('<c r="A1" s="1"><v>45000</v></c>')


def wide(count: int, inside: str = "<v>1</v>") -> str:
    """Rows with this many cells in all."""
    return "".join(f"<row>{f'<c>{inside}</c>' * 200}</row>" for _ in range(count // 200))


def number(text: str) -> bytes:
    """A workbook whose A1 holds a number written so."""
    return book(sheet=cell(f'<c r="A1"><v>{text}</v></c>'))


def at(place: str, row: str = "1", inside: str = "<v>1</v>") -> bytes:
    """A workbook with a cell at a place."""
    return book(sheet=sheet(f'<row r="{row}"><c r="{place}">{inside}</c></row>'))


def sheets_in(count: int) -> bytes:
    """Many sheets that all point to one part of 20 MB of blanks."""
    names = "".join(f'<sheet name="S{n}" sheetId="{n + 1}" r:id="rId1"/>' for n in range(count))
    return book(book=workbook(names), sheet=sheet(after=" " * 2_000_000))


CELL_CASES: list[Case] = [
    ("dimension_too_small", lambda: book(sheet=sheet(before='<dimension ref="A1"/>')), "read 1 sheet, 5 cells"),
    ("dimension_absurd", lambda: book(sheet=sheet(before='<dimension ref="A1:XFD1048576"/>')), "read 1 sheet, 5 cells"),
    ("dimension_rubbish", lambda: book(sheet=sheet(before='<dimension ref="&lt;"/>')), "read 1 sheet, 5 cells"),
    ("merged_whole", lambda: book(sheet=sheet(after=merged(["A1:XFD1048576"]))), "read 1 sheet, 5 cells, 1 merged"),
    ("merged_30000", lambda: book(sheet=sheet(after=merged([f"A{n}:B{n}" for n in range(30_000)]))), "refused merged"),
    ("merged_rubbish", lambda: book(sheet=sheet(after=merged(["A1:"]))), "refused merged"),
    ("last_of_the_grid", lambda: at("XFD1048576", "1048576"), "refused beyond row 20,000"),
    ("last_row", lambda: at("A1048576", "1048576"), "refused beyond row 20,000"),
    ("last_of_the_grid_empty", lambda: at("XFD1048576", "1048576", ""), "read 1 sheet, 0 cells"),
    ("row_20000", lambda: at("IV20000", "20000"), "read 1 sheet, 1 cells"),
    ("row_20001", lambda: at("A20001", "20001"), "refused beyond row 20,000"),
    ("column_1701", lambda: at("BMK1"), "refused beyond row 20,000 or column 1700"),
    ("row_99999999", lambda: at("A99999999", "99999999"), "refused outside of the grid"),
    ("row_0", lambda: at("A0", "0"), "refused outside of the grid"),
    ("row_negative", lambda: at("A1", "-1"), "refused outside of the grid"),
    ("row_arabic", lambda: at("A1", "\u0661"), "refused"),
    ("column_zzz", lambda: at("ZZZ1"), "refused outside of the grid"),
    ("column_long", lambda: at("A" * 100 + "1"), "refused odd place"),
    ("place_rubbish", lambda: at("1A"), "refused odd place"),
    ("place_of_another_row", lambda: at("A7"), "refused odd place"),
    ("cell_outside_a_row", lambda: book(sheet=sheet("<c><v>1</v></c>")), "refused outside of the grid"),
    ("cell_twice", lambda: book(sheet=cell('<c r="A1"><v>1</v></c><c r="A1"><v>2</v></c>')), "refused there twice"),
    ("no_places", lambda: book(sheet=sheet("<row><c><v>1</v></c><c><v>2</v></c></row>" * 3)), "read 1 sheet, 6 cells"),
    ("no_places_wide", lambda: book(sheet=sheet(f"<row>{'<c><v>1</v></c>' * 1710}</row>")), "refused beyond"),
    ("500000_cells", lambda: book(sheet=sheet(wide(500_000))), "refused more than"),
    ("3000000_cells", lambda: book(sheet=sheet(wide(3_000_000, ""))), "refused"),
    ("200000_cells", lambda: book(sheet=sheet(wide(200_000))), "read 1 sheet, 200000 cells"),
    ("200000_rows", lambda: book(sheet=sheet("<row/>" * 200_000)), "read 1 sheet, 0 cells"),
    ("2000000_rows", lambda: book(sheet=sheet("<row/>" * 2_000_000)), "refused"),
    ("300000_formats", lambda: book(styles=styles("<xf/>" * 300_000)), "refused more than 65,490 cell formats"),
    ("10000_number_formats", lambda: book(styles=styles(before=codes(10_000))), "refused number format"),
    ("brackets_in_a_format", lambda: book(styles=styles(before=codes(1, "[" * 300_000))), "refused number format"),
    ("brackets_in_formats", lambda: book(styles=styles(before=codes(4_900, "[h" * 250))), "read 1 sheet"),
    ("quotes_in_formats", lambda: book(styles=styles(before=codes(4_900, "&quot;_" * 250))), "read 1 sheet"),
    (
        "format_out_of_range",
        lambda: book(sheet=cell('<c r="A1" s="999"><v>45000</v></c>')),
        "read 1 sheet number 45000.0",
    ),
    ("format_rubbish", lambda: book(sheet=cell('<c r="A1" s="x"><v>45000</v></c>')), "read 1 sheet number 45000.0"),
    ("date", lambda: book(sheet=cell('<c r="A1" s="1"><v>45000</v></c>')), "read 1 sheet date 45000.0"),
    ("no_styles", lambda: book(styles=None, rels=relations(*SHEETS), sheet=cell("<c><v>1</v></c>")), "read number 1.0"),
    ("styles_missing", lambda: book(styles=None), "refused its part xl/styles.xml is missing"),
    ("1000000_empty_strings", lambda: book(strings=strings(*["<t/>"] * 1_000_000)), "refused"),
    ("410000_empty_strings", lambda: book(strings=strings(*[""] * 410_000)), "refused too long a text, or too many"),
    ("string_out_of_range", lambda: book(sheet=cell('<c r="A1" t="s"><v>2</v></c>')), "refused text that is not there"),
    ("string_negative", lambda: book(sheet=cell('<c r="A1" t="s"><v>-1</v></c>')), "refused text that is not there"),
    ("string_no_number", lambda: book(sheet=cell('<c r="A1" t="s"><v>x</v></c>')), "refused text that is not there"),
    ("string_superscript", lambda: book(sheet=cell('<c r="A1" t="s"><v>²</v></c>')), "refused text that is not there"),
    ("strings_missing", lambda: book(strings=None), "refused sharedStrings.xml is missing"),
    ("strings_not_named", lambda: book(rels=relations(*SHEETS)), "refused text that is not there"),
    ("20_mb_string", lambda: book(strings=strings(f"<t>{'a' * 20_000_000}</t>", "<t/>")), "refused 16 million char"),
    (
        "20_mb_of_runs",
        lambda: book(strings=strings("<r><t>aaaaaaaaaa</t></r>" * 30_000, "")),
        "refused too long a text",
    ),
    ("300000_characters", lambda: book(sheet=inline("a" * 300_000)), "refused more than 200,000 characters"),
    ("300000_in_runs", lambda: book(sheet=inline("a</t><t>" * 300_000)), "refused more than 200,000 characters"),
    ("40000_characters", lambda: book(sheet=inline("a" * 40_000)), "read 1 sheet, 1 cells"),
    ("17_million_in_all", lambda: book(sheet=sheet(("<row>" + texts(170_000) + "</row>") * 100)), "refused 16 million"),
    ("wide_characters", lambda: book(sheet=sheet(("<row>" + texts(150_000, "😀") + "</row>") * 100)), "read 100 cells"),
    ("escapes", lambda: book(sheet=inline("_x0000__xD800__x000D__x005F_x0041_")), "read text '\\x00\ufffd\\r_x0041_'"),
    ("5000_digits", lambda: number("1" * 5_000), "refused a number that cannot be read"),
    ("infinite", lambda: number("1e999"), "refused a number that is too large"),
    ("inf", lambda: number("inf"), "refused a number that cannot be read"),
    ("nan", lambda: number("nan"), "refused a number that cannot be read"),
    ("underscore", lambda: number("1_000"), "refused a number that cannot be read"),
    ("arabic_digits", lambda: number("١٢"), "refused a number that cannot be read"),
    ("wide_digits", lambda: number("１２"), "refused a number that cannot be read"),
    ("hexadecimal", lambda: number("0x10"), "refused a number that cannot be read"),
    ("comma", lambda: number("1,5"), "refused a number that cannot be read"),
    ("blanks_around", lambda: number("\n 1.5 "), "read number 1.5"),
    ("no_number", lambda: number(""), "read 1 sheet, 0 cells"),
    ("small_number", lambda: number("-4.9E-324"), "read number -5e-324"),
    ("bool_2", lambda: book(sheet=cell('<c r="A1" t="b"><v>2</v></c>')), "refused neither true nor false"),
    ("unknown_kind", lambda: book(sheet=cell('<c r="A1" t="zz"><v>2</v></c>')), "refused unknown kind"),
    ("error", lambda: book(sheet=cell('<c r="A1" t="e"><v>#FOO!</v></c>')), "read error '#FOO!'"),
    ("iso_date", lambda: book(sheet=cell('<c r="A1" t="d"><v>2023-03-15T12:00:00</v></c>')), "read date 45000.5"),
    (
        "210000_areas_of_rules",
        lambda: book(sheet=sheet(after=ruled("A1 " * 70_000) * 3)),
        "refused more than 200,000 areas",
    ),
    ("150000_areas_of_rules", lambda: book(sheet=sheet(after=ruled("A1 " * 75_000) * 2)), "read 1 sheet"),
    ("odd_areas_of_rules", lambda: book(sheet=sheet(after=ruled("A:A 1:3 ZZZZ9 #REF! $B$2 A1:"))), "read 1 sheet"),
    (
        "odd_columns",
        lambda: book(sheet=sheet(before=columns('min="x"', 'min="9" max="1"', 'max="99999999999"'))),
        "read 1 sheet",
    ),
    ("drawing_cut", lambda: drawn("<xdr:wsDr"), "read 1 sheet"),
    ("drawing_of_another_kind", lambda: drawn("<svg/>"), "read 1 sheet"),
    ("drawing_with_laughs", lambda: drawn(f"<!DOCTYPE x [{LAUGHS}]><x>&h;</x>"), "read 1 sheet"),
    ("drawing_without_end", lambda: drawn("<a>" * 1_900_000), "read 1 sheet"),
    ("drawing_missing", lambda: drawn(None), "read 1 sheet"),
    ("iso_rubbish", lambda: book(sheet=cell('<c r="A1" t="d"><v>2023-99-15</v></c>')), "refused a date that cannot be"),
]


def ruled(areas: str) -> str:
    """Areas in which not everything may be typed."""
    return f'<dataValidations><dataValidation type="list" sqref="{areas}"/></dataValidations>'


def columns(*attributes: str) -> str:
    """Columns that are hidden."""
    return "<cols>" + "".join(f'<col {each} hidden="1"/>' for each in attributes) + "</cols>"


def drawn(drawing: str | None) -> bytes:
    """A workbook whose sheet has a drawing; None names one that is not there."""
    at = {"xl/worksheets/_rels/sheet1.xml.rels": relations(("drawing", "../drawings/drawing1.xml"))}
    return book(**at, **({} if drawing is None else {"xl/drawings/drawing1.xml": drawing}))


def merged(areas: list[str]) -> str:
    """Merged areas of a sheet."""
    return "<mergeCells>" + "".join(f'<mergeCell ref="{area}"/>' for area in areas) + "</mergeCells>"


def codes(count: int, code: str = "0.0") -> str:
    """Number formats."""
    return "<numFmts>" + "".join(f'<numFmt numFmtId="{n}" formatCode="{code}"/>' for n in range(count)) + "</numFmts>"


def inline(text: str) -> str:
    """A sheet whose A1 holds a text."""
    return cell(f'<c r="A1" t="inlineStr"><is><t>{text}</t></is></c>')


def texts(length: int, character: str = "a") -> str:
    """A cell with a text."""
    return f'<c t="str"><v>{character * length}</v></c>'


def shared(formula: str, count: int) -> bytes:
    """A workbook in which many cells share one formula."""
    first = f'<row><c><f t="shared" si="0" ref="A1:A9">{formula}</f></c></row>'
    return book(sheet=sheet(first + ("<row>" + '<c><f t="shared" si="0"/></c>' * 100 + "</row>") * (count // 100)))


FORMULAS: list[Case] = [
    ("shared_bomb", lambda: shared("+".join(["A1"] * 2_700), 200_000), "refused too many long formulas"),
    (
        "shared_bomb_of_many",
        lambda: shared("+".join(f"A{i}" for i in range(1, 1_400)), 200_000),
        "refused too many long formulas",
    ),
    ("shared_fair", lambda: shared("A1*2", 50_000), "read 50001 cells"),
    (
        "shared_missing",
        lambda: book(sheet=cell('<c><f t="shared" si="7"/></c>')),
        "refused a formula that is not there",
    ),
    ("many_long_shared", lambda: book(sheet=sheet(long_shared())), "refused 16 million char"),
    ("no_result", lambda: book(sheet=cell("<c><f>1+1</f></c>")), "read blank None =1+1"),
    ("empty_formula", lambda: book(sheet=cell("<c><f/><v>3</v></c>")), "read number 3.0"),
    ("long_formula", lambda: book(sheet=cell(f"<c><f>{'1+' * 150_000}1</f></c>")), "refused more than 200,000"),
    ("array", lambda: book(sheet=cell('<c><f t="array" ref="A1:A2">B1:B2</f><v>1</v></c>')), "read number 1.0 =B1:B2"),
    (
        "data_table",
        lambda: book(sheet=cell('<c><f t="dataTable" r1="A1"/><v>1</v></c>')),
        "read number 1.0 =TABLE(A1,)",
    ),
    ("dde", lambda: book(sheet=cell("<c><f>cmd|'/C calc'!A0</f><v>1</v></c>")), "read number 1.0 =cmd|"),
    (
        "webservice",
        lambda: book(sheet=cell('<c><f>WEBSERVICE("http://127.0.0.1")</f><v>1</v></c>')),
        "read =WEBSERVICE",
    ),
]


def long_shared() -> str:
    """Many cells that each open a long shared formula."""
    formula = ",".join(["A1"] * 2_700)
    return "".join(f'<row><c><f t="shared" si="{n}">{formula}</f></c></row>' for n in range(2_500))


def names(*pairs: tuple[str, str]) -> bytes:
    """A workbook with defined names."""
    rows = "".join(f'<definedName name="{name}">{text}</definedName>' for name, text in pairs)
    return book(book=workbook(more=f"<definedNames>{rows}</definedNames>"))


def linked(kind: str, target: str = "externalLinks/externalLink1.xml", base: str = REL) -> bytes:
    """A workbook that refers to something else."""
    rels = relations(*SHEETS, ("sharedStrings", "sharedStrings.xml"), (kind, target), base=base)
    link = f'<externalLink xmlns="{MAIN}"><ddeLink ddeService="cmd" ddeTopic="/C calc"/></externalLink>'
    return pack(parts(rels=rels) | {"xl/externalLinks/externalLink1.xml": link})


STRUCTURE: list[Case] = [
    ("no_book", lambda: book(book=None), "refused its part xl/workbook.xml is missing"),
    ("no_top", lambda: book(top=None), "refused an archive without a workbook"),
    ("no_book_named", lambda: book(top=relations()), "refused an archive without a workbook"),
    ("no_rels", lambda: book(rels=None), "refused is missing"),
    ("no_sheet_part", lambda: book(sheet=None), "refused its part xl/worksheets/sheet1.xml is missing"),
    (
        "sheet_without_relation",
        lambda: book(book=workbook('<sheet name="A" r:id="rId9"/>')),
        "refused its sheet A is missing",
    ),
    (
        "sheet_elsewhere",
        lambda: book(rels=relations(more=outer("worksheet", "http://127.0.0.1/a.xml"))),
        "refused missing",
    ),
    (
        "sheet_outside",
        lambda: book(rels=relations(("worksheet", "../../../../etc/passwd"))),
        "refused etc/passwd is missing",
    ),
    ("sheet_is_book", lambda: book(rels=relations(("worksheet", "workbook.xml"))), "refused is used twice"),
    ("900_sheets_one_part", lambda: sheets_in(900), "refused"),
    (
        "strings_900_times",
        lambda: book(rels=relations(*SHEETS, *[("sharedStrings", "sharedStrings.xml")] * 900)),
        "refused",
    ),
    ("no_sheets", lambda: book(book=workbook("")), "refused no sheet with cells"),
    (
        "only_a_chart",
        lambda: book(rels=relations(("chartsheet", "worksheets/sheet1.xml"))),
        "refused no sheet with cells",
    ),
    (
        "same_sheet_name",
        lambda: book(book=workbook('<sheet name="A" r:id="rId1"/><sheet name="a" r:id="rId1"/>')),
        "refused two",
    ),
    ("no_sheet_name", lambda: book(book=workbook('<sheet r:id="rId1"/>')), "refused the same name, or one has none"),
    (
        "hidden",
        lambda: book(book=workbook('<sheet name="A" state="veryHidden" r:id="rId1"/>')),
        "read 1 sheet, 5 cells",
    ),
    (
        "absolute_target",
        lambda: book(rels=relations(("worksheet", "/xl/worksheets/sheet1.xml"), STRINGS)),
        "read 1 sheet, 5",
    ),
    ("from_1904", lambda: book(book=workbook(more='<workbookPr date1904="1"/>'), sheet=DATE), "read date 46462.0"),
    ("name", lambda: names(("In_A", "Loads!$A$1")), "read 1 names"),
    ("name_twice", lambda: names(("in_a", "Loads!$A$1"), ("IN_A", "Loads!$A$2")), "refused twice"),
    ("name_of_lost_sheet", lambda: names(("a", "Gone!$A$1"), ("b", "#REF!"), ("c", "1+1"), ("d", "")), "read 0 names"),
    ("name_of_other_book", lambda: names(("a", "[1]Loads!$A$1"), ("b", "'[x.xlsx]Loads'!$A$1")), "read 0 names"),
    ("names_30000", lambda: names(*((f"n{n}", "Loads!$A$1") for n in range(30_000))), "refused too many names"),
    ("name_of_quotes", lambda: names(("a", "'" * 300_001 + "!$A$1")), "read 0 names"),
    ("dde_link", lambda: linked("externalLink"), "read links to other workbooks"),
    (
        "macros",
        lambda: linked("vbaProject", "vbaProject.bin", "http://schemas.microsoft.com/office/2006/relationships"),
        "read macros",
    ),
    ("macro_part", lambda: pack(parts() | {"xl/vbaProject.bin": OLE}), "read macros"),
    ("connections", lambda: linked("connections", "connections.xml"), "read connections to other sources"),
    ("embedded", lambda: pack(parts() | {"xl/embeddings/oleObject1.bin": OLE}), "read embedded files"),
    (
        "picture_bomb",
        lambda: pack(parts() | {"xl/media/image1.png": b"\x89PNG\r\n\x1a\n" + b"\xff" * 50}),
        "read 1 sheet",
    ),
    (
        "link_in_a_cell",
        lambda: book(sheet=sheet(after='<hyperlinks><hyperlink ref="A1"/></hyperlinks>')),
        "read 1 sheet",
    ),
    ("broken_theme", lambda: pack(parts() | {"xl/theme/theme1.xml": "<!DOCTYPE"}), "read 1 sheet, 5 cells"),
    (
        "properties",
        lambda: properties('<property name="a"><vt:lpwstr>x_x0041_</vt:lpwstr></property>'),
        "read {'a': 'xA'}",
    ),
    ("broken_properties", lambda: properties("<property"), "refused not well-formed"),
    ("laughing_properties", lambda: properties("", f"<!DOCTYPE x [{LAUGHS}]>"), "refused document type"),
    (
        "properties_not_there",
        lambda: book(top=relations(MAIN_PART, ("custom-properties", "docProps/custom.xml"))),
        "read 1 s",
    ),
    ("usual", lambda: book(), "read 1 sheet, 5 cells"),
]


def outer(kind: str, target: str) -> str:
    """A relation to something outside of the file."""
    return f'<Relationship Id="rId1" Type="{REL}/{kind}" Target="{target}" TargetMode="External"/>'


def properties(inside: str, before: str = "") -> bytes:
    """A workbook with properties of its own."""
    base = "http://schemas.openxmlformats.org/officeDocument/2006"
    text = (
        f'{before}<Properties xmlns="{base}/custom-properties" xmlns:vt="{base}/docPropsVTypes">{inside}</Properties>'
    )
    top = relations(MAIN_PART, ("custom-properties", "docProps/custom.xml"))
    return pack(parts(top=top) | {"docProps/custom.xml": text})
