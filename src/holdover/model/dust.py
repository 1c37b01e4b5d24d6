"""Where float dust ends: whole decisions (holds or falls short, served or not) are taken on rounded differences."""

from typing import Final

TRACE: Final = 1e-6
"""An hour with no more of a day's energy than this [-], or no more energy [Wh], has none; common practice."""
DUST: Final = 6
"""Decimals that count [-]: a millionth of a watt or watt-hour decides nothing; common practice."""
