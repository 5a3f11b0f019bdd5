"""How bright the open sky makes a level surface, by the sun's height: for differences, not for exposures.

One surprising decision: one law covers day and twilight, though the two have different sources; they meet
where the brighter of them rules.
"""

import math

from logbook.craft.exposure import METER_C

LUMENS_PER_WATT = 110.0  # lm/W; luminous efficacy of daylight (recalled from memory, no source at hand)
SUNSET_DEG, CIVIL_END_DEG = -0.83, -6.0  # degrees; sun's centre at sunset, and at the end of civil twilight
SUNSET_LX, CIVIL_END_LX = 490.0, 2.65  # lx; within 410..585 and 2..3.5, AMS Glossary "civil twilight"


def open_sky_ev100(sun_height_deg: float) -> float:
    """Return EV at ISO 100 of a level grey surface under a clear sky.

    By day 910 sin h - 30 W/m2 (Kasten and Czeplak 1980, recalled from memory) times the efficacy of daylight;
    in twilight a straight line in stops through the values at sunset and at the end of civil twilight.
    """
    fall = math.log2(SUNSET_LX / CIVIL_END_LX) / (SUNSET_DEG - CIVIL_END_DEG)  # stops a degree
    twilight = math.log2(SUNSET_LX / METER_C * 100) + fall * (min(sun_height_deg, 0.5) - SUNSET_DEG)
    watts = 910.0 * math.sin(math.radians(sun_height_deg)) - 30.0
    if watts <= 0:
        return twilight
    return max(twilight, math.log2(watts * LUMENS_PER_WATT / METER_C * 100))
