"""`logbook undo`: take back the last command that changed the book."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.said import LISTED_NAMES, counted
from logbook.faces import options
from logbook.faces.opened import open_book, utc_now
from logbook.faces.terminal import answer_json, answer_prose, answer_table, say

if TYPE_CHECKING:
    from logbook.store.changes.journal import Change

app = typer.Typer()
_BACK = {"added": "removed again", "removed": "put back", "changed": "back as {it} {was}"}


@options.command(app, "undo", "logbook undo --dry-run")
def undo(
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would be undone.")] = False,
    list_: Annotated[bool, typer.Option("--list", help="List what can be undone, latest first.")] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Undo the last command that changed the book; repeat to go further back."""
    from logbook.services.books import undo as service

    opened = open_book(book)
    if list_:
        found = service.changes(opened)
        if as_json:
            answer_json([change_json(one) for one in found])
            return
        rows = [
            [*reversed(command_words(one, utc_now()).rsplit(", ", 1)), effects_words(one)] for one in found
        ]
        answer_table(("at", "command", "undoing it"), rows, service.NOTHING)
        return
    done = service.undo(opened, dry_run=dry_run)
    if as_json:
        result = change_json(done.change) | {"dry_run": dry_run}
        answer_json(result | {"backup": str(done.backup) if done.backup else None})
        return
    verb = "Would undo" if dry_run else "Undone"
    answer_prose(f"{verb}: {command_words(done.change, utc_now())}: {effects_words(done.change)}.")
    if done.next is not None:
        say(f"Before that: {command_words(done.next, utc_now())}.")
    if done.backup is not None:
        say(f"The book as it was before is in {done.backup}.")


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
