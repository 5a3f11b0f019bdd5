"""Clocks of an evening: what a person says of one, and a doubtful one laid beside a trusted one, to slide.

Surprising decisions: the time of a photographed clock is one of the evening's own day, so that nobody has
to write a date. The likeliest corrections are found without light or place: who carries two cameras uses
them together, so that correction is likely under which most pictures have company.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from logbook.craft.clock_facts import from_shown_clock
from logbook.domain.day import moment_on
from logbook.domain.errors import ConflictError, InvalidValueError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.written.corrections import correction_text, correction_words, correction_written
from logbook.domain.written.moments import clock_text, is_about, time_written
from logbook.services.accounts import day_of
from logbook.services.clocks.history import ClockStretch
from logbook.services.clocks.settled import offset_s_of, settled
from logbook.services.clocks.stating import ClockStatement, apply_clocks, state_clock
from logbook.services.keeper_clocks import zone_meant
from logbook.services.naming import Narrow, one_keeper
from logbook.services.night.evening import Evening, Given, Understood, told
from logbook.services.night.questions import Question, clock_name
from logbook.store.book import Book

_SHOWS = re.compile(r"(?P<frame>\S+)\s+(?:shows?|showed|reads?)\s+(?P<at>\S.*)", re.IGNORECASE)
COMPANY_MIN = 15  # a picture of the other camera so near is company (own convention)
TRIED_MIN = range(-12 * 60, 12 * 60 + 1, 30)  # zones differ by half hours
NEAR_MIN = 60  # what is offered besides: an hour of daylight saving, both ways


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
    if is_about(found["at"]):
        raise InvalidValueError(
            f'"{found["at"]}" is not exact enough for a clock; write what it showed, such as 17:20.'
        )
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


@dataclass(frozen=True, slots=True)
class ClockMark:
    """A picture on the line: how many minutes after the midnight before the day."""

    keeper: Keeper
    minute: int


@dataclass(frozen=True, slots=True)
class ClockLine:
    """A body's pictures as its clock stands now, and those of trusted clocks beside them.

    `add_min` is what is added to its time now; `choices` are corrections as they are written, the likeliest
    first; `company` says why that one is, or "".
    """

    key: str
    body: str
    add_min: int
    own: tuple[ClockMark, ...]
    trusted: tuple[ClockMark, ...]
    choices: tuple[str, ...]
    company: str


def is_doubtful(question: Question) -> bool:
    """Tell whether a clock is worth a look: only a guess speaks for it, or something speaks against it."""
    return question.came_from in (None, Provenance.ASSUMED) or len(question.why) > 1


def untaken(questions: Sequence[Question], keepers: Sequence[Keeper]) -> tuple[Question, ...]:
    """Return the clocks that nothing speaks against and that a picture of the day does not follow yet."""
    return tuple(
        one
        for one in questions
        if one.default and not is_doubtful(one)
        if any(each.camera == _body(one) and f"{each.clock_offset_s:+d} s" != one.default for each in keepers)
    )


def take_clocks(book: Book, trip: Trip, clocks: Sequence[Question]) -> None:
    """Let pictures follow clocks that are known well enough; nobody need be asked."""
    if clocks:
        with book.writing() as desk:
            apply_clocks(desk, book, trip, [_body(one) for one in clocks])


def _body(question: Question) -> str:
    return question.about.partition(" since ")[0]


def clock_lines(
    questions: Sequence[Question], keepers: Sequence[Keeper], on_date: date
) -> tuple[ClockLine, ...]:
    """Return a line for each doubtful clock; `keepers` are those of the day."""
    doubtful = {one.key: _body(one) for one in questions if is_doubtful(one)}
    found = []
    for key, body in doubtful.items():
        own = _marks([one for one in keepers if one.camera == body], on_date)
        others = [one for one in keepers if one.camera not in doubtful.values()]
        trusted = _marks(others or [one for one in keepers if one.camera != body], on_date)
        add_min = round(own[0].keeper.clock_offset_s / 60) if own else 0
        found.append(_line(key, body, add_min, own, trusted))
    return tuple(found)


def _line(
    key: str, body: str, add_min: int, own: tuple[ClockMark, ...], trusted: tuple[ClockMark, ...]
) -> ClockLine:
    best_min = best_shift([one.minute for one in own], [one.minute for one in trusted])
    wanted = [add_min + best_min, add_min, add_min + NEAR_MIN, add_min - NEAR_MIN]
    choices = tuple(dict.fromkeys(correction_words(60 * one) for one in wanted))
    company = ""
    if best_min:
        count = _accompanied([one.minute + best_min for one in own], [one.minute for one in trusted])
        company = f"{count} of its {len(own)} pictures would then fall near one from the other camera"
    return ClockLine(key, body, add_min, own, trusted, choices, company)


def best_shift(own_min: Sequence[int], trusted_min: Sequence[int]) -> int:
    """Return the shift in minutes under which most pictures have company; 0 unless one is clearly better."""
    counts = {shift: _accompanied([one + shift for one in own_min], trusted_min) for shift in TRIED_MIN}
    most = max(counts.values(), default=0)
    best = [shift for shift, count in counts.items() if count == most]
    nearest = min(best, key=abs)
    is_clear = most > counts[0] + 1 and sum(abs(one) == abs(nearest) for one in best) == 1
    return nearest if is_clear else 0


def _accompanied(own_min: Sequence[int], trusted_min: Sequence[int]) -> int:
    return sum(any(abs(one - other) <= COMPANY_MIN for other in trusted_min) for one in own_min)


def _marks(keepers: Sequence[Keeper], on_date: date) -> tuple[ClockMark, ...]:
    midnight = datetime.combine(on_date, time())
    return tuple(
        ClockMark(one, round((at - midnight).total_seconds() / 60))
        for one in in_order(keepers)
        if (at := one.place_time) is not None
    )
