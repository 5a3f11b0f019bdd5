"""Dates, times, zones and counts are read as people write them, and nothing that could mean two things."""

from datetime import date

import pytest

from logbook.domain.errors import InvalidValueError
from logbook.domain.written import count_written, date_written, zone_written

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
        "10/14/2025",
        "  14  oct  2025 ",
    ],
)
def test_a_day_is_read_however_it_is_written(text: str) -> None:
    assert date_written(text) == DAY


@pytest.mark.parametrize(
    "text", ["10/11/2025", "2025-02-30", "30.02.2025", "14 Ju 2025", "14 Oct", "14.10.25", "soon", ""]
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
    with pytest.raises(InvalidValueError, match=r'"Mars/Base" is no time zone; write one such as'):
        zone_written("Mars/Base")


@pytest.mark.parametrize(("text", "count"), [("14", 14), ("about 20", 20), ("~20", 20), ("ca. 8", 8)])
def test_a_rough_count_is_a_count(text: str, count: int) -> None:
    assert count_written(text) == count


@pytest.mark.parametrize("text", ["", "many", "-3", "2.5", "3 or 4"])
def test_what_is_no_count_is_none(text: str) -> None:
    assert count_written(text) is None
