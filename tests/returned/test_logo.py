"""A logo comes back with its workbook: the picture that was put in, and no other."""

import zipfile
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pytest

from case.test_picture import JPG, png
from engines.cases import SAMPLES, sample
from holdover.case.picture import picture_of
from holdover.case.schema import Case
from holdover.library import audit
from holdover.model.study import Slots, study
from holdover.returned.extract import write_case
from holdover.returned.read import read_any
from holdover.workbook.book import build, sheets_for
from holdover.workbook.page import lay_out
from holdover.workbook.sheets.offer import OFFER_SHEET


def with_logo(data: bytes = JPG, name: str = "logo.jpg") -> Case:
    """A sample with a logo."""
    case = sample(SAMPLES[0])
    business = case.business.model_copy(update={"logo": name, "name": "Lamp & Cell"})
    business = type(business).model_validate(business.model_dump(exclude_unset=True) | {"logo": name})
    return case.model_copy(update={"business": business, "logo": picture_of(data)})


CASE = with_logo()


@cache
def built() -> bytes:
    """The workbook that all tests here begin with."""
    return build(study(CASE), version="0")


def logo_part() -> str:
    """The part of that workbook which is the logo."""
    with zipfile.ZipFile(BytesIO(built())) as book:
        (part,) = [part for part in book.namelist() if part.startswith("xl/media/")]
    return part


def rewritten(data: bytes, change: dict[str, bytes | None]) -> bytes:
    """A workbook with parts replaced, added or, where they are None, left out."""
    made = BytesIO()
    with zipfile.ZipFile(BytesIO(data)) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for part in dict.fromkeys([*old.namelist(), *change]):
            kept = change[part] if part in change else old.read(part)
            if kept is not None:
                new.writestr(part, kept)
    return made.getvalue()


def read(data: bytes, tmp_path: Path) -> tuple[Case, list[str]]:
    """The case of a returned workbook, and what is said about its logo."""
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    case, findings, _ = read_any(path)
    assert case is not None
    return case, [finding.message for finding in findings.found if finding.code == "F013"]


def test_a_logo_comes_back_and_is_built_on(tmp_path: Path) -> None:
    """The returned case has the same picture, and so has a workbook that is built from it."""
    case, told = read(built(), tmp_path)
    assert told == []
    assert case.logo == CASE.logo
    again, told = read(build(study(case), version="0"), tmp_path)
    assert (again.logo, told) == (CASE.logo, [])


def test_a_logo_is_no_change(tmp_path: Path) -> None:
    """The audit of a workbook with a logo finds nothing, against its case too."""
    path = tmp_path / "book.xlsx"
    path.write_bytes(built())
    home = tmp_path / "case"
    assert "logo.jpg" in write_case(CASE, home)
    found = audit(path, home)
    assert (found.formulas, found.values, found.inputs) == ((), (), ())


def test_other_pictures_are_not_taken(tmp_path: Path) -> None:
    """A photograph that a client put in is no logo; where the logo itself is gone that is told."""
    case, told = read(rewritten(built(), {"xl/media/image0.png": png()}), tmp_path)
    assert (case.logo, told) == (CASE.logo, [])
    case, told = read(rewritten(built(), {logo_part(): png()}), tmp_path)
    assert case.logo is None
    assert told == ["the workbook holds no picture logo.jpg of its own; the offer has no logo"]


def test_a_picture_that_does_not_hold_is_not_taken(tmp_path: Path) -> None:
    """A fingerprint that was forged to fit makes no picture of what is none."""
    assert CASE.logo is not None
    forged = b"<svg/>"
    mark = replace(CASE.logo, data=forged).fingerprint.encode()
    with zipfile.ZipFile(BytesIO(built())) as book:
        about = book.read("docProps/custom.xml")
    assert CASE.logo.fingerprint.encode() in about
    change: dict[str, bytes | None] = {
        "docProps/custom.xml": about.replace(CASE.logo.fingerprint.encode(), mark),
        logo_part(): forged,
    }
    case, told = read(rewritten(built(), change), tmp_path)
    assert (case.logo, len(told)) == (None, 1)


@pytest.mark.parametrize("name", ["../out.png", "/srv/out.png", "case.toml", "sub/out.png", ".out.png", "loads.csv"])
def test_a_workbook_does_not_say_where_files_go(tmp_path: Path, name: str) -> None:
    """A name that is no bare one of a picture is kept as what was typed, and no picture is written."""
    written = write_case(with_logo(png(), name), tmp_path / "home" / "case")
    assert written == ["case.toml", "loads.csv", "candidates.csv"]
    assert [path.name for path in tmp_path.rglob("*.png")] == []


def test_a_logo_is_extracted(tmp_path: Path) -> None:
    """It is written under its name, and the folder reads as the case that it was."""
    home = tmp_path / "case"
    case = with_logo(png(), "our logo.png")
    assert write_case(case, home)[-1] == "our logo.png"
    assert read_any(home)[0] == case


def test_a_logo_stands_in_the_head_of_the_offer() -> None:
    """It lies right of who offers, above the title, in its own proportions, and says whose it is."""
    spreadsheet = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
    with zipfile.ZipFile(BytesIO(built())) as book:
        drawings = [book.read(part).decode() for part in book.namelist() if part.startswith("xl/drawings/drawing")]
    (drawing,) = [text for text in drawings if "<xdr:pic>" in text]
    assert 'descr="Lamp &amp; Cell"' in drawing
    root = ElementTree.fromstring(drawing)  # noqa: S314 (our own)
    first, last = (
        {each.tag.removeprefix(spreadsheet): int(each.text or 0) for each in found}
        for part in ("from", "to")
        for found in root.iter(f"{spreadsheet}{part}")
    )
    grid, _ = lay_out(sheets_for(Slots(loads=1, candidates=1)), study(Case(), Slots(loads=1, candidates=1)))
    top = grid.places["maker"].top
    assert first["row"] >= top
    assert (last["row"], last["rowOff"]) <= (grid.places["paper_title"].top, 12_700)  # a point, for rounding
    assert first["col"] > grid.reach(grid.tables["maker"], grid.tables["maker"].columns[0])
    assert last["col"] <= OFFER_SHEET.narrow + 1
    (extent,) = root.iter("{http://schemas.openxmlformats.org/drawingml/2006/main}ext")
    assert int(extent.attrib["cx"]) / int(extent.attrib["cy"]) == pytest.approx(2, rel=0.02)  # 16 x 8 pixels
