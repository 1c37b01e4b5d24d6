"""One case worked out, wherever that is: bytes come in, bytes go out, and nothing is left behind."""

from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import holdover
from holdover.fleet.entry import Entry, failed, of_errors, of_study
from holdover.fleet.parcel import File, Parcel, unpacked
from holdover.library import CaseError, Received


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A case, and what is wanted of it. `candidates` is the list that all cases share, None where each has its own."""

    parcel: Parcel
    version: str
    candidates: File | None = None
    pdf: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What became of a case; without a workbook where it has errors."""

    entry: Entry
    findings: tuple[dict[str, Any], ...] = ()
    workbook: bytes = b""
    pdf: bytes = b""


def work(job: Job) -> Done:
    """Read a case, work it out and build its workbook."""
    if job.version != holdover.version():
        return Done(entry=failed(f"its worker has holdover {holdover.version()}, not {job.version}"))
    with unpacked(job.parcel) as path:
        return worked_out(_read(path, job.candidates), job)


def _read(path: Path, candidates: File | None) -> Received:
    if candidates is None:
        return holdover.read(path)
    with TemporaryDirectory(prefix="holdover-") as folder:
        listed = Path(folder, candidates.name)
        listed.write_bytes(candidates.data)
        return holdover.read(path, listed)


def worked_out(received: Received, job: Job | None) -> Done:
    """What became of a case that was read; without a job none that has no errors."""
    from holdover.findings import as_dict

    findings = tuple(as_dict(finding) for finding in received.findings.sorted())
    try:
        case = received.case
    except CaseError as wrong:
        return Done(entry=of_errors(wrong.findings), findings=findings)
    if job is None:
        return Done(entry=failed("it was changed while it was read"), findings=findings)
    study = holdover.study(case, received.slots)
    entry = of_study(study, received.findings, listed=job.candidates is not None)
    workbook = holdover.build(study)
    if not job.pdf:
        return Done(entry=entry, findings=findings, workbook=workbook)
    from holdover.workbook.save import NotWritten

    try:
        return Done(entry=entry, findings=findings, workbook=workbook, pdf=holdover.pdf(workbook))
    except NotWritten as wrong:  # the workbook is sound
        return Done(
            entry=replace(entry, headline=f"{entry.headline} {wrong.message}"), findings=findings, workbook=workbook
        )
