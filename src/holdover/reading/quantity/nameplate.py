"""What stands beside the draw on a nameplate: words, frequency, phase and volts, set aside before the draw is read.

`Input: 220-240 V ~ 50 Hz 1.5 kW` is 1.5 kW. Places in the text stay where they are, so that a fault is shown at its place.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from holdover.case.words import either, vocabulary
from holdover.reading.quantity.numbers import plain

WIDE: Final = 1.5
"""From this ratio of its ends on, volts are the range of a supply that takes any outlet of the world [-]; common practice."""

_WORDS: Final = vocabulary("units")
_BESIDE: Final = {name: either(words) for name, words in _WORDS["voltages"].items()}
_VOLTS: Final = either(_WORDS["spellings"]["V"]["V"])
_TO: Final = rf"(?:-|~|/|{either(_WORDS['amounts']['to'])})"
_BEFORE: Final = re.compile(
    rf"\s*(?:{either(_WORDS['plate']['before'])}\b[\s:.=]*)+(?=[0-9]|{_BESIDE['ac']})", re.IGNORECASE
)
_BEHIND: Final = re.compile(rf"(?<=[A-Za-z])[\s,]*\(?{either(_WORDS['plate']['behind'])}\b\)?\.?\s*$", re.IGNORECASE)
_FREQUENCY: Final = re.compile(
    rf"[\s,;/(]*(?<![0-9.,])[456]0(?:\s*[/-]\s*[456]0)?\s*{_BESIDE['hertz']}\b\)?", re.IGNORECASE
)
_PHASE: Final = re.compile(
    rf"[\s,]*(?:\b{_BESIDE['single']}[\s-]*{_BESIDE['phase']}\b|\b1\s*(?:{_BESIDE['phase']}\b|~)|(?<=[0-9vV ])~)",
    re.IGNORECASE,
)
_RANGE: Final = re.compile(
    rf"(?P<low>[0-9]{{2,3}})\s*(?:{_VOLTS})?\s*{_TO}\s*(?P<high>[0-9]{{2,3}})\s*{_VOLTS}(?:\s*{_BESIDE['ac']}\b)?(?![a-z])[\s,;@x*/]*",
    re.IGNORECASE,
)
_ONE: Final = re.compile(
    rf"(?P<volts>[0-9]{{2,3}})\s*{_VOLTS}(?:\s*{_BESIDE['ac']}\b)?(?![a-z])[\s,;@x*/]*", re.IGNORECASE
)
_POWER: Final = re.compile(
    rf"(?<![0-9.,])[0-9][0-9.,]*\s*{either([word for kind in ('W', 'VA') for words in _WORDS['spellings'][kind].values() for word in words])}\b",
    re.IGNORECASE,
)
_CURRENT: Final = re.compile(
    rf"[\s,;/@]*(?<![0-9.,])[0-9][0-9.,]*\s*{either(_WORDS['spellings']['A']['A'])}\b[\s,;/@]*", re.IGNORECASE
)
_TRAILING: Final = " \t,;/("
_UNIT: Final = either(
    [word for kind in ("W", "VA", "A") for words in _WORDS["spellings"][kind].values() for word in words]
)
_NUMBER: Final = r"(?<![0-9.,])[0-9]+(?:[.,][0-9]+)?"
_OF: Final = rf"\s*(?P<unit>{_UNIT})(?![a-z])"
_DRAW: Final = re.compile(_NUMBER + _OF, re.IGNORECASE)


_DUAL_VOLTS: Final = rf"(?P<low_v>[0-9]{{3}})\s*(?:{_VOLTS})?\s*/\s*(?P<high_v>[0-9]{{3}})\s*{_VOLTS}"
_DUAL_AMPS: Final = rf"(?P<low_a>{_NUMBER})\s*{either(_WORDS['spellings']['A']['A'])}?\s*/\s*(?P<high_a>{_NUMBER})\s*{either(_WORDS['spellings']['A']['A'])}"
_DUAL: Final = [
    re.compile(rf"\s*{one}\b[\s,;@]*{two}\b\s*", re.IGNORECASE)
    for one, two in ((_DUAL_VOLTS, _DUAL_AMPS), (_DUAL_AMPS, _DUAL_VOLTS))
]
TWICE: Final = (1.8, 2.2)
"""Of a motor for two voltages the current at the higher is half of that at the lower, as plates round it [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoVoltages:
    """The plate of a motor that may be wired for either of two voltages: each [V] with its current as it was written [A]."""

    low_v: str
    low_a: str
    high_v: str
    high_a: str


def read_two_voltages(typed: object) -> TwoVoltages | None:
    """What a plate such as `115/230V 9.6/4.8A` says; None of any other."""
    if not isinstance(typed, str):
        return None
    line = _PHASE.sub(" ", _FREQUENCY.sub(" ", plain(typed), count=1), count=1)
    found = next(filter(None, (pattern.fullmatch(line) for pattern in _DUAL)), None)
    if found is None:
        return None
    more, less = (float(found[end].replace(",", ".")) for end in ("low_a", "high_a"))
    least, most = TWICE
    if not (less and least <= more / less <= most and least <= float(found["high_v"]) / float(found["low_v"]) <= most):
        return None
    return TwoVoltages(**found.groupdict())


def _beside(words: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """A figure behind one of the words, and one before it; it may be bare where nothing but other words of a plate follows."""
    word = rf"{either(_WORDS['plate'][words])}(?![a-z])"
    figure = rf"(?P<figure>{_NUMBER}(?:{_OF}|(?![0-9.,]*\s*[A-Za-z0-9])))"
    before = rf"(?P<figure>{_NUMBER}(?:{_OF}){'' if words == 'ceiling' else '?'})"
    return (
        re.compile(rf"(?<![a-z]){word}[\s:.=]*{figure}", re.IGNORECASE),
        re.compile(rf"{before}[\s,]*\(?{word}\)?", re.IGNORECASE),
    )


_ADAPTER: Final = re.compile(
    rf"\s*{either(_WORDS['plate']['input'])}\b.*[^a-z]{either(_WORDS['plate']['output'])}\b[\s:.=]*(?P<output>.*)",
    re.IGNORECASE,
)
_MAXIMA: Final = {words: _beside(words) for words in ("protection", "circuit", "ceiling")}
"""A figure with the word that makes it a maximum; what gives way to others comes first."""
_FULL_LOAD: Final = _beside("full_load")


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A nameplate of which only the draw is left, at its place; the rest is blanks."""

    line: str
    is_ceiling: bool = False
    """Whether it states only the most that may be drawn."""
    low_v: float | None = None
    """Volts that stood beside it, the lower end of a range."""
    high_v: float | None = None

    @property
    def volts(self) -> float | None:
        """The middle of a narrow range, which is the nominal voltage; None where none is stated or the range is wide."""
        if self.low_v is None or self.high_v is None or self.is_wide:
            return None
        return (self.low_v + self.high_v) / 2

    @property
    def is_wide(self) -> bool:
        """Whether it takes 100 to 240 V: its current is stated for the lower end, where it draws most."""
        return bool(self.low_v and self.high_v and self.high_v >= WIDE * self.low_v)


def read_plate(line: str) -> Plate:
    """The draw of a nameplate alone, and the volts beside it."""
    line, is_ceiling = _with_maximum(line)
    return replace(_plate(line), is_ceiling=is_ceiling)


def states_ceiling(typed: object) -> bool:
    """Whether what was typed is a nameplate that states only the most that may be drawn."""
    return isinstance(typed, str) and not typed.isdecimal() and read_plate(plain(typed)).is_ceiling


def adapter_output(typed: object) -> str:
    """What an adapter gives, of a plate that states both `Input: 100-240 V ~ 2 A` and `Output: 24 V 3.75 A`; "" of others."""
    found = _ADAPTER.fullmatch(plain(typed).replace("⎓", " ")) if isinstance(typed, str) else None
    return found["output"] if found else ""


def _with_maximum(line: str) -> tuple[str, bool]:
    """A nameplate without the maxima that stand beside a draw, and whether a maximum is all it states."""
    for words, patterns in _MAXIMA.items():
        found = _first(patterns, line)
        if found is None:
            continue
        rest = _without(line, found).rstrip(_TRAILING)
        others = (_DRAW, *_FULL_LOAD, *(_MAXIMA["circuit"] if words == "protection" else ()))
        if not _first(others, rest):
            return _figure_alone(line, found, in_amperes=words != "ceiling"), True
        line = rest
    found = _first(_FULL_LOAD, line)
    return _figure_alone(line, found, in_amperes=True) if found else line, False


def _first(patterns: Iterable[re.Pattern[str]], line: str) -> re.Match[str] | None:
    return next(filter(None, (pattern.search(line) for pattern in patterns)), None)


def _figure_alone(line: str, found: re.Match[str], *, in_amperes: bool) -> str:
    """A line without the words beside a figure; a bare one may be in amperes."""
    start, end = found.span("figure")
    amperes = " A" if in_amperes and not found["unit"] else ""
    before, behind = " " * (start - found.start()), " " * (found.end() - end)
    return f"{line[: found.start()]}{before}{line[start:end]}{amperes}{behind}{line[found.end() :]}"


def _plate(line: str) -> Plate:
    for pattern in (_BEFORE, _FREQUENCY, _PHASE, _BEHIND):
        line = pattern.sub(_blanks, line, count=1)
    line = _strip_ac(line)
    found = _RANGE.search(line)
    if found:
        line = _without(line, found)
        return Plate(line=_power_alone(line), low_v=float(found["low"]), high_v=float(found["high"]))
    one = _ONE.search(line)
    if one and _POWER.search(line):  # volts beside amps are a pair, which is read as such
        return Plate(line=_power_alone(_without(line, one)), low_v=float(one["volts"]), high_v=float(one["volts"]))
    return Plate(line=_power_alone(line))


def _strip_ac(line: str) -> str:
    found = re.match(rf"\s*{_BESIDE['ac']}\b[\s:]*(?=[0-9])", line, re.IGNORECASE)
    return _without(line, found) if found else line


def _power_alone(line: str) -> str:
    """Where amps stand beside watts or volt-amperes, these: they say what is drawn, whatever the voltage."""
    current = _CURRENT.search(line)
    return _without(line, current) if current and _POWER.search(_without(line, current)) else line


def _without(line: str, found: re.Match[str]) -> str:
    return f"{line[: found.start()]}{_blanks(found)}{line[found.end() :]}"


def _blanks(found: re.Match[str]) -> str:
    return " " * len(found.group())
