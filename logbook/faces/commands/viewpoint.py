"""`logbook viewpoint`: spots at a site where one stands."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import TripodRule
from logbook.faces import options, typed
from logbook.faces.joined import add_join
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json, words
from logbook.faces.terminal import say
from logbook.faces.told import Told

if TYPE_CHECKING:
    from logbook.store.book import Book

app = options.noun_app("viewpoint")
FACE = Face(
    "viewpoint",
    ("viewpoint", "site", "facing", "looks at", "tripod"),
    lambda record, listing: record_json(record, listing.names),
    lambda row: [
        row["slug"],
        row["site"] or "",
        f"{words(row['facing_deg'])}°" if row["facing_deg"] is not None else "",
        row["looks_at"] or "",
        row["tripod_rule"],
    ],
)

SiteName = Annotated[str | None, typer.Option("--site", metavar="NAME", help="The site it belongs to.")]


@dataclass(frozen=True, slots=True)
class ViewpointOptions(Told):
    """What may be said of a viewpoint besides its title and its site."""

    noun = Viewpoint

    position: options.Where = None
    lat: options.Latitude = None
    lon: options.Longitude = None
    elevation_m: options.Elevation = None
    facing_deg: options.Facing = None
    horizon: options.Horizon = None
    looks_at: Annotated[
        str | None, typer.Option("--looks-at", metavar="TEXT", help="What the view shows.")
    ] = None
    tripod_rule: Annotated[
        TripodRule | None, typer.Option("--tripod", help="Whether tripods are allowed there.")
    ] = None
    footing: options.FootingName = None
    access: options.Access = None
    hazards: options.Hazards = None
    location_shown: options.Shown = None
    notes: options.Notes = None
    also_called: options.Also = None


@options.command(
    app, "add", 'logbook viewpoint add "Upper rail" --site quarry --facing NW --position "38.2 N 73.4 E"'
)
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What the spot is called.")],
    site: Annotated[str, typer.Option("--site", metavar="NAME", help="The site it belongs to.")],
    told: ViewpointOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a viewpoint to a site."""
    from logbook.services import kinds, records

    fields = {"title": title, "site": site, **told.fields()}
    opened = open_book(book)
    listing = records.add(opened, kinds.VIEWPOINT, fields, slug)
    FACE.show(listing, as_json, "added")
    _remark_on_sea(opened, listing.records[0])


@options.command(app, "list", "logbook viewpoint list --site quarry")
def list_(site: SiteName = None, as_json: options.Json = False, book: options.Book = None) -> None:
    """List viewpoints."""
    from logbook.services import kinds, records

    listing = records.list_all(open_book(book), kinds.VIEWPOINT, typed.given(site=site))
    FACE.list(
        listing,
        as_json,
        'No such viewpoint in the book yet; "logbook viewpoint add TITLE --site SITE" adds one.',
    )


@options.command(app, "edit", "logbook viewpoint edit quarry-ledge --tripod awkward --horizon 6")
def edit(
    name: Name,
    title: options.Title = None,
    site: SiteName = None,
    *,
    told: ViewpointOptions,
    not_also: options.NotAlso = None,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a viewpoint."""
    from logbook.services import kinds, records

    names = typed.names(told.also_called, not_also)
    changes = told.changes(clear, title=title, slug=slug, site=site, also_called=names)
    opened = open_book(book)
    listing = records.edit(opened, kinds.VIEWPOINT, name, changes)
    FACE.show(listing, as_json, "changed")
    _remark_on_sea(opened, listing.records[0])


def _remark_on_sea(book: "Book", viewpoint: Viewpoint) -> None:
    """Say what a sea horizon still needs."""
    from logbook.services.light.standpoints import unmet_sea

    if missing := unmet_sea(book, viewpoint):
        say(missing)


add_join(app, "viewpoint", "logbook viewpoint join dune-shoulder --into pan-edge --dry-run")
add_show(app, FACE, "logbook viewpoint show quarry-ledge")
add_remove(app, "viewpoint", "logbook viewpoint remove salt-islands --with-dependents")
