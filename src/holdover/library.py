"""The library: a case is read, worked out, written and audited by one call each. The command line is its first user.

Nothing heavy is loaded before the call that needs it.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from os import PathLike

    from holdover.case.schema import Case
    from holdover.findings import Findings
    from holdover.model.study import Slots, Study
    from holdover.returned.audit import Audit


class CaseError(ValueError):
    """What was read can't be taken; `findings` says of each fault where it is, what is allowed and what to do."""

    def __init__(self, findings: "Findings") -> None:
        self.findings = findings

    def __str__(self) -> str:
        from holdover.findings import render

        return render(self.findings.sorted()).rstrip()


@dataclass(frozen=True, slots=True)
class Received:
    """What stands at a path: the case, if it could be read, and all there is to say about it."""

    found: "Case | None"
    findings: "Findings"
    slots: "Slots | None" = None
    """Room for loads and candidates in a workbook that came back; None where the case is from somewhere else."""

    @property
    def case(self) -> "Case":
        """The case.

        Raises:
            CaseError: there are errors among the findings.
        """
        if self.found is None or self.findings.errors:
            raise CaseError(self.findings)
        return self.found


GARBAGE: Final = 100_000
"""Objects after which a process of our own searches for garbage: it makes many, and keeps nearly all of them [count]."""


def collect_seldom() -> None:
    """For a process of our own: garbage is searched for after many objects, not after few."""
    gc.set_threshold(GARBAGE)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Without searches for garbage: tens of thousands of cells are made and all are kept, so that each would be in vain."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@_uncollected()
def read(path: "str | PathLike[str]", candidates: "str | PathLike[str] | None" = None) -> Received:
    """Read a case folder, a case file, a returned workbook or a filled survey form, with everything to say about it.

    Args:
        path: the case
        candidates: a table that takes the place of the case's own list of candidates; None = its own
    """
    from holdover.reading.folder import may_be_workbook, read_folder

    if may_be_workbook(Path(path)):
        from holdover.returned.read import read_any

        received = Received(*read_any(Path(path)))
        return received if candidates is None or received.findings.errors else _with(received.case, candidates)
    from holdover.advice.remarks import advise  # a case needs no sheets to be read

    return Received(*read_folder(Path(path), Path(candidates) if candidates else None).remarked(advise))


def _with(case: "Case", candidates: "str | PathLike[str]") -> Received:
    """A case that came back, read with another list: that depends on the case's feed, currency and decimal marks."""
    from tempfile import TemporaryDirectory

    from holdover.returned.extract import write_case

    with TemporaryDirectory(prefix="holdover-") as folder:
        write_case(case, Path(folder))
        return read(folder, candidates)


def read_case(path: "str | PathLike[str]") -> "Case":
    """The case of a folder, a case file, a returned workbook or a filled survey form.

    Raises:
        CaseError: it can't be read; its `findings` are all that is wrong or odd.
    """
    return read(path).case


@_uncollected()
def study(case: "Case", slots: "Slots | None" = None) -> "Study":
    """Work a case out: demand, every candidate, the outage, the decision.

    Args:
        case: the case
        slots: room for loads and candidates in the workbook; None = what the case holds and some to spare
    """
    from holdover.model.study import study as work_out

    return work_out(case, slots)


@_uncollected()
def build(study: "Study") -> bytes:
    """The workbook of a study, as the bytes of an .xlsx file."""
    from holdover import version
    from holdover.workbook.book import build as written

    return written(study, version=version())


def pdf(workbook: bytes) -> bytes:
    """The printed pages of a workbook, as the bytes of a PDF file, through LibreOffice.

    Raises:
        NotWritten: LibreOffice was not found, took too long or gave none.
    """
    from holdover.workbook.pdf import pdf_bytes

    return pdf_bytes(workbook)


@_uncollected()
def audit(path: "str | PathLike[str]", against: "str | PathLike[str] | None" = None) -> "Audit":
    """What was changed in a returned workbook, and whether its numbers hold.

    Args:
        path: the workbook
        against: the case that it was built from, wherever `read_case` finds it; None = its inputs are not compared

    Raises:
        CaseError: the workbook or the case can't be read.
    """
    from holdover.returned.audit import audit_file

    found, findings = audit_file(Path(path), None if against is None else Path(against))
    if found is None:
        raise CaseError(findings)
    return found
