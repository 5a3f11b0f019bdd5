"""The visits that stays on a track and frames together suggest.

One surprising decision: a stay without a frame is proposed as a visit only near a known spot, and a group of
frames always is, wherever it was made: a track shows lunch and hotel too, but nobody photographs by accident.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from itertools import pairwise

from logbook.craft.borders import (
    DECIDED,
    DOUBTED,
    FEW_ACTS,
    MOST_NEAR,
    Evidence,
    FramePlace,
    PlanWindow,
    acts_of,
    evidence,
    rhythm_of,
)
from logbook.craft.placing import NamedPlace, spot_within
from logbook.craft.sphere import Vector, distance_m, unit
from logbook.craft.track_stays import RETURNED_S, TrackStay

REACH_M = 150.0  # m from a spot within which a frame or a stay belongs to it; own convention
LONGEST_PAUSE_S = 5400.0  # s between two frames of one visit when no track says otherwise; own convention


class VisitSource(StrEnum):
    """What a proposed visit rests on."""

    FRAMES = "frames"
    TRACK = "track"
    BOTH = "frames and track"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameTrace:
    """One frame: its instant, the spot somebody stated, and its place in degrees where known.

    `visit` names the visit of known times that it was made on; `scene` is what else tells its place.
    """

    key: str
    at: datetime
    spot: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    visit: str | None = None
    scene: FramePlace | None = None


@dataclass(frozen=True, slots=True)
class DoubtfulBorder:
    """A pause within a visit in which somebody may have gone elsewhere: from one frame to the next."""

    departed: datetime
    arrived: datetime
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedVisit:
    """A visit that was probably made; `spot` None is a place that has no viewpoint yet.

    `distance_m` lies between the spot and where frames or stay were found; None where only a person said so.
    `visit` names the visit of known times that its frames are of; `doubtful` is where it may be two.
    """

    spot: str | None
    arrived: datetime
    departed: datetime
    source: VisitSource
    frames: tuple[str, ...]
    distance_m: float | None
    reason: str
    visit: str | None = None
    doubtful: tuple[DoubtfulBorder, ...] = ()


def propose_visits(
    frames: Iterable[FrameTrace],
    stays: Sequence[TrackStay] = (),
    spots: Sequence[NamedPlace] = (),
    *,
    windows: Sequence[PlanWindow] = (),
    preferred: Collection[str] = (),
    reach_m: float = REACH_M,
    longest_pause_s: float = LONGEST_PAUSE_S,
    decided: float = DECIDED,
) -> tuple[ProposedVisit, ...]:
    """Visits in order of arrival: from the first frame to the last, extended by the stay around them.

    A frame belongs to the spot somebody stated, else to the nearest spot within reach of its own place, else
    of the stay it was made in; of spots nearly as near, one that is `preferred`. Frames that nothing places
    go with a neighbour, as far as pause, framing, light and the planned `windows` do not part them. A stay
    that two spots share is cut half-way between the frames.
    """
    seen = _placed_frames(frames, stays, spots, preferred, reach_m)
    borders, doubts = _borders(seen, windows, reach_m, longest_pause_s, decided)
    seen = _filled([replace(one, doubt=doubts.get(index, "")) for index, one in enumerate(seen)], borders)
    groups = list(_groups(seen, borders, stays, reach_m, longest_pause_s))
    cuts = [a[-1].frame.at + (b[0].frame.at - a[-1].frame.at) / 2 for a, b in pairwise(groups)]
    visits = [
        _of_frames(group, _Bounds(earliest, latest), stays, spots, reach_m)
        for group, earliest, latest in zip(groups, [None, *cuts], [*cuts, None], strict=False)
    ]
    for stay in stays:
        near = spot_within(stay.latitude_deg, stay.longitude_deg, spots, reach_m, preferred)
        taken = any(visit.arrived <= stay.departed and stay.arrived <= visit.departed for visit in visits)
        if near is not None and not taken:
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
    is_placed: bool = True  # by something of its own, not by a neighbour
    doubt: str = ""  # why it may have been made elsewhere than the frame before it, though nothing decides


def _placed_frames(
    frames: Iterable[FrameTrace],
    stays: Sequence[TrackStay],
    spots: Sequence[NamedPlace],
    preferred: Collection[str],
    reach_m: float,
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
        near = spot_within(*where, spots, reach_m, preferred) if where else None
        if near is not None:
            seen.append(_Seen(frame, near.key, vector, near.distance_m))
        else:
            seen.append(_Seen(frame, None, vector, is_placed=vector is not None))
    return seen


def _filled(seen: list[_Seen], borders: Collection[int]) -> list[_Seen]:
    """Frames that nothing places go with the nearest placed one that no border or long pause lies before."""
    filled = list(seen)
    pauses = {index for index in range(1, len(seen)) if _pause_s(seen[index - 1], seen[index]) > RETURNED_S}
    for first, end in pairwise([0, *sorted({*borders, *pauses}), len(seen)]):
        placed = [one for one in seen[first:end] if one.is_placed]
        for index in range(first, end):
            if placed and not seen[index].is_placed:
                at = seen[index].frame.at
                nearest = min(placed, key=lambda one: abs(one.frame.at - at))
                filled[index] = replace(seen[index], spot=nearest.spot, vector=nearest.vector)
    return filled


def _borders(
    seen: Sequence[_Seen],
    windows: Sequence[PlanWindow],
    reach_m: float,
    longest_pause_s: float,
    decided: float,
) -> tuple[set[int], dict[int, str]]:
    """Where the evidence parts frames of which one is placed by nothing of its own, and where it is in doubt.

    Between two frames known to be at one place it parts nothing; between two places it parts at least once.
    """
    placed = [index for index, one in enumerate(seen) if one.is_placed]
    moments = [one.frame.at for one in seen]
    rhythm, is_rhythm = rhythm_of(moments), acts_of(moments) >= FEW_ACTS
    borders: set[int] = set()
    doubts: dict[int, str] = {}
    for first, last in pairwise([-1, *placed, len(seen)]):
        are_both_placed = first >= 0 and last < len(seen)
        if are_both_placed and (
            last == first + 1 or _is_same_stay(seen[first], seen[last], reach_m, longest_pause_s)
        ):
            continue
        inside = range(max(first, 0) + 1, min(last + 1, len(seen)))
        found = {index: _evidence(seen, index, rhythm, windows) for index in inside}
        parting = {index for index, one in found.items() if is_rhythm and one.probability >= decided}
        if are_both_placed and not parting and not _is_same_place(seen[first], seen[last], reach_m):
            parting = {max(found, key=lambda index: (found[index].probability, found[index].pause_s))}
        borders |= parting
        doubts |= {index: one.reason for index, one in found.items() if one.probability >= DOUBTED}
    return borders, doubts


def _is_same_stay(one: _Seen, other: _Seen, reach_m: float, longest_pause_s: float) -> bool:
    return _pause_s(one, other) <= longest_pause_s and _is_same_place(one, other, reach_m)


def _is_same_place(one: _Seen, other: _Seen, reach_m: float) -> bool:
    if one.spot is not None or other.spot is not None or one.vector is None or other.vector is None:
        return one.spot == other.spot
    return distance_m(one.vector, other.vector) <= reach_m


def _pause_s(one: _Seen, other: _Seen) -> float:
    return (other.frame.at - one.frame.at).total_seconds()


def _evidence(seen: Sequence[_Seen], index: int, rhythm: float, windows: Sequence[PlanWindow]) -> Evidence:
    """What speaks for a change of place before one of the frames."""
    scenes = [
        one.frame.scene or FramePlace(at=one.frame.at)
        for one in seen[max(0, index - MOST_NEAR) : index + MOST_NEAR]
    ]
    before = min(index, MOST_NEAR)
    return evidence(scenes[:before], scenes[before:], rhythm, windows)


def _groups(
    seen: Sequence[_Seen],
    borders: Collection[int],
    stays: Sequence[TrackStay],
    reach_m: float,
    longest_pause_s: float,
) -> Iterator[list[_Seen]]:
    group: list[_Seen] = []
    known: str | None = None  # the visit of known times that the group is of
    for index, one in enumerate(seen):
        visit = one.frame.visit
        goes_on = not group or (visit is not None and visit == group[-1].frame.visit)
        if not goes_on and (visit is None or known in (None, visit)):
            goes_on = index not in borders and _goes_on(group, one, stays, reach_m, longest_pause_s)
        if not goes_on:
            yield group
            group, known = [], None
        group.append(one)
        known = known or visit
    if group:
        yield group


def _goes_on(
    group: Sequence[_Seen], one: _Seen, stays: Sequence[TrackStay], reach_m: float, longest_pause_s: float
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


def _elsewhere(stay: TrackStay, before: _Seen, one: _Seen, reach_m: float) -> bool:
    """Whether the track shows a stay at another place between two frames of one spot."""
    if not (before.frame.at < stay.arrived and stay.departed < one.frame.at) or before.vector is None:
        return False
    return distance_m(before.vector, unit(stay.latitude_deg, stay.longitude_deg)) > reach_m


def _of_frames(
    group: Sequence[_Seen],
    bounds: _Bounds,
    stays: Sequence[TrackStay],
    spots: Sequence[NamedPlace],
    reach_m: float,
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
        told = "nothing shows where"
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
        visit=next((one.frame.visit for one in group if one.frame.visit), None),
        doubtful=tuple(
            DoubtfulBorder(before.frame.at, one.frame.at, one.doubt)
            for before, one in pairwise(group)
            if one.doubt and one.frame.visit is None
        ),
    )
