"""What comes in during an outage, against a raster of minutes and days laid end to end."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdover.model.outage.inflow import mains_and_generator, sun_by_hour


def test_a_day_that_says_nothing_has_the_usual_sky() -> None:
    """Each day of the outage has its own share; blank and missing days have the usual one."""
    noon = [0.0] * 12 + [100.0] + [0.0] * 11
    sun = sun_by_hour(noon, [1.0, None, 0.0], sky=0.6, starts_at=13)
    assert [(t, wh) for t, wh in enumerate(sun) if wh][:4] == [(23, 100), (47, 60), (95, 60), (119, 60)]
    ramp, skies = [float(h) for h in range(24)], [d / 10 for d in range(14)]
    by_day = [h * sky for sky in skies for h in ramp[13:] + ramp[:13]]
    assert sun_by_hour(ramp, skies, sky=9, starts_at=13) == by_day
    assert len(by_day) == 336


def raster_h(start: float, length: float) -> list[float]:
    """Share of each clock hour inside the window, minute by minute over 1,440 of them."""
    on = np.zeros(1440, dtype=bool)
    on[(np.arange(round(length * 60)) + round(start * 60)) % 1440] = True
    return list(on.reshape(24, 60).sum(axis=1) / 60)


@given(st.integers(0, 1439), st.integers(0, 1440))
@settings(derandomize=True, deadline=None)
def test_the_generator_window_equals_a_raster_of_minutes(start: int, length: int) -> None:
    """Any window, over midnight too, gives each clock hour the minutes that a raster counts."""
    mains, generator = mains_and_generator(0, 0, start / 60, length / 60)
    assert mains == (0,) * 24
    assert generator == pytest.approx(raster_h(start / 60, length / 60), abs=1e-9)


def test_a_window_over_midnight_splits_between_the_days() -> None:
    """22:00 for 8 h is 8 h: one of them from 5 to 7, one from 21 to 23; no hours are none, 24 are all."""
    night, resting = mains_and_generator(22, 8, 22, 8)
    assert (sum(night), sum(night[5:7]), sum(night[21:23])) == (8, 1, 1)
    assert resting == (0,) * 24
    assert mains_and_generator(22, 0, 22, 0) == ((0,) * 24, (0,) * 24)
    assert mains_and_generator(22, 24, 22, 24) == ((1,) * 24, (0,) * 24)
