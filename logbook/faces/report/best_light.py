"""When the light was best at a place, as far as its own pictures tell.

One surprising decision: nothing is advised that no picture shows. The words say how many pictures, when they
were made and how high the sun stood; a place without any of these has no such line.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from logbook.craft.bearings import turn_deg
from logbook.craft.light import SUN_UP_DEG, LightDirection, light_direction
from logbook.domain.day import day_of
from logbook.domain.keeper import Keeper
from logbook.domain.site import Site
from logbook.faces.report.order import Order
from logbook.faces.report.parts import PageDraft
from logbook.faces.words.phrases import clock, counted, listed, sentence, short_date, span_text
from logbook.faces.words.sky import whole_degrees
from logbook.services.light.day_light import sun_stood
from logbook.services.light.stands import observer_at
from logbook.sky.phases import HALF_TURN_DEG, PhaseKind, phase_at

MOST_DAYS = 3  # that are named one by one
_FROM = {
    LightDirection.FRONT: "lit from behind the camera",
    LightDirection.BACK: "backlit",
    LightDirection.TOP: "lit from above",
}


@dataclass(frozen=True, slots=True)
class _Lit:
    """One picture and the sun at its instant; `side` says where its light came from, where that is known."""

    at: datetime  # by the place's clock
    day: date
    phase: PhaseKind
    is_morning: bool
    height_deg: float
    side: str
    is_large: bool


def best_light(draft: PageDraft, site: Site) -> str:
    """Return the light of the best pictures of a site, in words; nothing where no picture tells it.

    Best is the kind of light in which most of the large pictures were made, of equals that of the best of
    them; where none is large, that of most pictures.
    """
    by_light: dict[tuple[PhaseKind, bool], list[_Lit]] = {}
    for one in _lit(draft, site):
        by_light.setdefault((one.phase, one.is_morning), []).append(one)
    best = max(by_light.values(), key=_worth, default=None)
    return _said(best, _since(draft.order)) if best else ""


def _worth(lit: Sequence[_Lit]) -> tuple[int, int]:
    large = sum(one.is_large for one in lit)
    return large, 0 if large else len(lit)


def _lit(draft: PageDraft, site: Site) -> Iterator[_Lit]:
    """The chosen pictures of a site whose instant and place are known, the best first."""
    order, chosen = draft.order, draft.chosen
    keepers = {one.id: one for one in order.keepers}
    large = {plate.keeper.id for plate in (*((chosen.opening,) if chosen.opening else ()), *chosen.large)}
    for plate in chosen.plates:
        keeper = keepers[plate.keeper.id]
        viewpoint = order.account.viewpoints.get(keeper.viewpoint_id or "")
        if viewpoint and viewpoint.site_id == site.id and (one := _one(order, keeper, keeper.id in large)):
            yield one


def _one(order: Order, keeper: Keeper, is_large: bool) -> _Lit | None:
    at, stands = keeper.place_time, order.account.position_at(keeper.viewpoint_id)
    if at is None or keeper.is_by_camera or keeper.taken_utc is None or stands is None:
        return None
    if not order.account.counts(at.date()):
        return None
    sun = sun_stood(stands[0], keeper.taken_utc)
    if sun is None:
        return None
    return _Lit(
        at,
        day_of(at, order.account.trip.day_ends_at),
        phase_at(sun.altitude_deg, order.limits),
        sun.azimuth_deg < HALF_TURN_DEG,
        sun.altitude_deg,
        _side(order, keeper, sun.azimuth_deg, sun.altitude_deg),
        is_large,
    )


def _side(order: Order, keeper: Keeper, azimuth_deg: float, altitude_deg: float) -> str:
    """Where the sun's light came from in the picture; nothing where it did not reach the place."""
    viewpoint = order.account.viewpoints[keeper.viewpoint_id or ""]
    observer = observer_at(viewpoint, order.account.sites.get(viewpoint.site_id))
    hidden = observer is not None and observer.hides(altitude_deg)
    if viewpoint.facing_deg is None or altitude_deg < SUN_UP_DEG or hidden:
        return ""
    turned = turn_deg(viewpoint.facing_deg, azimuth_deg)
    return _FROM.get(
        light_direction(viewpoint.facing_deg, azimuth_deg, altitude_deg),
        "lit from the right" if turned > 0 else "lit from the left",
    )


def _since(order: Order) -> int:
    """How many minutes after midnight the photographer's day begins."""
    begins = order.account.trip.day_ends_at
    return begins.hour * 60 + begins.minute


def _said(lit: Sequence[_Lit], begins_min: int) -> str:
    first = lit[0]
    times = sorted(lit, key=lambda one: (one.at.hour * 60 + one.at.minute - begins_min) % (24 * 60))
    made = "–".join(dict.fromkeys((clock(times[0].at), clock(times[-1].at))))
    sides = {one.side for one in lit}
    side = f", {sides.pop()}" if len(sides) == 1 and all(sides) else ""
    days, heights = _days({one.day for one in lit}), _heights([one.height_deg for one in lit])
    known = f"based on {counted(len(lit), 'picture')} taken {made} on {days}"
    return sentence(f"{_light(first)}; {known}, {heights}{side}")


def _light(one: _Lit) -> str:
    if one.phase is PhaseKind.NIGHT:
        return "night"
    if one.phase is PhaseKind.DAY:
        return f"daylight in the {'morning' if one.is_morning else 'afternoon'}"
    return f"{one.phase} in the {'morning' if one.is_morning else 'evening'}"


def _days(days: set[date]) -> str:
    ordered = sorted(days)
    few = len(ordered) <= MOST_DAYS
    return listed([short_date(day) for day in ordered]) if few else span_text(ordered[0], ordered[-1])


def _heights(heights_deg: Sequence[float]) -> str:
    """The sun's height: "sun 4–9° high", "sun 3° below the horizon"; nothing more exact than a degree."""
    low, high = whole_degrees(min(heights_deg)), whole_degrees(max(heights_deg))
    if low >= 0:
        return f"sun {_range(low, high)}° high"
    if high <= 0:
        return f"sun {_range(-high, -low)}° below the horizon"
    return f"sun from {-low}° below the horizon to {high}° above it"


def _range(low: int, high: int) -> str:
    return "–".join(dict.fromkeys((str(low), str(high))))
