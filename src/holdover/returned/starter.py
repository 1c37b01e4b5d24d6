"""Starts a case folder from the starter case that ships with the program."""

from pathlib import Path

from holdover.workbook.save import NotWritten, write_whole


def template_folder() -> Path:
    """Where the starter cases stand: inside the installed package, or beside a checkout's sources."""
    package = Path(__file__).resolve().parent.parent
    shipped = package / "templates"
    return shipped if shipped.is_dir() else package.parent.parent / "templates"


def start_case(folder: Path, *, form: bool) -> list[str]:
    """Copy the starter case, and a survey form in place of its loads where one is wanted.

    Raises:
        NotWritten: the folder holds something already, or can't be made.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise NotWritten(f"{folder} is there already, and not empty.", "name a new folder")
        folder.mkdir(parents=True, exist_ok=True)
        files = {each.name: each.read_bytes() for each in sorted((template_folder() / "home").iterdir())}
    except OSError as wrong:
        raise NotWritten(
            f"{folder} can't be made: {wrong.strerror}.", "choose a folder that you may write to"
        ) from wrong
    if form:
        from holdover.returned.form import form_bytes

        del files["loads.csv"], files["candidates.csv"]
        files["survey.xlsx"] = form_bytes()
        files["case.toml"] = b'loads = "survey.xlsx"\ncandidates = "survey.xlsx"\n\n' + files["case.toml"]
    for name, data in files.items():
        write_whole(folder / name, data)
    return list(files)
