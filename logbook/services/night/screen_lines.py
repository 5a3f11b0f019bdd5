"""What a line typed at a screen says: parts of a stay, of plans or of the day, in the words of a day file.

One surprising decision: nothing is read here. A line is handed to the question that it answers, or, where it
speaks of pictures, to the pictures that it names, so that day file, page and terminal understand the same.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from logbook.domain.errors import InvalidValueError, LogbookError, NotFoundError, WrongUseError
from logbook.domain.written.choices import says_nothing
from logbook.domain.written.entry import ClockEntry, LessonEntry
from logbook.domain.written.lines import opening, read_entries
from logbook.domain.written.outcomes import read_shot
from logbook.domain.written.understanding import NotUnderstoodError
from logbook.intake.dayfile import Section
from logbook.intake.dayfile.headings import read_heading
from logbook.services import kinds
from logbook.services.night.cutting import correction_of_stays
from logbook.services.night.opening import ZONE
from logbook.services.night.questions import Asks
from logbook.services.night.screens import Screen, ScreenOf
from logbook.services.night.session import Night
from logbook.services.night.stay_lines import say_of_stay
from logbook.services.places.headed import headed
from logbook.services.records import find

_NUMBERED = re.compile(
    r"(?P<numbers>[0-9]+(?:\s*(?:,|-|and|&)\s*[0-9]+)*)\s*[:.)]?\s+(?P<rest>\D.*)", re.DOTALL
)
_OF_AFTER = r"(?P<word>keep|change|journal|shown)\s*:"
_AFTER = re.compile(rf"{_OF_AFTER}\s*(?P<rest>.+)", re.IGNORECASE | re.DOTALL)
_OF_LESSON = r"lessons?\b[^:;]*:"  # only with its colon: a journal may speak of one
_LESSON = re.compile(_OF_LESSON, re.IGNORECASE)
_AFTER_PARTS = re.compile(
    rf"\s*;\s*(?={_OF_AFTER.replace('?P<word>', '?:')}|{_OF_LESSON})|[\r\n]+", re.IGNORECASE
)
_PARTS = re.compile(r"[;\r\n]+")
_NOTHING_ELSE = re.compile(r"(?:nothing|no) (?:else|more)[.!]?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LinesSaid:
    """What became of what was typed: what it was taken for, and what was refused and why, in sentences."""

    told: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()


def say_at(night: Night, screen: Screen, line: str) -> LinesSaid:
    """Write down each part of a line typed at a screen; a part that is not understood changes nothing."""
    told: list[str] = []
    refused: list[str] = []
    parts = _AFTER_PARTS if screen.of is ScreenOf.AFTER else _PARTS
    for part in filter(None, map(str.strip, parts.split(line))):
        try:
            told += _SAID[screen.of](night, screen, part)
        except NotUnderstoodError as error:
            refused.append(f'"{part}" is not understood: {error}.')
        except LogbookError as error:
            refused.append(str(error))
    return LinesSaid(tuple(told), tuple(refused))


def _at_clocks(night: Night, screen: Screen, part: str) -> Sequence[str]:
    """A zone, or what a clock showed: of the only one in doubt, or of the camera that leads the line."""
    asked = [one.question for one in screen.items]
    if asked[0].asks is Asks.ZONE:
        return night.say(ZONE, part)
    lead, colon, rest = part.partition(":")
    named = [one for number, one in enumerate(asked, 1) if _is_named(lead, number, one.about)]
    if colon and len(named) == 1:
        return night.say(named[0].key, rest)
    if clock := _clock_said(part):
        return _of_clock(night, clock)
    doubtful = [one for one in asked if len(one.why) > 1] or asked
    if len(doubtful) > 1:
        names = ", ".join(one.about for one in doubtful)
        raise InvalidValueError(
            f"Say which camera, such as {doubtful[0].about}: {part}. The cameras are {names}."
        )
    return (f"{doubtful[0].about}:", *night.say(doubtful[0].key, part))


def _is_named(lead: str, number: int, body: str) -> bool:
    words = lead.casefold().removeprefix("clock ").split()
    return lead.strip() == str(number) or (bool(words) and set(words) <= set(body.casefold().split()))


def _clock_said(part: str) -> ClockEntry | None:
    found = opening(f"- {part}")
    if found is None or found.word != "clock":
        return None
    (entry,) = read_entries(f"- {part}")
    return entry if isinstance(entry, ClockEntry) else None


def _of_clock(night: Night, said: ClockEntry) -> Sequence[str]:
    with night.book.reading() as desk:
        clocks = [one for one in night.stand(desk).questions if one.asks is Asks.CLOCK]
    meant = [one for one in clocks if _is_named(said.body, 0, one.about)]
    if len(meant) != 1:
        raise NotFoundError(
            f'"{said.body}" is not one of the clocks asked about: {", ".join(one.about for one in clocks)}.'
        )
    return night.say(meant[0].key, f"{said.add_s:+d} s")


def _at_day(night: Night, _screen: Screen, part: str) -> Sequence[str]:
    """Stays put right, a clock, a stay without a picture, or what closed, flooded or changed."""
    if correction_of_stays(part) is not None:
        return night.say("changes", part)
    if clock := _clock_said(part):
        return _of_clock(night, clock)
    section = read_heading(part, 0).section
    if section.viewpoint and (section.arrived or section.purpose) and _is_viewpoint(night, section):
        return night.say("stay", part)
    return _added(night, "changes", part)


def _is_viewpoint(night: Night, section: Section) -> bool:
    with night.book.reading() as desk:
        try:
            headed(desk, section)
        except LogbookError:
            return False
    return True


def _added(night: Night, key: str, part: str) -> Sequence[str]:
    """Say something beside what was said there before; that there was nothing takes all of it back."""
    if _NOTHING_ELSE.fullmatch(part):
        return ()
    with night.book.reading() as desk:
        before = night.stand(desk).answers.get(key)
    lines = before.text.splitlines() if before and before.word and not says_nothing(part) else []
    said = night.say(key, "\n".join([*(one for one in lines if one != part), part]))
    return said[-1:] if lines else said


def _at_plans(night: Night, screen: Screen, part: str) -> Sequence[str]:
    """What became of shots, by their numbers or names: `1-3 made`, `gate-arch: missed, closure`."""
    slugs = [one.question.about for one in screen.asking(Asks.OUTCOME)]
    if found := _NUMBERED.fullmatch(part):
        meant, rest = [_of_number(slugs, one) for one in _numbers(found["numbers"])], found["rest"]
    else:
        name, rest = _shot_named(part)
        with night.book.reading() as desk:
            meant = [find(desk, kinds.SHOT, name, trip_id=night.trip.id).slug]
    if missing := [one for one in meant if one not in slugs]:
        raise NotFoundError(f"{missing[0]} is not among the shots of this day.")
    return [f"{slug}: {sentence}" for slug in meant for sentence in _of_shot(night, screen, slug, rest)]


def _shot_named(part: str) -> tuple[str, str]:
    """The name of the shot that leads a part, and what follows it."""
    line = re.sub(r"^shot\s+", "", part, flags=re.IGNORECASE)
    name, colon, rest = line.partition(":")
    if colon:
        return name.strip(), rest.strip()
    entry = read_shot(line)
    return entry.shot, line[line.index(entry.shot) + len(entry.shot) :].strip()


def _of_shot(night: Night, screen: Screen, slug: str, text: str) -> Sequence[str]:
    """Say what became of a shot, or, where that is said, why."""
    try:
        return night.say(f"shot.{slug}", text)
    except InvalidValueError:
        if not any(one.question.about == slug for one in screen.asking(Asks.WHY)):
            raise
        return night.say(f"shot.{slug}.why", text)


def _numbers(text: str) -> Iterator[int]:
    for part in re.split(r",|and|&", text):
        first, _, last = part.partition("-")
        yield from range(int(first), int(last or first) + 1)


def _of_number(slugs: Sequence[str], number: int) -> str:
    if not 1 <= number <= len(slugs):
        raise NotFoundError(f"There is no shot {number}; the list goes from 1 to {len(slugs)}.")
    return slugs[number - 1]


def _at_after(night: Night, _screen: Screen, part: str) -> Sequence[str]:
    """A lesson, what others see, or a line of the journal."""
    found = _AFTER.fullmatch(part)
    if found is None:
        is_lesson = _LESSON.match(part) and opening(f"- {part}")  # else a day file takes it for journal, too
        return _lesson(night, part) if is_lesson else _added(night, "journal", part)
    word = found["word"].lower()
    return night.say(word, found["rest"]) if word == "shown" else _added(night, word, found["rest"])


def _lesson(night: Night, part: str) -> Sequence[str]:
    """A lesson as a day file writes it: to keep or to change; others have no question here."""
    (said,) = read_entries(f"- {part}")
    if not isinstance(said, LessonEntry) or said.audience or said.verb not in ("keep", "change"):
        raise WrongUseError(
            f'Here you can only note "keep: …" or "change: …", for yourself; '
            f'add "{part}" with "logbook lesson add".'
        )
    return (f"{said.verb}: {said.lesson}", *_added(night, str(said.verb), said.lesson))


_SAID: Mapping[ScreenOf, Callable[[Night, Screen, str], Sequence[str]]] = {
    ScreenOf.CLOCKS: _at_clocks,
    ScreenOf.DAY: _at_day,
    ScreenOf.STAY: say_of_stay,
    ScreenOf.PLANS: _at_plans,
    ScreenOf.AFTER: _at_after,
}
