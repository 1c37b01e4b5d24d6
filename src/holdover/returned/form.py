"""A survey form to fill in: the inventory and the candidates as plain tables, which any reader of tables takes back."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Final

from holdover.case.schema import Candidate, Case, Load
from holdover.case.section import Section
from holdover.findings import Findings
from holdover.model.study import Slots
from holdover.reading.case import Read, build_case
from holdover.reading.table.table import read_table
from holdover.reading.toml import CaseFile
from holdover.workbook.column import Table, asked
from holdover.workbook.measures import shown_sheet
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.lists import LISTS_SHEET
from holdover.xlsx import Book

NO_ROWS: Final = "C018"
NO_HEADERS: Final = "C002"
"""Codes of findings that say that there is no table, or nothing in it."""
LINES: Final = Slots(loads=60, candidates=12)
"""Rows to fill in."""
TITLES: Final[Mapping[str, str]] = MappingProxyType({"continuous_va": "Apparent output", "ac_volts": "AC voltage"})
"""Headings of the form where two fields share a title and only their unit tells them apart."""
SHEETS: Final[Mapping[str, str]] = MappingProxyType({"loads": "Loads", "candidates": "Candidates"})
"""Sheets of the form by part of the case."""


def form_bytes(version: str = "", *, us: bool = False) -> bytes:
    """A blank form, as a file's bytes; `us`: asked in US units."""
    from holdover.workbook.write import workbook_bytes

    sheets = map(shown_sheet, FORM_SHEETS) if us else FORM_SHEETS

    study = SimpleNamespace(
        case=Case(),
        slots=LINES,
        loads=(Load(),) * LINES.loads,
        candidates=(Candidate(),) * LINES.candidates,
        show_lists=0,
    )
    return workbook_bytes((*sheets, replace(LISTS_SHEET, wanted="show_lists")), study, version=version)


def is_form(book: Book) -> bool:
    """Whether a workbook is a survey form, filled or not."""
    return "form_loads_name" in book.names


def read_form(data: bytes, file: str, *, ours: bool = True) -> Read:
    """The case of a filled form, or of any workbook with a table of loads; what it doesn't ask is as usual.

    Candidates may be missing: a form of ours may have no rows of them, another workbook no headers either.
    """
    content, findings, aside = CaseFile(name=file), Findings(), Findings()
    content.rows.extend(read_table("loads", data, file, findings))
    content.rows.extend(read_table("candidates", data, file, aside))
    if ours:
        findings.extend(finding for finding in aside.found if finding.code != NO_ROWS)
    elif [finding.code for finding in aside.errors] != [NO_HEADERS]:
        findings.extend(aside.found)
    return build_case(content, findings)


def _table(part: str, title: str, section: type[Section], widths: Mapping[str, float]) -> Table:
    """A table of inputs, 12 characters wide each if nothing else is said; shares are shown as percentages, prices bear no unit."""
    columns = tuple(
        replace(
            column,
            title=TITLES.get(column.name, column.title),
            unit="" if column.unit == "money" else column.unit,
            width=widths.get(column.name, 12),
        )
        for column in asked(section)
    )
    return Table(f"form_{part}", title, part, columns)


_LOADS: Final = _table(
    "loads",
    "Load inventory",
    Load,
    dict.fromkeys(("quantity", "power_factor", "duty", "hours_per_day", "starts_at", "gap_ms"), 9)
    | dict.fromkeys(("running_w", "starting_w"), 10)
    | dict.fromkeys(("feed", "turns", "measured_wh_per_day", "basis"), 11)
    | {"name": 26, "place": 14, "note": 24},
)
_CANDIDATES: Final = _table("candidates", "Units on offer", Candidate, {"name": 26, "note": 0})

FORM_SHEETS: Final = (
    Sheet(
        SHEETS["loads"],
        "Walk through the rooms and write a line for each thing that must run. Point at a heading to see what it asks.",
        (
            Words(
                (
                    "Needed are the name, the watts while it runs and the hours a day; or the name and metered energy.",
                    "Everything else may stay blank: the usual is taken.",
                    "Watts, hours and clock hours are bare numbers: 1500, 4.5, 18.5 for half past six. Duty is in percent.",
                    "Lines may be left blank. Rows and columns are not inserted; headings are not changed.",
                )
            ),
            Words(
                ("loads that keep somebody alive or well are planned with the device's maker and the clinician.",),
                look="caution",
            ),
            _LOADS,
        ),
        freeze="form_loads",
    ),
    Sheet(
        SHEETS["candidates"],
        "A line for each unit on offer, from its data sheet. What it leaves out stays blank; shares are in percent.",
        (_CANDIDATES,),
        freeze="form_candidates",
    ),
)
"""What is to be filled in."""

__all__ = ["FORM_SHEETS", "form_bytes", "is_form", "read_form"]
