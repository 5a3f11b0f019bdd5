"""A clock that the light contradicts is doubted, and the mistake that would explain it is named."""

from collections.abc import Callable
from pathlib import Path

from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.frame_light import stands_of, sun_heights
from logbook.services.keepers import take_in
from logbook.services.proposed_clocks import list_clocks
from logbook.sky.observer import Observer
from logbook.sky.position import sun_position
from logbook.store.book import Book

Picture = Callable[..., Path]


def taken_at(book: Book, folder: Path, picture: Picture, hour: int) -> tuple[str, ...]:
    """Take in three bright frames that the camera says were made at an hour; return the clock's doubts."""
    place = {"latitude_deg": 38.2, "longitude_deg": 73.4}
    records.edit(book, kinds.SITE, "quarry", place)
    for number in range(3):
        picture(folder / f"A_000{number}.JPG", look=number, taken=f"2031:10:14 {hour:02}:1{number}:00")
    take_in(book, folder, trip=None)
    (found,) = list_clocks(book, None, None)
    assert found.doubts[0].startswith("nothing vouches for the clock")
    return found.doubts[1:]


def test_noon_light_at_midnight_names_the_mistake_that_explains_it(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    impossible, explained = taken_at(book, tmp_path / "p", picture, 0)
    assert "below the horizon: the clock or the zone is probably wrong" in impossible
    assert explained == "3 of 3 such pictures would fit if AM and PM were mixed up, +12 h"


def test_noon_light_at_noon_is_no_doubt(book: Book, tmp_path: Path, picture: Picture) -> None:
    assert taken_at(book, tmp_path / "p", picture, 12) == ()


def test_the_sun_over_a_frame_is_that_of_the_ephemeris_to_a_twentieth_of_a_degree(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    taken_at(book, tmp_path / "p", picture, 17)
    account = account_of(book, None)
    heights = sun_heights(stands_of(account, account.keepers), account.keepers)
    assert len(heights) == 3
    for keeper in account.keepers:
        assert keeper.taken_utc is not None
        exact = sun_position(Observer(38.2, 73.4), keeper.taken_utc).altitude_deg
        assert abs(heights[keeper.id] - exact) < 0.05
