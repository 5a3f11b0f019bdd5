"""Putting a finished report in its place: built beside it, swapped in whole, never over anybody else's files.

One surprising decision: a report lists its own files in `.logbook-report`, so that a folder to which somebody
added something of theirs is refused instead of replaced. The list also says for whom and of which trip (by
its random id, which names nothing) the report was made, and what each file's content was. What is being built
lies on a hidden bench beside the report, locked while its builder lives: a later build clears the bench of
one that was killed, and never that of another window.
"""

import glob
import hashlib
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from filelock import FileLock, Timeout

from logbook.domain.errors import OutputError
from logbook.domain.words import Audience
from logbook.store.rights import keep_folder_private, make_folder

LIST_NAME = ".logbook-report"
FIRST_LINE = "shoot-logbook report"
_FOR, _OF = "for ", " of trip "
_NEW, _OLD, _LOCK = "new", "old", "lock"  # what lies on a bench
_READERS = {Audience.CLIENT: "the client", Audience.STUDENTS: "students", Audience.ARCHIVE: "yourself"}
_LEFT_BY_SYSTEMS = {".ds_store", "thumbs.db", "desktop.ini", ".directory"}


@dataclass(frozen=True, slots=True)
class Listed:
    """What a report says of itself: its files with a digest of each, for whom it is, of which trip."""

    digests: Mapping[str, str]  # by path inside the folder; "" where an older report gave none
    audience: Audience | None = None
    trip_id: str | None = None


def digest(content: bytes) -> str:
    """Return the digest by which a file of a report is known again."""
    return hashlib.blake2b(content, digest_size=16).hexdigest()


@contextmanager
def swapped_in(into: Path, audience: Audience | None = None, trip_id: str = "") -> Iterator[Path]:
    """Yield a fresh folder; on a clean exit it takes that place, on any error nothing changes.

    Raises OutputError where `into` is not ours to replace, holds a report with another purpose, or cannot be
    written.
    """
    try:
        into = into.expanduser().resolve()
        _check(into)
        _check_purpose(into, audience, trip_id)
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
            _write_list(building, f"{_FOR}{audience}{_OF}{trip_id}" if audience else "")
            if audience is Audience.ARCHIVE:
                keep_folder_private(building)
            _check(into)  # again: it may have been filled meanwhile
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
    present = {
        path.relative_to(into).as_posix()
        for path in into.rglob("*")
        if not path.is_dir() or path.is_symlink()
    }
    listed = read_list(into)
    if listed is None and present:
        raise OutputError(
            f"The folder {into} is not empty and is no report of this program; choose an empty or a new one."
        )
    foreign = sorted(
        name
        for name in present - (set(listed.digests) if listed else set()) - {LIST_NAME}
        if name.rsplit("/", 1)[-1].lower() not in _LEFT_BY_SYSTEMS
    )
    if foreign:
        raise OutputError(
            f"The report folder {into} also holds files that this program did not write, such as "
            f'"{foreign[0]}"; move them elsewhere first.'
        )


def _check_purpose(into: Path, audience: Audience | None, trip_id: str) -> None:
    """Refuse to replace what was made for others, or of another trip: it may have been handed on."""
    listed = read_list(into)
    if listed is None or listed.audience is None or audience is None:
        return
    if listed.audience is not audience:
        held = f"a report for {_READERS[listed.audience]}"
    elif listed.trip_id != trip_id:
        held = "the report of another trip"
    else:
        return
    raise OutputError(f"{into} holds {held}; choose another folder, or remove that one first.")


def read_list(folder: Path) -> Listed | None:
    """Return what a report of ours says of itself, or None where the folder is none."""
    try:
        lines = (folder / LIST_NAME).read_text(encoding="utf-8").splitlines()
    except (FileNotFoundError, NotADirectoryError, UnicodeDecodeError):
        return None
    if not lines or lines[0] != FIRST_LINE:
        return None
    audience, trip_id = None, None
    if len(lines) > 1 and lines[1].startswith(_FOR):
        word, _, trip_id = lines.pop(1).removeprefix(_FOR).partition(_OF)
        audience = Audience(word) if word in list(Audience) else None
    named = (line.partition("\t") for line in lines[1:])
    return Listed({name: told for name, _, told in named}, audience, trip_id)


def _write_list(folder: Path, about: str) -> None:
    found = (path for path in folder.rglob("*") if path.is_file())
    files = sorted((path.relative_to(folder).as_posix(), path) for path in found)
    lines = [f"{name}\t{digest(path.read_bytes())}" for name, path in files]
    (folder / LIST_NAME).write_text(
        "\n".join([FIRST_LINE, *filter(None, [about]), *lines]) + "\n", encoding="utf-8"
    )


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
