"""The table of typical figures: within its own ranges and the published ones, and found by the way people write."""

import pytest

from holdover.case.typical import best, table, typical


def test_table_of_typical_figures() -> None:
    """Every row lies within its own range, starts at no less than it runs, and names its source."""
    assert 25 <= len(table()) <= 45
    for row in table():
        assert row.low_w <= row.running_w <= row.high_w, row.name
        assert row.starting_w is None or row.starting_w >= row.running_w, row.name
        assert row.duty is None or 0 < row.duty < 1, row.name
        assert 0 < row.hours_per_day <= 24, row.name
        assert row.source


def test_typical_words_are_told_apart() -> None:
    """No word stands for two rows, and every word finds its row."""
    words = [word for row in table() for word in row.words]
    assert len(words) == len(set(words))
    for row in table():
        for word in row.words:
            assert best(word) == row


def test_typical_by_the_way_people_write() -> None:
    """A load is known by its longest name; what may be two things is none."""
    for said, name in [
        ("Kitchen fridge", "Refrigerator"),
        ("Chest freezers (garage)", "Freezer"),
        ("LED lamps", "LED lamp"),
        ("Toaster oven", "Toaster oven"),
        ("WELL PUMP 1/2 hp", "Well pump 1/2 hp"),
        ("Window air conditioner", "Room air conditioner"),
    ]:
        row = best(said)
        assert row is not None
        assert row.name == name
    assert best("Fridge and TV") is None
    assert best("Thing") is None


def test_typical_search() -> None:
    """A word alone lists every row it stands in."""
    assert {row.name for row in typical("pump")} == {"Sump pump 1/3 hp", "Well pump 1/2 hp", "Heat pump 3 ton"}
    assert typical("zebra") == ()
    assert typical("") == table()


def test_typical_without_what_a_name_says() -> None:
    """The figures of a device without a humidifier are not those of one with it, nor of a humidifier."""
    assert typical("humidifier") == ()
    assert best("CPAP with heated humidifier") is None
    for name in ("CPAP", "CPAP without humidifier", "Sleep apnea machine"):
        row = best(name)
        assert row is not None
        assert row.name == "CPAP without heated humidifier"


def test_typical_motors_start_as_the_advice_says() -> None:
    """A pump starts at two and a half times its running watts or more: the charts' figures of added watts are added."""
    for name in ("Sump pump", "Well pump", "Motor"):
        row = best(name)
        assert row is not None
        assert row.starting_w is not None
        assert row.starting_w >= 2.5 * row.running_w


DOE = {  # US DOE, Estimating Appliance and Home Electronic Energy Use: ranges as printed [W]
    "Coffee maker": (900, 1200), "Clothes dryer": (1800, 5000), "Dishwasher": (1200, 2400), "Ceiling fan": (65, 175),
    "Box fan": (55, 250), "Hair dryer": (1200, 1875), "Portable heater": (750, 1500), "Iron": (1000, 1800),
    "Toaster": (800, 1400), "Vacuum cleaner": (1000, 1440), "Water heater 40 gal": (4500, 5500),
}  # fmt: skip


@pytest.mark.parametrize("name", DOE)
def test_typical_lies_within_published_range(name: str) -> None:
    """The running watts lie within the range the US DOE prints for the appliance."""
    low, high = DOE[name]
    (row,) = [row for row in table() if row.name == name]
    assert low <= row.running_w <= high
