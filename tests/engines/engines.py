"""Spreadsheet engines behind one shape: a workbook's bytes go in, a look-up of recalculated cells comes out."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path
from types import MappingProxyType
from typing import Any

import formualizer
import ironcalc

from holdover.xlsx import Book, read_xlsx

Value = float | str | None
Spot = tuple[str, int, int]
"""Sheet, row and column of a cell, from 0."""
Answer = Callable[[str, int, int], Value]
"""Value of a cell by sheet, row and column from 0; blank is None, an error is a text that begins with #."""

FIRST_DAY, LEAP_DAY = datetime(1899, 12, 31), 60
"""Before the first day of a sheet that counts from 1900, and the day that it counts and that never was."""

RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="ODFRecalcMode" oor:op="fuse">
<value>0</value></prop></item>
</oor:items>"""
"""A LibreOffice profile that recalculates every formula on loading, whatever was cached."""


class Formualizer:
    """The quick engine: a loaded workbook whose inputs can be edited.

    What is typed, or put in as a formula, before anything is worked out costs little: an edit later on first marks all
    that hangs on it, cell by cell, so that many edits at once take longer than a new engine.
    """

    def __init__(
        self,
        data: bytes,
        edits: Mapping[Spot, Value] = MappingProxyType({}),
        formulas: Mapping[Spot, str] = MappingProxyType({}),
    ) -> None:
        self.book: Any = formualizer.load_workbook_bytes(data)
        for (sheet, row, col), value in edits.items():
            self.edit(sheet, row, col, value)
        for (sheet, row, col), formula in formulas.items():
            self.book.set_formula(sheet, row + 1, col + 1, formula)
        self.book.evaluate_all()

    def __call__(self, sheet: str, row: int, col: int) -> Value:
        return _plain(self.book.get_value(sheet, row + 1, col + 1))

    def edit(self, sheet: str, row: int, col: int, value: Value) -> None:
        """Type a value into a cell; None clears it."""
        self.book.set_value(sheet, row + 1, col + 1, value)

    def recalculate(self) -> None:
        self.book.evaluate_all()

    def evaluate(self, sheet: str, row: int, col: int, formula: str) -> Value:
        """What a formula would say in a spare cell of a sheet."""
        self.book.set_formula(sheet, row + 1, col + 1, formula)
        try:
            return _plain(self.book.evaluate_cell(sheet, row + 1, col + 1))
        except Exception as wrong:  # a mutant may be no formula at all
            return f"#{type(wrong).__name__}"


def iron(data: bytes) -> Answer:
    """IronCalc's answers."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "book.xlsx"
        path.write_bytes(data)
        model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    sheets = {sheet["name"]: i for i, sheet in enumerate(model.get_worksheets_properties())}

    def answer(sheet: str, row: int, col: int) -> Value:
        return _plain(model.get_cell_value(sheets[sheet], row + 1, col + 1))

    return answer


def libreoffice(files: Sequence[Path], folder: Path, kind: str = "xlsx") -> list[Path]:
    """The files as LibreOffice saves them after recalculating all, in one start."""
    profile = folder / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(RECALCULATE, encoding="utf-8")
    out = folder / "saved"
    program = shutil.which("soffice")
    assert program, "LibreOffice is not installed: apt-get install libreoffice-calc"
    subprocess.run(
        [
            program,
            f"-env:UserInstallation=file://{profile}",
            "--headless",
            "--norestore",
            "--convert-to",
            kind,
            "--outdir",
            str(out),
            *map(str, files),
        ],
        check=True,
        capture_output=True,
        timeout=600,
        env={**os.environ, "HOME": str(folder)},
    )
    saved = [out / f"{file.stem}.{kind}" for file in files]
    assert all(file.is_file() for file in saved), "LibreOffice left a file out"
    return saved


def gnumeric(file: Path, folder: Path) -> Path:
    """The file as Gnumeric saves it after recalculating all."""
    program = shutil.which("ssconvert")
    assert program, "Gnumeric is not installed: apt-get install gnumeric"
    target = folder / f"{file.stem}-gnumeric.xlsx"
    subprocess.run(
        [program, "--recalc", "--export-type=Gnumeric_Excel:xlsx2", str(file), str(target)],
        check=True,
        capture_output=True,
        timeout=300,
    )
    return target


def cached(file: Path) -> Answer:
    """The results stored in a file."""
    return answers_of(read_xlsx(file.read_bytes(), file.name))


def answers_of(book: Book) -> Answer:
    """The results stored in a workbook that was read."""
    sheets = {sheet.name: sheet.rows for sheet in book.sheets}

    def answer(sheet: str, row: int, col: int) -> Value:
        cell = sheets[sheet].get(row + 1, {}).get(col + 1)
        return None if cell is None else cell.value

    return answer


def _plain(value: Any) -> Value:
    if isinstance(value, dict):
        return f"#{value.get('kind', value)}"
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return str(value) if isinstance(value, bool) else value
    return _serial(value) if isinstance(value, date | time) else float(value)


def _serial(value: date | time) -> float:
    """The number behind a cell that is shown as a time or a day [days since 1899-12-31, a day more from March 1900]."""
    at = datetime.combine(FIRST_DAY.date(), value) if isinstance(value, time) else value
    moment = at if isinstance(at, datetime) else datetime.combine(at, time())
    days = (moment - FIRST_DAY) / timedelta(days=1)
    return days + (days >= LEAP_DAY)
