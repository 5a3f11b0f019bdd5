"""Short forms that a tired person types."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import ConditionKind, Crowd, OutcomeWord, Reason, Sharpness, Support
from logbook.services.night import reading

DAY = date(2031, 10, 14)
TRIP = Trip(
    **new_record(datetime(2031, 10, 14, tzinfo=UTC)), slug="valley", title="Valley", zone="Asia/Dushanbe"
)
FIVE_HOURS_S = 18_000  # Dushanbe is five hours ahead of UTC (IANA time zone database)
READERS: list[Callable[[str], Any]] = [
    lambda text: reading.a_clock_correction(text, TRIP, DAY),
    reading.some_times,
    reading.a_crowd,
    reading.a_support,
    reading.a_sharpness,
    reading.a_tries_count,
    reading.a_filter_stack,
    lambda text: reading.an_outcome("bridge-silk", text),
    reading.some_changes,
]
TYPED = st.one_of(
    st.text(),
    st.text("0123456789:-+ hmins.,;/?~ndpol"),
    st.lists(
        st.sampled_from(
            ["7", "min", "slow", "16:40", "-", "few", "none", "nd8", "+", "made", ",", "light", ";"]
        )
    ).map(" ".join),
)


@pytest.mark.parametrize("read", READERS)
@given(text=TYPED)
def test_any_text_is_a_value_or_a_refusal(read: Callable[[str], Any], text: str) -> None:
    with suppress(LogbookError):  # anything else fails
        read(text)


@pytest.mark.parametrize(
    ("text", "added_s"),
    [
        ("+420", 420),
        ("420 s", 420),
        ("-60", -60),
        ("0", 0),
        ("7 min slow", 420),
        ("7 min 30 slow", 450),
        ("1 h 2 min 3 s fast", -3723),
        ("2m behind", 120),
        ("+420 s", 420),
    ],
)
def test_a_clock_correction_is_read_as_people_say_it(text: str, added_s: int) -> None:
    assert reading.a_clock_correction(text, TRIP, DAY) == FIVE_HOURS_S - added_s


@pytest.mark.parametrize("text", ["", "slow", "1:30", "420 banana", "+", "9" * 5000, "7 years"])
def test_what_is_no_correction_is_not_taken_for_one(text: str) -> None:
    with pytest.raises(InvalidValueError):
        reading.a_clock_correction(text, TRIP, DAY)


def test_a_correction_is_one_of_the_day_it_is_said_on() -> None:
    alpine = replace(TRIP, zone="Europe/Vienna")  # winter time from 2031-10-26, 03:00 (EU Directive 2000/84)
    before = reading.a_clock_correction("0", alpine, date(2031, 10, 25))
    assert (before, reading.a_clock_correction("0", alpine, date(2031, 10, 26))) == (7200, 3600)


@pytest.mark.parametrize(
    ("text", "times"),
    [
        ("16:40-17:50", (time(16, 40), time(17, 50))),
        ("1640 to 1750", (time(16, 40), time(17, 50))),
        ("16.40 – 17.50", (time(16, 40), time(17, 50))),
        ("16:40", (time(16, 40), None)),
        ("16:40-", (time(16, 40), None)),
        ("-17:50", (None, time(17, 50))),
    ],
)
def test_a_span_may_lack_an_end(text: str, times: tuple[time | None, time | None]) -> None:
    assert reading.some_times(text) == times


@pytest.mark.parametrize("text", ["", "-", "25:00", "16:40-17:50-18:00", "noon"])
def test_what_is_no_span_is_one_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError):
        reading.some_times(text)


def test_crowd_words_may_be_short_and_unknown() -> None:
    assert reading.a_crowd("f, d none") == [Crowd.FEW, Crowd.DOZENS, Crowd.NONE]
    assert reading.a_crowd("few ? none") == [Crowd.FEW, None, Crowd.NONE]
    for text in ("", "crowded", "few few few few"):
        with pytest.raises(InvalidValueError):
            reading.a_crowd(text)


def test_beginnings_of_words_are_enough_where_only_one_word_begins_so() -> None:
    assert reading.a_support("tri") is Support.TRIPOD
    assert reading.a_sharpness("so") is Sharpness.SOFT
    with pytest.raises(InvalidValueError, match="sharp, soft"):
        reading.a_sharpness("s")


def test_an_outcome_is_read_as_a_day_file_says_it() -> None:
    entry = reading.an_outcome("bridge-silk", "partly, light")
    assert (entry.outcome, entry.reasons) == (OutcomeWord.PARTLY, (Reason.LIGHT,))
    with pytest.raises(InvalidValueError, match="perhaps"):
        reading.an_outcome("bridge-silk", "perhaps")


def test_changes_are_parted_and_a_plain_one_is_a_closure() -> None:
    road, water, wind = reading.some_changes(
        "north rim road, said the warden; water: high; wind: 4 from west"
    )
    assert (road.kind, water.kind, water.level) == (ConditionKind.CLOSURE, ConditionKind.WATER, "high")
    assert (wind.kind, wind.level, wind.direction) == (ConditionKind.WIND, "4", "W")


def test_changes_that_say_nothing_are_one_sentence() -> None:
    with pytest.raises(InvalidValueError):
        reading.some_changes(" ; ")


@pytest.mark.parametrize("text", ["few dozens none", "tripod", "Low", "sharp", "nd8, handheld"])
def test_words_of_another_question_are_no_filters(text: str) -> None:
    with pytest.raises(InvalidValueError, match="is no filter"):
        reading.a_filter_stack(text)


@pytest.mark.parametrize(
    ("text", "stack"),
    [
        ("none", ()),
        ("unknown", None),
        ("soft focus", ("soft focus",)),
        ("a piece of tape", ("a piece of tape",)),
    ],
)
def test_a_filter_of_ones_own_may_have_any_other_name(text: str, stack: tuple[str, ...] | None) -> None:
    assert reading.a_filter_stack(text) == stack
