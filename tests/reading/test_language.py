"""Another language of headers, choices, tiers and units is data and nothing else."""

import ast
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import holdover
from holdover.case.words import vocabulary

PACKAGE = Path(holdover.__file__).parent

INVENTED = {
    "headers-ko.toml": """
[loads]
name = ["velmo"]
quantity = ["kopi"]
tier = ["ranko"]
running_w = ["zugo", "zugo kil [kilvat]"]
hours_per_day = ["dauro"]
basis = ["dento"]

[totals]
whole = ["sumado"]

[footnotes]
first = ["noteto"]
""",
    "words-ko.toml": """
[tier]
critical = ["viva"]
essential = ["bezona"]
convenience = ["agrabla"]

[basis]
metered = ["mezurita"]

[blank]
left_out = ["nenjo"]

[[scales]]
plain = true
steps = [["alta"], ["meza"], ["basa"]]

[kinds]
motors = ["frostigilo"]
""",
    "units-ko.toml": """
[spellings.W]
W = ["vato", "vatoj"]
kW = ["kilvat"]

[spellings.h]
h = ["horoj"]

[amounts]
about = ["cirkau"]

[times]
until = ["gis"]
noon = ["tagmezo"]

[months]
December = ["dekembro"]

[compass]
s = ["sudo"]
e = ["oriento"]
""",
}
"""An invented language, in the files that a further one takes."""

CASE = """
[sizing]
feed = "230 V"

[sun]
month = "dekembro"

[array]
azimuth_deg = "sudo-oriento"
"""

LOADS = """Velmo;Kopi;Ranko;Zugo (vato);Dauro;Dento
Lampo;2;agrabla;9;18:00 gis 22:30;mezurita
Frostigilo;;viva;cirkau 0,15 kilvat;8 horoj;nenjo
Pordo;;bezona;40 vatoj;tagmezo - 14:00;
Sumado;3;;199;;
Noteto: mezurita en junio;;;;;
"""

READ = """
import json, sys
import holdover
read = holdover.read(sys.argv[1])
rows = [load.model_dump(exclude_defaults=True) for load in read.found.loads] if read.found else None
case = read.found and [read.found.sun.month, read.found.array.azimuth_deg]
print(json.dumps([rows, case, [f.code for f in read.findings.found if f.level != "note"]]))
"""


def read(folder: Path, loads: str, data: dict[str, str]) -> Any:
    """What the package says of a case once files of data stand beside its own: loads, settings, codes."""
    shutil.copytree(PACKAGE, folder / "house" / "holdover", ignore=shutil.ignore_patterns("__pycache__"))
    for name, text in data.items():
        (folder / "house" / "holdover" / "data" / name).write_text(text, encoding="utf-8")
    (folder / "case.toml").write_text(CASE, encoding="utf-8")
    (folder / "loads.csv").write_text(loads, encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-c", READ, str(folder)],
        env={"PYTHONPATH": str(folder / "house"), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(ran.stdout)


def test_a_language_is_three_files_of_data(tmp_path: Path) -> None:
    """Headers, choices, tiers, units, times, months and points of the compass of an invented language are read."""
    loads, case, codes = read(tmp_path, LOADS, INVENTED)
    assert loads == [
        {"name": "Lampo", "quantity": 2, "tier": "convenience", "running_w": 9.0, "hours_per_day": 4.5,
         "starts_at": 18.0, "basis": "metered"},
        {"name": "Frostigilo", "tier": "critical", "running_w": 150.0, "hours_per_day": 8.0},
        {"name": "Pordo", "tier": "essential", "running_w": 40.0, "hours_per_day": 2.0, "starts_at": 12.0},
    ]  # fmt: skip
    assert case == [12, 135.0]
    assert codes == ["A001", "A015"]  # a motor, known by its name, without a starting figure; no candidates


def test_tiers_of_a_language_by_their_scale(tmp_path: Path) -> None:
    """A scale of an invented language is put in the order it has there."""
    loads, _, _ = read(
        tmp_path, LOADS.replace("agrabla", "basa").replace("viva", "alta").replace("bezona", "meza"), INVENTED
    )
    assert [load["tier"] for load in loads] == ["convenience", "critical", "essential"]


def test_without_its_files_a_language_is_refused(tmp_path: Path) -> None:
    """The same case is no case where the files are not there, and English ones are read as ever beside them."""
    loads, _, codes = read(tmp_path / "without", LOADS, {})
    assert loads is None
    assert "C002" in codes
    english = "Load;Tier;Watts;Hours/day\nLamp;must have;9;18:00 to 22:30\n"
    loads, _, _ = read(tmp_path / "with", english, INVENTED)
    assert loads == [
        {"name": "Lamp", "tier": "critical", "running_w": 9.0, "hours_per_day": 4.5, "starts_at": 18.0},
    ]


def _words(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data.casefold()
    elif isinstance(data, dict):
        for value in data.values():
            yield from _words(value)
    elif isinstance(data, list):
        for value in data:
            yield from _words(value)


TYPED = {word for name in ("headers", "words", "units") for word in _words(vocabulary(name)) if len(word) > 3}
"""Words that people type; shorter ones are also pieces of patterns."""


@pytest.mark.parametrize(
    "path", [*(PACKAGE / "reading").rglob("*.py"), *(PACKAGE / "case").glob("*.py")], ids=lambda path: path.name
)
def test_no_reader_knows_a_word_by_itself(path: Path) -> None:
    """No pattern of a reader holds a word that people type: they stand in the data."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in PATTERNS:
            texts = [text for part in node.args for text in _texts(part)]
            found |= {word for text in texts for word in re.findall(r"[^\W\d_]{4,}", re.sub(r"\?P<\w+>", "", text))}
    assert not found & TYPED - {"column", "line"}  # of the parser's own messages


PATTERNS = {"compile", "match", "search", "fullmatch", "sub", "split", "findall", "finditer"}


def _texts(node: ast.AST) -> Iterator[str]:
    """Texts in an expression, without the names by which something is looked up."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "vocabulary":
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    for part in ast.iter_child_nodes(node):
        if not (isinstance(node, ast.Subscript) and part is node.slice):
            yield from _texts(part)
