"""Where a rainbow or a bow in spray stands, if there are drops in sunlight.

One surprising decision: a bow whose top is below the horizon is still a bow. It shows in spray below a
waterfall's rim, so the result says apart whether the arc is in the frame above the horizon and below it.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import acos, asin, atan2, ceil, cos, degrees, radians, sin

from logbook.craft.bearings import wrap_bearing_deg
from logbook.craft.view import View

PRIMARY_RADIUS_DEG = 42.0  # from the antisolar point, rounded (Newton, Opticks, I.II Prop. IX; Walker 1976)
SECONDARY_RADIUS_DEG = 51.0  # from the antisolar point, rounded (Newton, Opticks, I.II Prop. IX; Walker 1976)


class BowOrder(StrEnum):
    """Which bow: one reflection inside the drops, or two."""

    PRIMARY = "primary"
    SECONDARY = "secondary"


_RADIUS_DEG = {BowOrder.PRIMARY: PRIMARY_RADIUS_DEG, BowOrder.SECONDARY: SECONDARY_RADIUS_DEG}


@dataclass(frozen=True, slots=True)
class Bow:
    """A bow round the antisolar point, which lies below the horizon by the sun's altitude.

    `top_altitude_deg` is negative when the whole bow is below the horizon; `foot_offset_deg` is how far left
    and right of the centre its feet meet the horizon, None when they do not. `in_frame`: some of the arc
    above the horizon is in the frame; `spray_in_frame`: some of it below the horizon is, where only spray or
    dew can show it.
    """

    order: BowOrder
    centre_azimuth_deg: float
    centre_altitude_deg: float
    radius_deg: float
    top_altitude_deg: float
    foot_offset_deg: float | None
    in_frame: bool
    spray_in_frame: bool


def bow(
    view: View, sun_azimuth_deg: float, sun_altitude_deg: float, order: BowOrder = BowOrder.PRIMARY
) -> Bow | None:
    """The bow drops in sunlight would make for a view; None while the sun is not up. Degrees throughout.

    Its top stands at its radius less the sun's altitude (spherical geometry round the antisolar point).
    """
    if sun_altitude_deg < 0.0:
        return None
    radius_deg = _RADIUS_DEG[order]
    centre_azimuth_deg = wrap_bearing_deg(sun_azimuth_deg + 180.0)
    altitudes_deg = _altitudes_in_frame(view, centre_azimuth_deg, -sun_altitude_deg, radius_deg)
    return Bow(
        order=order,
        centre_azimuth_deg=centre_azimuth_deg,
        centre_altitude_deg=-sun_altitude_deg,
        radius_deg=radius_deg,
        top_altitude_deg=radius_deg - sun_altitude_deg,
        foot_offset_deg=_foot_offset_deg(radius_deg, sun_altitude_deg),
        in_frame=any(altitude >= 0.0 for altitude in altitudes_deg),
        spray_in_frame=any(altitude < 0.0 for altitude in altitudes_deg),
    )


def _foot_offset_deg(radius_deg: float, sun_altitude_deg: float) -> float | None:
    """Turn from the bow's centre to its foot on a level horizon: acos(cos r / cos h)."""
    if sun_altitude_deg > radius_deg:
        return None
    return degrees(acos(cos(radians(radius_deg)) / cos(radians(sun_altitude_deg))))


def _altitudes_in_frame(
    view: View, centre_azimuth_deg: float, centre_altitude_deg: float, radius_deg: float
) -> list[float]:
    """Altitudes of the circle's points in the frame; they are spaced closer than the frame is wide."""
    spacing_deg = min(view.horizontal_fov_deg, view.vertical_fov_deg) / 8.0
    points = max(72, ceil(360.0 * sin(radians(radius_deg)) / spacing_deg))
    centre, radius = radians(centre_altitude_deg), radians(radius_deg)
    altitudes_deg = []
    for point in range(points):
        around = radians(360.0 * point / points)  # from the top of the bow
        sine = sin(centre) * cos(radius) + cos(centre) * sin(radius) * cos(around)
        altitude = asin(max(-1.0, min(1.0, sine)))
        turn = atan2(sin(around) * sin(radius) * cos(centre), cos(radius) - sin(centre) * sine)
        azimuth_deg = centre_azimuth_deg + degrees(turn)
        if view.margin_deg(azimuth_deg, degrees(altitude)) >= 0.0:
            altitudes_deg.append(degrees(altitude))
    return altitudes_deg
