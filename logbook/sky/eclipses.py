"""Eclipses of sun and moon as far as they can be seen from a place.

One surprising decision: only what stands over the observer's horizon counts. An eclipse under way at sunrise
begins there, and one below the horizon is none; but midnight cuts none, and both days tell of the whole of
it. The penumbra, which no picture of the moon shows, begins none; what it takes of the moonlight counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from logbook.sky.ephemeris import Body, from_earths_centre, sight, to_datetime, to_seconds, to_seconds_array
from logbook.sky.moon import moon_phase
from logbook.sky.observer import Observer
from logbook.sky.phases import ASTRONOMICAL_DEG
from logbook.sky.position import MOON_RADIUS_KM, SUN_RADIUS_KM

if TYPE_CHECKING:
    from logbook.sky.crossings import Floats

EARTH_RADIUS_KM = 6378.137  # WGS84, equator
DANJON = 1.01  # the air widens the earth's shadow; Danjon, in Espenak and Meeus, NASA/TP-2009-214172, 1.2
# Degrees of longitude from new or full moon at a day's middle, past which the day has no eclipse: the moon
# gains at most 14.5 a day on the sun, and an eclipse lasts while they are within three (own arithmetic)
_NEAR_DEG = 12.0
ECLIPSE_LIT = 0.02  # of the moon's disc; the same in its light: 16 degrees from new or full, a day's way
_TOUCH_DEG = 1e-9  # nearer than this, two centres are one
_CIRCLES = 48  # on which the moon's light is summed; 3,000 differ by less than 2e-5 (tried)
_COARSE_S, _FINE_S = 300.0, 10.0  # a partial eclipse of less than five minutes is nothing to see
_LONGEST_S = 18_000.0  # five hours; the moon crosses the earth's shadow within four (NASA/TP-2009-214172)


class EclipseKind(StrEnum):
    """How much is covered when most of it is."""

    PARTIAL = "partial"
    ANNULAR = "annular"
    TOTAL = "total"


@dataclass(frozen=True, slots=True)
class Eclipse:
    """An eclipse as seen from a place; instants in UTC.

    `covered` is the share of the diameter that is covered at `greatest`, 0 to 1. From `central_from` to
    `central_to` it is total or annular. `rises` and `sets`: the body comes up or goes down eclipsed.
    """

    body: Body
    kind: EclipseKind
    begins: datetime
    greatest: datetime
    ends: datetime
    covered: float
    central_from: datetime | None
    central_to: datetime | None
    rises: bool
    sets: bool

    def is_under_way(self, at: datetime) -> bool:
        """Whether it is seen at an aware instant."""
        return self.begins <= at <= self.ends


@dataclass(frozen=True, slots=True)
class Covered:
    """What an eclipse takes: the share of the sun's disc (its area, 0 to 1), and that of the moon's light."""

    sun: float = 0.0
    moonlight: float = 0.0


def eclipses(observer: Observer, start: datetime, end: datetime) -> tuple[Eclipse, ...]:
    """Return the eclipses seen in [start, end), of a day or less, each of them whole.

    SkyValueError outside the ephemeris.
    """
    return _eclipses(observer, start.astimezone(UTC), end.astimezone(UTC))


@lru_cache(maxsize=512)
def _eclipses(observer: Observer, start: datetime, end: datetime) -> tuple[Eclipse, ...]:
    longitude_deg = moon_phase(start + (end - start) / 2).phase_longitude_deg
    for body, at_deg in ((Body.SUN, 0.0), (Body.MOON, 180.0)):
        if abs((longitude_deg - at_deg + 180.0) % 360.0 - 180.0) <= _NEAR_DEG:
            return _seen(body, observer, to_seconds(start), to_seconds(end))
    return ()


def discs_covered(observer: Observer, instants: Sequence[datetime], moon_lit: float) -> tuple[Covered, ...]:
    """Return what is covered at aware instants of a day on which this share of the moon's disc is lit.

    Only about new and full moon anything is worked out. A sun in the earth's night lights nothing and counts
    as uncovered. SkyValueError outside the ephemeris.
    """
    if ECLIPSE_LIT < moon_lit < 1.0 - ECLIPSE_LIT:
        return (Covered(),) * len(instants)
    seconds = to_seconds_array(instants)
    if moon_lit < 0.5:
        return tuple(Covered(sun=share) for share in _sun_shares(observer, seconds))
    return tuple(Covered(moonlight=share) for share in _moonlight_lost(seconds))


def _sun_shares(observer: Observer, seconds: Floats) -> list[float]:
    import numpy as np

    altitude_deg = sight(Body.SUN, observer, seconds).altitude_deg
    apart, sun, moon = _discs(observer, seconds)
    shares: list[float] = _shares(
        np.where(altitude_deg < ASTRONOMICAL_DEG, np.inf, apart), sun, moon
    ).tolist()
    return shares


def _moonlight_lost(seconds: Floats) -> list[float]:
    """The share of the full moon's light that the earth keeps from it, its half shadow counted.

    Each point of the moon sees a part of the sun beside the earth; a full moon is equally bright from its
    middle to its edge (common knowledge). Summed over circles about the middle of the shadow.
    """
    import numpy as np

    apart, shadow, moon, sun = (one[:, np.newaxis] for one in _shadow(seconds))
    nodes, weights = np.polynomial.legendre.leggauss(_CIRCLES)
    nearest, farthest = np.maximum(apart - moon, 0.0), apart + moon
    reach = nearest + (farthest - nearest) * (nodes + 1.0) / 2.0
    # half the angle of such a circle that lies on the moon, by the law of cosines
    cosine = (reach**2 + apart**2 - moon**2) / np.maximum(2.0 * reach * apart, _TOUCH_DEG**2)
    lie_there = weights * reach * np.arccos(np.clip(cosine, -1.0, 1.0))
    lost: list[float] = np.average(_shares(reach, sun, shadow + sun), axis=1, weights=lie_there).tolist()
    return lost


def _shares(apart: Floats, disc: Floats, other: Floats) -> Floats:
    """The share of a disc behind another, by their radii and how far apart they are.

    The lens common to two circles (plane geometry; the discs are half a degree wide, the earth's shadow three
    times that).
    """
    import numpy as np

    near = np.clip(apart, np.maximum(np.abs(disc - other), _TOUCH_DEG), disc + other)
    by_disc = (near**2 + disc**2 - other**2) / (2 * near)  # from the disc's centre to the chord
    area = _segment(disc, by_disc) + _segment(other, near - by_disc)
    share = np.where(apart <= other - disc, 1.0, area / (np.pi * disc**2))
    shares: Floats = np.where(apart >= disc + other, 0.0, share)
    return shares


def _segment(radius: Floats, reach: Floats) -> Floats:
    """The area of a circle beyond a chord so far from its centre, negative beyond the centre."""
    import numpy as np

    inside = np.clip(reach / radius, -1.0, 1.0)
    area: Floats = radius**2 * (np.arccos(inside) - inside * np.sqrt(1.0 - inside**2))
    return area


def _seen(body: Body, observer: Observer, start_s: float, end_s: float) -> tuple[Eclipse, ...]:
    """The eclipses of one body in a span, from a coarse look and a fine one."""
    import numpy as np

    coarse = np.arange(start_s - _LONGEST_S, end_s + _LONGEST_S, _COARSE_S)
    found = coarse[_touches(body, observer, coarse)[0] > 0.0]
    if not found.size:
        return ()
    times = np.arange(found[0] - _COARSE_S, found[-1] + _COARSE_S, _FINE_S)
    touch, cover, width = _touches(body, observer, times)
    up = sight(body, observer, times).altitude_deg - observer.sun_rises_deg
    seen = np.minimum(touch, up)
    inside = np.concatenate([[False], seen > 0.0, [False]])
    edges = np.flatnonzero(inside[1:] != inside[:-1])
    return tuple(
        _eclipse(body, times, (first, last), touch, cover, width, up)
        for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
        if last - first > 1 and times[first] < end_s and times[last - 1] >= start_s
    )


def _eclipse(
    body: Body,
    times: Floats,
    between: tuple[int, int],
    touch: Floats,
    cover: Floats,
    width: Floats,
    up: Floats,
) -> Eclipse:
    """One eclipse from its samples."""
    import numpy as np

    first, last = between
    most = first + int(np.argmax(touch[first:last] / width[first:last]))
    central = [at for at in range(first, last) if cover[at] > 0.0]
    is_ring = body is Body.SUN and touch[most] / width[most] < 1.0
    kind = EclipseKind.PARTIAL if not central else EclipseKind.ANNULAR if is_ring else EclipseKind.TOTAL
    return Eclipse(
        body,
        kind,
        _edge(times, np.minimum(touch, up), first),
        to_datetime(times[most]),
        _edge(times, np.minimum(touch, up), last),
        min(1.0, float(touch[most] / width[most])),
        _edge(times, np.minimum(cover, up), central[0]) if central else None,
        _edge(times, np.minimum(cover, up), central[-1] + 1) if central else None,
        bool(touch[max(0, first - 1)] > 0.0) and first > 0,
        last < times.size and bool(touch[last] > 0.0),
    )


def _edge(times: Floats, values: Floats, index: int) -> datetime:
    """Where a curve passes zero between a sample and the one before, or the end of the samples."""
    if not 0 < index < times.size:
        return to_datetime(times[min(index, times.size - 1)])
    was, now = values[index - 1], values[index]
    return to_datetime(times[index - 1] + (times[index] - times[index - 1]) * was / (was - now))


def _touches(body: Body, observer: Observer, seconds: Floats) -> tuple[Floats, Floats, Floats]:
    """By how much two discs overlap, how far one lies within the other, and how wide the body is; degrees.

    The overlap over the width is the share of the diameter that is covered.
    """
    import numpy as np

    if body is Body.SUN:
        apart, sun, moon = _discs(observer, seconds)
        return sun + moon - apart, np.abs(moon - sun) - apart, 2.0 * sun
    apart, shadow, moon, _ = _shadow(seconds)
    return shadow + moon - apart, shadow - moon - apart, 2.0 * moon


def _discs(observer: Observer, seconds: Floats) -> tuple[Floats, Floats, Floats]:
    """Seen from a place: how far sun and moon are apart, and their radii, in degrees."""
    import numpy as np

    sun, moon = (sight(body, observer, seconds) for body in (Body.SUN, Body.MOON))
    first, second = np.radians(sun.altitude_deg), np.radians(moon.altitude_deg)
    turn = np.radians(moon.azimuth_deg - sun.azimuth_deg)
    # haversine, which keeps small angles; Meeus, Astronomical Algorithms, ch. 17
    half = np.sin((second - first) / 2) ** 2 + np.cos(first) * np.cos(second) * np.sin(turn / 2) ** 2
    return (
        np.degrees(2.0 * np.arcsin(np.sqrt(half))),
        np.degrees(np.arcsin(SUN_RADIUS_KM / sun.distance_km)),
        np.degrees(np.arcsin(MOON_RADIUS_KM / moon.distance_km)),
    )


def _shadow(seconds: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """From the earth's centre: how far the moon is from the middle of the shadow, and the radii of shadow,
    moon and sun, in degrees.

    Umbra by Danjon's rule (Espenak and Meeus, NASA/TP-2009-214172, section 1.2).
    """
    import numpy as np

    sun, moon = (from_earths_centre(body, seconds)[0] for body in (Body.SUN, Body.MOON))
    sun_km, moon_km = np.linalg.norm(sun, axis=0), np.linalg.norm(moon, axis=0)
    apart = np.arctan2(np.linalg.norm(np.cross(-sun, moon, axis=0), axis=0), (-sun * moon).sum(axis=0))
    parallax = DANJON * np.arcsin(EARTH_RADIUS_KM / moon_km) + np.arcsin(EARTH_RADIUS_KM / sun_km)
    sun_wide, moon_wide = np.arcsin(SUN_RADIUS_KM / sun_km), np.arcsin(MOON_RADIUS_KM / moon_km)
    return np.degrees(apart), np.degrees(parallax - sun_wide), np.degrees(moon_wide), np.degrees(sun_wide)
