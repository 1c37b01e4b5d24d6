"""Starts a case: a folder from one of the starter cases that ship with the program, or a survey form to fill in."""

import os
from pathlib import Path

from holdover.workbook.save import NotWritten, write_folder, write_whole


def template_folder() -> Path:
    """Where the starter cases stand: inside the installed package, or beside a checkout's sources."""
    package = Path(__file__).resolve().parent.parent
    shipped = package / "templates"
    return shipped if shipped.is_dir() else package.parent.parent / "templates"


def start_case(folder: Path, like: str = "home") -> list[str]:
    """Copy a starter case (home, stall, vehicle or clinic).

    Raises:
        NotWritten: the folder holds something already, or can't be made.
    """
    files = {each.name: each.read_bytes() for each in sorted((template_folder() / like).iterdir())}
    write_folder(folder, files)
    return list(files)


def start_form(path: Path, like: str = "home") -> Path:
    """Write a survey form to fill in, for the purpose of a starter case; gives the name of its file.

    Raises:
        NotWritten: there is a file of this name already, or it can't be written.
    """
    from holdover.returned.form import form_bytes
    from holdover.returned.questions import STARTERS

    file = path if path.suffix.casefold() == ".xlsx" else path.with_name(f"{path.name}.xlsx")
    if os.path.lexists(file):
        raise NotWritten(f"{file} is there already.", "Give the form another name.")
    write_whole(file, form_bytes(purpose=STARTERS.get(like, like)))
    return file
