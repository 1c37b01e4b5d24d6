"""A file is written whole or not at all.

The bytes go to a new file beside the target, reach the disk, and take the target's place in one step. Whatever
happens before that step leaves the old file as it was.
"""

import contextlib
import errno
import os
import secrets
import signal
import stat
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from types import FrameType
from typing import Final, NoReturn

LONGEST_NAME: Final = 255
"""Longest name of a file in bytes, on every usual file system."""
TRIES: Final = (0.0, 0.05, 0.15, 0.4, 0.8)
"""Waits before each try to replace a file that another program holds, Windows only [s]."""
HELD: Final = (5, 32, 33)
"""Windows errors that mean: held by another program."""
NO_ROOM: Final = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


class NotWritten(Exception):  # noqa: N818 — a sentence about a file, not a fault of ours
    """A file that could not be written; what was there before is unchanged."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


class Interrupted(KeyboardInterrupt):
    """The program was asked to end."""


def write_whole(path: Path, data: bytes, *, inputs: Sequence[Path] = ()) -> None:
    """Write a file whole, or leave what was there.

    A link is followed and stays a link. None of `inputs` is ever replaced.

    Raises:
        NotWritten: the target can't be written; it is as it was.
    """
    try:
        target = Path(os.path.realpath(path))
        mode = _mode_of(target, path, inputs)
        _write(target, data, mode)
    except NotWritten:
        raise
    except (OSError, MemoryError, ValueError) as wrong:
        _refuse(path, wrong)


def output_name(case: Path) -> Path:
    """The workbook that is written where none is named: it is called as the case, and is never the case itself."""
    whole = case.resolve()
    target = Path(f"{whole.stem if case.is_file() else whole.name}.xlsx")
    return target.with_stem(f"{target.stem}-answer") if _same_file(target, case) else target


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder that is new or empty: all of them, or none and no folder that was not there.

    Raises:
        NotWritten: the folder holds something already, or can't be written to.
    """
    try:
        made = refuse_used(folder)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            for name, data in files.items():
                write_whole(folder / name, data)
        except BaseException:
            _take_back([folder / name for name in files], made)
            raise
    except OSError as wrong:
        raise NotWritten(
            f"{folder} can't be made: {wrong.strerror}.", "Choose a folder that you may write to."
        ) from wrong


def refuse_used(folder: Path) -> list[Path]:
    """The folders that are still to be made for one that is to be written.

    Raises:
        NotWritten: it holds something already.
    """
    made = [each for each in (folder, *folder.parents) if not each.exists()]
    if not made and (not folder.is_dir() or any(folder.iterdir())):
        raise NotWritten(f"{folder} is there already, and not empty.", "Name a new folder.")
    return made


def _take_back(files: Sequence[Path], folders: Sequence[Path]) -> None:
    for file in files:
        with contextlib.suppress(OSError):
            file.unlink(missing_ok=True)
    for folder in folders:  # the innermost first
        with contextlib.suppress(OSError):
            folder.rmdir()


def open_elsewhere(path: Path) -> str | None:
    """Name of the program that seems to hold a file open, from the lock file beside it; None if there is none.

    A lock file may be left over from a crash: this is a reason to warn, not to stop.
    """
    with contextlib.suppress(OSError, ValueError):
        path = Path(os.path.realpath(path))
        if path.with_name(f".~lock.{path.name}#").is_file():
            return "LibreOffice"
        if any(path.with_name(owner).is_file() for owner in (f"~${path.name}", f"~${path.name[2:]}")):
            return "Excel"
    return None


@contextlib.contextmanager
def interruptible() -> Iterator[None]:
    """Turn a request to end (SIGTERM) into an exception, so that half-written files are cleared away."""
    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread hears signals
        return

    def end(_number: int, _frame: FrameType | None) -> None:
        raise Interrupted

    before = signal.signal(signal.SIGTERM, end)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _mode_of(target: Path, path: Path, inputs: Sequence[Path]) -> int | None:
    """Permissions of the file that is there, None if none is; refuses a target that must not be replaced."""
    for source in inputs:
        if _same_file(target, source):
            raise NotWritten(f"{path} is one of the files being read.", "Give the output another name.")
    try:
        there = target.stat()
    except FileNotFoundError:
        if not target.parent.is_dir():
            raise NotWritten(
                f"The folder {target.parent} does not exist.", "Make the folder first, or give another one."
            ) from None
        return None
    if stat.S_ISDIR(there.st_mode):
        raise NotWritten(f"{path} is a folder.", "Give the name of a file in it.")
    if not stat.S_ISREG(there.st_mode):
        raise NotWritten(f"{path} is a device or a pipe, not a file.", "Give the name of a file.")
    if not os.access(target, os.W_OK):
        raise NotWritten(f"{path} is read-only.", "Allow writing to it, or give another name.")
    return stat.S_IMODE(there.st_mode)


def _write(target: Path, data: bytes, mode: int | None) -> None:
    temporary = target.with_name(_temporary_name(target.name))
    try:
        with open(temporary, "xb", opener=_opener(0o666 if mode is None else 0o600)) as file:
            file.write(data)
            file.flush()
            if mode is not None:
                temporary.chmod(mode)
            os.fsync(file.fileno())
        _replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _opener(mode: int) -> Callable[[str, int], int]:
    """Opens with these permissions; the system takes the umask off."""
    return lambda name, flags: os.open(name, flags, mode)


def _temporary_name(name: str) -> str:
    """A hidden name beside the target that no file has and that is not too long."""
    end = f".{secrets.token_hex(6)}.part"
    room = LONGEST_NAME - 1 - len(end)
    return "." + os.fsencode(name)[:room].decode(sys.getfilesystemencoding(), "ignore") + end


def _replace(temporary: Path, target: Path) -> None:
    """Put the new file in the old one's place; on Windows another program may hold that for a moment."""
    for wait in TRIES:
        time.sleep(wait)
        try:
            temporary.replace(target)
        except OSError as wrong:
            if getattr(wrong, "winerror", None) not in HELD:
                raise
        else:
            return
    raise NotWritten(f"{target} is held open by another program.", "Close it there (Excel?) and try again.")


def _sync_folder(folder: Path) -> None:
    """Bring the new name to the disk; the file itself is whole already, so that a failure is no failure."""
    with contextlib.suppress(OSError, MemoryError):
        handle = os.open(folder, os.O_RDONLY | getattr(os, "O_DIRECTORY", 0))
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _same_file(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False


def _refuse(path: Path, wrong: Exception) -> NoReturn:
    """Say in words why a file was not written."""
    number = wrong.errno if isinstance(wrong, OSError) else None
    if isinstance(wrong, MemoryError):
        reason, remedy = "the memory is full", "Close other programs and try again."
    elif number in NO_ROOM:
        reason, remedy = "there is no room on the disk", "Make room, or give another folder."
    elif number in (errno.EACCES, errno.EPERM, errno.EROFS):
        reason, remedy = "its folder may not be written to", "Give another folder, or allow writing to this one."
    elif number == errno.ENAMETOOLONG:
        reason, remedy = "its name is too long", "Give a shorter name."
    elif isinstance(wrong, ValueError):
        reason, remedy = "its name holds a character that no name may hold", "Give another name."
    else:
        reason, remedy = str(getattr(wrong, "strerror", None) or wrong), "Give another folder or try again."
    raise NotWritten(f"{path} was not written: {reason}.", remedy) from wrong
