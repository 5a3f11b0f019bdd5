"""`logbook sheet`: one day of a trip on a page that prints, for the photographer's own pocket.

One surprising decision: it shows every place exactly, whatever others may be shown of it, and says so.
"""

from pathlib import Path
from typing import Annotated

import typer

from logbook.domain.errors import WrongUseError
from logbook.faces import measured, options, typed
from logbook.faces.measured import plainly
from logbook.faces.opened import open_book
from logbook.faces.resources import resource
from logbook.faces.sheet.models import Paper
from logbook.faces.terminal import answer, answer_file, answer_json, say

app = typer.Typer()


@options.command(
    app,
    "sheet",
    "logbook sheet high-valley --on 2025-10-16",
)
def sheet(
    trip: Annotated[
        str | None, typer.Argument(metavar="TRIP", help="Short name of the trip, or the start of it.")
    ] = None,
    on: options.On = None,
    into: Annotated[
        Path | None,
        typer.Option(
            "--into",
            metavar="FILE.html",
            help="A file or a folder (default: here); - prints it.",
        ),
    ] = None,
    paper: Annotated[Paper, typer.Option("--paper", help="The paper it is printed on.")] = Paper.A4,
    opened: Annotated[bool, typer.Option("--open", help="Open it in the browser.")] = False,
    trip_too: options.TripToo = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Make the field sheet of one day: a page to print the evening before."""
    from dataclasses import asdict

    from logbook.faces.light_limits import light_limits
    from logbook.faces.sheet.builder import build_sheet
    from logbook.faces.sheet.writing import FIELD_SHEET, rendered
    from logbook.services.plans.sheets import field_day
    from logbook.store.outputs import STDOUT, check_ahead, named_in, put_files

    trip = options.either(trip, trip_too, "trip")
    if trip is None:
        raise WrongUseError("Say which trip: logbook sheet TRIP --on DATE.")
    on_date = typed.a_date(measured.needed(on, "--on", "2025-10-16"))
    assert on_date is not None
    if into == STDOUT and as_json:
        raise WrongUseError("--json and --into - both print; give only one.")
    check_ahead(into)
    limits = light_limits()
    with plainly():
        day = field_day(open_book(book), trip, on_date, limits)
        made = build_sheet(day, paper)
    slug = "".join(letter for letter in day.account.trip.slug if letter.isalnum() or letter == "-")
    html = rendered(made, resource("templates"))
    if into == STDOUT:
        answer_file(html)
        return
    file = named_in(into or Path(), f"private-sheet-{slug}-{on_date}.html")
    (place,) = put_files({file: html.encode()}, FIELD_SHEET)
    if as_json:
        answer_json({"file": str(place)} | asdict(made))
    else:
        answer(f"Open {place} and print it.")
        if made.sentence:
            say(made.sentence)
    if opened:
        _open(place)


def _open(place: Path) -> None:
    import webbrowser

    if not webbrowser.open(place.as_uri()):
        say(f"No browser could be started; open {place} yourself.")
