"""`logbook import`: an export in JSON, or the records of another book, go into a book, all of it or nothing.

One surprising decision: it never writes over a record that the book has; whoever wants two books joined is
told which records stand against each other.
"""

from pathlib import Path
from typing import Annotated

import typer

from logbook.faces import options
from logbook.faces.opened import open_book, utc_now
from logbook.faces.terminal import answer, answer_json, say

app = typer.Typer()


@options.command(
    app,
    "import",
    "logbook import sample_trip/one-evening.json --dry-run",
)
def import_(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help='A JSON file from "logbook export", or a book.')
    ],
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would be added.")] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Import a JSON export into the book. Importing it again changes nothing, and nothing is overwritten.

    Only an export made with --private is a complete copy. From another book, only the records are read;
    this rescues a book that was refused because it holds something this program did not make.
    """
    from logbook.services.books.imports import import_document, read_export_or_book

    document = read_export_or_book(file.expanduser(), utc_now)  # before a book is made for it
    done = import_document(open_book(book, create=True), document, file.name, dry_run=dry_run)
    if as_json:
        answer_json(
            {
                "trip": done.trip,
                "private": done.private,
                "dry_run": dry_run,
                "added": dict(done.added),
                "same": dict(done.same),
            }
        )
        return
    added = [_counted(count, name) for name, count in done.added.items() if count]
    known = sum(done.same.values())
    verb = "Would add" if dry_run else "Added"
    answer(f"{verb} {', '.join(added) or 'nothing'}; already in the book: {known}.")
    if not done.private:
        say("The file was written for others: hidden places, exact positions and file names are not in it.")


def _counted(count: int, name: str) -> str:
    """Return a count with the name of a list: "1 shot", "3 day lines"."""
    words = name.replace("_", " ")
    return f"{count} {words.removesuffix('s') if count == 1 else words}"
