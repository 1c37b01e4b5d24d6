"""What a cord loses of the voltage: by a textbook's example, by a standard's table and by a code's.

- Perpiñán, Energía solar fotovoltaica, a worked example of a cable by its drop (as its text has it): 52.2 A, 506.88 V,
  0.5 %, 70 m there and as far back, copper of 48 m/(Ω mm²) ask for 60.18 mm².
- IEC 60228, class 5, flexible plain copper at 20 °C, as makers' tables print it (seen).
- NEC Chapter 9, Table 8, stranded uncoated copper at 75 °C, per 1000 ft (by transcription; 16 AWG from memory).
"""

import pytest

from holdover.model.pages.cautions import CORDS, US_CORDS, longest_m, lost_share

FT_PER_KM = 1000 / 0.3048
CLASS_5 = {1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30}
TABLE_8 = {16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 8: 0.778}


@pytest.mark.parametrize(("length_m", "section_mm2"), [(70, 60.18), (30, 25.8), (40, 34.4), (1, 0.86)])
def test_a_cable_of_the_textbook_loses_half_a_per_cent(length_m: float, section_mm2: float) -> None:
    """Four lengths, each with the section that loses 0.5 % of 506.88 V at 52.2 A; sections have three digits."""
    ohm_per_km = 1000 / (48 * section_mm2)
    assert lost_share(52.2, length_m, ohm_per_km, 506.88) == pytest.approx(0.005, rel=0.006)


def test_the_trunk_of_the_textbook() -> None:
    """208.8 A over 85 m lose 1 % of 506.88 V in 145.9 mm²."""
    assert lost_share(208.8, 85, 1000 / (48 * 145.9), 506.88) == pytest.approx(0.01, rel=0.001)


def test_flexible_copper_is_that_of_the_standard() -> None:
    """Each section of the list has the resistance of class 5."""
    assert {float(gauge.split()[0]): ohm for gauge, ohm in CORDS} == CLASS_5


def test_gauges_are_those_of_the_code() -> None:
    """Each gauge has the resistance of the table, turned from 1000 ft to a kilometre, to three digits."""
    for gauge, ohm in US_CORDS:
        per_1000_ft = TABLE_8[int(gauge.split()[0])]
        assert ohm == float(f"{per_1000_ft * FT_PER_KM / 1000:.3g}")


def test_ten_gauge_over_100_feet() -> None:
    """20 A at 120 V over 100 ft of 10 AWG lose 4 %, as a trade forum answers (seen)."""
    assert round(100 * lost_share(20, 30.48, dict(US_CORDS)["10 AWG"], 120)) == 4


def test_twelve_amperes_reach_76_feet_of_twelve_gauge() -> None:
    """Worked by hand: 3 % of 120 V are 3.6 V; 12 A through 2 x 1.98 ohm per 1000 ft lose them over 75.8 ft."""
    found = longest_m(12, dict(US_CORDS)["12 AWG"], 120)
    assert isinstance(found, float)
    assert found / 0.3048 == pytest.approx(3.6 / (12 * 2 * 1.98) * 1000, rel=0.001)
