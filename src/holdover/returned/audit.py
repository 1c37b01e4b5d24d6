"""What was changed in a returned workbook, and whether its numbers hold."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field, replace
from itertools import takewhile
from pathlib import Path
from typing import Any, Final

from holdover import version
from holdover.advice.loads import start_is_slip
from holdover.case.figures import figure
from holdover.case.schema import Case
from holdover.findings import Finding, Findings, show
from holdover.model.study import study
from holdover.reading.entries import unstated
from holdover.returned.changed import input_changes
from holdover.returned.compare import Change, compare, label_of, row_of
from holdover.returned.guards import guard_changes
from holdover.returned.read import Returned, read_any, read_returned
from holdover.returned.wording import wording_changes
from holdover.workbook.seal import BEARER, seal_of
from holdover.xlsx import MAX_FILE, Archive, BadFile, Book

SCHEMA: Final = "holdover audit 1"
SHOWN: Final = 20
"""Changes of a kind that are told in full [count]."""
LISTED: Final = 1_000
"""Changes of a kind that the JSON lists [count]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Audit:
    """A returned workbook held against the case it was built from and against the model."""

    file: str
    application: str
    version: str
    compared: bool
    """Whether there was a case to hold the inputs against."""
    inputs: tuple[Change, ...]
    formulas: tuple[Change, ...]
    """Formulas, standing figures, names and tables that are not as they were written."""
    values: tuple[Change, ...]
    """Results that are not what the model computes from the inputs in the file."""
    words: tuple[Change, ...] = ()
    """Headings, units, cautions and notes that are not as they were written."""
    guards: tuple[Change, ...] = ()
    """How it is calculated, its fingerprint, and what is hidden, guarded or drawn, where that is not as it was written."""
    untouched: bool = True
    """Whether the inputs are those it was written with, by its fingerprint."""
    sealed: bool = False
    """Whether nobody has saved it since it was written."""
    uncounted: int = 0
    """Findings about what was typed and no formula counts: rows put in, cells outside of a table, numbers as text."""
    numbers: int
    """Results that were held against the model."""
    unstored: int
    """Formulas without a stored result: the program that saved the file does not calculate."""
    remarks: tuple[str, ...]
    before: str
    after: str
    """What a workbook advises that is built from this one; "" where none can be built."""
    in_file: str
    """What the workbook itself advises, by the inputs as its formulas read them."""
    as_blank: tuple[Change, ...] = ()
    """Cells that the workbook counts as blank, and a new one would not: numbers that were typed as text."""
    unread: tuple[Change, ...] = ()
    """Cells that can't be read: the workbook counts them as blank, and none can be built from it."""
    findings: Findings = field(default_factory=Findings)
    """What there was to say about the files that were read."""

    @property
    def clean(self) -> bool:
        """Whether nothing differs, all results could be checked, and the workbook counts all that was typed."""
        changes = self.inputs or self.formulas or self.values or self.words or self.guards
        return self.untouched and not (changes or self.unstored or self.uncounted or self.findings.errors)

    @property
    def stale(self) -> bool:
        """Whether formulas are as written, but show results of other inputs."""
        return bool(self.values) and not self.formulas

    def as_dict(self) -> dict[str, Any]:
        """The audit for JSON."""
        parts = {
            "inputs": self.inputs,
            "formulas": self.formulas,
            "values": self.values,
            "guards": self.guards,
            "words": self.words,
        }
        return {
            "schema": SCHEMA,
            "file": self.file,
            "application": self.application,
            "version": self.version,
            "clean": self.clean,
            "stale": self.stale,
            "untouched": self.untouched,
            "sealed": self.sealed,
            "counts": {name: len(changes) for name, changes in parts.items()}
            | {"numbers": self.numbers, "unstored": self.unstored, "uncounted": self.uncounted},
            **{name: [asdict(change) for change in changes[:LISTED]] for name, changes in parts.items()},
            "as_blank": [asdict(change) for change in self.as_blank[:LISTED]],
            "unread": [asdict(change) for change in self.unread[:LISTED]],
            "remarks": list(self.remarks),
            "verdict": {"before": self.before, "in_file": self.in_file, "after": self.after},
        }

    def text(self) -> str:
        """The audit for people: the verdict, then what changed, what may change the verdict first."""
        saved = self._saved()
        origin = f"written by holdover {show(self.version)}, {f'saved by {saved}' if saved else 'not saved since'}"
        saved = saved or "the program"
        lines = [f"Audit of {show(self.file, 200)}, {origin}", "", *self._verdict(), ""]
        lines += _listed("Inputs", "input", "changed", self.inputs) if self.compared else [self._not_compared()]
        lines += _listed("Formulas", "formula", "not as written", self.formulas)
        lines += self._numbers(saved)
        lines += _listed("Calculation, protection and looks", "setting", "not as written", self.guards)
        lines += _listed("Headings, units, cautions and notes", "text", "not as written", self.words)
        lines += [f"note: {remark}" for remark in self.remarks]
        return "\n".join(lines)

    def _saved(self) -> str:
        """The program that saved the workbook, as far as the file tells; "" where it was not saved since it was written."""
        if self.sealed:
            return ""
        return show(self.application.partition("$")[0], 60) or "a program that does not name itself"

    def _not_compared(self) -> str:
        changed = "they are those it was written with" if self.untouched else "not those it was written with"
        return f"Inputs: {changed}; give the case with --against to see which were changed."

    def _numbers(self, saved: str) -> list[str]:
        lines = _listed("Numbers", "number", "not what the model computes from the inputs in the file", self.values)
        if not self.values and self.numbers:
            lines = [f"All {self.numbers:,} results are what the model computes from the inputs in the file."]
        if self.stale:
            lines.append(f"  The formulas are as written: {saved} did not recalculate. {RECALCULATE}")
        elif self.values:
            lines.append("  They follow from what is not as written.")
        if not self.numbers:
            reason = f"{saved} stored none, it does not calculate. {RECALCULATE}" if self.unstored else UNWRITTEN
            lines = [f"No result could be checked: {reason}"]
        elif self.unstored:
            lines.append(f"{self.unstored:,} formulas have no stored result: {saved} does not calculate. {RECALCULATE}")
        return lines

    def _verdict(self) -> list[str]:
        """What is advised; where the file says something else than a new build would, both, and why."""
        blank = [*_cells("The file counts as blank what a new build reads", self.as_blank)]
        blank += _cells("The file counts as blank what can't be read", self.unread)
        if self.in_file != self.after:
            new = self.after or "none, until the errors are mended"
            before = [f"Verdict before:         {show(self.before, 200)}"] if self.compared else []
            two = [f"Verdict in the file:    {show(self.in_file, 200)}", f"Verdict of a new build: {show(new, 200)}"]
            return [*before, *two, *blank]
        if not self.compared:
            return [f"Verdict: {show(self.after, 200)}", *blank]
        if self.before == self.after:
            return [f"Verdict, unchanged: {show(self.after, 200)}", *blank]
        return [f"Verdict before: {show(self.before, 200)}", f"Verdict now:    {show(self.after, 200)}", *blank]


UNCOUNTED: Final = ("W004", "W005", "W006")
"""Codes of findings about what somebody typed and no formula of the workbook counts."""
OUTSIDE: Final = "cells outside of the tables"
SHEETS: Final = "sheets"
"""What was edited and would not come along into a workbook that is built from this one."""
AS_WRITTEN: Final = "Microsoft Excel"
"""The program that the writing library names in every new file; of a file that was saved since it tells nothing."""
ITS_VERSIONS: Final = re.compile(r"1[4-9]\.[0-9]{4}")
"""Versions that this program alone writes of itself: those who write in its name write an older one, or their own."""
UNWRITTEN: Final = "no formula is as it was written."
RECALCULATE: Final = "Open it in a spreadsheet program, recalculate all and save it."


def audit_file(workbook: Path, against: Path | None) -> tuple[Audit | None, Findings]:
    """The audit of a file; None, with errors among the findings, where it or the case can't be read."""
    returned, findings = read_returned(workbook, partly=True)
    if returned is None:
        return None, findings
    uncounted = len(_uncounted(findings))
    case = None
    if against is not None:
        case, others, _ = read_any(against)
        if case is None:
            return None, others
        findings.extend(others.found)
    found = audit(returned, case, file=workbook.name, uncounted=uncounted)
    return replace(found, findings=findings, sealed=_is_sealed(workbook)), findings


def audit(returned: Returned, against: Case | None, *, file: str = "", uncounted: int = 0) -> Audit:
    """Hold a returned workbook against the case it was built from, and against the model.

    Args:
        returned: the workbook
        against: the case, None if there is none
        file: the workbook's name
        uncounted: findings of its reader about what no formula counts
    """
    found = compare(returned)
    after = study(returned.case).decision.headline if returned.whole else ""
    as_blank, unread = _as_blank(returned)
    written = returned.book.properties.get("holdover_version", "of unknown version")
    return Audit(
        file=file,
        application=_application(returned.book),
        version=written,
        compared=against is not None,
        inputs=() if against is None else tuple(input_changes(returned, against)),
        formulas=found.formulas,
        values=found.values,
        uncounted=uncounted,
        numbers=found.numbers,
        unstored=found.unstored,
        words=wording_changes(returned),
        guards=guard_changes(returned, against),
        untouched=returned.untouched or "holdover_digest" not in returned.book.properties,
        remarks=(*_other_version(written), *found.remarks, *_slips(returned)),
        before=after if against is None else study(against).decision.headline,
        after=after,
        in_file=found.headline,
        as_blank=as_blank,
        unread=unread,
    )


def _as_blank(returned: Returned) -> tuple[tuple[Change, ...], tuple[Change, ...]]:
    """Cells that the workbook counts as blank though something is typed: those that can be read, and those that can't."""
    readable, unread = [], []
    for (part, record, name), typed in returned.as_blank.items():
        spot, row = returned.spots[part, record, name], row_of(returned, part, record)
        change = Change(
            what="counted as blank",
            sheet=returned.grid.sheets[spot.home],
            cell=spot.cell,
            label=label_of(part, record, name, row),
            now=typed,
        )
        if name in row.model_fields_set and getattr(row, name) not in (None, ""):
            readable.append(change)
        elif not unstated(typed):
            unread.append(change)
    return tuple(readable), tuple(unread)


def _slips(returned: Returned) -> Iterator[str]:
    """Loads of which a figure as it stands in the workbook can't be true."""
    for record, load in enumerate(returned.case.loads):
        if start_is_slip(load) and load.on != "no":
            spot = returned.spots["loads", record, "starting_w"]
            watts = f"{figure(load.starting_w or 0.0)} W at start, {figure(load.running_w or 0.0)} W running"
            where = f"{returned.grid.sheets[spot.home]} {spot.cell}"
            yield f"worth a look: {show(where)}: {show(load.name)}: {watts}: one of the two is a slip"


def _application(book: Book) -> str:
    """The program that saved a workbook, "" where its name is only the one that the writing library gave."""
    known = book.application != AS_WRITTEN or ITS_VERSIONS.fullmatch(book.app_version)
    return book.application if known else ""


def _other_version(written: str) -> Iterator[str]:
    if written != version():
        yield (
            f"it was written by holdover {show(written)}, and this is {version()}: a formula that this version writes "
            "in another way, or elsewhere, is told as not as written"
        )


def edited_since(path: Path) -> str:
    """What was edited in a workbook since it was written, in few words; "" where nothing was."""
    if _is_sealed(path):
        return ""
    returned, findings = read_returned(path, partly=True)
    if returned is None:
        return "it can't be read as a workbook that holdover wrote"
    codes = {finding.code for finding in findings.found}
    edits = {
        "inputs": not returned.untouched or "W006" in codes,
        "formulas": bool(compare(returned).formulas),
        "words": bool(wording_changes(returned)),
        OUTSIDE: "W005" in codes,
        SHEETS: "W008" in codes,
    }
    *most, last = [what for what, edited in edits.items() if edited] or [""]
    return f"{', '.join(most)} and {last}" if most else last


def _is_sealed(path: Path) -> bool:
    """Whether a file's parts are those that were written, which is quickly told."""
    try:
        archive = Archive(path.read_bytes() if path.stat().st_size <= MAX_FILE else b"", path.name)
        parts = takewhile(lambda part: part != BEARER, archive)
        seal = seal_of(b"".join(archive.chunks(part)) for part in parts)
        return f">{seal}<".encode() in b"".join(archive.chunks(BEARER))
    except (BadFile, OSError):
        return False


def _uncounted(findings: Findings) -> list[Finding]:
    """What stands in the workbook, but not as an input that it counts; blank lines that were put in are none."""
    return [finding for finding in findings.found if finding.code in UNCOUNTED and finding.level != "note"]


def _listed(title: str, thing: str, what: str, changes: tuple[Change, ...]) -> list[str]:
    """The changes of a kind, the first ones in full and the others by their count."""
    count = len(changes)
    things = thing if count == 1 else f"{thing}s"
    lines = [f"{title}: {f'{count:,} {things} {what}' if count else f'none {what}'}"]
    lines += [f"  {_line(change)}" for change in changes[:SHOWN]]
    rest = Counter(show(change.sheet) or "sheets that are gone" for change in changes[SHOWN:])
    if rest:
        lines.append("  and " + ", ".join(f"{number:,} more on {sheet}" for sheet, number in rest.items()))
    return lines


def _cells(title: str, changes: tuple[Change, ...]) -> Iterator[str]:
    """Where cells stand, and what is typed there, in a line."""
    cells = [f"{show(change.sheet)} {change.cell} ({change.shown[1]})" for change in changes[:SHOWN]]
    if len(changes) > SHOWN:
        cells.append(f"{len(changes) - SHOWN:,} more")
    if cells:
        yield f"{title}: {', '.join(cells)}"


def _line(change: Change) -> str:
    place = " ".join(show(part) for part in (change.sheet, change.cell) if part)
    was, now = change.shown
    became = f"{was} -> {now}"
    if change.was is None and (change.now is None or change.what):
        became = "" if change.now is None else now
    return ": ".join(part for part in (place, show(change.label, 120), change.what, became) if part)
