"""A cell of a data sheet that states several figures: each goes to the field it belongs to, and what was read is told.

`2400 W (surge 4800 W), 120 V` are three. Only a cell that can't be read as one figure is taken apart; where two of its
figures would be for one field and differ, it is left as it is, and refused.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from holdover.case.figures import figure as in_digits
from holdover.case.words import either, folded, vocabulary
from holdover.findings import Finding, Findings, report
from holdover.reading.entries import Entry, Row, unstated
from holdover.reading.fields import ASKED
from holdover.reading.quantity.numbers import MARKS, Fault, plain
from holdover.reading.quantity.quantity import SIGN, Quantity, amounts
from holdover.reading.quantity.units import find_unit
from holdover.reading.row import AGREE
from holdover.reading.voltage import says_three_phases

PART: Final = "candidates"
_WORDS: Final = vocabulary("headers")["composite"]
_SURGE: Final = re.compile(rf"\b{either(_WORDS['surge'])}", re.IGNORECASE)
SPLIT: Final = re.compile(rf"\b{either(_WORDS['split'])}\b", re.IGNORECASE)
_EACH: Final = re.compile(rf"\b{either(_WORDS['each'])}\b", re.IGNORECASE)
NUMBER: Final = r"[0-9]+(?:[.,][0-9]+)*"
AMOUNT: Final = re.compile(
    rf"(?P<value>(?:(?P<low>{NUMBER})\s*(?:[A-Za-z]{{1,2}})?\s*(?P<to>-|~|/|to)\s*)?(?P<high>{NUMBER})\+?\s*(?P<unit>[^\W\d_]+(?:\(A\))?))(?![^\W_])"
)
_BRIEF: Final = re.compile(
    rf"\s*\(?\s*(?:{either(_WORDS['for'])}|[,/@])?\s*[<≤]?\s*{NUMBER}\s*{either(_WORDS['seconds'])}(?![^\W_])\s*\)?",
    re.IGNORECASE,
)
"""For how long an output is there, as in `6 kW (10 s)`: what lasts seconds is a surge."""
_PRICE_OF_EACH: Final = re.compile(
    rf"(?:(?P<sign>{SIGN})\s*)?(?P<price>{NUMBER})(?P<tail>\s*(?:{SIGN}|(?-i:[A-Z]{{3}})))?(?:,-)?\s*(?P<each>{either(_WORDS['each'])})\b",
    re.IGNORECASE,
)
"""The price of a pack beside what it holds, as in `2 kWh, 499 each`."""
_PRICE: Final = re.compile(rf"{SIGN}\s*(?P<before>{NUMBER})|(?P<behind>{NUMBER})\s*{SIGN}")
_TIMES: Final = re.compile(r"[x×*]\s*[0-9]|[0-9]\s*[x×*]", re.IGNORECASE)
"""Several of one kind, of which a price may be for all."""
CLAUSE: Final = re.compile(r"[;()\[\]|\n]|,(?![0-9])|\s/\s|\s\+\s")
_FIRST: Final = re.compile(r"\s*([1-9][0-9]?)\s*[x*]\s*(?=[0-9(])", re.IGNORECASE)
_COUNT: Final = re.compile(
    rf"(?:\b(?:x|{either(_WORDS['most'])})|[*])\s*([1-9][0-9]?)(?![0-9]|[.,][0-9]|\s*[A-Za-z])(?!\s*x)", re.IGNORECASE
)
_EVERY: Final = re.compile(
    rf"\s*(?P<count>[1-9][0-9]?)\s*[x*]\s*(?P<amount>{NUMBER}\s*(?P<unit>[A-Za-z]+))", re.IGNORECASE
)
_MOST: Final = re.compile(rf"\b{either(_WORDS['most'])}\s*([1-9][0-9]?)\s*[x*]\s*(?=[0-9])", re.IGNORECASE)

_PACKS: Final = re.compile(
    rf"(?:\b{either(_WORDS['most'])}\s*)?(?<![\w.,])(?P<count>[1-9][0-9]?)\s+(?P<words>(?:[^\W\d_]+[\s-]+){{0,3}}?){either(_WORDS['packs'])}\b",
    re.IGNORECASE,
)
"""How many packs there may be, before what they are called: `up to 4 Larch packs`."""
_PAIR: Final = re.compile(rf"\s*(?P<low>{NUMBER})(?P<own>\s*k?W)?\s*/\s*(?P<high>{NUMBER})(?P<unit>\s*k?W)\s*")
"""Continuous output and surge output: `3000 W / 6000 W`."""
_V: Final = rf"({NUMBER})\s*V(?:\s*[AD]C)?"
_A: Final = rf"({NUMBER})\s*A"
_BETWEEN: Final = rf"[\s,/]*(?:[@x×*(]|\b{either(_WORDS['at'])}\b)?\s*"
_VOLTS_AMPS: Final = [
    re.compile(rf"\s*{one}{_BETWEEN}{two}\s*\)?\s*{either(_WORDS['most'])}?\s*", re.IGNORECASE)
    for one, two in ((_V, _A), (_A, _V))
]
_SOCKETS: Final = re.compile(
    rf"\s*(?:(?P<count>[1-9][0-9]?)\s*[x×*]\s*)?(?:{_V}{_BETWEEN}{_A}|{_V}|{_A})(?:\s+L?[0-9]{{1,2}}-[0-9]{{2}}R?)?\s*",
    re.IGNORECASE,
)
"""How many sockets of a kind there are, as in `4 x 120V/20A`, be it with the number of its form (`L14-30`)."""
PORTS: Final = frozenset({"usb_w", "dc_w", "dc_12v_w", "dc_24v_w", "dc_48v_w", "ac_charge_w"})
"""Outputs and inputs of which data sheets state the volts and amps [-]."""

KINDS: Final[Mapping[str, Mapping[str, str]]] = {
    "power": {"W": "continuous_w", "VA": "continuous_va", "V": "ac_volts"},
    "storage": {"Wh": "storage_wh", "Ah": "storage_ah", "V": "battery_v", "cycles": "cycles"},
    "pack": {"Wh": "pack_wh", "kg": "pack_weight_kg"},
    "solar": {"V": "pv_max_v", "A": "pv_max_a", "W": "pv_total_w"},
}
"""By what a cell is about, the field that a figure of a unit belongs to."""
ABOUT: Final = {
    **dict.fromkeys(("continuous_w", "continuous_va", "surge_w"), "power"),
    **dict.fromkeys(("storage_wh", "storage_ah"), "storage"),
    **dict.fromkeys(("pack_wh", "packs_max", "pack_weight_kg", "pack_price"), "pack"),
    **dict.fromkeys(("pv_total_w", "pv_input_w", "pv_volts", "pv_max_v", "pv_max_a"), "solar"),
}
"""What the cell of a field may be about; any other is about its own figure alone."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of a cell: the field it is for, and its text."""

    field: str
    text: str


def taken_apart(part: str, rows: Iterable[Row], findings: Findings) -> list[Row]:
    """Rows of which every cell states one figure; what was read from cells of data sheets that stated several is told."""
    return [_apart(row, findings) if part == PART else row for row in rows]


def _apart(row: Row, findings: Findings) -> Row:
    entries = dict(row.entries)
    for name, entry in row.entries.items():
        split = SPLIT.search(plain(entry.value)) if name == "ac_volts" and isinstance(entry.value, str) else None
        if split and re.search("[0-9]", entry.value):
            bare = f"{entry.value[: split.start()]} {entry.value[split.end() :]}".strip(" ,;()")
            entries["ac_volts"] = replace(entry, value=bare)
            entries.setdefault("volts_at_once", replace(entry, value="both", unit=""))
            continue
        if not isinstance(entry.value, str) or not _is_composite(name, entry):
            continue
        figures = _figures(name, plain(entry.value))
        own = [each for each in figures if each.field == name or each.field not in row.entries]
        fields = {figure.field: figure.text for figure in reversed(own)}  # the first of two that agree
        if not (name in fields or (fields and ABOUT.get(name) == "solar")) or disagree(figures):
            continue
        if "ac_volts" in fields and "volts_at_once" not in entries and SPLIT.search(plain(entry.value)):
            fields["volts_at_once"] = "both"
        del entries[name]
        entries |= {field: replace(entry, value=text, unit="") for field, text in fields.items()}
        told = ", ".join(f"{ASKED[PART][field].title} {fields[field]}" for field in sorted(fields, key=_order))
        left = _telling(plain(entry.value), figures)
        quoted = ", ".join(f"`{each}`" for each in left)
        findings.report("Q028.left" if left else "Q028.read", entry.place, told=told, left=quoted, found=entry.value)
    return replace(row, entries=entries)


def _telling(text: str, figures: Iterable[Figure] = ()) -> list[str]:
    """The parts of a text with money, watts or watt-hours that none of the figures read from it states."""
    stated = {number for each in figures for number in re.findall(NUMBER, each.text)}
    parts = []
    for clause in CLAUSE.split(text):
        amounts_in = [
            each for each in AMOUNT.finditer(clause) if any(find_unit(each["unit"], kind) for kind in ("Wh", "W"))
        ]
        said = {number for each in (*amounts_in, *_PRICE.finditer(clause)) for number in re.findall(NUMBER, each[0])}
        if said - stated:
            parts.append(clause.strip(" .:-"))
    return parts


def is_telling(text: str) -> bool:
    """Whether a line states money, watts or watt-hours."""
    return bool(_telling(plain(text)))


def without_peak(row: Row) -> tuple[Row, list[Finding]]:
    """What recharges, with the running output of its generator alone: of `2,000 W peak, 1,600 W running` that is 1,600 W.

    A peak is for seconds; where neither figure has a word, as in `1600/2000 W`, the lower one runs.
    """
    entry = row.entries.get("generator_w")
    if entry is None or not isinstance(entry.value, str) or unstated(entry.value):
        return row, []
    if any(isinstance(said, Quantity) for said in amounts(entry.value, "W", entry.unit).values()):
        return row, []
    text = plain(entry.value)
    pair = _PAIR.fullmatch(text)
    figures = list(_ends(pair)) if pair else [each.text for each in _figures_of_power(text) if each.field != "surge_w"]
    if not figures or disagree(Figure("continuous_w", each) for each in figures if not pair):
        if not _SURGE.search(text):
            return row, []
        left = {name: each for name, each in row.entries.items() if name != "generator_w"}
        return replace(row, entries=left), [report("Q001.peak", entry.place, found=entry.value)]
    running = min(figures, key=lambda each: _watts(each)) if pair else figures[0]
    told = f"{ASKED[row.part]['generator_w'].title} {running}"
    entries = row.entries | {"generator_w": replace(entry, value=running, unit="")}
    return replace(row, entries=entries), [report("Q028.read", entry.place, told=told, found=entry.value)]


def _figures_of_power(text: str) -> list[Figure]:
    return [each for each in _figures("continuous_w", text) if each.field in {"continuous_w", "surge_w"}]


def _watts(text: str) -> float:
    """Watts of a text under a decimal point [W]; 0 where it has none."""
    said = amounts(text, "W")["."]
    return 0.0 if isinstance(said, Fault) else said.value


def _order(field: str) -> int:
    return list(ASKED[PART]).index(field)


def _is_composite(name: str, entry: Entry) -> bool:
    """Whether a cell of a figure can't be read as one."""
    asked, text = ASKED[PART][name], entry.value
    if (
        asked.text
        or not (asked.unit or name in ABOUT or name == "ac_sockets")
        or (asked.unit == "money" and not ABOUT.get(name))
        or unstated(text)
        or not re.search(r"[0-9]", text)
    ):
        return False
    if name == "pv_volts":
        return bool(re.search(r"[0-9]\s*[AW]\b|[,;]", plain(text)))
    if name == "ac_volts" or (ABOUT.get(name) == "power" and says_three_phases(text)):
        return False
    return all(isinstance(said, Fault) for said in amounts(text, asked.unit, entry.unit).values())


def _figures(name: str, text: str) -> list[Figure]:
    """Every figure of a cell that is for a field."""
    about = ABOUT.get(name, "")
    pair, port = _PAIR.fullmatch(text), next(filter(None, (each.fullmatch(text) for each in _VOLTS_AMPS)), None)
    if name == "continuous_w" and pair:
        return _continuous_and_surge(pair)
    if name in PORTS and port:
        watts = _value(port[1]) * _value(port[2])
        return [Figure(name, f"{in_digits(watts)} W")] if watts else []
    if name == "ac_sockets":
        return _sockets(text)
    kinds = KINDS.get(about, {ASKED[PART][name].unit: name})
    figures = []
    if about == "power":
        text = _BRIEF.sub(f" {_WORDS['surge'][0]} ", text)
    whole = text
    text, counted = _counted(text, about)
    figures += counted
    if about == "pack":
        text, priced = _priced(text, whole)
        figures += priced
    for clause in CLAUSE.split(text):
        for amount in AMOUNT.finditer(clause):
            field = _field_of(amount, clause, kinds, about)
            if field == "pack_weight_kg" and _TIMES.search(whole) and not _EACH.search(clause):
                continue  # it may be that of all
            if field:
                figures.append(Figure(field, amount["value"].strip()))
    return _plain_storage(figures)


def _priced(text: str, whole: str) -> tuple[str, list[Figure]]:
    """The price of a pack, and the text without it: of one, or the only one where it can't be that of several."""
    each = _PRICE_OF_EACH.search(text)
    if each and not find_unit(each["each"], "Wh"):
        return f"{text[: each.start()]} {text[each.end() :]}", [
            Figure("pack_price", _price_in(each, ("sign", "price", "tail")))
        ]
    prices = list(_PRICE.finditer(text))
    if len(prices) != 1 or _TIMES.search(whole):
        return text, []
    (only,) = prices
    return f"{text[: only.start()]} {text[only.end() :]}", [Figure("pack_price", only[0])]


def _price_in(found: re.Match[str], parts: Iterable[str]) -> str:
    """A price with what stands beside it, which says in what money it is."""
    return "".join(found[part] or "" for part in parts)


def _continuous_and_surge(pair: re.Match[str]) -> list[Figure]:
    """The two figures of a pair, the higher one behind; none where they don't rise."""
    low, high = _ends(pair)
    if not 0 < _watts(low) < _watts(high):
        return []
    return [Figure("continuous_w", low), Figure("surge_w", high)]


def _ends(pair: re.Match[str]) -> tuple[str, str]:
    """The two figures of a pair, each with its unit."""
    return pair["low"] + (pair["own"] or pair["unit"]), pair["high"] + pair["unit"]


def _sockets(text: str) -> list[Figure]:
    """How many sockets there are of all kinds; none where a part of the text does not say how many."""
    kinds = [_SOCKETS.fullmatch(clause) for clause in CLAUSE.split(text) if clause.strip()]
    counts = [int(found["count"] or 0) for found in kinds if found]
    return [Figure("ac_sockets", str(sum(counts)))] if sum(counts) and len(counts) == len(kinds) else []


def _value(number: str) -> float:
    """A number of volts or amps; 0 where its comma may be either mark."""
    return 0.0 if "," in number else float(number) if number.count(".") < 2 else 0.0


def _counted(text: str, about: str) -> tuple[str, list[Figure]]:
    """How many inputs, or packs at most; and the text without that. `2 x 1500 W` of solar are 1500 W at each input."""
    every = _EVERY.match(text) if about == "solar" else None
    if every and find_unit(every["unit"], "W"):
        figures = [Figure("pv_inputs", every["count"]), Figure("pv_input_w", every["amount"])]
        return text[every.end() :], figures
    packs = _PACKS.search(text) if about == "pack" else None
    if packs and not any(
        find_unit(word, kind) for word in packs["words"].split()[:1] for kind in ("Wh", "W", "V", "Ah", "kg")
    ):
        return f"{text[: packs.start()]} {text[packs.end() :]}", [Figure("packs_max", packs["count"])]
    field = {"solar": "pv_inputs", "pack": "packs_max"}.get(about)
    for pattern in (_MOST, _FIRST, _COUNT) if field else ():
        found = pattern.search(text) if pattern is not _FIRST else pattern.match(text)
        if found and field:
            return f"{text[: found.start()]} {text[found.end() :]}", [Figure(field, found[1])]
    return text, []


def _field_of(amount: re.Match[str], clause: str, kinds: Mapping[str, str], about: str) -> str:
    kind = next((kind for kind in kinds if find_unit(amount["unit"], kind)), "")
    field = kinds.get(kind, "")
    if about == "power" and kind == "W" and _SURGE.search(clause):
        return "surge_w"
    if about == "solar" and kind == "W" and _EACH.search(clause):
        return "pv_input_w"
    if amount["low"]:
        if about == "solar" and kind == "V" and amount["to"] != "/":
            return "pv_volts"
        return field if field == "ac_volts" and amount["to"] == "/" else ""
    return field


def _plain_storage(figures: list[Figure]) -> list[Figure]:
    """Where watt-hours are stated, amp-hours and the voltage of the cells say the same again; volts alone say nothing."""
    fields = {figure.field for figure in figures}
    apart = (
        {"storage_ah", "battery_v"}
        if "storage_wh" in fields
        else {"battery_v"} - ({"battery_v"} if "storage_ah" in fields else set())
    )
    return [figure for figure in figures if figure.field not in apart]


def disagree(figures: Iterable[Figure]) -> bool:
    """Whether two figures are for one field and differ."""
    stated: dict[str, str] = {}
    return any(not is_same(each.field, stated.setdefault(each.field, each.text), each.text) for each in figures)


def is_same(field: str, first: str, second: str) -> bool:
    """Whether two texts state one figure, under either decimal mark: by no more apart than 22 kg and 48.5 lb are."""
    one, other = (amounts(text, ASKED[PART][field].unit) for text in (first, second))
    pairs = [(one[mark], other[mark]) for mark in MARKS]
    read = [(a.value, b.value) for a, b in pairs if not (isinstance(a, Fault) or isinstance(b, Fault))]
    if not read:
        return folded(first) == folded(second)
    return any(abs(a - b) <= AGREE * max(a, b) for a, b in read)


def holding(lines: Iterable[str], kind: str) -> list[str]:
    """Those lines in which an amount of a unit stands."""
    return [line for line in lines if any(find_unit(each["unit"], kind) for each in AMOUNT.finditer(plain(line)))]
