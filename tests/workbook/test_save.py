"""Where a file is written, what it replaces, and what is refused."""

import os
import signal
import socket
import stat
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from holdover.workbook import save
from holdover.workbook.save import Interrupted, NotWritten, interruptible, open_elsewhere, write_whole

POSIX = pytest.mark.skipif(os.name != "posix", reason="links, modes and pipes as on POSIX systems")


def left_in(folder: Path) -> list[str]:
    """Names of what lies in a folder."""
    return sorted(path.name for path in folder.iterdir())


def refused(path: Path, *, inputs: tuple[Path, ...] = ()) -> str:
    """What is said where a file can't be written."""
    with pytest.raises(NotWritten) as told:
        write_whole(path, b"new", inputs=inputs)
    assert told.value.remedy
    return told.value.message


def test_new_file(tmp_path: Path) -> None:
    """A new file holds the bytes, and nothing else is left in the folder."""
    write_whole(tmp_path / "plan.xlsx", b"new")
    assert (tmp_path / "plan.xlsx").read_bytes() == b"new"
    assert left_in(tmp_path) == ["plan.xlsx"]


def test_old_file_is_replaced(tmp_path: Path) -> None:
    """An old file is replaced whole, however much longer it was."""
    (tmp_path / "plan.xlsx").write_bytes(b"old" * 100_000)
    write_whole(tmp_path / "plan.xlsx", b"new")
    assert (tmp_path / "plan.xlsx").read_bytes() == b"new"


@POSIX
@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_permissions_of_a_new_file(tmp_path: Path, mask: int, mode: int) -> None:
    """A new file has the permissions that any program's new file has."""
    before = os.umask(mask)
    try:
        write_whole(tmp_path / "plan.xlsx", b"new")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "plan.xlsx").stat().st_mode) == mode


@POSIX
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o666, 0o755])
def test_permissions_are_kept(tmp_path: Path, mode: int) -> None:
    """A file that is replaced keeps its permissions, whatever the umask says."""
    target = tmp_path / "plan.xlsx"
    target.write_bytes(b"old")
    target.chmod(mode)
    before = os.umask(0o077)
    try:
        write_whole(target, b"new")
    finally:
        os.umask(before)
    assert stat.S_IMODE(target.stat().st_mode) == mode


@POSIX
@pytest.mark.parametrize("there", [True, False])
def test_link_is_followed(tmp_path: Path, *, there: bool) -> None:
    """A link stays a link, and the file it points to is written, in its own folder."""
    (tmp_path / "far").mkdir()
    real = tmp_path / "far" / "plan.xlsx"
    if there:
        real.write_bytes(b"old")
    (tmp_path / "link.xlsx").symlink_to(real)
    write_whole(tmp_path / "link.xlsx", b"new")
    assert (tmp_path / "link.xlsx").is_symlink()
    assert real.read_bytes() == b"new"
    assert left_in(tmp_path / "far") == ["plan.xlsx"]


@POSIX
def test_link_to_itself(tmp_path: Path) -> None:
    """A link that leads nowhere is refused."""
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert "was not written" in refused(tmp_path / "loop")


def test_folder_is_refused(tmp_path: Path) -> None:
    """A folder is not replaced by a file."""
    assert "is a folder" in refused(tmp_path)


def test_missing_folder(tmp_path: Path) -> None:
    """The message names the folder that is not there."""
    assert f"The folder {tmp_path / 'gone'} does not exist" in refused(tmp_path / "gone" / "plan.xlsx")


def test_file_as_folder(tmp_path: Path) -> None:
    """A path that goes through a file is refused."""
    (tmp_path / "file").write_bytes(b"")
    refused(tmp_path / "file" / "plan.xlsx")
    assert left_in(tmp_path) == ["file"]


@POSIX
def test_devices_and_pipes_are_refused(tmp_path: Path) -> None:
    """A device, a pipe and a socket are neither replaced nor waited for."""
    os.mkfifo(tmp_path / "pipe")
    with socket.socket(socket.AF_UNIX) as plug:
        plug.bind(str(tmp_path / "plug"))
        for path in (tmp_path / "pipe", tmp_path / "plug", Path(os.devnull)):
            assert "is a device or a pipe" in refused(path)
    assert stat.S_ISCHR(Path(os.devnull).stat().st_mode)


@POSIX
def test_input_is_never_replaced(tmp_path: Path) -> None:
    """None of the files being read is replaced, by whatever name it is called."""
    survey = tmp_path / "survey.xlsx"
    survey.write_bytes(b"old")
    (tmp_path / "soft.xlsx").symlink_to(survey)
    (tmp_path / "hard.xlsx").hardlink_to(survey)
    for name in ("survey.xlsx", "soft.xlsx", "hard.xlsx", f"../{tmp_path.name}/survey.xlsx"):
        message = refused(tmp_path / name, inputs=(tmp_path / "gone.csv", survey))
        assert "is one of the files being read" in message
    assert survey.read_bytes() == b"old"


def in_a_child(script: str, *arguments: str) -> str:
    """Run a few lines in a child that is nobody, if this process is root; what it printed."""
    drop = "import os\nif hasattr(os, 'geteuid') and os.geteuid() == 0:\n    os.setgid(65534); os.setuid(65534)\n"
    start = "import sys\nfrom pathlib import Path\nfrom holdover.workbook.save import *\n"
    done = subprocess.run([sys.executable, "-c", start + drop + script, *arguments], capture_output=True, text=True)
    return done.stdout + done.stderr


WRITE = "try:\n    write_whole(Path(sys.argv[1]), b'new')\nexcept NotWritten as no:\n    print(no.message)\n"


@POSIX
def test_read_only_file(tmp_path: Path) -> None:
    """A file that is read-only is not replaced, although its folder would allow it."""
    for folder in (tmp_path, *list(tmp_path.parents)[:3]):
        folder.chmod(folder.stat().st_mode | 0o055)
    tmp_path.chmod(0o777)
    target = tmp_path / "plan.xlsx"
    target.write_bytes(b"old")
    target.chmod(0o444)
    assert "is read-only" in in_a_child(WRITE, str(target))
    assert target.read_bytes() == b"old"
    assert left_in(tmp_path) == ["plan.xlsx"]


@POSIX
def test_read_only_folder(tmp_path: Path) -> None:
    """A folder that may not be written to is named as the reason."""
    for folder in (tmp_path, *list(tmp_path.parents)[:3]):
        folder.chmod(folder.stat().st_mode | 0o055)
    tmp_path.chmod(0o555)
    assert "its folder may not be written to" in in_a_child(WRITE, str(tmp_path / "plan.xlsx"))
    tmp_path.chmod(0o755)
    assert left_in(tmp_path) == []


@pytest.mark.parametrize("name", ["x" * 250 + ".xls", "é" * 125 + ".xlsx", "x" * 255, "⚡" * 85])
def test_longest_names(tmp_path: Path, name: str) -> None:
    """A name as long as the system allows is written, and so is its temporary neighbour."""
    write_whole(tmp_path / name, b"old")
    write_whole(tmp_path / name, b"new")
    assert (tmp_path / name).read_bytes() == b"new"
    assert left_in(tmp_path) == [name]


def test_too_long_a_name(tmp_path: Path) -> None:
    """A longer name is refused in words."""
    assert "its name is too long" in refused(tmp_path / ("x" * 256))


def test_name_with_a_zero(tmp_path: Path) -> None:
    """A name that no system takes is refused in words."""
    assert "holds a character that no name may hold" in refused(tmp_path / "a\0b")


@pytest.mark.parametrize("number", [5, 32, 33])
def test_held_for_a_moment_on_windows(tmp_path: Path, number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that another program lets go of within the tries is replaced."""
    waits: list[float] = []
    real = Path.replace

    def replace(path: Path, target: Path) -> Path:
        if len(waits) < len(save.TRIES):
            wrong = PermissionError(13, "in use")
            wrong.winerror = number  # type: ignore[attr-defined]
            raise wrong
        return real(path, target)

    monkeypatch.setattr(time, "sleep", waits.append)
    monkeypatch.setattr(Path, "replace", replace)
    write_whole(tmp_path / "plan.xlsx", b"new")
    assert (tmp_path / "plan.xlsx").read_bytes() == b"new"
    assert waits == list(save.TRIES)


def test_held_for_long_on_windows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that stays held is left as it was, and the message says so."""

    def replace(_path: Path, _target: Path) -> None:
        wrong = PermissionError(13, "in use")
        wrong.winerror = 32  # type: ignore[attr-defined]
        raise wrong

    (tmp_path / "plan.xlsx").write_bytes(b"old")
    monkeypatch.setattr(time, "sleep", lambda _: None)
    monkeypatch.setattr(Path, "replace", replace)
    assert "is held open by another program" in refused(tmp_path / "plan.xlsx")
    assert (tmp_path / "plan.xlsx").read_bytes() == b"old"
    assert left_in(tmp_path) == ["plan.xlsx"]


@pytest.mark.parametrize(
    ("lock", "program"),
    [(".~lock.plan.xlsx#", "LibreOffice"), ("~$plan.xlsx", "Excel"), ("~$an.xlsx", "Excel"), ("~$other.xlsx", None)],
)
def test_lock_files(tmp_path: Path, lock: str, program: str | None) -> None:
    """The lock files of the usual programs tell which one holds a file open."""
    assert open_elsewhere(tmp_path / "plan.xlsx") is None
    (tmp_path / lock).write_bytes(b"")
    assert open_elsewhere(tmp_path / "plan.xlsx") == program


def test_lock_file_does_not_stop(tmp_path: Path) -> None:
    """A lock file may be left over from a crash, and does not keep a file from being written."""
    (tmp_path / ".~lock.plan.xlsx#").write_bytes(b"")
    write_whole(tmp_path / "plan.xlsx", b"new")
    assert (tmp_path / "plan.xlsx").read_bytes() == b"new"


@pytest.mark.parametrize("name", ["p", "a\0b", "x" * 300])
def test_lock_files_of_odd_names(tmp_path: Path, name: str) -> None:
    """Odd names have no lock file and do no harm."""
    assert open_elsewhere(tmp_path / name) is None


@POSIX
def test_request_to_end_is_an_exception() -> None:
    """Within, a request to end raises so that clean-up runs; afterwards the old handler is back."""
    before = signal.getsignal(signal.SIGTERM)
    with pytest.raises(Interrupted), interruptible():
        os.kill(os.getpid(), signal.SIGTERM)
        signal.pause()
    assert signal.getsignal(signal.SIGTERM) is before


def test_other_threads_hear_no_signals() -> None:
    """In another thread nothing is changed and nothing fails."""
    came: list[str] = []

    def work() -> None:
        with interruptible():
            came.append("through")

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert came == ["through"]
