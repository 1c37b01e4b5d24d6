"""Workbook files that are wrong, hostile or merely odd, each with what must come of it.

A case is (name, maker, answer). The answer begins with "refused" and words of the message, or with "read" and words
of the summary that `child.py` prints. Files are made when a test asks for them.
"""

from collections.abc import Callable
from functools import partial
from random import Random

from xlsx.inside import CELL_CASES, FORMULAS, STRUCTURE
from xlsx.pack import HEAD, LAUGHS, OLE, book, cell, pack, parts, raw_book, relations, sheet, strings, styles, workbook

Case = tuple[str, Callable[[], bytes], str]
SMALL = len(book())
DTD = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">{}]>'
SHEETS = [("worksheet", "worksheets/sheet1.xml")]


def bad_entity(declared: str, used: str) -> bytes:
    """A workbook whose sheet declares entities and uses one."""
    text = sheet(f'<row r="1"><c r="A1" t="inlineStr"><is><t>{used}</t></is></c></row>')
    return book(sheet=text.replace(HEAD, HEAD + DTD.format(declared)))


def many(count: int) -> bytes:
    """A workbook with this many parts."""
    return pack(parts() | {f"xl/media/{n}.png": b"" for n in range(count)})


OTHER_KINDS: list[Case] = [
    ("empty", lambda: b"", "refused is empty"),
    ("password", lambda: OLE + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le"), "refused protected by a password"),
    ("xls", lambda: OLE + b"\0" * 600 + "Workbook".encode("utf-16-le"), "refused an old .xls workbook"),
    ("doc", lambda: OLE + b"\0" * 600 + "WordDocument".encode("utf-16-le"), "refused an old Word document"),
    (
        "ods",
        lambda: pack({"mimetype": "x", "content.xml": "<x/>", "META-INF/manifest.xml": ""}),
        "refused OpenDocument",
    ),
    ("xlsb", lambda: pack({"_rels/.rels": "", "xl/workbook.bin": b"\0"}), "refused binary workbook"),
    ("docx", lambda: pack({"_rels/.rels": "", "word/document.xml": ""}), "refused a Word document"),
    ("pptx", lambda: pack({"_rels/.rels": "", "ppt/presentation.xml": ""}), "refused a presentation"),
    ("numbers", lambda: pack({"Index/Document.iwa": b"\0"}), "refused a Numbers document"),
    ("strict", lambda: book(book=workbook(main="http://purl.oclc.org/ooxml/spreadsheetml/main")), "refused Strict"),
    ("csv", lambda: b"Load,Watts\r\nFridge,120\r\n", "refused a text file renamed"),
    ("csv_utf16", lambda: "Load\tWatts\nFridge\t120\n".encode("utf-16"), "refused a text file renamed"),
    ("csv_cp1252", lambda: "Kühlschrank;120\n".encode("cp1252"), "refused a text file renamed"),
    ("html", lambda: b"\n <HTML><table><tr><td>1</td></tr></table></HTML>", "refused a web page"),
    ("xml_2003", lambda: b'<?xml version="1.0"?><Workbook xmlns="urn:x"/>', "refused a plain XML file"),
    ("pdf", lambda: b"%PDF-1.7\n", "refused a PDF"),
    ("png", lambda: b"\x89PNG\r\n\x1a\n", "refused a picture"),
    ("rtf", lambda: b"{\\rtf1 }", "refused a text document"),
    ("rar", lambda: b"Rar!\x1a\x07\x00", "refused a packed archive"),
    ("gzip", lambda: b"\x1f\x8b\x08\0", "refused a packed archive"),
    ("noise", lambda: Random(1).randbytes(5_000), "refused is not an .xlsx workbook"),
    ("zeros", lambda: b"\0" * 5_000, "refused is not an .xlsx workbook"),
    ("only_a_header", lambda: b"PK\x03\x04" + b"\0" * 5_000, "refused cut off or damaged"),
    ("empty_zip", lambda: pack({}), "refused an empty archive"),
    ("zip_of_a_workbook", lambda: pack({"loads.xlsx": book()}), "refused an archive with files inside"),
    ("zip_of_nothing_known", lambda: pack({"a.txt": "a"}), "refused an archive without a workbook"),
    ("21_mb", lambda: b"PK\x03\x04" + b"\0" * 21_000_000, "refused larger than 20 MB"),
    ("before_the_zip", lambda: b"MZ\x90\0" + book(), "refused is not an .xlsx workbook"),
]


def cut_at(length: int) -> bytes:
    """The beginning of a workbook."""
    return book()[:length]


TRUNCATED: list[Case] = [
    (f"cut_at_{cut}", partial(cut_at, cut), "refused")
    for cut in (
        1,
        3,
        4,
        10,
        30,
        100,
        SMALL // 4,
        SMALL // 2,
        3 * SMALL // 4,
        SMALL - 200,
        SMALL - 23,
        SMALL - 22,
        SMALL - 1,
    )
]

ZIPS: list[Case] = [
    ("bomb", lambda: book(sheet=b" " * 65_000_000), "refused a part of more than 64 MB"),
    ("bombs", lambda: pack(parts() | {f"xl/media/{n}": b"\0" * 40_000_000 for n in "abc"}), "refused more than 100 MB"),
    ("claims_4_gb", lambda: raw_book(size=2**32 - 2).bytes(), "refused a part of more than 64 MB"),
    ("claims_less", lambda: raw_book(size=100).bytes(), "refused does not unpack"),
    ("claims_more", lambda: raw_book(size=50_000).bytes(), "refused does not unpack"),
    ("claims_more_packed", lambda: raw_book(packed=50_000).bytes(), "refused overlap"),
    ("wrong_checksum", lambda: raw_book(crc=1).bytes(), "refused does not unpack"),
    ("points_beyond", lambda: raw_book(offset=10**9).bytes(), "refused points to nothing"),
    ("points_into_another", lambda: raw_book(offset=0).bytes(), "refused overlap"),
    ("bzip2", lambda: pack(parts(), 12), "refused packed in an unusual way"),
    ("lzma", lambda: pack(parts(), 14), "refused packed in an unusual way"),
    ("method_99", lambda: raw_book(method=99).bytes(), "refused packed in an unusual way"),
    ("encrypted", lambda: raw_book(flags=1).bytes(), "refused encrypted"),
    ("strongly_encrypted", lambda: raw_book(flags=0x41).bytes(), "refused encrypted"),
    ("patched", lambda: raw_book(flags=0x20).bytes(), "refused does not unpack"),
    ("same_bytes_twice", lambda: overlapping(2), "refused overlap"),
    ("same_bytes_500_times", lambda: overlapping(500), "refused overlap"),
    ("twice", lambda: raw_book().add("xl/workbook.xml", b"<x/>").bytes(), "refused the part xl/workbook.xml twice"),
    ("twice_but_for_case", lambda: raw_book().add("XL/Workbook.xml", b"<x/>").bytes(), "refused twice"),
    ("twice_but_for_slash", lambda: raw_book().add("xl\\workbook.xml", b"<x/>").bytes(), "refused twice"),
    ("1100_parts", lambda: many(1_100), "refused more than 1,000 parts"),
    ("10000_parts", lambda: many(10_000), "refused more than 1,000 parts"),
    ("900_parts", lambda: many(900), "read 1 sheet"),
    ("outside", lambda: pack(parts() | {"../../evil": "x"}), "refused points outside"),
    ("absolute", lambda: pack(parts() | {"/etc/passwd": "x"}), "refused points outside"),
    ("drive", lambda: pack(parts() | {"C:\\evil": "x"}), "refused points outside"),
    ("folders", lambda: pack({"xl/": "", "_rels/": "", **parts()}), "read 1 sheet"),
    ("stored", lambda: pack(parts(), 0), "read 1 sheet"),
    ("other_case", lambda: pack({k.replace("xl/w", "XL/W"): v for k, v in parts().items()}), "read 1 sheet"),
    ("second_end", lambda: book() + b"PK\x05\x06" + b"\0" * 18, "refused directory is empty"),
    ("rubbish_after", lambda: book() + b"rubbish", "read 1 sheet"),
]


def overlapping(count: int) -> bytes:
    """Many names for the same packed bytes."""
    archive = raw_book()
    inside = b" " * 100_000
    start = len(archive.body)
    before = len(archive.body)
    archive.add("xl/media/0", inside)
    packed = len(archive.body) - before - 30 - len("xl/media/0")
    for n in range(1, count):
        archive.entry(f"xl/media/{n}", flags=0, method=8, crc=0, packed=packed, size=len(inside), offset=start)
    return archive.bytes()


XML: list[Case] = [
    ("laughs", lambda: bad_entity(LAUGHS, "&i;"), "refused document type"),
    ("quadratic", lambda: bad_entity(f'<!ENTITY q "{"q" * 50_000}">', "&q;" * 50_000), "refused document type"),
    ("outer_entity", lambda: bad_entity('<!ENTITY e SYSTEM "file:///etc/passwd">', "&e;"), "refused document type"),
    ("parameter", lambda: bad_entity('<!ENTITY % p SYSTEM "http://127.0.0.1/x">%p;', "x"), "refused document type"),
    ("doctype_alone", lambda: book(sheet=sheet().replace(HEAD, "<!DOCTYPE worksheet>")), "refused document type"),
    ("doctype_late", lambda: book(sheet=" " * (2**17 - 4) + DTD + sheet()), "refused document type"),
    ("doctype_in_rels", lambda: book(rels="<!DOCTYPE x>" + relations(*SHEETS)), "refused document type"),
    ("doctype_in_strings", lambda: book(strings=f"<!DOCTYPE x [{LAUGHS}]>" + strings()), "refused document type"),
    ("doctype_utf16", lambda: book(sheet=("<!DOCTYPE x>" + sheet()[len(HEAD) :]).encode("utf-16")), "refused"),
    ("doctype_empty", lambda: bad_entity("", "x"), "refused document type"),
    ("undefined_entity", lambda: book(sheet=cell('<c r="A1"><v>&nope;</v></c>')), "refused not well-formed"),
    ("utf16", lambda: book(sheet=sheet().encode("utf-16")), "refused not written in UTF-8"),
    ("cp037", lambda: book(sheet=(HEAD.replace("UTF-8", "cp037")).encode() + sheet().encode("cp037")), "refused"),
    ("odd_encoding", lambda: book(sheet=sheet().replace("UTF-8", "rot13")), "read 1 sheet"),
    (
        "latin_1",
        lambda: book(sheet=cell('<c t="str" r="A1"><v>é</v></c>').encode("latin-1")),
        "refused not well-formed",
    ),
    ("byte_order_mark", lambda: book(sheet=b"\xef\xbb\xbf" + sheet().encode()), "read 1 sheet"),
    ("zero_byte", lambda: book(sheet=cell('<c r="A1"><v>1\0</v></c>')), "refused not written in UTF-8"),
    ("deep", lambda: book(sheet=sheet("<g>" * 100_000 + "</g>" * 100_000)), "refused nested too deep"),
    ("deep_70", lambda: book(sheet=sheet("<g>" * 70 + "</g>" * 70)), "refused nested too deep"),
    (
        "1000_attributes",
        lambda: book(sheet=cell("<c " + " ".join(f"a{n}='x'" for n in range(1_000)) + "/>")),
        "refused many attributes",
    ),
    ("6_mb_attribute", lambda: book(sheet=cell(f'<c r="{"A" * 6_000_000}"/>')), "refused endless tag"),
    ("60_mb_comment", lambda: book(sheet=cell(f"<!--{'>' * 60_000_000}-->")), "refused endless tag"),
    ("6_mb_instruction", lambda: book(sheet=cell(f"<?x {'>' * 6_000_000}?>")), "refused endless tag"),
    ("6_mb_name", lambda: book(sheet=cell(f"<{'x' * 6_000_000}/>")), "refused"),
    ("60_mb_blanks", lambda: book(sheet=cell(" " * 60_000_000)), "read 1 sheet, 0 cells"),
    (
        "20_mb_cdata",
        lambda: book(sheet=cell(f"<c><v><![CDATA[{'1' * 20_000_000}]]></v></c>")),
        "refused 16 million char",
    ),
    ("many_names", lambda: book(sheet=sheet("".join(f"<n{n}/>" for n in range(300_000)))), "refused too many names"),
    (
        "many_attribute_names",
        lambda: book(sheet=cell("".join(f'<c a{n}=""/>' for n in range(180_000)))),
        "refused too many names",
    ),
    (
        "many_namespaces",
        lambda: book(sheet=sheet("".join(f'<c xmlns:a{n}="u{n}"/>' for n in range(180_000)))),
        "refused",
    ),
    ("not_closed", lambda: book(sheet=sheet().replace("</worksheet>", "")), "refused not well-formed"),
    ("crossed", lambda: book(sheet=cell("<c><v>1</c></v>")), "refused not well-formed"),
    ("attribute_twice", lambda: book(sheet=cell('<c r="A1" r="B1"/>')), "refused not well-formed"),
    ("empty_part", lambda: book(sheet=""), "refused not well-formed"),
    ("two_roots", lambda: book(sheet=sheet() + "<x/>"), "refused not well-formed"),
    ("styles_as_sheet", lambda: book(sheet=styles()), "refused of another kind"),
    ("sheet_as_book", lambda: book(book=sheet()), "refused of another kind"),
    ("prefixed", lambda: book(book=prefixed(workbook()), sheet=prefixed(sheet())), "read 1 sheet, 5 cells"),
    (
        "foreign_cells",
        lambda: book(sheet=cell('<c r="A1"/><f:c xmlns:f="u" r="B1"><f:v>1</f:v></f:c>')),
        "read 1 sheet, 0",
    ),
]


def prefixed(text: str) -> str:
    """A part whose tags all carry a prefix, as some programs write them."""
    text = text.replace("</", "</x:").replace("<", "<x:").replace("<x:/x:", "</x:").replace("<x:?", "<?")
    return text.replace(' xmlns="', ' xmlns:x="')


CASES: list[Case] = [*OTHER_KINDS, *TRUNCATED, *ZIPS, *XML, *CELL_CASES, *FORMULAS, *STRUCTURE]
