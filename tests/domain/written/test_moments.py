"""Dates, times, spans and zones are read as people write them, and nothing that could mean two things."""

from contextlib import suppress
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import (
    are_years,
    date_written,
    is_about,
    span_written,
    time_written,
    zone_written,
)

DAY = date(2025, 10, 14)


@pytest.mark.parametrize(
    "text",
    [
        "2025-10-14",
        "2025/10/14",
        "20251014",
        "14.10.2025",
        "14. 10. 2025",
        "14 Oct 2025",
        "14th October 2025",
        "14. Oct. 2025",
        "Oct 14, 2025",
        "October 14 2025",
        "14/10/2025",
        "14-10-2025",
        "10-14-2025",
        "14-Oct-2025",
        "10/14/2025",
        "  14  oct  2025 ",
    ],
)
def test_a_day_is_read_however_it_is_written(text: str) -> None:
    assert date_written(text) == DAY


@pytest.mark.parametrize(
    "text",
    [
        "10/11/2025",
        "10-11-2025",
        "14-10/2025",
        "14-Oct-25",
        "2025-02-30",
        "30.02.2025",
        "14 Ju 2025",
        "14 Oct",
        "14.10.25",
        "soon",
        "",
    ],
)
def test_what_is_no_day_or_could_be_two_is_none(text: str) -> None:
    assert date_written(text) is None


@pytest.mark.parametrize("text", ["Asia/Dushanbe", "asia/dushanbe", "ASIA/DUSHANBE", "dushanbe"])
def test_a_zone_is_read_in_any_case_and_by_its_city(text: str) -> None:
    assert zone_written(text) == "Asia/Dushanbe"


def test_a_zone_that_is_none_offers_near_ones() -> None:
    with pytest.raises(
        InvalidValueError, match=r"such as Asia/Dushanbe, \+02:00 or UTC. Did you mean Europe/Vienna\?"
    ):
        zone_written("europe/viena")
    with pytest.raises(InvalidValueError, match=r'"Mars/Base" is not a time zone; write one such as'):
        zone_written("Mars/Base")


@pytest.mark.parametrize(
    "text", ["17:00", "17.00", "5pm", "5 pm", "5:00 P.M.", "17h00", "17h", "1700", "17:00 h"]
)
def test_a_time_of_day_is_read_however_it_is_written(text: str) -> None:
    assert time_written(text) == time(17)


@pytest.mark.parametrize(
    "text", ["~17:20", "ca 17:20", "ca. 17.20 Uhr", "about 5:20pm", "17:20ish", "abt 5:20p"]
)
def test_a_time_that_is_about_right_is_read_and_known_to_be_so(text: str) -> None:
    assert time_written(text) == time(17, 20)
    assert is_about(text)


@pytest.mark.parametrize("text", ["17:20", "5:20pm", "17.20 Uhr", "17:20-18:45", "noon", "Irish dance 17:20"])
def test_other_times_are_not_about_right(text: str) -> None:
    assert not is_about(text)


@pytest.mark.parametrize(
    ("begin", "end", "are"),
    [
        *(("1914", "1918", True), ("1939", "1945", True), ("1830", "1848", True), ("1940", "1945", True)),
        *(("1720", "1845", False), ("1810", "1830", False), ("2340", "0055", False), ("0645", "0812", False)),
    ],
)
def test_years_are_in_order_and_no_times_that_people_round_to(begin: str, end: str, are: bool) -> None:
    assert are_years(begin, end) is are


@pytest.mark.parametrize("text", ["17", "25:00", "13pm", "5", "24:30", "dusk", "", "2460"])
def test_what_is_no_time_of_day_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"is not a time of day; write it as 17:20\.$"):
        time_written(text)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("16:40-17:50", time(16, 40), time(17, 50)),
        ("1640 to 1750", time(16, 40), time(17, 50)),
        ("from 16.40 until 17.50", time(16, 40), time(17, 50)),
        ("5-7 pm", time(17), time(19)),
        ("11-1pm", time(11), time(13)),
        ("10-2 am", time(22), time(2)),
        ("10am – 2pm", time(10), time(14)),
        ("10-12", time(10), time(12)),
        ("16:40/17:50", time(16, 40), time(17, 50)),
        ("16:40 / 17:50", time(16, 40), time(17, 50)),
        ("btw 16:40 & 17:50", time(16, 40), time(17, 50)),
        ("~16:40 - 17:50ish", time(16, 40), time(17, 50)),
        ("5-7ish pm", time(17), time(19)),
        ("16:40-?", time(16, 40), None),
        ("2pm", time(14), None),
        ("16:40-", time(16, 40), None),
        ("-17:50", None, time(17, 50)),
    ],
)
def test_a_span_may_share_a_half_of_the_day_and_lack_an_end(
    text: str, first: time | None, last: time | None
) -> None:
    assert span_written(text) == (first, last)


@pytest.mark.parametrize("text", ["", "-", "25:00", "16:40-17:50-18:00", "dusk", "?-?", "10/12"])
def test_what_is_no_span_is_one_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"[^\n]+\.$"):
        span_written(text)


@given(st.text("0123456789:.-– hapmto", max_size=14))
def test_any_text_is_a_span_or_a_refusal(text: str) -> None:
    with suppress(InvalidValueError):
        assert span_written(text) != (None, None)
