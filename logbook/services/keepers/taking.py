"""Taking one batch of picture files into the book: what is new, what is known, and what belongs to a keeper.

One surprising decision: everything that the batch could meet is looked up at once, so that the cost of a file
does not grow with the number of keepers that are there. What was stated of a camera's clock, and the tracks
that are there, hold for its new keepers at once.
"""

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from logbook.domain.camera import CameraFacts
from logbook.domain.keeper import Keeper
from logbook.domain.names import slug_of
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.intake.exif.tiff import RAW_FORMATS
from logbook.services.clocks.settled import read_clock
from logbook.services.clocks.stating import as_stated
from logbook.services.keepers.originals import Standing, look_at
from logbook.services.keepers.picture_files import (
    CAMERA_FIELDS,
    MARK_FIELDS,
    ReadFile,
    files_of,
    is_raw,
    joined,
    moved,
    provenance_of,
    refreshed,
    replaced,
    with_files,
)
from logbook.services.tracks import KnownTracks, placed_by
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class StatedClock:
    """What a person says of the camera's clock: its zone, and the seconds to add."""

    zone: str | None
    offset_s: int


class Taking:
    """One batch of files on its way into the book, within one transaction."""

    def __init__(self, desk: Desk, book: Book, trip: Trip, reads: list[ReadFile], clock: StatedClock) -> None:
        self._desk, self._book, self._trip, self._clock = desk, book, trip, clock
        self._reads = {read.path: read for read in reads}
        self._new: dict[str, Keeper] = {}
        self._changed: dict[str, Keeper] = {}
        moments = {read.facts.taken_text for read in reads} - {None}
        self._known = self._near(hash={read.hash for read in reads})
        self._known |= self._near(taken_text=moments) if moments else {}
        self._known |= self._near(path={*self._reads})
        files = (path for one in self._known.values() for path in files_of(one))
        self._files = desk.known_files.of(files) | {one.path: one for read in reads for one in read.known}
        self._by_hash: dict[str, str] = {}
        self._by_path: dict[str, list[str]] = {}
        self._by_moment: dict[str | None, list[str]] = {}
        self._renewed: dict[str, str] = {}
        for keeper in self._known.values():
            self._note(keeper)
        slugs = {slug_of(Path(read.path).stem) for read in reads}
        self._slugs = {one.slug for one in desk.keepers.all(trip_id=trip.id, slug=slugs)}

    def _near(self, **equals: Any) -> dict[str, Keeper]:
        """Return keepers of the trip, and those moved out of it, which are known where they are now."""
        found = self._desk.keepers.all(**equals)
        return {one.id: one for one in found if self._trip.id in (one.trip_id, *one.left_trip_ids)}

    @property
    def left(self) -> Counter[str]:
        """How many keepers that these files are were moved to other trips, by those trips' slugs."""
        files = {self._by_hash.get(read.hash) for read in self._reads.values()}
        trips = {trip_id: slug for slug, trip_id in self._desk.trips.slugs().items()}
        moved = (one for one in self._known.values() if one.id in files and one.trip_id != self._trip.id)
        return Counter(trips[one.trip_id] for one in moved)

    @property
    def renewed(self) -> tuple[str, ...]:
        """The slugs of keepers whose picture now holds another content, which was taken in."""
        return tuple(self._renewed.values())

    def keep(self, read: ReadFile) -> str:
        """Take one file in; return the word for what became of it."""
        keeper = self._known.get(self._by_hash.get(read.hash, ""))
        if keeper is not None:
            return self._again(keeper, read)
        for keeper_id in self._by_moment.get(read.facts.taken_text, []):
            keeper = self._known[keeper_id]
            if not read.is_frame_of(keeper):
                continue
            if keeper.path == read.path:  # an editor wrote into the file
                return self._renew(keeper, read)
            raws = [Path(one.path) for one in keeper.companions if not one.is_sidecar]
            if read.is_raw and any(str(path) == read.path for path in raws):
                return self._change(keeper, joined(keeper, read), "updated")
            formats = {keeper.format, *(RAW_FORMATS.get(path.suffix.lower()) for path in raws)}
            if read.facts.format not in formats if read.is_raw else is_raw(keeper):
                return self._change(keeper, joined(keeper, read), "joined")
        for keeper_id in self._by_path.get(read.path, []):
            if _may_be_of(read.facts, self._known[keeper_id]):  # an editor left its time or camera out
                return self._renew(self._known[keeper_id], read)
        self._add(read)
        return "added"

    def write(self, tracks: KnownTracks) -> tuple[Keeper, ...]:
        """Put what is new or changed on the shelf; return the new keepers, put right and placed."""
        for keeper in self._changed.values():
            self._desk.keepers.put(keeper)
        self._desk.known_files.note(one for read in self._reads.values() for one in read.known)
        if not self._new:
            return ()
        new = list(self._new.values())
        beside = [one for one in self._known.values() if one.trip_id == self._trip.id]
        new = as_stated(self._desk, self._book, self._trip, new, beside)
        placed = tuple(keeper for keeper, _ in placed_by(new, tracks.of(self._desk, self._trip)))
        self._desk.keepers.add(*placed)
        return placed

    def _again(self, keeper: Keeper, read: ReadFile) -> str:
        """Take in a file whose content is known: first where it is now, then what lies beside it."""
        after = moved(keeper, read, self._is_there)
        beside = with_files(after, read.sidecars)
        if beside.also != after.also:
            return self._change(keeper, beside, "updated")
        now = self._book.now()
        fuller = after
        if after.path in self._reads:  # an older version of the program may have read less in it
            fuller = self._late(refreshed(after, self._reads, now, CAMERA_FIELDS))
        if fuller == keeper:
            return "known"
        self._put(replace(fuller, updated=now))
        return "moved" if fuller == after else "updated"

    def _is_there(self, path: str, hashed: str) -> bool:
        """Whether a file still holds a content, or cannot be asked."""
        standing = look_at(path, hashed, known=self._files.get(path)).standing
        return standing in (Standing.HERE, Standing.UNREADABLE)

    def _renew(self, keeper: Keeper, read: ReadFile) -> str:
        """Take in what the file of a keeper holds now."""
        self._renewed[keeper.id] = keeper.slug
        return self._change(keeper, with_files(replaced(keeper, read), read.sidecars), "updated")

    def _change(self, before: Keeper, after: Keeper, word: str) -> str:
        now = self._book.now()
        fresh = self._late(refreshed(after, self._reads, now))
        self._put(replace(fresh, updated=now, created=before.created))
        return word

    def _late(self, keeper: Keeper) -> Keeper:
        """The keeper with the time that its file gives now, where it had none."""
        read = self._reads.get(keeper.path)
        if keeper.taken_local is not None or read is None or read.facts.taken_local is None:
            return keeper
        return self._timed(keeper, read.facts)

    def _timed(self, keeper: Keeper, facts: CameraFacts) -> Keeper:
        """The keeper with its time as the facts and what is said of the camera's clock give it."""
        clock = self._clock
        reading = read_clock(
            facts, stated_zone=clock.zone, trip_zone=self._trip.zone, offset_s=clock.offset_s
        )
        texts = {
            name: Provenance.CAMERA for name in ("taken_text", "utc_offset_text") if getattr(facts, name)
        }
        return replace(
            keeper,
            provenance=dict(keeper.provenance) | texts | reading.provenance,
            taken_text=facts.taken_text,
            taken_local=reading.taken_local,
            utc_offset_text=facts.utc_offset_text,
            zone=reading.zone,
            clock_offset_s=clock.offset_s,
            clock_evidence=reading.evidence,
            taken_utc=reading.taken_utc,
        )

    def _put(self, keeper: Keeper) -> None:
        (self._new if keeper.id in self._new else self._changed)[keeper.id] = keeper
        self._note(keeper)

    def _note(self, keeper: Keeper) -> None:
        self._known[keeper.id] = keeper
        self._by_hash[keeper.hash] = keeper.id
        of_path = self._by_path.setdefault(keeper.path, [])
        if keeper.id not in of_path:
            of_path.append(keeper.id)
        self._by_hash |= {one.hash: keeper.id for one in keeper.companions if not one.is_sidecar}
        of_moment = self._by_moment.setdefault(keeper.taken_text, [])
        if keeper.taken_text is not None and keeper.id not in of_moment:
            of_moment.append(keeper.id)

    def _free_slug(self, stem: str) -> str:
        slug = slug_of(stem, self._slugs)
        while slug != slug_of(stem) and self._desk.keepers.first(trip_id=self._trip.id, slug=slug):
            self._slugs.add(slug)
            slug = slug_of(stem, self._slugs)
        self._slugs.add(slug)
        return slug

    def _add(self, read: ReadFile) -> None:
        facts = read.facts
        file = Path(read.path).name
        keeper = Keeper(
            **new_record(self._book.now()) | {"provenance": provenance_of(facts)},
            slug=self._free_slug(Path(file).stem),
            trip_id=self._trip.id,
            file=file,
            path=read.path,
            hash=read.hash,
            size_bytes=read.size_bytes,
            format=facts.format,
            width_px=facts.width_px,
            height_px=facts.height_px,
            orientation=facts.orientation,
            doubts=facts.notes,
            **{name: getattr(facts, name) for name in (*CAMERA_FIELDS, *MARK_FIELDS)},
        )
        keeper = self._timed(with_files(keeper, read.sidecars), facts)
        self._new[keeper.id] = keeper
        self._note(keeper)


def _may_be_of(facts: CameraFacts, keeper: Keeper) -> bool:
    """Whether nothing that a file says of its moment and camera tells that it is another picture."""
    pairs = ((facts.taken_text, keeper.taken_text), (facts.body, keeper.body))
    return all(one is None or other is None or one == other for one, other in pairs)
