"""`logbook keeper locate`: pictures that are no longer where the book says."""

from pathlib import Path
from typing import Annotated

import typer

from logbook.domain.said import figured
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer, answer_json, progress, say

app = typer.Typer()
LISTED = 10  # files that are listed; --json has them all


@options.command(
    app,
    "locate",
    "logbook keeper locate sample_trip --dry-run",
    short="Find moved pictures by their content.",
)
def locate(
    roots: Annotated[
        list[Path], typer.Argument(metavar="FOLDER...", help="The folder to search, with its subfolders.")
    ],
    trip: Annotated[
        str | None, typer.Option("--trip", "-t", metavar="NAME", help="Only the keepers of this trip.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what is found.")] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Find pictures that were moved, by their content, and record where they are now."""
    from logbook.services.keepers import locating

    opened = open_book(book)
    with progress("Looking") as shown:
        done = locating.locate(
            opened, [root.expanduser() for root in roots], trip, dry_run=dry_run, progress=shown
        )
    if as_json:
        answer_json(
            {
                "found": [{"keeper": one.keeper, "old": one.old, "new": one.new} for one in done.found],
                "missing": list(done.missing),
                "changed": list(done.changed),
                "unreadable": list(done.unreadable),
                "dry_run": dry_run,
            }
        )
        return
    for one in done.found[:LISTED]:
        answer(f"{one.keeper}: {one.new}")
    if len(done.found) > LISTED:
        answer(f"And {len(done.found) - LISTED} more.")
    verb = "would be found again" if dry_run else "found again"
    changed = f", {len(done.changed)} changed" if done.changed else ""
    answer(f"{figured(len(done.found), 'file')} {verb}, {len(done.missing)} still missing{changed}.")
    for word, paths in (("Missing", done.missing), ("Changed since import", done.changed)):
        for text in paths[:LISTED]:
            say(f"{word}: {text}")
        if len(paths) > LISTED:
            say(f"And {len(paths) - LISTED} more; --json lists them all.")
    for text in done.unreadable[:LISTED]:
        say(f"Could not be read: {text}")
