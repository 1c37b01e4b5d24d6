"""Writes a laid-out workbook with XlsxWriter, whole, in memory. The only module that knows XlsxWriter."""

from collections.abc import Mapping, Sequence
from io import BytesIO
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from holdover.case.digest import digest
from holdover.case.schema import SCHEMA, bounds_of, choices_of, is_text, is_whole
from holdover.workbook import style
from holdover.workbook.charts import drawn
from holdover.workbook.grid import NAME, Cell, Column, Grid, Table, follow, letters, xl
from holdover.workbook.page import ACROSS_LEFT, Chart, Sheet, Words, heading_rows, height, last_column, lay_out
from holdover.workbook.paper import MARGIN_ENDS, MARGIN_SIDE, columns_on_page, lines, page_breaks, pages_across
from holdover.workbook.sheets.lists import list_name

TEXT_LIMIT: Final = 32_000
OPTIONS: Final = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    # Widths are reckoned in digits of the default font: one that every system has, or has in its measures.
    "default_format_properties": {"font_name": style.BASE["font_name"], "font_size": style.BASE["font_size"]},
}
NOTE_COLUMN: Final = 5
"""Column of a form in which its notes begin."""
TRIGGERS: Final = tuple("=+-@＝＋－＠")


class PlainSheet(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """A sheet whose formulas are written as they stand: none needs a prefix, so none is searched for one."""

    def _prepare_formula(self, formula: str, _expand: bool = False) -> str:
        return formula.removeprefix("=")


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
    grid, rows = lay_out(sheets, study)
    buffer = BytesIO()
    book = Workbook(buffer, OPTIONS)
    _Writer(book, grid, rows, study, poison).write(sheets, version)
    book.close()
    return buffer.getvalue()


def _done(code: int | None, what: object) -> None:
    if code:
        raise WriteError(f"{what}: refused with code {code}")


class _Writer:
    def __init__(self, book: Any, grid: Grid, rows: Mapping[int, int], study: Any, poison: float | None) -> None:
        self.book, self.grid, self.rows, self.study, self.poison = book, grid, rows, study, poison
        self.formats: dict[tuple[tuple[str, Any], ...], Any] = {}
        self.shapes: dict[tuple[int, str], Any] = {}
        self.case = study.case
        self.sheets: dict[str, Any] = {}
        self.heights: dict[int, float] = {}
        self.widths: list[float] = []
        self.paper = 0
        """Of the sheet at hand: rows that are not of the usual height, columns, how many of them are printed."""

    def write(self, sheets: tuple[Sheet, ...], version: str) -> None:
        about = self.case.about
        self.book.set_properties(
            {"title": about.title[:250], "author": about.prepared_by[:250], "comments": "holdover"}
        )
        for name, value in (
            ("holdover_schema", SCHEMA),
            ("holdover_version", version),
            ("holdover_slots", f"{self.study.slots.loads} {self.study.slots.candidates}"),
            ("holdover_digest", digest(self.case)),
        ):
            _done(self.book.set_custom_property(name, value, "text"), name)
        for sheet in sheets:
            self.sheets[sheet.name] = self.book.add_worksheet(sheet.name, PlainSheet)
        for sheet in sheets:
            self._sheet(sheet, self.sheets[sheet.name], version)
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

    def _sheet(self, sheet: Sheet, ws: Any, version: str) -> None:
        self.heights = {}
        ws.set_default_row(style.ROW)
        tables = [block for block in sheet.blocks if isinstance(block, Table)]
        widest = max((last_column(t, self.grid.places[t.name].count) for t in tables), default=len(sheet.widths) - 1)
        widths = self.widths = [*sheet.widths, *[11.0] * (widest + 1 - len(sheet.widths))][: max(widest + 1, 6)]
        for col, width in enumerate(widths):
            _done(ws.set_column(col, col, width), sheet.name)
        self.text(ws, 0, 0, sheet.name, style.TITLE)
        self.tall(ws, 0, 24)
        self.paper = paper = columns_on_page(widths) if sheet.working else len(widths)
        if sheet.paper:
            self.paper = paper = self.grid.tables[sheet.paper[0]].index[sheet.paper[1]] + 1
        cut = " On paper stand its first columns." if sheet.working and paper < len(widths) else ""
        self.text(ws, 1, 0, sheet.title + cut, style.SUBTITLE)
        blocks: list[tuple[int, int, bool]] = []
        caution = False
        for block in sheet.blocks:
            row = self.rows[id(block)]
            if isinstance(block, Words):
                self._words(ws, row, block, widths[:paper])
                after = row + len(block.lines) + 1
            elif isinstance(block, Chart):
                self._chart(ws, row, block, widths[:paper])
                if block.beside:
                    continue
                after = row + block.rows + 1
            else:
                self._table(ws, row, block)
                if sheet.working and self._is_spare(block):
                    continue
                place = self.grid.places[block.name]
                after = place.top + self._printed(block, place.count) + 1
            first = blocks.pop()[0] if caution else row  # words stay with what they are about
            blocks.append((first, after, isinstance(block, Table) and block.name == sheet.freeze))
            caution = isinstance(block, Words)
        self._page(sheet, ws, blocks, widths[:paper], version)

    def _is_spare(self, table: Table) -> bool:
        """Whether it is the working of a candidate that is not listed."""
        column = table.columns[0]
        return column.name == "name" and not any(c.value for c in self.grid.cells_in(table, column, self.study))

    def _printed(self, table: Table, count: int) -> int:
        """Rows of a table that are worth paper: hours past the outage are not."""
        return min(count, 24 * self.case.outage.days) if "active" in table.index else height(table, count)

    def _page(
        self, sheet: Sheet, ws: Any, blocks: list[tuple[int, int, bool]], widths: Sequence[float], version: str
    ) -> None:
        across = pages_across(widths)
        ws.hide_gridlines(2)
        ws.set_paper(9)
        ws.set_landscape()
        ws.fit_to_pages(across, 0)
        ws.set_margins(MARGIN_SIDE, MARGIN_SIDE, MARGIN_ENDS, MARGIN_ENDS)
        title = self.case.about.title[:100].replace("&", "&&")
        ws.set_header(f"&L&8 {title}&R&8&A")  # a blank, or a title that begins with a digit would be a font size
        ws.set_footer(f"&L&8holdover {version}&R&8page &P of &N")
        _done(ws.print_area(0, 0, blocks[-1][1] - 1 if blocks else 1, len(widths) - 1), sheet.name)
        ws.set_h_pagebreaks(page_breaks(blocks, lambda row: self.heights.get(row, style.ROW), widths, across))
        ws.set_tab_color(style.LINE if sheet.working else style.TEAL)
        if sheet.freeze:
            table = self.grid.tables[sheet.freeze]
            place = self.grid.places[sheet.freeze]
            down = table.kind == "down"
            ws.freeze_panes(place.top + (0 if down else 1), 1 if down else place.left)
            _done(ws.repeat_rows(place.top - down * heading_rows(table), place.top - down), sheet.name)
        if across > 1:
            _done(ws.repeat_columns(0, ACROSS_LEFT - 1), sheet.name)
        if sheet.wanted and not follow(self.study, sheet.wanted):
            ws.hide()
        ws.protect("", {"format_columns": True, "format_rows": True, "select_locked_cells": True})

    def _words(self, ws: Any, row: int, words: Words, widths: Sequence[float]) -> None:
        look = style.CAUTION if words.look == "caution" else style.PLAIN
        right = min(len(widths) - 1, 11)
        room = sum(widths[: right + 1])
        for i, line in enumerate(words.lines):
            text = f"Caution: {line}" if words.look == "caution" else line
            _done(ws.merge_range(row + i, 0, row + i, right, "", self.format(look)), text)
            self.text(ws, row + i, 0, text, look)
            self.tall(ws, row + i, style.ROW * lines(text, room))

    def _table(self, ws: Any, row: int, table: Table) -> None:
        place = self.grid.places[table.name]
        right = last_column(table, place.count)
        for col in range(right + 1):
            _done(ws.write_blank(row, col, None, self.format(style.HEADING)), table.name)
        self.text(ws, row, 0, table.title, style.HEADING)
        if table.note:
            col = 1
            while col < right and sum(self.widths[:col]) < 1.3 * len(table.title):
                col += 1
            self.text(ws, row, min(col, right) + (table.kind == "across"), table.note, style.HEADING_NOTE)
        {"down": self._down, "across": self._across, "form": self._form}[table.kind](ws, row + 1, table)
        for cell in self.grid.cells_of(table, self.study):
            self._cell(ws, cell)
        self._rules(ws, table)

    def _down(self, ws: Any, row: int, table: Table) -> None:
        grouped = heading_rows(table) == 3
        for col, column in enumerate(table.columns):
            if grouped:
                fresh = col == 0 or table.columns[col - 1].group != column.group
                self.text(ws, row, col, column.group if fresh else "", style.GROUP)
            head, unit = row + grouped, row + grouped + 1
            self.text(ws, head, col, column.title, style.HEAD)
            self.text(ws, unit, col, self._unit(column), style.UNIT)
            self._comment(ws, head, col, column)
        self.tall(ws, row + grouped, 3 * style.ROW)
        self._tall_rows(ws, table)

    def _tall_rows(self, ws: Any, table: Table) -> None:
        """Words in a table that runs down take the lines they need now, sentences that may grow two at least."""
        needed: dict[int, int] = {}
        for column in table.columns:
            if column.role in ("words", "ask") or style.is_free_text(column):
                for cell in self.grid.cells_in(table, column, self.study):
                    least = needed.get(cell.row, 2 if column.role == "words" and cell.value else 1)
                    needed[cell.row] = max(least, lines(str(cell.value or ""), self.widths[cell.col]))
        for row, count in needed.items():
            if count > 1:
                self.tall(ws, row, style.ROW * min(count, 8))

    def _across(self, ws: Any, _row: int, table: Table) -> None:
        place, group = self.grid.places[table.name], ""
        for column, offset in zip(table.columns, table.rows, strict=True):
            row = place.top + offset
            if column.group and column.group != group:
                group = column.group
                self._group(ws, row - 1, place.left + place.count, group)
            label = {**style.LABEL, "bold": column.role in style.STRONG, "align": "left"}
            self.text(ws, row, 0, column.title, {**label, "valign": "top"} if column.role == "words" else label)
            self.text(ws, row, 1, self._unit(column), style.LABEL_UNIT)
            self._comment(ws, row, 0, column)
            if column.role == "words" or (style.is_free_text(column) and column.name != "name"):
                told = (str(cell.value or "") for cell in self.grid.cells_in(table, column, self.study))
                most = max((lines(text, self.widths[place.left]) for text in told), default=1)
                self.tall(ws, row, style.ROW * min(20, max(3, most)))
            elif column.role in style.HEIGHTS:
                self.tall(ws, row, style.HEIGHTS[column.role])
            if column.role in style.BANNERS:
                wide = (row, place.left, row, place.left + style.BANNER_COLUMNS)
                _done(ws.merge_range(*wide, "", self.format(style.cell_style(column, "", typed=False))), column.name)

    def _group(self, ws: Any, row: int, width: int, group: str) -> None:
        for col in range(width):
            _done(ws.write_blank(row, col, None, self.format(style.GROUP)), group)
        self.text(ws, row, 0, group, style.GROUP)

    def _form(self, ws: Any, row: int, table: Table) -> None:
        last = max(NOTE_COLUMN, min(self.paper, 12) - 1)
        room = sum(self.widths[NOTE_COLUMN : last + 1])
        for col, title in enumerate(("", "Set here", "Usual", "In use", "Unit", "Note")):
            self.text(ws, row, col, title, style.HEAD)
        place, group = self.grid.places[table.name], ""
        for column, offset in zip(table.columns, table.rows, strict=True):
            at = place.top + offset
            if column.group and column.group != group:
                group = column.group
                self._group(ws, at - 1, NOTE_COLUMN + 1, group)
            self.text(ws, at, 0, column.title, style.LABEL)
            self.text(ws, at, 4, self._unit(column), style.LABEL_UNIT)
            if last > NOTE_COLUMN:
                _done(ws.merge_range(at, NOTE_COLUMN, at, last, "", self.format(style.NOTE)), column.name)
            self.text(ws, at, NOTE_COLUMN, column.note, style.NOTE)
            needed = lines(column.note, room)
            if style.is_free_text(column):
                told = str(follow(self.study, f"{table.records}.{column.path or column.name}") or "")
                needed = max(needed, min(8, lines(told, self.widths[1])))
            if needed > 1:
                self.tall(ws, at, style.ROW * needed)

    def _unit(self, column: Column) -> str:
        unit = {"share": "%", "number": "", "factor": "", "o'clock": "h", "clock": "h"}.get(column.unit, column.unit)
        return str(self.case.about.currency)[:12] if unit == "money" else unit

    def _comment(self, ws: Any, row: int, col: int, column: Column) -> None:
        if column.note:
            _done(ws.write_comment(row, col, column.note, {"x_scale": 1.8, "font_size": 9}), column.name)

    def _cell(self, ws: Any, cell: Cell) -> None:
        key = (id(cell.column), cell.part)
        shape = self.shapes.get(key)
        if shape is None:
            shape = self.shapes[key] = self.format(style.cell_style(cell.column, cell.part, typed=cell.typed))
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
        place = self.grid.places[table.name]
        for column in table.columns:
            first = self.grid.at(table, column.name, 0, "set" if table.kind == "form" else "")
            last = first if table.kind == "form" else self.grid.at(table, column.name, place.count - 1)
            if column.field is not None:
                self._validate(ws, (*first, *last), column)
            if column.role == "verdict":
                for word, (ink, fill) in style.VERDICTS.items():
                    rule = {
                        "type": "cell",
                        "criteria": "==",
                        "value": f'"{word}"',
                        "format": self.format({"font_color": ink, "bg_color": fill}),
                    }
                    _done(ws.conditional_format(*first, *last, rule), column.name)
        if table.records == "offers" and "name" in table.index:
            self._hide(ws, table, "name", '=""')
        if "active" in table.index:
            self._hide(ws, table, "active", "=0")

    def _hide(self, ws: Any, table: Table, column: str, test: str) -> None:
        """Numbers of a spare candidate, or of an hour past the outage, are there but not shown."""
        place = self.grid.places[table.name]
        first = self.grid.at(table, table.columns[0].name, 0)
        last = self.grid.at(table, table.columns[-1].name, place.count - 1)
        row, col = self.grid.at(table, column, 0)
        cell = f"${letters(col)}{row + 1}" if table.kind == "down" else f"{letters(col)}${row + 1}"
        rule = {"type": "formula", "criteria": f"={cell}{test}", "format": self.format({"num_format": ";;;"})}
        _done(ws.conditional_format(*first, *last, rule), table.name)

    def _validate(self, ws: Any, area: tuple[int, int, int, int], column: Column) -> None:
        info = column.field
        assert info is not None  # noqa: S101 (told by the caller)
        title = column.title[:32]
        choices = choices_of(info)
        if choices:
            rule: dict[str, Any] = {"validate": "list", "source": f"={list_name(choices)}"}
            allowed = "Choose one from the list."
        elif is_text(info):
            return
        else:
            low, high = bounds_of(info)
            rule = {
                "validate": "integer" if is_whole(info) else "decimal",
                "criteria": "between",
                "minimum": low if low is not None else -1_000_000_000,
                "maximum": high if high is not None else 1_000_000_000,
            }
            allowed = f"A {'whole ' if is_whole(info) else ''}number from {low:g} to {high:g}, or blank."
        rule |= {
            "error_title": title,
            "error_message": allowed,
            "input_title": title,
            "input_message": f"{column.note} {allowed}".strip()[:250],
        }
        _done(ws.data_validation(*area, rule), column.name)

    def _chart(self, ws: Any, row: int, chart: Chart, widths: Sequence[float]) -> None:
        left = ACROSS_LEFT + 2 if chart.beside else 0
        made = drawn(self.book, chart, lambda table, column: [*self.grid.area(f"{table}_{column}")])
        width = min(1100, max(480, int(sum(widths[left:12]) * 7)))
        made.set_size({"width": width, "height": int(chart.rows * style.ROW / 0.75)})
        _done(ws.insert_chart(row, left, made, {"description": chart.title, "object_position": 1}), chart.title)

    def _names(self) -> None:
        inputs = {
            name
            for table in self.grid.tables.values()
            for c in table.columns
            for name in (f"{table.name}_{c.name}", f"set_{table.name}_{c.name}")
            if c.field is not None or self.grid.places[table.name].count == 1 or table.name.startswith("list_")
        }
        for name, (sheet, top, left, bottom, right) in self.grid.names.items():
            if name not in inputs and name not in self.grid.used:
                continue
            if not NAME.fullmatch(name):
                raise WriteError(f"{name}: not a safe defined name")
            corners = list(dict.fromkeys((xl(top, left, fixed=True), xl(bottom, right, fixed=True))))
            _done(self.book.define_name(name, f"='{sheet}'!{':'.join(corners)}"), name)
