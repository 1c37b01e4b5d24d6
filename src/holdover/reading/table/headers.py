"""Which field a header means, and in which unit its bare numbers are."""

import re
import unicodedata
from collections.abc import Iterable, Set
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Final

from holdover.case.words import data, either, folded, vocabulary
from holdover.reading.fields import ASKED
from holdover.reading.quantity.quantity import SIGN
from holdover.reading.quantity.units import REFUSED, UNITS, find_unit, plain_unit
from holdover.reading.table.source import RawTable

_BRACKETS: Final = re.compile(r"[\(\[\{<]\s*([^\)\]\}>]*?)\s*[\)\]\}>]?\s*$")
_MONEY: Final = re.compile(rf"{SIGN}|[A-Z]{{2,3}}|{either(vocabulary('units')['currencies']['signs'])}")
_UNIT: Final = re.compile(r"(?<=[0-9])\s*([A-Za-z]+)")
_TAIL: Final = re.compile(r"(?:,| in |/|:| - |_| )\s*([^\s,]{1,12})\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """What a header means: a field and the unit of bare numbers, or one of the columns left out."""

    field: str = ""
    unit: str = ""
    ignored: bool = False
    beside: bool = False
    """Whether it bears on no figure: left out, as one that is ignored is, which numbers the rows."""
    refused: str = ""
    """Why a column can't be taken, with what to do."""
    bad_unit: str = ""
    """A unit in brackets that the field can't be in."""
    aside: str = ""
    """Words in brackets that are no unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadedTable:
    """A table whose header was found."""

    raw: RawTable
    head: int
    headers: dict[int, Header | None]
    """By column, None where the header is not known."""
    titles: dict[int, str]

    @property
    def score(self) -> int:
        """Distinct fields known."""
        return len({h.field for h in self.headers.values() if h and h.field})

    @property
    def rows_below(self) -> int:
        """Filled rows below the header."""
        return sum(number > self.head for number in self.raw.rows)


@cache
def _known(part: str) -> dict[str, tuple[str, str]]:
    """By plain header: field and unit."""
    known: dict[str, tuple[str, str]] = {}
    for name, words in vocabulary("headers")[part].items():
        for word in words:
            text, _, unit = word.partition(" [")
            known[folded(text)] = (name, unit.rstrip("]"))
    for name, asked in ASKED[part].items():
        known.setdefault(folded(asked.title), (name, ""))
    return known | {folded(name): (name, "") for name in ASKED[part]}


def is_head(fields: Set[str], part: str) -> bool:
    """Whether a row with headers of these fields is a row of headers."""
    return len(fields) >= 2 and ("name" in fields or len(fields) >= 3 or part == "candidates")


def known_headers(part: str) -> list[str]:
    """Every header that is understood."""
    return list(_known(part))


def spellings(part: str, name: str) -> list[str]:
    """Headers that mean a field."""
    return [word for word, (field, _) in _known(part).items() if field == name]


@lru_cache(maxsize=4096)
def read_header(text: str, part: str) -> Header | None:
    """What a header means; None where it is not known."""
    plain = " ".join(unicodedata.normalize("NFKC", text).split()).rstrip("*:").strip()
    word = folded(plain)
    if word in vocabulary("headers")["ignored"][part] or plain == "#":
        return Header(ignored=True)
    refused = vocabulary("headers")["refused"][part]
    for reason, words in refused.items():
        if word in words:
            return Header(refused=reason)
    found = _meaning(plain, part)
    if found is None:
        return _left_out(plain, part)
    if not found.unit and "%" in plain and ASKED[part][found.field].unit == "share":
        return replace(found, unit="%")
    return found


def header_of(text: str, part: str, values: Iterable[str]) -> Header | None:
    """What a header means, be it by the units of what it heads: "AC output" may be watts or volts."""
    meant = vocabulary("headers")["by_unit"][part].get(folded(text), {})
    units = {unit for value in values for unit in _UNIT.findall(value)} if meant else set()
    fields = [field for kind, field in meant.items() if any(find_unit(unit, kind) for unit in units)]
    return Header(field=fields[0]) if fields else read_header(text, part)


def _left_out(plain: str, part: str) -> Header | None:
    """A header of a column that is left out, be it in two languages or with a currency behind it."""
    ignored, beside = (set(vocabulary("headers")[kind][part]) for kind in ("ignored", "beside"))
    words = set()
    for half in _halves(plain):
        tail = _TAIL.search(half)
        words |= {folded(half)} | ({folded(half[: tail.start()])} if tail and _MONEY.fullmatch(tail[1]) else set())
    if words & beside:
        return Header(beside=True)
    return Header(ignored=True) if words & ignored else None


def _halves(plain: str) -> list[str]:
    """One header in two languages, such as `Gerät / Appliance`."""
    return re.split(r"\s+/\s+|\|", plain)[:4]


def _meaning(plain: str, part: str) -> Header | None:
    whole = _look(plain, part)
    bracket = _BRACKETS.search(plain)
    bare = folded(plain[: bracket.start()]) if bracket else ""
    before = _look(bare, part) if bracket else None
    if bracket and before:
        return _with_unit(before, bracket[1], part, whole if folded(plain) != bare else None)
    if whole:
        return Header(field=whole[0], unit=whole[1])
    tail = _TAIL.search(plain)
    before = _look(plain[: tail.start()], part) if tail else None
    if tail and before and _may_follow(tail[1], before[0], part):
        tailed = _with_unit(before, tail[1], part, None)
        if not (tailed.bad_unit or tailed.aside):
            return tailed
        if len(_halves(plain)) == 1:  # `Leistung / Power` has another header behind it, no unit
            return None
    halves = {half: found for half in _halves(plain) if half != plain and (found := _meaning(half, part))}
    halves = {half: found for half, found in halves.items() if found.field} or halves  # one that is sure goes first
    english = [found for half, found in halves.items() if not _is_translation(half, part)]
    meant = english or list(halves.values())  # `Preis / Pack price` is as precise as its English half
    return meant[0] if len({found.field for found in meant}) == 1 else None


def _is_translation(half: str, part: str) -> bool:
    """Whether a header is known, and from another language only."""
    return folded(half) in _known(part) and folded(half) not in _in_english(part)


@cache
def _in_english(part: str) -> frozenset[str]:
    """Plain headers that stand in the English file, or are names and titles of the schema."""
    words = {folded(word.partition(" [")[0]) for each in data("headers.toml")[part].values() for word in each}
    return frozenset(words | {folded(word) for name, asked in ASKED[part].items() for word in (name, asked.title)})


def _look(text: str, part: str) -> tuple[str, str] | None:
    """Field and unit of a header, be it with a word such as `unit` before it."""
    word, known = folded(text), _known(part)
    thing, _, rest = word.partition(" ")
    return known.get(word) or (known.get(rest) if thing in vocabulary("headers")["things"][part] else None)


def _may_follow(tail: str, field: str, part: str) -> bool:
    """Whether a last word may be a unit, or say nothing: behind a name it says what of it the column holds."""
    asked = ASKED[part][field]
    if asked.unit == "money":
        return bool(_MONEY.fullmatch(tail))
    return not asked.text or bool(asked.choices)


def quantities(title: str, part: str) -> frozenset[str]:
    """Units of fields, any of which a header may be in by its words; none where it does not say."""
    words = folded(title).split()
    named = {unit for unit, said in vocabulary("headers")["quantities"].items() if not words or set(said) & set(words)}
    last = re.split(r"[\s(\[,/]+", title.strip(" )]:*"))[-1]
    units = {asked.unit for asked in ASKED[part].values() if asked.unit and find_unit(last, asked.unit)}
    return frozenset(units or named)


def about(title: str) -> frozenset[str]:
    """What a header is about by its words, such as charging; none where it does not say."""
    words = set(folded(title).split())
    return frozenset(name for name, said in vocabulary("headers")["about"].items() if words & set(said))


def _with_unit(known: tuple[str, str], unit: str, part: str, whole: tuple[str, str] | None) -> Header:
    """A field with the unit that stands in brackets behind it."""
    name, usual = known
    asked = ASKED[part][name]
    if whole:
        return Header(field=whole[0], unit=whole[1])
    if asked.text:
        return Header(field=name)
    for other, kind in _OTHER_KIND.get((part, name), {}).items():
        if find_unit(unit, kind):
            return Header(field=other, unit=unit)
    if find_unit(unit, asked.unit):
        return Header(field=name, unit=unit)
    if asked.unit in {"money", "money/l"} or folded(unit) in vocabulary("headers")["asides"]:
        return Header(field=name, unit=usual)
    if plain_unit(unit) in REFUSED or any(find_unit(unit, each) for each in UNITS):
        return Header(field=name, unit=usual, bad_unit=unit)
    return Header(field=name, unit=usual, aside=unit)


_OTHER_KIND: Final = {
    ("loads", "running_w"): {"running_a": "A", "running_va": "VA"},
    ("loads", "starting_w"): {"starting_a": "A", "starting_va": "VA"},
    ("candidates", "storage_wh"): {"storage_ah": "Ah"},
    ("candidates", "continuous_w"): {"continuous_va": "VA"},
}
"""Fields that stand in for another one where the unit says so."""


def is_unit_of(text: str, field: str, part: str) -> bool:
    """Whether a text is nothing but a unit of the field, as in a row of units."""
    asked = ASKED[part][field]
    word = text.strip().strip("()[]").strip()
    kinds = [asked.unit, *_OTHER_KIND.get((part, field), {}).values()]
    return not asked.text and any(find_unit(word, kind) for kind in kinds)
