"""The commands: each reads, computes, writes and reports. What is printed, and how, is in `report.py`."""

import os
import sys

import typer

import holdover
from holdover import options, report

app = typer.Typer(
    name="holdover",
    help="From a survey of loads to a live workbook that decides which portable battery-inverter unit to buy.",
    epilog=options.FIRST_STEP,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


@app.callback()
def _options(
    version: options.Version = False,
) -> None:
    """Options of every command."""


@app.command(epilog=options.EXAMPLES["new"])
def new(folder: options.New, like: options.Starter = "home", form: options.Form = False) -> None:
    """Start a case: a form to fill in, or a folder of files."""
    from holdover.returned.starter import start_case, start_form
    from holdover.workbook.save import interruptible

    with interruptible():
        if form:
            report.form_started(start_form(folder, like))
        else:
            report.started(folder, start_case(folder, like))


@app.command(epilog=options.EXAMPLES["ask"])
def ask(folder: options.CaseFolder) -> None:
    """Ask question by question, and say what is advised."""
    from holdover.ask import ask as hold

    with report.refusals():
        hold(folder)


@app.command(epilog=options.EXAMPLES["check"])
def check(case: options.Case, json: options.Json = False, whole: options.Whole = False) -> None:
    """Tell everything that is wrong or odd with a case."""
    report.checked(holdover.read(case).findings, json=json, whole=whole)


@app.command(epilog=options.EXAMPLES["build"])
def build(
    case: options.Case, output: options.Output = None, force: options.Force = False, pdf: options.Pdf = False
) -> None:
    """Write the workbook, and say in short what it found."""
    from holdover.returned.audit import edited_since
    from holdover.workbook.save import interruptible, open_elsewhere, output_name, write_whole

    with interruptible(), report.refusals(), report.patience() as step:
        received = holdover.read(case)
        study = holdover.study(received.case, received.slots)
        target = output or output_name(case)
        if not force and os.path.isfile(target):  # noqa: PTH113 (a name too long is no file)
            report.refuse_if(edited_since(target), target)
        folder = case if case.is_dir() else case.parent
        inputs = [case, *{folder / place.file for place in received.findings.places.values()}]
        step(f"writing {target.name}")
        workbook = holdover.build(study)
        write_whole(target, workbook, inputs=inputs)
        step("")
        report.built(study, received, target, held_by=open_elsewhere(target))
        if pdf:
            step("printing it through LibreOffice")
            write_whole(pages := target.with_suffix(".pdf"), holdover.pdf(workbook), inputs=inputs)
            step("")
            report.wrote(pages)


@app.command(epilog=options.EXAMPLES["batch"])
def batch(
    cases: options.Cases,
    output: options.Folder,
    candidates: options.Candidates = None,
    pdf: options.Pdf = False,
    resume: options.Resume = False,
    force: options.Force = False,
    jobs: options.Jobs = 0,
    scheduler: options.Scheduler = "",
    json: options.Json = False,
) -> None:
    """Write the workbook of every case, and an index."""
    from holdover.fleet.batch import Wishes
    from holdover.fleet.workers import workers
    from holdover.workbook.save import interruptible

    wishes = Wishes(candidates=candidates, pdf=pdf, resume=resume, force=force, jobs=jobs)
    with (
        interruptible(),
        report.refusals(json=json),
        workers(scheduler) as (executor, ahead),
        report.progress() as tell,
    ):
        wishes["ahead"] = ahead
        done = holdover.batch(cases, output, executor=executor, tell=tell, **wishes)
    report.batched(done, json=json)


@app.command(epilog=options.EXAMPLES["show"])
def show(case: options.Case, json: options.Json = False) -> None:
    """Compute without a workbook."""
    with report.refusals(json=json):
        received = holdover.read(case)
        report.shown(holdover.study(received.case, received.slots), received.findings, json=json)


@app.command(epilog=options.EXAMPLES["typical"])
def typical(word: options.Word = "", json: options.Json = False) -> None:
    """Print typical draws of loads, each with its source."""
    from holdover.case.typical import typical as rows

    report.typical(rows(word), word, json=json)


@app.command(epilog=options.EXAMPLES["extract"])
def extract(workbook: options.Workbook, folder: options.CaseFolder) -> None:
    """Write a returned workbook back as a case folder."""
    from holdover.returned.extract import write_case
    from holdover.workbook.save import interruptible

    with interruptible(), report.refusals():
        received = holdover.read(workbook)
        report.extracted(folder, write_case(received.case, folder), received.findings)


@app.command(epilog=options.EXAMPLES["audit"])
def audit(workbook: options.Workbook, against: options.Against = None, json: options.Json = False) -> None:
    """Say what was changed in a returned workbook."""
    with report.refusals(json=json):
        report.audited(holdover.audit(workbook, against), json=json)


def main() -> None:
    """Run the command line; every way out has its exit code."""
    sys.exit(report.guarded(app))
