"""Bullet lines of a day file whose first word is known, perhaps behind a ? that says it is only proposed.

One surprising decision: a reader never guesses. It either understands the whole line or says why not, and the
line is then kept word for word among the loose ones.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from logbook.domain.words import Audience, ConditionKind, LessonVerb, OutcomeWord, Reason
from logbook.domain.written import count_written
from logbook.intake.dayfile.conditions import read_conditions, written_condition
from logbook.intake.dayfile.keepers import read_keepers, read_support, written_keepers
from logbook.intake.dayfile.model import (
    ClockEntry,
    ConditionEntry,
    Entry,
    KeepersEntry,
    KitEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.intake.dayfile.understanding import NotUnderstoodError, alternatives, tidied

LONGEST_ENTRY = 2000  # characters of one line

_BULLET = re.compile(r"\s*[-*+•·–—]\s*(?P<proposed>\?\s*)?(?P<word>[A-Za-z]+)(?![\w'’-])")
_CLOCK = re.compile(
    r"(?P<body>\S(?:.*?\S)??)\s*:\s*(?P<add>[+−-]?\s*[0-9]{1,7})(?:\s*s(?:ec(?:onds)?)?)?", re.I
)
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_OUTCOME = re.compile(
    rf"(?P<shot>\S(?:.*?\S)??)\s*(?::|\s)\s*(?P<outcome>{alternatives(OutcomeWord)})(?![\w-])(?P<rest>.*)",
    re.IGNORECASE | re.DOTALL,
)
_BY = re.compile(r"\s*(?:by|with)\s+(.+?)\s*(?=[,;:(]|\s[-–—]\s|$)", re.IGNORECASE | re.DOTALL)
_REASON = re.compile(
    rf"(?:\s*[,;:/+&]|\s+and\b)?\s*(?P<reason>{alternatives(Reason)})(?=\s*(?:$|[,;:/+&(]|and\b|[-–—]\s))",
    re.IGNORECASE,
)
_REASON_IN_TEXT = re.compile(rf"\s*[,;:]?\s*({alternatives(Reason)})(?=\s)", re.IGNORECASE)
_LESSON = re.compile(
    rf"(?P<verb>{alternatives(LessonVerb)})(?![\w-])\s*(?:\[\s*(?P<audience>[^\]]*?)\s*\])?\s*[:,–—-]?\s*(?P<lesson>.+)",
    re.IGNORECASE | re.DOTALL,
)
_KIT = re.compile(
    r"(?P<item>\S(?:.*?\S)??)\s*(?::|\s)\s*(?P<used>not\s+used|unused|used)(?![\w-])(?P<why>.*)",
    re.IGNORECASE | re.DOTALL,
)


def first_word(text: str) -> str | None:
    """The known first word of a bullet line, in lower case; None when the line is no entry."""
    found = _BULLET.match(text)
    word = found["word"].lower() if found else None
    return word if word in _READERS else None


def read_entries(text: str, line: int) -> tuple[Entry, ...]:
    """The entries of a line that `first_word` knows; raises NotUnderstoodError with the reason."""
    found = _BULLET.match(text)
    if found is None or (word := found["word"].lower()) not in _READERS:
        raise NotUnderstoodError("it does not start with a known word")
    if len(text) > LONGEST_ENTRY:
        raise NotUnderstoodError(f"it is longer than {LONGEST_ENTRY} characters")
    if _CONTROL.search(text):
        raise NotUnderstoodError("it holds a control character")
    said = text[found.end() :].strip().removeprefix(":").strip()
    if not said:
        raise NotUnderstoodError(f"nothing follows {word}")
    proposed = found["proposed"] is not None
    return tuple(replace(entry, line=line, text=text, proposed=proposed) for entry in _READERS[word](said))


def written_entries(entries: Sequence[Entry]) -> list[str]:
    """A section's entry lines: the writer's own words where they still say the same, else plain ones."""
    lines: list[str] = []
    at = 0
    while at < len(entries):
        group = [entries[at]]
        for entry in entries[at + 1 :]:
            if (entry.line, entry.text) != (group[0].line, group[0].text):
                break
            group.append(entry)
        if _still_says(group[0].text, group):
            lines.append(group[0].text)
        else:
            lines.extend(written_entry(entry) for entry in group)
        at += len(group)
    return lines


def written_entry(entry: Entry) -> str:
    """One entry as a plain line of its own."""
    return ("- ? " if entry.proposed else "- ") + " ".join(_written(entry).split())


def _still_says(text: str, group: list[Entry]) -> bool:
    try:
        return "\n" not in text and list(read_entries(text, 0)) == group
    except NotUnderstoodError:
        return False


def _written(entry: Entry) -> str:
    match entry:
        case ConditionEntry():
            return written_condition(entry)
        case KeepersEntry():
            return written_keepers(entry)
        case TriesEntry():
            return f"tries: {entry.count}"
        case SupportEntry():
            return f"support: {entry.support}"
        case ShotEntry():
            by = f" by {entry.replaced_by}" if entry.replaced_by else ""
            reasons = "".join(f", {reason}" for reason in entry.reasons)
            return f"shot {entry.shot}: {entry.outcome}{by}{reasons}" + (
                f" - {entry.note}" if entry.note else ""
            )
        case LessonEntry():
            audience = f" [{entry.audience}]" if entry.audience else ""
            return f"lesson {entry.verb}{audience}: {entry.lesson}"
        case KitEntry():
            used = "used" if entry.used else "not used"
            return f"kit {entry.item}: {used}" + (f", {entry.why}" if entry.why else "")
        case ClockEntry():
            return f"clock {entry.body}: {entry.add_s:+d} s"


def _tries(said: str) -> list[TriesEntry]:
    count = count_written(said)
    if count is None:
        raise NotUnderstoodError("tries takes one whole number")
    return [TriesEntry(count)]


def _support(said: str) -> list[SupportEntry]:
    return [SupportEntry(read_support(said))]


def _shot(said: str) -> list[ShotEntry]:
    found = _OUTCOME.fullmatch(said)
    if found is None:
        raise NotUnderstoodError(f"no outcome behind the shot's name: {', '.join(OutcomeWord)}")
    outcome, rest = OutcomeWord(found["outcome"].lower()), found["rest"]
    replaced_by = None
    if outcome is OutcomeWord.REPLACED and (by := _BY.match(rest)):
        replaced_by, rest = by[1], rest[by.end() :]
    reasons: list[Reason] = []
    while not re.match(r"\s*[-–—]\s", rest) and (said_reason := _REASON.match(rest)):
        reason = Reason(said_reason["reason"].lower())
        rest = rest[said_reason.end() :]
        if reason not in reasons:
            reasons.append(reason)
    if not re.match(r"\s*[-–—]\s", rest) and (in_text := _REASON_IN_TEXT.match(rest)):
        reason = Reason(in_text[1].lower())  # "light was flat": a reason and, whole, the note
        reasons.extend([] if reason in reasons else [reason])
    shot = tidied(found["shot"])
    return [ShotEntry(shot, outcome, tuple(reasons), replaced_by, tidied(rest))]


def _lesson(said: str) -> list[LessonEntry]:
    found = _LESSON.fullmatch(said)
    if found is None:
        raise NotUnderstoodError(f"a lesson says {', '.join(LessonVerb)} and then what")
    audience = None
    if found["audience"] is not None:
        typed = found["audience"].lower()
        known = {word.value: word for word in Audience} | {"student": Audience.STUDENTS}
        if typed not in known:
            raise NotUnderstoodError(f"no audience in the brackets: {', '.join(Audience)}")
        audience = known[typed]
    return [LessonEntry(LessonVerb(found["verb"].lower()), audience, found["lesson"].strip())]


def _kit(said: str) -> list[KitEntry]:
    found = _KIT.fullmatch(said)
    if found is None:
        raise NotUnderstoodError("a kit line names a piece and says used or not used")
    return [KitEntry(tidied(found["item"]), found["used"].lower() == "used", tidied(found["why"]) or None)]


def _clock(said: str) -> list[ClockEntry]:
    found = _CLOCK.fullmatch(said)
    if found is None:
        raise NotUnderstoodError("no camera with the seconds to add to its time, such as clock H6: +420 s")
    return [ClockEntry(found["body"], int(found["add"].replace("−", "-").replace(" ", "")))]


def _condition_reader(kind: ConditionKind) -> Callable[[str], Sequence[Entry]]:
    return lambda said: read_conditions(kind, said)


_READERS: dict[str, Callable[[str], Sequence[Entry]]] = {
    **{kind.value: _condition_reader(kind) for kind in ConditionKind},
    "tries": _tries,
    "support": _support,
    "shot": _shot,
    "keeper": read_keepers,
    "keepers": read_keepers,
    "lesson": _lesson,
    "kit": _kit,
    "clock": _clock,
}
