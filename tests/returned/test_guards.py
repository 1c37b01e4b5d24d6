"""What keeps a returned workbook right beside its cells: taken off or altered it is named, saved by a program it is not."""

import re
from collections.abc import Callable, Sequence
from random import Random

import pytest

from holdover.case.digest import digest
from holdover.returned.audit import audit
from holdover.returned.compare import Change
from holdover.returned.guards import PROPERTIES, guard_changes, uncovered
from holdover.workbook.grid import xl
from holdover.workbook.page import Chart, Page
from holdover.workbook.rules import typing_in
from holdover.xlsx import SheetData
from returned.altered import CASE, Parts, altered, as_delivered, taken

FILES = 8
"""Files of a kind of change [count]."""
HALVES = (0, 1)
"""Every second place is altered in one file, the others in another: each is named where it was, and not where it wasn't."""
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


@pytest.mark.parametrize("number", range(6))
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


@pytest.mark.parametrize("half", HALVES)
def test_protection_that_was_taken_off_is_named(half: int) -> None:
    """Each sheet: its protection, or where something is folded the rule that keeps typing off its formulas."""
    names = [page.sheet.name for page in VISIBLE][half::2]
    protected = {name for name in names if sheet_of(name).protected}

    def change(parts: Parts) -> None:
        for name in names:
            off = (
                "<sheetProtection [^>]*>" if name in protected else '<dataValidation type="custom".*?</dataValidation>'
            )
            parts.swap(parts.sheet(name), off, "")

    found = told(change)
    assert sorted(sheet for _, sheet, _ in found) == sorted(names)
    for what, sheet, _ in found:
        if sheet in protected:
            assert what == "the protection of the sheet was taken off: its formulas can be typed over"
        else:
            assert re.fullmatch(r"the rule that keeps typing off [0-9,]+ formulas was taken off", what)


def checked() -> list[tuple[str, str, str, str]]:
    """Inputs of which not everything may be typed: sheet, title, first cell, area."""
    grid = as_delivered().shipped.grid
    return [
        (sheet, column.title, xl(top, left), ":".join(dict.fromkeys((xl(top, left), xl(bottom, right)))))
        for table in grid.tables.values()
        for sheet, column, (top, left, bottom, right), rule in typing_in(grid, table)
        if rule["validate"] != "any" and rule.get("show_error", True)  # else anything may be typed
    ]


@pytest.mark.parametrize("instead", ["", r'<dataValidation type="none"\1', r"<dataValidation\1"])
def test_a_validation_that_was_taken_off_is_named(instead: str) -> None:
    """By the inputs into which anything may be typed by now, and by no other; so are those that let anything pass."""
    places = Random(instead).sample(checked(), 6)

    def change(parts: Parts) -> None:
        for sheet, _, _, area in places:
            rule = f'<dataValidation type="[a-z]+"([^>]*sqref="{area}".*?</dataValidation>)'
            parts.swap(parts.sheet(sheet), rule, instead)

    found = guard_changes(taken(altered(change)), CASE)
    wanted = sorted((sheet, cell, title) for sheet, title, cell, _ in places)
    assert sorted((each.sheet, each.cell, each.label) for each in found) == wanted
    assert all(each.what.startswith("what is typed is no longer checked") for each in found)


LOOKING = [sheet.name for sheet in as_delivered().book.sheets if sheet.formatted]


@pytest.mark.parametrize("half", HALVES)
def test_looks_that_were_taken_off_are_named(half: int) -> None:
    """Sheets on which OK and UNDER look alike by now: tables of theirs that lost their colours, and no other sheet."""

    def change(parts: Parts) -> None:
        for name in LOOKING[half::2]:
            parts.swap(parts.sheet(name), "<conditionalFormatting .*</conditionalFormatting>", "")

    found = told(change)
    assert {sheet for _, sheet, _ in found} == set(LOOKING[half::2])
    assert {what for what, *_ in found} == {"colours that follow from what stands there were taken off"}


def test_there_are_many_sheets_with_looks() -> None:
    """The test above has that many sheets."""
    assert len(LOOKING) >= 10


CHARTS = [(page, block, row) for page in VISIBLE for block, row in page.blocks if isinstance(block, Chart)]


DRAWN = list(dict.fromkeys(page.sheet.name for page, *_ in CHARTS))
"""Sheets with charts."""


def drawing_of(parts: Parts, name: str) -> tuple[str, str]:
    """The part that tells what a sheet refers to, and the drawing of its charts."""
    part = parts.sheet(name).replace("worksheets/", "worksheets/_rels/") + ".rels"
    return part, re.findall(r"drawings/drawing[0-9]+\.xml", parts[part])[0]


@pytest.mark.parametrize("tag", ["xdr:graphicFrame", "xdr:twoCellAnchor"])
@pytest.mark.parametrize("half", HALVES)
def test_a_chart_that_was_deleted_is_named(half: int, tag: str) -> None:
    """By its title and the cell where it began, whether its frame went or its anchor; the others are not."""
    gone = CHARTS[half::2]

    def change(parts: Parts) -> None:
        for name in DRAWN:
            mine = [chart for chart in CHARTS if chart[0].sheet.name == name]
            _, drawing = drawing_of(parts, name)
            frames = re.findall(f"<{tag}.*?</{tag}>", parts[f"xl/{drawing}"], re.DOTALL)
            for frame, chart in zip(frames, mine, strict=True):
                if chart in gone:
                    parts[f"xl/{drawing}"] = parts[f"xl/{drawing}"].replace(frame, "")

    are_told(guard_changes(taken(altered(change)), CASE), gone)


@pytest.mark.parametrize("half", HALVES)
def test_charts_whose_drawing_was_deleted_are_named(half: int) -> None:
    """All of the sheet, and none of other sheets."""

    def change(parts: Parts) -> None:
        for name in DRAWN[half::2]:
            part, drawing = drawing_of(parts, name)
            parts.swap(part, f'<Relationship [^>]*{drawing}"/>', "")

    gone = [chart for chart in CHARTS if chart[0].sheet.name in DRAWN[half::2]]
    are_told(guard_changes(taken(altered(change)), CASE), gone)


def are_told(found: Sequence[Change], gone: Sequence[tuple[Page, Chart, int]]) -> None:
    """That these charts are gone is said, and nothing else."""
    assert sorted((each.sheet, each.label) for each in found) == sorted((p.sheet.name, c.title) for p, c, _ in gone)
    assert {each.what for each in found} == {"the chart is gone"}
    assert all(re.fullmatch("[A-Z]+[0-9]+", each.cell) for each in found)


def test_a_chart_that_was_moved_is_not_gone() -> None:
    """Another place on its sheet is no matter."""
    page, *_ = CHARTS[0]

    def change(parts: Parts) -> None:
        _, drawing = drawing_of(parts, page.sheet.name)
        parts.swap(f"xl/{drawing}", "<xdr:row>[0-9]+</xdr:row>", "<xdr:row>200</xdr:row>")

    assert told(change) == []


def lines(name: str) -> list[int]:
    """Rows of a sheet in which something stands that counts; what is folded away apart."""
    return [
        row
        for row, cells in sheet_of(name).rows.items()
        if any(cell.worked_out and cell.value for cell in cells.values()) and row not in sheet_of(name).hidden_rows
    ]


@pytest.mark.parametrize("half", HALVES)
def test_a_hidden_row_is_named(half: int) -> None:
    """With its first cell, on each sheet; so are a hidden column and a hidden sheet."""
    hidden = {
        page.sheet.name: Random(half).choice(lines(page.sheet.name)) for page in VISIBLE if lines(page.sheet.name)
    }

    def hide(parts: Parts) -> None:
        for name, row in hidden.items():
            parts.swap(parts.sheet(name), f'<row r="{row}"', f'<row r="{row}" hidden="1"')

    found = told(hide)
    wanted = sorted((name, f"row {row} is hidden; what stands there counts") for name, row in hidden.items())
    assert sorted((sheet, what) for what, sheet, _ in found) == wanted
    assert all(re.fullmatch(f"[A-Z]+{hidden[sheet]}", cell) for _, sheet, cell in found)


@pytest.mark.parametrize("half", HALVES)
def test_a_hidden_column_and_a_hidden_sheet_are_named(half: int) -> None:
    """Columns B and C, and the sheet as a whole."""
    names = [page.sheet.name for page in VISIBLE if not page.sheet.wanted][half::2]

    def hide(parts: Parts) -> None:
        for name in names:
            parts.swap("xl/workbook.xml", f'<sheet name="{name}"', f'<sheet name="{name}" state="hidden"')
            parts.swap(parts.sheet(name), "<cols>", '<cols><col min="2" max="3" hidden="1"/>')

    found = told(hide)
    assert {sheet for _, sheet, _ in found} == set(names)
    for name in names:
        first, *others = [(what, cell) for what, sheet, cell in found if sheet == name]
        assert first == ("the sheet was hidden; what stands on it counts", "")
        assert [what for what, _ in others] in (
            ["columns B to C are hidden; what stands there counts"],
            ["column B is hidden; what stands there counts"],
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
