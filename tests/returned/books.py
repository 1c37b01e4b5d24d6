"""Cases, workbooks and edits for the tests of returned workbooks."""

import random
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest import mock

import openpyxl
from openpyxl.worksheet.merge import MergedCellRange

from engines.cases import drawn, drawn_value
from engines.cases import within as bounded
from holdover import version
from holdover.case.papers import Item, Term
from holdover.case.schema import (
    FORMS,
    LAYOUT_NEEDS,
    MAX_DAYS,
    RECORDS,
    Candidate,
    Case,
    Day,
    Delivery,
    Load,
    Month,
    Point,
)
from holdover.case.section import Section, is_blank
from holdover.model.study import Slots, Study, study
from holdover.returned.read import spots_of
from holdover.returned.spelling import moved
from holdover.workbook.book import build, sheets_for
from holdover.workbook.column import Column, Table, Value
from holdover.workbook.page import Sheet, lay_out
from holdover.workbook.sheets.lists import LISTS_SHEET
from holdover.workbook.typed import stored
from holdover.workbook.write import workbook_bytes
from holdover.xlsx import Book, CellData, SheetData

KEPT = {"latitude_deg", *LAYOUT_NEEDS["array"], *LAYOUT_NEEDS["sun"]}
"""Settings without which planned modules are an error."""
WORDS = (
    *("Kettle", "=SUM(A1)", "+1 lamp", "@home", "-cold-", "'=quoted", 'say "hi"'),
    *("a&b <c>", "Ünïcode ☼", "semi; colon", "Total", "12"),
)
"""Names that somebody, or some program, may take for something else."""


def job(seed: int) -> Case:
    """A case as a folder may hold it: complete rows, and every kind of setting here and there."""
    rng = random.Random(seed)
    forms = {part: settings(part, rng) for part in FORMS if part not in {"about", "sun", "array"}}
    return Case(
        about=settings("about", rng, currency="$"),
        loads=tuple(a_load(rng, i) for i in range(rng.randint(0, 6))),
        candidates=tuple(a_candidate(rng, i) for i in range(rng.randint(0, 4))),
        points=tuple(
            Point(temperature_c=float(t), capacity_share=round(rng.uniform(0.3, 1.1), 3))
            for t in sorted(rng.sample(range(-40, 60), rng.randint(2, 6)))
        ),
        sun=settings("sun", rng, latitude_deg=round(rng.uniform(-66, 66), 4), coldest_c=-20.0),
        array=settings("array", rng, **{name: drawn_setting("array", name, rng) for name in LAYOUT_NEEDS["array"]}),
        months=tuple(drawn(Month, rng, fill=0.8) for _ in range(12)),
        days=(*(drawn(Day, rng, fill=0.7) for _ in range(rng.randint(0, 5))), Day(sky=0.5)),
        deliveries=(*(drawn(Delivery, rng, fill=0.8) for _ in range(rng.randint(0, 3))), Delivery(name="Saw")),
        items=tuple(drawn(Item, rng, fill=0.7) for _ in range(rng.randint(0, 3))),
        terms=tuple(drawn(Term, rng, fill=0.6) for _ in range(rng.randint(0, 3))),
        **forms,
    )


def shortened(case: Case) -> Case:
    """The case with an outage of a day: its workbook has every formula, and few hours of each."""
    return case.model_copy(update={"outage": case.outage.model_copy(update={"days": 1})})


def drawn_setting(part: str, name: str, rng: random.Random) -> Any:
    """A value of a setting, within its bounds."""
    return _number(FORMS[part], name, rng)


def settings(part: str, rng: random.Random, **fixed: Any) -> Any:
    """A form of which half is set; nobody can set a text to nothing."""
    made = drawn(FORMS[part], rng, fill=0.5, **fixed)
    return FORMS[part](**{n: v for n in made.model_fields_set if (v := getattr(made, n)) != ""})


def a_load(rng: random.Random, number: int) -> Any:
    """A complete line of the inventory."""
    some = {name: _number(Load, name, rng) for name in ("running_w", "hours_per_day")}
    return drawn(Load, rng, fill=0.4, name=f"{rng.choice(WORDS)} {number}".strip(), **some)


def a_candidate(rng: random.Random, number: int) -> Any:
    """A complete data sheet."""
    some = {name: _number(Candidate, name, rng) for name in ("storage_wh", "continuous_w", "surge_w")}
    volts = {"ac_volts": rng.choice((None, 120.0, 230.0)), "ac_volts_2": rng.choice((None, 240.0))}
    return drawn(Candidate, rng, fill=0.5, name=f"{rng.choice(WORDS)} {number}", **some, **volts)


def _number(section: type[Section], name: str, rng: random.Random) -> Any:
    info = section.model_fields[name]
    return bounded(info, drawn_value(info, name, rng))


def edited(case: Case, seed: int) -> Case:
    """The case after a client's hand: some cells typed over, some cleared, a load added."""
    rng = random.Random(-seed)
    changed: dict[str, Any] = {}
    for part, section in FORMS.items():
        given = {name: getattr(getattr(case, part), name) for name in getattr(case, part).model_fields_set}
        kept = {name: value for name, value in given.items() if rng.random() < 0.9 or name in KEPT}
        new = drawn(section, rng, fill=0.1)
        changed[part] = section(
            **{**kept, **{n: getattr(new, n) for n in new.model_fields_set if getattr(new, n) != ""}}
        )
    rows = [load if rng.random() < 0.7 else a_load(rng, 90 + i) for i, load in enumerate(case.loads)]
    changed["loads"] = (*rows, a_load(rng, 99))
    changed["days"] = (Day(sky=0.25), *case.days[1:])
    return case.model_copy(update=changed)


def trimmed(case: Case) -> Case:
    """The case without blank rows at the end of its lists, as a workbook gives it back."""

    def rows(part: str) -> tuple[Section, ...]:
        kept = list(getattr(case, part))
        while kept and part != "months" and is_blank(kept[-1]):
            kept.pop()
        return tuple(kept)

    return case.model_copy(update={part: rows(part) for part in RECORDS})


def set_in(case: Case) -> dict[str, Any]:
    """What is set in each form, and the rows: more than equality of cases tells."""
    forms = {
        p: {n: v for n in getattr(case, p).model_fields_set if (v := getattr(getattr(case, p), n)) != ""} for p in FORMS
    }
    return {**forms, **{part: getattr(case, part) for part in RECORDS}}


def roomy(case: Case) -> Slots:
    """Slots with a spare line or two, so that workbooks stay small."""
    days = min(MAX_DAYS, case.outage.days + 1)
    return Slots(
        loads=len(case.loads) + 2, candidates=max(1, len(case.candidates)), days=days, us=case.about.units == "US"
    )


def whole(case: Case, slots: Slots | None = None) -> bytes:
    """The workbook as it is delivered."""
    return build(study(case, slots or roomy(case)), version=version())


def thin_sheets(slots: Slots) -> tuple[Sheet, ...]:
    """Every sheet with inputs, and on it nothing but inputs: for trips through slow programs."""
    found = []
    for sheet in sheets_for(slots):
        tables = [
            replace(
                block, columns=tuple(map(_bare, (c for c in block.columns if c.field is not None or c.slot))), spans=()
            )
            for block in sheet.blocks
            if isinstance(block, Table) and any(c.section or c.slot for c in block.columns)
        ]
        if tables:
            found.append(replace(sheet, blocks=tuple(tables), freeze="", listed="", screen=""))
    return (*found, LISTS_SHEET)


def _bare(column: Column) -> Column:
    """A column without its note, and without a formula, which may name what is not there."""
    return replace(column, note="", formula="", first="", otherwise=None)


def thin(case: Case, slots: Slots) -> bytes:
    """A workbook of the inputs alone. Its tables stand elsewhere than in the delivered one: names lead to them."""
    return workbook_bytes(thin_sheets(slots), study(case, slots), version="test")


FIELDS = {
    (part, name): info for part, section in (FORMS | RECORDS).items() for name, info in section.model_fields.items()
}


def typed_over(path: Path, case: Case, slots: Slots) -> None:
    """Type a case's inputs over those of a thin workbook, cell by cell, and save it with openpyxl."""
    plan: Study = study(case, slots)
    grid, _ = lay_out(thin_sheets(slots), plan)
    with mock.patch.object(MergedCellRange, "format"):  # edges of merged cells, over which most of the time is spent
        book = openpyxl.load_workbook(path)
    for spot in spots_of(grid, grid.tables.values()):
        rows = getattr(case, spot.part)
        value: Value = None
        if spot.part in FORMS:
            value = getattr(rows, spot.field) if spot.field in rows.model_fields_set else None
        elif spot.record < len(rows):
            value = getattr(rows[spot.record], spot.field)
        cell = book[spot.home].cell(spot.row + 1, spot.col + 1)
        cell.value = None if value == "" else stored(FIELDS[spot.part, spot.field], value, spot.column.shown)
        if isinstance(value, str) and value:
            cell.data_type = "s"  # openpyxl takes =SUM(A1) for a formula
    book.save(path)


def with_cell(book: Book, sheet: str, row: int, col: int, change: Callable[[CellData | None], CellData | None]) -> Book:
    """The book with one cell, from 0, changed."""
    return with_sheet(book, sheet, lambda data: _with_cell(data, row + 1, col + 1, change))


def _with_cell(data: SheetData, row: int, col: int, change: Callable[[CellData | None], CellData | None]) -> SheetData:
    cells = dict(data.rows.get(row, {}))
    new = change(cells.get(col))
    if new is None:
        cells.pop(col, None)
    else:
        cells[col] = new
    return replace(data, rows={**data.rows, row: cells})


def with_sheet(book: Book, name: str, change: Callable[[SheetData], SheetData]) -> Book:
    """The book with one sheet changed."""
    return replace(book, sheets=tuple(change(sheet) if sheet.name == name else sheet for sheet in book.sheets))


def without_names(book: Book, *names: str) -> Book:
    """The book without some of its defined names; without any of them where none is given."""
    areas: Mapping[str, tuple[str, str]] = {k: v for k, v in book.names.items() if names and k not in names}
    return replace(book, names=dict(areas))


def inserted(book: Book, sheet: str, row: int, count: int = 1) -> Book:
    """The book with rows put in before a row from 0, names and formulas following as programs let them."""

    def move(on: str, at: int, col: int, home: str) -> tuple[int, int]:
        return (at + count if (on or home).upper() == sheet.upper() and at >= row else at), col

    def shifted(data: SheetData) -> SheetData:
        rows = {
            (r + count if data.name == sheet and r > row else r): {
                c: CellData(cell.value, followed(cell.formula, data.name), cell.kind) if cell.formula else cell
                for c, cell in line.items()
            }
            for r, line in data.rows.items()
        }
        return replace(data, rows=rows)

    def followed(formula: str, home: str) -> str:
        if home != sheet and sheet not in formula:
            return formula
        return moved(formula, lambda on, at, col: move(on, at, col, home))

    names = {name: (on, followed(area, on)) for name, (on, area) in book.names.items()}
    return replace(book, sheets=tuple(map(shifted, book.sheets)), names=names)
