from datetime import UTC, datetime, timedelta, timezone

import pytest

from logbook.sky.ephemeris import Body
from logbook.sky.errors import SkyValueError
from logbook.sky.observer import Observer
from logbook.sky.position import Air, moon_position, path, positions_from, sun_position, sun_positions

HERE = Observer(46.5, 8.3, 1600.0)
NOON = datetime(2031, 10, 14, 11, 0, tzinfo=UTC)


def test_many_instants_give_the_same_as_each_alone() -> None:
    instants = [NOON + timedelta(hours=h) for h in (5, 0, 11)]
    for together, at in zip(sun_positions(HERE, instants), instants, strict=True):
        alone = sun_position(HERE, at)
        assert together.at == at
        assert together.azimuth_deg == pytest.approx(alone.azimuth_deg, abs=1e-9)
        assert together.altitude_deg == pytest.approx(alone.altitude_deg, abs=1e-9)


def test_many_places_at_times_of_their_own_give_the_same_as_each_alone() -> None:
    places = [
        (HERE, NOON),
        (Observer(-33.9, 151.2), NOON + timedelta(days=100)),
        (Observer(78.2, 15.6, 450.0), NOON - timedelta(days=20_000)),
        (HERE, NOON + timedelta(hours=5)),
    ]
    for body, look in ((Body.SUN, sun_position), (Body.MOON, moon_position)):
        for together, (observer, at) in zip(positions_from(body, places), places, strict=True):
            alone = look(observer, at)
            assert together.at == at
            assert together.azimuth_deg == pytest.approx(alone.azimuth_deg, abs=1e-9)
            assert together.altitude_deg == pytest.approx(alone.altitude_deg, abs=1e-9)
            assert together.distance_km == pytest.approx(alone.distance_km, abs=1e-4)


def test_no_places_give_no_positions() -> None:
    assert positions_from(Body.SUN, []) == ()


def test_an_instant_in_any_zone_is_the_same_instant() -> None:
    elsewhere = NOON.astimezone(timezone(timedelta(hours=9)))
    assert sun_position(HERE, elsewhere) == sun_position(HERE, NOON)


def test_air_lifts_a_low_sun_and_is_left_out_unless_asked_for() -> None:
    evening = datetime(2031, 10, 14, 16, 0, tzinfo=UTC)
    bare, lifted = sun_position(HERE, evening), sun_position(HERE, evening, Air())
    assert 0.0 < bare.altitude_deg < 10.0
    assert 0.05 < lifted.altitude_deg - bare.altitude_deg < 0.6


def test_no_instants_give_no_positions() -> None:
    assert sun_positions(HERE, []) == ()


def test_a_path_reaches_from_start_to_end() -> None:
    walk = path(Body.SUN, HERE, NOON, NOON + timedelta(minutes=12))
    assert [p.at - NOON for p in walk] == [timedelta(minutes=m) for m in (0, 5, 10, 12)]
    walk = path(Body.MOON, HERE, NOON, NOON + timedelta(minutes=10))
    assert [p.at - NOON for p in walk] == [timedelta(minutes=m) for m in (0, 5, 10)]


def test_a_path_without_length_is_refused() -> None:
    with pytest.raises(SkyValueError, match="must end after it starts"):
        path(Body.SUN, HERE, NOON, NOON)


def test_an_instant_without_zone_is_refused() -> None:
    with pytest.raises(SkyValueError, match="has no zone"):
        sun_position(HERE, NOON.replace(tzinfo=None))


@pytest.mark.parametrize("year", [1850, 2075])
def test_a_year_outside_the_ephemeris_is_refused(year: int) -> None:
    with pytest.raises(SkyValueError, match="is outside 1899-08-01 to 2053-10-01"):
        moon_position(HERE, NOON.replace(year=year))


@pytest.mark.parametrize("place", [(91.0, 0.0), (float("nan"), 0.0), (0.0, 181.0), (0.0, 0.0, 1e6)])
def test_a_place_not_on_earth_is_refused(place: tuple[float, ...]) -> None:
    with pytest.raises(SkyValueError):
        Observer(*place)


def test_the_whole_span_of_the_ephemeris_can_be_asked_for() -> None:
    from logbook.sky.ephemeris import FIRST_INSTANT, LAST_INSTANT

    assert len(sun_positions(HERE, [FIRST_INSTANT, LAST_INSTANT])) == 2
    assert moon_position(HERE, LAST_INSTANT).distance_km > 350_000.0
