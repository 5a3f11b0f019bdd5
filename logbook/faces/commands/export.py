"""`logbook export`: a trip, or the whole book, in open formats that outlive this program.

One surprising decision: what is exported without `--private` is meant for others, so nobody gives a place
away by forgetting an option.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import OutputError, WrongUseError
from logbook.domain.formats import ExportFormat
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.struck_shown import plain_struck, struck_lines
from logbook.faces.terminal import answer, answer_file, answer_json, say

if TYPE_CHECKING:
    from logbook.services.exports.trip_export import Export
    from logbook.store.book import Book

app = typer.Typer()


@options.command(
    app,
    "export",
    "logbook export high-valley --as json --private",
)
def export(
    trip: Annotated[
        str | None, typer.Argument(metavar="TRIP", help="The trip; if left out, the whole book.")
    ] = None,
    form: Annotated[ExportFormat, typer.Option("--as", help="The format.")] = ExportFormat.JSON,
    into: Annotated[
        Path | None,
        typer.Option("--into", metavar="FILE", help="A file or a folder; if left out, or -, it is printed."),
    ] = None,
    private: Annotated[
        bool,
        typer.Option(
            "--private", help="Everything, for yourself; the only JSON that imports as a complete copy."
        ),
    ] = False,
    over: Annotated[bool, typer.Option("--over", help="Replace an earlier export of this kind.")] = False,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema of the format.")] = False,
    trip_too: options.TripToo = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Write a trip or the book in an open format; without --private, only what others may see.

    Others see no hidden places, names, tracks, file names, clients, kit or private notes, and only a rounded
    position for a place shown as an area. Such a file can be imported too, but is not a complete copy.
    """
    from logbook.store.outputs import STDOUT, Purpose, put_files

    if schema:
        _print_schema()
        return
    made = _made(options.either(trip, trip_too, "trip"), form, private, book)
    for line in struck_lines(made.struck, made.trip or ""):
        say(line)
    if into is None or into == STDOUT:
        _show(made, form, as_json)
        return
    folder = into.expanduser()
    if len(made.files) > 1 or folder.is_dir():
        if folder.exists() and not folder.is_dir():
            raise OutputError(f"{folder} is a file, but there are {len(made.files)} to write; name a folder.")
        folder.mkdir(parents=True, exist_ok=True)
        texts = {folder / one.name: one.text.encode() for one in made.files}
    else:
        texts = {folder: made.files[0].text.encode()}
    kind = f"{'private ' if private else ''}{form} export"
    places = put_files(texts, Purpose(kind, private, replaces=over, instead="--over replaces it"))
    if as_json:
        answer_json(_head(made, form) | {"files": [str(place) for place in places]})
        return
    for place in places:
        answer(str(place))
    say(
        "It holds everything; keep it to yourself." if private else "It leaves out anything you keep private."
    )


def _made(trip: str | None, form: ExportFormat, private: bool, book: Path | None) -> "Export":
    from logbook.services.exports.trip_export import export_book, export_trip

    if trip is not None:
        opened = open_book(book)
        made = export_trip(opened, trip, form, private=private)
        if not private:
            _refuse_secrets(made, opened, trip)
        return made
    if form is not ExportFormat.JSON:
        raise WrongUseError(f"Say which trip to write as {form}; only JSON takes a whole book.")
    if not private:
        raise WrongUseError(
            "A whole book holds things you keep private: add --private to write all of it, or name the "
            "trip to share."
        )
    return export_book(open_book(book))


def _refuse_secrets(made: "Export", book: "Book", trip: str) -> None:
    """Look once more, apart from what blurred the trip, for what others must not read."""
    from logbook.faces.report.leaks import find_in_texts, refuse_leaks
    from logbook.services.accounts import account_of

    texts = ((one.name, one.text) for one in made.files)
    refuse_leaks(find_in_texts(texts, account_of(book, trip)), "The export")


def _show(made: "Export", form: ExportFormat, as_json: bool) -> None:
    if as_json:
        files = [{"name": one.name, "text": one.text} for one in made.files]
        answer_json(_head(made, form) | {"files": files})
        return
    if len(made.files) > 1:
        raise WrongUseError(f"There are {len(made.files)} files to write; name a folder with --into FOLDER.")
    answer_file(made.files[0].text)


def _head(made: "Export", form: ExportFormat) -> dict[str, object]:
    head: dict[str, object] = {"trip": made.trip, "as": str(form), "private": made.private}
    return head if made.private else head | {"struck": plain_struck(made.struck)}


def _print_schema() -> None:
    from logbook.services.exports.book_json import book_schema
    from logbook.services.exports.json_text import json_text

    answer_file(json_text(book_schema()))
