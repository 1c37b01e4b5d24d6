"""What a client sees: text that fits, type that can be read, ink that stands out, and nothing told by colour alone."""

import re
import shutil
import subprocess
import zipfile
import zlib
from collections.abc import Callable, Iterator
from functools import cache, partial
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

import pytest

from engines.cases import SAMPLES, sample
from holdover.case.schema import Case
from holdover.model.study import study
from holdover.returned.starter import template_folder
from holdover.workbook import style
from holdover.workbook.book import build, sheets_for
from holdover.workbook.page import lay_out
from holdover.workbook.paper import wide
from holdover.workbook.sheets.load import LOAD
from workbook.looks import Look, contrast, shown, width_of

LEAST_CONTRAST: Final = 4.5
"""Of text on its ground (WCAG 2.1, success criterion 1.4.3)."""
LEAST_TYPE: Final = 8.0
"""Of type on paper [pt]; common practice for small print that is meant to be read."""
KEYS: Final = ("■", "·")
"""Marks of which only the colour shows; the words beside them say what it stands for."""


def _of_sample(change: Callable[[Case], Case]) -> Callable[[], Case]:
    return lambda: change(sample(SAMPLES[-1]))


def _long(case: Case, **outage: Any) -> Case:
    return case.model_copy(update={"outage": case.outage.model_copy(update=outage)})


def _weak(case: Case) -> Case:
    """With a generator that gives less than what runs beside it."""
    return case.model_copy(update={"recharge": case.recharge.model_copy(update={"generator_w": 400.0})})


def _many(case: Case) -> Case:
    """As many candidates as there may be, with names longer than usual."""
    given = case.candidates
    named = (
        given[i % len(given)].model_copy(update={"name": f"{given[i % len(given)].name} mark {i}"}) for i in range(40)
    )
    return case.model_copy(update={"candidates": tuple(named)})


def _wordy(case: Case) -> Case:
    """One candidate of a name as some makers give them; client, place, maker and a load are called at length, too."""
    named = {"name": "Unit Alder Home Station Max 3000 Gen 2 with app"}
    about = {
        "client": "The household and the neighbours of number 14",
        "place": "Lower Wrenfold by the mill (invented)",
        "prepared_by": "Sample advisers and installers, Wrenfold branch",
    }
    lamps = {
        "name": "Lamps in the living room, the hall and both bedrooms upstairs",
        "place": "Upstairs and downstairs",
    }
    return case.model_copy(
        update={
            "about": case.about.model_copy(update=about),
            "business": case.business.model_copy(update={"name": ""}),
            "candidates": (case.candidates[0].model_copy(update=named),),
            "loads": (*case.loads[:-1], case.loads[-1].model_copy(update=lamps)),
        }
    )


CASES: Final[dict[str, Callable[[], Case]]] = {
    **{path.name: partial(sample, path) for path in SAMPLES},
    **{path.name: partial(sample, path) for path in sorted(template_folder().iterdir()) if path.is_dir()},
    "one candidate, long names": _of_sample(_wordy),
    "no candidate": _of_sample(lambda case: case.model_copy(update={"candidates": ()})),
    "forty candidates": _of_sample(_many),
    "none that fits": _of_sample(lambda case: _long(case, days=9, sky=0.02, generator_hours=0.0)),
    "fourteen days, a generator that trips": _of_sample(lambda case: _weak(_long(case, days=14, generator_from=18.0))),
}
"""What a job may look like: the samples, the starter cases, and the ends of what is common."""


@cache
def made(name: str) -> bytes:
    return build(study(CASES[name]()), version="test")


@cache
def look_at(name: str) -> Look:
    return Look(made(name))


@pytest.mark.parametrize(("watts", "seen"), [(7.5, "7.5"), (12.0, "12"), (0.25, "0.25"), (1500.0, "1,500")])
def test_watts_are_shown_as_they_were_typed(watts: float, seen: str) -> None:
    """A lamp of 7.5 W is not shown as one of 8 W; thousands keep their mark."""
    typed = [column for column in LOAD.columns if column.name in ("running_w", "starting_w")]
    assert [shown(watts, style.cell_style(each, "", typed=True)["num_format"]) for each in typed] == [seen, seen]


@pytest.mark.parametrize("name", CASES)
def test_every_text_fits_its_cell(name: str) -> None:
    """On every sheet that is not hidden: on its line, or on the lines that its rows are high."""
    seen = list(look_at(name).seen())
    assert len(seen) > 1000
    cut = [
        f"{cell}: {cell.wide:.0f} of {cell.room:.0f} pixels, {cell.lines} lines in {cell.tall:g} pt"
        for cell in seen
        if not cell.fits
    ]
    assert not cut, cut


@pytest.mark.parametrize("name", CASES)
def test_type_on_paper_can_be_read(name: str) -> None:
    """The smallest type of a sheet, as small as the sheet is made to fit its pages."""
    look = look_at(name)
    smallest: dict[str, float] = {}
    for cell in look.seen():
        if cell.printed:
            smallest[cell.sheet] = min(cell.printed_size, smallest.get(cell.sheet, cell.size))
    of_candidates = (
        set() if name == "no candidate" else {"Offer", "Card", "Comparison"}
    )  # nothing to show stays off paper
    assert {"Answer", "Load", *of_candidates} <= smallest.keys()
    small = {sheet: round(size * look.scale(sheet), 2) for sheet, size in smallest.items()}
    assert min(small.values()) >= LEAST_TYPE, small


@pytest.mark.parametrize("name", [SAMPLES[0].name, SAMPLES[-1].name, "none that fits"])
def test_text_stands_out_from_its_ground(name: str) -> None:
    """Each cell as it is written, and in each look that a rule may give it."""
    faint = {
        f"{cell.sheet}: {ink} on {fill}, as {cell.text!r} at {cell.address}"
        for cell in look_at(name).seen()
        if cell.text not in KEYS
        for ink, fill in cell.looks
        if contrast(ink, fill) < LEAST_CONTRAST
    }
    assert not faint, sorted(faint)


def test_contrast_is_reckoned_as_the_guidelines_do() -> None:
    """Black on white is 21 to 1, and #767676 on white just above 4.5 to 1 (WCAG 2.1, and its note on greys, from memory)."""
    assert contrast("000000", "FFFFFF") == pytest.approx(21)
    assert contrast("767676", "FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast("777777", "FFFFFF") < LEAST_CONTRAST


def test_tiers_are_told_apart_without_colour() -> None:
    """In grey print each step is another grey; what is off carries a dash besides."""
    steps = [color.lstrip("#") for color in style.RUN.values()]
    assert all(contrast(one, other) >= 1.8 for one, other in pairwise(steps)), steps
    for tier in style.RUN:
        assert "–" in style.STRIPS[f"strip {tier}"]
    assert contrast(style.OFF_INK.lstrip("#"), style.OFF.lstrip("#")) >= LEAST_CONTRAST


def test_a_verdict_is_a_word_whatever_its_colour() -> None:
    """Where a rule colours a cell of the comparison, the cell says by itself what the colour says."""
    coloured = [
        cell for cell in look_at(SAMPLES[-1].name).seen() if cell.sheet == "Comparison" and len(set(cell.looks)) > 1
    ]
    assert len(coloured) > 20
    assert {cell.text for cell in coloured} <= style.VERDICTS.keys() | {"–", "?", "not stated", "not planned"}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: str(path.name))
def test_charts_and_pictures_say_what_they_show(path: Path) -> None:
    """Each has an alternative text, for those who can't see it."""
    with zipfile.ZipFile(BytesIO(made(path.name))) as archive:
        drawings = [name for name in archive.namelist() if name.startswith("xl/drawings/drawing")]
        shapes = [shape for name in drawings for shape in re.findall(r"<xdr:cNvPr [^>]*>", archive.read(name).decode())]
    assert len(shapes) >= 4
    silent = [shape for shape in shapes if not re.search(r'descr="[^"]{10,}"', shape)]
    assert not silent, silent


@pytest.mark.parametrize("name", [SAMPLES[0].name, "forty candidates", "fourteen days, a generator that trips"])
def test_charts_cover_neither_each_other_nor_a_cell(name: str) -> None:
    """What a chart lies on is blank, and another chart begins below or beside it."""
    look, count = look_at(name), 0
    for sheet in look.sheets:
        anchors = [chart.anchor for chart in sheet._charts]
        boxes = [(at._from.row + 1, at._from.col + 1, at.to.row + 1, at.to.col + 1) for at in anchors]
        count += len(boxes)
        for top, left, bottom, right in boxes:
            others = [box for box in boxes if box != (top, left, bottom, right)]
            apart = (b[0] > bottom or b[2] < top or b[1] > right or b[3] < left for b in others)
            assert all(apart), (sheet.title, boxes)
            below = [c for c in look.seen() if c.sheet == sheet.title and c.is_in(top, left, bottom - 1, right - 1)]
            assert not below, [str(cell) for cell in below]
    assert count >= 4


def test_nothing_is_merged_in_lists_that_people_sort() -> None:
    """Programs refuse to sort a range in which cells are merged: none is, where rows are typed below each other."""
    study_of = study(CASES[SAMPLES[-1].name]())
    book, seen = look_at(SAMPLES[-1].name).book, set()
    grid, pages = lay_out(sheets_for(study_of.slots), study_of)
    for page in (page for page in pages if not page.sheet.narrow):
        for table in (table for table in page.tables if table.kind == "down" and table.columns[0].section):
            first, count = grid.places[table.name].top + 1, grid.places[table.name].count
            merged = book[page.sheet.name].merged_cells.ranges
            inside = [str(m) for m in merged if m.max_row >= first and m.min_row < first + count]
            assert not inside, (table.name, inside)
            seen.add(table.name)
    assert {"load", "items", "terms", "points"} <= seen


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: str(path.name))
def test_what_is_read_aloud_comes_in_the_order_in_which_it_is_seen(path: Path) -> None:
    """The first page is the first sheet, hidden sheets come last, and charts are listed from the top down."""
    book = look_at(path.name).book
    states = [sheet.sheet_state for sheet in book.worksheets if sheet.title != "Vehicle"]
    assert book.sheetnames[0] == "Answer"
    assert states == sorted(states, key=("visible", "hidden").index)
    listed = 0
    for sheet in book.worksheets:
        places = [(chart.anchor._from.row, chart.anchor._from.col) for chart in sheet._charts]
        assert places == sorted(places), sheet.title
        listed += len(places)
    assert listed >= 4


def test_headings_repeat_only_where_a_sheet_needs_more_than_a_page() -> None:
    """Titles that repeat on any sheet make LibreOffice draw page breaks, in its window, over all of them."""
    for path in SAMPLES:
        with zipfile.ZipFile(BytesIO(made(path.name))) as archive:
            assert "_xlnm.Print_Titles" not in archive.read("xl/workbook.xml").decode(), path.name
    with zipfile.ZipFile(BytesIO(made("forty candidates"))) as archive:
        assert "_xlnm.Print_Titles" in archive.read("xl/workbook.xml").decode()


def test_the_writer_reckons_with_no_less_than_letters_take() -> None:
    """What it takes for the width of a text is never less than the font's own widths come to."""
    texts = {cell.text for cell in look_at(SAMPLES[-1].name).seen() if len(cell.text) >= 8}
    assert len(texts) > 200
    short = {text for text in texts if 7 * wide(text) < width_of(text, 9)}
    assert not short, short


def _sizes(pdf: bytes) -> Iterator[list[float]]:
    """Sizes of type on each page of a PDF out of LibreOffice [pt]."""
    for stream in re.findall(rb"stream\r?\n(.*?)endstream", pdf, re.DOTALL):
        try:
            text = zlib.decompress(stream)
        except zlib.error:
            continue
        found = [float(size) for size in re.findall(rb"/F\d+ ([\d.]+) Tf", text)]
        if found:
            yield found


@pytest.mark.skipif(not shutil.which("soffice"), reason="no LibreOffice")
def test_libreoffice_prints_type_as_large_as_is_reckoned(tmp_path: Path) -> None:
    """Page by page, the smallest type of its PDF is within a twentieth of what is reckoned here, and can be read."""
    name = SAMPLES[-1].name
    file = tmp_path / "case.xlsx"
    file.write_bytes(made(name))
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    subprocess.run(
        ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(file)],
        check=True,
        capture_output=True,
        timeout=180,
    )
    look = look_at(name)
    printed = [sheet.title for sheet in look.sheets if look.is_printed(sheet.title)]
    pages = list(_sizes(file.with_suffix(".pdf").read_bytes()))
    assert len(pages) == len(printed)
    for sheet, sizes in zip(printed, pages, strict=True):
        smallest = min(cell.printed_size for cell in look.seen() if cell.sheet == sheet and cell.printed)
        least = min(smallest, style.BASE["font_size"]) * look.scale(sheet)  # its foot is of the usual type
        assert min(sizes) >= 0.97 * least, (sheet, min(sizes), least)
        assert min(sizes) >= LEAST_TYPE - 0.05, (sheet, min(sizes))  # it prints at whole per cents
