"""A case file: TOML with the names of the schema as its keys."""

import re
import tomllib
from dataclasses import dataclass, field, replace
from typing import Any, Final

from holdover.case.schema import (
    FORMS,
    MAX_CANDIDATES,
    MAX_DAYS,
    MAX_DELIVERIES,
    MAX_ITEMS,
    MAX_LOADS,
    MAX_POINTS,
    MAX_TERMS,
    RECORDS,
    SCHEMA,
)
from holdover.case.words import nearest
from holdover.findings import SHOWN, Findings, Place, show
from holdover.reading.entries import Entry, Row
from holdover.reading.fields import ALIASES, ASKED
from holdover.reading.quantity.numbers import Mark

CASE_FILE: Final = "case.toml"
"""Name of the case file in its folder."""
TOML_BYTES: Final = 256_000
"""Largest case file [bytes]."""
SETTINGS: Final = ("schema", "use_typical", "loads", "candidates")
LISTS: Final = {"monthly": "months", "daily": "days"}
"""Sections that hold one list per field in place of one table per row."""
MOST: Final = {
    "loads": MAX_LOADS,
    "candidates": MAX_CANDIDATES,
    "points": MAX_POINTS,
    "months": 12,
    "days": MAX_DAYS,
    "deliveries": MAX_DELIVERIES,
    "items": MAX_ITEMS,
    "terms": MAX_TERMS,
}
"""Most rows of a part."""
UNKNOWN_MAX: Final = 50
"""Unknown keys that are told [count]; a file with more of them is no case."""
DOTTED: Final = re.compile(r"(?<![\w-])(?:(?>[\w-]+|\"[^\"\n]*\"|'[^'\n]*')[ \t]*\.[ \t]*){50}")
"""A dotted key that would take seconds to read: the time grows with the square of its parts."""

FAULTS: Final = {
    "end of document)": "open",
    "Unclosed": "open",
    "Unterminated": "open",
    "Illegal character '\\n'": "quote",
    "twice": "part_again",
    "Cannot overwrite": "key_again",
    "Cannot mutate": "part_again",
    "Cannot redefine": "part_again",
    "after a statement": "goes_on",
    "Invalid value": "value",
    "Expected '='": "equals",
    "at the end of a table": "bracket",
    "at the end of an array": "bracket",
    "Unescaped": "backslash",
    "key part": "start",
    "Invalid statement": "start",
}
"""By what the parser says, the wording that tells it in plain words."""

Lines = dict[tuple[str, ...], int]


@dataclass(slots=True, kw_only=True)
class CaseFile:
    """What a case file says, before its fields are read."""

    name: str = CASE_FILE
    rows: list[Row] = field(default_factory=list)
    files: dict[str, str] = field(default_factory=dict)
    """By part, the file that holds its rows."""
    use_typical: bool = False
    fill_in: bool = False
    """Whether hours, duty and start are taken as typical, too, where a load is silent: who fills in a form knows them least."""
    mark: Mark | None = None
    """The decimal mark of the country, for a file whose own figures do not tell."""
    signs: frozenset[str] = frozenset()
    """How the currency of the country that was answered is written, where that tells it from others called $."""
    parts: set[str] = field(default_factory=set)
    """Parts that were stated in the file, be it with no rows."""
    is_whole: bool = True
    """Whether all of it was read; else it holds what stands before the fault."""


def read_toml(data: bytes, name: str, findings: Findings) -> CaseFile:
    """The rows and settings of a case file; of one that is not TOML, what stands before the fault."""
    place = Place(file=name)
    if len(data) > TOML_BYTES:
        findings.report("T002.size", place, most=TOML_BYTES // 1000, size=len(data))
        return CaseFile(name=name, is_whole=False)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        findings.report("F006.case", place)
        return CaseFile(name=name, is_whole=False)
    text = text.replace("\r\n", "\n")
    if DOTTED.search(text):
        findings.report("T002.dotted", place)
        return CaseFile(name=name, is_whole=False)
    try:
        tree = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as fault:
        return _before(_report_syntax(fault, text, place, findings), text, name)
    return _walk(tree, _Source(name=name, lines=_lines(text), findings=findings))


def _before(line: int | None, text: str, name: str) -> CaseFile:
    """What a case file says before a line with a fault: the tables that it names can be read."""
    try:
        tree = tomllib.loads("\n".join(text.split("\n")[: (line or 1) - 1]))
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        tree = {}
    case = _walk(tree, _Source(name=name, lines={}, findings=Findings()))
    return CaseFile(name=name, files=case.files, use_typical=case.use_typical, parts=case.parts, is_whole=False)


def _report_syntax(fault: Exception, text: str, place: Place, findings: Findings) -> int | None:
    """Say in plain words what is wrong with a case file; the line of it, None where it is the end."""
    found = re.search(r"\(at line ([0-9]+), column ([0-9]+)\)", str(fault))
    if isinstance(fault, RecursionError):
        findings.report("T002.nested", place)
        return None
    line = int(found[1]) if found else None
    kind = next((kind for said, kind in FAULTS.items() if said in str(fault)), "line" if found else "open")
    typed = text.split("\n")[line - 1] if line and line <= text.count("\n") + 1 else ""
    before = len(show(typed[: int(found[2]) - 1], 10**6)) if found else SHOWN
    caret = before if typed and before < SHOWN else None
    findings.report(f"T001.{kind}", replace(place, row=line), found=typed, caret=caret)
    return line


@dataclass(frozen=True, slots=True, kw_only=True)
class _Source:
    name: str
    lines: Lines
    findings: Findings
    unknown: list[str] = field(default_factory=list)
    listed: list[list[str]] = field(default_factory=list)

    def place(self, *path: str) -> Place:
        """Where a key stands; the column is the dotted key without the numbers of rows."""
        key = ".".join(part for part in path if not part.isdigit())
        shorter = next((self.lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self.lines), None)
        return Place(file=self.name, row=shorter, column=key)


def _lines(text: str) -> Lines:
    """Line of each key. Only for showing: multi-line strings may set it off, never what is read."""
    lines: Lines = {}
    table: tuple[str, ...] = ()
    counts: dict[str, int] = {}
    for number, line in enumerate(text.split("\n"), 1):
        head = re.match(r"\s*(\[\[?)\s*([\w.-]+)\s*\]", line)
        key = re.match(r"\s*([\w-]+|\"[^\"]*\")\s*=", line)
        if head:
            table = tuple(head[2].split("."))
            if head[1] == "[[":
                table = (*table, str(counts.get(head[2], 0)))
                counts[head[2]] = counts.get(head[2], 0) + 1
            lines.setdefault(table, number)
        elif key:
            lines.setdefault((*table, key[1].strip('"')), number)
    return lines


def _walk(tree: dict[str, Any], source: _Source) -> CaseFile:
    case = CaseFile(name=source.name)
    for key, value in tree.items():
        if key in SETTINGS and not (key in RECORDS and isinstance(value, list)):
            _setting(key, value, case, source)
        elif key in FORMS:
            case.parts.add(key)
            if _is_table(value, source, key):
                case.rows.append(_row(key, value, source, key))
        elif key in RECORDS:
            _records(key, value, case, source)
        elif key in LISTS:
            _lists(key, value, case, source)
        else:
            known = [*FORMS, *RECORDS, *LISTS, *SETTINGS]
            _unknown(key, known, source.place(key), source)
    return case


def _unknown(key: str, known: list[str], place: Place, source: _Source, part: str = "") -> None:
    """A key that the schema has not, or that one of its parts has not."""
    source.unknown.append(key)
    if len(source.unknown) > UNKNOWN_MAX:
        return
    near = nearest(key, known)
    # The keys of a part are listed once.
    listed = "" if known in source.listed else ", ".join(known)
    source.listed.append(known)
    report = source.findings.report
    if part:
        report("T003.near" if near else "T003.far", place, part=part, key=key, near=near, found=key, allowed=listed)
    elif homes := [f"[{name}]" for name, section in FORMS.items() if key in section.model_fields]:
        report("T004.astray", place, key=key, homes=" or ".join(homes), found=key, allowed=listed)
    else:
        report("T004.near" if near else "T004.far", place, key=key, near=near, found=key, allowed=listed)


def _setting(key: str, value: Any, case: CaseFile, source: _Source) -> None:
    place, report = source.place(key), source.findings.report
    if key == "schema":
        if value != SCHEMA:
            report("T006.case", place, found=value, allowed=SCHEMA)
    elif key == "use_typical":
        if isinstance(value, bool):
            case.use_typical = value
        else:
            report("T005.switch", place, found=value)
    elif isinstance(value, str):
        case.files[key] = value
    else:
        report("T005.file", place, key=key, found=value)


def _is_table(value: Any, source: _Source, *path: str) -> bool:
    if isinstance(value, dict):
        return True
    source.findings.report("T005.section", source.place(*path), part=path[0], found=value)
    return False


def _row(part: str, table: dict[str, Any], source: _Source, *path: str) -> Row:
    """One table of keys as a row."""
    named = table.get("name")
    item = named if isinstance(named, str) and part in {"loads", "candidates", "deliveries", "items"} else ""
    row = Row(part=part, place=replace(source.place(*path), column="", item=item))
    for key, value in table.items():
        name = ALIASES.get(part, {}).get(key, key)
        place = replace(source.place(*path, key), item=item)
        if name not in ASKED[part]:
            _unknown(key, list(ASKED[part]), place, source, part)
        elif name in row.entries:
            source.findings.report("C004.keys", place, name=name)
        else:
            row.entries[name] = Entry(value=value, place=place)
    return row


def _records(part: str, value: Any, case: CaseFile, source: _Source) -> None:
    if part in case.parts:
        source.findings.report("F011.twice", source.place(part), part=part)
        return
    case.parts.add(part)
    if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
        source.findings.report("T005.rows", source.place(part), part=part, found=value)
        return
    if part == "months" and len(value) != 12:
        source.findings.report("T007.year", source.place(part), months=len(value))
    elif len(value) > MOST[part]:
        source.findings.report("T007.many", source.place(part), part=part, rows=len(value), most=MOST[part])
    case.rows.extend(_row(part, table, source, part, str(number)) for number, table in enumerate(value[: MOST[part]]))


def _lists(key: str, value: Any, case: CaseFile, source: _Source) -> None:
    """`[monthly]` or `[daily]`: a list per field."""
    part = LISTS[key]
    if not _is_table(value, source, key):
        return
    if part in case.parts:
        source.findings.report("F011.twice", source.place(key), part=part)
        return
    case.parts.add(part)
    longest = max((len(each) for each in value.values() if isinstance(each, list)), default=0)
    rows = [
        Row(part=part, place=replace(source.place(key), column=""))
        for _ in range(12 if part == "months" else min(longest, MAX_DAYS))
    ]
    for name, values in value.items():
        place = source.place(key, name)
        if name not in ASKED[part]:
            _unknown(name, list(ASKED[part]), place, source, key)
        elif not isinstance(values, list) or (part == "months" and len(values) != 12) or len(values) > MOST[part]:
            allowed = "12 values" if part == "months" else f"1 to {MOST[part]} values"
            found = f"{len(values)} values" if isinstance(values, list) else show(values)
            source.findings.report(
                "T007.days" if part == "days" else "T007.months",
                place,
                key=key,
                name=name,
                found=found,
                allowed=allowed,
            )
        else:
            for row, each in zip(rows, values, strict=False):
                row.entries[name] = Entry(value=each, place=place)
    case.rows.extend(rows)
