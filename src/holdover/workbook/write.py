"""Writes a laid-out workbook with XlsxWriter, whole, in memory. The only module that knows XlsxWriter."""

from collections.abc import Mapping, Sequence
from dataclasses import astuple
from io import BytesIO
from textwrap import wrap
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from holdover.case.digest import digest
from holdover.case.schema import AC_VOLTS, SCHEMA
from holdover.case.section import bounds_of, choices_of, is_text, is_whole
from holdover.workbook import style
from holdover.workbook.charts import drawn
from holdover.workbook.grid import (
    NAME,
    Cell,
    Column,
    Grid,
    Part,
    Table,
    follow,
    letters,
    xl,
)
from holdover.workbook.page import (
    ACROSS_LEFT,
    Chart,
    Label,
    Page,
    Sheet,
    Stair,
    Words,
    heading_rows,
    height,
    lay_out,
)
from holdover.workbook.paper import (
    MARGIN_ENDS,
    MARGIN_SIDE,
    Paper,
    house_paper,
    is_one_high,
    lines,
    page_breaks,
    pages_across,
)
from holdover.workbook.sheets.lists import list_name

TEXT_LIMIT: Final = 32_000
OPTIONS: Final = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    # Widths are reckoned in digits of the default font: one that every system has, or has in its measures.
    "default_format_properties": {"font_name": style.BASE["font_name"], "font_size": style.BASE["font_size"]},
}
MERGED: Final = ("plain", "caution", "note")
"""Kinds of labels that run over several cells as one."""
MERGED_COMPOSED: Final = (*MERGED, "small", "head", "unit", "group", "label", "label unit", "asked", "stair")
"""The same on a composed page."""
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
        if any(page.folded):
            self._fold(ws, page)
        self._paper(page, ws)

    def _fold(self, ws: Any, page: Page) -> None:
        """Rows and columns that a reader opens with the sign beside them, which stands below or right of them."""
        rows, cols = page.folded
        for row in sorted(rows | {row + 1 for row in rows}):
            level = {"level": 1, "hidden": True} if row in rows else {"collapsed": True}
            _done(ws.set_row(row, self.heights.get(row, style.ROW), None, level), row)
        for col in sorted(cols | {col + 1 for col in cols}):
            level = {"level": 1, "hidden": True} if col in cols else {"collapsed": True}
            width = self.widths[col] if col < len(self.widths) else None
            _done(ws.set_column(col, col, width, None, level), col)
            if col in cols:
                self.widths[col] = 0

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
        if page.sheet.narrow:
            self._one_page(page, ws)
        else:
            self._pages(page, ws)
        if not self._is_printed(page.sheet):
            self._keep_off_paper(ws, page)
        if page.sheet.working or (page.sheet.wanted and not follow(self.study, page.sheet.wanted)):
            ws.hide()
        if any(page.folded):
            self._guard(ws, page)
            return
        ws.protect("", {"format_columns": True, "format_rows": True, "select_locked_cells": True})

    def _is_printed(self, sheet: Sheet) -> bool:
        """Whether it goes on paper."""
        return bool(sheet.printed and follow(self.study, sheet.printed))

    def _keep_off_paper(self, ws: Any, page: Page) -> None:
        """A print range of one blank cell, behind all others: programs leave out a page on which nothing stands.

        One that prints it all the same prints how to get the sheet on paper.
        """
        ws.set_header("&L&8 Not laid out for paper: clear the print area to print it.&R&8&A")
        below = max(page.footprint()) + 2
        _done(ws.print_area(below, 0, below, 0), page.sheet.name)

    def _height(self, row: int) -> float:
        """Height of a row of the sheet at hand [pt]."""
        return self.heights.get(row, style.ROW)

    def _listed(self, page: Page) -> int:
        """How many columns hold candidates that are listed, and what stands left of them."""
        table = self.grid.tables[page.sheet.freeze]
        return self.grid.places[table.name].left + int(follow(self.study, page.sheet.listed)) * table.stride

    def _pages(self, page: Page, ws: Any) -> None:
        """A sheet that takes the pages it needs."""
        sheet, blocks = page.sheet, self._printed(page)
        widths = self.widths[: self._listed(page) if sheet.listed else page.on_paper]
        across, end = pages_across(widths, self.paper), blocks[-1][1] if blocks else 2
        end = min(end, page.ends_above or end)
        rows = (row for row in range(end) if row not in page.folded[0])
        one_high = across == 1 and is_one_high(sum(map(self._height, rows)), self.paper)
        ws.hide_gridlines(2)
        ws.set_paper(self.paper.number)
        ws.set_landscape()
        ws.fit_to_pages(across, int(one_high))
        ws.set_margins(MARGIN_SIDE, MARGIN_SIDE, MARGIN_ENDS, MARGIN_ENDS)
        title = self.case.about.title[:100].replace("&", "&&")
        ws.set_header(f"&L&8 {title}&R&8&A")  # a blank, or a title that begins with a digit would be a font size
        ws.set_footer(f"&L&8holdover {self.version}&R&8page &P of &N")
        if self._is_printed(sheet):
            _done(ws.print_area(0, 0, end - 1, len(widths) - 1), sheet.name)
        if not one_high:
            ws.set_h_pagebreaks(page_breaks(blocks, self._height, widths, across, self.paper))
        ws.set_tab_color(style.LINE if sheet.working else style.TEAL)
        if sheet.freeze:
            self._freeze(ws, self.grid.tables[sheet.freeze], sheet.heads)
        if across > 1:
            _done(ws.repeat_columns(0, ACROSS_LEFT - 1), sheet.name)

    def _one_page(self, page: Page, ws: Any) -> None:
        """A composed page: one sheet of paper, without its margin column; letters over narrow columns are noise."""
        ws.hide_gridlines(2)
        ws.hide_row_col_headers()
        ws.set_paper(self.paper.number)
        ws.set_portrait() if page.sheet.portrait else ws.set_landscape()
        ws.set_margins(*style.PAGE_MARGINS)
        ws.center_horizontally()
        # Many candidates make it long: then it runs on, rather than shrink to what nobody reads.
        tall = sum(map(self._height, range(page.last_on_paper + 1)))
        room = self.paper._replace(high=self.paper.high + 72 * (2 * MARGIN_ENDS - sum(style.PAGE_MARGINS[2:])))
        ws.fit_to_pages(1, 1 if page.sheet.portrait or is_one_high(tall, room) else 0)
        ws.set_footer(f"&L{page.sheet.foot}&Rpage &P of &N", {"margin": 0.3})
        if self._is_printed(page.sheet):
            _done(ws.print_area(0, page.left, page.last_on_paper, page.sheet.narrow), page.sheet.name)
        ws.set_zoom(page.sheet.zoom)
        ws.set_tab_color(style.TEAL)

    @property
    def currency(self) -> str:
        """What stands beside prices."""
        return str(self.case.about.currency)[:12]

    @property
    def paper(self) -> Paper:
        """The house's paper."""
        return house_paper(AC_VOLTS[self.case.sizing.feed])

    def _freeze(self, ws: Any, table: Table, heads: int) -> None:
        """A table's headings, or its first rows where records stand beside each other, stay in sight and on every page."""
        place, down = self.grid.places[table.name], table.kind == "down"
        last = place.top - 1 if down else place.top + table.rows[heads - 1]
        ws.freeze_panes(last + 1, 1 if down else place.left)
        _done(ws.repeat_rows(place.top - down * heading_rows(table), last), table.name)

    def _printed(self, page: Page) -> list[tuple[int, int, bool]]:
        """What goes on paper: first row, first row after it, and whether it may be cut; words stay with what follows."""
        blocks: list[tuple[int, int, bool]] = []
        words = False
        for block, row in page.blocks:
            if isinstance(block, Words):
                after = row + len(block.lines) + 1
            elif isinstance(block, Chart | Stair):
                after = row + block.rows + 1
            else:
                after = self.grid.places[block.name].top + height(block, self.grid.places[block.name].count) + 1
            if (isinstance(block, Chart) and block.beside) or (isinstance(block, Table) and block.folded):
                continue
            first = blocks.pop()[0] if words else row
            blocks.append((first, after, isinstance(block, Table) and block.name == page.sheet.freeze))
            words = isinstance(block, Words)
        return blocks

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
        place = self.grid.places[table.name]
        for column in table.columns:
            first = self.grid.at(table, column.name, 0, "set" if table.kind == "form" else "")
            last = first if table.kind == "form" else self.grid.at(table, column.name, place.count - 1)
            if column.section is not None:
                there = self.sheets[self.grid.home_of(table, column, "set" if table.kind == "form" else "")]
                self._validate(there, (*first, *last), column)
            if column.role in style.STRIPS:
                for word, fill in style.STRIPS[column.role].items():
                    ink = {"–": style.OFF_INK, "·": style.NIGHT}.get(word)
                    shape = self.format({"bg_color": fill, **({"font_color": ink} if ink else {})})
                    strip = {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": shape}
                    _done(ws.conditional_format(*first, *last, strip), column.name)
            if column.role == "row verdict":
                rule = {
                    "type": "text",
                    "criteria": "not containing",
                    "value": "OK",
                    "format": self.format({"font_color": style.BAD[0]}),
                }
                _done(ws.conditional_format(*first, *last, rule), column.name)
            if column.role in style.RULED:
                row, col = self.grid.at(table, table.columns[0].name, 0)
                shape = self.format({"bottom": 1, "bottom_color": style.RULED[column.role]})
                filled = {"type": "formula", "criteria": f'=${letters(col)}{row + 1}<>""', "format": shape}
                reach = (*first, last[0], last[1] + column.cells - 1)
                _done(ws.conditional_format(*reach, filled), column.name)
            if column.role == "verdict" or column.role in style.GRID_WORDS:
                for word, (ink, fill) in style.VERDICTS.items():
                    if column.role != "verdict" and word not in ("UNDER", "CHECK"):
                        continue
                    rule = {
                        "type": "cell",
                        "criteria": "==",
                        "value": f'"{word}"',
                        "format": self.format({"font_color": ink, "bg_color": fill, "bold": word == "UNDER"}),
                    }
                    _done(ws.conditional_format(*first, *last, rule), column.name)
        for column in table.columns:
            if column.off:
                self._hide(ws, table, column)

    def _hide(self, ws: Any, table: Table, column: Column) -> None:
        """Numbers of a spare candidate, or of an hour past the outage, are there but not shown."""
        place = self.grid.places[table.name]
        row, col = self.grid.at(table, column.name, 0)
        cell = f"${letters(col)}{row + 1}" if table.kind == "down" else f"{letters(col)}${row + 1}"
        rule = {"type": "formula", "criteria": f"={cell}{column.off}", "format": self.format({"num_format": ";;;"})}
        runs = range(place.count) if table.step else (None,)  # columns between the records are another table's
        for i in runs:
            first = self.grid.at(table, table.columns[0].name, i or 0)
            last = self.grid.at(table, table.columns[-1].name, place.count - 1 if i is None else i)
            if i:
                cell = f"{letters(first[1])}${row + 1}"
                rule = {**rule, "criteria": f"={cell}{column.off}"}
            _done(ws.conditional_format(*first, *last, rule), table.name)

    def _stair(self, ws: Any, page: Page, block: Stair, row: int) -> None:
        """Steps that the share of a record reaches take a colour: by what they are kept for, or the last."""
        table, (left, right) = self.grid.tables[block.table], page.steps(block)
        for step in range(block.rows):
            self.tall(ws, row + step, block.tall)

        def share(column: str) -> str:
            at, col = self.grid.at(table, column, 0)
            return f"{letters(col)}${at + 1}"

        # The middle of a step as a share of all, counted from the row at hand.
        level = f"({row + block.rows + 0.5:g}-ROW())/{block.rows}"
        reached = f"ISNUMBER({share(block.column)}),{share(block.column)}>={level}"
        rules = [(f"=AND({reached},{share(column)}>={level})", color) for column, color in block.kept]
        for criteria, color in [*rules, (f"=AND({reached})", block.color)]:
            rule = {
                "type": "formula",
                "criteria": criteria,
                "format": self.format({"bg_color": color}),
                "stop_if_true": True,
            }
            _done(ws.conditional_format(row, left, row + block.rows - 1, right, rule), block.table)

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

    def _chart(self, ws: Any, page: Page, chart: Chart, row: int) -> None:
        left = ACROSS_LEFT + 2 if chart.beside else page.left + chart.left
        made = drawn(self.book, chart, lambda table, column: [*self.grid.area(f"{table}_{column}")])
        if chart.cells:
            width = chart.cells * style.NARROW_PIXELS
        else:
            width = min(1100, max(480, int(sum(self.widths[: page.on_paper][left:12]) * 7)))
        made.set_size({"width": width, "height": int(chart.rows * style.ROW / 0.75)})
        _done(ws.insert_chart(row, left, made, {"description": chart.title, "object_position": 1}), chart.title)

    def _names(self) -> None:
        for name, (sheet, top, left, bottom, right) in self.grid.defined.items():
            if not NAME.fullmatch(name):
                raise WriteError(f"{name}: not a safe defined name")
            corners = list(dict.fromkeys((xl(top, left, fixed=True), xl(bottom, right, fixed=True))))
            _done(self.book.define_name(name, f"='{sheet}'!{':'.join(corners)}"), name)
