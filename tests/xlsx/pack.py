"""Packs small workbooks, whole or wrong in one place, for the tests of the reader."""

import io
import struct
import zipfile
import zlib

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'

OLE = bytes.fromhex("d0cf11e0a1b11ae1")
"""What files of the programs before 2007 begin with."""
LAUGHS = "".join(f'<!ENTITY {big} "{f"&{small};" * 10}">' for small, big in zip("abcdefgh", "bcdefghi", strict=True))
"""Entities each of which is ten of the one before."""

TYPES = f'{HEAD}<Types xmlns="{PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>'
CELLS = (
    '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row>'
    '<row r="2"><c r="A2" t="inlineStr"><is><t>Well pump</t></is></c><c r="B2"><v>750</v></c>'
    '<c r="C2"><f>B2*2</f><v>1500</v></c></row>'
)


def relations(*targets: tuple[str, str], base: str = REL, more: str = "") -> str:
    """A relationships part: kind and target of each, rId1 first."""
    rows = "".join(
        f'<Relationship Id="rId{n}" Type="{base}/{kind}" Target="{target}"/>'
        for n, (kind, target) in enumerate(targets, 1)
    )
    return f'{HEAD}<Relationships xmlns="{PACKAGE}/relationships">{rows}{more}</Relationships>'


def workbook(sheets: str = '<sheet name="Loads" sheetId="1" r:id="rId1"/>', more: str = "", main: str = MAIN) -> str:
    """The part workbook.xml."""
    return f'{HEAD}<workbook xmlns="{main}" xmlns:r="{REL}"><sheets>{sheets}</sheets>{more}</workbook>'


def sheet(rows: str = CELLS, before: str = "", after: str = "") -> str:
    """A sheet part around its rows."""
    return f'{HEAD}<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def cell(inside: str) -> str:
    """A sheet part with one row and what stands in it."""
    return sheet(f'<row r="1">{inside}</row>')


def strings(*items: str) -> str:
    """The part of shared texts."""
    return f'{HEAD}<sst xmlns="{MAIN}">' + "".join(f"<si>{item}</si>" for item in items) + "</sst>"


def styles(formats: str = '<xf numFmtId="0"/><xf numFmtId="14"/>', before: str = "") -> str:
    """The part of cell formats; format 1 shows a date."""
    return f'{HEAD}<styleSheet xmlns="{MAIN}">{before}<cellXfs>{formats}</cellXfs></styleSheet>'


def parts(**changed: str | bytes | None) -> dict[str, str | bytes]:
    """The parts of a small workbook with some of them changed; None leaves one out."""
    usual: dict[str, str | bytes | None] = {
        "types": TYPES,
        "top": relations(("officeDocument", "xl/workbook.xml")),
        "book": workbook(),
        "rels": relations(
            ("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"), ("styles", "styles.xml")
        ),
        "sheet": sheet(),
        "strings": strings("<t>Load</t>", "<t>Watts</t>"),
        "styles": styles(),
    }
    usual.update(changed)
    return {PLACES.get(key, key): text for key, text in usual.items() if text is not None}


PLACES = {
    "types": "[Content_Types].xml",
    "top": "_rels/.rels",
    "book": "xl/workbook.xml",
    "rels": "xl/_rels/workbook.xml.rels",
    "sheet": "xl/worksheets/sheet1.xml",
    "strings": "xl/sharedStrings.xml",
    "styles": "xl/styles.xml",
}


def pack(members: dict[str, str | bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip archive of these parts."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", method, compresslevel=1) as archive:
        for name, text in members.items():
            archive.writestr(zipfile.ZipInfo(name), text, method, 1)
    return target.getvalue()


def book(**changed: str | bytes | None) -> bytes:
    """A small workbook with some parts changed."""
    return pack(parts(**changed))


class RawZip:
    """An archive written by hand, so that it can lie."""

    def __init__(self) -> None:
        self.body = b""
        self.directory = b""
        self.count = 0

    def add(self, name: str, data: bytes, **lies: int) -> "RawZip":
        """Add a part; lies replace what the directory says about it."""
        squeezer = zlib.compressobj(6, zlib.DEFLATED, -15)
        packed = squeezer.compress(data) + squeezer.flush()
        true = {
            "flags": 0,
            "method": 8,
            "crc": zlib.crc32(data),
            "packed": len(packed),
            "size": len(data),
            "offset": len(self.body),
        }
        says = true | lies
        raw = name.encode()
        self.body += struct.pack(
            "<4s5H3I2H", b"PK\x03\x04", 20, says["flags"], says["method"], 0, 33, true["crc"], says["packed"],
            says["size"], len(raw), 0,
        )  # fmt: skip
        self.body += raw + packed
        return self.entry(name, **says)

    def entry(self, name: str, **says: int) -> "RawZip":
        """Add a line of the directory alone."""
        raw = name.encode()
        self.directory += struct.pack(
            "<4s6H3I5H2I", b"PK\x01\x02", 20, 20, says["flags"], says["method"], 0, 33, says["crc"], says["packed"],
            says["size"], len(raw), 0, 0, 0, 0, 0, says["offset"],
        )  # fmt: skip
        self.directory += raw
        self.count += 1
        return self

    def bytes(self) -> bytes:
        """The whole archive."""
        count = min(self.count, 65_535)
        end = struct.pack("<4s4H2IH", b"PK\x05\x06", 0, 0, count, count, len(self.directory), len(self.body), 0)
        return self.body + self.directory + end


def raw_book(**lies: int) -> RawZip:
    """The small workbook in an archive whose directory lies about the sheet."""
    archive = RawZip()
    for name, text in parts().items():
        archive.add(name, text.encode() if isinstance(text, str) else text, **(lies if "sheet1" in name else {}))
    return archive
