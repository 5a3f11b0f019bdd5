"""What became of planned shots: recording an outcome, and keeping the plan from being rewritten after it."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from logbook.craft.feasible import Feasibility
from logbook.domain.attempts import Attempt, still_to_get
from logbook.domain.day import begin_on, check_window
from logbook.domain.errors import ConflictError, NotFoundError, WrongUseError
from logbook.domain.record import new_record
from logbook.domain.shot import WINDOW, Outcome, Shot
from logbook.domain.trip import DAY_ENDS_AT
from logbook.domain.words import OutcomeWord, Reason
from logbook.services.accounts import attempts_in
from logbook.services.kinds import SHOT, Fields
from logbook.services.naming import ANY, Narrow, is_bare_number, one_keeper
from logbook.services.records import (
    NOTHING_TO_CHANGE,
    Listing,
    changed,
    day_ends,
    find,
    listing,
    put_new,
    resolved,
    the_trip,
)
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class OutcomeSaid:
    """An outcome as a person states it; `replaced_by` is the slug of a shot or of a keeper."""

    word: OutcomeWord | None  # None: the one that is known
    reasons: tuple[Reason, ...] = ()
    note: str | None = None
    replaced_by: str | None = None


@dataclass(frozen=True, slots=True)
class ShotWithOutcome:
    """A plan and what became of it, side by side; no outcome recorded reads as open.

    `attempts` are those of a shot that was planned for several trips, itself among them, the earliest first.
    `feasibility` is None where nobody asked for it.
    """

    shot: Shot
    outcome: Outcome | None
    replaced_by: str | None = None
    feasibility: Feasibility | None = None
    attempts: tuple[Attempt, ...] = ()

    @property
    def word(self) -> OutcomeWord:
        """What became of it; open where nobody said."""
        return self.outcome.word if self.outcome else OutcomeWord.OPEN


def record_outcome(desk: Desk, shot: Shot, said: OutcomeSaid, book: Book) -> Outcome:
    """Write down what became of a shot; the plan is not touched, a former outcome is replaced."""
    shot_id, keeper_id = replacement(desk, shot, said.replaced_by)
    fields = {
        "word": said.word,
        "reasons": said.reasons,
        "note": said.note,
        "replaced_by_shot_id": shot_id,
        "replaced_by_keeper_id": keeper_id,
    }
    return _put_outcome(desk, shot, fields, book)


def _add_to_outcome(desk: Desk, shot: Shot, said: OutcomeSaid, book: Book) -> None:
    """Write down what was said of an outcome; the rest stays as long as the word does.

    An outcome with another word starts afresh: the reasons were those of the other one.
    """
    before = desk.outcomes.first(shot_id=shot.id)
    word = said.word or (before.word if before else None)
    if word is None:
        raise WrongUseError("A reason, note or replacement belongs to an outcome; add --outcome.")
    kept = before if before and before.word is word else None
    shot_id, keeper_id = replacement(desk, shot, said.replaced_by)
    if kept and said.replaced_by is None:
        shot_id, keeper_id = kept.replaced_by_shot_id, kept.replaced_by_keeper_id
    fields = {
        "word": word,
        "reasons": said.reasons or (kept.reasons if kept else ()),
        "note": said.note or (kept.note if kept else None),
        "replaced_by_shot_id": shot_id,
        "replaced_by_keeper_id": keeper_id,
    }
    _put_outcome(desk, shot, fields, book)


def _put_outcome(desk: Desk, shot: Shot, fields: dict[str, Any], book: Book) -> Outcome:
    before = desk.outcomes.first(shot_id=shot.id)
    now = book.now()
    if before is None:
        made = Outcome(**new_record(now), shot_id=shot.id, **fields)
        desk.outcomes.add(made)
        return made
    after = replace(before, **fields, provenance={}, updated=now)  # a person says so now
    if replace(after, updated=before.updated) != before:
        desk.outcomes.put(after)
        return after
    return before


def replacement(
    desk: Desk, shot: Shot, name: str | None, on: date | None = None
) -> tuple[str | None, str | None]:
    """Return the ids of the shot and of the keeper that a name means; one of them at most is set.

    With a day, a number is that of a picture of that day.
    """
    if name is None:
        return None, None
    try:
        return find(desk, SHOT, name, trip_id=shot.trip_id).id, None
    except NotFoundError as missing_shot:
        try:
            narrow = Narrow(on=on) if is_bare_number(name) else ANY
            return None, one_keeper(desk, name, desk.trips.get(shot.trip_id), narrow).id
        except NotFoundError:
            raise NotFoundError(
                f"{missing_shot} Only another shot or a keeper of the same trip can replace it."
            ) from None


def plan_shot(book: Book, trip: str | None, fields: Fields, slug: str | None) -> Listing:
    """Plan a shot for a trip."""
    with book.writing() as desk:
        ready = resolved(desk, fields) | {"trip_id": the_trip(desk, trip).id}
        check_window(ready.get("window_from"), ready.get("window_to"))
        return listing(desk, with_outcomes(desk, (put_new(desk, SHOT, book.now(), ready, slug),)))


def edit_shot(book: Book, wanted: str, changes: Fields, said: OutcomeSaid | None) -> Listing:
    """Change a plan, record an outcome, or both; a plan whose outcome is known is no longer changed."""
    if not changes and said is None:
        raise WrongUseError(NOTHING_TO_CHANGE)
    with book.writing() as desk:
        before = find(desk, SHOT, wanted)
        reopening = said is not None and said.word is OutcomeWord.OPEN
        after = changed(desk, SHOT, before, book.now(), changes)
        if after is not before:
            if any(name in changes for name in WINDOW):
                check_window(after.window_from, after.window_to)
            is_planned_anew = replace(after, slug=before.slug, updated=before.updated) != before
            if is_planned_anew and not reopening:
                check_still_planned(desk, before)
            desk.shots.put(after)
        if said is not None:
            _add_to_outcome(desk, after, said, book)
        return listing(desk, with_outcomes(desk, (after,)))


def stated_outcome(desk: Desk, shot: Shot) -> Outcome | None:
    """Return what a person said became of a shot; None where it is open."""
    outcome = desk.outcomes.first(shot_id=shot.id)
    is_known = outcome is not None and outcome.is_stated and outcome.word is not OutcomeWord.OPEN
    return outcome if is_known else None


def check_still_planned(desk: Desk, shot: Shot) -> None:
    """Refuse a change of a plan whose outcome a person stated; ConflictError says how to correct it."""
    outcome = stated_outcome(desk, shot)
    if outcome is not None:
        raise ConflictError(
            f'The plan of {shot.slug} was not changed, since its outcome is "{outcome.word}"; '
            'to correct a slip in it, set "--outcome open" first.'
        )


def with_outcomes(desk: Desk, shots: tuple[Shot, ...]) -> tuple[ShotWithOutcome, ...]:
    """Return each shot beside its outcome; one that nobody stated is none."""
    found = desk.outcomes.all(shot_id={shot.id for shot in shots}) if shots else []
    found = [one for one in found if one.is_stated]
    shot_ids = {one.replaced_by_shot_id for one in found} - {None}
    keeper_ids = {one.replaced_by_keeper_id for one in found} - {None}
    names = {one.id: one.slug for one in desk.shots.all(id=shot_ids)} if shot_ids else {}
    names |= {one.id: one.slug for one in desk.keepers.all(id=keeper_ids)} if keeper_ids else {}
    outcomes = {one.shot_id: one for one in found}
    attempts = attempts_in(desk, shots)
    result = []
    for shot in shots:
        outcome = outcomes.get(shot.id)
        by = outcome and (outcome.replaced_by_shot_id or outcome.replaced_by_keeper_id)
        result.append(ShotWithOutcome(shot, outcome, names.get(by or ""), attempts=attempts.get(shot.id, ())))
    return tuple(result)


def show_shot(book: Book, wanted: str) -> Listing:
    """Return one shot with its outcome."""
    with book.reading() as desk:
        return listing(desk, with_outcomes(desk, (find(desk, SHOT, wanted),)))


def list_shots(
    book: Book, fields: Fields, words: Collection[OutcomeWord] = (), *, to_get: bool = False
) -> Listing:
    """Return shots with their outcomes in the order of their windows; with words, only those.

    `to_get` leaves only pictures that are still to get: not made on this trip nor on a later one.
    """
    with book.reading() as desk:
        ends = day_ends(desk)

        def begins(shot: Shot) -> datetime:
            return begin_on(shot.on_date, shot.window_from, ends.get(shot.trip_id, DAY_ENDS_AT))

        shots = sorted(desk.shots.all(**resolved(desk, fields)), key=begins)
        found = with_outcomes(desk, tuple(shots))
        if words:
            found = tuple(one for one in found if one.word in words)
        if to_get:
            wanted = ids_to_get(desk)
            found = tuple(one for one in found if one.shot.id in wanted)
        return listing(desk, found)


def ids_to_get(desk: Desk) -> frozenset[str]:
    """Return the ids of all shots in the book whose picture is still to get."""
    return still_to_get(desk.shots.all(), {one.shot_id: one for one in desk.outcomes.all()})
