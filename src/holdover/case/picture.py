"""A picture that a case may hold: PNG or JPEG, known by its own structure. Nothing here decodes it, or opens a file.

What is passed on is the picture alone: comments, profiles, places and thumbnails that a file carries stay behind.
"""

import hashlib
import re
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

MAX_BYTES: Final = 1_000_000
"""Largest file of a picture [bytes]."""
MAX_PIXELS: Final = 4_000_000
"""Most pixels, which bounds what a program needs to unpack it."""

FINGERPRINT: Final = "holdover_logo"
"""The property of a workbook that holds the fingerprint of its logo."""

PNG: Final = b"\x89PNG\r\n\x1a\n"
PNG_DEPTHS: Final = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
"""By colour type, the bits a sample may have: PNG (third edition), section 11.2.1, from memory."""
PNG_KEPT: Final = (b"IHDR", b"PLTE", b"tRNS", b"gAMA", b"sRGB", b"IDAT", b"IEND")
"""Chunks without which it would look different."""

JPEG: Final = b"\xff\xd8"
JPEG_FRAMES: Final = (0xC0, 0xC1, 0xC2)
"""Baseline, extended and progressive frames, Huffman coded: ITU-T T.81, table B.1, from memory."""
JPEG_KEPT: Final = (*JPEG_FRAMES, 0xC4, 0xDA, 0xDB, 0xDD, 0xEE)
"""Frames, tables of codes and of steps, scans, restarts, and the marker that tells which colours they are."""
SCAN_END: Final = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
"""A marker that ends a scan: none of those that stand within one."""

Fault = Literal["kind", "broken", "size", "pixels"]


class NoPicture(Exception):  # noqa: N818 (a reason, no fault of the program)
    """The bytes are no picture that is taken; `fault` says why."""

    def __init__(self, fault: Fault, width: int = 0, height: int = 0) -> None:
        super().__init__(fault)
        self.fault, self.width, self.height = fault, width, height


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture as a file's bytes, with its size [pixel]."""

    data: bytes
    kind: Literal["png", "jpg"]
    width: int
    height: int

    @property
    def fingerprint(self) -> str:
        """By which the picture is known again: SHA-256 of its bytes."""
        return hashlib.sha256(self.data).hexdigest()


def picture_of(data: bytes) -> Picture:
    """The picture that a file's bytes hold.

    Raises:
        NoPicture: it is neither PNG nor JPEG, broken, or too large.
    """
    if len(data) > MAX_BYTES:
        raise NoPicture("size")
    try:
        if data.startswith(PNG):
            return _png(data)
        if data.startswith(JPEG):
            return _jpeg(data)
    except (struct.error, IndexError) as cut:
        raise NoPicture("broken") from cut
    raise NoPicture("kind")


def _require(whole: bool) -> None:
    if not whole:
        raise NoPicture("broken")


def _sized(width: int, height: int) -> tuple[int, int]:
    _require(width > 0 and height > 0)
    if width * height > MAX_PIXELS:
        raise NoPicture("pixels", width, height)
    return width, height


def _png(data: bytes) -> Picture:
    chunks = list(_chunks(data))
    names = [name for name, _ in chunks]
    _require(names[:1] == [b"IHDR"] and names.count(b"IHDR") == 1 and names[-1:] == [b"IEND"] and b"IDAT" in names)
    width, height, depth, colour, packing, filtering, lacing = struct.unpack(">IIBBBBB", chunks[0][1][8:-4])
    _require(depth in PNG_DEPTHS.get(colour, ()) and (packing, filtering) == (0, 0) and lacing in (0, 1))
    _require(colour != 3 or b"PLTE" in names)
    width, height = _sized(width, height)
    kept = b"".join(chunk for name, chunk in chunks if name in PNG_KEPT)
    return Picture(data=PNG + kept, kind="png", width=width, height=height)


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and bytes of each chunk up to the last; each holds to its length and its check sum."""
    at, name = len(PNG), b""
    while name != b"IEND":
        length, name = struct.unpack_from(">I4s", data, at)
        end = at + 12 + length
        _require(end <= len(data) and name.isalpha())
        (stated,) = struct.unpack_from(">I", data, end - 4)
        _require(stated == zlib.crc32(data[at + 4 : end - 4]))
        yield name, data[at:end]
        at = end


def _jpeg(data: bytes) -> Picture:
    segments = list(_segments(data))
    names = [name for name, _ in segments]
    frames = [segment for name, segment in segments if name in JPEG_FRAMES]
    _require(len(frames) == 1 and 0xDB in names and 0xDA in names)
    length, depth, height, width, colours = struct.unpack_from(">HBHHB", frames[0], 2)
    _require(depth == 8 and colours in (1, 3) and length == 8 + 3 * colours)
    width, height = _sized(width, height)
    kept = b"".join(segment for name, segment in segments if name in JPEG_KEPT)
    return Picture(data=JPEG + kept + b"\xff\xd9", kind="jpg", width=width, height=height)


def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and bytes of each segment up to the end of the picture, a scan with its own data."""
    at = len(JPEG)
    while True:
        _require(data[at] == 0xFF)
        while data[at + 1] == 0xFF:  # filling
            at += 1
        name = data[at + 1]
        if name == 0xD9:
            return
        _require(name >= 0xC0 and not 0xD0 <= name <= 0xD8)
        (length,) = struct.unpack_from(">H", data, at + 2)
        end = at + 2 + length
        _require(length >= 2 and end <= len(data))
        if name == 0xDA:
            marker = SCAN_END.search(data, end)
            _require(marker is not None)
            end = marker.start() if marker else end
        yield name, data[at:end]
        at = end
