"""Numbers as people write them. One grammar for either decimal mark; nothing is handed to float() unread."""

import re
import unicodedata
from fractions import Fraction
from typing import Final, Literal

Mark = Literal[".", ","]

MARKS: Final[tuple[Mark, Mark]] = (".", ",")
DIGITS_MAX: Final = 15
"""Most digits a number may have [count]; a float holds that many."""
EXPONENT_MAX: Final = 30
"""Largest power of ten read [-]; every bound of the case lies far below."""

_DASHES: Final = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d"
_SPACES: Final = (
    "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\t\n\r\x0b\x0c"
)
_LIKE: Final = str.maketrans(
    {
        **dict.fromkeys(_DASHES, "-"),
        **dict.fromkeys(_SPACES, " "),
        **dict.fromkeys("×✕✖⨯", "x"),
        **dict.fromkeys("\u2018\u2019\u02bc\u00b4`", "'"),
        **dict.fromkeys("\u2044\u2215", "/"),
        "＠": "@",
        "％": "%",
    }
)

_WHOLE: Final = {
    ".": r"[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,3}(?:[ '][0-9]{3})+|[0-9]+",
    ",": r"[0-9]{1,3}(?:\.[0-9]{3})+|[0-9]{1,3}(?:[ '][0-9]{3})+|[0-9]+",
}
_FRACTIONS: Final = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_NUMBER: Final = {
    mark: re.compile(
        rf"(?P<sign>[+-] ?)?(?:(?P<mixed>[0-9]{{1,4}})? ?(?P<vulgar>[{_FRACTIONS}])"
        r"|(?:(?P<ones>[0-9]{1,4}) +)?(?P<over>[0-9]{1,3})/(?P<under>100|[1-9][0-9]?)(?![0-9.,/])"
        rf"|(?P<whole>{_WHOLE[mark]})?(?:{re.escape(mark)}(?P<part>[0-9]*))?(?:[eE](?P<power>[+-]?[0-9]{{1,6}})(?![0-9]))?)"
    )
    for mark in MARKS
}


class Fault(Exception):  # noqa: N818  it is a remark about a text, caught where the cell is known
    """A text that can't be read: why, at which character, and what to write instead."""

    def __init__(self, message: str, at: int, remedy: str = "", *, code: str = "Q001") -> None:
        super().__init__(message)
        self.message, self.at, self.remedy, self.code = message, at, remedy, code


def plain(text: str) -> str:
    """The text with the typographer's dashes, spaces, crosses and quotes made plain, character by character."""
    return text.translate(_LIKE)


def scan(text: str, start: int, mark: Mark) -> tuple[float, int]:
    """The number that begins at `start` of a plain text, and the place after it."""
    found = _NUMBER[mark].match(text, start)
    if not found or found.end() == start or not re.search(rf"[0-9{_FRACTIONS}]", found.group()):
        raise Fault("a number is expected here", start)
    _check_end(text, found.end(), mark)
    sign = -1.0 if (found["sign"] or "").startswith("-") else 1.0
    if found["vulgar"]:
        return sign * (float(found["mixed"] or 0) + unicodedata.numeric(found["vulgar"])), found.end()
    if found["under"]:
        return sign * float(int(found["ones"] or 0) + Fraction(int(found["over"]), int(found["under"]))), found.end()
    whole = re.sub(r"[ '.,]", "", found["whole"] or "")
    if not whole and not found["part"]:
        raise Fault("a number is expected here", start)
    if found["whole"] and re.match(r"0[0-9]*[.,' ]", found["whole"]):
        raise Fault("a thousand does not begin with 0", start)
    return sign * _value(whole, found["part"] or "", found["power"] or "0", start), found.end()


def _value(whole: str, part: str, power: str, start: int) -> float:
    if len((whole + part).lstrip("0").rstrip("0")) > DIGITS_MAX or len(whole) > DIGITS_MAX + EXPONENT_MAX:
        raise Fault(f"a number of more than {DIGITS_MAX} digits", start, code="Q010")
    if abs(int(power)) > EXPONENT_MAX:
        raise Fault("a number too large or too small to mean anything here", start, code="Q010")
    return float(f"{whole or '0'}.{part or '0'}e{power}")


def _check_end(text: str, end: int, mark: Mark) -> None:
    """A number must not run on into something that looks like more of it."""
    rest = text[end : end + 2]
    if rest[:1].isdigit() or (rest[:1] in {".", ",", "'"} and rest[1:].isdigit()):
        other = "," if mark == "." else "."
        raise Fault(f"digits are not grouped as a number with decimal mark {mark} and thousands mark {other}", end)
