"""What a part of a line typed at a stay says: of the stay itself, of its pictures, or of where it ends.

One surprising decision: `all` and `rest` stand for the pictures of the stay, the latter for those whose
filters nobody has stated; everything else is named as in a day file.
"""

import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from logbook.domain.errors import InvalidValueError, LogbookError, NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.words import ConditionKind, Provenance
from logbook.domain.written.choices import SUPPORT_WORDS, says_nothing, sharpness_written, support_written
from logbook.domain.written.entry import (
    ConditionEntry,
    Entry,
    KeepersEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.domain.written.filters import stack_words, stacks_written
from logbook.domain.written.keepers import are_filters, read_keepers
from logbook.domain.written.lines import opening, read_entries
from logbook.domain.written.moments import clock_text
from logbook.domain.written.observations import seen_at_stay
from logbook.domain.written.outcomes import written_shot
from logbook.domain.written.understanding import NotUnderstoodError
from logbook.intake.dayfile.headings import read_heading
from logbook.services import kinds
from logbook.services.keepers.keeping import filters_by_id
from logbook.services.naming import is_one, matching, named
from logbook.services.night.before_lens import CHANGES
from logbook.services.night.cutting import correction_of_stays
from logbook.services.night.frame_questions import key_of_group
from logbook.services.night.frames_told import label_of
from logbook.services.night.questions import Asks
from logbook.services.night.screens import Screen
from logbook.services.night.selecting import say_of_pictures
from logbook.services.night.session import Night
from logbook.services.places.headed import headed
from logbook.services.records import find

KEYS = {  # what the keys of a stay's questions end with, by the words that may lead a line
    **dict.fromkeys(("place", "viewpoint", "at"), "viewpoint"),
    **dict.fromkeys(("times", "time"), "times"),
    "crowd": "crowd",
    "conditions": "conditions",
    "support": "support",
    "tries": "tries",
    **dict.fromkeys(("in the way", "way", "note"), "way"),
    **dict.fromkeys(("learned", "learnt", "lesson"), "learned"),
}
SUCH_AS = "tripod; dozens; 0412: nd8; cut at 17:40"
_LED = re.compile(rf"(?P<word>{'|'.join(KEYS)})\s*:\s*(?P<rest>.+)", re.IGNORECASE | re.DOTALL)
_OF_ALL = re.compile(r"(?P<which>all|rest)\s*:\s*(?P<rest>.+)", re.IGNORECASE | re.DOTALL)
_CUT = re.compile(r"(?:cut|split)\s+(?:(?:at|@)\s*)?(?P<at>[0-9].*)", re.IGNORECASE)
_JOIN = re.compile(r"join(?:\s+(?:with\s+)?(?:the\s+)?(?P<which>next|last|previous|before))?", re.IGNORECASE)
_CHANGED = re.compile(r"(?P<which>[^:]+):\s*(?:the\s+)?(?P<word>filters?|light)", re.IGNORECASE)
_ANY = "0000"  # stands for the pictures meant where a statement is read without naming any


def say_of_stay(night: Night, screen: Screen, part: str) -> Sequence[str]:
    """Write down what a part of a line says of a stay; return what it was taken for, in sentences.

    Raises LogbookError, in one sentence, for a part that cannot be understood.
    """
    for say in (_borders, _of_some, _led, _entries, _bare):
        said = say(night, screen, part)
        if said is not None:
            return said
    raise InvalidValueError(f'"{part}" is not understood; write something like {SUCH_AS}, or help.')


def _borders(night: Night, screen: Screen, part: str) -> Sequence[str] | None:
    """Cut this stay, or join it with the one beside it."""
    number = screen.number
    if correction_of_stays(part) is not None:
        line = part
    elif found := _CUT.fullmatch(part):
        line = f"cut {number} at {found['at']}"
    elif found := _JOIN.fullmatch(part):
        first = number - 1 if found["which"] in ("last", "previous", "before") else number
        line = f"join {first} {first + 1}"
    else:
        return None
    night.say("changes", line)
    return ("The stays of this day have changed.",)


def _of_some(night: Night, screen: Screen, part: str) -> Sequence[str] | None:
    """`all: none`, `rest: nd8, tripod`, or which of filter and light changed before some frames."""
    keepers = _keepers(night, screen)
    if found := _OF_ALL.fullmatch(part):
        (statement,) = read_keepers(f"{_ANY}: {found['rest']}")
        is_rest = found["which"].lower() == "rest"
        bare = [one for one in keepers if one.filters is None or _is_proposed(one)]
        return _of_pictures(night, screen, bare if is_rest else keepers, statement)
    if (found := _CHANGED.fullmatch(part)) and found["word"].lower().rstrip("s") in CHANGES:
        ids = {one.id for one in _meant(keepers, found["which"], found["which"])}
        group = next((one for one in screen.groups if ids & set(one.keeper_ids)), None)
        return night.say(f"{key_of_group(group)}.changed", found["word"]) if group else None
    return None


def _is_proposed(keeper: Keeper) -> bool:
    return keeper.provenance_of("filters") is not Provenance.STATED


def _led(night: Night, screen: Screen, part: str) -> Sequence[str] | None:
    """A part that begins with the name of what it says."""
    found = _LED.fullmatch(part)
    if found is None:
        return None
    name, rest = KEYS[found["word"].lower()], found["rest"].strip()
    if name == "crowd" and any(one.at for one in _conditions(part)):
        return _seen(night, screen, part)
    if name == "conditions":
        return _seen(night, screen, rest)
    if name == "learned":
        return _added(night, screen, name, rest, lambda one: one == rest)
    return _said(night, screen, name, rest)


def _entries(night: Night, screen: Screen, part: str) -> Sequence[str] | None:
    """A line of a day file."""
    found = opening(f"- {part}")
    if found is None:
        return None
    if found.word == "filter":
        return _stay_wide(night, screen, part, found.said)
    if found.word.startswith("keeper"):
        return _of_named(night, screen, found.said)
    told: list[str] = []
    entries = read_entries(f"- {part}")
    if any(isinstance(one, ConditionEntry) for one in entries):
        return _seen(night, screen, part)
    for entry in entries:
        told += _entry(night, screen, entry, found.said)
    return told


def _of_named(night: Night, screen: Screen, said: str) -> Sequence[str]:
    """What is said of pictures by name; words that only a question knows are handed to it: `same`, `so`."""
    keepers = _keepers(night, screen)
    try:
        entries = read_keepers(said)
    except NotUnderstoodError:
        named_in, _, text = said.partition(":")
        meant = [
            one for each in read_keepers(f"{named_in}:") for one in _meant(keepers, each.first, each.last)
        ]
        ids = {one.id for one in meant}
        for asks, read in ((Asks.SHARPNESS, sharpness_written), (Asks.SUPPORT, support_written)):
            with suppress(InvalidValueError):
                return say_of_pictures(night, ids, asks, str(read(text)))
        group = next((one for one in screen.groups if ids == set(one.keeper_ids)), None)
        if group is None:
            raise
        return night.say(f"{key_of_group(group)}.filters", text)
    found = {one.id: one for each in entries for one in _meant(keepers, each.first, each.last)}
    return _of_pictures(night, screen, tuple(found.values()), entries[0])


def _entry(night: Night, screen: Screen, entry: Entry, text: str) -> Sequence[str]:
    match entry:
        case TriesEntry():
            return _said(night, screen, "tries", str(entry.count))
        case SupportEntry():
            return _said(night, screen, "support", str(entry.support))
        case LessonEntry():
            return _added(night, screen, "learned", text, lambda one: one == text)
        case ShotEntry():
            with night.book.reading() as desk:
                slug = find(desk, kinds.SHOT, entry.shot, trip_id=night.trip.id).slug
            return night.say(f"shot.{slug}", written_shot(entry).partition(": ")[2])
    raise InvalidValueError(f'"{text}" does not belong to a stay.')


def _bare(night: Night, screen: Screen, part: str) -> Sequence[str] | None:
    """Words that can mean nothing else: a support, a level of one kind, a span of time, a viewpoint."""
    if " ".join(part.casefold().split()) in SUPPORT_WORDS and part != "?":
        return _said(night, screen, "support", part)
    if _conditions(part):
        return _seen(night, screen, part)
    if says_nothing(part):
        return None
    section = read_heading(part, 0).section
    place = None
    if section.viewpoint is not None:
        with night.book.reading() as desk:
            try:
                section, there = headed(desk, section)
            except LogbookError:
                return None
            place = there.slug
    times = "-".join(clock_text(one) for one in (section.arrived, section.departed) if one)
    if place is None and not times:
        return None
    told = _said(night, screen, "viewpoint", place) if place else ()
    about = (section.told,) if section.told else ()
    return (*told, *_said(night, screen, "times", times), *about) if times else told


def _stay_wide(night: Night, screen: Screen, part: str, said: str) -> Sequence[str]:
    """Filters without pictures are those of all pictures, where that is said or there is one group."""
    if are_filters(part) and len(screen.groups) > 1:
        raise WrongUseError(f"Say which pictures: 0412-0419: {part}, or all: {part}.")
    keepers = _keepers(night, screen)
    stacks = stacks_written(said)
    by_id = filters_by_id(keepers, stacks)
    if all(one.first is None for one in stacks):
        by_id = {one.id: stacks[0].filters for one in keepers}
    told: list[str] = []
    for filters in dict.fromkeys(by_id.values()):
        told += _worn(night, screen, [one for one in keepers if by_id.get(one.id, ...) == filters], filters)
    return told


def _conditions(part: str) -> Sequence[ConditionEntry]:
    return [entry for one in seen_at_stay(part) for entry in one.conditions]


def _seen(night: Night, screen: Screen, part: str) -> Sequence[str]:
    """Conditions beside those said before; a crowd without a time is that of the whole stay."""
    entries = _conditions(part)
    if entries and all(one.kind is ConditionKind.CROWD and one.at is None for one in entries):
        found = opening(f"- {part}")
        return _said(night, screen, "crowd", found.said if found and found.word == "crowd" else part)
    new = {(one.kind, one.at) for one in entries}

    def is_said_anew(line: str) -> bool:
        return bool(new & {(one.kind, one.at) for one in _conditions(line)})

    return _added(night, screen, "conditions", part, is_said_anew)


def _added(
    night: Night, screen: Screen, name: str, line: str, is_said_anew: Callable[[str], bool]
) -> Sequence[str]:
    """Say a line beside those that were said before, but for those it takes the place of."""
    with night.book.reading() as desk:
        before = night.stand(desk).answers.get(f"{screen.key}.{name}")
    lines = before.text.splitlines() if before and before.word and not says_nothing(line) else []
    kept = [one for one in lines if not is_said_anew(one)]
    said = _said(night, screen, name, "\n".join([*kept, line]))
    return said[len(kept) :]


def _said(night: Night, screen: Screen, name: str, text: str) -> Sequence[str]:
    key = f"{screen.key}.{name}"
    with night.book.reading() as desk:
        is_asked = any(one.key == key for one in night.stand(desk).questions)
    if not is_asked:
        raise WrongUseError("Name the viewpoint of this stay first, such as place: quarry ledge.")
    return night.say(key, text)


def _keepers(night: Night, screen: Screen) -> list[Keeper]:
    ids = [one for group in screen.groups for one in group.keeper_ids]
    with night.book.reading() as desk:
        return [one for one in map(desk.keepers.get, ids) if one is not None]


def _meant(keepers: Sequence[Keeper], first: str, last: str) -> Sequence[Keeper]:
    found = matching(keepers, first.strip(), last.strip())
    if first == last:
        found = named(keepers, first.strip()) or found
    if not found:
        raise NotFoundError(f"{first} is not one of the pictures of this stay; o shows the others.")
    if not is_one(found) and first == last:
        raise WrongUseError(f"{first} could be several pictures of this stay; name the file.")
    return found


def _of_pictures(
    night: Night, screen: Screen, keepers: Sequence[Keeper], said: KeepersEntry
) -> Sequence[str]:
    """Say of pictures what the statement says; several at once are several answers."""
    if said.caption or said.viewpoint:
        raise WrongUseError('For the caption or viewpoint of a single picture, use "logbook keeper note".')
    told: list[str] = []
    words: list[str] = []
    if said.filters_said:
        words.append("filters unknown" if said.filters is None else stack_words(said.filters))
        told += _worn(night, screen, keepers, said.filters)
    for asks, text in (
        (Asks.SUPPORT, said.support),
        (Asks.SHARPNESS, said.sharpness),
        (Asks.SHOT, said.shot),
    ):
        if text:
            words.append(text)
            told += say_of_pictures(night, [one.id for one in keepers], asks, text)
    return [f"{label_of([one.file for one in keepers])}: {', '.join(words)}", *told]


def _worn(
    night: Night, screen: Screen, keepers: Sequence[Keeper], filters: tuple[str, ...] | None
) -> Sequence[str]:
    """Say what was before the lens; none is said at the question of a group where it is hard to believe.

    That question asks whether it was so, also for a part of its pictures.
    """
    told: list[str] = []
    left = {one.id: one for one in keepers}
    for group in screen.groups if filters == () else ():
        part = [left[one] for one in group.keeper_ids if one in left]
        if len(part) < len(group.keeper_ids) and any(one.id in group.doubts for one in part):
            each = ", ".join(f"{Path(left.pop(one.id).file).stem} none" for one in part)
            told += night.say(f"{key_of_group(group)}.filters", each)
    text = "?" if filters is None else stack_words(filters)
    return [*told, *(say_of_pictures(night, tuple(left), Asks.FILTERS, text) if left else ())]
