"""Whether the pictures that keepers came from are where they were, and what they were; only read."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from logbook.domain.keeper import Keeper, KnownFile
from logbook.services.keepers.originals import Looked, Standing, look_at

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class OriginalFinding:
    """A file of a keeper that is not where it was, not what it was, or was never read on this machine."""

    keeper: Keeper
    path: str
    looked: Looked

    @property
    def is_wrong(self) -> bool:
        """Whether it is missing or changed; one that was never read is neither, as far as anybody knows."""
        return self.looked.standing is not Standing.UNREAD

    @property
    def words(self) -> str:
        """What is wrong with it."""
        is_changed = self.looked.standing is Standing.CHANGED
        return f"{self.path} {'has changed' if is_changed else 'is missing'}: {self.looked.why}"


def check_originals(
    keepers: Iterable[Keeper],
    known: Mapping[str, KnownFile],
    *,
    by_hash: bool,
    progress: Progress = lambda _done, _total: None,
) -> Iterator[OriginalFinding]:
    """Yield what is missing, changed or was never read: every file is read with `by_hash`.

    Without it those are read whose state is not the known one, and of unknown ones only the size is compared.
    """
    keepers = list(keepers)
    for done, keeper in enumerate(keepers, 1):
        files: list[tuple[str, str, int | None]] = [(keeper.path, keeper.hash, keeper.size_bytes)]
        files += [(one.path, one.hash, None) for one in keeper.companions if not one.is_sidecar]
        for path, wanted, size_bytes in files:
            before = None if by_hash else known.get(path)
            looked = look_at(path, wanted, size_bytes, before, reads_unknown=by_hash)
            if looked.standing is not Standing.HERE:
                yield OriginalFinding(keeper, path, looked)
        progress(done, len(keepers))
