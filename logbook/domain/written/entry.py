"""What one line says, as frozen values: the entries of a day file, whichever face they were written at.

One surprising decision: the line number and the source line do not take part in comparing, so that two
entries are equal when they say the same thing, wherever and however it was written.
"""

from dataclasses import dataclass, field
from datetime import time

from logbook.domain.words import (
    Audience,
    ConditionKind,
    LessonVerb,
    OutcomeWord,
    Reason,
    Sharpness,
    Support,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Written:
    """Where an entry stands: the line number (from 1; 0 for none) and the source line word for word.

    `proposed` entries (`- ? tries: 14`) are the program's own guess until a person takes the ? away.
    `told` is the sentence that says what was understood, where that differs from what was written.
    """

    line: int = field(default=0, compare=False)
    text: str = field(default="", compare=False)
    told: str = field(default="", compare=False)
    proposed: bool = False


@dataclass(frozen=True, slots=True)
class ConditionEntry(_Written):
    """Something observed; `level` is a word of the kind's scale (wind: Beaufort force), None is free text.

    `note` "unknown" without a level says that somebody looked and could not tell; `direction` is a compass
    point ("NW") or degrees ("280°").
    """

    kind: ConditionKind
    level: str | None = None
    at: time | None = None
    direction: str | None = None
    note: str = ""
    source: str | None = None


@dataclass(frozen=True, slots=True)
class TriesEntry(_Written):
    """How many tries were made."""

    count: int


@dataclass(frozen=True, slots=True)
class SupportEntry(_Written):
    """What held the camera during the visit."""

    support: Support


@dataclass(frozen=True, slots=True)
class ShotEntry(_Written):
    """What became of a planned shot; `shot` and `replaced_by` as typed."""

    shot: str
    outcome: OutcomeWord
    reasons: tuple[Reason, ...] = ()
    replaced_by: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class KeepersEntry(_Written):
    """What the camera cannot know about one keeper (`first` equals `last`) or a range, as typed.

    `filters` () is none and None is unknown; `filters_known` says which, and `filters_said` whether the line
    speaks of filters at all (so that silence never overwrites what was stated before).
    """

    first: str
    last: str
    filters: tuple[str, ...] | None = None
    filters_known: bool = False
    support: Support | None = None
    shot: str | None = None
    viewpoint: str | None = None  # None is the section's own
    caption: str | None = None
    filters_said: bool = False
    sharpness: Sharpness | None = None


@dataclass(frozen=True, slots=True)
class LessonEntry(_Written):
    """Something to keep, change or avoid; `lesson` is the text, `audience` whom it is for besides oneself."""

    verb: LessonVerb
    audience: Audience | None
    lesson: str


@dataclass(frozen=True, slots=True)
class KitEntry(_Written):
    """Whether a piece of kit was used, and why (not)."""

    item: str
    used: bool
    why: str | None = None


@dataclass(frozen=True, slots=True)
class ClockEntry(_Written):
    """What to add to a camera's own time, in seconds, so that it shows the place's; `body` as typed."""

    body: str
    add_s: int


Entry = (
    ConditionEntry
    | TriesEntry
    | SupportEntry
    | ShotEntry
    | KeepersEntry
    | LessonEntry
    | KitEntry
    | ClockEntry
)
