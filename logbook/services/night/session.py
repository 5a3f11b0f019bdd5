"""An evening as it stands, and what is said of it: every answer is in the book before the next.

One surprising decision: the session has no memory of its own, and looking writes nothing. Answers and plan
lie in the book from the first answer on, so that whoever opens it next stands where the last one stood.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum, auto
from pathlib import Path

from logbook.domain.day import day_of as day_of_moment
from logbook.domain.errors import ConflictError, InvalidValueError, LogbookError, NotFoundError
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance, Support
from logbook.domain.written.choices import is_unknown, yes_written
from logbook.domain.zones import zone_of
from logbook.services.accounts import account_in, day_of
from logbook.services.night.applying import apply
from logbook.services.night.clocks import is_doubtful
from logbook.services.night.cutting import Correction
from logbook.services.night.evening import Evening, Given
from logbook.services.night.kept import KeptAnswers
from logbook.services.night.opening import CLOCK, ZONE, opening_questions
from logbook.services.night.places import with_nearest_names
from logbook.services.night.plan import judged_day, plan_night
from logbook.services.night.plan_changes import corrected, corrections_of, place_late, with_late
from logbook.services.night.planned import NightPlan
from logbook.services.night.questions import SEVERAL, Answered, Asks, Question, meant_by
from logbook.services.night.sequence import after_clocks
from logbook.services.night.standing import standing
from logbook.services.records import the_trip
from logbook.store import backups
from logbook.store.book import Book
from logbook.store.desk import Desk

OF_STAY_TIMES = ("times", "tries")  # the questions about a stay whose answers depend on where it is cut
FOLLOWS = {  # the questions that only the answer to another one raises
    Asks.VIEWPOINT: ("new",),
    Asks.CHANGED: ("filters", "sure"),
    Asks.FILTERS: ("sure",),
}
STATED_TOGETHER = frozenset(  # what one word can state as it is shown; what became of a plan is not among it
    (Asks.VIEWPOINT, Asks.TIMES, Asks.SUPPORT, Asks.TRIES, Asks.FILTERS, Asks.SHOT, Asks.SHARPNESS)
)
UNSTATED = (Provenance.ASSUMED, Provenance.INFERRED)


class WholeTaking(Enum):
    """How what is shown is taken: as what it is, as stated, or what is missing as unknown."""

    AS_SHOWN = auto()
    STATED = auto()
    MISSING_UNKNOWN = auto()


class _OnlyAskedError(Exception):
    """Ends a transaction that nobody meant to keep."""


@dataclass(frozen=True, slots=True)
class SessionStand:
    """All that is asked of a day, and what was answered by key; no plan while its zone is unknown.

    `is_kept`: the plan lies so in the book. While a clock is open, its day is planned again with each answer.
    """

    trip: Trip
    questions: tuple[Question, ...]
    answers: Mapping[str, Answered]
    plan: NightPlan | None
    is_kept: bool
    open_clocks: bool

    def question(self, key: str) -> Question:
        """Return the question with a key; ConflictError where it is asked no more."""
        for question in self.questions:
            if question.key == key:
                return question
        raise ConflictError("That question is gone: the day was worked out again in another window.")


@dataclass(frozen=True, slots=True)
class SaidLine:
    """What became of a line at the question with a key: what it was taken for, or why it was refused."""

    key: str
    line: str
    told: tuple[str, ...]
    refused: str = ""


LineCheck = Callable[[Desk, SessionStand, str], str]  # why a line at the question with a key is refused


def day_to_write(book: Book, trip: str | None, on_date: date | None) -> tuple[Trip, date]:
    """Return the trip and day that are meant: today, or the last day that has keepers or plans."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        if on_date is not None:
            return of_trip, on_date
        account = account_in(desk, of_trip)
        now = book.now()
        local = now.astimezone(zone_of(of_trip.zone)) if of_trip.zone else now
        today = day_of_moment(local, of_trip.day_ends_at)
        days = {day for keeper in account.keepers if (day := day_of(keeper, of_trip))}
        days |= {shot.on_date for shot in account.shots if shot.on_date}
        past = [day for day in days if day <= today]
        if not past:
            raise NotFoundError(
                f"{of_trip.slug} has no keepers and no plans up to today; import keepers first, "
                "or name a day with --on."
            )
        return of_trip, max(past)


@dataclass(frozen=True, slots=True)
class Night:
    """One day of one trip at night."""

    book: Book
    trip: Trip
    on_date: date

    def stand(self, desk: Desk) -> SessionStand:
        """Return all questions and what was answered; nothing is kept by looking.

        A day that is not planned yet is planned, and keepers that came in later join the plan of one that is.
        """
        kept = self._kept(desk)
        trip = desk.trips.get(self.trip.id) or self.trip
        given, planned, now = kept.given(), kept.plan(), self.book.now()
        judged = judged_day(desk, trip, self.on_date, now) if planned is None else None
        opening = opening_questions(desk, trip, given, judged)
        still_open = {one.key for one in opening if one.asks is Asks.ZONE or is_doubtful(one)} - given.keys()
        if ZONE in still_open:
            return SessionStand(trip, tuple(opening), given, None, is_kept=False, open_clocks=True)
        if planned is None:
            plan = plan_night(desk, trip, self.on_date, now, judged)
        else:
            plan = with_late(desk, trip, self.on_date, planned, now)
        asked = after_clocks(plan, trip.location_shown, given)
        questions = (
            *opening,
            *(with_nearest_names(desk, one) if one.asks is Asks.NEW_VIEWPOINT else one for one in asked),
        )
        return SessionStand(trip, questions, given, plan, plan is planned, open_clocks=bool(still_open))

    def say(self, key: str, line: str) -> tuple[str, ...]:
        """Write down what a line means at the question with a key, answered before or not.

        Returns what it was taken for, in sentences, as far as that differs from what was typed. Each line of
        a text is an answer of its own where there may be several, else they are one. Raises LogbookError, in
        one sentence, for a line that cannot be understood; nothing changes then.
        """
        with self.book.writing() as desk:
            return self._said(desk, self.stand(desk), key, line)

    def say_each(self, lines: Sequence[tuple[str, str]], check: LineCheck) -> tuple[SaidLine, ...]:
        """Write down lines at the questions with their keys; what is refused of one leaves the others.

        All of it is one change of the book. `check` refuses lines by what stands before the first is kept;
        nobody writes between its look and the answers.
        """
        with self.book.writing() as desk:
            first = self.stand(desk)
            refused = {key: why for key, _ in lines if (why := check(desk, first, key))}
            stand: SessionStand | None = first
            said = []
            for key, line in lines:
                if key in refused:
                    said.append(SaidLine(key, line, (), refused[key]))
                    continue
                try:
                    with desk.attempt():
                        told = self._said(desk, stand or self.stand(desk), key, line)
                except LogbookError as error:
                    said.append(SaidLine(key, line, (), str(error)))
                else:
                    said.append(SaidLine(key, line, told))
                    stand = None  # the next line meets another evening
            return tuple(said)

    def would_say(self, key: str, line: str) -> tuple[str, ...]:
        """Return what a line would be taken for at a question; the book stays as it is."""
        told: tuple[str, ...] = ()
        with suppress(_OnlyAskedError), self.book.writing() as desk:
            told = self._said(desk, self.stand(desk), key, line)
            raise _OnlyAskedError
        return told

    def _said(self, desk: Desk, stand: SessionStand, key: str, line: str) -> tuple[str, ...]:
        stand = self._settled(desk, stand, (key,))
        question = stand.question(key)
        meant = meant_by(question, line)
        return self._answered(desk, stand, question, Answered(meant.text, meant.word))

    def take(self, keys: Collection[str], how: WholeTaking = WholeTaking.AS_SHOWN) -> None:
        """Take what is shown at the questions with these keys; what was answered stays unless it is stated.

        All of it is one change of the book, or none; what is taken is what one look shows.
        """
        with self.book.writing() as desk:
            stand = self._settled(desk, self.stand(desk), keys)
            for question in stand.questions:
                said = _taken(desk, stand, question, how) if question.key in keys else None
                if said is not None:
                    self._answered(desk, stand, question, said)

    def state_shown(self, keys: Collection[str], check: LineCheck | None = None) -> int:
        """State what is proposed, assumed or inferred at the questions somebody was shown; how much it was.

        What became of a plan is not among it, nor what `check` refuses before anything is stated. All of
        it is one change of the book, or none.
        """
        with self.book.writing() as desk:
            stand = self.stand(desk)
            keys = [key for key in keys if check is None or not check(desk, stand, key)]
            stand = self._settled(desk, stand, keys)
            stated: set[str] = set()
            while shown := _shown_unstated(desk, stand, keys, stated):
                for question, text in shown:
                    self._answered(desk, stand, question, Answered(text, Provenance.STATED))
                    stated.add(question.key)
                stand = self.stand(desk)  # what was stated may be carried on to further pictures
            return len(stated)

    def put_right(self, correction: Correction) -> None:
        """Cut or join stays; raises LogbookError, in one sentence, where that cannot be."""
        with self.book.writing() as desk:
            stand = self._settled(desk, self.stand(desk), (Asks.CHANGES,))
            if stand.plan is None:
                raise ConflictError("The day has no stays yet; answer what is asked about its clocks first.")
            evening = self._evening(desk, stand, stand.plan)
            _put_right(evening, self._kept(desk), stand.plan, (correction,))

    def _answered(
        self, desk: Desk, stand: SessionStand, question: Question, said: Answered
    ) -> tuple[str, ...]:
        text, word = _in_lines(question, said.text), said.word
        if word is Provenance.STATED and is_unknown(text) and not _is_value(question, text):
            self._answered(desk, stand, question, Answered("", None))
            return ("It is left unknown.",)
        if word is Provenance.STATED and _is_letter(question, text):
            raise InvalidValueError(f'"{text}" alone says too little here; "help" lists what can be typed.')
        kept = self._kept(desk)
        of_clocks = question.asks in (Asks.ZONE, Asks.CLOCK)
        plan = kept.plan() if of_clocks else stand.plan
        evening = self._evening(desk, stand, plan)
        if plan is not None and question.asks is Asks.CHANGES and (corrections := corrections_of(text)):
            _put_right(evening, kept, plan, corrections)
            return ()
        understood = apply(evening, question, None if word is None else Given(text, word))
        if question.asks is Asks.NEW_VIEWPOINT and word is not None and not yes_written(text):
            kept.drop(lambda key: key == question.key.replace(".new", ".viewpoint"))
            return understood.told
        if question.asks is Asks.SURE:
            _settle(kept, question, text if word is not None else "")
            return understood.told
        kept.keep(question.key, text if understood.answer is None else understood.answer, word)
        if question.key in stand.answers:
            kept.drop(lambda key: key in _following(question))
        if question.asks is Asks.ZONE:
            kept.drop(lambda key: not key.startswith((ZONE, "changes")))
        if question.asks is Asks.CLOCK and plan is not None:  # other clocks make another day
            kept.drop(lambda key: not key.startswith((ZONE, CLOCK, "changes")))
        return understood.told

    def _settled(self, desk: Desk, stand: SessionStand, keys: Collection[str]) -> SessionStand:
        """Settle the plan with the first answer that is not about clocks, and as late keepers join it."""
        of_clocks = all(key.startswith((ZONE, CLOCK)) for key in keys)
        if stand.plan is None or of_clocks or stand.is_kept or stand.open_clocks:
            return stand
        self._kept(desk).keep_plan(stand.plan)
        place_late(self._evening(desk, stand, stand.plan))
        return replace(stand, is_kept=True)

    def _evening(self, desk: Desk, stand: SessionStand, plan: NightPlan | None) -> Evening:
        return Evening(desk, self.book, stand.trip, self.on_date, plan, stand.answers)

    def restart(self) -> None:
        """Forget where the session stood; what it wrote into the book stays."""
        with self.book.writing() as desk:
            self._kept(desk).drop(lambda _: True)

    def copy(self) -> Path:
        """Copy the book into its folder of backups."""
        return backups.make(self.book.path, self.book.now(), backups.Why.NIGHT)

    def _kept(self, desk: Desk) -> KeptAnswers:
        return KeptAnswers(desk, self.trip.id, self.on_date, self.book.now())


def _taken(desk: Desk, stand: SessionStand, question: Question, how: WholeTaking) -> Answered | None:
    """Return the answer that is taken at a question, or None where it has one."""
    if how is WholeTaking.STATED and (text := _unstated(desk, stand, question)):
        return Answered(text, Provenance.STATED)
    if question.key in stand.answers:
        return None
    if how is WholeTaking.MISSING_UNKNOWN and not question.default:
        return Answered("", None)
    return Answered(question.default, question.came_from or Provenance.ASSUMED)


def _shown_unstated(
    desk: Desk, stand: SessionStand, keys: Collection[str], stated: Collection[str]
) -> list[tuple[Question, str]]:
    asked = [one for one in stand.questions if one.key in keys and one.key not in stated]
    return [(one, text) for one in asked if (text := _unstated(desk, stand, one))]


def _unstated(desk: Desk, stand: SessionStand, question: Question) -> str:
    """Return what stands at a question without anybody's word and one word would state, else ""."""
    if question.asks not in STATED_TOGETHER:
        return ""
    found = standing(desk, stand.trip.id, question)
    if found is not None:
        return found.text if found.word in UNSTATED else ""
    given = stand.answers.get(question.key)
    if given is None:
        return question.default
    return given.text if given.word in UNSTATED else ""


def _put_right(evening: Evening, kept: KeptAnswers, plan: NightPlan, said: Sequence[Correction]) -> None:
    """Cut and join stays; of those that are others now, times and tries are asked about again."""
    now = corrected(evening, plan, said)
    kept.keep_plan(now)
    touched = {one.key for one in plan.visits if one not in now.visits}
    touched |= {one.key for one in now.visits if one not in plan.visits}
    kept.drop(lambda key: key.rpartition(".")[0] in touched and key.endswith(OF_STAY_TIMES))


def _following(question: Question) -> Collection[str]:
    """Return the keys of what followed from a first answer, and is asked again with another one."""
    if question.asks is Asks.OUTCOME:
        return (f"{question.key}.why",)
    stem, _, _ = question.key.rpartition(".")
    return [f"{stem}.{one}" for one in FOLLOWS.get(question.asks, ())]


def _settle(kept: KeptAnswers, question: Question, text: str) -> None:
    """After an answer was questioned: a yes keeps it, a no asks again, and nothing leaves it unknown."""
    key = question.key.replace(".sure", ".filters")
    if not text:
        kept.keep(key, "", None)
    elif yes_written(text):
        kept.keep(key, question.about.partition(";")[2], Provenance.STATED)
    else:
        kept.drop(lambda one: one == key)


def _in_lines(question: Question, text: str) -> str:
    """Return an answer without blank lines: in lines where there may be several, else in a single one."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if question.asks is Asks.JOURNAL:
        return text.strip()
    return ("\n" if question.asks in SEVERAL else ", ").join(lines)


def _is_letter(question: Question, text: str) -> bool:
    """Whether a text is a single letter where none is asked for: `h` is handheld to one, help to the next."""
    return len(text) == 1 and text.isalpha() and question.choices[:1] != ("y",)


def _is_value(question: Question, text: str) -> bool:
    """Whether unknown is a value of its own there: what held the camera, looked for and not known."""
    return question.asks is Asks.SUPPORT and text.casefold() == Support.UNKNOWN
