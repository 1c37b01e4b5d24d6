"""What formulas rest on, as a program sees it that takes a range for all of its cells: circles, and how far a change goes."""

import re
from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from holdover.workbook.grid import Area, Cell
from holdover.xlsx import column_number

REFERENCE = re.compile(
    r'"(?:[^"]|"")*"|(?:(?:\'([^\']+)\'|([A-Za-z_]\w*))!)?\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?(?![\w(])|([A-Za-z]\w*_\w+)'
)
Place = tuple[str, int, int]
Graph = dict[Place | Area, set[Place | Area]]
"""By cell the areas that its formula names, by area its cells."""


def areas_in(cell: Cell, names: Mapping[str, Area]) -> Iterable[Area]:
    """What a formula refers to."""
    for quoted, plain, left, top, right, bottom, name in REFERENCE.findall(cell.formula):
        if name:
            yield names[name]
        elif left:
            one, row = column_number(left) - 1, int(top) - 1
            sheet = quoted or plain or cell.sheet
            yield sheet, row, one, int(bottom) - 1 if bottom else row, column_number(right) - 1 if right else one


def graph_of(cells: Iterable[Cell], names: Mapping[str, Area]) -> Graph:
    """What every cell and every area rests on."""
    standing = {(cell.sheet, cell.row, cell.col): cell for cell in cells}
    graph: Graph = {}
    for place, cell in standing.items():
        areas = set(areas_in(cell, names)) if cell.computed else set()
        graph[place] = set(areas)
        for area in (each for each in areas if each not in graph):  # areas - graph.keys() would walk every key
            sheet, top, left, bottom, right = area
            within = ((sheet, r, c) for r in range(top, bottom + 1) for c in range(left, right + 1))
            graph[area] = {each for each in within if each in standing}
    return graph


def circle(cells: Iterable[Cell], names: Mapping[str, Area]) -> list[Place | Area]:
    """Cells that rest on each other in a circle, with the areas between them; [] where there is none."""
    try:
        TopologicalSorter(graph_of(cells, names)).prepare()
    except CycleError as found:
        return list(found.args[1])
    return []


def reached(graph: Graph, start: Place) -> set[Place]:
    """Every cell that rests on a cell, at any remove."""
    above: dict[Place | Area, list[Place | Area]] = {}
    for one, others in graph.items():
        for other in others:
            above.setdefault(other, []).append(one)
    found: set[Place | Area] = set()
    waiting: list[Place | Area] = [start]
    while waiting:
        for each in above.get(waiting.pop(), ()):
            if each not in found:
                found.add(each)
                waiting.append(each)
    return {each for each in found if len(each) == 3}
