"""Shared formulas, moved to their cells, held against openpyxl's translation of them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.formula.translate import Translator
from openpyxl.utils import get_column_letter

from holdover.xlsx.shared import SharedFormula, column_letters, column_number

FORMULAS = [
    "A1+1",
    "SUM($A$1:B$2,C3)",
    "'My A1'!A1*Loads!$B2",
    "LOG10(A1)+ATAN2(A1,B2)",
    '"A1"&A1&"say ""B2"""',
    "Table1[A1]+B1",
    "SUM(A:C)+SUM($A:C)",
    "SUM(1:3)+SUM($1:3)",
    "in_A1+ZA1_x+x.A1",
    "IF(A1>1E5,B1,1.5E3)",
    "OFFSET(A1,0,1)",
    "[1]Sheet!A1",
    "'it''s'!A1+'S 1'!B2",
    "SUM(Sheet1:Sheet3!A1)",
    "_xlfn.XLOOKUP(A1,B:B,C:C)",
    "Foo!A1:B2 A1:C3",
    "{1,2;3,4}+A1",
    "A1%-A1^2",
    "INDEX(A1:B2,1,2)=TRUE",
]


@pytest.mark.parametrize("formula", FORMULAS)
@pytest.mark.parametrize(("row", "column"), [(4, 4), (9, 4), (4, 30), (900, 200)])
def test_moved_as_openpyxl_moves(formula: str, row: int, column: int) -> None:
    """References that are not fixed move; texts, sheets, names and numbers stay."""
    theirs = Translator(f"={formula}", "D4").translate_formula(f"{get_column_letter(column)}{row}")
    assert "=" + SharedFormula(formula, 4, 4).at(row, column) == theirs


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.integers(1, 16_384))
def test_column_letters(number: int) -> None:
    """Letters of columns are openpyxl's, there and back."""
    assert column_letters(number) == get_column_letter(number)
    assert column_number(column_letters(number)) == number


@pytest.mark.parametrize(
    ("formula", "moved"),
    [
        ("A4+1", "#REF!+1"),
        ("$A4+A$1", "$A3+#REF!"),
        ("B5:C6", "A4:B5"),
        ("A:B", "#REF!"),
        ("1:2", "#REF!"),
        ("ZZZ9+A1048577", "ZZZ9+A1048577"),
    ],
)
def test_off_the_grid(formula: str, moved: str) -> None:
    """A reference that would leave the grid is an error; what was never on it is a name."""
    assert SharedFormula(formula, 4, 4).at(3, 3) == moved
