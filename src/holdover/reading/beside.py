"""Which files a case may name: those that stand in its own folder, by names that mean the same on every system."""

import os
import re
from pathlib import Path, PureWindowsPath
from typing import Final

DEVICES: Final = re.compile(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(\..*)?")


def beside(name: str, folder: Path) -> Path:
    """The file of a name in a folder, spelt as the system spells it where the locale is not UTF-8, too."""
    try:
        return folder / os.fsdecode(name.encode())
    except UnicodeError:  # no file is called so
        return folder / name


def strays(path: Path, folder: Path) -> str:
    """Why a file is not one of the folder's own, links followed; "" where it is."""
    try:
        own = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return "it leads nowhere"
    return "" if own else "it leads out of the folder of the case"


def outside(name: str) -> str:
    """Why a file name is not taken, "" where it is."""
    if not name.strip() or re.search(r"[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]", name):
        return "it is blank or holds control characters (write paths in 'single quotes')"
    if re.match(r"(?i)[a-z][a-z0-9+.-]+:", name) or name.startswith(("//", "\\\\")):
        return "it is an address"
    windows = PureWindowsPath(name)
    if windows.drive or windows.root or name.startswith("/"):
        return "it is absolute"
    if ".." in windows.parts:
        return "it leads out of the folder of the case"
    if "\\" in name or ":" in name:
        return "it has a backslash or a colon"
    if any(DEVICES.fullmatch(part.rstrip(" .")) for part in windows.parts):
        return "it is the name of a device"
    return "it is too long" if len(name.encode()) > 250 else ""
