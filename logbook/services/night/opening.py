"""What is asked before a day can be planned: the zone of a trip that has none, and clocks that are in doubt.

One surprising decision: once the day is planned, its clocks are asked about no more, unless somebody goes
back to them; a clock put right later plans the day anew.
"""

from collections.abc import Mapping
from datetime import date, datetime

from logbook.craft.clock_facts import EvidenceKind
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.accounts import account_in
from logbook.services.clocks.proposed import ClockProposal, clocks_in
from logbook.services.clocks.zones import in_its_zone, zone_found, zone_of_files
from logbook.services.night.questions import Asks, Question, clock_name
from logbook.store.desk import Desk

CLOCK = "clock."  # what the keys of questions about clocks begin with
ZONE = "zone"  # the key of the question about the zone of a trip that has none
PLAN = "plan"  # the key under which the plan of the day lies among the answers


def opening_questions(
    desk: Desk, trip: Trip, on_date: date, answers: Mapping[str, str], now: datetime
) -> list[Question]:
    """Return the questions about zone and clocks; those about clocks follow an answer about the zone."""
    zone = _zone_questions(desk, trip, answers)
    if any(question.key not in answers for question in zone):
        return zone
    return [*zone, *_clock_questions(desk, trip, on_date, answers, now)]


def _zone_questions(desk: Desk, trip: Trip, answers: Mapping[str, str]) -> list[Question]:
    """Ask for the zone of a trip that has none; without one no clock can be judged."""
    if trip.zone is not None and not {ZONE, f"was:{ZONE}"} & answers.keys():
        return []
    if ZONE in answers:
        return [Question(ZONE, Asks.ZONE, "", "")]
    account = account_in(desk, trip)
    found = zone_found(desk, account)
    told = found or zone_of_files(account)
    return [
        Question(
            ZONE,
            Asks.ZONE,
            "Clocks and zone",
            "The time zone of this trip",
            found.name if found else "",
            Provenance.INFERRED if found else None,
            (told.reason,) if told else ("without one, times of two places cannot be compared",),
            hint="a zone is written like Europe/Lisbon",
        )
    ]


def _clock_questions(
    desk: Desk, trip: Trip, on_date: date, answers: Mapping[str, str], now: datetime
) -> list[Question]:
    answered = [key for key in answers if key.startswith(CLOCK)]
    if PLAN in answers and not any(key.startswith(f"was:{CLOCK}") for key in answers):
        return [Question(key, Asks.CLOCK, "", "", about=key.removeprefix(CLOCK)) for key in answered]
    account = in_its_zone(desk, account_in(desk, trip))
    if account.trip.zone is None:
        return []
    keepers, clocks = clocks_in(desk, account, on_date, now)
    return [_clock_question(one) for one in clocks if one.holds_for(keepers)]


def _clock_question(one: ClockProposal) -> Question:
    kind = one.clock.kind
    source = f"by {kind}: {one.clock.evidence[0].source}" if kind else "nothing confirms it"
    default = "" if one.offset_s is None else f"{one.offset_s:+d} s"
    why = (f"{source}; zone {one.zone or 'unknown'}", *one.doubts)
    words = {EvidenceKind.STATED: Provenance.STATED, EvidenceKind.ASSUMED: Provenance.ASSUMED}
    came_from = words.get(kind, Provenance.INFERRED) if kind else None
    return Question(
        f"{CLOCK}{clock_name(one.clock)}",
        Asks.CLOCK,
        "Clocks and zone",
        f"{one.clock.body}{f' ({one.frames})' if one.frames else ''}: add to its time",
        default,
        came_from if default else None,
        why,
        about=clock_name(one.clock),
        hint="such as 7 min slow, 1 h 3 min fast, right, or the seconds to add: +420",
    )
