"""A picture too bright for its hour is doubted by the nearest known place, and by none where none is."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from logbook.services import kinds, records
from logbook.services.books.checks import CheckArea, check_book
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import list_keepers, note_keepers, show_keeper
from logbook.services.plans import outcomes
from logbook.store.book import Book

Picture = Callable[..., Path]

VALLEY = {"latitude_deg": 38.2, "longitude_deg": 73.4}  # dark at 02:30 by the clock of the trip
OCEAN = {"latitude_deg": -38.2, "longitude_deg": -106.6}  # the other side of the earth: noon then
REASON = "below the horizon: the clock or the zone is probably wrong"


@pytest.fixture
def night(book: Book, tmp_path: Path, picture: Picture) -> Book:
    """Add a bright picture of half past two at night; 1/125 s, f/8, ISO 200 is EV 12."""
    picture(tmp_path / "p" / "TRN_0412.JPG", taken="2031:10:14 02:30:00")
    take_in(book, tmp_path / "p", trip=None)
    return book


def doubt(book: Book) -> str | None:
    shown = show_keeper(book, None, "0412")
    flag = shown.light_doubts.get(shown.records[0].id)
    return flag.reason if flag else None


def test_without_any_known_place_nothing_is_claimed(night: Book) -> None:
    assert doubt(night) is None
    assert not [one for one in check_book(night).findings if one.kind is CheckArea.LIGHT]


@pytest.mark.parametrize("noun", ["site of the trip", "site", "viewpoint"])
def test_the_nearest_known_place_says_how_high_the_sun_stood(night: Book, noun: str) -> None:
    if noun != "site of the trip":
        note_keepers(night, None, "0412", {"viewpoint": "quarry-ledge"})
    if noun == "viewpoint":
        records.edit(night, kinds.SITE, "quarry", OCEAN)
        records.edit(night, kinds.VIEWPOINT, "quarry-ledge", VALLEY)
    else:
        records.edit(night, kinds.SITE, "quarry", VALLEY)
    assert REASON in (doubt(night) or "")


def test_a_nearer_place_where_the_sun_shone_takes_the_doubt_away(night: Book) -> None:
    records.edit(night, kinds.SITE, "quarry", VALLEY)
    note_keepers(night, None, "0412", {"viewpoint": "quarry-ledge"})
    assert REASON in (doubt(night) or "")
    records.edit(night, kinds.VIEWPOINT, "quarry-ledge", OCEAN)
    assert doubt(night) is None


def test_sites_under_different_suns_say_nothing_of_a_picture_that_names_neither(night: Book) -> None:
    records.edit(night, kinds.SITE, "quarry", VALLEY)
    records.add(night, kinds.SITE, {"title": "Far coast", **OCEAN})
    records.add(night, kinds.VIEWPOINT, {"title": "Far pier", "site": "far-coast"})
    plan: dict[str, Any] = {"title": "Far swell", "viewpoint": "far-pier"}
    outcomes.plan_shot(night, None, plan, None)
    assert doubt(night) is None


def test_list_show_check_and_proposals_give_one_explanation(night: Book) -> None:
    from logbook.services.clocks.proposed import list_clocks

    records.edit(night, kinds.SITE, "quarry", VALLEY)
    listing = list_keepers(night, None, {})
    (flag,) = listing.light_doubts.values()
    checked = check_book(night)
    (finding,) = [one for one in checked.findings if one.kind is CheckArea.LIGHT]
    (clock,) = list_clocks(night, None, None)
    assert doubt(night) == flag.reason == finding.what
    assert f"TRN_0412.JPG: {flag.reason}" in clock.doubts
    assert finding not in checked.wrong  # a doubt for a person to judge, not a fault of the book
