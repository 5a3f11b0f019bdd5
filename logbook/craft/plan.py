"""A planned shot in plain values, the moments of its window, and which of them suits it best.

One surprising decision: a moment carries its light as a number with a range, wherever that came from, so that
what judges plans knows neither sky nor book.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from math import inf

from logbook.craft.eclipsed import Dimming
from logbook.craft.exposure import Settings, ev100
from logbook.craft.filter_types import Filter
from logbook.craft.light import SUN_UP_DEG, FrameSpan, spans_where
from logbook.craft.met_light import Witnesses
from logbook.craft.optics import FULL_FRAME, Sensor
from logbook.craft.reach import reach


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

    return min(moments, key=lambda moment: (round(missing(moment), 2), moment.at))


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
