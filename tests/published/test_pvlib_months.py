"""pvlib 0.13 or later: whole years hour by hour, from the weather files it ships, against the mean day of each month.

The files are opened by the test. The model gets nothing but latitude and the twelve monthly globals of the file. pvlib
gets every hour of the year with its own direct and diffuse sun, and two skies: isotropic (even) and Hay-Davies (brighter
about the sun, nearer to life).
Run with `-rP` to see the tables. Stored totals were computed with pvlib 0.16.1.
"""

from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from holdover.case.schema import Array, Month, Sun
from holdover.model.sun import SunMonth, hour_kwh, sun_months, tilted_kwh

DATA = Path(pvlib.__file__).parent / "data"
LENGTHS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
GREENSBORO, SAND_POINT, MIAMI = "723170TYA.CSV", "703165TY.csv", "12839.tm2"
HASHES = {GREENSBORO: "1e96f84638ce98e6", SAND_POINT: "f0333a68a116f5ae", MIAMI: "57f0de21ed1685a4"}
GLOBALS = {
    GREENSBORO: "74.85 85.75 131.77 162.30 174.72 187.53 188.58 174.05 132.81 111.26 73.05 69.53",
    SAND_POINT: "18.08 29.33 57.43 91.75 101.63 114.19 155.14 83.81 91.22 50.03 22.30 14.33",
    MIAMI: "108.32 123.96 159.88 184.95 186.90 172.84 185.79 175.75 147.45 135.50 107.05 104.22",
}
"""Global on the flat [kWh/m² in the month]."""


@dataclass(frozen=True)
class Place:
    latitude_deg: float
    global_kwh: np.ndarray
    diffuse_kwh: np.ndarray
    isotropic_kwh: np.ndarray
    hay_davies_kwh: np.ndarray


@cache
def weather(name: str) -> tuple[pd.DataFrame, dict[str, float]]:
    if name.endswith(".tm2"):
        hours, about = pvlib.iotools.read_tmy2(DATA / name)
        hours = hours.rename(columns={"GHI": "ghi", "DNI": "dni", "DHI": "dhi"})
        hours.index = pd.date_range("1990-01-01 01:00", periods=len(hours), freq="h", tz=hours.index.tz)
    else:
        hours, about = pvlib.iotools.read_tmy3(DATA / name, map_variables=True, coerce_year=1990)
    return hours[["ghi", "dni", "dhi"]].astype(float), about


@cache
def simulated(name: str, tilt_deg: float) -> Place:
    """Every hour of the file on the slope, summed to the mean day of each month."""
    hours, about = weather(name)
    middle = hours.index - pd.Timedelta(minutes=30)
    sun = pvlib.solarposition.get_solarposition(
        middle, about["latitude"], about["longitude"], altitude=about["altitude"]
    )
    ghi, dni, dhi = (hours[key].to_numpy() for key in ("ghi", "dni", "dhi"))
    outside = np.asarray(pvlib.irradiance.get_extra_radiation(middle.day_of_year.to_numpy()))

    def per_day(watts: np.ndarray) -> np.ndarray:
        sums = pd.Series(np.nan_to_num(watts)).groupby(middle.month.to_numpy()).sum().to_numpy()
        return np.asarray(sums / 1000 / LENGTHS)

    def on_slope(model: str) -> np.ndarray:
        zenith, azimuth = sun["apparent_zenith"].to_numpy(), sun["azimuth"].to_numpy()
        total = pvlib.irradiance.get_total_irradiance(
            tilt_deg, 180, zenith, azimuth, dni, ghi, dhi, dni_extra=outside, albedo=0.2, model=model
        )
        return per_day(np.asarray(total["poa_global"]))

    return Place(
        latitude_deg=about["latitude"],
        global_kwh=per_day(ghi),
        diffuse_kwh=per_day(dhi),
        isotropic_kwh=on_slope("isotropic"),
        hay_davies_kwh=on_slope("haydavies"),
    )


def modelled(place: Place, tilt_deg: float) -> tuple[SunMonth, ...]:
    months = [Month(global_kwh=float(kwh)) for kwh in place.global_kwh]
    return sun_months(
        Sun(resource="global irradiation", latitude_deg=place.latitude_deg, albedo=0.2),
        months,
        Array(tilt_deg=tilt_deg, azimuth_deg=180),
    )


def compared(name: str, tilt_deg: float) -> tuple[np.ndarray, np.ndarray]:
    """Model over isotropic and over Hay-Davies, month by month; the table goes to the test's output."""
    place = simulated(name, tilt_deg)
    ours = np.array([month.peak_sun_hours for month in modelled(place, tilt_deg)])
    even, bright = ours / place.isotropic_kwh, ours / place.hay_davies_kwh
    lines = [f"{place.latitude_deg:.1f}° N, tilt {tilt_deg:g}° south, kWh/m²·day; ratios: model over pvlib"]
    lines += ["month  global  isotropic  Hay-Davies  model  /isotropic  /Hay-Davies"]
    lines += [
        f"{m + 1:5d} {place.global_kwh[m]:7.2f} {place.isotropic_kwh[m]:10.2f} {place.hay_davies_kwh[m]:11.2f}"
        f" {ours[m]:6.2f} {even[m]:11.3f} {bright[m]:12.3f}"
        for m in range(12)
    ]
    print("\n".join(lines))
    return even, bright


def months_beyond(ratio: np.ndarray, share: float) -> list[int]:
    return [m + 1 for m in range(12) if abs(ratio[m] - 1) > share]


@pytest.mark.parametrize("name", HASHES)
def test_the_files_are_those_the_numbers_were_taken_from(name: str) -> None:
    """Each weather file has the hash that stands here, and its monthly globals are those stored here."""
    assert sha256((DATA / name).read_bytes()).hexdigest().startswith(HASHES[name])
    printed = [float(word) for word in GLOBALS[name].split()]
    # Greensboro's November is 73.045: either hundredth is right.
    assert simulated(name, 0.0).global_kwh * LENGTHS == pytest.approx(printed, abs=0.0101)


@pytest.mark.parametrize(
    ("tilt_deg", "printed"),
    [
        (20, "95.7 105.7 147.4 169.2 173.8 182.6 184.9 177.2 143.8 129.9 92.4 93.7"),
        (36.1, "106.4 114.5 150.5 164.3 162.9 168.0 171.3 169.1 143.9 136.8 102.0 107.0"),
        (60, "110.3 114.4 139.2 140.6 132.6 132.2 136.9 141.7 129.7 132.2 104.7 114.3"),
    ],
)
def test_the_simulation_here_is_the_one_stored(tilt_deg: float, printed: str) -> None:
    """The hour-by-hour simulation gives the stored monthly sums at 36° N on three slopes, so the yardstick holds."""
    sums = simulated(GREENSBORO, tilt_deg).isotropic_kwh * LENGTHS
    assert sums == pytest.approx([float(word) for word in printed.split()], abs=0.1)


@pytest.mark.parametrize("tilt_deg", [20.0, 36.0])
def test_36_north_against_hay_davies(tilt_deg: float) -> None:
    """At 36° N every month's peak sun hours are within 6 % of the hour-by-hour year under the Hay-Davies sky."""
    _, bright = compared(GREENSBORO, tilt_deg)
    assert months_beyond(bright, 0.06) == []


@pytest.mark.parametrize("tilt_deg", [20.0, 36.0])
def test_36_north_against_isotropic(tilt_deg: float) -> None:
    """At 36° N every month but January at 36° is within 6 % of the hour-by-hour year under an even sky."""
    even, _ = compared(GREENSBORO, tilt_deg)
    # That January has more diffuse (47 %) than the correlation expects (40 %): 7.8 % too much sun on the slope.
    assert months_beyond(even, 0.06) == ([1] if tilt_deg == 36 else [])
    assert months_beyond(even, 0.08) == []


def test_36_north_with_the_file_s_own_diffuse() -> None:
    """With the file's own diffuse in place of the correlation every month is within 3 % under the same even sky."""
    place = simulated(GREENSBORO, 36.0)
    ours = [
        sum(
            tilted_kwh(
                hour_kwh(month.global_kwh, month.shape_global[h], month.shape_global_sum),
                hour_kwh(float(diffuse), month.shape_diffuse[h], month.shape_diffuse_sum),
                month.cos_zenith[h],
                month.cos_incidence[h],
                36,
                0.2,
            )
            for h in range(24)
        )
        for month, diffuse in zip(modelled(place, 36.0), place.diffuse_kwh, strict=True)
    ]
    assert ours == pytest.approx(place.isotropic_kwh, rel=0.03)


def test_55_north_against_hay_davies() -> None:
    """At 55° N, tilt 55°, every month's peak sun hours are within 15 % of the Hay-Davies year."""
    _, bright = compared(SAND_POINT, 55.0)
    assert months_beyond(bright, 0.15) == []


def test_55_north_against_isotropic() -> None:
    """At 55° N, tilt 55°, every month but January is within 15 % under an even sky; January is 28 % too high."""
    even, _ = compared(SAND_POINT, 55.0)
    # A deep winter of 0.58 kWh/m²·day on the flat: the correlation's diffuse, and beam that meets the slope squarely.
    assert months_beyond(even, 0.15) == [1]
    assert months_beyond(even, 0.28) == []


def test_26_north_against_both_skies() -> None:
    """At 26° N, tilt 26°, every month is within 6 % under either sky."""
    even, bright = compared(MIAMI, 26.0)
    assert months_beyond(even, 0.06) == []
    assert months_beyond(bright, 0.06) == []


@pytest.mark.parametrize("tilt_deg", [20.0, 36.1, 60.0])
def test_the_year_at_36_north(tilt_deg: float) -> None:
    """At 36° N the year is within 2 % of the hour-by-hour year under either sky, on three slopes."""
    place = simulated(GREENSBORO, tilt_deg)
    year = sum(month.peak_sun_hours * n for month, n in zip(modelled(place, tilt_deg), LENGTHS, strict=True))
    assert year == pytest.approx(float((place.isotropic_kwh * LENGTHS).sum()), rel=0.02)
    assert year == pytest.approx(float((place.hay_davies_kwh * LENGTHS).sum()), rel=0.02)
