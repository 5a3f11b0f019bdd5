"""`logbook backup`: a whole copy of the book, made while it may be in use."""

from pathlib import Path
from typing import Annotated

import typer

from logbook.faces import options
from logbook.faces.opened import book_path, open_book
from logbook.faces.terminal import answer, answer_json, answer_table

app = typer.Typer()


@options.command(app, "backup", "logbook backup")
def backup(
    into: Annotated[
        Path | None, typer.Option("--into", metavar="FILE", help="A separate file, kept for ever.")
    ] = None,
    list_: Annotated[bool, typer.Option("--list", help="List the backups, newest first.")] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Copy the book. The backup folder keeps the last ten, and one for each day and each month."""
    from logbook.services.books import backups

    if list_:
        found = backups.list_backups(book_path(book))
        if as_json:
            answer_json(
                [
                    {
                        "file": str(one.path),
                        "at": one.at.isoformat().replace("+00:00", "Z"),
                        "why": str(one.why),
                        "size_bytes": one.size_bytes,
                    }
                    for one in found
                ]
            )
            return
        rows = [
            [f"{one.at.astimezone():%Y-%m-%d %H:%M}", str(one.why), _size(one.size_bytes), one.path.name]
            for one in found
        ]
        answer_table(("made", "for", "size", "file"), rows, "There are no backups yet.")
        return
    made = backups.back_up(open_book(book), into.expanduser() if into else None)
    if as_json:
        answer_json({"file": str(made), "size_bytes": made.stat().st_size})
    else:
        answer(f"The book was copied to {made} ({_size(made.stat().st_size)}).")


def _size(size_bytes: int) -> str:
    return f"{size_bytes / 1e6:.1f} MB"
