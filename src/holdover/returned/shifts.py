"""Where the rows, or the columns, of a sheet stand after some were inserted or deleted."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from operator import itemgetter
from typing import Final

GONE: Final = -1
"""Where a deleted row or column stands."""

Gap = tuple[int, int, int, int]
"""Two known places between which something was inserted or deleted, and how far each has moved."""


@dataclass(frozen=True, slots=True)
class Shift:
    """Where each row of a sheet stands now, by where it was written; likewise for columns."""

    now: tuple[int, ...]

    def at(self, was: int) -> int:
        """Where it stands now, GONE where it was deleted."""
        if was < len(self.now):
            return self.now[was]
        return was + (self.now[-1] - len(self.now) + 1 if self.now else 0)

    @property
    def unmoved(self) -> bool:
        """Whether everything stands where it was written."""
        return self.now == tuple(range(len(self.now)))


class Sightings:
    """Where things were seen: each says where one row, or one column, stands now."""

    def __init__(self) -> None:
        self.seen: defaultdict[int, dict[int, int]] = defaultdict(dict)
        """By where it was written, how much speaks for each place."""
        self.agreed: dict[int, int] | None = None
        """What is known, once that was asked for and until there is more to say."""

    def add(self, was: int, now: int, weight: int = 1) -> None:
        """One more sighting."""
        if was >= 0 and now >= 0:
            places = self.seen[was]
            places[now] = places.get(now, 0) + weight
            self.agreed = None

    def known(self) -> Mapping[int, int]:
        """The places most agree on that keep their order: the longest rising line through them."""
        if self.agreed is None:
            self.agreed = self._agree()
        return self.agreed

    def _agree(self) -> dict[int, int]:
        votes = [(was, *max(places.items(), key=itemgetter(1))) for was, places in sorted(self.seen.items())]
        if all(one[1] < other[1] for one, other in pairwise(votes)):
            return {was: now for was, now, _ in votes}
        best: list[tuple[int, int]] = []  # weight of the best line that ends here, and the place before it
        for i, (_, now, weight) in enumerate(votes):
            before = max(((best[j][0], j) for j in range(i) if votes[j][1] < now), default=(0, GONE))
            best.append((before[0] + weight, before[1]))
        at = max(range(len(best)), key=lambda i: best[i][0], default=GONE)
        line: dict[int, int] = {}
        while at != GONE:
            line[votes[at][0]] = votes[at][1]
            at = best[at][1]
        return line


def gaps(known: Mapping[int, int]) -> list[Gap]:
    """Neighbouring known places that have moved by different lengths with others between them."""
    places = sorted(known)
    return [
        (low, high, known[low] - low, known[high] - high)
        for low, high in pairwise(places)
        if known[low] - low != known[high] - high and high - low > 1
    ]


def shift_of(known: Mapping[int, int], size: int, break_of: Callable[[Gap], int]) -> Shift:
    """The whole shift from what is known of it.

    Args:
        known: where some stand now
        size: how many were written
        break_of: the last one of a gap that has moved as far as its beginning
    """
    lengths = {now - was for was, now in known.items()} or {0}
    if len(lengths) == 1:  # nothing came between them, nothing is gone
        (moved,) = lengths
        return Shift(tuple(range(moved, size + moved)))
    places = sorted(known)
    now = [was + known[places[0]] - places[0] for was in range(places[0])]
    for low, high in zip(places, [*places[1:], size], strict=True):
        first = known[low] - low
        after = known.get(high, high + first) - high
        deleted = max(0, first - after)
        last = high - 1 if first == after or high - low == 1 else break_of((low, high, first, after))
        last = max(low, min(last, high - 1 - deleted))
        now += [was + first for was in range(low, last + 1)]
        now += [GONE] * deleted
        now += [was + after for was in range(last + 1 + deleted, high)]
    return Shift(tuple(now[:size]))
