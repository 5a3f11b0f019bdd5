"""What is said of a camera's clock at night, and a doubtful clock beside a trusted one."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import LogbookError
from logbook.domain.words import ClockEvidence
from logbook.services.night.clocks import TRIED_MIN, best_shift, take_clocks
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
from logbook.store.book import Book
from tests.services.night.scripted_day import TRIP
from tests.services.night.sittings import Sitting, now

SORREL = "clock.Ostrey Sorrel"
FAR_MIN = 40  # farther apart than half-hour steps and company together


@pytest.fixture
def night(scripted_book: Path) -> Night:
    """A day of two cameras, the clock of one an hour slow."""
    book = Book(scripted_book, now, create=False)
    trip, day = day_to_write(book, TRIP, None)
    return Night(book, trip, day)


def times(night: Night) -> list[str]:
    """When the slow camera's pictures were made, by the place's clock."""
    with night.book.reading() as desk:
        own = desk.keepers.all(body="Ostrey Sorrel")
        return sorted(f"{one.place_time:%H:%M}" for one in own if one.place_time)


def test_a_photographed_clock_puts_all_pictures_of_its_camera_right(night: Night) -> None:
    assert times(night) == ["07:10", "07:14", "09:37", "13:16", "17:09"]
    assert night.say(SORREL, "1207 shows 10:37") == (
        "The clock was 1 h slow: 1 h will be added to its times.",
    )
    assert times(night) == ["08:10", "08:14", "10:37", "14:16", "18:09"]
    with night.book.reading() as desk:
        (clock,) = desk.clocks.all(body="Ostrey Sorrel")
    assert (clock.evidence, clock.note) == (ClockEvidence.PHOTOGRAPHED_CLOCK, "OST_1207.JPG shows 10:37")


@pytest.mark.parametrize("text", ["0471 shows 08:00", "1207 shows noonish", "9999 shows 10:37"])
def test_a_picture_of_another_camera_or_no_time_tells_nothing(night: Night, text: str) -> None:
    before = times(night)
    with pytest.raises(LogbookError):
        night.say(SORREL, text)
    assert times(night) == before


@given(st.sampled_from(TRIED_MIN), st.lists(st.integers(1, 6), min_size=3, max_size=8), st.data())
def test_the_shift_between_two_cameras_used_together_is_found(
    shift_min: int, gaps: list[int], data: st.DataObject
) -> None:
    """Pictures of both at the same places, irregular in time; the second camera's clock off by a step."""
    at, trusted = 8 * 60, []
    for number, gap in enumerate(gaps):
        at += FAR_MIN + 30 * gap + 7 * number
        trusted.append(at)
    off = [data.draw(st.integers(-3, 3)) for _ in trusted]
    own = [minute + by - shift_min for minute, by in zip(trusted, off, strict=True)]
    found = best_shift(own, trusted)
    assert found in (shift_min, 0), "another shift is never preferred"


def test_nothing_is_preferred_where_nothing_is_clearly_better() -> None:
    assert best_shift([480, 540], [480, 540]) == 0
    assert best_shift([480], [540]) == 0, "one picture of company is chance"
    assert best_shift([], [540]) == 0
    assert best_shift([480, 500], []) == 0


def test_only_clocks_in_doubt_are_shown_with_the_likeliest_correction_first(scripted_book: Path) -> None:
    book = Book(scripted_book, now, create=False)
    night = Night(book, *day_to_write(book, TRIP, None))
    (line,) = whole_evening(night).clocks
    assert line.body == "Ostrey Sorrel"
    assert line.choices == ("1 h slow", "right", "1 h fast")
    assert line.company == "5 of its 5 pictures would then fall near one from the other camera"
    assert (len(line.own), len(line.trusted)) == (5, 14)
    night.say(line.key, line.choices[0])
    assert whole_evening(night).clocks == ()


def test_a_clock_that_a_satellite_vouches_for_is_in_no_doubt(sitting: Sitting) -> None:
    shown = whole_evening(sitting.night)
    assert shown.clocks == ()
    assert [one.default for one in shown.untaken] == ["+420 s"]


@pytest.mark.parametrize("is_taken", [False, True])
def test_pictures_follow_a_clock_in_no_doubt_once_it_is_taken(sitting: Sitting, is_taken: bool) -> None:
    if is_taken:
        take_clocks(sitting.book, sitting.night.trip, whole_evening(sitting.night).untaken)
    shown = whole_evening(sitting.night)
    first = shown.stays[0].keepers[0].place_time
    assert first is not None
    assert f"{first:%H:%M}" == ("14:41" if is_taken else "14:34")
    assert bool(shown.untaken) is not is_taken
