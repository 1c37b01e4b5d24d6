"""Reads hostile workbooks in children with little memory, and tells what came of each.

Names of cases come in by line, answers go out as JSON by line: outcome, seconds of processor time, peak memory.
"""

import json
import os
import resource
import sys
import tempfile
import traceback
from collections.abc import Callable
from pathlib import Path

from holdover.xlsx import BadFile, Book, read_xlsx
from xlsx.files import CASES

ADDRESS_SPACE = 1_000_000_000
"""Memory a child may ask for [bytes]."""
MAKERS = {name: maker for name, maker, _ in CASES}


def summary(book: Book) -> str:
    """What was read, in words that a case can expect."""
    cells = [cell for sheet in book.sheets for row in sheet.rows.values() for cell in row.values()]
    merged = sum(len(sheet.merged) for sheet in book.sheets)
    first = f"{cells[0].kind} {cells[0].value!r} {cells[0].formula}"[:300] if cells else ""
    more = f"{merged} merged, {len(book.names)} names, {book.properties}, {' '.join(book.remarks)}"
    return f"read {len(book.sheets)} sheet, {len(cells)} cells, {more} {first}"


def outcome(data: bytes) -> str:
    """Read a workbook and say what came of it."""
    try:
        return summary(read_xlsx(data, "survey.xlsx"))
    except BadFile as bad:
        return f"refused {bad.message} {bad.remedy}"
    except BaseException:  # the test wants to see it
        return "crashed " + traceback.format_exc()


def forked(work: Callable[[], str]) -> tuple[str, "resource.struct_rusage"]:
    """Do something in a child; what it printed and what it used."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        with os.fdopen(writer, "w", encoding="utf-8") as pipe:
            pipe.write(work())
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, encoding="utf-8") as pipe:
        text = pipe.read()
    _, status, used = os.wait4(child, 0)
    return text or f"died with status {status}", used


def answer(name: str, folder: Path) -> dict[str, object]:
    """Make a file in one child, read it in another."""
    path = folder / name
    size, _ = forked(lambda: str(path.write_bytes(MAKERS[name]())))

    def read() -> str:
        resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
        return outcome(path.read_bytes())

    text, used = forked(read)
    path.unlink(missing_ok=True)
    seconds = used.ru_utime + used.ru_stime
    return {"outcome": text, "size": size, "seconds": round(seconds, 3), "mb": used.ru_maxrss // 1000}


def main() -> None:
    """Answer every line."""
    with tempfile.TemporaryDirectory() as folder:
        for line in sys.stdin:
            sys.stdout.write(json.dumps(answer(line.strip(), Path(folder))) + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
