"""What a kind of condition is: its levels, the words for them, how it is asked for, counted and shown.

One surprising decision: patterns are texts here, and whoever reads by them compiles them, for most commands
never read a line.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum, StrEnum, auto

from logbook.domain.words import Reason

# What may follow a line that needs no first word: its time, or where it was.
TIME_OR_END = r"(?:\s*(?:,\s*)?(?:at|@|from)\s?[0-9].*|\s+(?:on|in|by|along|near|around|there|here)\b.*)?"
ABOUT = r"(?:about|around|roughly|approx(?:\.|imately)?|circa|ca?\.|some|~|≈|±)\s*"


class HowCompared(Enum):
    """How two places are compared by a kind."""

    BY_THE_HOUR = auto()  # by what is usual at the same parts of the day
    AS_USUAL = auto()  # by what is usual at any time


@dataclass(frozen=True, slots=True)
class Amount:
    """Numbers that say a level: how they are written (a pattern), and from how many on which level holds."""

    pattern: str
    at_least: Mapping[int, str]

    def level(self, text: str) -> str | None:
        """Return the level that a text matching the pattern says; None where it spans two."""
        levels = {self._level(int(number)) for number in re.findall(r"[0-9]+", text)}
        return levels.pop() if len(levels) == 1 else None

    def _level(self, count: int) -> str:
        return str(self.at_least[max(least for least in self.at_least if least <= count)])


@dataclass(frozen=True, slots=True)
class Opens:
    """Other first words of a line for the same, and whether the word is part of what was seen (`keeps`).

    `bare` is what follows such a word where no colon does, `must` what has to follow it in any case.
    """

    words: tuple[str, ...]
    keeps: bool = False
    bare: str = ""
    must: str = ""


@dataclass(frozen=True, slots=True)
class AskedLevels:
    """Phrases of a question that ask for some levels, and how that is said back."""

    phrases: tuple[str, ...]
    levels: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KindOfCondition:
    """One kind of condition; without `levels` it is always kept in the words of whoever saw it."""

    # Its scale
    levels: tuple[str, ...] = ()  # from little to much
    scale: type[StrEnum] | None = None  # the vocabulary of its levels, where they are no figures
    reason: Reason | None = None  # why a shot may have failed by it
    is_barrier: bool = False  # holds for a whole place, and is shown with its date and source, to be checked
    has_bearing: bool = False  # comes from somewhere
    lasts: bool = False  # may hold on another day, so that a field sheet repeats what was seen of it
    remembered: int = 0  # how high it stands among what earlier visits saw; 0 is not at all

    # What people write
    words: Mapping[str, str] = field(default_factory=dict)  # for a level, in lower case
    unit: str = ""  # a word that may follow a level: dozens *people*
    amount: Amount | None = None  # numbers that say a level
    figures: str = ""  # how a level is written in figures; its group 1 is the level
    needs: str = ""  # what a line lacks that says no level
    beyond: str = ""  # what a line says whose figure is no level
    within: str = ""  # how a level is said within a sentence; its group `word` is a word for it
    denied: str = ""  # the level that such a sentence without that word says: *no tripods*
    before: str = ""  # the words that a level is written back with
    not_before: str = ""  # what turns a level before it into something else: high *tide warning*
    measured: str = ""  # what says no level and is kept in its words: a depth, a speed, a range of levels
    stated: str = ""  # a level in a measure; its group `after` or `before` is the word
    timed: str = ""  # what stands before the time of a measure: *low tide* 16:20
    opens: tuple[Opens, ...] = ()
    alone: tuple[str, ...] = ()  # lines that need no first word
    idioms: str = ""  # what begins with its word and is something else
    said: str = ""  # words of a free line that speak of it
    claim: int = 0  # of kinds that a line has words of, the one with the highest claim is meant
    is_deniable: bool = False  # whether "no" before such a word unsays it

    # How it is asked for, compared and counted
    fact: str = ""  # the beginning of its levels as words of the index, three letters
    asked: tuple[AskedLevels, ...] = ()
    asked_number: str = ""  # how a question writes a level in figures
    synonyms: tuple[tuple[str, ...], ...] = ()  # words that a question may use for one another
    compared: HowCompared | None = None
    limits: bool = False  # whether what was seen at one level alone may be looked for and counted
    divides: bool = False  # whether what worked may be counted level by level
    help: tuple[str, str] = ("", "")  # of the options that describe a place by it, and that look for it

    # How it is shown
    texts: Mapping[str, str] = field(default_factory=dict)  # a level in words, where "water high" does not do
    titles: Mapping[str, str] = field(default_factory=dict)  # of an observation in answers; else "water high"
    in_brief: str = ""  # its levels, where the first to the last does not do
    drawn: str = ""  # the heading of its row in a day's drawing, where it has one
    drawn_as: Mapping[str, str] = field(default_factory=dict)  # a level there; else its own word
    moving: str = ""  # what of it moves before a camera, in words
    moving_from: str = ""  # from which level on
    is_of_light: bool = False  # whether it tells what the light was like

    @property
    def is_figure(self) -> bool:
        """Whether its levels are numbers."""
        return bool(self.levels) and self.scale is None

    def moves(self, level: str | None) -> bool:
        """Return whether so much of it moves before a camera."""
        return level in self.levels and self.levels.index(level) >= self.levels.index(self.moving_from)

    @property
    def span(self) -> str:
        """Its levels in brief: "none to thousands"."""
        return self.in_brief or f"{self.levels[0]} to {self.levels[-1]}"


def words_of(scale: type[StrEnum], *others: tuple[StrEnum, tuple[str, ...]]) -> dict[str, str]:
    """Return the words for the levels of a scale: its own, and others by level."""
    own = {word.value: word.value for word in scale}
    return own | {other: level.value for level, said in others for other in said}


def by_name(kind: str, scale: type[StrEnum], *more: str) -> tuple[AskedLevels, ...]:
    """Return how a question names each level: `water high`, and in what `more` says, such as `{} water`."""
    return tuple(
        AskedLevels((f"{kind} {level}", *(one.format(level) for one in more)), (level,), f"{kind} {level}")
        for level in scale
    )
