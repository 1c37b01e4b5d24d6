"""The survey form: one workbook that asks who and where, what is to run, and what is on offer, in the words people use.

Filled in, it is a case by itself. Any other workbook with a table of loads is read the same way.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import SimpleNamespace
from typing import Final

from holdover.case.schema import Case, Load
from holdover.case.section import Section, ask, choices_of, example_of
from holdover.findings import Findings, Place
from holdover.model.study import Slots
from holdover.reading.case import Read, build_case
from holdover.reading.entries import Entry, Row
from holdover.reading.table.offered import read_offered
from holdover.reading.table.table import read_table
from holdover.reading.toml import CaseFile
from holdover.returned.answers import mark_critical, mark_of, settings_of, signs_of
from holdover.returned.found import corners_of
from holdover.returned.questions import AboutYou, offered
from holdover.workbook.column import Column, Table, asked
from holdover.workbook.grid import xl
from holdover.workbook.page import Sheet, Words
from holdover.workbook.sheets.lists import LISTS_SHEET
from holdover.workbook.typed import list_name
from holdover.xlsx import Book

NO_ROWS: Final = "C018"
NO_HEADERS: Final = "C002"
"""Codes of findings that say that there is no table, or nothing in it."""
OF_OURS: Final = frozenset({"C014", "C011"})
"""Codes of what there is to say about headings: those of the form are known to be where they are."""
LINES: Final = Slots(loads=60, candidates=0)
"""Rows to fill in."""
PASTED: Final = 160
"""Lines of data sheets that may be pasted [count]."""
PASTED_WIDTHS: Final = {"a": 60, "b": 40}
"""Widths of the columns of what is pasted that go on paper; the others stand on the screen alone."""
ROWS_ON_PAPER: Final = 32
"""Rows of the last sheet that go on paper: a page [count]."""
ABOUT, RUN, OFFER = "About you", "What you want to run", "What is on offer"
"""Sheets of the form."""
SHOWN: Final[Mapping[str, tuple[str, float, str]]] = {
    "name": (
        "What *",
        36,
        "Pick a typical load, or type a name of your own. It is the only thing that must be filled in.",
    ),
    "quantity": ("How many", 10, "Blank = 1."),
    "running_w": (
        "What its nameplate says",
        26,
        "As it stands there: 12 A, 1/2 hp, 220-240 V 1.5 kW. MAX, MCA and fuse sizes are limits, not draws. Blank = typical draws, and it is told.",
    ),
    "hours_per_day": (
        "When, or how long a day",
        24,
        "As you would say it: 17:00-22:00, evening, 2-3 h, 15 min, all day. Blank = what is usual is taken, and it is told.",
    ),
    "tier": (
        "How important",
        16,
        "critical: never switched off. essential: switched off last. convenience: first. Blank = essential, or critical if medical.",
    ),
}
"""Columns of the loads that are in sight: heading, width, what is said of them. The others are folded away."""


UNITS: Final = {"share": "%", "clock": ""}
"""How a heading names the unit of bare numbers below it, where that is not the unit's own word."""


class Pasted(Section):
    """A line of what was pasted: a data sheet's, or a table's."""

    a: str = ask("Line", usual="")
    b: str = ask("Value", usual="")
    c: str = ask("3", usual="")
    d: str = ask("4", usual="")
    e: str = ask("5", usual="")
    f: str = ask("6", usual="")
    g: str = ask("7", usual="")
    h: str = ask("8", usual="")
    i: str = ask("9", usual="")
    j: str = ask("10", usual="")


def form_bytes(version: str = "", *, purpose: str = "") -> bytes:
    """A blank form, as a file's bytes; `purpose`: what it is for, if that is known."""
    from holdover.workbook.write import workbook_bytes

    study = SimpleNamespace(
        case=Case(),
        slots=LINES,
        about_you=(AboutYou.model_validate({"purpose": purpose or None}),),
        loads=(Load(),) * LINES.loads,
        pasted=(Pasted(),) * PASTED,
        show_lists=0,
    )
    lists = replace(LISTS_SHEET, wanted="show_lists", printed="", blocks=(*LISTS_SHEET.blocks, *_lists()))
    return workbook_bytes((*FORM_SHEETS, lists), study, version=version)


def is_form(book: Book) -> bool:
    """Whether a workbook is a survey form, filled or not."""
    return "form_loads_name" in book.names


def read_form(data: bytes, file: str, book: Book, *, ours: bool = True) -> Read:
    """The case of a filled form, or of any workbook with a table of loads; what it doesn't ask is as usual.

    Candidates may be missing: a form of ours may have no rows of them, another workbook no headers either.
    """
    asks = "form_about_country" in book.names
    content, findings = CaseFile(name=file, use_typical=asks, fill_in=asks), Findings()
    answers = answers_in(book, file) if asks else {}
    if asks:
        content.mark, content.signs = mark_of(answers), signs_of(answers)
        content.rows.extend(settings_of(answers, Place(file=file, sheet=ABOUT), findings))
    told = Findings()
    loads = read_table("loads", data, file, told, use_typical=content.use_typical)
    findings.extend(finding for finding in told.found if not (ours and finding.code in OF_OURS))
    content.rows.extend(mark_critical(answers.get("never_stops"), loads, findings) if loads else ())
    content.rows.extend(_candidates(data, file, book, findings, ours=ours))
    return build_case(content, findings)


def _candidates(data: bytes, file: str, book: Book, findings: Findings, *, ours: bool) -> list[Row]:
    aside = Findings()
    area = book.names.get("form_offer_a")
    rows = read_offered(book, file, *area, aside) if area else read_table("candidates", data, file, aside)
    if ours:
        findings.extend(finding for finding in aside.found if finding.code not in {NO_ROWS, *OF_OURS})
    elif [finding.code for finding in aside.errors] != [NO_HEADERS]:
        findings.extend(aside.found)
    return rows


def answers_in(book: Book, file: str) -> dict[str, Entry]:
    """By question, what was typed, wherever its cell stands now."""
    sheets = {sheet.name: sheet for sheet in book.sheets}
    found = {}
    for name, info in AboutYou.model_fields.items():
        area = book.names.get(f"form_about_{name}")
        if area is None or area[0] not in sheets:
            continue
        sheet, row, col, _, _ = corners_of(*area)
        cell = sheets[sheet].rows.get(row + 1, {}).get(col + 1)
        if cell and cell.value is not None:
            place = Place(file=file, sheet=sheet, row=row + 1, column=str(info.title), cell=xl(row, col))
            kind = cell.kind if cell.kind in {"date", "error"} else ""
            found[name] = Entry(value=cell.value, place=place, kind=kind)
    return found


def _about() -> tuple[Table, Table]:
    """The questions with their answers, and beside them what may be answered."""
    offers = {"country": "list_countries_word", "purpose": list_name(choices_of(AboutYou.model_fields["purpose"]))}
    questions = tuple(
        replace(
            column,
            title=column.title + (" *" if column.name == "country" else ""),
            note="",
            free=True,
            offers=offers.get(column.name, ""),
        )
        for column in asked(AboutYou)
    )
    hints = tuple((f"such as {example_of(info)}", info.description or "") for info in AboutYou.model_fields.values())
    answers = Table(
        "form_about", "", "about_you", questions, kind="across", cells={"unit": 0}, widths={"title": 42, "record": 30}
    )
    beside = Table(
        "form_hints",
        "",
        "",
        (Column("example", "For example", role="words", width=24), Column("help", "", role="words", width=54)),
        constants=hints,
        beside=True,
        left=2,
        heads=False,
    )
    return answers, beside


def _loads() -> Table:
    """What is to run: a few columns in sight, in the order of the list, the others folded away behind them."""
    columns = {column.name: replace(column, free=True, offers=_offered(column)) for column in asked(Load)}
    shown = (
        replace(columns[name], title=title, unit="", width=width, note=note)
        for name, (title, width, note) in SHOWN.items()
    )
    folded = (
        replace(column, title=_with_unit(column), unit="", width=12, folded=True)
        for name, column in columns.items()
        if name not in SHOWN
    )
    return Table("form_loads", "", "loads", (*shown, *folded), units=False)


def _with_unit(column: Column) -> str:
    unit = UNITS.get(column.unit, column.unit)
    return f"{column.title} ({unit})" if unit else column.title


def _offered(column: Column) -> str:
    if column.name == "name":
        return "list_loads_word"
    choices = choices_of(column.field) if column.field else ()
    return list_name(choices) if choices else ""


def _lists() -> Iterator[Table]:
    """Lists that cells offer."""
    purposes = choices_of(AboutYou.model_fields["purpose"])
    lists = {f"list_{name}": words for name, words in offered().items()}
    for name, words in {**lists, list_name(purposes).removesuffix("_word"): purposes}.items():
        yield Table(name, name, "", (Column("word", "Words"),), constants=tuple((word,) for word in words))


_PASTED: Final = Table(
    "form_offer",
    "",
    "pasted",
    tuple(
        replace(column, width=PASTED_WIDTHS.get(column.name, 14), free=True, printed=column.name in PASTED_WIDTHS)
        for column in asked(Pasted)
    ),
    heads=False,
)

FORM_SHEETS: Final = (
    Sheet(
        ABOUT,
        "A few questions first. Only the country must be answered; where a line stays blank the usual is taken.",
        (
            *_about(),
            Words(
                (
                    f"Then turn to the sheet {RUN}, and to {OFFER} if you have been offered something.",
                    "Save this file, and type: holdover build THIS-FILE.xlsx",
                )
            ),
            Words(
                ("a device that keeps somebody alive or well is planned with its maker and the clinician.",),
                look="caution",
            ),
        ),
    ),
    Sheet(
        RUN,
        "A line for each thing. Pick it from the list or type its name; copy its nameplate if you can get at it.",
        (
            Words(
                (
                    "Only the column with * must be filled in. What stays blank is taken as typical, and told.",
                    "More columns (starting watts, metered energy, takes turns) are folded away: the sign above the columns opens them.",
                )
            ),
            Words(("read nameplates with the plug pulled; never open a device.",), look="caution"),
            _loads(),
        ),
        freeze="form_loads",
    ),
    Sheet(
        OFFER,
        "Paste each data sheet below, its lines one below the other, the name of the unit first; or paste a table.",
        (
            Words(
                (
                    "Needed: its name, what it stores (Wh) and what it gives for hours (W). What it gives while a motor starts (surge, W), price, weight, voltage, solar input, transfer time and add-on batteries help.",
                    "Lines that say nothing of these are left aside.",
                    "Nothing on offer yet? Leave it blank: the answer then says what to look for.",
                )
            ),
            _PASTED,
        ),
        rows=ROWS_ON_PAPER,
    ),
)
"""What is to be filled in."""

__all__ = ["FORM_SHEETS", "form_bytes", "is_form", "read_form"]
