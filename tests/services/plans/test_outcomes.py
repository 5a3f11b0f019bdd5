"""Plan and result never overwrite each other."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import ConflictError, InvalidValueError, NotFoundError, WrongUseError
from logbook.domain.words import OutcomeWord, Provenance, Reason
from logbook.services import kinds, records
from logbook.services.plans import outcomes
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]


def shot_row(book: Book, slug: str) -> tuple[Any, ...]:
    with closing(sqlite3.connect(book.path)) as connection:
        row: tuple[Any, ...] = connection.execute("SELECT * FROM shot WHERE slug = ?", (slug,)).fetchone()
        return row


def with_outcome(book: Book, word: OutcomeWord) -> list[str]:
    return [one.shot.slug for one in outcomes.list_shots(book, {}, (word,)).records]


def said_to_be(word: OutcomeWord, replaced_by: str) -> OutcomeSaid:
    return OutcomeSaid(word, replaced_by=replaced_by)


@pytest.mark.parametrize("word", list(OutcomeWord))
def test_an_outcome_leaves_the_whole_row_of_the_plan_as_it_was(book: Book, word: OutcomeWord) -> None:
    before = shot_row(book, "bridge-flow")
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(word, (Reason.LIGHT, Reason.CROWD), "Too late."))
    assert shot_row(book, "bridge-flow") == before
    shown = outcomes.show_shot(book, "bridge-flow").records[0]
    assert shown.outcome is not None
    assert (shown.outcome.word, shown.outcome.reasons, shown.outcome.note) == (
        word,
        (Reason.LIGHT, Reason.CROWD),
        "Too late.",
    )


def test_a_shot_without_an_outcome_is_open(book: Book) -> None:
    assert outcomes.show_shot(book, "bridge-flow").records[0].outcome is None
    assert len(outcomes.list_shots(book, {}, (OutcomeWord.OPEN,)).records) == 2
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    assert with_outcome(book, OutcomeWord.OPEN) == ["bridge-rough"]
    assert with_outcome(book, OutcomeWord.MADE) == ["bridge-flow"]


def test_a_plan_is_closed_once_its_outcome_is_known_and_opens_with_it(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-flow", {"iso": 100}, OutcomeSaid(OutcomeWord.MADE))
    before = shot_row(book, "bridge-flow")
    with pytest.raises(ConflictError, match='its outcome is "made"'):
        outcomes.edit_shot(book, "bridge-flow", {"iso": 200}, None)
    with pytest.raises(ConflictError):
        outcomes.edit_shot(book, "bridge-flow", {"iso": 200}, OutcomeSaid(OutcomeWord.MISSED))
    assert shot_row(book, "bridge-flow") == before
    outcomes.edit_shot(book, "bridge-flow", {"exposure_s": Fraction(2)}, OutcomeSaid(OutcomeWord.OPEN))
    assert outcomes.show_shot(book, "bridge-flow").records[0].shot.exposure_s == 2


def test_a_refused_edit_does_not_keep_its_outcome_either(book: Book, dump: Dump) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    before = dump()
    with pytest.raises(ConflictError):
        outcomes.edit_shot(book, "bridge-flow", {"iso": 200}, OutcomeSaid(OutcomeWord.MISSED))
    with pytest.raises(NotFoundError):
        outcomes.edit_shot(book, "bridge-rough", {"iso": 9}, said_to_be(OutcomeWord.REPLACED, "x"))
    assert dump() == before


def test_saying_the_same_outcome_again_changes_nothing(book: Book, dump: Dump) -> None:
    said = OutcomeSaid(OutcomeWord.PARTLY, (Reason.LIGHT,), "Late.")
    outcomes.edit_shot(book, "bridge-flow", {}, said)
    before = dump()
    outcomes.edit_shot(book, "bridge-flow", {}, said)
    assert dump() == before


def test_a_later_outcome_takes_the_place_of_the_former(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.PARTLY, (Reason.LIGHT,), "Late."))
    shown = outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE)).records[0]
    assert (shown.outcome.word, shown.outcome.reasons, shown.outcome.note) == (OutcomeWord.MADE, (), None)


@pytest.mark.parametrize("name", ["TRN_0415.JPG", "trn-0415", "0415", "TRN_0415"])
def test_a_shot_may_be_replaced_by_a_keeper_however_it_is_named(book: Book, keepers: Path, name: str) -> None:
    said = said_to_be(OutcomeWord.REPLACED, name)
    assert outcomes.edit_shot(book, "bridge-flow", {}, said).records[0].replaced_by == "trn-0415"


def test_a_shot_may_be_replaced_by_another_shot_but_not_by_itself(book: Book) -> None:
    said = said_to_be(OutcomeWord.REPLACED, "bridge-rough")
    assert outcomes.edit_shot(book, "bridge-flow", {}, said).records[0].replaced_by == "bridge-rough"
    with pytest.raises(InvalidValueError, match="cannot be replaced by itself"):
        outcomes.edit_shot(book, "bridge-rough", {}, said_to_be(OutcomeWord.REPLACED, "bridge-rough"))
    with pytest.raises(NotFoundError, match="another shot or a keeper of the same trip"):
        outcomes.edit_shot(book, "bridge-rough", {}, said_to_be(OutcomeWord.REPLACED, "nothing"))
    with pytest.raises(InvalidValueError, match='Only the outcome "replaced"'):
        outcomes.edit_shot(book, "bridge-rough", {}, said_to_be(OutcomeWord.MADE, "bridge-flow"))


def test_a_substitute_does_not_count_as_the_planned_shot_made(book: Book) -> None:
    said = said_to_be(OutcomeWord.REPLACED, "bridge-rough")
    outcomes.edit_shot(book, "bridge-flow", {}, said)
    outcomes.edit_shot(book, "bridge-rough", {}, OutcomeSaid(OutcomeWord.MADE))
    assert with_outcome(book, OutcomeWord.MADE) == ["bridge-rough"]


def test_removing_the_substitute_leaves_the_outcome_replaced(book: Book, keepers: Path) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, said_to_be(OutcomeWord.REPLACED, "0415"))
    with book.reading() as desk:
        trip_id = desk.trips.all()[0].id
    gone = records.remove(book, kinds.KEEPER, "trn-0415", with_dependents=True, trip_id=trip_id)
    assert records.in_words(gone.let_go) == ["1 outcome"]
    shown = outcomes.show_shot(book, "bridge-flow").records[0]
    assert (shown.outcome.word, shown.replaced_by) == (OutcomeWord.REPLACED, None)
    assert (keepers / "TRN_0415.JPG").is_file()


def test_what_was_said_of_an_outcome_stays_until_it_is_said_otherwise(book: Book) -> None:
    def outcome() -> tuple[Any, ...]:
        found = outcomes.show_shot(book, "bridge-flow").records[0].outcome
        assert found is not None
        return found.word, found.reasons, found.note, found.replaced_by_shot_id is not None

    partly = OutcomeSaid(OutcomeWord.PARTLY, (Reason.CROWD,), "Coaches till half past five.")
    outcomes.edit_shot(book, "bridge-flow", {}, partly)
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.PARTLY, (Reason.LIGHT,)))
    assert outcome() == (OutcomeWord.PARTLY, (Reason.LIGHT,), "Coaches till half past five.", False)
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(None, note="The light went."))
    assert outcome() == (OutcomeWord.PARTLY, (Reason.LIGHT,), "The light went.", False)
    outcomes.edit_shot(book, "bridge-flow", {}, said_to_be(OutcomeWord.REPLACED, "bridge-rough"))
    assert outcome() == (OutcomeWord.REPLACED, (), None, True), "another word begins anew"
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(None, (Reason.WATER,)))
    assert outcome() == (OutcomeWord.REPLACED, (Reason.WATER,), None, True)


def test_a_reason_without_any_outcome_is_refused(book: Book) -> None:
    with pytest.raises(WrongUseError, match="add --outcome"):
        outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(None, (Reason.WATER,)))


def test_what_only_a_match_suggested_leaves_a_shot_open_until_a_person_says_so(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    with book.writing() as desk:
        (made,) = desk.outcomes.all()
        desk.outcomes.put(replace(made, provenance={"word": Provenance.INFERRED}))
    assert outcomes.show_shot(book, "bridge-flow").records[0].outcome is None
    assert with_outcome(book, OutcomeWord.MADE) == []
    outcomes.edit_shot(book, "bridge-flow", {"technique": "long exposure"}, None)  # the plan is open still
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    assert outcomes.show_shot(book, "bridge-flow").records[0].outcome.is_stated
