"""The house rules that a reader can rely on: units, sources, sizes, words, and who may import what."""

import ast
import importlib
import inspect
import pkgutil
import re
import types
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields
from itertools import takewhile
from pathlib import Path
from typing import Any, get_type_hints

import pytest

import holdover
import holdover.model
from engines.cases import CORNERS, SAMPLES, generated, sample
from holdover.case.schema import FORMS, RECORDS
from holdover.contract import contract
from holdover.model.study import Slots, study
from holdover.model.verdict.fit import REMARKS, Check, Fit
from holdover.workbook.book import sheets_for
from holdover.workbook.column import Table

PACKAGE = Path(holdover.__file__).parent
ROOT = Path(__file__).resolve().parents[1]
UNIT = {
    "_w": "W", "_wh": "Wh", "_kwh": "kWh", "_kw": "kW", "_va": "VA", "_v": "V", "_a": "A", "_c": "°C", "_h": "h", "_kg": "kg",
    "_km": "km", "_deg": "°", "_l": "l",
}  # fmt: skip
MODULES = sorted(PACKAGE.rglob("*.py"))
ODD_NAMES = {"utils", "base", "core", "common", "helpers", "misc"}


def formula_functions() -> Iterator[types.FunctionType]:
    """Public functions of the model that take numbers and give one."""
    for info in pkgutil.walk_packages(holdover.model.__path__, "holdover.model."):
        module = importlib.import_module(info.name)
        for name, thing in vars(module).items():
            if isinstance(thing, types.FunctionType) and thing.__module__ == module.__name__ and name[0] != "_":
                kinds = [p.annotation for p in inspect.signature(thing).parameters.values()]
                if kinds and all(kind in (int, float, float | None, int | None) for kind in kinds):
                    yield thing


FORMULAS = list(formula_functions())


def test_the_house_is_not_empty() -> None:
    """The checks below look at something."""
    assert len(FORMULAS) > 25
    assert len(MODULES) > 40


@pytest.mark.parametrize("function", FORMULAS, ids=lambda f: f"{f.__module__.rsplit('.', 1)[-1]}.{f.__name__}")
def test_a_formula_states_units_range_source_and_an_example(function: types.FunctionType) -> None:
    """A formula's docstring gives each unit, what it holds for, where it is from, and an example that runs."""
    doc = inspect.getdoc(function) or ""
    assert re.search(r"^Holds for: .+", doc, re.M)
    assert re.search(r"^Source: .+", doc, re.M)
    assert ">>> " in doc
    told = dict(re.findall(r"^\s+(\w+): [^\[]*(?:\n[^\[\n]*)?\[(.+?)\]\.?$", doc, re.M))
    assert list(told) == list(inspect.signature(function).parameters)
    result = re.findall(r"\[(.+?)\]", doc.split("\n\n")[0])
    assert result, "the first line ends with the result's unit in brackets"
    told[function.__name__] = result[-1]
    for word, unit in told.items():
        if "per_" in word:  # so many for each of them
            continue
        suffix = next((s for s in sorted(UNIT, key=len, reverse=True) if word.endswith(s)), None)
        assert suffix is None or UNIT[suffix] in unit, word


def test_constants_of_the_model_say_what_they_are() -> None:
    """Every upper-case number of the model has a line below it with its unit in brackets."""
    seen = 0
    for path in (PACKAGE / "model").rglob("*.py"):
        body = ast.parse(path.read_text(encoding="utf-8")).body
        for node, after in zip(body, [*body[1:], None], strict=True):
            if not isinstance(node, ast.AnnAssign | ast.Assign):
                continue
            target = node.target if isinstance(node, ast.AnnAssign) else node.targets[0]
            if not isinstance(target, ast.Name) or not target.id.isupper() or target.id.startswith("_"):
                continue
            value = node.value
            if not isinstance(value, ast.Constant | ast.UnaryOp) or isinstance(getattr(value, "value", None), str):
                continue
            seen += 1
            told = isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant) and str(after.value.value)
            assert told and re.search(r"\[.+\]", told), f"{path.name}: {target.id}"
    assert seen >= 5


DECLARING = {"cli.batch", "case/section.ask", "tests/model/test_rank.contender"}
"""Functions whose parameters are the words of a declaration, each optional and named: a record would say them again."""
WRITTEN = {f"{path.relative_to(PACKAGE).with_suffix('')}": path for path in MODULES} | {
    f"{path.relative_to(ROOT).with_suffix('')}": path for path in sorted((ROOT / "tests").rglob("*.py"))
}
"""Every module of sources and tests by its name."""


def too_large(name: str, path: Path) -> Iterator[str]:
    """What holds the sizes not: a module, or functions in it, each by its name."""
    text = path.read_text(encoding="utf-8")
    lines = len(text.splitlines())
    declares = "sheets" in path.parts or path.name == "schema.py"
    tiny = lines < 20 and not (path.name.startswith("__") or "tests" in path.parts)
    if lines > (750 if declares else 500) or tiny:
        yield name
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, ast.FunctionDef):
            continue
        first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
        told = node.args
        takes = [
            each.arg for each in (*told.posonlyargs, *told.args, *told.kwonlyargs, told.vararg, told.kwarg) if each
        ]
        if (node.end_lineno or 0) - first.lineno >= 40 or len(takes) - (takes[:1] == ["self"]) > 6:
            yield f"{name}.{node.name}"


@pytest.mark.parametrize("name", WRITTEN)
def test_modules_and_functions_are_short(name: str) -> None:
    """A module has 20 to 500 lines, one that declares 750; a function at most 40 below its docstring and 6 parameters."""
    assert set(too_large(name, WRITTEN[name])) <= DECLARING


def test_a_room_is_small_enough_to_be_known() -> None:
    """No room has more than 20 modules, its own page aside."""
    rooms = Counter(path.parent for path in MODULES if path.name != "__init__.py")
    assert len(rooms) >= 9
    assert max(rooms.values()) <= 20


def test_no_module_is_a_drawer() -> None:
    """No module is called utils, base, core or the like."""
    assert not [path for path in MODULES if path.stem in ODD_NAMES]


def test_the_command_line_is_a_list_of_commands() -> None:
    """cli.py has at most 150 lines, and imports nothing heavy before a command runs."""
    text = (PACKAGE / "cli.py").read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 150
    top = [line for line in text.splitlines() if re.match(r"(from|import) ", line)]
    assert not [
        line
        for line in top
        if re.search(r"pydantic|openpyxl|xlsxwriter|rich|xlsx|case|reading|advice|model|workbook|returned", line)
    ]


def test_only_the_report_prints() -> None:
    """print and echo occur nowhere; standard streams are written in report.py alone."""
    for path in MODULES:
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\bprint\(|typer\.echo|click\.echo", text.replace(">>> print(", "")), path.name
        if path.name != "report.py":
            assert "sys.stdout" not in text or path.parent.name == "xlsx", path.name


def test_only_the_writer_knows_xlsxwriter() -> None:
    """XlsxWriter is imported by what makes a file of sheets, and by no other module."""
    users = {p.name for p in MODULES if re.search(r"^(from|import) xlsxwriter", p.read_text(encoding="utf-8"), re.M)}
    assert users == {"package.py"}


def test_text_from_outside_is_never_guessed_into_a_formula() -> None:
    """The writer calls no XlsxWriter method that turns text into formulas or links."""
    text = (PACKAGE / "workbook" / "write.py").read_text(encoding="utf-8")
    assert not re.search(
        r"\.write\(\w+, *\w+,|(?<!_)write_row|write_column|add_table|write_url|write_array|write_dynamic", text
    )


def test_every_return_code_of_the_writer_is_checked() -> None:
    """Each call of a worksheet method that returns a code stands inside _done(...), or yields it to one."""
    text = "".join((PACKAGE / "workbook" / f"{name}.py").read_text(encoding="utf-8") for name in ("write", "printing"))
    calls = re.findall(
        r"(\S+? ?)\b(?:ws|there|self\.book)\.(write_\w+|set_row|set_column|merge_range|data_validation|conditional_format|insert_chart|insert_image|define_name|set_custom_property|repeat_rows|repeat_columns|print_area)\(",
        text,
    )
    assert len(calls) > 12
    assert [name for before, name in calls if not before.endswith(("_done(", "yield "))] == []


def test_tests_mirror_the_source() -> None:
    """Each room of the source has a room of tests of the same name."""
    for room in ("cli", "xlsx", "reading", "advice", "model", "workbook", "returned", "fleet"):
        assert (ROOT / "tests" / room).is_dir()
        assert list((ROOT / "tests" / room).glob("test_*.py"))


GUESSES = {
    "a column of the loads": (r"^class Load\(", {"case/schema.py"}),
    "an assumption": (r"^class (Sizing|Assumed)\(", {"case/schema.py"}),
    "a check of the candidates": (
        r"^class Fit:|^OUTPUT_HALF\b",
        {"model/verdict/fit.py", "workbook/sheets/comparison/checks.py"},
    ),
    "a criterion of the ranking": (
        r"(?<!rank_by=\")price per kWh over life",  # a case that sets it declares nothing
        {"case/schema.py", "data/words.toml", "model/verdict/rank.py", "workbook/sheets/comparison/ranking.py"},
    ),
    "a sheet": (r"import ANSWER_SHEET", {"workbook/book.py"}),
    "a unit that people write": (r"(?i)\bbtu/h", {"data/units.toml"}),
    "a typical load": (r"(?m)^\[spellings\]", {f"data/typical{tail}.toml" for tail in ("", "-de", "-es", "-fr")}),
    "headers in another language": (r"\"appliance name\"|\"inrush amps\"", {"data/headers.toml"}),
    "what is said about bad input": (r"^\[A001\]", {"data/findings.toml"}),
    "a colour": (r"\"#[0-9A-Fa-f]{6}\"", {"workbook/style.py"}),
    "a form of output": (r"\bjsonlib\.dumps|sys\.stdout\b", {"report.py"}),
    "an engine": (r"\b(import|from) (formualizer|ironcalc)|\bssconvert\b", {"tests/engines/engines.py"}),
}
"""What a change is about, what it would touch, and the files where a newcomer looks for that."""


@pytest.mark.parametrize("change", GUESSES)
def test_a_change_is_where_one_looks_for_it(change: str) -> None:
    """What a change touches stands in the files that one would guess, and in no other of sources and engines."""
    pattern, guess = GUESSES[change]
    looked = [*PACKAGE.rglob("*.py"), *PACKAGE.rglob("*.toml"), *(ROOT / "tests" / "engines").glob("*.py")]
    found = {
        str(path.relative_to(PACKAGE if PACKAGE in path.parents else ROOT).as_posix())
        for path in looked
        if "templates" not in path.parts and re.search(pattern, path.read_text(encoding="utf-8"), re.M)
    }
    assert found == guess
    (told,) = re.findall(rf"(?m)^\| {change} \| (.*) \|$", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    assert guess <= set(re.findall(r"`(.*?)`", told))


def test_every_sheet_is_a_module_in_the_table_of_contents() -> None:
    """Each module of sheets is named in workbook/book.py, stands in the room of a sheet that is, or serves those named."""
    contents = (PACKAGE / "workbook" / "book.py").read_text(encoding="utf-8")
    sheets = PACKAGE / "workbook" / "sheets"
    rooms = {path.name for path in sheets.iterdir() if (path / "sheet.py").is_file()}
    names = {path.stem for path in sheets.glob("*.py")} - {"__init__"}
    assert len(names) > 10
    assert rooms == {"comparison", "outage"}
    assert {name for name in names if f"sheets.{name} import" not in contents} == {"look_for"}  # tables of Daily energy
    assert not {room for room in rooms if f"sheets.{room}.sheet import" not in contents}


def test_every_check_has_its_columns() -> None:
    """Each check of model/verdict/fit.py is shown with both numbers, margin and verdict, and its ratio if it decides."""
    checks = [name for name, kind in get_type_hints(Fit).items() if kind is Check]
    tables = (t for s in sheets_for(Slots(loads=1, candidates=1)) for t in s.blocks if isinstance(t, Table))
    paths = {column.path.removeprefix("/offers.0.") for table in tables for column in table.columns}
    assert len(checks) > 10
    for check in checks:
        parts = [field.name for field in fields(Check) if field.name != "ratio" or check not in REMARKS]
        assert {f"fit.{check}.{part}" for part in parts} <= paths, check


def test_every_input_has_its_cell() -> None:
    """Each field of the schema is a column of some sheet, by its declaration."""
    sheets = sheets_for(Slots(loads=1, candidates=1))
    shown = [column.field for sheet in sheets for t in sheet.blocks if isinstance(t, Table) for column in t.columns]
    for part, section in (FORMS | RECORDS).items():
        for name, info in section.model_fields.items():
            assert any(each is info for each in shown), f"{part}.{name}"


DOCUMENT = re.compile(
    r"\b[A-Z]{3,}[A-Za-z0-9]*\b|\b[A-Z][a-z]+ (and )?[A-Z][a-z]+|\bpvlib [0-9]|\b[a-z]+\.org/|data sheet of an? [0-9]+ Ah"
)
"""A name: letters of a standard or an agency, two words with capitals, a package and its version, an address."""
SEEN = re.compile(r"\bopened\b|\btranscri(bed|ption)\b|\bsearch\s+results?\b|\bfrom memory\b")
"""How a document was seen."""


def names_its_source(doc: str) -> bool:
    return bool(DOCUMENT.search(doc) and SEEN.search(doc))


@pytest.mark.parametrize(
    "room", ["xlsx", "case", "reading", "reading/table", "reading/quantity", "advice", "workbook", "returned", "fleet"]
)
def test_the_drawing_of_the_house_names_every_module_of_a_room(room: str) -> None:
    """DEVELOPERS.md lists the modules of the rooms that files pass through, each once, by what they do."""
    drawing = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("```")[1]
    indent = "  " * (room.count("/") + 1)
    lines = drawing.split(f"\n{indent}{room.rsplit('/', 1)[-1]}/")[1].splitlines()[1:]
    inside = takewhile(lambda line: line.startswith(f"{indent}  "), lines)
    named = [
        name
        for line in inside
        if line[len(indent) + 2] != " " and "/" not in line.split()[0]
        for name in line.split(":")[0].strip().split(", ")
    ]
    assert sorted(named) == sorted(p.stem for p in (PACKAGE / room).glob("*.py") if p.stem != "__init__")


def words_beside_numbers(found: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Each leaf of what `show --json` gives, with its place."""
    if isinstance(found, dict):
        for key, value in found.items():
            yield from words_beside_numbers(value, f"{place}.{key}")
    elif isinstance(found, list | tuple):
        for value in found:
            yield from words_beside_numbers(value, place)
    else:
        yield place, found


def test_words_in_the_place_of_numbers_are_listed() -> None:
    """DEVELOPERS.md lists every word that `show --json` has where it has a number elsewhere."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("in the place of the number:")[1].split("\n\n")[1]
    listed = set(re.findall(r'`"(.*?)"`', text))
    words: dict[str, set[str]] = {}
    numbers: set[str] = set()
    for case in (*map(sample, SAMPLES), *CORNERS.values(), *(generated(seed) for seed in range(40))):
        told = contract(study(case))
        for place, value in words_beside_numbers({key: told[key] for key in told if key != "case"}):
            if isinstance(value, str):
                words.setdefault(place, set()).add(value)
            elif isinstance(value, int | float):
                numbers.add(place)
    said = {word for place in numbers for word in words.get(place, ())}
    assert said | {"not planned"} == listed


def test_published_checks_name_their_source() -> None:
    """Every file under tests/published says in its docstring which document it is from, and how that was seen."""
    files = list((ROOT / "tests" / "published").glob("test_*.py"))
    assert len(files) >= 8
    for path in files:
        assert names_its_source(ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""), path.name


@pytest.mark.parametrize(
    ("doc", "named"),
    [
        ("NEC 690.8, by transcription.", True),
        ("Duffie and Beckman, chapter 2; the book was not opened.", True),
        ("NEC 690.8, verified at its source.", False),
        ("Found as a search result.", False),
        ("Facts of the trade: common practice, no source to cite.", False),
    ],
)
def test_a_source_is_a_document_and_how_it_was_seen(doc: str, named: bool) -> None:
    """The word source, or a document alone, names none."""
    assert names_its_source(doc) == named
