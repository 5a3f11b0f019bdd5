"""The light of a day: whole, at the place asked about, and nothing where the sky is unknown."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.position import Position
from logbook.services.light.day_light import (
    LensAndSensor,
    LightDay,
    day_light,
    light_at,
    light_of_day,
    sun_stood,
)
from logbook.services.light.standpoints import at_coordinate

PLACE = Position(47.12, 12.73)
FRAME = LensAndSensor(24.0, FULL_FRAME, stated=False)
ALPS, NILE, COAST = Position(47.0, 11.0), Position(25.7, 32.65), Position(39.6, 2.6)


def light_on(place: Position, on_date: date) -> LightDay:
    return light_of_day(at_coordinate(place), on_date, FRAME)


def test_the_phases_cover_the_day_from_its_begin_without_gaps() -> None:
    light = day_light(date(2031, 10, 14), PLACE, "Europe/Vienna", time(4))
    assert light is not None
    assert light.start == datetime(2031, 10, 14, 2, tzinfo=UTC)
    assert light.end - light.start == timedelta(days=1)
    assert light.phases[0].start == light.start
    assert light.phases[-1].end == light.end
    assert all(before.end == after.start for before, after in pairwise(light.phases))


def test_a_day_beyond_the_ephemeris_has_no_light() -> None:
    assert day_light(date(1500, 1, 1), PLACE, "Europe/Vienna", time(4)) is None
    assert sun_stood(PLACE, datetime(1500, 1, 1, tzinfo=UTC)) is None


def test_the_sun_stood_where_an_independent_library_says() -> None:
    # pvlib, solarposition.get_solarposition (NREL SPA: Reda and Andreas 2004). Tolerance: 0.02 degrees.
    solarposition = pytest.importorskip("pvlib").solarposition
    pandas = pytest.importorskip("pandas")
    at = datetime(2031, 10, 14, 15, 30, tzinfo=UTC)
    asked = pandas.DatetimeIndex([at])
    other = solarposition.get_solarposition(asked, PLACE.latitude_deg, PLACE.longitude_deg).iloc[0]
    sun = sun_stood(PLACE, at)
    assert sun is not None
    assert sun.azimuth_deg == pytest.approx(other["azimuth"], abs=0.02)
    assert sun.altitude_deg == pytest.approx(other["elevation"], abs=0.02)


def test_the_light_of_an_eclipse_counts_what_is_covered_and_is_told_only_where_it_takes_any() -> None:
    """Of the sun of 2 August 2027 nothing is covered at 11:30, all of it at 13:05 (astronomy-engine)."""
    day, day_before = light_on(NILE, date(2027, 8, 2)), light_on(NILE, date(2027, 8, 1))
    (eclipse,) = day.eclipses
    early, late = light_at(day, time(11, 30)), light_at(day, time(13, 5))
    assert (early.sun_covered, early.expected.dimming) == (0.0, None)
    assert early.expected.scene_ev100 == pytest.approx(
        light_at(day_before, time(11, 30)).expected.scene_ev100, abs=0.02
    )
    assert late.sun_covered == 1.0
    assert late.expected.dimming is not None
    assert late.expected.dimming.stops > 13
    assert -2 < late.expected.low_ev100 < late.expected.high_ev100 < 3
    begins = eclipse.begins.astimezone(day.standpoint.zone).time().replace(second=0, microsecond=0)
    first = light_at(day, begins.replace(minute=begins.minute + 1))
    assert (first.eclipse, first.expected.dimming) == (eclipse, None)
    assert 0.0 < first.sun_covered < 0.01


def test_an_eclipse_that_sets_with_the_sun_dims_the_twilight_too() -> None:
    """On 12 August 2026 the sun sets eclipsed over this sea, about twenty minutes past totality."""
    day = light_on(COAST, date(2026, 8, 12))
    (eclipse,) = day.eclipses
    assert eclipse.sets
    last = eclipse.ends.astimezone(day.standpoint.zone)
    before, after = (
        light_at(day, (last + timedelta(minutes=minutes)).time().replace(second=0)) for minutes in (-1, 1)
    )
    assert before.eclipse == eclipse
    assert after.eclipse is None
    assert after.expected.dimming is not None
    assert after.expected.scene_ev100 == pytest.approx(before.expected.scene_ev100, abs=0.5)


def test_a_moon_that_rises_eclipsed_takes_nothing_of_twilight() -> None:
    """On 7 September 2025 it is total to 20:53 at 47 N 11 E; civil dusk is 20:14 (astronomy-engine)."""
    day = light_on(ALPS, date(2025, 9, 7))
    early, late = light_at(day, time(19, 50)), light_at(day, time(20, 50))
    assert early.eclipse == late.eclipse == day.eclipses[0]
    assert early.expected.dimming is None
    assert late.expected.dimming is not None
    assert late.expected.dimming.moonlight_lost == 1.0
