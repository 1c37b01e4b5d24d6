"""A build killed at any moment leaves a workbook that is whole.

Run as a script it is the warm parent of the kill loop: FOLDER, the count of each signal such as SIGKILL=120, and
`real` where every child computes the workbook anew.
"""

import contextlib
import io
import json
import os
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

import pytest

import holdover.model.study
import holdover.workbook.book
import holdover.workbook.save
from cli.running import ROOT, ran
from holdover import report
from holdover.cli import app
from holdover.model.study import study
from holdover.returned import read
from holdover.xlsx import read_xlsx

SIGNALS = {signal.SIGTERM, signal.SIGINT}
LONGEST_WAIT = 0.015
"""Longest time from the beginning of the writing to a kill [s]; it takes about 0.01."""


def killable(words: list[str], near: Callable[[], None]) -> int:
    """Fork a child that runs a command; `near` is called there as the file is about to be written."""
    write = holdover.workbook.save.write_whole

    def told(*given: Any, **more: Any) -> None:
        near()
        write(*given, **more)

    signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    child = os.fork()
    if child:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
        return child
    code = 99
    try:
        with contextlib.suppress(KeyboardInterrupt):
            signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background ignores it
            signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
            holdover.workbook.save.write_whole = told
            sys.argv = ["holdover", *words]
            sys.stdout = sys.stderr = open(os.devnull, "w")  # noqa: SIM115, PTH123
            code = report.guarded(app)
    finally:
        os._exit(code)


def _tell(pipe: int) -> None:
    os.write(pipe, b"w")


def warmed(folder: Path, *, real: bool) -> tuple[Path, list[str], float]:
    """A workbook, the command that writes it anew, and how long that takes once everything is imported and read."""
    house, target = folder / "house", folder / "out" / "plan.xlsx"
    target.parent.mkdir()
    ran("new", house)
    case = read.read_any(house)
    read.read_any = lambda path: case  # noqa: ARG005 (its name is part of the signature)
    words = ["build", str(house), "-o", str(target), "--force"]
    assert ran(*words).code == 0
    if not real:
        found, _, slots = case
        assert found
        data, worked_out = target.read_bytes(), study(found, slots)
        holdover.model.study.study = lambda *_: worked_out
        holdover.workbook.book.build = lambda *_, **__: data
    begin = time.perf_counter()
    os.waitpid(killable(words, lambda: None), 0)
    return target, words, time.perf_counter() - begin


def kill_loop(name: str, count: int, target: Path, words: list[str], whole: float) -> dict[str, int]:
    """Kill builds of one target: at any moment of the command, and every second time while the file is written.

    Where a busy machine lets most builds end before the signal, more are tried, until a quarter of `count` was killed.
    """
    luck, sound = Random(name), target.read_bytes()
    assert is_sound(sound)
    result = {"killed": 0, "finished": 0, "writing": 0, "damaged": 0, "left": 0, "new": 0}
    for number in range(8 * count):
        if number >= count and result["killed"] > count // 4:
            break
        before = target.stat().st_ino
        listen, tell = os.pipe()
        child = killable(words, partial(_tell, tell))
        os.close(tell)
        if number % 2:
            result["writing"] += os.read(listen, 1) == b"w"
            time.sleep(luck.uniform(0, LONGEST_WAIT))
        else:
            time.sleep(luck.uniform(0, 1.15 * whole))
        os.close(listen)
        with contextlib.suppress(ProcessLookupError):
            os.kill(child, getattr(signal, name))
        _, status = os.waitpid(child, 0)
        done = os.waitstatus_to_exitcode(status) == 0
        result["finished" if done else "killed"] += 1
        result["new"] += target.stat().st_ino != before
        data = target.read_bytes()
        result["damaged"] += data != sound and not is_sound(data)
        for path in target.parent.iterdir():
            if path != target:
                result["left"] += 1
                path.unlink()
    return result


def is_sound(data: bytes) -> bool:
    """Whether a workbook is whole, by the archive's own sums and by the reader."""
    try:
        return zipfile.ZipFile(io.BytesIO(data)).testzip() is None and bool(read_xlsx(data, "plan.xlsx").sheets)
    except Exception:
        return False


@pytest.mark.skipif(os.name != "posix", reason="forks and signals as on POSIX systems")
def test_a_build_that_is_killed(tmp_path: Path) -> None:
    """At whatever moment, the workbook is whole, old or new; asked to end, the program leaves no temporary file."""
    counts = {"SIGKILL": 120, "SIGTERM": 60, "SIGINT": 60}
    command = [sys.executable, "-W", "ignore", __file__, str(tmp_path), *(f"{name}={n}" for name, n in counts.items())]
    paths = os.pathsep.join(filter(None, (str(ROOT / "tests"), os.environ.get("PYTHONPATH"))))
    environment = {**os.environ, "PYTHONPATH": paths}
    results = json.loads(
        subprocess.run(command, check=True, capture_output=True, text=True, env=environment).stdout,
    )
    assert set(results) == set(counts)
    for name, result in results.items():
        assert result["damaged"] == 0
        assert result["killed"] + result["finished"] >= counts[name]
        assert result["killed"] > counts[name] // 4
        assert result["writing"] > counts[name] // 3
        assert result["killed"] + result["finished"] > result["new"] > 0
        assert name == "SIGKILL" or result["left"] == 0


if __name__ == "__main__":
    place, job, took = warmed(Path(sys.argv[1]), real="real" in sys.argv)
    asked = dict(word.split("=") for word in sys.argv[2:] if "=" in word)
    counted = {name: kill_loop(name, int(number), place, job, took) for name, number in asked.items()}
    sys.stdout.write(json.dumps(counted))
