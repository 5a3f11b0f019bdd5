"""`logbook visit`: time spent at a viewpoint."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.said import counted
from logbook.domain.visit import Visit
from logbook.domain.words import VisitPurpose
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove, add_show, remark_on_day
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json
from logbook.faces.terminal import answer_json, answer_prose, say
from logbook.faces.told import Together, Told
from logbook.faces.words.phrases import unstated_of_visit

if TYPE_CHECKING:
    from logbook.services.visits.cuts import VisitCut

app = options.noun_app("visit")
FACE = Face(
    "visit",
    ("visit", "viewpoint", "date", "from", "to", "for", "tries", "not stated"),
    lambda record, listing: record_json(record, listing.names),
    lambda row: [
        row["slug"],
        row["viewpoint"] or "",
        row["on_date"],
        row["arrived_at"] or "",
        row["departed_at"] or "",
        row["purpose"] or "",
        "" if row["tries"] is None else str(row["tries"]),
        unstated_of_visit(row["provenance"]),
    ],
    if_any=("not stated",),
)

ViewpointName = Annotated[str | None, typer.Option("--viewpoint", metavar="NAME", help="Where.")]


STAY = Together(("arrived_at", "departed_at"), ("arrived_at", "departed_at"), typed.a_stay)


@dataclass(frozen=True, slots=True)
class VisitOptions(Told):
    """What may be said of a visit besides its place and date."""

    noun = Visit

    arrived_at: Annotated[
        str | None, typer.Option("--from", metavar="TIME", help="Arrival, such as 17:20."), STAY
    ] = None
    departed_at: Annotated[
        str | None, typer.Option("--to", metavar="TIME", help="Departure, such as 18:45."), STAY
    ] = None
    purpose: Annotated[VisitPurpose | None, typer.Option("--purpose", help="What it was for.")] = None
    tries: Annotated[
        str | None,
        typer.Option("--tries", metavar="N", help="How many frames were tried, such as 14 or 'about 20'."),
    ] = None
    support: options.SupportName = None
    journal: Annotated[
        str | None, typer.Option("--journal", metavar="TEXT", help="What happened, in Markdown.")
    ] = None


@options.command(
    app,
    "add",
    "logbook visit add --trip high-valley --viewpoint dune-shoulder --on 2025-10-17 --from 11:00 --to 11:30",
)
def add(
    viewpoint: Annotated[str, typer.Option("--viewpoint", metavar="NAME", help="Where.")],
    on: Annotated[str, typer.Option("--on", metavar="DATE", help="Date, such as 2031-10-14.")],
    trip: options.TripName = None,
    *,
    told: VisitOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a visit."""
    from logbook.services.visits.visits import add_visit

    fields = {"viewpoint": viewpoint, "on_date": typed.a_date(on), **told.fields()}
    opened = open_book(book)
    added = add_visit(opened, trip, fields, slug)
    FACE.show(added.listing, as_json, "added")
    for sentence in added.told:
        say(sentence)
    remark_on_day(opened, added.listing)


@options.command(app, "list", "logbook visit list --trip high-valley")
def list_(
    trip: options.OnlyTrip = None,
    viewpoint: ViewpointName = None,
    on: options.On = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List visits."""
    from logbook.services import kinds, records

    within = typed.given(trip=trip, viewpoint=viewpoint, on_date=typed.a_date(on))
    FACE.list(
        records.list_all(open_book(book), kinds.VISIT, within),
        as_json,
        'No such visit in the book; "logbook visit add --viewpoint NAME --on DATE" adds one.',
    )


@options.command(app, "edit", "logbook visit edit quarry-ledge-2025-10-14 --tries 15")
def edit(
    name: Name,
    viewpoint: ViewpointName = None,
    on: options.On = None,
    *,
    told: VisitOptions,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a visit."""
    from logbook.services.visits.visits import edit_visit

    changes = told.changes(clear, slug=slug, viewpoint=viewpoint, on_date=typed.a_date(on))
    opened = open_book(book)
    changed = edit_visit(opened, name, changes)
    FACE.show(changed.listing, as_json, "changed")
    for sentence in changed.told:
        say(sentence)
    if on is not None:
        remark_on_day(opened, changed.listing)


@options.command(
    app,
    "split",
    "logbook visit split quarry-ledge-2025-10-14 --at 18:05",
    short="Cut one visit in two at a given time.",
)
def split(
    name: Name,
    at: Annotated[str, typer.Option("--at", metavar="TIME", help="When one ends and the other begins.")],
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Cut one visit in two; pictures and conditions are divided by their times, and you divide the tries."""
    from logbook.services.visits import cuts

    when = typed.a_time(at)
    assert when is not None
    done = cuts.split_visit(open_book(book), name, when)
    first, second = (one.slug for one in done.listing.records)
    _show_cut(done, f"{first} now ends at {when:%H:%M}, and {second} begins then", as_json)
    if done.tries is not None:
        say(
            f"The {done.tries} tries covered both visits, so the number for each is now unknown. "
            f'"logbook visit edit {first} --tries N" sets each.'
        )


@options.command(
    app,
    "join",
    "logbook visit join pan-edge-2025-10-17 pan-edge-2025-10-17-2",
    short="Join two visits to the same viewpoint into one.",
)
def join(
    name: Name,
    other: Annotated[str, typer.Argument(metavar="OTHER", help="The visit that becomes part of it.")],
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Join two visits to the same viewpoint into one; the earlier one's name stays."""
    from logbook.services.visits import cuts

    done = cuts.join_visits(open_book(book), name, other)
    (joined,) = done.listing.records
    _show_cut(done, f"{joined.slug} is now one visit", as_json)


def _show_cut(done: "VisitCut", text: str, as_json: bool) -> None:
    if as_json:
        visits = [record_json(one, done.listing.names) for one in done.listing.records]
        answer_json({"visits": visits, "keepers": list(done.keepers)})
        return
    counts = " and ".join(str(count) for count in done.keepers)
    answer_prose(
        f"{text}; it has {counted('keeper', done.keepers[0])}."
        if len(done.keepers) == 1
        else f"{text}; they have {counts} keepers."
    )


add_show(app, FACE, "logbook visit show quarry-ledge-2025-10-14")
add_remove(app, "visit", "logbook visit remove mere-hide-2025-10-16")
