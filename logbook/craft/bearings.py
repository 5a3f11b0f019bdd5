"""Directions: bearings round the compass, angles between two points of the sky, and means on a circle.

One surprising decision: a difference of bearings is signed, clockwise positive, so that left and right stay
apart. The mean of directions that cancel out is None, because a mean of morning and evening sun that points
north would send somebody the wrong way. A day of the year is a direction, too.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import atan2, cos, degrees, hypot, radians, sin

FULL_TURN_DEG = 360.0
SCATTERED_BELOW = 0.1  # mean resultant length; below it a mean direction means nothing (own convention)
COMMON_YEAR = 2001  # a year without a leap day, in which a mean day of the year is named


def wrap_bearing_deg(bearing_deg: float) -> float:
    """The same bearing in 0 up to but not including 360 degrees."""
    wrapped = bearing_deg % 360.0
    return 0.0 if wrapped == 360.0 else wrapped  # a tiny negative number wraps to 360.0 in floating point


def turn_deg(from_deg: float, to_deg: float) -> float:
    """The shorter turn between two bearings, clockwise positive, above -180 and up to 180 degrees."""
    turn = wrap_bearing_deg(to_deg - from_deg)
    return turn - 360.0 if turn > 180.0 else turn


def off_axis_deg(from_deg: float, to_deg: float) -> float:
    """How far two bearings lie apart, to whichever side, 0 to 180 degrees."""
    return abs(turn_deg(from_deg, to_deg))


def separation_deg(
    first_azimuth_deg: float, first_altitude_deg: float, second_azimuth_deg: float, second_altitude_deg: float
) -> float:
    """Angle between two points of the sky, 0 to 180 degrees (Meeus, Astronomical Algorithms, ch. 17).

    The arctangent form is used because the cosine form loses small angles.
    """
    first, second = radians(first_altitude_deg), radians(second_altitude_deg)
    turn = radians(second_azimuth_deg - first_azimuth_deg)
    across = hypot(cos(second) * sin(turn), cos(first) * sin(second) - sin(first) * cos(second) * cos(turn))
    along = sin(first) * sin(second) + cos(first) * cos(second) * cos(turn)
    return degrees(atan2(across, along))


@dataclass(frozen=True, slots=True)
class CircularMean:
    """The mean direction in degrees (None where the directions cancel out) and the mean resultant length.

    `resultant` is 1 where all agree and 0 where they cancel out.
    """

    mean_deg: float | None
    resultant: float
    count: int


def circular_mean(angles_deg: Iterable[float]) -> CircularMean:
    """Return the mean direction and mean resultant length of angles in degrees.

    C = Σcos θ, S = Σsin θ, mean = atan2(S, C), R = √(C² + S²)/n; N. I. Fisher, Statistical Analysis of
    Circular Data (1993), section 2.3.1.
    """
    angles = [radians(angle) for angle in angles_deg]
    if not angles:
        return CircularMean(None, 0.0, 0)
    across, up = sum(map(cos, angles)), sum(map(sin, angles))
    resultant = min(1.0, hypot(across, up) / len(angles))
    mean = wrap_bearing_deg(degrees(atan2(up, across))) if resultant >= SCATTERED_BELOW else None
    return CircularMean(mean, resultant, len(angles))


def year_angle_deg(day: date) -> float:
    """Return a date's place on the circle of its year: 1 January is 0, a year is 360 degrees."""
    begin = date(day.year, 1, 1)
    length = (date(day.year + 1, 1, 1) - begin).days if day.year < date.max.year else 365
    return FULL_TURN_DEG * (day - begin).days / length


def day_at(angle_deg: float) -> date:
    """Return the day at a place on the circle of a year, in a common year."""
    days = int(wrap_bearing_deg(angle_deg) / FULL_TURN_DEG * 365 + 0.5) % 365
    return date(COMMON_YEAR, 1, 1) + timedelta(days=days)
