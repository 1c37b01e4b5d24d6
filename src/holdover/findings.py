"""What a reader has to say about a file: one shape, collected, never printed here."""

import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field, replace
from functools import cache
from typing import Any, Final, Literal

from holdover.case.figures import figure
from holdover.case.words import data

Level = Literal["error", "warning", "note"]

SHOWN: Final = 40
"""Longest stretch of outside text that is shown [characters]."""
PATH: Final = 200
"""Longest stretch of a file's name or path that is shown [characters]."""
LONGEST: Final = 500
"""Longest text of a finding [characters]."""
HEADING: Final = 80
"""Length at which a heading or a question is cut short [characters]."""
SHOWN_OF_A_CODE: Final = 3
"""Findings of one code shown in full [count]."""
SHOWN_IN_ALL: Final = 20
"""Findings shown in full [count]."""
LISTED: Final = 6
"""Rows or columns that are listed one by one [count]."""
RECALLED_ABOVE: Final = 8
"""So many notes hide no warning above them [count]."""
LEVELS: Final[dict[str, int]] = {"error": 0, "warning": 1, "note": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands: a row as the spreadsheet counts, the header as it is written there."""

    file: str = ""
    sheet: str = ""
    row: int | None = None
    column: str = ""
    cell: str = ""
    item: str = ""

    def shown(self) -> dict[str, Any]:
        """Its parts as they may stand in a message."""
        texts = {"sheet": show(self.sheet), "column": show(self.column, HEADING), "item": show(self.item)}
        return {"file": show(self.file, PATH), "row": self.row, "cell": self.cell} | texts


NOWHERE: Final = Place()


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding(Place):
    """One problem or remark at its place: what was found there, what is allowed, what to do."""

    code: str
    level: Level
    message: str
    found: str = ""
    caret: int | None = None
    allowed: str = ""
    remedy: str = ""


@dataclass(slots=True)
class Findings:
    """A collector that readers pass along; `places` says where each row of the case was read."""

    found: list[Finding] = field(default_factory=list)
    places: dict[tuple[str, int], Place] = field(default_factory=dict)

    def add(self, finding: Finding) -> None:
        """Collect one."""
        self.found.append(finding)

    def report(self, kind: str, place: Place, **fields: Any) -> None:
        """Collect the finding that the catalogue words so, at a place."""
        self.add(report(kind, place, **fields))

    def extend(self, findings: Iterable[Finding]) -> None:
        """Collect several."""
        self.found.extend(findings)

    @property
    def errors(self) -> list[Finding]:
        """Those that forbid going on."""
        return [f for f in self.found if f.level == "error"]

    def sorted(self) -> list[Finding]:
        """In the order in which a reader opens files: the case file, then tables as they were read; by row in each."""
        read = [(place.file, place.sheet) for place in self.places.values()] + [(f.file, f.sheet) for f in self.found]
        order = {place: number for number, place in enumerate(dict.fromkeys(read))}
        return sorted(self.found, key=lambda f: (not f.file.endswith(".toml"), order[f.file, f.sheet], f.row or 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """What the catalogue says of one kind of finding; the texts name the fields that a report gives."""

    code: str
    level: Level
    message: str
    found: str = "{found}"
    allowed: str = "{allowed:500}"
    remedy: str = ""


@cache
def catalogue() -> dict[str, Wording]:
    """Each kind of finding by its code, or by code and name where a code has several wordings."""
    wordings: dict[str, Wording] = {}
    for code, said in data("findings.toml").items():
        if code == "letters":
            continue
        named = {name: each for name, each in said.items() if isinstance(each, dict)}
        shared = {name: each for name, each in said.items() if name not in named}
        if not named:
            wordings[code] = Wording(code=code, **shared)
        for name, own in named.items():
            wordings[f"{code}.{name}"] = Wording(code=code, **(shared | own))
    return wordings


def report(kind: str, place: Place = NOWHERE, *, caret: int | None = None, **fields: Any) -> Finding:
    """A finding in the words of the catalogue.

    Args:
        kind: the code, with the name of the wording where there are several: "A001", "A007.storage"
        place: where it is, if that is known already (else see `at`)
        caret: the character of what was found that is at fault
        fields: what the texts name, and `found` and `allowed`

    Raises:
        LookupError: the catalogue has no such kind, or its texts name a field that is not given
    """
    said = catalogue()[kind]
    given = {name: _Field(value) for name, value in fields.items()}
    given |= {name: _Field(show(fields.get(name, ""), LONGEST)) for name in ("found", "allowed")}
    return Finding(
        code=said.code,
        level=said.level,
        message=show(said.message.format_map(given), LONGEST),
        found=said.found.format_map(given),
        caret=caret,
        allowed=show(said.allowed.format_map(given), LONGEST),
        remedy=show(said.remedy.format_map(given), LONGEST),
        **place.shown(),
    )


def at(finding: Finding, place: Place) -> Finding:
    """The finding, set down at a place."""
    return replace(finding, **place.shown())


@dataclass(frozen=True, slots=True)
class _Field:
    """A field of a text: a number in few digits, anything else as outside text is shown."""

    value: Any

    def __format__(self, spec: str) -> str:
        if isinstance(self.value, int | float):
            return format(self.value, spec) if spec else figure(self.value)
        return show(self.value, int(spec or SHOWN))


def show(text: object, limit: int = SHOWN) -> str:
    """Outside text as it may stand in a message: on one line, nothing that acts on a terminal, capped."""
    try:
        line = _as_typed(str(text)[: limit + 1])
    except (ValueError, RecursionError):  # a whole number of thousands of digits, a list of lists without end
        line = "something too large to show"
    shown = line if line.isprintable() else "".join(_escaped(mark) for mark in line)
    return shown if len(shown) <= limit else shown[: limit - 1] + "…"


def _as_typed(text: str) -> str:
    """A file's name as it was typed: where the locale is not UTF-8, the system hands on the bytes of other letters."""
    if text.isascii():
        return text
    try:
        return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    except UnicodeError:
        return text


def _escaped(mark: str) -> str:
    if mark.isprintable():
        return mark
    if unicodedata.category(mark) == "Zs":
        return " "
    number = ord(mark)
    short = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}.get(mark)
    if short:
        return short
    if number < 0x100:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


def as_dict(finding: Finding) -> dict[str, Any]:
    """The finding for JSON: what it is, where, and all the rest."""
    fields = asdict(finding)
    return {name: fields.pop(name) for name in ("code", "level", "message")} | fields


def where(place: Place) -> str:
    """The place in words: file, sheet, row or cell, item, column."""
    place = Place(**place.shown())
    parts = [place.file] if place.file else []
    if place.sheet:
        parts.append(f"sheet {place.sheet}")
    if place.cell:
        parts.append(f"cell {place.cell}")
    elif place.row is not None:
        parts.append(f"{_line(place)} {place.row}")
    if place.item:
        named = f'("{place.item}")'
        parts = [*parts[:-1], f"{parts[-1]} {named}"] if parts else [named]
    if place.column:
        parts.append(f"{'key' if _line(place) == 'line' else 'column'} {place.column}")
    return ", ".join(parts)


def _line(place: Place) -> str:
    """What a row is called: text has lines, a table has rows."""
    return "line" if place.file.endswith(".toml") else "row"


def render(findings: Sequence[Finding], *, whole: bool = False) -> str:
    """All findings for people: errors first, else as they come, equal codes grouped unless all are wanted, the count last."""
    order = sorted(findings, key=lambda f: LEVELS[f.level])
    shown: list[str] = []
    seen: Counter[str] = Counter()
    rest: dict[str, list[Finding]] = {}
    for finding in order:
        if whole or (seen[finding.code] < SHOWN_OF_A_CODE and len(shown) < SHOWN_IN_ALL):
            seen[finding.code] += 1
            shown.append(_in_full(finding))
        else:
            rest.setdefault(finding.code, []).append(finding)
    counts = [_counted(code, group) for code, group in rest.items()]
    if counts:
        counts.append("`holdover check CASE --all` shows each of them")
    return "\n\n".join([*shown, *(["\n".join(counts)] if counts else []), _summary(findings)]) + "\n"


def recalled(findings: Sequence[Finding]) -> list[tuple[str, str]]:
    """The warnings once more, for the end of a report with many notes: what each is about, and its message; equal codes once."""
    if sum(finding.level == "note" for finding in findings) <= RECALLED_ABOVE:
        return []
    groups: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.level == "warning":
            groups.setdefault(finding.code, []).append(finding)
    return [
        (
            show(group[0].item or group[0].column or where(group[0])) or "the case",
            group[0].message + (f" (and {len(group) - 1} more such)" if len(group) > 1 else ""),
        )
        for group in groups.values()
    ]


def render_returned(findings: Sequence[Finding], file: str = "") -> str:
    """All findings about what came back; what there is to remark on the case itself, which it was built with, in a line.

    Those are the adviser's remarks, and those that stand in another file than the one named.
    """
    told = [f for f in findings if f.level == "error" or (f.code[0] != "A" and file in ("", f.file))]
    count = len(findings) - len(told)
    many = "remarks" if count > 1 else "remark"
    rest = f"{count} {many} on the case itself, not on what came back: `holdover check` tells them\n" if count else ""
    return "\n".join([*([render(told)] if told else []), *([rest] if rest else [])])


def _in_full(finding: Finding) -> str:
    lines = [f"{finding.level}[{finding.code}]: {finding.message}"]
    place = where(finding)
    if place:
        lines.append(f"  --> {place}")
    if finding.found:
        lines.append(f"   |  {finding.found}")
        if finding.caret is not None:
            lines.append(f"   |  {' ' * finding.caret}^")
    if finding.allowed:
        lines.append(f"   = allowed: {finding.allowed}")
    if finding.remedy:
        lines.append(f"   = help: {finding.remedy}")
    return "\n".join(lines)


def _counted(code: str, group: list[Finding]) -> str:
    """How many of a code are not shown, and where in which file they are."""
    tables: dict[tuple[str, str], list[Finding]] = {}
    for finding in group:
        tables.setdefault((finding.file, finding.sheet), []).append(finding)
    spans = "; ".join(span for found in tables.values() if (span := _span(found)))
    return f"{len(group)} more {group[0].level}{'' if len(group) == 1 else 's'} {code}{spans and f' ({spans})'}"


def _span(found: list[Finding]) -> str:
    """File, sheet and rows; the columns where all stand in one row."""
    first = found[0]
    parts = [part for part in (first.file, first.sheet and f"sheet {first.sheet}") if part]
    rows = sorted({f.row for f in found if f.row is not None})
    columns = [f.column for f in found if f.column]
    word = _line(first)
    if len(rows) == 1:
        parts.append(f"{word} {rows[0]}")
        if len(columns) > 1:
            more = f" and {len(columns) - LISTED} more" if len(columns) > LISTED else ""
            parts.append(f"columns {', '.join(columns[:LISTED])}{more}")
    elif len(rows) > LISTED or (rows and rows[-1] - rows[0] == len(rows) - 1):
        parts.append(f"{word}s {rows[0]} to {rows[-1]}")
    elif rows:
        parts.append(f"{word}s {', '.join(map(str, rows))}")
    return ", ".join(parts)


def _summary(findings: Sequence[Finding]) -> str:
    counts = Counter(f.level for f in findings)
    words = [
        f"{counts[level]} {level}{'' if counts[level] == 1 else 's'}"
        for level in ("error", "warning", "note")
        if counts[level]
    ]
    return ", ".join(words) if words else "nothing to remark"
