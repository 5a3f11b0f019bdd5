"""What an answer of the night does to the book.

One surprising decision: applying the same answer again changes nothing, so that going back, stopping and
being killed between two writes are all the same to the book.
"""

from dataclasses import replace

from logbook.domain.errors import ConflictError, InvalidValueError
from logbook.domain.words import Disclosure, OutcomeWord, Provenance
from logbook.domain.written.entry import ShotEntry
from logbook.domain.written.moments import zone_written
from logbook.domain.written.outcomes import outcome_written, reasons_written, written_shot
from logbook.domain.written.understanding import understood
from logbook.services import kinds
from logbook.services.night.before_lens import say_changed, say_filters, say_sure
from logbook.services.night.clocks import say_clock
from logbook.services.night.day_words import say_changes, say_journal, say_lesson
from logbook.services.night.evening import Evening, Given, Understood, put, said, told
from logbook.services.night.noted import say_conditions, say_learned
from logbook.services.night.questions import Asks, Question
from logbook.services.night.visits import (
    say_crowd,
    say_in_the_way,
    say_new_viewpoint,
    say_sharpness,
    say_shot,
    say_support,
    say_times,
    say_tries,
    say_viewpoint,
)
from logbook.services.night.without_pictures import say_stay
from logbook.services.plans.outcomes import OutcomeSaid, record_outcome, replacement
from logbook.services.records import find


def apply(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Write an answer into the book; None is unknown, an empty text says nothing and changes nothing.

    Returns what the answer was taken for, as far as that differs from what was typed.

    Raises InvalidValueError or NotFoundError, in one sentence, for an answer that cannot be understood, and
    ConflictError for one to a question that is no longer asked.
    """
    applied = _APPLIED[question.asks](evening, question, given)
    evening.desk.follow_places()
    return applied


def _zone(evening: Evening, _question: Question, given: Given | None) -> Understood:
    """Give the trip its zone; unknown leaves it without one."""
    if given is not None and not given.text:
        return Understood()
    zone = zone_written(given.text) if given else None
    after = said(evening.trip, evening.now, given.word if given else Provenance.STATED, {"zone": zone})
    put(evening.desk.trips, evening.trip, after)
    return told(understood(given.text, str(zone)) if given else None)


def _outcome(evening: Evening, question: Question, given: Given | None) -> Understood:
    if given is not None and not given.text:
        return Understood()
    shot = find(evening.desk, kinds.SHOT, question.about, trip_id=evening.trip.id)
    before = evening.desk.outcomes.first(shot_id=shot.id)
    if given is None:
        if before is not None and before.word is not OutcomeWord.OPEN:
            evening.desk.outcomes.remove([before.id])
        return Understood()
    entry = outcome_written(shot.slug, given.text)
    if before is not None and before.provenance_of("word") is Provenance.STATED is not given.word:
        return Understood()
    made = record_outcome(
        evening.desk,
        shot,
        OutcomeSaid(entry.outcome, entry.reasons, entry.note or None, entry.replaced_by),
        evening.book,
    )
    word = {} if given.word is Provenance.STATED else {"word": given.word}
    put(evening.desk.outcomes, made, replace(made, provenance=word))
    return told(understood(given.text, _words_of(entry)))


def _words_of(entry: ShotEntry) -> str:
    """Return an outcome as it is written, without the name of its shot."""
    return written_shot(entry).partition(": ")[2]


def _why(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Add the reasons to an outcome that was said before them."""
    if given is not None and not given.text:
        return Understood()
    shot = find(evening.desk, kinds.SHOT, question.about, trip_id=evening.trip.id)
    before = evening.desk.outcomes.first(shot_id=shot.id)
    if before is None:
        raise ConflictError("The outcome has been undone in the meantime; go back with b and answer again.")
    changes: dict[str, object] = {"reasons": (), "note": None}
    kept = None
    if given is not None:
        entry = reasons_written(shot.slug, before.word, given.text)
        kept = _words_of(entry).removeprefix(str(before.word)).lstrip(" ,-")
        changes = {"reasons": entry.reasons, "note": entry.note or None}
        if entry.replaced_by is not None:
            names = ("replaced_by_shot_id", "replaced_by_keeper_id")
            changes |= zip(names, replacement(evening.desk, shot, entry.replaced_by), strict=True)
    put(evening.desk.outcomes, before, said(before, evening.now, Provenance.STATED, changes))
    return told(understood(given.text, kept) if given and kept else None)


def _shown(evening: Evening, _question: Question, given: Given | None) -> Understood:
    if given is None or not given.text:
        return Understood()
    word, _, place = given.text.strip().partition(" ")
    try:
        shown = Disclosure(word.lower())
    except ValueError:
        raise InvalidValueError(
            f'"{word}" is not a choice here; write one of {", ".join(Disclosure)}.'
        ) from None
    if place:
        viewpoint = find(evening.desk, kinds.VIEWPOINT, place)
        change = {"location_shown": shown}
        after = said(viewpoint, evening.now, Provenance.STATED, change)
        put(evening.desk.viewpoints, viewpoint, after)
        return told(understood(given.text, f"{shown} {viewpoint.slug}"))
    trip = evening.desk.trips.get(evening.trip.id)
    assert trip is not None
    after_trip = said(trip, evening.now, Provenance.STATED, {"location_shown": shown})
    put(evening.desk.trips, trip, after_trip)
    return Understood()


# what may say where pictures were made, and so whose clock was read there
_APPLIED = {
    Asks.ZONE: _zone,
    Asks.CLOCK: say_clock,
    Asks.CHANGES: say_changes,
    Asks.VIEWPOINT: say_viewpoint,
    Asks.NEW_VIEWPOINT: say_new_viewpoint,
    Asks.TIMES: say_times,
    Asks.CROWD: say_crowd,
    Asks.CONDITIONS: say_conditions,
    Asks.SUPPORT: say_support,
    Asks.TRIES: say_tries,
    Asks.IN_THE_WAY: say_in_the_way,
    Asks.LEARNED: say_learned,
    Asks.CHANGED: say_changed,
    Asks.FILTERS: say_filters,
    Asks.SURE: say_sure,
    Asks.SHOT: say_shot,
    Asks.SHARPNESS: say_sharpness,
    Asks.STAY: say_stay,
    Asks.OUTCOME: _outcome,
    Asks.WHY: _why,
    Asks.KEEP: say_lesson,
    Asks.CHANGE: say_lesson,
    Asks.JOURNAL: say_journal,
    Asks.SHOWN: _shown,
}
