"""The written file holds nothing for which a spreadsheet program offers a repair or shows a wrong type."""

import io
import re
import zipfile
from xml.etree import ElementTree

import pytest

from engines.cases import CORNERS, SAMPLES, generated, sample
from holdover.case.schema import Case
from holdover.model.study import study
from holdover.workbook.book import build, sheets_for
from holdover.workbook.page import _LAID_OUT, lay_out

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
CASES = {
    **{path.name: sample(path) for path in SAMPLES},
    **{name: CORNERS[name] for name in ("empty", "on the hour")},
    "generated 300": generated(300),
}
RESERVED = re.compile(r"^[A-Za-z]{1,3}\d+$")


@pytest.fixture(scope="module", params=CASES)
def archive(request: pytest.FixtureRequest) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(build(study(CASES[request.param]), version="test")))


def parts(archive: zipfile.ZipFile, folder: str) -> list[tuple[str, ElementTree.Element]]:
    names = [n for n in archive.namelist() if n.startswith(folder) and n.endswith(".xml")]
    return [(name, ElementTree.fromstring(archive.read(name))) for name in names]  # noqa: S314 (our own file)


def test_every_part_is_xml(archive: zipfile.ZipFile) -> None:
    """Each part parses, and none links outside."""
    for name in archive.namelist():
        if name.endswith((".xml", ".rels", ".vml")):
            text = archive.read(name)
            ElementTree.fromstring(text)  # noqa: S314 (our own file)
            assert b'TargetMode="External"' not in text, name


def test_cells_have_the_type_of_their_value(archive: zipfile.ZipFile) -> None:
    """Numbers are finite numbers; texts are marked as texts; no cell holds an error, a boolean or nothing."""
    cells = 0
    for name, root in parts(archive, "xl/worksheets/sheet"):
        for cell in root.iter(f"{MAIN}c"):
            formula, value = cell.find(f"{MAIN}f"), cell.find(f"{MAIN}v")
            kind = cell.get("t", "n")
            where = f"{name} {cell.get('r')}"
            assert kind in ("n", "s", "str"), where
            if formula is not None and value is not None and value.text is None:
                continue  # an empty text, which every program computes anew on loading
            if kind == "n" and value is not None:
                assert re.fullmatch(r"-?\d+(\.\d+)?([eE][-+]?\d+)?", value.text or ""), (where, value.text)
            cells += formula is not None
            if formula is not None:
                assert value is not None, where
                assert formula.get("t") in (None, "shared"), (where, "array")
                assert not (value.text or "").startswith("#"), where
    assert cells > 3000


def test_formulas_keep_within_what_every_program_takes(archive: zipfile.ZipFile) -> None:
    """Literals up to 250 characters, formulas up to 2,000 characters and 20 levels, brackets in balance."""
    for name, root in parts(archive, "xl/worksheets/sheet"):
        texts = [(c.get("r"), c.findtext(f"{MAIN}f") or "") for c in root.iter(f"{MAIN}c")]
        texts += [("rule", f.text or "") for f in root.iter(f"{MAIN}formula")]
        for where, text in texts:
            bare = re.sub(r'"(?:[^"]|"")*"', '""', text)
            assert max((len(s) for s in re.findall(r'"((?:[^"]|"")*)"', text)), default=0) <= 250, (name, where)
            assert len(text) <= 2000, (name, where, len(text))
            depth = deepest = 0
            for mark in bare:
                depth += (mark == "(") - (mark == ")")
                deepest = max(deepest, depth)
                assert depth >= 0
            assert depth == 0, (name, where, text)
            assert deepest <= 20, (name, where, deepest)
            assert not re.search(r"[\n\r;]|_xlfn|\bTRUE\b|\bFALSE\b|\d[eE][-+]?\d", bare), (name, where, text)


def test_names_are_unique_safe_and_point_to_cells(archive: zipfile.ZipFile) -> None:
    """Defined names are ASCII, no cell addresses, unique ignoring case, and point to one sheet that exists."""
    root = ElementTree.fromstring(archive.read("xl/workbook.xml"))  # noqa: S314 (our own file)
    sheets = [s.get("name") or "" for s in root.iter(f"{MAIN}sheet")]
    assert len({s.lower() for s in sheets}) == len(sheets)
    for sheet in sheets:
        assert re.fullmatch(r"[A-Za-z][A-Za-z0-9 _-]{0,30}", sheet)
        assert not RESERVED.match(sheet)
        assert sheet.lower() != "history"
    names: set[str] = set()
    for defined in root.iter(f"{MAIN}definedName"):
        name = defined.get("name") or ""
        if name.startswith("_xlnm."):
            continue
        assert re.fullmatch(r"[A-Za-z]+_[A-Za-z][A-Za-z0-9_]*", name), name
        assert len(name) <= 60, name
        assert name.lower() not in names, name
        names.add(name.lower())
        target = re.fullmatch(r"(?:'([^']+)'|(\w+))!\$[A-Z]+\$\d+(?::\$[A-Z]+\$\d+)?", defined.text or "")
        assert target, defined.text
        assert (target[1] or target[2]) in sheets
    assert len(names) > 150


def formulas_at(root: ElementTree.Element) -> set[tuple[int, int]]:
    """Where formulas of a sheet stand, those of settings apart."""
    return {cell_of(str(c.get("r"))) for c in root.iter(f"{MAIN}c") if c.find(f"{MAIN}f") is not None}


def guarded_at(root: ElementTree.Element) -> set[tuple[int, int]]:
    """Cells of a sheet whose rule refuses whatever is typed."""
    found = set()
    for rule in root.iter(f"{MAIN}dataValidation"):
        if rule.get("type") == "custom":
            for area in str(rule.get("sqref")).split():
                first, _, last = area.partition(":")
                (top, left), (bottom, right) = cell_of(first), cell_of(last or first)
                found |= {(row, col) for row in range(top, bottom + 1) for col in range(left, right + 1)}
    return found


def cell_of(address: str) -> tuple[int, int]:
    """Row and column, from 0, of an address such as B3."""
    word = address.rstrip("0123456789")
    col = 0
    for letter in word:
        col = col * 26 + ord(letter) - 64
    return int(address[len(word) :]) - 1, col - 1


def test_rules_and_validations_are_within_limits(archive: zipfile.ZipFile) -> None:
    """Messages up to 255 characters, titles up to 32; list choices come from names; sheets are protected without a word.

    A protected sheet can't be unfolded: one that folds has a rule on every formula that nobody's typing meets.
    """
    validations = 0
    for name, root in parts(archive, "xl/worksheets/sheet"):
        for rule in root.iter(f"{MAIN}dataValidation"):
            validations += 1
            for attribute, limit in (("promptTitle", 32), ("errorTitle", 32), ("prompt", 255), ("error", 255)):
                assert len(rule.get(attribute, "")) <= limit, (name, attribute)
            if rule.get("type") == "list":
                assert re.fullmatch(r"[a-z]+_\w+", rule.findtext(f"{MAIN}formula1") or "")
        guard = root.find(f"{MAIN}sheetProtection")
        folds = any(part.get("outlineLevel") for part in root.iter() if part.tag in (f"{MAIN}row", f"{MAIN}col"))
        assert (guard is None) == folds, name
        assert guard is None or guard.get("password") is None
        if folds:
            assert formulas_at(root) <= guarded_at(root), name
        assert root.find(f"{MAIN}pageSetup") is not None
        assert root.find(f"{MAIN}headerFooter") is not None
    assert validations > 80


def test_cells_that_name_a_load_or_a_candidate_offer_the_names(archive: zipfile.ZipFile) -> None:
    """Leave out a load, Candidate: who tries a plan need not type a name letter by letter."""
    offered = {
        rule.findtext(f"{MAIN}formula1")
        for _, root in parts(archive, "xl/worksheets/sheet")
        for rule in root.iter(f"{MAIN}dataValidation")
    }
    assert {"load_name", "candidates_name"} <= offered


def test_there_are_charts_and_properties(archive: zipfile.ZipFile) -> None:
    """At least two native charts; schema and version among the custom properties, as texts."""
    charts = [n for n in archive.namelist() if n.startswith("xl/charts/chart")]
    assert len(charts) >= 2
    text = archive.read("docProps/custom.xml").decode()
    assert "holdover_schema" in text
    assert "holdover_version" in text
    for chart in charts:
        root = ElementTree.fromstring(archive.read(chart))  # noqa: S314 (our own file)
        references = [e.text or "" for e in root.iter() if e.tag.endswith("}f")]
        assert references
        assert all(re.match(r"('[^']+'|\w+)!\$", r) for r in references), references


def test_what_is_to_be_known_of_a_column_is_told_once() -> None:
    """Where people type, else as a note at its heading, on a hidden sheet where that is selected."""
    made = study(CASES[SAMPLES[0].name])
    book = zipfile.ZipFile(io.BytesIO(build(made, version="test")))
    _, pages = lay_out(sheets_for(made.slots), made)
    told = 0
    for number, page in enumerate(pages, start=1):
        sheet = f"xl/worksheets/sheet{number}.xml"
        rules = ElementTree.fromstring(book.read(sheet)).iter(f"{MAIN}dataValidation")  # noqa: S314 (our own file)
        typed = " ".join(rule.get("prompt", "") for rule in rules)
        links = f"xl/worksheets/_rels/sheet{number}.xml.rels"
        found = re.search(rb"comments\d+\.xml", book.read(links)) if links in book.namelist() else None
        root = ElementTree.fromstring(book.read(f"xl/{found[0].decode()}")) if found else ElementTree.Element("none")  # noqa: S314 (our own file)
        noted = " ".join(text.text or "" for text in root.iter(f"{MAIN}t"))
        assert not (page.sheet.working and found), page.sheet.name
        for label in page.labels():
            if label.kind in ("head", "label") and label.column and label.column.note:
                assert (label.column.note in typed) != (label.column.note in noted), (page.sheet.name, label.text)
                told += 1
    assert told > 150


@pytest.mark.parametrize(
    ("name", "state"),
    [("one of each", "hidden"), ("doll's house", None), ("twins", None)],
)
def test_the_vehicle_sheet_is_there_where_something_is_planned(name: str, state: str | None) -> None:
    """A drive or a delivery shows the sheet; where neither is planned it is hidden."""
    written = zipfile.ZipFile(io.BytesIO(build(study(CORNERS[name]), version="test")))
    root = ElementTree.fromstring(written.read("xl/workbook.xml"))  # noqa: S314 (our own file)
    states = {sheet.get("name"): sheet.get("state") for sheet in root.iter(f"{MAIN}sheet")}
    assert states["Vehicle"] == state
    assert set(states.values()) <= {None, "hidden"}


def test_a_workbook_is_the_same_whatever_was_written_before() -> None:
    """Of two cases laid out alike each has its own cells and looks, written alone or after the other one."""
    one = sample(SAMPLES[0])
    other = one.model_copy(
        update={"about": one.about.model_copy(update={"title": "Another"}), "candidates": one.candidates[::-1]}
    )

    def sheets(case: Case) -> dict[str, bytes]:
        file = zipfile.ZipFile(io.BytesIO(build(study(case), version="test")))
        return {name: file.read(name) for name in file.namelist() if not name.startswith("docProps")}

    alone = {}
    for case in (one, other):
        _LAID_OUT.clear()
        alone[case.about.title] = sheets(case)
    assert [sheets(case) == alone[case.about.title] for case in (one, other, one)] == [True] * 3
    assert len({id(laid_out) for _, laid_out in _LAID_OUT}) == 1
    assert alone[one.about.title] != alone["Another"]
