"""The photographer's day: when a time that was noted on it was, and of which day a moment is."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.day import begin_on, day_of, in_utc, instants_on, is_backwards, moment_on, window_on

ON = date(2031, 10, 14)
FOUR = time(4)
MIDNIGHT = time(0)
DATES = st.dates(date(1900, 1, 1), date(2199, 12, 31))


def local(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime.combine(date(2031, 10, day), time(hour, minute))


@given(DATES, st.times(), st.times())
def test_a_moment_is_of_the_day_it_was_noted_on(on_date: date, at: time, ends: time) -> None:
    moment = moment_on(on_date, at, ends)
    assert moment.time() == at
    assert day_of(moment, ends) == on_date


@given(DATES, st.times(), st.times())
def test_every_moment_is_found_again_by_its_day_and_time(on_date: date, at: time, ends: time) -> None:
    moment = datetime.combine(on_date, at)
    assert moment_on(day_of(moment, ends), at, ends) == moment


@given(DATES, st.times(), st.times(), st.times())
def test_a_window_begins_on_its_day_and_ends_within_a_day(
    on_date: date, begins: time, ends: time, day_ends_at: time
) -> None:
    first, last = window_on(on_date, begins, ends, day_ends_at)
    assert first is not None
    assert last is not None
    assert day_of(first, day_ends_at) == on_date
    assert (first.time(), last.time()) == (begins, ends)
    assert timedelta(0) <= last - first < timedelta(days=1)


def test_small_hours_lie_on_the_next_date_and_the_end_of_the_day_on_its_own() -> None:
    assert moment_on(ON, time(3, 59), FOUR) == local(15, 3, 59)
    assert moment_on(ON, time(4), FOUR) == local(14, 4)
    assert moment_on(ON, time(23), FOUR) == local(14, 23)


def test_a_day_that_ends_at_midnight_keeps_its_small_hours() -> None:
    assert moment_on(ON, time(1), MIDNIGHT) == local(14, 1)
    assert window_on(ON, time(1), time(3), MIDNIGHT) == (
        local(14, 1),
        local(14, 3),
    )
    assert window_on(ON, time(23), time(1), MIDNIGHT)[1] == local(15, 1)


def test_a_window_in_the_small_hours_lies_wholly_on_the_next_date() -> None:
    assert window_on(ON, time(1), time(3), FOUR) == (local(15, 1), local(15, 3))


def test_a_window_may_run_past_the_end_of_its_day() -> None:
    assert window_on(ON, time(23), time(5), FOUR) == (local(14, 23), local(15, 5))
    assert window_on(ON, time(3), time(5), FOUR) == (local(15, 3), local(15, 5))


def test_a_window_over_a_change_of_clocks_lasts_an_hour_longer_or_shorter() -> None:
    berlin = ZoneInfo("Europe/Berlin")
    begins, ends = instants_on(date(2031, 10, 25), time(23), time(3, 30), FOUR, berlin)
    assert (begins, ends) == (
        datetime(2031, 10, 25, 21, tzinfo=UTC),
        datetime(2031, 10, 26, 2, 30, tzinfo=UTC),
    )
    begins, ends = instants_on(date(2031, 3, 29), time(23), time(3, 30), FOUR, berlin)
    assert (begins, ends) == (
        datetime(2031, 3, 29, 22, tzinfo=UTC),
        datetime(2031, 3, 30, 1, 30, tzinfo=UTC),
    )


def test_a_window_that_begins_in_a_skipped_hour_never_ends_before_it_begins() -> None:
    berlin = ZoneInfo("Europe/Berlin")
    begins, ends = instants_on(date(2031, 3, 29), time(2, 30), time(3, 10), FOUR, berlin)
    assert begins == ends == datetime(2031, 3, 30, 1, 30, tzinfo=UTC)


def test_of_a_time_that_clocks_show_twice_the_first_is_meant() -> None:
    assert in_utc(local(26, 2, 30), ZoneInfo("Europe/Berlin")) == datetime(2031, 10, 26, 0, 30, tzinfo=UTC)


def test_the_last_date_there_is_has_no_night_after_it() -> None:
    assert moment_on(date.max, time(1), FOUR) == datetime.combine(date.max, time(1))
    first, last = window_on(date.max, time(23), time(1), FOUR)
    assert first == last == datetime.combine(date.max, time(23))
    assert begin_on(date.max, time(1), FOUR) < begin_on(None, None, FOUR)


def test_what_is_noted_sorts_by_its_night_and_without_a_time_at_the_begin_of_its_day() -> None:
    noted = [(ON, time(1)), (None, time(5)), (ON, time(23)), (ON, None), (ON + timedelta(days=1), time(5))]
    in_order = sorted(noted, key=lambda one: begin_on(one[0], one[1], FOUR))
    assert in_order == [noted[3], noted[2], noted[0], noted[4], noted[1]]


def test_what_is_not_known_of_a_window_stays_unknown() -> None:
    assert window_on(ON, None, time(1), FOUR) == (None, local(15, 1))
    assert window_on(ON, time(23), None, FOUR) == (local(14, 23), None)
    assert instants_on(ON, None, None, FOUR, UTC) == (None, None)


@pytest.mark.parametrize(
    ("begins", "ends", "backwards"),
    [
        (time(18, 50), time(18, 10), True),
        (time(9), time(5), True),
        (time(2), time(5), False),  # past the end of the day, after midnight
        (time(3, 45), time(4, 30), False),
        (time(20), time(5), False),
        (time(16, 30), time(7, 30), False),
        (time(18), time(18), False),
        (None, time(5), False),
        (time(9), None, False),
    ],
)
def test_a_stretch_runs_backwards_where_it_would_last_most_of_a_day(
    begins: time | None, ends: time | None, backwards: bool
) -> None:
    assert is_backwards(begins, ends) is backwards
