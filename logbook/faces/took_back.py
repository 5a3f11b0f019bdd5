"""A change in words and as JSON: what a command did, and what taking it back does."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from logbook.domain.said import LISTED_NAMES, counted

if TYPE_CHECKING:
    from logbook.store.changes.journal import Change

_BACK = {"added": "removed again", "removed": "put back", "changed": "back as {it} {was}"}


def command_words(change: "Change", now: datetime) -> str:
    """Return the command and when it ran, by the clock of this computer."""
    at = change.at.astimezone()
    when = f"{at:%H:%M}" if at.date() == now.astimezone().date() else f"{at:%Y-%m-%d %H:%M}"
    return f"{change.command or 'changes by another program'}, {when}"


def effects_words(change: "Change") -> str:
    """Return what taking a change back does: `1 keeper (trn-0412) back as it was; 2 visits put back`."""
    groups: dict[str, dict[str, list[str]]] = {}
    for effect in change.effects:
        groups.setdefault(effect.verb, {}).setdefault(effect.table, []).append(effect.name)
    told = []
    for verb, tables in groups.items():
        total = sum(map(len, tables.values()))
        it, was = ("it", "was") if total == 1 else ("they", "were")
        told.append(
            f"{', '.join(_named(*one) for one in tables.items())} {_BACK[verb].format(it=it, was=was)}"
        )
    return "; ".join(told) or "no lasting change"


def _named(table: str, names: Sequence[str]) -> str:
    listed = f" ({', '.join(names)})" if all(names) and len(names) <= LISTED_NAMES else ""
    return counted(table, len(names)) + listed


def change_json(change: "Change") -> dict[str, Any]:
    """Return a change as JSON holds it: the verbs are those of the command, not of taking it back."""
    return {
        "command": change.command or None,
        "at": change.at.isoformat().replace("+00:00", "Z"),
        "effects": [
            {"noun": one.table, "slug": one.name or None, "id": one.id, "was": one.verb}
            for one in change.effects
        ],
    }
