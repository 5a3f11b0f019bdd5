"""Which files were looked through on this machine and found whole, so that each command need not do it again.

One surprising decision: a file is known by how the system says it was left (its number, size and time), after
every transaction of ours. Whatever else touched it makes it another file, which is looked through once. The
list may be lost at any time.
"""

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from logbook.store.remembered import key_of, read_list, write_list

MOST = 200  # files that are remembered
_LIST = "sound-books.json"


def state_of(path: Path) -> list[int]:
    """Return how a book's file, and what lies beside it, were left; raises OSError."""
    found = path.stat()
    state = [found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns]
    for suffix in ("-wal", "-journal"):
        with suppress(OSError):
            beside = Path(f"{path}{suffix}").stat()
            if beside.st_size:
                state += [beside.st_ino, beside.st_size, beside.st_mtime_ns]
    return state


@dataclass(frozen=True, slots=True)
class Proven:
    """What was found whole: the records and all that SQLite keeps; index and tallies compared with them."""

    records: bool = False
    index: bool = False
    tallies: bool = False


def proven_of(path: Path) -> Proven:
    """Return what is known of a file as it is now."""
    with suppress(OSError, TypeError, ValueError, KeyError):
        held = _listed()[key_of(path)]
        if held["state"] == state_of(path):
            return Proven(records=True, index=bool(held["index"]), tallies=bool(held.get("tallies")))
    return Proven()


def note(path: Path, proven: Proven) -> None:
    """Remember what is known of a file as it is now; harmless where nothing can be remembered."""
    with suppress(OSError):
        key, listed = key_of(path), _listed()
        held: dict[str, Any] | None = None
        if proven.records:
            held = {"state": state_of(path), "index": proven.index, "tallies": proven.tallies}
        if listed.get(key) == held:
            return
        listed.pop(key, None)
        if held is not None:
            listed[key] = held
        write_list(_place(), listed, MOST)


def _listed() -> dict[str, Any]:
    return read_list(_place())


def _place() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("logbook", appauthor=False) / _LIST
