"""Whether the pictures that keepers came from are where they were, and what they were; only read."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from logbook.domain.errors import UnreadableFileError
from logbook.domain.keeper import Keeper
from logbook.services.picture_files import real_path

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class OriginalFinding:
    """A picture that is not where it was, or not what it was."""

    keeper: Keeper
    path: str
    is_missing: bool
    why: str


def check_originals(
    keepers: Iterable[Keeper], *, by_hash: bool, progress: Progress = lambda _done, _total: None
) -> Iterator[OriginalFinding]:
    """Yield what is missing or changed: by size, or with `by_hash` by every byte."""
    from logbook.intake.pictures import content_hash

    keepers = list(keepers)
    for done, keeper in enumerate(keepers, 1):
        files: list[tuple[str, str, int | None]] = [(keeper.path, keeper.hash, keeper.size_bytes)]
        files += [(one.path, one.hash, None) for one in keeper.companions if not one.is_sidecar]
        for text, wanted, size_bytes in files:
            path = real_path(text)
            try:
                found = path.stat().st_size
                if size_bytes is not None and found != size_bytes:
                    yield OriginalFinding(keeper, text, False, f"it has {found} bytes and had {size_bytes}")
                elif by_hash and content_hash(path) != wanted:
                    yield OriginalFinding(keeper, text, False, "its content differs from what was taken in")
            except (UnreadableFileError, OSError, ValueError) as error:
                why = error.strerror if isinstance(error, OSError) else str(error)
                yield OriginalFinding(keeper, text, True, str(why or "it cannot be read").lower())
        progress(done, len(keepers))
