"""Where float dust ends: whole decisions (holds or falls short, served or not) are taken on rounded differences."""

from typing import Final

TRACE: Final = 1e-6
"""An hour with no more of a day's energy than this [-], or no more energy [Wh], has none; common practice."""
DUST: Final = 6
"""Decimals that count [-]: a millionth of a watt or watt-hour decides nothing; common practice."""


def holds(has: float, needed: float) -> bool:
    """Whether there is as much as is needed, what is missing by dust not counted [-].

    Args:
        has: What is there [W or Wh].
        needed: What is needed, in the same unit [W or Wh].

    Holds for: any finite numbers.
    Source: definition.

    >>> holds(1500, 1500 + 1e-9), holds(1499, 1500)
    (True, False)
    """
    return round(has - needed, DUST) >= 0
