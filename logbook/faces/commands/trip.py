"""`logbook trip`: journeys with a purpose and an audience."""

from dataclasses import dataclass
from typing import Annotated

import typer

from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.faces import options
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json
from logbook.faces.terminal import say
from logbook.faces.told import Told

app = options.noun_app("trip")
FACE = Face(
    "trip",
    ("trip", "title", "from", "to", "for"),
    lambda record, listing: record_json(record, listing.names),
    lambda row: [
        row["slug"],
        row["title"],
        row["starts_on"] or "",
        row["ends_on"] or "",
        row["audience"] or "",
    ],
)


@dataclass(frozen=True, slots=True)
class TripOptions(Told):
    """What may be said of a trip besides its title."""

    noun = Trip

    purpose: Annotated[str | None, typer.Option("--purpose", metavar="TEXT", help="Why you travel.")] = None
    audience: Annotated[Audience | None, typer.Option("--for", help="Whom the account is for.")] = None
    client: Annotated[str | None, typer.Option("--client", metavar="TEXT", help="The client's name.")] = None
    brief: Annotated[str | None, typer.Option("--brief", metavar="TEXT", help="What was asked for.")] = None
    starts_on: Annotated[str | None, typer.Option("--from", metavar="DATE", help="First day.")] = None
    ends_on: Annotated[str | None, typer.Option("--to", metavar="DATE", help="Last day.")] = None
    zone: options.Zone = None
    day_ends_at: Annotated[
        str | None, typer.Option("--day-ends", metavar="TIME", help="When your day ends; 04:00.")
    ] = None
    location_shown: options.Shown = None
    summary: Annotated[
        str | None, typer.Option("--summary", metavar="TEXT", help="The trip in a paragraph.")
    ] = None
    next_visit: Annotated[
        str | None, typer.Option("--next-visit", metavar="TEXT", help="Advice for a next visit.")
    ] = None
    credit: Annotated[str | None, typer.Option("--credit", metavar="TEXT", help="Whom pages credit.")] = None
    rights: Annotated[
        str | None, typer.Option("--rights", metavar="TEXT", help="Copyright line of pages.")
    ] = None
    contact: Annotated[
        str | None,
        typer.Option("--contact", metavar="TEXT", help="How to reach you; addresses become links."),
    ] = None
    private_names: Annotated[
        list[str] | None,
        typer.Option(
            "--private-name", metavar="NAME", help="Never shown to client or students; adds, may be repeated."
        ),
    ] = None
    may_say: Annotated[
        list[str] | None,
        typer.Option(
            "--may-say",
            metavar="WORD",
            help="May stand in reports though a withheld name has it; adds, may be repeated.",
        ),
    ] = None


@options.command(app, "add", 'logbook trip add "Salt coast in spring" --from 2031-03-02 --zone Europe/Lisbon')
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What the trip is called.")],
    told: TripOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a trip; a title is enough."""
    from logbook.services import kinds, records

    fields = {"title": title, **told.fields()}
    listing = records.add(open_book(book, create=True), kinds.TRIP, fields, slug)
    FACE.show(listing, as_json, "added")
    if listing.records[0].zone is None:
        say(
            "Times cannot be compared across places until the trip has a zone: "
            f"logbook trip edit {listing.records[0].slug} --zone Europe/Lisbon"
        )


@options.command(app, "list", "logbook trip list")
def list_(as_json: options.Json = False, book: options.Book = None) -> None:
    """List all trips."""
    from logbook.services import kinds, records

    FACE.list(
        records.list_all(open_book(book), kinds.TRIP, {}),
        as_json,
        'The book has no trip yet; "logbook trip add TITLE" starts one.',
    )


@options.command(app, "edit", 'logbook trip edit high-valley --next-visit "Come before the festival week."')
def edit(
    name: Name,
    title: options.Title = None,
    *,
    told: TripOptions,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a trip."""
    from logbook.services import kinds, records

    changes = told.changes(clear, title=title, slug=slug)
    FACE.show(records.edit(open_book(book), kinds.TRIP, name, changes), as_json, "changed")


add_show(app, FACE, "logbook trip show high-valley")
add_remove(app, "trip", "logbook trip remove slate-coast --with-dependents")
