"""Writers that are killed at random moments, and writers that write at once: no reader ever sees a damaged file.

Run as a script it is the warm parent that forks the writers: WAY (whole or direct), SIGNAL, COUNT, FOLDER; or
`together` and FOLDER.
"""

import contextlib
import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from holdover.workbook.save import interruptible, write_whole

pytestmark = pytest.mark.skipif(os.name != "posix", reason="forks and signals as on POSIX systems")

LONGEST_WAIT = 0.012
"""Longest time until a kill [s]: some writings long."""


def payload(mark: str) -> bytes:
    """About 200 kB that end with their own checksum."""
    body = (mark * (200_000 // len(mark))).encode()
    return body + hashlib.sha256(body).hexdigest().encode()


def is_whole(data: bytes) -> bool:
    """Whether a payload is as it was made."""
    return hashlib.sha256(data[:-64]).hexdigest().encode() == data[-64:]


def write_direct(path: Path, data: bytes) -> None:
    """What most programs do: open the target and write into it."""
    with path.open("wb") as file:
        for start in range(0, len(data), 16_384):
            file.write(data[start : start + 16_384])
        file.flush()
        os.fsync(file.fileno())


WAYS: dict[str, Callable[[Path, bytes], None]] = {"whole": write_whole, "direct": write_direct}
SIGNALS = {signal.SIGTERM, signal.SIGINT}


def writer(write: Callable[[Path, bytes], None], target: Path) -> int:
    """Fork a child that writes until it is told to end; no signal is heard before it can be answered."""
    signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    child = os.fork()
    if child:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
        return child
    try:
        with contextlib.suppress(KeyboardInterrupt), interruptible():
            signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
            for number in range(10_000):
                write(target, payload(f"{number % 7} "))
    finally:
        os._exit(0)


def kill_loop(way: str, number: int, count: int, folder: Path) -> dict[str, int]:
    """Kill writers; how many files were damaged and how many temporary ones were left."""
    luck = Random(number)
    target = folder / "plan.xlsx"
    target.write_bytes(payload("first "))
    before = target.read_bytes()
    result = {"killed": 0, "damaged": 0, "left": 0, "new": 0}
    for _ in range(count):
        child = writer(WAYS[way], target)
        time.sleep(luck.uniform(0, LONGEST_WAIT))
        os.kill(child, number)
        os.waitpid(child, 0)
        now = target.read_bytes() if target.exists() else b""
        result["killed"] += 1
        result["new"] += now != before
        result["damaged"] += not is_whole(now)
        for path in folder.iterdir():
            if path != target:
                result["left"] += 1
                path.unlink()
        if not is_whole(now):
            target.write_bytes(before)
    return result


def together(folder: Path) -> dict[str, int]:
    """Four writers of one file, and a reader."""
    target = folder / "plan.xlsx"
    write_whole(target, payload("first "))
    writers = [writer(write_whole, target) for _ in range(4)]
    seen: set[bytes] = set()
    result = {"read": 0, "damaged": 0}
    until = time.monotonic() + 1.5
    while time.monotonic() < until:
        data = target.read_bytes()
        result["read"] += 1
        result["damaged"] += not is_whole(data)
        seen.add(data[-64:])
    for child in writers:
        os.kill(child, signal.SIGTERM)
        os.waitpid(child, 0)
    result["different"] = len(seen)
    result["left"] = len(list(folder.iterdir())) - 1
    return result


def run(*arguments: str) -> dict[str, int]:
    """What the warm parent counted."""
    command = [sys.executable, "-W", "ignore", __file__, *arguments]
    counted: dict[str, int] = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    return counted


@pytest.mark.parametrize(("name", "count"), [("SIGKILL", 250), ("SIGTERM", 125), ("SIGINT", 125)])
def test_killed_writers(tmp_path: Path, name: str, count: int) -> None:
    """Whenever a writer is killed, the file is whole; only a hard kill may leave a temporary file."""
    result = run("whole", name, str(count), str(tmp_path))
    assert result["killed"] == count
    assert result["damaged"] == 0
    assert result["new"] > count // 10, "they were killed while writing, not before"
    assert name == "SIGKILL" or result["left"] == 0


@pytest.mark.parametrize("name", ["SIGKILL", "SIGINT"])
def test_the_loop_can_damage(tmp_path: Path, name: str) -> None:
    """The same loop does damage the file of a writer that writes into the target."""
    assert run("direct", name, "100", str(tmp_path))["damaged"] >= 5


def test_writers_at_once(tmp_path: Path) -> None:
    """While four programs write the same file, a reader finds it whole every time."""
    result = run("together", str(tmp_path))
    assert result["damaged"] == result["left"] == 0
    assert result["read"] >= 100
    assert result["different"] >= 2


if __name__ == "__main__":
    if sys.argv[1] == "together":
        counted = together(Path(sys.argv[2]))
    else:
        counted = kill_loop(sys.argv[1], getattr(signal, sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4]))
    sys.stdout.write(json.dumps(counted))
