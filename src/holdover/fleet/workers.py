"""Who works cases out: processes of this machine, or the workers of a Dask cluster. Both are executors of the standard
library's kind, and both do a case again whose worker died.
"""

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.connection import wait
from typing import Any, Final

from holdover.library import collect_seldom
from holdover.workbook.save import NotWritten

TRIES: Final = 2
"""How often a case is tried beside others; a process that dies takes those with it that it shares the pool with. Then
it is tried alone, so that no other one suffers by it."""
BEGIN: Final = "spawn"
"""How processes begin: with nothing of ours, the same on every system."""


def processors() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class _Result(Future[Any]):
    """What a call will give; it can be cancelled as long as no process has begun with it."""

    sent: "Future[Any] | None" = None

    def cancel(self) -> bool:
        """Cancel it where it waits."""
        sent = self.sent
        return sent.cancel() if sent else super().cancel()

    def drop(self) -> None:
        """It was cancelled."""
        super().cancel()
        self.set_running_or_notify_cancel()


@dataclass(slots=True)
class _Task:
    """A call that was asked for."""

    call: Callable[[], Any]
    future: _Result = field(default_factory=_Result)
    tries: int = 0


class Processes(Executor):
    """Processes of this machine. Where one dies, what was under way is done again in fresh ones.

    They begin anew: a script that uses this must guard its own beginning with `if __name__ == "__main__":`.
    """

    def __init__(self, jobs: int) -> None:
        """`jobs` is how many cases are worked out at a time."""
        self.jobs = jobs
        self.lock = threading.Lock()
        self.pool: ProcessPoolExecutor | None = None
        self.ended = False

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> "Future[Any]":
        """Ask for a call, of which both the function and its arguments are sent to a process."""
        task = _Task(partial(fn, *args, **kwargs))
        self._send(task)
        return task.future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End: what runs is awaited, or what waits is dropped."""
        with self.lock:
            self.ended, pool = True, self.pool
        if pool:
            pool.shutdown(wait, cancel_futures=cancel_futures)

    def _send(self, task: _Task) -> None:
        task.tries += 1
        while True:
            pool = self._pool_for(task)  # it is asked without the lock, which its own end may wait for
            if pool is None:
                task.future.set_exception(BrokenExecutor("the work was ended"))
                return
            try:
                sent = pool.submit(task.call)
            except BrokenExecutor:  # it broke just now, which is not this one's doing
                self._leave(pool)
            else:
                task.future.sent = sent
                sent.add_done_callback(partial(self._settle, task, pool))
                return

    def _pool_for(self, task: _Task) -> ProcessPoolExecutor | None:
        """The pool, or one of its own for a task that was there when others broke; None after the end."""
        with self.lock:
            if self.ended:
                return None
            if task.tries > TRIES:
                return _pool(1)
            self.pool = self.pool or _pool(self.jobs)
            return self.pool

    def _leave(self, pool: ProcessPoolExecutor) -> None:
        with self.lock:
            if self.pool is pool:
                self.pool = None

    def _settle(self, task: _Task, pool: ProcessPoolExecutor, sent: "Future[Any]") -> None:
        """Hand on what came back, or try again where the process died."""
        if sent.cancelled():
            task.future.drop()
            return
        wrong = sent.exception()
        if isinstance(wrong, BrokenExecutor) and task.tries <= TRIES:
            self._leave(pool)
            self._send(task)
        elif wrong is not None:
            task.future.set_exception(wrong)
        else:
            task.future.set_result(sent.result())
        if task.future.sent is sent:  # else each would keep the other, and a workbook, until somebody looks for garbage
            task.future.sent = None


def _pool(jobs: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(jobs, mp_context=multiprocessing.get_context(BEGIN), initializer=_begin)


def _begin() -> None:
    """A process of ours leaves an interrupt to the one that began it, and ends with that."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    collect_seldom()
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


@contextlib.contextmanager
def workers(scheduler: str) -> Iterator[tuple[Executor | None, int]]:
    """The workers of a scheduler, and how many cases sent ahead keep them busy; None: the processes of this machine.

    Raises:
        NotWritten: as `dask_workers` does.
    """
    if not scheduler:
        yield None, 0
        return
    with dask_workers(scheduler) as (executor, threads):
        yield executor, 2 * threads


@contextlib.contextmanager
def dask_workers(address: str, *, patience_s: float = 30.0) -> Iterator[tuple[Executor, int]]:
    """The workers of a Dask cluster as an executor, and how many cases they work out at a time.

    Args:
        address: of its scheduler, such as tcp://host:8786
        patience_s: so long the scheduler may take to answer [s]

    Raises:
        NotWritten: Dask is not installed, nobody answers, or not all workers have this holdover.
    """
    try:
        from distributed import Client
    except ImportError:
        raise NotWritten("Dask is not installed.", "pip install 'holdover[dask]', here and on every worker") from None
    try:
        client = Client(address, timeout=patience_s, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as wrong:
        raise NotWritten(
            f"No Dask scheduler answers at {address}.", "Check the address; it begins with tcp:// and ends with a port."
        ) from wrong
    with client:
        threads = sum(client.nthreads().values())
        if not threads:
            raise NotWritten(f"The scheduler at {address} has no workers.", f"Start some: dask worker {address}")
        _same_everywhere(client, address)
        yield client.get_executor(pure=False), threads


def _same_everywhere(client: Any, address: str) -> None:
    """Refuse workers that would fail case by case."""
    import holdover

    here = holdover.version()
    try:
        found = client.run(holdover.version)
    except Exception as wrong:  # whatever goes wrong in a worker comes back from here
        reason = f"{type(wrong).__name__}: {wrong}".splitlines()[0]
        raise NotWritten(
            f"The workers at {address} can't run holdover: {reason}.", f"Install holdover {here} on each."
        ) from wrong
    other = {where: version for where, version in found.items() if version != here}
    if other:
        where, version = next(iter(other.items()))
        raise NotWritten(f"The worker {where} has holdover {version}, not {here}.", "Install the same on each.")
