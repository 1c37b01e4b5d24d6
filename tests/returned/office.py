"""Edits a workbook inside LibreOffice, as a client would. Run by the system's own Python, which has the uno module.

Usage: office.py PROFILE JOBS.json, where JOBS is a list of {"from": file, "to": file, "steps": [[name, ...], ...]}.
"""

import json
import subprocess
import sys
import time
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


def step(document: Any, name: str, *told: Any) -> None:
    """One edit."""
    sheets = document.Sheets
    if name == "type":  # sheet, cell, value
        cell = sheets.getByName(told[0]).getCellRangeByName(told[1])
        if isinstance(told[2], str):
            cell.String = told[2]
        else:
            cell.Value = told[2]
    elif name == "clear":
        sheets.getByName(told[0]).getCellRangeByName(told[1]).clearContents(1 | 2 | 4 | 16)
    elif name == "rows":  # sheet, row from 0, how many
        sheets.getByName(told[0]).Rows.insertByIndex(told[1], told[2])
    elif name == "columns":
        sheets.getByName(told[0]).Columns.insertByIndex(told[1], told[2])
    elif name == "delete rows":
        sheets.getByName(told[0]).Rows.removeByIndex(told[1], told[2])
    elif name == "delete columns":
        sheets.getByName(told[0]).Columns.removeByIndex(told[1], told[2])
    elif name == "rename":
        sheets.getByName(told[0]).Name = told[1]
    elif name == "move":
        sheets.moveByName(told[0], told[1])
    elif name == "add":
        sheets.insertNewByName(told[0], told[1])
    elif name == "delete sheet":
        sheets.removeByName(told[0])
    elif name == "drop names":
        names = document.NamedRanges
        for each in names.ElementNames:
            names.removeByName(each)
    else:
        raise SystemExit(f"no step {name}")


def main(profile: str, jobs: str) -> None:
    """Every job in one office."""
    office, desktop = start(profile)
    try:
        for job in json.loads(Path(jobs).read_text(encoding="utf-8")):
            source = Path(job["from"]).as_uri()
            document = desktop.loadComponentFromURL(source, "_blank", 0, (prop("Hidden", value=True),))
            for sheet in document.Sheets.ElementNames:
                document.Sheets.getByName(sheet).unprotect("")
            document.enableAutomaticCalculation(False)
            for each in job["steps"]:
                step(document, *each)
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
