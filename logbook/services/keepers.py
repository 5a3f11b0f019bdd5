"""Keepers: taking them in from a folder, listing them, and noting what the camera cannot know.

One surprising decision: pictures are taken in by small batches, each a transaction of its own, so that a
killed import keeps what it had and running it again completes it; the content hash makes that harmless.
"""

import os
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import Any

from logbook.domain.camera import CameraFacts
from logbook.domain.errors import NotFoundError, UnreadableFileError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.names import slug_of
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import Provenance
from logbook.services.clocks import read_clock
from logbook.services.kinds import KEEPER, Fields
from logbook.services.records import Listing, edited, find, listing, resolved, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

BATCH = 32  # pictures a transaction; a killed import loses at most the batch it had not acknowledged
CAMERA_FIELDS = (
    "exposure_s",
    "f_number",
    "iso",
    "bias_stops",
    "focal_mm",
    "focal_35mm",
    "exposure_mode",
    "auto_bracket",
    "metering",
    "flash_fired",
    "body",
    "lens",
    "latitude_deg",
    "longitude_deg",
    "altitude_m",
    "direction_deg",
    "direction_is_magnetic",
    "rating",
)

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Refused:
    """A file that was not taken in, and the one-line reason."""

    file: str
    reason: str


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What an import did."""

    added: int
    known: int
    moved: int
    refused: tuple[Refused, ...]


@dataclass(frozen=True, slots=True)
class _Read:
    path: Path
    hash: str
    size_bytes: int
    facts: CameraFacts


def take_in(
    book: Book,
    folder: Path,
    *,
    trip: str | None,
    recursive: bool = False,
    zone: str | None = None,
    clock_offset_s: int = 0,
    progress: Progress = lambda _done, _total: None,
) -> TakenIn:
    """Take in the pictures of a folder; raises NotFoundError where it holds none."""
    from logbook.intake.pictures import find_pictures

    with book.reading() as desk:
        the_trip(desk, trip)
    if not folder.is_dir():
        raise NotFoundError(f"There is no folder {folder}; name the folder that holds the selected pictures.")
    paths = find_pictures(folder, recursive)
    if not paths:
        hint = "" if recursive else " Add --recursive to look into its folders."
        raise NotFoundError(f"There are no pictures in {folder}.{hint}")
    added = known = moved = done = 0
    refused: list[Refused] = []
    for batch in _batches(paths, BATCH):
        reads: list[_Read] = []
        for path in batch:
            try:
                reads.append(_read(path))
            except UnreadableFileError as error:
                refused.append(Refused(shown_path(path), str(error)))
            done += 1
            progress(done, len(paths))
        with book.writing() as desk:
            of_trip = the_trip(desk, trip)
            for read in reads:
                outcome = _keep(desk, book, of_trip, read, zone, clock_offset_s)
                added += outcome == "added"
                known += outcome == "known"
                moved += outcome == "moved"
    return TakenIn(added, known, moved, tuple(refused))


def shown_path(path: Path) -> str:
    """Return a path as text, with bytes that are not UTF-8 made visible."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")


def _batches(paths: Iterable[Path], size: int) -> Iterator[list[Path]]:
    iterator = iter(paths)
    while batch := list(islice(iterator, size)):
        yield batch


def _read(path: Path) -> _Read:
    from logbook.intake.pictures import content_hash, read_picture

    try:
        return _Read(path, content_hash(path), path.stat().st_size, read_picture(path))
    except OSError as error:
        raise UnreadableFileError(f"the file cannot be read ({error.strerror})") from error


def _keep(desk: Desk, book: Book, trip: Trip, read: _Read, zone: str | None, clock_offset_s: int) -> str:
    path = shown_path(read.path.resolve())
    before = desk.keepers.first(trip_id=trip.id, hash=read.hash)
    if before is not None:
        if before.path == path or Path(before.path).exists():
            return "known"
        desk.keepers.put(replace(before, path=path, file=Path(path).name, updated=book.now()))
        return "moved"
    facts = read.facts
    clock = read_clock(facts, stated_zone=zone, trip_zone=trip.zone, offset_s=clock_offset_s)
    camera = {name: getattr(facts, name) for name in CAMERA_FIELDS}
    in_file = (*CAMERA_FIELDS, "taken_text", "utc_offset_text", "orientation", "width_px", "height_px")
    provenance = {name: Provenance.CAMERA for name in in_file if getattr(facts, name) is not None}
    file = Path(path).name
    desk.keepers.add(
        Keeper(
            **new_record(book.now()) | {"provenance": provenance | clock.provenance},
            slug=slug_of(Path(file).stem, desk.keepers.slugs(trip_id=trip.id)),
            trip_id=trip.id,
            file=file,
            path=path,
            hash=read.hash,
            size_bytes=read.size_bytes,
            format=facts.format,
            width_px=facts.width_px,
            height_px=facts.height_px,
            orientation=facts.orientation,
            taken_text=facts.taken_text,
            taken_local=clock.taken_local,
            utc_offset_text=facts.utc_offset_text,
            zone=clock.zone,
            clock_offset_s=clock_offset_s,
            clock_evidence=clock.evidence,
            taken_utc=clock.taken_utc,
            doubts=facts.notes,
            **camera,
        )
    )
    return "added"


def in_order(keepers: Iterable[Keeper]) -> list[Keeper]:
    """Return keepers in order of time: by instant, else by the camera's wall time, else by name."""
    return sorted(
        keepers,
        key=lambda keeper: (
            keeper.place_time is None,
            keeper.place_time.isoformat() if keeper.place_time else "",
            keeper.file,
        ),
    )


def list_keepers(book: Book, trip: str | None, fields: Fields) -> Listing:
    """Return keepers in order of time; without a trip, those of all trips."""
    with book.reading() as desk:
        within: dict[str, Any] = resolved(desk, fields)
        if trip is not None:
            within["trip_id"] = the_trip(desk, trip).id
        return listing(desk, tuple(in_order(desk.keepers.all(**within))))


def show_keeper(book: Book, trip: str | None, wanted: str) -> Listing:
    """Return one keeper by slug, file name or file number."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip) if trip is not None or len(desk.trips.slugs()) == 1 else None
        within = {"trip_id": of_trip.id} if of_trip else {}
        return listing(desk, (_one(desk, wanted, within),))


def slug_of_keeper(book: Book, trip: str | None, wanted: str) -> tuple[str, str]:
    """Return the trip id and slug of one keeper, however it was named."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        return of_trip.id, _one(desk, wanted, {"trip_id": of_trip.id}).slug


def _one(desk: Desk, wanted: str, within: Fields) -> Keeper:
    numbered = matching(desk.keepers.all(**within), wanted, wanted)
    if len(numbered) == 1:
        return numbered[0]
    return find(desk, KEEPER, wanted, **within)


_NUMBER = re.compile(r"(\d+)\D*$")


def number_of(name: str) -> int | None:
    """Return the number at the end of a file name's stem (`TRN_0412.JPG` is 412), or None."""
    found = _NUMBER.search(Path(name).stem if "." in name else name)
    return int(found[1]) if found else None


def matching(keepers: Iterable[Keeper], first: str, last: str) -> list[Keeper]:
    """Return the keepers from `first` to `last`, by file name, slug, or file number.

    A bare number such as 0412 means every keeper of that number; a range needs numbers.
    """
    keepers = list(keepers)
    if first == last:
        named = [k for k in keepers if first.lower() in (k.file.lower(), k.slug, Path(k.file).stem.lower())]
        if named:
            return named
    low, high = number_of(first), number_of(last)
    if low is None or high is None:
        return []
    stem = _NUMBER.sub("", first).lower()
    return [
        keeper
        for keeper in keepers
        if (number := number_of(keeper.file)) is not None
        and low <= number <= high
        and Path(keeper.file).stem.lower().startswith(stem)
    ]


def note_keepers(book: Book, trip: str | None, which: str, changes: Fields) -> Listing:
    """State what the camera cannot know for one keeper or a range (`0412-0419`)."""
    if not changes:
        raise WrongUseError(
            "Say what to note: --filters, --support, --shot, --viewpoint, --caption and others."
        )
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        first, last = split_range(which)
        found = matching(desk.keepers.all(trip_id=of_trip.id), first, last)
        if not found:
            if first == last:
                found = [find(desk, KEEPER, which, trip_id=of_trip.id)]
            else:
                raise NotFoundError(f"{of_trip.slug} has no keeper from {first} to {last}; see keeper list.")
        ready = resolved(desk, changes)
        noted = []
        for keeper in found:
            after = edited(keeper, book.now(), ready)
            if after is not keeper:
                desk.keepers.put(after)
            noted.append(after)
        return listing(desk, tuple(in_order(noted)))


_RANGE = re.compile(r"(?P<first>\S*\d)\s*(?:-|–|\.\.)\s*(?P<last>\S*\d)")


def split_range(which: str) -> tuple[str, str]:
    """Return the two ends of `0412-0419`; one name is a range of itself."""
    found = _RANGE.fullmatch(which.strip())
    return (found["first"], found["last"]) if found else (which.strip(), which.strip())
