"""The sun of a mean day of each month: from latitude and one monthly number to the hours in the plane of the array.

It knows no clouds of a single day: an hour here is the mean of that hour over the whole month.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from math import acos, cos, degrees, pi, radians, sin, tan
from typing import Final

from holdover.case.schema import Array, Month, Sun

MEAN_DAYS: Final = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)
"""Day of the year whose extraterrestrial sun is the month's mean [-]; Klein 1977, Duffie and Beckman table 1.6.1."""
SOLAR_CONSTANT_KW: Final = 1.367
"""Sun outside the air at the mean distance [kW/m²]; World Radiation Center, Duffie and Beckman section 1.2."""
OBLIQUITY_DEG: Final = 23.45
"""Largest declination [°]; Cooper 1969, Duffie and Beckman eq. 1.6.1a."""
LOWEST_SUN_DEG: Final = 87.0
"""Zenith angle beyond which the beam on a slope is no longer stretched [°]; common practice."""
CLEARNESS_LOW: Final = 0.3
"""Lowest clearness the diffuse correlation was fitted to [-]; Erbs, Klein and Duffie 1982. It runs on below."""
CLEARNESS_HIGH: Final = 0.8
"""Highest clearness of the diffuse correlation [-]; Erbs, Klein and Duffie 1982."""
WINTER_SUNSET_DEG: Final = 81.4
"""Sunset hour angle up to which a month counts as winter [°]; Erbs, Klein and Duffie 1982."""
CLEARNESS_DIGITS: Final = 9
"""Decimals of the clearness that count where it is held against the edge of the fit [-]; float dust decides nothing."""
NO_SUNRISE: Final = "the sun does not rise"
"""Said of a month of polar night [-]."""
NOT_STATED: Final = "not stated: no sun"
"""Said of a month of which the case holds no sun [-]."""
DARK: Final = "dark month: a rough figure"
"""Said of a month beyond the range of the diffuse correlation [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SunMonth:
    """The mean day of one month; tuples hold 24 clock hours, the first from midnight to one."""

    month: int
    day: int
    declination_deg: float
    sunset_deg: float
    extraterrestrial_kwh: float
    global_kwh: float
    clearness: float
    diffuse_share: float
    diffuse_kwh: float
    shape_a: float
    shape_b: float
    cos_zenith: tuple[float, ...]
    cos_incidence: tuple[float, ...]
    shape_global: tuple[float, ...]
    shape_diffuse: tuple[float, ...]
    tilted_raw: tuple[float, ...]
    shape_global_sum: float
    shape_diffuse_sum: float
    tilted_sum: float
    scale: float
    peak_sun_hours: float
    tilted_kw: tuple[float, ...]
    ambient_c: float
    remark: str


def declination_deg(day: int) -> float:
    """Declination of the sun [°], by Cooper's one-term series.

    Args:
        day: Day of the year, 1..365 [-].

    Holds for: any day, within 1.4° (worst in October); 29 February counts as 1 March.
    Source: Cooper 1969; Duffie and Beckman eq. 1.6.1a.

    >>> round(declination_deg(44), 2)
    -13.95
    """
    return OBLIQUITY_DEG * sin(radians(360 * (284 + day) / 365))


def sunset_deg(latitude_deg: float, declination_deg: float) -> float:
    """Hour angle of sunset [°]: 0 in the polar night, 180 in the polar day.

    Args:
        latitude_deg: Latitude, north positive [°].
        declination_deg: Declination of the sun [°].

    Holds for: -90..90; the sun is a point and the air does not bend its light.
    Source: Duffie and Beckman eq. 1.6.10.

    >>> round(sunset_deg(43, -2.42), 2)
    87.74
    """
    cosine = -tan(radians(latitude_deg)) * tan(radians(declination_deg))
    return degrees(acos(max(-1.0, min(1.0, cosine))))


def extraterrestrial_kw(day: int) -> float:
    """Sun outside the air, on a surface that faces it [kW/m²].

    Args:
        day: Day of the year, 1..365 [-].

    Holds for: any day.
    Source: Duffie and Beckman eq. 1.4.1a.

    >>> round(extraterrestrial_kw(1), 4)
    1.4121
    """
    return SOLAR_CONSTANT_KW * (1 + 0.033 * cos(radians(360 * day / 365)))


def extraterrestrial_kwh(latitude_deg: float, declination_deg: float, sunset_deg: float, day: int) -> float:
    """Sun outside the air on the flat, in a day [kWh/m²].

    Args:
        latitude_deg: Latitude, north positive [°].
        declination_deg: Declination of the sun [°].
        sunset_deg: Hour angle of sunset [°].
        day: Day of the year, 1..365 [-].

    Holds for: -90..90, polar day and polar night with it.
    Source: Duffie and Beckman eq. 1.10.3.

    >>> round(extraterrestrial_kwh(43, 9.41, 98.89, 105) * 3.6, 1)
    33.8
    """
    phi, delta, sunset = radians(latitude_deg), radians(declination_deg), radians(sunset_deg)
    mean_sine = cos(phi) * cos(delta) * sin(sunset) + sunset * sin(phi) * sin(delta)
    return max(0.0, 24 / pi * extraterrestrial_kw(day) * mean_sine)


def diffuse_share(clearness: float, sunset_deg: float) -> float:
    """Share of a month's global sun that comes from the sky and not straight from the sun [-].

    Args:
        clearness: Global over extraterrestrial, 0 or more [-].
        sunset_deg: Hour angle of sunset [°].

    Holds for: monthly means. Above 0.8 the edge of the fit is taken. Below 0.3 the lines run on, at most 1: held at
        0.3, a dark winter month would be promised half as much sun again on a steep slope.
    Source: Erbs, Klein and Duffie 1982; Duffie and Beckman eq. 2.12.1.

    >>> round(diffuse_share(0.55, 112.0), 2), round(diffuse_share(0.19, 55.0), 2), diffuse_share(0.05, 55.0)
    (0.38, 0.85, 1.0)
    """
    k = min(CLEARNESS_HIGH, clearness)
    # Winter, the sun up for less than eleven hours: more of the light is diffuse at the same clearness.
    if sunset_deg <= WINTER_SUNSET_DEG:
        return min(1.0, 1.391 - 3.560 * k + 4.189 * k**2 - 2.137 * k**3)
    # Spring, summer and autumn.
    return min(1.0, 1.311 - 3.022 * k + 3.427 * k**2 - 1.821 * k**3)


def shape_constant(sunset_deg: float) -> float:
    """First coefficient of the day's shape of global sun [-].

    Args:
        sunset_deg: Hour angle of sunset [°].

    Holds for: monthly mean days.
    Source: Collares-Pereira and Rabl 1979; Duffie and Beckman eq. 2.13.2b.

    >>> shape_constant(60)
    0.409
    """
    return 0.409 + 0.5016 * sin(radians(sunset_deg - 60))


def shape_slope(sunset_deg: float) -> float:
    """Second coefficient of the day's shape of global sun [-].

    Args:
        sunset_deg: Hour angle of sunset [°].

    Holds for: monthly mean days.
    Source: Collares-Pereira and Rabl 1979; Duffie and Beckman eq. 2.13.2c.

    >>> shape_slope(60)
    0.6609
    """
    return 0.6609 - 0.4767 * sin(radians(sunset_deg - 60))


def hour_angle_deg(hour: int, solar_noon_at: float) -> float:
    """Hour angle of the sun in the middle of a clock hour [°], negative before solar noon.

    Args:
        hour: Clock hour, 0..23 [-].
        solar_noon_at: Clock time of solar noon [h].

    Holds for: any clock; the drift of solar noon over the year is left out.
    Source: Duffie and Beckman section 1.6, 15° an hour.

    >>> hour_angle_deg(9, 13)
    -52.5
    """
    return 15 * (hour + 0.5 - solar_noon_at)


def cos_zenith(latitude_deg: float, declination_deg: float, hour_angle_deg: float) -> float:
    """Cosine of the angle between sun and vertical [-], negative when the sun is down.

    Args:
        latitude_deg: Latitude, north positive [°].
        declination_deg: Declination of the sun [°].
        hour_angle_deg: Hour angle of the sun [°].

    Holds for: -90..90.
    Source: Duffie and Beckman eq. 1.6.5.

    >>> round(degrees(acos(cos_zenith(43, -13.95, -37.5))), 1)
    66.5
    """
    return _toward_sun(latitude_deg, declination_deg, hour_angle_deg)[2]


def cos_incidence(
    latitude_deg: float, declination_deg: float, hour_angle_deg: float, tilt_deg: float, azimuth_deg: float
) -> float:
    """Cosine of the angle between sun and module normal [-], negative when the sun is behind the module.

    Args:
        latitude_deg: Latitude, north positive [°].
        declination_deg: Declination of the sun [°].
        hour_angle_deg: Hour angle of the sun [°].
        tilt_deg: Tilt of the module from flat [°].
        azimuth_deg: Compass direction the module faces, 180 = south [°].

    Holds for: any place, tilt and direction.
    Source: dot product of the two directions; the same as Duffie and Beckman eq. 1.6.2.

    >>> round(degrees(acos(cos_incidence(43, -13.95, -22.5, 45, 195))), 1)
    35.2
    """
    east, north, up = _toward_sun(latitude_deg, declination_deg, hour_angle_deg)
    tilt, azimuth = radians(tilt_deg), radians(azimuth_deg)
    return sin(tilt) * (east * sin(azimuth) + north * cos(azimuth)) + up * cos(tilt)


def shape_diffuse(hour_angle_deg: float, sunset_deg: float) -> float:
    """Weight of an hour in the day's diffuse sun [-]; a factor common to all hours is left out.

    Args:
        hour_angle_deg: Hour angle of the sun [°].
        sunset_deg: Hour angle of sunset [°].

    Holds for: monthly mean days, any latitude.
    Source: Liu and Jordan 1960; Duffie and Beckman eq. 2.13.4.

    >>> round(shape_diffuse(0, 90), 6), shape_diffuse(97.5, 90)
    (1.0, 0.0)
    """
    return max(0.0, cos(radians(hour_angle_deg)) - cos(radians(sunset_deg)))


def shape_global(hour_angle_deg: float, sunset_deg: float) -> float:
    """Weight of an hour in the day's global sun [-]; a factor common to all hours is left out.

    Args:
        hour_angle_deg: Hour angle of the sun [°].
        sunset_deg: Hour angle of sunset [°].

    Holds for: monthly mean days, any latitude.
    Source: Collares-Pereira and Rabl 1979; Duffie and Beckman eq. 2.13.2a.

    >>> round(shape_global(0, 60), 3)
    0.535
    """
    height = shape_constant(sunset_deg) + shape_slope(sunset_deg) * cos(radians(hour_angle_deg))
    return height * shape_diffuse(hour_angle_deg, sunset_deg)


def hour_kwh(day_kwh: float, shape: float, shape_sum: float) -> float:
    """Sun of one hour [kWh/m²], so that the 24 hours sum to the day.

    Args:
        day_kwh: Sun of the day [kWh/m²].
        shape: Weight of the hour [-].
        shape_sum: Sum of the 24 weights [-].

    Holds for: any weights not negative; 0 where the sun is up in the middle of no hour.
    Source: the shapes of Duffie and Beckman section 2.13 sum to within 1 % of one; scaled here to one exactly.

    >>> hour_kwh(5.0, 0.5, 4.0)
    0.625
    """
    return day_kwh * shape / shape_sum if shape_sum else 0.0


def tilted_kwh(
    global_kwh: float, diffuse_kwh: float, cos_zenith: float, cos_incidence: float, tilt_deg: float, albedo: float
) -> float:
    """Sun in the plane of the module in an hour [kWh/m²]: beam, even sky and ground.

    Args:
        global_kwh: Global sun on the flat in the hour [kWh/m²].
        diffuse_kwh: Diffuse sun on the flat in the hour [kWh/m²].
        cos_zenith: Cosine of sun to vertical [-].
        cos_incidence: Cosine of sun to module normal [-].
        tilt_deg: Tilt of the module from flat [°].
        albedo: Share of light the ground throws back [-].

    Holds for: any tilt; the sky is equally bright all over, which is on the low side when it is clear.
    Source: Liu and Jordan 1963; Duffie and Beckman eq. 2.15.1.

    >>> round(tilted_kwh(0.5, 0.1, 0.8, 0.9, 30, 0.2), 4)
    0.55
    """
    stretch = max(0.0, cos_incidence) / max(cos_zenith, cos(radians(LOWEST_SUN_DEG)))
    beam = max(0.0, global_kwh - diffuse_kwh)
    flatness = cos(radians(tilt_deg))
    return beam * stretch + diffuse_kwh * (1 + flatness) / 2 + global_kwh * albedo * (1 - flatness) / 2


def sun_months(sun: Sun, months: Sequence[Month], array: Array) -> tuple[SunMonth, ...]:
    """The mean days of the months in the plane of the array [-].

    Args:
        sun: The place under the sun [-].
        months: The resource, January first [-].
        array: Tilt and direction of the modules [-].

    Holds for: any latitude; sun that is stated for a month in which it never rises is lost.
    Source: Duffie and Beckman chapters 1 and 2.

    >>> round(sun_months(Sun(latitude_deg=43), [Month()] * 12, Array())[3].extraterrestrial_kwh, 2)
    9.38
    """
    return tuple(
        _sun_month(sun, month, array, number, day)
        for number, (month, day) in enumerate(zip(months, MEAN_DAYS, strict=True), start=1)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Day:
    """Where the sun stands in each clock hour of a day, and the weights by which the day is spread over them."""

    cos_zenith: tuple[float, ...]
    cos_incidence: tuple[float, ...]
    shape_global: tuple[float, ...]
    shape_diffuse: tuple[float, ...]


def _day(sun: Sun, array: Array, declination: float, sunset: float) -> _Day:
    angles = [hour_angle_deg(hour, sun.solar_noon_at) for hour in range(24)]
    at, tilt, facing = sun.latitude_deg, array.tilt_deg, array.azimuth_deg
    return _Day(
        cos_zenith=tuple(cos_zenith(at, declination, angle) for angle in angles),
        cos_incidence=tuple(cos_incidence(at, declination, angle, tilt, facing) for angle in angles),
        shape_global=tuple(shape_global(angle, sunset) for angle in angles),
        shape_diffuse=tuple(shape_diffuse(angle, sunset) for angle in angles),
    )


def _sun_month(sun: Sun, month: Month, array: Array, number: int, day: int) -> SunMonth:
    declination = declination_deg(day)
    sunset = sunset_deg(sun.latitude_deg, declination)
    outside = extraterrestrial_kwh(sun.latitude_deg, declination, sunset, day)
    total = _global_kwh(sun, month, outside)
    clearness = total / outside if outside else 0.0
    share = diffuse_share(clearness, sunset)
    by = _day(sun, array, declination, sunset)
    global_sum, diffuse_sum = sum(by.shape_global), sum(by.shape_diffuse)
    hours = zip(by.shape_global, by.shape_diffuse, by.cos_zenith, by.cos_incidence, strict=True)
    raw = tuple(
        tilted_kwh(
            hour_kwh(total, g, global_sum), hour_kwh(total * share, d, diffuse_sum), z, i, array.tilt_deg, sun.albedo
        )
        for g, d, z, i in hours
    )
    tilted_sum = sum(raw)
    scale = _scale(sun, month, tilted_sum)
    return SunMonth(
        month=number,
        day=day,
        declination_deg=declination,
        sunset_deg=sunset,
        extraterrestrial_kwh=outside,
        global_kwh=total,
        clearness=clearness,
        diffuse_share=share,
        diffuse_kwh=total * share,
        shape_a=shape_constant(sunset),
        shape_b=shape_slope(sunset),
        **{f.name: getattr(by, f.name) for f in fields(by)},
        tilted_raw=raw,
        shape_global_sum=global_sum,
        shape_diffuse_sum=diffuse_sum,
        tilted_sum=tilted_sum,
        scale=scale,
        peak_sun_hours=tilted_sum * scale,
        tilted_kw=tuple(kwh * scale for kwh in raw),
        ambient_c=sun.ambient_c if month.ambient_c is None else month.ambient_c,
        remark=_remark(_stated(sun, month), outside, clearness),
    )


def _stated(sun: Sun, month: Month) -> float | None:
    """The column that counts."""
    if sun.resource == "global irradiation":
        return month.global_kwh
    return month.clearness if sun.resource == "clearness index" else month.peak_sun_hours


def _remark(stated: float | None, outside: float, clearness: float) -> str:
    """What must be known of a month before its harvest is relied on."""
    if stated is None:
        return NOT_STATED
    if outside <= 0:
        return NO_SUNRISE
    return DARK if round(clearness, CLEARNESS_DIGITS) < CLEARNESS_LOW else ""


def _global_kwh(sun: Sun, month: Month, outside: float) -> float:
    if sun.resource == "global irradiation":
        return month.global_kwh or 0.0
    if sun.resource == "clearness index":
        return (month.clearness or 0.0) * outside
    return sun.shape_clearness * outside


def _scale(sun: Sun, month: Month, tilted_sum: float) -> float:
    if sun.resource != "peak sun hours":
        return 1.0
    return (month.peak_sun_hours or 0.0) / tilted_sum if tilted_sum else 0.0


def _toward_sun(latitude_deg: float, declination_deg: float, hour_angle_deg: float) -> tuple[float, float, float]:
    """Direction toward the sun as east, north, up [-]."""
    phi, delta, omega = radians(latitude_deg), radians(declination_deg), radians(hour_angle_deg)
    east = -cos(delta) * sin(omega)
    north = cos(phi) * sin(delta) - sin(phi) * cos(delta) * cos(omega)
    up = sin(phi) * sin(delta) + cos(phi) * cos(delta) * cos(omega)
    return east, north, up
