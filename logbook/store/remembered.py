"""Small lists that this machine remembers about books, outside of them; any may be lost at any time.

One surprising decision: which numbered list of proposals was shown last lies here and not in the book; to
look at proposals changes nothing.
"""

import json
import os
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any
from uuid import uuid4

from logbook.store.rights import make_file, make_folder


def read_list(place: Path) -> dict[str, Any]:
    """Return what is remembered in a place; nothing where that cannot be read."""
    try:
        found = json.loads(place.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def write_list(place: Path, listed: dict[str, Any], most: int) -> None:
    """Remember the last entries of a list, whole or not at all; raises OSError."""
    make_folder(place.parent)
    new = place.with_name(f".{uuid4().hex[:8]}")
    make_file(new)
    new.write_text(json.dumps(dict(list(listed.items())[-most:])), encoding="utf-8")
    new.replace(place)


def key_of(path: Path) -> str:
    """Return the key under which a book is remembered."""
    return os.fsencode(path.absolute()).decode("utf-8", "backslashreplace")


MOST = 200  # lists, one a trip
_LIST = "shown-proposals.json"


def remember_shown(book: Path, trip_id: str, on_date: date | None, signs: tuple[str, ...]) -> None:
    """Remember what was shown last of a trip: the day it was limited to, and each entry by its sign."""
    with suppress(OSError):
        listed = read_list(_place())
        listed.pop(_key(book, trip_id), None)
        shown = {"on": on_date and on_date.isoformat(), "signs": list(signs)}
        write_list(_place(), listed | {_key(book, trip_id): shown}, MOST)


def shown_last(book: Path, trip_id: str) -> tuple[date | None, tuple[str, ...]] | None:
    """Return what was shown last of a trip; None where nothing was, or it was forgotten."""
    with suppress(KeyError, TypeError, ValueError):
        shown = read_list(_place())[_key(book, trip_id)]
        on_date = None if shown["on"] is None else date.fromisoformat(shown["on"])
        return on_date, tuple(map(str, shown["signs"]))
    return None


def _key(book: Path, trip_id: str) -> str:
    return f"{trip_id} {key_of(book)}"


def _place() -> Path:
    from platformdirs import user_state_path

    return user_state_path("logbook", appauthor=False) / _LIST
