"""What the book says now of what a question is about, whoever said it and wherever.

One surprising decision: a card shows the record and not the answer, so that what was noted in another window,
by a day file or on the command line stands there too, with where it comes from.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from logbook.domain.keeper import Keeper
from logbook.domain.record import Record
from logbook.domain.shot import Outcome
from logbook.domain.words import ConditionKind, OutcomeWord, Provenance
from logbook.domain.written.choices import written_crowds
from logbook.domain.written.conditions import written_condition
from logbook.domain.written.filters import stack_words
from logbook.domain.written.moments import clock_text
from logbook.services.conditions import condition_entry
from logbook.services.night.questions import Asks, Question
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class StandingValue:
    """A value as text, and where it came from."""

    text: str
    word: Provenance


_Look = Callable[[Desk, str, Question], StandingValue | None]  # in a book, of a trip by its id


def standing(desk: Desk, trip_id: str, question: Question) -> StandingValue | None:
    """Return what the book says of what a question is about; None where it says nothing or several things."""
    look = _LOOKS.get(question.asks)
    return look(desk, trip_id, question) if look else None


def _of_visit(*names: str, written: Callable[[Any], str] = str) -> _Look:
    def look(desk: Desk, _trip_id: str, question: Question) -> StandingValue | None:
        visit = desk.visits.get(question.about)
        if visit is None or all(getattr(visit, name) is None for name in names):
            return None
        values = [getattr(visit, name) for name in names]
        text = "-".join("" if one is None else written(one) for one in values).removesuffix("-")
        return StandingValue(text, _least([visit], names))

    return look


def _of_keepers(name: str, written: Callable[[Any], str] = str) -> _Look:
    def look(desk: Desk, _trip_id: str, question: Question) -> StandingValue | None:
        return common(keepers_about(desk, question), name, written)

    return look


def common(keepers: Sequence[Keeper], name: str, written: Callable[[Any], str] = str) -> StandingValue | None:
    """Return the value that all of some keepers have, with the least certain of its origins."""
    values = {getattr(one, name) for one in keepers}
    if len(values) != 1 or None in values:
        return None
    return StandingValue(written(values.pop()), _least(keepers, (name,)))


def keepers_about(desk: Desk, question: Question) -> tuple[Keeper, ...]:
    """Return the keepers that a question about frames is about."""
    ids = question.about.partition(";")[0].split(",")
    return tuple(one for one in (desk.keepers.get(keeper_id) for keeper_id in ids) if one is not None)


def _least(records: Sequence[Record], names: Sequence[str]) -> Provenance:
    """Return the origin that is furthest from a person's word: what is inferred, assumed, then stated."""
    found = {record.provenance_of(name) for record in records for name in names}
    order = (Provenance.INFERRED, Provenance.ASSUMED, Provenance.CAMERA, Provenance.STATED)
    return next((word for word in order if word in found), Provenance.STATED)


def _viewpoint(desk: Desk, _trip_id: str, question: Question) -> StandingValue | None:
    visit = desk.visits.get(question.about)
    there = desk.viewpoints.get(visit.viewpoint_id) if visit else None
    return StandingValue(there.slug, _least([visit], ("viewpoint_id",))) if visit and there else None


def _crowd(desk: Desk, _trip_id: str, question: Question) -> StandingValue | None:
    of_visit = desk.conditions.all(visit_id=question.about) if desk.visits.get(question.about) else []
    crowds = [one for one in of_visit if one.kind is ConditionKind.CROWD]
    text = written_crowds(crowds)
    return StandingValue(text, _least(crowds, ("level",))) if crowds else None


def _conditions(desk: Desk, _trip_id: str, question: Question) -> StandingValue | None:
    """What was observed during a stay, but for the crowd, which has a question of its own."""
    seen = desk.conditions.all(visit_id=question.about) if desk.visits.get(question.about) else []
    others = [one for one in seen if one.kind is not ConditionKind.CROWD]
    text = "; ".join(written_condition(condition_entry(one)) for one in others)
    return StandingValue(text, _least(others, ("level",))) if others else None


def _shot(desk: Desk, _trip_id: str, question: Question) -> StandingValue | None:
    found = common(keepers_about(desk, question), "shot_id")
    shot = desk.shots.get(found.text) if found else None
    return StandingValue(shot.slug, found.word) if found and shot else None


def _outcome(desk: Desk, trip_id: str, question: Question) -> StandingValue | None:
    shot = desk.shots.first(slug=question.about, trip_id=trip_id)
    outcome = desk.outcomes.first(shot_id=shot.id) if shot else None
    if outcome is None or outcome.word is OutcomeWord.OPEN:
        return None
    instead = replaced_by(desk, outcome)
    became = f"{outcome.word} by {instead}" if instead else str(outcome.word)
    text = ", ".join([became, *map(str, outcome.reasons), *filter(None, [outcome.note])])
    return StandingValue(text, _least([outcome], ("word",)))


def replaced_by(desk: Desk, outcome: Outcome) -> str:
    """Return the slug of the shot, or the file of the picture, that stands in place of a shot, or ""."""
    shot = desk.shots.get(outcome.replaced_by_shot_id or "")
    keeper = desk.keepers.get(outcome.replaced_by_keeper_id or "")
    return shot.slug if shot else keeper.file if keeper else ""


_LOOKS: dict[Asks, _Look] = {
    Asks.VIEWPOINT: _viewpoint,
    Asks.TIMES: _of_visit("arrived_at", "departed_at", written=clock_text),
    Asks.CROWD: _crowd,
    Asks.CONDITIONS: _conditions,
    Asks.SUPPORT: _of_visit("support"),
    Asks.TRIES: _of_visit("tries"),
    Asks.FILTERS: _of_keepers("filters", stack_words),
    Asks.CHANGED: _of_keepers("filters", stack_words),
    Asks.SHOT: _shot,
    Asks.SHARPNESS: _of_keepers("sharpness"),
    Asks.OUTCOME: _outcome,
}
