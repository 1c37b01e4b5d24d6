"""Writes a laid-out workbook with XlsxWriter, whole, in memory. It and the package are all that know XlsxWriter."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import astuple
from io import BytesIO
from itertools import groupby
from textwrap import wrap
from types import NoneType
from typing import Any, Final

from holdover.case.digest import digest
from holdover.case.picture import FINGERPRINT, Picture
from holdover.case.schema import SCHEMA
from holdover.workbook import style
from holdover.workbook.cells import CellError, Cells, element
from holdover.workbook.charts import drawn
from holdover.workbook.column import Column, Part, Table, Value, values_of
from holdover.workbook.grid import Cell, Grid, Run, xl
from holdover.workbook.heights import heights
from holdover.workbook.package import SealedBook, StraightSheet
from holdover.workbook.page import (
    ACROSS_LEFT,
    Chart,
    Label,
    Page,
    Sheet,
    Stair,
    height,
    lay_out,
)
from holdover.workbook.paper import lines, room_of
from holdover.workbook.path import follow
from holdover.workbook.printing import OnPaper
from holdover.workbook.rules import looks_in, steps, typing, typing_in

TEXT_LIMIT: Final = 32_000
OPTIONS: Final = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
}
USUAL: Final = {
    "font_name": style.BASE["font_name"],
    "font_size": style.BASE["font_size"],
    "font_scheme": "none",  # else a program may take the font of the file's theme, which is another
}
"""Widths are reckoned in digits of the default font: one that every system has, or has in its measures."""
MERGED: Final = ("plain", "caution", "small", "head", "unit", "note", "elsewhere")
"""Kinds of labels that run over several cells as one."""
MERGED_COMPOSED: Final = (*MERGED, "group", "label", "label unit", "asked", "stair")
"""The same on a composed page."""
NAME: Final = re.compile(r"[A-Za-z]+_[A-Za-z][A-Za-z0-9_]*")
"""Names that no program takes for an address."""
BORDERS: Final = ("border", "top", "bottom", "left", "right")
TRIGGERS: Final = tuple("=+-@＝＋－＠")


class WriteError(CellError):
    """XlsxWriter refused a cell, a name or a rule."""


def marks_of(study: Any, version: str) -> dict[str, str]:
    """Properties by which a workbook of a case is known when it comes back."""
    return {
        "holdover_schema": SCHEMA,
        "holdover_version": version,
        "holdover_slots": " ".join(map(str, astuple(study.slots)[:3])),
        "holdover_units": "US" if study.slots.us else "metric",
        "holdover_digest": digest(study.case),
    }


def workbook_bytes(
    sheets: tuple[Sheet, ...],
    study: Any,
    *,
    version: str,
    marks: Mapping[str, str] | None = None,
    poison: float | None = None,
) -> bytes:
    """The workbook as a file's bytes.

    Args:
        sheets: Table of contents.
        study: The reference model's values.
        version: Program version, told at the foot of the pages.
        marks: Document properties; None = those of a case.
        poison: Written in place of every cached result; for tests.

    Raises:
        WriteError: XlsxWriter refused something.
        KeyError: a formula names what no table declares.
    """
    grid, pages = lay_out(sheets, study)
    book = SealedBook({**OPTIONS, "default_format_properties": {**USUAL}})  # XlsxWriter adds to what it is given
    _Writer(book, grid, study, version, poison).write(pages, marks or marks_of(study, version))
    return book.packed()


def _done(code: int | None, what: object) -> None:
    if code:
        raise WriteError(f"{what}: refused with code {code}")


class _Writer:
    def __init__(self, book: Any, grid: Grid, study: Any, version: str, poison: float | None) -> None:
        self.book, self.grid, self.study, self.version, self.poison = book, grid, study, version, poison
        self.formats: dict[tuple[tuple[str, Any], ...], Any] = {}
        self.looks: dict[tuple[tuple[str, Any], ...], int] = {}
        self.label_looks: dict[tuple[str, str, bool, bool], int] = {}
        """Of standing texts, by kind, role and unit of what they stand beside, and kind of page."""
        self.shapes: dict[tuple[object, ...], int] = {}
        """Of cells, by all that decides on their looks."""
        self.properties: dict[int, Mapping[str, Any]] = {}
        """Of looks, by their numbers."""
        self.edged: set[int] = set()
        """Looks that each cell of a merged one must have: for a border, or because people type there."""
        self.case = study.case
        self.currency = study.case.about.currency[:12]
        """What stands beside prices."""
        self.heights: dict[int, float] = {}
        """Rows of the sheet at hand that are not of the usual height."""
        self.widths: list[float] = []
        """Columns of the sheet at hand."""
        self.sheets: dict[str, Any] = {}

    def write(self, pages: Sequence[Page], marks: Mapping[str, str]) -> None:
        about = self.case.about
        self.book.set_properties(
            {"title": about.title[:250], "author": about.prepared_by[:250], "comments": "holdover"}
        )
        for name, value in marks.items():
            _done(self.book.set_custom_property(name, value, "text"), name)
        if self.case.logo:
            _done(self.book.set_custom_property(FINGERPRINT, self.case.logo.fingerprint, "text"), "logo")
        self.sheets = {page.sheet.name: self.book.add_worksheet(page.sheet.name, StraightSheet) for page in pages}
        for page in pages:
            self._page(page, self.sheets[page.sheet.name])
        self._names()

    def format(self, properties: Mapping[str, Any]) -> Any:
        key = tuple(sorted(properties.items()))
        if key not in self.formats:
            self.formats[key] = self.book.add_format(dict(key))
        return self.formats[key]

    def look(self, properties: Mapping[str, Any]) -> int:
        """A look's number in the workbook's list of formats."""
        key = tuple(properties.items())
        if key not in self.looks:
            look = self.looks[key] = int(self.format(properties)._get_xf_index())
            self.properties[look] = properties
            if not properties.get("locked", True) or any(map(properties.get, BORDERS)):
                self.edged.add(look)
        return self.looks[key]

    def text(self, cells: Cells, row: int, col: int, text: str, look: int) -> None:
        """A text, marked as such where it looks like a formula."""
        if not text:
            cells.blank(row, col, look)
            return
        if text.startswith(TRIGGERS):
            look = self.look({**self.properties[look], "quote_prefix": True})
        cells.text(row, col, look, text[:TEXT_LIMIT])

    def tall(self, ws: Any, row: int, height: float) -> None:
        self.heights[row] = height
        _done(ws.set_row(row, height), row)

    def _page(self, page: Page, ws: Any) -> None:
        self.heights, self.widths = {}, [*page.widths]  # some are folded here
        ws.set_default_row(style.ROW)
        col = 0
        for width, alike in groupby(self.widths):
            first, col = col, col + len(list(alike))
            _done(ws.set_column(first, col - 1, width), page.sheet.name)
        self.tall(ws, 0, style.CORNER if page.sheet.narrow else 24)
        if page.sheet.narrow and not page.sheet.title:
            self.tall(ws, 1, style.NO_HINT)
        for label in page.labels():
            if label.text or not page.sheet.working:
                self._label(ws, label, page.sheet)
            if label.kind in ("head", "label") and label.column:
                self._note(ws, label, label.column, working=page.sheet.working)
        for block, row in page.blocks:
            if isinstance(block, Chart):
                self._chart(ws, page, block, row)
            elif isinstance(block, Table):
                self._table(ws, page, block)
            elif isinstance(block, Stair):
                self._stair(ws, page, block, row)
        if page.sheet.logo and self.case.logo:
            self._logo(ws, page, self.grid.tables[page.sheet.logo], self.case.logo)
        if any(self._folded(page)):
            self._fold(ws, page)
        self._paper(page, ws)

    def _fold(self, ws: Any, page: Page) -> None:
        """Rows and columns that a reader opens with the sign beside them, which stands below or right of them."""
        rows, cols = self._folded(page)
        for row in sorted(rows | {row + 1 for row in rows}):
            level = {"level": 1, "hidden": True} if row in rows else {"collapsed": True}
            _done(ws.set_row(row, self.heights.get(row, style.ROW), None, level), row)
        for col in sorted(cols | {col + 1 for col in cols}):
            level = {"level": 1, "hidden": True} if col in cols else {"collapsed": True}
            width = self.widths[col] if col < len(self.widths) else None
            _done(ws.set_column(col, col, width, None, level), col)
            if col in cols:
                self.widths[col] = 0

    def _folded(self, page: Page) -> tuple[frozenset[int], frozenset[int]]:
        """Rows and columns that are folded away: not those of a check that now asks for a look."""
        rows, cols = page.folded
        open_rows = {
            cell.row
            for table in page.tables
            for column in table.columns
            if column.folded and column.role in style.GRID_WORDS
            for cell in self.grid.cells_in(table, column, self.study)
            if cell.value in style.OPEN_WORDS
        }
        return rows - open_rows, cols

    def _guard(self, ws: Any, page: Page) -> None:
        """A protected sheet can't be unfolded: where something is folded a rule keeps typing off the formulas."""
        rule = {
            "validate": "custom",
            "value": "=1>2",
            "ignore_blank": False,
            "error_title": "Worked out",
            "error_message": "This cell is worked out. Type in the yellow ones.",
        }
        runs: dict[
            tuple[int, int], list[int]
        ] = {}  # first and last column of what stands side by side, and in which rows
        for row, cols in ws.cells.worked_out().items():
            for left in (col for col in cols if col - 1 not in cols):
                right = next(col for col in range(left, left + len(cols)) if col + 1 not in cols)
                runs.setdefault((left, right), []).append(row)
        areas = [
            [top, left, next(row for row in range(top, top + len(rows)) if row + 1 not in rows), right]
            for (left, right), rows in runs.items()
            for top in (row for row in rows if row - 1 not in rows)
        ]
        if areas:
            _done(ws.data_validation(*areas[0], {**rule, "other_cells": areas[1:]}), page.sheet.name)

    def _label_look(self, label: Label, *, composed: bool) -> int:
        """The look of a standing text; a book has thousands of few kinds."""
        role, measured = (label.column.role, label.column.unit != "") if label.column else ("", False)
        known = label.kind, role, measured, composed
        if known not in self.label_looks:
            self.label_looks[known] = self.look(style.label_style(*known[:2], measured=measured, composed=composed))
        return self.label_looks[known]

    def _label(self, ws: Any, label: Label, sheet: Sheet) -> None:
        """A standing text; it takes the room to its right, merged with it or as a line of the same look.

        On a working sheet, which is hidden as it is delivered, nothing is drawn where no text stands.
        """
        composed = sheet.narrow > 0
        look = self._label_look(label, composed=composed)
        text = label.written(self.currency, composed=composed)
        if label.kind not in (MERGED_COMPOSED if composed else MERGED):
            for col in range(label.col + 1, label.col + 1 if sheet.working else label.right + 1):
                ws.cells.blank(label.row, col, look)
        elif label.right > label.col:
            ws.cells.span(label.row, label.col, label.right, look, edged=look in self.edged)
        self.text(ws.cells, label.row, label.col, text, look)
        cells = label.right - label.col + 1
        if label.kind in ("plain", "caution", "small"):
            room = cells * style.NARROW_ROOM if composed else room_of(self.widths, label.col, label.right)
            self.tall(ws, label.row, style.ROW * lines(text, room))
        elif composed and label.kind == "head":
            count = len(wrap(text, int(cells * style.HEAD_ROOM), break_long_words=False))
            self.tall(ws, label.row, max(self.heights.get(label.row, 0), style.HEAD_LINE * max(1, count) + 3))
        elif composed and label.kind == "title":
            self.tall(ws, label.row, style.TITLE_TALL)

    def _note(self, ws: Any, label: Label, column: Column, *, working: bool) -> None:
        """What is to be known of a column, at its heading, if it is not told where people type.

        As a note, which takes two parts of the file for each sheet; on a sheet that is hidden as it is delivered, it is
        told where the heading is selected.
        """
        if column.note in typing(column).get("input_message", ""):  # a blank note is in any
            return
        if working:
            told = {"validate": "any", "input_message": column.note[:250]}  # the heading is its title
            _done(ws.data_validation(label.row, label.col, label.row, label.col, told), column.name)
        else:
            look = {"x_scale": 1.8, "font_size": 9}
            _done(ws.write_comment(label.row, label.col, column.note, look), column.name)

    def _paper(self, page: Page, ws: Any) -> None:
        """What is printed and how, what stays in sight, what can be edited."""
        folded = self._folded(page)
        on_paper = OnPaper(
            grid=self.grid,
            study=self.study,
            page=page,
            heights=self.heights,
            widths=self.widths,
            folded_rows=folded[0],
            version=self.version,
        )
        for code, what in on_paper.set_up(ws):
            _done(code, what)
        if page.sheet.working or (page.sheet.wanted and not follow(self.study, page.sheet.wanted)):
            ws.hide()
        if any(folded):
            self._guard(ws, page)
            return
        ws.protect("", {"format_columns": True, "format_rows": True, "select_locked_cells": True})

    def _table(self, ws: Any, page: Page, table: Table) -> None:
        for row, tall in [*heights(self.grid, self.study, page, table, self.heights)]:
            self.tall(ws, row, tall)
        if table.kind == "form":
            for cell in self.grid.cells_of(table, self.study):
                self._cell(self.sheets[cell.sheet].cells, cell)
        else:
            for column in table.columns:
                self._run(ws.cells, page, table, column)
        self._rules(ws, table)
        for column in table.columns:
            if column.role == "hidden":
                _done(ws.set_row(self.grid.at(table, column.name, 0)[0], None, None, {"hidden": True}), column.name)

    def shape(self, column: Column, part: Part, *, typed: bool) -> int:
        """The look of a column's cells; a book has thousands of columns of few kinds."""
        known = column.unit, column.role, column.field and id(column.field), column.free, part, typed
        if known not in self.shapes:
            properties = style.cell_style(column, part, typed=typed)
            if column.role == "figure":
                properties["num_format"] = style.figure_format(column.unit, self.currency)
            self.shapes[known] = self.look(properties)
        return self.shapes[known]

    def _run(self, cells: Cells, page: Page, table: Table, column: Column) -> None:
        """The cells of a column."""
        run = self.grid.run(table, column, self.study)
        look = self.shape(column, "", typed=column.section is not None and not column.formula)
        more = self.grid.reach(table, column) - 1
        if column.role in style.BANNERS and table.kind == "across" and not page.sheet.narrow:
            more = style.BANNER_COLUMNS
        if more > 0:
            edged = look in self.edged
            for i in range(run.length):
                row, col = run.at(i)
                cells.span(row, col, col + more, look, edged=edged)
        if column.formula:
            self._formulas(cells, run, look)
        elif column.first:
            raise WriteError(f"{column}: only its first record would be worked out")
        else:
            for i in range(run.length):
                self._standing(cells, run.at(i), run.value(i), look)

    def _formulas(self, cells: Cells, run: Run, look: int) -> None:
        """Formulas: like ones are written once, the first apart where it differs, those in brackets for themselves."""
        places = [*map(run.at, range(run.length))]
        groups = self.grid.alike(run.table, run.column)
        key = run.table.name, "tags", run.column.name
        tags = self.grid.once(key, lambda: [element(run.formula(alike[0])[1:]) for alike in groups])
        if len(groups) < run.length:
            shared = [""] * run.length
            for tag, alike in zip(tags, groups, strict=True):
                shared[alike[0]] = tag
                if len(alike) > 1:
                    shared[alike[0]], other = cells.share(tag, places[alike[0]], places[-1])
                    shared[alike[1] : alike.stop : alike.step] = [other] * (len(alike) - 1)
            tags = shared
        cells.formulas(places, look, tags, self._results(run.column, map(run.value, range(run.length))))

    def _results(self, column: Column, values: Iterable[Value]) -> list[float | str]:
        """What is stored beside formulas."""
        results: list[Any] = [*values]
        for kind in {*map(type, results)} & {bool, NoneType}:
            raise WriteError(f"{column.name}: the model gives a {kind.__name__}")
        return results if self.poison is None else [self.poison] * len(results)

    def _cell(self, cells: Cells, cell: Cell) -> None:
        """A cell of a form."""
        look = self.shape(cell.column, cell.part, typed=cell.typed)
        more = self.grid.reach(cell.table, cell.column, cell.part) - 1
        if more > 0:
            cells.span(cell.row, cell.col, cell.col + more, look, edged=look in self.edged)
        if cell.computed:
            (result,) = self._results(cell.column, [cell.value])
            cells.formula(cell.row, cell.col, look, cell.formula[1:], result)
        else:
            self._standing(cells, (cell.row, cell.col), cell.value, look)

    def _standing(self, cells: Cells, at: tuple[int, int], value: Value, look: int) -> None:
        """What is typed, or stands there as it is."""
        if value is None or isinstance(value, str):
            self.text(cells, *at, value or "", look)
        else:
            cells.number(*at, look, value)

    def _rules(self, ws: Any, table: Table) -> None:
        """What may be typed, and what a cell looks like by what stands in it."""
        looks = self.grid.once((table.name, "looks"), lambda: [*looks_in(self.grid, table)])
        for column, (area, rule, look) in looks:
            _done(ws.conditional_format(*area, {**rule, "format": self.format(look)}), column.name)
        typed = self.grid.once((table.name, "typed"), lambda: [*typing_in(self.grid, table)])
        for sheet, column, area, rule in typed:
            _done(self.sheets[sheet].data_validation(*area, rule), column.name)

    def _stair(self, ws: Any, page: Page, block: Stair, row: int) -> None:
        for step in range(block.rows):
            self.tall(ws, row + step, block.tall)
        for area, rule, look in steps(self.grid, page, block, row):
            _done(ws.conditional_format(*area, {**rule, "format": self.format(look)}), block.table)

    def _chart(self, ws: Any, page: Page, chart: Chart, row: int) -> None:
        left = ACROSS_LEFT + 2 if chart.beside else page.left + chart.left
        made = drawn(self.book, chart, lambda table, column: [*self.grid.names[f"{table}_{column}"]], self._drawn)
        if chart.cells:
            width = chart.cells * style.NARROW_PIXELS
        else:
            width = min(1100, max(480, int(sum(self.widths[: page.on_paper][left:12]) * 7)))
        made.set_size({"width": width, "height": int(chart.rows * style.ROW / 0.75)})
        _done(ws.insert_chart(row, left, made, {"description": chart.title, "object_position": 1}), chart.title)

    def _drawn(self, name: str, column: str) -> list[Value]:
        """What stands in the cells that a chart draws."""
        table = self.grid.tables[name]
        value = values_of(table, table.columns[table.index[column]], self.study)
        return [value(i) for i in range(self.grid.places[name].count)]

    def _logo(self, ws: Any, page: Page, beside: Table, logo: Picture) -> None:
        """The picture in the room right of a table, as large as it goes into that."""
        row, left = self.grid.places[beside.name].top, page.last_column(beside) + 1
        wide = (page.left + page.sheet.narrow - left) * style.NARROW_PIXELS
        rows = range(row, row + height(beside, self.grid.places[beside.name].count) + beside.gap)
        high = sum(self.heights.get(each, style.ROW) for each in rows) / 0.75
        scale = min(wide / logo.width, high / logo.height)
        look = {
            "image_data": BytesIO(logo.data),
            "x_scale": scale,
            "y_scale": scale,
            "x_offset": wide - scale * logo.width,
            "object_position": 2,  # it moves with its cells, and keeps its shape
            "description": self.case.business.name or self.case.about.prepared_by or "Logo",
        }
        _done(ws.insert_image(row, left, f"logo.{logo.kind}", look), "logo")

    def _names(self) -> None:
        self.book.define(self.grid.once(("names",), lambda: [*_named(self.grid)]))


def _named(grid: Grid) -> Iterator[tuple[str, str]]:
    """The names that a workbook defines, and what each stands for."""
    for name, (sheet, top, left, bottom, right) in grid.defined.items():
        if not NAME.fullmatch(name):
            raise WriteError(f"{name}: not a safe defined name")
        corners = dict.fromkeys((xl(top, left, fixed=True), xl(bottom, right, fixed=True)))
        yield name, f"'{sheet}'!{':'.join(corners)}"
