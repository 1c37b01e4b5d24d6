"""The one place that prints: findings, summaries and tables, as text or JSON, and the exit code that follows.

Exit codes: 0 done; 1 errors in what was read, or an audit that is not clean; 2 wrong command line; 4 the output
was not written, or memory did not do; 70 a bug in holdover; 130 interrupted.
"""

import contextlib
import os
import shlex
import sys
import textwrap
import time
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NoReturn

if TYPE_CHECKING:
    from decimal import Decimal

    from holdover.findings import Finding, Findings
    from holdover.fleet.batch import Batch, Step
    from holdover.library import Received
    from holdover.model.offer import Offer
    from holdover.model.study import Study
    from holdover.returned.audit import Audit

DONE: Final = 0
ERRORS: Final = 1
USAGE: Final = 2
NOT_WRITTEN: Final = 4
BUG: Final = 70
INTERRUPTED: Final = 130
WORDS: Final = ("appliance", "candidate", "output", "runtime", "verdict", "case", "pick", "promise", "workbook")
"""Headings of columns that hold words; the others hold figures, which end below each other."""
LINE: Final = 100
"""Longest line of a list [characters]."""
HEAD: Final = 10
"""Room for the name of a line above the table [characters]."""
LISTED: Final = 40
"""Most cases of a batch that are listed [count]."""
LONGEST: Final = 1500
"""Longest sentence of the advice [characters]."""
IN_WORDS: Final = "a pack is an add-on battery; usable Wh come out of storage; more on the sheet Words"
MUST_RUN: Final = {
    "critical": "critical loads",
    "critical and essential": "critical and essential loads (all but convenience ones)",
    "all loads": "all loads",
}
"""Loads that the promise names, in words for who meets them first."""


def say(text: str, *, err: bool = False, end: str = "\n") -> None:
    """Print a line; what the terminal can't show is replaced, and nothing is said where nobody listens."""
    stream = sys.stderr if err else sys.stdout
    if stream is None:  # closed by the shell
        return
    encoding = stream.encoding or "utf-8"
    try:
        stream.write(f"{text}{end}".encode(encoding, "replace").decode(encoding))
        stream.flush()
    except OSError as wrong:
        with contextlib.suppress(OSError):  # what is left in the buffer has nowhere to go
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        if not err:  # remarks that nobody can read keep nobody from the result
            _cannot_print(wrong)


def _cannot_print(wrong: OSError) -> NoReturn:
    from holdover.workbook.save import NotWritten

    if isinstance(wrong, BrokenPipeError):  # a reader that has seen enough is no error
        stop(DONE)
    raise NotWritten(f"The report can't be printed: {wrong.strerror}.", "Send it elsewhere, or make room.") from wrong


def version() -> None:
    """The installed version."""
    from holdover import version as installed

    say(installed())


def stop(code: int) -> NoReturn:
    """Leave with an exit code."""
    raise SystemExit(code)


def guarded(app: Callable[..., Any]) -> int:
    """Run the application; every way out becomes an exit code, and a sentence where something went wrong."""
    from typer import Abort

    try:
        code = app(standalone_mode=False)
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else ERRORS
    except (KeyboardInterrupt, Abort):
        code = INTERRUPTED
    except Exception as wrong:
        return _failed(wrong)
    if code == INTERRUPTED:
        say("Interrupted. Nothing was left half-written.", err=True)
    return code if isinstance(code, int) else DONE


SCARCE: Final = ("allocate memory", "failed to map segment", "cannot load")
"""What else is said, beside a MemoryError, where a part of a program finds no room in memory."""


def _failed(wrong: Exception) -> int:
    if isinstance(wrong, MemoryError | SystemError) or any(word in str(wrong) for word in SCARCE):
        raise MemoryError from wrong  # told where the program begins, with nothing that is still to be loaded
    from holdover.workbook.save import NotWritten

    if isinstance(wrong, NotWritten):
        say(f"error: {_shown(wrong.message)}\n   = help: {wrong.remedy}", err=True)
        return NOT_WRITTEN
    if hasattr(wrong, "show") and hasattr(wrong, "exit_code"):  # the command line was wrong; typer says how
        wrong.show()
        return int(wrong.exit_code)
    import tempfile
    import traceback

    details = "Its details could not be written down."
    with (
        contextlib.suppress(OSError),
        tempfile.NamedTemporaryFile("w", prefix="holdover-", suffix=".log", delete=False, encoding="utf-8") as log,
    ):
        traceback.print_exception(wrong, file=log)
        details = f"Details are in {log.name}"
    say(f"error: this is a bug in holdover ({type(wrong).__name__}). {details}", err=True)
    return BUG


def _shown(path: object) -> str:
    """A path or a sentence with one, as it may stand on a terminal."""
    from holdover.findings import show

    return show(path, 1000)


@contextlib.contextmanager
def refusals(*, json: bool = False) -> Iterator[None]:
    """Where what is read inside can't be taken: print the findings and leave."""
    from holdover.library import CaseError

    try:
        yield
    except CaseError as wrong:
        if json:
            _json({"findings": _dicts(wrong.findings.sorted())})
        else:
            _findings(wrong.findings, err=True)
        stop(ERRORS)


def refuse_if(edits: str, target: Path) -> None:
    """Leave where the target holds somebody's edits, or is not one of ours."""
    if edits:
        ours = not edits.startswith("it ")
        reason = f"its {edits} were changed since it was written" if ours else edits
        taken = ours and edits.startswith(("inputs", "formulas"))  # notes and added sheets don't come along
        take = "take the edits with `holdover build FILE -o NEW`, " if taken else ""
        say(
            f"error: {_shown(target)} is left as it is: {reason}.\n"
            f"   = help: write elsewhere with -o, {take}or replace it with --force",
            err=True,
        )
        stop(NOT_WRITTEN)


def started(folder: Path, files: Sequence[str]) -> None:
    """What `new` wrote."""
    say(f"Started a case in {_shown(folder)}: {', '.join(files)}.")
    say(f"Edit the files, then: holdover build {_shown(shlex.quote(str(folder)))}")


def form_started(form: Path) -> None:
    """Where the form is, and what comes next."""
    say(f"Wrote {_shown(form)}. Fill it in, save it, then: holdover build {_shown(shlex.quote(str(form)))}")


def checked(findings: "Findings", *, json: bool, whole: bool = False) -> None:
    """All findings, each in full where that is wanted; the exit code says whether there was an error."""
    if json:
        _json({"findings": _dicts(findings.sorted())})
    else:
        _findings(findings, whole=whole)
    stop(ERRORS if findings.errors else DONE)


SLOW_S: Final = 1.0
"""After so long a terminal is told what goes on [s]."""


@contextlib.contextmanager
def patience() -> Iterator[Callable[[str], None]]:
    """What goes on, told on a terminal once it takes longer than a second, and wiped away at the end."""
    begun, standing = time.monotonic(), ""

    def step(what: str) -> None:
        nonlocal standing
        late = what and sys.stderr and sys.stderr.isatty() and time.monotonic() - begun > SLOW_S
        if late or standing:
            standing = f"{what} …" if late else ""
            sys.stderr.write(f"\r\x1b[K{standing}")  # the line is wiped, then written anew
            sys.stderr.flush()

    try:
        yield step
    finally:
        step("")


def wrote(path: Path, before: str = "") -> None:
    """A file was written."""
    say(f"{before}Wrote {_shown(path)}.")


def built(study: "Study", received: "Received", target: Path, held_by: str | None = None) -> None:
    """The summary after a workbook was written, perhaps below the hands of a program that has the old one open."""
    if received.findings.found:
        _findings(received.findings, err=True, returned=received.slots is not None)
    _summary(study, received.findings.sorted() if received.slots is None else ())
    wrote(target, before="\n")
    if held_by:
        say(
            f"warning: {_shown(target)} seems to be open in {held_by}, which shows the old one still\n"
            "   = help: close it there without saving, and open it again",
            err=True,
        )


@contextlib.contextmanager
def progress() -> Iterator[Callable[["Step"], None]]:
    """A bar of cases that are done, with their rate and the time that is left, where standard error is a terminal."""
    from typer import progressbar

    with contextlib.ExitStack() as stack:
        bar: Any = None
        rate = ""

        def tell(step: "Step") -> None:
            nonlocal bar, rate
            rate = f"{step.done / max(step.seconds, 1e-9):.1f} a second"
            if bar is None and sys.stderr and sys.stderr.isatty():
                shown: dict[str, Any] = {"show_pos": True, "item_show_func": lambda _: rate, "file": sys.stderr}
                bar = stack.enter_context(progressbar(length=step.of, label="cases", **shown))
            if bar is not None:
                bar.update(1)

        yield tell


def batched(batch: "Batch", *, json: bool) -> None:
    """What became of many cases: a line each where they are few, else of those that ask for a look."""
    from holdover.fleet.table import HEADS, asking, faults, lines, summary

    if json:
        _json({"cases": [entry.as_dict() for entry in batch.entries], "index": str(batch.index)})
    else:
        listed = batch.entries if len(batch.entries) <= LISTED else asking(batch.entries)[:LISTED]
        if listed:
            _table(HEADS, lines(listed))
        _list("What is wrong", faults(listed))
        say(f"\n{summary(batch)}")
        wrote(batch.index)
    if batch.interrupted:
        stop(INTERRUPTED)
    stop(ERRORS if any(entry.state in ("errors", "failed") for entry in batch.entries) else DONE)


def shown(study: "Study", findings: "Findings", *, json: bool) -> None:
    """The study as text or JSON."""
    if json:
        from holdover.contract import contract

        _json(contract(study) | {"findings": _dicts(findings.sorted())})
        return
    if findings.found:
        _findings(findings, err=True)
    _summary(study, findings.sorted())


def typical(rows: Sequence[Any], word: str, *, json: bool) -> None:
    """The table of typical figures."""
    from dataclasses import asdict

    if json:
        _json({"typical": [asdict(row) | {"day_wh": row.day_wh} for row in rows]})
    elif not rows:
        say(f"Nothing is known by the name `{_shown(word)}`. `holdover typical` prints all.", err=True)
    if not rows:
        stop(ERRORS)
    if json:
        return
    say(
        "Typical figures; measure before relying on one. The start is the whole draw, in VA: an inverter trips on\n"
        "current. Hours a day, and the share of them that a load runs, are common practice where no energy is stated.\n"
    )
    _table(
        ("appliance", "running W", "range W", "start VA", "kWh/day", "h/day"),
        [
            (
                row.name,
                _number(row.running_w),
                f"{_number(row.low_w)} to {_number(row.high_w)}",
                _number(row.start_va),
                _number(row.day_wh / 1000),
                _number(row.hours_per_day),
            )
            for row in rows
        ],
    )
    _list("Sources", [(row.name, row.source) for row in rows])


def extracted(folder: Path, files: Sequence[str], findings: "Findings") -> None:
    """What `extract` wrote."""
    if findings.found:
        _findings(findings, err=True)
    say(f"Wrote {', '.join(files)} to {_shown(folder)}.")
    say("Comments on cells, and those behind # in the case file of old, are not taken along: copy them over.")


def audited(audit: "Audit", *, json: bool) -> None:
    """What an audit found; the exit code says whether it is clean."""
    findings = audit.findings
    if json:
        _json(audit.as_dict() | {"findings": _dicts(findings.sorted())})
    else:
        if findings.found:
            _findings(findings, err=True, returned=True, file=audit.file)
        say(audit.text())
    stop(DONE if audit.clean else ERRORS)


def _summary(study: "Study", findings: "Sequence[Finding]") -> None:
    """What is advised, for what, how sure it is, what to ask, and what was warned of above: in plain words."""
    from holdover.findings import recalled, show
    from holdover.model.outage.told import stretch_of

    say(f"{show(study.case.about.title, 80)}\n")
    for name, words in _advice(study):
        if words:
            head = f"{name:<{HEAD}}"
            say(textwrap.fill(f"{head}{show(words, LONGEST)}", LINE, subsequent_indent=" " * HEAD))
    listed = sorted((o for o in study.offers if o.name), key=lambda o: (o.rank.rank == "", o.rank.rank, o.number))
    if listed:
        currency = show(study.case.about.currency, 12)
        say(f"{'Words':<{HEAD}}{IN_WORDS}\n")
        _table(
            ("rank", "candidate", "packs", "usable Wh", "output", "runtime", f"price {currency}", "verdict"),
            [_row(o) for o in listed],
        )
    _list(f"What runs when: {stretch_of(study.case).words}", [(show(o.name), _runs(o, study)) for o in listed])
    _list("Why the others fall short", [(show(o.name), o.reason) for o in listed if not o.fit.fits])
    all_of_them = [("All of them", f"ask for: {asked}") for asked in [study.decision.field_asks] if asked]
    _list("Before buying", [*all_of_them, *((show(o.name), o.ask) for o in listed if o.fit.fits and o.ask)])
    all_of_them = [("All of them", remarks) for remarks in [study.decision.field_remarks] if remarks]
    _list("Worth a look", [*all_of_them, *((show(o.name), o.remarks) for o in listed if o.fit.fits and o.remarks)])
    _list("The warnings above once more: they bear on this answer", recalled(findings))


def _advice(study: "Study") -> Iterator[tuple[str, str]]:
    """The lines above the table, each with its name; one without words is left out."""
    from holdover.model.outage.told import stretch_of

    case, demand, decision, doubt = study.case, study.demand, study.decision, study.doubt
    loads = demand.lines
    yield (
        "Demand",
        f"{_whole(demand.energy_wh)} Wh a day from {loads} load{'' if loads == 1 else 's'}; {_whole(demand.peak_running_w)} W "
        f"running from {demand.peak_running_at:02d}:00, {_whole(demand.peak_starting_w)} W starting. {demand.pool_words}".strip(),
    )
    yield (
        "Must run",
        f"{MUST_RUN[case.outage.promise]}, in every hour of {stretch_of(case).words}, from {case.outage.starts_at:02}:00",
    )
    yield "Decision", f"{decision.headline} {decision.chosen_by}".strip()
    if decision.listed and not decision.fitting:
        yield "Look for", study.look_for.words.removeprefix("Look for ")
    told = decision.pick if decision.pick_number else decision.nearest
    yield (
        "Cautions",
        study.answer.called_for.said and f"{study.answer.called_for.said}; what to do stands on the sheet Cautions",
    )
    yield "Vehicle", f"{decision.drive}, with {told}" if decision.drive and decision.listed else decision.drive
    if doubt.doubt_wh > 0:
        yield "How sure", f"{_whole(doubt.low_wh)} to {_whole(doubt.high_wh)} Wh a day. {_sure(study)}{doubt.words}"


def _sure(study: "Study") -> str:
    """The packs that a low, a likely and a high day take."""
    if not study.tried.name:
        return ""
    packs = [trial.packs_needed for trial in study.sure]
    if len(set(packs)) == 1:
        return (
            f"{study.tried.name} does not hold enough for low, likely or high days. "
            if isinstance(packs[0], str)
            else ""
        )
    low, likely, high = ("all are too few" if isinstance(n, str) else str(n) for n in packs)
    return f"Packs of {study.tried.name}: {low} for low days, {likely} for likely ones, {high} for high ones. "


def _runs(offer: "Offer", study: "Study") -> str:
    """Each tier by clock time; of storage that is not stated nothing is said."""
    from holdover.model.outage.told import stretch_of, tiers_words

    if offer.given.storage_wh is None:
        return "not told: its storage is not stated"
    return tiers_words(offer.carried.tiers, stretch_of(study.case), output=offer.fit.output) or "no load is listed"


def _row(offer: "Offer") -> tuple[str, ...]:
    from holdover.findings import show

    return (
        str(offer.rank.rank) or "-",
        show(offer.name),
        str(offer.held.packs),
        _whole(offer.held.usable_wh),
        offer.fit.output,
        offer.fit.outage,
        _price(offer.cost.total),
        offer.fit.verdict,
    )


def _price(value: float | str) -> str:
    return value if isinstance(value, str) else f"{_rounded(value, 2):,.2f}".removesuffix(".00")


def _number(value: Any) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else f"{_rounded(value, 2):,}"


def _whole(value: float) -> str:
    return f"{_rounded(value, 0):,}"


def _rounded(value: float, decimals: int) -> "Decimal":
    """A figure as the workbook rounds it in its sentences."""
    from decimal import Decimal

    from holdover.model.spoken import spoken

    return Decimal(spoken(value, decimals))


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    widths = [max(_width(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    right = [head not in WORDS for head in heads]
    for row in (heads, ["-" * width for width in widths], *rows):
        blanks = [" " * (width - _width(text)) for text, width in zip(row, widths, strict=True)]
        cells = [b + text if figure else text + b for text, b, figure in zip(row, blanks, right, strict=True)]
        say("  ".join(cells).rstrip())


def _width(text: str) -> int:
    """Places that a text takes on a terminal: two for a wide letter, none for an accent of its own."""
    return sum(0 if unicodedata.combining(mark) else 1 + (unicodedata.east_asian_width(mark) in "WF") for mark in text)


def _list(heading: str, items: Sequence[tuple[str, str]]) -> None:
    """A heading and what there is to say, each by its name, in lines of at most LINE characters."""
    if items:
        say(f"\n{heading}")
    for name, words in items:
        say(textwrap.fill(f"{name}: {words}", LINE, initial_indent="  ", subsequent_indent="    "))


def _findings(
    findings: "Findings", *, err: bool = False, whole: bool = False, returned: bool = False, file: str = ""
) -> None:
    """The findings; a blank line parts them from what follows on the same terminal."""
    from holdover.findings import render, render_returned

    told = render_returned(findings.sorted(), file) if returned else render(findings.sorted(), whole=whole)
    say(told if err else told.rstrip(), err=err)


def _dicts(found: Sequence["Finding"]) -> list[dict[str, Any]]:
    from holdover.findings import as_dict

    return [as_dict(finding) for finding in found]


def _json(content: Mapping[str, Any]) -> None:
    """Print JSON; with its letters escaped where the terminal lacks one of them or would act on it."""
    from holdover.contract import as_lines

    text = as_lines(content, ascii_only=False)
    encoding = (sys.stdout and sys.stdout.encoding) or "utf-8"
    plain = text.replace("\n", "").isprintable() and text.encode(encoding, "replace").decode(encoding) == text
    say(text if plain else as_lines(content, ascii_only=True))
