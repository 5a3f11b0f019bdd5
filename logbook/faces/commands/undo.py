"""`logbook undo`: take back the last command that changed the book."""

from typing import Annotated

import typer

from logbook.faces import options
from logbook.faces.opened import open_book, utc_now
from logbook.faces.terminal import answer_json, answer_prose, answer_table, say
from logbook.faces.took_back import change_json, command_words, effects_words

app = typer.Typer()


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
