"""A day has the number that the trip's own dates give it, whatever else is known of."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.trip_days import day_name, day_number, days_in_the_field
from logbook.domain.visit import Visit

START, END = date(2031, 10, 12), date(2031, 10, 15)
NOW = datetime(2031, 10, 20)  # noqa: DTZ001 - never compared
TRIP = Trip(**new_record(NOW), slug="valley", title="Valley", starts_on=START, ends_on=END)


@pytest.mark.parametrize(
    ("day", "number", "name"),
    [
        (START, 1, "Day 1"),
        (date(2031, 10, 14), 3, "Day 3"),
        (END, 4, "Day 4"),
        (date(2019, 1, 1), None, "Before the trip"),
        (date(2031, 10, 11), None, "Before the trip"),
        (date(2031, 10, 16), None, "After the trip"),
    ],
)
def test_days_are_counted_from_the_first_date_of_the_trip(day: date, number: int | None, name: str) -> None:
    assert (day_number(TRIP, day), day_name(TRIP, day)) == (number, name)
    assert day_name(TRIP, day, [date(2019, 1, 1), day]) == name


def test_without_a_first_date_the_days_that_are_known_are_counted() -> None:
    open_trip = replace(TRIP, starts_on=None)
    days = [date(2031, 10, 13), date(2031, 10, 15), date(2031, 11, 20)]
    assert [day_name(open_trip, day, days) for day in days] == ["Day 1", "Day 2", "After the trip"]
    assert [day_name(replace(open_trip, ends_on=None), day, days) for day in days][-1] == "Day 3"


def test_days_in_the_field_are_those_of_a_visit_or_a_picture() -> None:
    base: dict[str, Any] = {"trip_id": TRIP.id, "path": "", "size_bytes": 1, "format": "JPEG"}

    def keeper(number: int, at: datetime | None) -> Keeper:
        name = f"k{number}"
        return Keeper(**new_record(NOW), **base, slug=name, file=name, hash=name, taken_local=at)

    at = datetime.combine(START, time(12))
    taken = (at, at + timedelta(hours=15), at + timedelta(days=2), at - timedelta(days=4000), None)
    visit = Visit(**new_record(NOW), slug="v", trip_id=TRIP.id, viewpoint_id="v", on_date=END)
    account = TripAccount(
        trip=TRIP,
        sites={},
        viewpoints={},
        visits=(visit,),
        keepers=tuple(keeper(number, one) for number, one in enumerate(taken)),
    )
    assert days_in_the_field(account) == (START, START + timedelta(days=2), END)
