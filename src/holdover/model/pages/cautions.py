"""Which cautions a plan calls for beyond those that always hold, and what a cord loses of the voltage.

What they say stands in `data/cautions.toml`, the words of other languages beside it; this decides where each is told.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from typing import Any, Final

from holdover.case.measure import in_us_words
from holdover.case.schema import Case
from holdover.case.words import vocabulary
from holdover.model.demand import Demand
from holdover.model.dust import DUST
from holdover.model.loads import LOW_V, LoadLine

HOT_C: Final = 35.0
"""Where a unit stands so hot, its place is spoken of [°C]; common practice, ten below where many stop charging."""
COLD_C: Final = 10.0
"""Below this a unit in a vehicle is told to be cold [°C]; common practice, ten above where charging ends."""
LOSS_SHARE: Final = 0.03
"""Most of the voltage that a cord should lose [share]; NEC 210.19(A), informational note, by transcription."""
TRIED_M: Final = 15.0
"""Length of the cord for which the loss is told [m]; definition, close to 50 ft."""
OUTLET_A: Final = 15.0, 16.0
"""What a usual outlet gives, of a lower and of a higher voltage [A]; common practice."""
CORDS: Final[tuple[tuple[str, float], ...]] = (
    ("1 mm²", 19.5),
    ("1.5 mm²", 13.3),
    ("2.5 mm²", 7.98),
    ("4 mm²", 4.95),
    ("6 mm²", 3.30),
)
"""Flexible copper by its section [Ω/km at 20 °C]; IEC 60228, class 5 (seen in makers' tables)."""
US_CORDS: Final[tuple[tuple[str, float], ...]] = (
    ("16 AWG", 16.4),
    ("14 AWG", 10.3),
    ("12 AWG", 6.50),
    ("10 AWG", 4.07),
    ("8 AWG", 2.55),
)
"""Stranded copper by its gauge [Ω/km at 75 °C]: 4.99, 3.14, 1.98, 1.24 and 0.778 Ω per 1000 ft; NEC Chapter 9, Table 8, by
transcription, 16 AWG from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution, whether the plan calls for it, how many it calls for so far, and their titles."""

    number: int
    name: str
    title: str
    text: str
    source: str
    applies: int
    so_many: int
    so_far: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionWord:
    """A word by which loads call for a caution, with * where more may stand, and how many that count do; `dc`: those at
    DC ports count, too."""

    caution: str
    word: str
    dc: int
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionLine:
    """A line of the cautions that apply; the last ones are blank."""

    number: int
    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord:
    """A cord by its gauge: its resistance there or back, what it loses of the voltage, and how long it may be."""

    gauge: str
    ohm_per_km: float
    lost_share: float
    longest_m: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cautions:
    """What the plan calls for. `amps` is the current that one cord carries at most, `volts` that of the house."""

    count: int
    said: str
    amps: float
    volts: float
    words: tuple[CautionWord, ...]
    all: tuple[Caution, ...]
    lines: tuple[CautionLine, ...]
    cords: tuple[Cord, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the conditions look at."""

    case: Case
    demand: Demand
    words: Sequence[CautionWord]

    def named(self, caution: str) -> bool:
        """Whether a load that counts is called by a word of the caution."""
        return any(word.count > 0 for word in self.words if word.caution == caution)

    @property
    def drives(self) -> bool:
        """Whether a vehicle is charged."""
        return self.case.vehicle.distance > 0

    @property
    def leaves(self) -> bool:
        """Whether the unit leaves the house."""
        return self.case.about.purpose in ("day away", "trip")


CONDITIONS: Final[Mapping[str, Callable[[Told], bool]]] = {
    "furnace": lambda told: told.named("furnace"),
    "shared_neutral": lambda told: (
        told.case.about.purpose == "outage" and told.case.sizing.feed == "120 V" and round(told.demand.ac_wh, DUST) > 0
    ),
    "residual_current": lambda told: (
        told.leaves or told.drives or told.case.about.purpose == "off grid" or told.named("residual_current")
    ),
    "adapter_plug": lambda told: told.drives,
    "hot_places": lambda told: told.leaves or round(told.case.sizing.storage_c - HOT_C, DUST) >= 0,
    "flood": lambda told: told.named("flood"),
    "medical": lambda told: told.named("medical"),
    "transport": lambda told: told.leaves,
    "sine": lambda told: told.named("sine"),
    "array_disconnect": lambda told: told.case.array.modules > 0,
    "cold_vehicle": lambda told: (
        (told.drives or told.case.about.purpose == "trip") and round(told.case.sizing.storage_c - COLD_C, DUST) < 0
    ),
    "cords": lambda told: told.drives or told.named("cords"),
}
"""When each caution is told, in the order in which they are."""


def cautions_of(case: Case, lines: Sequence[LoadLine], demand: Demand, *, us: bool) -> Cautions:
    """The cautions of a plan; `us`: in the words of the United States."""
    words = tuple(_words(lines))
    told = Told(case=case, demand=demand, words=words)
    found = _all(told, us=us)
    applying = [caution for caution in found if caution.applies]
    amps, volts = cord_amps(demand, case), demand.house_v
    return Cautions(
        count=len(applying),
        said=found[-1].so_far,
        amps=amps,
        volts=volts,
        words=words,
        all=found,
        lines=_lines(applying, len(found)),
        cords=tuple(
            Cord(
                gauge=gauge,
                ohm_per_km=ohm,
                lost_share=lost_share(amps, TRIED_M, ohm, volts),
                longest_m=longest_m(amps, ohm, volts),
            )
            for gauge, ohm in (*US_CORDS, *CORDS)
        ),
    )


def _words(lines: Sequence[LoadLine]) -> Iterator[CautionWord]:
    """Each word of each caution, and the lines that are called by it."""
    counted = [(line.name.lower(), line.is_ac) for line in lines if line.quantity > 0]
    names = [name for name, is_ac in counted if is_ac], [name for name, _ in counted]
    for caution, dc, words in _calling():
        for word in words:
            yield CautionWord(caution=caution, word=word, dc=dc, count=_count(names[dc], word))


@cache
def _calling() -> tuple[tuple[str, int, tuple[str, ...]], ...]:
    """Each caution, whether loads at DC ports call for it, too, and by which words."""
    return tuple(
        (
            name,
            int(caution.get("dc", False)),
            tuple(_widest(word if "*" in word else f"*{word}*" for word in caution.get("words", ()))),
        )
        for name, caution in vocabulary("cautions").items()
    )


def _count(names: Sequence[str], word: str) -> int:
    """How many names are called by a word; of most it is asked whether they hold it, which is quickly told."""
    held = word[1:-1]
    if word == f"*{held}*" and held.replace(" ", "a").isalnum():
        return sum([held in name for name in names])
    return sum(fnmatchcase(name, word) for name in names)


def _widest(words: Iterable[str]) -> Iterator[str]:
    """Words that no other takes in: what is called `*pumpe*` is called `*pump*`."""
    once = dict.fromkeys(words)
    return (word for word in once if not any(fnmatchcase(word, other) for other in once if other != word))


def _lines(applying: Sequence[Caution], count: int) -> tuple[CautionLine, ...]:
    """The cautions that apply, and blank lines up to as many as there are."""

    def line(i: int) -> CautionLine:
        if i < len(applying):
            told = applying[i]
            return CautionLine(number=i + 1, title=told.title, text=told.text, source=told.source)
        return CautionLine(number=i + 1, title="", text="", source="")

    return tuple(map(line, range(count)))


def _all(told: Told, *, us: bool) -> tuple[Caution, ...]:
    found: list[Caution] = []
    said = ""
    for name, holds in CONDITIONS.items():
        words: Mapping[str, Any] = vocabulary("cautions")[name]
        title, text, source = (in_us_words(words[key]) if us else words[key] for key in ("title", "text", "source"))
        applies = holds(told)
        if applies:
            said = f"{said}, {title}" if said else title
        many = int(applies) + (found[-1].so_many if found else 0)
        found.append(
            Caution(
                number=len(found) + 1,
                name=name,
                title=title,
                text=text,
                source=source,
                applies=int(applies),
                so_many=many,
                so_far=said,
            )
        )
    return tuple(found)


def cord_amps(demand: Demand, case: Case) -> float:
    """Current of one cord [A]: all that runs at once, as far as an outlet gives it, or the charger of a vehicle."""
    outlet = OUTLET_A[demand.house_v >= LOW_V]
    charger = case.vehicle.charger_a if case.vehicle.distance > 0 else 0.0
    return max(charger, min(outlet, demand.needed_va / demand.house_v))


def lost_share(amps: float, length_m: float, ohm_per_km: float, volts: float) -> float:
    """What a cord loses of the voltage, there and back [share].

    Args:
        amps: Current [A].
        length_m: Length of the cord [m].
        ohm_per_km: Resistance of one conductor [Ω/km].
        volts: Voltage at its beginning [V].

    Holds for: resistance alone, as that of cords for outlets.
    Source: Ohm's law.

    >>> round(lost_share(12, 30, 6.5, 120), 4)
    0.039
    """
    return 2 * amps * length_m * ohm_per_km / 1000 / volts


def longest_m(amps: float, ohm_per_km: float, volts: float) -> float | str:
    """How long a cord may be to lose no more than 3 % [m]; "" where it carries nothing.

    Args:
        amps: Current [A].
        ohm_per_km: Resistance of one conductor [Ω/km].
        volts: Voltage at its beginning [V].

    Holds for: resistance alone.
    Source: Ohm's law; NEC 210.19(A), informational note.

    >>> round(longest_m(12, 6.5, 120), 1)
    23.1
    """
    return LOSS_SHARE * volts * 1000 / (2 * amps * ohm_per_km) if round(amps, DUST) > 0 else ""
