"""A whole evening at once: its stays with their pictures, its plans, and every question where it belongs.

One surprising decision: it is made of the questions that the terminal asks one by one, so that both faces of
an evening say the same and write the same; only the order is the reader's own.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from logbook.domain.keeper import Keeper, in_order
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.night.frame_questions import key_of_group
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.night.questions import UNSURE, Answered, Asks, Question
from logbook.services.night.session import STATED_TOGETHER, Night
from logbook.services.night.standing import standing
from logbook.store.desk import Desk

AT_FIRST = frozenset((Asks.ZONE, Asks.CLOCK))  # what is asked before a day can be planned
OF_A_PLAN = frozenset((Asks.OUTCOME, Asks.WHY))
OF_THE_DAY = frozenset((Asks.CHANGES, Asks.KEEP, Asks.CHANGE, Asks.JOURNAL, Asks.SHOWN))


@dataclass(frozen=True, slots=True)
class EveningItem:
    """A question, what stands in the book, and where that came from; `is_open` until somebody answered.

    `is_unknown`: somebody said that nobody knows.
    """

    question: Question
    value: str
    word: Provenance | None
    is_open: bool
    is_unknown: bool

    @property
    def is_proposed(self) -> bool:
        """Whether something is proposed, or stands there without anybody's word."""
        return bool(self.question.default) if self.is_open else self.word not in (None, Provenance.STATED)


@dataclass(frozen=True, slots=True)
class GroupCard:
    """Keepers that are asked about together, in their order, and what is asked of them."""

    keepers: tuple[Keeper, ...]
    items: tuple[EveningItem, ...]


@dataclass(frozen=True, slots=True)
class StayCard:
    """One stay: its number in the day, where and when, what is asked of it, and its keepers in groups.

    `visit` is None for keepers at no known place.
    """

    number: int
    visit: PlannedVisit | None
    place: str
    items: tuple[EveningItem, ...]
    groups: tuple[GroupCard, ...]

    @property
    def keepers(self) -> tuple[Keeper, ...]:
        """All its pictures."""
        return tuple(one for group in self.groups for one in group.keepers)


@dataclass(frozen=True, slots=True)
class PlanCard:
    """A shot that was planned for the day, what became of it, and the keepers that serve it."""

    shot: Shot
    planned: str
    keepers: tuple[Keeper, ...]
    items: tuple[EveningItem, ...]


@dataclass(frozen=True, slots=True)
class WholeEvening:
    """One day of one trip as it can be written down; without a plan while its zone is unknown."""

    trip: Trip
    on_date: date
    opening: tuple[EveningItem, ...]
    stays: tuple[StayCard, ...]
    plans: tuple[PlanCard, ...]
    of_day: tuple[EveningItem, ...]
    plan: NightPlan | None

    @property
    def items(self) -> Iterator[EveningItem]:
        """All that is asked."""
        yield from self.opening
        for stay in self.stays:
            yield from stay.items
            for group in stay.groups:
                yield from group.items
        for plan in self.plans:
            yield from plan.items
        yield from self.of_day

    @property
    def to_state(self) -> int:
        """How many values stand proposed, assumed or inferred that one word would state."""
        return sum(one.is_proposed for one in self.items if one.question.asks in STATED_TOGETHER)


def whole_evening(night: Night) -> WholeEvening:
    """Return the whole evening; nothing is kept by looking."""
    with night.book.reading() as desk:
        stand = night.stand(desk)
        items = [_item(desk, stand.trip.id, one, stand.answers.get(one.key)) for one in stand.questions]
        plan = stand.plan
        return WholeEvening(
            stand.trip,
            night.on_date,
            tuple(one for one in items if one.question.asks in AT_FIRST and _is_doubtful(one)),
            tuple(_stays(desk, plan, items)) if plan else (),
            tuple(_plans(desk, stand.trip, plan, items)) if plan else (),
            tuple(one for one in items if one.question.asks in OF_THE_DAY),
            plan,
        )


def _is_doubtful(item: EveningItem) -> bool:
    """Whether a zone or clock is worth a look: nobody stated it, and it was not answered this evening."""
    return item.is_open and item.question.came_from is not Provenance.STATED


def _item(desk: Desk, trip_id: str, question: Question, answered: Answered | None) -> EveningItem:
    found = standing(desk, trip_id, question)
    if found is not None:
        is_open = answered is None and found.word is not Provenance.STATED
        return EveningItem(question, found.text, found.word, is_open, False)
    if answered is None:
        return EveningItem(question, "", None, True, False)
    text = answered.text.removesuffix(UNSURE)
    return EveningItem(question, text, answered.word if text else None, False, answered.word is None)


def _stays(desk: Desk, plan: NightPlan, items: list[EveningItem]) -> Iterator[StayCard]:
    for number, visit in enumerate(plan.visits, 1):
        own = _about(items, visit.key)
        place = next((one.value for one in own if one.question.asks is Asks.VIEWPOINT and one.value), None)
        groups = tuple(_group(desk, items, one) for one in visit.groups)
        yield StayCard(number, visit, visit.viewpoint or place or "", own, groups)
    if plan.others:
        groups = tuple(_group(desk, items, one) for one in plan.others)
        yield StayCard(len(plan.visits) + 1, None, "", (), groups)


def _group(desk: Desk, items: Iterable[EveningItem], group: PlannedGroup) -> GroupCard:
    found = [one for one in map(desk.keepers.get, group.keeper_ids) if one is not None]
    return GroupCard(tuple(in_order(found)), _about(items, key_of_group(group)))


def _about(items: Iterable[EveningItem], stem: str) -> tuple[EveningItem, ...]:
    return tuple(one for one in items if one.question.key.rpartition(".")[0] == stem)


def _plans(desk: Desk, trip: Trip, plan: NightPlan, items: list[EveningItem]) -> Iterator[PlanCard]:
    serving: dict[str, list[Keeper]] = {}
    for keeper in desk.keepers.held(trip_id=trip.id):
        if keeper.shot_id is not None:
            serving.setdefault(keeper.shot_id, []).append(keeper)
    for slug in plan.shots:
        shot = desk.shots.first(slug=slug, trip_id=trip.id)
        if shot is None:
            continue
        own = tuple(one for one in items if one.question.asks in OF_A_PLAN and one.question.about == slug)
        yield PlanCard(shot, plan.planned.get(slug, ""), tuple(serving.get(shot.id, ())), own)
