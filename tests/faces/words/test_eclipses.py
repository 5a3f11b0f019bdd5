"""Eclipses in words: whose day their times are of, how long they last, and on which day."""

from datetime import date, time

import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.position import Position
from logbook.faces.words.eclipses import eclipse_text
from logbook.services.light.day_light import LensAndSensor, LightDay, light_of_day
from logbook.services.light.standpoints import at_coordinate

FRAME = LensAndSensor(24.0, FULL_FRAME, stated=False)
ALPS = Position(47.0, 11.0)


def day(place: Position, on_date: date, begins: time = time(0)) -> LightDay:
    return light_of_day(at_coordinate(place), on_date, FRAME, begins=begins)


@pytest.mark.parametrize(
    ("on_date", "told"),
    [
        (date(2029, 12, 20), "Lunar eclipse 21:55–01:29, greatest at 23:42: total for 53 min "),
        (
            date(2029, 12, 21),
            "Lunar eclipse 21:55 (the day before)–01:29, greatest at 23:42 (the day before): total for 53",
        ),
    ],
)
def test_an_eclipse_over_midnight_is_told_whole_and_of_the_right_evening(on_date: date, told: str) -> None:
    """Umbral from 20:55 to 00:29 UTC, greatest at 22:42 (astronomy-engine)."""
    light = day(ALPS, on_date)
    assert [eclipse_text(light, one).startswith(told) for one in light.eclipses] == [True]


def test_the_night_after_a_day_is_of_that_day() -> None:
    light = day(ALPS, date(2029, 12, 20), time(4))
    (told,) = (eclipse_text(light, one) for one in light.eclipses)
    assert "the day before" not in told
    assert not day(ALPS, date(2029, 12, 21), time(4)).eclipses
