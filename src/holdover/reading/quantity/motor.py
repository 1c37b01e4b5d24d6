"""What a motor's plate and its starter say: horsepower, code letter, amperes at locked rotor, soft start.

An inverter trips on current, so a start is told in volt-amperes, its whole current counted. It reads text and tables; what
of it counts in a row is decided in `reading/motor.py`.
"""

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from holdover.case.words import either, vocabulary
from holdover.reading.quantity.numbers import MARKS, Mark, plain, scan

Starter = Literal["", "soft", "direct", "star"]

FULL_LOAD_A: Final = (
    (1 / 6, 4.4), (1 / 4, 5.8), (1 / 3, 7.2), (1 / 2, 9.8), (3 / 4, 13.8), (1.0, 16.0), (1.5, 20.0), (2.0, 24.0), (3.0, 34.0),
    (5.0, 56.0), (7.5, 80.0), (10.0, 100.0),
)  # fmt: skip
"""Full-load current of single-phase motors [hp, A at 115 V]; half of it at 230 V. NEC Table 430.248, by transcription."""
TABLE_V: Final = 115.0
"""Voltage of that table [V]."""
LOCKED_TIMES: Final = 6.0
"""Locked-rotor current per full-load current [-]; NEC Table 430.251(A), by transcription: it holds in each of its rows."""
CODE_KVA: Final = {
    "A": (0.0, 3.14), "B": (3.15, 3.54), "C": (3.55, 3.99), "D": (4.0, 4.49), "E": (4.5, 4.99), "F": (5.0, 5.59),
    "G": (5.6, 6.29), "H": (6.3, 7.09), "J": (7.1, 7.99), "K": (8.0, 8.99), "L": (9.0, 9.99), "M": (10.0, 11.19),
    "N": (11.2, 12.49), "P": (12.5, 13.99), "R": (14.0, 15.99), "S": (16.0, 17.99), "T": (18.0, 19.99), "U": (20.0, 22.39),
    "V": (22.4, 22.4),
}  # fmt: skip
"""Locked-rotor kVA per horsepower by code letter, least and most [kVA/hp]; NEC Table 430.7(B), by transcription. V, the
last letter, has no upper end: its lower one stands for both."""
CHART_W: Final = 4000.0
"""Start of a farm motor on a generator [W/hp]; NDSU Extension (2022), found as a search result."""

HP_KW: Final = 0.746
"""Kilowatts of a horsepower [kW/hp]."""
PAIRED: Final = 0.04
"""A plate in kilowatts is one in the horsepower of the table where both differ by less [share]: makers pair 0.75 kW with
1 hp, 7.5 kW with 10 hp and 0.18 kW with 1/4 hp; from memory."""

_WORDS: Final = vocabulary("units")["motor"]
AMOUNT: Final = r"(?:[0-9]{1,2}[ -])?[0-9]{1,2}/[0-9]{1,2}|(?:[0-9]{1,2} ?)?[¼½¾⅓⅔⅙⅛]|[0-9]{1,3}(?:[.,][0-9]{1,3})?"
"""An amount as plates state it, as a pattern: `1/2`, `1-1/2`, `½`, `7.5`."""
_AMPS: Final = either(vocabulary("units")["spellings"]["A"]["A"])
_VOLTS: Final = either(vocabulary("units")["spellings"]["V"]["V"])
_HP: Final = re.compile(rf"(?<![0-9.,/])(?P<amount>{AMOUNT})[\s-]*{either(_WORDS['horsepower'])}(?![a-z])\.?", re.I)
_KW: Final = re.compile(
    rf"(?<![0-9.,/])(?P<amount>{AMOUNT})\s*{either(vocabulary('units')['spellings']['W']['kW'])}(?![a-z])", re.I
)
_LOCKED: Final = re.compile(
    rf"(?<![a-z]){either(_WORDS['locked'])}\s*[:=]?\s*(?P<amps>{AMOUNT})\s*(?:{_AMPS}\b)?", re.I
)
_LOCKED_BEHIND: Final = re.compile(
    rf"(?<![0-9.,/])(?P<amps>{AMOUNT})\s*(?:{_AMPS}\s*)?{either(_WORDS['locked'])}(?![a-z])", re.I
)
_CODE: Final = re.compile(rf"\b{either(_WORDS['code'])}\s*[:=]?\s*(?P<code>[A-HJ-NPR-V])(?![a-z0-9])", re.I)
_SOFT: Final = re.compile(rf"\b{either(_WORDS['soft'])}(?![a-z])", re.I)
_DIRECT: Final = re.compile(rf"\b{either(_WORDS['direct'])}(?![a-z])", re.I)
_PATTERNS: Final = (
    ("hp", _HP),
    ("locked", _LOCKED),
    ("locked", _LOCKED_BEHIND),
    ("code", _CODE),
    ("star", re.compile(rf"\b{either(_WORDS['star'])}(?![a-z])", re.I)),
    ("soft", _SOFT),
    ("direct", _DIRECT),
)
_ONLY_VOLTS: Final = re.compile(rf"(?P<volts>[0-9]{{2,3}})\s*{_VOLTS}(?:\s*ac)?", re.I)
STARTERS: Final[tuple[Starter, ...]] = ("star", "soft", "direct")
"""Starters, the one that counts first."""
_BETWEEN: Final = " \t,;/@()+-"
"""What may stand between two statements on a plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor:
    """What is said of a motor, None or "" where it is silent; `rest` is what of the text says nothing of it."""

    hp: float | None = None
    code: str = ""
    locked_a: float | None = None
    starter: Starter = ""
    volts: float | None = None
    rest: str = ""

    @property
    def is_silent(self) -> bool:
        """Whether nothing was said of a motor."""
        return self.hp is None and not self.code and self.locked_a is None and not self.starter


def read_motor(text: str, mark: Mark | None = None) -> Motor:
    """What a text says of a motor; volts beside it are read only where nothing else is left."""
    line = plain(text)
    found: dict[str, re.Match[str]] = {}
    for name, pattern in _PATTERNS:
        match = None if name in found else pattern.search(line)
        if match:
            found[name] = match
            line = f"{line[: match.start()]} {line[match.end() :]}"
    rest = line.strip(_BETWEEN)
    volts = _ONLY_VOLTS.fullmatch(rest) if found else None
    return Motor(
        hp=_number(found["hp"]["amount"], mark) if "hp" in found else None,
        code=found["code"]["code"].upper() if "code" in found else "",
        locked_a=_number(found["locked"]["amps"], mark) if "locked" in found else None,
        starter=next((starter for starter in STARTERS if starter in found), ""),
        volts=float(volts["volts"]) if volts else None,
        rest="" if volts else rest if found else text,
    )


def shaft_kw(text: str, mark: Mark | None = None) -> tuple[float, float | None] | None:
    """Kilowatts of a shaft, and the volts beside them, where a text says nothing else."""
    line = plain(text)
    found = _KW.search(line)
    rest = f"{line[: found.start()]} {line[found.end() :]}".strip(_BETWEEN) if found else line
    volts = _ONLY_VOLTS.fullmatch(rest)
    if found is None or (rest and volts is None):
        return None
    return _number(found["amount"], mark), float(volts["volts"]) if volts else None


def shaft_hp(kw: float) -> float:
    """Horsepower of a shaft by its kilowatts [hp]: that of the table which makers pair them with, else by 0.746 kW.

    Args:
        kw: Output at the shaft [kW].

    Holds for: any output.
    Source: NEC Table 430.248 for the ratings, by transcription.

    >>> shaft_hp(0.75), shaft_hp(0.37), shaft_hp(7.5), round(shaft_hp(1.3), 2)
    (1.0, 0.5, 10.0, 1.74)
    """
    hp = kw / HP_KW
    return next((rated for rated, _ in FULL_LOAD_A if abs(hp - rated) < PAIRED * rated), hp)


def _number(amount: str, mark: Mark | None) -> float:
    return scan(amount.replace("-", " "), 0, mark or ("," if "," in amount else MARKS[0]))[0]


def full_load_va(hp: float) -> float | None:
    """Volt-amperes of a single-phase motor at full load [VA]; None beyond the table.

    Args:
        hp: Horsepower of its shaft [hp].

    Holds for: up to 10 hp; between two rows by a straight line, below the first as the first.
    Source: NEC Table 430.248, by transcription.

    >>> full_load_va(0.5), full_load_va(1.25), full_load_va(0.1), full_load_va(12)
    (1127.0, 2070.0, 506.00000000000006, None)
    """
    if hp <= FULL_LOAD_A[0][0]:
        return FULL_LOAD_A[0][1] * TABLE_V
    for (low, less), (high, more) in pairwise(FULL_LOAD_A):
        if hp <= high:
            return (less + (more - less) * (hp - low) / (high - low)) * TABLE_V
    return None


def code_va(code: str, hp: float) -> tuple[float, float]:
    """Volt-amperes at locked rotor that a code letter allows, least and most [VA].

    Args:
        code: Letter on the plate, A to V without I, O and Q [-].
        hp: Horsepower of its shaft [hp].

    Holds for: any horsepower; V has no upper end.
    Source: NEC Table 430.7(B), by transcription.

    >>> [round(va) for va in code_va("G", 0.5)]
    [2800, 3145]
    """
    least, most = CODE_KVA[code]
    return 1000 * least * hp, 1000 * most * hp
