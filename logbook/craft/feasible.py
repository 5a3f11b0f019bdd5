"""Whether a planned shot can be made with what is packed, in the light its hour usually has.

One surprising decision: the plan is judged at the best moment of its window, because the photographer chooses
the moment; and what misses by less than the light may be off is doubtful, never refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, tzinfo
from enum import StrEnum
from fractions import Fraction

from logbook.craft.advice import brighten, darken, is_brief, lower_iso
from logbook.craft.eclipsed import dimming_text
from logbook.craft.exposure import SAME_STOPS, Settings, same
from logbook.craft.filters import stack_stops, stack_text
from logbook.craft.light import NEAR_FRAME_DEG, FrameSpan, frame_spans, spans_text
from logbook.craft.marks import exposure_text, number_text
from logbook.craft.met_light import met_text
from logbook.craft.optics import angle_of_view, equivalent_focal_mm
from logbook.craft.plan import (
    BRIEF_ENOUGH_S,
    LightCurve,
    Moment,
    Packed,
    Plan,
    asked_ev100,
    best_moment,
    gathered,
    usable_filters,
)
from logbook.craft.reach import Reach, reach
from logbook.craft.settings_text import exposed_text
from logbook.craft.steadiness import Steady, SteadyVerdict, steadiness
from logbook.craft.view import View

CHANGING_STOPS = 1.0  # of the light while the shutter is open; what is worth saying (own convention)


class Verdict(StrEnum):
    """What a plan comes to."""

    FEASIBLE = "feasible"
    DOUBTFUL = "doubtful"
    TOO_BRIGHT = "too bright"
    TOO_DARK = "too dark"
    SUN_IN_FRAME = "sun in frame"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Feasibility:
    """The verdict and its reason in one line.

    `off_stops` says by how much the light misses: above 0 it is too bright, below 0 too dark; None where no
    number says it. `sun_near` are the spans of the window in which the sun stands in or near the frame, in
    the place's zone; `moment` is the one that was judged.
    """

    verdict: Verdict
    off_stops: float | None
    reason: str
    working: str
    sun_near: tuple[FrameSpan, ...] = ()
    moment: Moment | None = None


@dataclass(frozen=True, slots=True)
class _Finding:
    verdict: Verdict
    off_stops: float | None
    reason: str


def judge_plan(
    plan: Plan,
    packed: Packed,
    moments: Sequence[Moment],
    notes: Sequence[str] = (),
    zone: tzinfo = UTC,
    later: Sequence[Moment] = (),
) -> Feasibility:
    """Judge a plan in the light of its window; `moments` empty means that its light is unknown.

    `notes` are things to know that change no number; they follow the reason. `zone` is that of the place, by
    whose clock times are told. `later` are moments after the window, while a shutter may still be open.
    Raises CraftValueError for settings or filters that cannot be.
    """
    moment = best_moment(plan, packed, gathered(plan, moments, later))
    reached = None
    if moment is not None and plan.wish is not None:
        reached = reach(plan.wish, moment.scene_ev100, usable_filters(plan, packed))
    near, sun = _sun(plan, packed, moments, zone)
    in_order = (
        _too_bright(plan, packed, reached, moment),
        _filtered_too_much(plan, reached, moment),
        _no_tripod(plan),
        _unsteady(plan, packed, reached, moment),
        _too_dark(plan, reached, moment),
        sun,
        _unknown(plan, moments),
    )
    findings = sorted((found for found in in_order if found), key=lambda found: _WEIGHT[found.verdict])
    takes_s = reached.best.exposure_s if reached and not findings else plan.exposure_s
    open_light = _open_light(plan, takes_s, moment, LightCurve((*moments, *later)))
    finding = (findings or [_feasible(plan, reached, moment, zone, open_light)])[0]
    met = (met_text(moment.witnesses),) if moment and moment.witnesses else ()
    hidden = (f"the sun is behind {plan.skyline} then",) if moment and moment.is_hidden else ()
    eclipsed = _eclipsed(moment, moments, zone)
    reason = "; ".join((finding.reason, *open_light.words(), *hidden, *eclipsed, *met, *notes))
    working = _working(plan, packed, reached, moment, zone)
    return Feasibility(finding.verdict, finding.off_stops, reason, working, near, moment)


def _eclipsed(moment: Moment | None, moments: Sequence[Moment], zone: tzinfo) -> tuple[str, ...]:
    """What an eclipse within the window does at the moment that was judged, or that it does nothing."""
    dimmed = [one.at for one in moments if one.dimming]
    if moment is None or not dimmed:
        return ()
    at = f"{moment.at.astimezone(zone):%H:%M}"
    if moment.dimming:
        return (f"at {at} {dimming_text(moment.dimming)}",)
    takes = "takes no light yet" if moment.at < dimmed[0] else "no longer takes light"
    return (f"at {at} the eclipse {takes}",)


@dataclass(frozen=True, slots=True)
class _OpenLight:
    """What the light does while the shutter is open, in stops: how it changes, and by how much it misses.

    `missed_stops` is how much brighter (+) the picture comes out than the time was worked out for.
    """

    change_stops: float = 0.0
    missed_stops: float = 0.0

    def words(self) -> tuple[str, ...]:
        """What is worth saying of it."""
        ends = "which is counted"
        if not same(self.missed_stops):
            side = "bright" if self.missed_stops > 0 else "dark"
            ends = f"so the picture comes out {_about(abs(self.missed_stops))} too {side}"
        elif round(abs(self.change_stops), 1) <= CHANGING_STOPS:
            return ()
        way = "brighter" if self.change_stops > 0 else "darker"
        return (f"while the shutter is open the light gets {_about(abs(self.change_stops))} {way}, {ends}",)


def _open_light(plan: Plan, takes_s: Fraction | None, moment: Moment | None, curve: LightCurve) -> _OpenLight:
    """The light of the time that the picture takes; that of the planned time is in the moment."""
    if takes_s is None or plan.exposure_s is None or moment is None or takes_s <= BRIEF_ENOUGH_S:
        return _OpenLight()
    planned_s = float(plan.exposure_s)
    counted = 0.0 if planned_s <= BRIEF_ENOUGH_S else curve.gained_stops(moment.at, planned_s)
    change = curve.change_stops(moment.at, float(takes_s))
    return _OpenLight(change, curve.gained_stops(moment.at, float(takes_s)) - counted)


_HELD = {"monopod": "on a monopod", "other": "on this support"}

# What cannot be made comes first, then what may not come off; among equals the order of the checks holds.
_WEIGHT = {
    Verdict.TOO_BRIGHT: 0,
    Verdict.TOO_DARK: 0,
    Verdict.DOUBTFUL: 1,
    Verdict.SUN_IN_FRAME: 2,
    Verdict.UNKNOWN: 3,
}


def _too_bright(plan: Plan, packed: Packed, reached: Reach | None, moment: Moment | None) -> _Finding | None:
    """More light than the filters can take away, or a brief time that they would make a long one."""
    wish = plan.wish
    if reached is None or moment is None or wish is None:
        return None
    over, limit = reached.short_stops, reached.scene_limit_ev100
    if not plan.filters and _is_drawn_out(wish, reached):
        over, limit = reached.needed_stops, asked_ev100(wish)
    if not over or same(over):
        return None
    verdict = _unless_within(Verdict.TOO_BRIGHT, moment.low_ev100 - limit)
    advice = darken(wish, over) if is_brief(wish) else _filters_asked(plan, packed, reached, moment, wish)
    return _Finding(verdict, over, f"{exposed_text(wish)}: {advice}")


def _is_drawn_out(wish: Settings, reached: Reach) -> bool:
    """Whether a brief time would become a longer one with every stack that takes enough light."""
    if not is_brief(wish) or not reached.choices:
        return False
    least = min(reached.needed_stops, reached.choices[0].beyond_stops)
    return least > 0 and not same(least)


def _filtered_too_much(plan: Plan, reached: Reach | None, moment: Moment | None) -> _Finding | None:
    """Filters of the plan that take more than its brief time leaves room for."""
    wish = plan.wish
    if reached is None or moment is None or wish is None or not plan.filters:
        return None
    if not _is_drawn_out(wish, reached):
        return None
    choice = reached.choices[0]
    least = stack_stops(choice.filters).low_stops or 0.0  # a polariser may take little
    dark = least - reached.needed_stops
    if dark <= 0 or same(dark):
        return None
    verdict = _unless_within(Verdict.TOO_DARK, dark - (moment.high_ev100 - moment.scene_ev100))
    needed = f"it needs {_about(reached.needed_stops)} of filtration"
    give = "gives" if len(choice.filters) == 1 else "give"
    given = f"but the plan's {stack_text(choice.filters)} {give} {number_text(least, 1)}"
    return _Finding(verdict, -dark, f"{exposed_text(wish)}: {needed}, {given}")


def _filters_asked(plan: Plan, packed: Packed, reached: Reach, moment: Moment, wish: Settings) -> str:
    """What a long time in too much light asks for: filters, and which are at hand."""
    needed = f"it needs {_about(reached.needed_stops)} of filtration"
    with_packed = reach(wish, moment.scene_ev100, packed.filters)
    if plan.filters is not None and with_packed.choices:
        return f"{needed}, so use the packed {stack_text(with_packed.choices[0].filters)}"
    iso = lower_iso(wish, reached.short_stops)
    instead = f"; {iso} would do" if iso else ""
    strongest = number_text(reached.strongest_stops, 1)
    if plan.filters is None:
        return f"{needed}, but the packed filters give {strongest}{instead}"
    if not plan.filters:
        return f"{needed}, but the plan has none{instead}"
    give = "gives" if len(plan.filters) == 1 else "give"
    return f"{needed}, but the plan's {stack_text(plan.filters)} {give} {strongest}{instead}"


def _no_tripod(plan: Plan) -> _Finding | None:
    """A tripod that may not stand: whether something else holds long enough is for the person to find out."""
    if plan.support == "tripod" and plan.no_tripod:
        return _Finding(Verdict.DOUBTFUL, None, plan.no_tripod)
    return None


def _too_dark(plan: Plan, reached: Reach | None, moment: Moment | None) -> _Finding | None:
    """Less light than the planned time needs."""
    wish = plan.wish
    if reached is None or moment is None or wish is None:
        return None
    dark = -reached.needed_stops
    if dark <= 0 or same(dark):
        return None
    verdict = _unless_within(Verdict.TOO_DARK, asked_ev100(wish) - moment.high_ev100)
    takes_s = _real_time(plan, reached) or wish.exposure_s
    advice = brighten(wish, dark, takes_s, plan.support)
    return _Finding(verdict, -dark, f"{exposed_text(wish)}: {advice}")


def _unsteady(plan: Plan, packed: Packed, reached: Reach | None, moment: Moment | None) -> _Finding | None:
    """A time too long for what holds the camera; doubtful, unless it is the light that asks for it."""
    time = _real_time(plan, reached)
    if plan.support == "tripod" or time is None or plan.focal_mm is None:
        return None
    support = plan.support or "unknown"
    steady = _steadiness(plan, packed, time)
    what = f"{exposure_text(time)} at {number_text(plan.focal_mm)} mm"
    is_darkness = plan.exposure_s is not None and time > plan.exposure_s
    that = " that" if is_darkness else ""
    if is_darkness and plan.exposure_s is not None:
        behind = f"with {stack_text(reached.best.filters)} " if reached and reached.best.filters else ""
        what = f"{behind}the light calls for {what} instead of {exposure_text(plan.exposure_s)};"
    if steady.verdict is SteadyVerdict.UNKNOWN:
        over = _about(-steady.margin_stops)
        return _Finding(
            Verdict.UNKNOWN,
            None,
            f"{what}{that} is {over} slower than the handheld guide; say what supports the camera",
        )
    beyond = -(steady.margin_stops + (steady.support_high_stops or 0.0))
    if steady.verdict in (SteadyVerdict.STEADY, SteadyVerdict.LIKELY) or same(beyond):
        return None
    adds = ", even allowing for the support" if steady.support_high_stops else ""
    held = f"{_HELD.get(support, support)}{',' if is_darkness else ''}"
    reason = f"{what} {held}{that} is {_about(beyond)} beyond the guide{adds}"
    if not is_darkness or moment is None or plan.wish is None or reached is None:
        return _Finding(Verdict.DOUBTFUL, None, reason)
    verdict = _unless_within(Verdict.TOO_DARK, beyond - (moment.high_ev100 - moment.scene_ev100))
    dark = reached.best.beyond_stops  # a filter of the plan may take more than the light has to spare
    advice = brighten(plan.wish, dark, time, plan.support)
    return _Finding(verdict, -dark, f"{reason}; {advice}")


def _unless_within(verdict: Verdict, beyond_range_stops: float) -> Verdict:
    """The verdict, or doubt where the light at the kind end of its range would do, to a third of a stop."""
    return verdict if beyond_range_stops > SAME_STOPS + 1e-9 else Verdict.DOUBTFUL


def _sun(
    plan: Plan, packed: Packed, moments: Sequence[Moment], zone: tzinfo
) -> tuple[tuple[FrameSpan, ...], _Finding | None]:
    """When the sun stands in or near the frame, and the finding when it stands in it."""
    if plan.facing_deg is None or plan.focal_mm is None or not moments:
        return (), None
    angle = angle_of_view(plan.focal_mm, packed.sensor)
    view = View(plan.facing_deg, angle.horizontal_deg, angle.vertical_deg)
    near, spans = (
        tuple(span.shown_in(zone) for span in frame_spans(view, moments, within_deg, plan.sun_up_deg))
        for within_deg in (NEAR_FRAME_DEG, 0.0)
    )
    if not spans:
        return near, None
    return near, _Finding(Verdict.SUN_IN_FRAME, None, f"the sun is in the frame {spans_text(spans)}")


def _unknown(plan: Plan, moments: Sequence[Moment]) -> _Finding | None:
    missing = [
        word
        for word, value in (
            ("aperture", plan.f_number),
            ("shutter speed", plan.exposure_s),
            ("ISO", plan.iso),
        )
        if value is None
    ]
    if missing:
        return _Finding(Verdict.UNKNOWN, None, f"the plan gives no {' or '.join(missing)}")
    if not moments:
        return _Finding(Verdict.UNKNOWN, None, "the light is unknown until the plan has a date and a place")
    return None


def _feasible(
    plan: Plan, reached: Reach | None, moment: Moment | None, zone: tzinfo, open_light: _OpenLight
) -> _Finding:
    """The time and what it takes; doubtful where the light changes too much while the shutter is open."""
    assert reached is not None
    assert moment is not None
    choice, off = reached.best, open_light.missed_stops
    time = exposure_text(choice.exposure_s)
    held = plan.support or "any support"
    with_what = f"with {stack_text(choice.filters)}" if choice.filters else "without filters"
    reason = f"{time} {with_what} at {moment.at.astimezone(zone):%H:%M}, {held}"
    if same(off):
        return _Finding(Verdict.FEASIBLE, 0.0, reason)
    if off > 0:
        beyond = off - (moment.scene_ev100 - moment.low_ev100)
        return _Finding(_unless_within(Verdict.TOO_BRIGHT, beyond), off, reason)
    beyond = -off - (moment.high_ev100 - moment.scene_ev100)
    return _Finding(_unless_within(Verdict.TOO_DARK, beyond), off, reason)


def _real_time(plan: Plan, reached: Reach | None) -> Fraction | None:
    """The time the camera will really need: the planned one, or longer where the scene is too dark for it."""
    if reached is None or plan.exposure_s is None:
        return plan.exposure_s
    choice = reached.best
    return max(plan.exposure_s, choice.exposure_s) if not same(choice.beyond_stops) else plan.exposure_s


def _working(plan: Plan, packed: Packed, reached: Reach | None, moment: Moment | None, zone: tzinfo) -> str:
    parts = []
    if moment is not None and reached is not None:
        parts.append(
            f"{moment.at.astimezone(zone):%H:%M} sun {number_text(moment.altitude_deg, 1)}°, light EV100 "
            f"{number_text(moment.low_ev100, 1)} to {number_text(moment.high_ev100, 1)}"
        )
        parts.append(reached.working)
    time = _real_time(plan, reached)
    if time is not None and plan.focal_mm is not None:
        parts.append(_steadiness(plan, packed, time).working)
    return "; ".join(parts)


def _steadiness(plan: Plan, packed: Packed, time_s: Fraction) -> Steady:
    assert plan.focal_mm is not None
    return steadiness(
        time_s,
        equivalent_focal_mm(plan.focal_mm, packed.sensor),
        plan.support or "unknown",
        stabilisation_stops=packed.stabilisation_stops,
    )


def _about(stops: float) -> str:
    """Stops to a tenth, because the light is no better known."""
    body = number_text(stops, 1)
    return f"{body} stop" if body == "1" else f"{body} stops"
