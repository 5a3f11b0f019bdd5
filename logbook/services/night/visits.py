"""What an answer about a visit, or about the keepers of one, does to the book.

One surprising decision: a visit enters the book with its first answer, under an id made when it was planned.
"""

from collections.abc import Iterator, Mapping
from typing import Any, cast

from logbook.domain.errors import ConflictError
from logbook.domain.keeper import Keeper
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, Provenance, VisitPurpose
from logbook.domain.written.choices import crowds_written, sharpness_written, support_written, yes_written
from logbook.domain.written.filters import stack_written
from logbook.domain.written.moments import span_written
from logbook.services import kinds
from logbook.services.night.evening import Evening, Given, put, replace_conditions, said
from logbook.services.night.places import entered, forget
from logbook.services.night.plan import PlannedVisit
from logbook.services.night.questions import AT, Question
from logbook.services.night.reading import a_tries_count
from logbook.services.records import find, put_new
from logbook.services.visits import change


def say_viewpoint(evening: Evening, question: Question, given: Given | None) -> None:
    """Say where a visit was; its keepers were made there. A new viewpoint waits for a yes."""
    if given is None:
        _leave_viewpoint(evening, _planned(evening, question.about))
    elif given.text and AT not in given.text:
        viewpoint = find(evening.desk, kinds.VIEWPOINT, given.text)
        _be_at(evening, question.about, viewpoint.id, given.word)


def say_new_viewpoint(evening: Evening, question: Question, given: Given | None) -> None:
    """Enter the viewpoint that was named for a visit, or leave the visit without one."""
    visit_id, _, named = question.about.partition(",")
    if given is not None and yes_written(given.text):
        _be_at(evening, visit_id, entered(evening, visit_id, named).id, Provenance.STATED)
    else:
        _leave_viewpoint(evening, _planned(evening, visit_id))


def _be_at(evening: Evening, visit_id: str, viewpoint_id: str, word: Provenance) -> None:
    before = evening.desk.visits.get(visit_id)
    _visit_record(evening, visit_id, viewpoint_id, word)
    for keeper in _keepers_of(evening, _planned(evening, visit_id)):
        after = said(keeper, evening.now, word, {"viewpoint_id": viewpoint_id})
        put(evening.desk.keepers, keeper, after)
    if before is not None and before.viewpoint_id != viewpoint_id:
        forget(evening, visit_id, before.viewpoint_id)


def _planned(evening: Evening, visit_id: str) -> PlannedVisit:
    planned = evening.visits.get(visit_id)
    if planned is None:
        raise ConflictError("This day was planned anew in another window; the questions follow it now.")
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
    evening.desk.visits.remove([visit.id])
    for keeper in _keepers_of(evening, planned):
        if keeper.viewpoint_id == visit.viewpoint_id:
            after = said(keeper, evening.now, Provenance.STATED, {"viewpoint_id": None})
            put(evening.desk.keepers, keeper, after)
    forget(evening, planned.id, visit.viewpoint_id)


def _visit_record(
    evening: Evening,
    visit_id: str,
    viewpoint_id: str | None = None,
    word: Provenance = Provenance.INFERRED,
) -> Visit | None:
    """Return the visit's record, made on first use; None where its viewpoint is not known."""
    visit = evening.desk.visits.get(visit_id)
    planned = _planned(evening, visit_id)
    if visit is None:
        if viewpoint_id is None and planned.viewpoint is not None:
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
    elif viewpoint_id is not None and visit.viewpoint_id != viewpoint_id:
        visit = cast(Visit, said(visit, evening.now, word, {"viewpoint_id": viewpoint_id}))
        evening.desk.visits.put(visit)
    return visit


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
) -> None:
    visit = _visit_record(evening, question.about)
    if visit is None:
        return
    word = given.word if given else Provenance.STATED
    after = cast(Visit, said(visit, evening.now, word, changes))
    if after != visit:
        change(evening.desk, visit, after, evening.now)


def say_times(evening: Evening, question: Question, given: Given | None) -> None:
    """Say when one arrived and left."""
    if given is not None and not given.text:
        _visit_record(evening, question.about)
        return
    names = ("arrived_at", "departed_at")
    changes = dict(zip(names, span_written(given.text) if given else (None, None), strict=True))
    if given is not None:  # an end that was not typed is not unsaid by that
        changes = {name: at for name, at in changes.items() if at is not None}
    _change_visit(evening, question, given, changes)


def say_crowd(evening: Evening, question: Question, given: Given | None) -> None:
    """Say how many people stood there: once, twice or three times."""
    visit = _visit_record(evening, question.about)
    if visit is None or (given is not None and not given.text):
        return
    here: dict[str, Any] = {"kind": ConditionKind.CROWD, "viewpoint_id": visit.viewpoint_id}
    if given is None:
        wanted = [{**here, "note": "unknown"}]
    else:
        words = crowds_written(given.text)
        leaving = [visit.departed_at] if len(words) > 1 else []
        moments = [visit.arrived_at, *([None] if len(words) == 3 else []), *leaving]
        said_at = zip(words, moments, strict=True)
        wanted = [
            {**here, "level": said.level, "at": at, "note": said.note or None}
            for said, at in said_at
            if said.level is not None or said.note
        ]
    replace_conditions(evening, f"crowd {visit.id}", wanted)


def say_support(evening: Evening, question: Question, given: Given | None) -> None:
    """Say what held the camera during a visit."""
    if given is not None and not given.text:
        return
    support = support_written(given.text) if given else None
    _change_visit(evening, question, given, {"support": support})
    word = given.word if given else Provenance.STATED
    for keeper in _keepers_of(evening, _planned(evening, question.about)):
        put(evening.desk.keepers, keeper, said(keeper, evening.now, word, {"support": support}))


def say_tries(evening: Evening, question: Question, given: Given | None) -> None:
    """Say how often one tried."""
    if given is None or given.text:
        _change_visit(evening, question, given, {"tries": a_tries_count(given.text) if given else None})


def say_in_the_way(evening: Evening, question: Question, given: Given | None) -> None:
    """Say what was in the way, in the journal of the visit."""
    if given is not None and given.text:
        visit = _visit_record(evening, question.about)
        line = f"In the way: {given.text}"
        if visit is not None and line not in (visit.journal or ""):
            lines = [one for one in (visit.journal or "").splitlines() if not one.startswith("In the way: ")]
            _change_visit(evening, question, given, {"journal": "\n".join([*lines, line]).strip()})


def _change_keepers(
    evening: Evening, question: Question, given: Given | None, changes: Mapping[str, Any]
) -> None:
    word = given.word if given else Provenance.STATED
    for keeper_id in question.about.split(","):
        keeper = evening.desk.keepers.get(keeper_id)
        if keeper is not None:
            put(evening.desk.keepers, keeper, said(keeper, evening.now, word, changes))


def say_filters(evening: Evening, question: Question, given: Given | None) -> None:
    """Say what was before the lens."""
    if given is None or given.text:
        stack = stack_written(given.text) if given else None
        _change_keepers(evening, question, given, {"filters": stack})


def say_shot(evening: Evening, question: Question, given: Given | None) -> None:
    """Say which planned shot some keepers serve."""
    if given is not None and not given.text:
        return
    shot_id = None
    if given is not None and given.text != "none":
        shot_id = find(evening.desk, kinds.SHOT, given.text, trip_id=evening.trip.id).id
    _change_keepers(evening, question, given, {"shot_id": shot_id})


def say_sharpness(evening: Evening, question: Question, given: Given | None) -> None:
    """Judge some keepers."""
    if given is None or given.text:
        _change_keepers(
            evening, question, given, {"sharpness": sharpness_written(given.text) if given else None}
        )
