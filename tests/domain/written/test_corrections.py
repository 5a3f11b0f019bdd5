"""A clock's correction is read as people say it, and said back as a sentence."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.corrections import correction_text, correction_words, correction_written


@pytest.mark.parametrize(
    ("text", "add_s"),
    [
        ("+420", 420),
        ("420 s", 420),
        ("-60", -60),
        ("−90 s", -90),
        ("0", 0),
        ("right", 0),
        ("it was exactly right", 0),
        ("7 min slow", 420),
        ("7 min 30 slow", 450),
        ("7 min 30 s slow", 450),
        ("1 h 2 min 3 s fast", -3723),
        ("2m behind", 120),
        ("2 min ahead", -120),
        ("63 minutes fast", -3780),
        ("63min fast", -3780),
        ("1:03 fast", -3780),
        ("0:01:03 slow", 63),
        ("+1:03", 3780),
        ("1h3", 3780),
        ("1h03m20s", 3800),
        ("an hour slow", 3600),
        ("half an hour fast", -1800),
        ("a quarter of an hour slow", 900),
        ("an hour and a half slow", 5400),
        ("two and a half hours fast", -9000),
        ("1,5 hours slow", 5400),
        ("1½ h slow", 5400),
        ("it was 2 minutes too fast", -120),
        ("fast by 7 min", -420),
        ("twenty-five minutes fast.", -1500),
        ("one hour and three minutes slow", 3780),
    ],
)
def test_a_correction_is_read_as_people_say_it(text: str, add_s: int) -> None:
    assert correction_written(text) == add_s


@pytest.mark.parametrize(
    "text",
    ["", "slow", "1:30", "420 banana", "+", "9" * 5000, "7 years", "a half", "3 s 2 min", "fast slow 3 min"],
)
def test_what_is_no_correction_is_not_taken_for_one(text: str) -> None:
    with pytest.raises(InvalidValueError, match="is not a correction; write 7 min slow"):
        correction_written(text)


def test_a_sign_that_contradicts_the_word_is_refused() -> None:
    assert correction_written("-5 min fast") == -300
    for text in ("+5 min fast", "-5 min slow"):
        with pytest.raises(InvalidValueError, match="contradicts itself"):
            correction_written(text)


def test_a_correction_is_said_back_as_a_sentence() -> None:
    assert correction_text(-3780) == "The clock was 1 h 3 min fast: 1 h 3 min will be taken off its times."
    assert correction_text(450) == "The clock was 7 min 30 s slow: 7 min 30 s will be added to its times."
    assert correction_text(0) == "The clock was right; its times stay as they are."


@given(st.integers(-(10**6), 10**6))
def test_every_correction_reads_back_from_its_own_words(add_s: int) -> None:
    assert correction_written(correction_words(add_s)) == add_s
    assert correction_written(f"{add_s:+d}") == add_s


@given(st.text(max_size=90) | st.text("0123456789:+-.,½ hminsecafouradfqt", max_size=30))
def test_any_text_is_a_correction_or_a_refusal(text: str) -> None:
    with suppress(InvalidValueError):
        assert isinstance(correction_written(text), int)
