"""`logbook kit`: cameras, lenses, filters, supports and power, and what was packed for a trip."""

import re
from dataclasses import dataclass, replace
from typing import Annotated, Any

import typer

from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.words import KitKind, Packing
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove
from logbook.faces.opened import open_book
from logbook.faces.plain import kit_json, words
from logbook.faces.terminal import answer_json, answer_prose
from logbook.faces.told import Together, Told

app = options.noun_app("kit")
FACE = Face(
    "kit",
    ("kit", "title", "kind", "owned", "for trips"),
    lambda record, listing: kit_json(record, listing.names),
    lambda row: [row["slug"], row["title"], row["kind"], words(row["owned"]), _trips(row["trips"])],
    {"trips": lambda trips: _trips(trips)},
)


def _trips(trips: dict[str, dict[str, Any]]) -> str:
    parts = []
    for trip, decision in trips.items():
        why = f" ({decision['why']})" if decision["why"] else ""
        parts.append(f"{trip}: {_state(decision)}{why}")
    return "; ".join(parts)


def _state(decision: dict[str, Any]) -> str:
    used = {True: ", used", False: ", not used", None: ""}[decision["used"]]
    return f"{decision['state']}{used}"


def _of_one_trip(row: dict[str, Any] | Any) -> list[str]:
    (decision,) = row["trips"].values()
    return [row["slug"], row["title"], row["kind"], _state(decision), decision["why"] or ""]


OF_ONE_TRIP = replace(FACE, columns=("kit", "title", "kind", "state", "why"), as_row=_of_one_trip)
Kind = Annotated[KitKind | None, typer.Option("--kind", help="What it is.")]


def _sensor(text: str | None) -> dict[str, float | None]:
    if text is None:
        return {}
    width, by, height = re.sub(r"\s*(?:x|×|\*)\s*", "x", text.lower().removesuffix("mm").strip()).partition(
        "x"
    )
    if not by:
        raise InvalidValueError(f'"{text}" is not a sensor size; write width x height in mm, such as 36x24.')
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


@dataclass(frozen=True, slots=True)
class KitOptions(Told):
    """What may be said of a piece of kit besides its title and kind."""

    noun = KitItem

    owned: Annotated[bool | None, typer.Option("--owned/--not-owned", help="Whether it is yours.")] = None
    filter_name: Annotated[
        str | None,
        typer.Option("--filter", metavar="NAME", help="Filter strength, such as nd8, pol or gnd8."),
    ] = None
    body: Annotated[
        str | None,
        typer.Option("--body", metavar="TEXT", help="The camera's name as its files give it."),
    ] = None
    sensor: Annotated[
        str | None,
        typer.Option("--sensor", metavar="WxH", help="Sensor in mm, such as 36x24."),
        Together(("sensor_width_mm", "sensor_height_mm"), ("sensor",), _sensor),
    ] = None
    focal: Annotated[
        str | None,
        typer.Option("--focal", metavar="MM", help="Focal lengths in mm, such as 16-35 or 50."),
        Together(("focal_min_mm", "focal_max_mm"), ("focal",), _focal),
    ] = None
    stabilisation_stops: Annotated[
        float | None, typer.Option("--stabilisation", metavar="STOPS", help="In stops.")
    ] = None
    notes: options.Notes = None


@dataclass(frozen=True, slots=True)
class DecisionOptions(Told):
    """What may be said of a decision about a piece of kit for a trip."""

    noun = PackedItem

    trip: Annotated[
        str | None, typer.Option("--trip", "-t", metavar="NAME", help="The trip the decision is for.")
    ] = None
    packing: Annotated[Packing | None, typer.Option("--state", help="Its state for the trip.")] = None
    why: Annotated[str | None, typer.Option("--why", metavar="TEXT", help="Why it was taken or left.")] = None
    used: Annotated[bool | None, typer.Option("--used/--unused", help="Whether it was used on the trip.")] = (
        None
    )

    def decision(self) -> dict[str, Any]:
        """Return what was decided for the trip."""
        return self.fields(but=("trip",))


@options.command(
    app,
    "add",
    'logbook kit add "Ten-stop filter" --kind filter --filter nd1024 --owned '
    "--trip high-valley --state taken",
    short="Add a piece of kit, and its state for a trip.",
)
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What it is called.")],
    kind: Annotated[KitKind, typer.Option("--kind", help="What it is.")],
    told: KitOptions,
    decided: DecisionOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Add a piece of kit, with what was decided about it for a trip."""
    from logbook.services.plans import packing

    fields = {"title": title, "kind": kind, **told.fields()}
    opened = open_book(book, create=True)
    FACE.show(packing.add_kit(opened, fields, slug, decided.trip, decided.decision()), as_json, "added")


@options.command(app, "list", "logbook kit list --trip high-valley")
def list_(
    trip: options.OnlyTrip = None,
    kind: Kind = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List kit; with a trip, what was decided for it."""
    from logbook.services.plans import packing

    face = FACE if trip is None else OF_ONE_TRIP
    face.list(
        packing.list_kit(open_book(book), typed.given(kind=kind), trip),
        as_json,
        'No such kit in the book; "logbook kit add TITLE --kind filter" adds a piece.',
    )


@options.command(app, "show", "logbook kit show pol")
def show(name: Name, as_json: options.Json = False, book: options.Book = None) -> None:
    """Show one piece of kit, with every decision about it."""
    from logbook.services.plans import packing

    FACE.show(packing.show_kit(open_book(book), name), as_json)


@options.command(
    app,
    "edit",
    'logbook kit edit nd1000 --trip high-valley --state left --why "Seven stops are enough."',
    short="Change a piece of kit, or its state for a trip.",
)
def edit(
    names: Annotated[
        list[str],
        typer.Argument(metavar="NAME...", help="One piece, or several for one decision."),
    ],
    title: options.Title = None,
    kind: Kind = None,
    *,
    told: KitOptions,
    decided: DecisionOptions,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a piece of kit, or what was decided about it for a trip."""
    from logbook.services.plans import packing

    changes = told.changes(clear, title=title, slug=slug, kind=kind)
    if len(names) == 1:
        edited = packing.edit_kit(open_book(book), names[0], changes, decided.trip, decided.decision())
        FACE.show(edited, as_json, "changed")
        return
    if changes:
        raise WrongUseError(
            "Several pieces can only share a decision for a trip; make other changes one by one."
        )
    packed = packing.pack_all(open_book(book), names, decided.trip, decided.decision())
    if as_json:
        answer_json([kit_json(one, packed.names) for one in packed.records])
    else:
        answer_prose(f"kit {', '.join(one.item.slug for one in packed.records)} changed.")


add_remove(app, "kit", "logbook kit remove drone --with-dependents")
