"""What is asked before a day can be planned: the zone of a trip that has none, and clocks that are in doubt.

One surprising decision: once the day is planned, only the clocks that were answered stay among its questions;
one of them put right later plans the day again.
"""

from collections.abc import Mapping

from logbook.craft.clock_facts import EvidenceKind
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.accounts import account_in
from logbook.services.clocks.proposed import ClockProposal, clocks_of
from logbook.services.clocks.zones import zone_found, zone_of_files
from logbook.services.night.plan import JudgedDay
from logbook.services.night.questions import Answered, Asks, Question, clock_name
from logbook.store.desk import Desk

CLOCK = "clock."  # what the keys of questions about clocks begin with
ZONE = "zone"  # the key of the question about the zone of a trip that has none
CHAPTER, ZONE_ASKED = "Clocks and zone", "The time zone of this trip"
ZONE_HINT = "such as Europe/Lisbon"
CLOCK_HINT = "such as 7 min slow, 1 h 3 min fast, right, or the seconds to add: +420"
PLAN = "plan"  # the key under which the plan of the day lies among the answers


def opening_questions(
    desk: Desk, trip: Trip, answers: Mapping[str, Answered], judged: JudgedDay | None
) -> list[Question]:
    """Return the questions about zone and clocks; those about clocks follow an answer about the zone.

    Once the day is planned, nothing of it is judged any more, and only those that were answered are left.
    """
    zone = _zone_questions(desk, trip, answers)
    if any(question.key not in answers for question in zone):
        return zone
    if judged is None:
        clocks = [_answered_clock(key, said) for key, said in answers.items() if key.startswith(CLOCK)]
    else:
        clocks = _clock_questions(desk, judged)
    return [*zone, *clocks]


def _zone_questions(desk: Desk, trip: Trip, answers: Mapping[str, Answered]) -> list[Question]:
    """Ask for the zone of a trip that has none; without one no clock can be judged."""
    if ZONE in answers:
        said = answers[ZONE]
        return [Question(ZONE, Asks.ZONE, CHAPTER, ZONE_ASKED, said.text, said.word, hint=ZONE_HINT)]
    if trip.zone is not None:
        return []
    account = account_in(desk, trip)
    found = zone_found(desk, account)
    told = found or zone_of_files(account)
    return [
        Question(
            ZONE,
            Asks.ZONE,
            CHAPTER,
            ZONE_ASKED,
            found.name if found else "",
            Provenance.INFERRED if found else None,
            (told.reason,) if told else ("without one, times at two places cannot be compared",),
            hint=ZONE_HINT,
        )
    ]


def _clock_questions(desk: Desk, judged: JudgedDay) -> list[Question]:
    account, day = judged
    if account.trip.zone is None:
        return []
    return [_clock_question(one) for one in clocks_of(desk, account, day) if one.holds_for(day.keepers)]


def _answered_clock(key: str, said: Answered) -> Question:
    name = key.removeprefix(CLOCK)
    asked = f"{name}: add to its time"
    return Question(key, Asks.CLOCK, CHAPTER, asked, said.text, said.word, about=name, hint=CLOCK_HINT)


def _clock_question(one: ClockProposal) -> Question:
    kind = one.clock.kind
    source = f"{kind}: {one.clock.evidence[0].source}" if kind else "nothing confirms it"
    default = "" if one.offset_s is None else f"{one.offset_s:+d} s"
    why = (f"{source}; zone {one.zone or 'unknown'}", *one.doubts)
    words = {EvidenceKind.STATED: Provenance.STATED, EvidenceKind.ASSUMED: Provenance.ASSUMED}
    came_from = words.get(kind, Provenance.INFERRED) if kind else None
    return Question(
        f"{CLOCK}{clock_name(one.clock)}",
        Asks.CLOCK,
        CHAPTER,
        f"{one.clock.body}{f' ({one.frames})' if one.frames else ''}: add to its time",
        default,
        came_from if default else None,
        why,
        about=clock_name(one.clock),
        hint=CLOCK_HINT,
    )
