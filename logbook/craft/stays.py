"""Where somebody stayed: stays on a track, and the visits that stays and frames together suggest.

One surprising decision: a stay without a frame is proposed as a visit only near a known spot, and a group of
frames always is, wherever it was made: a track shows lunch and hotel too, but nobody photographs by accident.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise

from logbook.craft.placing import Fix, Spot, nearest_spot
from logbook.craft.sphere import Vector, distance_m, middle, place, unit

RADIUS_M = 60.0  # m; a viewpoint, the steps around it and a receiver's unrest between walls; own convention
SHORTEST_S = 300.0  # s; a shorter stop is a rest on the way; own convention
STROLL_M_S = 0.1  # m/s; who keeps moving on faster than this is on the way; own convention
THINNED_S = 15.0  # s between the points that are looked at; arrivals need no more
SHORTEST_PIECE_S = 60.0  # s; pieces of a stay that a lost signal cut up; own convention
RETURNED_S = 900.0  # s; who is back at the same place by then never left (a strayed point, a lost signal)
REACH_M = 150.0  # m from a spot within which a frame or a stay belongs to it; own convention
LONGEST_PAUSE_S = 5400.0  # s between two frames of one visit when no track says otherwise; own convention


class VisitSource(StrEnum):
    """What a proposed visit rests on."""

    FRAMES = "frames"
    TRACK = "track"
    BOTH = "frames and track"


@dataclass(frozen=True, slots=True)
class Stay:
    """Time spent within a radius of one place, from the first recorded point there to the last."""

    arrived: datetime
    departed: datetime
    latitude_deg: float
    longitude_deg: float

    @property
    def length_s(self) -> float:
        """How long it lasted, in seconds."""
        return (self.departed - self.arrived).total_seconds()


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameTrace:
    """One frame: its instant, the spot somebody stated, and its place in degrees where known."""

    key: str
    at: datetime
    spot: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedVisit:
    """A visit that was probably made; `spot` None is a place that has no viewpoint yet.

    `distance_m` lies between the spot and where frames or stay were found; None where only a person said so.
    """

    spot: str | None
    arrived: datetime
    departed: datetime
    source: VisitSource
    frames: tuple[str, ...]
    distance_m: float | None
    reason: str


def find_stays(
    segments: Sequence[Sequence[Fix]], *, radius_m: float = RADIUS_M, shortest_s: float = SHORTEST_S
) -> tuple[Stay, ...]:
    """Stays in order of time; each segment must be in order of time.

    A stay grows while the next point lies within the radius of its middle (after Li et al., Mining user
    similarity based on location history, ACM GIS 2008, sec. 4.1). Stays at one place that follow each other
    within `RETURNED_S` are one, across a lost signal too.
    """
    found: list[Stay] = []
    for segment in segments:
        found.extend(_segment_stays(_thinned(segment), radius_m))
    found.sort(key=lambda stay: stay.arrived)
    joined: list[Stay] = []
    for stay in found:
        if joined and _same_place(joined[-1], stay, radius_m):
            joined[-1] = _joined(joined[-1], stay)
        else:
            joined.append(stay)
    return tuple(stay for stay in joined if stay.length_s >= shortest_s)


def propose_visits(
    frames: Iterable[FrameTrace],
    stays: Sequence[Stay] = (),
    spots: Sequence[Spot] = (),
    *,
    reach_m: float = REACH_M,
    longest_pause_s: float = LONGEST_PAUSE_S,
) -> tuple[ProposedVisit, ...]:
    """Visits in order of arrival: from the first frame to the last, extended by the stay around them.

    A frame belongs to the spot somebody stated, else to the nearest spot within reach of its own place, else
    of the stay it was made in; a frame that nothing places goes with its nearest neighbour in time. A stay
    that two spots share is cut half-way between the frames.
    """
    seen = _placed_frames(frames, stays, spots, reach_m)
    groups = list(_groups(seen, stays, reach_m, longest_pause_s))
    cuts = [a[-1].frame.at + (b[0].frame.at - a[-1].frame.at) / 2 for a, b in pairwise(groups)]
    visits = [
        _of_frames(group, _Bounds(earliest, latest), stays, spots, reach_m)
        for group, earliest, latest in zip(groups, [None, *cuts], [*cuts, None], strict=False)
    ]
    for stay in stays:
        near = nearest_spot(stay.latitude_deg, stay.longitude_deg, spots)
        taken = any(visit.arrived <= stay.departed and stay.arrived <= visit.departed for visit in visits)
        if near is not None and near.distance_m <= reach_m and not taken:
            reason = f"{stay.length_s / 60:.0f} min on the track {near.distance_m:.0f} m away, no frames"
            visits.append(
                ProposedVisit(
                    spot=near.key,
                    arrived=stay.arrived,
                    departed=stay.departed,
                    source=VisitSource.TRACK,
                    frames=(),
                    distance_m=near.distance_m,
                    reason=reason,
                )
            )
    return tuple(sorted(visits, key=lambda visit: visit.arrived))


def _thinned(segment: Sequence[Fix]) -> list[tuple[datetime, Vector]]:
    kept: list[tuple[datetime, Vector]] = []
    for i, fix in enumerate(segment):
        last = i == len(segment) - 1
        if last or not kept or (fix.at - kept[-1][0]).total_seconds() >= THINNED_S:
            kept.append((fix.at, unit(fix.latitude_deg, fix.longitude_deg)))
    return kept


def _segment_stays(points: Sequence[tuple[datetime, Vector]], radius_m: float) -> Iterator[Stay]:
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
            yield Stay(near[0][0], near[-1][0], *place(centre))
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


def _same_place(before: Stay, stay: Stay, radius_m: float) -> bool:
    apart_m = distance_m(
        unit(before.latitude_deg, before.longitude_deg), unit(stay.latitude_deg, stay.longitude_deg)
    )
    return apart_m <= radius_m and (stay.arrived - before.departed).total_seconds() <= RETURNED_S


def _joined(before: Stay, stay: Stay) -> Stay:
    weights = ((before, before.length_s), (stay, stay.length_s))
    vectors = [(unit(s.latitude_deg, s.longitude_deg), weight) for s, weight in weights]
    x, y, z = (sum(vector[axis] * weight for vector, weight in vectors) for axis in range(3))
    return Stay(before.arrived, max(before.departed, stay.departed), *place((x, y, z)))


@dataclass(frozen=True, slots=True)
class _Bounds:
    """How far a visit may be extended without running into its neighbours."""

    earliest: datetime | None
    latest: datetime | None

    def clip(self, at: datetime) -> datetime:
        """The instant, or the nearest one that is allowed."""
        if self.earliest is not None and at < self.earliest:
            return self.earliest
        return self.latest if self.latest is not None and at > self.latest else at


@dataclass(frozen=True, slots=True)
class _Seen:
    """A frame with the spot it belongs to, and where it was made as far as anything tells."""

    frame: FrameTrace
    spot: str | None
    vector: Vector | None
    distance_m: float | None = None


def _placed_frames(
    frames: Iterable[FrameTrace], stays: Sequence[Stay], spots: Sequence[Spot], reach_m: float
) -> list[_Seen]:
    known = {spot.key: unit(spot.latitude_deg, spot.longitude_deg) for spot in spots}
    seen: list[_Seen] = []
    for frame in sorted(frames, key=lambda frame: frame.at):
        stay = next((s for s in stays if s.arrived <= frame.at <= s.departed), None)
        where: tuple[float, float] | None = None
        if frame.latitude_deg is not None and frame.longitude_deg is not None:
            where = (frame.latitude_deg, frame.longitude_deg)
        elif stay is not None:
            where = (stay.latitude_deg, stay.longitude_deg)
        vector = unit(*where) if where else None
        if frame.spot is not None:
            away = distance_m(vector, known[frame.spot]) if vector and frame.spot in known else None
            seen.append(_Seen(frame, frame.spot, vector or known.get(frame.spot), away))
            continue
        near = nearest_spot(*where, spots) if where else None
        if near is not None and near.distance_m <= reach_m:
            seen.append(_Seen(frame, near.key, vector, near.distance_m))
        else:
            seen.append(_Seen(frame, None, vector))
    return _filled(seen)


def _filled(seen: list[_Seen]) -> list[_Seen]:
    """Frames that nothing places go with the placed frame nearest in time, within `RETURNED_S`."""
    last: list[_Seen | None] = []
    following: list[_Seen | None] = []
    for order, into in ((seen, last), (seen[::-1], following)):
        placed = None
        for one in order:
            placed = one if one.vector is not None or one.spot is not None else placed
            into.append(placed)
    filled = []
    for one, before, after in zip(seen, last, reversed(following), strict=True):
        if one.vector is None and one.spot is None:
            apart = [
                (abs(o.frame.at - one.frame.at), i, o) for i, o in enumerate((before, after)) if o is not None
            ]
            nearest = min(apart, default=None)
            if nearest is not None and nearest[0] <= timedelta(seconds=RETURNED_S):
                filled.append(_Seen(one.frame, nearest[2].spot, nearest[2].vector))
                continue
        filled.append(one)
    return filled


def _groups(
    seen: Sequence[_Seen], stays: Sequence[Stay], reach_m: float, longest_pause_s: float
) -> Iterator[list[_Seen]]:
    group: list[_Seen] = []
    for one in seen:
        if group and not _goes_on(group, one, stays, reach_m, longest_pause_s):
            yield group
            group = []
        group.append(one)
    if group:
        yield group


def _goes_on(
    group: Sequence[_Seen], one: _Seen, stays: Sequence[Stay], reach_m: float, longest_pause_s: float
) -> bool:
    before = group[-1]
    if one.spot != before.spot:
        return False
    if one.spot is None and (one.vector is None) != (group[0].vector is None):
        return False
    if (
        one.spot is None
        and one.vector
        and group[0].vector
        and distance_m(one.vector, group[0].vector) > reach_m
    ):
        return False
    if (one.frame.at - before.frame.at).total_seconds() <= longest_pause_s:
        return not any(_elsewhere(stay, before, one, reach_m) for stay in stays)
    return any(stay.arrived <= before.frame.at and one.frame.at <= stay.departed for stay in stays)


def _elsewhere(stay: Stay, before: _Seen, one: _Seen, reach_m: float) -> bool:
    """Whether the track shows a stay at another place between two frames of one spot."""
    if not (before.frame.at < stay.arrived and stay.departed < one.frame.at) or before.vector is None:
        return False
    return distance_m(before.vector, unit(stay.latitude_deg, stay.longitude_deg)) > reach_m


def _of_frames(
    group: Sequence[_Seen], bounds: _Bounds, stays: Sequence[Stay], spots: Sequence[Spot], reach_m: float
) -> ProposedVisit:
    first, last, spot = group[0].frame.at, group[-1].frame.at, group[0].spot
    at_spot = next((unit(s.latitude_deg, s.longitude_deg) for s in spots if s.key == spot), None)
    where = at_spot or next((one.vector for one in group if one.vector is not None), None)
    around = [
        stay
        for stay in stays
        if stay.arrived <= last
        and first <= stay.departed
        and (where is None or distance_m(where, unit(stay.latitude_deg, stay.longitude_deg)) <= reach_m)
    ]
    away = sorted(one.distance_m for one in group if one.distance_m is not None)
    distance = away[len(away) // 2] if away else None
    if any(one.frame.spot for one in group):
        told = "as stated"
    elif where is None:
        told = "nothing tells where"
    elif spot is None:
        told = "no viewpoint within reach"
    else:
        told = f"{distance:.0f} m away" if distance is not None else ""
    count = f"{len(group)} frame{'s' if len(group) > 1 else ''}"
    times = "times from the track" if around else "times of the first and last frame"
    return ProposedVisit(
        spot=spot,
        arrived=bounds.clip(min([first, *(stay.arrived for stay in around)])),
        departed=bounds.clip(max([last, *(stay.departed for stay in around)])),
        source=VisitSource.BOTH if around else VisitSource.FRAMES,
        frames=tuple(one.frame.key for one in group),
        distance_m=distance,
        reason=", ".join(words for words in (count, told, times) if words),
    )
