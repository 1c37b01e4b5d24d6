"""A case from disk: a folder with case.toml and its tables, or one file with everything in it."""

import re
import stat
from collections.abc import Callable
from pathlib import Path, PureWindowsPath
from typing import Any, Final

from holdover.advice.remarks import advise
from holdover.case.figures import exact, figure
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
from holdover.findings import Findings, Place, show
from holdover.reading.decimal_mark import decide_marks
from holdover.reading.entries import Reading, Row, is_empty, typed_text
from holdover.reading.kilo import doubt_columns, refuse_kilo
from holdover.reading.row import Fields, read_row
from holdover.reading.shown import settle_shown
from holdover.reading.table.find import read_table
from holdover.reading.tier import settle_tiers
from holdover.reading.toml import MOST, CaseFile, read_toml
from holdover.xlsx.archive import MAX_FILE

CASE_FILE: Final = "case.toml"
TABLES: Final = {".csv": "csv", ".tsv": "csv", ".txt": "csv", ".xlsx": "xlsx"}
TABLED: Final = ("loads", "candidates")
"""Parts whose rows may stand in a table of their own."""
DEVICES: Final = re.compile(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(\..*)?")


def read_case(path: Path) -> tuple[Case | None, Findings]:
    """The case of a folder or of a case file, with everything there is to say about it.

    No case comes back where there is an error. What an adviser would remark on stands among the findings.
    """
    reading = Reading(findings=Findings())
    try:
        file = _case_file(path, reading)
    except OSError as fault:
        _say_closed(fault, path.name, reading)
        return None, reading.findings
    data = _bytes_of(file, file.name, reading) if file else None
    content = read_toml(data, file.name, reading) if file and data is not None else None
    if not file or content is None:
        return None, reading.findings
    reading.use_typical = content.use_typical
    for part in TABLED:
        content.rows.extend(_table_rows(part, content, file.parent, reading))
    case = build_case(content, reading)
    return case, reading.findings


def _case_file(path: Path, reading: Reading) -> Path | None:
    if path.is_dir():
        path = path / CASE_FILE
        if path.is_file():
            reason = _strays(path, path.parent)
            if reason:
                remedy = "put the case file itself into the folder, not a link to it"
                reading.say("F007", "error", f"{CASE_FILE} is not read: {reason}", Place(file=CASE_FILE), remedy=remedy)
            return None if reason else path
        held = sorted(each.name for each in path.parent.iterdir())
        reading.say(
            "F002",
            "error",
            f"the folder has no {CASE_FILE}",
            Place(file=path.parent.name),
            found=show(", ".join(held)),
            remedy=f"put a {CASE_FILE} there, if only with a title",
        )
        return None
    if not path.exists():
        reading.say("F001", "error", "there is no such file or folder", Place(file=str(path)), remedy="check the name")
        return None
    if path.suffix.casefold() != ".toml":
        reading.say(
            "F003",
            "error",
            "a case is a folder with case.toml or one .toml file",
            Place(file=path.name),
            found=show(path.suffix),
            remedy=f"put the table into a folder beside a {CASE_FILE} and give the folder",
        )
        return None
    return path


def _bytes_of(path: Path, name: str, reading: Reading) -> bytes | None:
    """What a regular file holds; never more than MAX_FILE of it."""
    place = Place(file=name)
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            reading.say("F003", "error", "not a regular file", place, remedy="give a file")
            return None
        if status.st_size > MAX_FILE:
            reading.say(
                "F004",
                "error",
                f"a table has at most {MAX_FILE // 10**6} MB",
                place,
                found=f"{status.st_size} bytes",
                remedy="keep only the rows of this case",
            )
            return None
        with path.open("rb") as file:
            return file.read(MAX_FILE + 1)
    except OSError as fault:
        _say_closed(fault, name, reading)
        return None


def _say_closed(fault: OSError, name: str, reading: Reading) -> None:
    reason = fault.strerror or "unknown reason"
    reading.say("F010", "error", f"the file can't be opened: {reason}", Place(file=name))


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
            reading.say(
                "F011",
                "error",
                f"{part} stand in the case file and in {named or found[0]}",
                place,
                remedy="keep one of them",
            )
        return []
    if named is None and len(found) > 1:
        reading.say(
            "F008",
            "error",
            f"two files for the {part}: {' and '.join(found)}",
            place,
            remedy=f'delete one, or write {part} = "{found[0]}" in the case file',
        )
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
        reading.say(
            "F007",
            "error",
            f"this file name is not taken: {reason}",
            place,
            found=show(name),
            remedy='write the bare name of a file beside the case file, such as "loads.csv"',
        )
        return None
    if path.suffix.casefold() not in TABLES:
        reading.say(
            "F003",
            "error",
            "a table is a .csv or an .xlsx file",
            place,
            found=show(name),
            allowed=", ".join(TABLES),
            remedy="save the sheet as .xlsx or .csv",
        )
        return None
    if not _seen(path.exists):
        reading.say("F009", "error", f"there is no file {show(name)}", place, found=show(name), remedy="check the name")
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


def build_case(content: CaseFile, reading: Reading) -> Case | None:
    """The case of what its files say; None where there is an error.

    Rows with an error are left out of the advice; where the error is in a setting or a file, there is none.
    """
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
            reading.say(
                "R002",
                "error",
                f"a case has at most {MOST[row.part]} {row.part}",
                row.place,
                remedy="put equal ones into one row with a quantity",
            )
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
        return None
    for part, index in bad:
        sections[part][index] = {}
    settle_shown(content.rows, sections, reading)
    case = _made(sections, content)
    silent = {code for part, _ in bad for code in NEEDS_ALL[part]}
    advice = advise(case, reading.findings.places)
    reading.findings.extend([remark for remark in advice if remark.code not in silent])
    return None if reading.findings.errors else case


NEEDS_ALL: Final = {"loads": {"A014"}, "candidates": {"A007", "A008", "A015", "A016"}}
"""Remarks that would be false where a row of the part could not be read."""


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
    reading.say(
        "L007",
        "warning",
        f"no watts stated; typical figures of {figures.name} taken: {figure(figures.running_w)} W running",
        row.place,
        allowed=f"{figure(figures.low_w)} to {figure(figures.high_w)} W are common",
        remedy=f"measure it; the figures are from {figures.source}",
    )


def _check_points(points: list[Fields] | None, content: CaseFile, reading: Reading) -> None:
    """The line of capacity against temperature rises in temperature and has no gaps."""
    if points is None and "points" not in content.parts:
        return
    whole = all({"temperature_c", "capacity_share"} <= point.keys() for point in points or [])
    temperatures = [point.get("temperature_c", 0.0) for point in points or []]
    if whole and len(temperatures) >= 2 and temperatures == sorted(set(temperatures)):
        return
    reading.say(
        "T008",
        "error",
        "points must be two or more, each with temperature_c and capacity_share, the coldest first",
        reading.findings.places.get(("points", 0), Place(file=CASE_FILE)),
        remedy="write [[points]] temperature_c = 0, capacity_share = 0.85 and so on upward",
    )


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
        remedy = _REMEDIES[name]
        figures = best(str(fields.get("name", ""))) if name == "running_w" else None
        if figures:
            remedy += f"; typical for {figures.name}: {figure(figures.running_w)} W (use_typical = true takes it)"
        reading.say("R001", "error", f"{info.title} is missing ({name})", row.place, remedy=remedy)


_REMEDIES: Final = {
    "name": "name it, or clear the whole row",
    "running_w": "write the watts, such as 150 W, or the amps, such as 1.3 A; or the energy it was metered at",
    "hours_per_day": "write how long it is switched on in 24 hours, such as 8 h or 18:00-22:30",
    "storage_wh": "write the nameplate energy, such as 2048 Wh or 160 Ah @ 12.8 V",
    "continuous_w": "write the watts it gives without limit of time, such as 2400 W",
    "surge_w": "write the watts it gives while a motor starts; where the data sheet is silent, the continuous watts",
}


def _was_tried(name: str, row: Row) -> bool:
    """Whether something stands there that was refused already."""
    entry = row.entries.get(name)
    return entry is not None and not is_empty(entry.value) and bool(safe_text(typed_text(entry.value)))
