"""What the pictures of a place looked at, how wide, and where the sun stood meanwhile.

One surprising decision: where several pictures were kept, the widest gives the cone, because it holds the
others; an upright picture counts with its own, narrower, angle.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from logbook.craft.errors import CraftValueError
from logbook.craft.optics import FULL_FRAME, Sensor, angle_of_view
from logbook.domain.day import day_of
from logbook.domain.horizon import horizon_text
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import KitKind, Packing
from logbook.faces.report.drawings.places import ShownPlace
from logbook.faces.report.order import Order
from logbook.faces.words.phrases import clock, short_date
from logbook.services.light.day_light import sun_stood
from logbook.services.light.stands import observer_at

_SUN_SHOWN_DEG = -6.0  # altitude; lower than this the sun lights no picture (end of civil twilight, USNO)


@dataclass(frozen=True, slots=True)
class Cone:
    """A direction of view; `angle_deg` None is unknown, `source` says in words what the angle comes from."""

    place_id: str
    position: Position
    facing_deg: float
    angle_deg: float | None
    source: str


@dataclass(frozen=True, slots=True)
class SunLine:
    """Where the sun stood at one picture; `text` is its day and local time, `behind` what hid it."""

    place_id: str
    position: Position
    azimuth_deg: float
    altitude_deg: float
    text: str
    behind: str = ""


def cone_of(order: Order, shown: ShownPlace) -> Cone | None:
    """Return what a viewpoint looks at, with the widest angle kept there, else the widest planned."""
    if not isinstance(shown.place, Viewpoint) or shown.place.facing_deg is None:
        return None
    facing_deg = shown.place.facing_deg
    kept = [
        (angle, f"picture {order.keeper_numbers[keeper.id]}")
        for keeper in _keepers(order, shown)
        if (angle := angle_across(order, keeper)) is not None
    ]
    planned = [
        (angle, f"planned for shot {order.shot_numbers[shot.id]}")
        for shot in order.shots
        if shot.viewpoint_id == shown.place.id and (angle := _across(shot.focal_mm, _sensor(order), False))
    ]
    angle_deg, source = max(kept or planned, default=(None, ""), key=lambda one: one[0] or 0.0)
    return Cone(shown.place.id, shown.position, facing_deg, angle_deg, source)


def angle_across(order: Order, keeper: Keeper) -> float | None:
    """Return the angle of view across a picture as it is shown; None where it cannot be known."""
    upright = keeper.lies
    if not keeper.lies and keeper.width_px and keeper.height_px:
        upright = keeper.height_px > keeper.width_px
    if keeper.focal_35mm:
        return _across(keeper.focal_35mm, FULL_FRAME, upright)
    return _across(keeper.focal_mm, _sensor(order, keeper.body), upright)


def sun_lines(order: Order, shown: ShownPlace) -> tuple[SunLine, ...]:
    """Return where the sun stood at the first and the last picture of each day at an exactly shown place."""
    found: dict[object, list[SunLine]] = {}
    if shown.is_area:
        return ()
    for keeper in _keepers(order, shown):
        taken = keeper.place_time
        if keeper.taken_utc is None or taken is None or not order.account.counts(taken.date()):
            continue
        sun = sun_stood(shown.position, keeper.taken_utc)
        if sun and sun.altitude_deg >= _SUN_SHOWN_DEG:
            text = f"{clock(taken)}, {short_date(taken.date())}"
            behind = _behind(order, shown, sun.altitude_deg)
            one = SunLine(shown.place.id, shown.position, sun.azimuth_deg, sun.altitude_deg, text, behind)
            day = day_of(taken, order.account.trip.day_ends_at)
            found.setdefault(day, []).append(one)
    ends = (dict.fromkeys([lines[0], lines[-1]]) for lines in found.values())
    return tuple(line for few in ends for line in few)


def _behind(order: Order, shown: ShownPlace, altitude_deg: float) -> str:
    """What stood before a sun that a level horizon would have shown, in words."""
    if not isinstance(shown.place, Viewpoint):
        return ""
    observer = observer_at(shown.place, order.account.sites.get(shown.place.site_id))
    if observer is None or not observer.hides(altitude_deg):
        return ""
    return horizon_text(shown.place.horizon, observer.elevation_m)


def _keepers(order: Order, shown: ShownPlace) -> Iterator[Keeper]:
    return (keeper for keeper in order.keepers if keeper.viewpoint_id == shown.place.id)


def _sensor(order: Order, body: str | None = None) -> Sensor | None:
    """The format of the named body, else of the only packed camera; None where that is not known."""
    taken = {one.item_id for one in order.account.packed if one.packing is Packing.TAKEN}
    cameras = [
        item
        for key, item in order.account.kit.items()
        if item.kind is KitKind.CAMERA and item.sensor_width_mm and item.sensor_height_mm
        and (item.body == body if body else key in taken)
    ]  # fmt: skip
    formats = {(one.sensor_width_mm or 0.0, one.sensor_height_mm or 0.0) for one in cameras}
    return Sensor(*formats.pop()) if len(formats) == 1 else None


def _across(focal_mm: float | None, sensor: Sensor | None, upright: bool) -> float | None:
    if not focal_mm or sensor is None:
        return None
    try:
        angle = angle_of_view(focal_mm, sensor)
    except CraftValueError:
        return None
    return angle.vertical_deg if upright else angle.horizontal_deg
