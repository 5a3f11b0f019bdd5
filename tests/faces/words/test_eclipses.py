"""Eclipses in words: whose day their times are of, how long they last, and what they take of the light."""

from datetime import date, time

import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.position import Position
from logbook.faces.words.eclipses import dimmed_text, eclipse_text
from logbook.services.light.day_light import LensAndSensor, LightDay, light_at, light_of_day
from logbook.services.light.standpoints import at_coordinate

FRAME = LensAndSensor(24.0, FULL_FRAME, stated=False)
ALPS, NILE = Position(47.0, 11.0), Position(25.7, 32.65)


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


def test_what_an_eclipse_takes_of_the_light_is_told_only_where_it_takes_any() -> None:
    """Of the sun of 2 August 2027 nothing is covered at 11:30, all of it at 13:05 (astronomy-engine)."""
    light = day(NILE, date(2027, 8, 2))
    (eclipse,) = light.eclipses
    assert dimmed_text(light_at(light, time(11, 30))) is None
    begins = eclipse.begins.astimezone(light.standpoint.zone).time().replace(second=0, microsecond=0)
    first = light_at(light, begins.replace(minute=begins.minute + 1))
    assert (first.eclipse, dimmed_text(first)) == (eclipse, None)
    assert "far darker than the figure above" in str(dimmed_text(light_at(light, time(13, 5))))


def test_a_moon_that_rises_eclipsed_takes_nothing_of_twilight() -> None:
    """On 7 September 2025 it is total to 20:53 at 47 N 11 E; civil dusk is 20:14 (astronomy-engine)."""
    light = day(ALPS, date(2025, 9, 7))
    early, late = light_at(light, time(19, 50)), light_at(light, time(20, 30))
    assert early.eclipse == late.eclipse == light.eclipses[0]
    assert dimmed_text(early) is None
    assert "the moon is in the earth's shadow" in str(dimmed_text(late))
