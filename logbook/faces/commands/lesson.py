"""`logbook lesson`: what to keep doing, change or avoid next time."""

from dataclasses import dataclass
from typing import Annotated

import typer

from logbook.domain.lesson import Lesson
from logbook.domain.words import Audience, LessonVerb
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json
from logbook.faces.told import Told

app = options.noun_app("lesson")
FACE = Face(
    "lesson",
    ("lesson", "kind", "text", "about", "shown to"),
    lambda record, listing: record_json(record, listing.names),
    lambda row: [
        row["slug"],
        row["verb"],
        row["text"],
        row["shot"] or row["viewpoint"] or row["site"] or row["technique"] or "",
        row["shown_to"] or "you",
    ],
)

Verb = Annotated[LessonVerb | None, typer.Option("--verb", help="What to do about it.")]
SiteName = Annotated[str | None, typer.Option("--site", metavar="NAME", help="The site it is about.")]
LessonText = Annotated[str | None, typer.Option("--text", metavar="TEXT", help="The lesson.")]


@dataclass(frozen=True, slots=True)
class LessonOptions(Told):
    """What may be said of a lesson besides its words and its trip."""

    noun = Lesson

    on_date: options.On = None
    site: SiteName = None
    viewpoint: Annotated[
        str | None, typer.Option("--viewpoint", metavar="NAME", help="The viewpoint it is about.")
    ] = None
    shot: Annotated[str | None, typer.Option("--shot", metavar="NAME", help="The shot it is about.")] = None
    technique: Annotated[
        str | None, typer.Option("--technique", metavar="TEXT", help="The technique it is about.")
    ] = None
    shown_to: Annotated[Audience | None, typer.Option("--for", help="Who else may see it.")] = None


@options.command(
    app, "add", 'logbook lesson add change "Come before the coaches." --trip high-valley --for students'
)
def add(
    verb: Annotated[LessonVerb, typer.Argument(metavar="VERB", help="What to do about it.")],
    text: Annotated[str, typer.Argument(metavar="TEXT", help="The lesson.")],
    trip: Annotated[
        str | None, typer.Option("--trip", "-t", metavar="NAME", help="The trip that taught it.")
    ] = None,
    *,
    told: LessonOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Write down a lesson."""
    from logbook.services import kinds, records

    fields = {"verb": verb, "text": text} | typed.given(trip=trip) | told.fields()
    FACE.show(records.add(open_book(book, create=True), kinds.LESSON, fields, slug), as_json, "noted")


@options.command(app, "list", "logbook lesson list --trip high-valley --json")
def list_(
    trip: options.OnlyTrip = None,
    verb: Verb = None,
    site: SiteName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List lessons."""
    from logbook.services import kinds, records

    within = typed.given(trip=trip, verb=verb, site=site)
    FACE.list(
        records.list_all(open_book(book), kinds.LESSON, within),
        as_json,
        'No such lesson in the book; "logbook lesson add change TEXT" notes one.',
    )


@options.command(app, "edit", "logbook lesson edit stay-until-the-lamps --for students")
def edit(
    name: Name,
    verb: Verb = None,
    text: LessonText = None,
    trip: options.TripName = None,
    *,
    told: LessonOptions,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a lesson."""
    from logbook.services import kinds, records

    changes = told.changes(clear, slug=slug, verb=verb, text=text, trip=trip)
    FACE.show(records.edit(open_book(book), kinds.LESSON, name, changes), as_json, "changed")


add_show(app, FACE, "logbook lesson show stay-until-the-lamps")
add_remove(app, "lesson", "logbook lesson remove stay-until-the-lamps")
