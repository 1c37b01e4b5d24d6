"""The outside of a workbook from elsewhere: what kind of file it is, and whether its directory holds.

Only names and sizes are looked at here. Nothing is unpacked to disk, ever.
"""

import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO
from typing import Final, NoReturn

MAX_FILE: Final = 20_000_000
"""Largest file [bytes]."""
MAX_MEMBERS: Final = 1_000
"""Most parts in a file."""
MAX_MEMBER: Final = 64_000_000
"""Largest part, unpacked [bytes]."""
MAX_TOTAL: Final = 100_000_000
"""All parts together, unpacked [bytes]."""
CHUNK: Final = 1 << 17

SAVE_AS: Final = "Open it in a spreadsheet program and save it as an Excel workbook (.xlsx)."
AGAIN: Final = "Ask for the file again, or open it in a spreadsheet program and save a new copy."
SMALLER: Final = "Keep only the sheets that are needed, as plain tables, and save a new copy."

UNREADABLE: Final = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    OSError,
    ValueError,
    NotImplementedError,
    RuntimeError,
)
"""What zipfile raises for a damaged archive."""

OLE: Final = bytes.fromhex("d0cf11e0a1b11ae1")
STARTS: Final = (
    (b"%PDF", "a PDF", "Ask for the spreadsheet itself."),
    (b"\x89PNG", "a picture", "Ask for the spreadsheet itself."),
    (b"\xff\xd8\xff", "a picture", "Ask for the spreadsheet itself."),
    (b"7z\xbc\xaf", "a packed archive", "Unpack it and give the workbook inside."),
    (b"Rar!", "a packed archive", "Unpack it and give the workbook inside."),
    (b"\x1f\x8b", "a packed archive", "Unpack it and give the workbook inside."),
    (b"{\\rtf", "a text document", SAVE_AS),
)
HTML: Final = (b"<!doctype html", b"<html", b"<table", b"<head", b"<body", b"<meta")


class BadFile(Exception):  # noqa: N818 — a sentence about a file, not a fault of ours
    """A file that can't be read: what is wrong with it, and what to do about it."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


class Archive:
    """The parts of a workbook file whose directory has been checked."""

    def __init__(self, data: bytes, name: str) -> None:
        refuse_other_kinds(data, name)
        self.name = name
        if data.count(b"PK\x01\x02") > MAX_MEMBERS:  # before the directory is read into memory
            raise BadFile(f"{name} holds more than {MAX_MEMBERS:,} parts.", SMALLER)
        try:
            self._zip = zipfile.ZipFile(BytesIO(data))
        except UNREADABLE as wrong:
            raise BadFile(f"{name} is cut off or damaged: it has no readable directory.", AGAIN) from wrong
        self._members = _checked_members(self._zip, data, name)
        _refuse_other_packages(set(self._members), name)

    def __contains__(self, path: str) -> bool:
        return path.casefold() in self._members

    def __iter__(self) -> Iterator[str]:
        """The names of its parts, in the order of the directory."""
        return iter([info.filename for info in self._members.values()])

    def any_under(self, folder: str) -> bool:
        """Whether any part lies in a folder."""
        return any(member.startswith(folder.casefold()) for member in self._members)

    def pictures(self, most: int) -> Iterator[bytes]:
        """The pictures of the workbook as they are, unopened: those of at most so many bytes that unpack."""
        for path, member in self._members.items():
            if path.startswith("xl/media/") and member.file_size <= most:
                with suppress(BadFile):
                    yield b"".join(self.chunks(path))

    def chunks(self, path: str) -> Iterator[bytes]:
        """The bytes of a part, piece by piece; never more than its declared size."""
        member = self._members.get(path.casefold())
        if member is None:
            raise BadFile(f"{self.name} is damaged: its part {path} is missing.", AGAIN)
        left = member.file_size
        try:
            with self._zip.open(member) as part:
                while chunk := part.read(CHUNK):
                    left -= len(chunk)
                    yield chunk
            if left:
                raise EOFError
        except UNREADABLE as wrong:
            raise BadFile(f"{self.name} is damaged: its part {path} does not unpack.", AGAIN) from wrong


def refuse_other_kinds(data: bytes, name: str) -> None:
    """Tell what a file is that is no zip archive."""
    if not data:
        raise BadFile(f"{name} is empty.", AGAIN)
    if len(data) > MAX_FILE:
        raise BadFile(f"{name} is larger than {MAX_FILE // 1_000_000} MB.", SMALLER)
    if data.startswith(OLE):
        _refuse_ole(data, name)
    if data.startswith(b"PK\x05\x06"):
        raise BadFile(f"{name} is an empty archive.", AGAIN)
    if data.startswith(b"PK\x03\x04"):
        return
    for start, what, remedy in STARTS:
        if data.startswith(start):
            raise BadFile(f"{name} is {what}, not an .xlsx workbook.", remedy)
    _refuse_text(data, name)


def _refuse_ole(data: bytes, name: str) -> NoReturn:
    """An OLE container: an encrypted workbook, an old workbook or an old text document."""
    if _utf16("EncryptedPackage") in data:
        raise BadFile(
            f"{name} is protected by a password.", "Open it, take the password off and save it, or ask for it without."
        )
    if _utf16("WordDocument") in data:
        raise BadFile(f"{name} is an old Word document, not an .xlsx workbook.", SAVE_AS)
    raise BadFile(f"{name} is an old .xls workbook.", SAVE_AS)


def _refuse_text(data: bytes, name: str) -> NoReturn:
    head = data[:4096]
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        head = head.decode("utf-16", "replace").encode()
    plain = head.removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if plain.startswith(HTML):
        raise BadFile(f"{name} is a web page (HTML) renamed to .xlsx.", SAVE_AS)
    if plain.startswith(b"<?xml"):
        raise BadFile(f"{name} is a plain XML file renamed to .xlsx.", SAVE_AS)
    if plain and not any(byte < 9 or 13 < byte < 32 for byte in plain):
        raise BadFile(
            f"{name} is a text file renamed to .xlsx.", "If it is a table, rename it to .csv and give it as such."
        )
    raise BadFile(f"{name} is not an .xlsx workbook, or its beginning is damaged.", AGAIN)


def _refuse_other_packages(members: set[str], name: str) -> None:
    """Zip archives that other programs write."""
    if "mimetype" in members and "content.xml" in members:
        raise BadFile(f"{name} is an OpenDocument file (.ods) renamed to .xlsx.", SAVE_AS)
    if "xl/workbook.bin" in members:
        raise BadFile(f"{name} is a binary workbook (.xlsb).", SAVE_AS)
    if any(m.startswith("word/") for m in members):
        raise BadFile(f"{name} is a Word document, not an .xlsx workbook.", SAVE_AS)
    if any(m.startswith("ppt/") for m in members):
        raise BadFile(f"{name} is a presentation, not an .xlsx workbook.", SAVE_AS)
    if "index.zip" in members or any(m.startswith("index/") for m in members):
        raise BadFile(f"{name} is a Numbers document.", "Export it from Numbers as an Excel workbook (.xlsx).")
    if "_rels/.rels" not in members:
        if any(m.endswith((".xlsx", ".csv")) for m in members):
            raise BadFile(f"{name} is an archive with files inside.", "Unpack it and give the workbook inside.")
        raise BadFile(f"{name} is an archive without a workbook in it.", AGAIN)


def _checked_members(archive: zipfile.ZipFile, data: bytes, name: str) -> dict[str, zipfile.ZipInfo]:
    """Every part by its name; a directory that lies or hides something is refused."""
    members: dict[str, zipfile.ZipInfo] = {}
    spans: list[tuple[int, int]] = []
    for info in archive.infolist():
        path = info.filename.replace("\\", "/")
        if path.startswith("/") or ":" in path or ".." in path.split("/"):
            raise BadFile(f"{name} holds a part that points outside of the file.", AGAIN)
        if path.casefold() in members:
            raise BadFile(f"{name} holds the part {path} twice.", AGAIN)
        if info.flag_bits & 0x2041:
            raise BadFile(f"{name} is encrypted.", "Ask for it without a password.")
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise BadFile(f"{name} is packed in an unusual way.", AGAIN)
        if info.file_size > MAX_MEMBER:
            raise BadFile(f"{name} holds a part of more than {MAX_MEMBER // 1_000_000} MB.", SMALLER)
        members[path.casefold()] = info
        spans.append(_span(info, data, name))
    if not members:
        raise BadFile(f"{name} is cut off or damaged: its directory is empty.", AGAIN)
    if sum(info.file_size for info in members.values()) > MAX_TOTAL:
        raise BadFile(f"{name} unpacks to more than {MAX_TOTAL // 1_000_000} MB.", SMALLER)
    spans.sort()
    for (_, end), (start, _) in zip(spans, [*spans[1:], (archive.start_dir, 0)], strict=True):
        if end > start:
            raise BadFile(f"{name} holds parts that overlap.", AGAIN)
    return members


def _span(info: zipfile.ZipInfo, data: bytes, name: str) -> tuple[int, int]:
    """Where a part begins and ends in the file, by its own header."""
    start = info.header_offset
    if start < 0 or data[start : start + 4] != b"PK\x03\x04" or start + 30 > len(data):
        raise BadFile(f"{name} is damaged: its directory points to nothing.", AGAIN)
    name_length, extra_length = struct.unpack_from("<HH", data, start + 26)
    return start, start + 30 + name_length + extra_length + info.compress_size


def _utf16(word: str) -> bytes:
    return word.encode("utf-16-le")
