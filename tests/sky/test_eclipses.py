"""Eclipses are those of an independent library, as far as they can be seen from the place."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from logbook.sky.eclipses import Eclipse, EclipseKind, discs_covered, eclipses
from logbook.sky.ephemeris import Body
from logbook.sky.observer import Observer

astronomy = pytest.importorskip("astronomy")  # astronomy-engine; the product must not use it
# The two count the earth's slowing differently in years that nobody has measured: 7 s in 2037, 17 s in 2045
CLOSE_S = 20.0


def light_lost(at: datetime) -> float:
    """How much of the sun the earth hides from the moon's face, in the mean of a grid of points on it.

    Positions by astronomy-engine; radii of sun (IAU 2015), moon and earth (IUGG mean), the earth's larger by
    1/85 for its air, as almanacs count it (Danjon); the common part of two discs by plane geometry.
    """
    when = astronomy.Time.Make(at.year, at.month, at.day, at.hour, at.minute, 0.0)
    bodies = [astronomy.GeoVector(one, when, True) for one in (astronomy.Body.Moon, astronomy.Body.Sun)]
    moon, sun = (np.array([one.x, one.y, one.z]) * astronomy.KM_PER_AU for one in bodies)
    right = np.cross(moon, [0.0, 0.0, 1.0])
    up = np.cross(right, moon)
    right, up = right / np.linalg.norm(right), up / np.linalg.norm(up)
    lost = []
    for x in np.linspace(-1, 1, 41):
        for y in np.linspace(-1, 1, 41):
            if x**2 + y**2 <= 1:
                here = moon + 1737.4 * (x * right + y * up)
                to_sun, to_earth = sun - here, -here
                far, near = np.linalg.norm(to_sun), np.linalg.norm(to_earth)
                apart = np.arccos(np.clip(to_sun @ to_earth / (far * near), -1, 1))
                lost.append(hidden(apart, np.arcsin(695_700 / far), np.arcsin(6371 * (1 + 1 / 85) / near)))
    return float(np.mean(lost))


def hidden(apart: float, disc: float, other: float) -> float:
    """The share of a disc behind a larger one, by their radii and how far apart they are."""
    if apart >= disc + other:
        return 0.0
    if apart <= other - disc:
        return 1.0
    cut = disc**2 * np.arccos((apart**2 + disc**2 - other**2) / (2 * apart * disc))
    cut += other**2 * np.arccos((apart**2 + other**2 - disc**2) / (2 * apart * other))
    kite = (other + disc - apart) * (apart + disc - other) * (apart - disc + other) * (apart + disc + other)
    return float((cut - np.sqrt(kite) / 2) / (np.pi * disc**2))


@pytest.mark.slow
@pytest.mark.parametrize(("hour", "minute"), [(2, 0), (2, 40), (3, 30), (4, 13), (5, 40), (6, 10)])
def test_the_moonlight_that_the_earth_keeps_away_is_that_of_a_grid_of_points(hour: int, minute: int) -> None:
    """The partial eclipse of 2026-08-28, from its half shadow to its height; 0.006 of the light."""
    at = datetime(2026, 8, 28, hour, minute, tzinfo=UTC)
    (covered,) = discs_covered(Observer(0.0, -60.0), (at,), 0.99)
    assert covered.moonlight == pytest.approx(light_lost(at), abs=0.006)


def utc(time: Any) -> datetime:
    found: datetime = time.Utc().replace(tzinfo=UTC)
    return found


def day_of(place: Observer, peak: datetime) -> tuple[Eclipse, ...]:
    """The eclipses within twelve hours of an instant."""
    return eclipses(place, peak - timedelta(hours=12), peak + timedelta(hours=12))


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "after", "kind"),
    [
        (25.7, 32.65, (2027, 7, 20), EclipseKind.TOTAL),
        (43.0, -3.0, (2026, 8, 1), EclipseKind.TOTAL),  # low in the west
        (35.2, -107.0, (2023, 10, 1), EclipseKind.ANNULAR),
        (47.0, 11.0, (2026, 8, 1), EclipseKind.PARTIAL),  # sets eclipsed
        (-36.0, 150.0, (2028, 7, 1), EclipseKind.PARTIAL),
        (70.0, -30.0, (2026, 8, 1), EclipseKind.TOTAL),
    ],
)
def test_a_solar_eclipse_is_the_librarys(
    latitude_deg: float, longitude_deg: float, after: tuple[int, int, int], kind: EclipseKind
) -> None:
    begin = astronomy.Time.Make(*after, 0, 0, 0)
    theirs = astronomy.SearchLocalSolarEclipse(begin, astronomy.Observer(latitude_deg, longitude_deg, 0.0))
    place = Observer(latitude_deg, longitude_deg)
    (ours,) = day_of(place, utc(theirs.peak.time))
    assert (ours.body, ours.kind) == (Body.SUN, kind)
    pairs = [(ours.greatest, theirs.peak), (ours.begins, theirs.partial_begin)]
    if not ours.sets:
        pairs.append((ours.ends, theirs.partial_end))
    if ours.central_from and ours.central_to:
        pairs += [(ours.central_from, theirs.total_begin), (ours.central_to, theirs.total_end)]
    else:
        assert theirs.total_begin is None
    for our, their in pairs:
        assert abs((our - utc(their.time)).total_seconds()) <= CLOSE_S
    assert ours.sets is (theirs.partial_end.altitude < -16 / 60)  # theirs is refracted
    (covered,) = discs_covered(place, [utc(theirs.peak.time)], 0.0)
    assert covered.sun == pytest.approx(theirs.obscuration, abs=0.005)


@pytest.mark.slow
def test_every_lunar_eclipse_of_six_years_is_found_and_no_other() -> None:
    """Half lengths to 90 s, since two rules widen the earth's shadow differently; penumbral ones are none."""
    theirs = astronomy.SearchLunarEclipse(astronomy.Time.Make(2024, 1, 1, 0, 0, 0))
    while theirs.peak.Utc().year < 2030:
        peak = utc(theirs.peak)
        moon = astronomy.Equator(astronomy.Body.Moon, theirs.peak, astronomy.Observer(0, 0, 0), True, True)
        beneath_deg = ((moon.ra - astronomy.SiderealTime(theirs.peak)) * 15.0 + 540.0) % 360.0 - 180.0
        ours = day_of(Observer(moon.dec, beneath_deg), peak)
        wanted = {1: (), 2: (EclipseKind.PARTIAL,), 4: (EclipseKind.TOTAL,)}[theirs.kind.value]
        assert tuple(one.kind for one in ours) == wanted, peak
        for one in ours:
            half_s = (one.ends - one.begins).total_seconds() / 2.0
            assert abs(half_s - 60.0 * theirs.sd_partial) <= 90.0
            assert one.body is Body.MOON
        theirs = astronomy.NextLunarEclipse(theirs.peak)


def test_an_eclipse_under_the_horizon_is_none() -> None:
    """The sun of 2 August 2027, total at 25.7 N 32.65 E about 10:05 UTC, is down on the other side."""
    noon = datetime(2027, 8, 2, 10, 5, tzinfo=UTC)
    assert day_of(Observer(25.7, 32.65), noon)
    assert not day_of(Observer(-25.7, -147.35), noon)
    assert not day_of(Observer(25.7, 32.65, 0.0, 45.0), noon - timedelta(days=1))


def test_a_body_that_comes_up_eclipsed_begins_at_its_rise() -> None:
    """On 7 September 2025 the moon rises totally eclipsed at 47 N 11 E (astronomy-engine)."""
    (ours,) = day_of(Observer(47.0, 11.0), datetime(2025, 9, 7, 18, 11, tzinfo=UTC))
    assert (ours.kind, ours.rises, ours.sets) == (EclipseKind.TOTAL, True, False)
    assert ours.begins == ours.central_from
    rise = astronomy.SearchRiseSet(
        astronomy.Body.Moon, astronomy.Observer(47.0, 11.0, 0.0), astronomy.Direction.Rise,
        astronomy.Time.Make(2025, 9, 7, 12, 0, 0), 1,
    )  # fmt: skip
    assert abs((ours.begins - utc(rise)).total_seconds()) <= CLOSE_S


def test_an_eclipse_over_midnight_is_the_same_one_on_both_days() -> None:
    """On 20 December 2029 the moon is eclipsed from 20:55 UTC on, totally past 23:00 (astronomy-engine)."""
    theirs = astronomy.SearchLunarEclipse(astronomy.Time.Make(2029, 12, 1, 0, 0, 0))
    place, midnight = Observer(47.0, 11.0), datetime(2029, 12, 20, 23, 0, tzinfo=UTC)
    day = timedelta(days=1)
    (ours,) = eclipses(place, midnight - day, midnight)
    assert eclipses(place, midnight, midnight + day) == (ours,)
    for span in ((midnight - 2 * day, midnight - day), (midnight + day, midnight + 2 * day)):
        assert not eclipses(place, *span)
    assert ours.begins < midnight < ours.ends
    assert abs((ours.greatest - utc(theirs.peak)).total_seconds()) <= CLOSE_S
    assert abs((ours.ends - ours.begins).total_seconds() - 120.0 * theirs.sd_partial) <= 180.0
    assert ours.central_from
    assert ours.central_to
    assert abs((ours.central_to - ours.central_from).total_seconds() - 120.0 * theirs.sd_total) <= 180.0


@pytest.mark.parametrize(
    "at",
    [
        "2025-09-07T15:20",  # total that evening; before the half shadow
        "2025-09-07T16:00",
        "2025-09-07T16:27",  # the shadow touches
        "2025-09-07T16:50",
        "2025-09-07T17:20",
        "2025-09-07T18:11",
        "2026-08-28T03:00",
        "2026-08-28T04:13",  # 93 % of the diameter
        "2024-09-18T02:44",  # 8 % of it
        "2024-03-25T07:13",  # the half shadow alone
    ],
)
def test_moonlight_is_lost_as_each_point_of_the_moon_sees_the_sun_go(at: str) -> None:
    """Summed point by point over both discs from the vectors of astronomy-engine; a hundredth of the light.

    The earth is a hundredth larger there (Danjon, in Espenak and Meeus, NASA/TP-2009-214172).
    """
    instant = datetime.fromisoformat(at).replace(tzinfo=UTC)
    (covered,) = discs_covered(Observer(0.0, 0.0), [instant], 1.0)
    assert covered.moonlight == pytest.approx(moonlight_lost(instant), abs=0.01)


def moonlight_lost(at: datetime) -> float:
    """What the earth hides of the sun, seen from each point of the moon's disc, without the program."""
    when = astronomy.Time.Make(at.year, at.month, at.day, at.hour, at.minute, at.second)
    km = astronomy.KM_PER_AU
    sun, moon = (
        np.array([one.x, one.y, one.z]) * km
        for one in (
            astronomy.GeoVector(body, when, False) for body in (astronomy.Body.Sun, astronomy.Body.Moon)
        )
    )
    towards = moon / np.linalg.norm(moon)
    side = np.cross(towards, [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    up = np.cross(side, towards)
    across = (np.arange(40) + 0.5) / 20 - 1
    x, y = (one.ravel() for one in np.meshgrid(across, across))
    inside = x**2 + y**2 < 1
    points = moon + 1737.4 * (x[inside, None] * side + y[inside, None] * up)
    to_sun, to_earth = sun - points, -points
    apart = np.arctan2(np.linalg.norm(np.cross(to_sun, to_earth), axis=1), (to_sun * to_earth).sum(axis=1))
    wide = np.arcsin(695_700.0 / np.linalg.norm(to_sun, axis=1))
    earth = np.arcsin(1.01 * 6378.137 / np.linalg.norm(to_earth, axis=1))
    hidden = [
        (((x[inside] * s - a) ** 2 + (y[inside] * s) ** 2) < e**2).mean()
        for a, s, e in zip(apart, wide, earth, strict=True)
    ]
    return float(np.mean(hidden))
