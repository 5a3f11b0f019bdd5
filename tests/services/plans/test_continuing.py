"""A trip made from what an earlier one planned or missed."""

from collections.abc import Callable
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.discretion import account_for
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.shot import Shot
from logbook.domain.words import Audience, ConditionKind, OutcomeWord, Packing, Provenance, Reason
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.books.undo import undo
from logbook.services.keepers.strangers import plans_outside
from logbook.services.plans import outcomes, packing
from logbook.services.plans.continuing import Continued, continue_plan, continue_trip
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from logbook.store.changes.journal import Run
from tests.once import Once, copied_book
from tests.services.conftest import ticking

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
FIRST = date(2031, 5, 1)
AGAIN = {"title": "Valley again", "starts_on": date(2033, 4, 29)}


@pytest.fixture(scope="session")
def planned(valley: Path, once: Once) -> Path:
    """The book of `planned_book`, made once."""

    def fill(folder: Path) -> None:
        planned_book(copied_book(valley, folder / "book.sqlite"))

    return once("the-planned", fill) / "book.sqlite"


@pytest.fixture
def book(planned: Path, tmp_path: Path) -> Book:
    """A copy of the book of `planned_book`."""
    return Book(copied_book(planned, tmp_path / "book.sqlite"), ticking(1200), create=False)


def planned_book(path: Path) -> None:
    """The valley with dates, a closure, a rule, a packed filter, and five shots, one a fallback."""
    book = Book(path, ticking(600), create=False)
    dated = {"starts_on": FIRST, "ends_on": FIRST + timedelta(days=3), "private_names": ("Mira",)}
    records.edit(book, kinds.TRIP, "valley", dated)
    for number, word in enumerate(OutcomeWord):
        fields: dict[str, Any] = {"title": f"Plan {word}", "viewpoint": "quarry-ledge", "iso": 100 + number}
        fields |= {"on_date": FIRST + timedelta(days=number), "window_from": time(17, 20)}
        outcomes.plan_shot(book, "valley", fields, f"plan-{word}")
        if word is not OutcomeWord.OPEN:
            outcomes.edit_shot(book, f"plan-{word}", {}, OutcomeSaid(word, (Reason.WATER,)))
    outcomes.edit_shot(book, "plan-open", {"fallback_for": "plan-missed"}, None)
    packing.edit_kit(book, "pol", {}, "valley", {"packing": Packing.TAKEN, "why": "Glare.", "used": True})
    for kind, note in ((ConditionKind.CLOSURE, "the ledge road"), (ConditionKind.RULE, "no drones")):
        seen = {"trip": "valley", "kind": kind, "on_date": FIRST, "viewpoint": "quarry-ledge", "note": note}
        records.add(book, kinds.CONDITION, seen)
    level = {"trip": "valley", "kind": ConditionKind.CROWD, "on_date": FIRST, "level": "few"}
    records.add(book, kinds.CONDITION, level | {"viewpoint": "quarry-ledge"})


def by_title(continued: Continued) -> dict[str, Shot]:
    """The new shots."""
    return {one.title: one for one in continued.shots}


@pytest.mark.slow
def test_every_shot_comes_along_on_its_day_of_the_new_trip(book: Book) -> None:
    continued = continue_trip(book, AGAIN, None, "valley")
    assert (continued.trip.slug, continued.days) == ("valley-again", 729)
    with book.reading() as desk:
        before = {one.id: one for one in desk.shots.all(trip_id=continued.earlier.id)}
        assert not desk.outcomes.all(shot_id={one.id for one in continued.shots})
    assert {one.continues_id for one in continued.shots} == set(before)
    for one in continued.shots:
        old = before[one.continues_id or ""]
        assert one.slug == f"{old.slug}-2"
        assert (one.title, one.iso, one.viewpoint_id, one.window_from) == (
            *(old.title, old.iso, old.viewpoint_id, old.window_from),
        )
        assert one.on_date == (old.on_date and old.on_date + timedelta(days=729))


def test_only_what_is_still_to_get_comes_along_where_that_is_asked(book: Book) -> None:
    continued = continue_trip(book, AGAIN, None, "valley", only_to_get=True)
    titles = {f"Plan {word}" for word in OutcomeWord if word is not OutcomeWord.MADE}
    assert set(by_title(continued)) == titles | {"Bridge flow", "Bridge rough"}


def test_a_fallback_stays_that_of_the_shot_beside_it(book: Book) -> None:
    made = by_title(continue_trip(book, AGAIN, None, "valley"))
    assert made["Plan open"].fallback_for_id == made["Plan missed"].id
    outcomes.edit_shot(book, "plan-missed", {}, OutcomeSaid(OutcomeWord.MADE))
    later = {"title": "Third", "starts_on": date(2035, 5, 1)}
    alone = by_title(continue_trip(book, later, None, "valley", only_to_get=True))
    assert alone["Plan open"].fallback_for_id is None


def test_the_kit_list_comes_along_and_what_was_used_does_not(book: Book) -> None:
    continued = continue_trip(book, AGAIN, None, "valley")
    assert continued.packed == 1
    (piece,) = packing.list_kit(book, {}, "valley-again").records
    packed = piece.packed["valley-again"]
    assert (packed.packing, packed.why, packed.used) == (Packing.TAKEN, "Glare.", None)


def test_closures_and_rules_are_handed_over_with_their_day_and_not_copied(book: Book) -> None:
    with book.reading() as desk:
        before = len(desk.conditions.all())
    continued = continue_trip(book, AGAIN, None, "valley")
    assert [(one.kind, one.note, one.on_date) for one in continued.check_again] == [
        (ConditionKind.CLOSURE, "the ledge road", FIRST),
        (ConditionKind.RULE, "no drones", FIRST),
    ]
    with book.reading() as desk:
        assert len(desk.conditions.all()) == before


def test_what_is_not_said_of_the_trip_is_as_it_was_and_assumed(book: Book) -> None:
    trip = continue_trip(book, AGAIN, None, "valley").trip
    assert (trip.zone, trip.private_names, trip.ends_on) == ("Asia/Dushanbe", ("Mira",), date(2033, 5, 2))
    assert trip.provenance_of("zone") is Provenance.ASSUMED
    assert trip.provenance_of("starts_on") is Provenance.STATED
    assert "day_ends_at" not in trip.provenance, "the usual one was nobody's"
    said = AGAIN | {"title": "Other", "zone": "Europe/Lisbon", "ends_on": date(2033, 5, 9)}
    other = continue_trip(book, said, "other", "valley").trip
    assert (other.slug, other.zone, other.ends_on) == ("other", "Europe/Lisbon", date(2033, 5, 9))
    assert other.provenance_of("zone") is Provenance.STATED


def test_the_whole_copy_is_one_undo(book: Book, dump: Dump) -> None:
    before = dump()
    continue_trip(Book(book.path, book.now, create=False, run=Run("1", "trip add")), AGAIN, None, "valley")
    assert dump() != before
    assert undo(book).change.command == "trip add"
    assert dump() == before


def test_a_trip_takes_over_a_plan_once(book: Book, dump: Dump) -> None:
    records.add(book, kinds.TRIP, {"title": "Later", "starts_on": FIRST + timedelta(days=365)})
    packing.edit_kit(book, "pol", {}, "later", {"packing": Packing.LEFT})
    first = continue_plan(book, "later", "valley")
    assert (len(first.shots), first.packed) == (7, 0)
    before = dump()
    again = continue_plan(book, "later", "valley")
    assert (again.shots, again.packed) == ((), 0)
    assert dump() == before


def test_without_a_first_day_there_are_no_new_dates(book: Book, dump: Dump) -> None:
    before = dump()
    with pytest.raises(WrongUseError, match="--from DATE"):
        continue_trip(book, {"title": "Some day"}, None, "valley")
    with pytest.raises(InvalidValueError, match="run past the end of the calendar"):
        continue_trip(book, {"title": "Some day", "starts_on": date(9999, 12, 31)}, None, "valley")
    with pytest.raises(WrongUseError, match="continue itself"):
        continue_plan(book, "valley", "valley")
    assert dump() == before
    records.add(book, kinds.TRIP, {"title": "Undated"})
    assert {one.on_date for one in continue_plan(book, "undated", "valley").shots} == {None}


@pytest.mark.slow
def test_what_is_made_on_the_later_trip_is_no_longer_to_get_on_either(book: Book) -> None:
    continue_trip(book, AGAIN, None, "valley", only_to_get=True)

    def to_get(trip: str) -> list[str]:
        listed = outcomes.list_shots(book, {"trip": trip}, to_get=True)
        return [one.shot.slug for one in listed.records]

    assert "plan-missed" in to_get("valley")
    outcomes.edit_shot(book, "plan-missed-2", {}, OutcomeSaid(OutcomeWord.MADE))
    assert "plan-missed" not in to_get("valley")
    assert "plan-missed-2" not in to_get("valley-again")
    tried = outcomes.show_shot(book, "plan-missed").records[0].attempts
    assert [(one.trip, one.word) for one in tried] == [
        ("valley", OutcomeWord.MISSED),
        ("valley-again", OutcomeWord.MADE),
    ]


@pytest.mark.parametrize("audience", list(Audience))
def test_what_was_tried_on_other_trips_is_for_the_photographer_alone(book: Book, audience: Audience) -> None:
    continue_trip(book, AGAIN, None, "valley")
    shown = account_for(account_of(book, "valley-again"), audience)
    is_mine = audience is Audience.ARCHIVE
    assert bool(shown.attempts) == is_mine
    assert all(bool(one.continues_id) == is_mine for one in shown.shots)


@pytest.mark.slow
@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(-20_000, 20_000))
def test_dates_keep_their_distance_from_the_first_day_wherever_the_trip_goes(book: Book, days: int) -> None:
    starts_on = FIRST + timedelta(days=days)
    continued = continue_trip(book, {"title": "Somewhen", "starts_on": starts_on}, None, "valley")
    with book.reading() as desk:
        old = {one.id: one for one in desk.shots.all(trip_id=continued.earlier.id)}
    for one in continued.shots:
        before = old[one.continues_id or ""].on_date
        assert (one.on_date and one.on_date - starts_on) == (before and before - FIRST)


def test_the_rights_of_an_earlier_client_are_not_those_of_the_next(book: Book) -> None:
    records.edit(book, kinds.TRIP, "valley", {"rights": "Licensed to the guidebook", "credit": "N. Farrow"})
    continued = continue_trip(book, AGAIN | {"client": "The wedding"}, None, "valley")
    assert (continued.trip.rights, continued.trip.credit) == (None, "N. Farrow")
    assert "credit" in continued.taken_over


def test_shots_that_fall_outside_the_new_dates_are_said(book: Book) -> None:
    continued = continue_trip(book, AGAIN | {"ends_on": AGAIN["starts_on"]}, None, "valley")
    assert plans_outside(continued.trip, (one.on_date for one in continued.shots)) == (
        "3 shots are planned outside the dates of valley-again (2033-04-29 to 2033-04-29): "
        "2033-05-01, 2033-05-02, 2033-05-03."
    )
