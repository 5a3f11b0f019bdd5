"""Counts are read as people write them; a number of people says a level only where it lies in one."""

import re

import pytest

from logbook.domain.words import Crowd
from logbook.domain.written.counts import PEOPLE, count_written, people_level


@pytest.mark.parametrize(
    ("text", "count"),
    [("14", 14), ("about 20", 20), ("~20", 20), ("ca. 8", 8), ("12x", 12), ("≈30 frames", 30)],
)
def test_a_rough_count_is_a_count(text: str, count: int) -> None:
    assert count_written(text) == count


@pytest.mark.parametrize("text", ["", "many", "-3", "2.5", "3 or 4"])
def test_what_is_no_count_is_none(text: str) -> None:
    assert count_written(text) is None


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("0", Crowd.NONE),
        ("5 people", Crowd.FEW),
        ("~20 people", Crowd.DOZENS),
        ("20-30", Crowd.DOZENS),
        ("about 300 visitors", Crowd.HUNDREDS),
        ("2000+", Crowd.THOUSANDS),
        ("5-20 people", None),
    ],
)
def test_a_number_of_people_is_a_level_of_the_crowd(text: str, level: Crowd | None) -> None:
    assert re.fullmatch(PEOPLE, text)
    assert people_level(text) is level


@pytest.mark.parametrize("text", ["17:20", "5 pm", "1.5", "30 %", "20 m"])
def test_a_time_or_a_measure_is_no_number_of_people(text: str) -> None:
    assert not re.fullmatch(PEOPLE, text)
