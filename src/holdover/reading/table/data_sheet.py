"""Data sheets as they are pasted: a line for each figure, one unit below the other, each with its name on top.

Nobody's data sheet says only what is asked. Lines that say nothing of it are left aside, and told.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import Final

from holdover.case.words import either, folded, vocabulary
from holdover.findings import Findings, Place
from holdover.reading.composite import is_same, is_telling, taken_apart
from holdover.reading.entries import Context, Entry, Row
from holdover.reading.fields import ASKED
from holdover.reading.quantity.quantity import SIGN
from holdover.reading.quantity.units import find_unit
from holdover.reading.row import read_row
from holdover.reading.table.headers import header_of, read_header
from holdover.reading.table.source import RawCell, RawTable
from holdover.reading.table.unlabelled import BATTERY, CHEMISTRY, growth_in, pack_of, stated_in, without_former_price
from holdover.reading.value import OUTPUT_VOLTS
from holdover.reading.voltage import is_count_of_three, says_three_phases

PART: Final = "candidates"
TELLING: Final = frozenset(
    {"storage_wh", "storage_ah", "continuous_w", "continuous_va", "surge_w", "price", "weight_kg"}
)
"""Fields that a data sheet states once: where one comes again, another unit begins [-]."""
ENOUGH: Final = (("storage_wh", "storage_ah"), ("continuous_w", "continuous_va"), ("surge_w",), ("price",))
"""Of each of these a complete data sheet states one [-]."""
OUTPUTS: Final = frozenset({"continuous_w", "continuous_va"})
"""Fields that state what a unit gives without limit of time [-]."""
NAMING: Final = frozenset({"storage_wh", "continuous_w", "surge_w"})
"""Fields of which the figures alone may be what a unit is called [-]."""
_WORDS: Final = vocabulary("headers")["lines"]
_NOW: Final = re.compile(rf"\b{either(_WORDS['now'])}\b[\s:]*(?={SIGN}\s?[0-9]|[0-9][0-9.,]*\s*$)", re.IGNORECASE)
"""What stands before the price of today, where the former one stands beside it."""
_MONEY: Final = re.compile(r"[0-9]")
_COUNTED: Final = re.compile(r"^[1-9][0-9]?\s*[x×]\s*(?=[A-Za-z])", re.IGNORECASE)
"""How many ports there are, before their name: what each gives is all that is counted on."""
OF_BATTERY: Final = {"Wh": "storage_wh", "Ah": "storage_ah", "cycles": "cycles"}
"""What a line on the battery states, by the unit of its value [-]."""
_UNIT: Final = re.compile(r"(?<=[0-9])\+?\s*([A-Za-z]+)")
LABEL_MAX: Final = 60
"""Longest label of a line [characters]."""
_BLANKS: Final = re.compile(r"\s{2,}")
"""A run of blanks: to look through it costs the square of its length, and it says no more than one of them."""
_SPLIT: Final = re.compile(r"\s*(?:\t|:|=|\.{3,}|…)\s*")
_AMOUNTS: Final = vocabulary("units")["amounts"]
_VALUE: Final = re.compile(
    rf"\s+(?=[<>≤≥~≈+]?\s*(?:{either([*_AMOUNTS['limits'], *_AMOUNTS['about']])}\s+)?(?:[0-9]|{SIGN}))", re.IGNORECASE
)
LEFT: Final = frozenset({"Q001", "Q002", "Q006", "Q007", "Q008"})
"""Codes of findings that say that a text is no figure of its field [-]."""
MEANT: Final = {"packs": "packs_max"}
"""What a data sheet means by the name of what people set [-]."""
GROWS: Final = "grows"
"""What stands in place of the field of a line that tells to what a unit may be expanded."""


@dataclass(frozen=True, slots=True)
class _Line:
    """A line: what it is about, what it says, and the field that is; "" where it is about none."""

    number: int
    label: str
    value: str
    field: str
    unit: str = ""
    text: str = ""
    """The whole line, where it states figures and no label."""
    sure: bool = True
    """Whether it is sure that it is about that field: watts alone may be those of an input."""

    @property
    def is_head(self) -> bool:
        """Whether it may be a name or a heading."""
        return self.field == "name" or not (self.field or self.value)

    @property
    def shown(self) -> str:
        return self.text or f"{self.label} {self.value}".strip()


@dataclass(slots=True)
class _Sheet:
    """Lines of one unit, below its name."""

    head: _Line
    lines: list[_Line] = field(default_factory=list)
    after_blank: bool = False
    """Whether a blank row stands above its name."""
    passed: list[_Line] = field(default_factory=list)
    """Lines beside its name that might have been one."""
    doubted: bool = False
    """Whether its name may be words of the unit above; nothing is read of it then."""

    @property
    def name(self) -> str:
        return self.head.value if self.head.field == "name" else self.head.label

    @property
    def fields(self) -> set[str]:
        return {line.field for line in self.lines if line.field}

    @property
    def aside(self) -> tuple[str, ...]:
        """Lines that say nothing that is known."""
        return tuple(line.shown for line in (*self.passed, *self.lines) if not line.field)

    def settle(self) -> None:
        """Take watts that stand alone for the output where no other line may be it."""
        bare = [line for line in self.lines if not line.sure]
        taken = len(bare) > 1 or any(line.sure and line.field in OUTPUTS for line in self.lines)
        if taken:
            self.lines = [line if line.sure else replace(line, value="", field="") for line in self.lines]

    @property
    def is_complete(self) -> bool:
        return all(self.fields & set(each) for each in ENOUGH)


def read_data_sheets(raw: RawTable, findings: Findings) -> list[Row]:
    """A row for each unit; none where no line says anything that is asked."""
    lines = [line for number, row in raw.rows.items() for line in _lines_of(number, row)]
    if not any(line.field for line in lines if line.field != "name"):
        return []
    sheets, aside = _sheets(lines, raw, findings)
    sure = [sheet for sheet in sheets if not sheet.doubted]
    rows = taken_apart(PART, [_row(sheet, raw, findings) for sheet in sure], findings)
    for sheet, row in zip(sure, rows, strict=True):
        _leave_unread(row, findings)
        for line in sheet.lines:
            if line.field == GROWS:
                _grow(row, line, raw, findings)
    for telling in (False, True):
        lines = [line for line in aside if is_telling(line.shown) is telling]
        if lines:
            told = ", ".join(dict.fromkeys(line.shown for line in lines))
            place = raw.place(lines[0].number)
            findings.report("C024.figures" if telling else "C024.lines", place, lines=len(lines), told=told)
    return rows


def _lines_of(number: int, row: dict[int, RawCell]) -> list[_Line]:
    """What a row says: one line, or several that are known each."""
    texts = [_one_blank(str(_plain(cell.value)).strip()) for _, cell in sorted(row.items()) if cell.value is not None]
    texts = [text for text in texts if text]
    whole = ": ".join([texts[0].rstrip(" :="), " ".join(texts[1:])]) if len(texts) > 1 else "".join(texts)
    rest, growth = growth_in(whole)
    grows = [_Line(number, "", growth.total, GROWS, growth.packs, whole)] if growth else []
    if len(texts) > 1 and not growth:
        return [_known(number, texts[0].rstrip(" :="), _of_today(" ".join(texts[1:])))]
    lines = [_line_of(number, _COUNTED.sub("", each.strip())) for each in rest.split(";")] if ";" in rest else []
    if lines and all(line.field for line in lines):
        return [*lines, *grows]
    line = _line_of(number, rest)
    stated = stated_in(without_former_price(rest)) if not (line.field or line.value) else []
    found = [_Line(number, "", each.text, each.field, "", whole, each.sure) for each in stated]
    return [*(found or [line] if rest or not grows else []), *grows]


def _one_blank(text: str) -> str:
    """A text of which each run of blanks is one: a tab or a break where it holds one, since these part what they stand between."""
    return _BLANKS.sub(lambda run: next((mark for mark in "\t\n" if mark in run[0]), " "), text)


def _of_today(text: str) -> str:
    """Of a former price and the one of today the latter."""
    now = _NOW.search(text)
    return text[now.end() :] if now and _MONEY.search(text[: now.start()]) else without_former_price(text)


def _line_of(number: int, text: str) -> _Line:
    now = _NOW.search(text)
    if now and (not now.start() or _MONEY.search(text[: now.start()])):
        return _known(number, now.group().rstrip(" :"), text[now.end() :])
    for parting in (_SPLIT, _VALUE):
        for found in parting.finditer(text):
            if found.start() > LABEL_MAX:
                break
            line = _known(number, text[: found.start()], _of_today(text[found.end() :]))
            if line.field:
                return line
    apart = _SPLIT.search(text)
    if apart and apart.start() and apart.end() < len(text):
        return _Line(number, text[: apart.start()], text[apart.end() :], "")
    return _Line(number, text, "", "")


def _plain(value: object) -> object:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _known(number: int, label: str, value: str) -> _Line:
    header = header_of(label, PART, [value]) if 0 < len(label) <= LABEL_MAX else None
    if folded(label) in _WORDS["titles"] and value and folded(value) not in _WORDS["columns"]:
        return _Line(number, label, value, "name")
    if header and header.field == "name" and folded(label) in BATTERY["battery"] and value:
        units = _UNIT.findall(value)
        stated = next((name for kind, name in OF_BATTERY.items() if any(find_unit(u, kind) for u in units)), "")
        if stated or CHEMISTRY.search(value):  # "Battery: LFP, 4000 cycles" names no unit
            return _Line(number, label, value, stated)
    if header is None or header.ignored or header.beside or header.refused or header.bad_unit or not value:
        return _Line(number, label, value, "")
    return _Line(number, label, value, MEANT.get(header.field, header.field), header.unit)


def _sheets(lines: Sequence[_Line], raw: RawTable, findings: Findings) -> tuple[list[_Sheet], list[_Line]]:
    """The lines by the unit they are of, and those that are about nothing asked."""
    sheets: list[_Sheet] = []
    aside: list[_Line] = []
    for part in _segments(lines):
        aside += [line for line in part.passed if part.name not in (line.label, line.value)]
        fresh = part.head.field == "name" or not sheets or (_again(part, sheets[-1]) & TELLING)
        doubted = not fresh and _may_be_name(part, sheets[-1])
        if doubted:
            first = sheets[-1]
            place = raw.place(part.head.number, 1, item=part.name)
            part.doubted = True
            findings.report("C027", place, name=part.name, first=first.name, above=first.head.number, found=part.name)
        if fresh or doubted:
            sheets.append(part)
        else:  # a heading within the data sheet of the same unit
            aside.append(part.head)
            sheets[-1].lines.extend(part.lines)
    for line in aside:
        if line.label and line.text:  # figures other than those above, which name no unit
            findings.report("C025", raw.place(line.number, 1), first="what stands above", found=line.text)
    for sheet in sheets:
        sheet.settle()
        aside += [line for line in sheet.lines if not line.field]
    return sheets, sorted(aside, key=lambda line: line.number)


def _may_be_name(part: _Sheet, before: _Sheet) -> bool:
    """Whether a line without a value may name another unit, though none of the figures below it tell so.

    It does where one of them comes again, or what stands above is complete or ends with a blank row.
    """
    words = folded(part.head.label).split()
    if not part.fields or read_header(part.head.label, PART) or all(word in _WORDS["headings"] for word in words):
        return False
    again = _again(part, before)
    apart = part.after_blank and before.fields & TELLING
    return bool(again or apart or (before.is_complete and part.fields & TELLING))


def _again(part: _Sheet, before: _Sheet) -> set[str]:
    """Fields that lines state again; a figure without a label that says the same once more is none."""
    stated = {line.field: line.value for line in reversed(before.lines) if line.field}
    return {
        line.field
        for line in part.lines
        if line.field in stated and not (line.text and is_same(line.field, stated[line.field], line.value))
    }


def _segments(lines: Sequence[_Line]) -> Iterator[_Sheet]:
    """Lines up to the next one that may be a name or a heading: it has no value, or is called a name.

    Of several such lines in a row the first below a blank row is the name; the others are lines that say nothing.
    """
    part: _Sheet | None = None
    last = 0
    for line in _named_by_figures(lines):
        after_blank, last = line.number > last + 1, line.number
        header = line.is_head
        if part and header and not part.lines and part.head.label:
            if after_blank:
                part = _Sheet(line, after_blank=True, passed=[*part.passed, part.head])
            else:
                part.passed.append(line)
            continue
        if header or part is None:
            if part:
                yield part
            part = _Sheet(line if header else _Line(line.number, "", "", ""), after_blank=after_blank)
        if not header:
            part.lines.append(line)
    if part:
        yield part


def _named_by_figures(lines: Sequence[_Line]) -> Iterator[_Line]:
    """The lines; one of figures without labels, other than those above it, may be the name of a unit: `LFP 3000 Wh`."""
    above: dict[str, str] = {}
    for _, row in groupby(lines, lambda line: line.number):
        group = list(row)
        bare = group[0].text and all(line.sure and line.field in NAMING for line in group)
        if bare and any(
            line.field in above and not is_same(line.field, above[line.field], line.value) for line in group
        ):
            group = [_Line(group[0].number, group[0].text, "", "", text=group[0].text)]
        if any(line.is_head for line in group):
            above = {}
        above |= {line.field: line.value for line in group if line.field and line.sure}
        yield from group


def _row(sheet: _Sheet, raw: RawTable, findings: Findings) -> Row:
    head, name = sheet.head, sheet.name
    row = Row(part=PART, place=raw.place(head.number, item=name), aside=sheet.aside)
    if name:
        row.entries["name"] = Entry(value=name, place=raw.place(head.number, 1, ASKED[PART]["name"].title, name))
    told: dict[tuple[int, str], dict[str, str]] = {}
    for line in sheet.lines:
        if is_count_of_three(line.label, line.value):
            findings.report("Q001.phases", raw.place(line.number, 1, line.label, name), found=line.value)
        if not line.field or line.field == GROWS:
            continue
        place = raw.place(line.number, 1, line.label or ASKED[PART][line.field].title, name)
        before = row.entries.setdefault(line.field, Entry(value=line.value, place=place, unit=line.unit))
        if before.place != place and not is_same(line.field, str(before.value), line.value):
            findings.report("C025", place, first=before.value, found=line.value)
        if before.place == place and line.text:
            told.setdefault((line.number, line.text), {})[line.field] = line.value
    for (number, text), values in told.items():
        _tell(values, raw.place(number, 1, item=name), text, findings)
    return row


def _leave_unread(row: Row, findings: Findings) -> None:
    """Leave aside, and tell, what can't be read of a figure that a unit may be silent of: nobody typed it to be read here."""
    for name, entry in list(row.entries.items()):
        if name in TELLING or name in OUTPUT_VOLTS or not isinstance(entry.value, str):
            continue
        alone = Row(part=PART, place=entry.place, entries={name: entry})
        for fault in read_row(alone, Context())[1]:
            if fault.code in LEFT and fault.level == "error" and not says_three_phases(entry.value):
                del row.entries[name]
                findings.report("C030", entry.place, why=fault.message, how=fault.remedy, found=entry.value)
                break


def _tell(values: Mapping[str, str], place: Place, text: str, findings: Findings) -> None:
    """What was read of a line that has no label."""
    told = ", ".join(f"{ASKED[PART][name].title} {value}" for name, value in values.items())
    findings.report("C028", place, told=told, found=text)


def _grow(row: Row, line: _Line, raw: RawTable, findings: Findings) -> None:
    """The packs of a line that tells to what a unit may be expanded, where they follow from the total."""
    named = row.entries.get("name")
    place = raw.place(line.number, 1, item=str(named.value) if named else "")
    storage, most = (row.entries.get(name) for name in ("storage_wh", "packs_max"))
    packs = line.unit or (str(most.value) if most else "")
    stated = "pack_wh" in row.entries
    wh = pack_of(line.value, str(storage.value), int(packs)) if storage and packs.isdigit() and not stated else 0.0
    if not packs or not (stated or wh):
        findings.report("C029", place, total=line.value, found=line.text)
        return
    values = ({} if most else {"packs_max": packs}) | ({} if stated else {"pack_wh": f"{round(wh)} Wh"})
    for name, value in values.items():
        row.entries[name] = Entry(value=value, place=replace(place, column=ASKED[PART][name].title))
    if values:
        _tell(values, place, line.text, findings)
