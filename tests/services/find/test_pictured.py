"""Which pictures stand beside a record: of its shot, its day and place, and near the time that it names."""

from dataclasses import replace
from datetime import date, time, timedelta
from pathlib import Path

import pytest

from logbook.domain.condition import Condition
from logbook.domain.record import new_record
from logbook.domain.words import ConditionKind
from logbook.services.accounts import day_of
from logbook.services.find.pictured import NEAR, of_record
from logbook.store.book import Book
from tests.once import copied_book
from tests.services.night.sittings import TRIP, now


@pytest.fixture
def book(sample_book: Path, tmp_path: Path) -> Book:
    """A copy of the sample trip."""
    return Book(copied_book(sample_book, tmp_path / "book.sqlite"), now, create=False)


def test_what_was_seen_at_a_time_stands_beside_pictures_near_it(book: Book) -> None:
    with book.writing() as desk:
        trip = next(one for one in desk.trips.all() if one.slug == TRIP)
        day = [one for one in desk.keepers.all() if day_of(one, trip) == date(2025, 10, 18)]
        one, two, *_ = sorted(day, key=lambda one: str(one.place_time))
        assert one.place_time is not None
        seen = Condition(
            **new_record(now()),
            slug="mist",
            kind=ConditionKind.WEATHER,
            on_date=date(2025, 10, 18),
            trip_id=trip.id,
            note="mist",
        )
        assert {made.id for made in of_record(desk, seen)} == {made.id for made in day}
        at = (one.place_time + timedelta(minutes=3)).time().replace(microsecond=0)
        near = of_record(desk, replace(seen, at=at))
        assert near[0].id == one.id, "the nearest first"
        assert all(
            abs(made.place_time - one.place_time) <= NEAR + timedelta(minutes=3)
            for made in near
            if made.place_time
        )
        assert of_record(desk, replace(seen, at=time(4, 30))) == []
        desk.keepers.put(replace(two, viewpoint_id=desk.viewpoints.all()[0].id))
        stand = desk.viewpoints.all()[0]
        there = replace(seen, viewpoint_id=stand.id)
        assert two.id in {made.id for made in of_record(desk, there)}
        assert one.id not in {made.id for made in of_record(desk, there)}
        at_site = of_record(desk, replace(seen, site_id=stand.site_id))
        assert [made.id for made in at_site] == [made.id for made in of_record(desk, there)]
