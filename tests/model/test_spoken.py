"""Numbers and clock times in sentences."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.case.schema import Purpose
from holdover.model.outage.shedding import TierServed
from holdover.model.outage.told import Stretch, through, tiers_words
from holdover.model.spoken import clock_words, spoken


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


# Clock times, and what runs until when

WHOLE = TierServed(asked_wh=90, served_wh=90, served_share=1, asked_h=96, off_h=0, until_h="")
NONE = TierServed(asked_wh=0, served_wh=0, served_share=1, asked_h=0, off_h=0, until_h="")


def cut(until_h: int, off_h: int) -> TierServed:
    return TierServed(asked_wh=90, served_wh=40, served_share=40 / 90, asked_h=96, off_h=off_h, until_h=until_h)


@pytest.mark.parametrize(
    ("t", "starts_at", "words"),
    [(0, 18, "18:00 on day 1"), (6, 18, "00:00 on day 2"), (24, 18, "18:00 on day 2"), (167, 0, "23:00 on day 7")],
)
def test_an_hour_of_the_outage_as_a_clock_time(t: int, starts_at: int, words: str) -> None:
    """A day ends at midnight, as people count: an outage from 18:00 has its second day six hours later."""
    assert clock_words(t, starts_at) == words


@pytest.mark.parametrize(
    ("tiers", "said"),
    [
        ((WHOLE, WHOLE, WHOLE), "All loads run through all 4 days."),
        ((NONE, WHOLE, NONE), "All loads run through all 4 days."),
        ((NONE, NONE, NONE), ""),
        (
            (WHOLE, cut(51, 31), cut(0, 96)),
            "Critical loads run through all 4 days; essential ones until 21:00 on day 3, off or short 31 of their 96 h; "
            "convenience ones off or short 96 of their 96 h, from the start on.",
        ),
        (
            (cut(9, 2), WHOLE, NONE),
            "Critical loads run until 03:00 on day 2, off or short 2 of their 96 h; essential ones through all 4 days.",
        ),
        (
            (NONE, cut(0, 5), NONE),
            "Essential loads are off or short 5 of their 96 h, from the start on.",
        ),
        (
            (NONE, NONE, cut(9, 2)),
            "Convenience loads run until 03:00 on day 2, off or short 2 of their 96 h.",
        ),
        (
            (WHOLE, WHOLE, cut(9, 2)),
            "Critical and essential loads run through all 4 days; convenience ones until 03:00 on day 2, off or short "
            "2 of their 96 h.",
        ),
        (
            (WHOLE, cut(9, 2), cut(9, 2)),
            "Critical loads run through all 4 days; essential and convenience ones until 03:00 on day 2, off or short "
            "2 of their 96 h.",
        ),
        (
            (NONE, cut(0, 96), cut(0, 96)),
            "All loads are off or short 96 of their 96 h, from the start on.",
        ),
    ],
)
def test_what_runs_until_when(tiers: tuple[TierServed, ...], said: str) -> None:
    """Each tier that asks for something by clock time; what is off is never said to last."""
    words = tiers_words(dict(zip(("critical", "essential", "convenience"), tiers, strict=True)), Stretch(4, 18))
    assert words == said
    assert "last" not in words


def test_a_single_day_is_the_whole_day() -> None:
    """One day is not "all 1 days"."""
    assert tiers_words({"critical": WHOLE}, Stretch(1, 8)) == "All loads run through the whole day."


@pytest.mark.parametrize(
    ("purpose", "days", "words", "begins", "runs"),
    [
        ("outage", 1, "an outage of a day", "when the power goes", "through the whole day"),
        ("outage", 3, "an outage of 3 days", "when the power goes", "through all 3 days"),
        ("day away", 1, "a day away from the outlet", "when you leave", "through the whole day away"),
        ("day away", 2, "2 days away from the outlet", "when you leave", "through both days away"),
        ("trip", 1, "a trip of a day", "when you leave", "through the whole trip"),
        ("off grid", 3, "3 days off the grid", "at the start", "through all 3 days"),
    ],
)
def test_the_days_planned_are_called_by_what_they_are_for(
    purpose: Purpose, days: int, words: str, begins: str, runs: str
) -> None:
    """A stall has a day away from the outlet and a vehicle a trip; neither is an outage."""
    stretch = Stretch(days, 8, purpose)
    assert (stretch.words, stretch.begins, through(stretch)) == (words, begins, runs)
