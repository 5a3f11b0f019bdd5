"""Whether a wished picture comes off at a place that is only described, in a light that somebody states.

One surprising decision: where a tripod may not stand the camera counts as handheld, at the usual wide angle
unless a focal length is told, for that is how one stands there.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from fractions import Fraction

from logbook.craft.exposure import Settings
from logbook.craft.feasible import Verdict, judge_plan
from logbook.craft.filter_types import Filter
from logbook.craft.filters import stack_text
from logbook.craft.plan import Moment, Packed, Plan
from logbook.craft.reach import Reach, reach
from logbook.domain.words import Support

USUAL_ISO = 100  # of a wish that names none (common practice, no source)
USUAL_FOCAL_MM = 24.0  # mm; a usual wide angle for landscapes (common practice, no source)
NO_TIME = datetime(2000, 1, 1, tzinfo=UTC)  # the light is stated, whenever that is


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
