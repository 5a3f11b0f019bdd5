"""What an eclipse leaves of the light: a sun behind the moon, a moon in the earth's shadow.

One surprising decision: the sun's light is counted by the area that is left, though its limb is darker than
its middle, so that anybody can check the stops against an almanac; the range reaches as low as the limb does.
"""

from dataclasses import dataclass

from logbook.craft.illuminance import Illuminance
from logbook.craft.interpolation import along
from logbook.craft.marks import counted_stops, number_text

# What lights the ground in totality, as a share of the light of an uncovered sun: a few lx where that gives
# 100,000, scattered in from beyond the moon's shadow (Sharp, Silverman and Lloyd, Applied Optics 10, 1971,
# abstract; Silverman and Mullen, Applied Optics 14, 1975, recalled from memory); and how many stops it may be
# off. Skies measured overhead fit that (tests/truth/test_eclipsed_light.py)
TOTALITY_SHARE, TOTALITY_STOPS = 4e-5, 2.0
# The share of the disc that is covered, and by how many stops the limb that is left is darker than its area,
# for crescent or ring, whichever is more: the law of Neckel and Labs, Solar Physics 153 (1994), table 1, at
# 550 nm, integrated (tests/truth/test_eclipsed_light.py). That a bite out of the limb takes up to 0.03 stops
# less than its area is left out
_LIMB = ((0.3, 0.0), (0.5, 0.08), (0.7, 0.2), (0.8, 0.35), (0.88, 0.75), (0.99, 1.1), (1.0, 1.6))
TOLD_STOPS = 0.05  # less than this, nobody would see or meter
_NEARLY = 0.995  # share of the sun's disc; what is left then counts for less than its area


@dataclass(frozen=True, slots=True)
class Dimming:
    """What an eclipse takes: shares of the sun's disc and of the moonlight, and stops of the scene."""

    sun_covered: float
    moonlight_lost: float
    stops: float


def eclipsed_sun(light: Illuminance, covered: float) -> Illuminance:
    """Return what a sun gives of its light with a share of its disc covered, 0 to 1.

    In totality the sky alone is left, lit from beyond the moon's shadow; before, both add up, so that nothing
    jumps.
    """
    left = 1.0 - covered
    beyond_lx = covered * TOTALITY_SHARE * light.ground_lx
    return Illuminance(light.altitude_deg, left * light.square_lx, left * light.sky_lx + beyond_lx)


def eclipsed_range(covered: float, stops: float) -> tuple[float, float]:
    """Return how much darker and brighter than expected light may be, that without an eclipse may by `stops`.

    The limb counts as long as the sun's own light does, and the doubt of totality from there on.
    """
    beyond = covered * TOTALITY_SHARE
    share = beyond / (1.0 - covered + beyond)  # of the light that is there
    either = stops + share * max(0.0, TOTALITY_STOPS - stops)
    return either + (1.0 - share) * along(_LIMB, covered), either


def dimming_text(dimming: Dimming) -> str:
    """Return what an eclipse does: `the moon covers 54% of the sun: 1.1 stops less light, …`."""
    sun, moonlight = dimming.sun_covered, dimming.moonlight_lost
    less = counted_stops(round(dimming.stops, 1))
    if sun > _NEARLY:
        which = "the whole sun" if sun >= 1.0 else "nearly all of the sun"
        about = f"about {number_text(dimming.stops, 0)} stops less light, already counted"
        return f"the moon covers {which}: {about}; meter it there"
    if sun > 0.0:
        return f"the moon covers {sun:.0%} of the sun: {less} less light, already counted"
    if moonlight > _NEARLY:
        return f"the moon is in the earth's shadow: {less} less light, already counted"
    return f"the earth's shadow takes {moonlight:.0%} of the moonlight: {less} less light, already counted"
