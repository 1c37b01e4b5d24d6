"""Starts a case folder from one of the starter cases that ship with the program."""

from pathlib import Path
from typing import Final

from holdover.workbook.save import write_folder

FORM_HEAD: Final = """\
# A case for holdover. The survey form beside it holds what is to be fed and what is on offer: fill it in.
loads = "survey.xlsx"
candidates = "survey.xlsx"

"""
"""Head of the case file where a survey form stands in place of the two tables."""


def template_folder() -> Path:
    """Where the starter cases stand: inside the installed package, or beside a checkout's sources."""
    package = Path(__file__).resolve().parent.parent
    shipped = package / "templates"
    return shipped if shipped.is_dir() else package.parent.parent / "templates"


def start_case(folder: Path, like: str = "home", *, form: bool) -> list[str]:
    """Copy a starter case (home, stall, vehicle or clinic), and a survey form in place of its loads where one is wanted.

    Raises:
        NotWritten: the folder holds something already, or can't be made.
    """
    files = {each.name: each.read_bytes() for each in sorted((template_folder() / like).iterdir())}
    if form:
        from holdover.returned.form import form_bytes

        del files["loads.csv"], files["candidates.csv"]
        files["survey.xlsx"] = form_bytes(us=b'\nunits = "US"' in files["case.toml"])
        head, mark, rest = files["case.toml"].partition(b"#\n")  # the head speaks of tables that are not there
        files["case.toml"] = FORM_HEAD.encode() + rest if mark else head
    write_folder(folder, files)
    return list(files)
