"""Which files of an import are as they were when it last took them in, so that they are not read again.

One surprising decision: it is asked of a whole frame. Where one of its files is new, changed or gone, all of
them are read, for what is known of a keeper is put together from all.
"""

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from logbook.domain.keeper import Keeper, KnownFile
from logbook.domain.trip import Trip
from logbook.intake.pictures import READER
from logbook.intake.plain_files import state_of
from logbook.services.keepers.picture_files import absolute, real_path
from logbook.store.desk import Desk

Frame = Sequence[Path]


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
