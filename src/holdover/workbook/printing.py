"""How a sheet is laid out on paper: which part of it, on how many pages, what is repeated on each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from holdover.workbook import style
from holdover.workbook.column import Table
from holdover.workbook.grid import Grid
from holdover.workbook.page import ACROSS_LEFT, NARROW_FIRST_ROW, Chart, Page, Stair, Words, heading_rows, height
from holdover.workbook.paper import (
    MARGIN_ENDS,
    MARGIN_SIDE,
    Paper,
    is_one_high,
    page_breaks,
    pages_across,
    paper_of,
)
from holdover.workbook.path import follow

SENTENCE_CHARACTER = 0.85
"""Width of a letter of the usual type, as a share of the unit of width [-]; it has some slack."""
Refusals = Iterator[tuple[int | None, object]]
"""What XlsxWriter answered to each wish, 0 or nothing where it did it, and what the wish was about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPaper:
    """A sheet on the paper of the house; `heights` has the rows that are not of the usual height [pt]."""

    grid: Grid
    study: Any
    page: Page
    heights: Mapping[int, float]
    widths: Sequence[float]
    folded_rows: frozenset[int]
    version: str

    def set_up(self, ws: Any) -> Refusals:
        """Lay the sheet out; one that is not printed has a print range of one blank cell."""
        yield from self._one_page(ws) if self.page.sheet.narrow else self._pages(ws)
        if not self._is_printed():
            yield from self._keep_off_paper(ws)

    def _is_printed(self) -> bool:
        """Whether it goes on paper."""
        return bool(self.page.sheet.printed and follow(self.study, self.page.sheet.printed))

    def _keep_off_paper(self, ws: Any) -> Refusals:
        """A print range of one blank cell, behind all others: programs leave out a page on which nothing stands.

        One that prints it all the same prints how to get the sheet on paper.
        """
        ws.set_header("&L&9 Not laid out for paper: clear the print area to print it.&R&9&A")
        below = max(self.page.footprint) + 2
        yield ws.print_area(below, 0, below, 0), self.page.sheet.name

    def _height(self, row: int) -> float:
        """Height of a row of the sheet at hand [pt]."""
        return self.heights.get(row, style.ROW)

    def _listed(self) -> int:
        """How many columns hold candidates that are listed, and what stands left of them."""
        table = self.grid.tables[self.page.sheet.freeze]
        return self.grid.places[table.name].left + int(follow(self.study, self.page.sheet.listed)) * table.stride

    def _widths_on_paper(self) -> Sequence[float]:
        """Widths of the columns that are printed: where candidates are few, so many that the sheet's sentence fits."""
        if not self.page.sheet.listed:
            return self.widths[: self.page.on_paper]
        count, wide = self._listed(), len(self.page.sheet.title) * SENTENCE_CHARACTER
        while count < len(self.widths) and sum(self.widths[:count]) < wide:
            count += 1
        return self.widths[:count]

    def _pages(self, ws: Any) -> Refusals:
        """A sheet that takes the pages it needs."""
        sheet, blocks = self.page.sheet, self._blocks()
        widths = self._widths_on_paper()
        across, end = pages_across(widths, self.paper), blocks[-1][1] if blocks else 2
        end = min(end, self.page.ends_above or end, sheet.rows or end)
        rows = (row for row in range(end) if row not in self.folded_rows)
        one_high = across == 1 and is_one_high(sum(map(self._height, rows)), self.paper)
        ws.hide_gridlines(2)
        ws.set_paper(self.paper.number)
        ws.set_landscape()
        ws.fit_to_pages(across, int(one_high))
        ws.set_margins(MARGIN_SIDE, MARGIN_SIDE, MARGIN_ENDS, MARGIN_ENDS)
        title = self.study.case.about.title[:100].replace("&", "&&")
        # Pages beside each other repeat what stands left of the candidates: a sentence that runs on from there goes above.
        first = self.grid.places[sheet.freeze].top if across > 1 and sheet.freeze else 0
        said = f"\n {sheet.title.replace('&', '&&')}" if first else ""
        ws.set_header(f"&L&9 {title}{said}&R&9&A")  # a blank, or a title that begins with a digit would be a font size
        if self._is_printed():
            ws.set_footer(f"&L&9holdover {self.version}&R&9page &P of &N")
            yield ws.print_area(first, 0, end - 1, len(widths) - 1), sheet.name
        if not one_high and self._is_printed():
            ws.set_h_pagebreaks(page_breaks(blocks, self._height, widths, across, self.paper))
        ws.set_tab_color(style.LINE if sheet.working else style.TEAL)
        # Titles that repeat, on whatever sheet, make LibreOffice draw page breaks over all of them: only where one needs them.
        if sheet.freeze:
            yield from self._freeze(ws, self.grid.tables[sheet.freeze], sheet.heads, repeated=not one_high)
        if across > 1 and self._is_printed():
            yield ws.repeat_columns(0, ACROSS_LEFT - 1), sheet.name

    def _one_page(self, ws: Any) -> Refusals:
        """A composed page: one sheet of paper, without its margin column; letters over narrow columns are noise."""
        sheet = self.page.sheet
        ws.hide_gridlines(2)
        ws.hide_row_col_headers()
        ws.set_paper(self.paper.number)
        ws.set_portrait() if sheet.portrait else ws.set_landscape()
        ws.set_margins(*style.PAGE_MARGINS)
        ws.center_horizontally()
        # Many candidates make it long: then it runs on, rather than shrink to what nobody reads.
        tall = sum(map(self._height, range(self.page.last_on_paper + 1)))
        room = self.paper._replace(high=self.paper.high + 72 * (2 * MARGIN_ENDS - sum(style.PAGE_MARGINS[2:])))
        upright = room._replace(high=self.paper.wide + 72 * (2 * MARGIN_SIDE - sum(style.PAGE_MARGINS[2:])))
        ws.fit_to_pages(1, 1 if sheet.portrait or is_one_high(tall, room) else 0)
        size = "&10" if sheet.portrait and not is_one_high(tall, upright) else ""  # LibreOffice makes it smaller, too
        ws.set_footer(f"&L{size}{sheet.foot}&R{size}page &P of &N", {"margin": 0.25, "scale_with_doc": False})
        if self._is_printed():
            first = NARROW_FIRST_ROW if sheet.portrait else 0  # a page of its own title needs no name and no hint
            yield ws.print_area(first, self.page.left, self.page.last_on_paper, sheet.narrow), sheet.name
        ws.set_zoom(sheet.zoom)
        ws.set_tab_color(style.TEAL)

    @property
    def paper(self) -> Paper:
        """What the case is printed on."""
        return paper_of(self.study.case)

    def _freeze(self, ws: Any, table: Table, heads: int, *, repeated: bool) -> Refusals:
        """A table's headings, or its first rows where records stand beside each other, stay in sight; on paper they repeat."""
        place, down = self.grid.places[table.name], table.kind == "down"
        last = place.top - 1 if down else place.top + table.rows[heads - 1]
        ws.freeze_panes(last + 1, 1 if down else place.left)
        if repeated and self._is_printed():
            yield ws.repeat_rows(place.top - down * heading_rows(table), last), table.name

    def _blocks(self) -> list[tuple[int, int, bool]]:
        """What goes on paper: first row, first row after it, and whether it may be cut; words stay with what follows."""
        blocks: list[tuple[int, int, bool]] = []
        words = False
        for block, row in self.page.blocks:
            if isinstance(block, Words):
                after = row + len(block.lines) + 1
            elif isinstance(block, Chart | Stair):
                after = row + block.rows + 1
            else:
                after = self.grid.places[block.name].top + height(block, self.grid.places[block.name].count) + 1
            if (isinstance(block, Chart) and block.beside) or (isinstance(block, Table) and block.folded):
                continue
            first = blocks.pop()[0] if words else row
            blocks.append((first, after, isinstance(block, Table) and block.name == self.page.sheet.freeze))
            words = isinstance(block, Words)
        return blocks
