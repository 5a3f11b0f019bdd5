"""What an answer of the night does to the book.

One surprising decision: applying the same answer again changes nothing, so that going back, stopping and
being killed between two writes are all the same to the book.
"""

from dataclasses import replace

from logbook.domain.checks import check_text
from logbook.domain.day import Day
from logbook.domain.errors import ConflictError, InvalidValueError
from logbook.domain.record import new_record
from logbook.domain.words import Disclosure, LessonVerb, OutcomeWord, Provenance
from logbook.domain.written.moments import zone_written
from logbook.domain.written.observations import observations_written
from logbook.domain.written.outcomes import outcome_written, reasons_written
from logbook.services import kinds
from logbook.services.clock_records import Stretch
from logbook.services.night.evening import Evening, Given, id_of, put, replace_conditions, said
from logbook.services.night.questions import Asks, Question, clock_name
from logbook.services.night.reading import a_clock_correction
from logbook.services.night.visits import (
    say_crowd,
    say_filters,
    say_in_the_way,
    say_new_viewpoint,
    say_sharpness,
    say_shot,
    say_support,
    say_times,
    say_tries,
    say_viewpoint,
)
from logbook.services.outcomes import OutcomeSaid, record_outcome, replacement
from logbook.services.records import find, put_new
from logbook.services.settled_clocks import settled
from logbook.services.stated_clocks import ClockStatement, apply_clocks, state_clock


def apply(evening: Evening, question: Question, given: Given | None) -> None:
    """Write an answer into the book; None is unknown, an empty text says nothing and changes nothing.

    Raises InvalidValueError or NotFoundError, in one sentence, for an answer that cannot be understood, and
    ConflictError for one to a question that is no longer asked.
    """
    _APPLIED[question.asks](evening, question, given)


def _zone(evening: Evening, _question: Question, given: Given | None) -> None:
    """Give the trip its zone; unknown leaves it without one."""
    if given is not None and not given.text:
        return
    zone = zone_written(given.text) if given else None
    after = said(evening.trip, evening.now, given.word if given else Provenance.STATED, {"zone": zone})
    put(evening.desk.trips, evening.trip, after)


def _clock(evening: Evening, question: Question, given: Given | None) -> None:
    """A stated clock takes the place of what was said of its frames; the book knows a proposal already."""
    if given is None or not given.text:
        return
    body, stretch = _clock_asked(evening, question)
    as_proposed = question.came_from is Provenance.STATED and given.text == question.default
    if given.word is Provenance.STATED and not as_proposed:
        ahead_s = a_clock_correction(given.text, evening.trip, evening.on_date)
        said_of_it = ClockStatement(body, ahead_s, stretch)
        state_clock(evening.desk, evening.book, evening.trip, said_of_it)
    apply_clocks(evening.desk, evening.book, evening.trip, [body], stretch=stretch)


def _clock_asked(evening: Evening, question: Question) -> tuple[str, Stretch]:
    """Return the camera and the range of its frames that a question is about."""
    clocks = settled(evening.desk, evening.trip, evening.desk.keepers.all(trip_id=evening.trip.id))
    for one in clocks:
        if clock_name(one) == question.about:
            return one.body, Stretch(one.since, one.until)
    raise ConflictError("What was said of that clock has changed meanwhile; go back with b and answer again.")


def _changes(evening: Evening, question: Question, given: Given | None) -> None:
    """Write down what was observed; what fits no kind of observation is kept in the journal."""
    if given is not None and not given.text:
        return
    observed = observations_written(given.text) if given else ()
    entries = [
        {
            "kind": entry.kind,
            "level": entry.level,
            "at": entry.at,
            "direction": entry.direction,
            "note": entry.note or None,
            "source": entry.source,
        }
        for one in observed
        for entry in one.conditions
    ]
    replace_conditions(evening, "changes", entries)
    words = "\n".join(one.words for one in observed if one.words)
    if given is not None and words:
        _journal(evening, question, replace(given, text=words))


def _outcome(evening: Evening, question: Question, given: Given | None) -> None:
    if given is not None and not given.text:
        return
    shot = find(evening.desk, kinds.SHOT, question.about, trip_id=evening.trip.id)
    before = evening.desk.outcomes.first(shot_id=shot.id)
    if given is None:
        if before is not None and before.word is not OutcomeWord.OPEN:
            evening.desk.outcomes.remove([before.id])
        return
    entry = outcome_written(shot.slug, given.text)
    if before is not None and before.provenance_of("word") is Provenance.STATED is not given.word:
        return
    made = record_outcome(
        evening.desk,
        shot,
        OutcomeSaid(entry.outcome, entry.reasons, entry.note or None, entry.replaced_by),
        evening.book,
    )
    word = {} if given.word is Provenance.STATED else {"word": given.word}
    put(evening.desk.outcomes, made, replace(made, provenance=word))


def _why(evening: Evening, question: Question, given: Given | None) -> None:
    """Add the reasons to an outcome that was said before them."""
    if given is not None and not given.text:
        return
    shot = find(evening.desk, kinds.SHOT, question.about, trip_id=evening.trip.id)
    before = evening.desk.outcomes.first(shot_id=shot.id)
    if before is None:
        raise ConflictError("The outcome has been taken back meanwhile; go back with b and answer again.")
    changes: dict[str, object] = {"reasons": (), "note": None}
    if given is not None:
        entry = reasons_written(shot.slug, before.word, given.text)
        changes = {"reasons": entry.reasons, "note": entry.note or None}
        if entry.replaced_by is not None:
            names = ("replaced_by_shot_id", "replaced_by_keeper_id")
            changes |= zip(names, replacement(evening.desk, shot, entry.replaced_by), strict=True)
    put(evening.desk.outcomes, before, said(before, evening.now, Provenance.STATED, changes))


def _lesson(evening: Evening, question: Question, given: Given | None) -> None:
    verb = LessonVerb.KEEP if question.asks is Asks.KEEP else LessonVerb.CHANGE
    lesson_id = id_of(evening, str(verb))
    before = evening.desk.lessons.get(lesson_id)
    if given is None:
        if before is not None:
            evening.desk.lessons.remove([before.id])
        return
    if not given.text:
        return
    if before is not None:
        put(evening.desk.lessons, before, said(before, evening.now, given.word, {"text": given.text}))
        return
    fields = {
        "id": lesson_id,
        "verb": verb,
        "text": given.text,
        "trip_id": evening.trip.id,
        "on_date": evening.on_date,
    }
    put_new(evening.desk, kinds.LESSON, evening.now, fields)


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
        kept = day.journal or ""
        if before is not None and before.text:
            kept = kept.removesuffix(before.text).strip()
        again = kept == given.text or kept.endswith(f"\n\n{given.text}")
        text = kept if again else f"{kept}\n\n{given.text}".strip()
        put(evening.desk.days, day, said(day, evening.now, given.word, {"journal": text}))


def _shown(evening: Evening, _question: Question, given: Given | None) -> None:
    if given is None or not given.text:
        return
    word, _, place = given.text.strip().partition(" ")
    try:
        shown = Disclosure(word.lower())
    except ValueError:
        raise InvalidValueError(f'"{word}" is none of {", ".join(Disclosure)}; write one of them.') from None
    if place:
        viewpoint = find(evening.desk, kinds.VIEWPOINT, place)
        change = {"location_shown": shown}
        after = said(viewpoint, evening.now, Provenance.STATED, change)
        put(evening.desk.viewpoints, viewpoint, after)
    else:
        trip = evening.desk.trips.get(evening.trip.id)
        assert trip is not None
        after_trip = said(trip, evening.now, Provenance.STATED, {"location_shown": shown})
        put(evening.desk.trips, trip, after_trip)


_APPLIED = {
    Asks.ZONE: _zone,
    Asks.CLOCK: _clock,
    Asks.CHANGES: _changes,
    Asks.VIEWPOINT: say_viewpoint,
    Asks.NEW_VIEWPOINT: say_new_viewpoint,
    Asks.TIMES: say_times,
    Asks.CROWD: say_crowd,
    Asks.SUPPORT: say_support,
    Asks.TRIES: say_tries,
    Asks.IN_THE_WAY: say_in_the_way,
    Asks.FILTERS: say_filters,
    Asks.SHOT: say_shot,
    Asks.SHARPNESS: say_sharpness,
    Asks.OUTCOME: _outcome,
    Asks.WHY: _why,
    Asks.KEEP: _lesson,
    Asks.CHANGE: _lesson,
    Asks.JOURNAL: _journal,
    Asks.SHOWN: _shown,
}
