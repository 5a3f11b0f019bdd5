"""Whose clock counts at a place on a day."""

from datetime import date

import pytest

from logbook.domain.place_clock import PlaceClock, ZoneFrom, clock_at, zones_there
from logbook.domain.position import Position

SUMMER, WINTER = date(2031, 6, 11), date(2031, 12, 11)
EAST_OF_A_BORDER, WEST_OF_IT = Position(37.21, -7.30), Position(37.2, -7.42)  # an hour apart
AT_SEA = Position(45.0, -30.0)
TWO_CLOCKS = Position(43.8, 87.6)  # people there keep one of two times
LISBON = "Europe/Lisbon"


@pytest.mark.parametrize(
    ("position", "said", "zone", "zone_from"),
    [
        (EAST_OF_A_BORDER, {"trip_zone": LISBON}, "Europe/Madrid", ZoneFrom.COORDINATE),
        (WEST_OF_IT, {"trip_zone": LISBON}, LISBON, ZoneFrom.TRIP),
        (EAST_OF_A_BORDER, {"trip_zone": "Europe/Berlin"}, "Europe/Berlin", ZoneFrom.TRIP),  # the same clock
        (EAST_OF_A_BORDER, {"trip_zone": "+02:00"}, "+02:00", ZoneFrom.TRIP),
        (EAST_OF_A_BORDER, {"trip_zone": LISBON, "day_zone": LISBON}, LISBON, ZoneFrom.DAY),
        (WEST_OF_IT, {"trip_zone": LISBON, "day_zone": "Europe/Madrid"}, "Europe/Madrid", ZoneFrom.DAY),
        (WEST_OF_IT, {"day_zone": LISBON, "site_zone": "+03:00"}, "+03:00", ZoneFrom.SITE),
        (AT_SEA, {"trip_zone": LISBON}, LISBON, ZoneFrom.TRIP),
        (TWO_CLOCKS, {"trip_zone": "Asia/Urumqi"}, "Asia/Urumqi", ZoneFrom.TRIP),
        (TWO_CLOCKS, {"trip_zone": "Asia/Shanghai"}, "Asia/Shanghai", ZoneFrom.TRIP),
        (None, {"trip_zone": LISBON}, LISBON, ZoneFrom.TRIP),
        (WEST_OF_IT, {}, LISBON, ZoneFrom.COORDINATE),
    ],
)
def test_the_site_goes_before_the_day_and_both_before_where_the_place_lies(
    position: Position | None, said: dict[str, str], zone: str, zone_from: ZoneFrom
) -> None:
    assert clock_at(position, SUMMER, **said) == PlaceClock(zone, zone_from)


def test_an_offset_of_summer_is_not_the_places_in_winter() -> None:
    found = clock_at(EAST_OF_A_BORDER, WINTER, trip_zone="+02:00")
    assert found == PlaceClock("Europe/Madrid", ZoneFrom.COORDINATE)


def test_clocks_that_differ_for_a_part_of_the_day_differ() -> None:
    changes = date(2031, 10, 26)  # at 01:00 UTC summer time ends
    found = clock_at(EAST_OF_A_BORDER, changes, trip_zone="+02:00")
    assert found == PlaceClock("Europe/Madrid", ZoneFrom.COORDINATE)


def test_either_side_of_the_date_line_has_its_own_clock() -> None:
    apia, pago = Position(-13.83, -171.76), Position(-14.28, -170.7)  # 24 hours apart
    west, east = (clock_at(one, SUMMER, trip_zone="Pacific/Apia") for one in (apia, pago))
    assert west == PlaceClock("Pacific/Apia", ZoneFrom.TRIP)
    assert east == PlaceClock("Pacific/Pago_Pago", ZoneFrom.COORDINATE)


def test_nothing_that_tells_a_zone_is_no_clock_and_the_last_days_of_the_calendar_have_one() -> None:
    assert clock_at(None, SUMMER) is None
    for day in (date.min, date.max):
        assert clock_at(EAST_OF_A_BORDER, day, trip_zone=LISBON) == PlaceClock(LISBON, ZoneFrom.TRIP)


def test_a_disputed_place_has_several_zones() -> None:
    assert set(zones_there(TWO_CLOCKS)) == {"Asia/Shanghai", "Asia/Urumqi"}
