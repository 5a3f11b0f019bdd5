"""No filter on a frame whose exposure makes that near impossible is doubted, and only there."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from logbook.domain.words import SubjectKind
from logbook.domain.written.filters import stacks_written
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.keepers.bare_lens import doubted_in_note, doubted_without_filter
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.store.book import Book

Picture = Callable[..., Path]
FRAME, LONG, SHORT = "0412", Fraction(60), Fraction(1, 125)


@pytest.fixture
def frames(book: Book, tmp_path: Path, picture: Picture) -> Callable[..., None]:
    """Take in a frame of a time of day and an exposure time, at f/11 and ISO 100, at the quarry."""
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 73.4})

    def make(at: str, exposure_s: Fraction) -> None:
        picture(tmp_path / "p" / f"A_{FRAME}.JPG", taken=f"2031:10:14 {at}:00")
        take_in(book, tmp_path / "p", trip=None)
        with book.writing() as desk:
            keeper = desk.keepers.first(file=f"A_{FRAME}.JPG")
            assert keeper is not None
            desk.keepers.put(replace(keeper, exposure_s=exposure_s, f_number=11.0, iso=100))

    return make


def doubted(book: Book, said: str) -> list[str]:
    return [one.reason for one in doubted_in_note(book, None, FRAME, stacks_written(said))]


def test_a_minute_at_ten_in_the_morning_without_a_filter_is_doubted(
    book: Book, frames: Callable[..., None]
) -> None:
    frames("10:00", LONG)
    (reason,) = doubted(book, "none")
    assert reason.startswith("1 min, f/11, ISO 100: without a filter the scene would be EV 1 with the sun ")
    assert doubted(book, "rest none") == [reason]
    assert doubted(book, "nd1000") == doubted(book, "unknown") == []
    account = account_of(book, None)
    assert [one.file for one in doubted_without_filter(account, account.keepers)] == [f"A_{FRAME}.JPG"]


@pytest.mark.parametrize(("at", "exposure_s"), [("10:00", SHORT), ("23:00", LONG), ("10:00", Fraction(1))])
def test_what_can_be_is_not_doubted(
    book: Book, frames: Callable[..., None], at: str, exposure_s: Fraction
) -> None:
    frames(at, exposure_s)
    assert doubted(book, "none") == []


def test_an_interior_is_not_doubted(book: Book, frames: Callable[..., None]) -> None:
    frames("10:00", LONG)
    records.edit(book, kinds.SITE, "quarry", {"kinds": (SubjectKind.INTERIOR,)})
    note_keepers(book, None, FRAME, {"viewpoint": "quarry-ledge"})
    assert doubted(book, "none") == []


def test_what_was_stated_is_not_asked_again(book: Book, frames: Callable[..., None]) -> None:
    frames("10:00", LONG)
    note_keepers(book, None, FRAME, {}, stacks_written("none"))
    assert doubted(book, "none") == []


@pytest.mark.slow
def test_a_day_that_an_eclipse_darkened_is_not_doubted(book: Book, frames: Callable[..., None]) -> None:
    """At 25.7 N 32.65 E the sun is total at 10:05 UTC on 2 August 2027 (astronomy-engine)."""
    frames("10:00", LONG)
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 25.7, "longitude_deg": 32.65})
    for day, doubts in ((1, 1), (2, 0)):
        with book.writing() as desk:
            keeper = desk.keepers.first(file=f"A_{FRAME}.JPG")
            assert keeper is not None
            at = datetime(2027, 8, day, 10, 5, tzinfo=UTC)
            desk.keepers.put(replace(keeper, taken_utc=at))
        assert len(doubted(book, "none")) == doubts
