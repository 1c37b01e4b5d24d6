"""NEC (NFPA 70) 690.7(A) and 690.8(A): voltage of modules in the cold, current at the brightest.

The code was not at hand. The table stands here by one full transcription, single rows of which are repeated in three
other places; the worked examples are transcribed from study and course notes that apply the rule.
"""

from math import floor

import pytest

from holdover.case.schema import Array
from holdover.model.solar_module import warmth
from holdover.model.strings import cold_v, isc_a
from holdover.returned.solar import CODE_PER_DEGREE

# Table 690.7(A), crystalline and multicrystalline silicon: lowest temperature of the row [°C], factor [-].
TABLE = (
    (20, 1.02),
    (15, 1.04),
    (10, 1.06),
    (5, 1.08),
    (0, 1.10),
    (-5, 1.12),
    (-10, 1.14),
    (-15, 1.16),
    (-20, 1.18),
    (-25, 1.20),
    (-30, 1.21),
    (-35, 1.23),
    (-40, 1.25),
)
TYPICAL = -0.00337
"""Median of 20 946 silicon modules of the CEC table that ships with pvlib [1/°C]; computed in test_pvlib_modules.py."""


@pytest.mark.parametrize(("lowest_c", "factor"), TABLE)
def test_the_table_is_at_or_above_the_straight_line(lowest_c: int, factor: float) -> None:
    """Each row of table 690.7(A) is at or above what a typical silicon coefficient gives at the row's coldest."""
    assert cold_v(1, 1.0, TYPICAL, lowest_c, 0.0) <= factor


@pytest.mark.parametrize(("lowest_c", "factor"), TABLE)
def test_the_usual_margin_is_stricter_than_the_table(lowest_c: int, factor: float) -> None:
    """With the usual margin of 3 % a typical coefficient is at or above each row of table 690.7(A)."""
    assert cold_v(1, 1.0, TYPICAL, lowest_c, 0.03) >= factor


@pytest.mark.parametrize(("lowest_c", "factor"), TABLE)
def test_the_table_is_a_straight_line_of_its_own(lowest_c: int, factor: float) -> None:
    """Table 690.7(A) is the rule with 0.4 % a degree down to -25 °C and a little less below."""
    slope = 0.004 if lowest_c >= -25 else 0.00384  # below -25 °C the rows imply 0.382 to 0.385 % a degree
    assert warmth(-slope, lowest_c) == pytest.approx(factor, abs=0.0015)


@pytest.mark.parametrize(("lowest_c", "factor"), TABLE)
def test_what_counts_where_a_label_is_silent_is_no_less_than_the_table(lowest_c: int, factor: float) -> None:
    """690.7(A)(2) takes the table for crystalline silicon: with the usual margin, over all of the 5 K of a row."""
    for celsius in (lowest_c, lowest_c + 4):
        assert cold_v(1, 1.0, CODE_PER_DEGREE, celsius, Array().voltage_margin) >= factor


def test_cold_voltage_worked_example() -> None:
    """Study note, example 1: 49.5 V at -0.27 %/°C and -10 °C are 54.18 V, eleven modules on 600 V."""
    assert cold_v(1, 49.5, -0.0027, -10, 0.0) == pytest.approx(54.18, abs=0.005)
    assert cold_v(11, 49.5, -0.0027, -10, 0.0) == pytest.approx(596, abs=0.5)
    assert cold_v(12, 49.5, -0.0027, -10, 0.0) > 600


def test_cold_voltage_by_table_worked_example() -> None:
    """Same note by the table: 56.43 V, ten modules on 600 V, one fewer than by coefficient; 0.4 % a degree gives it."""
    by_table = cold_v(1, 49.5, -0.004, -10, 0.0)
    assert by_table == pytest.approx(56.43, abs=0.005)
    assert floor(600 / by_table) == 10 == floor(600 / cold_v(1, 49.5, -0.0027, -10, 0.0)) - 1


def test_cold_voltage_second_example() -> None:
    """Plan-check test: 45 V at -0.27 %/°C and -26 °C are 51.2 V."""
    assert cold_v(1, 45, -0.0027, -26, 0.0) == pytest.approx(51.2, abs=0.05)


def test_table_at_minus_twenty() -> None:
    """Course note: two modules of 38.9 V at -20 °C by the table are 91.8 V; 0.4 % a degree gives the same."""
    assert cold_v(2, 38.9, -0.004, -20, 0.0) == pytest.approx(91.8, abs=0.05)


def test_current_of_parallel_strings() -> None:
    """690.8(A), course note: three strings of 10.07 A are 37.76 A at the brightest."""
    assert isc_a(3, 10.07) == pytest.approx(37.76, abs=0.005)


def test_current_twice_raised() -> None:
    """690.8(A) and (B): 1.25 twice is 1.5625, of which the input must stand the first."""
    assert isc_a(1, 1.0) == 1.25
    assert isc_a(1, 1.0) * 1.25 == 1.5625
