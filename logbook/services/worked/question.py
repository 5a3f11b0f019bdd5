"""What can be asked about what worked, and how the answer counts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from logbook.craft.statistics import Rate, SpreadInStops, TriesNeeded
from logbook.domain.words import ConditionKind, Reason, SubjectKind, Support, TripodRule
from logbook.services.alike.happened import PastLesson


class By(StrEnum):
    """What the answer compares besides the levels of a kind of condition: an approach, or what was met."""

    SUPPORT = "support"
    FILTERS = "filters"
    TECHNIQUE = "technique"
    PHASE = "phase"
    REASON = "reason"


class Denominator(StrEnum):
    """What k is counted against, best first."""

    TRIES = "tries"
    SHOTS = "shots"
    FILES = "file numbers"
    NONE = "nothing"
    MIXED = "mixed"


@dataclass(frozen=True, slots=True)
class WorkedQuestion:
    """What to count; None leaves a condition away. `within_km` turns `near` from likeness to distance."""

    by: By | ConditionKind
    kind: SubjectKind | None = None
    near: str | None = None
    within_km: float | None = None
    levels: Mapping[ConditionKind, str] = field(default_factory=dict)
    tripod: TripodRule | None = None
    technique: str | None = None
    support: Support | None = None
    against: Denominator | None = None


@dataclass(frozen=True, slots=True)
class Near:
    """A site that the answer draws on, and why: the site itself, its similarity or its distance."""

    slug: str
    similarity: float | None = None
    distance_km: float | None = None


@dataclass(frozen=True, slots=True)
class Miss:
    """How often a reason was given for shots that were not made, and for which."""

    reason: Reason
    count: int
    shots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShotCount:
    """Shots by what became of them; open ones are not counted in `known`."""

    made: int = 0
    partly: int = 0
    replaced: int = 0
    missed: int = 0
    open: int = 0

    @property
    def known(self) -> int:
        """Shots whose outcome somebody wrote down."""
        return self.made + self.partly + self.replaced + self.missed


@dataclass(frozen=True, slots=True)
class Row:
    """One approach; `approach` None is unknown. The rate's k and n are of `denominator`.

    `judged_sharp` of the pictures in k were judged sharp by a person, the others were kept without a word on
    it; of those, `measured_sharp` and `measured_soft` were measured to be so, which nobody has confirmed.
    `sources` are the ids of the rows it was counted from, by noun.
    """

    approach: str | None
    denominator: Denominator
    rate: Rate
    needed: TriesNeeded | None
    judged_sharp: int
    shots: ShotCount
    misses: tuple[Miss, ...]
    settings: Mapping[str, SpreadInStops]
    lessons: tuple[PastLesson, ...]
    notes: tuple[str, ...] = ()
    sources: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    measured_sharp: int = 0
    measured_soft: int = 0


@dataclass(frozen=True, slots=True)
class Undivided:
    """A visit whose declared tries belong to several approaches at once, so that no row may claim them."""

    visit: str
    tries: int
    kept: int
    approaches: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """The answer; `near` says which sites it draws on where one was named. `sites` is how many there are."""

    question: WorkedQuestion
    denominator: Denominator
    rows: tuple[Row, ...]
    undivided: tuple[Undivided, ...]
    near: tuple[Near, ...]
    sites: int
