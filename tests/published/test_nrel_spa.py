"""NREL/TP-560-34302 (2008), Solar Position Algorithm, worked case of appendix A.5.

The report was not at hand; its numbers stand in pvlib's own tests and, hour angle and declination, in other public
code (transcription). pvlib's implementation gives them again below.
"""

from math import acos, atan2, degrees, radians, sin

import pandas as pd
import pvlib
import pytest

from holdover.model.sun import cos_incidence, cos_zenith, declination_deg

LATITUDE_DEG = 39.742476
DECLINATION_DEG = -9.316179  # topocentric
HOUR_ANGLE_DEG = 11.10629  # topocentric


def test_zenith() -> None:
    """From the report's declination and hour angle the sun stands 39.872046° high before the air bends its light."""
    height = 90 - degrees(acos(cos_zenith(LATITUDE_DEG, DECLINATION_DEG, HOUR_ANGLE_DEG)))
    # Declination and hour angle are printed to 1e-6 and 1e-5 degrees.
    assert height == pytest.approx(39.872046, abs=0.00001)


def test_azimuth() -> None:
    """The same sun stands at azimuth 194.34024°, read off two upright modules."""
    south = cos_incidence(LATITUDE_DEG, DECLINATION_DEG, HOUR_ANGLE_DEG, 90, 180)
    west = cos_incidence(LATITUDE_DEG, DECLINATION_DEG, HOUR_ANGLE_DEG, 90, 270)
    # The hour angle is printed to 1e-5 degrees, and the azimuth turns 1.4 times as fast at this hour.
    assert 180 + degrees(atan2(west, south)) == pytest.approx(194.34024, abs=0.00003)


def test_pvlib_gives_the_case_again() -> None:
    """pvlib's algorithm gives zenith 50.11162° and azimuth 194.34024°, and the air bends the light by 0.0163°."""
    at = pd.DatetimeIndex(["2003-10-17 12:30:30-07:00"])
    sun = pvlib.solarposition.spa_python(
        at, LATITUDE_DEG, -105.1786, altitude=1830.14, pressure=82000, temperature=11, delta_t=67
    ).iloc[0]
    assert sun["apparent_zenith"] == pytest.approx(50.11162, abs=0.00001)
    assert sun["azimuth"] == pytest.approx(194.34024, abs=0.00001)
    ours = degrees(acos(cos_zenith(LATITUDE_DEG, DECLINATION_DEG, HOUR_ANGLE_DEG)))
    assert ours - sun["apparent_zenith"] == pytest.approx(0.0163, abs=0.00005)


def test_declination_of_that_day() -> None:
    """Cooper's declination is within 1.1° of the report's on 17 October, near its worst of the year."""
    # Of this the one-term series is worst in October; test_pvlib_sun.py goes through the year.
    assert declination_deg(290) == pytest.approx(DECLINATION_DEG, abs=1.1)
    assert abs(sin(radians(declination_deg(290))) - sin(radians(DECLINATION_DEG))) < 0.02
