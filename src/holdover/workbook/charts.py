"""How a chart of the workbook is drawn: one look for all of them."""

from collections.abc import Callable
from typing import Any

from holdover.workbook import style
from holdover.workbook.page import Chart

KINDS = {
    "stacked": {"type": "column", "subtype": "stacked"},
    "column": {"type": "column"},
    "line": {"type": "line"},
    "scatter": {"type": "scatter", "subtype": "straight"},
}


Ask = Callable[[str, str], list[Any]]


def drawn(book: Any, chart: Chart, area: Ask, values: Ask) -> Any:
    """The chart as an object of XlsxWriter's workbook.

    Of a table's column `area` gives the sheet and corners, and `values` what stands there.
    """
    made = book.add_chart(KINDS[chart.kind])
    lines = book.add_chart(KINDS["line"]) if any(series.over for series in chart.series) else None
    for i, series in enumerate(chart.series):
        color = series.color or style.SERIES[i % len(style.SERIES)]
        categories = (series.table, series.x) if series.x else chart.names
        what: dict[str, Any] = {
            "name": series.title,
            "values": area(series.table, series.column),
            "values_data": values(series.table, series.column),
            "categories": area(*categories),
            "categories_data": values(*categories),
        }
        if series.over or chart.kind in ("line", "scatter"):
            what["line"] = {"color": color, "width": 1.75, **({"dash_type": "dash"} if series.dashed else {})}
            what["smooth"] = False
        else:
            what |= {"fill": {"color": color}, "gap": 0 if chart.labels else 60}
        (lines if lines and series.over else made).add_series(what)
    if lines:
        made.combine(lines)
    font = {"name": style.BASE["font_name"], "size": 9, "color": style.INK}
    grid = {"visible": True, "line": {"color": style.LINE, "width": 0.5}}
    made.set_title({"name": chart.title, "name_font": {**font, "size": 11, "bold": True}, "overlay": False})
    made.set_x_axis({"name": chart.x_title, "name_font": font, "num_font": font, "label_position": "low"})
    made.set_y_axis({"name": chart.y_title, "name_font": font, "num_font": font, "major_gridlines": grid, "min": 0})
    made.show_hidden_data()  # what it draws may stand on a working sheet
    made.set_legend({"position": "bottom", "font": font})
    if chart.labels:
        _over_cells(made, chart, font)
    return made


def _over_cells(made: Any, chart: Chart, font: dict[str, Any]) -> None:
    """Shares over the cells of a row: no title, and the plot begins and ends where they do."""
    small = {**font, "color": style.GREY}
    left = chart.labels / chart.cells
    made.set_title({"none": True})
    made.set_x_axis({"label_position": "none", "major_tick_mark": "none", "num_font": small, "line": {"none": True}})
    made.set_y_axis(
        {
            "min": 0,
            "max": 1,
            "major_unit": 0.25,
            "num_format": "0%",
            "num_font": small,
            "line": {"none": True},
            "major_tick_mark": "none",
            "major_gridlines": {"visible": True, "line": {"color": style.LINE, "width": 0.5}},
        }
    )
    made.set_legend({"position": "bottom", "font": small})
    made.set_chartarea({"border": {"none": True}})
    made.set_plotarea({"layout": {"x": left, "y": 0.03, "width": 1 - left, "height": 0.83}})
    made.show_hidden_data()
