"""Writes a laid-out workbook with XlsxWriter, whole, in memory. The only module that knows XlsxWriter."""

import re
from collections.abc import Mapping
from io import BytesIO
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from holdover.case.digest import digest
from holdover.case.schema import SCHEMA, bounds_of, choices_of, is_text, is_whole
from holdover.workbook import style
from holdover.workbook.grid import NAME, Cell, Column, Grid, Table, follow, letters, xl
from holdover.workbook.page import Chart, Sheet, Words, heading_rows, height, last_column, lay_out

TEXT_LIMIT: Final = 32_000
PIXELS: Final = 20
"""Height of a row in a chart's reckoning."""
TRIGGERS: Final = ("=", "+", "-", "@")


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
    book = Workbook(buffer, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
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

    def _sheet(self, sheet: Sheet, ws: Any, version: str) -> None:
        tables = [block for block in sheet.blocks if isinstance(block, Table)]
        widest = max((last_column(t, self.grid.places[t.name].count) for t in tables), default=len(sheet.widths) - 1)
        widths = [*sheet.widths, *[11.0] * (widest + 1 - len(sheet.widths))][: max(widest + 1, 6)]
        for col, width in enumerate(widths):
            _done(ws.set_column(col, col, width), sheet.name)
        self.text(ws, 0, 0, sheet.name, style.TITLE)
        _done(ws.set_row(0, 24), sheet.name)
        self.text(ws, 1, 0, sheet.title, style.SUBTITLE)
        bottom = 1
        for block in sheet.blocks:
            row = self.rows[id(block)]
            if isinstance(block, Words):
                self._words(ws, row, block, widths)
                bottom = row + len(block.lines)
            elif isinstance(block, Chart):
                self._chart(ws, row, block, widths)
                bottom = row + block.rows
            else:
                self._table(ws, row, block)
                place = self.grid.places[block.name]
                bottom = place.top + self._printed(block, place.count)
        self._page(sheet, ws, bottom, len(widths) - 1, version)

    def _printed(self, table: Table, count: int) -> int:
        """Rows of a table that are worth paper: hours past the outage are not."""
        return min(count, 24 * self.case.outage.days) if "active" in table.index else height(table, count)

    def _page(self, sheet: Sheet, ws: Any, bottom: int, right: int, version: str) -> None:
        ws.hide_gridlines(2)
        ws.set_paper(9)
        ws.set_landscape()
        ws.fit_to_pages(1, 0)
        ws.set_margins(0.5, 0.5, 0.7, 0.7)
        title = self.case.about.title.replace("&", "&&")[:120]
        ws.set_header(f"&L&8{title}&R&8&A")
        ws.set_footer(f"&L&8holdover {version}&R&8page &P of &N")
        _done(ws.print_area(0, 0, bottom, right), sheet.name)
        ws.set_tab_color(style.LINE if sheet.working else style.TEAL)
        if sheet.freeze:
            table = self.grid.tables[sheet.freeze]
            place = self.grid.places[sheet.freeze]
            across = table.kind == "across"
            ws.freeze_panes(place.top + (1 if across else 0), place.left if across else 1)
            first = place.top if across else place.top - heading_rows(table)
            _done(ws.repeat_rows(first, place.top if across else place.top - 1), sheet.name)
        if sheet.wanted and not follow(self.study, sheet.wanted):
            ws.hide()
        ws.protect("", {"format_columns": True, "format_rows": True, "select_locked_cells": True})

    def _words(self, ws: Any, row: int, words: Words, widths: list[float]) -> None:
        look = style.CAUTION if words.look == "caution" else style.PLAIN
        right = min(len(widths) - 1, 11)
        room = sum(widths[: right + 1]) * 1.2
        for i, line in enumerate(words.lines):
            text = f"Caution: {line}" if words.look == "caution" else line
            _done(ws.merge_range(row + i, 0, row + i, right, "", self.format(look)), text)
            self.text(ws, row + i, 0, text, look)
            _done(ws.set_row(row + i, 13.5 * -(-len(text) // max(1, int(room)))), text)

    def _table(self, ws: Any, row: int, table: Table) -> None:
        place = self.grid.places[table.name]
        right = last_column(table, place.count)
        for col in range(right + 1):
            _done(ws.write_blank(row, col, None, self.format(style.HEADING)), table.name)
        self.text(ws, row, 0, table.title, style.HEADING)
        if table.note:
            span = 1 if right > 1 else right
            self.text(
                ws,
                row,
                span + (table.kind == "across"),
                table.note,
                {**style.HEADING, "font_size": 9, "bold": False, "italic": True, "font_color": style.GREY},
            )
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
        _done(ws.set_row(row + grouped, 38), table.name)
        if any(column.role == "words" for column in table.columns):  # sentences take two lines
            place = self.grid.places[table.name]
            for record in range(place.top, place.top + place.count):
                _done(ws.set_row(record, 26), table.name)

    def _across(self, ws: Any, _row: int, table: Table) -> None:
        place, group = self.grid.places[table.name], ""
        for column, offset in zip(table.columns, table.rows, strict=True):
            row = place.top + offset
            if column.group and column.group != group:
                group = column.group
                for col in range(place.left + place.count):
                    _done(ws.write_blank(row - 1, col, None, self.format(style.GROUP)), group)
                self.text(ws, row - 1, 0, group, style.GROUP)
            label = {**style.LABEL, "bold": column.role in style.STRONG, "align": "left"}
            self.text(ws, row, 0, column.title, {**label, "valign": "top"} if column.role == "words" else label)
            self.text(ws, row, 1, self._unit(column), style.LABEL_UNIT)
            self._comment(ws, row, 0, column)
            if column.role in style.HEIGHTS:
                _done(ws.set_row(row, style.HEIGHTS[column.role]), column.name)
            if column.role in style.BANNERS:
                wide = (row, place.left, row, place.left + style.BANNER_COLUMNS)
                _done(ws.merge_range(*wide, "", self.format(style.cell_style(column, "", typed=False))), column.name)

    def _form(self, ws: Any, row: int, table: Table) -> None:
        for col, title in enumerate(("", "Set here", "Usual", "In use", "Unit", "Note")):
            self.text(ws, row, col, title, style.HEAD)
        place, group = self.grid.places[table.name], ""
        for column, offset in zip(table.columns, table.rows, strict=True):
            at = place.top + offset
            if column.group and column.group != group:
                group = column.group
                for col in range(6):
                    _done(ws.write_blank(at - 1, col, None, self.format(style.GROUP)), group)
                self.text(ws, at - 1, 0, group, style.GROUP)
            self.text(ws, at, 0, column.title, style.LABEL)
            self.text(ws, at, 4, self._unit(column), style.LABEL_UNIT)
            self.text(ws, at, 5, column.note, style.NOTE)

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

    def _chart(self, ws: Any, row: int, chart: Chart, widths: list[float]) -> None:
        kinds = {
            "stacked": {"type": "column", "subtype": "stacked"},
            "column": {"type": "column"},
            "line": {"type": "line"},
            "scatter": {"type": "scatter", "subtype": "straight"},
        }
        made = self.book.add_chart(kinds[chart.kind])
        for i, series in enumerate(chart.series):
            color = series.color or style.SERIES[i % len(style.SERIES)]
            line = {"color": color, "width": 1.75, **({"dash_type": "dash"} if series.dashed else {})}
            what: dict[str, Any] = {"name": series.title, "values": self._range(series.table, series.column)}
            categories = (series.table, series.x) if series.x else chart.names
            what["categories"] = self._range(*categories)
            if chart.kind in ("line", "scatter"):
                what |= {"line": line, "smooth": False}
            else:
                what |= {"fill": {"color": color}, "gap": 60}
            made.add_series(what)
        font = {"name": "Arial", "size": 9, "color": style.INK}
        made.set_title({"name": chart.title, "name_font": {**font, "size": 11, "bold": True}, "overlay": False})
        grid = {"visible": True, "line": {"color": style.LINE, "width": 0.5}}
        made.set_x_axis({"name": chart.x_title, "name_font": font, "num_font": font, "label_position": "low"})
        made.set_y_axis({"name": chart.y_title, "name_font": font, "num_font": font, "major_gridlines": grid, "min": 0})
        made.set_legend({"position": "bottom", "font": font})
        width = min(1100, max(560, int(sum(widths[:12]) * 7)))
        made.set_size({"width": width, "height": chart.rows * PIXELS})
        _done(ws.insert_chart(row, 0, made, {"description": chart.title, "object_position": 1}), chart.title)

    def _range(self, table: str, column: str) -> list[Any]:
        sheet, *corners = self.grid.area(f"{table}_{column}")
        return [sheet, *corners]

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


def list_name(choices: tuple[str, ...]) -> str:
    """Defined name of the list that a drop-down offers."""
    return f"list_{re.sub('[^a-z]', '', choices[0].lower()) or 'volts'}{len(choices)}_word"
