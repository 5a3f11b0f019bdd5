"""Taking pictures in from a folder.

Surprising decisions: pictures are taken in by small batches, each a transaction of its own, so that a
killed import keeps what it had and running it again completes it; the content hash makes that harmless.
Files that are as they were are not read again, and that is asked of a whole frame: where one of its files
is new, changed or gone, all of them are read, for what is known of a keeper is put together from all.
"""

import os
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path

from logbook.domain.errors import NotFoundError, UnreadableFileError
from logbook.domain.keeper import Keeper, KnownFile
from logbook.domain.trip import Trip
from logbook.intake.pictures import READER
from logbook.intake.plain_files import state_of
from logbook.services.clocks.doubts import time_doubts
from logbook.services.keepers.picture_files import (
    ReadFile,
    WantedMarks,
    absolute,
    read_file,
    real_path,
    shown_path,
)
from logbook.services.keepers.strangers import elsewhere, outside
from logbook.services.keepers.taking import StatedClock, Taking
from logbook.services.records import the_trip
from logbook.services.tracks import KnownTracks
from logbook.store.book import Book
from logbook.store.desk import Desk

BATCH = 64  # pictures a transaction; a killed import loses at most the batch it had not acknowledged
Progress = Callable[[int, int], None]
Frame = Sequence[Path]


@dataclass(frozen=True, slots=True)
class Refused:
    """A file that was not taken in, and the one-line reason."""

    file: str
    reason: str


@dataclass(frozen=True, slots=True)
class Doubted:
    """A file that was taken in with a time that may not be its own, and why."""

    file: str
    reason: str


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What an import did; `joined` files became part of a keeper, `passed_over` lacked the wanted marks.

    Of the added ones, `outside` are of days outside the trip's dates, and `elsewhere` counts those that are
    keepers of other trips, by their slugs, and `doubted` have a time that may not be theirs. Of the known
    ones, `left` counts those moved to other trips. Of the updated ones, `renewed` are the slugs of those
    whose file now holds another picture than before. `made_here` counts pictures of reports that this program
    made, which are no keepers, by report.
    """

    added: int
    known: int
    moved: int
    refused: tuple[Refused, ...]
    joined: int = 0
    updated: int = 0
    passed_over: int = 0
    outside: int = 0
    elsewhere: Mapping[str, int] = field(default_factory=dict)
    left: Mapping[str, int] = field(default_factory=dict)
    renewed: tuple[str, ...] = ()
    doubted: tuple[Doubted, ...] = ()
    made_here: Mapping[str, int] = field(default_factory=dict)


def take_in(
    book: Book,
    folder: Path,
    *,
    trip: str | None,
    recursive: bool = False,
    zone: str | None = None,
    clock_offset_s: int = 0,
    wanted: WantedMarks = WantedMarks(),  # noqa: B008 - a frozen value
    progress: Progress = lambda _done, _total: None,
) -> TakenIn:
    """Take in the pictures of a folder; raises NotFoundError where it holds none."""
    from logbook.intake.pictures import find_files

    with book.reading() as desk:
        the_trip(desk, trip)
    if not folder.is_dir():
        raise NotFoundError(
            f"There is no folder {shown_path(folder)}; name the folder that holds the selected pictures."
        )
    found = find_files(folder, recursive)
    paths = found.pictures
    if not paths:
        hint = "" if recursive else " Add --recursive to look in its subfolders."
        if found.made_here:
            root = shown_path(next(iter(found.made_here)))
            raise NotFoundError(
                f"There are no pictures of yours in {shown_path(folder)}, only those of a report made "
                f"by this program ({root}); name the folder with your own pictures.{hint}"
            )
        raise NotFoundError(f"There are no pictures in {shown_path(folder)}.{hint}")
    counts = dict.fromkeys(("added", "known", "moved", "joined", "updated", "passed_over", "outside"), 0)
    others: Counter[str] = Counter()
    moved_away: Counter[str] = Counter()
    renewed: list[str] = []
    refused = [Refused(shown_path(path), reason) for path, reason in found.refused]
    doubted: list[Doubted] = []
    tracks = KnownTracks()
    done = 0
    for whole_batch in _batches(paths, BATCH):
        batch = whole_batch
        if wanted == WantedMarks():  # else the marks of each must be read
            with book.reading() as desk:
                known = unchanged(desk, the_trip(desk, trip), batch, found.sidecars_of)
            again = sum(len(frame) for frame, is_known in zip(batch, known, strict=True) if is_known)
            batch = [frame for frame, is_known in zip(batch, known, strict=True) if not is_known]
            counts["known"] += again
            done += again
            progress(done, len(paths))
        reads: list[ReadFile] = []
        for frame in batch:
            of_frame: list[ReadFile] = []
            for path in frame:
                try:
                    of_frame.append(read_file(path, found.sidecars_of(path)))
                except UnreadableFileError as error:
                    refused.append(Refused(shown_path(path), str(error)))
            is_wanted = [wanted.accepts(read.facts) for read in of_frame]
            accepted = of_frame if any(is_wanted) and _is_one_frame(of_frame) else []
            accepted = accepted or [read for read, yes in zip(of_frame, is_wanted, strict=True) if yes]
            reads += accepted
            counts["passed_over"] += len(of_frame) - len(accepted)
            done += len(frame)
            progress(done, len(paths))
        if not reads:
            if _is_gone(whole_batch) and done < len(paths):
                left = f"the pictures are gone; {len(paths) - done} more were not read"
                refused.append(Refused(shown_path(folder), f"{left}. Put the card back and import it again."))
                break
            continue
        with book.writing() as desk:
            of_trip = the_trip(desk, trip)
            taking = Taking(desk, book, of_trip, reads, StatedClock(zone, clock_offset_s))
            for read in reads:
                counts[taking.keep(read)] += 1
            new = taking.write(tracks)
            desk.follow_places()
            counts["outside"] += outside(of_trip, new)
            others += elsewhere(desk, of_trip, new)
            doubted += _doubted(desk, new)
            moved_away += taking.left
            renewed += taking.renewed
    return TakenIn(
        refused=tuple(refused),
        elsewhere=dict(others),
        left=dict(moved_away),
        renewed=tuple(renewed),
        doubted=tuple(doubted),
        made_here={shown_path(root): count for root, count in sorted(found.made_here.items())},
        **counts,
    )


def _doubted(desk: Desk, new: Sequence[Keeper]) -> Iterator[Doubted]:
    """Say which of the new keepers have a time that may not be theirs."""
    doubts = time_doubts(desk, new)
    for keeper in new:
        if keeper.id in doubts:
            yield Doubted(keeper.file, doubts[keeper.id].reason)


def _batches(paths: list[str], size: int) -> Iterator[list[list[Path]]]:
    """Yield paths by frame, the raw file of each last, until about `size` files are together."""
    from logbook.intake.exif.tiff import RAW_FORMATS

    def frame_of(path: str) -> str:
        return os.path.splitext(path)[0].casefold()  # noqa: PTH122 - a Path each would cost memory

    batch: list[list[Path]] = []
    count = 0
    paths.sort(key=frame_of)
    for _, group in groupby(paths, key=frame_of):
        frame = sorted(map(Path, group), key=lambda path: (path.suffix.lower() in RAW_FORMATS, path.name))
        batch.append(frame)
        count += len(frame)
        if count >= size:
            yield batch
            batch, count = [], 0
    if batch:
        yield batch


def _is_gone(batch: list[list[Path]]) -> bool:
    """Whether none of the files can be reached any more, as when a card was taken out."""
    return not any(os.path.exists(path) for frame in batch for path in frame)  # noqa: PTH110 - errors are no


def _is_one_frame(reads: list[ReadFile]) -> bool:
    """Whether files of one name are of one moment and body."""
    return len({(read.facts.taken_text, read.facts.body) for read in reads}) == 1


def unchanged(
    desk: Desk, trip: Trip, frames: Sequence[Frame], sidecars_of: Callable[[Path], tuple[Path, ...]]
) -> list[bool]:
    """Whether each frame holds nothing that an import into the trip would not know already.

    A file is trusted to be the same where its size, its instants of change and its number are; a report looks
    at the content itself.
    """
    named = [{absolute(path) for path in frame} for frame in frames]
    beside = [{absolute(one) for path in frame for one in sidecars_of(path)} for frame in frames]
    keepers: dict[str, list[Keeper]] = {}
    for keeper in desk.keepers.all(trip_id=trip.id, path=set().union(*named)):
        keepers.setdefault(keeper.path, []).append(keeper)
    of_frames = [[one for name in sorted(names) for one in keepers.get(name, [])] for names in named]
    known = desk.known_files.of(path for of_frame in of_frames for path, _ in _files(of_frame))
    return [
        all(
            keeper.taken_local is not None for keeper in of_frame
        )  # a time may be found when it is read again
        and _is_whole(of_frame, names, sidecars, known)
        for of_frame, names, sidecars in zip(of_frames, named, beside, strict=True)
    ]


def _is_whole(
    keepers: Sequence[Keeper], names: set[str], sidecars: set[str], known: dict[str, KnownFile]
) -> bool:
    """Whether keepers have exactly the files of a frame, and each holds what it held."""
    files = _files(keepers)
    folders = {str(Path(name).parent) for name in names}
    here = [(path, hashed) for path, hashed in files if str(Path(path).parent) in folders]
    return sorted(path for path, _ in here) == sorted(names | sidecars) and all(
        _is_as_known(known.get(path), path, hashed, may_be_gone=(path, hashed) not in here)
        for path, hashed in files
    )


def _files(keepers: Sequence[Keeper]) -> list[tuple[str, str]]:
    """Paths and contents of keepers' files."""
    return [
        (path, hashed)
        for keeper in keepers
        for path, hashed in ((keeper.path, keeper.hash), *((one.path, one.hash) for one in keeper.companions))
    ]


def _is_as_known(known: KnownFile | None, path: str, hashed: str, *, may_be_gone: bool) -> bool:
    try:
        state = state_of(os.stat(real_path(path)))  # noqa: PTH116 - twenty thousand of them
    except (OSError, ValueError):
        return may_be_gone
    return known is not None and (known.hash, known.state, known.reader) == (hashed, state, READER)
