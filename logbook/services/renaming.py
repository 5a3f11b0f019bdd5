"""Another short name for a record, and what the book remembers under the old one.

One surprising decision: a place keeps its old short name among its other names, so that a day file which
names it is read into the same place; a shot or a piece of kit does not, and a miss is answered with the
nearest names.
"""

from dataclasses import replace
from datetime import datetime
from typing import Any

from logbook.domain.errors import ConflictError
from logbook.domain.names import Amended, check_slug, name_key
from logbook.domain.record import Record
from logbook.services.kinds import Fields, NounKind
from logbook.store.desk import Desk


def with_new_slug(
    desk: Desk, kind: NounKind[Any], before: Record, changes: Fields, now: datetime
) -> dict[str, Any]:
    """Return changes of a record with all that another short name among them brings along.

    Raises InvalidValueError for what is no short name, and ConflictError for one that is taken.
    """
    old, new = before.slug, changes.get("slug")  # type: ignore[attr-defined]
    if new is None or new == old:
        return dict(changes)
    if check_slug(new) in kind.shelf(desk).slugs():
        raise ConflictError(f'There is already a {kind.word} called "{new}"; choose another --slug.')
    if kind.word == "viewpoint":
        headed_anew(desk, old, new, now)
    if not hasattr(before, "also_called"):
        return dict(changes)
    names = changes.get("also_called", before.also_called)
    title = changes.get("title", getattr(before, "title", ""))
    return dict(changes) | {"also_called": with_old_slug(names, old, title)}


def headed_anew(desk: Desk, old: str, new: str, now: datetime) -> None:
    """Let the remembered lines of day files stand under another viewpoint's short name."""
    for line in desk.day_lines.all(section=old):
        desk.day_lines.put(replace(line, section=new, updated=now))


def with_old_slug(names: tuple[str, ...], old: str, title: str) -> tuple[str, ...]:
    """Return the other names of a place with a short name that it had, unless that is but its title."""
    return names if name_key(old) == name_key(title) else Amended(add=(old,)).of(names)
