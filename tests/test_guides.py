"""The guides keep their word: every command in them runs, on the files that they show, and prints what they say."""

import os
import re
import shlex
from collections.abc import Iterator
from itertools import takewhile
from pathlib import Path

import pytest

from cli.running import process
from holdover.returned.form import SHOWN
from holdover.returned.questions import AboutYou
from returned.forms import filled_form

DOCS = Path(__file__).resolve().parents[1] / "src" / "holdover" / "docs"
GUIDES = ("householder", "installer", "adviser")
BLOCK = re.compile(r"(?ms)^```(?P<kind>\w+)(?: (?P<file>\S+))?\n(?P<text>.*?)^```\n")
TABLE = re.compile(r"(?m)(?:^\|.*\n)+")


def cells(table: str) -> list[list[str]]:
    """A table's rows, its line of dashes left out."""
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()]
    return [row for row in rows if not all(set(cell) <= {"-", " "} for cell in row)]


def fill(form: Path, table: str) -> None:
    """Type a table of a guide into the sheet that its heading names."""
    (head, *_), *rows = cells(table)
    if head == "About you":
        asked = {str(info.title): name for name, info in AboutYou.model_fields.items()}
        filled_form(form, {asked[question]: answer for question, answer in rows}, ())
    elif head == "What":
        fields = {heading.rstrip(" *"): name for name, (heading, _, _) in SHOWN.items()}
        names = [fields[heading] for heading in cells(table)[0]]
        filled_form(form, {}, [{n: v for n, v in zip(names, row, strict=True) if v} for row in rows])
    else:
        assert head == "What is on offer"
        filled_form(form, {}, (), rows)


def played(guide: str, folder: Path) -> Iterator[tuple[str, str]]:
    """Each block of output that a guide shows, and what its commands print when it is followed from top to bottom."""
    text = (DOCS / f"{guide}.md").read_text(encoding="utf-8")
    parts = sorted([*BLOCK.finditer(text), *TABLE.finditer(text)], key=re.Match.start)
    printed = ""
    for part in parts:
        if part.re is TABLE:
            fill(folder / "my-house.xlsx", part.group())
        elif part["kind"] == "sh":
            printed = "".join(run(line, folder) for line in part["text"].splitlines())
        elif part["kind"] == "text":
            yield part["text"], printed
        else:
            (folder / part["file"]).parent.mkdir(exist_ok=True)
            (folder / part["file"]).write_text(part["text"], encoding="utf-8")


def run(line: str, folder: Path) -> str:
    """What a command of a guide prints; it must end well."""
    name, *words = shlex.split(line)
    assert name == "holdover"
    done = process(*words, cwd=folder)
    assert done.code == 0, (line, done.err)
    return "".join(f"{text.rstrip()}\n" for text in done.out.splitlines())


@pytest.mark.parametrize("guide", GUIDES)
def test_a_guide_can_be_followed(guide: str, tmp_path: Path) -> None:
    """Its commands run one after the other on the files that it shows, and print what it says they print.

    HOLDOVER_SNAPSHOTS=write puts in what they print, to be read before it is committed.
    """
    shown = list(played(guide, tmp_path))
    assert shown
    if os.environ.get("HOLDOVER_SNAPSHOTS") == "write":
        file = DOCS / f"{guide}.md"
        text, rest = "", file.read_text(encoding="utf-8")
        for told, printed in shown:
            before, _, rest = rest.partition(f"```text\n{told}```\n")
            text += f"{before}```text\n{printed}```\n"
        file.write_text(text + rest, encoding="utf-8", newline="\n")
        shown = [(printed, printed) for _, printed in shown]
    for told, printed in shown:
        assert told == printed


@pytest.mark.parametrize("guide", GUIDES)
def test_the_pictures_of_a_guide_are_there(guide: str) -> None:
    """Each is a file of the project, and says what it shows."""
    pictures = re.findall(r"!\[(.*?)\]\((.*?)\)", (DOCS / f"{guide}.md").read_text(encoding="utf-8"))
    assert pictures
    for words, file in pictures:
        assert len(words.split()) > 4
        assert (DOCS / file).is_file(), file


def test_the_first_answer_takes_three_steps_and_no_case_file() -> None:
    """Make the form, fill it in, build: what a householder must do before the first answer."""
    text = (DOCS / "householder.md").read_text(encoding="utf-8")
    first = text[: text.index("```text")]
    assert re.findall(r"(?m)^\*\*(\d)\. ", first) == ["1", "2", "3"]
    assert len(re.findall(r"(?m)^holdover ", first)) == 2
    assert "toml" not in text.lower()


def test_a_messy_table_takes_one_round_of_check() -> None:
    """The installer's files are built as they came: `check` has warnings and notes for them, and no error."""
    text = (DOCS / "installer.md").read_text(encoding="utf-8")
    told = next(block["text"] for block in BLOCK.finditer(text) if block["kind"] == "text")
    assert not [line for line in told.splitlines() if line.startswith("error")]
    assert [*takewhile(str.strip, told.splitlines())]
