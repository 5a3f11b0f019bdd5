"""What the buttons of an evening's page do: each says one thing of the evening through its services.

One surprising decision: a button's value is the whole act in words, `pick:visit.x.support=braced`, so that a
page without script, a key and a drag all send the same.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from logbook.domain.errors import WrongUseError
from logbook.domain.words import ConditionKind
from logbook.domain.written.moments import clock_text
from logbook.faces.private.pictures import shown_to
from logbook.services.night.card_choices import with_level
from logbook.services.night.cards import StayCard, WholeEvening
from logbook.services.night.questions import Asks
from logbook.services.night.selecting import say_of_pictures
from logbook.services.night.session import Night
from logbook.services.night.whole import whole_evening

GONE = "That stay is gone; the page shows the day as it is now."
OF_PICTURES = {one.value: one for one in (Asks.FILTERS, Asks.SUPPORT, Asks.SHARPNESS)}


@dataclass(frozen=True, slots=True)
class Pressed:
    """A button that was pressed: what it says behind its first word, and the pictures that were ticked."""

    night: Night
    rest: str
    ticked: tuple[str, ...]

    def halves(self, sign: str) -> tuple[str, str]:
        """The two parts of what it says."""
        first, _, last = self.rest.partition(sign)
        return first, last


def act(night: Night, button: str, ticked: Iterable[str]) -> tuple[str, ...]:
    """Do what a button says; return what to tell. Raises KeyError or ValueError for one of another page."""
    word, _, rest = button.partition(":")
    ids = tuple(one for each in ticked for one in each.split(",") if one)
    if word in ("", "keep"):
        return ()
    return _ACTS[word](Pressed(night, rest, ids))


def _take(one: Pressed) -> tuple[str, ...]:
    return one.night.say(one.rest, "y")


def _unknown(one: Pressed) -> tuple[str, ...]:
    return one.night.say(one.rest, "?")


def _pick(one: Pressed) -> tuple[str, ...]:
    key, word = one.halves("=")
    return one.night.say(key, word)


def _level(one: Pressed) -> tuple[str, ...]:
    """Choose a level of a kind of condition; what was said there besides stays."""
    key, said = one.halves("=")
    kind, _, level = said.partition("=")
    lines = next((item.said for item in whole_evening(one.night).items if item.question.key == key), "")
    return one.night.say(key, with_level(lines, ConditionKind(kind), level))


def _cut(one: Pressed) -> tuple[str, ...]:
    """Let a new stay begin with a picture, whichever stay it is in by now and whatever its time is by now."""
    for stay in whole_evening(one.night).stays:
        for keeper in stay.keepers:
            if keeper.id == one.rest and keeper.place_time is not None:
                at = clock_text(keeper.place_time.time())
                return one.night.say("changes", f"cut {stay.number} at {at}")
    raise WrongUseError(GONE)


def _join(one: Pressed) -> tuple[str, ...]:
    """Join a stay, by the id of its visit, with the one after it."""
    for stay in whole_evening(one.night).stays:
        if stay.visit is not None and stay.visit.id == one.rest:
            return one.night.say("changes", f"join {stay.number} {stay.number + 1}")
    raise WrongUseError(GONE)


def _serve(one: Pressed) -> tuple[str, ...]:
    return say_of_pictures(one.night, one.ticked, Asks.SHOT, one.rest)


def _of_pictures(one: Pressed) -> tuple[str, ...]:
    """Say something of the ticked pictures of a stay, or of all where none of them is ticked."""
    what, said = one.halves(":")
    number, _, line = said.partition("=")
    stay = _stay(whole_evening(one.night), int(number))
    return say_of_pictures(one.night, picked(stay, one.ticked), OF_PICTURES[what], line)


def picked(stay: StayCard, ticked: Iterable[str]) -> tuple[str, ...]:
    """Return the ticked pictures of a stay, or all where none of them is ticked, by id."""
    own = [one.id for one in stay.keepers]
    return tuple(one for one in own if one in set(ticked)) or tuple(own)


def _stay(shown: WholeEvening, number: int) -> StayCard:
    found = next((one for one in shown.stays if one.number == number), None)
    if found is None:
        raise WrongUseError(GONE)
    return found


def _bare(one: Pressed) -> tuple[str, ...]:
    return say_of_pictures(one.night, whole_evening(one.night).bare, Asks.FILTERS, "none")


def _show(one: Pressed) -> tuple[str, ...]:
    """Choose the opening picture, or who sees the ticked ones."""
    asked, audience = one.halves(":")
    return (shown_to(one.night.book, one.ticked, asked, audience),)


def _state(one: Pressed) -> tuple[str, ...]:
    """State what is shown, of one stay or of all; what is proposed only after that has not been seen yet."""
    shown = whole_evening(one.night)
    items = (_stay(shown, int(one.rest)) if one.rest else shown).to_state
    count = one.night.state_shown([item.question.key for item in items])
    return (f"Values now stated: {count}." if count else "There was nothing left to state.",)


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
