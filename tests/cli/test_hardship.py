"""Too little memory, no room on the disk, an interrupt in the first moments, a locale of ASCII: a sentence, no traceback."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from holdover.case.schema import Case, Load
from holdover.returned.extract import write_case
from holdover.returned.starter import start_case
from holdover.workbook import save
from holdover.workbook.save import NotWritten

SAMPLE = Path(__file__).parents[2] / "samples" / "wrenfold-120v"
INTERRUPT = """
import sys
module = sys.argv.pop(1)
class Finder:
    def find_spec(self, name, *_):
        if name == module:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Finder())
sys.modules.pop(module, None)
from holdover.__main__ import main
main()
"""
LIMITED = """
import resource, runpy, sys
peak = next(int(line.split()[1]) for line in open("/proc/self/status") if line.startswith("VmSize"))
most = (peak + int(sys.argv.pop(1))) * 1024
resource.setrlimit(resource.RLIMIT_AS, (most, most))
from holdover.__main__ import main
main()
"""
ASCII = os.environ | {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}


def ran(*words: object, env: "dict[str, str] | None" = None) -> subprocess.CompletedProcess[str]:
    """What a program of Python's says."""
    line = [sys.executable, *map(str, words)]
    return subprocess.run(
        line, check=False, capture_output=True, text=True, env=env, encoding="utf-8", errors="replace"
    )


@pytest.mark.parametrize(
    "module",
    ["holdover.cli", "typer", "holdover.report", "typer.main", "typer.core", "shlex", "textwrap", "holdover.library",
     "holdover.findings", "pydantic"],
)  # fmt: skip
def test_an_interrupt_while_it_is_loaded(module: str) -> None:
    """Whatever is being imported: exit code 130, and no traceback."""
    done = ran("-c", INTERRUPT, module, "check", SAMPLE)
    assert "Traceback" not in done.stderr, done.stderr
    assert done.returncode == 130, done


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is told by /proc")
@pytest.mark.parametrize("more", [2_000, 6_000, 10_000, 16_000, 22_000, 28_000, 36_000, 44_000, 60_000, 200_000])
def test_a_limit_on_memory_gives_a_sentence(more: int) -> None:
    """From too little to load anything to plenty [kB beside the bare interpreter]: done, or refused in words."""
    done = ran("-c", LIMITED, more, "show", SAMPLE)
    told = done.stdout + done.stderr
    assert done.returncode in {0, 4}, told
    assert (done.returncode == 0) or "there is not enough memory" in told
    assert "bug" not in told
    assert "Traceback" not in told


@pytest.mark.parametrize("fails_at", [1, 2, 3])
@pytest.mark.parametrize("there", ["no folder", "an empty folder", "no parents either"])
@pytest.mark.parametrize("what", ["new", "extract"])
def test_a_full_disk_leaves_no_folder(
    what: str, there: str, fails_at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whichever file finds no room: what was written goes, and the folders that were not there before."""
    folder = tmp_path / ("a/b/c" if there == "no parents either" else "c")
    if there == "an empty folder":
        folder.mkdir()
    before, written, write = sorted(tmp_path.rglob("*")), [], save._write

    def fails(target: Path, data: bytes, mode: "int | None") -> None:
        written.append(target)
        if len(written) == min(fails_at, 3 if what == "new" else 2):
            raise OSError(errno.ENOSPC, "No space left on device")
        write(target, data, mode)

    monkeypatch.setattr(save, "_write", fails)
    with pytest.raises(NotWritten) as refused:
        if what == "extract":
            write_case(Case(loads=(Load(name="Lamp", running_w=10, hours_per_day=5),)), folder)
        else:
            start_case(folder)
    assert "no room on the disk" in refused.value.message
    assert sorted(tmp_path.rglob("*")) == before


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    """Neither a file in it nor the folder is touched, nor a file in its place."""
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    for name in ("full", "file", "file/below"):
        with pytest.raises(NotWritten):
            start_case(tmp_path / name)
    assert sorted(each.name for each in tmp_path.rglob("*")) == ["file", "full", "mine.txt"]


@pytest.mark.skipif(sys.platform == "win32", reason="file names are Unicode there")
@pytest.mark.parametrize("name", ["fäll", "дом", "café noir", "😀"])
def test_file_names_under_an_ascii_locale(name: str, tmp_path: Path) -> None:
    """A folder, a table and a workbook with letters beyond ASCII are made, read and told without a traceback."""
    home, book = tmp_path / name, tmp_path / f"{name}.xlsx"
    assert ran("-m", "holdover", "new", home, env=ASCII).returncode == 0
    (home / "loads.csv").rename(home / f"{name}.csv")
    (home / "case.toml").write_text(f'loads = "{name}.csv"\n', encoding="utf-8")
    done = ran("-m", "holdover", "check", home, env=ASCII)
    assert (done.returncode, done.stderr) == (0, "")
    (home / f"{name}.csv").unlink()
    done = ran("-m", "holdover", "check", home, env=ASCII)
    assert (done.returncode, done.stderr) == (1, "")
    assert "F009" in done.stdout
    book.write_bytes(b"no workbook")
    done = ran("-m", "holdover", "check", book, env=ASCII)
    assert (done.returncode, done.stderr) == (1, "")
    assert "udc" not in done.stdout
    save.write_whole(book, b"whole")
    assert book.read_bytes() == b"whole"
