"""What is said about a file: safe to show, complete, in order."""

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.findings import SHOWN, Finding, as_dict, recalled, render, render_returned, show

EXAMPLES = settings(max_examples=300, derandomize=True, deadline=None)
ANY = st.text(alphabet=st.characters(codec=None, exclude_categories=()), max_size=60)


@EXAMPLES
@given(ANY)
def test_show_is_safe(text: str) -> None:
    """Whatever a file holds is shown on one line, printable, at most 40 characters, and encodes."""
    shown = show(text)
    assert len(shown) <= SHOWN
    assert shown.isprintable()
    assert shown.encode().decode() == shown


def test_show_escapes() -> None:
    """Controls, bidi marks and lone surrogates are spelt out; letters and emoji stay."""
    assert show("a\x1b[31m\u202eb\x85\ud800\n") == "a\\x1b[31m\\u202eb\\x85\\ud800\\n"
    assert show("Kühlschrank 🧊") == "Kühlschrank 🧊"
    assert show("x" * 41) == "x" * 39 + "…"


def finding(code: str = "Q001", level: str = "error", row: int | None = 7, **more: object) -> Finding:
    return Finding(**{"code": code, "level": level, "message": "it is wrong", "file": "loads.csv", "row": row} | more)  # type: ignore[arg-type]


def test_remarks_on_the_case_itself_are_one_line_around_what_came_back() -> None:
    """An audit is about the workbook: what the adviser remarks, and what stands in the case, is told by `check`."""
    own = finding("W005", "warning", file="back.xlsx")
    others = [finding("A001", "warning", file="back.xlsx"), finding("Q005", "note", file="loads.csv")]
    told = render_returned([own, *others], "back.xlsx")
    assert told == (
        f"{render([own])}\n2 remarks on the case itself, not on what came back: `holdover check` tells them\n"
    )
    assert render_returned([own], "back.xlsx") == render([own])
    assert render_returned(others[:1]).startswith("1 remark on the case itself")
    assert "error[A001]" in render_returned([finding("A001", file="loads.csv")], "back.xlsx")


def test_render_one() -> None:
    """One finding: what, where, the text with a caret under the fault, what is allowed, what to do."""
    told = render(
        [finding(column="Running", item="Pump", found="1.5 kW (x)", caret=7, allowed="0 to 9 W", remedy="write 1500 W")]
    )
    assert told == (
        "error[Q001]: it is wrong\n"
        '  --> loads.csv, row 7 ("Pump"), column Running\n'
        "   |  1.5 kW (x)\n"
        "   |         ^\n"
        "   = allowed: 0 to 9 W\n"
        "   = help: write 1500 W\n"
        "\n"
        "1 error\n"
    )


def test_render_groups() -> None:
    """Three of a code are shown, the others counted with their rows."""
    told = render([finding(row=row) for row in range(8, 28)])
    assert told.count("error[Q001]") == 3
    assert "17 more errors Q001 (loads.csv, rows 11 to 27)" in told
    assert told.endswith("\n20 errors\n")


def test_warnings_are_told_once_more_where_notes_hide_them() -> None:
    """Of forty notes and three warnings the warnings stand at the end again, equal ones once; a few are still in sight."""
    notes = [Finding(code="N", level="note", message="taken as it stands", item=f"line {i}") for i in range(40)]
    warned = [Finding(code="W", level="warning", message="not counted", item=name) for name in ("A", "B")]
    told = "not counted (and 1 more such)"
    assert recalled([*notes, *warned]) == [("A", told)]
    assert recalled(warned) == []


def test_render_says_where_in_each_file() -> None:
    """What is not shown is counted with its rows for each file and sheet, and with its columns within one row."""
    many = [finding("C003", file="a.csv", row=1, column=f"X{n}") for n in range(6)]
    more = [finding("C003", file="b.xlsx", sheet="Loads", row=row) for row in (2, 5, 9)]
    told = render([*many, *more])
    assert "6 more errors C003 (a.csv, row 1, columns X3, X4, X5; b.xlsx, sheet Loads, rows 2, 5, 9)" in told
    assert "--all" in told
    lines = render([finding("T003", file="case.toml", row=row) for row in range(1, 20)])
    assert "16 more errors T003 (case.toml, lines 4 to 19)" in lines


def test_render_all() -> None:
    """Where all are wanted each is shown in full, and nothing is only counted."""
    told = render([finding(row=row) for row in range(8, 38)], whole=True)
    assert told.count("error[Q001]") == 30
    assert " more " not in told
    assert "--all" not in told


def test_render_shows_twenty() -> None:
    """Twenty in all are shown in full, errors before warnings before notes."""
    told = render([finding(f"N{n:03d}", "note") for n in range(30)] + [finding("W001", "warning"), finding("E001")])
    assert told.startswith("error[E001]")
    assert told.count("]: it is wrong") == 20
    assert told.index("warning[W001]") < told.index("note[N000]")
    assert told.endswith("1 error, 1 warning, 30 notes\n")


def test_render_nothing() -> None:
    """No findings are said in words too."""
    assert render([]) == "nothing to remark\n"


def test_json_has_every_field() -> None:
    """As JSON a finding keeps every field and nothing is lost: what it is, where, and the rest."""
    one = finding(cell="B7", sheet="Loads")
    where = ["file", "sheet", "row", "column", "cell", "item"]
    assert list(as_dict(one)) == ["code", "level", "message", *where, "found", "caret", "allowed", "remedy"]
    assert Finding(**json.loads(json.dumps(as_dict(one)))) == one
