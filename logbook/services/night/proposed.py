"""What is proposed of a day and nobody has decided: questions of its evening, and frames found to be sets.

One surprising decision: a proposal is the evening's own question about it. Whoever takes or declines it here
has answered there, and the other way round.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from logbook.craft.inference.sets import FrameSet
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.trip import Trip
from logbook.domain.words import JoinedKind, Provenance
from logbook.services.accounts import account_in, day_of
from logbook.services.keepers.proposals import sets_in
from logbook.services.night.cards import EveningItem, WholeEvening
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.services.night.whole import evening_in
from logbook.store.book import Book

RIGHT = "+0 s"  # what is to be added to the time of a clock that is right


@dataclass(frozen=True, slots=True)
class ProposedItem:
    """A question with what is proposed, and the pictures that it is about."""

    item: EveningItem
    keepers: tuple[Keeper, ...]


@dataclass(frozen=True, slots=True)
class ProposedSet:
    """Frames that seem to belong together, as what, and why."""

    kind: JoinedKind
    keepers: tuple[Keeper, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class ProposedOn:
    """All that is proposed of a day."""

    items: tuple[ProposedItem, ...]
    sets: tuple[ProposedSet, ...]

    @property
    def count(self) -> int:
        """How many proposals there are."""
        return len(self.items) + len(self.sets)


def proposed_on(book: Book, trip: Trip, on_date: date) -> ProposedOn:
    """Return what is proposed of a day; nothing is kept by looking."""
    with book.reading() as desk:
        evening = evening_in(desk, Night(book, trip, on_date))
        account = account_in(desk, trip)
        _, found = sets_in(desk, account, on_date, book.now())
    own = {one.id: one for one in account.keepers}
    of_day = in_order(one for one in own.values() if day_of(one, trip) == on_date)
    return ProposedOn(
        tuple(one for one in _about(evening, of_day) if _is_proposed(one.item)),
        tuple(_sets(found, own)),
    )


def _is_proposed(item: EveningItem) -> bool:
    """Whether the program worked something out that nobody has decided; a habit carried on is no proposal."""
    question = item.question
    if not item.is_open or question.asks is Asks.OUTCOME:
        return False
    if question.asks is Asks.CLOCK and question.default == RIGHT and len(question.why) == 1:
        return False  # a clock that is right and that nothing speaks against
    return question.asks is Asks.CHANGED or (
        bool(question.default) and Provenance.INFERRED in (question.came_from, item.word)
    )


def _about(evening: WholeEvening, of_day: list[Keeper]) -> Iterator[ProposedItem]:
    """Yield every question that is about pictures, with these."""
    for item in evening.opening:
        body = item.question.about.partition(" since ")[0]
        yield ProposedItem(item, tuple(one for one in of_day if not body or one.camera == body))
    for stay in evening.stays:
        for item in stay.items:
            yield ProposedItem(item, stay.keepers)
        for group in stay.groups:
            for item in group.items:
                yield ProposedItem(item, _asked(item, group.keepers))


def _asked(item: EveningItem, keepers: tuple[Keeper, ...]) -> tuple[Keeper, ...]:
    """The frames of a group that a question names; all of them where it names none of them."""
    ids = item.question.about.partition(";")[0].split(",")
    return tuple(one for one in keepers if one.id in ids) or keepers


def _sets(found: tuple[FrameSet, ...], own: dict[str, Keeper]) -> Iterator[ProposedSet]:
    for one in found:
        if not one.stated and str(one.kind) in list(JoinedKind):
            yield ProposedSet(JoinedKind(str(one.kind)), tuple(own[key] for key in one.keys), one.reason)
