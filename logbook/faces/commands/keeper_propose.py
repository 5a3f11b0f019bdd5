"""`logbook keeper sharpness`, `propose`, `accept`: what is measured and worked out of pictures."""

from collections import Counter
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import LogbookError
from logbook.domain.words import Sharpness
from logbook.faces import options, typed
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer_json, progress, say

if TYPE_CHECKING:
    from logbook.services.keepers.sharpness import MeasuredNow
    from logbook.store.book import Book

app = typer.Typer()
Measure = Annotated[
    bool,
    typer.Option("--measure/--no-measure", help="Measure the sharpness of pictures not yet measured."),
]


@options.command(
    app,
    "sharpness",
    "logbook keeper sharpness --trip high-valley",
    short="Find which pictures seem soft, for you to confirm.",
)
def sharpness(
    trip: options.TripName = None,
    measure: Measure = True,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Find which pictures seem soft. This only proposes; "keeper note --judged" states what you see.

    The edges of every picture are measured at its full size, and frames of the same view are compared:
    only things that keep still count, not water or leaves. Nothing is measured twice, so you can stop and
    continue later.
    """
    from logbook.faces.sharpness_shown import judged_json, show_judged
    from logbook.services.keepers.sharpness import judged_of

    opened = open_book(book)
    if measure:
        _told(_measured(opened, trip))
    found = judged_of(opened, trip)
    if as_json:
        answer_json([judged_json(one) for one in found])
        return
    show_judged(found, trip)


def after_import(book: "Book", trip: str | None) -> None:
    """Measure what an import took in; it was acknowledged before, and nothing that happens here undoes it."""
    from logbook.faces.sharpness_shown import counted_pictures
    from logbook.services.keepers.sharpness import judged_of

    try:
        done = _measured(book, trip)
    except LogbookError as error:
        say(f"Sharpness was not measured: {error}")
        return
    if not done.measured:
        return
    asked = Counter(one.asks for one in judged_of(book, trip))
    soft = asked[Sharpness.SOFT]
    counted = f"{counted_pictures(soft)} soft"
    of_trip = f" --trip {trip}" if trip else ""
    told = f'{counted}; "logbook keeper sharpness{of_trip}" shows which.' if soft else "none seems soft."
    say(f"Sharpness of {done.measured} measured: {told}")


def _measured(book: "Book", trip: str | None) -> "MeasuredNow":
    from logbook.services.keepers.sharpness import measure

    with progress("Measuring sharpness") as tell:
        return measure(book, trip, tell)


def _told(done: "MeasuredNow") -> None:
    """Say what could not be measured now and may be another time."""
    for one in done.unmeasured:
        if one.again:
            say(f"{one.file} was not measured: {one.why}.")


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
