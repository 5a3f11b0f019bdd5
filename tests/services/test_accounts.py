"""The account of a trip, and to which day a keeper belongs."""

from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from logbook.domain.errors import NotFoundError
from logbook.domain.position import Position
from logbook.domain.words import ConditionKind, Disclosure
from logbook.services import kinds, records
from logbook.services.accounts import account_of, day_of
from logbook.services.days import show_day
from logbook.services.plans import outcomes
from logbook.store.book import Book
from tests.services.adding import add_to_trip


@pytest.mark.parametrize(
    ("utc", "day"),
    [
        (datetime(2031, 10, 14, 18, 59, tzinfo=UTC), date(2031, 10, 14)),  # 23:59 at the place
        (datetime(2031, 10, 14, 22, 59, tzinfo=UTC), date(2031, 10, 14)),  # 03:59 the next morning
        (datetime(2031, 10, 14, 23, 0, tzinfo=UTC), date(2031, 10, 15)),  # 04:00: the day ends
    ],
)
def test_a_day_ends_where_the_photographers_day_ends(
    book: Book, keepers: Path, utc: datetime, day: date
) -> None:
    account = account_of(book, None)
    keeper = replace(account.keepers[0], taken_utc=utc)
    assert day_of(keeper, account.trip) == day
    midnight = replace(account.trip, day_ends_at=time(0))
    assert day_of(keeper, midnight) == date(2031, 10, 14 if utc.hour < 19 else 15)  # UTC+05:00


def test_an_account_holds_one_trip_and_a_day_only_its_own(book: Book, keepers: Path) -> None:
    records.add(book, kinds.TRIP, {"title": "Salt coast"})
    for trip, on in (("valley", 14), ("valley", 15), ("salt-coast", 14)):
        said = {"viewpoint": "quarry-ledge", "on_date": date(2031, 10, on)}
        add_to_trip(book, kinds.VISIT, trip, said, None)
    account = account_of(book, "valley")
    assert (len(account.visits), len(account.keepers), len(account.shots)) == (2, 8, 2)
    day = show_day(book, "valley", date(2031, 10, 14)).account
    assert (len(day.visits), len(day.keepers)) == (1, 8)
    assert account_of(book, "salt-coast").keepers == ()
    with pytest.raises(NotFoundError):
        account_of(book, "winter")


@pytest.mark.parametrize(("day_ends_at", "hours"), [(time(4), [17, 23, 1]), (time(0), [1, 17, 23])])
def test_what_was_noted_for_the_small_hours_comes_last_of_its_day(
    book: Book, day_ends_at: time, hours: list[int]
) -> None:
    records.edit(book, kinds.TRIP, "valley", {"day_ends_at": day_ends_at})
    on_date = {"viewpoint": "quarry-ledge", "on_date": date(2031, 10, 14)}
    for hour in (23, 1, 17):
        add_to_trip(book, kinds.VISIT, None, {**on_date, "arrived_at": time(hour)}, None)
        crowd = {**on_date, "kind": ConditionKind.CROWD, "level": "few", "at": time(hour)}
        add_to_trip(book, kinds.CONDITION, None, crowd, None)
        plan = {**on_date, "title": f"At {hour}", "window_from": time(hour)}
        outcomes.plan_shot(book, None, plan, None)
    account = account_of(book, None)
    assert [one.arrived_at.hour for one in account.visits if one.arrived_at] == hours
    assert [one.at.hour for one in account.conditions if one.at] == hours
    assert [one.window_from.hour for one in account.shots if one.window_from] == hours
    listed = [one.shot.window_from for one in outcomes.list_shots(book, {}).records]
    assert [at.hour for at in listed if at] == hours


def test_an_account_knows_the_people_and_the_withheld_places_of_the_whole_book(book: Book) -> None:
    records.add(book, kinds.TRIP, {"title": "Salt coast", "private_names": ("Ilse Brandauer",)})
    hidden = {"title": "Otter hide", "also_called": ("Holt",), "location_shown": Disclosure.WITHHELD}
    records.add(book, kinds.SITE, {**hidden, "latitude_deg": 61.5, "longitude_deg": -7.25})
    account = account_of(book, "valley")
    assert account.people == ("Ilse Brandauer",)
    assert account.withheld_names == ("Holt", "Otter hide", "otter-hide")
    assert account.withheld_positions == (Position(61.5, -7.25),)
