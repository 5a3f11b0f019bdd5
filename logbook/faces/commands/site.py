"""`logbook site`: places that outlive trips."""

from dataclasses import dataclass
from typing import Annotated

import typer

from logbook.domain.site import Site
from logbook.domain.words import SubjectKind
from logbook.faces import options, typed
from logbook.faces.joined import add_join
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json, words
from logbook.faces.told import Told

app = options.noun_app("site")
FACE = Face(
    "site",
    ("site", "title", "kinds", "latitude", "longitude", "shown to others"),
    lambda record, listing: record_json(record, listing.names),
    lambda row: [
        row["slug"],
        row["title"],
        ", ".join(row["kinds"]),
        words(row["latitude_deg"]),
        words(row["longitude_deg"]),
        row["location_shown"] or "",
    ],
)


@dataclass(frozen=True, slots=True)
class SiteOptions(Told):
    """What may be said of a site besides its title."""

    noun = Site

    kinds: options.Kinds = None
    region: Annotated[
        str | None, typer.Option("--region", metavar="TEXT", help="The wider region, which others may see.")
    ] = None
    position: options.Where = None
    lat: options.Latitude = None
    lon: options.Longitude = None
    elevation_m: options.Elevation = None
    zone: options.Zone = None
    footing: options.FootingName = None
    access: options.Access = None
    walk_min: Annotated[int | None, typer.Option("--walk", metavar="MIN", help="Minutes on foot.")] = None
    hazards: options.Hazards = None
    cost: Annotated[
        str | None, typer.Option("--cost", metavar="TEXT", help="Fees, permits, parking, as you found them.")
    ] = None
    location_shown: options.Shown = None
    notes: options.Notes = None
    also_called: options.Also = None


@options.command(app, "add", 'logbook site add "Old quarry" --kind gorge --position "47.5 N, 12.25 E"')
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What the place is called.")],
    told: SiteOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a site."""
    from logbook.services import kinds, records

    fields = {"title": title, **told.fields()}
    FACE.show(records.add(open_book(book, create=True), kinds.SITE, fields, slug), as_json, "added")


@options.command(app, "list", "logbook site list --kind dune")
def list_(
    kind: Annotated[
        SubjectKind | None, typer.Option("--kind", metavar="KIND", help="Only this kind, such as gorge.")
    ] = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List sites."""
    from dataclasses import replace

    from logbook.services import kinds, records

    listing = records.list_all(open_book(book), kinds.SITE, {})
    if kind is not None:
        listing = replace(listing, records=tuple(site for site in listing.records if kind in site.kinds))
    FACE.list(listing, as_json, 'No such site in the book yet; "logbook site add TITLE" adds one.')


@options.command(app, "edit", 'logbook site edit quarry --hazards "Loose rock below the north face."')
def edit(
    name: Name,
    title: options.Title = None,
    *,
    told: SiteOptions,
    not_also: options.NotAlso = None,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a site."""
    from logbook.services import kinds, records

    names = typed.names(told.also_called, not_also)
    changes = told.changes(clear, title=title, slug=slug, also_called=names)
    FACE.show(records.edit(open_book(book), kinds.SITE, name, changes), as_json, "changed")


add_join(app, "site", "logbook site join slip-harbour --into long-dune --dry-run")
add_show(app, FACE, "logbook site show quarry")
add_remove(app, "site", "logbook site remove slip-harbour --with-dependents")
