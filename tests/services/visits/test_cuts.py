"""A visit is cut and joined: times, counts and words stay true, and undo brings all of it back."""

from dataclasses import replace
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.belonging import visits_by_keeper
from logbook.domain.errors import ConflictError, InvalidValueError
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, Provenance, Support, VisitPurpose
from logbook.services import conditions, kinds, records
from logbook.services.books.undo import undo
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.visits.cuts import join_visits, split_visit
from logbook.store.book import Book
from tests.services.adding import add_to_trip
from tests.services.conftest import Dump, Picture

DAY = date(2031, 10, 14)


def visited(book: Book, **more: Any) -> Visit:
    said = {"viewpoint": "quarry-ledge", "on_date": DAY, "arrived_at": time(17), "departed_at": time(19)}
    made = add_to_trip(book, kinds.VISIT, None, said | more, None).records[0]
    assert isinstance(made, Visit)
    return made


def owners(book: Book) -> dict[str, str]:
    with book.reading() as desk:
        visits = {one.id: one.slug for one in desk.visits.all()}
        keepers = {one.id: one.slug for one in desk.keepers.all()}
        found = visits_by_keeper(desk.keepers.all(), desk.visits.all(), time(4))
    return {keepers[keeper]: visits[visit] for keeper, visit in found.items()}


def test_a_cut_divides_the_time_and_the_pictures(book: Book, tmp_path: Path, picture: Picture) -> None:
    for number, taken in enumerate(("17:30:00", "18:04:59", "18:05:00", "18:40:00"), 1):
        picture(tmp_path / "in" / f"A_000{number}.JPG", look=number, taken=f"2031:10:14 {taken}")
    take_in(book, tmp_path / "in", trip=None)
    note_keepers(book, None, "1-4", {"viewpoint": "quarry-ledge"})
    visited(book)
    done = split_visit(book, "quarry-ledge-2031-10-14", time(18, 5))
    first, second = done.listing.records
    assert (first.arrived_at, first.departed_at) == (time(17), time(18, 5))
    assert (second.arrived_at, second.departed_at) == (time(18, 5), time(19))
    assert done.keepers == (2, 2)
    assert list(owners(book).values()) == [first.slug, first.slug, second.slug, second.slug]


def test_what_held_for_the_whole_holds_for_each_part_but_tries_are_nobodys(book: Book) -> None:
    visited(
        book,
        tries=20,
        support=Support.TRIPOD,
        purpose=VisitPurpose.SHOOTING,
        journal="Wind from noon.",
        provenance={"support": Provenance.ASSUMED, "departed_at": Provenance.INFERRED},
    )
    done = split_visit(book, "quarry-ledge-2031-10-14", time(18))
    first, second = done.listing.records
    assert done.tries == 20
    for part in (first, second):
        assert (part.tries, part.support, part.purpose) == (None, Support.TRIPOD, VisitPurpose.SHOOTING)
        assert part.provenance_of("support") is Provenance.ASSUMED
    assert (first.journal, second.journal) == ("Wind from noon.", None)
    assert first.provenance_of("departed_at") is Provenance.STATED, "the person who cut said so"
    assert second.provenance_of("arrived_at") is Provenance.STATED
    assert second.provenance_of("departed_at") is Provenance.INFERRED


@pytest.mark.parametrize("at", [time(16, 59), time(17), time(19), time(20), time(2)])
def test_a_time_that_is_not_between_is_refused(book: Book, dump: Dump, at: time) -> None:
    visited(book)
    before = dump()
    with pytest.raises(InvalidValueError, match="from 17:00 to 19:00; choose a time between"):
        split_visit(book, "quarry-ledge-2031-10-14", at)
    assert dump() == before


def test_a_visit_of_which_only_the_arrival_is_known_is_cut_after_it(book: Book) -> None:
    visited(book, departed_at=None)
    with pytest.raises(InvalidValueError, match="from 17:00 to an unknown time"):
        split_visit(book, "quarry-ledge-2031-10-14", time(16))
    second = split_visit(book, "quarry-ledge-2031-10-14", time(1, 30)).listing.records[1]
    assert (second.on_date, second.arrived_at, second.departed_at) == (DAY, time(1, 30), None)


def test_a_visit_past_the_end_of_its_day_is_cut_there_too(book: Book) -> None:
    visited(book, arrived_at=time(23), departed_at=time(6))
    first, second = split_visit(book, "quarry-ledge-2031-10-14", time(5)).listing.records
    assert (first.on_date, first.departed_at) == (DAY, time(5))
    assert (second.on_date, second.arrived_at, second.departed_at) == (date(2031, 10, 15), time(5), time(6))


def test_undo_takes_a_cut_back_whole(book: Book) -> None:
    before = visited(book, tries=20)
    split_visit(Book(book.path, book.now, create=False), before.slug, time(18))
    undo(book)
    (after,) = records.list_all(book, kinds.VISIT, {}).records
    assert replace(after, updated=before.updated) == before


def test_two_visits_are_joined_with_what_was_said_of_both(book: Book) -> None:
    visited(book, departed_at=time(18), tries=10, support=Support.TRIPOD, journal="First.")
    visited(book, arrived_at=time(18, 5), tries=4, support=Support.TRIPOD, journal="Second.")
    names = ("quarry-ledge-2031-10-14-2", "quarry-ledge-2031-10-14")
    (joined,) = join_visits(book, *names).listing.records
    assert (joined.slug, joined.arrived_at, joined.departed_at) == (names[1], time(17), time(19))
    assert (joined.tries, joined.support, joined.journal) == (14, Support.TRIPOD, "First.\n\nSecond.")
    assert len(records.list_all(book, kinds.VISIT, {}).records) == 1


def test_what_differs_or_is_unknown_of_one_is_unknown_of_both(book: Book) -> None:
    visited(book, departed_at=time(18), tries=10, support=Support.HANDHELD, purpose=VisitPurpose.SCOUTING)
    visited(book, arrived_at=time(18), support=Support.TRIPOD, purpose=VisitPurpose.SHOOTING)
    (joined,) = join_visits(book, "quarry-ledge-2031-10-14", "quarry-ledge-2031-10-14-2").listing.records
    assert (joined.tries, joined.support, joined.purpose) == (None, None, VisitPurpose.SHOOTING)


def test_visits_that_cannot_be_one_are_not_joined(book: Book) -> None:
    visited(book, departed_at=time(18))
    visited(book, viewpoint="dune-crest", arrived_at=time(18), departed_at=time(18, 20))
    visited(book, arrived_at=time(18, 30))
    visited(book, on_date=date(2031, 10, 15))
    here = "quarry-ledge-2031-10-14"
    for other, why in (
        (here, "already one visit"),
        ("dune-crest-2031-10-14", "different viewpoints"),
        (f"{here}-2", "dune-crest-2031-10-14, at another viewpoint, comes between them"),
        ("quarry-ledge-2031-10-15", "different days"),
    ):
        with pytest.raises(ConflictError, match=why):
            join_visits(book, here, other)


def test_joining_what_was_cut_gives_the_visit_back(book: Book) -> None:
    before = visited(book, support=Support.TRIPOD, purpose=VisitPurpose.SHOOTING, journal="Wind.")
    first, second = split_visit(book, before.slug, time(18)).listing.records
    (after,) = join_visits(book, first.slug, second.slug).listing.records
    for name in ("slug", "arrived_at", "departed_at", "support", "purpose", "journal", "tries", "provenance"):
        assert getattr(after, name) == getattr(before, name)


def test_what_was_seen_follows_the_cut_and_the_join(book: Book) -> None:
    whole = visited(book).slug
    for at in (None, time(17, 30), time(18, 30)):
        conditions.note(
            book, None, {"kind": ConditionKind.CROWD, "level": "few", "visit": whole, "at": at}, None
        )
    first, second = split_visit(book, whole, time(18)).listing.records

    def named() -> list[str | None]:
        with book.reading() as desk:
            return [one.visit_id for one in desk.conditions.all()]

    assert named() == [first.id, first.id, second.id]
    join_visits(book, first.slug, second.slug)
    assert named() == [first.id] * 3
