"""Which cases are meant, and names of files that are safe everywhere."""

import re
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from fleet.fleets import house
from holdover.fleet.listing import cases_of, names_of, safe_name
from holdover.reading.beside import outside

ANY = st.text(alphabet=st.characters(codec=None, exclude_categories=()), max_size=120)


def test_a_folder_of_cases_is_looked_through(tmp_path: Path) -> None:
    """Case folders, case files and workbooks are found, however deep; what is hidden, locked or inside a case is not."""
    house(tmp_path / "b" / "deep" / "one")
    house(tmp_path / "a")
    (tmp_path / "a" / "inside.xlsx").touch()
    lacking = tmp_path / "lacks its case file"
    lacking.mkdir()
    (lacking / "loads.csv").touch()
    for name in (
        "index.xlsx",
        "index.json",
        "back.xlsx",
        "alone.toml",
        ".hidden.xlsx",
        "~$back.xlsx",
        "photo.jpg",
        "remarks.txt",
    ):
        (tmp_path / name).touch()
    found = [str(path.relative_to(tmp_path)) for path in cases_of([tmp_path])]
    assert found == ["a", "alone.toml", str(Path("b/deep/one")), "back.xlsx", "lacks its case file"]


def test_a_list_names_cases_from_where_it_stands(tmp_path: Path) -> None:
    """Blank lines and remarks are skipped, a folder of cases is looked through, what is missing is kept to be told of."""
    house(tmp_path / "street" / "one")
    house(tmp_path / "two")
    (tmp_path / "list.txt").write_text("\ufeff# the street\n\nstreet\n  two  \ngone\n", encoding="utf-8")
    found = cases_of([tmp_path / "list.txt"])
    assert found == (tmp_path / "street" / "one", tmp_path / "two", tmp_path / "gone")


def test_each_case_is_meant_once(tmp_path: Path) -> None:
    """A case that is named twice, or by a link too, is worked out once."""
    house(tmp_path / "one")
    (tmp_path / "other").symlink_to(tmp_path / "one")
    assert len(cases_of([tmp_path / "one", tmp_path, tmp_path / "one" / ".." / "one"])) == 1


def test_a_circle_of_links_ends(tmp_path: Path) -> None:
    """A link that leads back up is not followed."""
    house(tmp_path / "street" / "one")
    (tmp_path / "street" / "again").symlink_to(tmp_path)
    assert cases_of([tmp_path]) == (tmp_path / "street" / "one",)


def test_what_is_written_is_no_case(tmp_path: Path) -> None:
    """The folder of workbooks and the list of candidates are left out, where they lie among the cases."""
    house(tmp_path / "one")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "one.xlsx").touch()
    (tmp_path / "list.xlsx").touch()
    assert cases_of([tmp_path], without=[tmp_path / "out", tmp_path / "list.xlsx"]) == (tmp_path / "one",)


def test_no_two_names_are_alike_on_any_system() -> None:
    """Names that differ by case, by an accent's spelling or by their folder get numbers; none is that of the index."""
    paths = [
        "a/House",
        "b/house",
        "c/HOUSE.xlsx",
        "index",
        "u\u0308",
        "\u00fc",
        "x/case.toml",
        "y/case.toml",
        "house-2",
    ]
    names = names_of([Path(path) for path in paths])
    assert names == ("House", "house-2", "HOUSE-3", "index-2", "\u00fc", "\u00fc-2", "x", "y", "house-2-2")


@settings(max_examples=300, derandomize=True, deadline=None)
@given(ANY)
def test_a_name_is_safe_whatever_it_is_made_from(text: str) -> None:
    """It is what a case may name a file beside it, holds no sign that a shell or a system acts on, and encodes."""
    name = safe_name(text)
    assert outside(f"{name}.xlsx") == ""
    assert not re.search(r'[<>:"/\\|?*\x00-\x1f$`!;%~]', name)
    assert not name.startswith((".", "-", " "))
    assert 0 < len(name) <= 81
    assert len(name.encode()) < 240 or len(name) > 60
