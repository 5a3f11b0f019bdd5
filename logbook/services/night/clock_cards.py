"""A doubtful clock laid beside a trusted one: both cameras' pictures on one line of time, to slide.

One surprising decision: the likeliest corrections are found without light or place. Who carries two cameras
uses them together, so that correction is likely under which most pictures have company.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from logbook.domain.keeper import Keeper, in_order
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.domain.written.corrections import correction_words
from logbook.services.clocks.stating import apply_clocks
from logbook.services.night.questions import Question
from logbook.store.book import Book

COMPANY_MIN = 15  # a picture of the other camera so near is company (own convention)
TRIED_MIN = range(-12 * 60, 12 * 60 + 1, 30)  # zones differ by half hours
NEAR_MIN = 60  # what is offered besides: an hour of daylight saving, both ways


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
