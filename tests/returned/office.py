"""Edits a workbook inside LibreOffice, as a client would. Run by the system's own Python, which has the uno module.

Usage: office.py PROFILE JOBS.json, where JOBS is a list of {"from": file, "to": file, "steps": [[name, ...], ...]}.
With "as typed" in it only what depends on an edit is recalculated, as while a client types; else everything is.
"""

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException


def prop(name: str, value: object) -> Any:
    """A property for a call of the office."""
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


def start(profile: str) -> tuple[subprocess.Popen[bytes], Any]:
    """The office and its desktop."""
    pipe = f"holdover{time.time_ns()}"
    office = subprocess.Popen(
        [
            "soffice",
            f"-env:UserInstallation=file://{profile}",
            "--headless",
            "--norestore",
            f"--accept=pipe,name={pipe};urp;",
        ]
    )
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    for _ in range(600):
        try:
            context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.1)
        else:
            return office, context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
    raise SystemExit("LibreOffice did not start")


def sheet(document: Any, name: str) -> Any:
    """A sheet by its name."""
    return document.Sheets.getByName(name)


def type_into(document: Any, name: str, cell: str, value: str | float) -> None:
    """A text or a number in a cell."""
    at = sheet(document, name).getCellRangeByName(cell)
    if isinstance(value, str):
        at.String = value
    else:
        at.Value = value


def drop_names(document: Any) -> None:
    """No defined name is left."""
    names = document.NamedRanges
    for each in names.ElementNames:
        names.removeByName(each)


STEPS: dict[str, Callable[..., None]] = {
    "type": type_into,
    "clear": lambda document, name, cell: sheet(document, name).getCellRangeByName(cell).clearContents(1 | 2 | 4 | 16),
    "rows": lambda document, name, row, count: sheet(document, name).Rows.insertByIndex(row, count),
    "columns": lambda document, name, column, count: sheet(document, name).Columns.insertByIndex(column, count),
    "delete rows": lambda document, name, row, count: sheet(document, name).Rows.removeByIndex(row, count),
    "delete columns": lambda document, name, column, count: sheet(document, name).Columns.removeByIndex(column, count),
    "rename": lambda document, name, new: sheet(document, name).setName(new),
    "move": lambda document, name, place: document.Sheets.moveByName(name, place),
    "add": lambda document, name, place: document.Sheets.insertNewByName(name, place),
    "delete sheet": lambda document, name: document.Sheets.removeByName(name),
    "drop names": drop_names,
}
"""What may be done to a document; rows and columns count from 0."""


def main(profile: str, jobs: str) -> None:
    """Every job in one office."""
    office, desktop = start(profile)
    try:
        for job in json.loads(Path(jobs).read_text(encoding="utf-8")):
            source = Path(job["from"]).as_uri()
            document = desktop.loadComponentFromURL(source, "_blank", 0, (prop("Hidden", value=True),))
            for name in document.Sheets.ElementNames:
                sheet(document, name).unprotect("")
            document.enableAutomaticCalculation(job.get("as typed", False))
            for name, *told in job["steps"]:
                STEPS[name](document, *told)
            if not job.get("as typed", False):
                document.calculateAll()
            kind = "calc8" if job["to"].endswith(".ods") else "Calc MS Excel 2007 XML"
            document.storeToURL(Path(job["to"]).as_uri(), (prop("FilterName", kind),))
            document.close(True)
    finally:
        try:
            desktop.terminate()
        finally:
            office.wait(60)


if __name__ == "__main__":
    main(*sys.argv[1:])
