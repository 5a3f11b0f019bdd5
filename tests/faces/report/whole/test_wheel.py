"""The year wheel: a date is a direction, a year is a ring, and the words say the same."""

import re
from datetime import date, timedelta
from itertools import pairwise
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.faces.report.whole.wheel import WheelTrip, turn_of, year_wheel

DAYS = st.dates(date(1990, 1, 1), date(2060, 12, 31))


@st.composite
def stays(draw: st.DrawFn) -> WheelTrip:
    begins = draw(DAYS)
    ends = begins + timedelta(days=draw(st.integers(0, 500)))
    kept = draw(st.lists(st.integers(0, (ends - begins).days), max_size=3, unique=True))
    days = tuple(begins + timedelta(days=one) for one in sorted(kept))
    return WheelTrip(draw(st.integers(1, 99)), draw(st.text(max_size=20)), begins, ends, days)


def test_january_begins_at_the_top_and_july_lies_opposite() -> None:
    assert turn_of(date(2026, 1, 1)) == 0
    assert abs(turn_of(date(2026, 7, 2)) - pi) < 0.02
    assert turn_of(date(2026, 12, 31)) < 2 * pi


@given(DAYS)
def test_a_date_has_the_same_direction_in_every_year(day: date) -> None:
    other = date(2024, day.month, day.day)  # a leap year has every date
    assert turn_of(day) == turn_of(other)


@pytest.mark.slow
@given(st.lists(stays(), min_size=1, max_size=6))
def test_every_trip_has_a_band_in_each_of_its_years_and_a_line_in_words(trips: list[WheelTrip]) -> None:
    (drawn,) = year_wheel(trips)
    svg = str(drawn.wide)
    assert svg.count('class="stay"') == sum(one.ends_on.year - one.starts_on.year + 1 for one in trips)
    assert svg.count('class="tick"') == sum(len(one.kept_on) for one in trips)
    assert len(drawn.said) == len(trips)
    numbers = [float(text) for text in re.findall(r'(?:x|y|cx|cy|x1|y1|x2|y2)="(-?[\d.]+)"', svg)]
    assert all(-2 <= value <= 330 for value in numbers), "a mark is outside the drawing"


def test_the_latest_year_is_outside() -> None:
    (drawn,) = year_wheel(
        [
            WheelTrip(1, "early", date(2020, 3, 1), date(2020, 3, 9), ()),
            WheelTrip(2, "late", date(2024, 3, 1), date(2024, 3, 9), ()),
        ]
    )
    radii = [float(text) for text in re.findall(r' r="([\d.]+)"', str(drawn.wide))]
    assert radii == sorted(radii)
    assert len(radii) == 2  # rings for years with trips only


def test_every_ring_with_room_for_it_names_its_year() -> None:
    few = [WheelTrip(year, "t", date(year, 3, 1), date(year, 3, 9), ()) for year in range(2020, 2025)]
    (drawn,) = year_wheel(few)
    assert [str(year) in str(drawn.wide) for year in range(2020, 2025)] == [True] * 5
    many = [WheelTrip(year, "t", date(year, 3, 1), date(year, 3, 9), ()) for year in range(1990, 2025)]
    (drawn,) = year_wheel(many)
    heights = [
        float(y)
        for y in re.findall(r'y="([\d.]+)" class="quiet" text-anchor="start">\d{4}<', str(drawn.wide))
    ]
    assert len(heights) > 3
    assert min(abs(one - other) for one, other in pairwise(sorted(heights))) >= 12


def test_without_dates_there_is_no_wheel() -> None:
    assert year_wheel([]) == ()
