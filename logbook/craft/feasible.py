"""Whether a planned shot can be made with what is packed, in the light its hour usually has.

One surprising decision: the plan is judged at the best moment of its window, because the photographer chooses
the moment; and a scene that is too dark is called so only beyond the two stops that clear-sky guidance is
worth, while a missing filter is counted to a third of a stop.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from datetime import time as clock
from enum import StrEnum
from fractions import Fraction
from math import inf

from logbook.craft.daylight import GUIDANCE_STOPS
from logbook.craft.exposure import Settings, ev100, same
from logbook.craft.filters import Filter, stack_text
from logbook.craft.light import NEAR_FRAME_DEG, FrameSpan, frame_spans, spans_where
from logbook.craft.marks import aperture_text, exposure_text, number_text
from logbook.craft.optics import FULL_FRAME, Sensor, angle_of_view, equivalent_focal_mm
from logbook.craft.reach import Reach, reach
from logbook.craft.steadiness import SteadyVerdict, steadiness
from logbook.craft.view import View


class Verdict(StrEnum):
    """What a plan comes to."""

    FEASIBLE = "feasible"
    SHORT = "short"
    UNSTEADY = "unsteady"
    SUN_IN_FRAME = "sun in frame"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Plan:
    """What was planned, in plain values; None is unknown, `filters` () is none."""

    f_number: float | None = None
    exposure_s: Fraction | None = None
    iso: int | None = None
    focal_mm: float | None = None
    filters: tuple[Filter, ...] | None = None
    support: str | None = None
    facing_deg: float | None = None
    no_tripod: str | None = None  # why a planned tripod cannot stand there, None where it can

    @property
    def wish(self) -> Settings | None:
        """The planned settings, or None while one of aperture, time and ISO is unknown."""
        if self.f_number is None or self.exposure_s is None or self.iso is None:
            return None
        return Settings(self.f_number, self.exposure_s, self.iso)


@dataclass(frozen=True, slots=True)
class Packed:
    """What comes along, as far as it matters here."""

    filters: tuple[Filter, ...] = ()
    sensor: Sensor = FULL_FRAME
    stabilisation_stops: float = 0.0


@dataclass(frozen=True, slots=True)
class Moment:
    """The sun's place (degrees) and the expected EV at ISO 100 at an instant (UTC)."""

    at: datetime
    azimuth_deg: float
    altitude_deg: float
    scene_ev100: float


@dataclass(frozen=True, slots=True)
class Feasibility:
    """The verdict and its reason in one line; `short_stops` is what is missing, None where no number says it.

    `sun_near` are the spans of the window in which the sun stands in or near the frame, in the place's zone.
    """

    verdict: Verdict
    short_stops: float | None
    reason: str
    working: str
    sun_near: tuple[FrameSpan, ...] = ()


@dataclass(frozen=True, slots=True)
class _Finding:
    verdict: Verdict
    short_stops: float | None
    reason: str


def usable_filters(plan: Plan, packed: Packed) -> tuple[Filter, ...]:
    """The filters a plan may draw on: its own where it states them, else the packed ones."""
    return packed.filters if plan.filters is None else plan.filters


def best_moment(plan: Plan, packed: Packed, moments: Sequence[Moment]) -> Moment | None:
    """The first moment at which the planned settings come nearest; None without settings or moments."""
    wish = plan.wish
    if wish is None or not moments:
        return None
    wish_ev = ev100(wish.f_number, wish.exposure_s, wish.iso)
    limit = reach(wish, wish_ev, usable_filters(plan, packed)).scene_limit_ev100

    def missing(moment: Moment) -> float:
        return max(moment.scene_ev100 - limit, wish_ev - moment.scene_ev100, 0.0)

    return min(moments, key=lambda moment: (round(missing(moment), 2), moment.at))


def judge_plan(
    plan: Plan,
    packed: Packed,
    moments: Sequence[Moment],
    notes: Sequence[str] = (),
    zone: tzinfo = UTC,
) -> Feasibility:
    """Judge a plan in the light of its window; `moments` empty means that its light is unknown.

    `notes` are things to know that change no number; they follow the reason. `zone` is that of the place, by
    whose clock times are told. Raises CraftValueError for settings or filters that cannot be.
    """
    moment = best_moment(plan, packed, moments)
    reached = None
    if moment is not None and plan.wish is not None:
        reached = reach(plan.wish, moment.scene_ev100, usable_filters(plan, packed))
    near, sun = _sun(plan, packed, moments, zone)
    steady = _steady(plan, packed, reached)
    in_order = (
        _too_bright(plan, packed, reached, moment),
        steady,
        _too_dark(plan, reached),
        sun,
        _unknown(plan, moments),
    )
    findings = [found for found in in_order if found]
    firm = [found for found in findings if found.verdict is not Verdict.UNKNOWN]
    finding = (firm or findings or [_feasible(plan, reached, moment, zone)])[0]
    reason = "; ".join((finding.reason, *notes))
    return Feasibility(
        finding.verdict, finding.short_stops, reason, _working(plan, packed, reached, moment, zone), near
    )


def _too_bright(plan: Plan, packed: Packed, reached: Reach | None, moment: Moment | None) -> _Finding | None:
    """More light than the filters can take away."""
    wish = plan.wish
    if reached is None or moment is None or wish is None:
        return None
    short = reached.short_stops
    if not short or same(short):
        return None
    have = "the packed filters" if plan.filters is None else f"the plan's {stack_text(plan.filters)}"
    give = "gives" if plan.filters is not None and len(plan.filters) == 1 else "give"
    gives = f"{have} {give} {number_text(reached.strongest_stops, 1)}"
    if plan.filters == ():
        gives = "the plan has none"
    reason = (
        f"{exposure_text(wish.exposure_s)} at {aperture_text(wish.f_number)} needs "
        f"{_about(reached.needed_stops)} of filter; {gives}"
    )
    with_packed = reach(wish, moment.scene_ev100, packed.filters)
    if plan.filters is not None and with_packed.choices:
        reason += f"; the packed {stack_text(with_packed.choices[0].filters)} would do"
    return _Finding(Verdict.SHORT, short, reason)


def _too_dark(plan: Plan, reached: Reach | None) -> _Finding | None:
    """Less light than the planned time needs, by more than the guidance may be off."""
    wish = plan.wish
    if reached is None or wish is None or -reached.needed_stops <= GUIDANCE_STOPS:
        return None
    dark = -reached.needed_stops
    settings = f"{exposure_text(wish.exposure_s)} at {aperture_text(wish.f_number)}, ISO {wish.iso}"
    takes = exposure_text(_real_time(plan, reached) or wish.exposure_s)
    return _Finding(Verdict.SHORT, dark, f"{_about(dark)} too dark for {settings}; it takes {takes}")


def _steady(plan: Plan, packed: Packed, reached: Reach | None) -> _Finding | None:
    """A tripod that may not stand, or a time too long for what holds the camera."""
    time = _real_time(plan, reached)
    if plan.support == "tripod":
        return _Finding(Verdict.UNSTEADY, None, plan.no_tripod) if plan.no_tripod else None
    if time is None or plan.focal_mm is None:
        return None
    support = plan.support or "unknown"
    steady = steadiness(
        time,
        equivalent_focal_mm(plan.focal_mm, packed.sensor),
        support,
        stabilisation_stops=packed.stabilisation_stops,
    )
    what = f"{exposure_text(time)} at {number_text(plan.focal_mm)} mm"
    if plan.exposure_s is not None and time > plan.exposure_s:
        what = f"the light asks for {what} instead of {exposure_text(plan.exposure_s)}, which"
    if steady.verdict is SteadyVerdict.UNKNOWN:
        over = _about(-steady.margin_stops)
        return _Finding(
            Verdict.UNKNOWN, None, f"{what} is {over} slower than the guide; say what holds the camera"
        )
    beyond = -(steady.margin_stops + (steady.support_high_stops or 0.0))
    if steady.verdict in (SteadyVerdict.STEADY, SteadyVerdict.LIKELY) or same(beyond):
        return None
    adds = f" and what {support} adds" if steady.support_high_stops else ""
    return _Finding(Verdict.UNSTEADY, beyond, f"{what} {support} is {_about(beyond)} beyond the guide{adds}")


def _sun(
    plan: Plan, packed: Packed, moments: Sequence[Moment], zone: tzinfo
) -> tuple[tuple[FrameSpan, ...], _Finding | None]:
    """When the sun stands in or near the frame, and the finding when it stands in it."""
    if plan.facing_deg is None or plan.focal_mm is None or not moments:
        return (), None
    angle = angle_of_view(plan.focal_mm, packed.sensor)
    view = View(plan.facing_deg, angle.horizontal_deg, angle.vertical_deg)
    near, spans = (
        tuple(span.shown_in(zone) for span in frame_spans(view, moments, within_deg))
        for within_deg in (NEAR_FRAME_DEG, 0.0)
    )
    if not spans:
        return near, None
    return near, _Finding(Verdict.SUN_IN_FRAME, None, f"the sun is in the frame {spans_text(spans)}")


def _unknown(plan: Plan, moments: Sequence[Moment]) -> _Finding | None:
    missing = [
        word
        for word, value in (("aperture", plan.f_number), ("time", plan.exposure_s), ("ISO", plan.iso))
        if value is None
    ]
    if missing:
        return _Finding(Verdict.UNKNOWN, None, f"the plan does not say {', '.join(missing)}")
    if not moments:
        return _Finding(Verdict.UNKNOWN, None, "the plan needs a date and a place to know its light")
    return None


def _feasible(plan: Plan, reached: Reach | None, moment: Moment | None, zone: tzinfo) -> _Finding:
    assert reached is not None
    assert moment is not None
    choice = reached.choices[0] if reached.choices else reached.nearest
    time = exposure_text(choice.exposure_s)
    held = plan.support or "any support"
    with_what = f"with {stack_text(choice.filters)}" if choice.filters else "without filters"
    return _Finding(
        Verdict.FEASIBLE, 0.0, f"{time} {with_what} at {moment.at.astimezone(zone):%H:%M}, {held}"
    )


def _real_time(plan: Plan, reached: Reach | None) -> Fraction | None:
    """The time the camera will really need: the planned one, or longer where the scene is too dark for it."""
    if reached is None or plan.exposure_s is None:
        return plan.exposure_s
    choice = reached.choices[0] if reached.choices else reached.nearest
    return max(plan.exposure_s, choice.exposure_s) if not same(choice.beyond_stops) else plan.exposure_s


def _working(plan: Plan, packed: Packed, reached: Reach | None, moment: Moment | None, zone: tzinfo) -> str:
    parts = []
    if moment is not None and reached is not None:
        parts.append(
            f"{moment.at.astimezone(zone):%H:%M} sun {number_text(moment.altitude_deg, 1)}°, clear sky "
            f"±{number_text(GUIDANCE_STOPS)} stops"
        )
        parts.append(reached.working)
    time = _real_time(plan, reached)
    if time is not None and plan.focal_mm is not None:
        parts.append(
            steadiness(
                time,
                equivalent_focal_mm(plan.focal_mm, packed.sensor),
                plan.support or "unknown",
                stabilisation_stops=packed.stabilisation_stops,
            ).working
        )
    return "; ".join(parts)


def spans_text(spans: Sequence[FrameSpan]) -> str:
    """Spans of local time as people write them: `17:05-18:31, 19:00-24:00`."""
    return ", ".join(
        f"{span.enters:%H:%M}-{'24:00' if span.leaves.time() == clock() else format(span.leaves, '%H:%M')}"
        for span in spans
    )


def _about(stops: float) -> str:
    """Stops to a tenth, because the light is no better known."""
    body = number_text(stops, 1)
    return f"{body} stop" if body == "1" else f"{body} stops"


def light_spans(
    moments: Sequence[Moment], low_ev100: float = -inf, high_ev100: float = inf
) -> tuple[FrameSpan, ...]:
    """When the expected light lies between two EV at ISO 100, interpolated between moments in time order."""

    def inside(moment: Moment) -> float:
        return min(high_ev100 - moment.scene_ev100, moment.scene_ev100 - low_ev100)

    return spans_where(moments, inside)
