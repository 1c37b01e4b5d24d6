"""Makes the pictures of the README and of the guides: windows as people see them, and a first page on paper.

    .venv/bin/python tests/pictures.py

Takes LibreOffice, Xvfb, xdotool, poppler's pdftoppm and ImageMagick; the pictures go to `samples/` and to
the guides.
"""

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from holdover.library import build, read_case, study
from test_guides import DOCS, TABLE, fill

ROOT: Final = Path(__file__).resolve().parents[1]
SAMPLE: Final = ROOT / "samples" / "wrenfold-120v"
TOOLS: Final = ("soffice", "Xvfb", "xdotool", "pdftoppm", "convert", "import")
WINDOW: Final = (1366, 768)
"""A small laptop's screen [pixel]."""
DOTS: Final = 80
"""Dots of the printed page to the inch."""
COLOURS: Final = 64
"""Colours that are left in a picture, so that it stays small."""
PATIENCE: Final = 60.0
"""How long LibreOffice may take to open its window [s]."""
QUIET: Final = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Common/Misc"><prop oor:name="ShowTipOfTheDay" oor:op="fuse"><value>false</value>
</prop></item>
<item oor:path="/org.openoffice.Setup/Product"><prop oor:name="ooSetupLastVersion" oor:op="fuse"><value>{version}</value>
</prop></item>
</oor:items>
"""
"""Settings of a profile that greets nobody."""


def run(*command: object) -> str:
    """What a command prints; an error where it fails."""
    return subprocess.run([str(part) for part in command], check=True, capture_output=True, text=True).stdout


@contextmanager
def started(command: Sequence[object], environment: dict[str, str]) -> Iterator[None]:
    """A program with all that it starts, ended with them."""
    process = subprocess.Popen(
        [str(part) for part in command],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        yield
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=20)


def profile_in(folder: Path) -> str:
    """A profile of its own for LibreOffice, as it is named on its command line."""
    user = folder / "profile" / "user"
    user.mkdir(parents=True)
    version = ".".join(run("soffice", "--version").split()[1].split(".")[:2])
    (user / "registrymodifications.xcu").write_text(QUIET.format(version=version), encoding="utf-8")
    return f"-env:UserInstallation={user.parent.as_uri()}"


def printed_page(book: Path, picture: Path, profile: str) -> None:
    """The first page on paper."""
    run("soffice", profile, "--headless", "--norestore", "--convert-to", "pdf", "--outdir", book.parent, book)
    run(
        "pdftoppm",
        "-r",
        DOTS,
        "-f",
        1,
        "-l",
        1,
        "-singlefile",
        "-png",
        book.with_suffix(".pdf"),
        picture.with_suffix(""),
    )


def window(book: Path, picture: Path, profile: str, sheet: int = 0) -> None:
    """The window in which the workbook opens, on a screen of its own; `sheet`: so many sheets on."""
    wide, high = WINDOW
    display = f":{200 + os.getpid() % 700}"
    environment = {**os.environ, "DISPLAY": display}
    with started(("Xvfb", display, "-screen", "0", f"{wide}x{high}x24"), environment):
        time.sleep(2)
        with started(("soffice", profile, "--norestore", "--calc", book), environment):
            os.environ["DISPLAY"] = display
            found = window_of(book.name)
            run("xdotool", "windowsize", found, wide, high, "windowmove", found, 0, 0)
            time.sleep(5)  # until it has drawn itself
            for _ in range(sheet):
                run("xdotool", "key", "ctrl+Next")
                time.sleep(1)
            run("import", "-window", "root", picture)


def window_of(title: str) -> str:
    """The number of the window with such a title, once it is there."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        time.sleep(1)
        told = subprocess.run(
            ["xdotool", "search", "--onlyvisible", "--name", title], capture_output=True, text=True, check=False
        )
        if told.stdout.split():
            return told.stdout.split()[0]
    raise SystemExit(f"LibreOffice opened no window for {title} in {PATIENCE:g} s.")


def of_the_guide(folder: Path) -> tuple[Path, Path]:
    """The form of the first guide as it is filled in there, and the answer to it."""
    form, answer = folder / "my-house.xlsx", folder / "my-house-answer.xlsx"
    guide = (DOCS / "householder.md").read_text(encoding="utf-8")
    for table in [*TABLE.finditer(guide)][:2]:
        fill(form, table.group())
    answer.write_bytes(build(study(read_case(form))))
    return form, answer


def small(picture: Path, target: Path) -> None:
    """The picture with few colours, in its place."""
    run("convert", picture, "-strip", "-colors", COLOURS, "-define", "png:compression-level=9", target)
    print(f"{target.relative_to(ROOT)}: {target.stat().st_size / 1000:.0f} kB")


def main() -> None:
    """Make them all."""
    missing = [tool for tool in TOOLS if not shutil.which(tool)]
    if missing:
        raise SystemExit(f"Not installed: {', '.join(missing)}.")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book, picture = folder / f"{SAMPLE.name}.xlsx", folder / "picture.png"
        book.write_bytes(build(study(read_case(SAMPLE))))
        profile = profile_in(folder)
        printed_page(book, picture, profile)
        small(picture, ROOT / "samples" / "answer.png")
        form, answer = of_the_guide(folder)
        for shown, sheet, target in (
            (book, 0, ROOT / "samples" / "window.png"),
            (form, 1, DOCS / "form.png"),
            (answer, 0, DOCS / "look-for.png"),
        ):
            window(shown, picture, profile, sheet)
            small(picture, target)


if __name__ == "__main__":
    main()
