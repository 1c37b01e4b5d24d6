"""10 CFR 430.32(a), of 2014: the greatest energy that a refrigerator or freezer sold in the US may use in a year.

The lines for top-freezer and side-by-side refrigerators were seen in a database of standards; those for freezers, and
the factor of adjusted volume, 1.76, are from memory. Models in houses are older than a limit for new ones, so a typical
figure lies at the limit or above it; a field test of 209 older refrigerators (LBNL, seen) has 1009 kWh a year.
"""

import pytest

from holdover.case.typical import Typical, table

FREEZER_FACTOR = 1.76
"""A freezer's volume counts so many times [-]."""
LIMITS = {
    "Refrigerator-freezer, 16 to 20 cu ft": (8.07, 233.7, 13.5, 4.5),
    "Refrigerator, side by side, 25 cu ft": (8.51, 297.8, 16.0, 9.0),
    "Upright freezer, 14 to 20 cu ft": (8.62, 228.3, 0.0, 17.0),
    "Chest freezer, 7 cu ft": (7.29, 107.8, 0.0, 7.0),
    "Chest freezer, 15 cu ft": (7.29, 107.8, 0.0, 15.0),
}
"""kWh a year per cubic foot, and apart from it; cubic feet above and below freezing, as usual for the size."""
OLD_WH = 1009 / 365 * 1000
"""An older refrigerator [Wh/day]."""


def called(name: str) -> Typical:
    (row,) = [row for row in table() if row.name == name]
    return row


@pytest.mark.parametrize("name", LIMITS)
def test_a_cold_appliance_uses_what_its_label_may_say(name: str) -> None:
    """Between the limit for new ones and one and a half times it: an age of labels, not of plugs times hours."""
    slope, apart, fresh, frozen = LIMITS[name]
    limit = (slope * (fresh + FREEZER_FACTOR * frozen) + apart) / 365 * 1000
    assert limit <= called(name).day_wh <= 1.5 * limit


def test_a_refrigerator_takes_a_third_of_what_charts_for_generators_make_of_it() -> None:
    """20 cubic feet are allowed 395 to 600 kWh a year, 1.1 to 1.6 kWh a day; 500 W over a third of 24 h are 4."""
    day = called("Refrigerator-freezer, 16 to 20 cu ft").day_wh
    assert 1100 <= day <= 1600
    assert day < OLD_WH
    assert day < 0.5 * 500 * 24 / 3


def test_no_refrigerator_for_the_kitchen_exceeds_an_older_one() -> None:
    """What stands in kitchens at 120 or 230 V takes less a day than the older models of the field test."""
    rows = [row for row in table() if row.group == "kitchen" and "efrigerator" in row.name]
    assert len(rows) >= 4
    assert all(row.day_wh < OLD_WH for row in rows)
