"""A case from disk: a folder with case.toml and its tables, or one file with everything in it."""

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Final

from holdover.findings import Findings, Place
from holdover.reading.beside import beside, outside, strays
from holdover.reading.case import Read, build_case
from holdover.reading.entries import Row
from holdover.reading.fields import TABLED
from holdover.reading.logo import with_logo
from holdover.reading.table.table import read_table
from holdover.reading.toml import CASE_FILE, CaseFile, read_toml
from holdover.xlsx import MAX_FILE

TABLES: Final = {".csv": "csv", ".tsv": "csv", ".txt": "csv", ".xlsx": "xlsx"}
USUAL: Final = tuple(part + tail for part in TABLED for tail in TABLES)
"""Names of the tables beside a case file, where it names none."""


def may_be_workbook(path: Path) -> bool:
    """Whether a path is to be read as a workbook, not as a case file or folder."""
    return path.suffix.casefold() == ".xlsx" and not os.path.isdir(path)  # noqa: PTH112 (a name too long is no folder)


def read_folder(path: Path, candidates: Path | None = None) -> Read:
    """The case of a folder or of a case file, with what there is to say about its files.

    `candidates` is a table that takes the place of the case's own list.
    """
    findings = Findings()
    try:
        file = _case_file(path, findings)
    except OSError as fault:
        _report_closed(fault, path.name, findings)
        return Read(case=None, findings=findings)
    data = _bytes_of(file, file.name, findings) if file else None
    if not file or data is None:
        return Read(case=None, findings=findings)
    content = read_toml(data, file.name, findings)
    if candidates:
        content.rows = [row for row in content.rows if row.part != "candidates"]
        content.parts.discard("candidates")
        content.files["candidates"] = candidates.name
    for part in TABLED:
        folder = candidates.parent if candidates and part == "candidates" else file.parent
        content.rows.extend(_table_rows(part, content, folder, findings))
    return with_logo(build_case(content, findings), content.rows, file.parent)


def names_beside(file: Path) -> tuple[str, ...]:
    """Names of the files beside a case file that may be opened when the case is read."""
    data = _bytes_of(file, file.name, Findings())
    content = read_toml(data or b"", file.name, Findings())
    logos = [row.entries["logo"].value for row in content.rows if row.part == "business" and "logo" in row.entries]
    return tuple(dict.fromkeys([*USUAL, *content.files.values(), *map(str, logos)]))


def _case_file(path: Path, findings: Findings) -> Path | None:
    if path.is_dir():
        path = path / CASE_FILE
        if path.is_file():
            reason = strays(path, path.parent)
            if reason:
                findings.report("F007.case", Place(file=CASE_FILE), reason=reason)
            return None if reason else path
        held = sorted(each.name for each in path.parent.iterdir())
        other = next((name for name in held if name.casefold().endswith(".toml")), "")
        place = Place(file=path.parent.name)
        findings.report("F002.other" if other else "F002.none", place, other=other, found=", ".join(held))
        return None
    if not path.exists():
        findings.report("F001.case", Place(file=str(path)))
        return None
    if path.suffix.casefold() != ".toml":
        findings.report("F003.case", Place(file=path.name), found=path.suffix)
        return None
    return path


def _bytes_of(path: Path, name: str, findings: Findings) -> bytes | None:
    """What a regular file holds; never more than MAX_FILE of it."""
    place = Place(file=name)
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            findings.report("F003.irregular", place)
            return None
        if status.st_size > MAX_FILE:
            findings.report("F004.table", place, most=MAX_FILE // 10**6, size=status.st_size)
            return None
        with path.open("rb") as file:
            return file.read(MAX_FILE + 1)
    except OSError as fault:
        _report_closed(fault, name, findings)
        return None


def _report_closed(fault: OSError, name: str, findings: Findings) -> None:
    reason = fault.strerror or "unknown reason"
    findings.report("F010", Place(file=name), reason=reason)


def _seen(look: Callable[[], bool]) -> bool:
    """What a look at a file says; one that can't be looked at is told of where it is opened."""
    try:
        return look()
    except OSError:
        return True


def _table_rows(part: str, content: CaseFile, folder: Path, findings: Findings) -> list[Row]:
    """Rows of a part that stands in a file of its own."""
    named = content.files.get(part)
    found = [part + tail for tail in TABLES if _seen((folder / (part + tail)).is_file)]
    place = Place(file=content.name, column=part)
    if part in content.parts:
        if named or found:
            findings.report("F011.file", place, part=part, file=named or found[0])
        return []
    if named is None and len(found) > 1:
        findings.report("F008", place, part=part, files=" and ".join(found), first=found[0])
        return []
    name = named if named is not None else next(iter(found), None)
    if name is None:
        return []
    path = _inside(name, folder, place, findings)
    data = _bytes_of(path, name, findings) if path else None
    if not path or data is None:
        return []
    return read_table(part, data, path.name, findings, use_typical=content.use_typical)


def _inside(name: str, folder: Path, place: Place, findings: Findings) -> Path | None:
    """The file a case names, which stands in its own folder."""
    path = beside(name, folder)
    reason = outside(name) or strays(path, folder)
    if reason:
        findings.report("F007.table", place, reason=reason, found=name)
        return None
    if path.suffix.casefold() not in TABLES:
        findings.report("F003.table", place, found=name, allowed=", ".join(TABLES))
        return None
    if not _seen(path.exists):
        findings.report("F009", place, name=name, found=name)
        return None
    return path
