"""The light of a day: whole, at the place asked about, and nothing where the sky is unknown."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest

from logbook.domain.position import Position
from logbook.services.light.day_light import day_light, sun_stood

PLACE = Position(47.12, 12.73)


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
