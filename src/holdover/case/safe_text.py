"""Text from outside, made safe to keep and to show in a sheet."""

import unicodedata
from typing import Final

TEXT_UNITS: Final = 32_000
"""Longest text kept [UTF-16 units]; a sheet's cell holds 32,767."""
INVISIBLE: Final = frozenset("\u00ad\u180e\u200b\u200c\u2060\u2061\u2062\u2063\u2064\ufeff\ufffe\uffff")
BIDI: Final = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
BREAKS: Final = frozenset("\t\n\x0b\x0c\r\x85\u2028\u2029")


def safe_text(text: str) -> str:
    """The text in composed form on one line, without controls or invisible marks, at most TEXT_UNITS long."""
    kept = text if text.isprintable() else "".join(_kept(mark) for mark in text)
    return _capped(unicodedata.normalize("NFC", kept).strip()).rstrip()


def removed(text: str) -> bool:
    """Whether safe_text leaves marks out that a reader would not expect to lose."""
    return not text.isprintable() and any(not _kept(mark) for mark in text)


def too_long(text: str) -> bool:
    """Whether safe_text cuts the text."""
    return 2 * len(text) > TEXT_UNITS and len(text) + sum(ord(mark) > 0xFFFF for mark in text) > TEXT_UNITS


def _kept(mark: str) -> str:
    """A mark, a blank in its place, or nothing; what `isprintable` holds for is kept."""
    if mark in BREAKS:
        return " "
    if mark in INVISIBLE or mark in BIDI or unicodedata.category(mark) in {"Cc", "Cs"}:
        return ""
    return mark


def _capped(text: str) -> str:
    if not too_long(text):
        return text
    units = 0
    for place, mark in enumerate(text):
        units += 1 + (ord(mark) > 0xFFFF)
        if units > TEXT_UNITS:
            return text[:place]
    return text
