"""Pictures find their visits, days end where the photographer's day ends, numbers are stable."""

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.words import Audience
from logbook.faces.report.order import Order, day_of, put_in_order

FOUR = time(4, 0)


def ordered(account: TripAccount) -> Order:
    """The account in order, as the photographer sees it."""
    return put_in_order(account_for(account, Audience.ARCHIVE))


def moment(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2031, 10, day, hour, minute)  # noqa: DTZ001 - wall time


def test_a_picture_before_the_end_of_the_day_belongs_to_yesterday() -> None:
    assert day_of(moment(15, 3, 59), FOUR) == date(2031, 10, 14)
    assert day_of(moment(15, 4), FOUR) == date(2031, 10, 15)


def test_a_picture_goes_to_the_visit_at_its_place_and_nearest_in_time(account: TripAccount) -> None:
    early = replace(account.visits[0], id="early", arrived_at=time(6), departed_at=time(7))
    night = replace(account.visits[0], id="night", arrived_at=time(23), departed_at=time(1))
    taken = {"dawn": moment(14, 6, 30), "dusk": moment(14, 17, 42), "late": moment(15, 0, 30)}
    keepers = tuple(
        replace(account.keepers[0], id=name, slug=name, taken_local=when) for name, when in taken.items()
    )
    order = put_in_order(
        account_for(
            replace(account, visits=(*account.visits, early, night), keepers=keepers), Audience.ARCHIVE
        )
    )
    assert order.visit_by_keeper == {"dawn": "early", "dusk": "visit", "late": "night"}


def test_pictures_are_numbered_by_time_and_unknown_times_come_last(account: TripAccount) -> None:
    order = ordered(account)
    assert [keeper.id for keeper in order.keepers] == ["gone", "one", "two", "four"]
    assert [keeper.id for keeper in order.undated_keepers()] == ["four"]


def test_every_picture_stands_in_exactly_one_place_of_the_story(account: TripAccount) -> None:
    order = ordered(account)
    placed = [k.id for visit in account.visits for k in order.keepers_of_visit(visit)]
    placed += [k.id for day in order.days for k in order.other_keepers_on(day)]
    placed += [k.id for k in order.undated_keepers()]
    assert sorted(placed) == sorted(k.id for k in account.keepers)


def test_days_and_times_are_the_places_own_and_not_the_cameras(account: TripAccount) -> None:
    instant = datetime(2031, 10, 14, 22, 30, tzinfo=UTC)  # 07:30 on the 15th in Tokyo
    one = replace(account.keepers[0], taken_utc=instant, zone="Asia/Tokyo")
    order = put_in_order(
        account_for(replace(account, keepers=(one,), visits=(), days=(), shots=()), Audience.ARCHIVE)
    )
    assert order.days == (date(2031, 10, 15),)


@pytest.mark.parametrize(
    ("taken", "owner"), [(moment(15, 0, 50), {"late": "night"}), (moment(14, 23, 30), {})]
)
def test_a_picture_just_before_a_visit_is_of_it_and_one_of_hours_before_is_of_none(
    account: TripAccount, taken: datetime, owner: dict[str, str]
) -> None:
    night = replace(account.visits[0], id="night", arrived_at=time(1), departed_at=time(3))
    late = replace(account.keepers[0], id="late", slug="late", taken_local=taken)
    order = put_in_order(
        account_for(replace(account, visits=(*account.visits, night), keepers=(late,)), Audience.ARCHIVE)
    )
    assert order.visit_by_keeper == owner
    assert list(order.other_keepers_on(date(2031, 10, 14))) == ([] if owner else [late])


def test_shots_of_the_small_hours_come_last_of_their_day(account: TripAccount) -> None:
    hours = (time(1), time(23), time(17))
    day = date(2031, 10, 14)
    shots = tuple(
        replace(account.shots[0], id=str(at), slug=f"at-{at.hour}", on_date=day, window_from=at)
        for at in hours
    )
    order = ordered(replace(account, shots=shots))
    assert [shot.window_from for shot in order.shots_on(day)] == [time(17), time(23), time(1)]


def test_what_was_seen_without_a_time_is_told_on_the_visit_that_it_names(account: TripAccount) -> None:
    early = replace(account.visits[0], id="early", arrived_at=time(6), departed_at=time(7))
    seen = replace(account.conditions[0], viewpoint_id=early.viewpoint_id, on_date=early.on_date, at=None)
    named = replace(seen, id="named", visit_id="early")
    both = replace(account, visits=(*account.visits, early), conditions=(seen, named))
    order = ordered(both)
    assert [one.id for one in order.conditions_of_visit(early)] == ["named"]
    assert list(order.conditions_of_visit(account.visits[0])) == []
