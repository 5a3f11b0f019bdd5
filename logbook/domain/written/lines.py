"""Lines whose first word says what they are, perhaps behind a ? that says they are only proposed.

One surprising decision: a reader never guesses. It either understands the whole line or says why not, and the
line is then kept word for word among the loose ones; so is one that opens like an entry with a word nobody
knows, for `crwod: dozens` would be lost in prose.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import partial

from logbook.domain.condition_kinds import KINDS
from logbook.domain.condition_kinds.kind import Opens
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Audience, ConditionKind, LessonVerb
from logbook.domain.written.choices import is_unknown, says_nothing, support_written
from logbook.domain.written.conditions import read_conditions, written_condition
from logbook.domain.written.corrections import correction_written
from logbook.domain.written.counts import count_written, is_about_count
from logbook.domain.written.elsewhen import follows_elsewhen, says_the_contrary
from logbook.domain.written.entry import (
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
from logbook.domain.written.keepers import are_filters, read_keepers, written_keepers
from logbook.domain.written.outcomes import read_shot, written_shot
from logbook.domain.written.understanding import (
    NotUnderstoodError,
    alternatives,
    folded,
    in_doubt,
    is_between,
    tidied,
    understood,
)

LONGEST_ENTRY = 2000  # characters of one line
LONGEST_FILTERS = 40  # characters of a line that is nothing but filters
SHOWN_WORDS = ("crowd", "water", "closure", "keepers", "shot", "lesson")  # what a miss names

_EMOJI = r"[\u2190-\u21ff\u2600-\u27bf\u2b00-\u2bff\ufe0f\u200d\U0001f000-\U0001faff]"
_MARK = r"[-*+•·‣◦▪●○–—]"
_TICKED = r"(?:\[\s?[xX✓✔]\s?\]|[☑✅✓✔])"
_UNTICKED = r"(?:\[\s?-?\s?\]|[☐⬜☒❌✗✘])\ufe0f?"
_BULLET = re.compile(
    rf"\s*(?:{_MARK}(?:\s*{_TICKED})?|{_TICKED}|(?P<number>[0-9]{{1,3}}[.)](?=\s|[A-Za-z])(?:\s*{_TICKED})?))"
    rf"\s*(?P<proposed>\?\s*)?(?:{_EMOJI}+\s*)?(?P<said>(?P<word>[A-Za-z]+)(?![\w'’-])(?P<colon>\s?:(?!//))?.*|.+)",
    re.DOTALL,
)
# What stands before a line that nobody states: a box that is not ticked, and what others wrote.
_UNSTATED = (
    (
        re.compile(rf"\s*(?:(?:{_MARK}|[0-9]{{1,3}}[.)])\s*)?{_UNTICKED}\s*(?P<said>.*)", re.DOTALL),
        "its box is not ticked; if it happened, tick the box or remove it",
    ),
    (
        re.compile(
            rf"\s*(?:(?:{_MARK}|[0-9]{{1,3}}[.)])\s*>(?!\s?[0-9])|>)[\s>]*(?:{_MARK}\s*)?(?P<said>.*)",
            re.DOTALL,
        ),
        "it quotes somebody; remove the > if you saw it yourself",
    ),
)
_CLOCK = re.compile(
    r"(?P<body>\S(?:.*?\S)??)\s*(?::|\s(?=[+−-]\s*[0-9]|(?:[0-9]|an?\s|half\s).*\b(?:slow|fast|behind|ahead)\b))\s*"
    r"(?P<said>.+)",
    re.DOTALL,
)
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_LESSON = re.compile(
    rf"(?:learn(?:ed|t)\s*[:,–—-]?\s*)?(?:(?P<verb>{alternatives(LessonVerb)})(?![\w-])\s*)?(?:\[\s*(?P<audience>[^\]]*?)\s*\])?\s*[:,–—-]?\s*(?P<lesson>.+)",
    re.IGNORECASE | re.DOTALL,
)
_KIT = re.compile(
    r"(?P<item>\S(?:.*?\S)??)\s*(?::|\s)\s*(?P<used>(?:not|never)\s+used|unused|used)(?![\w-])(?P<why>.*)",
    re.IGNORECASE | re.DOTALL,
)
_USED_TO = re.compile(r"\s+(?:to|by)\b", re.IGNORECASE)  # used to be mine, used by Ben
# Lines that need no first word, for they can mean nothing else: ~20 people, 5-6 SW, 0412-0419: nd8.
_ALONE = (
    ("tries", re.compile(r"(?i:(?:about|around|ca\.?|~)?\s?[0-9]{1,5}\stries)[.!]?")),
    *((kind.value, re.compile(alone)) for kind, of in KINDS.items() for alone in of.alone),
    ("keepers", re.compile(r"(?=\S*[0-9]{4})[\w.\-–—]+\s?:\s.+", re.DOTALL)),
    ("support", re.compile(r"(?i:(?:on\s(?:an?|the)\s)?(?:tripod|monopod)|hand[\s-]?held)[.!]?")),
)
_OF_FRAMES = re.compile(r"(?=\S*[0-9]{4})[\w.\-–—]+\s+\S")
# What opens like an entry without a colon and is not one.
_IDIOMS = re.compile(
    rf"(?:{'|'.join(of.idioms for of in KINDS.values() if of.idioms)}|(?:shot|kit)\slist)\b", re.IGNORECASE
)
# Other first words for the same, each with the word that it stands for.
_ALSO = {
    word: (kind.value, opens) for kind, of in KINDS.items() for opens in of.opens for word in opens.words
} | {
    word: (meant, opens)
    for meant, opens in (
        (
            "keepers",
            Opens(("photo", "photos", "picture", "pictures", "frame", "frames"), bare=r"#?[A-Za-z_]*[0-9]"),
        ),
        ("lesson", Opens(("lessons", "learned", "learnt"))),
        ("tries", Opens(("attempts", "frames tried"))),
        ("filter", Opens(("filters",))),
    )
    for word in opens.words
}


@dataclass(frozen=True, slots=True)
class LineOpening:
    """How a line opens that means to be an entry: the word that says what it is, and what follows.

    `unstated` says why nobody states it, where its box is not ticked or it quotes others.
    """

    word: str
    said: str
    proposed: bool
    unstated: str = ""


def opening(text: str) -> LineOpening | None:
    """Return how a bullet line opens that means to be an entry; None for prose.

    A word nobody knows is such an opening too, where a colon stands right behind it.
    """
    for pattern, why in _UNSTATED:
        if unstated := pattern.fullmatch(text):
            inner = opening(f"- {unstated['said']}")
            return replace(inner, unstated=why) if inner and inner.word in _READERS else None
    found = _BULLET.fullmatch(text)
    if found is None:
        return None
    if found["number"] and not (found["colon"] or _alone(found["said"].strip())):
        return None  # "14. light on the ridge" may be a date
    said, typed = found["said"].strip(), found["word"] or ""
    proposed, word = found["proposed"] is not None, typed.lower()
    if not found["colon"] and _IDIOMS.match(said):
        return None
    alone = None if found["colon"] or (word in _READERS and word != ConditionKind.LIGHT) else _alone(said)
    if alone is not None:
        return LineOpening(alone, said, proposed)
    rest = said[len(typed) :].strip().removeprefix(":").strip()
    if word in _ALSO:
        meant, opens = _ALSO[word]
        if not found["colon"] and (dashed := re.match(r"[-–—]\s+", rest)):
            return LineOpening(meant, rest[dashed.end() :], proposed)
        is_fitting = not opens.must or re.search(opens.must, rest, re.IGNORECASE)
        is_meant = found["colon"] or (opens.bare and re.match(opens.bare, rest, re.IGNORECASE))
        if is_fitting and is_meant:
            return LineOpening(meant, f"{typed} {rest}".strip() if opens.keeps and rest else rest, proposed)
    return LineOpening(word, rest, proposed) if word in _READERS or found["colon"] else None


def read_entries(text: str, line: int = 0) -> tuple[Entry, ...]:
    """The entries of a bullet line; raises NotUnderstoodError with the reason."""
    found = opening(text)
    if found is None:
        raise NotUnderstoodError("it does not start with a known word")
    if found.unstated:
        raise NotUnderstoodError(found.unstated)
    if len(text) > LONGEST_ENTRY:
        raise NotUnderstoodError(f"it is longer than {LONGEST_ENTRY} characters")
    if _CONTROL.search(text):
        raise NotUnderstoodError("it contains a control character")
    if found.word not in _READERS:
        near = [] if found.word in _ALSO else get_close_matches(found.word, [*_READERS, *_ALSO], 1)
        meant = f"; did you mean {near[0]}?" if near else f", such as {', '.join(SHOWN_WORDS)}"
        raise NotUnderstoodError(f'"{found.word}" is not a word that starts an entry{meant}')
    if not found.said:
        raise NotUnderstoodError(f"nothing follows {found.word}")
    try:
        entries = _READERS[found.word](found.said)
    except NotUnderstoodError:
        raise
    except InvalidValueError as error:
        raise NotUnderstoodError(str(error).rstrip(".")) from None
    return tuple(
        replace(entry, line=line, text=text, told=entry.told or _told(entry, found), proposed=found.proposed)
        for entry in entries
    )


def _told(entry: Entry, found: LineOpening) -> str:
    """The sentence that says what was read, where a line became another kind than its first word says."""
    if not isinstance(entry, ConditionEntry) or entry.kind == found.word:
        return ""
    return understood(f"{found.word}: {found.said}", written_condition(entry)) or ""


def _alone(said: str) -> str | None:
    """What a line is that has no first word: `~20 people`, or filters whose keepers it does not name."""
    for word, pattern in _ALONE:
        if pattern.fullmatch(said):
            return word
    if _OF_FRAMES.match(said) and _are_frames(said):
        return "keepers"
    return (
        "filter"
        if len(said) <= LONGEST_FILTERS and any(map(str.isdigit, said)) and are_filters(said)
        else None
    )


def _are_frames(said: str) -> bool:
    """Whether frames without a colon are followed by what was before the lens: `0412 nd8, tripod`.

    "1845 none" and "1830-1900 tripod" are no such lines: they may be times. Neither is "nd1000 + pol".
    """
    if are_filters(said.split()[0]):
        return False
    try:
        found = read_keepers(said)[0]
    except (InvalidValueError, NotUnderstoodError):
        return False
    return bool(found.filters) and not (found.caption or found.viewpoint or found.shot)


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
            return written_shot(entry)
        case LessonEntry():
            audience = f" [{entry.audience}]" if entry.audience else ""
            return f"lesson {entry.verb}{audience}: {entry.lesson}"
        case KitEntry():
            used = "used" if entry.used else "not used"
            return f"kit {entry.item}: {used}" + (f", {entry.why}" if entry.why else "")
        case ClockEntry():
            return f"clock {entry.body}: {entry.add_s:+d} s"


_UNANSWERED = re.compile(r"[^\s:]+:")  # the short name of a shot, and nothing more


def _tries(said: str) -> list[TriesEntry]:
    count = count_written(said)
    if count is None:
        raise NotUnderstoodError("it needs one whole number, such as tries: 14")
    told = understood(said, str(count)) if is_about_count(said) else None
    return [TriesEntry(count, told=told or "")]


def _support(said: str) -> list[SupportEntry]:
    return [SupportEntry(support_written(said))]


def _shot(said: str) -> list[ShotEntry]:
    if _UNANSWERED.fullmatch(said):
        return []  # a draft asks what became of it, and nobody has answered
    return [read_shot(said)]


def _filter(_said: str) -> list[KeepersEntry]:
    raise NotUnderstoodError("filters need their keepers; write keepers 0412-0419: nd8 + pol")


def _lesson(said: str) -> list[LessonEntry]:
    found = _LESSON.fullmatch(said)
    if found is None:
        raise NotUnderstoodError(f"a lesson starts with one of {', '.join(LessonVerb)}, and then says what")
    if is_unknown(re.sub(r"\s+(?:yet|really)[.!]*$", "", found["lesson"])):
        raise NotUnderstoodError("it says that nobody knows; say what was learned, or leave out the line")
    if says_nothing(found["lesson"]):
        raise NotUnderstoodError("it says that nothing was learned; say what was, or leave out the line")
    audience = None
    if found["audience"] is not None:
        typed = found["audience"].lower()
        known = {word.value: word for word in Audience} | {"student": Audience.STUDENTS}
        if typed not in known:
            raise NotUnderstoodError(f"the brackets must name an audience: one of {', '.join(Audience)}")
        audience = known[typed]
    if not found["verb"] and folded(found["lesson"]) in list(LessonVerb):
        raise NotUnderstoodError("nothing follows lesson")
    verb = LessonVerb(found["verb"].lower()) if found["verb"] else LessonVerb.CHANGE
    return [LessonEntry(verb, audience, found["lesson"].strip())]


def _kit(said: str) -> list[KitEntry]:
    found = _KIT.fullmatch(said)
    if found is None:
        raise NotUnderstoodError("a kit line needs a piece of kit, and used or not used")
    if in_doubt(found["why"]):
        raise NotUnderstoodError("a question mark leaves it open; write used or not used without one")
    if is_between(found["item"]) or _USED_TO.match(found["why"]) or follows_elsewhen(found["why"]):
        raise NotUnderstoodError("other words stand around used; write used or not used behind the colon")
    return [KitEntry(tidied(found["item"]), found["used"].lower() == "used", tidied(found["why"]) or None)]


def _clock(said: str) -> list[ClockEntry]:
    found = _CLOCK.fullmatch(said)
    if found is None:
        raise NotUnderstoodError(
            "a clock line needs a camera and the seconds to add, such as clock Thistle: +420 s"
        )
    return [ClockEntry(found["body"], correction_written(found["said"]))]


def _condition_reader(kind: ConditionKind) -> Callable[[str], Sequence[Entry]]:
    return partial(_barrier if KINDS[kind].is_barrier else read_conditions, kind)


def _barrier(kind: ConditionKind, said: str) -> Sequence[Entry]:
    if says_nothing(re.split(r"[,;]|\bbut\b", said)[0]) or says_the_contrary(kind, said):
        raise NotUnderstoodError("it says that nothing was closed; say what was, or leave out the line")
    return read_conditions(kind, re.sub(r"^of\s+", "", said))


_READERS: dict[str, Callable[[str], Sequence[Entry]]] = {
    **{kind.value: _condition_reader(kind) for kind in ConditionKind},
    "tries": _tries,
    "support": _support,
    "shot": _shot,
    "filter": _filter,
    "keeper": read_keepers,
    "keepers": read_keepers,
    "lesson": _lesson,
    "kit": _kit,
    "clock": _clock,
}
