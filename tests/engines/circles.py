"""Whether a formula rests on itself, as a program sees it that takes a range for all of its cells."""

import re
from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from holdover.workbook.grid import Area, Cell
from holdover.xlsx import column_number

REFERENCE = re.compile(
    r'"(?:[^"]|"")*"|(?:(?:\'([^\']+)\'|([A-Za-z_]\w*))!)?\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?(?![\w(])|([A-Za-z]\w*_\w+)'
)


def areas_in(cell: Cell, names: Mapping[str, Area]) -> Iterable[Area]:
    """What a formula refers to."""
    for quoted, plain, left, top, right, bottom, name in REFERENCE.findall(cell.formula):
        if name:
            yield names[name]
        elif left:
            one, row = column_number(left) - 1, int(top) - 1
            sheet = quoted or plain or cell.sheet
            yield sheet, row, one, int(bottom) - 1 if bottom else row, column_number(right) - 1 if right else one


def circle(cells: Iterable[Cell], names: Mapping[str, Area]) -> list[str]:
    """Cells that rest on each other in a circle, [] where there is none."""
    by_place = {(cell.sheet, cell.row, cell.col): cell for cell in cells if cell.formula}
    graph: dict[object, set[object]] = {}
    for place, cell in by_place.items():
        areas = set(areas_in(cell, names))
        graph[place] = set(areas)
        for area in areas:
            if area not in graph:
                sheet, top, left, bottom, right = area
                within = ((sheet, r, c) for r in range(top, bottom + 1) for c in range(left, right + 1))
                graph[area] = {each for each in within if each in by_place}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as found:
        return [str(by_place.get(each, each)) for each in found.args[1]]
    return []
