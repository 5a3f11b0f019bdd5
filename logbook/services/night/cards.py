"""The cards of an evening's page: what stands at each question, by stay, group of pictures, plan and day.

What a page showed at a card travels with its forms and buttons as a seal.

Surprising decisions: a card holds values and texts and no record that a page could change; whatever a page
does goes back as an answer to a question. What is asked is sealed together with what it is about: a value
may read the same while its stay has become another one, and nothing may be noted of a stay that nobody saw.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from logbook.domain.keeper import Keeper, in_order
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.words import ConditionKind, Provenance
from logbook.services.night.clocks import ClockLine
from logbook.services.night.planned import NightPlan, PlannedVisit, sign_of
from logbook.services.night.questions import Question
from logbook.services.night.session import STATED_TOGETHER
from logbook.services.night.standing import StandingValue

_SIGN = "."  # between the parts of a seal
UNSEEN = "This has changed since the page was opened; look again. Nothing was noted."


@dataclass(frozen=True, slots=True)
class EveningItem:
    """A question, what stands in the book, and where that came from; `is_open` until somebody answered.

    `is_unknown`: somebody said that nobody knows. `said` is what was answered, to go on from.
    """

    question: Question
    value: str
    word: Provenance | None
    is_open: bool
    is_unknown: bool
    said: str = ""

    @property
    def is_proposed(self) -> bool:
        """Whether something is proposed, or stands there without anybody's word."""
        return bool(self.question.default) if self.is_open else self.word not in (None, Provenance.STATED)

    @property
    def shown(self) -> str:
        """What stands there, else what is proposed."""
        return self.value or (self.question.default if self.is_open else "")

    @property
    def origin(self) -> Provenance | None:
        """Where what is shown comes from."""
        return self.word if self.value else self.question.came_from


@dataclass(frozen=True, slots=True)
class FrameCard:
    """One picture, or a set of them that is drawn as a stack; `kind` None is a single one."""

    kind: str | None
    keepers: tuple[Keeper, ...]


@dataclass(frozen=True, slots=True)
class GroupCard:
    """Keepers that are asked about together, in their order, with what is asked and may be chosen."""

    keepers: tuple[Keeper, ...]
    items: tuple[EveningItem, ...]
    frames: tuple[FrameCard, ...] = ()
    filters: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanCard:
    """A shot that was planned for the day, what became of it, and the keepers that serve it.

    `offered` is an outcome that something seen that day explains, or ""; `became` is what was said of it
    before this evening, which then asks no more; `instead` is the picture that was made in its place.
    """

    shot: Shot
    planned: str
    keepers: tuple[Keeper, ...]
    items: tuple[EveningItem, ...]
    number: int = 0
    offered: str = ""
    became: StandingValue | None = None
    instead: Keeper | None = None


@dataclass(frozen=True, slots=True)
class StayCard:
    """One stay: its number in the day, where and when, what is asked of it, and its keepers in groups.

    `visit` is None for keepers at no known place. `levels` are those of each kind of condition that can be
    chosen, and whether they were said; `places` and `filters` are what may be chosen there; `cuts` are the
    ids of the pictures with which a new stay can begin. `is_crowd_timed`: a crowd was noted with its time, so
    that none is offered for the whole stay.
    """

    number: int
    visit: PlannedVisit | None
    place: str
    items: tuple[EveningItem, ...]
    groups: tuple[GroupCard, ...]
    plans: tuple[PlanCard, ...] = ()
    places: tuple[str, ...] = ()
    levels: tuple[tuple[ConditionKind, tuple[tuple[str, bool], ...]], ...] = ()
    filters: tuple[str, ...] = ()
    cuts: frozenset[str] = frozenset()
    is_crowd_timed: bool = False

    @property
    def sign(self) -> str:
        """What a page calls it: the same only as long as it is the same stay."""
        return self.visit.sign if self.visit else sign_of(sorted(one.id for one in self.keepers))

    @property
    def keepers(self) -> tuple[Keeper, ...]:
        """All its pictures."""
        return tuple(one for group in self.groups for one in group.keepers)

    @property
    def frames(self) -> tuple[FrameCard, ...]:
        """Its pictures in order of time, whichever camera took them, with sets as one."""
        return frames_of(self.groups)

    @property
    def all_items(self) -> Iterator[EveningItem]:
        """All that is asked of it, its pictures and the plans of its place."""
        yield from self.items
        for group in self.groups:
            yield from group.items
        for plan in self.plans:
            yield from plan.items

    @property
    def to_state(self) -> tuple[EveningItem, ...]:
        """What one word would state of it as it is shown."""
        return unstated(self.all_items)


@dataclass(frozen=True, slots=True)
class WholeEvening:
    """One day of one trip as it can be written down; without a plan while its zone is unknown.

    `clocks` are those in doubt, `untaken` those in no doubt that pictures do not follow yet; `plans` are
    those whose place no stay is at; `bare` are the ids of pictures of whose filters nobody knows anything;
    `hardly_bare` are the ids of those that can hardly have been made without one.
    """

    trip: Trip
    on_date: date
    opening: tuple[EveningItem, ...]
    stays: tuple[StayCard, ...]
    plans: tuple[PlanCard, ...]
    of_day: tuple[EveningItem, ...]
    plan: NightPlan | None
    clocks: tuple[ClockLine, ...] = ()
    untaken: tuple[Question, ...] = ()
    bare: tuple[str, ...] = ()
    hardly_bare: tuple[str, ...] = ()

    @property
    def items(self) -> Iterator[EveningItem]:
        """All that is asked."""
        yield from self.opening
        for stay in self.stays:
            yield from stay.all_items
        for plan in self.plans:
            yield from plan.items
        yield from self.of_day

    def seen(self, ids: Collection[str]) -> tuple[Keeper, ...]:
        """The pictures of its stays that have one of these ids, in the order of the stays."""
        return tuple(one for stay in self.stays for one in stay.keepers if one.id in ids)

    @property
    def to_state(self) -> tuple[EveningItem, ...]:
        """What stands proposed, assumed or inferred that one word would state."""
        return unstated(self.items)

    @property
    def stated(self) -> tuple[EveningItem, ...]:
        """What somebody said and the book holds."""
        return tuple(one for one in self.items if one.value and one.word is Provenance.STATED)

    @property
    def open_plans(self) -> int:
        """How many plans nobody has said the outcome of."""
        return sum(any(one.is_open for one in card.items) for card in self.all_plans)

    @property
    def all_plans(self) -> tuple[PlanCard, ...]:
        """The plans of the day, those of its stays too."""
        return (*self.plans, *(plan for stay in self.stays for plan in stay.plans))


def frames_of(groups: Iterable[GroupCard]) -> tuple[FrameCard, ...]:
    """Return the pictures of groups in order of time, with sets as one, where their first picture stands."""
    frames = {one.keepers[0].id: one for group in groups for one in group.frames}
    return tuple(frames[one.id] for one in in_order(one.keepers[0] for one in frames.values()))


def unstated(items: Iterator[EveningItem]) -> tuple[EveningItem, ...]:
    """Return what one word would state as it is shown; what became of a plan is not among it."""
    return tuple(one for one in items if one.is_proposed and one.question.asks in STATED_TOGETHER)


@dataclass(frozen=True, slots=True)
class ItemSeal:
    """What stood at a question, what it offered, and the stay or pictures that it was about."""

    value: str
    shown: str
    about: str

    def __str__(self) -> str:
        """Return the seal as it is written into a form."""
        return _SIGN.join((self.value, self.shown, self.about))


def seal_of(item: EveningItem, plan: NightPlan | None) -> ItemSeal:
    """Return the seal of what an evening shows at a question."""
    value = sign_of([item.value, str(item.word)])
    return ItemSeal(value, sign_of([item.shown]), sign_of([_about(item, plan)]))


def seal_written(text: str) -> ItemSeal | None:
    """Return the seal that a form sent back, None where it sent none."""
    parts = text.split(_SIGN)
    return ItemSeal(*parts) if len(parts) == 3 else None


def _about(item: EveningItem, plan: NightPlan | None) -> str:
    stem = item.question.key.rpartition(".")[0]
    stay = next((one for one in plan.visits if one.key == stem), None) if plan else None
    return stay.sign if stay else item.question.about.partition(";")[0]
