"""The printed pages of a workbook as a PDF, through LibreOffice where it is installed. It writes no file of ours."""

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
from pathlib import Path
from typing import Final

from holdover.workbook.save import NotWritten

PROGRAMS: Final = ("soffice", "libreoffice", "soffice.exe")
"""Names under which LibreOffice is looked for."""
PLACES: Final = (
    "/Applications/LibreOffice.app/Contents/MacOS/soffice",
    r"C:\Program Files\LibreOffice\program\soffice.exe",
)
"""Where it stands on systems that do not put it on the path."""
PATIENCE_S: Final = 120.0
"""Longest time that a workbook may take [s]; a large one takes ten."""


def office() -> str | None:
    """The LibreOffice of this machine, None where there is none."""
    found = next((path for name in PROGRAMS if (path := shutil.which(name))), None)
    return found or next((place for place in PLACES if Path(place).is_file()), None)


def pdf_bytes(workbook: bytes, *, program: str | None = None, patience_s: float = PATIENCE_S) -> bytes:
    """The pages of a workbook that are meant for paper.

    LibreOffice runs with a profile of its own, so that a window somebody has open neither holds it up nor is touched.

    Args:
        workbook: the bytes of an .xlsx file of ours
        program: LibreOffice; None = as it is found on this machine
        patience_s: after so long it is stopped [s]

    Raises:
        NotWritten: there is no LibreOffice, it took too long, or it gave no PDF.
    """
    program = program or office()
    if program is None:
        raise NotWritten(
            "The PDF is not written: LibreOffice was not found.",
            "install LibreOffice, or open the workbook in your spreadsheet program and print it from there",
        )
    with tempfile.TemporaryDirectory(prefix="holdover-pdf-", ignore_cleanup_errors=True) as home:
        source, profile = Path(home, "workbook.xlsx"), Path(home, "profile")
        source.write_bytes(workbook)
        _convert(program, source, profile, patience_s)
        made = source.with_suffix(".pdf")
        if not made.is_file():
            raise NotWritten(
                "The PDF is not written: LibreOffice gave none.",
                "open the workbook in LibreOffice and export it from there; it may say what is wrong",
            )
        return made.read_bytes()


def _convert(program: str, source: Path, profile: Path, patience_s: float) -> None:
    command = [
        program,
        f"-env:UserInstallation={profile.as_uri()}",
        "--headless",
        "--norestore",
        "--convert-to",
        "pdf",
        "--outdir",
        str(source.parent),
        str(source),
    ]
    # A session of its own: LibreOffice starts others, and all of them end with it.
    with subprocess.Popen(  # noqa: S603 (a program of this machine, no word of a user's)
        command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    ) as running:
        try:
            running.wait(patience_s)
        except subprocess.TimeoutExpired:
            _end(running)
            raise NotWritten(
                f"The PDF is not written: LibreOffice took longer than {patience_s:g} s.",
                "try again when the machine is less busy, or print it from your spreadsheet program",
            ) from None
        except BaseException:
            _end(running)
            raise


def _end(running: "subprocess.Popen[bytes]") -> None:
    with contextlib.suppress(OSError):
        if hasattr(os, "killpg"):
            os.killpg(running.pid, signal.SIGKILL)
        else:
            running.kill()
    running.wait()
