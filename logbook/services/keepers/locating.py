"""Finding pictures that are not, or not as they were, where the book says: by size, then by every byte.

One surprising decision: a new place is no new version of a keeper. Where a picture lies is this computer's
affair, so two computers can each have their own places and still be merged without a conflict.
"""

import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from logbook.domain.errors import NotFoundError, UnreadableFileError
from logbook.domain.keeper import Companion, Keeper, KnownFile
from logbook.services.keepers.originals import Looked, Standing, is_there, look_at, note
from logbook.services.keepers.picture_files import files_of, real_path, shown_path
from logbook.services.records import the_trip
from logbook.store.book import Book

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class FoundFile:
    """A file that lies elsewhere now."""

    keeper: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Located:
    """What a search found, what is still missing or changed, and which folders could not be read."""

    found: tuple[FoundFile, ...]
    missing: tuple[str, ...]
    changed: tuple[str, ...]  # what lies there is something else, and what was taken in was not found
    unreadable: tuple[str, ...]
    dry_run: bool


def locate(
    book: Book,
    roots: Iterable[Path],
    trip: str | None = None,
    *,
    dry_run: bool = False,
    progress: Progress = lambda _done, _total: None,
) -> Located:
    """Look for missing pictures under some folders; raises NotFoundError where a folder is not there."""
    roots = list(roots)
    for root in roots:
        if not root.is_dir():
            raise NotFoundError(f"There is no folder {root}; name the one to search.")
    with book.reading() as desk:
        within = {"trip_id": the_trip(desk, trip).id} if trip is not None else {}
        everything = desk.keepers.all(**within)
        known = desk.known_files.of(path for one in everything for path in files_of(one))
    seen = {one.id: _looked_at(one, known) for one in everything}
    if not dry_run:
        note(book, (how.known for files in seen.values() for how in files.values() if how.known))
    lost = {
        one: {path: how for path, how in files.items() if how.standing is not Standing.HERE}
        for one, files in seen.items()
    }
    keepers = [one for one in everything if lost[one.id]]
    unreadable: list[str] = []
    places = _places(keepers, lost, roots, unreadable, progress) if keepers else {}
    after = {one.id: _moved(one, lost[one.id], places) for one in keepers}
    pairs = [
        (one, old, new)
        for one in keepers
        for old, new in zip(files_of(one), files_of(after[one.id]), strict=True)
    ]
    found = [FoundFile(one.slug, old, new) for one, old, new in pairs if old != new]
    if found and not dry_run:
        with book.writing() as desk:
            for keeper in keepers:
                held, moved = desk.keepers.get(keeper.id), after[keeper.id]
                if held is not None and (held.path, held.also) == (keeper.path, keeper.also) != (
                    moved.path,
                    moved.also,
                ):
                    desk.keepers.put(replace(held, path=moved.path, also=moved.also))
    left = [(path, lost[one.id][path]) for one, path, new in pairs if path == new and path in lost[one.id]]
    missing = [path for path, how in left if how.standing is not Standing.CHANGED]
    changed = [path for path, how in left if how.standing is Standing.CHANGED]
    return Located(tuple(found), tuple(missing), tuple(changed), tuple(unreadable), dry_run)


def _looked_at(keeper: Keeper, known: Mapping[str, KnownFile]) -> dict[str, Looked]:
    """Return how a keeper's files stand, by path; of a sidecar, which is often rewritten, only whether."""
    found = {keeper.path: look_at(keeper.path, keeper.hash, keeper.size_bytes, known.get(keeper.path))}
    for one in keeper.companions:
        if not one.is_sidecar:
            found[one.path] = look_at(one.path, one.hash, None, known.get(one.path))
        elif is_there(real_path(one.path)):
            found[one.path] = Looked(Standing.HERE)
        else:
            found[one.path] = Looked(Standing.MISSING)
    return found


def _moved(keeper: Keeper, lost: Collection[str], places: dict[str, Path]) -> Keeper:
    """Return a keeper with its lost files where they were found; a sidecar follows its picture."""
    path = keeper.path
    if path in lost and keeper.hash in places:
        path = shown_path(places[keeper.hash])
    also = []
    for one in keeper.companions:
        place = places.get(one.hash)
        beside = real_path(path).with_name(real_path(one.path).name)
        if one.path not in lost:
            also.append(one)
        elif place is not None:
            also.append(Companion(one.hash, shown_path(place)))
        elif one.is_sidecar and is_there(beside):
            also.append(Companion(one.hash, shown_path(beside)))
        else:
            also.append(one)
    return replace(keeper, path=path, also=tuple(str(one) for one in also))


def _places(
    keepers: Iterable[Keeper],
    lost: Mapping[str, Collection[str]],
    roots: Iterable[Path],
    unreadable: list[str],
    progress: Progress,
) -> dict[str, Path]:
    """Return where the wanted contents lie, by hash; only files of a wanted size or name are read whole."""
    from logbook.intake.pictures import content_hash

    sizes: dict[int, set[str]] = {}
    names: dict[str, set[str]] = {}
    for keeper in keepers:
        if keeper.path in lost[keeper.id]:
            sizes.setdefault(keeper.size_bytes, set()).add(keeper.hash)
        for one in keeper.companions:
            if one.path in lost[keeper.id]:
                names.setdefault(real_path(one.path).name.lower(), set()).add(one.hash)
    wanted = set().union(*sizes.values(), *names.values())
    total = len(wanted)
    places: dict[str, Path] = {}
    for path in files_under(roots, unreadable):
        if not wanted:
            break
        try:
            candidates = sizes.get(path.stat().st_size, set()) | names.get(path.name.lower(), set())
            if candidates & wanted and (digest := content_hash(path)) in wanted:
                places[digest] = path.resolve()
                wanted.discard(digest)
                progress(total - len(wanted), total)
        except (OSError, UnreadableFileError):
            unreadable.append(shown_path(path))
    return places


def files_under(roots: Iterable[Path], unreadable: list[str]) -> Iterator[Path]:
    """Yield all files under some folders, each folder once however many links lead to it."""
    seen: set[tuple[int, int]] = set()
    waiting = [*reversed(list(roots))]
    while waiting:
        folder = waiting.pop()
        try:
            known = folder.stat()
            if (known.st_dev, known.st_ino) in seen:
                continue
            seen.add((known.st_dev, known.st_ino))
            with os.scandir(folder) as entries:
                found = sorted(entries, key=lambda entry: entry.name)
        except OSError:
            unreadable.append(shown_path(folder))
            continue
        for entry in found:
            try:
                if entry.is_dir():
                    waiting.append(Path(entry.path))
                elif entry.is_file():
                    yield Path(entry.path)
            except OSError:  # a link that leads round in a circle
                unreadable.append(shown_path(Path(entry.path)))
