"""Dates, times, spans and zones are read as people write them, and nothing that could mean two things."""

from contextlib import suppress
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import date_written, span_written, time_written, zone_written

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
        ("2pm", time(14), None),
        ("16:40-", time(16, 40), None),
        ("-17:50", None, time(17, 50)),
    ],
)
def test_a_span_may_share_a_half_of_the_day_and_lack_an_end(
    text: str, first: time | None, last: time | None
) -> None:
    assert span_written(text) == (first, last)


@pytest.mark.parametrize("text", ["", "-", "25:00", "16:40-17:50-18:00", "noon"])
def test_what_is_no_span_is_one_sentence(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"[^\n]+\.$"):
        span_written(text)


@given(st.text("0123456789:.-– hapmto", max_size=14))
def test_any_text_is_a_span_or_a_refusal(text: str) -> None:
    with suppress(InvalidValueError):
        assert span_written(text) != (None, None)
