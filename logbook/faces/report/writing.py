"""Putting a finished report in its place: built beside it, swapped in whole, never over anybody else's files.

One surprising decision: a report lists its own files in `.logbook-report`, so that a folder to which somebody
added something of theirs is refused instead of replaced.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from logbook.domain.errors import OutputError

LIST_NAME = ".logbook-report"
FIRST_LINE = "shoot-logbook report"
_LEFT_BY_SYSTEMS = {".ds_store", "thumbs.db", "desktop.ini", ".directory"}


@contextmanager
def swapped_in(into: Path) -> Iterator[Path]:
    """Yield a fresh folder beside `into`; on a clean exit it takes that place, on any error nothing changes.

    Raises OutputError where `into` is not ours to replace or cannot be written.
    """
    try:
        into = into.expanduser().resolve()
        _check(into)
        mark = uuid4().hex[:8]
        building, old = (into.with_name(f".{into.name}.{word}-{mark}") for word in ("building", "old"))
        building.mkdir()
    except OSError as error:
        raise OutputError(
            f"The report cannot be written to {into}: {_why(error)}; choose another folder."
        ) from None
    try:
        yield building
        _write_list(building)
        _check(into)  # again: it may have been filled meanwhile
        _swap(building, into, old)
    except OSError as error:
        raise OutputError(
            f"The report could not be finished in {into}: {_why(error)}; what was there before is unchanged."
        ) from None
    finally:
        shutil.rmtree(building, ignore_errors=True)
        if into.exists():
            shutil.rmtree(old, ignore_errors=True)


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
    listed = _read_list(into)
    if listed is None and present:
        raise OutputError(
            f"The folder {into} is not empty and is no report of this program; choose an empty or a new one."
        )
    foreign = sorted(
        name
        for name in present - (listed or set()) - {LIST_NAME}
        if name.rsplit("/", 1)[-1].lower() not in _LEFT_BY_SYSTEMS
    )
    if foreign:
        raise OutputError(
            f"The report folder {into} also holds files that this program did not write, such as "
            f'"{foreign[0]}"; move them elsewhere first.'
        )


def _read_list(folder: Path) -> set[str] | None:
    """The files of a report of ours, or None where the folder is none."""
    try:
        lines = (folder / LIST_NAME).read_text(encoding="utf-8").splitlines()
    except (FileNotFoundError, UnicodeDecodeError):
        return None
    return set(lines[1:]) if lines and lines[0] == FIRST_LINE else None


def _write_list(folder: Path) -> None:
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    (folder / LIST_NAME).write_text("\n".join([FIRST_LINE, *names]) + "\n", encoding="utf-8")


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
