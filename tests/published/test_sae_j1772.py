"""SAE J1772, charging levels by voltage and current. The original was not opened: figures by transcription
(trade pages on charging levels, seen in search results)."""

import pytest

from holdover.model.vehicle import charger_w


@pytest.mark.parametrize(
    ("volts", "amperes", "kilowatts", "printed"),
    [
        (120, 12, 1.44, "1.4"),  # AC level 1
        (120, 16, 1.92, "1.9"),  # AC level 1, the larger circuit
        (240, 80, 19.2, "19.2"),  # AC level 2, top
    ],
)
def test_charging_levels_are_volts_times_amperes(volts: float, amperes: float, kilowatts: float, printed: str) -> None:
    """The level's power is its voltage times its current, and reads as printed to one decimal."""
    assert charger_w(volts, amperes) / 1000 == pytest.approx(kilowatts, rel=1e-12)  # a product: exact
    assert f"{charger_w(volts, amperes) / 1000:.1f}" == printed
