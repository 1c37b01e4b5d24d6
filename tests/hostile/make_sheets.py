"""Workbooks that can be read, and cells in them that can't."""

import io
import sys
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import xlsxwriter

sys.path.insert(0, str(Path(__file__).parent))
from example import LOADS, Example, case


def book(build: Callable[[xlsxwriter.Workbook], None]) -> bytes:
    """A workbook in memory."""
    data = io.BytesIO()
    workbook = xlsxwriter.Workbook(data, {"in_memory": True})
    build(workbook)
    workbook.close()
    return data.getvalue()


def _grid(rows: list[list[Any]], name: str = "Loads", **options: Any) -> bytes:
    def build(workbook: xlsxwriter.Workbook) -> None:
        sheet = workbook.add_worksheet(name)
        for number, row in enumerate(rows):
            for column, value in enumerate(row):
                if value is not None:
                    sheet.write(number, column, value)
        for start, end, value in options.get("merged", []):
            sheet.merge_range(*start, *end, value)
        for row in options.get("hidden", []):
            sheet.set_row(row, None, None, {"hidden": True})
        if "more" in options:
            options["more"](workbook, sheet)

    return book(build)


def _sheet(name: str, data: bytes, errors: str = "", said: str = "", values: dict[str, Any] | None = None) -> Example:
    return case(name, None, errors=errors, said=said, values=values, loads__xlsx=data)


def _sheets() -> Iterator[Example]:
    head = ["Load", "Qty", "Running (kW)", "Hours/day", "From"]
    lamp = ["Lamp", 2, 0.01, 5, None]
    good = {"loads.0.running_w": 10, "loads.0.quantity": 2}
    yield _sheet("xlsx plain", _grid([head, lamp]), values=good)
    yield _sheet(
        "xlsx numbers as text",
        _grid([head, ["Lamp", "2", "0.01 kW", "5", "6 pm"]]),
        values=good | {"loads.0.starts_at": 18},
    )
    yield _sheet(
        "xlsx title", _grid([["Survey"], [], head, lamp], merged=[((0, 0), (0, 4), "Survey")]), said="C014", values=good
    )
    yield _sheet("xlsx shifted", _grid([[], [], [None, *head], [None, *lamp]]), values=good)
    yield _sheet(
        "xlsx hidden row",
        _grid([head, lamp, ["Fan", 1, 0.05, 3, None]], hidden=[2]),
        said="X008",
        values={"loads.1.name": "Fan"},
    )
    yield _sheet("xlsx name is a number", _grid([head, [12, 2, 0.01, 5, None]]), values={"loads.0.name": "12"})
    yield _sheet(
        "xlsx merged names",
        _grid([head, lamp, [None, 1, 0.2, 3, None]], merged=[((1, 0), (2, 0), "Lamp")]),
        errors="R001 X007",
    )
    yield _sheet("xlsx boolean", _grid([head, ["Lamp", True, 0.01, 5, None]]), errors="Q009")
    yield _sheet("xlsx boolean name", _grid([head, [True, 1, 0.01, 5, None]]), errors="Q009")
    yield _sheet("xlsx total", _grid([head, lamp, ["Total", 2, 0.02, None, None]]), said="C008", values=good)
    yield _sheet("xlsx no header", _grid([["a", "b"], [1, 2]]), errors="C002")
    yield _sheet("xlsx empty", _grid([]), errors="C002")
    yield _sheet(
        "xlsx percent cells",
        _grid([["Load", "Watts", "Hours", "Duty %"], ["A", 1, 2, 0.35]]),
        said="Q021",
        values={"loads.0.duty": 0.35},
    )

    def percent(workbook: xlsxwriter.Workbook, sheet: Any) -> None:
        sheet.write_number(1, 3, 0.35, workbook.add_format({"num_format": "0%"}))

    yield _sheet(
        "xlsx shown in percent",
        _grid([["Load", "Watts", "Hours", "Duty %"], ["A", 1, 2, None]], more=percent),
        values={"loads.0.duty": 0.35},
    )
    yield _sheet("xlsx negative", _grid([head, ["Lamp", 2, -0.01, 5, None]]), errors="Q002")
    yield _sheet("xlsx 1e308", _grid([head, ["Lamp", 2, 1e308, 5, None]]), errors="Q010")

    def times(workbook: xlsxwriter.Workbook, sheet: Any) -> None:
        sheet.write_number(1, 4, 0.75, workbook.add_format({"num_format": "hh:mm"}))
        sheet.write_number(1, 3, 0.0625, workbook.add_format({"num_format": "[h]:mm"}))

    def date(workbook: xlsxwriter.Workbook, sheet: Any) -> None:
        sheet.write_number(1, 1, 45_000, workbook.add_format({"num_format": "yyyy-mm-dd"}))

    def formula(workbook: xlsxwriter.Workbook, sheet: Any) -> None:  # noqa: ARG001
        sheet.write_formula(1, 2, "=5/500", None, 0.01)

    yield _sheet(
        "xlsx times",
        _grid([head, ["Lamp", 2, 0.01, None, None]], more=times),
        said="X012",
        values={"loads.0.starts_at": 18, "loads.0.hours_per_day": 1.5},
    )
    yield _sheet("xlsx date", _grid([head, lamp], more=date), errors="X006")
    yield _sheet("xlsx formula", _grid([head, ["Lamp", 2, None, 5, None]], more=formula), said="X010", values=good)
    yield _sheet("xlsx formula without value", _unsaved([head, ["Lamp", 2, "=5/500", 5, None]]), errors="X004 R001")
    yield _sheet("xlsx error cell", _unsaved([head, ["Lamp", 2, "#REF!", 5, None]]), errors="X005")
    yield _sheet("xlsx other sheet first", _two_sheets([["Read me"]], [head, lamp]), values=good)
    yield _sheet("xlsx two sheets fit", _two_sheets([head, lamp], [head, lamp]), errors="X003")
    yield _sheet("xlsx right name", _two_sheets([head, ["X", 1, 1, 1, None]], [head, lamp], "Load survey"), values=good)
    yield _sheet("xlsx hidden sheet", _two_sheets([["Read me"]], [head, lamp], hidden=True), said="X009", values=good)
    yield _sheet(
        "xlsx hidden twin",
        _two_sheets([head, ["X", 1, 1, 1, None]], [head, lamp], hidden=True),
        values={"loads.0.name": "X"},
    )
    both = _two_sheets([["Model", "Wh", "Continuous", "Surge"], ["U", 2048, 2400, 4800]], [head, lamp])
    yield case(
        "xlsx both parts",
        None,
        None,
        'loads = "s.xlsx"\ncandidates = "s.xlsx"\n',
        s__xlsx=both,
        values=good | {"candidates.0.storage_wh": 2048},
    )
    side = [["Model", "U"], ["Capacity (kWh)", 2.048], ["Continuous", 2400], ["Surge", 4800]]
    yield case(
        "xlsx side by side",
        None,
        None,
        'loads = "s.xlsx"\ncandidates = "s.xlsx"\n',
        said="C021",
        s__xlsx=_two_sheets(side, [head, lamp]),
        values=good | {"candidates.0.storage_wh": 2048, "candidates.0.name": "U"},
    )
    for name, data in [
        ("not a zip", b"hello"),
        ("cut", _grid([head, lamp])[:900]),
        ("empty zip", b"PK\x05\x06" + b"\x00" * 18),
        ("csv", LOADS),
        ("old", b"\xd0\xcf\x11\xe0" + b"\x00" * 600),
        ("other zip", _zip({"a.txt": b"x"})),
    ]:
        yield _sheet(f"xlsx {name}", data, errors="X001")


def _zip(parts: dict[str, bytes]) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return data.getvalue()


def _unsaved(rows: list[list[Any]]) -> bytes:
    """A workbook as a program writes it that never calculates."""
    workbook = openpyxl.Workbook()
    for row in rows:
        workbook.active.append(row)
    data = io.BytesIO()
    workbook.save(data)
    return data.getvalue()


def _two_sheets(
    first: list[list[Any]], second: list[list[Any]], name: str = "Second", *, hidden: bool = False
) -> bytes:
    def build(workbook: xlsxwriter.Workbook) -> None:
        for title, rows in (("First", first), (name, second)):
            sheet = workbook.add_worksheet(title)
            for number, row in enumerate(rows):
                sheet.write_row(number, 0, [value for value in row if value is not None])
        if hidden:
            sheet.hide()

    return book(build)


def examples() -> Iterator[Example]:
    """Every case of this file."""
    yield from _sheets()
