"""A clock that the light contradicts is doubted, and the mistake that would explain it is named."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from logbook.domain.horizon import SEA
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.clocks.proposed import list_clocks
from logbook.services.keepers.importing import take_in
from logbook.services.light.frame_light import light_flags, sun_heights
from logbook.services.light.stands import stands_of
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
    assert found.doubts[0].startswith("nothing confirms the clock")
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


def test_a_frame_is_judged_over_the_horizon_of_its_viewpoint(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    """Bright light with the sun at -2 degrees is a doubt over a level horizon, not from high over the sea."""
    records.edit(
        book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 73.4, "elevation_m": 3700.0}
    )
    ledge = records.add(book, kinds.VIEWPOINT, {"title": "Sea ledge", "site": "quarry"}).records[0]
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:36:30")
    take_in(book, tmp_path / "p", trip=None)
    keeper = account_of(book, None).keepers[0]
    with book.writing() as desk:
        desk.keepers.put(
            replace(keeper, viewpoint_id=ledge.id, f_number=8.0, exposure_s=Fraction(1, 250), iso=100)
        )
    account = account_of(book, None)
    stands = stands_of(account, account.keepers)
    (height,) = sun_heights(stands, account.keepers).values()
    assert -2.6 < height < -1.5
    assert light_flags(stands, account.keepers)
    records.edit(book, kinds.VIEWPOINT, ledge.slug, {"horizon": SEA})
    account = account_of(book, None)
    assert not light_flags(stands_of(account, account.keepers), account.keepers)
