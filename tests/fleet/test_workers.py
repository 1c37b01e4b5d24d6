"""Real processes: of this machine and of a cluster, whole, killed in the middle, and of another kind than asked for."""

import contextlib
import gc
import json
import multiprocessing
import os
import shutil
import signal
import subprocess
import sys
import time
import weakref
import zipfile
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor
from pathlib import Path

import pytest

import holdover
from fleet.fleets import house
from holdover.fleet.batch import Step
from holdover.fleet.workers import Processes, dask_workers
from holdover.workbook.save import NotWritten

COUNT = 6


@pytest.fixture(scope="module")
def street(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As many cases as the tests here share."""
    folder = tmp_path_factory.mktemp("fleet") / "street"
    for number in range(COUNT):
        house(folder / f"house {number}", watts=str(10 + number))
    return folder


def test_a_process_that_dies_costs_nobody_anything(street: Path, tmp_path: Path) -> None:
    """After one was killed in the middle every case is done, each once, and the workbooks are whole."""
    seen: list[str] = []

    def kill(step: Step) -> None:
        seen.append(step.entry.case)
        if step.done == 2:
            for child in multiprocessing.active_children()[:1]:
                assert child.pid
                os.kill(child.pid, signal.SIGKILL)

    done = holdover.batch([street], tmp_path / "out", jobs=2, tell=kill)
    assert [entry.state for entry in done.entries] == ["written"] * COUNT
    assert Counter(seen) == dict.fromkeys((entry.case for entry in done.entries), 1)
    assert all(zipfile.ZipFile(path).testzip() is None for path in (tmp_path / "out").glob("*.xlsx"))


def test_a_case_that_kills_its_process_is_told_of_alone() -> None:
    """What ends the process each time comes back as an error; what was under way beside it comes out."""
    workers = Processes(2)
    try:
        bad = workers.submit(os._exit, 1)
        good = [workers.submit(abs, -number) for number in range(6)]
        assert [future.result(60) for future in good] == [*range(6)]
        assert isinstance(bad.exception(60), BrokenExecutor)
    finally:
        workers.shutdown()


@pytest.mark.skipif(os.name != "posix", reason="signals")
def test_what_came_back_is_let_go() -> None:
    """A result is kept by nobody but who asked for it: of ten thousand workbooks the last ones alone are in memory."""
    workers, on = Processes(1), gc.isenabled()
    gc.disable()
    try:
        kept = []
        for number in range(3):
            asked = workers.submit(abs, -number)
            assert asked.result(60) == number
            kept.append(weakref.ref(asked))
            del asked
        until = time.monotonic() + 10
        while kept[0]() is not None and time.monotonic() < until:
            time.sleep(0.01)
        assert kept[0]() is None
    finally:
        workers.shutdown()
        if on:
            gc.enable()


def test_an_interrupt_from_the_keyboard_leaves_whole_files(street: Path, tmp_path: Path) -> None:
    """The command ends with 130 and an index of what is done; resumed it ends with the rest."""
    road, out = tmp_path / "road", tmp_path / "out"
    shutil.copytree(street, road)
    # More than are done by the time that the interrupt comes, however busy the machine is.
    later = [house(road / f"later {number}") for number in range(8 * COUNT)]
    command = [sys.executable, "-m", "holdover", "batch", str(road), "-o", str(out), "--jobs", "2"]
    # A session of its own, as a terminal gives it: the interrupt reaches the workers, too.
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as running:
        begin = time.monotonic()
        while not list(out.glob("house*.xlsx")) and time.monotonic() - begin < 60:
            time.sleep(0.02)
        os.killpg(running.pid, signal.SIGINT)
        _, err = running.communicate(timeout=60)
    assert running.returncode == 130
    assert "Traceback" not in err
    done = len(json.loads((out / "index.json").read_bytes())["cases"])
    assert 1 <= done < COUNT + len(later)
    assert all(zipfile.ZipFile(path).testzip() is None for path in out.glob("*.xlsx"))
    assert not [path for path in out.iterdir() if path.name.endswith((".part", ".new", ".jsonl"))]
    for folder in later[1:]:
        shutil.rmtree(folder)
    ended = subprocess.run([*command, "--resume", "--json"], capture_output=True, text=True, check=False)
    assert ended.returncode == 0
    assert len(json.loads(ended.stdout)["cases"]) == COUNT + 1


@contextlib.contextmanager
def cluster(folder: Path, workers: int = 2) -> Iterator[tuple[str, list["subprocess.Popen[bytes]"]]]:
    """A scheduler and workers, each a process of its own, on this machine alone; its address, and the workers."""
    told = folder / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": folder}
    local = ["--host", "127.0.0.1", "--no-dashboard"]
    module = "distributed.cli.dask_"
    with contextlib.ExitStack() as stack:
        started: list[subprocess.Popen[bytes]] = []

        def start(*words: str) -> None:
            started.append(stack.enter_context(subprocess.Popen([sys.executable, "-m", *words], **quiet)))  # type: ignore[call-overload]

        try:
            start(f"{module}scheduler", "--port", "0", "--scheduler-file", str(told), *local)
            for _ in range(workers):
                start(f"{module}worker", "--scheduler-file", str(told), "--nthreads", "1", "--no-nanny", *local)
            begin = time.monotonic()
            while not told.is_file() and time.monotonic() - begin < 60:
                time.sleep(0.05)
            yield json.loads(told.read_bytes())["address"], started[1:]
        finally:
            for process in reversed(started):
                process.kill()


def await_workers(address: str, count: int) -> None:
    """Until so many have reported to the scheduler."""
    from distributed import Client

    with Client(address, set_as_default=False) as client:
        client.wait_for_workers(count, timeout=60)


@pytest.mark.filterwarnings("ignore")  # of what others wrote
def test_a_cluster_of_separate_processes_loses_a_worker(street: Path, tmp_path: Path) -> None:
    """Scheduler and workers share nothing but sockets; one worker is killed in the middle, and every case comes out once."""
    seen: list[str] = []
    with cluster(tmp_path) as (address, workers):
        await_workers(address, 2)

        def kill(step: Step) -> None:
            seen.append(step.entry.case)
            if step.done == 2:
                workers[0].kill()

        with dask_workers(address) as (executor, threads):
            assert threads == 2
            done = holdover.batch([street], tmp_path / "out", executor=executor, tell=kill, ahead=4)
    assert [entry.state for entry in done.entries] == ["written"] * COUNT
    assert Counter(seen) == dict.fromkeys((entry.case for entry in done.entries), 1)
    own = holdover.batch([street / "house 3"], tmp_path / "own", jobs=1)
    for path in (tmp_path / "out" / "house 3.xlsx", own.index.with_name("house 3.xlsx")):
        assert holdover.audit(path, against=street / "house 3").clean


@pytest.mark.filterwarnings("ignore")
def test_a_scheduler_that_cannot_help_is_told_at_once(tmp_path: Path) -> None:
    """Nobody answers, or there are no workers: a sentence, before any case is sent."""
    with pytest.raises(NotWritten, match="No Dask scheduler answers"), dask_workers("tcp://127.0.0.1:9", patience_s=1):
        pass
    with (
        cluster(tmp_path, workers=0) as (address, _),
        pytest.raises(NotWritten, match="has no workers"),
        dask_workers(address),
    ):
        pass
