"""Where float dust ends: whole decisions (holds or falls short, served or not) are taken on rounded differences."""

from typing import Final

DUST: Final = 6
"""Decimals that count [-]: a millionth of a watt or watt-hour decides nothing; common practice."""
