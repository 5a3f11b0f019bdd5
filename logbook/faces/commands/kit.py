"""`logbook kit`: cameras, lenses, filters, supports and power, and what was packed for a trip."""

import re
from typing import Annotated, Any

import typer

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import KitKind, Packing
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove
from logbook.faces.opened import open_book
from logbook.faces.plain import kit_json, words

app = options.noun_app("kit", "Kit: what is owned, considered, taken, left (why) and used.")
FACE = Face(
    "kit",
    ("kit", "title", "kind", "owned", "for trips"),
    lambda record, listing: kit_json(record, listing.names),
    lambda row: [row["slug"], row["title"], row["kind"], words(row["owned"]), _trips(row["trips"])],
)


def _trips(trips: dict[str, dict[str, Any]]) -> str:
    parts = []
    for trip, decision in trips.items():
        used = {True: ", used", False: ", not used", None: ""}[decision["used"]]
        why = f" ({decision['why']})" if decision["why"] else ""
        parts.append(f"{trip}: {decision['state']}{used}{why}")
    return "; ".join(parts)


Kind = Annotated[KitKind | None, typer.Option("--kind", help="What it is.")]
Owned = Annotated[bool | None, typer.Option("--owned/--not-owned", help="Whether it is yours.")]
FilterName = Annotated[
    str | None, typer.Option("--filter", metavar="NAME", help="As filters are written: nd8, pol, gnd8.")
]
Body = Annotated[
    str | None, typer.Option("--body", metavar="TEXT", help="The camera's name as it stands in its files.")
]
Sensor = Annotated[str | None, typer.Option("--sensor", metavar="WxH", help="Sensor in mm: 36x24.")]
FocalRange = Annotated[str | None, typer.Option("--focal", metavar="MM", help="Focal lengths: 16-35, or 50.")]
Stabilisation = Annotated[float | None, typer.Option("--stabilisation", metavar="STOPS", help="In stops.")]
TripFor = Annotated[
    str | None, typer.Option("--trip", "-t", metavar="NAME", help="The trip that a decision is about.")
]
State = Annotated[Packing | None, typer.Option("--state", help="What was decided for the trip.")]
Why = Annotated[str | None, typer.Option("--why", metavar="TEXT", help="Why it was taken or left.")]
Used = Annotated[bool | None, typer.Option("--used/--unused", help="Whether it was used on the trip.")]
Title = Annotated[str | None, typer.Option("--title", metavar="TEXT", help="A new title; the slug stays.")]

UNKNOWABLE = (
    "owned",
    "filter_name",
    "body",
    "sensor_width_mm",
    "sensor_height_mm",
    "focal_min_mm",
    "focal_max_mm",
    "stabilisation_stops",
    "notes",
)


def _sensor(text: str | None) -> dict[str, float | None]:
    if text is None:
        return {}
    width, by, height = re.sub(r"\s*(?:x|×|\*)\s*", "x", text.lower().removesuffix("mm").strip()).partition(
        "x"
    )
    if not by:
        raise InvalidValueError(f'"{text}" is no sensor size; write width x height in mm, such as 36x24.')
    return {
        "sensor_width_mm": typed.a_number(width, "sensor width", "mm"),
        "sensor_height_mm": typed.a_number(height, "sensor height", "mm"),
    }


def _focal(text: str | None) -> dict[str, float | None]:
    if text is None:
        return {}
    low, _, high = text.lower().removesuffix("mm").replace("–", "-").partition("-")
    return {
        "focal_min_mm": typed.a_number(low, "focal length", "mm"),
        "focal_max_mm": typed.a_number(high or low, "focal length", "mm"),
    }


@options.command(
    app,
    "add",
    'logbook kit add "Ten-stop filter" --kind filter --filter nd1024 --owned '
    "--trip high-valley --state taken",
)
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What it is called.")],
    kind: Annotated[KitKind, typer.Option("--kind", help="What it is.")],
    owned: Owned = None,
    filter_name: FilterName = None,
    body: Body = None,
    sensor: Sensor = None,
    focal: FocalRange = None,
    stabilisation: Stabilisation = None,
    notes: options.Notes = None,
    trip: TripFor = None,
    state: State = None,
    why: Why = None,
    used: Used = None,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a piece of kit, with what was decided about it for a trip."""
    from logbook.services import packing

    fields = {"title": title, "kind": kind, **_sensor(sensor), **_focal(focal)} | typed.given(
        owned=owned,
        filter_name=filter_name,
        body=body,
        stabilisation_stops=stabilisation,
        notes=notes,
    )
    decision = typed.given(packing=state, why=why, used=used)
    FACE.show(packing.add_kit(open_book(book, create=True), fields, slug, trip, decision), as_json, "added")


@options.command(app, "list", "logbook kit list --trip high-valley")
def list_(
    trip: options.TripName = None,
    kind: Kind = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List kit; with a trip, what was decided for it."""
    from logbook.services import packing

    FACE.list(
        packing.list_kit(open_book(book), typed.given(kind=kind), trip), as_json, "There is no such kit."
    )


@options.command(app, "show", "logbook kit show pol")
def show(name: Name, as_json: options.Json = False, book: options.Book = None) -> None:
    """Show one piece of kit with all decisions."""
    from logbook.services import packing

    FACE.show(packing.show_kit(open_book(book), name), as_json)


@options.command(
    app,
    "edit",
    'logbook kit edit nd1000 --trip high-valley --state left --why "Seven stops are enough."',
)
def edit(
    name: Name,
    title: Title = None,
    kind: Kind = None,
    owned: Owned = None,
    filter_name: FilterName = None,
    body: Body = None,
    sensor: Sensor = None,
    focal: FocalRange = None,
    stabilisation: Stabilisation = None,
    notes: options.Notes = None,
    trip: TripFor = None,
    state: State = None,
    why: Why = None,
    used: Used = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a piece of kit, or what was decided about it for a trip."""
    from logbook.services import packing

    changes = {**_sensor(sensor), **_focal(focal)} | typed.given(
        title=title,
        kind=kind,
        owned=owned,
        filter_name=filter_name,
        body=body,
        stabilisation_stops=stabilisation,
        notes=notes,
    )
    typed.cleared(changes, clear, UNKNOWABLE)
    decision = typed.given(packing=state, why=why, used=used)
    FACE.show(packing.edit_kit(open_book(book), name, changes, trip, decision), as_json, "changed")


add_remove(app, "kit", "logbook kit remove drone --with-dependents")
