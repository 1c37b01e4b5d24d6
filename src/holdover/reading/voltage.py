"""AC voltages and feeds as nameplates and data sheets print them: one, two, a range, with the frequency beside it."""

import re
from collections.abc import Collection
from typing import Any, Final

from holdover.case.schema import AC_VOLTS, NEAR
from holdover.case.words import choice_of, either, folded, vocabulary
from holdover.reading.entries import Entry, Reading, Row, is_empty, typed_text, unstated
from holdover.reading.fields import ASKED, Asked
from holdover.reading.quantity.numbers import MARKS, Fault, plain
from holdover.reading.quantity.quantity import TO, read_quantity
from holdover.reading.value import OUTPUT_VOLTS, read_number

Fields = dict[str, Any]

_WORDS: Final = {name: either(words) for name, words in vocabulary("units")["voltages"].items()}
_V: Final = rf"\s*{_WORDS['volts']}?\s*{_WORDS['ac']}?"
_BESIDE: Final = re.compile(
    rf"(?:^\s*(?:{_WORDS['ac']}\b|~)|[\s~,;/(@]*[456]0(?:\s*/\s*[56]0)?\s*{_WORDS['hertz']}\b\)?"
    rf"|[\s,]*\b{_WORDS['single']}[\s-]*{_WORDS['phase']}\b|[~≈]\s*(?=$|[,;]|[456]0))",
    re.IGNORECASE,
)
_RANGE: Final = re.compile(rf"([0-9]{{2,3}}){_V}\s*{TO}\s*([0-9]{{2,3}}){_V}", re.IGNORECASE)
_HIGH_LOW: Final = re.compile(rf"([0-9]{{3}}){_V}\s*/\s*([0-9]{{3}}){_V}", re.IGNORECASE)
_CURRENT: Final = re.compile(rf"(?<=[0-9]) ?{_WORDS['volts']} ?(?={_WORDS['ac']}|{_WORDS['dc']}|$)", re.IGNORECASE)
_TWO: Final = re.compile(rf"\s*(?:[/&+]|\b{_WORDS['and']}\b)\s*")

_THREE: Final = re.compile(
    rf"(?<![\w.,])(?:{either(vocabulary('words')['phases']['three'])})".replace(r"\ ", r"[\s-]*"), re.IGNORECASE
)
_THREE_WHOLE: Final = re.compile(rf"{_THREE.pattern}\w*", re.IGNORECASE)
_VOLTS: Final = re.compile(rf"[0-9]{{3}}(?:\s*/\s*[0-9]{{3}})?{_V}(?!\w)", re.IGNORECASE)
_BETWEEN: Final = re.compile(r"(?<![0-9.,])(?:3\s*[x×*]\s*[0-9]{3}|(?:3[89]|4[0-9])[0-9])(?![0-9])")


def _bare(text: str) -> str:
    """The volts alone: `AC 230 V ~ 50 Hz` is `230 V`."""
    return _BESIDE.sub("", plain(text)).strip()


def feed_of(word: str, asked: Asked, reading: Reading, entry: Entry) -> str | None:
    """A feed, None where the word means none; "" for the house voltage, and where a finding was given."""
    if folded(word) in vocabulary("words")["house"]["words"] and asked.part == "loads":
        return ""
    line = _bare(word)
    supplied = load_volts if asked.part == "loads" else nominal_volts
    for each in (word, line):
        taken = choice_of("feed", _parted(each), asked.choices)
        if taken is not None:
            return f"{supplied(AC_VOLTS[taken], entry, reading):g} V" if taken in AC_VOLTS else taken
    nominal = _range_volts(line, entry, reading) or _high_of_two(line, entry, reading)
    if nominal is None:
        try:
            volts = read_quantity(line, "V", ".").value
        except Fault:
            return None
        nominal = supplied(volts, entry, reading)
        if nominal is None:
            return ""
    meant = f"{nominal:g} V"
    return meant if meant in asked.choices else None


def _parted(word: str) -> str:
    """`12VDC` as `12 V DC`."""
    return _CURRENT.sub(" v ", word).strip()


def _range_volts(line: str, entry: Entry, reading: Reading) -> float | None:
    """The nominal voltage a range such as `220-240 V` means in this house; None where it is no range of AC volts."""
    found = _RANGE.fullmatch(line)
    low, high = (float(found[1]), float(found[2])) if found else (0.0, 0.0)
    inside = [volts for volts in AC_VOLTS.values() if low <= volts <= high]
    if not inside or low < min(AC_VOLTS.values()) * (1 - NEAR) or low >= high:
        return None
    house, stated = AC_VOLTS[reading.context.house], reading.context.house_is_set
    if house in inside:
        meant, why = house, "the house voltage" if stated else "the usual house voltage; none is stated"
    elif not stated and AC_VOLTS["230 V"] in inside:
        meant, why = AC_VOLTS["230 V"], f"as no house voltage is stated; if it is 240 V, {_where(reading)}"
    else:
        meant, why = max(inside), f"as the house has {reading.context.house}"
    reading.report("Q026.range", entry.place, typed=typed_text(entry.value), volts=meant, why=why)
    return meant


def _where(reading: Reading) -> str:
    cell = reading.context.cells.get("sizing.feed", "")
    return f"choose it in {cell}" if cell else "set feed under [sizing]"


def _high_of_two(line: str, entry: Entry, reading: Reading) -> float | None:
    """The 240 of `240/120 V`, which draws between the two live wires; `120/240` may be wired for either."""
    found = _HIGH_LOW.fullmatch(line)
    if not found or float(found[1]) not in AC_VOLTS.values() or float(found[1]) != 2 * float(found[2]):
        return None
    reading.report("Q026.high", entry.place, typed=typed_text(entry.value), volts=found[1])
    return float(found[1])


def nominal_volts(volts: float, entry: Entry, reading: Reading) -> float | None:
    """The nominal system voltage a nameplate means; None, with a finding, where it may mean two."""
    if volts in vocabulary("words")["nominal"]["120"]:
        meant = 120.0
    elif volts == 220:
        if not reading.context.house_is_set:
            cell = reading.context.cells.get("sizing.feed", "")
            reading.report(
                "Q018.workbook" if cell else "Q018.folder", entry.place, cell=cell, found=typed_text(entry.value)
            )
            return None
        meant = 230.0 if reading.context.house == "230 V" else 240.0
    else:
        return volts
    reading.report("Q017", entry.place, volts=volts, nominal=meant)
    return meant


def load_volts(volts: float, entry: Entry, reading: Reading) -> float | None:
    """The nominal system voltage that the plate of a load means in this house; None, with a finding, where it may mean two.

    A motor for 240 V has 230 V on its plate where the house has 120 V, as one for 120 V has 115 V (NEMA MG 1, from memory).
    """
    if volts == AC_VOLTS["230 V"] and reading.context.house == "120 V" and reading.context.house_is_set:
        reading.report("Q017", entry.place, volts=volts, nominal=AC_VOLTS["240 V"])
        return AC_VOLTS["240 V"]
    return nominal_volts(volts, entry, reading)


def says_three_phases(text: str) -> bool:
    """Whether a text has a word for three phases."""
    return bool(_THREE.search(plain(text)))


def is_count_of_three(label: str, value: str) -> bool:
    """Whether a line of a data sheet counts three phases, as `Phases: 3` does."""
    words = vocabulary("words")["phases"]
    return folded(label) in words["counted"] and (plain(value).strip() in words["as_three"] or says_three_phases(value))


def beside_three_phases(text: str) -> str:
    """What a text says beside words for three phases and their volts and hertz, such as `output` in `400 V 3~ output`."""
    return _VOLTS.sub(" ", _BESIDE.sub(" ", _THREE_WHOLE.sub(" ", plain(text))))


def of_three_phases(entry: Entry, reading: Reading) -> bool:
    """Whether an output or its voltage is said to be of three phases, which is told: one phase bears a third."""
    if not isinstance(entry.value, str) or not says_three_phases(entry.value):
        return False
    reading.report("Q001.phases", entry.place, found=entry.value)
    return True


def between_phases(volts: Collection[float]) -> bool:
    """Whether voltages [V] are those of three phases: about the square root of three apart."""
    low, high = min(volts, default=0.0), max(volts, default=0.0)
    return 1.6 * low <= high <= 1.9 * low != 0  # nominal ones, so 127/220 is 127/240


def of_one_phase(fields: Fields, typed: Collection[str], row: Row, reading: Reading) -> Fields:
    """The fields of a candidate; without its voltages, which is told, where they are of three phases.

    `typed` are those that were typed as numbers: of a text that states two it was judged where that was read.
    """
    made = [name for name in OUTPUT_VOLTS if fields.get(name)]
    last = next((name for name in reversed(made) if name in typed), "")
    if not last or not between_phases([fields[name] for name in made]):
        return fields
    entry = row.entries[last]
    reading.report("Q001.phases", entry.place, found=typed_text(entry.value))
    return {name: value for name, value in fields.items() if name not in made}


def output_volts(entry: Entry, reading: Reading) -> dict[str, float]:
    """The one or two voltages of an output, such as `120/240 V` or `220-240 V`."""
    if is_empty(entry.value):
        return {}
    asked = ASKED["candidates"]["ac_volts"]
    if unstated(entry.value):
        read_number(entry, asked, reading)
        return {}
    if of_three_phases(entry, reading):
        return {}
    line = plain(entry.value)
    certain = bool(_BETWEEN.search(line))
    found = {} if certain else _each_output(entry, reading)
    is_range = re.search(rf"[0-9]{_V}\s*{TO}", line)  # of which the house decides what is read
    if certain or (not is_range and between_phases(found.values())):
        reading.report("Q001.phases", entry.place, found=entry.value)
        return {}
    return found


def _each_output(entry: Entry, reading: Reading) -> dict[str, float]:
    """Each voltage of an output by its field."""
    asked = ASKED["candidates"]["ac_volts"]
    halves = _TWO.split(_bare(entry.value))
    if len(halves) > 2 or not halves[-1]:
        reading.report("Q001.outputs", entry.place, found=entry.value)
        return {}
    found: dict[str, float] = {}
    mark = reading.mark(entry) or MARKS[0]
    for name, half in zip(OUTPUT_VOLTS, halves, strict=False):
        nominal = _range_volts(half, entry, reading)
        if nominal is None:
            try:
                volts = read_quantity(half, "V", mark).value
            except Fault as fault:
                reading.report("Q001.output", entry.place, why=fault.message, found=entry.value)
                return found
            if not (asked.low or 0) <= volts <= (asked.high or 0):
                reading.report(
                    "Q002.output", entry.place, low=asked.low or 0.0, high=asked.high or 0.0, found=entry.value
                )
                return found
            nominal = nominal_volts(volts, entry, reading)
        if nominal is not None:
            found[name] = nominal
    return found
