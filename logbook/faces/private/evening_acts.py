"""What the buttons of an evening's page do: each says one thing of the evening through its services.

One surprising decision: a button's value is the whole act in words, `pick:visit.x.support=braced`, so that a
page without script, a key and a drag all send the same.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass

from logbook.domain.errors import WrongUseError
from logbook.domain.said import figured
from logbook.domain.words import ConditionKind
from logbook.faces.private.pictures import shown_to
from logbook.services.night.card_choices import with_level
from logbook.services.night.cards import UNSEEN, ItemSeal, StayCard
from logbook.services.night.cutting import CHANGED, CutBefore, JoinShown
from logbook.services.night.questions import Asks
from logbook.services.night.selecting import say_of_pictures
from logbook.services.night.session import LineCheck, Night, SessionStand
from logbook.services.night.whole import seal_at, whole_evening
from logbook.store.desk import Desk

OF_PICTURES = {one.value: one for one in (Asks.FILTERS, Asks.SUPPORT, Asks.SHARPNESS)}
ELSEWHERE = "The ticked pictures belong to another stay. Tick some of this one, or none to mean all of it."


@dataclass(frozen=True, slots=True)
class Pressed:
    """A button that was pressed: what it says behind its first word, the ticked pictures, what was shown.

    `seals` are those of the page that the button stood on, by the key of the question.
    """

    night: Night
    rest: str
    ticked: tuple[str, ...]
    seals: Mapping[str, ItemSeal]

    def halves(self, sign: str) -> tuple[str, str]:
        """The two parts of what it says."""
        first, _, last = self.rest.partition(sign)
        return first, last

    def say(self, key: str, line: str, check: LineCheck | None = None) -> tuple[str, ...]:
        """Answer a question about the stay that was shown; raises LogbookError where it is another one."""
        (said,) = self.night.say_each(((key, line),), check or self.is_other_stay)
        if said.refused:
            raise WrongUseError(said.refused)
        return said.told

    def is_other_stay(self, desk: Desk, stand: SessionStand, key: str) -> str:
        """Say so where a question is about other pictures than when it was shown."""
        seal, now = self.seals.get(key), seal_at(desk, stand, key)
        return CHANGED if seal and now and seal.about != now.about else ""

    def is_other_value(self, desk: Desk, stand: SessionStand, key: str) -> str:
        """Say so where a question shows something else than it did."""
        seal, now = self.seals.get(key), seal_at(desk, stand, key)
        is_other = seal and now and seal.shown != now.shown
        return self.is_other_stay(desk, stand, key) or (UNSEEN if is_other else "")

    def is_not_as_shown(self, desk: Desk, stand: SessionStand, key: str) -> str:
        """Say so where a question shows something else, or was not shown at all."""
        return self.is_other_value(desk, stand, key) if key in self.seals else UNSEEN


def act(night: Night, button: str, ticked: Iterable[str], seals: Mapping[str, ItemSeal]) -> tuple[str, ...]:
    """Do what a button says; return what to tell. Raises KeyError or ValueError for one of another page."""
    word, _, rest = button.partition(":")
    ids = tuple(one for each in ticked for one in each.split(",") if one)
    if word in ("", "keep"):
        return ()
    return _ACTS[word](Pressed(night, rest, ids, seals))


def _take(one: Pressed) -> tuple[str, ...]:
    return one.say(one.rest, "y", one.is_other_value)


def _unknown(one: Pressed) -> tuple[str, ...]:
    return one.say(one.rest, "?")


def _pick(one: Pressed) -> tuple[str, ...]:
    key, word = one.halves("=")
    return one.say(key, word)


def _level(one: Pressed) -> tuple[str, ...]:
    """Choose a level of a kind of condition; what was said there besides stays."""
    key, said = one.halves("=")
    kind, _, level = said.partition("=")
    lines = next((item.said for item in whole_evening(one.night).items if item.question.key == key), "")
    return one.say(key, with_level(lines, ConditionKind(kind), level))


def _cut(one: Pressed) -> tuple[str, ...]:
    """Let a new stay begin with a picture, whichever stay it is in by now."""
    one.night.put_right(CutBefore(one.rest))
    return ()


def _join(one: Pressed) -> tuple[str, ...]:
    """Join two neighbouring stays, if both are as they were shown."""
    one.night.put_right(JoinShown(*one.halves("_")))
    return ()


def _serve(one: Pressed) -> tuple[str, ...]:
    return say_of_pictures(one.night, one.ticked, Asks.SHOT, one.rest)


def _of_pictures(one: Pressed) -> tuple[str, ...]:
    """Say something of the ticked pictures of a stay, or of all where none is ticked."""
    what, said = one.halves(":")
    sign, _, line = said.partition("=")
    stay = stay_shown(whole_evening(one.night).stays, sign)
    return say_of_pictures(one.night, picked(stay, one.ticked), OF_PICTURES[what], line)


def picked(stay: StayCard, ticked: Collection[str]) -> tuple[str, ...]:
    """Return the ticked pictures of a stay, or all where none is ticked, by id.

    Raises WrongUseError where only pictures of other stays are ticked.
    """
    own = tuple(one.id for one in stay.keepers)
    chosen = tuple(one for one in own if one in ticked)
    if ticked and not chosen:
        raise WrongUseError(ELSEWHERE)
    return chosen or own


def stay_shown(stays: Iterable[StayCard], sign: str) -> StayCard:
    """Return the stay that a page called so; raises WrongUseError where it is another one by now."""
    found = next((one for one in stays if one.sign == sign), None)
    if found is None:
        raise WrongUseError(CHANGED)
    return found


def _bare(one: Pressed) -> tuple[str, ...]:
    """Say that there was no filter on the pictures that were counted, as far as nothing is known of them."""
    counted = one.rest.split(",")
    ids = [each for each in whole_evening(one.night).bare if each in counted]
    if not ids:
        raise WrongUseError(UNSEEN)
    return say_of_pictures(one.night, ids, Asks.FILTERS, "none")


def _show(one: Pressed) -> tuple[str, ...]:
    """Choose the opening picture, or who sees the ticked ones."""
    asked, audience = one.halves(":")
    return (shown_to(one.night.book, one.ticked, asked, audience),)


def _state(one: Pressed) -> tuple[str, ...]:
    """State what was shown, of one stay or of all; what changed or came up since was not seen yet."""
    evening = whole_evening(one.night)
    shown = stay_shown(evening.stays, one.rest) if one.rest else evening
    unseen: list[str] = []

    def is_unseen(desk: Desk, stand: SessionStand, key: str) -> str:
        why = one.is_not_as_shown(desk, stand, key)
        unseen.extend([key] if why else ())
        return why

    count = one.night.state_shown([item.question.key for item in shown.to_state], is_unseen)
    told = f"Values now stated: {count}." if count else "Everything was stated already."
    new = f"Not stated, because new or changed since this page was opened: {figured(len(unseen), 'value')}."
    return (told, new) if unseen else (told,)


_ACTS: Mapping[str, Callable[[Pressed], tuple[str, ...]]] = {
    "take": _take,
    "unknown": _unknown,
    "pick": _pick,
    "level": _level,
    "cut": _cut,
    "join": _join,
    "serve": _serve,
    "of": _of_pictures,
    "bare": _bare,
    "show": _show,
    "state": _state,
}
