"""How well a keeper fits a planned shot, trait by trait.

One surprising decision: each trait that both sides know speaks for or against, and one that either side does
not know says nothing: an empty plan is not a bad match, only a weak one. The weights are own convention.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import log2

from logbook.craft.bearings import turn_deg
from logbook.craft.sphere import distance_m, unit

HERE_M = 75.0  # m; a keeper made this close is at the shot's place
ELSEWHERE_M = 200.0  # m; beyond this it is at another place
_DAY_H = 24.0


class Orientation(StrEnum):
    """How the frame was held."""

    LANDSCAPE = "landscape"
    PORTRAIT = "portrait"
    SQUARE = "square"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeeperTraits:
    """What is known of a keeper; None is unknown, `filters` () is none, `set_key` names its set."""

    key: str
    viewpoint: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    at: datetime | None = None
    bearing_deg: float | None = None
    focal_mm: float | None = None
    orientation: Orientation | None = None
    exposure_s: float | None = None
    filters: tuple[str, ...] | None = None
    support: str | None = None
    set_key: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotTraits:
    """What was planned; None was not said, `filters` () is none; the window may be a whole day.

    Instants are aware; focal lengths are of the same kind (35 mm-equivalent or not) as the keepers'.
    """

    key: str
    viewpoint: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    opens: datetime | None = None
    closes: datetime | None = None
    bearing_deg: float | None = None
    focal_mm: float | None = None
    orientation: Orientation | None = None
    exposure_s: float | None = None
    filters: tuple[str, ...] | None = None
    support: str | None = None


class KeeperTrait(StrEnum):
    """What is compared."""

    PLACE = "place"
    TIME = "time"
    BEARING = "bearing"
    FOCAL = "focal length"
    ORIENTATION = "orientation"
    EXPOSURE = "exposure"
    FILTERS = "filters"
    SUPPORT = "support"


@dataclass(frozen=True, slots=True)
class Voice:
    """What one trait says: above 0 for the match, below 0 against it, and in which words."""

    trait: KeeperTrait
    score: float
    words: str
    elsewhere: bool = False


def voices(keeper: KeeperTraits, shot: ShotTraits) -> tuple[Voice, ...]:
    """What each trait that both sides know says, in the order of `KeeperTrait`."""
    said = (
        _place(keeper, shot),
        _time(keeper, shot),
        _bearing(keeper, shot),
        _focal(keeper, shot),
        _orientation(keeper, shot),
        _exposure(keeper, shot),
        _filters(keeper, shot),
        _support(keeper, shot),
    )
    return tuple(voice for voice in said if voice is not None)


def _place(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    if keeper.viewpoint is not None and shot.viewpoint is not None:
        if keeper.viewpoint == shot.viewpoint:
            return Voice(KeeperTrait.PLACE, 2.5, "at the planned viewpoint")
        return Voice(KeeperTrait.PLACE, -2.5, f"from {keeper.viewpoint}", elsewhere=True)
    if keeper.latitude_deg is None or keeper.longitude_deg is None:
        return None
    if shot.latitude_deg is None or shot.longitude_deg is None:
        return None
    apart_m = distance_m(
        unit(keeper.latitude_deg, keeper.longitude_deg), unit(shot.latitude_deg, shot.longitude_deg)
    )
    if apart_m > ELSEWHERE_M:
        away = f"{apart_m / 1000:.1f} km" if apart_m >= 1000 else f"{apart_m:.0f} m"
        return Voice(KeeperTrait.PLACE, -2.5, f"{away} away", elsewhere=True)
    return Voice(KeeperTrait.PLACE, _falling(apart_m, HERE_M, ELSEWHERE_M, 2.5, 0.0), f"{apart_m:.0f} m away")


def _time(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    """A narrow window says more than a whole day; outside it belief falls within hours."""
    at, opens, closes = keeper.at, shot.opens, shot.closes
    if at is None or opens is None or closes is None or closes < opens:
        return None
    length_h = max((closes - opens).total_seconds() / 3600, 0.25)
    inside = min(2.0, max(0.5, log2(_DAY_H / length_h) / 2))
    if opens <= at <= closes:
        return Voice(KeeperTrait.TIME, inside, "at the planned time")
    early = at < opens
    off_h = ((opens - at) if early else (at - closes)).total_seconds() / 3600
    shown = (
        f"{off_h * 60:.0f} min"
        if off_h < 1.5
        else f"{off_h:.0f} h"
        if off_h < 36
        else f"{off_h / 24:.0f} days"
    )
    return Voice(
        KeeperTrait.TIME, _falling(off_h, 0.25, 6.0, inside, -2.5), f"{shown} {'early' if early else 'late'}"
    )


def _bearing(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    if keeper.bearing_deg is None or shot.bearing_deg is None:
        return None
    off_deg = abs(turn_deg(shot.bearing_deg, keeper.bearing_deg))
    return Voice(KeeperTrait.BEARING, _falling(off_deg, 10, 90, 1.5, -2.5), f"bearing {off_deg:.0f}° off")


def _focal(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    if not keeper.focal_mm or not shot.focal_mm:
        return None
    octaves = abs(log2(keeper.focal_mm / shot.focal_mm))
    words = f"{keeper.focal_mm:.0f} mm (planned {shot.focal_mm:.0f} mm)"
    return Voice(KeeperTrait.FOCAL, _falling(octaves, 0.15, 2.0, 1.0, -2.0), words)


def _orientation(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    if keeper.orientation is None or shot.orientation is None:
        return None
    same = keeper.orientation is shot.orientation
    return Voice(
        KeeperTrait.ORIENTATION,
        0.5 if same else -0.75,
        f"{keeper.orientation} as planned" if same else keeper.orientation,
    )


def _exposure(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    """Frozen, as seen or drawn out: times within two stops are of one class, beyond six of two."""
    if not keeper.exposure_s or not shot.exposure_s:
        return None
    stops = log2(keeper.exposure_s / shot.exposure_s)
    words = (
        f"{abs(stops):.0f} stops {'slower' if stops > 0 else 'faster'}"
        if abs(stops) > 2
        else "about the same shutter speed"
    )
    return Voice(KeeperTrait.EXPOSURE, _falling(abs(stops), 2, 8, 1.0, -1.5), words)


def _filters(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    if keeper.filters is None or shot.filters is None:
        return None
    used, planned = sorted(keeper.filters), sorted(shot.filters)  # two of a kind count twice
    words = f"with {' and '.join(used)}" if used else "without filters"
    if used == planned:
        return Voice(KeeperTrait.FILTERS, 1.0, words)
    return Voice(KeeperTrait.FILTERS, 0.25 if set(used) & set(planned) else -1.0, words)


def _support(keeper: KeeperTraits, shot: ShotTraits) -> Voice | None:
    if keeper.support is None or shot.support is None or "unknown" in (keeper.support, shot.support):
        return None
    return Voice(KeeperTrait.SUPPORT, 0.5 if keeper.support == shot.support else -0.5, str(keeper.support))


def _falling(value: float, full_to: float, least_from: float, full: float, least: float) -> float:
    """`full` up to one value, `least` from another, a straight line between."""
    part = min(1.0, max(0.0, (value - full_to) / (least_from - full_to)))
    return full + part * (least - full)
