"""Which numbered list of proposals was shown last, so that its numbers can be meant a command later.

One surprising decision: it lies beside the book and not in it; to look at proposals changes nothing.
"""

from contextlib import suppress
from datetime import date
from pathlib import Path

from logbook.store.remembered import key_of, read_list, write_list

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
