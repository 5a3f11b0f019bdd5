"""Where the photographer stood at an instant, worked out from a track; and the viewpoint nearest to it.

One surprising decision: between two points recorded close together in space a long silence is believed (many
receivers write nothing while they stand still), but a long silence on the move never is. Nothing is placed
between segments: a new segment begins where reception was lost (GPX 1.1 schema, trkType).
"""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from operator import attrgetter
from typing import Protocol

from logbook.craft.sphere import between, distance_m, place, unit

LONGEST_GAP_S = 300.0  # s between recorded points on the move, beyond which nothing is placed; own convention
STILL_M = 50.0  # m; two points no further apart are taken for standing still; own convention
LONGEST_STILL_S = 3600.0  # s of silence while standing still; own convention
NEAR_TIE_M = 25.0  # m; a receiver's unrest: spots no further apart than this are equally near; own convention
FASTEST_M_S = (
    350.0  # m/s; faster than an airliner with the wind: a receiver's jump; common practice, no source
)


class TimedPlace(Protocol):
    """A recorded place: an aware instant, degrees on WGS84, and metres above the sea where known."""

    @property
    def at(self) -> datetime:
        """The instant."""

    @property
    def latitude_deg(self) -> float:
        """Degrees north."""

    @property
    def longitude_deg(self) -> float:
        """Degrees east."""

    @property
    def elevation_m(self) -> float | None:
        """Metres, or None."""


class NamedPlace(Protocol):
    """A place with a name of its own, such as a viewpoint."""

    @property
    def key(self) -> str:
        """What the caller knows it by."""

    @property
    def latitude_deg(self) -> float:
        """Degrees north."""

    @property
    def longitude_deg(self) -> float:
        """Degrees east."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A place worked out for an instant, and what it rests on.

    `gap_s` and `distance_m` lie between the two recorded points around it; both are 0 on a recorded point,
    and `speed_m_s` is then that of the faster leg beside it (None where there is none). `torn_m` is how far
    from there other segments were at that instant, at most: two receivers that were not together; 0
    where the legs between their points leave room for one place.
    """

    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None
    gap_s: float
    distance_m: float
    speed_m_s: float | None
    torn_m: float = 0.0


@dataclass(frozen=True, slots=True)
class NearestPlace:
    """The spot nearest to a place, and how far away it is in metres (within 0.6 %)."""

    key: str
    distance_m: float


def place_all(
    instants: Sequence[datetime],
    segments: Sequence[Sequence[TimedPlace]],
    longest_gap_s: float = LONGEST_GAP_S,
) -> tuple[Placed | None, ...]:
    """The places at many aware instants, in their order; each segment must be in order of time.

    Linear in time along the great circle between the two points around the instant. Where segments overlap
    the shorter gap wins.
    """
    order = sorted(range(len(instants)), key=instants.__getitem__)
    in_time = [instants[i] for i in order]
    places: list[Placed | None] = [None] * len(instants)
    for segment in segments:
        if not segment:
            continue
        first, last = bisect_left(in_time, segment[0].at), bisect_right(in_time, segment[-1].at)
        for i in order[first:last]:
            found, before = _on_segment(instants[i], segment, longest_gap_s), places[i]
            places[i] = _better(before, found) if before and found else before or found
    return tuple(places)


def nearest_spot(
    latitude_deg: float, longitude_deg: float, spots: Iterable[NamedPlace]
) -> NearestPlace | None:
    """The spot nearest to a place in degrees; None without spots, the first of several equally near."""
    here = unit(latitude_deg, longitude_deg)
    far = [NearestPlace(s.key, distance_m(here, unit(s.latitude_deg, s.longitude_deg))) for s in spots]
    return min(far, key=attrgetter("distance_m"), default=None)


def spot_within(
    latitude_deg: float,
    longitude_deg: float,
    spots: Iterable[NamedPlace],
    reach_m: float,
    preferred: Collection[str] = (),
) -> NearestPlace | None:
    """The nearest spot within reach; of some that are nearly as near, one that is `preferred` by its key."""
    here = unit(latitude_deg, longitude_deg)
    far = [NearestPlace(s.key, distance_m(here, unit(s.latitude_deg, s.longitude_deg))) for s in spots]
    near = sorted((one for one in far if one.distance_m <= reach_m), key=attrgetter("distance_m"))
    tied = [one for one in near if one.distance_m <= near[0].distance_m + NEAR_TIE_M]
    return next((one for one in tied if one.key in preferred), near[0] if near else None)


def _better(one: Placed, other: Placed) -> Placed:
    apart_m = distance_m(
        unit(one.latitude_deg, one.longitude_deg), unit(other.latitude_deg, other.longitude_deg)
    )
    if apart_m <= one.distance_m + other.distance_m:
        apart_m = 0.0  # one stopped for minutes on a leg, and only the other wrote down where
    better = other if other.gap_s < one.gap_s else one
    return replace(better, torn_m=max(one.torn_m, other.torn_m, apart_m))


def _on_segment(at: datetime, segment: Sequence[TimedPlace], longest_gap_s: float) -> Placed | None:
    after = bisect_left(segment, at, key=attrgetter("at"))
    if segment[after].at == at:
        return _on_point(segment, after, longest_gap_s)
    start, end = segment[after - 1], segment[after]
    leg = _leg(start, end, longest_gap_s)
    if leg is None:
        return None
    gap_s, apart_m = leg
    part = (at - start.at).total_seconds() / gap_s
    here = between(
        unit(start.latitude_deg, start.longitude_deg), unit(end.latitude_deg, end.longitude_deg), part
    )
    elevation_m = None
    if start.elevation_m is not None and end.elevation_m is not None:
        elevation_m = start.elevation_m + part * (end.elevation_m - start.elevation_m)
    return Placed(*place(here), elevation_m, gap_s, apart_m, apart_m / gap_s)


def _on_point(segment: Sequence[TimedPlace], i: int, longest_gap_s: float) -> Placed | None:
    """The recorded point itself; None where one gets to it and from it only by jumps."""
    here = segment[i]
    pairs = [(segment[k], segment[k + 1]) for k in (i - 1, i) if 0 <= k < len(segment) - 1]
    legs = [leg for start, end in pairs if (leg := _leg(start, end, longest_gap_s)) is not None]
    if not legs and any(_is_jump(start, end) for start, end in pairs):
        return None
    speed_m_s = max((apart_m / gap_s for gap_s, apart_m in legs), default=None)
    return Placed(here.latitude_deg, here.longitude_deg, here.elevation_m, 0.0, 0.0, speed_m_s)


def _leg(start: TimedPlace, end: TimedPlace, longest_gap_s: float) -> tuple[float, float] | None:
    """Seconds and metres between two neighbours; None where nothing between them can be believed."""
    gap_s, apart_m = _apart(start, end)
    if gap_s <= 0 or _is_jump(start, end):
        return None
    still = apart_m <= STILL_M and gap_s <= max(LONGEST_STILL_S, longest_gap_s)
    return (gap_s, apart_m) if gap_s <= longest_gap_s or still else None


def _is_jump(start: TimedPlace, end: TimedPlace) -> bool:
    """Whether nobody gets from one point to the next in that time."""
    gap_s, apart_m = _apart(start, end)
    return apart_m > FASTEST_M_S * gap_s


def _apart(start: TimedPlace, end: TimedPlace) -> tuple[float, float]:
    """Seconds and metres between two points."""
    here, there = (unit(one.latitude_deg, one.longitude_deg) for one in (start, end))
    return (end.at - start.at).total_seconds(), distance_m(here, there)
