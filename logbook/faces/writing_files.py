"""Putting text into files: whole or not at all, and never over what somebody else wrote.

One surprising decision: a file that says the same already is left as it is and counts as written, so that an
export may be repeated; one that says something else stays, unless a person says `--over`.
"""

import os
from collections.abc import Mapping
from pathlib import Path
from uuid import uuid4

from logbook.domain.errors import OutputError


def put_files(texts: Mapping[Path, str], *, over: bool) -> list[Path]:
    """Write texts to their files and return these; OutputError where a place is taken or refuses.

    All places are looked at before the first is written to.
    """
    places = {_checked(path, text, over=over): text for path, text in texts.items()}
    for place, text in places.items():
        _put(place, text)
    return list(places)


def _checked(path: Path, text: str, *, over: bool) -> Path:
    try:
        place = path.expanduser().resolve()
        if place.is_dir():
            raise OutputError(f"{place} is a folder; name a file in it.")
        if not place.parent.is_dir():
            raise OutputError(f"The folder {place.parent} does not exist; make it, or choose another place.")
        if place.exists() and not over and place.read_bytes() != text.encode():
            raise OutputError(f"{place} is there already and says something else; --over replaces it.")
    except (OSError, ValueError, RuntimeError) as error:
        raise OutputError(f"{path} cannot be written ({_why(error)}); choose another place.") from None
    return place


def _put(place: Path, text: str) -> None:
    beside = place.with_name(f".{uuid4().hex[:8]}.export")
    try:
        with beside.open("xb") as file:
            file.write(text.encode())
            file.flush()
            os.fsync(file.fileno())
        beside.replace(place)
    except OSError as error:
        raise OutputError(f"{place} cannot be written ({_why(error)}); choose another place.") from None
    finally:
        beside.unlink(missing_ok=True)


def _why(error: Exception) -> str:
    return str(getattr(error, "strerror", None) or error).lower()
