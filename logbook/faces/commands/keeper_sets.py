"""`logbook keeper join`, `split` and `sets`: which keepers belong together, and which do not."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.words import JoinedKind
from logbook.faces import options, typed
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer_json, answer_prose, say

if TYPE_CHECKING:
    from logbook.services.keepers.sets import SetsChanged

app = typer.Typer()


@options.command(
    app,
    "join",
    "logbook keeper join 0472-0474 --as bracket --trip high-valley",
    short="Say that keepers belong together.",
)
def join(
    which: options.KeeperNames,
    kind: Annotated[JoinedKind, typer.Option("--as", help="What kind of set they are.")],
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Say that keepers form one set; any that belong to another stated set leave it."""
    from logbook.faces.asking import settled
    from logbook.services.keepers import sets

    opened, narrow = open_book(book), typed.narrowed(on, body)
    done = settled(lambda name: sets.join(opened, trip, name(which), kind, narrow), as_json=as_json)
    _print(done, f"Joined as a {done.kind}: {', '.join(done.keepers)}.", as_json)


@options.command(
    app, "split", "logbook keeper split 0472-0474 --trip high-valley", short="Say that keepers are not a set."
)
def split(
    which: options.KeeperNames,
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Say that keepers are not a set; it will not be proposed again. A single keeper leaves its set."""
    from logbook.faces.asking import settled
    from logbook.services.keepers import sets

    opened, narrow = open_book(book), typed.narrowed(on, body)
    done = settled(lambda name: sets.split(opened, trip, name(which), narrow), as_json=as_json)
    text = f"{', '.join(done.keepers)}: kept apart, and not proposed as a set again."
    if len(done.keepers) == 1:
        text = f"{done.keepers[0]} was taken out of its set and will not be proposed for it again."
    _print(done, text, as_json)


@options.command(
    app,
    "sets",
    "logbook keeper sets --trip high-valley",
    short="List the sets, both stated and found.",
)
def sets_(
    trip: options.TripName = None,
    on: options.On = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List the sets that were stated and those the program found, with the reason for each."""
    from logbook.services.keepers import sets

    shown = sets.list_sets(open_book(book), trip, typed.a_date(on))
    if as_json:
        answer_json(
            [
                {
                    "kind": str(one.kind),
                    "keepers": list(one.keepers),
                    "provenance": str(one.provenance),
                    "reason": one.reason,
                }
                for one in shown
            ]
        )
        return
    if not shown:
        say('There are no sets, stated or found; "logbook keeper join 0412-0414 --as bracket" states one.')
    for one in shown:
        answer_prose(
            f"{str(one.kind).capitalize()}, {one.provenance}: {', '.join(one.keepers)} ({one.reason})"
        )


def _print(done: "SetsChanged", text: str, as_json: bool) -> None:
    if as_json:
        left: list[dict[str, Any]] = [
            {"kind": str(kind), "keepers": list(keepers)} for kind, keepers in done.left
        ]
        named = {"trip": done.trip, "kind": str(done.kind), "keepers": list(done.keepers)}
        answer_json(named | {"left": left})
        return
    answer_prose(text)
    for kind, keepers in done.left:
        answer_prose(f"No longer in a stated {kind}: {', '.join(keepers)}.")
