"""`logbook keeper arrange`: the order in which an audience sees the pictures of a trip."""

from typing import Annotated

import typer

from logbook.domain.words import Audience
from logbook.faces import options, typed
from logbook.faces.opened import open_book
from logbook.faces.plain import keeper_json
from logbook.faces.terminal import answer_json, answer_prose

app = typer.Typer()


@options.command(
    app,
    "arrange",
    "logbook keeper arrange 0424,0412,0415 --for client --trip high-valley",
    short="Put keepers in order for an audience.",
)
def arrange(
    which: Annotated[
        str, typer.Argument(metavar="LIST", help="Keepers in order, comma-separated; '' removes the order.")
    ],
    audience: Annotated[Audience, typer.Option("--for", help="For whom: client or students.")],
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Put keepers in order for an audience: these come first in its report, shown large.

    Keepers that you do not name follow in the order they were taken. Without an order the report chooses
    for itself.
    """
    from logbook.faces.asking import settled
    from logbook.services.keepers.showing import arrange as arranged

    opened, narrow = open_book(book), typed.narrowed(on, body)
    done = settled(lambda name: arranged(opened, trip, name(which), audience, narrow), as_json=as_json)
    if as_json:
        answer_json([keeper_json(keeper, done) for keeper in done.records])
    elif done.records:
        answer_prose(f"In order for {audience}: {', '.join(keeper.file for keeper in done.records)}.")
    else:
        answer_prose(f"The order was removed; the report for {audience} chooses for itself again.")
