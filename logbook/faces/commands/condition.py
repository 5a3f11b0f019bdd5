"""`logbook condition`: what was observed at a place and a time."""

from dataclasses import dataclass
from typing import Annotated, Any

import typer

from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import COMPARED, KINDS
from logbook.domain.errors import WrongUseError
from logbook.domain.words import ConditionKind
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove, add_show, remark_on_day
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json
from logbook.faces.terminal import CHECK_AGAIN, say
from logbook.faces.told import Told

app = options.noun_app("condition")
FACE = Face(
    "condition",
    ("when", "where", "kind", "seen", "condition"),
    lambda record, listing: record_json(record, listing.names),
    lambda row: [
        " ".join(part for part in (row["on_date"], row["at"]) if part),
        row["viewpoint"] or row["site"] or "",
        row["kind"],
        ": ".join(part for part in (row["level"], row["note"]) if part),
        row["slug"],
    ],
)

ViewpointName = Annotated[str | None, typer.Option("--viewpoint", metavar="NAME", help="Where it was seen.")]


@dataclass(frozen=True, slots=True)
class ConditionOptions(Told):
    """What may be said of an observation besides its kind and date."""

    noun = Condition

    at: options.At = None
    site: Annotated[
        str | None,
        typer.Option("--site", metavar="NAME", help="The site, if it was not at one particular viewpoint."),
    ] = None
    viewpoint: ViewpointName = None
    visit: Annotated[
        str | None,
        typer.Option("--visit", metavar="NAME", help="The visit; trip, place and date are taken from it."),
    ] = None
    level: Annotated[
        str | None,
        typer.Option(
            "--level",
            metavar="TEXT",
            help=f"{'; '.join(f'{kind}: {KINDS[kind].span}' for kind in COMPARED)}.",
        ),
    ] = None
    direction: Annotated[
        str | None, typer.Option("--from", metavar="BEARING", help="Where the wind comes from.")
    ] = None
    note: Annotated[
        str | None, typer.Option("--note", metavar="TEXT", help="What was seen, in your words.")
    ] = None
    source: Annotated[
        str | None, typer.Option("--source", metavar="TEXT", help="Who told you, if you did not see it.")
    ] = None

    def seen(self, kind: ConditionKind, words: str | None = None) -> dict[str, Any]:
        """Return the fields of the observation that were given; words typed in place may say more than one.

        They are a level where the kind has any, else what a line of a day file says.
        """
        said = self.fields(but=("level",))
        if words is None or KINDS[kind].levels:
            text = options.either(words, self.level, "level")
            in_words = typed.level(kind, text)
        else:
            text = options.either(words, self.note, "note")
            in_words = typed.observed(kind, words)
        at, typed_at = in_words.get("at"), said.get("at")
        if at is not None and typed_at is not None and at != typed_at:
            raise WrongUseError(f'"{text}" gives {at:%H:%M} and --at {typed_at:%H:%M}; give one.')
        notes = ", ".join(note for note in (in_words.get("note"), self.note) if note)
        return in_words | said | ({"note": notes} if notes else {})


@options.command(
    app,
    "add",
    "logbook condition add crowd few --trip high-valley --viewpoint dune-shoulder --on 2025-10-17 --at 06:30",
    short="Write down an observation at a place and a time.",
)
def add(
    kind: Annotated[ConditionKind, typer.Argument(metavar="KIND", help="What was observed.")],
    seen: Annotated[
        str | None, typer.Argument(metavar="SEEN", help="Its level, or what was seen, in your words.")
    ] = None,
    on: options.On = None,
    trip: options.TripName = None,
    *,
    told: ConditionOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Write down an observation; it holds for that place and time only."""
    from logbook.services import conditions

    fields = {"kind": kind, **typed.given(on_date=typed.a_date(on)), **told.seen(kind, seen)}
    if told.site and told.viewpoint:
        raise WrongUseError("A viewpoint already belongs to its site; give --viewpoint alone.")
    opened = open_book(book)
    noted = conditions.note(opened, trip, fields, slug)
    FACE.show(noted, as_json, "noted")
    remark_on_day(opened, noted)


@options.command(
    app,
    "list",
    "logbook condition list --trip high-valley --kind closure",
    short="List observations; check closures again.",
)
def list_(
    trip: options.OnlyTrip = None,
    kind: Annotated[ConditionKind | None, typer.Option("--kind", help="Only this kind.")] = None,
    viewpoint: ViewpointName = None,
    on: options.On = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List observations; each holds for its place and time only, so check closures again."""
    from logbook.services import kinds, records

    within = typed.given(trip=trip, kind=kind, viewpoint=viewpoint, on_date=typed.a_date(on))
    listing = records.list_all(open_book(book), kinds.CONDITION, within)
    FACE.list(
        listing,
        as_json,
        'No such condition was noted; "logbook condition add crowd --level few --on DATE" notes one.',
    )
    if listing.records and not as_json:
        say(CHECK_AGAIN)


@options.command(app, "edit", 'logbook condition edit crowd-quarry-ledge-2025-10-14 --note "A coach party."')
def edit(
    name: Name,
    on: options.On = None,
    *,
    told: ConditionOptions,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change an observation."""
    from logbook.services import conditions, kinds, records

    opened = open_book(book)
    (before,) = records.show(opened, kinds.CONDITION, name).records
    changes = typed.given(slug=slug, on_date=typed.a_date(on)) | told.seen(before.kind)
    told.cleared(changes, clear)
    changed = conditions.edit(opened, name, changes)
    FACE.show(changed, as_json, "changed")
    if on is not None:
        remark_on_day(opened, changed)


add_show(app, FACE, "logbook condition show crowd-quarry-ledge-2025-10-14")
add_remove(app, "condition", "logbook condition remove crowd-mere-hide-2025-10-16")
