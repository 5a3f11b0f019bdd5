"""Sets that a person joins and splits: each frame in at most one, and the program keeps to what was said."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.keeper import KeeperSet
from logbook.domain.words import JoinedKind, Provenance, SetKind
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.keepers.proposals import propose
from logbook.services.keepers.sets import join, list_sets, split
from logbook.services.naming import SeveralKeepersError
from logbook.services.night.plan import plan_night
from logbook.store.book import Book
from tests.examples import examples
from tests.services.conftest import Dump, Picture

DAY = date(2031, 10, 14)
NUMBERS = range(1, 9)


def stated(book: Book) -> list[KeeperSet]:
    """The sets that were joined."""
    return list(account_of(book, None).sets)


def listed(book: Book) -> list[tuple[str, str, Provenance]]:
    """The sets as they are listed: kind, numbers from first to last, and where each came from."""
    return [
        (str(one.kind), f"{one.keepers[0][4:8]}-{one.keepers[-1][4:8]}", one.provenance)
        for one in list_sets(book, None, None)
    ]


@pytest.fixture
def burst(book: Book, tmp_path: Path, picture: Picture) -> Path:
    """Take in eight frames, a second apart: the program finds one burst."""
    folder = tmp_path / "burst"
    for number in NUMBERS:
        picture(folder / f"BST_{number:04}.JPG", look=number, taken=f"2031:10:14 17:00:{number:02}")
    take_in(book, folder, trip=None)
    return folder


def test_what_nobody_spoke_of_is_found(book: Book, burst: Path) -> None:
    assert listed(book) == [("burst", "0001-0008", Provenance.INFERRED)]
    assert stated(book) == []


def test_joined_frames_are_one_set_and_the_rest_is_found_around_them(book: Book, burst: Path) -> None:
    done = join(book, None, "0004-0005", JoinedKind.BRACKET)
    assert (done.keepers, done.left) == (("BST_0004.JPG", "BST_0005.JPG"), ())
    assert listed(book) == [
        ("burst", "0001-0003", Provenance.INFERRED),
        ("bracket", "0004-0005", Provenance.STATED),
        ("burst", "0006-0008", Provenance.INFERRED),
    ]


def test_joining_again_changes_nothing_and_another_word_changes_the_word(
    book: Book, burst: Path, dump: Dump
) -> None:
    join(book, None, "0001-0004", JoinedKind.BRACKET)
    before = dump()
    join(book, None, "0001-0004", JoinedKind.BRACKET)
    assert dump() == before
    join(book, None, "0001-0004", JoinedKind.PANORAMA)
    (only,) = stated(book)
    assert (only.kind, len(only.keeper_ids)) == (SetKind.PANORAMA, 4)


def test_joining_moves_frames_out_of_another_stated_set(book: Book, burst: Path) -> None:
    join(book, None, "0001-0004", JoinedKind.BRACKET)
    done = join(book, None, "0003-0006", JoinedKind.PANORAMA)
    assert done.left == ((SetKind.BRACKET, ("BST_0003.JPG", "BST_0004.JPG")),)
    assert [len(one.keeper_ids) for one in stated(book)] == [2, 4]
    join(book, None, "0002-0003", JoinedKind.BURST)
    assert {(str(one.kind), len(one.keeper_ids)) for one in stated(book)} == {("panorama", 3), ("burst", 2)}


def test_split_frames_are_not_proposed_as_one_set_again(book: Book, burst: Path) -> None:
    split(book, None, "0001-0008")
    assert listed(book) == [("apart", "0001-0008", Provenance.STATED)]
    assert propose(book, None, None).sets == ()


def test_two_neighbours_split_cut_a_found_set_in_two(book: Book, burst: Path) -> None:
    split(book, None, "0004-0005")
    found = [one[:2] for one in listed(book) if one[2] is Provenance.INFERRED]
    assert found == [("burst", "0001-0004"), ("burst", "0005-0008")]


def test_a_single_frame_leaves_its_set_found_or_stated(book: Book, burst: Path) -> None:
    split(book, None, "0001")
    assert ("burst", "0002-0008", Provenance.INFERRED) in listed(book)
    join(book, None, "0003-0005", JoinedKind.BRACKET)
    done = split(book, None, "0004")
    assert done.left == ((SetKind.BRACKET, ("BST_0004.JPG",)),)
    (only,) = stated(book)
    assert len(only.keeper_ids) == 2
    with pytest.raises(WrongUseError, match="not in a set"):
        split(book, None, "0004")


def test_splitting_cuts_a_stated_set(book: Book, burst: Path) -> None:
    join(book, None, "0001-0005", JoinedKind.BRACKET)
    split(book, None, "0002-0003")
    assert sorted(len(one.keeper_ids) for one in stated(book)) == [2, 3]
    split(book, None, "0001-0008")
    assert stated(book) == []


def test_joining_takes_back_what_was_said_of_the_same_frames(book: Book, burst: Path) -> None:
    split(book, None, "0001-0008")
    join(book, None, "0001-0003", JoinedKind.BURST)
    assert listed(book) == [
        ("burst", "0001-0003", Provenance.STATED),
        ("apart", "0004-0008", Provenance.STATED),
    ]


def test_one_frame_and_two_cameras_are_refused(book: Book, burst: Path, picture: Picture) -> None:
    with pytest.raises(WrongUseError, match="one frame"):
        join(book, None, "0003", JoinedKind.BURST)
    other = picture(burst / "PEL_0002.JPG")
    other.write_bytes(other.read_bytes().replace(b"Halvern", b"Pellick"))
    take_in(book, burst, trip=None)
    with pytest.raises(SeveralKeepersError, match="Pellick Thistle"):
        join(book, None, "0001-0003", JoinedKind.BURST)
    with pytest.raises(WrongUseError, match="more than one camera"):
        join(book, None, "BST_0001, PEL_0002", JoinedKind.BURST)
    assert len(join(book, None, "BST_0001-BST_0003", JoinedKind.BURST).keepers) == 3
    with pytest.raises(NotFoundError):
        join(book, None, "0100-0109", JoinedKind.BURST)


@pytest.mark.slow
def test_a_frame_in_two_files_is_one_frame_to_join_and_to_split(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    for number in (1, 2):
        for look, suffix in enumerate((".JPG", ".JPEG")):  # a raw file and its JPEG, as the file names say
            taken = f"2031:10:14 17:00:{number * 20:02}"
            picture(tmp_path / "p" / f"RAW_{number:04}{suffix}", look=10 * number + look, taken=taken)
    take_in(book, tmp_path / "p", trip=None)
    assert [one[0] for one in listed(book)] == ["pair", "pair"]
    with pytest.raises(WrongUseError, match="one frame"):
        join(book, None, "0001", JoinedKind.BURST)
    assert len(join(book, None, "0001-0002", JoinedKind.BURST).keepers) == 4
    assert sorted(one[0] for one in listed(book)) == ["burst", "pair", "pair"]
    split(book, None, "0001-0002")
    assert sorted(one[0] for one in listed(book)) == ["apart", "pair", "pair"]
    split(book, None, "RAW_0001.JPG")
    assert sorted(one[0] for one in listed(book)) == ["apart", "apart", "pair"]


def test_stated_sets_count_for_filters_matches_and_the_night(book: Book, burst: Path) -> None:
    note_keepers(book, None, "0001", {"filters": ("nd8",)})
    join(book, None, "0001-0003", JoinedKind.PANORAMA)
    found = propose(book, None, DAY)
    (own,) = (one for one in found.sets if one.stated)
    assert len(own.keys) == 3
    with book.reading() as desk:
        plan = plan_night(desk, records.the_trip(desk, None), DAY, book.now())
    groups = [*plan.others, *(one for visit in plan.visits for one in visit.groups)]
    (whole,) = (one for one in groups if set(own.keys) <= set(one.keeper_ids))
    assert whole.set_kind == "panorama"


def test_what_is_apart_is_no_set_in_the_account_of_a_trip(book: Book, burst: Path) -> None:
    split(book, None, "0001-0002")
    account = account_of(book, None)
    assert (account.sets, [one.kind for one in account.apart]) == ((), [SetKind.APART])


def test_a_removed_keeper_leaves_its_sets(book: Book, burst: Path) -> None:
    join(book, None, "0001-0003", JoinedKind.BRACKET)
    split(book, None, "0003-0004")
    with book.reading() as desk:
        trip = records.the_trip(desk, None)

    def remove(slug: str) -> records.Removed:
        return records.remove(book, kinds.KEEPER, slug, with_dependents=False, trip_id=trip.id)

    gone = remove("bst-0003")
    assert records.in_words(gone.let_go) == ["1 set"]
    assert records.in_words(gone.removed) == ["1 set"]  # of two that were apart, one is left
    (left,) = stated(book)
    assert len(left.keeper_ids) == 2
    assert records.in_words(remove("bst-0001").removed) == ["1 set"]
    with book.reading() as desk:
        assert desk.sets.all() == []


RANGE = st.tuples(st.sampled_from(NUMBERS), st.sampled_from(NUMBERS)).map(sorted)
STEP = st.tuples(st.sampled_from(["split", "remove", *JoinedKind]), RANGE)


@pytest.mark.slow
@settings(max_examples=examples(0.1), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(STEP, min_size=1, max_size=6))
def test_whatever_is_joined_and_split_each_frame_is_in_at_most_one_set(
    steps: list[tuple[str, list[int]]],
    burst: Path,
    book: Book,
    reset: Callable[[], None],
) -> None:
    reset()
    for word, (first, last) in steps:
        which = f"{first:04}-{last:04}"
        try:
            if word == "split":
                split(book, None, which)
            elif word == "remove":
                with book.reading() as desk:
                    trip_id = records.the_trip(desk, None).id
                slug = f"bst-{first:04}"
                records.remove(book, kinds.KEEPER, slug, with_dependents=False, trip_id=trip_id)
            else:
                join(book, None, which, JoinedKind(word))
        except (WrongUseError, NotFoundError):
            continue  # one frame, or frames that are gone
        _hold(book, word, first, last)


def _hold(book: Book, word: str, first: int, last: int) -> None:
    account = account_of(book, None)
    there = {keeper.id for keeper in account.keepers}
    members = [key for one in account.sets for key in one.keeper_ids]
    apart = [set(one.keeper_ids) for one in account.apart]
    assert len(members) == len(set(members))
    for one in (*account.sets, *account.apart):
        assert len(one.keeper_ids) > 1
        assert set(one.keeper_ids) <= there
    in_force = propose(book, None, None).sets
    keys = [key for one in in_force for key in one.keys]
    assert len(keys) == len(set(keys))
    assert {frozenset(one.keeper_ids) for one in account.sets} == {
        frozenset(one.keys) for one in in_force if one.stated
    }
    for found in in_force:
        assert all(len(group & set(found.keys)) < 2 for group in apart)
    named = {keeper.id for keeper in account.keepers if first <= int(keeper.file[4:8]) <= last}
    if word == "split":
        assert all(len(named & set(found.keys)) < 2 for found in in_force)
    elif word in list(JoinedKind):
        assert [str(one.kind) for one in account.sets if set(one.keeper_ids) == named] == [word]


@pytest.fixture
def reset(book: Book, burst: Path) -> Callable[[], None]:
    """Bring back what was removed and forget what was said of sets."""

    def back() -> None:
        with book.writing() as desk:
            desk.sets.remove(one.id for one in desk.sets.all())
        take_in(book, burst, trip=None)

    return back


@pytest.mark.slow
def test_listing_stores_nothing(book: Book, burst: Path, dump: Callable[[], dict[str, Any]]) -> None:
    join(book, None, "0001-0002", JoinedKind.BURST)
    before = dump()
    list_sets(book, None, None)
    list_sets(book, None, DAY)
    assert dump() == before
    assert list_sets(book, None, date(2031, 10, 20)) == ()
