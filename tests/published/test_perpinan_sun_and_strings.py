"""O. Perpiñán, Energía Solar Fotovoltaica (open textbook in Spanish, CC BY-NC-SA; oscarperpinan.github.io/esf).

Worked exercises of the chapters on solar geometry and radiation, on grid systems and on stand-alone systems. Stored
versions of the source text were opened: each figure is the one printed there unless its line says otherwise. Facts
only are taken over, and where this model's method differs from the book's, the test says in what and by how much.
"""

from math import acos, cos, degrees, floor, pi, radians, sin
from typing import Any

import pytest

from holdover.case.schema import Array, Candidate, Recharge
from holdover.model.recharge import Cells, recharge
from holdover.model.solar_module import cell_c, warmth
from holdover.model.strings import cold_v, hot_v, isc_a, strings
from holdover.model.sun import (
    cos_incidence,
    cos_zenith,
    declination_deg,
    diffuse_share,
    extraterrestrial_kwh,
    shape_diffuse,
    shape_global,
    sunset_deg,
    tilted_kwh,
)

DAY = 261
"""18 September, the book's mean day of that month; this model takes 258 (Klein), as Duffie and Beckman do."""


def day_length_h(latitude_deg: float, day: int) -> float:
    return 2 * sunset_deg(latitude_deg, declination_deg(day)) / 15


def height_deg(latitude_deg: float, day: int, hour_angle_deg: float) -> float:
    return 90 - degrees(acos(cos_zenith(latitude_deg, declination_deg(day), hour_angle_deg)))


# Solar geometry


@pytest.mark.parametrize(
    ("latitude_deg", "printed"),
    [(10, 12.02), (40, 12.11), (70, 12.37), (-10, 11.97), (-40, 11.88), (-70, 11.63)],
)
def test_length_of_day_261(latitude_deg: float, printed: float) -> None:
    """The length of day 261 on six latitudes, in hours."""
    cut = 0.005 if latitude_deg in (-10, -40) else 0.0  # 11.976 and 11.887: the book cuts these two, not rounds
    assert day_length_h(latitude_deg, DAY) == pytest.approx(printed + cut, abs=0.005)


@pytest.mark.parametrize(("latitude_deg", "printed"), [(10, 60.74), (40, 30.74), (-10, 80.74), (-40, 69.26)])
def test_noon_height_on_day_25(latitude_deg: float, printed: float) -> None:
    """The sun's height at noon on day 25 on four latitudes, in degrees."""
    assert height_deg(latitude_deg, 25, 0) == pytest.approx(printed, abs=0.005)


def test_two_hours_after_noon_on_day_120() -> None:
    """37.2° N: a day of 13.5 h, the sun at 55.1°, 30.33° off a module tilted 30° to the south."""
    assert day_length_h(37.2, 120) == pytest.approx(13.5, abs=0.05)
    assert height_deg(37.2, 120, 30) == pytest.approx(55.1, abs=0.05)
    angle = degrees(acos(cos_incidence(37.2, declination_deg(120), 30, 30, 180)))
    assert angle == pytest.approx(30.33, abs=0.01)  # 30.337: the last digit is cut


def test_two_hours_after_sunrise_on_day_340() -> None:
    """15° S: a day of 12.85 h and the sun at 27.13°."""
    assert day_length_h(-15, 340) == pytest.approx(12.85, abs=0.01)  # 12.858: the last digit is cut
    sunrise = -sunset_deg(-15, declination_deg(340))
    assert height_deg(-15, 340, sunrise + 30) == pytest.approx(27.13, abs=0.01)  # 27.138: cut


# Radiation: day 261, 40° north, 4,150 Wh/m² a day on the flat


def test_outside_the_air_on_day_261() -> None:
    """Declination 1.0089°, sunset 90.85°, 8,126.37 Wh/m² outside the air, clearness 0.5107 of 4,150 Wh/m²."""
    declination = declination_deg(DAY)
    sunset = sunset_deg(40, declination)
    outside_wh = 1000 * extraterrestrial_kwh(40, declination, sunset, DAY)
    assert declination == pytest.approx(1.0089, abs=0.00005)
    assert sunset == pytest.approx(90.85, abs=0.005)
    assert outside_wh == pytest.approx(8126.37, abs=0.005)
    assert 4150 / outside_wh == pytest.approx(0.5107, abs=0.00005)


def test_hourly_shares_two_hours_before_noon() -> None:
    """Two hours before noon the hour has 0.113 of the day's diffuse and 0.116 of its global sun."""
    sunset = sunset_deg(40, declination_deg(DAY))
    shared = pi / 24 / (sin(radians(sunset)) - radians(sunset) * cos(radians(sunset)))  # the factor all hours share
    assert shared * shape_diffuse(-30, sunset) == pytest.approx(0.113, abs=0.0005)
    assert shared * shape_global(-30, sunset) == pytest.approx(0.116, abs=0.0005)


def test_on_a_slope_of_30_degrees_two_hours_before_noon() -> None:
    """197.98 W/m² diffuse of 481.4 W/m²: the beam's 283.42 become 359.53 on the slope, the ground adds 6.45.

    These three figures are by transcription of a later text: the versions opened print 277.54 W/m² of global, for which
    0.116 was taken of the day's beam and not of its 4,150 Wh/m². The book's cosines 0.8568 and 0.6754 are 0.8558 and
    0.6746 when worked out; their ratio is the same to three decimals.
    Differences: the book's sky is brighter round the sun (anisotropic) and gives 576.75 W/m² in all (by transcription);
    this model's even sky gives 26 W/m² less, on the low side.
    """
    declination = declination_deg(DAY)
    zenith, incidence = cos_zenith(40, declination, -30), cos_incidence(40, declination, -30, 30, 180)
    assert incidence / zenith == pytest.approx(0.8568 / 0.6754, abs=0.0005)
    assert (481.4 - 197.98) * incidence / zenith == pytest.approx(359.53, abs=0.005)
    # No diffuse and no ground: the beam alone. Then the ground alone, as what an albedo of 0.2 adds.
    assert tilted_kwh(283.42, 0.0, zenith, incidence, 30, 0.0) == pytest.approx(359.53, abs=0.005)
    with_ground = tilted_kwh(481.4, 197.98, zenith, incidence, 30, 0.2)
    assert with_ground - tilted_kwh(481.4, 197.98, zenith, incidence, 30, 0.0) == pytest.approx(6.45, abs=0.005)
    assert 576.75 - with_ground == pytest.approx(26.05, abs=0.01)


def test_diffuse_share_against_the_line_of_page() -> None:
    """The book's monthly line is Page's 1 - 1.13·K: 0.4229 in this month, where Erbs, Klein and Duffie have 0.4181.

    Below a clearness of 0.3 Page's line runs on too. This model stays within 0.12 of it down to darkness, on the side of
    more diffuse; held at the edge of its fit it would stand 0.30 below it at a clearness of 0.05.
    """
    assert diffuse_share(0.5107, 90.85) == pytest.approx(0.4229, abs=0.005)
    for clearness in (0.05, 0.1, 0.15, 0.2, 0.25, 0.3):
        page = 1 - 1.13 * clearness
        assert -0.025 <= diffuse_share(clearness, 60) - page <= 0.12


# Strings: three exercises of the chapter on grid systems
# The book heats the cells by 200 W/m² in its cold (-10 °C of air) and by 1,000 W/m² in its heat (25 °C of air), and
# lets the maximum power voltage move as the open-circuit one does. Here the cold cell is given as the coldest air, the
# voltage's coefficient stands for the power's too, and there is no margin.


def array(modules: int, sheet: dict[str, Any]) -> Array:
    """So many modules of a data sheet; the maximum power current follows from power and voltage."""
    return Array.model_validate(
        {
            **sheet,
            "modules": modules,
            "imp_a": sheet["power_w"] / sheet["vmp_v"],
            "power_tempco": sheet["voc_tempco"],
            "voltage_margin": 0,
        }
    )


CELLS = -2.3e-3 * 72 / 43.6
"""-2.3 mV a degree in each of 72 cells, as a share of 43.6 V [1/°C]."""
FIRST = {"power_w": 175, "voc_v": 43.6, "vmp_v": 35.4, "isc_a": 5.45, "voc_tempco": CELLS, "noct_c": 47}
OTHER = {"power_w": 200, "voc_v": 33.3, "vmp_v": 26.3, "isc_a": 8.22, "voc_tempco": -0.0037, "noct_c": 46}
NOON = [0.0] * 11 + [150.0] * 2 + [0.0] * 11


def test_first_exercise_five_to_nine_in_series() -> None:
    """An inverter of 125 to 450 V and a module of 43.6 V: -3.25 °C, 48.28 V, 450/48.28 = 9.32; five to nine in series.

    Sixteen modules: eight in series and two in parallel, 2,800 W. The book prints 30.6 V in the heat, where its rule
    gives 30.86 V (the counts stay: from 125/30.6 = 4.1 to five).
    """
    cold = cell_c(-10, 0.2, 47)
    assert cold == pytest.approx(-3.25, abs=0.005)
    assert cold_v(1, 43.6, CELLS, cold, 0) == pytest.approx(48.28, abs=0.005)
    assert 450 / cold_v(1, 43.6, CELLS, cold, 0) == pytest.approx(9.32, abs=0.005)
    assert hot_v(1, 35.4, CELLS, 25, 47) == pytest.approx(30.86, abs=0.005)
    unit = Candidate(pv_inputs=1, pv_min_v=125, pv_max_v=450)
    found = strings(unit, array(12, FIRST), NOON, coldest_c=cold, hottest_c=25)
    assert [o.series for o in found.layouts if o.verdict == "allowed" and o.parallel == 1] == [5, 6, 7, 8, 9]
    sixteen = strings(unit, array(16, FIRST), NOON, coldest_c=cold, hottest_c=25)
    assert (sixteen.series, sixteen.parallel, sixteen.modules_used * 175) == (8, 2, 2800)
    assert sixteen.cold_v == pytest.approx(8 * 48.28, abs=8 * 0.005)  # eight times the book's last digit
    assert sixteen.hot_v == pytest.approx(8 * 30.86, abs=8 * 0.005)


def test_second_exercise_eleven_to_sixteen_in_series() -> None:
    """An inverter of 246 to 600 V, 26 A, and a module of 33.3 V: 36.81 V cold, 23.14 V hot; 11 to 16 in series.

    The book's 23.14 V are 29.3 V open in the heat times the ratio of working to open voltage. Its formula prints 33
    for 33.3 in the change by heat; 26.3 V is implied by its 23.14 V. In parallel the book takes 26/8.22 = 3.16, three;
    here the brightest sun counts with a quarter more (NEC 690.8), and 26/10.275 are two: the stricter side.
    """
    cold = cell_c(-10, 0.2, 46)
    assert cold == pytest.approx(-3.5, abs=0.05)
    assert cell_c(25, 1.0, 46) == pytest.approx(57.5, abs=0.05)
    assert cold_v(1, 33.3, -0.0037, cold, 0) == pytest.approx(36.81, abs=0.005)
    assert 33.3 * warmth(-0.0037, 57.5) == pytest.approx(29.3, abs=0.05)
    assert hot_v(1, 26.3, -0.0037, 25, 46) == pytest.approx(23.14, abs=0.005)
    assert floor(600 / cold_v(1, 33.3, -0.0037, cold, 0)) == 16
    assert floor(246 / hot_v(1, 26.3, -0.0037, 25, 46)) + 1 == 11
    assert (floor(26 / 8.22), floor(26 / isc_a(1, 8.22))) == (3, 2)
    # Twelve in series is the most that is tried here, one of the six the book allows: 11 is the least on this input.
    unit = Candidate(pv_inputs=1, pv_min_v=246, pv_max_v=600)
    found = strings(unit, array(12, OTHER), NOON, coldest_c=cold, hottest_c=25)
    assert [o.series for o in found.layouts if o.verdict == "allowed"] == [11, 12]


def test_third_exercise_fourteen_to_eighteen_in_series() -> None:
    """An inverter of 405 to 900 V, 286 A, and a module of 43.7 V: 48.14 V cold, 30.14 V hot; 14 to 18 in series.

    In parallel 286/5.4 = 52.96, 52 strings; here, a quarter more at the brightest, 42.
    """
    cold = cell_c(-10, 0.2, 47)
    assert cold_v(1, 43.7, -0.0036, cold, 0) == pytest.approx(48.14, abs=0.005)
    assert 43.7 * warmth(-0.0036, 58.75) == pytest.approx(38.4, abs=0.05)
    assert hot_v(1, 34.3, -0.0036, 25, 47) == pytest.approx(30.14, abs=0.01)  # 30.133: the book rounds 38.4 V first
    assert floor(900 / cold_v(1, 43.7, -0.0036, cold, 0)) == 18
    assert floor(405 / hot_v(1, 34.3, -0.0036, 25, 47)) + 1 == 14
    assert (floor(286 / 5.4), floor(286 / isc_a(1, 5.4))) == (52, 42)


def test_this_model_s_own_cold_is_stricter_than_the_book_s() -> None:
    """Difference: here the cells are as cold as the air (-10 °C at dawn), with a margin for the curve on top.

    First exercise: 49.40 V for 48.28 V, nine in series, with 3 % eight. Third: 49.21 V for 48.14 V, 18, with 3 % 17.
    """
    assert cold_v(1, 43.6, CELLS, -10, 0) == pytest.approx(49.40, abs=0.005)
    assert cold_v(1, 43.7, -0.0036, -10, 0) == pytest.approx(49.21, abs=0.005)
    for margin, first, third in ((0.0, 9, 18), (0.03, 8, 17), (Array().voltage_margin, 8, 17)):
        assert floor(450 / cold_v(1, 43.6, CELLS, -10, margin)) == first
        assert floor(900 / cold_v(1, 43.7, -0.0036, -10, margin)) == third


# Stand-alone systems: the generator behind a radio link


def test_generator_hours_and_fuel_of_a_year() -> None:
    """1 kW all year of which one part in a hundred is missing: 87.6 kWh, 7 kW of generator, about 12.5 h, 26.3 l.

    The year's missing energy is taken as one refill of an empty storage without losses. 10 kVA at a power factor of
    0.7 are 7 kW, and a charger of 10 kW takes all of it; 0.3 l/kWh.
    """
    missing_wh = 1000 * 0.01 * 24 * 365
    assert missing_wh == pytest.approx(87_600, abs=50)  # the book's last digit is 0.1 kWh
    cells = Cells(
        full_wh=missing_wh,
        reserve_wh=0,
        day_draw_wh=0,
        charge_efficiency=1,
        may_charge=1,
        ac_charge_w=10_000,
        ac_charge_efficiency=1,
        outlet_w=1440,
    )
    means = Recharge(generator_w=10_000 * 0.7, fuel_l_per_kwh=0.3)
    found = recharge(cells, means, [[0.0] * 24] * 12, 12, 12)
    assert found.generator_w_used == pytest.approx(7000)
    assert found.generator_h == pytest.approx(12.5, abs=0.05)
    assert found.generator_fuel_l == pytest.approx(26.3, abs=0.05)
