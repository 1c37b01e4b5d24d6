"""The commands: each reads, computes, writes and reports. What is printed, and how, is in `report.py`."""

import os
import sys
from pathlib import Path
from typing import Annotated, Literal

import typer

import holdover
from holdover import report

app = typer.Typer(
    name="holdover",
    help="From a survey of loads to a live workbook that decides which portable battery-inverter unit to buy.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

CaseArgument = Annotated[Path, typer.Argument(metavar="CASE", help="A case folder or file, or a returned workbook.")]
WorkbookArgument = Annotated[Path, typer.Argument(metavar="WORKBOOK", help="A returned workbook.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON for programs.")]
Whole = Annotated[bool, typer.Option("--all", help="Show each finding in full.")]


def _version(wanted: bool) -> None:
    if wanted:
        report.version()
        raise typer.Exit


def _workbook_name(output: Path | None) -> Path | None:
    if output is not None and output.suffix.casefold() != ".xlsx":
        raise typer.BadParameter("give the name of a file that ends in .xlsx")
    return output


@app.callback()
def _options(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Print it.")] = False,
) -> None:
    """Options of every command."""


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(metavar="NAME", help="Folder to make, new or empty; of a form its file.")],
    like: Annotated[
        Literal["home", "stall", "vehicle", "clinic"],
        typer.Option("--from", metavar="STARTER", help="Starter case: home, stall, vehicle or clinic."),
    ] = "home",
    form: Annotated[bool, typer.Option("--form", help="Write a form to fill in, a workbook, in its place.")] = False,
) -> None:
    """Start a case folder from a starter case, such as: holdover new my-stall --from stall."""
    from holdover.returned.starter import start_case, start_form
    from holdover.workbook.save import interruptible

    with interruptible():
        if form:
            report.form_started(start_form(folder, like))
        else:
            report.started(folder, start_case(folder, like))


@app.command()
def check(case: CaseArgument, json: Json = False, whole: Whole = False) -> None:
    """Read a case and tell everything that is wrong or odd with it."""
    report.checked(holdover.read(case).findings, json=json, whole=whole)


@app.command()
def build(
    case: CaseArgument,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="FILE", help="Workbook to write.", callback=_workbook_name)
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a workbook that was edited.")] = False,
    pdf: Annotated[bool, typer.Option("--pdf", help="Also write the printed pages, through LibreOffice.")] = False,
) -> None:
    """Write the workbook, and say in short what it found."""
    from holdover.returned.audit import edited_since
    from holdover.workbook.save import interruptible, open_elsewhere, write_whole

    with interruptible(), report.refusals(), report.patience() as step:
        received = holdover.read(case)
        study = holdover.study(received.case, received.slots)
        target = output or Path(f"{case.resolve().stem if case.is_file() else case.resolve().name}.xlsx")
        if not force and os.path.isfile(target):  # noqa: PTH113 (a name too long is no file)
            report.refuse_if(edited_since(target), target)
        folder = case if case.is_dir() else case.parent
        inputs = [case, *{folder / place.file for place in received.findings.places.values()}]
        step(f"writing {target.name}")
        workbook = holdover.build(study)
        write_whole(target, workbook, inputs=inputs)
        step("")
        report.built(study, received.findings, target, held_by=open_elsewhere(target))
        if pdf:
            step("printing it through LibreOffice")
            write_whole(pages := target.with_suffix(".pdf"), holdover.pdf(workbook), inputs=inputs)
            step("")
            report.wrote(pages)


@app.command()
def show(case: CaseArgument, json: Json = False) -> None:
    """Compute without a workbook."""
    with report.refusals(json=json):
        received = holdover.read(case)
        report.shown(holdover.study(received.case, received.slots), received.findings, json=json)


@app.command()
def typical(
    word: Annotated[
        str, typer.Argument(metavar="WORD", help="A load, as fridge, or a group: kitchen, medical, car; else all.")
    ] = "",
    json: Json = False,
) -> None:
    """Print typical draws of loads, each with its source."""
    from holdover.case.typical import typical as rows

    report.typical(rows(word), word, json=json)


@app.command()
def extract(
    workbook: WorkbookArgument,
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Case folder to write; new or empty.")],
) -> None:
    """Write a returned workbook back as a case folder."""
    from holdover.returned.extract import write_case
    from holdover.workbook.save import interruptible

    with interruptible(), report.refusals():
        received = holdover.read(workbook)
        report.extracted(folder, write_case(received.case, folder), received.findings)


@app.command()
def audit(
    workbook: WorkbookArgument,
    against: Annotated[Path | None, typer.Option("--against", metavar="CASE", help="Case it was built from.")] = None,
    json: Json = False,
) -> None:
    """Say what was changed in a returned workbook, and whether its numbers hold."""
    with report.refusals(json=json):
        report.audited(holdover.audit(workbook, against), json=json)


def main() -> None:
    """Run the command line; every way out has its exit code."""
    sys.exit(report.guarded(app))
