"""A place that is not in the book yet: described in words, and what a wish comes to there.

A description is free words (`crowded pier, no tripod, in October`); the light of a wish is one that somebody
states.

Surprising decisions: words are read exactly as `find` reads them, so that whoever can ask the book can
describe a place to it; what cannot be compared between sites is said, not dropped in silence. Where a tripod
may not stand the camera counts as handheld, at the usual wide angle unless a focal length is told, for that
is how one stands there.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from fractions import Fraction
from typing import Any

from logbook.craft.bearings import COMMON_YEAR, year_angle_deg
from logbook.craft.exposure import Settings
from logbook.craft.feasible import Verdict, judge_plan
from logbook.craft.filter_types import Filter
from logbook.craft.filters import stack_text
from logbook.craft.plan import Moment, Packed, Plan
from logbook.craft.reach import Reach, reach
from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, KINDS
from logbook.domain.words import ConditionKind, Footing, SubjectKind, Support, TripodRule
from logbook.services.alike import PartOfDay, means_of
from logbook.services.find.reading import Term, read
from logbook.services.find.synonyms import Synonyms, folded
from logbook.sky.phases import PhaseKind
from logbook.store.text_index import about
from logbook.store.text_index.clauses import WantedFact

MIDDLE_OF_MONTH = 15
# Words for light that `find` knows by the sun's events, as the tables of light have them.
_PHASES = {
    **dict.fromkeys(("sunrise", "sunset"), (PhaseKind.GOLDEN,)),
    **dict.fromkeys(("dawn", "dusk"), (PhaseKind.BLUE, PhaseKind.GOLDEN)),
    "twilight": (PhaseKind.BLUE, PhaseKind.NAUTICAL),
}
USUAL_ISO = 100  # of a wish that names none (common practice, no source)
USUAL_FOCAL_MM = 24.0  # mm; a usual wide angle for landscapes (common practice, no source)
NO_TIME = datetime(2000, 1, 1, tzinfo=UTC)  # the light is stated, whenever that is


@dataclass(frozen=True, slots=True)
class Described:
    """A place as described: its traits as `alike` compares them, how each part was read, and what was not."""

    traits: dict[str, Any]
    read: tuple[str, ...]
    not_compared: tuple[str, ...]

    @property
    def forbids_tripod(self) -> bool:
        """Whether a tripod may not stand there."""
        return self.traits.get("tripod") == frozenset((str(TripodRule.FORBIDDEN),))


def described(text: str, synonyms: Synonyms) -> Described:
    """Return what free words say of a place; no traits where they say nothing that sites are compared by."""
    question = read(text, synonyms)
    traits: dict[str, Any] = {}
    said: list[str] = []
    left: list[str] = []
    for term in question.terms:
        told = dict(_told(term, synonyms))
        for name, value in told.items():
            traits[name] = traits.get(name, frozenset()) | value if isinstance(value, frozenset) else value
        if told:
            said.append(term.says)
        elif means_of(f"on {term.typed}") is None:
            left.append(term.typed)
    if (means := means_of(text)) is not None:
        traits["access"] = means
        said.append(f"way by {', '.join(sorted(means))}")
    if question.days:
        traits["season"] = year_angle_deg(min(question.days))
        said.append(str(question.says_days))
    return Described(traits, tuple(said), tuple(left))


def _told(term: Term, synonyms: Synonyms) -> Iterator[tuple[str, Any]]:
    """The traits that one part of the words tells."""
    if isinstance(term.clause, WantedFact):
        yield from _of_fact(term.clause)
        return
    names = {folded(name) for name in (term.typed, *synonyms.of(term.typed))}
    if kinds := frozenset(str(kind) for kind in SubjectKind if folded(kind) in names):
        yield "kinds", kinds
    if footings := frozenset(str(one) for one in Footing if folded(one) == folded(term.typed)):
        yield "footing", footings


def _of_fact(fact: WantedFact) -> Iterator[tuple[str, Any]]:
    words = fact.words
    if fact.is_other:
        if fact.kind is about.SUPPORT and Support.TRIPOD in words:
            yield "tripod", frozenset((str(TripodRule.FORBIDDEN),))
        return
    if fact.kind is about.TRIPOD_RULE:
        yield "tripod", frozenset(words)
    elif fact.kind is about.SUPPORT:
        rule = TripodRule.ALLOWED if tuple(words) == (Support.TRIPOD,) else TripodRule.FORBIDDEN
        yield "tripod", frozenset((str(rule),))
    elif fact.kind is about.LIGHT:
        yield "phase", frozenset(str(one) for word in words for one in _PHASES.get(word, (word,)))
    elif fact.kind is about.MONTH:
        yield "season", year_angle_deg(date(COMMON_YEAR, int(words[0][-2:]), MIDDLE_OF_MONTH))
    for kind, level in about.LEVELS.items():
        if fact.kind is level:
            yield from _of_level(kind, fact)


def _of_level(kind: ConditionKind, fact: WantedFact) -> Iterator[tuple[str, Any]]:
    """A level as sites have it: of each part of the day, or as usual; of several the one in their middle."""
    if kind in BY_THE_HOUR:
        yield str(kind), dict.fromkeys(PartOfDay, fact.words[len(fact.words) // 2])
    elif kind in AS_USUAL and KINDS[kind].is_figure and fact.low is not None and fact.high is not None:
        yield str(kind), (fact.low + fact.high) / 2
    elif kind in AS_USUAL and fact.words:
        yield str(kind), fact.words[len(fact.words) // 2]


@dataclass(frozen=True, slots=True)
class WishThere:
    """A picture one would like to make: settings, the scene's EV at ISO 100, and the filters at hand."""

    exposure_s: Fraction
    f_number: float
    scene_ev100: float
    filters: tuple[Filter, ...]
    iso: int = USUAL_ISO
    focal_mm: float = USUAL_FOCAL_MM
    support: Support | None = None


@dataclass(frozen=True, slots=True)
class WishJudged:
    """What a wish comes to: the verdict, why in one clause, on what, and what the filters at hand reach."""

    verdict: Verdict
    reason: str
    support: str
    reach: Reach


def judged_there(wish: WishThere, *, forbids_tripod: bool) -> WishJudged:
    """Judge a wish; CraftValueError for settings or filters that cannot be."""
    support = wish.support or (Support.HANDHELD if forbids_tripod else Support.TRIPOD)
    plan = Plan(
        wish.f_number,
        wish.exposure_s,
        wish.iso,
        wish.focal_mm,
        wish.filters or None,
        support=support,
        no_tripod="tripods are not allowed there" if forbids_tripod else None,
    )
    light = Moment(NO_TIME, 0.0, 0.0, wish.scene_ev100, wish.scene_ev100, wish.scene_ev100)
    judged = judge_plan(plan, Packed(wish.filters), [light])
    found = reach(Settings(wish.f_number, wish.exposure_s, wish.iso), wish.scene_ev100, wish.filters)
    reason = judged.reason
    if judged.verdict is Verdict.FEASIBLE:
        choice = found.best
        with_what = f"with {stack_text(choice.filters)}" if choice.filters else "without filters"
        reason = f"{choice.time_text} {with_what}, {support}"
    return WishJudged(judged.verdict, reason, support, found)
