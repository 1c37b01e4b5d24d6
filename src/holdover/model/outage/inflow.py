"""What comes in during an outage: the sun of a mean day under each day's sky, and the daily windows of the sources."""

from collections.abc import Sequence
from typing import Final

from holdover.case.schema import MAX_DAYS
from holdover.model.loads import HOURS, overlap_h

OUTAGE_HOURS: Final = 24 * MAX_DAYS
"""Hours of the longest outage [h], source: the bound of the case; a shorter outage leaves the last ones inactive."""


def sun_by_hour(
    mean_day_wh: Sequence[float], skies: Sequence[float | None], *, sky: float, starts_at: int
) -> list[float]:
    """Sun in each hour of the longest outage, the sky of its day counted in [Wh].

    Args:
        mean_day_wh: Harvest in each clock hour of the month's mean day, 24 of them [Wh].
        skies: Share of the sun on each day of the outage, None or missing where nothing is said [-].
        sky: Share of the sun on the days that say nothing [-].
        starts_at: Clock hour at which the outage begins, and each of its days [h].

    Holds for: days counted from the start of the outage, not from midnight.
    Source: arithmetic.

    >>> sun_by_hour([0.0] * 12 + [100.0] * 12, [None, 0.2], sky=0.6, starts_at=11)[:26:8]
    [0.0, 60.0, 0.0, 0.0]
    >>> sun_by_hour([0.0] * 12 + [100.0] * 12, [None, 0.2], sky=0.6, starts_at=11)[25]
    20.0
    """
    shares = [sky] * MAX_DAYS
    for d, said in enumerate(skies[:MAX_DAYS]):
        shares[d] = sky if said is None else said
    return [mean_day_wh[(starts_at + t) % 24] * shares[t // 24] for t in range(OUTAGE_HOURS)]


def mains_and_generator(
    mains_from: float, mains_hours: float, generator_from: float, generator_hours: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Share of each clock hour in which the outlet and the generator are connected [-].

    Args:
        mains_from: Clock time from which an outlet is within reach [h].
        mains_hours: Hours a day it is, 0..24 [h].
        generator_from: Clock time at which the generator is started [h].
        generator_hours: Hours it runs a day, 0..24 [h].

    Holds for: one AC input: a generator rests while the outlet is connected.
    Source: definition.

    >>> mains, generator = mains_and_generator(22, 1, 21.5, 1)
    >>> mains[21:23], generator[21:23]
    ((0, 1), (0.5, 0))
    """
    mains = tuple(overlap_h(h, mains_from, mains_hours) for h in HOURS)
    running = (overlap_h(h, generator_from, generator_hours) for h in HOURS)
    return mains, tuple(min(on, 1 - taken) for on, taken in zip(running, mains, strict=True))
