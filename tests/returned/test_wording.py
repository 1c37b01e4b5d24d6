"""Standing words that were changed in a returned workbook are named with sheet and cell; programs change none."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from holdover.returned.audit import audit, audit_file, edited_since
from holdover.returned.wording import CALLED, wording_changes
from holdover.workbook.grid import xl
from holdover.workbook.page import Label
from returned.altered import CASE, Parts, altered, as_delivered, delivered, standing, taken

FILES = 12
"""Files of a kind of change [count]."""
Place = tuple[str, str, Label]


def drawn(kind: str) -> list[Place]:
    """Standing texts of a kind."""
    there = [each for each in standing() if CALLED.get(each[2].kind, "heading") == kind and each[2].kind != "elsewhere"]
    return Random(kind).sample(there, FILES)


def found_in(data: bytes) -> set[tuple[str, str, str]]:
    """What is said of the words in a file: of what, sheet and cell."""
    return {(change.what, change.sheet, change.cell) for change in wording_changes(taken(data))}


def test_words_as_they_were_written_are_none() -> None:
    """In the workbook as it is delivered nothing is found."""
    assert wording_changes(as_delivered()) == ()


@pytest.mark.parametrize("number", range(FILES))
def test_a_changed_word_is_named(number: int) -> None:
    """A heading typed over, a unit turned to kW, a note reworded, a caution cleared: all four and no more, in each file."""
    heading, unit, note, caution = (drawn(kind)[number] for kind in ("heading", "unit", "note", "caution"))

    def change(parts: Parts) -> None:
        parts.retype(*heading[:2], f"{heading[2].text} (mine)")
        parts.retype(*unit[:2], "kW" if unit[2].text != "kW" else "W")
        parts.retype(*note[:2], 7)
        parts.retype(*caution[:2], None)

    assert found_in(altered(change)) == {
        ("the heading was changed", *heading[:2]),
        ("the unit was changed; what stands there still counts as written", *unit[:2]),
        ("the note was changed", *note[:2]),
        ("the caution is gone", *caution[:2]),
    }


def pairs() -> list[tuple[Place, Place]]:
    """Two headings of a sheet with different texts."""
    heads = [each for each in standing() if each[2].kind in ("head", "label", "asked")]
    rng = Random("pairs")
    found: list[tuple[Place, Place]] = []
    while len(found) < FILES:
        one = rng.choice(heads)
        others = [each for each in heads if each[0] == one[0] and each[2].text != one[2].text]
        found.append((one, rng.choice(others)))
    return found


@pytest.mark.parametrize(("one", "other"), pairs())
def test_swapped_headings_are_told_as_such(one: Place, other: Place) -> None:
    """One line names both cells, and the case is read as before: names lead to the inputs, not headings."""

    def change(parts: Parts) -> None:
        parts.retype(*one[:2], other[2].text)
        parts.retype(*other[:2], one[2].text)

    returned = taken(altered(change))
    assert returned.case == as_delivered().case
    (told,) = wording_changes(returned)
    assert {told.cell, told.what.rpartition(" ")[2]} == {one[1], other[1]}
    assert told.what.startswith("the heading was swapped with that of ")
    assert {told.was, told.now} == {one[2].text, other[2].text}


def test_a_currency_that_was_set_is_no_change_of_headings() -> None:
    """The headings of prices keep the sign that they were written with; one of them typed over is told."""
    money = next(
        e
        for e in standing()
        if e[2].kind == "head" and e[0] == "Answer" and e[2].column and e[2].column.unit == "money"
    )
    spot = as_delivered().spots["about", 0, "currency"]
    assert found_in(altered(lambda parts: parts.retype(spot.home, spot.cell, "€"))) == set()
    found = found_in(altered(lambda parts: parts.retype(*money[:2], f"{money[2].text}, zł")))
    assert found == {("the heading was changed", *money[:2])}


def test_an_audit_is_not_clean_where_words_were_changed() -> None:
    """The audit lists them by what may mislead most, in its text and in its JSON."""
    unit, caution = drawn("unit")[0], drawn("caution")[0]

    def change(parts: Parts) -> None:
        parts.retype(*unit[:2], "kW")
        parts.retype(*caution[:2], None)

    found = audit(taken(altered(change)), CASE)
    assert not found.clean
    assert [word.cell for word in found.words] == [caution[1], unit[1]]
    assert "Headings, units, cautions and notes: 2 texts not as written" in found.text()
    assert [word["cell"] for word in found.as_dict()["words"]] == [caution[1], unit[1]]
    assert not (found.inputs or found.formulas or found.values)


@pytest.mark.parametrize(
    ("application", "version", "saved"),
    [
        ("Microsoft Excel", "12.0000", "saved by a program that does not name itself"),
        ("Microsoft Excel", "3.1", "saved by a program that does not name itself"),
        ("Microsoft Excel", "16.0300", "saved by Microsoft Excel"),
        ("LibreOffice/7.4.7.2$Linux_X86_64", "15.0000", "saved by LibreOffice/7.4.7.2"),
        ("", "", "saved by a program that does not name itself"),
    ],
)
def test_the_program_is_named_where_it_is_known(application: str, version: str, saved: str) -> None:
    """The name that every new file bears is no proof; a version that only the program itself writes is."""
    book = replace(as_delivered().book, application=application, app_version=version)
    assert saved in audit(replace(as_delivered(), book=book), CASE).text().partition("\n")[0]


def test_a_workbook_that_nobody_saved_says_so(tmp_path: Path) -> None:
    """Its seal holds; after any change of a part it does not."""
    for data, said in ((delivered(), "not saved since"), (altered(lambda _: None), "not saved since")):
        (tmp_path / "a.xlsx").write_bytes(data)
        found, _ = audit_file(tmp_path / "a.xlsx", None)
        assert found is not None
        assert found.text().partition("\n")[0].endswith(said)
    (tmp_path / "a.xlsx").write_bytes(altered(lambda parts: parts.retype(*drawn("caution")[0][:2], "harmless")))
    found, _ = audit_file(tmp_path / "a.xlsx", None)
    assert found is not None
    assert found.text().partition("\n")[0].endswith("saved by a program that does not name itself")


def _input(parts: Parts) -> None:
    spot = as_delivered().spots["sizing", 0, "reserve"]
    parts.retype(spot.home, spot.cell, 0.31)


def _formula(parts: Parts) -> None:
    grid = as_delivered().shipped.grid
    parts.retype("Load", xl(*grid.at(grid.tables["load"], "energy_wh", 0)), 5.0)


def _note(parts: Parts) -> None:
    text = '<row r="900"><c r="A900" t="inlineStr"><is><t>ask Ann</t></is></c></row></sheetData>'
    parts.swap(parts.sheet("Cautions"), "</sheetData>", text)


def _added_sheet(parts: Parts) -> None:
    one = "xl/worksheets/sheet99.xml"
    parts[one] = parts[parts.sheet("Cautions")]
    parts.swap("xl/workbook.xml", "</sheets>", '<sheet name="Mine" sheetId="99" r:id="rId999"/></sheets>')
    kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
    relation = f'<Relationship Id="rId999" Type="{kind}" Target="worksheets/sheet99.xml"/></Relationships>'
    parts.swap("xl/_rels/workbook.xml.rels", "</Relationships>", relation)


EDITS: dict[str, tuple[Callable[[Parts], None], str]] = {
    "inputs": (_input, "not those it was written with"),
    "formulas": (_formula, "overwritten by a value"),
    "words": (lambda parts: parts.retype(*drawn("caution")[0][:2], None), "the caution is gone"),
    "cells outside of the tables": (_note, "W005"),
    "sheets": (_added_sheet, "W008"),
}


@pytest.mark.parametrize("what", EDITS)
def test_what_build_refuses_for_the_audit_tells(what: str, tmp_path: Path) -> None:
    """Even without the case to hold it against: whatever keeps a workbook from being written over is told."""
    change, said = EDITS[what]
    file = tmp_path / "a.xlsx"
    file.write_bytes(altered(change))
    assert edited_since(file) == what
    found, findings = audit_file(file, None)
    assert found is not None
    assert said in found.text() or said in {finding.code for finding in findings.found}
    assert found.clean == said.startswith("W")
