"""Tracks: taking a receiver's track into the book, and placing keepers that have no position by their time.

One surprising decision: a position from a track is `inferred` and goes away with the track; the camera's own
position, or one that somebody stated, is never touched. Where two receivers were in different places, nothing
shows which of them was with the camera, and none of them places it.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from logbook.craft.placing import Placed, place_all
from logbook.domain.keeper import Keeper
from logbook.domain.names import resolve
from logbook.domain.record import new_record
from logbook.domain.track import Fix, Segment, TrackRecord
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

TORN_M = 500.0  # m; receivers further apart than this were not carried together (own convention)


@dataclass(frozen=True, slots=True)
class PlacedKeeper:
    """A keeper placed by a track: between which points in time, and how fast one moved."""

    file: str
    placed: Placed

    @property
    def is_torn(self) -> bool:
        """Whether another track was elsewhere at that instant, so that it has no place."""
        return _is_torn(self.placed)


@dataclass(frozen=True, slots=True)
class TrackTaken:
    """What an import of a track did; `torn` keepers have no place, as two tracks contradict each other."""

    trip: str
    file: str
    known: bool
    points: int
    starts: datetime | None
    ends: datetime | None
    doubts: tuple[str, ...]
    placed: tuple[PlacedKeeper, ...]
    torn: tuple[PlacedKeeper, ...] = ()


def take_track(book: Book, path: Path, trip: str | None) -> TrackTaken:
    """Take in a track and place keepers by it; the same track again changes nothing."""
    from logbook.intake.pictures import content_hash
    from logbook.intake.tracks import read_track

    track = read_track(path)
    hashed = content_hash(path)
    points = track.points
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        known = desk.tracks.first(trip_id=of_trip.id, hash=hashed) is not None
        if not known:
            segments = [
                [[p.at.isoformat(), p.latitude_deg, p.longitude_deg, p.elevation_m] for p in segment]
                for segment in track.segments
            ]
            desk.tracks.add(
                TrackRecord(
                    **new_record(book.now()),
                    trip_id=of_trip.id,
                    file=path.name,
                    hash=hashed,
                    title=track.name,
                    points=json.dumps(segments),
                    doubts=track.doubts,
                )
            )
        found = place_keepers(desk, book, of_trip)
        return TrackTaken(
            of_trip.slug,
            path.name,
            known,
            len(points),
            points[0].at if points else None,
            points[-1].at if points else None,
            track.doubts,
            tuple(one for one in found if not one.is_torn),
            tuple(one for one in found if one.is_torn),
        )


def segments_of(desk: Desk, trip: Trip) -> tuple[Segment, ...]:
    """Return all segments of all tracks of a trip."""
    return tuple(
        tuple(Fix(datetime.fromisoformat(at), *place) for at, *place in segment)
        for track in desk.tracks.all(trip_id=trip.id)
        for segment in json.loads(track.points)
    )


class KnownTracks:
    """The tracks of one trip for a work of several transactions: read once, and again where others came."""

    def __init__(self) -> None:
        self._ids: tuple[str, ...] = ()
        self._segments: tuple[Segment, ...] = ()

    def of(self, desk: Desk, trip: Trip) -> tuple[Segment, ...]:
        """Return all segments."""
        ids = desk.tracks.ids(trip_id=trip.id)
        if ids != self._ids:
            self._ids, self._segments = ids, segments_of(desk, trip)
        return self._segments


def place_keepers(desk: Desk, book: Book, trip: Trip) -> tuple[PlacedKeeper, ...]:
    """Give keepers without a position of their own the one that the tracks show for their instant.

    Returns what the tracks show of each, also of those that they contradict each other about.
    """
    keepers = desk.keepers.all(trip_id=trip.id)
    result = []
    for keeper, (after, placed) in zip(keepers, placed_by(keepers, segments_of(desk, trip)), strict=True):
        if after != keeper:
            desk.keepers.put(replace(after, updated=book.now()))
        if placed is not None:
            result.append(PlacedKeeper(keeper.file, placed))
    return tuple(result)


def placed_by(
    keepers: Iterable[Keeper], segments: Sequence[Sequence[Fix]]
) -> list[tuple[Keeper, Placed | None]]:
    """Return each keeper as the tracks place it, and how; as it was where it has a place of its own."""
    keepers = list(keepers)
    free = [keeper for keeper in keepers if _may_be_placed(keeper)]
    places = place_all([keeper.taken_utc for keeper in free if keeper.taken_utc], segments)
    by_id = {keeper.id: placed for keeper, placed in zip(free, places, strict=True)}
    return [
        (_placed(keeper, by_id[keeper.id]), by_id[keeper.id]) if keeper.id in by_id else (keeper, None)
        for keeper in keepers
    ]


def _may_be_placed(keeper: Keeper) -> bool:
    own = keeper.provenance_of("latitude_deg")
    return keeper.taken_utc is not None and own in (None, Provenance.INFERRED)


def _is_torn(placed: Placed) -> bool:
    return placed.torn_m > TORN_M


def _placed(keeper: Keeper, placed: Placed | None) -> Keeper:
    placed = None if placed is not None and _is_torn(placed) else placed
    names = ["latitude_deg", "longitude_deg"]
    own_height = keeper.provenance_of("altitude_m") not in (None, Provenance.INFERRED)
    if not own_height:
        names.append("altitude_m")
    height_m = keeper.altitude_m if own_height else placed.elevation_m if placed else None
    rest = {name: word for name, word in keeper.provenance.items() if name not in names}
    if placed is None:
        if keeper.latitude_deg is None:
            return keeper
        return replace(keeper, latitude_deg=None, longitude_deg=None, altitude_m=height_m, provenance=rest)
    words = {"latitude_deg": Provenance.INFERRED, "longitude_deg": Provenance.INFERRED}
    if height_m is not None and not own_height:
        words["altitude_m"] = Provenance.INFERRED
    return replace(
        keeper,
        latitude_deg=placed.latitude_deg,
        longitude_deg=placed.longitude_deg,
        altitude_m=height_m,
        provenance={**rest, **words},
    )


def list_tracks(book: Book, trip: str | None) -> Sequence[TrackRecord]:
    """Return the tracks of a trip."""
    with book.reading() as desk:
        return desk.tracks.all(trip_id=the_trip(desk, trip).id)


def remove_track(book: Book, trip: str | None, file: str) -> str:
    """Take a track out of the book, and with it the positions that came from it alone."""
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        tracks = {track.file: track for track in desk.tracks.all(trip_id=of_trip.id)}
        name = file if file in tracks else resolve(file, tracks, "track")
        desk.tracks.remove([tracks[name].id])
        place_keepers(desk, book, of_trip)
        return name
