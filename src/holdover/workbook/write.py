"""Writes a laid-out workbook with XlsxWriter, whole, in memory. The only module that knows XlsxWriter."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import astuple
from io import BytesIO
from textwrap import wrap
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from holdover.case.digest import digest
from holdover.case.picture import FINGERPRINT, Picture
from holdover.case.schema import SCHEMA
from holdover.workbook import style
from holdover.workbook.charts import drawn
from holdover.workbook.grid import (
    Cell,
    Grid,
    Part,
    Table,
    xl,
)
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
from holdover.workbook.paper import (
    lines,
)
from holdover.workbook.path import follow
from holdover.workbook.printing import OnPaper
from holdover.workbook.rules import Rule, hidden, looks, steps, typing

TEXT_LIMIT: Final = 32_000
OPTIONS: Final = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    # Widths are reckoned in digits of the default font: one that every system has, or has in its measures.
    "default_format_properties": {"font_name": style.BASE["font_name"], "font_size": style.BASE["font_size"]},
}
MERGED: Final = ("plain", "caution", "note", "elsewhere")
"""Kinds of labels that run over several cells as one."""
MERGED_COMPOSED: Final = (*MERGED, "small", "head", "unit", "group", "label", "label unit", "asked", "stair")
"""The same on a composed page."""
NAME: Final = re.compile(r"[A-Za-z]+_[A-Za-z][A-Za-z0-9_]*")
"""Names that no program takes for an address."""
TRIGGERS: Final = tuple("=+-@＝＋－＠")


class Shared(str):
    """A formula that cells share: written out in the first of them, which says in which `area` the others stand."""

    __slots__ = ("area", "number")

    def __new__(cls, text: str, number: int, area: str) -> "Shared":
        """`area` is "" in every cell but the first."""
        made = super().__new__(cls, text.removeprefix("="))
        made.number, made.area = number, area
        return made

    number: int
    area: str


class PlainSheet(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """A sheet whose formulas are written as they stand: none needs a prefix, so none is searched for one.

    A formula that is the same in many cells is written once (ECMA-376 part 1, 18.3.1.40).
    """

    def _prepare_formula(self, formula: str, _expand: bool = False) -> str:
        return formula if isinstance(formula, Shared) else formula.removeprefix("=")

    def _xml_formula_element(self, formula: str, result: Any, attributes: Any = ()) -> None:
        if not isinstance(formula, Shared):
            super()._xml_formula_element(formula, result, attributes)
            return
        head = "".join(f' {key}="{self._escape_attributes(value)}"' for key, value in attributes)
        shared = f't="shared" si="{formula.number}"'
        text = (
            f'<f {shared} ref="{formula.area}">{self._escape_data(formula)}</f>' if formula.area else f"<f {shared}/>"
        )
        self.fh.write(f"<c{head}>{text}<v>{self._escape_data(result)}</v></c>")


class WriteError(Exception):
    """XlsxWriter refused a cell, a name or a rule."""


def workbook_bytes(sheets: tuple[Sheet, ...], study: Any, *, version: str, poison: float | None = None) -> bytes:
    """The workbook as a file's bytes.

    Args:
        sheets: Table of contents.
        study: The reference model's values.
        version: Program version, told in the document properties.
        poison: Written in place of every cached result; for tests.

    Raises:
        WriteError: XlsxWriter refused something.
        KeyError: a formula names what no table declares.
    """
    grid, pages = lay_out(sheets, study)
    buffer = BytesIO()
    book = Workbook(buffer, OPTIONS)
    _Writer(book, grid, study, version, poison).write(pages)
    book.close()
    return buffer.getvalue()


def _done(code: int | None, what: object) -> None:
    if code:
        raise WriteError(f"{what}: refused with code {code}")


class _Writer:
    def __init__(self, book: Any, grid: Grid, study: Any, version: str, poison: float | None) -> None:
        self.book, self.grid, self.study, self.version, self.poison = book, grid, study, version, poison
        self.formats: dict[tuple[tuple[str, Any], ...], Any] = {}
        self.case = study.case
        self.heights: dict[int, float] = {}
        """Rows of the sheet at hand that are not of the usual height."""
        self.widths: list[float] = []
        """Columns of the sheet at hand."""
        self.sheets: dict[str, Any] = {}
        self.numbers: dict[tuple[str, str, str, int], int] = {}
        """Of the formulas that cells of a sheet share: by sheet, table, column, and which of two in turn."""

    def write(self, pages: Sequence[Page]) -> None:
        about = self.case.about
        self.book.set_properties(
            {"title": about.title[:250], "author": about.prepared_by[:250], "comments": "holdover"}
        )
        for name, value in (
            ("holdover_schema", SCHEMA),
            ("holdover_version", self.version),
            ("holdover_slots", " ".join(map(str, astuple(self.study.slots)))),
            ("holdover_digest", digest(self.case)),
        ):
            _done(self.book.set_custom_property(name, value, "text"), name)
        if self.case.logo:
            _done(self.book.set_custom_property(FINGERPRINT, self.case.logo.fingerprint, "text"), "logo")
        self.sheets = {page.sheet.name: self.book.add_worksheet(page.sheet.name, PlainSheet) for page in pages}
        for page in pages:
            self._page(page, self.sheets[page.sheet.name])
        self._names()

    def format(self, properties: Mapping[str, Any]) -> Any:
        key = tuple(sorted(properties.items()))
        if key not in self.formats:
            self.formats[key] = self.book.add_format(dict(key))
        return self.formats[key]

    def text(self, ws: Any, row: int, col: int, text: str, properties: Mapping[str, Any]) -> None:
        if not text:
            _done(ws.write_blank(row, col, None, self.format(properties)), text)
            return
        if text.startswith(TRIGGERS):
            properties = {**properties, "quote_prefix": True}
        _done(ws.write_string(row, col, text[:TEXT_LIMIT], self.format(properties)), text)

    def tall(self, ws: Any, row: int, height: float) -> None:
        self.heights[row] = height
        _done(ws.set_row(row, height), row)

    def _page(self, page: Page, ws: Any) -> None:
        self.heights, self.widths = {}, page.widths
        ws.set_default_row(style.ROW)
        for col, width in enumerate(self.widths):
            _done(ws.set_column(col, col, width), page.sheet.name)
        self.tall(ws, 0, style.CORNER if page.sheet.narrow else 24)
        for label in page.labels():
            self._label(ws, label, composed=page.sheet.narrow > 0)
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
        for row, cols in self._worked_out(page).items():
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

    def _worked_out(self, page: Page) -> Mapping[int, set[int]]:
        """By row, in which of its columns a formula stands."""
        found: dict[int, set[int]] = {}
        for table in page.tables:
            for cell in self.grid.cells_of(table, self.study):
                if cell.formula and cell.sheet == page.sheet.name:
                    found.setdefault(cell.row, set()).add(cell.col)
        return found

    def _label(self, ws: Any, label: Label, *, composed: bool) -> None:
        """A standing text; it takes the room to its right, merged with it or as a line of the same look."""
        look = style.label_style(label.kind, label.column, composed=composed)
        text = label.text
        if composed and label.kind == "head" and label.column and label.column.unit == "money":
            text = f"{text}, {self.currency}"
        if label.kind in ("unit", "label unit") and text == "money":
            text = "" if composed and label.kind == "unit" else self.currency
        if label.kind not in (MERGED_COMPOSED if composed else MERGED):
            for col in range(label.col + 1, label.right + 1):
                _done(ws.write_blank(label.row, col, None, self.format(look)), text)
        elif label.right > label.col:
            _done(ws.merge_range(label.row, label.col, label.row, label.right, "", self.format(look)), text)
        self.text(ws, label.row, label.col, text, look)
        cells = label.right - label.col + 1
        if label.kind in ("plain", "caution", "small"):
            room = cells * style.NARROW_ROOM if composed else sum(self.widths[label.col : label.right + 1])
            self.tall(ws, label.row, style.ROW * lines(text, room))
        elif composed and label.kind == "head":
            count = len(wrap(text, int(cells * style.HEAD_ROOM), break_long_words=False))
            self.tall(ws, label.row, max(self.heights.get(label.row, 0), style.HEAD_LINE * max(1, count) + 3))
        elif composed and label.kind == "title":
            self.tall(ws, label.row, style.TITLE_TALL)
        if label.kind in ("head", "label") and label.column and label.column.note:
            note = {"x_scale": 1.8, "font_size": 9}
            _done(ws.write_comment(label.row, label.col, label.column.note, note), text)

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

    @property
    def currency(self) -> str:
        """What stands beside prices."""
        return str(self.case.about.currency)[:12]

    def _table(self, ws: Any, page: Page, table: Table) -> None:
        if not page.sheet.narrow:
            {"down": self._tall_down, "across": self._tall_across, "form": self._tall_form}[table.kind](ws, page, table)
        shapes: dict[tuple[str, Part], Any] = {}
        alike = {column.name for column in table.columns if self.grid.is_alike(table, column)}
        for cell in self.grid.cells_of(table, self.study):
            if cell.column.name in alike:
                cell = self._shared(cell)
            key = cell.column.name, cell.part
            if key not in shapes:
                look = style.cell_style(cell.column, cell.part, typed=cell.typed)
                if cell.column.role == "figure":
                    look["num_format"] = style.figure_format(cell.column.unit, self.currency)
                shapes[key] = self.format(look)
            there = self.sheets[cell.sheet]
            self._merge(there, cell, shapes[key])
            self._cell(there, cell, shapes[key])
        self._rules(ws, table)
        if page.sheet.narrow and table.kind == "down" and not table.tall:
            self._tall_row_words(ws, table)
        if table.tall:
            for offset in range(self.grid.places[table.name].count) if table.kind == "down" else table.rows:
                self.tall(ws, self.grid.places[table.name].top + offset, table.tall)
        place = self.grid.places[table.name]
        if table.space and table.gap:
            self.tall(ws, place.top + height(table, place.count), table.space)
        for column in table.columns:
            if column.role == "hidden":
                _done(ws.set_row(self.grid.at(table, column.name, 0)[0], None, None, {"hidden": True}), column.name)

    def _tall_down(self, ws: Any, _page: Page, table: Table) -> None:
        """Words in a table that runs down take the lines they need now, sentences that may grow two at least."""
        self.tall(ws, self.grid.places[table.name].top - 2, 3 * style.ROW)
        needed: dict[int, int] = {}
        for column in table.columns:
            if not column.folded and (column.role in ("words", "ask") or style.is_free_text(column)):
                for cell in self.grid.cells_in(table, column, self.study):
                    least = needed.get(cell.row, 2 if column.role == "words" and cell.value else 1)
                    needed[cell.row] = max(least, lines(str(cell.value or ""), self.widths[cell.col]))
        for row, count in needed.items():
            if count > 1:
                self.tall(ws, row, style.ROW * min(count, 8))

    def _tall_row_words(self, ws: Any, table: Table) -> None:
        """On a composed page words of a record take the lines they need now, in rows that blocks may share."""
        for column in table.columns:
            if column.role == "row words":
                room = column.cells * style.NARROW_ROOM
                for cell in self.grid.cells_in(table, column, self.study):
                    needed = style.HEAD_LINE * lines(str(cell.value or ""), room) + 3
                    if needed > max(style.ROW, self.heights.get(cell.row, 0)):
                        self.tall(ws, cell.row, needed)

    def _tall_across(self, ws: Any, _page: Page, table: Table) -> None:
        """Words of records side by side take the lines they need, three at least; sentences run across."""
        left = self.grid.places[table.name].left
        for column in table.columns:
            row, _ = self.grid.at(table, column.name, 0)
            if column.role == "said":
                room = sum(self.widths[left : left + column.cells])
                texts = (str(cell.value or "") for cell in self.grid.cells_in(table, column, self.study))
                self.tall(ws, row, style.ROW * min(14, max(lines(text, room) for text in texts)))
            elif column.role == "words" or (style.is_free_text(column) and column.name != "name"):
                texts = (str(cell.value or "") for cell in self.grid.cells_in(table, column, self.study))
                most = max((lines(text, self.widths[left]) for text in texts), default=1)
                self.tall(ws, row, style.ROW * min(20, max(3, most)))
            elif column.role in style.HEIGHTS:
                self.tall(ws, row, style.HEIGHTS[column.role])
            if column.role in style.BANNERS:
                wide = (row, left, row, left + style.BANNER_COLUMNS)
                _done(ws.merge_range(*wide, "", self.format(style.cell_style(column, "", typed=False))), column.name)

    def _tall_form(self, ws: Any, page: Page, table: Table) -> None:
        """A setting takes the lines of its note, or of its words where people type some."""
        for label in page.labels_of(table):
            if label.kind != "note" or label.column is None:
                continue
            needed = lines(label.text, sum(self.widths[label.col : label.right + 1]))
            if style.is_free_text(label.column):
                text = follow(self.study, f"{table.records}.{label.column.path or label.column.name}")
                set_here = self.widths[self.grid.places[table.name].left + table.before("set")]
                needed = max(needed, min(8, lines(str(text or ""), set_here)))
            if needed > 1:
                self.tall(ws, label.row, style.ROW * needed)

    def _shared(self, cell: Cell) -> Cell:
        """A cell of a column of like formulas. Where every second one stands in brackets, those share another."""
        table, first = cell.table, int(bool(cell.column.first))
        lane = cell.record % 2 if table.chained else 0
        if cell.record < first:
            return cell
        key = cell.sheet, table.name, cell.column.name, lane
        area = ""
        if key not in self.numbers:
            self.numbers[key] = sum(sheet == cell.sheet for sheet, *_ in self.numbers)
            end = self.grid.at(table, cell.column.name, self.grid.places[table.name].count - 1)
            area = f"{xl(cell.row, cell.col)}:{xl(*end)}"
        return cell._replace(formula=Shared(cell.formula, self.numbers[key], area))

    def _merge(self, ws: Any, cell: Cell, shape: Any) -> None:
        """A cell that takes several of the sheet's columns."""
        more = self.grid.reach(cell.table, cell.column, cell.part) - 1
        if more > 0:
            _done(ws.merge_range(cell.row, cell.col, cell.row, cell.col + more, "", shape), cell)

    def _cell(self, ws: Any, cell: Cell, shape: Any) -> None:
        value = cell.value
        if cell.formula:
            if value is None or isinstance(value, bool):
                raise WriteError(f"{cell}: the model gives {value!r}")
            cached = value if isinstance(value, str) else float(value) + 0.0  # no minus before a zero
            cached = cached if self.poison is None else self.poison
            _done(ws.write_formula(cell.row, cell.col, cell.formula, shape, cached), cell)
        elif value is None or value == "":
            _done(ws.write_blank(cell.row, cell.col, None, shape), cell)
        elif isinstance(value, str):
            self.text(ws, cell.row, cell.col, value, style.cell_style(cell.column, cell.part, typed=cell.typed))
        else:
            _done(ws.write_number(cell.row, cell.col, float(value), shape), cell)

    def _rules(self, ws: Any, table: Table) -> None:
        """What may be typed, and what a cell looks like by what stands in it."""
        place = self.grid.places[table.name]
        part: Part = "set" if table.kind == "form" else ""
        for column in table.columns:
            if column.off:  # first: what is not shown needs no other look
                self._looks(ws, column.name, hidden(self.grid, table, column))
        for column in table.columns:
            first = self.grid.at(table, column.name, 0, part)
            last = first if table.kind == "form" else self.grid.at(table, column.name, place.count - 1)
            typed = typing(column)
            if typed:
                there = self.sheets[self.grid.home_of(table, column, part)]
                _done(there.data_validation(*first, *last, typed), column.name)
            self._looks(ws, column.name, looks(self.grid, table, column, (*first, *last)))

    def _looks(self, ws: Any, name: str, rules: Iterable[Rule]) -> None:
        for area, rule, look in rules:
            _done(ws.conditional_format(*area, {**rule, "format": self.format(look)}), name)

    def _stair(self, ws: Any, page: Page, block: Stair, row: int) -> None:
        for step in range(block.rows):
            self.tall(ws, row + step, block.tall)
        self._looks(ws, block.table, steps(self.grid, page, block, row))

    def _chart(self, ws: Any, page: Page, chart: Chart, row: int) -> None:
        left = ACROSS_LEFT + 2 if chart.beside else page.left + chart.left
        made = drawn(self.book, chart, lambda table, column: [*self.grid.names[f"{table}_{column}"]])
        if chart.cells:
            width = chart.cells * style.NARROW_PIXELS
        else:
            width = min(1100, max(480, int(sum(self.widths[: page.on_paper][left:12]) * 7)))
        made.set_size({"width": width, "height": int(chart.rows * style.ROW / 0.75)})
        _done(ws.insert_chart(row, left, made, {"description": chart.title, "object_position": 1}), chart.title)

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
        for name, (sheet, top, left, bottom, right) in self.grid.defined.items():
            if not NAME.fullmatch(name):
                raise WriteError(f"{name}: not a safe defined name")
            corners = list(dict.fromkeys((xl(top, left, fixed=True), xl(bottom, right, fixed=True))))
            _done(self.book.define_name(name, f"='{sheet}'!{':'.join(corners)}"), name)
