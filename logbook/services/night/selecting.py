"""What a person says of pictures picked out of an evening, whichever groups and stays they are of.

One surprising decision: where the pictures are all that a question is about, it is that question's answer, so
that nobody is asked it again; of the others only the pictures are changed.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any

from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance
from logbook.domain.written.choices import is_unknown, sharpness_written, support_written
from logbook.domain.written.filters import stack_written
from logbook.services import kinds
from logbook.services.night.evening import put, said
from logbook.services.night.planned import NightPlan, PlannedGroup
from logbook.services.night.questions import Asks, Question
from logbook.services.night.session import Night, SessionStand
from logbook.services.night.visits import is_no
from logbook.services.records import find
from logbook.store.desk import Desk

_READ: Mapping[Asks, tuple[str, Callable[[str], Any]]] = {  # the field of a keeper, and how it is read
    Asks.FILTERS: ("filters", stack_written),
    Asks.SUPPORT: ("support", support_written),
    Asks.SHARPNESS: ("sharpness", sharpness_written),
}


def say_of_pictures(night: Night, keeper_ids: Collection[str], asks: Asks, line: str) -> tuple[str, ...]:
    """State filters, support, sharpness or the shot served of some pictures; `?` is unknown.

    Returns what the line was taken for, in sentences, where that differs. Raises WrongUseError where nothing
    is picked, and InvalidValueError for a line that cannot be understood.
    """
    if not keeper_ids:
        raise WrongUseError("Tick the pictures first; nothing was changed.")
    chosen = set(keeper_ids)
    with night.book.reading() as desk:
        change = _change(desk, night, asks, line)
        stand = night.stand(desk)
    whole = [one for one in stand.questions if one.asks is asks and set() < _ids(stand, one) <= chosen]
    told = [sentence for one in whole for sentence in night.say(one.key, line)]
    rest = chosen.difference(*(_ids(stand, one) for one in whole))
    with night.book.writing() as desk:
        for keeper in filter(None, map(desk.keepers.get, rest)):
            put(desk.keepers, keeper, said(keeper, night.book.now(), Provenance.STATED, change))
    return tuple(dict.fromkeys(told))


def bare_ids(keepers: Collection[Keeper], plan: NightPlan) -> tuple[str, ...]:
    """Return the pictures of whose filters nobody knows anything and nothing suggests one, by id."""
    proposed = {one for group in _groups(plan) if group.explanations for one in group.keeper_ids}
    doubted = {one for group in _groups(plan) for one in group.doubts}
    return tuple(one.id for one in keepers if one.filters is None and one.id not in proposed | doubted)


def hardly_bare(keepers: Collection[Keeper], plan: NightPlan) -> tuple[str, ...]:
    """Return the pictures with no filter noted that can hardly have been made without one, by id."""
    doubted = {one for group in _groups(plan) if not group.explanations for one in group.doubts}
    return tuple(one.id for one in keepers if one.filters is None and one.id in doubted)


def _groups(plan: NightPlan) -> Iterator[PlannedGroup]:
    for visit in plan.visits:
        yield from visit.groups
    yield from plan.others


def _change(desk: Desk, night: Night, asks: Asks, line: str) -> dict[str, Any]:
    """The fields that a line gives a keeper."""
    unknown = is_unknown(line) or line.strip() == "?"
    if asks is Asks.SHOT:
        is_none = unknown or is_no(line)
        return {"shot_id": None if is_none else find(desk, kinds.SHOT, line, trip_id=night.trip.id).id}
    if asks not in _READ:
        raise InvalidValueError(f"{asks} cannot be noted for pictures.")
    name, read = _READ[asks]
    return {name: None if unknown else read(line)}


def _ids(stand: SessionStand, question: Question) -> set[str]:
    """The pictures that a question is about; those of a whole stay where it asks about the stay."""
    if question.asks is not Asks.SUPPORT:
        return set(question.about.partition(";")[0].split(","))
    visits = stand.plan.visits if stand.plan else ()
    return {
        one
        for visit in visits
        if visit.id == question.about
        for group in visit.groups
        for one in group.keeper_ids
    }
