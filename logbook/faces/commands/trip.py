"""`logbook trip`: journeys with a purpose and an audience."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import WrongUseError
from logbook.domain.trip import Trip
from logbook.domain.words import Audience, WhichShots
from logbook.faces import options
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json
from logbook.faces.terminal import answer, answer_json, say
from logbook.faces.told import Told
from logbook.faces.words.continued import continued_text, seen_text, seen_when

if TYPE_CHECKING:
    from logbook.services.plans.continuing import Continued

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

    purpose: Annotated[str | None, typer.Option("--purpose", metavar="TEXT", help="What it is for.")] = None
    audience: Annotated[Audience | None, typer.Option("--for", help="Who it is for.")] = None
    client: Annotated[str | None, typer.Option("--client", metavar="TEXT", help="The client's name.")] = None
    brief: Annotated[str | None, typer.Option("--brief", metavar="TEXT", help="What was asked for.")] = None
    starts_on: Annotated[str | None, typer.Option("--from", metavar="DATE", help="First day.")] = None
    ends_on: Annotated[str | None, typer.Option("--to", metavar="DATE", help="Last day.")] = None
    zone: options.Zone = None
    day_ends_at: Annotated[
        str | None, typer.Option("--day-ends", metavar="TIME", help="When your day ends; by default 04:00.")
    ] = None
    location_shown: options.Shown = None
    summary: Annotated[
        str | None, typer.Option("--summary", metavar="TEXT", help="The trip in a paragraph.")
    ] = None
    next_visit: Annotated[
        str | None, typer.Option("--next-visit", metavar="TEXT", help="Advice for the next visit.")
    ] = None
    credit: Annotated[
        str | None, typer.Option("--credit", metavar="TEXT", help="Who is credited on the pages.")
    ] = None
    rights: Annotated[
        str | None, typer.Option("--rights", metavar="TEXT", help="The copyright line on the pages.")
    ] = None
    contact: Annotated[
        str | None,
        typer.Option("--contact", metavar="TEXT", help="How to reach you; addresses become links."),
    ] = None
    private_names: Annotated[
        list[str] | None,
        typer.Option(
            "--private-name",
            metavar="NAME",
            help="A name never shown to the client or students; may be repeated.",
        ),
    ] = None
    may_say: Annotated[
        list[str] | None,
        typer.Option(
            "--may-say",
            metavar="WORD",
            help="Allow a word even though it is part of a withheld name; may be repeated.",
        ),
    ] = None


@options.command(
    app, "add", 'logbook trip add "Salt coast again" --from 2031-03-02 --plan-from slate-coast --only to-get'
)
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What the trip is called.")],
    told: TripOptions,
    plan_from: Annotated[
        str | None,
        typer.Option(
            "--plan-from",
            metavar="TRIP",
            help="An earlier trip: copies its shots, on the new dates, and its kit list.",
        ),
    ] = None,
    only: Annotated[
        WhichShots | None, typer.Option("--only", help="With --plan-from: which shots; by default all.")
    ] = None,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a trip; a title is enough.

    With --plan-from, its zone, the end of its day, how places are shown, credit, contact and private names
    are those of the earlier trip unless you say otherwise. Client, brief and rights are not copied.
    """
    from logbook.services import kinds, records
    from logbook.services.plans.continuing import continue_trip

    fields = {"title": title, **told.fields()}
    if plan_from is not None:
        only_to_get = only is WhichShots.TO_GET
        continued = continue_trip(open_book(book), fields, slug, plan_from, only_to_get=only_to_get)
        show_continued(continued, as_json)
        return
    if only is not None:
        raise WrongUseError("--only goes with --plan-from, such as --plan-from slate-coast --only to-get.")
    listing = records.add(open_book(book, create=True), kinds.TRIP, fields, slug)
    FACE.show(listing, as_json, "added")
    if listing.records[0].zone is None:
        say(
            "Times cannot be compared across places until the trip has a zone: "
            f"logbook trip edit {listing.records[0].slug} --zone Europe/Lisbon"
        )


def show_continued(one: "Continued", as_json: bool) -> None:
    """Print a trip that continues another: its shots, the kit, and what to check again."""
    if as_json:
        again = [record_json(seen, one.listing.names) | {"check_again": True} for seen in one.check_again]
        shots = [
            {"slug": shot.slug, "continues": one.listing.names[shot.continues_id or ""]} for shot in one.shots
        ]
        made = FACE.as_json(one.trip, one.listing)
        answer_json(made | {"shots": shots, "packed": one.packed, "check_again": again})
        return
    FACE.show(one.listing, as_json, "added")
    answer(continued_text(one))
    if one.check_again:
        answer("Observed then; check again:")
        names = one.listing.names
        for seen in one.check_again:
            place = names.get(seen.viewpoint_id or seen.site_id or "", "")
            answer(f"  {place}: {seen_text(seen)} ({seen_when(seen)})")


@options.command(app, "list", "logbook trip list")
def list_(as_json: options.Json = False, book: options.Book = None) -> None:
    """List all trips."""
    from logbook.services import kinds, records

    FACE.list(
        records.list_all(open_book(book), kinds.TRIP, {}),
        as_json,
        'The book has no trips yet; "logbook trip add TITLE" starts one.',
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
