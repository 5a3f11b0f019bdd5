"""Where the sun stood, roughly and at once, and when it may have been eclipsed: for thousands of moments.

One surprising decision: this second way to the sun exists beside the ephemeris, because naming the light of
ten thousand visits needs a hundredth of a degree at most, and no library that takes as long to load.
"""

from dataclasses import dataclass
from math import asin, atan2, cos, degrees, radians, sin

J2000_S = 946_728_000.0  # POSIX seconds of 2000-01-01T12:00 UTC, the epoch of the series
DAY_S = 86_400.0  # s
# Mean new moons, days from the epoch, and the moon's argument of latitude at them, degrees, beyond whose sine
# there is no eclipse (Meeus, Astronomical Algorithms, ch. 49 and 54)
_FIRST_DAY, _MONTH_DAYS = 5.09766, 29.530588861
_FIRST_DEG, _MONTH_DEG, _SINE = 160.7108, 390.67050284, 0.36
_NEAR_DAYS = 0.9  # a true new moon is within 0.6 days of the mean one, and an eclipse lasts (own arithmetic)


@dataclass(frozen=True, slots=True)
class RoughSun:
    """The sun's azimuth from true north and geometric altitude, degrees."""

    azimuth_deg: float
    altitude_deg: float


def rough_sun(latitude_deg: float, longitude_deg: float, posix_s: float) -> RoughSun:
    """Return the sun's place to about 0.02 degrees between 1950 and 2050.

    Low-precision formulas for the sun, The Astronomical Almanac, section C (0.01 degrees in that span), with
    UTC taken for both UT1 and TT; horizontal coordinates after Meeus, Astronomical Algorithms, ch. 13.
    """
    sin_declination, hour = _declination_and_hour(longitude_deg, posix_s)
    cos_declination = (1.0 - sin_declination * sin_declination) ** 0.5
    latitude = radians(latitude_deg)
    sin_latitude, cos_latitude, cos_hour = sin(latitude), cos(latitude), cos(hour)
    up = sin_latitude * sin_declination + cos_latitude * cos_declination * cos_hour
    east = -cos_declination * sin(hour)
    north = sin_declination * cos_latitude - cos_declination * sin_latitude * cos_hour
    return RoughSun(degrees(atan2(east, north)) % 360.0, degrees(asin(max(-1.0, min(1.0, up)))))


def rough_altitude_deg(latitude_deg: float, longitude_deg: float, posix_s: float) -> float:
    """Return the sun's geometric altitude as `rough_sun` has it, in two thirds of the time."""
    sin_declination, hour = _declination_and_hour(longitude_deg, posix_s)
    cos_declination = (1.0 - sin_declination * sin_declination) ** 0.5
    latitude = radians(latitude_deg)
    up = sin(latitude) * sin_declination + cos(latitude) * cos_declination * cos(hour)
    return degrees(asin(max(-1.0, min(1.0, up))))


def may_be_eclipsed(posix_s: float) -> bool:
    """Return whether the sun may be eclipsed from anywhere at a time; it may on four or five days a year."""
    days = (posix_s - J2000_S) / DAY_S - _FIRST_DAY
    month = round(days / _MONTH_DAYS)
    if abs(days - month * _MONTH_DAYS) > _NEAR_DAYS:
        return False
    return abs(sin(radians(_FIRST_DEG + _MONTH_DEG * month))) <= _SINE


def _declination_and_hour(longitude_deg: float, posix_s: float) -> tuple[float, float]:
    """The sine of the sun's declination, and its hour angle in radians."""
    days = (posix_s - J2000_S) / DAY_S
    anomaly = radians((357.528 + 0.9856003 * days) % 360.0)
    mean_deg = (280.460 + 0.9856474 * days) % 360.0
    longitude = radians(mean_deg + 1.915 * sin(anomaly) + 0.020 * sin(2.0 * anomaly))
    tilt = radians(23.439 - 0.0000004 * days)
    sine = sin(longitude)
    ascension = atan2(cos(tilt) * sine, cos(longitude))
    sin_declination = sin(tilt) * sine
    sidereal = radians((280.46061837 + 360.98564736629 * days + longitude_deg) % 360.0)
    return sin_declination, sidereal - ascension
