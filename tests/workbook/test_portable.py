"""Formulas keep to the functions on which every tried spreadsheet program agrees."""

import re
from collections.abc import Iterator

import pytest

from engines.cases import CORNERS, SAMPLES, sample, small
from engines.circles import circle, graph_of, reached
from engines.walk import cells_of, grid_of
from holdover.model.study import study
from holdover.workbook.book import build, sheets_for
from holdover.workbook.page import lay_out

PORTABLE = frozenset(
    [
        "IF",
        "AND",
        "OR",
        "NOT",
        "IFERROR",
        "CHOOSE",
        "ISTEXT",
        "SUM",
        "MIN",
        "MAX",
        "MEDIAN",
        "COUNT",
        "COUNTA",
        "COUNTIF",
        "COUNTIFS",
        "SUMIF",
        "SUMIFS",
        "SUMPRODUCT",
        "INDEX",
        "MATCH",
        "ROUND",
        "ROUNDUP",
        "ROUNDDOWN",
        "MOD",
        "SIN",
        "COS",
        "TAN",
        "ASIN",
        "ACOS",
        "ATAN",
        "RADIANS",
        "DEGREES",
        "PI",
        "EXP",
        "SQRT",
        "ABS",
        "SIGN",
        "LARGE",
        "LEFT",
        "RIGHT",
        "MID",
        "LEN",
        "SUBSTITUTE",
        "TEXT",
        "FIXED",
        "REPT",
        "AVERAGE",
        "FIND",
        "SEARCH",
        "ISERROR",
        "SMALL",
        "ISNUMBER",
        "ISLOGICAL",
        "COUNTBLANK",
        "TRIM",
        "N",
        "ROW",
        "ROWS",
        "COLUMN",
        "COLUMNS",
        "ADDRESS",
    ]
)
"""Agreed by LibreOffice, Gnumeric, formualizer and IronCalc where they were tried; plain Excel 2007 functions."""
CASES = {**{path.name: sample(path) for path in SAMPLES}, "one of each": CORNERS["one of each"]}


@pytest.fixture(scope="module", params=CASES)
def formulas(request: pytest.FixtureRequest) -> list[tuple[str, str]]:
    found = {c.formula: str(c) for c in cells_of(study(CASES[request.param])) if c.formula}
    return [(where, re.sub(r'"(?:[^"]|"")*"', '""', text)) for text, where in found.items()]


def test_only_portable_functions(formulas: list[tuple[str, str]]) -> None:
    """No function outside the list, so none volatile, array, new or program-specific."""
    assert len(formulas) > 1000
    for where, text in formulas:
        assert set(re.findall(r"([A-Z][A-Z0-9.]*)\(", text)) <= PORTABLE, (where, text)


def test_no_arrays_unions_or_odd_signs(formulas: list[tuple[str, str]]) -> None:
    """No braces, no @ or #, no percent literal, no double minus, no INDEX of a whole row or column."""
    for where, text in formulas:
        assert not re.search(r"[{}@#%~\[\]!]{2}|--|[{}@#%~\[\]]", text), (where, text)
        assert not re.search(r"INDEX\([^()]*,0[,)]", text), (where, text)
        assert not re.search(r"\^", text) or re.search(r"\)\^|\w\^", text), (where, text)


def test_no_scalar_function_over_a_range(formulas: list[tuple[str, str]]) -> None:
    """Inside SUMPRODUCT stand only products and comparisons of plain ranges, not functions of ranges; those of single
    cells may: TRIM, and the least or the most of some. LARGE and SMALL may, too: they take products of ranges as they are."""
    for where, text in formulas:
        for inside in re.findall(r"SUMPRODUCT\(((?:[^()]|\([^()]*\)|\((?:[^()]|\([^()]*\))*\))*)\)", text):
            inside = re.sub(r"TRIM\(((\w+!)?[A-Z]+[0-9]+|set_\w+)\)", "A1", inside)  # of one cell
            inside = re.sub(r"(MIN|MAX)\([$A-Z0-9,+*/-]+\)", "A1", inside)
            assert set(re.findall(r"([A-Z]+)\(", inside)) <= {"IF", "INDEX", "LARGE", "SMALL"}, (where, inside)


WHOLE = {
    "ROUND",
    "ROUNDDOWN",
    "ROUNDUP",
    "TEXT",
    "INDEX",
    "MATCH",
    "COUNT",
    "COUNTIF",
    "ISTEXT",
    "ISERROR",
    "AND",
    "OR",
    "NOT",
    "ADDRESS",
}
"""Functions whose result has few digits, or is no quotient, whatever is worked out inside."""


def joins_a_quotient(text: str) -> bool:
    """Whether a product or quotient that nothing rounds is joined to a text, worked out from the innermost brackets."""
    while found := re.search(r"([A-Z]*)\(([^()]*)\)", text):
        name, inside = found.groups()
        if not name and re.search("[<>=]", inside):  # whether something holds: 1 or 0, and so is a product of them
            text = re.sub(r"§\*§", "§", f"{text[: found.start()]}§{text[found.end() :]}")
            continue
        parts = inside.split(",")
        if any("&" in part and re.search("[*/]", part) for part in parts):
            return True
        results = parts[1:] if name == "IF" else parts
        raw = name not in WHOLE and any(re.search("[*/]", part) for part in results)
        text = f"{text[: found.start()]}{'*' if raw else 'x'}{text[found.end() :]}"
    return "&" in text and bool(re.search("[*/]", text))


def test_a_number_in_words_is_rounded(formulas: list[tuple[str, str]]) -> None:
    """No raw quotient is joined to text: programs print different digits."""
    assert joins_a_quotient('=IF(a=1,""&(b/3)&"","")')
    assert not joins_a_quotient('=IF(a*2=1,""&ROUND(b/3,0)&"",INDEX(c,4*(d-1)+1))&""')
    for where, text in formulas:
        assert not joins_a_quotient(text.replace("24*plan_days", "hours")), (where, text)


def told_as(text: str) -> Iterator[str]:
    """The format of each TEXT of a formula."""
    for found in re.finditer(r"(?<![A-Z])TEXT\(", text):
        depth, end = 1, found.end()
        while depth:
            depth += (text[end] == "(") - (text[end] == ")")
            end += 1
        yield text[: end - 1].rpartition(",")[2]


@pytest.mark.parametrize("name", CASES)
def test_numbers_become_text_in_plain_formats(name: str) -> None:
    """Digits and a point: signs, groups and names of months come out in the user's own language, or not at all."""
    assert list(told_as('=TEXT(ROUND(a_b,2),"0.00")&ISTEXT(a_b)&TEXT(1,"#")')) == ['"0.00"', '"#"']
    formats = {each for c in cells_of(study(CASES[name])) for each in told_as(c.formula)}
    assert formats <= {'"0"', '"00"', '"0.0"', '"0.00"'}


DECIMAL_CRITERION = re.compile(r'"[<>=]+-?\d*[.,]\d')


@pytest.mark.parametrize("name", CASES)
def test_no_criterion_in_words_holds_a_decimal(name: str) -> None:
    """A program reads the text of a criterion such as ">0" in the user's own language: a decimal mark may not be one."""
    assert DECIMAL_CRITERION.search('=COUNTIF(a_b,">0.5")')
    wrong = {str(c): c.formula for c in cells_of(study(CASES[name])) if DECIMAL_CRITERION.search(c.formula)}
    assert not wrong


def test_a_row_of_cells_is_indexed_by_row_and_column() -> None:
    """Gnumeric takes a lone number for the row, so of candidates side by side it would find the first or none."""
    worked_out = study(CASES["one of each"])
    grid = grid_of(worked_out)
    rows = {name for name, (_, top, left, bottom, right) in grid.names.items() if top == bottom and left < right}
    found = 0
    for cell in grid.cells(worked_out):
        for name, place in indexed(cell.formula):
            found += name in rows
            assert name not in rows or place.startswith("1,"), (str(cell), cell.formula)
    assert found > 100


def indexed(formula: str) -> Iterator[tuple[str, str]]:
    """Every name of cells that a formula indexes, with what follows it."""
    for match in re.finditer(r"INDEX\((\w+),", formula):
        yield match[1], formula[match.end() :]


def test_a_range_names_its_sheet_once(formulas: list[tuple[str, str]]) -> None:
    """IronCalc can't read 'Sheet'!A1:'Sheet'!B1."""
    for where, text in formulas:
        assert not re.search(r":'?[A-Za-z ]+'?!", text), (where, text)


@pytest.mark.parametrize("name", ["one of each", "two in a chain"])
def test_no_formula_rests_on_itself(name: str) -> None:
    """Not even where a program takes a range for all of its cells."""
    worked_out = small(CORNERS[name])
    grid = grid_of(worked_out)
    cells = list(grid.cells(worked_out))
    assert not circle(cells, grid.names)
    one = next(i for i, cell in enumerate(cells) if str(cell) == "line.tier[0]")
    cells[one] = cells[one]._replace(fill="=decision_told_number")
    assert (cells[one].sheet, cells[one].row, cells[one].col) in circle(cells, grid.names)


def places_given(text: str) -> Iterator[tuple[str, int]]:
    """Each whole column that a formula's INDEX names, and how many places are given of it."""
    for found in re.finditer(r"INDEX\(\{(\w+\.\w+)\}", text):
        depth, count = 0, 0
        for sign in text[found.end() :]:
            depth += (sign == "(") - (sign == ")")
            if depth < 0:
                break
            count += sign == "," and depth == 0
        yield found[1], count


def test_a_place_in_a_row_names_the_row_too() -> None:
    """INDEX(row, n) is INDEX(row, 1, n) in most programs, and an error in one: records side by side say both."""
    assert list(places_given("=INDEX({a.b},MAX(1,{c.d}))+INDEX({e.f},1,2)")) == [("a.b", 1), ("e.f", 2)]
    made = study(CASES["one of each"])
    grid = lay_out(sheets_for(made.slots), made)[0]
    rows = {
        f"{table.name}.{column.name}": 2 if table.kind == "across" else 1
        for table in grid.tables.values()
        if grid.places[table.name].count > 1
        for column in table.columns
        if not table.spans
    }
    told = [
        (f"{table.name}.{column.name}", source, count)
        for table in grid.tables.values()
        for column in table.columns
        for text in (column.formula, column.first)
        for source, count in places_given(text)
        if rows.get(source, count) != count
    ]
    assert not told


FORMULAS_MOST = 25_000
BYTES_MOST = 450_000
REACHED_MOST = 2_000
"""Formulas and bytes of a sample's workbook, and how many formulas one price reaches.

A price may change the pick, and with it the candidate that is followed hour by hour; none reaches a what-if.
"""


@pytest.mark.parametrize("name", [path.name for path in SAMPLES])
def test_a_price_reaches_few_formulas(name: str) -> None:
    """A workbook stays small, and a client who types a price waits for few of its cells."""
    worked_out = study(CASES[name])
    grid = grid_of(worked_out)
    cells = list(grid.cells(worked_out))
    formulas = sum(cell.computed for cell in cells)
    table = grid.tables["candidates"]
    graph = graph_of(cells, grid.names)
    far = reached(graph, (grid.places[table.name].sheet, *grid.at(table, "price", 0)))
    storage = reached(graph, (grid.places[table.name].sheet, *grid.at(table, "storage_wh", 0)))
    print(f"{name}: {formulas} formulas; a price reaches {len(far)}, storage {len(storage)}")
    assert formulas <= FORMULAS_MOST
    assert len(build(worked_out, version="test")) <= BYTES_MOST
    assert 10 < len(far) <= REACHED_MOST
    assert len(storage) > len(far)
