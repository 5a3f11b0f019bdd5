"""`logbook trip`: journeys with a purpose and an audience."""

from typing import Annotated

import typer

from logbook.domain.words import Audience
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json

app = options.noun_app("trip", "Trips: journeys with a purpose and an audience.")
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

Purpose = Annotated[str | None, typer.Option("--purpose", metavar="TEXT", help="Why you travel.")]
For = Annotated[Audience | None, typer.Option("--for", help="Whom the account is for.")]
Client = Annotated[str | None, typer.Option("--client", metavar="TEXT", help="The client's name.")]
Brief = Annotated[str | None, typer.Option("--brief", metavar="TEXT", help="What was asked for.")]
From = Annotated[str | None, typer.Option("--from", metavar="DATE", help="First day.")]
To = Annotated[str | None, typer.Option("--to", metavar="DATE", help="Last day.")]
DayEnds = Annotated[str | None, typer.Option("--day-ends", metavar="TIME", help="When your day ends; 04:00.")]
Summary = Annotated[str | None, typer.Option("--summary", metavar="TEXT", help="The trip in a paragraph.")]
NextVisit = Annotated[
    str | None, typer.Option("--next-visit", metavar="TEXT", help="Advice for a next visit.")
]
Credit = Annotated[str | None, typer.Option("--credit", metavar="TEXT", help="Whom pages credit.")]
Rights = Annotated[str | None, typer.Option("--rights", metavar="TEXT", help="Copyright line of pages.")]
PrivateNames = Annotated[
    list[str] | None,
    typer.Option(
        "--private-name", metavar="NAME", help="Never shown to client or students; may be repeated."
    ),
]
Title = Annotated[str | None, typer.Option("--title", metavar="TEXT", help="A new title; the slug stays.")]

UNKNOWABLE = (
    "purpose",
    "audience",
    "client",
    "brief",
    "starts_on",
    "ends_on",
    "zone",
    "summary",
    "next_visit",
    "credit",
    "rights",
)


@options.command(app, "add", 'logbook trip add "Salt coast in spring" --from 2031-03-02 --zone Europe/Lisbon')
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What the trip is called.")],
    purpose: Purpose = None,
    audience: For = None,
    client: Client = None,
    brief: Brief = None,
    starts_on: From = None,
    ends_on: To = None,
    zone: options.Zone = None,
    day_ends_at: DayEnds = None,
    location_shown: options.Shown = None,
    summary: Summary = None,
    next_visit: NextVisit = None,
    credit: Credit = None,
    rights: Rights = None,
    private_names: PrivateNames = None,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a trip; a title is enough."""
    from logbook.services import kinds, records

    fields = {"title": title} | typed.given(
        purpose=purpose,
        audience=audience,
        client=client,
        brief=brief,
        starts_on=typed.a_date(starts_on),
        ends_on=typed.a_date(ends_on),
        zone=zone,
        day_ends_at=typed.a_time(day_ends_at),
        location_shown=location_shown,
        summary=summary,
        next_visit=next_visit,
        credit=credit,
        rights=rights,
        private_names=tuple(private_names) if private_names else None,
    )
    FACE.show(records.add(open_book(book, create=True), kinds.TRIP, fields, slug), as_json, "added")


@options.command(app, "list", "logbook trip list")
def list_(as_json: options.Json = False, book: options.Book = None) -> None:
    """List all trips."""
    from logbook.services import kinds, records

    FACE.list(records.list_all(open_book(book), kinds.TRIP, {}), as_json, "The book has no trip yet.")


@options.command(app, "edit", 'logbook trip edit high-valley --next-visit "Come before the festival week."')
def edit(
    name: Name,
    title: Title = None,
    purpose: Purpose = None,
    audience: For = None,
    client: Client = None,
    brief: Brief = None,
    starts_on: From = None,
    ends_on: To = None,
    zone: options.Zone = None,
    day_ends_at: DayEnds = None,
    location_shown: options.Shown = None,
    summary: Summary = None,
    next_visit: NextVisit = None,
    credit: Credit = None,
    rights: Rights = None,
    private_names: PrivateNames = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a trip."""
    from logbook.services import kinds, records

    changes = typed.given(
        title=title,
        purpose=purpose,
        audience=audience,
        client=client,
        brief=brief,
        starts_on=typed.a_date(starts_on),
        ends_on=typed.a_date(ends_on),
        zone=zone,
        day_ends_at=typed.a_time(day_ends_at),
        location_shown=location_shown,
        summary=summary,
        next_visit=next_visit,
        credit=credit,
        rights=rights,
        private_names=tuple(private_names) if private_names else None,
    )
    typed.cleared(changes, clear, (*UNKNOWABLE, "private_names"))
    if changes.get("private_names", ...) is None:
        changes["private_names"] = ()  # nobody: the one field that can be emptied but never unknown
    FACE.show(records.edit(open_book(book), kinds.TRIP, name, changes), as_json, "changed")


add_show(app, FACE, "logbook trip show high-valley")
add_remove(app, "trip", "logbook trip remove slate-coast --with-dependents")
