"""What keeps a returned workbook right beside its cells: taken off or altered it is named, saved by a program it is not."""

import re
from collections.abc import Callable
from random import Random

import pytest

from holdover.case.digest import digest
from holdover.returned.audit import audit
from holdover.returned.guards import PROPERTIES, guard_changes, uncovered
from holdover.workbook.grid import xl
from holdover.workbook.page import Chart
from holdover.workbook.rules import typing_in
from holdover.xlsx import SheetData
from returned.altered import CASE, Parts, altered, as_delivered, taken

FILES = 12
"""Files of a kind of change [count]."""
VISIBLE = [page for page in as_delivered().shipped.pages if not page.sheet.working]


def sheet_of(name: str) -> SheetData:
    """A sheet as it was delivered."""
    return next(sheet for sheet in as_delivered().book.sheets if sheet.name == name)


def told(change: Callable[[Parts], None]) -> list[tuple[str, str, str]]:
    """What is said of an altered file: of what, sheet and cell."""
    return [(found.what, found.sheet, found.cell) for found in guard_changes(taken(altered(change)), CASE)]


def test_as_delivered_nothing_was_taken_off() -> None:
    """Nothing is found, and the audit is clean."""
    assert guard_changes(as_delivered(), CASE) == ()
    assert audit(as_delivered(), CASE).clean


@pytest.mark.parametrize("number", range(FILES))
def test_the_way_of_calculation_is_told(number: int) -> None:
    """However a program spells it, precision as displayed and manual calculation come before all else."""
    no = ("0", "false")[number % 2]
    precision, manual = f'fullPrecision="{no}"', 'calcMode="manual"'
    settings = [
        [precision],
        [manual],
        [precision, manual],
        [manual, precision],
        [manual, 'calcOnSave="0"'],
        [precision, 'iterate="1"'],
    ]
    chosen = settings[number % len(settings)]

    def change(parts: Parts) -> None:
        parts.swap("xl/workbook.xml", "<calcPr [^>]*>", f'<calcPr calcId="{191029 + number}" {" ".join(chosen)}/>')

    found = guard_changes(taken(altered(change)), CASE)
    assert [("digits" in each.what, "F9" in each.what) for each in found] == [
        (True, False) for _ in chosen if precision in chosen
    ][:1] + [(False, True) for _ in chosen if manual in chosen][:1]


@pytest.mark.parametrize("harmless", ["", ' calcMode="auto" fullPrecision="1"', ' calcMode="autoNoTable"'])
def test_calculation_as_usual_is_no_change(harmless: str) -> None:
    """Whatever a program says of it in other words."""
    assert told(lambda parts: parts.swap("xl/workbook.xml", "<calcPr [^>]*>", f"<calcPr{harmless}/>")) == []


@pytest.mark.parametrize("number", range(FILES))
def test_an_altered_fingerprint_is_told(number: int) -> None:
    """A property taken out or blanked, the fingerprint of other inputs, of the changed inputs, or of none."""
    custom = "docProps/custom.xml"
    if number < len(PROPERTIES):
        name = PROPERTIES[number]
        if name == "holdover_version":
            return  # of another version nothing is held against anybody: the audit says which it is
        found = told(lambda parts: parts.swap(custom, f'<property [^>]*name="{name}".*?</property>', ""))
        assert [what for what, *_ in found] == [
            f"the property {name} is gone, and others stand: its fingerprint was altered"
        ]
        return
    spot = as_delivered().spots["sizing", 0, "reserve"]
    share = round(0.2 + number / 100, 2)
    edited = CASE.model_copy(update={"sizing": CASE.sizing.model_copy(update={"reserve": share})})
    forged = digest(edited) if number % 2 else f"{number:064x}"

    def change(parts: Parts) -> None:
        parts.retype(spot.home, spot.cell, share)
        parts.swap(custom, digest(CASE), forged)

    data = altered(change)
    (found_,) = guard_changes(taken(data), CASE)
    said = "the inputs as they are now" if number % 2 else "neither this case nor the inputs as they are now"
    assert found_.what.startswith(f"the fingerprint is of {said}:")
    assert not audit(taken(data), CASE).clean


def test_a_program_that_keeps_no_properties_is_held_against_nobody() -> None:
    """All of them gone: nothing is said."""
    assert told(lambda parts: parts.swap("docProps/custom.xml", "<property .*</property>", "")) == []


@pytest.mark.parametrize("name", [page.sheet.name for page in VISIBLE])
def test_protection_that_was_taken_off_is_named(name: str) -> None:
    """Each sheet: its protection, or where something is folded the rule that keeps typing off its formulas."""
    protected = sheet_of(name).protected
    off = "<sheetProtection [^>]*>" if protected else '<dataValidation type="custom".*?</dataValidation>'
    ((what, sheet, _),) = told(lambda parts: parts.swap(parts.sheet(name), off, ""))
    assert sheet == name
    if protected:
        assert what == "the protection of the sheet was taken off: its formulas can be typed over"
    else:
        assert re.fullmatch(r"the rule that keeps typing off [0-9,]+ formulas was taken off", what)


def checked() -> list[tuple[str, str, str, str]]:
    """Inputs of which not everything may be typed: sheet, title, first cell, area."""
    grid = as_delivered().shipped.grid
    return [
        (sheet, column.title, xl(top, left), ":".join(dict.fromkeys((xl(top, left), xl(bottom, right)))))
        for table in grid.tables.values()
        for sheet, column, (top, left, bottom, right), _ in typing_in(grid, table)
    ]


@pytest.mark.parametrize(("number", "place"), [*enumerate(Random("checked").sample(checked(), FILES))])
def test_a_validation_that_was_taken_off_is_named(number: int, place: tuple[str, str, str, str]) -> None:
    """By the input into which anything may be typed by now; so is one that lets anything pass."""
    sheet, title, cell, area = place
    rule = f'<dataValidation type="[a-z]+"([^>]*sqref="{area}".*?</dataValidation>)'
    instead = ("", r'<dataValidation type="none"\1', r"<dataValidation\1")[number % 3]
    (found,) = guard_changes(taken(altered(lambda parts: parts.swap(parts.sheet(sheet), rule, instead))), CASE)
    assert (found.sheet, found.cell, found.label) == (sheet, cell, title)
    assert found.what.startswith("what is typed is no longer checked")


LOOKING = [sheet.name for sheet in as_delivered().book.sheets if sheet.formatted]


@pytest.mark.parametrize("name", LOOKING)
def test_looks_that_were_taken_off_are_named(name: str) -> None:
    """A sheet on which OK and UNDER look alike by now: each of its tables that lost its colours, and no other sheet."""
    found = told(lambda parts: parts.swap(parts.sheet(name), "<conditionalFormatting .*</conditionalFormatting>", ""))
    assert {sheet for _, sheet, _ in found} == {name}
    assert {what for what, *_ in found} == {"colours that follow from what stands there were taken off"}


def test_there_are_many_sheets_with_looks() -> None:
    """The test above has that many files."""
    assert len(LOOKING) >= 10


CHARTS = [(page, block, row) for page in VISIBLE for block, row in page.blocks if isinstance(block, Chart)]


@pytest.mark.parametrize("how", ["its frame", "its anchor", "the drawing"])
@pytest.mark.parametrize("number", range(len(CHARTS)))
def test_a_chart_that_was_deleted_is_named(number: int, how: str) -> None:
    """By its title and the cell where it began; the others of the sheet are not."""
    page, block, _ = CHARTS[number]
    name = page.sheet.name
    mine = [i for i, each in enumerate(CHARTS) if each[0] is page]

    def change(parts: Parts) -> None:
        part = parts.sheet(name).replace("worksheets/", "worksheets/_rels/") + ".rels"
        drawing = re.findall(r"drawings/drawing[0-9]+\.xml", parts[part])[0]
        if how == "the drawing":
            parts.swap(part, f'<Relationship [^>]*{drawing}"/>', "")
            return
        tag = {"its frame": "xdr:graphicFrame", "its anchor": "xdr:twoCellAnchor"}[how]
        frames = re.findall(f"<{tag}.*?</{tag}>", parts[f"xl/{drawing}"], re.DOTALL)
        assert len(frames) == len(mine)
        parts[f"xl/{drawing}"] = parts[f"xl/{drawing}"].replace(frames[mine.index(number)], "")

    found = guard_changes(taken(altered(change)), CASE)
    gone = [CHARTS[i][1].title for i in mine] if how == "the drawing" else [block.title]
    assert [each.label for each in found] == gone
    assert {(each.what, each.sheet) for each in found} == {("the chart is gone", name)}
    assert all(re.fullmatch("[A-Z]+[0-9]+", each.cell) for each in found)


def test_a_chart_that_was_moved_is_not_gone() -> None:
    """Another place on its sheet is no matter."""
    page, *_ = CHARTS[0]

    def change(parts: Parts) -> None:
        part = parts.sheet(page.sheet.name).replace("worksheets/", "worksheets/_rels/") + ".rels"
        drawing = re.findall(r"drawings/drawing[0-9]+\.xml", parts[part])[0]
        parts.swap(f"xl/{drawing}", "<xdr:row>[0-9]+</xdr:row>", "<xdr:row>200</xdr:row>")

    assert told(change) == []


def lines() -> list[tuple[str, int]]:
    """Rows in which something stands that counts, of sheets that people read; what is folded away apart."""
    return [
        (page.sheet.name, row)
        for page in VISIBLE
        for row, cells in sheet_of(page.sheet.name).rows.items()
        if any(cell.worked_out and cell.value for cell in cells.values())
        and row not in sheet_of(page.sheet.name).hidden_rows
    ]


@pytest.mark.parametrize(("name", "row"), Random("rows").sample(lines(), FILES))
def test_a_hidden_row_is_named(name: str, row: int) -> None:
    """With its first cell; so are a hidden column and a hidden sheet."""

    def hide(parts: Parts) -> None:
        parts.swap(parts.sheet(name), f'<row r="{row}"', f'<row r="{row}" hidden="1"')

    ((what, sheet, cell),) = told(hide)
    assert (what, sheet) == (f"row {row} is hidden; what stands there counts", name)
    assert re.fullmatch(f"[A-Z]+{row}", cell)


@pytest.mark.parametrize("name", [page.sheet.name for page in VISIBLE if not page.sheet.wanted])
def test_a_hidden_column_and_a_hidden_sheet_are_named(name: str) -> None:
    """The first column, and the sheet as a whole."""

    def hide(parts: Parts) -> None:
        parts.swap("xl/workbook.xml", f'<sheet name="{name}"', f'<sheet name="{name}" state="hidden"')
        parts.swap(parts.sheet(name), "<cols>", '<cols><col min="2" max="3" hidden="1"/>')

    found = told(hide)
    assert found[0] == ("the sheet was hidden; what stands on it counts", name, "")
    assert [(what, sheet) for what, sheet, _ in found[1:]] in (
        [("columns B to C are hidden; what stands there counts", name)],
        [("column B is hidden; what stands there counts", name)],
        [],  # of which nothing stands there
    )


def test_rows_and_columns_that_follow_on_each_other_are_told_in_one() -> None:
    """Three loads in a run, and two columns."""
    first = as_delivered().spots["loads", 0, "name"].row + 1

    def hide(parts: Parts) -> None:
        for row in range(first, first + 3):
            parts.swap(parts.sheet("Load"), f'<row r="{row}"', f'<row r="{row}" hidden="1"')
        parts.swap(parts.sheet("Load"), "<cols>", '<cols><col min="5" max="6" hidden="1"/>')

    assert [what for what, *_ in told(hide)] == [
        f"rows {first} to {first + 2} are hidden; what stands there counts",
        "columns E to F are hidden; what stands there counts",
    ]


def test_a_blank_line_that_is_hidden_is_none() -> None:
    """Spare lines of the inventory, out of sight: nothing stands there."""
    last = as_delivered().spots["loads", 7, "name"].row + 1
    assert told(lambda parts: parts.swap(parts.sheet("Load"), f'<row r="{last}"', f'<row r="{last}" hidden="1"')) == []


def test_more_areas_than_can_be_are_not_looked_at() -> None:
    """A hostile file takes no longer than an honest one, and nothing is said that was not seen."""
    wide = [(1, 1, 1, 1700)] * 2_000
    assert uncovered([(9, col) for col in range(1700)], wide) == set()


def test_settings_are_told_before_words() -> None:
    """What changes results stands above what only guards them, in the text and in the JSON."""
    name = VISIBLE[0].sheet.name

    def change(parts: Parts) -> None:
        parts.swap("xl/workbook.xml", "<calcPr [^>]*>", '<calcPr fullPrecision="0"/>')
        parts.swap(parts.sheet(name), "<sheetProtection [^>]*>", "")

    found = audit(taken(altered(change)), CASE)
    first, second = found.as_dict()["guards"]
    assert "digits" in first["what"]
    assert "protection" in second["what"]
    assert "Calculation, protection and looks: 2 settings not as written" in found.text()
    assert not found.clean
