"""What stands for itself in a line of a plan is found, and nothing that only looks like it."""

from collections.abc import Mapping
from datetime import date, time
from fractions import Fraction
from typing import Any

import pytest

from logbook.domain.written.plan_tokens import Around, day_written
from logbook.domain.written.plans import heading_written, shot_written
from logbook.domain.written.understanding import NotUnderstoodError

TRIP = Around(date(2031, 10, 10), date(2031, 10, 18))


def said(line: str) -> Mapping[str, Any]:
    return shot_written([line], TRIP).said


@pytest.mark.parametrize(
    ("when", "first", "last"),
    [
        ("7h-8h30", time(7), time(8, 30)),
        ("18h-19h30", time(18), time(19, 30)),
        ("18h30 - 19h", time(18, 30), time(19)),
        ("18 h to 19 h", time(18), time(19)),
        ("18-19h", time(18), time(19)),
        ("between 7h and 8h", time(7), time(8)),
        ("at 18h", time(18), None),
        ("from 4h", time(4), None),
        ("after 18h", time(18), None),
        ("before 18h", None, time(18)),
        ("until 18h", None, time(18)),
    ],
)
def test_an_hour_with_its_h_is_a_time_of_day_in_a_span_and_behind_a_word_for_one(
    when: str, first: time | None, last: time | None
) -> None:
    for line in (f"Fish market, {when}, handheld", f"Fish market {when}, handheld"):
        read = said(line)
        assert (read["title"], read.get("window_from"), read.get("window_to")) == ("Fish market", first, last)
        assert "exposure_s" not in read


@pytest.mark.parametrize("line", ["Harbour, 18h, f/8", "Harbour 18h, f/8", "Harbour 18 h f/8", "Harbour, 5h"])
def test_an_hour_alone_that_may_be_either_waits(line: str) -> None:
    with pytest.raises(NotUnderstoodError, match="could be a time of day or a shutter speed; write it as"):
        said(line)


def test_hours_that_are_called_an_exposure_or_that_only_stars_last_are_a_shutter_speed() -> None:
    assert said("Stars, exposure 6 h, f/8")["exposure_s"] == 6 * 3600
    assert said("Stars, 6 hours, f/8")["exposure_s"] == 6 * 3600
    assert said("Stars, 2h, f/8")["exposure_s"] == 2 * 3600


def test_hours_among_words_are_neither() -> None:
    assert said("Dunes, 6h drive from town, f/8") == {
        "title": "Dunes",
        "f_number": 8,
        "notes": "6h drive from town",
    }
    assert said("24h race, f/8") == {"title": "24h race", "f_number": 8}


@pytest.mark.parametrize(
    "title",
    ["1970s tug", "1960s car", "Tug 1200s", "Neon from the 80s", "Neon from the '80s", "Mid-80s neon"],
)
def test_years_in_a_title_are_no_shutter_speed(title: str) -> None:
    assert said(f"{title}, f/8") == {"title": title, "f_number": 8}


def test_years_in_a_note_are_no_shutter_speed() -> None:
    for note in ("1970s", "built in the 1970s", "neon of the 80s"):
        assert said(f"Tug, {note}, f/8") == {"title": "Tug", "notes": note, "f_number": 8}


def test_what_may_be_years_or_seconds_waits() -> None:
    for line in (
        "80s neon sign, f/8",
        "Chapel, 1800s, f/8",
        "Pier trail 15-30 s, f/16",
        "Pier, 15-30 s, f/16",
    ):
        with pytest.raises(NotUnderstoodError):
            said(line)


@pytest.mark.parametrize(
    "day",
    [
        *("14.10.31", "14/10/31", "14-10-31", "14-10-2031", "14-Oct-2031", "14-Oct-31", "Tue 14.10.31"),
        *("10/14/31", "14/10/2031"),
    ],
)
def test_a_day_is_read_with_any_sign_and_with_two_figures_of_the_year_of_the_trip(day: str) -> None:
    for line in (f"Mill, {day}, f/8", f"Mill {day}, f/8", f"Mill, date: {day}"):
        read = said(line)
        assert (read["title"], read["on_date"]) == ("Mill", date(2031, 10, 14))
    assert heading_written(day, TRIP) == {"on_date": date(2031, 10, 14)}
    assert day_written(day, TRIP) == date(2031, 10, 14)


def test_a_day_with_spaces_may_have_two_figures_of_a_year_where_it_is_all_that_is_said() -> None:
    assert day_written("14 Oct 31", TRIP) == date(2031, 10, 14)


@pytest.mark.parametrize(
    ("day", "why"),
    [
        ("14.10.32", "is not in a year of the trip"),
        ("31-10-14", "is not in a year of the trip"),
        ("14-Oct-25", "is not in a year of the trip"),
        ("10/11/31", "could be 2031-11-10 or 2031-10-11"),
        ("10-11-2031", "could be 2031-11-10 or 2031-10-11"),
        ("Mon 14.10.31", "2031-10-14 is a Tuesday"),
    ],
)
def test_a_day_that_could_be_another_waits(day: str, why: str) -> None:
    for line in (f"Mill, {day}, f/8", f"Mill {day}, f/8"):
        with pytest.raises(NotUnderstoodError, match=why):
            said(line)


def test_two_figures_of_a_year_need_the_dates_of_the_trip() -> None:
    with pytest.raises(NotUnderstoodError, match="has a two-digit year, and the trip has no dates"):
        shot_written(["Mill, 14.10.31, f/8"])
    assert shot_written(["Mill 18.45.30"]).said == {"title": "Mill 18.45.30"}


def test_a_beginning_under_its_own_word_may_bring_its_end() -> None:
    for line in ("Mill, from: 17:20 - 18:00", "Mill, time: 17:20 to 18:00"):
        read = said(line)
        assert (read["window_from"], read["window_to"]) == (time(17, 20), time(18))
    with pytest.raises(NotUnderstoodError, match="two values for to"):
        shot_written(["Mill", "from: 17:20-18:00", "to: 18:30"])


@pytest.mark.parametrize(
    ("part", "field", "value"),
    [
        (".5 s", "exposure_s", Fraction(1, 2)),
        ("1/2.5 s", "exposure_s", Fraction(2, 5)),
        ("1/2,5 s", "exposure_s", Fraction(2, 5)),
        ("1/1.3", "exposure_s", Fraction(10, 13)),
        ("ISO 3.200", "iso", 3200),
        ("ISO 3,200", "iso", 3200),
        ("ISO 12 800", "iso", 12800),
        ("1'600 ISO", "iso", 1600),
        ("1,000 mm", "focal_mm", 1000),
        ("1.200 mm", "focal_mm", 1200),
        ("4.25 mm", "focal_mm", 4.25),
        ("6.30pm", "window_from", time(18, 30)),
        ("by 6.30 p.m.", "window_to", time(18, 30)),
    ],
)
def test_points_and_thousands_signs_are_read_as_a_sheet_reads_them(
    part: str, field: str, value: object
) -> None:
    assert said(f"Surf blur, {part}, tripod")[field] == value
    assert said(f"Surf blur {part}, tripod")[field] == value


def test_a_comma_between_two_settings_makes_no_thousand() -> None:
    for line in ("Heron,f4,200mm", "Heron,f/4,200mm", "Heron,iso100,f4,200mm"):
        assert (said(line)["f_number"], said(line)["focal_mm"]) == (4, 200)
    assert said("Heron, iso 100 400 mm")["focal_mm"] == 400


def test_half_past_may_have_a_point_where_the_half_of_the_day_follows() -> None:
    read = said("Surf, 6-6.30pm")
    assert (read["window_from"], read["window_to"]) == (time(18), time(18, 30))


def test_seconds_stay_seconds_without_a_space() -> None:
    assert said("Waterfall 30s, f/8")["exposure_s"] == 30
    assert said("Waterfall, 1200s, f/8")["exposure_s"] == 1200
    assert said("Waterfall, 0.5s, f/8")["exposure_s"] == Fraction(1, 2)
