"""Where somebody stayed, by a track.

One surprising decision: a slow walk is no stay, and neither a strayed point nor a lost signal ends one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from logbook.craft.placing import TimedPlace
from logbook.craft.sphere import Vector, distance_m, middle, place, unit

RADIUS_M = 60.0  # m; a viewpoint, the steps around it and a receiver's unrest between walls; own convention
SHORTEST_S = 300.0  # s; a shorter stop is a rest on the way; own convention
STROLL_M_S = 0.1  # m/s; who keeps moving on faster than this is on the way; own convention
THINNED_S = 15.0  # s between the points that are looked at; arrivals need no more
SHORTEST_PIECE_S = 60.0  # s; pieces of a stay that a lost signal cut up; own convention
RETURNED_S = 900.0  # s; who is back at the same place by then never left (a strayed point, a lost signal)


@dataclass(frozen=True, slots=True)
class TrackStay:
    """Time spent within a radius of one place, from the first recorded point there to the last."""

    arrived: datetime
    departed: datetime
    latitude_deg: float
    longitude_deg: float

    @property
    def length_s(self) -> float:
        """How long it lasted, in seconds."""
        return (self.departed - self.arrived).total_seconds()


def find_stays(
    segments: Sequence[Sequence[TimedPlace]], *, radius_m: float = RADIUS_M, shortest_s: float = SHORTEST_S
) -> tuple[TrackStay, ...]:
    """Stays in order of time; each segment must be in order of time.

    A stay grows while the next point lies within the radius of its middle (after Li et al., Mining user
    similarity based on location history, ACM GIS 2008, sec. 4.1). Stays at one place that follow each other
    within `RETURNED_S` are one, across a lost signal too.
    """
    found: list[TrackStay] = []
    for segment in segments:
        found.extend(_segment_stays(_thinned(segment), radius_m))
    found.sort(key=lambda stay: stay.arrived)
    joined: list[TrackStay] = []
    for stay in found:
        if joined and _same_place(joined[-1], stay, radius_m):
            joined[-1] = _joined(joined[-1], stay)
        else:
            joined.append(stay)
    return tuple(stay for stay in joined if stay.length_s >= shortest_s)


def _thinned(segment: Sequence[TimedPlace]) -> list[tuple[datetime, Vector]]:
    kept: list[tuple[datetime, Vector]] = []
    for i, fix in enumerate(segment):
        last = i == len(segment) - 1
        if last or not kept or (fix.at - kept[-1][0]).total_seconds() >= THINNED_S:
            kept.append((fix.at, unit(fix.latitude_deg, fix.longitude_deg)))
    return kept


def _segment_stays(points: Sequence[tuple[datetime, Vector]], radius_m: float) -> Iterator[TrackStay]:
    """Everything that could be part of a stay."""
    first = 0
    while first < len(points):
        total, after = points[first][1], first + 1
        while after < len(points) and distance_m(middle((total,)), points[after][1]) <= radius_m:
            x, y, z = points[after][1]
            total, after = (total[0] + x, total[1] + y, total[2] + z), after + 1
        inside = points[first:after]
        centre = middle((total,))
        near = [point for point in inside if distance_m(centre, point[1]) <= radius_m]
        if (
            near
            and (near[-1][0] - near[0][0]).total_seconds() >= SHORTEST_PIECE_S
            and not _walks(near, radius_m)
        ):
            yield TrackStay(near[0][0], near[-1][0], *place(centre))
            first = after
        else:
            first += max(1, (after - first) // 4)  # a slow walk need not be looked at from every point


def _walks(points: Sequence[tuple[datetime, Vector]], radius_m: float) -> bool:
    """Whether somebody walks slowly through: from the first third to the last they kept moving on."""
    third = max(1, len(points) // 3)
    start, end = (middle(vector for _, vector in part) for part in (points[:third], points[-third:]))
    drift_m = distance_m(start, end)
    drift_s = (points[-1][0] - points[0][0]).total_seconds() * 2 / 3
    return drift_m > radius_m / 2 and drift_m > STROLL_M_S * drift_s


def _same_place(before: TrackStay, stay: TrackStay, radius_m: float) -> bool:
    apart_m = distance_m(
        unit(before.latitude_deg, before.longitude_deg), unit(stay.latitude_deg, stay.longitude_deg)
    )
    return apart_m <= radius_m and (stay.arrived - before.departed).total_seconds() <= RETURNED_S


def _joined(before: TrackStay, stay: TrackStay) -> TrackStay:
    weights = ((before, before.length_s), (stay, stay.length_s))
    vectors = [(unit(s.latitude_deg, s.longitude_deg), weight) for s, weight in weights]
    x, y, z = (sum(vector[axis] * weight for vector, weight in vectors) for axis in range(3))
    return TrackStay(before.arrived, max(before.departed, stay.departed), *place((x, y, z)))
