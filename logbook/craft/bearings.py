"""Directions: bearings round the compass and angles between two points of the sky.

One surprising decision: a difference of bearings is signed, clockwise positive, so that left and right stay
apart.
"""

from math import atan2, cos, degrees, hypot, radians, sin


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
