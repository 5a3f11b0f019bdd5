"""The night session: the next question, an answer, a step back; every answer is in the book before the next.

One surprising decision: the session has no memory of its own. Answers and plan lie in the book, so that
whoever opens it next, after a stop, a crash or from a second window, stands at the same question.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from logbook.domain.day import day_of as day_of_moment
from logbook.domain.errors import ConflictError, InvalidValueError, LogbookError, NotFoundError
from logbook.domain.night import NightAnswer
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance, Support
from logbook.domain.written.choices import is_unknown, yes_written
from logbook.domain.zones import zone_of
from logbook.services.accounts import account_in, day_of
from logbook.services.night.applying import apply
from logbook.services.night.cutting import Cut, Join
from logbook.services.night.evening import Evening, Given
from logbook.services.night.opening import CLOCK, PLAN, ZONE, opening_questions
from logbook.services.night.places import with_nearest_names
from logbook.services.night.plan import plan_night
from logbook.services.night.planned import NightPlan, dumped, loaded
from logbook.services.night.questions import (
    SEVERAL,
    UNSURE,
    Answered,
    Asks,
    Question,
    meant_by,
)
from logbook.services.night.sequence import after_clocks
from logbook.services.night.stay_corrections import corrected, corrections_of
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


@dataclass(frozen=True, slots=True)
class SessionStep:
    """Where a session stands: the question to ask, its number, and how many there are as far as is known.

    `total` is None until the clocks are settled, for nobody knows then what the day holds.
    """

    question: Question
    number: int
    total: int | None


class _OnlyAskedError(Exception):
    """Ends a transaction that nobody meant to keep."""


@dataclass(frozen=True, slots=True)
class SessionStand:
    """All that is asked of a day, and what was answered by key; no plan while its zone is unknown."""

    trip: Trip
    questions: tuple[Question, ...]
    answers: Mapping[str, Answered]
    plan: NightPlan | None
    open_clocks: bool  # while a clock is open, its day is planned anew with each answer


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

    def step(self) -> SessionStep | None:
        """Return the next question that has no answer yet, or None when all have one."""
        with self.book.writing() as desk:
            answers = self._answers(desk)
            questions = self._questions(desk, answers)
            before = self._withdrawn(desk)
            total = len(questions) if PLAN in self._answers(desk) else None
            for number, question in enumerate(questions, 1):
                if question.key in answers:
                    continue
                if question.asks is Asks.NEW_VIEWPOINT:
                    question = with_nearest_names(desk, question)
                was = before.get(question.key)
                if was is not None and was.text:  # somebody went back: Enter takes what was said, as it was
                    text = was.text.removesuffix(UNSURE)
                    question = replace(question, default=text, came_from=was.word)
                return SessionStep(question, number, total)
        return None

    def say(self, key: str, line: str) -> tuple[str, ...]:
        """Write down what a line means at the question with a key, asked or answered before; see `answer`."""
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

    def _said(self, desk: Desk, stand: SessionStand, key: str, line: str) -> tuple[str, ...]:
        question = _question_in(stand, key)
        meant = meant_by(question, line)
        return self._answered(desk, stand, question, meant.text, meant.word)

    def would_say(self, key: str, line: str) -> tuple[str, ...]:
        """Return what a line would be taken for at a question; the book stays as it is."""
        told: tuple[str, ...] = ()
        with suppress(_OnlyAskedError), self.book.writing() as desk:
            stand, question = self._asked(desk, key)
            meant = meant_by(question, line)
            told = self._answered(desk, stand, question, meant.text, meant.word)
            raise _OnlyAskedError
        return told

    def answer(self, question: Question, text: str, word: Provenance | None) -> tuple[str, ...]:
        """Write an answer into the book: `word` says where its value came from, None that it is unknown.

        Only the question's key counts; what it is about is looked up again. A question that has an answer may
        be answered anew. Returns what it was taken for, in sentences, as far as that differs from what was
        typed. Each line of a text is an answer of its own where there may be several, else they are one.
        Raises LogbookError, in one sentence, for an answer that cannot be understood; nothing changes then.
        """
        with self.book.writing() as desk:
            stand, asked = self._asked(desk, question.key)
            return self._answered(desk, stand, asked, text, word)

    def state_shown(self) -> int:
        """State all that is proposed, assumed or inferred, but nothing that a plan came to; how many it was.

        All of it is one change of the book, or none.
        """
        with self.book.writing() as desk:
            stated: set[str] = set()
            while (found := self._next_unstated(desk, stated)) is not None:
                stand, question = found
                stated.add(question.key)
                self._answered(desk, stand, question, question.default, Provenance.STATED)
            return len(stated)

    def _next_unstated(self, desk: Desk, stated: set[str]) -> "tuple[SessionStand, Question] | None":
        """Return the next question that somebody's word would answer as it stands."""
        stand = self.stand(desk)
        for question in stand.questions:
            given = stand.answers.get(question.key)
            text = given.text if given else question.default
            is_open = given is None or given.word in (Provenance.ASSUMED, Provenance.INFERRED)
            if is_open and text and question.asks in STATED_TOGETHER and question.key not in stated:
                return stand, replace(question, default=text)
        return None

    def _asked(self, desk: Desk, key: str) -> "tuple[SessionStand, Question]":
        stand = self.stand(desk)
        return stand, _question_in(stand, key)

    def _answered(
        self, desk: Desk, stand: "SessionStand", question: Question, text: str, word: Provenance | None
    ) -> tuple[str, ...]:
        text = _in_lines(question, text)
        if word is Provenance.STATED and is_unknown(text) and not _is_value(question, text):
            self._answered(desk, stand, question, "", None)
            return ("It is left unknown.",)
        if word is Provenance.STATED and _is_letter(question, text):
            raise InvalidValueError(
                f'"{text}" alone is too short to mean something; help says what can be typed.'
            )
        answers = self._answers(desk)
        plan = _plan_in(answers)
        if plan is None and question.asks not in (Asks.ZONE, Asks.CLOCK):
            plan = stand.plan
            if plan is not None and not stand.open_clocks:
                self._keep(desk, PLAN, dumped(plan))
        trip = desk.trips.get(self.trip.id) or self.trip  # it may have got a zone meanwhile
        previous = self._withdrawn(desk)
        if question.key in answers:
            previous[question.key] = answered(answers[question.key])
        evening = Evening(desk, self.book, trip, self.on_date, plan, previous)
        if plan is not None and question.asks is Asks.CHANGES and (said := corrections_of(text)):
            self._put_right(evening, plan, said)
            return ()
        understood = apply(evening, question, None if word is None else Given(text, word))
        if question.asks is Asks.NEW_VIEWPOINT and word is not None and not yes_written(text):
            for key in (f"was:{question.key}", question.key.replace(".new", ".viewpoint")):
                self._drop(desk, key)
            return understood.told
        if question.asks is Asks.SURE:
            self._settle(desk, question, text if word is not None else "")
            return understood.told
        kept = text if understood.answer is None else understood.answer
        self._keep(desk, question.key, json.dumps({"text": kept, "word": word}, ensure_ascii=False))
        self._drop(desk, f"was:{question.key}")
        if question.key in answers:
            self._ask_after(desk, question)
        if question.asks is Asks.ZONE:
            self._ask_again(desk, (ZONE, "changes", f"was:{ZONE}"))
        if question.asks is Asks.CLOCK and plan is not None:
            self._ask_again(desk, (ZONE, CLOCK, "changes", f"was:{CLOCK}"))
        return understood.told

    def _put_right(self, evening: Evening, plan: NightPlan, said: Sequence[Cut | Join]) -> None:
        """Cut and join stays; of those that are others now, times and tries are asked about anew."""
        now = corrected(evening, plan, said)
        self._keep(evening.desk, PLAN, dumped(now))
        touched = [one for one in plan.visits if one not in now.visits]
        touched += [one for one in now.visits if one not in plan.visits]
        for visit in touched:
            for of_times in OF_STAY_TIMES:
                for was in ("", "was:"):
                    self._drop(evening.desk, f"{was}{visit.key}.{of_times}")

    def _ask_after(self, desk: Desk, question: Question) -> None:
        """A question that is answered anew asks anew what followed from its first answer."""
        stem, _, _ = question.key.rpartition(".")
        followed = FOLLOWS.get(question.asks, ())
        for key in (f"{stem}.{one}" for one in followed):
            self._drop(desk, key)
        if question.asks is Asks.OUTCOME:
            self._drop(desk, f"{question.key}.why")

    def _settle(self, desk: Desk, question: Question, text: str) -> None:
        """After an answer was questioned: a yes keeps it, a no asks again, and nothing leaves it unknown."""
        key = question.key.replace(".sure", ".filters")
        answer = question.about.partition(";")[2]
        if not text:
            self._keep(desk, key, json.dumps({"text": "", "word": None}))
        elif yes_written(text):
            kept = {"text": answer, "word": Provenance.STATED}
            self._keep(desk, key, json.dumps(kept, ensure_ascii=False))
        else:
            self._drop(desk, key)

    def stand(self, desk: Desk) -> "SessionStand":
        """Return all questions and what was answered; clocks that are open hold nothing up.

        A day that is not planned yet is planned, and nothing is kept.
        """
        answers = self._answers(desk)
        trip = desk.trips.get(self.trip.id) or self.trip
        opening = opening_questions(desk, trip, self.on_date, answers, self.book.now())
        given = {key: answered(kept) for key, kept in answers.items() if key != PLAN}
        still_open = {question.key for question in opening} - answers.keys()
        if ZONE in still_open:
            return SessionStand(trip, tuple(opening), given, None, open_clocks=True)
        plan = _plan_in(answers) or plan_night(desk, trip, self.on_date, self.book.now())
        questions = tuple(_all_questions(trip, opening, plan, answers, also_stated=True))
        return SessionStand(trip, questions, given, plan, open_clocks=bool(still_open))

    def back(self) -> bool:
        """Take the last answer back, so that its question is asked again; False at the beginning."""
        with self.book.writing() as desk:
            answers = self._answers(desk)
            asked = [one.key for one in self._questions(desk, answers) if one.key in answers]
            if not asked:
                return False
            self._keep(desk, f"was:{asked[-1]}", answers[asked[-1]])
            self._drop(desk, asked[-1])
            return True

    def _ask_again(self, desk: Desk, settled: tuple[str, ...]) -> None:
        """Other clocks make another day: what follows from them is worked out and asked anew."""
        desk.night_answers.remove(one.id for one in self._records(desk) if not one.key.startswith(settled))

    def newcomers(self) -> int:
        """Return how many keepers of the day came in after its questions were made."""
        with self.book.reading() as desk:
            plan = _plan_in(self._answers(desk))
            if plan is None:
                return 0
            groups = [*plan.others, *(group for visit in plan.visits for group in visit.groups)]
            asked = {keeper_id for group in groups for keeper_id in group.keeper_ids}
            keepers = desk.keepers.all(trip_id=self.trip.id)
            return sum(day_of(one, self.trip) == self.on_date and one.id not in asked for one in keepers)

    def restart(self) -> None:
        """Forget where the session stood; what it wrote into the book stays."""
        with self.book.writing() as desk:
            desk.night_answers.remove(one.id for one in self._records(desk))

    def copy(self) -> Path:
        """Copy the book into its folder of backups."""
        return backups.make(self.book.path, self.book.now(), backups.Why.NIGHT)

    def _records(self, desk: Desk) -> list[NightAnswer]:
        return desk.night_answers.all(trip_id=self.trip.id, on_date=self.on_date)

    def _answers(self, desk: Desk) -> dict[str, str]:
        return {one.key: one.answer for one in self._records(desk)}

    def _withdrawn(self, desk: Desk) -> dict[str, Answered]:
        return {
            one.key.removeprefix("was:"): answered(one.answer)
            for one in self._records(desk)
            if one.key.startswith("was:")
        }

    def _keep(self, desk: Desk, key: str, answer: str) -> None:
        before = desk.night_answers.first(trip_id=self.trip.id, on_date=self.on_date, key=key)
        if before is not None:
            desk.night_answers.put(replace(before, answer=answer, updated=self.book.now()))
            return
        base = new_record(self.book.now())
        desk.night_answers.add(
            NightAnswer(**base, trip_id=self.trip.id, on_date=self.on_date, key=key, answer=answer)
        )

    def _drop(self, desk: Desk, key: str) -> None:
        desk.night_answers.remove(one.id for one in self._records(desk) if one.key == key)

    def _questions(self, desk: Desk, answers: dict[str, str]) -> list[Question]:
        trip = desk.trips.get(self.trip.id) or self.trip
        opening = opening_questions(desk, trip, self.on_date, answers, self.book.now())
        if any(question.key not in answers for question in opening):
            return opening
        plan = _plan_in(answers)
        if plan is None:
            plan = plan_night(desk, self.trip, self.on_date, self.book.now())
            self._keep(desk, PLAN, dumped(plan))
            answers = self._answers(desk)
        return _all_questions(trip, opening, plan, answers)


def _all_questions(
    trip: Trip,
    opening: Sequence[Question],
    plan: NightPlan,
    answers: Mapping[str, str],
    *,
    also_stated: bool = False,
) -> list[Question]:
    given = {key: answered(answer) for key, answer in answers.items() if key != PLAN}
    return [*opening, *after_clocks(plan, trip.location_shown, given, also_stated=also_stated)]


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


def _question_in(stand: SessionStand, key: str) -> Question:
    found = next((one for one in stand.questions if one.key == key), None)
    if found is None:
        raise ConflictError("That question is gone: the day was planned anew in another window.")
    return found


def answered(kept: str) -> Answered:
    """Return an answer from the text by which it is kept."""
    data = json.loads(kept)
    return Answered(data["text"], Provenance(data["word"]) if data["word"] else None)


def _plan_in(answers: Mapping[str, str]) -> NightPlan | None:
    return loaded(answers[PLAN]) if PLAN in answers else None
