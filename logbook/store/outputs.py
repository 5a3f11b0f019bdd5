"""Files that the program writes for a person: whole or not at all, and only over what it wrote itself.

One surprising decision: what the program wrote it knows by content, not by a mark: a private list in the
state folder holds the kind, size and digest of every file that was put somewhere, and no name. So a book, a
picture, a day file, an export of another kind and a file that somebody edited are all alike: not known, never
replaced. A list that was lost costs a person another file name, and nothing else.
"""

import hashlib
import os
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from logbook.domain.errors import OutputError, WrongUseError
from logbook.store.rights import OWN_FILE, make_file, make_folder, rights_of

STDOUT = Path("-")
_LIST = "written-files"
_CHUNK = 2**20  # bytes read at once


@dataclass(frozen=True, slots=True)
class Purpose:
    """What files are written as.

    `kind` names them in sentences and keeps them from replacing files of another kind; `is_private` gives
    them to their owner alone; `replaces` lets them take the place of an older one of ours, and where it is
    false, `instead` says what to do.
    """

    kind: str
    is_private: bool
    replaces: bool = True
    instead: str = "choose another name"


def named_in(into: Path, name: str) -> Path:
    """Return where a file goes: into a folder under its own name, else to the file that was named."""
    try:
        place = into.expanduser()
        return place / name if place.is_dir() else place
    except (OSError, RuntimeError) as error:
        raise _refused(into, error) from None


def check_ahead(into: Path | None) -> None:
    """Refuse a place where no file can lie, before anything is worked out for it; a folder will do."""
    if into is not None and into != STDOUT and not named_in(into, "").is_dir():
        _place(into)


def check_place(into: Path, purpose: Purpose, content: bytes | None = None) -> Path:
    """Return where a file will lie, links followed; OutputError where it must not be written.

    A file that holds `content` already is no hindrance.
    """
    place = _place(into)
    try:
        if place.exists() and (content is None or not _holds(place, content)):
            _check_ours(place, purpose)
    except OSError as error:
        raise _refused(into, error) from None
    return place


def _place(into: Path) -> Path:
    try:
        place = into.expanduser().resolve()
        found = _mode(place)
        if found is not None and stat.S_ISDIR(found):
            raise OutputError(f"{place} is a folder; name a file in it.")
        if found is not None and not stat.S_ISREG(found):
            raise OutputError(
                f"{into} is a device, a pipe or a socket; name a file, or - for standard output where the "
                "command prints."
            )
        if not place.parent.is_dir():
            raise OutputError(
                f"The folder {place.parent} does not exist; create it, or choose another place."
            )
    except (OSError, ValueError, RuntimeError) as error:
        raise _refused(into, error) from None
    return place


def refuse_stdout(into: Path, kind: str) -> None:
    """Raise WrongUseError where something that is not one text is to be printed."""
    if into == STDOUT:
        raise WrongUseError(f"A {kind} cannot go to standard output; name a file for it.")


def check_new(into: Path, kind: str) -> Path:
    """Return where a file will lie that replaces nothing; OutputError where anything is there."""
    refuse_stdout(into, kind)
    place = check_place(into, Purpose(kind, is_private=True, replaces=False))
    if place.exists():
        raise OutputError(f"{place} already exists; choose another name.")
    return place


def _check_ours(place: Path, purpose: Purpose) -> None:
    if not _is_known(place, purpose.kind):
        raise OutputError(
            f"{place} already exists, and is not a {purpose.kind} that this program wrote, or was "
            f"edited since; choose another name, or move that file away."
        )
    if not purpose.replaces:
        raise OutputError(f"{place} already exists, with different contents; {purpose.instead}.")


def put_files(contents: Mapping[Path, bytes], purpose: Purpose) -> list[Path]:
    """Write files and return where they lie; OutputError where a place is taken or refuses.

    All places are looked at before the first is written to, and a file that says the same already stays.
    """
    places = {check_place(into, purpose, content): content for into, content in contents.items()}
    for place, content in places.items():
        if not (place.exists() and _holds(place, content)):
            with put_whole(place, purpose) as building:
                building.write_bytes(content)
        elif purpose.is_private:
            _narrow(place)
    return list(places)


@contextmanager
def put_whole(place: Path, purpose: Purpose) -> Iterator[Path]:
    """Yield an empty file to be filled; on a clean exit it takes its place, on an error nothing changes.

    Raises OutputError as `check_place` does, and where the system refuses.
    """
    place = check_place(place, purpose)
    building = place.with_name(f".{uuid4().hex[:8]}.logbook")
    try:
        before = rights_of(place) if place.exists() else None
        make_file(building, OWN_FILE if purpose.is_private else before)
        yield building
        _to_disk(building)
        _remember(building, purpose.kind)
        _settle(building, place, purpose)
    except OSError as error:
        raise _refused(place, error) from None
    finally:
        with suppress(OSError):
            building.unlink(missing_ok=True)


def _settle(building: Path, place: Path, purpose: Purpose) -> None:
    """Give a finished file its name, unless another program took that meanwhile."""
    if place.exists():
        check_place(place, purpose)
        building.replace(place)
    else:
        give_new_name(building, place)


def give_new_name(building: Path, place: Path) -> None:
    """Give a finished file a name that must be free; FileExistsError where another program took it."""
    try:
        place.hardlink_to(building)
        building.unlink()
    except FileExistsError:
        raise
    except OSError:  # a disk without hard links, such as a memory card
        building.replace(place)


def _to_disk(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())


def _mode(place: Path) -> int | None:
    try:
        return place.stat().st_mode
    except FileNotFoundError:
        return None


def _holds(place: Path, content: bytes) -> bool:
    return place.stat().st_size == len(content) and place.read_bytes() == content


def _narrow(place: Path) -> None:
    """Take a private file that was written before from everybody but its owner."""
    with suppress(OSError):
        place.chmod(rights_of(place) & OWN_FILE)


def _is_known(place: Path, kind: str) -> bool:
    size = place.stat().st_size
    try:
        lines = _list().read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError):
        return False
    alike = {line for line in lines if line.startswith(f"{kind}\t{size}\t")}
    return bool(alike) and _line(place, kind) in alike


def _remember(path: Path, kind: str) -> None:
    """Add a file to the list; where that cannot be written the file is not replaced later, which is safe."""
    with suppress(OSError):
        known = _list()
        make_folder(known.parent)
        with suppress(FileExistsError):
            make_file(known)
        with known.open("a", encoding="utf-8", newline="\n") as file:
            file.write(f"{_line(path, kind)}\n")  # one write, so that two windows do not mix their lines


def _line(path: Path, kind: str) -> str:
    digest = hashlib.blake2b(digest_size=16)
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
    return f"{kind}\t{path.stat().st_size}\t{digest.hexdigest()}"


def _list() -> Path:
    from platformdirs import user_state_path

    return user_state_path("logbook", appauthor=False) / _LIST


def _refused(place: Path, error: Exception) -> OutputError:
    why = str(getattr(error, "strerror", None) or error).lower()
    return OutputError(f"{place} cannot be written ({why}); choose another place.")
