"""How the sun's light falls on a view, when the sun comes into it, and the shadows it casts on level ground.

Surprising decisions: front, side and back say where the light comes from as seen from the subject's lit face:
`front` has the sun behind the camera, `back` has the camera look towards it. Of a sun that the horizon cuts,
the middle of the part that shows casts the shadow; one that only touches the horizon casts none, rather than
an endless one.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from enum import StrEnum
from itertools import pairwise
from math import radians, tan
from typing import Protocol, TypeVar

from logbook.craft.bearings import off_axis_deg, turn_deg, wrap_bearing_deg
from logbook.craft.minutes import clock_text
from logbook.craft.view import View

BACK_WITHIN_DEG = 45.0  # between view axis and sun's azimuth; common practice, no source
FRONT_BEYOND_DEG = 135.0  # between view axis and sun's azimuth; common practice, no source
# From so high a sun on light falls from above: its azimuth turns fast there and says little; own convention
TOP_FROM_DEG = 75.0
NEAR_FRAME_DEG = 10.0  # outside the frame's edge, where flare and a careless eye are close; own convention
SUN_RADIUS_DEG = 0.267  # mean semidiameter of the sun's disc, 16' (USNO definition of sunrise)
SUN_UP_DEG = -50.0 / 60.0  # geometric altitude of sunrise and sunset (USNO definition)


class LightDirection(StrEnum):
    """Where the light falls from: over the camera's shoulder, across, towards the camera, or from above."""

    FRONT = "front"
    SIDE = "side"
    BACK = "back"
    TOP = "top"


class SunPlace(StrEnum):
    """Where the sun stands with regard to the frame; the first two call for care with eyes and sensor."""

    IN_FRAME = "in frame"
    NEAR_FRAME = "near frame"
    OUTSIDE = "outside"
    BELOW_HORIZON = "below horizon"


class SkySample(Protocol):
    """A place of the sun or moon at an instant."""

    @property
    def at(self) -> datetime:
        """The instant, in UTC: wall times of a zone would be interpolated wrongly where its clocks change."""

    @property
    def azimuth_deg(self) -> float:
        """Degrees from true north."""

    @property
    def altitude_deg(self) -> float:
        """Degrees above the horizon."""


Sample = TypeVar("Sample", bound=SkySample)


@dataclass(frozen=True, slots=True)
class LightOnView:
    """How the sun lights a view; `direction` and `shadow` are None while it is not up.

    `off_axis_deg` is the signed turn from the camera's axis to the sun's azimuth, clockwise positive.
    """

    direction: LightDirection | None
    off_axis_deg: float
    sun_place: SunPlace


@dataclass(frozen=True, slots=True)
class FrameSpan:
    """The body is in the frame from `enters` to `leaves`, as far as the samples reach."""

    enters: datetime
    leaves: datetime

    def shown_in(self, zone: tzinfo) -> "FrameSpan":
        """The same span by the clock of a zone."""
        return FrameSpan(self.enters.astimezone(zone), self.leaves.astimezone(zone))


@dataclass(frozen=True, slots=True)
class Alignment:
    """The instant at which a body stands over a bearing, and its altitude then."""

    at: datetime
    altitude_deg: float


def light_direction(
    facing_deg: float, sun_azimuth_deg: float, sun_altitude_deg: float = 0.0
) -> LightDirection:
    """Where light falls from, by the angle between view axis and sun's azimuth (common practice).

    A sun whose altitude is not given stands low enough for its azimuth to tell.
    """
    if sun_altitude_deg >= TOP_FROM_DEG:
        return LightDirection.TOP
    apart_deg = off_axis_deg(facing_deg, sun_azimuth_deg)
    if apart_deg <= BACK_WITHIN_DEG:
        return LightDirection.BACK
    return LightDirection.FRONT if apart_deg >= FRONT_BEYOND_DEG else LightDirection.SIDE


def light_on_view(
    view: View, sun_azimuth_deg: float, sun_altitude_deg: float, up_deg: float = SUN_UP_DEG
) -> LightOnView:
    """How the sun at an azimuth and geometric altitude (degrees) lights a view; it is up from `up_deg` on."""
    up = sun_altitude_deg >= up_deg
    return LightOnView(
        direction=light_direction(view.facing_deg, sun_azimuth_deg, sun_altitude_deg) if up else None,
        off_axis_deg=turn_deg(view.facing_deg, sun_azimuth_deg),
        sun_place=_place(view, sun_azimuth_deg, sun_altitude_deg) if up else SunPlace.BELOW_HORIZON,
    )


def frame_spans(
    view: View, samples: Sequence[SkySample], within_deg: float = 0.0, up_deg: float = SUN_UP_DEG
) -> tuple[FrameSpan, ...]:
    """When a body that is up stands in the frame, or within so many degrees of its edge.

    Samples in time order. Entering and leaving are interpolated between samples; a passage shorter than their
    spacing can be missed.
    """

    def inside_deg(sample: SkySample) -> float:
        in_frame_deg = view.margin_deg(sample.azimuth_deg, sample.altitude_deg) + SUN_RADIUS_DEG + within_deg
        return min(in_frame_deg, sample.altitude_deg - up_deg)

    return spans_where(samples, inside_deg)


def spans_where(samples: Sequence[Sample], inside: Callable[[Sample], float]) -> tuple[FrameSpan, ...]:
    """Spans over samples in time order in which `inside` is not negative, interpolated between samples."""
    spans: list[FrameSpan] = []
    values = [inside(sample) for sample in samples]
    enters = samples[0].at if samples and values[0] >= 0.0 else None
    for (earlier, was), (later, now) in pairwise(zip(samples, values, strict=True)):
        if (was >= 0.0) == (now >= 0.0):
            continue
        passes = earlier.at + was / (was - now) * (later.at - earlier.at)
        if enters is None:
            enters = passes
        else:
            spans.append(FrameSpan(enters, passes))
            enters = None
    if enters is not None:
        spans.append(FrameSpan(enters, samples[-1].at))
    return tuple(spans)


def spans_text(spans: Sequence[FrameSpan]) -> str:
    """Spans of local time as people write them, to the nearest minute: `17:05-18:31, 19:00-24:00`."""
    return ", ".join(f"{clock_text(span.enters)}-{clock_text(span.leaves, ends=True)}" for span in spans)


def alignments(
    bearing_deg: float, samples: Sequence[SkySample], up_deg: float = SUN_UP_DEG
) -> tuple[Alignment, ...]:
    """When a body that is up stands behind a subject on a bearing, from samples in time order."""

    def off(sample: SkySample) -> float:
        return turn_deg(bearing_deg, sample.azimuth_deg)

    found = []
    for earlier, later in pairwise(samples):
        was, now = off(earlier), off(later)
        if (was >= 0.0) == (now >= 0.0) or abs(was - now) > 180.0:
            continue  # a jump past 180 is the far side of the compass, not the subject
        share = was / (was - now)
        altitude_deg = earlier.altitude_deg + share * (later.altitude_deg - earlier.altitude_deg)
        if altitude_deg >= up_deg:
            found.append(Alignment(earlier.at + share * (later.at - earlier.at), altitude_deg))
    return tuple(found)


def _place(view: View, sun_azimuth_deg: float, sun_altitude_deg: float) -> SunPlace:
    margin_deg = view.margin_deg(sun_azimuth_deg, sun_altitude_deg) + SUN_RADIUS_DEG
    if margin_deg >= 0.0:
        return SunPlace.IN_FRAME
    return SunPlace.NEAR_FRAME if margin_deg >= -NEAR_FRAME_DEG else SunPlace.OUTSIDE


@dataclass(frozen=True, slots=True)
class Shadow:
    """Length in metres per metre of height, and the bearing from true north in which it falls."""

    length_per_metre: float
    bearing_deg: float


def shining_deg(apparent_deg: float) -> float:
    """Return the altitude that light comes from, where a level horizon cuts the sun's disc.

    `apparent_deg` is the disc's centre with refraction; below 0 nothing shows.
    """
    return apparent_deg if apparent_deg >= SUN_RADIUS_DEG else (apparent_deg + SUN_RADIUS_DEG) / 2.0


def cast_shadow(sun_azimuth_deg: float, sun_altitude_deg: float) -> Shadow | None:
    """The shadow of an upright thing on level ground (plane trigonometry); None when the sun is not up."""
    if sun_altitude_deg <= 0.0:
        return None
    length = 0.0 if sun_altitude_deg >= 90.0 else 1.0 / tan(radians(sun_altitude_deg))
    return Shadow(length, wrap_bearing_deg(sun_azimuth_deg + 180.0))
