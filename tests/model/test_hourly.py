"""The outage in the tables of a workbook: as many rows as the sheets have room for, each in its place."""

from holdover.case.schema import Candidate, Case, Load, Outage
from holdover.model.study import Slots, Study, study

HOURS = 3 * 24 + 1
"""Three days by the hour, and the moment after them."""


def worked(**outage: object) -> Study:
    """A night of one day in a workbook that has room for three."""
    return study(
        Case(
            loads=(Load(name="Fridge", running_w=100, duty=0.5, hours_per_day=24),),
            candidates=(Candidate(name="Unit", storage_wh=2000, continuous_w=1000, surge_w=2000, ac_volts=120),),
            outage=Outage.model_validate({"days": 1, "starts_at": 18, **outage}),
        ),
        Slots(loads=2, candidates=2, days=3),
    )


def test_the_tables_reach_to_the_horizon_and_the_moment_after_it() -> None:
    """Every table by hour has a row for each of 72 hours and one more, however short the outage is."""
    table = worked().outage
    assert [hour.t for hour in table.clock] == list(range(HOURS))
    rows = (table.sun_wh, table.wasted_wh, table.followed, *table.held, *table.tried, *table.sure)
    assert {len(each) for each in rows} == {HOURS}
    by_clock = (table.generator_wh, table.drop_wh, table.mains_running_w, table.generator_running_w)
    assert {len(each) for each in by_clock} == {24}


def test_days_are_counted_from_the_hour_the_power_goes() -> None:
    """It goes at 18:00: the first day ends at 18:00, too, and the moment after three days would begin a fourth."""
    clock = worked().outage.clock
    assert [hour.day for hour in clock] == [1] * 24 + [2] * 24 + [3] * 24 + [4]
    assert [hour.clock for hour in clock[:8]] == [18, 19, 20, 21, 22, 23, 0, 1]


def test_what_a_candidate_does_is_told_in_the_days_of_the_outage() -> None:
    """Two days from 18:00: hour 23 is 17:00 on the first of them, hour 24 18:00 on the second; so are the readings."""
    carried = worked(days=2).shown.carried
    told = [(hour.t, hour.day, hour.clock) for hour in carried.hours]
    assert (told[0], told[23], told[24], told[47]) == ((0, 1, 18), (23, 1, 17), (24, 2, 18), (47, 2, 17))
    assert [(line.t, line.day, line.clock) for line in carried.hold] == [
        (0, 1, 18), (4, 1, 22), (12, 1, 6), (18, 1, 12), (24, 2, 18), (28, 2, 22), (36, 2, 6), (42, 2, 12),
    ]  # fmt: skip


def test_the_display_is_read_at_the_start_and_four_times_a_day() -> None:
    """A row for the start and four for each of three days; one that falls on the start, or after the end, is blank."""
    table = worked().outage
    assert [(row.day, row.place) for row in table.hold] == [(1, 0), *((d, k) for d in (1, 2, 3) for k in (1, 2, 3, 4))]
    assert [row.clock for row in table.hold[:6]] == [18, "", 22, 6, 12, ""]
    assert [(one.number, one.after_h) for one in table.readings] == [(1, 12), (2, 18), (3, 0), (4, 4)]
