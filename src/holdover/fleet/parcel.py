"""A case as the bytes of its files, so that it can be read where its folder is not: in another process, on another machine."""

import contextlib
import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from holdover.reading.beside import beside, outside, strays
from holdover.reading.folder import may_be_workbook, names_beside
from holdover.reading.toml import CASE_FILE
from holdover.xlsx import MAX_FILE

STRAY: Final = -1
"""Size of what is none of the folder's own: a link that leads out of it [bytes]."""
IRREGULAR: Final = -2
"""Size of what is no file: a pipe, a folder [bytes]."""


@dataclass(frozen=True, slots=True)
class File:
    """A file by its name in the case's folder. What is too large to be read goes by its size alone."""

    name: str
    size: int
    data: bytes


@dataclass(frozen=True, slots=True)
class Parcel:
    """The files of a case; `inner` is the file that is the case, "" where that is the folder itself."""

    folder: str
    inner: str
    files: tuple[File, ...]

    def fingerprint(self, *more: object) -> str:
        """A fingerprint of all that it holds, and of what else decides on the result."""
        found = blake2b(digest_size=16)
        for part in (*more, self.folder, self.inner):
            found.update(repr(part).encode("utf-8", "surrogateescape"))
        for file in self.files:
            found.update(repr((file.name, file.size)).encode("utf-8", "surrogateescape"))
            found.update(file.data)
        return found.hexdigest()


def parcel_of(path: Path) -> Parcel | None:
    """A case's files; None where there is no case file to begin with, of which reading tells at once.

    Raises:
        OSError: a file can't be read.
    """
    file = path / CASE_FILE if path.is_dir() else path
    if not file.is_file() or (path.is_dir() and strays(file, path)):
        return None
    inner = "" if path.is_dir() else file.name
    names: tuple[str, ...] = () if may_be_workbook(file) else names_beside(file)
    folder = file.resolve().parent
    files = [packed(file, file.name), *(_held(name, folder) for name in names if not outside(name))]
    return Parcel(folder.name, inner, tuple(each for each in files if each))


def packed(path: Path, name: str) -> File:
    """A file as it is sent.

    Raises:
        OSError: it can't be read.
    """
    size = path.stat().st_size
    return File(name, size, path.read_bytes() if size <= MAX_FILE else b"")


def _held(name: str, folder: Path) -> File | None:
    """A file that a case may name, None where there is none."""
    path = beside(name, folder)
    if not os.path.lexists(path):
        return None
    if strays(path, folder):
        return File(name, STRAY, b"")
    return packed(path, name) if stat.S_ISREG(path.stat().st_mode) else File(name, IRREGULAR, b"")


@contextlib.contextmanager
def unpacked(parcel: Parcel) -> Iterator[Path]:
    """The case of a parcel, in a folder that is gone afterwards. It is called as it was, for what is said of it."""
    with TemporaryDirectory(prefix="holdover-") as home:
        folder = Path(home, "case")
        with contextlib.suppress(OSError, ValueError):  # a name that this system doesn't take
            Path(home, parcel.folder).mkdir()
            folder = Path(home, parcel.folder)
        folder.mkdir(exist_ok=True)
        elsewhere = Path(home, "elsewhere.part")
        elsewhere.touch()
        for file in parcel.files:
            _put(file, beside(file.name, folder), elsewhere)
        yield folder / parcel.inner if parcel.inner else folder


def _put(file: File, path: Path, elsewhere: Path) -> None:
    """Put a file there; what was none becomes what reading refuses for the same reason."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if file.size == STRAY:
        path.symlink_to(elsewhere)
        return
    if file.size == IRREGULAR:
        path.mkdir()
        return
    path.write_bytes(file.data)
    if file.size > MAX_FILE:
        os.truncate(path, file.size)  # nothing of it is read but its size
