"""A number of people says a level of the crowd only where it lies in one."""

import re

import pytest

from logbook.domain.condition_kinds.crowd import PEOPLE
from logbook.domain.words import Crowd


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
    assert re.fullmatch(PEOPLE.pattern, text)
    assert PEOPLE.level(text) == level


@pytest.mark.parametrize("text", ["17:20", "5 pm", "1.5", "30 %", "20 m"])
def test_a_time_or_a_measure_is_no_number_of_people(text: str) -> None:
    assert not re.fullmatch(PEOPLE.pattern, text)
