"""The screens of an evening in a terminal: its clocks, the day, one for each stay, plans, and looking back.

One surprising decision: a screen asks nothing of its own. It is a part of the whole evening that is looked
at, taken and put right at once, so that page and terminal hold the same questions.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from logbook.services.night.cards import EveningItem, WholeEvening
from logbook.services.night.frame_questions import key_of_group
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.night.questions import Asks

CONFIRMED = frozenset((Asks.SURE, Asks.NEW_VIEWPOINT))  # what is asked at once, before anything is taken


class ScreenOf(StrEnum):
    """What a screen is about."""

    CLOCKS = "clocks"
    DAY = "day"
    STAY = "stay"
    PLANS = "plans"
    AFTER = "after"


OF_ASKS = {  # where questions stand that belong to no stay
    Asks.ZONE: ScreenOf.CLOCKS,
    Asks.CLOCK: ScreenOf.CLOCKS,
    Asks.CHANGES: ScreenOf.DAY,
    Asks.STAY: ScreenOf.DAY,
    Asks.OUTCOME: ScreenOf.PLANS,
    Asks.WHY: ScreenOf.PLANS,
    Asks.KEEP: ScreenOf.AFTER,
    Asks.CHANGE: ScreenOf.AFTER,
    Asks.JOURNAL: ScreenOf.AFTER,
    Asks.SHOWN: ScreenOf.AFTER,
}


@dataclass(frozen=True, slots=True)
class Screen:
    """One screen; `key` knows it again when the evening has changed.

    Of a stay, `number` is its number in the day and `visit` None for keepers at no known place; of plans,
    `offered` says by the shot's slug which outcome something seen that day explains.
    """

    of: ScreenOf
    key: str
    items: tuple[EveningItem, ...]
    plan: NightPlan | None
    number: int = 0
    visit: PlannedVisit | None = None
    groups: tuple[PlannedGroup, ...] = ()
    offered: Mapping[str, str] = field(default_factory=dict)

    @property
    def open_keys(self) -> tuple[str, ...]:
        """The keys of what nobody has answered here yet."""
        return tuple(one.question.key for one in self.items if one.is_open)

    @property
    def to_confirm(self) -> EveningItem | None:
        """The answer that waits for a yes, if there is one."""
        return next((one for one in self.items if one.is_open and one.question.asks in CONFIRMED), None)

    @property
    def late(self) -> tuple[PlannedGroup, ...]:
        """The groups that came in later, where something is asked about them and about nothing else."""
        late = tuple(one for one in self.groups if one.is_late)
        stems = {key_of_group(one) for one in late}
        is_alone = all(key.rpartition(".")[0] in stems for key in self.open_keys)
        return late if self.open_keys and is_alone else ()

    def asking(self, *asks: Asks) -> tuple[EveningItem, ...]:
        """Return the items of some kinds."""
        return tuple(one for one in self.items if one.question.asks in asks)


def screens_of(evening: WholeEvening) -> tuple[Screen, ...]:
    """Return the screens of an evening in the order in which a person goes through them."""
    return tuple(screen for screen in _screens(evening) if screen.items)


def _screens(evening: WholeEvening) -> Iterator[Screen]:
    items, plan = tuple(evening.items), evening.plan
    for of in (ScreenOf.CLOCKS, ScreenOf.DAY):
        yield _of_day(of, items, plan)
    for number, visit in enumerate(plan.visits if plan else (), 1):
        own = _about(items, visit.key, visit.groups)
        yield Screen(ScreenOf.STAY, visit.key, own, plan, number, visit, visit.groups)
    if plan is not None and plan.others:
        own = _about(items, "", plan.others)
        yield Screen(ScreenOf.STAY, "others", own, plan, len(plan.visits) + 1, None, plan.others)
    cards = (*(one for stay in evening.stays for one in stay.plans), *evening.plans)
    offered = {one.shot.slug: one.offered for one in cards if one.offered}
    yield replace(_of_day(ScreenOf.PLANS, items, plan), offered=offered)
    yield _of_day(ScreenOf.AFTER, items, plan)


def _of_day(of: ScreenOf, items: Iterable[EveningItem], plan: NightPlan | None) -> Screen:
    return Screen(of, of, tuple(one for one in items if OF_ASKS.get(one.question.asks) is of), plan)


def _about(items: Iterable[EveningItem], key: str, groups: Iterable[PlannedGroup]) -> tuple[EveningItem, ...]:
    stems = {key, *map(key_of_group, groups)}
    return tuple(one for one in items if one.question.key.rpartition(".")[0] in stems)
