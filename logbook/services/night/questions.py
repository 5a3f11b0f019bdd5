"""A question of a night: what is asked, what Enter would take, and why.

One surprising decision: a default is never an answer. Enter takes it as what it is, `inferred` or `assumed`;
only what is typed, or `y`, is stated.
"""

import re
from dataclasses import dataclass
from enum import StrEnum

from logbook.craft.clocks import SettledClock
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Provenance

UNSURE = "?"  # ends an answer that waits for a yes before it goes into the book
# Answers of other questions: alone they name no place, and are no sentence that anybody would read again.
_ELSEWHERE = re.compile(
    r"(?:the\s+)?(?:same|ditto|yes|ok|okay|sure|made|done|skip|help|quit|exit|back)(?:\s+(?:as\s+)?(?:before|again))?[.!]?",
    re.IGNORECASE,
)


class Asks(StrEnum):
    """What a question is about; each has its own way of reading an answer."""

    ZONE = "zone"
    CLOCK = "clock"
    CHANGES = "changes"
    VIEWPOINT = "viewpoint"
    NEW_VIEWPOINT = "new viewpoint"
    TIMES = "times"
    CROWD = "crowd"
    CONDITIONS = "conditions"
    SUPPORT = "support"
    TRIES = "tries"
    IN_THE_WAY = "in the way"
    LEARNED = "learned"
    CHANGED = "changed"
    FILTERS = "filters"
    SURE = "sure"
    SHOT = "shot"
    SHARPNESS = "sharpness"
    STAY = "stay"
    OUTCOME = "outcome"
    WHY = "why"
    KEEP = "keep"
    CHANGE = "change"
    JOURNAL = "journal"
    SHOWN = "shown"


SEVERAL = frozenset(  # each line an answer of its own
    (Asks.CHANGES, Asks.CONDITIONS, Asks.LEARNED, Asks.STAY, Asks.KEEP, Asks.CHANGE, Asks.JOURNAL)
)


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer as it was given: its text, and where its value came from (None: unknown)."""

    text: str
    word: Provenance | None


@dataclass(frozen=True, slots=True)
class Question:
    """One question; `default` is what Enter takes ("" is nothing), with where that came from.

    `shows` says when and how the frames were made that it is about, or what was planned; `hint` names the
    words that an answer may have, for whoever does not know them yet. None of it speaks of keys or buttons.
    """

    key: str
    asks: Asks
    chapter: str
    text: str
    default: str = ""
    came_from: Provenance | None = None
    why: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    about: str = ""  # record id, body, shot slug: what the answer belongs to
    hint: str = ""
    shows: str = ""
    enter: str = ""  # what an empty answer comes to, where nothing is proposed or that is not plain


@dataclass(frozen=True, slots=True)
class LineMeant:
    """What a typed line means at a question: the text of the answer, and where its value comes from.

    `word` None is unknown.
    """

    text: str
    word: Provenance | None


def meant_by(question: Question, line: str) -> LineMeant:
    """Return what a line means: nothing takes the default as what it is, `y` states it, `?` is unknown.

    Raises InvalidValueError for a yes where nothing is proposed.
    """
    typed = line.strip()
    is_yes = typed.lower() in ("y", "yes")
    if typed == "?":
        return LineMeant("", None)
    if is_yes and question.choices[:1] == ("y",):
        return LineMeant("y", Provenance.STATED)
    if is_yes and not question.default:
        raise InvalidValueError("Nothing is proposed here; type your answer, or press Enter.")
    if is_yes:
        return LineMeant(question.default, Provenance.STATED)
    if not typed:
        return LineMeant(question.default, question.came_from or Provenance.ASSUMED)
    return LineMeant(line, Provenance.STATED)


def clock_name(clock: SettledClock) -> str:
    """Return what tells one clock of a day from another: the camera, and since when it holds."""
    return clock.body if clock.since is None else f"{clock.body} since {clock.since.isoformat()}"


def is_answer_elsewhere(text: str) -> bool:
    """Tell whether a text is only an answer to another question, such as `same` or `yes`."""
    return _ELSEWHERE.fullmatch(text.strip()) is not None
