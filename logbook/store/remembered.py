"""Small lists that this machine remembers about books, outside of them; any may be lost at any time."""

import json
import os
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
