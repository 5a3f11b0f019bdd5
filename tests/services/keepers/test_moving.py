"""Keepers moved to the trip they belong to: whole, at its time, and not taken in twice."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import ConflictError, InUseError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.night import NightAnswer
from logbook.domain.record import new_record
from logbook.domain.words import ClockEvidence, JoinedKind, OutcomeWord, Provenance, SetKind, Support
from logbook.services import kinds, records
from logbook.services.books import checks, undo
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.dayfiles.days import read_day
from logbook.services.find.limits import Limits
from logbook.services.find.searching import find
from logbook.services.find.synonyms import synonyms_with
from logbook.services.keepers import sets
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.keepers.moving import KeepersMoved, ShotTie, move_keepers
from logbook.services.plans import outcomes
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.services.books.test_undo import rows

DAY = """---
trip: valley
date: 2031-10-14
---
- keepers 0412-0413: nd8, tripod
"""


@pytest.fixture
def full(book: Book, keepers: Path) -> Book:
    """Eight keepers taken into the valley, and another trip in another zone."""
    take_in(book, keepers, trip=None)
    records.add(book, kinds.TRIP, {"title": "Salt coast", "zone": "Europe/Lisbon"}, "coast")
    return book


def again(book: Book) -> Book:
    """The same book, in another run of the program."""
    return Book(book.path, book.now, create=False)


def move(book: Book, which: str = "0412", **how: Any) -> KeepersMoved:
    return move_keepers(again(book), "valley", which, "coast", **how)


def of(book: Book, trip: str) -> list[Keeper]:
    with book.reading() as desk:
        found = desk.trips.first(slug=trip)
        assert found is not None
        return sorted(desk.keepers.all(trip_id=found.id), key=lambda keeper: keeper.file)


@pytest.mark.slow
def test_keepers_go_to_the_other_trip_and_undo_brings_them_back(full: Book) -> None:
    note_keepers(full, "valley", "0412-0413", {"support": Support.TRIPOD, "viewpoint": "quarry-ledge"})
    before = rows(full)
    done = move(full, "0412-0413")
    assert (done.old, done.new, len(done.keepers)) == ("valley", "coast", 2)
    assert [keeper.file for keeper in of(full, "coast")] == list(done.keepers)
    assert {keeper.support for keeper in of(full, "coast")} == {Support.TRIPOD}
    assert len(of(full, "valley")) == 6
    index = checks.check_index(full)
    assert (index.missing, index.changed, index.left_over) == (0, 0, 0)
    undo.undo(again(full))
    assert rows(full) == before


def test_a_dry_run_changes_nothing(full: Book) -> None:
    before = rows(full)
    assert move(full, dry_run=True).keepers == ("TRN_0412.JPG",)
    assert rows(full) == before


def test_taking_the_same_files_in_again_finds_them_where_they_are(full: Book, keepers: Path) -> None:
    move(full, "0412-0413")
    done = take_in(full, keepers, trip="valley")
    assert (done.added, done.known, dict(done.left)) == (0, 8, {"coast": 2})
    assert take_in(full, keepers, trip="coast").added == 6  # what nobody moved may serve both
    assert len(of(full, "valley")) == 6


def test_a_picture_that_was_moved_back_is_taken_into_neither_twice(full: Book, keepers: Path) -> None:
    move(full)
    move_keepers(again(full), "coast", "0412", "valley")
    assert take_in(full, keepers, trip="valley").added == 0
    (keeper,) = [one for one in of(full, "valley") if "0412" in one.file]
    with full.reading() as desk:
        assert [desk.trips.get(one).slug for one in keeper.left_trip_ids] == ["coast"]  # type: ignore[union-attr]


def test_time_follows_the_zone_of_the_trip_where_it_was_assumed(full: Book) -> None:
    (before,) = [one for one in of(full, "valley") if "0412" in one.file]
    assert before.provenance_of("zone") is Provenance.ASSUMED
    done = move(full)
    (after,) = of(full, "coast")
    assert (after.zone, after.provenance_of("zone")) == ("Europe/Lisbon", Provenance.ASSUMED)
    if before.clock_evidence is ClockEvidence.ASSUMED:
        assert after.place_time == before.place_time
        assert (after.taken_utc - before.taken_utc).total_seconds() == 4 * 3600  # type: ignore[operator]
    else:
        assert after.taken_utc == before.taken_utc
        assert done.retimed == 1


def test_a_stated_zone_and_a_stated_clock_stand(full: Book) -> None:
    set_clock(full, "valley", None, ClockSaid(fast_s=120, zone="Asia/Dushanbe"))
    before = {one.file: one for one in of(full, "valley")}
    move(full, "0412-0414")
    for keeper in of(full, "coast"):
        assert keeper.taken_utc == before[keeper.file].taken_utc
        assert keeper.place_time == before[keeper.file].place_time


def test_an_instant_that_a_person_vouches_for_shows_the_other_zones_time(full: Book) -> None:
    set_clock(full, "valley", None, ClockSaid(fast_s=120))
    before = {one.file: one for one in of(full, "valley")}
    move(full, "0412-0414")
    for keeper in of(full, "coast"):
        assert keeper.zone == "Europe/Lisbon"
        assert keeper.taken_utc == before[keeper.file].taken_utc
        assert keeper.place_time != before[keeper.file].place_time
        assert keeper.taken_local == keeper.place_time


def test_a_trip_without_a_zone_leaves_the_cameras_own_time(full: Book) -> None:
    records.edit(full, kinds.TRIP, "coast", {"zone": None})
    before = {one.file: one for one in of(full, "valley")}
    move(full, "0412-0414")
    for keeper in of(full, "coast"):
        assert keeper.zone is None
        assert "zone" not in keeper.provenance
        if before[keeper.file].clock_evidence is ClockEvidence.ASSUMED:
            assert (keeper.taken_utc, keeper.clock_evidence) == (None, None)


@pytest.mark.slow
def test_shots_of_the_trip_are_let_go_only_when_that_was_said(full: Book) -> None:
    note_keepers(full, "valley", "0412", {"shot": "bridge-flow"})
    outcomes.edit_shot(full, "bridge-rough", {}, OutcomeSaid(OutcomeWord.REPLACED, replaced_by="0413"))
    before = rows(full)
    with pytest.raises(
        InUseError, match=r"TRN_0412.JPG for bridge-flow, TRN_0413.JPG for bridge-rough.*--drop-shots"
    ):
        move(full, "0412-0413")
    assert rows(full) == before
    ties = (ShotTie("TRN_0412.JPG", "bridge-flow"), ShotTie("TRN_0413.JPG", "bridge-rough"))
    assert move(full, "0412-0413", dry_run=True).dropped == ties
    assert move(full, "0412-0413", drop_shots=True).dropped == ties
    assert {one.shot_id for one in of(full, "coast")} == {None}
    with full.reading() as desk:
        assert [one.replaced_by_keeper_id for one in desk.outcomes.all()] == [None]
    undo.undo(again(full))
    assert rows(full) == before


def test_sets_follow_or_are_parted(full: Book) -> None:
    sets.join(full, "valley", "0412-0414", JoinedKind.BURST)
    assert move(full, "0412-0413").parted == 1
    with full.reading() as desk:
        (group,) = desk.sets.all()
        assert set(group.keeper_ids) == {one.id for one in of(full, "coast")}
        assert group.trip_id == of(full, "coast")[0].trip_id
    move_keepers(again(full), "coast", "0412-0413", "valley")
    with full.reading() as desk:
        assert [(one.kind, one.trip_id) for one in desk.sets.all()] == [
            (SetKind.BURST, of(full, "valley")[0].trip_id)
        ]


def test_a_day_file_of_the_old_trip_takes_nothing_from_them(full: Book, tmp_path: Path) -> None:
    path = tmp_path / "day.md"
    path.write_text(DAY, encoding="utf-8")
    read_day(full, path)
    move(full, "0412-0413")
    done = read_day(full, path)
    assert done.removed == 0
    assert len(done.loose) == 1
    assert {one.filters for one in of(full, "coast")} == {("nd8",)}


def test_evenings_that_spoke_of_them_are_asked_anew(full: Book) -> None:
    keeper = of(full, "valley")[0]
    with full.writing() as desk:
        base: dict[str, Any] = {"trip_id": keeper.trip_id, "answer": f'["{keeper.id}"]', "key": "plan"}
        desk.night_answers.add(NightAnswer(**new_record(full.now()), **base, on_date=date(2031, 10, 14)))
    assert move(full, keeper.file).evenings == (date(2031, 10, 14),)
    with full.reading() as desk:
        assert desk.night_answers.all() == []


def test_a_short_name_that_is_taken_there_gets_a_number(full: Book) -> None:
    with full.writing() as desk:
        one = desk.keepers.first(slug="trn-0413")
        assert one is not None
        coast = desk.trips.first(slug="coast")
        assert coast is not None
        desk.keepers.add(
            replace(one, id="other", hash="0" * 64, slug="trn-0412", trip_id=coast.id, shot_id=None)
        )
    assert move(full).renamed == (("trn-0412", "trn-0412-2"),)


@pytest.mark.slow
def test_what_cannot_be_moved_is_refused_in_one_sentence(full: Book, keepers: Path) -> None:
    with pytest.raises(WrongUseError, match="They already belong to valley"):
        move_keepers(full, "valley", "0412", "valley")
    take_in(full, keepers, trip="coast")
    with pytest.raises(ConflictError, match=r"coast already has TRN_0412\.JPG"):
        move(full)


def test_they_are_found_on_the_other_trip(full: Book) -> None:
    note_keepers(full, "valley", "0412", {"caption": "Heron at the sluice"})
    move(full)
    found = find(full, "heron", Limits(), synonyms_with(), limit=5)
    assert [(one.slug, one.trip) for one in found.results] == [("trn-0412", "coast")]
