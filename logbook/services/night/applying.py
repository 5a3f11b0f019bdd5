"""What an answer of the night does to the book.

One surprising decision: applying the same answer again changes nothing, so that going back, stopping and
being killed between two writes are all the same to the book.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import Any, cast

from logbook.craft.clocks import EvidenceKind
from logbook.domain.checks import check_text
from logbook.domain.condition import Condition
from logbook.domain.day import Day
from logbook.domain.errors import InvalidValueError
from logbook.domain.night import BodyClock
from logbook.domain.record import Record, new_record
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import (
    ClockEvidence,
    ConditionKind,
    Disclosure,
    LessonVerb,
    Provenance,
    Sharpness,
    VisitPurpose,
)
from logbook.services import kinds
from logbook.services.body_clocks import apply_clocks
from logbook.services.night.plan import PlannedVisit
from logbook.services.night.questions import Asks, Question
from logbook.services.night.reading import (
    a_clock_correction,
    a_crowd,
    a_filter_stack,
    a_support,
    a_tries_count,
    an_outcome,
    some_changes,
    some_times,
)
from logbook.services.outcomes import OutcomeSaid, record_outcome
from logbook.services.records import find, put_new
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Given:
    """An answer as it counts: its text, and where its value came from."""

    text: str
    word: Provenance


@dataclass(frozen=True, slots=True)
class Evening:
    """Where answers go: one day of one trip, with the planned visits by id."""

    desk: Desk
    book: Book
    trip: Trip
    on_date: date
    visits: Mapping[str, PlannedVisit]
    previous: Mapping[str, str]  # by key: what was answered before one went back

    @property
    def now(self) -> datetime:
        """The present instant."""
        return self.book.now()


def apply(evening: Evening, question: Question, given: Given | None) -> None:
    """Write an answer into the book; None is unknown, an empty text says nothing.

    Raises InvalidValueError or NotFoundError, in one sentence, for an answer that cannot be understood.
    """
    _APPLIED[question.asks](evening, question, given)


def said(record: Record, now: datetime, word: Provenance, changes: Mapping[str, Any]) -> Record:
    """Return a record with changes that came from `word`; only a person changes what a person stated."""
    kept = {
        name: value
        for name, value in changes.items()
        if word is Provenance.STATED
        or record.provenance_of(name) is not Provenance.STATED
        or getattr(record, name) == value
    }
    provenance = dict(record.provenance)
    for name in kept:
        provenance.pop(name, None)
        if word is not Provenance.STATED and kept[name] is not None and getattr(record, name) != kept[name]:
            provenance[name] = word
        elif word is not Provenance.STATED and name in record.provenance:
            provenance[name] = record.provenance[name]
    after = replace(record, **kept, provenance=provenance)
    return after if after == record else replace(after, updated=now)


def _put(shelf: Shelf[Any], before: Record, after: Record) -> None:
    if after is not before and after != before:
        shelf.put(after)


def _clock(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or not given.text:
        return
    ahead_s, evidence = a_clock_correction(given.text, evening.trip)
    if given.word is not Provenance.STATED:
        kind = given.text.partition(" by ")[2]
        evidence = ClockEvidence(EvidenceKind(kind)) if kind else ClockEvidence.ASSUMED
    for before in evening.desk.clocks.all(trip_id=evening.trip.id, body=question.about):
        evening.desk.clocks.remove([before.id])
    if evidence in (ClockEvidence.STATED, ClockEvidence.PHOTOGRAPHED_CLOCK):
        evening.desk.clocks.add(
            BodyClock(
                **new_record(evening.now),
                trip_id=evening.trip.id,
                body=question.about,
                ahead_s=ahead_s,
                evidence=evidence,
                note="stated at night",
            )
        )
    apply_clocks(evening.desk, evening.book, evening.trip, [question.about])


def _changes(evening: Evening, question: Question, given: Given | None) -> None:
    _replace_conditions(evening, question.key, [])
    if given is not None and given.text:
        entries = [
            {"kind": entry.kind, "level": entry.level, "note": entry.note or None, "source": entry.source}
            for entry in some_changes(given.text)
        ]
        _replace_conditions(evening, question.key, entries)


def _replace_conditions(evening: Evening, key: str, wanted: list[dict[str, Any]]) -> None:
    """Put the conditions that a question made in place of those it made before."""
    slug = f"night-{evening.on_date}-{key.replace('.', '-')}-{evening.trip.id[:6]}"
    of_question = [
        one
        for one in evening.desk.conditions.all(trip_id=evening.trip.id, on_date=evening.on_date)
        if one.slug.startswith(slug)
    ]
    evening.desk.conditions.remove(one.id for one in of_question)
    for number, fields in enumerate(wanted, 1):
        evening.desk.conditions.add(
            Condition(
                **new_record(evening.now),
                slug=f"{slug}-{number}",
                trip_id=evening.trip.id,
                on_date=evening.on_date,
                **fields,
            )
        )


def _viewpoint(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or not given.text:
        return
    viewpoint = find(evening.desk, kinds.VIEWPOINT, given.text)
    _visit_record(evening, question.about, viewpoint.id, given.word)
    keepers = evening.visits[question.about].groups
    for keeper_id in (one for group in keepers for one in group.keeper_ids):
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None:
            _put(
                evening.desk.keepers,
                keeper,
                said(keeper, evening.now, given.word, {"viewpoint_id": viewpoint.id}),
            )


def _visit_record(
    evening: Evening,
    visit_id: str,
    viewpoint_id: str | None = None,
    word: Provenance = Provenance.INFERRED,
) -> Visit | None:
    """Return the visit's record, made on first use; None where its viewpoint is not known."""
    visit = evening.desk.visits.get(visit_id)
    planned = evening.visits[visit_id]
    if visit is None:
        if viewpoint_id is None and planned.viewpoint is not None:
            viewpoint_id = find(evening.desk, kinds.VIEWPOINT, planned.viewpoint).id
        if viewpoint_id is None:
            return None
        fields = {
            "id": visit_id,
            "trip_id": evening.trip.id,
            "viewpoint_id": viewpoint_id,
            "on_date": evening.on_date,
            "purpose": VisitPurpose.SHOOTING if planned.groups else None,
            "provenance": _provenance(planned, word),
        }
        visit = put_new(evening.desk, kinds.VISIT, evening.now, fields)
        if planned.viewpoint is not None:
            _place_groups(evening, planned, viewpoint_id)
    elif viewpoint_id is not None and visit.viewpoint_id != viewpoint_id:
        visit = cast(Visit, said(visit, evening.now, word, {"viewpoint_id": viewpoint_id}))
        evening.desk.visits.put(visit)
    return visit


def _provenance(planned: PlannedVisit, word: Provenance) -> dict[str, Provenance]:
    """Where a visit's first values come from: that one shot there is worked out from its frames."""
    result: dict[str, Provenance] = {}
    if word is not Provenance.STATED:
        result["viewpoint_id"] = word
    if planned.groups:
        result["purpose"] = Provenance.INFERRED
    return result


def _place_groups(evening: Evening, planned: PlannedVisit, viewpoint_id: str) -> None:
    """Keepers of a proposed visit were made at its viewpoint: inferred, until somebody says so."""
    for keeper_id in (one for group in planned.groups for one in group.keeper_ids):
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None and keeper.viewpoint_id is None:
            after = said(keeper, evening.now, Provenance.INFERRED, {"viewpoint_id": viewpoint_id})
            _put(evening.desk.keepers, keeper, after)


def _change_visit(
    evening: Evening, question: Question, given: Given | None, changes: Mapping[str, Any]
) -> None:
    visit = _visit_record(evening, question.about)
    if visit is None:
        return
    word = given.word if given else Provenance.STATED
    _put(evening.desk.visits, visit, said(visit, evening.now, word, changes))


def _times(evening: Evening, question: Question, given: Given | None) -> None:
    if given is not None and not given.text:
        _visit_record(evening, question.about)
        return
    arrived, departed = some_times(given.text) if given else (None, None)
    _change_visit(evening, question, given, {"arrived_at": arrived, "departed_at": departed})


def _crowd(evening: Evening, question: Question, given: Given | None) -> None:
    visit = _visit_record(evening, question.about)
    if visit is None or (given is not None and not given.text):
        return
    words = a_crowd(given.text) if given else []
    moments: list[time | None] = [visit.arrived_at, None, visit.departed_at]
    if len(words) == 1:
        moments = [visit.arrived_at]
    elif len(words) == 2:
        moments = [visit.arrived_at, visit.departed_at]
    wanted = [
        {"kind": ConditionKind.CROWD, "level": word, "at": at, "viewpoint_id": visit.viewpoint_id}
        for word, at in zip(words, moments, strict=True)
        if word is not None
    ]
    if given is None:
        wanted = [{"kind": ConditionKind.CROWD, "note": "unknown", "viewpoint_id": visit.viewpoint_id}]
    _replace_conditions(evening, question.key, wanted)


def _support(evening: Evening, question: Question, given: Given | None) -> None:
    if given is not None and not given.text:
        return
    support = a_support(given.text) if given else None
    _change_visit(evening, question, given, {"support": support})
    planned = evening.visits[question.about]
    for keeper_id in (one for group in planned.groups for one in group.keeper_ids):
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None:
            word = given.word if given else Provenance.STATED
            after = said(keeper, evening.now, word, {"support": support})
            _put(evening.desk.keepers, keeper, after)


def _tries(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or given.text:
        _change_visit(evening, question, given, {"tries": a_tries_count(given.text) if given else None})


def _in_the_way(evening: Evening, question: Question, given: Given | None) -> None:
    if given is not None and given.text:
        visit = _visit_record(evening, question.about)
        line = f"In the way: {given.text}"
        if visit is not None and line not in (visit.journal or ""):
            lines = [one for one in (visit.journal or "").splitlines() if not one.startswith("In the way: ")]
            _change_visit(evening, question, given, {"journal": "\n".join([*lines, line]).strip()})


def _change_keepers(
    evening: Evening, question: Question, given: Given | None, changes: Mapping[str, Any]
) -> None:
    word = given.word if given else Provenance.STATED
    for keeper_id in question.about.split(","):
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None:
            _put(evening.desk.keepers, keeper, said(keeper, evening.now, word, changes))


def _filters(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or given.text:
        stack = a_filter_stack(given.text) if given else None
        _change_keepers(evening, question, given, {"filters": stack})


def _shot(evening: Evening, question: Question, given: Given | None) -> None:
    if given is not None and not given.text:
        return
    shot_id = None
    if given is not None and given.text != "none":
        shot_id = find(evening.desk, kinds.SHOT, given.text, trip_id=evening.trip.id).id
    _change_keepers(evening, question, given, {"shot_id": shot_id})


def _sharpness(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or given.text:
        words = {str(word)[:2]: word for word in Sharpness}
        judged = words.get((given.text if given else "").strip().lower()[:2])
        if given is not None and judged is None:
            raise InvalidValueError(f'"{given.text}" is neither sharp nor soft.')
        _change_keepers(evening, question, given, {"sharpness": judged})


def _outcome(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or not given.text:
        return
    shot = find(evening.desk, kinds.SHOT, question.about, trip_id=evening.trip.id)
    entry = an_outcome(shot.slug, given.text)
    before = evening.desk.outcomes.first(shot_id=shot.id)
    if before is not None and given.word is not Provenance.STATED:
        return
    made = record_outcome(
        evening.desk,
        shot,
        OutcomeSaid(entry.outcome, entry.reasons, entry.note or None, entry.replaced_by),
        evening.book,
    )
    word = {} if given.word is Provenance.STATED else {"word": given.word}
    _put(evening.desk.outcomes, made, replace(made, provenance=word))


def _lesson(evening: Evening, question: Question, given: Given | None) -> None:
    verb = LessonVerb.KEEP if question.asks is Asks.KEEP else LessonVerb.CHANGE
    slug = f"night-{evening.on_date}-{verb}-{evening.trip.id[:6]}"
    before = evening.desk.lessons.first(slug=slug)
    if given is None or not given.text:
        if before is not None:
            evening.desk.lessons.remove([before.id])
        return
    if before is not None:
        _put(evening.desk.lessons, before, said(before, evening.now, given.word, {"text": given.text}))
        return
    fields = {"verb": verb, "text": given.text, "trip_id": evening.trip.id, "on_date": evening.on_date}
    put_new(evening.desk, kinds.LESSON, evening.now, fields, slug)


def _journal(evening: Evening, question: Question, given: Given | None) -> None:
    if given is None or not given.text:
        return
    check_text(given.text, "journal")
    day = evening.desk.days.first(trip_id=evening.trip.id, on_date=evening.on_date)
    if day is None:
        base = new_record(evening.now)
        evening.desk.days.add(
            Day(**base, trip_id=evening.trip.id, on_date=evening.on_date, journal=given.text)
        )
    else:
        before = evening.previous.get(question.key)
        kept = (day.journal or "").replace(before, "").strip() if before else day.journal
        text = f"{kept}\n\n{given.text}" if kept and kept != given.text else given.text
        _put(evening.desk.days, day, said(day, evening.now, given.word, {"journal": text}))


def _shown(evening: Evening, _question: Question, given: Given | None) -> None:
    if given is None or not given.text:
        return
    word, _, place = given.text.strip().partition(" ")
    try:
        shown = Disclosure(word.lower())
    except ValueError:
        raise InvalidValueError(f'"{word}" is none of {", ".join(Disclosure)}.') from None
    if place:
        viewpoint = find(evening.desk, kinds.VIEWPOINT, place)
        change = {"location_shown": shown}
        after = said(viewpoint, evening.now, Provenance.STATED, change)
        _put(evening.desk.viewpoints, viewpoint, after)
    else:
        trip = evening.desk.trips.get(evening.trip.id)
        assert trip is not None
        after_trip = said(trip, evening.now, Provenance.STATED, {"location_shown": shown})
        _put(evening.desk.trips, trip, after_trip)


_APPLIED = {
    Asks.CLOCK: _clock,
    Asks.CHANGES: _changes,
    Asks.VIEWPOINT: _viewpoint,
    Asks.TIMES: _times,
    Asks.CROWD: _crowd,
    Asks.SUPPORT: _support,
    Asks.TRIES: _tries,
    Asks.IN_THE_WAY: _in_the_way,
    Asks.FILTERS: _filters,
    Asks.SHOT: _shot,
    Asks.SHARPNESS: _sharpness,
    Asks.OUTCOME: _outcome,
    Asks.KEEP: _lesson,
    Asks.CHANGE: _lesson,
    Asks.JOURNAL: _journal,
    Asks.SHOWN: _shown,
}
