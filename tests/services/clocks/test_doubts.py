"""A picture whose time came twice, or never, is doubted until a file, satellites or a person settle it."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from logbook.domain.errors import WrongUseError
from logbook.domain.zones import ClockTurn, TimeDoubt
from logbook.services import kinds, records
from logbook.services.books.checks import CheckArea, check_book
from logbook.services.clocks.proposed import list_clocks
from logbook.services.clocks.setting import ClockSaid, ClockSet, set_clock
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import list_keepers, show_keeper
from logbook.store.book import Book

Picture = Callable[..., Path]
TWICE, NEVER = "2031:10:26 02:30:00", "2031:03:30 02:30:00"  # Europe/Berlin, IANA time zone database


@pytest.fixture
def berlin(book: Book) -> Book:
    records.edit(book, kinds.TRIP, "high-valley", {"zone": "Europe/Berlin"})
    return book


def doubt(book: Book, file: str) -> TimeDoubt | None:
    listing = show_keeper(book, None, file)
    return listing.time_doubts.get(listing.records[0].id)


def instant(book: Book, file: str) -> datetime | None:
    taken: datetime | None = show_keeper(book, None, file).records[0].taken_utc
    return taken


def said(book: Book, file: str, *, later: bool = False) -> ClockSet:
    return set_clock(book, None, None, ClockSaid(fast_s=0, since=file, until=file, later=later))


def test_only_frames_of_the_hour_that_comes_twice_are_doubted_and_the_import_says_which(
    berlin: Book, tmp_path: Path, picture: Picture
) -> None:
    for number, at in enumerate(("01:59:59", "02:00:00", "02:59:59", "03:00:00")):
        picture(tmp_path / "p" / f"A_000{number}.JPG", look=number, taken=f"2031:10:26 {at}")
    done = take_in(berlin, tmp_path / "p", trip=None)
    assert [one.file for one in done.doubted] == ["A_0001.JPG", "A_0002.JPG"]
    assert "02:00 comes twice on 2031-10-26 in Europe/Berlin: the first is used (00:00 UTC)" in (
        done.doubted[0].reason
    )
    listing = list_keepers(berlin, None, {})
    assert [one.file for one in listing.records if one.id in listing.time_doubts] == [
        "A_0001.JPG",
        "A_0002.JPG",
    ]
    found = doubt(berlin, "A_0001.JPG")
    assert found is not None
    assert (found.turn, found.taken) == (ClockTurn.TWICE, 1)
    assert found.instants == (datetime(2031, 10, 26, 0, tzinfo=UTC), datetime(2031, 10, 26, 1, tzinfo=UTC))
    assert take_in(berlin, tmp_path / "p", trip=None).doubted == (), "again nothing is new"


def test_a_person_states_the_second_and_then_the_first(
    berlin: Book, tmp_path: Path, picture: Picture
) -> None:
    for number in range(2):
        picture(tmp_path / "p" / f"A_000{number}.JPG", look=number, taken=f"2031:10:26 02:3{number}:00")
    take_in(berlin, tmp_path / "p", trip=None)
    done = said(berlin, "A_0000.JPG", later=True)
    assert instant(berlin, "A_0000.JPG") == datetime(2031, 10, 26, 1, 30, tzinfo=UTC)
    assert show_keeper(berlin, None, "A_0000.JPG").records[0].place_time == datetime.fromisoformat(
        "2031-10-26T02:30"
    )
    assert (doubt(berlin, "A_0000.JPG"), done.doubts) == (None, ())
    assert doubt(berlin, "A_0001.JPG") is not None, "of the other nobody said anything"
    done = said(berlin, "A_0000.JPG")
    assert instant(berlin, "A_0000.JPG") == datetime(2031, 10, 26, 0, 30, tzinfo=UTC)
    assert doubt(berlin, "A_0000.JPG") is None
    assert "the first is used; --later states the second" in done.doubts[-1]


def test_the_later_of_a_time_that_came_once_is_refused(
    berlin: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:26 03:10:00")
    take_in(berlin, tmp_path / "p", trip=None)
    with pytest.raises(WrongUseError, match=r"03:10 on 2031-10-26 came only once in Europe/Berlin"):
        said(berlin, "A_0001.JPG", later=True)


@pytest.mark.parametrize(("fast_s", "utc"), [(-600, "01:05"), (600, "01:45")])
def test_what_counts_is_the_time_after_the_bodys_correction(
    berlin: Book, tmp_path: Path, picture: Picture, fast_s: int, utc: str
) -> None:
    wall = "01:55:00" if fast_s < 0 else "02:55:00"
    picture(tmp_path / "p" / "A_0001.JPG", taken=f"2031:10:26 {wall}")
    take_in(berlin, tmp_path / "p", trip=None, clock_offset_s=-fast_s)
    assert doubt(berlin, "A_0001.JPG") is not None
    set_clock(berlin, None, None, ClockSaid(fast_s=fast_s, later=True))
    assert f"{instant(berlin, 'A_0001.JPG'):%H:%M}" == utc
    assert doubt(berlin, "A_0001.JPG") is None


def test_an_offset_tag_or_the_satellites_time_settles_it(
    berlin: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", look=1, taken=TWICE, offset="+01:00")
    picture(tmp_path / "p" / "A_0002.JPG", look=2, taken=TWICE, gps=("2031:10:26", (1, 30, 0)))
    assert take_in(berlin, tmp_path / "p", trip=None).doubted == ()
    for file in ("A_0001.JPG", "A_0002.JPG"):
        assert doubt(berlin, file) is None
        assert instant(berlin, file) == datetime(2031, 10, 26, 1, 30, tzinfo=UTC)


@pytest.mark.parametrize("zone", [None, "Europe/Berlin"])
def test_a_time_that_never_came_is_doubted_whoever_named_the_zone(
    berlin: Book, tmp_path: Path, picture: Picture, zone: str | None
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken=NEVER)
    take_in(berlin, tmp_path / "p", trip=None, zone=zone)
    found = doubt(berlin, "A_0001.JPG")
    assert found is not None
    assert found.turn is ClockTurn.NEVER
    assert (
        "02:30 never came on 2031-03-30 in Europe/Berlin, because the clocks skipped it: 03:30 is used"
        in (found.reason)
    )
    said(berlin, "A_0001.JPG")
    assert doubt(berlin, "A_0001.JPG") is None
    assert instant(berlin, "A_0001.JPG") == datetime(2031, 3, 30, 1, 30, tzinfo=UTC)


@pytest.mark.slow
def test_half_an_hour_is_enough_and_no_zone_is_no_doubt(book: Book, tmp_path: Path, picture: Picture) -> None:
    """Lord Howe puts its clocks back by 30 minutes at 02:00 (IANA time zone database)."""
    records.edit(book, kinds.TRIP, "high-valley", {"zone": None})
    picture(tmp_path / "p" / "A_0001.JPG", look=1, taken="2031:04:06 01:45:00")
    picture(tmp_path / "q" / "A_0002.JPG", look=2, taken="2031:04:06 01:45:01")
    take_in(book, tmp_path / "p", trip=None)
    assert doubt(book, "A_0001.JPG") is None
    take_in(book, tmp_path / "q", trip=None, zone="Australia/Lord_Howe")
    found = doubt(book, "A_0002.JPG")
    assert found is not None
    assert found.instants[1] - found.instants[0] == timedelta(minutes=30)


def test_clocks_and_the_check_of_the_book_tell_of_it(berlin: Book, tmp_path: Path, picture: Picture) -> None:
    for number in range(3):
        picture(tmp_path / "p" / f"A_000{number}.JPG", look=number, taken=f"2031:10:26 02:3{number}:00")
    take_in(berlin, tmp_path / "p", trip=None)
    (clock,) = list_clocks(berlin, None, None)
    (told,) = [one for one in clock.doubts if "comes twice" in one]
    assert told.startswith("A_0000.JPG: 02:30 comes twice")
    assert told.endswith("; the same goes for 2 more")
    checked = check_book(berlin)
    assert sum(one.kind is CheckArea.TIME for one in checked.findings) == 3
    assert not [one for one in checked.wrong if one.kind is CheckArea.TIME], "a doubt is no fault"
