"""Comparison pairs: two pictures of one view in which one thing was decided otherwise.

One surprising decision: pictures up to an hour apart count as made in the same light where their exposures
agree, because then nothing speaks against it; where they do not agree, up to five minutes apart, for in
longer the photographer may have followed the light.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import combinations

from logbook.craft.bearings import turn_deg
from logbook.craft.exposure import same
from logbook.craft.one_change import AsSet, Decision, LightBetween, OneChange, one_change
from logbook.domain.shot import Shot
from logbook.faces.report.frames import MeteredPicture, brackets, frames
from logbook.faces.report.order import Order
from logbook.services.light.day_light import SunStood, sun_stood

PAIRS_MAX = 6  # a class looks at no more
NEAR_FRAMING = 1.1  # longer to shorter focal length; still the same framing (common practice, no source)
NEAR_BEARING_DEG = 20.0  # degrees between two bearings of one view (common practice, no source)
SAME_HOUR = timedelta(hours=1)  # within it the light may be taken as the same where exposures agree
SAME_MINUTES = timedelta(minutes=5)  # and where they do not
OTHER_LIGHT = timedelta(minutes=30)  # from then on the light may be what differs
HIGHER_DEG, FURTHER_DEG = 10.0, 30.0  # degrees that the sun has to move to light a view otherwise
# Stops from which on a class sees what changed (common practice, no source).
SEEN_STOPS = {Decision.APERTURE: 1.0, Decision.TIME: 1.0, Decision.ISO: 2.0, Decision.LIGHT: 1.0}


@dataclass(frozen=True, slots=True)
class ViewPair:
    """Two pictures of one view, the earlier first, and the one thing that was decided otherwise."""

    change: OneChange
    first: MeteredPicture
    second: MeteredPicture

    @property
    def decision(self) -> Decision:
        """What differs."""
        return self.change.decision


def matches(order: Order) -> tuple[ViewPair, ...]:
    """Return the best pairs, in the order of their pictures; none of withheld places.

    No picture is in two, and of a kind there is one at each place. Every kind has its best before one has a
    second.
    """
    found = [match for pair in of_one_view(order) if (match := pair_of(order, *pair))]
    found.sort(key=_rank)
    chosen: list[ViewPair] = []
    taken: set[int] = set()
    shown: set[tuple[Decision, str | None]] = set()
    while len(chosen) < PAIRS_MAX:
        before = len(chosen)
        for decision in Decision:
            for match in found:
                numbers, kind = {match.first.number, match.second.number}, (decision, _view(match.first))
                if match.decision is decision and not numbers & taken and kind not in shown:
                    chosen.append(match)
                    taken |= numbers
                    shown.add(kind)
                    break
        if len(chosen) == before:
            break
    return tuple(sorted(chosen[:PAIRS_MAX], key=lambda match: match.first.number))


def of_one_view(order: Order) -> Iterator[tuple[MeteredPicture, MeteredPicture]]:
    """Yield any two pictures of one view that were each meant as they are, the earlier first."""
    shots = {shot.id: shot for shot in order.shots}
    usable = [frame for frame in frames(order) if _is_usable(order, frame, shots)]
    for first, second in combinations(usable, 2):
        if _view(first) == _view(second) and _same_framing(first, second):
            yield first, second


def pair_of(order: Order, first: MeteredPicture, second: MeteredPicture) -> ViewPair | None:
    """Return two pictures of one view as a pair; None where more or less than one thing differs."""
    one, other = _as_set(first), _as_set(second)
    apart = gap(first, second)
    if apart <= SAME_HOUR and not _metered_otherwise(first, second):
        change = one_change(one, other)
        if change and (same(change.left_stops) or apart <= SAME_MINUTES):
            seen = abs(change.stops) >= SEEN_STOPS.get(change.decision, 0.0)
            return ViewPair(change, first, second) if seen else None
    if apart >= OTHER_LIGHT or _metered_otherwise(first, second):
        change = one_change(one, other, LightBetween.OTHER)
        if change and (abs(change.stops) >= SEEN_STOPS[Decision.LIGHT] or _sun_moved(order, first, second)):
            return ViewPair(change, first, second)
    return None


def gap(first: MeteredPicture, second: MeteredPicture) -> timedelta:
    """Return the time between two pictures whose times are known."""
    before, after = first.keeper.place_time, second.keeper.place_time
    assert before is not None
    assert after is not None
    return after - before


def light_change(first: MeteredPicture, second: MeteredPicture) -> float | None:
    """Return by how many stops the scene of the second was brighter (+), or None where that is unknown."""
    before, after = first.scene_ev100, second.scene_ev100
    return None if before is None or after is None else after - before


def sun_at(order: Order, frame: MeteredPicture) -> SunStood | None:
    """Return where the sun stood at a picture; None where place, time or sky is not known."""
    known, taken = order.account.position_at(frame.keeper.viewpoint_id), frame.keeper.place_time
    if known is None or taken is None or frame.keeper.taken_utc is None:
        return None
    return sun_stood(known[0], frame.keeper.taken_utc) if order.account.counts(taken.date()) else None


def _metered_otherwise(first: MeteredPicture, second: MeteredPicture) -> bool:
    """Whether the camera itself set both exposures, and found another light."""
    if not (first.is_metered and second.is_metered):
        return False
    change = light_change(first, second)
    return change is not None and not same(change)


def _sun_moved(order: Order, first: MeteredPicture, second: MeteredPicture) -> bool:
    before, after = sun_at(order, first), sun_at(order, second)
    if before is None or after is None or max(before.altitude_deg, after.altitude_deg) < 0:
        return False
    higher = abs(after.altitude_deg - before.altitude_deg)
    return higher >= HIGHER_DEG or abs(turn_deg(before.azimuth_deg, after.azimuth_deg)) >= FURTHER_DEG


def _rank(match: ViewPair) -> tuple[bool, bool, float, timedelta, int, int]:
    """The best first: nothing guessed, the exposure even, the change large, the time between them short."""
    first, second, change = match.first, match.second, match.change
    return (
        not (first.sure and second.sure),
        not same(change.left_stops),
        -round(abs(change.stops), 1),
        gap(first, second),
        first.number,
        second.number,
    )


def _as_set(frame: MeteredPicture) -> AsSet:
    return AsSet(frame.settings, frame.support, frame.light.bias_stops)


def _view(frame: MeteredPicture) -> str | None:
    """What two pictures of one view have in common: their viewpoint, or the shot where that was not said."""
    return frame.keeper.viewpoint_id or frame.keeper.shot_id


def _is_usable(order: Order, frame: MeteredPicture, shots: dict[str, Shot]) -> bool:
    keeper = frame.keeper
    shot = shots.get(keeper.shot_id or "")
    viewpoint_id = keeper.viewpoint_id or (shot.viewpoint_id if shot else None)
    known = viewpoint_id in order.account.viewpoints
    return keeper.place_time is not None and known and not _off_on_purpose(order, frame)


def _same_framing(first: MeteredPicture, second: MeteredPicture) -> bool:
    one, other = first.keeper, second.keeper
    if one.direction_deg is not None and other.direction_deg is not None:
        apart = abs(turn_deg(one.direction_deg, other.direction_deg))
        if apart > NEAR_BEARING_DEG:
            return False
    lengths = one.focal_35mm, other.focal_35mm
    if None in lengths and one.body is not None and one.body == other.body:
        lengths = one.focal_mm, other.focal_mm
    if not lengths[0] or not lengths[1]:
        return False
    return max(lengths[0], lengths[1]) / min(lengths[0], lengths[1]) <= NEAR_FRAMING


def _off_on_purpose(order: Order, frame: MeteredPicture) -> bool:
    """Frames of a panorama look elsewhere; of a bracket only the middle one was meant as it is."""
    for one in order.account.sets:
        if frame.keeper.id in one.keeper_ids and one.keeper_ids not in brackets(order):
            return frame.keeper.id != one.keeper_ids[0]
    for bracket in brackets(order):
        if frame.keeper.id in bracket:
            members = sorted(
                (k for k in order.keepers if k.id in bracket and k.exposure_s),
                key=lambda k: k.exposure_s or 0,
            )
            return frame.keeper.id != members[len(members) // 2].id
    return bool(frame.keeper.auto_bracket and frame.keeper.bias_stops)
