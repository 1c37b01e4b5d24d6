"""The catalogue of findings: what is reported stands in it, with every field it names, and all of it is reported."""

import ast
import os
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from string import Formatter
from typing import get_args

import pytest

import holdover
from holdover.case.words import data
from holdover.findings import Level, Place, Wording, catalogue, report

PACKAGE = Path(holdover.__file__).parent
GIVEN = {"found", "allowed", "caret"}
"""Fields that a report may give with any code."""
PAGE = PACKAGE / "docs" / "findings.md"
HOSTILE = Path(__file__).parent / "hostile"
ELSEWHERE = {
    "tests/hostile/test_generated.py: large ones, links and what is no folder": {
        "C001.long", "C007", "F001.case", "F003.case", "F004.table", "F007.case", "F010", "Q020", "R002.candidates", "R002.loads",
        "T002.size",
    },
    "tests/reading/test_logo.py": {"F013.closed", "F014.size"},
    "tests/fleet/test_batch.py: folders of cases": {"F015"},
    "tests/reading/test_table.py: 150 kB": {"C001.field"},
    "tests/returned/test_form.py, test_taken_as_typical.py, test_answers.py and test_offered.py: forms that were filled in": {
        "C024.figures", "C024.lines", "C025", "C026", "C027", "C029", "L007.filled", "L010.below", "L010.kept", "L010.typical", "Q028.left", "Q013.country", "R001.aside", "R003.country", "R003.near_country", "R003.never", "R003.no_country",
        "R003.no_distance", "R003.purpose", "R004", "R005.code", "R005.lacks", "R005.power", "R005.read", "R005.sun", "R006", "L005.adapter",
    },
    "tests/returned: workbooks that came back": {
        "F001.folder", "F001.workbook", "F004.workbook", "F013.gone", "Q007.near", "Q007.one_of", "Q013.workbook", "Q018.workbook", "Q029", "R001.number", "R001.text",
        "T006.workbook", "T008.workbook", "W001", "W002.foreign", "W002.older", "W002.slots", "W002.stretched", "W003.usual",
        "W003.vital", "W004.blank", "W004.filled", "W005.beside", "W005.elsewhere", "W005.outside", "W006", "W007",
        "W008", "W009.more", "W009.one",
    },
}  # fmt: skip
"""Wordings that no hostile case shows, by the tests that do."""
KIND = re.compile(r"[A-Z][0-9]{3}(\.[a-z_]+)?")
PASSED_ON = {("findings.py", "kind"), ("reading/entries.py", "kind")}
"""Where a report hands on the kind that it was given."""


def calls() -> Iterator[tuple[str, ast.Call]]:
    """Each report of the package with its module."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) == "report":
                yield path.relative_to(PACKAGE).as_posix(), node


def kinds(node: ast.expr) -> list[str]:
    """The kinds that the first argument of a report may be: one, one of a choice, or one for each of several names."""
    if isinstance(node, ast.JoinedStr):
        pattern = "".join(re.escape(str(p.value)) if isinstance(p, ast.Constant) else r"\w+" for p in node.values)
        return [kind for kind in catalogue() if re.fullmatch(pattern, kind)]
    if isinstance(node, ast.IfExp):
        return [*kinds(node.body), *kinds(node.orelse)]
    assert isinstance(node, ast.Constant), f"line {node.lineno}: a report names its kind"
    return [str(node.value)]


def named(wording: Wording) -> set[str]:
    """The fields that the texts of a wording name."""
    texts = (wording.message, wording.found, wording.allowed, wording.remedy)
    return {name for text in texts for _, name, _, _ in Formatter().parse(text) if name}


@cache
def reports() -> Sequence[tuple[str, ast.Call]]:
    """Those that say themselves what they report."""
    return [call for call in calls() if (call[0], getattr(call[1].args[0], "id", "")) not in PASSED_ON]


def test_every_report_stands_in_the_catalogue_and_gives_its_fields() -> None:
    """A report names a kind that there is and gives each field its texts name, and none that no text names."""
    assert len(reports()) > 30
    for module, call in reports():
        line = f"{module}, line {call.lineno}"
        wordings = [catalogue()[kind] for kind in kinds(call.args[0])]
        given = {str(keyword.arg) for keyword in call.keywords}
        for wording in wordings:
            assert named(wording) - GIVEN <= given, f"{line}: a field is not given"
        assert given - GIVEN <= set().union(*map(named, wordings)), f"{line}: a field is not used"


def test_every_wording_of_the_catalogue_is_reported() -> None:
    """No wording stands in the catalogue that nothing reports."""
    reported = {kind for _, call in reports() for kind in kinds(call.args[0])}
    assert set(catalogue()) == reported


def test_the_catalogue_is_in_order() -> None:
    """Codes ascend, each with a letter that is explained, a level that there is, and words."""
    codes = [code for code in data("findings.toml") if code != "letters"]
    assert codes == sorted(codes)
    assert {code[0] for code in codes} <= set(data("findings.toml")["letters"])
    for kind, wording in catalogue().items():
        assert KIND.fullmatch(kind)
        assert wording.level in get_args(Level)
        assert wording.message


def pattern(wording: Wording) -> re.Pattern[str]:
    """What `check` prints of a wording, with anything in its fields."""

    def filled(text: str) -> str:
        return "".join(re.escape(before) + ".*" * (name is not None) for before, name, _, _ in Formatter().parse(text))

    remedy = rf"\n   = help: {filled(wording.remedy)}" if wording.remedy else ""
    return re.compile(
        rf"{wording.level}\[{wording.code}\]: {filled(wording.message)}(?:\n  (?:-->| [|=]) .*)*{remedy}\n"
    )


def test_every_wording_is_shown_by_a_test() -> None:
    """Each stands whole in what a hostile case expects, or it is listed with the tests that show it."""
    texts = [path.read_text(encoding="utf-8") for path in HOSTILE.glob("*/*/expected.txt")]
    shown = "\n\n".join(texts)
    unseen = {kind for kind, wording in catalogue().items() if not pattern(wording).search(shown)}
    assert unseen == set().union(*ELSEWHERE.values())


def test_an_unknown_kind_or_a_missing_field_is_no_finding() -> None:
    """Both fail where they are reported, and never come out as half a sentence."""
    with pytest.raises(LookupError):
        report("A999")
    with pytest.raises(LookupError):
        report("A002", starting=100.0)


def test_fields_are_safe_to_show() -> None:
    """A number comes with four digits, outside text on one line and cut."""
    assert (
        report("A002", starting=1234.56, running=0.123456).message
        == "starts at 1235 W, less than it runs at (0.1235 W)"
    )
    found = report("A016", candidate="x\n" + "y" * 100, found="\x1b[31m")
    assert found.message == f"x\\n{'y' * 36}… is to be shown in the outage, but no candidate is called so"
    assert found.found == "\\x1b[31m"
    assert report("A014").file == Place().file == ""


def page() -> str:
    """The catalogue as a page: a table for each letter."""
    lines = [
        "# Findings",
        "",
        "What the commands may say about files, cases and returned workbooks. An error forbids going on, a warning asks to",
        "look again, a note tells what was assumed. Words in braces stand for what was found there.",
    ]
    for letter, meaning in data("findings.toml")["letters"].items():
        lines += [
            "",
            f"## {letter}",
            "",
            meaning,
            "",
            "| Code | Level | Message | Remedy |",
            "| --- | --- | --- | --- |",
        ]
        for wording in catalogue().values():
            if wording.code[0] == letter:
                texts = (re.sub(r":[0-9.a-z]+}", "}", text) for text in (wording.message, wording.remedy))
                lines.append(f"| {wording.code} | {wording.level} | {' | '.join(texts)} |")
    return "\n".join(lines) + "\n"


def test_the_page_is_the_catalogue() -> None:
    """The page of the docs says what the catalogue says; HOLDOVER_SNAPSHOTS=write renews it."""
    if os.environ.get("HOLDOVER_SNAPSHOTS") == "write":
        PAGE.parent.mkdir(exist_ok=True)
        PAGE.write_text(page(), encoding="utf-8", newline="\n")
    assert PAGE.read_text(encoding="utf-8") == page(), "renew it with HOLDOVER_SNAPSHOTS=write, and read the change"
