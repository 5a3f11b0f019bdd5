"""Putting a finished report in its place: built beside it, swapped in whole, never over anybody else's files.

One surprising decision: a report lists its own files in `.logbook-report`, so that what somebody changed or
added there is seen before it would be replaced (`by_hand`). The list also says for whom and of which trip (by
its random id, which names nothing) the report was made, and what each file's content was. What is being built
lies on a hidden bench beside the report, locked while its builder lives: a later build clears the bench of
one that was killed, and never that of another window.
"""

import glob
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from uuid import uuid4

from filelock import FileLock, Timeout

from logbook.domain.errors import OutputError
from logbook.domain.words import Audience
from logbook.faces.report.by_hand import Digests, by_hand, carry, refuse
from logbook.intake.report_list import LIST_NAME, Listed, digest, list_text, read_list
from logbook.store.rights import keep_folder_private, make_folder

_NEW, _OLD, _LOCK = "new", "old", "lock"  # what lies on a bench
WHOM = {Audience.CLIENT: "the client", Audience.STUDENTS: "students", Audience.ARCHIVE: "yourself"}


@contextmanager
def swapped_in(
    into: Path, audience: Audience | None = None, trip_id: str = "", *, keep_mine: bool = False
) -> Iterator[Path]:
    """Yield a fresh folder; on a clean exit it takes that place, on any error nothing changes.

    With `keep_mine` what a person changed in the report there is kept beside the new one, and what they added
    stays; else it is a reason to refuse. Raises OutputError where `into` is not ours to replace, holds a
    report with another purpose, or cannot be written.
    """
    digests: Digests = {}
    try:
        into = into.expanduser().resolve()
        _check(into)
        _check_purpose(into, audience, trip_id)
        if not keep_mine:
            refuse(into, by_hand(into, digests))
        _clear_benches(into)
        bench = into.with_name(f"{_bench(into)}{uuid4().hex[:8]}")
        make_folder(bench)  # nobody else reads what has not been searched for leaks yet
    except OSError as error:
        raise OutputError(
            f"The report cannot be written to {into}: {_why(error)}; choose another folder."
        ) from None
    try:
        with FileLock(bench / _LOCK):
            building = bench / _NEW
            building.mkdir()
            yield building
            made = _digests(building)
            _check(into)  # again: it may have been filled meanwhile
            found = by_hand(into, digests)
            if not keep_mine:
                refuse(into, found)
            mine = carry(into, found, building, made)
            _write_list(building, Listed(made, audience, trip_id, mine))
            if audience is Audience.ARCHIVE:
                keep_folder_private(building)  # last, with the list and what was changed by hand
            _swap(building, into, bench / _OLD)
    except OSError as error:
        raise OutputError(
            f"The report could not be finished in {into}: {_why(error)}; what was there before is unchanged."
        ) from None
    finally:
        _clear(bench, into)


def _bench(into: Path) -> str:
    return f".{into.name}.bench-"


def _clear_benches(into: Path) -> None:
    for lock in into.parent.glob(f"{glob.escape(_bench(into))}*/{_LOCK}"):
        with suppress(Timeout, OSError):  # its builder is at work, or it is not ours to touch
            with FileLock(lock, timeout=0):
                pass
            _clear(lock.parent, into)


def _clear(bench: Path, into: Path) -> None:
    """Remove a bench; a report that a kill left on it half-way through the swap goes back to its place."""
    if (bench / _OLD).exists() and not into.exists():
        (bench / _OLD).rename(into)
    shutil.rmtree(bench, ignore_errors=True)


def _check(into: Path) -> None:
    if not into.parent.is_dir():
        raise OutputError(f"The folder {into.parent} does not exist; create it, or choose another place.")
    if not into.exists():
        return
    if not into.is_dir():
        raise OutputError(f"{into} is a file, and a report is a folder; choose another name.")
    if read_list(into) is None and any(into.iterdir()):
        raise OutputError(
            f"The folder {into} is not empty, and is not a report made by this program; "
            "choose an empty or new folder."
        )


def _check_purpose(into: Path, audience: Audience | None, trip_id: str) -> None:
    """Refuse to replace what was made for others, or of another trip: it may have been handed on."""
    listed = read_list(into)
    if listed is None or listed.audience is None or audience is None:
        return
    if listed.audience is not audience:
        held = f"a report for {WHOM[listed.audience]}"
    elif (listed.trip_id or "") != trip_id:
        held = "the report of another trip"
    else:
        return
    raise OutputError(f"{into} holds {held}; choose another folder, or remove that one first.")


def _digests(folder: Path) -> dict[str, str]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): digest(path.read_bytes()) for path in found}


def _write_list(folder: Path, listed: Listed) -> None:
    (folder / LIST_NAME).write_text(list_text(listed), encoding="utf-8")


def _swap(building: Path, into: Path, old: Path) -> None:
    if into.exists():
        into.rename(old)
    try:
        building.rename(into)
    except OSError:
        if old.exists():
            old.rename(into)
        raise


def _why(error: OSError) -> str:
    return str(error.strerror or error).lower()
