"""A word that states nothing: where a figure is needed it is as good as a blank, wherever it stands."""

from pathlib import Path

import pytest

from holdover.case.schema import Candidate, Case, Load
from holdover.findings import Findings
from holdover.reading.entries import unstated
from holdover.returned.read import Returned, Spot, read_any, returned_of
from holdover.xlsx import Book, CellData, read_xlsx
from returned.books import roomy, thin, with_cell

LEFT_OUT = ["N/A", "n/a", "n.a.", "#N/A", "N. A.", "-", "--", "—", "–", "…", "...", "_", "none", "None", "nil", "NULL"]
LEFT_OUT += ["not available", "Not applicable", "(blank)", " - ", "/", "- / -", "(none)", "empty"]
LEFT_OUT += ["k. A.", "k.A.", "n. v.", "keine Angabe", "n. c.", "no consta"]
UNKNOWN = ["?", "??", "(?)", "- ?", "tbd", "T.B.D.", "TBC", "tba", "unknown", "not known", "Not stated", "n/s"]
UNKNOWN += ["not specified", "to be measured", "pending", "don't know", "Don’t know"]
NEEDED = [
    ("loads", "running_w"), ("loads", "hours_per_day"),
    ("candidates", "storage_wh"), ("candidates", "continuous_w"),
]  # fmt: skip
ROWS = {
    "loads": {"name": "Thing", "running_w": "10", "hours_per_day": "5"},
    "candidates": {"name": "Unit A", "storage_wh": "2048", "continuous_w": "2400", "surge_w": "4800"},
}


def errors(folder: Path, part: str = "", name: str = "", word: str = "", toml: bool = False) -> list[tuple[str, str]]:
    """Codes and names of what is said about a case in which a word stands in one cell; advice apart."""
    (folder / "case.toml").unlink(missing_ok=True)
    text = ""
    for each, row in ROWS.items():
        typed = row | ({name: word} if each == part else {})
        (folder / f"{each}.csv").unlink(missing_ok=True)
        if toml:
            text += f"[[{each}]]\n" + "".join(f"{key} = {value!r}\n" for key, value in typed.items())
        else:
            cells = ",".join(f'"{value}"' for value in typed.values())
            (folder / f"{each}.csv").write_text(f"{','.join(typed)}\n{cells}\n", encoding="utf-8")
    (folder / "case.toml").write_text(text, encoding="utf-8")
    return [(f.code, f.item) for f in read_any(folder)[1].found if f.code[0] != "A"]


@pytest.mark.parametrize("word", ["", *LEFT_OUT, *UNKNOWN])
def test_a_word_for_nothing_is_as_a_blank_where_a_figure_is_needed(word: str, tmp_path: Path) -> None:
    """In every figure that is needed, each word gives the one error that a blank gives, in a table and in a case file."""
    assert errors(tmp_path) == []
    for part, name in NEEDED:
        for toml in (False, True):
            if not (toml and "'" in word):
                assert errors(tmp_path, part, name, word, toml) == [("R001", ROWS[part]["name"])], (part, name, toml)


@pytest.mark.parametrize("word", UNKNOWN)
def test_what_is_still_to_be_found_is_told_where_nothing_needs_it(word: str, tmp_path: Path) -> None:
    """In a figure or a choice that is not needed it is taken as left blank, and said."""
    open_to_all = (("loads", "tier"), ("loads", "feed"), ("candidates", "ac_volts"), ("candidates", "surge_w"))
    for part, name in (("loads", "starting_w"), *open_to_all):
        assert errors(tmp_path, part, name, word) == [("Q016", ROWS[part]["name"])], (part, name)


@pytest.mark.parametrize("word", LEFT_OUT)
def test_what_is_left_out_is_no_remark_where_nothing_needs_it(word: str, tmp_path: Path) -> None:
    """A dash in a figure or a choice that is not needed says what a blank says."""
    open_to_all = (("loads", "tier"), ("loads", "feed"), ("candidates", "pv_volts"), ("candidates", "surge_w"))
    for part, name in (("loads", "starting_w"), *open_to_all):
        assert errors(tmp_path, part, name, word) == [], (part, name)


@pytest.mark.parametrize(
    "word", ["x", "0", "5", "½", "✓", "%", ",", "+", "n", "no", "nan", "1/2", "-5", "5 W", "a dash", ""]
)
def test_what_says_something_is_none_of_these_words(word: str) -> None:
    """A figure, a tick, a no or any other word is read as what it is, or refused as such."""
    assert unstated(word) == ""


@pytest.mark.parametrize("word", ["N/A", "-", "—", "none", "tbd", "?", "n.a.", "unknown", "…", "not stated", "TBC"])
def test_a_returned_workbook_says_of_such_a_word_what_it_says_of_a_blank(word: str) -> None:
    """In every figure that is needed it is told as missing, at its cell, with what stands there."""
    case = Case(
        loads=(Load(name="Thing", running_w=10, hours_per_day=5),),
        candidates=(Candidate(name="Unit A", storage_wh=2048, continuous_w=2400, surge_w=4800),),
    )
    book = read_xlsx(thin(case, roomy(case)), "back.xlsx")
    whole = returned_of(book, "back.xlsx", Findings())
    assert whole is not None
    for part, name in NEEDED:
        said = {}
        for typed in ("", word):
            spot, findings = whole.spots[part, 0, name], Findings()
            returned = returned_of(_typed(book, whole, spot, typed), "back.xlsx", findings)
            assert returned is not None
            assert getattr(getattr(returned.case, part)[0], name) is None
            missing = [f for f in findings.found if f.code == "R001"]
            assert [f.found for f in missing] == [typed]
            assert not typed or missing[0].cell == spot.cell
            said[typed] = missing[0].message
        assert said[""] == said[word]


def _typed(book: Book, whole: Returned, spot: Spot, text: str) -> Book:
    """The book with a word in place of an input, or with a blank."""
    cell = CellData(text, "", "text") if text else None
    return with_cell(book, whole.grid.sheets[spot.home], spot.row, spot.col, lambda _: cell)
