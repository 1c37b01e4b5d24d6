"""The logo of a case: a regular file in its own folder, links followed, of bounded size."""

import os
from pathlib import Path

import pytest

from case.test_picture import png
from holdover.case.picture import MAX_BYTES
from holdover.case.schema import Case
from holdover.findings import Finding
from holdover.returned.read import read_any


def case_with_logo(folder: Path, name: str = "logo.png") -> tuple[Case, list[Finding]]:
    """A case that names a logo, and what is said about that."""
    (folder / "case.toml").write_text(f'[business]\nlogo = "{name}"\n', encoding="utf-8")
    (folder / "loads.csv").write_text("name,running_w,hours_per_day\nLamp,10,5\n", encoding="utf-8")
    case, findings, _ = read_any(folder)
    assert case is not None, "a logo never forbids to go on"
    return case, [finding for finding in findings.found if finding.code in {"F013", "F014"}]


def test_a_logo_goes_with_the_case_and_is_no_input(tmp_path: Path) -> None:
    """The case holds the picture's bytes beside its inputs; what is told of the case has its name alone."""
    (tmp_path / "logo.png").write_bytes(png(30, 20))
    case, told = case_with_logo(tmp_path)
    assert told == []
    assert case.logo is not None
    assert (case.logo.data, case.logo.width, case.logo.height) == (png(30, 20), 30, 20)
    assert "logo" not in case.model_dump()
    assert case.model_dump()["business"]["logo"] == "logo.png"


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    """A link to a picture elsewhere is refused, one to a picture beside it is not."""
    home = tmp_path / "case"
    home.mkdir()
    (tmp_path / "secret.png").write_bytes(png())
    (home / "logo.png").symlink_to(tmp_path / "secret.png")
    case, (told,) = case_with_logo(home)
    assert case.logo is None
    assert (
        told.message == "this picture is not taken, and the offer has no logo: it leads out of the folder of the case"
    )
    (home / "own.png").write_bytes(png())
    (home / "link.png").symlink_to("own.png")
    case, none = case_with_logo(home, "link.png")
    assert (case.logo is not None, none) == (True, [])


def test_what_is_no_regular_file_is_not_opened(tmp_path: Path) -> None:
    """A pipe would wait for ever."""
    os.mkfifo(tmp_path / "logo.png")
    case, (told,) = case_with_logo(tmp_path)
    assert (case.logo, told.code) == (None, "F014")


def test_a_large_file_is_not_read_whole(tmp_path: Path) -> None:
    """One byte more than is allowed is enough to refuse it."""
    with (tmp_path / "logo.png").open("wb") as file:
        file.write(png())
        file.truncate(10 * MAX_BYTES)
    case, (told,) = case_with_logo(tmp_path)
    assert (case.logo, told.message) == (None, "a logo has at most 1 MB; the offer has none")


def test_a_picture_that_can_not_be_opened_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The system's reason is told, and the case is read all the same."""
    (tmp_path / "logo.png").write_bytes(png())
    plain = Path.open

    def refuse(path: Path, mode: str = "r", **more: str) -> object:
        if path.name == "logo.png":
            raise PermissionError(13, "Permission denied")
        return plain(path, mode, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refuse)
    case, (told,) = case_with_logo(tmp_path)
    assert case.logo is None
    assert told.message == "the picture can't be opened, and the offer has no logo: Permission denied"
