"""Small pictures of keepers for working with them, kept in a folder of their own until they are the oldest.

One surprising decision: a file's name tells the content and the state of its original, so that a picture that
was changed or swapped on the disk is looked at again, and one whose disk is away is still seen.
"""

import hashlib
import os
from collections.abc import Callable, Collection
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from logbook.domain.keeper import Keeper
from logbook.intake.plain_files import state_of
from logbook.intake.renditions import Asked, Rendition, made_of
from logbook.intake.workers import Ended, in_helpers
from logbook.services.keepers.picture_files import real_path
from logbook.store.rights import make_folder

SMALL_PX = 320  # wide: a row of them fits beside a card
LARGE_PX = 1600  # wide: fills a window
QUALITY = 80  # JPEG quality; enough to choose by (common practice, no source)
MOST_BYTES = 512 * 2**20  # of small pictures that are kept
KEPT_SHARE = 0.8  # of them that stay when the oldest go
AWAY = "the original is not where it was; is its disk or card connected?"
RECIPE = b"small picture 1"  # change it when the same original would give other files


@dataclass(frozen=True, slots=True)
class Thumbnails:
    """The folder of small pictures."""

    folder: Path
    most_bytes: int = MOST_BYTES

    def of(self, keeper: Keeper, width_px: int) -> Path | None:
        """Return the small picture of a keeper, or None where it has to be made first."""
        here = self._path(keeper, width_px)
        if here is None:
            return self.kept(keeper, width_px)
        if not here.exists():
            return None
        with suppress(OSError):
            os.utime(here)  # the oldest go first
        return here

    def kept(self, keeper: Keeper, width_px: int) -> Path | None:
        """Return what was once made of the content that a keeper had, of this width if there is one."""
        made = self.folder.glob(f"{_digest(keeper.hash)}-*.jpg")
        by_width = {int(one.stem.rpartition("-")[2]): one for one in sorted(made)}
        return by_width.get(width_px) or by_width.get(max(by_width, default=0))

    def make(
        self,
        keepers: Collection[Keeper],
        width_px: int,
        done: Callable[[Keeper, str], None] = lambda _keeper, _why: None,
    ) -> None:
        """Make what is not there yet; `done` is called for each keeper, with why nothing was made, or "".

        Raises OSError where the folder cannot be written.
        """
        wanted = [one for one in keepers if self.of(one, width_px) is None]
        for one in keepers:
            if one not in wanted:
                done(one, "")
        if not wanted:
            return
        make_folder(self.folder)
        with closing(in_helpers(made_of, [_asked(one, width_px) for one in wanted])) as results:
            for keeper, made in zip(wanted, results, strict=True):
                done(keeper, self._kept(keeper, width_px, made))
        self._let_go()

    def _kept(self, keeper: Keeper, width_px: int, made: Rendition | Ended) -> str:
        path = self._path(keeper, width_px)
        if path is None:
            return AWAY
        if isinstance(made, Ended):
            return made.why
        beside = path.with_suffix(f".{os.getpid()}")
        beside.write_bytes(made.files[-1][1])
        beside.replace(path)
        return ""

    def _path(self, keeper: Keeper, width_px: int) -> Path | None:
        """Where the small picture of an original lies; None while the original is away."""
        try:
            state = state_of(real_path(keeper.path).stat())
        except (OSError, ValueError):
            return None
        return self.folder / f"{_digest(keeper.hash)}-{_digest(state)}-{width_px}.jpg"

    def _let_go(self) -> None:
        """Remove the oldest where there are too many, but never the newest."""
        kept: list[tuple[float, int, Path]] = []
        for path in self.folder.glob("*.jpg"):
            with suppress(OSError):
                status = path.stat()
                kept.append((status.st_mtime, status.st_size, path))
        left = sum(size for _, size, _ in kept)
        if left <= self.most_bytes:
            return
        for _, size, path in sorted(kept)[:-1]:
            if left <= self.most_bytes * KEPT_SHARE:
                return
            with suppress(OSError):
                path.unlink()
            left -= size


def _digest(text: str) -> str:
    return hashlib.blake2b(text.encode(), key=RECIPE, digest_size=10).hexdigest()


def _asked(keeper: Keeper, width_px: int) -> Asked:
    return Asked(
        real_path(keeper.path),
        keeper.hash,
        keeper.size_bytes,
        keeper.format,
        keeper.orientation,
        (width_px,),
        QUALITY,
    )
