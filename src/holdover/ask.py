"""The conversation on the terminal: a question, what is usual, an example; `<` goes back, `?` lists what may be answered."""

import shlex
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from holdover import report

if TYPE_CHECKING:
    from holdover.returned.interview import Prompt

WIDTH: Final = 100
"""Longest line [characters]."""
KEPT: Final = "answers.txt"
"""File of answers that could not be taken together."""


def ask(folder: Path) -> None:
    """Ask everything on the terminal, write the case folder and say what is advised.

    Where the answers come from a pipe, a blank stands for those that are missing.

    Answers that can't be taken together are kept in a file, from which they can be given again.

    Raises:
        NotWritten: the folder holds something already, or can't be made.
        CaseError: together the answers can't be taken.
    """
    from holdover.advice.remarks import advise
    from holdover.findings import show
    from holdover.library import Received, study
    from holdover.reading.case import build_case
    from holdover.returned.extract import write_case
    from holdover.returned.interview import Unanswered, hold
    from holdover.workbook.save import interruptible, refuse_used, write_folder

    refuse_used(folder)
    report.say("A question after the other. Enter alone takes what stands in [ ]; < goes back a question.\n")
    given: list[list[str]] = []
    try:
        held = hold(_listen, given)
    except Unanswered as question:
        report.say(f"error: the answers end before: {question}\n   = help: answer it; nothing was written", err=True)
        report.stop(report.ERRORS)
    received = Received(*build_case(*held).remarked(advise))
    if received.found is None or received.findings.errors:
        with interruptible():
            write_folder(folder, {KEPT: _again(given)})
        report.say(
            f"\nYour answers are in {show(folder / KEPT, 1000)}, a line each. Mend there what is told below, and type:"
        )
        report.say(f"holdover ask NEW-FOLDER < {show(shlex.quote(str(folder / KEPT)), 1000)}\n")
    with interruptible():
        files = write_case(received.case, folder)
    report.say("")
    report.shown(study(received.case), received.findings, json=False)
    report.say(f"\nWrote {', '.join(files)} to {show(folder, 1000)}.")
    report.say(f"For the workbook: holdover build {show(shlex.quote(str(folder)), 1000)}")


def _again(given: Sequence[Sequence[str]]) -> bytes:
    """The answers as a pipe may give them; a blank line ends one of several lines."""
    return "".join(f"{answer}\n" for answers in given for answer in answers).encode()


def _listen(prompt: "Prompt") -> str:
    from holdover.returned.interview import BACK, LIST, Unanswered

    if prompt.wrong:
        report.say(_lines(f"Not taken: {prompt.wrong}"))
    report.say(_lines(f"{prompt.question} (such as {prompt.example})" if prompt.example else prompt.question))
    if prompt.help:
        report.say(_lines(f"  {prompt.help}"))
    for number, choice in enumerate(prompt.choices, 1):
        report.say(f"  {number} {choice}")
    while True:
        report.say(f"{f'[{prompt.usual}] ' if prompt.usual else ''}({BACK} = back) > ", end="")
        answer = _line()
        if answer is None and prompt.wrong:
            raise Unanswered(prompt.question)
        if answer is None or answer.strip() != LIST or not prompt.listed:
            break
        report.say(textwrap.fill("; ".join(prompt.listed), WIDTH))
    if answer is None:
        report.say("")
        return ""
    return "\n".join([answer, *_more(answer)]) if prompt.several else answer


def _lines(text: str) -> str:
    from holdover.findings import show

    return textwrap.fill(show(text, 2000), WIDTH, subsequent_indent="  ")


def _line() -> str | None:
    """The next line of the input; None where there is none."""
    line = sys.stdin.readline() if sys.stdin else ""
    return line.rstrip("\r\n") if line else None


def _more(first: str) -> Sequence[str]:
    """Further lines, up to a blank one."""
    from holdover.returned.interview import BACK

    lines: list[str] = []
    while first.strip() and first.strip() != BACK and (line := _line()):
        lines.append(line)
        if not line.strip():
            break
    return lines
