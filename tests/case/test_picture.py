"""Pictures are known by their own structure; what is passed on is the picture alone."""

import struct
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.picture import JPEG, MAX_BYTES, PNG, NoPicture, Picture, picture_of

EXAMPLES = settings(max_examples=400, derandomize=True, deadline=None)
JPG = bytes.fromhex(
    "ffd8ffe000104a46494600010100000100010000ffdb004300140e0f120f0d14121012171514181e32211e1c1c1e3d2c2e243249404c4b47404645505a736250556d5645466488656d777b8182814e608d978c7d96737e817cffdb0043011517171e1a1e3b21213b7c5346537c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7c7cffc00011080008001003012200021101031101ffc4001500010100000000000000000000000000000005ffc400161001010100000000000000000000000000001461ffc4001501010100000000000000000000000000000205ffc400191100010500000000000000000000000000000103121451ffda000c03010002110311003f00833e13e015f7f49d353fffd9"
)
"""A gradient of 16 x 8 pixels, baseline."""


def chunk(name: bytes, data: bytes) -> bytes:
    """A chunk of a PNG file with its length and check sum."""
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png(width: int = 3, height: int = 2, *, colour: int = 2, extra: bytes = b"") -> bytes:
    """A PNG of one colour, 8 bits a sample, with `extra` chunks behind its head."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, colour, 0, 0, 0))
    rows = zlib.compress((b"\0" + b"\x20\x60\x70" * width) * height)
    return PNG + head + extra + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


PICTURES = {"png": png(), "jpg": JPG}


def fault(data: bytes) -> str:
    """Why bytes are no picture, "" where they are."""
    try:
        picture_of(data)
    except NoPicture as no:
        return no.fault
    return ""


def test_png_and_jpeg_are_taken_with_their_size() -> None:
    """Both give kind and size, and bytes that are taken again as the same picture."""
    assert picture_of(png(40, 30)) == Picture(data=png(40, 30), kind="png", width=40, height=30)
    found = picture_of(JPG)
    assert (found.kind, found.width, found.height) == ("jpg", 16, 8)
    assert picture_of(found.data) == found


def test_what_is_no_picture_of_it_stays_behind() -> None:
    """Remarks, places and what follows the end are not passed on."""
    secret = b"taken at 51.5 N"
    noted = png(extra=chunk(b"tEXt", b"Comment\0" + secret)) + secret
    assert picture_of(noted).data == png()
    segment = b"\xff\xe1" + struct.pack(">H", 2 + len(secret)) + secret
    told = picture_of(JPG[:2] + segment + JPG[2:] + secret)
    assert secret not in told.data
    assert told == picture_of(JPG)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "kind"),
        (b"GIF89a" + b"\0" * 40, "kind"),
        (b"<svg/>", "kind"),
        (PNG, "broken"),
        (JPEG, "broken"),
        (png(0, 2), "broken"),
        (png(colour=5), "broken"),
        (png(colour=3), "broken"),
        (PNG + chunk(b"IEND", b""), "broken"),
        (png(extra=chunk(b"IHDR", b"\0" * 13)), "broken"),
        (png(2001, 2000), "pixels"),
        (png().ljust(MAX_BYTES + 1, b"\0"), "size"),
    ],
)
def test_what_is_not_taken_is_told_why(data: bytes, why: str) -> None:
    """Another kind, a structure that does not hold, too many bytes or pixels."""
    assert fault(data) == why
    assert fault(png(2000, 2000)) == ""


@pytest.mark.parametrize("kind", PICTURES)
def test_a_picture_that_is_cut_off_is_none(kind: str) -> None:
    """Cut after any byte it is refused, and nothing else happens."""
    whole = PICTURES[kind]
    assert fault(whole) == ""
    assert all(fault(whole[:n]) in {"broken", "kind"} for n in range(len(whole)))


@EXAMPLES
@given(st.sampled_from(sorted(PICTURES)), st.data())
def test_damage_gives_a_picture_or_a_reason(kind: str, data: st.DataObject) -> None:
    """Whatever is changed in a picture, it is taken as one that holds, or refused; no other exception comes out."""
    broken = bytearray(PICTURES[kind])
    for _ in range(data.draw(st.integers(1, 4))):
        broken[data.draw(st.integers(0, len(broken) - 1))] = data.draw(st.integers(0, 255))
    if not fault(bytes(broken)):
        found = picture_of(bytes(broken))
        assert 0 < found.width * found.height <= 4_000_000
        assert picture_of(found.data) == found


def test_a_changed_png_is_noticed() -> None:
    """Each byte of a PNG is held by a check sum, a length or a name: no change of one passes."""
    whole = png()
    assert all(fault(whole[:n] + bytes([whole[n] ^ 1]) + whole[n + 1 :]) for n in range(len(whole)))
