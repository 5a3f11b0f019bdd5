"""A planned shot in plain values, the moments of its window, and which of them suits it best.

One surprising decision: a moment carries its light as a number with a range, wherever that came from, so that
what judges plans knows neither sky nor book.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from itertools import pairwise
from math import inf, log, log2

from logbook.craft.eclipsed import Dimming
from logbook.craft.exposure import Settings, ev100, same
from logbook.craft.filter_types import Filter
from logbook.craft.interpolation import along
from logbook.craft.light import SUN_UP_DEG, FrameSpan, spans_where
from logbook.craft.met_light import Witnesses
from logbook.craft.optics import FULL_FRAME, Sensor
from logbook.craft.reach import reach

BRIEF_ENOUGH_S = 30  # s; in it no dusk changes by more than a third of a stop (USNO Circular 171)


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
    sun_up_deg: float = SUN_UP_DEG  # geometric altitude from which the sun shows there
    skyline: str = "the skyline"  # what may hide the sun, in words

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
    """The sun's place (degrees), and the EV at ISO 100 to expect at an instant (UTC), at the least and most.

    `witnesses` are the pictures of the place that met this light, None where there are none; `is_hidden`: the
    skyline stands before the sun; `dimming` is what an eclipse takes of the light, which is counted.
    """

    at: datetime
    azimuth_deg: float
    altitude_deg: float
    scene_ev100: float
    low_ev100: float
    high_ev100: float
    witnesses: Witnesses | None = None
    is_hidden: bool = False
    dimming: Dimming | None = None
    table_ev100: float | None = None  # without the witnesses, who know nothing of the minutes around theirs

    @property
    def course_ev100(self) -> float:
        """The light that can be compared with that of other moments."""
        return self.scene_ev100 if self.table_ev100 is None else self.table_ev100


@dataclass(frozen=True, slots=True)
class LightCurve:
    """The light from moment to moment, straight in stops between them, and as the last one from there on."""

    moments: tuple[Moment, ...]

    def change_stops(self, opens: datetime, exposure_s: float) -> float:
        """Return by how many stops the light gets brighter (+) while the shutter is open, at the most."""
        (_, first), *rest = self._while_open(opens, exposure_s)
        return max((ev - first for _, ev in rest), key=abs)

    def gained_stops(self, opens: datetime, exposure_s: float) -> float:
        """Return how many stops more (+) light comes in than if it stayed as it is when the shutter opens.

        The mean of the light over the time, each piece exactly: (2^b - 2^a) / ((b - a) ln 2).
        """
        points = self._while_open(opens, exposure_s)
        first = points[0][1]
        gathered = sum(
            (ends_s - begins_s) * _mean(was - first, now - first)
            for (begins_s, was), (ends_s, now) in pairwise(points)
        )
        return log2(gathered / exposure_s)

    def _while_open(self, opens: datetime, exposure_s: float) -> list[tuple[float, float]]:
        """Seconds after the shutter opened, and the EV then, where the light turns; first and last too."""
        curve = [((one.at - opens).total_seconds(), one.course_ev100) for one in self.moments]
        inside = [one for one in curve if 0.0 < one[0] < exposure_s]
        return [(0.0, along(curve, 0.0)), *inside, (exposure_s, along(curve, exposure_s))]


def _mean(was_stops: float, now_stops: float) -> float:
    """The mean of a light that goes evenly in stops from one to another, over what no stops are."""
    apart = now_stops - was_stops
    if abs(apart) < 1e-9:
        return float(2.0**was_stops)
    return float((2.0**now_stops - 2.0**was_stops) / (apart * log(2.0)))


def gathered(plan: Plan, moments: Sequence[Moment], later: Sequence[Moment]) -> tuple[Moment, ...]:
    """Return moments with the light that a shutter opened then gathers in the planned time.

    `later` are those that follow; only a long time sees that light changes.
    """
    if plan.exposure_s is None or plan.exposure_s <= BRIEF_ENOUGH_S:
        return tuple(moments)
    curve, exposure_s = LightCurve((*moments, *later)), float(plan.exposure_s)

    def at(moment: Moment) -> Moment:
        stops = curve.gained_stops(moment.at, exposure_s)
        return replace(
            moment,
            scene_ev100=moment.scene_ev100 + stops,
            low_ev100=moment.low_ev100 + stops,
            high_ev100=moment.high_ev100 + stops,
        )

    return tuple(at(moment) for moment in moments)


def usable_filters(plan: Plan, packed: Packed) -> tuple[Filter, ...]:
    """The filters a plan may draw on: its own where it states them, else the packed ones."""
    return packed.filters if plan.filters is None else plan.filters


def best_moment(plan: Plan, packed: Packed, moments: Sequence[Moment]) -> Moment | None:
    """The first moment at which the planned settings come nearest; None without settings or moments."""
    wish = plan.wish
    if wish is None or not moments:
        return None
    wish_ev = asked_ev100(wish)
    limit = reach(wish, wish_ev, usable_filters(plan, packed)).scene_limit_ev100

    def missing(moment: Moment) -> float:
        return max(moment.scene_ev100 - limit, wish_ev - moment.scene_ev100, 0.0)

    def rank(moment: Moment) -> tuple[float, datetime]:
        off = missing(moment)
        return 0.0 if same(off) else round(off, 2), moment.at

    return min(moments, key=rank)


def asked_ev100(wish: Settings) -> float:
    """The light, EV at ISO 100, that the wished settings expose rightly without filters."""
    return ev100(wish.f_number, wish.exposure_s, wish.iso)


def light_spans(
    moments: Sequence[Moment], low_ev100: float = -inf, high_ev100: float = inf
) -> tuple[FrameSpan, ...]:
    """When the expected light lies between two EV at ISO 100, interpolated between moments in time order."""

    def inside(moment: Moment) -> float:
        return min(high_ev100 - moment.scene_ev100, moment.scene_ev100 - low_ev100)

    return spans_where(moments, inside)
