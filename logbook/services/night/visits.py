"""What an answer about a visit, or about the keepers of one, does to the book.

One surprising decision: a visit enters the book with its first answer, under an id made when it was planned.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, time
from typing import Any, cast

from logbook.domain.condition import Condition
from logbook.domain.condition_kinds.crowd import CROWD
from logbook.domain.errors import ConflictError, InvalidValueError
from logbook.domain.keeper import Keeper
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, Crowd, Provenance, VisitPurpose
from logbook.domain.written.choices import (
    MOST_CROWDS,
    crowds_written,
    says_nothing,
    sharpness_written,
    support_written,
    written_crowds,
    yes_written,
)
from logbook.domain.written.counts import count_written
from logbook.domain.written.moments import clock_text, span_written
from logbook.domain.written.understanding import understood
from logbook.services import kinds
from logbook.services.night.evening import (
    Evening,
    Given,
    Understood,
    made_id,
    put,
    replace_conditions,
    said,
    told,
)
from logbook.services.night.places import entered, forget, place_meant
from logbook.services.night.planned import PlannedVisit
from logbook.services.night.questions import Question
from logbook.services.places.viewpoints import AT
from logbook.services.records import find, put_new, take_out
from logbook.services.visits.visits import change
from logbook.store.desk import Desk

IN_THE_WAY = "In the way: "  # begins the line of a visit's journal
NOTHING_NOTED = "Nothing is noted."


def say_viewpoint(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say where a visit was; its keepers were made there. A new viewpoint waits for a yes."""
    if given is None:
        _leave_viewpoint(evening, planned_visit(evening, question.about))
        return Understood()
    meant = place_meant(evening, question, given.text) if given.text else ""
    if meant and AT not in meant:
        viewpoint = find(evening.desk, kinds.VIEWPOINT, meant)
        _be_at(evening, question.about, viewpoint.id, given.word)
        return replace(told(understood(given.text, meant)), answer=meant)
    return Understood(answer=meant)


def say_new_viewpoint(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Enter the viewpoint that was named for a visit, or leave the visit without one."""
    visit_id, _, named = question.about.partition(",")
    if given is not None and yes_written(given.text):
        _be_at(evening, visit_id, entered(evening, visit_id, named).id, Provenance.STATED)
    else:
        _leave_viewpoint(evening, planned_visit(evening, visit_id))
    return Understood()


def _be_at(evening: Evening, visit_id: str, viewpoint_id: str, word: Provenance) -> None:
    before = evening.desk.visits.get(visit_id)
    visit_record(evening, visit_id, viewpoint_id, word)
    for keeper in _keepers_of(evening, planned_visit(evening, visit_id)):
        after = said(keeper, evening.now, word, {"viewpoint_id": viewpoint_id})
        put(evening.desk.keepers, keeper, after)
    if before is not None and before.viewpoint_id != viewpoint_id:
        forget(evening, visit_id, before.viewpoint_id)


def planned_visit(evening: Evening, visit_id: str) -> PlannedVisit:
    """Return a visit of the plan; ConflictError where the day was planned again meanwhile."""
    planned = evening.visits.get(visit_id)
    if planned is None:
        raise ConflictError("This day was worked out again in another window, so its questions have changed.")
    return planned


def _keepers_of(evening: Evening, planned: PlannedVisit) -> Iterator[Keeper]:
    for keeper_id in (one for group in planned.groups for one in group.keeper_ids):
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None:
            yield keeper


def _leave_viewpoint(evening: Evening, planned: PlannedVisit) -> None:
    """Nobody knows where it was after all: the visit that an earlier answer made is taken back."""
    visit = evening.desk.visits.get(planned.id)
    if visit is None:
        return
    take_out(evening.desk, kinds.VISIT, visit.id)
    for keeper in _keepers_of(evening, planned):
        if keeper.viewpoint_id == visit.viewpoint_id:
            after = said(keeper, evening.now, Provenance.STATED, {"viewpoint_id": None})
            put(evening.desk.keepers, keeper, after)
    forget(evening, planned.id, visit.viewpoint_id)


def visit_record(
    evening: Evening,
    visit_id: str,
    viewpoint_id: str | None = None,
    word: Provenance = Provenance.INFERRED,
) -> Visit | None:
    """Return the visit's record, made on first use; None where its viewpoint is not known."""
    visit = evening.desk.visits.get(visit_id)
    planned = planned_visit(evening, visit_id)
    if visit is None:
        if viewpoint_id is None and planned.viewpoint is not None and not _is_left(evening, planned):
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
    elif viewpoint_id is not None:
        before, visit = visit, cast(Visit, said(visit, evening.now, word, {"viewpoint_id": viewpoint_id}))
        put(evening.desk.visits, before, visit)
    return visit


def visit_there(evening: Evening, visit_id: str) -> Visit | None:
    """Return the record of a visit; until somebody answers where it was, plans alone may say so."""
    planned = planned_visit(evening, visit_id)
    is_asked = f"{planned.key}.viewpoint" in evening.previous
    is_guessed = planned.viewpoint is None and planned.guess is not None
    if is_guessed and not is_asked and evening.desk.visits.get(visit_id) is None:
        there = find(evening.desk, kinds.VIEWPOINT, planned.guess or "")
        _be_at(evening, visit_id, there.id, Provenance.INFERRED)
    return visit_record(evening, visit_id)


def _is_left(evening: Evening, planned: PlannedVisit) -> bool:
    """Whether somebody said that nobody knows where a visit was."""
    said_of_it = evening.previous.get(f"{planned.key}.viewpoint")
    return said_of_it is not None and said_of_it.word is None


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
    for keeper in _keepers_of(evening, planned):
        if keeper.viewpoint_id is None:
            after = said(keeper, evening.now, Provenance.INFERRED, {"viewpoint_id": viewpoint_id})
            put(evening.desk.keepers, keeper, after)


def _change_visit(
    evening: Evening, question: Question, given: Given | None, changes: Mapping[str, Any]
) -> list[str]:
    """Change a visit by an answer; return what else changed with it, in sentences."""
    visit = visit_there(evening, question.about)
    if visit is None:
        return []
    word = given.word if given else Provenance.STATED
    after = cast(Visit, said(visit, evening.now, word, changes))
    return change(evening.desk, visit, after, evening.now)[1] if after != visit else []


def say_times(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say when one arrived and left."""
    if given is not None and not given.text:
        visit_there(evening, question.about)
        return Understood()
    arrived, departed = span_written(given.text) if given else (None, None)
    changes = {"arrived_at": arrived, "departed_at": departed}
    if given is not None:  # an end that was not typed is not unsaid by that
        changes = {name: at for name, at in changes.items() if at is not None}
    followed = _change_visit(evening, question, given, changes)
    if given is None:
        return told(*followed)
    span = "-".join(clock_text(at) if at else "" for at in (arrived, departed))
    return told(understood(given.text, span.removesuffix("-")), *followed)


def say_crowd(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say how many people stood there: on arrival and leaving, or once for the whole stay, at no time."""
    visit = visit_there(evening, question.about)
    if visit is None or (given is not None and not given.text):
        return Understood()
    here: dict[str, Any] = {
        "kind": ConditionKind.CROWD,
        "viewpoint_id": visit.viewpoint_id,
        "visit_id": visit.id,
    }
    name = f"crowd {visit.id}"
    if given is None:
        replace_conditions(evening, name, [{**here, "note": "unknown"}])
        return Understood()
    crowds = crowds_written(given.text)
    if len(crowds) == 1:
        _refuse_other_crowd(evening, visit.id, crowds[0].level)
    planned = planned_visit(evening, visit.id)
    arrived, departed = (
        known or (time.fromisoformat(proposed) if proposed else None)  # proposed times may not be taken yet
        for known, proposed in ((visit.arrived_at, planned.arrived), (visit.departed_at, planned.departed))
    )
    between = [None] if len(crowds) == MOST_CROWDS else []
    moments = [None] if len(crowds) == 1 else [arrived, *between, departed]
    wanted = [
        {**here, "level": crowd.level, "note": crowd.note or None, "at": at}
        for crowd, at in zip(crowds, moments, strict=True)
        if crowd.level is not None or crowd.note
    ]
    replace_conditions(evening, name, wanted)
    kept = written_crowds(crowds)
    differs = understood(given.text.replace(",", " "), kept.replace(",", " "))
    return told(differs and understood(given.text, kept))


def crowds_at_times(desk: Desk, trip_id: str, on_date: date, visit_id: str) -> list[Condition]:
    """Return the crowds that were noted at a visit with a time, elsewhere than at the question about them."""
    own = {made_id(trip_id, on_date, f"crowd {visit_id} {number}") for number in range(1, MOST_CROWDS + 1)}
    there = desk.conditions.all(visit_id=visit_id, kind=ConditionKind.CROWD)
    return [one for one in there if one.at is not None and one.level is not None and one.id not in own]


def _refuse_other_crowd(evening: Evening, visit_id: str, level: str | None) -> None:
    """Refuse one crowd for a whole stay where another was noted at a time of it."""
    timed = crowds_at_times(evening.desk, evening.trip.id, evening.on_date, visit_id)
    other = next((one for one in timed if level is not None and one.level != level), None)
    if other is not None and other.at is not None:
        at = clock_text(other.at)
        raise InvalidValueError(
            f'"crowd: {other.level} at {at}" is noted for this stay, so one word cannot cover all of it; '
            f'change that line instead, such as "crowd: {level} at {at}".'
        )


def say_support(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what held the camera during a visit."""
    if given is not None and not given.text:
        return Understood()
    support = support_written(given.text) if given else None
    visit = evening.desk.visits.get(question.about)
    word = given.word if given else Provenance.STATED
    if (
        visit is not None
        and support is not None
        and visit.support is support
        and visit.provenance_of("support") is Provenance.STATED
    ):
        word = Provenance.ASSUMED  # nothing new of the visit: what was said of single pictures stands
    _change_visit(evening, question, given, {"support": support})
    for keeper in _keepers_of(evening, planned_visit(evening, question.about)):
        put(evening.desk.keepers, keeper, said(keeper, evening.now, word, {"support": support}))
    return told(understood(given.text, str(support)) if given else None)


def say_tries(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say how often one tried."""
    if given is not None and not given.text:
        return Understood()
    count = count_written(given.text) if given else None
    if given is not None and count is None:
        raise InvalidValueError(f'"{given.text}" is not a number of tries; write a plain number.')
    _change_visit(evening, question, given, {"tries": count})
    return told(understood(given.text, str(count)) if given else None)


def say_in_the_way(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what was in the way, in the journal of the visit."""
    if given is None or not given.text:
        return Understood()
    visit = visit_there(evening, question.about)
    if visit is None:
        return Understood()
    lines = [one for one in (visit.journal or "").splitlines() if not one.startswith(IN_THE_WAY)]
    nobody = CROWD.words.get(given.text.strip(" .!").casefold()) == Crowd.NONE
    is_nothing = nobody or says_nothing(given.text)
    if not is_nothing:
        lines.append(f"{IN_THE_WAY}{given.text}")
    journal = "\n".join(lines).strip() or None
    if journal != visit.journal:
        _change_visit(evening, question, given, {"journal": journal})
    return told(NOTHING_NOTED if is_nothing else None)


def say_sharpness(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Judge some keepers."""
    if given is not None and not given.text:
        return Understood()
    sharpness = sharpness_written(given.text) if given else None
    change_keepers(evening, question.about.split(","), given, {"sharpness": sharpness})
    return told(understood(given.text, str(sharpness)) if given else None)


def say_shot(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say which planned shot some keepers serve."""
    if given is not None and not given.text:
        return Understood()
    shot_id = slug = None
    if given is not None and not is_no(given.text):
        shot = find(evening.desk, kinds.SHOT, given.text, trip_id=evening.trip.id)
        shot_id, slug = shot.id, shot.slug
    change_keepers(evening, question.about.split(","), given, {"shot_id": shot_id})
    return told(understood(given.text, slug or "none") if given else None)


def is_no(text: str) -> bool:
    """Whether a text says that frames serve no shot."""
    try:
        return not yes_written(text)
    except InvalidValueError:
        return text.strip().casefold() == "none"


def change_keepers(
    evening: Evening, keeper_ids: Iterable[str], given: Given | None, changes: Mapping[str, Any]
) -> None:
    """Change keepers by an answer; unknown is something that a person states."""
    word = given.word if given else Provenance.STATED
    for keeper_id in keeper_ids:
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None:
            put(evening.desk.keepers, keeper, said(keeper, evening.now, word, changes))
