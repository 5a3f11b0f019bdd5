"""The sky in words: how high the sun stands, how far a day gets, whose day an eclipse's times are of."""

from datetime import UTC, date, datetime, time

import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.position import Position
from logbook.faces.words.sky import change_words, clock_of, eclipse_text, extremes_said, height_text
from logbook.services.light.day_light import ClockChange, LensAndSensor, LightDay, light_of_day
from logbook.services.light.standpoints import at_coordinate

FRAME = LensAndSensor(24.0, FULL_FRAME, stated=False)
ANY = datetime(2031, 10, 26, 1, tzinfo=UTC)
ALPS = Position(47.0, 11.0)


@pytest.mark.parametrize(
    ("altitude_deg", "said"),
    [
        (4.4, "4° up"),
        (0.6, "1° up"),
        (0.4, "on the horizon"),
        (-0.4, "on the horizon"),
        (-0.6, "on the horizon"),
        (-0.83, "on the horizon"),  # its upper limb shows down to -50' (USNO)
        (-0.84, "1° below the horizon"),
        (-3.1, "3° below the horizon"),
    ],
)
def test_a_height_is_up_on_or_below_the_horizon(altitude_deg: float, said: str) -> None:
    assert height_text(altitude_deg) == said


def day_at(latitude_deg: float, on_date: date, begins: time = time(0)) -> LightDay:
    return light_of_day(at_coordinate(Position(latitude_deg, 15.0)), on_date, FRAME, begins=begins)


@pytest.mark.parametrize(
    ("latitude_deg", "on_date", "said"),
    [
        (90.0, date(2031, 3, 20), ["It is golden hour throughout."]),  # the sun of an equinox is at 0 degrees
        (90.0, date(2031, 10, 5), ["It is blue hour throughout."]),  # and at -4.7 on this day
        (78.2, date(2031, 4, 20), ["It gets no darker than golden hour."]),
        (78.2, date(2031, 12, 21), ["It gets no brighter than nautical twilight."]),
        (90.0, date(2031, 12, 21), []),  # night, as is said of the sun
        (40.0, date(2031, 6, 21), []),
    ],
)
def test_a_day_says_how_far_its_light_gets(latitude_deg: float, on_date: date, said: list[str]) -> None:
    """The sun's altitudes follow from latitude and declination (Meeus, ch. 13)."""
    assert extremes_said(day_at(latitude_deg, on_date)) == said


@pytest.mark.parametrize(
    ("minutes", "clocks_from", "clocks_to", "said"),
    [
        (60, time(2), time(3), "clocks go forward from 02:00 to 03:00"),
        (-60, time(3), time(2), "clocks go back from 03:00 to 02:00"),
        (-60, time(0), time(23), "clocks go back from 24:00 to 23:00"),
        (60, time(0), time(1), "clocks go forward from 00:00 to 01:00"),
        (1440, time(0), time(0), "clocks skip a day"),
    ],
)
def test_a_change_of_clocks_is_told_by_both_times(
    minutes: int, clocks_from: time, clocks_to: time, said: str
) -> None:
    assert change_words(ClockChange(ANY, minutes, clocks_from, clocks_to)) == said


@pytest.mark.parametrize(
    ("begins", "first", "last"), [(time(0), "00:00", "24:00"), (time(4), "04:00", "04:00")]
)
def test_only_midnight_ends_a_day_at_24(begins: time, first: str, last: str) -> None:
    light = day_at(47.0, date(2031, 10, 14), begins)
    assert (clock_of(light, light.sky.start), clock_of(light, light.sky.end)) == (first, last)


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
