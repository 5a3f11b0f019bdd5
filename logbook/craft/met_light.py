"""The light that pictures of a place met, and what it does to the light expected there.

One surprising decision: pictures of one hour count as one witness, since a bracket of five knows no more
about the next visit than its middle frame does.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import groupby
from statistics import fmean, median

from logbook.craft.bearings import off_axis_deg
from logbook.craft.eclipsed import TOLD_STOPS, Dimming
from logbook.craft.expected_light import STARLIT_EV100, ExpectedLight, expected_light
from logbook.craft.interpolation import along
from logbook.craft.marks import number_text

SAME_BEARING_DEG = 45.0  # degrees; morning sun says nothing of the evening's (own convention)
# Sun's height in degrees, and how far apart two heights may be to count as the same light: about one stop
# (from the slope of USNO Circular 171; own convention)
_SAME_HEIGHT_DEG = ((0.0, 0.75), (10.0, 2.0), (90.0, 10.0))
WITNESS_STOPS = 0.5  # stops; how far one picture's exposure lies from the light it met (own convention)
PLACE_STOPS = 2.0  # stops; how far walls, trees and haze take a place from any table (own convention)
WEATHER_STOPS = 1.0  # stops; how far the light of one visit may lie from that of the next (own convention)
LEAST_STOPS = 0.5  # stops; nearer than this nobody foresees light (own convention)


@dataclass(frozen=True, slots=True)
class MetLight:
    """What one picture met: the sun's place in degrees, and the scene's EV at ISO 100 before the filters."""

    at: datetime
    sun_azimuth_deg: float
    sun_altitude_deg: float
    scene_ev100: float


@dataclass(frozen=True, slots=True)
class Witnesses:
    """The pictures of a place at one height of the sun: how many, and the range of EV at ISO 100 they met.

    `beside_eclipse`: they met a sun or moon that an eclipse now dims.
    """

    count: int
    low_ev100: float
    high_ev100: float
    beside_eclipse: bool = False


def at_this_light(
    met: Sequence[MetLight], sun_azimuth_deg: float, sun_altitude_deg: float
) -> tuple[MetLight, ...]:
    """Return what was met with the sun at about this place in the sky (degrees)."""
    height_deg = along(_SAME_HEIGHT_DEG, sun_altitude_deg)
    return tuple(
        one
        for one in met
        if abs(one.sun_altitude_deg - sun_altitude_deg) <= height_deg
        and off_axis_deg(one.sun_azimuth_deg, sun_azimuth_deg) <= SAME_BEARING_DEG
    )


def light_here(
    met: Sequence[MetLight],
    facing_deg: float | None,
    sun_azimuth_deg: float,
    sun_altitude_deg: float,
    moon_altitude_deg: float | None = None,
    moon_lit: float | None = None,
    *,
    is_hidden: bool = False,
    is_moon_hidden: bool = False,
    sun_covered: float = 0.0,
    moonlight_lost: float = 0.0,
) -> tuple[ExpectedLight, Witnesses | None]:
    """Return the light to expect of a view as what was met there changes it; all angles in degrees.

    `facing_deg` None is a view whose direction nobody knows; `moon_lit` is the lit share of the moon's disc;
    `is_hidden` and `is_moon_hidden` a sun and a moon that the skyline hides; `sun_covered` and
    `moonlight_lost` the shares of the sun's disc and of the moon's light that an eclipse takes. The pictures
    met a light without it.
    """
    away_deg = None if facing_deg is None else off_axis_deg(facing_deg, sun_azimuth_deg)
    above = sun_altitude_deg, away_deg, moon_altitude_deg, moon_lit
    clear = expected_light(*above, is_hidden=is_hidden, is_moon_hidden=is_moon_hidden)
    informed, witnesses = with_witnesses(clear, at_this_light(met, sun_azimuth_deg, sun_altitude_deg))
    if not sun_covered and not moonlight_lost:
        return informed, witnesses
    eclipsed = expected_light(
        *above,
        is_hidden=is_hidden,
        is_moon_hidden=is_moon_hidden,
        sun_covered=sun_covered,
        moonlight_lost=moonlight_lost,
    )
    stops = clear.scene_ev100 - eclipsed.scene_ev100
    if stops < TOLD_STOPS:
        return informed, witnesses
    eclipsed = replace(eclipsed, dimming=Dimming(sun_covered, moonlight_lost, stops))
    if witnesses is None:
        return eclipsed, None
    return _informed(eclipsed, informed, clear), replace(witnesses, beside_eclipse=True)


def _informed(eclipsed: ExpectedLight, informed: ExpectedLight, clear: ExpectedLight) -> ExpectedLight:
    """The light of an eclipse at a place that is brighter or darker than the table says without one.

    It differs from the table by as much, and may be off by as much more as the table's is.
    """
    darker, brighter = (
        max(0.0, now - ordinary) for now, ordinary in zip(_reaches(eclipsed), _reaches(clear), strict=True)
    )
    below, over = _reaches(informed)
    scene = eclipsed.scene_ev100 + informed.scene_ev100 - clear.scene_ev100
    scene = max(scene, min(informed.scene_ev100, STARLIT_EV100))
    return replace(
        eclipsed,
        scene_ev100=scene,
        low_ev100=scene - below - darker,
        high_ev100=scene + over + brighter,
    )


def _reaches(light: ExpectedLight) -> tuple[float, float]:
    """How far a light may be darker and brighter than expected, in stops."""
    return light.scene_ev100 - light.low_ev100, light.high_ev100 - light.scene_ev100


def with_witnesses(
    expected: ExpectedLight, met: Sequence[MetLight]
) -> tuple[ExpectedLight, Witnesses | None]:
    """Return the expectation as pictures of the place at this light change it, and what they met.

    A normal estimate is joined with independent ones by their precision, so that the table soon yields; the
    range never excludes what was met. With no pictures the expectation stays as it is.
    """
    if not met:
        return expected, None
    hours = groupby(sorted(met, key=lambda one: one.at), key=lambda one: (one.at.date(), one.at.hour))
    seen = [median(one.scene_ev100 for one in group) for _, group in hours]
    weight = PLACE_STOPS**2 / (PLACE_STOPS**2 + WITNESS_STOPS**2 / len(seen))
    middle = expected.scene_ev100 + weight * (fmean(seen) - expected.scene_ev100)
    width = max(LEAST_STOPS, WEATHER_STOPS / len(seen) ** 0.5)
    low, high = min(one.scene_ev100 for one in met), max(one.scene_ev100 for one in met)
    informed = replace(
        expected, scene_ev100=middle, low_ev100=min(middle - width, low), high_ev100=max(middle + width, high)
    )
    return informed, Witnesses(len(met), low, high)


def met_text(witnesses: Witnesses) -> str:
    """Return what the pictures met in words: `3 keepers here in the same light show EV 9 to 10`."""
    when = "without the eclipse" if witnesses.beside_eclipse else "in the same light"
    low, high = (number_text(one, 1) for one in (witnesses.low_ev100, witnesses.high_ev100))
    many, show = ("1 keeper", "shows") if witnesses.count == 1 else (f"{witnesses.count} keepers", "show")
    return f"{many} here {when} {show} EV {low if low == high else f'{low} to {high}'}"
