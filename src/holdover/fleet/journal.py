"""What is known of each case, on disk from the moment it is done: so that work that was broken off can be taken up."""

import contextlib
import json
from collections.abc import Collection, Iterator
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Final, Self

from holdover.fleet.entry import Entry, entry_from
from holdover.fleet.listing import INDEX

if TYPE_CHECKING:
    from io import BufferedRandom

JOURNAL: Final = "index.part.jsonl"
"""Lines of JSON, one a case in the order in which they were done; it becomes the index at the end."""
SCHEMA: Final = "holdover index 1"
"""Name of the shape of the index; its number goes up when a field goes, or means something else."""


class Journal:
    """A file to which cases are added. Findings stay there, so that memory does not grow with them."""

    def __init__(self, folder: Path, cases: Collection[str]) -> None:
        """Take up what an earlier run left in a folder on these cases.

        Raises:
            OSError: the folder can't be written to.
        """
        self.path = folder / JOURNAL
        self.known: dict[str, Entry] = {}
        """What was known before, by case."""
        self.starts: dict[str, int] = {}
        fresh = folder / f"{JOURNAL}.new"
        self.file: BufferedRandom = fresh.open("w+b")
        for told in (*_index(folder), *_lines(folder)):
            with contextlib.suppress(TypeError, ValueError, AttributeError, KeyError):
                entry = entry_from({name: value for name, value in told.items() if name != "findings"})
                if entry.case in cases:
                    self.add(entry, told["findings"])
                    self.known[entry.case] = entry
        fresh.replace(self.path)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _wrong: BaseException | None, _at: TracebackType | None
    ) -> None:
        self.file.close()

    def add(self, entry: Entry, findings: Any) -> None:
        """Write down what became of a case."""
        line = json.dumps(entry.as_dict() | {"findings": findings}, ensure_ascii=True, allow_nan=False)
        self.file.seek(0, 2)
        self.starts[entry.case] = self.file.tell()
        self.file.write(f"{line}\n".encode())
        self.file.flush()

    def line(self, case: str) -> str:
        """What is written of a case, as JSON."""
        self.file.seek(self.starts[case])
        return self.file.readline().decode().rstrip("\n")

    def remove(self) -> None:
        """It is told elsewhere now."""
        self.file.close()
        self.path.unlink(missing_ok=True)


def _index(folder: Path) -> Iterator[dict[str, Any]]:
    """What the index of an earlier run says; nothing of one that can't be read."""
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        told = json.loads((folder / INDEX).read_bytes())
        if told["schema"] == SCHEMA:
            yield from told["cases"]


def _lines(folder: Path) -> Iterator[dict[str, Any]]:
    """Lines that are whole; the last one may have been cut off."""
    with contextlib.suppress(OSError):
        for line in (folder / JOURNAL).read_bytes().split(b"\n"):
            with contextlib.suppress(ValueError):
                yield json.loads(line)
