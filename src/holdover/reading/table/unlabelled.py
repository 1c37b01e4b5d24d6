"""Lines of data sheets that name no figure before they state it: `99 lbs`, `2400W AC Output / 4800W Surge`.

What a figure is, its unit says, or the words behind it. A line of which any part stays open says nothing.
"""

import re
from dataclasses import dataclass
from typing import Final

from holdover.case.words import either, folded, vocabulary
from holdover.reading.composite import AMOUNT, CLAUSE, NUMBER, SPLIT, Figure, disagree
from holdover.reading.fields import ASKED
from holdover.reading.quantity.numbers import Fault, plain
from holdover.reading.quantity.quantity import SIGN, amounts
from holdover.reading.quantity.units import find_unit
from holdover.reading.table.headers import header_of
from holdover.reading.value import CURRENCIES
from holdover.reading.voltage import beside_three_phases, says_three_phases

PART: Final = "candidates"
BARE: Final = {
    "Wh": "storage_wh", "W": "continuous_w", "V": "ac_volts", "kg": "weight_kg", "dB(A)": "noise_db", "years": "warranty_years",
    "cycles": "cycles",
}  # fmt: skip
"""What a figure is by its unit alone [-]."""
SMALL: Final = frozenset({"a", "y", "an", "g", "gram", "grams", "times", "min"})
"""Spellings that mean their unit only below its heading: 15 A are no years [-]."""
OF_BATTERY: Final = {"Wh": "storage_wh", "cycles": "cycles"}
"""Units of figures beside which the word battery says nothing more, with their fields [-]."""
LINE_MAX: Final = 200
"""Longest line that is looked through [characters]: a longer one is no line of a data sheet, and costs its square."""
NARROW: Final = 1.1
"""How much higher the end of a range of volts may be that is one nominal voltage: 220-240 V [-]; common practice."""
COUNTED: Final = frozenset({"ac_sockets", "pv_inputs"})
"""Fields that a bare count states before their name, as in `5 outlets` [-]."""
OUTPUTS: Final = frozenset({"continuous_w", "continuous_va", "surge_w"})
"""Fields beside which volts are those of the output [-]."""
SPLIT_TAIL: Final = " split phase"
"""What is written behind two voltages that are there at once."""
_WORDS: Final = vocabulary("headers")["unlabelled"]
BATTERY: Final = vocabulary("headers")["data_sheet"]
_IDLE: Final = frozenset(folded(word) for word in _WORDS["idle"])
CHEMISTRY: Final = re.compile(rf"(?<![a-z]){either(BATTERY['chemistry'])}(?![a-z])", re.IGNORECASE)
"""What the cells are made of says nothing of a figure, and has digits of its own."""
_SIGN: Final = rf"(?:{SIGN}|{either(CURRENCIES)})"
_MONEY: Final = re.compile(rf"(?:{_SIGN}\s*{NUMBER}|{NUMBER}\s*{_SIGN})(?:,-)?", re.IGNORECASE)
_FORMER: Final = re.compile(
    rf"[\s,;(\[/-]*\b{either(_WORDS['former'])}[\s.:]*{_SIGN}?\s*{NUMBER}\s*{_SIGN}?\s*[)\]]?\s*$", re.IGNORECASE
)
_HERTZ: Final = re.compile(r"[\s,/@(]*\b[456]0(?:\s*/\s*[56]0)?\s*hz\b\)?", re.IGNORECASE)
_TO_SHARE: Final = re.compile(rf"\bto\s+{NUMBER}\s*\+?\s*%(?:\s+(?:of\s+)?{either(_WORDS['new'])})?", re.IGNORECASE)
"""Down to which share of new the cycles are counted."""
_BULLET: Final = re.compile(r"(?<=[^\s0-9])\s+[•·|-]\s+")
_SIGNS: Final = " .:-•·*●▪►✓✔"
"""What stands before a line of a list."""
_COUNT: Final = re.compile(r"\s*([1-9][0-9]?)\s*[x×]?\s+(?=[A-Za-z])")
_GROWS: Final = re.compile(
    rf"[\s,;(\[-]*\b(?:{either(_WORDS['grows'])}\s*:?\s*(?:up\s+to|to)?|{either(_WORDS['growth'])}\s*:?\s*(?:up\s+to|to))\s*"
    rf"(?P<total>{NUMBER}\s*k?Wh)\b"
    rf"(?:\s*[,(]?\s*{either(_WORDS['by'])}\s+(?:up\s+to\s+)?(?P<count>[1-9][0-9]?)\s*x?\s+(?:[a-z-]+\s+){{0,2}}{either(_WORDS['packs'])}\b)?"
    r"\s*[)\]]*",
    re.IGNORECASE,
)
STORAGE: Final = (50.0, 500_000.0)
"""What is read as the storage of a unit, be it with its packs, where its decimal mark is not known yet [Wh]."""


@dataclass(frozen=True, slots=True)
class Stated(Figure):
    """A figure of such a line."""

    sure: bool = True
    """Whether words say what it is, or a unit that means one thing: watts alone may be those of an input."""


@dataclass(frozen=True, slots=True)
class Growth:
    """To what a unit may be expanded, and with how many packs; "" where that is not said."""

    total: str
    packs: str


def stated_in(text: str) -> list[Stated]:
    """Every figure of a line without a label; none where one of them, or a word beside it, may mean something else."""
    if len(text) > LINE_MAX:
        return []
    line = _BULLET.sub(", ", plain(text).strip(_SIGNS))
    if _MONEY.fullmatch(line):
        return [Stated("price", line)]
    if says_three_phases(line) and not _rest(beside_three_phases(line)):
        return [Stated("ac_volts", line)]
    found: list[Stated] = []
    for clause in CLAUSE.split(_HERTZ.sub(" ", line)):
        each = _of_clause(clause)
        if each is None:
            return []
        found += each
    surge = any(each.field == "surge_w" for each in found)
    found = [Stated(each.field, each.text, each.sure or surge) for each in found]
    return [] if disagree(found) else list({each.field: each for each in reversed(found)}.values())[::-1]


def _of_clause(clause: str) -> list[Stated] | None:
    """The figure of a part of a line; none where it has only words that say nothing, None where it can't be told."""
    clause = clause.strip(_SIGNS)
    if _MONEY.fullmatch(clause):
        return [Stated("price", clause)]
    split = SPLIT.search(clause)
    bare = _TO_SHARE.sub(" ", CHEMISTRY.sub(" ", SPLIT.sub(" ", clause)))
    found = list(AMOUNT.finditer(bare))
    counted = _COUNT.match(bare)
    header = header_of(bare[counted.end() :], PART, []) if counted else None
    if counted and header and header.field in COUNTED:
        return [Stated(header.field, counted[1])]
    if not found:
        return None if re.search("[0-9]", bare) or set(_rest(bare).split()).difference(BATTERY["battery"]) else []
    amount = found[0]
    beside = f"{bare[: amount.start()]} {bare[amount.end() :]}"
    if len(found) > 1 or re.search("[0-9]", beside):
        return _with_volts(found, bare, split=bool(split))
    field, sure = _field(amount, beside)
    tail = SPLIT_TAIL if split and field == "ac_volts" else ""
    return [Stated(field, amount["value"].strip() + tail, sure)] if field and not (split and not tail) else None


def _with_volts(found: list[re.Match[str]], bare: str, *, split: bool) -> list[Stated] | None:
    """The output and its volts, where a part of a line states both: `120/240V output 5000W continuous`."""
    volts = next((each for each in found if find_unit(each["unit"], "V") and _is_mains(each["value"])), None)
    if volts is None or len(found) != len(("volts", "output")):
        return None
    rest = _of_clause(f"{bare[: volts.start()]} {bare[volts.end() :]}")
    if rest and rest[0].field == "ac_charge_w" and not split:
        return rest
    if not rest or rest[0].field not in OUTPUTS:
        return None
    return [*rest, Stated("ac_volts", volts["value"].strip() + (SPLIT_TAIL if split else ""))]


def _field(amount: re.Match[str], beside: str) -> tuple[str, bool]:
    """What an amount is by the words beside it, or by its unit alone; and whether that is sure."""
    kind, unit = next(((kind, unit) for kind in BARE if (unit := find_unit(amount["unit"], kind))), ("", None))
    if unit is None or amount["unit"].casefold() in SMALL or (amount["low"] and kind != "V"):
        return "", False
    label = _rest(beside)
    if kind in OF_BATTERY and (not label or not _named(label, kind, amount)):
        label = " ".join(word for word in label.split() if word not in BATTERY["battery"])
        if label and _named(label, kind, amount) not in OF_BATTERY.values():  # a battery pack may be one more
            return "", False
    whole = folded(beside)
    named = _named(whole, kind, amount) or _named(" ".join(whole.split()[::-1]), kind, amount)
    if named and len(whole.split()) == len(
        ("charging", "AC")
    ):  # the AC of `Charging 1800 W AC` says what is charged from
        return named, True
    if not label:
        known = _is_mains(amount["value"]) if kind == "V" else unit.is_own or kind != "years"
        return BARE[kind] if known else "", kind != "W"
    return _named(label, kind, amount), True


def _named(label: str, kind: str, amount: re.Match[str]) -> str:
    """The field of a unit that words name; "" where they name none."""
    header = header_of(label, PART, [amount["value"]])
    named = header.field if header and not header.refused else ""
    return named if named and ASKED[PART][named].unit == kind else ""


def _rest(text: str) -> str:
    """The words of a text but those that say nothing of what a figure is."""
    return " ".join(word for word in folded(text).split() if word not in _IDLE)


def _is_mains(text: str) -> bool:
    """Whether volts are those of outlets: each of `120/240 V`, a range such as `220-240 V`, not `100-240 V` of an input."""
    asked, volts = ASKED[PART]["ac_volts"], [float(each) for each in re.findall(r"[0-9]+", text)]
    narrow = "/" in text or max(volts) <= NARROW * min(volts)
    return narrow and all((asked.low or 0) <= each <= (asked.high or 0) for each in volts)


def without_former_price(text: str) -> str:
    """The price of today, where the former one stands behind it: `$1,699 (was $1,999)`."""
    former = _FORMER.search(text) if len(text) <= LINE_MAX else None
    return text[: former.start()].rstrip() if former and re.search("[0-9]", text[: former.start()]) else text


def growth_in(text: str) -> tuple[str, Growth | None]:
    """A line without what it says of an expansion to a total, and that."""
    found = _GROWS.search(plain(text)) if len(text) <= LINE_MAX else None
    if not found:
        return text, None
    rest = f"{text[: found.start()]} {text[found.end() :]}".strip(" ,;:-")
    return rest, Growth(total=found["total"], packs=found["count"] or "")


def pack_of(grown: str, storage: str, count: int) -> float:
    """The storage of each pack of an expansion [Wh]; 0 where it does not follow from the total.

    Args:
        grown: storage with all packs, as it was typed
        storage: the unit without packs, as it was typed
        count: packs at most [-]
    """
    total, base = _wh(grown), _wh(storage)
    return (total - base) / count if total > base > 0 and count > 0 else 0.0


def _wh(text: str) -> float:
    """Watt-hours under the decimal mark by which they are those of a unit; 0 where that is neither, or both."""
    said = {each.value for each in amounts(text, "Wh").values() if not isinstance(each, Fault)}
    fitting = [value for value in said if STORAGE[0] <= value <= STORAGE[1]]
    return fitting[0] if len(fitting) == 1 else 0.0
