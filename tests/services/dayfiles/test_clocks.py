"""Clock lines of a day file hold for their day and leave what was said of other ranges."""

from pathlib import Path

import pytest

from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.dayfiles.days import DayRead, read_day
from logbook.store.book import Book


@pytest.fixture
def day(tmp_path: Path) -> Path:
    """A day file of the day of TRN_0412 to TRN_0419."""
    return tmp_path / "day.md"


def read(book: Book, file: Path, line: str, on: str = "2031-10-14") -> DayRead:
    file.write_text(f"---\ntrip: valley\ndate: {on}\n---\n{line}\n", encoding="utf-8")
    return read_day(book, file)


def offsets(book: Book) -> list[int]:
    """The correction of each frame, in seconds."""
    with book.reading() as desk:
        return [one.clock_offset_s for one in sorted(desk.keepers.all(), key=lambda one: one.file)]


def test_a_line_states_the_clock_of_a_body_that_was_not_set(book: Book, keepers: Path, day: Path) -> None:
    read(book, day, "- clock Thistle: +420 s")
    read(book, day, "- clock Thistle: +420 s")
    assert offsets(book) == [420] * 8
    with book.reading() as desk:
        assert len(desk.clocks.all()) == 1


def test_a_line_for_a_day_on_which_the_clock_was_set_is_kept_to_sort_out(
    book: Book, keepers: Path, day: Path
) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-420, since="0415"))
    before = offsets(book)
    (loose,) = read(book, day, "- clock Thistle: +60 s").loose
    assert (loose.text, "--since" in loose.why) == ("- clock Thistle: +60 s", True)
    assert offsets(book) == before
    assert not read(book, day, "- ? clock Thistle: +60 s").loose  # a proposal states nothing


def test_a_line_leaves_the_range_of_another_day(
    book: Book, keepers: Path, day: Path, picture: object
) -> None:
    from logbook.services.keepers.importing import take_in

    assert callable(picture)
    picture(keepers / "TRN_0500.JPG", look=500, taken="2031:10:15 09:00:00")
    take_in(book, keepers, trip=None)
    set_clock(book, None, None, ClockSaid(fast_s=0, since="0500"))
    for _ in range(2):
        assert not read(book, day, "- clock Thistle: +420 s").loose
        assert offsets(book) == [420] * 8 + [0]
        with book.reading() as desk:
            assert len(desk.clocks.all()) == 2
    (loose,) = read(book, day, "- clock Thistle: +60 s", on="2031-10-20").loose
    assert "no frames on that day" in loose.why


def test_of_two_lines_about_one_clock_the_later_counts_and_the_earlier_is_kept_to_sort_out(
    book: Book, keepers: Path, day: Path
) -> None:
    done = read(book, day, "- clock Thistle: 7 min slow\n- clock Thistle: 1 h fast")
    assert offsets(book) == [-3600] * 8
    assert [(one.line, one.why) for one in done.loose] == [(5, "a later line differs; the later one is used")]
