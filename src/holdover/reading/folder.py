"""A case from disk: a folder with case.toml and its tables, or one file with everything in it."""

import re
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PureWindowsPath
from typing import Any, Final

from holdover.case.figures import exact
from holdover.case.safe_text import safe_text
from holdover.case.schema import (
    AC_VOLTS,
    FORMS,
    RECORDS,
    Candidate,
    Case,
    Load,
    Section,
    is_needed,
)
from holdover.case.typical import best
from holdover.findings import Findings, Place
from holdover.reading.decimal_mark import decide_marks
from holdover.reading.entries import Reading, Row, is_empty, typed_text
from holdover.reading.kilo import doubt_columns, refuse_kilo
from holdover.reading.row import Fields, read_row
from holdover.reading.shown import settle_shown
from holdover.reading.table.find import read_table
from holdover.reading.tier import settle_tiers
from holdover.reading.toml import MOST, CaseFile, read_toml
from holdover.xlsx import MAX_FILE

CASE_FILE: Final = "case.toml"
TABLES: Final = {".csv": "csv", ".tsv": "csv", ".txt": "csv", ".xlsx": "xlsx"}
TABLED: Final = ("loads", "candidates")
"""Parts whose rows may stand in a table of their own."""
DEVICES: Final = re.compile(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(\..*)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What the files of a case say, before anybody remarks on it."""

    case: Case | None
    """None where a setting or a file can't be read; rows that can't be read are blank."""
    findings: Findings
    unread: frozenset[str] = frozenset()
    """Parts of which a row can't be read."""


def read_folder(path: Path) -> Read:
    """The case of a folder or of a case file, with what there is to say about its files."""
    reading = Reading(findings=Findings())
    try:
        file = _case_file(path, reading)
    except OSError as fault:
        _report_closed(fault, path.name, reading)
        return Read(case=None, findings=reading.findings)
    data = _bytes_of(file, file.name, reading) if file else None
    content = read_toml(data, file.name, reading) if file and data is not None else None
    if not file or content is None:
        return Read(case=None, findings=reading.findings)
    reading.use_typical = content.use_typical
    for part in TABLED:
        content.rows.extend(_table_rows(part, content, file.parent, reading))
    return build_case(content, reading)


def _case_file(path: Path, reading: Reading) -> Path | None:
    if path.is_dir():
        path = path / CASE_FILE
        if path.is_file():
            reason = _strays(path, path.parent)
            if reason:
                reading.report("F007.case", Place(file=CASE_FILE), reason=reason)
            return None if reason else path
        held = sorted(each.name for each in path.parent.iterdir())
        reading.report("F002", Place(file=path.parent.name), found=", ".join(held))
        return None
    if not path.exists():
        reading.report("F001.case", Place(file=str(path)))
        return None
    if path.suffix.casefold() != ".toml":
        reading.report("F003.case", Place(file=path.name), found=path.suffix)
        return None
    return path


def _bytes_of(path: Path, name: str, reading: Reading) -> bytes | None:
    """What a regular file holds; never more than MAX_FILE of it."""
    place = Place(file=name)
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            reading.report("F003.irregular", place)
            return None
        if status.st_size > MAX_FILE:
            reading.report("F004.table", place, most=MAX_FILE // 10**6, size=status.st_size)
            return None
        with path.open("rb") as file:
            return file.read(MAX_FILE + 1)
    except OSError as fault:
        _report_closed(fault, name, reading)
        return None


def _report_closed(fault: OSError, name: str, reading: Reading) -> None:
    reason = fault.strerror or "unknown reason"
    reading.report("F010", Place(file=name), reason=reason)


def _seen(look: Callable[[], bool]) -> bool:
    """What a look at a file says; one that can't be looked at is told of where it is opened."""
    try:
        return look()
    except OSError:
        return True


def _table_rows(part: str, content: CaseFile, folder: Path, reading: Reading) -> list[Row]:
    """Rows of a part that stands in a file of its own."""
    named = content.files.get(part)
    found = [part + tail for tail in TABLES if _seen((folder / (part + tail)).is_file)]
    place = Place(file=CASE_FILE, column=part)
    if part in content.parts:
        if named or found:
            reading.report("F011.file", place, part=part, file=named or found[0])
        return []
    if named is None and len(found) > 1:
        reading.report("F008", place, part=part, files=" and ".join(found), first=found[0])
        return []
    name = named if named is not None else next(iter(found), None)
    if name is None:
        return []
    path = _inside(name, folder, place, reading)
    data = _bytes_of(path, name, reading) if path else None
    if not path or data is None:
        return []
    return read_table(part, data, path.name, reading)


def _inside(name: str, folder: Path, place: Place, reading: Reading) -> Path | None:
    """The file a case names, which stands in its own folder."""
    path = folder / name
    reason = _outside(name) or _strays(path, folder)
    if reason:
        reading.report("F007.table", place, reason=reason, found=name)
        return None
    if path.suffix.casefold() not in TABLES:
        reading.report("F003.table", place, found=name, allowed=", ".join(TABLES))
        return None
    if not _seen(path.exists):
        reading.report("F009", place, name=name, found=name)
        return None
    return path


def _strays(path: Path, folder: Path) -> str:
    """Why a file is not one of the folder's own, links followed; "" where it is."""
    try:
        own = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return "it leads nowhere"
    return "" if own else "it leads out of the folder of the case"


def _outside(name: str) -> str:
    """Why a file name is not taken, "" where it is."""
    if not name.strip() or re.search(r"[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]", name):
        return "it is blank or holds control characters (write paths in 'single quotes')"
    if re.match(r"(?i)[a-z][a-z0-9+.-]+:", name) or name.startswith(("//", "\\\\")):
        return "it is an address"
    windows = PureWindowsPath(name)
    if windows.drive or windows.root or name.startswith("/"):
        return "it is absolute"
    if ".." in windows.parts:
        return "it leads out of the folder of the case"
    if "\\" in name or ":" in name:
        return "it has a backslash or a colon"
    if any(DEVICES.fullmatch(part.rstrip(" .")) for part in windows.parts):
        return "it is the name of a device"
    return "it is too long" if len(name.encode()) > 250 else ""


def build_case(content: CaseFile, reading: Reading) -> Read:
    """The case of what its files say."""
    _settle(content, reading)
    sections: dict[str, list[Fields]] = {}
    bad: set[tuple[str, int]] = set()
    elsewhere = len(reading.findings.errors)
    for row in content.rows:
        before = len(reading.findings.errors)
        fields = _kept(read_row(row, reading))
        index = len(sections.setdefault(row.part, []))
        reading.findings.places[row.part, index] = row.place
        sections[row.part].append(fields)
        if row.part in TABLED and index == MOST[row.part]:
            reading.report("R002", row.place, most=MOST[row.part], part=row.part)
        if row.part == "loads" and content.use_typical:
            _fill(row, fields, reading)
        if row.part in TABLED:
            _require(row, fields, reading)
            refuse_kilo(row, fields, reading)
        if len(reading.findings.errors) > before:
            bad.add((row.part, index))
            elsewhere += len(reading.findings.errors) - before if row.part not in TABLED else 0
    loads = [row for row in content.rows if row.part == "loads"]
    doubt_columns(list(zip(loads, sections.get("loads", []), strict=True)), reading)
    errors = len(reading.findings.errors)
    _check_points(sections.get("points"), content, reading)
    if elsewhere or len(reading.findings.errors) > errors:
        return Read(case=None, findings=reading.findings)
    for part, index in bad:
        sections[part][index] = {}
    settle_shown(content.rows, sections, reading)
    unread = frozenset(part for part, _ in bad)
    return Read(case=_made(sections, content), findings=reading.findings, unread=unread)


def _made(sections: dict[str, list[Fields]], content: CaseFile) -> Case:
    made: dict[str, Any] = {}
    for part, model in FORMS.items():
        if part in sections:
            made[part] = model(**sections[part][0])
    for part, model in RECORDS.items():
        if part in sections or part in content.parts:
            made[part] = tuple(model(**fields) for fields in sections.get(part, []))
    return Case(**made)


def _kept(fields: Fields) -> Fields:
    """Numbers with the digits that every spreadsheet program keeps, so that a case comes back from one unchanged."""
    return {name: float(exact(value)) if isinstance(value, float) else value for name, value in fields.items()}


def _fill(row: Row, fields: Fields, reading: Reading) -> None:
    """Typical figures for a load that is named and has no watts of its own."""
    known = {"running_w", "measured_wh_per_day"} & fields.keys()
    figures = best(str(fields.get("name", "")))
    if known or _was_tried("running_w", row) or figures is None:
        return
    for name in ("running_w", "starting_w", "duty", "power_factor"):
        value = getattr(figures, name)
        if value is not None and name not in fields and not _was_tried(name, row):
            fields[name] = value
    fields["basis"] = "typical"
    reading.report(
        "L007",
        row.place,
        name=figures.name,
        watts=figures.running_w,
        low=figures.low_w,
        high=figures.high_w,
        source=figures.source,
    )


def _check_points(points: list[Fields] | None, content: CaseFile, reading: Reading) -> None:
    """The line of capacity against temperature rises in temperature and has no gaps."""
    if points is None and "points" not in content.parts:
        return
    whole = all({"temperature_c", "capacity_share"} <= point.keys() for point in points or [])
    temperatures = [point.get("temperature_c", 0.0) for point in points or []]
    if whole and len(temperatures) >= 2 and temperatures == sorted(set(temperatures)):
        return
    reading.report("T008.case", reading.findings.places.get(("points", 0), Place(file=CASE_FILE)))


def _settle(content: CaseFile, reading: Reading) -> None:
    """What the rows depend on: decimal marks, currency and the feed of the house."""
    decide_marks(content.rows, reading)
    settle_tiers(content.rows, reading)
    quiet = Reading(findings=Findings(), marks=reading.marks)
    for row in content.rows:
        if row.part == "sizing" and "feed" in row.entries:
            feed = read_row(row, quiet).get("feed")
            if feed in AC_VOLTS:
                reading.house, reading.house_is_set = feed, True
        if row.part == "about" and "currency" in row.entries:
            reading.currency = str(read_row(row, quiet).get("currency", reading.currency))


def _require(row: Row, fields: Fields, reading: Reading) -> None:
    """A row has what it takes to be counted."""
    model: type[Section] = Load if row.part == "loads" else Candidate
    metered = "measured_wh_per_day" in fields
    for name, info in model.model_fields.items():
        spared = metered and name in {"running_w", "hours_per_day"}
        headed = reading.unknown.get(row.place.file)
        if not is_needed(info) or name in fields or spared or _was_tried(name, row):
            continue
        if headed is not None and name not in headed:  # it may stand in the column that is not known, told once
            continue
        figures = best(str(fields.get("name", ""))) if name == "running_w" else None
        if figures:
            reading.report("R001.typical", row.place, title=info.title, typical=figures.name, watts=figures.running_w)
        else:
            reading.report(f"R001.no_{name}", row.place, title=info.title)


def _was_tried(name: str, row: Row) -> bool:
    """Whether something stands there that was refused already."""
    entry = row.entries.get(name)
    return entry is not None and not is_empty(entry.value) and bool(safe_text(typed_text(entry.value)))
