"""What commands are given: each argument and option with its name on the command line and what is said of it there."""

from pathlib import Path
from typing import Annotated, Final, Literal

import typer

from holdover import report


def _version(wanted: bool) -> None:
    if wanted:
        report.version()
        raise typer.Exit


def _workbook_name(output: Path | None) -> Path | None:
    if output is not None and output.suffix.casefold() != ".xlsx":
        raise typer.BadParameter("give the name of a file that ends in .xlsx")
    return output


Case = Annotated[Path, typer.Argument(metavar="CASE", help="A case folder or file, a filled form, or a workbook.")]
Workbook = Annotated[Path, typer.Argument(metavar="WORKBOOK", help="A returned workbook.")]
New = Annotated[Path, typer.Argument(metavar="NAME", help="Folder to make, new or empty; with --form a workbook.")]
CaseFolder = Annotated[Path, typer.Argument(metavar="DIR", help="Case folder to write; new or empty.")]
Cases = Annotated[
    list[Path], typer.Argument(metavar="CASE", help="Cases, folders of cases, or lists of their paths (.txt).")
]
Word = Annotated[
    str, typer.Argument(metavar="WORD", help="A load, as fridge, or a group: kitchen, medical, car; else all.")
]

Version = Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Print it.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON for programs.")]
Whole = Annotated[bool, typer.Option("--all", help="Show each finding in full.")]
Starter = Annotated[
    Literal["home", "stall", "vehicle", "clinic"],
    typer.Option("--from", metavar="STARTER", help="Starter case: home, stall, vehicle or clinic."),
]
Form = Annotated[bool, typer.Option("--form", help="Write a form to fill in, in place of a folder.")]
Output = Annotated[
    Path | None, typer.Option("-o", "--output", metavar="FILE", help="Workbook to write.", callback=_workbook_name)
]
Force = Annotated[bool, typer.Option("--force", help="Replace a workbook that was edited.")]
Pdf = Annotated[bool, typer.Option("--pdf", help="Also write the printed pages, through LibreOffice.")]
Folder = Annotated[Path, typer.Option("-o", "--output", metavar="DIR", help="Folder to write to.")]
Candidates = Annotated[
    Path | None, typer.Option("--candidates", metavar="FILE", help="A table of candidates in place of each case's own.")
]
Resume = Annotated[bool, typer.Option("--resume", help="Leave workbooks that are up to date.")]
Jobs = Annotated[int, typer.Option("--jobs", metavar="N", min=0, help="Cases at a time; 0: one a processor.")]
Scheduler = Annotated[
    str, typer.Option("--scheduler", metavar="ADDRESS", help="Dask scheduler whose workers do it, as tcp://host:8786.")
]
Against = Annotated[Path | None, typer.Option("--against", metavar="CASE", help="Case it was built from.")]

FIRST_STEP: Final = """\
\b
First step, either of:
  holdover new my-house --form   a form to fill in
  holdover ask my-house          questions on the terminal
"""
"""What stands below the list of commands."""
EXAMPLES: Final = {
    "new": "\b\nExample: holdover new my-house --form\nExample: holdover new my-stall --from stall",
    "ask": "Example: holdover ask my-house",
    "check": "Example: holdover check my-house.xlsx",
    "build": "Example: holdover build my-house.xlsx -o answer.xlsx",
    "batch": "Example: holdover batch houses -o out",
    "show": "Example: holdover show my-house",
    "typical": "Example: holdover typical fridge",
    "extract": "Example: holdover extract returned.xlsx my-house",
    "audit": "Example: holdover audit returned.xlsx --against my-house",
}
"""By command, what stands below its help: something that can be typed."""
