"""Keepers: taking them in from a folder, listing them, and noting what the camera cannot know.

One surprising decision: pictures are taken in by small batches, each a transaction of its own, so that a
killed import keeps what it had and running it again completes it; the content hash makes that harmless.
"""

import os
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import Any

from logbook.domain.camera import CameraFacts
from logbook.domain.errors import AmbiguousNameError, NotFoundError, UnreadableFileError, WrongUseError
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

LISTED = 5  # how many candidates an ambiguous name lists
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
    "gps_utc",
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
            slugs = set(desk.keepers.slugs(trip_id=of_trip.id))
            for read in reads:
                outcome = _keep(desk, book, of_trip, read, slugs, zone, clock_offset_s)
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


def _keep(
    desk: Desk,
    book: Book,
    trip: Trip,
    read: _Read,
    slugs: set[str],
    zone: str | None,
    clock_offset_s: int,
) -> str:
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
    slug = slug_of(Path(file).stem, slugs)
    slugs.add(slug)
    desk.keepers.add(
        Keeper(
            **new_record(book.now()) | {"provenance": provenance | clock.provenance},
            slug=slug,
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
    """Return keepers in order of time: by instant where all have one, else by wall time, then by name."""
    keepers = list(keepers)
    dated = [keeper for keeper in keepers if keeper.place_time is not None]
    by_instant = all(keeper.taken_utc is not None for keeper in dated)

    def time_of(keeper: Keeper) -> datetime | None:
        return keeper.taken_utc if by_instant else keeper.place_time

    dated.sort(key=lambda keeper: (time_of(keeper), keeper.file))
    undated = [keeper for keeper in keepers if keeper.place_time is None]
    return dated + sorted(undated, key=lambda keeper: keeper.file)


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
        return listing(desk, (one_keeper(desk, wanted, within),))


def slug_of_keeper(book: Book, trip: str | None, wanted: str) -> tuple[str, str]:
    """Return the trip id and slug of one keeper, however it was named."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        return of_trip.id, one_keeper(desk, wanted, {"trip_id": of_trip.id}).slug


def one_keeper(desk: Desk, wanted: str, within: Fields) -> Keeper:
    """Return one keeper by file name, number or slug; raises AmbiguousNameError where several fit."""
    keepers = desk.keepers.all(**within)
    found = [keeper for keeper in keepers if keeper.slug == wanted] or matching(keepers, wanted, wanted)
    if len(found) == 1:
        return found[0]
    if found:
        raise AmbiguousNameError(
            f'"{wanted}" could be any keeper of {", ".join(keeper.slug for keeper in found[:LISTED])}; '
            + (
                "name the trip with --trip."
                if len({keeper.trip_id for keeper in found}) > 1
                else "use its slug."
            )
        )
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
    if first == last and (named := _named(keepers, first)):
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


def _named(keepers: Iterable[Keeper], name: str) -> list[Keeper]:
    wanted = name.lower()
    return [k for k in keepers if wanted in (k.file.lower(), k.slug, Path(k.file).stem.lower())]


def note_keepers(book: Book, trip: str | None, which: str, changes: Fields) -> Listing:
    """State what the camera cannot know for one keeper or a range (`0412-0419`)."""
    if not changes:
        raise WrongUseError(
            "Say what to note: --filters, --support, --shot, --viewpoint, --caption and others."
        )
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        ready = resolved(desk, changes)
        noted = []
        for keeper in keepers_meant(desk, of_trip, which):
            after = edited(keeper, book.now(), ready)
            if after is not keeper:
                desk.keepers.put(after)
            noted.append(after)
        return listing(desk, tuple(in_order(noted)))


def keepers_meant(desk: Desk, trip: Trip, which: str) -> list[Keeper]:
    """Return the keepers that a name or a range (`0412-0419`) means; raises NotFoundError for none."""
    keepers = desk.keepers.all(trip_id=trip.id)
    first, last = split_range(which)
    found = _named(keepers, which.strip()) or matching(keepers, first, last)
    if not found and first != last:
        raise NotFoundError(f"{trip.slug} has no keeper from {first} to {last}; see keeper list.")
    return found or [find(desk, KEEPER, which, trip_id=trip.id)]


_RANGE = re.compile(r"(?P<first>\S*\d)\s*(?:-|–|\.\.)\s*(?P<last>\S*\d)")


def split_range(which: str) -> tuple[str, str]:
    """Return the two ends of `0412-0419`; one name is a range of itself."""
    found = _RANGE.fullmatch(which.strip())
    return (found["first"], found["last"]) if found else (which.strip(), which.strip())
