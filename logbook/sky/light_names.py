"""What the light under a sun is called: its phase, and the words photographers have for its hours.

One surprising decision: one light has several names, because a person who asks for dusk, for twilight and for
the blue hour may mean the same picture.
"""

from logbook.sky.phases import CIVIL_DEG, NAUTICAL_DEG, RISE_SET_DEG, phase_at
from logbook.sky.rough import RoughSun

SUNRISE_TOP_DEG = 4.0  # degrees; how high the sun of a sunrise or a sunset stands at most, common practice
SUNRISE_BOTTOM_DEG = -2.0  # degrees; common practice, no source
HALF_TURN_DEG = 180.0  # degrees; a sun in the eastern half of the sky rises


def light_names(sun: RoughSun) -> tuple[str, ...]:
    """What photographers call the light under that sun: its phase, and dawn, sunrise, sunset, dusk, dark.

    Dawn and dusk are the twilights down to the nautical limit; darker than that is night.
    """
    altitude, before_noon = sun.altitude_deg, sun.azimuth_deg < HALF_TURN_DEG
    names = [phase_at(altitude).value]
    if SUNRISE_BOTTOM_DEG <= altitude <= SUNRISE_TOP_DEG:
        names.append("sunrise" if before_noon else "sunset")
    if NAUTICAL_DEG <= altitude < RISE_SET_DEG:
        names += ["twilight", "dawn" if before_noon else "dusk"]
    if altitude < CIVIL_DEG:
        names.append("dark")
    if altitude < NAUTICAL_DEG and "night" not in names:
        names.append("night")
    return tuple(names)
