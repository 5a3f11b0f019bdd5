"""Finding pictures that are no longer where the book says: by size, then by every byte.

One surprising decision: a new place is no new version of a keeper. Where a picture lies is this computer's
affair, so two computers can each have their own places and still be merged without a conflict.
"""

import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from logbook.domain.errors import NotFoundError, UnreadableFileError
from logbook.domain.keeper import Companion, Keeper
from logbook.services.picture_files import real_path, shown_path
from logbook.services.records import the_trip
from logbook.store.book import Book

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Found:
    """A file that lies elsewhere now."""

    keeper: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Located:
    """What a search found, what is still missing, and which folders could not be read."""

    found: tuple[Found, ...]
    missing: tuple[str, ...]
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
            raise NotFoundError(f"There is no folder {root}; name the folder under which to look.")
    with book.reading() as desk:
        within = {"trip_id": the_trip(desk, trip).id} if trip is not None else {}
        keepers = [one for one in desk.keepers.all(**within) if _lost(one)]
    unreadable: list[str] = []
    places = _places(keepers, roots, unreadable, progress) if keepers else {}
    after = {one.id: _moved(one, places) for one in keepers}
    found = [
        Found(one.slug, old, new)
        for one in keepers
        for old, new in zip(_paths(one), _paths(after[one.id]), strict=True)
        if old != new
    ]
    if found and not dry_run:
        with book.writing() as desk:
            for keeper in keepers:
                held, moved = desk.keepers.get(keeper.id), after[keeper.id]
                if held is not None and (held.path, held.also) == (keeper.path, keeper.also) != (
                    moved.path,
                    moved.also,
                ):
                    desk.keepers.put(replace(held, path=moved.path, also=moved.also))
    missing = [text for one in after.values() for text in _paths(one) if not _exists(real_path(text))]
    return Located(tuple(found), tuple(missing), tuple(unreadable), dry_run)


def _paths(keeper: Keeper) -> list[str]:
    return [keeper.path, *(one.path for one in keeper.companions)]


def _lost(keeper: Keeper) -> bool:
    return any(not _exists(real_path(text)) for text in _paths(keeper))


def _exists(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _moved(keeper: Keeper, places: dict[str, Path]) -> Keeper:
    """Return a keeper with its files where they were found; a sidecar follows its picture."""
    path = keeper.path
    if not _exists(real_path(path)) and keeper.hash in places:
        path = shown_path(places[keeper.hash])
    also = []
    for one in keeper.companions:
        place = places.get(one.hash)
        beside = real_path(path).with_name(real_path(one.path).name)
        if _exists(real_path(one.path)):
            also.append(one)
        elif place is not None:
            also.append(Companion(one.hash, shown_path(place)))
        elif one.is_sidecar and _exists(beside):
            also.append(Companion(one.hash, shown_path(beside)))
        else:
            also.append(one)
    return replace(keeper, path=path, also=tuple(str(one) for one in also))


def _places(
    keepers: Iterable[Keeper], roots: Iterable[Path], unreadable: list[str], progress: Progress
) -> dict[str, Path]:
    """Return where the wanted contents lie, by hash; only files of a wanted size or name are read whole."""
    from logbook.intake.pictures import content_hash

    sizes: dict[int, set[str]] = {}
    names: dict[str, set[str]] = {}
    for keeper in keepers:
        if not _exists(real_path(keeper.path)):
            sizes.setdefault(keeper.size_bytes, set()).add(keeper.hash)
        for one in keeper.companions:
            if not _exists(real_path(one.path)):
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
