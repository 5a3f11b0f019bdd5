"""What is proposed of a day: the evening's own questions, and frames found to be sets."""

from datetime import date
from pathlib import Path

import pytest

from logbook.domain.words import JoinedKind
from logbook.services.keepers.sets import join, split
from logbook.services.night.proposed import proposed_on
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.store.book import Book
from tests.once import copied_book
from tests.services.night.sittings import TRIP, now

DAY = date(2025, 10, 18)


@pytest.fixture
def book(sample_book: Path, tmp_path: Path) -> Book:
    """The sample trip with no day written down."""
    return Book(copied_book(sample_book, tmp_path / "book.sqlite"), now, create=False)


def test_a_proposal_that_was_taken_or_declined_is_none_any_more(book: Book) -> None:
    with book.reading() as desk:
        trip = next(one for one in desk.trips.all() if one.slug == TRIP)
    before = proposed_on(book, trip, DAY)
    asked = {one.item.question.asks for one in before.items}
    assert {Asks.FILTERS, Asks.SHOT} <= asked
    assert Asks.OUTCOME not in asked
    assert all(one.keepers for one in before.items), "each with the pictures it is about"
    night = Night(book, trip, DAY)
    taken, declined = (one.item.question.key for one in before.items if one.item.question.asks is Asks.SHOT)
    night.say(taken, "y")
    night.say(declined, "none")
    left = {one.item.question.key for one in proposed_on(book, trip, DAY).items}
    assert not {taken, declined} & left


@pytest.mark.slow
def test_sets_that_nobody_spoke_of_are_proposed(book: Book) -> None:
    with book.reading() as desk:
        trip = next(one for one in desk.trips.all() if one.slug == TRIP)
        days = sorted({one.place_time.date() for one in desk.keepers.all() if one.place_time})
    on = next(one for one in days if proposed_on(book, trip, one).sets)
    first, *others = proposed_on(book, trip, on).sets
    which = ",".join(one.slug for one in first.keepers)
    split(book, trip.slug, which)
    assert proposed_on(book, trip, on).sets == tuple(others)
    join(book, trip.slug, which, JoinedKind.BRACKET)
    assert proposed_on(book, trip, on).sets == tuple(others)
