"""Which cases are meant, and what the workbook of each is called."""

import os
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

from holdover.findings import Findings, Place
from holdover.reading.beside import DEVICES
from holdover.reading.folder import USUAL, may_be_workbook
from holdover.reading.toml import CASE_FILE

INDEX: Final = "index.json"
BOOK: Final = "index.xlsx"
"""Both forms of the index."""
LONGEST: Final = 80
"""Longest name of a workbook without its ending [characters]; in bytes at most four times as many."""


def cases_of(paths: Iterable[Path], *, without: Sequence[Path] = ()) -> tuple[Path, ...]:
    """Every case that is meant, each once: cases by their names, those in folders of cases, and those on lists.

    Args:
        paths: case folders, case files and workbooks; folders in which such are, however deep; lists of all these (.txt)
        without: files and folders that are none of them, though they lie there
    """
    left_out = {_where(path) for path in without}
    found: dict[str, Path] = {}
    for path in paths:
        for case in _meant(path, left_out):
            found.setdefault(_where(case), case)
    return tuple(found.values())


def _where(path: Path) -> str:
    return os.path.realpath(path)


def _meant(path: Path, left_out: set[str]) -> Iterator[Path]:
    if path.suffix.casefold() == ".txt" and path.is_file():
        lines = path.read_text(encoding="utf-8-sig", errors="surrogateescape").splitlines()
        for line in lines:
            if line.strip() and not line.lstrip().startswith("#"):
                listed = path.parent / line.strip()
                yield from _below(listed, left_out) if is_folder_of_cases(listed) else (listed,)
    elif is_folder_of_cases(path):
        yield from _below(path, left_out)
    else:
        yield path


def is_folder_of_cases(path: Path) -> bool:
    """Whether a path is a folder and no case itself, not even one that lacks its case file."""
    return path.is_dir() and not any(os.path.lexists(path / name) for name in (CASE_FILE, *USUAL))


def _below(folder: Path, left_out: set[str]) -> Iterator[Path]:
    """The cases in a folder, by name. Nothing is looked for inside a case, nor what is hidden, a lock or an index."""
    for path in sorted(folder.iterdir(), key=lambda each: each.name):
        if path.name.startswith((".", "~$")) or _where(path) in left_out or _is_index(path):
            continue
        if is_folder_of_cases(path):
            if not path.is_symlink():  # which may lead round in a circle
                yield from _below(path, left_out)
        elif path.is_dir() or path.suffix.casefold() == ".toml" or may_be_workbook(path):
            yield path


def _is_index(path: Path) -> bool:
    """Whether a file is the index of an earlier batch, which no reader takes for a case."""
    return path.name == BOOK and path.with_name(INDEX).is_file()


def called(path: Path) -> str:
    """Name of the file or folder of a case, without an ending; a case file by itself is called as its folder.

    >>> called(Path("homes/gil.xlsx")), called(Path("homes/bo/case.toml")), called(Path("homes/st. ann"))
    ('gil', 'bo', 'st. ann')
    """
    if path.name == CASE_FILE and path.parent.name:
        return path.parent.name
    return path.stem if path.suffix.casefold() in (".toml", ".xlsx") else path.name


def names_of(cases: Sequence[Path]) -> tuple[str, ...]:
    """A name for the workbook of each case, without an ending: safe on every system, and no two alike on any."""
    given = {Path(BOOK).stem}
    names = []
    for case in cases:
        stem = safe_name(called(Path(os.path.abspath(case))))  # noqa: PTH100 (a link keeps its own name)
        name, number = stem, 1
        while _alike(name) in given:
            number += 1
            name = f"{stem}-{number}"
        given.add(_alike(name))
        names.append(name)
    return tuple(names)


def _alike(name: str) -> str:
    """What two names have in common that some system takes for one."""
    return unicodedata.normalize("NFKC", name).casefold()


def safe_name(name: str) -> str:
    """A name that means the same on every system.

    >>> safe_name("Alder St. 3: a/b?"), safe_name("CON"), safe_name("...")
    ('Alder St. 3- a-b', 'CON-', 'case')
    """
    name = unicodedata.normalize("NFC", name)
    kept = "".join(mark if _is_plain(mark) else "-" for mark in name)
    kept = re.sub(r"-{2,}", "-", kept)[:LONGEST].strip(" .-~")
    if not kept:
        return "case"
    return f"{kept}-" if DEVICES.fullmatch(kept) else kept


def _is_plain(mark: str) -> bool:
    return mark in " .-_(),+'&" or unicodedata.category(mark)[0] in "LN" or unicodedata.category(mark) in ("Mn", "Mc")


def report_none(paths: Sequence[Path]) -> Findings:
    """That no case was found where they were looked for."""
    findings = Findings()
    for path in paths:
        findings.report("F015", Place(file=str(path)))
    return findings
