"""Whose clock is read at a viewpoint: that of the trip there on the day, else of the last one before it."""

from datetime import date
from typing import Any

import pytest

from logbook.domain.day import Day
from logbook.domain.place_clock import ZoneFrom
from logbook.domain.record import new_record
from logbook.services import kinds, records
from logbook.services.light.standpoints import find_standpoint
from logbook.services.plans import outcomes
from logbook.store.book import Book

DAY = date(2033, 4, 3)
TRIPS = {  # slug to first day, last day and zone; each planned a shot at the ledge
    "early": (date(2031, 4, 1), date(2031, 4, 9), "Asia/Tashkent"),
    "late": (date(2033, 4, 1), date(2033, 4, 9), "Asia/Ashgabat"),
    "undated": (None, None, "+03:00"),
    "zoneless": (date(2031, 4, 3), date(2031, 4, 4), None),
}


@pytest.fixture
def met(book: Book) -> Book:
    """A ledge that four more trips met; the site says nothing of its zone."""
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 73.4})
    records.edit(book, kinds.TRIP, "valley", {"starts_on": date(2032, 4, 1), "ends_on": date(2032, 4, 9)})
    for slug, (first, last, zone) in TRIPS.items():
        dates: dict[str, Any] = {"starts_on": first, "ends_on": last, "zone": zone}
        records.add(book, kinds.TRIP, {"title": slug, **dates}, slug)
        outcomes.plan_shot(book, slug, {"title": f"{slug} shot", "viewpoint": "quarry-ledge"}, None)
    return book


@pytest.mark.parametrize(
    ("on_date", "trip", "zone"),
    [
        (date(2031, 4, 3), "early", "Asia/Tashkent"),
        (date(2031, 12, 1), "early", "Asia/Tashkent"),
        (date(2032, 4, 1), "valley", "Asia/Dushanbe"),
        (date(2033, 1, 1), "valley", "Asia/Dushanbe"),
        (date(2040, 1, 1), "late", "Asia/Ashgabat"),
        (date(2020, 1, 1), "early", "Asia/Tashkent"),
    ],
)
def test_the_trip_of_the_day_lends_its_zone(met: Book, on_date: date, trip: str, zone: str) -> None:
    stand = find_standpoint(met, "quarry-ledge", on_date, facing_deg=None, zone=None)
    assert (stand.zone_trip, str(stand.zone), stand.zone_from) == (trip, zone, ZoneFrom.TRIP)


def test_a_trip_without_dates_is_better_than_none(book: Book) -> None:
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 73.4})
    stand = find_standpoint(book, "quarry-ledge", date(2031, 4, 3), facing_deg=None, zone=None)
    assert stand.zone_trip == "valley"


def test_a_viewpoint_that_no_trip_met_has_the_zone_of_a_trip_at_its_site(met: Book) -> None:
    stand = find_standpoint(met, "dune-crest", date(2033, 4, 2), facing_deg=None, zone=None)
    assert stand.zone_trip == "late"


def test_the_sites_own_zone_and_a_stated_one_go_first_and_no_trip_leaves_the_coordinates(met: Book) -> None:
    records.add(met, kinds.SITE, {"title": "Coast", "latitude_deg": 47.5, "longitude_deg": -52.7})
    records.add(met, kinds.VIEWPOINT, {"title": "Pier", "site": "coast"})
    alone = find_standpoint(met, "pier", date(2031, 4, 3), facing_deg=None, zone=None)
    assert (str(alone.zone), alone.zone_from) == ("America/St_Johns", ZoneFrom.COORDINATE)
    records.edit(met, kinds.SITE, "quarry", {"zone": "Asia/Almaty"})
    for zone, origin in ((None, ZoneFrom.SITE), ("+01:00", ZoneFrom.STATED)):
        stand = find_standpoint(met, "quarry-ledge", date(2031, 4, 3), facing_deg=None, zone=zone)
        assert (stand.zone_from, stand.zone_trip) == (origin, None)


def test_a_trip_whose_clocks_differ_from_the_places_lends_none(met: Book) -> None:
    records.edit(met, kinds.TRIP, "late", {"zone": "Asia/Bishkek"})
    stand = find_standpoint(met, "quarry-ledge", date(2033, 4, 3), facing_deg=None, zone=None)
    told = (str(stand.zone), stand.zone_from, stand.zone_trip)
    assert told == ("Asia/Dushanbe", ZoneFrom.COORDINATE, None)


def test_what_was_said_of_the_day_goes_before_the_coordinates_and_is_the_trips(met: Book) -> None:
    with met.writing() as desk:
        trip = desk.trips.first(slug="late")
        assert trip is not None
        desk.days.add(Day(**new_record(met.now()), trip_id=trip.id, on_date=DAY, zone="+06:00"))
    stand = find_standpoint(met, "quarry-ledge", DAY, facing_deg=None, zone=None)
    assert (str(stand.zone), stand.zone_from, stand.zone_trip) == ("+06:00", ZoneFrom.DAY, "late")
