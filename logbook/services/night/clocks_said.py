"""What a person says of a camera's clock at night: how wrong it is, or what a photographed clock showed.

One surprising decision: the time of a photographed clock is one of the evening's own day, so that nobody
has to write a date.
"""

import re
from datetime import datetime, time

from logbook.craft.clock_facts import from_shown_clock
from logbook.domain.day import moment_on
from logbook.domain.errors import ConflictError, InvalidValueError, WrongUseError
from logbook.domain.keeper import in_order
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.written.corrections import correction_text, correction_written
from logbook.domain.written.moments import clock_text, time_written
from logbook.services.accounts import day_of
from logbook.services.clocks.history import ClockStretch
from logbook.services.clocks.settled import offset_s_of, settled
from logbook.services.clocks.stating import ClockStatement, apply_clocks, state_clock
from logbook.services.keeper_clocks import zone_meant
from logbook.services.naming import Narrow, one_keeper
from logbook.services.night.evening import Evening, Given, Understood, told
from logbook.services.night.questions import Question, clock_name

_SHOWS = re.compile(r"(?P<frame>\S+)\s+(?:shows?|showed|reads?)\s+(?P<at>\S.*)", re.IGNORECASE)


def say_clock(evening: Evening, question: Question, given: Given | None) -> Understood:
    """A stated clock takes the place of what was said of its frames; the book knows a proposal already."""
    if given is None or not given.text:
        return Understood()
    body, stretch = _clock_asked(evening, question)
    as_proposed = question.came_from is Provenance.STATED and given.text == question.default
    sentence = None
    if given.word is Provenance.STATED and not as_proposed:
        statement, sentence = _statement(evening, body, stretch, given.text)
        state_clock(evening.desk, evening.book, evening.trip, statement)
    apply_clocks(evening.desk, evening.book, evening.trip, [body], stretch=stretch)
    return told(sentence)


def _statement(evening: Evening, body: str, stretch: ClockStretch, text: str) -> tuple[ClockStatement, str]:
    """Return what is stated of a clock, and that in a sentence."""
    keepers = evening.desk.keepers.all(trip_id=evening.trip.id)
    own = in_order(
        one
        for one in keepers
        if one.camera == body
        and day_of(one, evening.trip) == evening.on_date
        and (at := one.camera_time) is not None
        and stretch.holds(at)
    )
    zone = zone_meant(evening.desk, evening.trip, own[0] if own else None)
    if zone is None:
        raise WrongUseError("The trip has no zone yet; set it with trip edit --zone, then try again.")
    found = _SHOWS.fullmatch(text.strip())
    if found is None:
        add_s = correction_written(text)
        noon_s = offset_s_of(zone, datetime.combine(evening.on_date, time(12)))
        return ClockStatement(body, noon_s - add_s, stretch), correction_text(add_s)
    frame = one_keeper(evening.desk, found["frame"], evening.trip, Narrow(body=body))
    wall = frame.camera_time
    if wall is None or not stretch.holds(wall):
        raise InvalidValueError(
            f"{frame.file} says nothing about this clock; name a picture from {body} that has a time."
        )
    zone = zone_meant(evening.desk, evening.trip, frame) or zone
    shown = moment_on(evening.on_date, time_written(found["at"]), evening.trip.day_ends_at)
    source = f"{frame.file} shows {clock_text(shown.time())}"
    fact = from_shown_clock(body, wall, shown, offset_s_of(zone, shown), source)
    ahead_s = round(fact.ahead_s)
    statement = ClockStatement(body, ahead_s, stretch, ClockEvidence.PHOTOGRAPHED_CLOCK, source)
    return statement, correction_text(round((shown - wall).total_seconds()))


def _clock_asked(evening: Evening, question: Question) -> tuple[str, ClockStretch]:
    """Return the camera and the range of its frames that a question is about."""
    clocks = settled(evening.desk, evening.trip, evening.desk.keepers.all(trip_id=evening.trip.id))
    for one in clocks:
        if clock_name(one) == question.about:
            return one.body, ClockStretch(one.since, one.until)
    raise ConflictError(
        "What was said about that clock has changed in the meantime; go back with b and answer again."
    )
