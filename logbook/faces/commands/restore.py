"""`logbook restore`: put a backup in place of the book."""

from typing import Annotated

import typer

from logbook.domain.said import figured
from logbook.faces import options
from logbook.faces.opened import book_path, utc_now
from logbook.faces.terminal import answer, answer_json, say

app = typer.Typer()


@options.command(app, "restore", "logbook restore laptop.sqlite --dry-run")
def restore(
    which: Annotated[
        str, typer.Argument(metavar="FILE", help='A file, a name from "backup --list", or latest.')
    ] = "latest",
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only check the file, and say what it holds.")
    ] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Restore the book from a backup; the current book is backed up first."""
    from logbook.services.books import backups

    path = book_path(book)
    done = backups.restore(path, which, utc_now, dry_run=dry_run)
    if as_json:
        answer_json(
            {
                "file": str(done.file),
                "trips": done.trips,
                "keepers": done.keepers,
                "before": str(done.before) if done.before else None,
                "dry_run": dry_run,
            }
        )
        return
    held = f"{figured(done.trips, 'trip')} and {figured(done.keepers, 'keeper')}"
    if dry_run:
        answer(f"{done.file} is an undamaged logbook with {held}; it would replace {path}.")
        return
    answer(f"{path} now holds what {done.file.name} held: {held}.")
    if done.before is not None:
        back = "" if done.before_is_damaged else f'; "logbook restore {done.before.name}" puts it back'
        say(f"The book as it was before is in {done.before}{back}.")
