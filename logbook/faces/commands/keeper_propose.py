"""`logbook keeper propose` and `accept`: what can be worked out of pictures, and taking it by number."""

from typing import Annotated

import typer

from logbook.faces import options, typed
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer_json

app = typer.Typer()


@options.command(
    app,
    "propose",
    "logbook keeper propose --trip high-valley --on 2025-10-18",
    short="Show what can be worked out, numbered; nothing is stored.",
)
def propose(
    trip: options.TripName = None,
    on: options.On = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Show what can be worked out about a day or a trip, numbered; nothing is stored.

    The surest come first. "logbook keeper accept 3,5-7" states those you agree with.
    """
    from logbook.faces.proposed import proposals_json
    from logbook.faces.suggested import show_suggested, suggestions_json
    from logbook.services.keepers.suggestions import suggest

    found = suggest(open_book(book), trip, typed.a_date(on))
    if as_json:
        answer_json({**proposals_json(found.proposals), "numbered": suggestions_json(found)})
    else:
        show_suggested(found)


@options.command(
    app,
    "accept",
    "logbook keeper accept 1 --trip high-valley",
    short="State proposals by their numbers.",
)
def accept(
    numbers: Annotated[
        str, typer.Argument(metavar="NUMBERS", help="From the list shown last, such as 3,5-7.")
    ],
    trip: options.TripName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """State the proposals with these numbers, all of them or none.

    The numbers are those of the list that "logbook keeper propose" showed last for the trip. Whatever
    has changed since then is refused; "logbook undo" reverses everything at once.
    """
    from logbook.faces.suggested import show_taken, taken_json
    from logbook.services.keepers.suggestions import take

    done = take(open_book(book), trip, typed.numbers(numbers))
    if as_json:
        answer_json(taken_json(done))
    else:
        show_taken(done)
