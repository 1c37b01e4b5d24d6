"""Every call that touches a file fails once in every way: the old or the new file is there, and nothing else."""

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from holdover.workbook import save
from holdover.workbook.save import NotWritten, write_whole

OLD, NEW = b"old" * 1_000, b"new" * 2_000
Fault = Callable[[], BaseException]
FAULTS: list[Fault] = [
    lambda: OSError(errno.ENOSPC, "no space"),
    lambda: OSError(errno.EIO, "input/output error"),
    lambda: PermissionError(errno.EACCES, "permission denied"),
    KeyboardInterrupt,
    MemoryError,
]


class Faulty:
    """Counts the calls that touch a file and lets one of them fail, before or after it is done."""

    def __init__(
        self, patch: pytest.MonkeyPatch, fail_at: int, fault: Callable[[], BaseException], *, after: bool
    ) -> None:
        self.calls: list[str] = []
        self.fail_at, self.fault, self.after = fail_at, fault, after
        real_open = open
        for owner, names in (
            (os, ("open", "fsync", "close", "access")),
            (os.path, ("realpath",)),
            (Path, ("stat", "chmod", "replace")),
        ):
            for name in names:
                patch.setattr(owner, name, self.wrapped(name, getattr(owner, name)))

        def opened(*arguments: object, **named: object) -> object:
            file = self.wrapped("fopen", real_open)(*arguments, **named)
            return _File(file, self)

        patch.setattr(save, "open", opened, raising=False)

    def wrapped(self, name: str, real: Callable[..., object]) -> Callable[..., object]:
        """A call that may fail."""

        def call(*arguments: object, **named: object) -> object:
            self.calls.append(name)
            mine = len(self.calls) - 1 == self.fail_at
            if mine and not self.after:
                raise self.fault()
            done = real(*arguments, **named)
            if mine:
                if hasattr(done, "close"):
                    done.close()
                raise self.fault()
            return done

        return call


class _File:
    """An open file whose calls may fail."""

    def __init__(self, file: Any, faulty: Faulty) -> None:
        self.file = file
        self.write = faulty.wrapped("write", file.write)
        self.flush = faulty.wrapped("flush", file.flush)
        self.fileno = faulty.wrapped("fileno", file.fileno)

    def __enter__(self) -> "_File":
        return self

    def __exit__(self, *_: object) -> None:
        self.file.close()


def calls_of(folder: Path, *, there: bool) -> list[str]:
    """The calls of a writing that goes well."""
    target = folder / "calls.xlsx"
    if there:
        target.write_bytes(OLD)
    with pytest.MonkeyPatch.context() as patch:
        faulty = Faulty(patch, -1, MemoryError, after=False)
        write_whole(target, NEW)
    target.unlink()
    return faulty.calls


@pytest.mark.skipif(os.name != "posix", reason="the calls as on POSIX systems")
@pytest.mark.parametrize("after", [False, True])
@pytest.mark.parametrize("there", [False, True])
def test_every_call_fails_in_every_way(tmp_path: Path, *, there: bool, after: bool) -> None:
    """Whichever call fails, the target is the old or the new one, whole, and no other file is left."""
    calls = calls_of(tmp_path, there=there)
    assert {"fopen", "write", "flush", "fsync", "stat", "replace"} <= set(calls)
    target = tmp_path / "plan.xlsx"
    told = 0
    for fail_at in range(len(calls)):
        for fault in FAULTS:
            target.unlink(missing_ok=True)
            if there:
                target.write_bytes(OLD)
            with pytest.MonkeyPatch.context() as patch:
                Faulty(patch, fail_at, fault, after=after)
                try:
                    write_whole(target, NEW)
                    came = NEW
                except NotWritten:
                    came = OLD
                except KeyboardInterrupt:
                    assert fault is KeyboardInterrupt
                    came = b""
            where = calls[fail_at], fault()
            assert [path.name for path in tmp_path.iterdir() if path != target] == [], where
            now = target.read_bytes() if target.exists() else None
            before = OLD if there else None
            if came == OLD and not (after and calls[fail_at] == "replace"):
                assert now == before, where
                told += 1
            elif came == NEW:
                assert now == NEW, where
            else:
                assert now in (before, NEW), where
    assert told >= 4 * 6, "most faults are told"


FILL = """
import resource, signal, sys
from pathlib import Path
from holdover.workbook.save import NotWritten, write_whole
target = Path(sys.argv[1])
if len(sys.argv) > 2:
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
try:
    write_whole(target, b"new" * 100_000)
except NotWritten as no:
    print(no.message)
"""


def run(script: str, *arguments: str) -> str:
    """Run a script in a child; what it printed."""
    done = subprocess.run([sys.executable, "-c", script, *arguments], capture_output=True, text=True, check=True)
    return done.stdout


@pytest.mark.skipif(os.name != "posix", reason="limits as on POSIX systems")
@pytest.mark.parametrize("there", [False, True])
def test_file_larger_than_allowed(tmp_path: Path, *, there: bool) -> None:
    """Where a file may not grow any further, the old one is left and the reason told."""
    target = tmp_path / "plan.xlsx"
    if there:
        target.write_bytes(OLD)
    assert "there is no room on the disk" in run(FILL, str(target), "limit")
    assert [path.read_bytes() for path in tmp_path.iterdir()] == ([OLD] if there else [])


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a small file system can be mounted on Linux")
def test_full_disk(tmp_path: Path) -> None:
    """On a disk that is full the old file is left and the reason told."""
    script = 'mount -t tmpfs -o size=200k none "$1" && printf old > "$1/plan.xlsx" && "$2" -c "$3" "$1/plan.xlsx"; '
    script += 'cat "$1/plan.xlsx"; ls -A "$1"'
    command = ["unshare", "--mount", "--map-root-user", "sh", "-c", script, "sh", str(tmp_path), sys.executable, FILL]
    if os.geteuid() == 0:
        command.remove("--map-root-user")
    try:
        done = subprocess.run(command, capture_output=True, text=True)
    except FileNotFoundError:
        pytest.skip("unshare is not there")
    if "mount" in done.stderr or "unshare" in done.stderr:
        pytest.skip("mounting is not allowed here")
    assert "there is no room on the disk" in done.stdout
    assert done.stdout.endswith("old" + "plan.xlsx\n")
