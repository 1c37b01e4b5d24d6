"""Many cases worked out: sent as bytes to whoever works, written as they come back, and told of in one index."""

import hashlib
import json
import os
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

import holdover
from holdover.fleet.entry import Entry, failed
from holdover.fleet.index import fleet_of, index_bytes
from holdover.fleet.journal import SCHEMA, Journal
from holdover.fleet.listing import BOOK, INDEX, cases_of, is_folder_of_cases, names_of, report_none
from holdover.fleet.parcel import File, Parcel, packed, parcel_of
from holdover.fleet.work import Done, Job, work, worked_out
from holdover.fleet.workers import Processes, processors
from holdover.library import CaseError
from holdover.workbook.pdf import office, pdf_bytes
from holdover.workbook.save import NotWritten, write_whole

if TYPE_CHECKING:
    from os import PathLike


class Wishes(TypedDict, total=False):
    """How a batch is done; what is not said is as usual.

    candidates: a table of candidates that takes the place of each case's own; usual: none
    pdf: whether the printed pages are written, too; usual: no
    resume: whether a workbook is left that is as it would be made again; usual: no
    force: whether a workbook is replaced that somebody edited; usual: no
    jobs: how many cases are worked out at a time; usual: one a processor
    ahead: how many are sent before any comes back; usual: twice as many
    """

    candidates: "str | PathLike[str] | None"
    pdf: bool
    resume: bool
    force: bool
    jobs: int
    ahead: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """How far a batch is: cases that are done, of how many, and the one that was done last."""

    done: int
    of: int
    entry: Entry
    seconds: float
    """Since the first one was sent."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What became of cases, in the order in which they were given; those that were not reached are left out."""

    entries: tuple[Entry, ...]
    index: Path
    interrupted: bool = False
    reused: int = 0
    """How many were not worked out again."""
    up_to_date: int = 0
    """How many of these have a workbook."""
    seconds: float = 0.0


def batch(
    cases: "Iterable[str | PathLike[str]]",
    output: "str | PathLike[str]",
    *,
    executor: Executor | None = None,
    tell: Callable[[Step], None] | None = None,
    **wishes: Unpack[Wishes],
) -> Batch:
    """Write the workbook of every case into a folder, and an index of them all: index.xlsx and index.json.

    What is wrong with a case is told in the index and keeps none of the others. After an interrupt what was under way
    is finished and the index written.

    Args:
        cases: case folders, case files, workbooks that came back; folders of such; lists of them (.txt)
        output: the folder, which is made where it is not there
        executor: who works; any of the kind of `concurrent.futures` whose workers have holdover installed. None =
            processes of this machine
        tell: called after each case
        wishes: see `Wishes`

    Raises:
        CaseError: there is no case.
        NotWritten: the folder or a file in it can't be written.
    """
    paths, folder = [Path(path) for path in cases], Path(output)
    shared = wishes.get("candidates")
    found = cases_of(paths, without=[folder, *([Path(shared)] if shared else [])])
    if not found:
        raise CaseError(report_none(paths))
    if any(is_folder_of_cases(path) and os.path.realpath(path) == os.path.realpath(folder) for path in paths):
        raise NotWritten(f"{folder} is where the cases are.", "Give a folder of its own, such as one inside.")
    if wishes.get("pdf") and executor is None and office() is None:
        pdf_bytes(b"")  # says what there is to do, before hours of work
    run = _Run(found, folder, tell, wishes)
    if executor is not None:
        return run.through(executor)
    own = Processes(wishes.get("jobs") or processors())
    try:
        return run.through(own)
    finally:
        own.shutdown(wait=False, cancel_futures=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Task:
    """A case that is under way."""

    case: str
    name: str
    path: Path
    fingerprint: str
    keeps: bool
    """Whether somebody edited the workbook that is there, which is left."""


class _Run:
    def __init__(
        self, found: Sequence[Path], folder: Path, tell: Callable[[Step], None] | None, wishes: Wishes
    ) -> None:
        self.found, self.folder, self.tell, self.wishes = found, folder, tell, wishes
        self.entries: dict[str, Entry] = {}
        self.version = holdover.version()
        self.reused, self.up_to_date, self.began = 0, 0, time.monotonic()
        self.candidates = self._shared()

    def _shared(self) -> File | None:
        path = self.wishes.get("candidates")
        try:
            return packed(Path(path), Path(path).name) if path else None
        except OSError as wrong:
            raise NotWritten(f"{path} can't be read: {wrong.strerror}.", "Check the name of the list.") from wrong

    def through(self, executor: Executor) -> Batch:
        """Everything, from the first case to the index."""
        interrupted = False
        with self._journal() as self.journal:
            pending: dict[Future[Done], _Task] = {}
            try:
                self._work(executor, pending)
            except KeyboardInterrupt:
                interrupted = True
                self._finish(pending)
                self.entries = self.journal.known | self.entries
            entries = tuple(self.entries[str(path)] for path in self.found if str(path) in self.entries)
            self._index(entries)
        return Batch(
            entries=entries,
            index=self.folder / BOOK,
            interrupted=interrupted,
            reused=self.reused,
            up_to_date=self.up_to_date,
            seconds=time.monotonic() - self.began,
        )

    def _journal(self) -> Journal:
        """The folder, with what an earlier run left there."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            return Journal(self.folder, {str(path) for path in self.found})
        except OSError as wrong:
            raise NotWritten(
                f"{self.folder} can't be written to: {wrong.strerror}.", "Choose another folder."
            ) from wrong

    def _work(self, executor: Executor, pending: dict[Future[Done], _Task]) -> None:
        """Keep workers busy, with no more under way than they need, so that memory doesn't grow with the cases."""
        ahead = self.wishes.get("ahead") or 2 * (self.wishes.get("jobs") or processors())
        for path, name in zip(self.found, names_of(self.found), strict=True):
            while len(pending) >= ahead:
                self._settle(pending)
            self._send(executor, path, name, pending)
        while pending:
            self._settle(pending)

    def _send(self, executor: Executor, path: Path, name: str, pending: dict[Future[Done], _Task]) -> None:
        """Send a case to be worked out, unless there is no need to or no way."""
        try:
            parcel = parcel_of(path)
        except OSError:
            parcel = None
        if parcel is None:  # reading tells why
            done = worked_out(holdover.read(path), None)
            self._record(replace(done.entry, case=str(path)), done.findings)
            return
        before = self.journal.known.get(str(path))
        task = self._task(path, name, parcel, before)
        if self.wishes.get("resume") and before and self._is_up_to_date(before, task):
            self.reused += 1
            self.up_to_date += before.state == "written"
            self._told(before)
            return
        job = Job(parcel=parcel, version=self.version, candidates=self.candidates, pdf=self.wishes.get("pdf", False))
        pending[executor.submit(work, job)] = task

    def _task(self, path: Path, name: str, parcel: Parcel, before: Entry | None) -> _Task:
        target = self.folder / f"{name}.xlsx"
        fingerprint = parcel.fingerprint(self.version, self.candidates, self.wishes.get("pdf", False))
        keeps = False
        if target.is_file() and not self.wishes.get("force") and not (before and _sha256(target) == before.sha256):
            from holdover.returned.audit import edited_since

            keeps = bool(edited_since(target))
        return _Task(case=str(path), name=name, path=path, fingerprint=fingerprint, keeps=keeps)

    def _is_up_to_date(self, entry: Entry, task: _Task) -> bool:
        """Whether the case would come out as it did, and its files are there as they were written."""
        if entry.fingerprint != task.fingerprint or entry.state not in ("written", "errors"):
            return False
        if entry.workbook and self.wishes.get("pdf") and not entry.pdf:
            return False
        written = [self.folder / name for name in (entry.workbook, entry.pdf) if name]
        if not all(path.is_file() for path in written):
            return False
        return not written or (written[0].stem == task.name and _sha256(written[0]) == entry.sha256)

    def _settle(self, pending: dict[Future[Done], _Task]) -> None:
        """Wait until some cases are done, and write them."""
        for future in wait(pending, return_when=FIRST_COMPLETED).done:
            self._take(pending.pop(future), future)

    def _finish(self, pending: dict[Future[Done], _Task]) -> None:
        """After an interrupt: what runs is awaited, what waits is dropped, what failed may have been interrupted."""
        running = {future: task for future, task in pending.items() if not future.cancel()}
        for future in wait(running).done:
            if not future.cancelled() and not future.exception():
                self._take(running[future], future)

    def _take(self, task: _Task, future: Future[Done]) -> None:
        try:
            done = future.result()
        except BrokenExecutor:
            done = Done(entry=failed("the process that worked it out died each time: memory may not do"))
        except Exception as wrong:  # a bug, or a worker that is lost: it is told of, and keeps none of the others
            done = Done(entry=failed(f"{type(wrong).__name__}: {wrong}".splitlines()[0][:300]))
        self._record(self._written(task, done), done.findings)

    def _written(self, task: _Task, done: Done) -> Entry:
        """The entry of a case whose files are written."""
        entry = replace(done.entry, case=task.case, fingerprint=task.fingerprint)
        if not done.workbook:
            return entry
        target = self.folder / f"{task.name}.xlsx"
        if task.keeps:
            return replace(entry, state="edited", workbook=target.name)
        try:
            write_whole(target, done.workbook, inputs=[task.path])
            if done.pdf:
                write_whole(target.with_suffix(".pdf"), done.pdf)
        except NotWritten as wrong:
            return replace(entry, state="failed", headline=wrong.message)
        return replace(
            entry,
            workbook=target.name,
            pdf=target.with_suffix(".pdf").name if done.pdf else "",
            sha256=hashlib.sha256(done.workbook).hexdigest(),
        )

    def _record(self, entry: Entry, findings: Any) -> None:
        self.journal.add(entry, list(findings))
        self._told(entry)

    def _told(self, entry: Entry) -> None:
        self.entries[entry.case] = entry
        if self.tell:
            self.tell(
                Step(done=len(self.entries), of=len(self.found), entry=entry, seconds=time.monotonic() - self.began)
            )

    def _index(self, entries: Sequence[Entry]) -> None:
        """Both files of the index; then the journal has told what it had to tell."""
        write_whole(self.folder / INDEX, b"".join(self._json(entries)))
        write_whole(self.folder / BOOK, index_bytes(fleet_of(entries), version=self.version))
        self.journal.remove()

    def _json(self, entries: Sequence[Entry]) -> Iterator[bytes]:
        """A line a case."""
        head = json.dumps({"schema": SCHEMA, "version": self.version})
        yield f'{head[:-1]}, "cases": [\n'.encode()
        yield ",\n".join(self.journal.line(entry.case) for entry in entries).encode()
        yield b"\n]}\n"


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
