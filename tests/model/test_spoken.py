"""Numbers in sentences."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.model.spoken import spoken


@pytest.mark.parametrize(
    ("number", "decimals", "text"),
    [
        (0.5, 0, "1"),
        (2.5, 0, "3"),
        (-2.5, 0, "-3"),
        (1.005, 2, "1.01"),
        (0.285, 2, "0.29"),
        (3.0, 1, "3"),
        (1200.0, 0, "1200"),
        (1e14, 0, "100000000000000"),
        (-0.4, 0, "0"),
        (0, 0, "0"),
        (7, 2, "7"),
    ],
)
def test_numbers_are_said_as_a_spreadsheet_rounds_them(number: float, decimals: int, text: str) -> None:
    """Half goes away from zero, on the digits that are written, not on the binary number behind them."""
    assert spoken(number, decimals) == text


@given(st.integers(-(10**9), 10**9), st.integers(0, 6), st.integers(0, 3))
@settings(derandomize=True, deadline=None)
def test_what_is_said_is_the_nearest_and_of_two_the_farther_from_zero(digits: int, places: int, decimals: int) -> None:
    """By whole numbers: never more than half a step off, and a half never towards zero."""
    number = digits / 10**places
    exact, step = Fraction(repr(number)), Fraction(1, 10**decimals)
    said = Fraction(spoken(number, decimals))
    assert said % step == 0
    assert abs(said - exact) <= step / 2
    if abs(said - exact) == step / 2:
        assert abs(said) > abs(exact)
