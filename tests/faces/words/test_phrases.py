"""Values read as a person would write them."""

from datetime import date, time

import pytest

from logbook.domain.words import ConditionKind, Reason
from logbook.faces.words import phrases


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "no"),
        (1, "one"),
        (12, "twelve"),
        (20, "twenty"),
        (21, "twenty-one"),
        (99, "ninety-nine"),
        (100, "100"),
    ],
)
def test_counts_are_words_up_to_ninety_nine(number: int, words: str) -> None:
    assert phrases.number_word(number) == words


def test_a_span_says_month_and_year_once() -> None:
    assert phrases.span_text(date(2031, 10, 12), date(2031, 10, 16)) == "12–16 October 2031"
    assert phrases.span_text(date(2031, 9, 30), date(2031, 10, 2)) == "30 September – 2 October 2031"
    assert phrases.span_text(date(2031, 12, 30), date(2032, 1, 2)) == "30 December 2031 – 2 January 2032"
    assert phrases.span_text(None, None) == ""


def test_a_rounded_position_has_no_negative_zero() -> None:
    assert phrases.position_text(-0.04, 0.04, 1) == "0.0° N, 0.0° E"
    assert phrases.position_text(-33.96, -70.04, 1) == "34.0° S, 70.0° W"


@pytest.mark.parametrize(
    ("bearing", "words"), [(0, "north (0°)"), (225, "south-west (225°)"), (359.7, "north (0°)")]
)
def test_bearings_have_a_word(bearing: float, words: str) -> None:
    assert phrases.bearing_text(bearing) == words


def test_conditions_read_as_observations() -> None:
    text = phrases.condition_text
    assert text(ConditionKind.CROWD, "none", None) == "nobody there"
    assert text(ConditionKind.WIND, "4", "west") == "wind force 4, moderate breeze, from west"
    assert text(ConditionKind.WATER, "high", None) == "water high"
    assert text(ConditionKind.WEATHER, None, None) == "weather"


def test_reasons_are_joined_as_in_speech() -> None:
    assert phrases.because((Reason.CROWD, Reason.LIGHT, Reason.TIME)) == (
        "because the crowd was in the way, the light was against it and there was not enough time"
    )


def test_a_time_of_day_claims_only_what_the_clock_says() -> None:
    assert phrases.time_of_day(time(4, 59)) == "at night"
    assert phrases.time_of_day(time(18)) == "in the evening"
