"""`logbook lesson`: what to keep doing, change or avoid next time."""

from typing import Annotated

import typer

from logbook.domain.words import Audience, LessonVerb
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove, add_show
from logbook.faces.opened import open_book
from logbook.faces.plain import record_json

app = options.noun_app("lesson", "Lessons: what to keep doing, change or avoid next time.")
FACE = Face(
    "lesson",
    ("lesson", "verb", "text", "about", "shown to"),
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
ViewpointName = Annotated[
    str | None, typer.Option("--viewpoint", metavar="NAME", help="The viewpoint it is about.")
]
ShotName = Annotated[str | None, typer.Option("--shot", metavar="NAME", help="The shot it is about.")]
Technique = Annotated[
    str | None, typer.Option("--technique", metavar="TEXT", help="The technique it is about.")
]
ShownTo = Annotated[Audience | None, typer.Option("--for", help="Who else may see it.")]
LessonText = Annotated[str | None, typer.Option("--text", metavar="TEXT", help="The lesson.")]

UNKNOWABLE = ("trip", "on_date", "site", "viewpoint", "shot", "technique", "shown_to")


@options.command(
    app, "add", 'logbook lesson add change "Come before the coaches." --trip high-valley --for students'
)
def add(
    verb: Annotated[LessonVerb, typer.Argument(help="What to do about it.")],
    text: Annotated[str, typer.Argument(metavar="TEXT", help="The lesson.")],
    trip: Annotated[
        str | None, typer.Option("--trip", "-t", metavar="NAME", help="The trip that taught it.")
    ] = None,
    on: options.On = None,
    site: SiteName = None,
    viewpoint: ViewpointName = None,
    shot: ShotName = None,
    technique: Technique = None,
    shown_to: ShownTo = None,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Write down a lesson."""
    from logbook.services import kinds, records

    fields = {"verb": verb, "text": text} | typed.given(
        trip=trip,
        on_date=typed.a_date(on),
        site=site,
        viewpoint=viewpoint,
        shot=shot,
        technique=technique,
        shown_to=shown_to,
    )
    FACE.show(records.add(open_book(book, create=True), kinds.LESSON, fields, slug), as_json, "noted")


@options.command(app, "list", "logbook lesson list --trip high-valley --json")
def list_(
    trip: options.TripName = None,
    verb: Verb = None,
    site: SiteName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List lessons."""
    from logbook.services import kinds, records

    within = typed.given(trip=trip, verb=verb, site=site)
    FACE.list(records.list_all(open_book(book), kinds.LESSON, within), as_json, "There is no such lesson.")


@options.command(app, "edit", "logbook lesson edit stay-until-the-lamps --for students")
def edit(
    name: Name,
    verb: Verb = None,
    text: LessonText = None,
    trip: options.TripName = None,
    on: options.On = None,
    site: SiteName = None,
    viewpoint: ViewpointName = None,
    shot: ShotName = None,
    technique: Technique = None,
    shown_to: ShownTo = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Change a lesson."""
    from logbook.services import kinds, records

    changes = typed.given(
        verb=verb,
        text=text,
        trip=trip,
        on_date=typed.a_date(on),
        site=site,
        viewpoint=viewpoint,
        shot=shot,
        technique=technique,
        shown_to=shown_to,
    )
    typed.cleared(changes, clear, UNKNOWABLE)
    FACE.show(records.edit(open_book(book), kinds.LESSON, name, changes), as_json, "changed")


add_show(app, FACE, "logbook lesson show stay-until-the-lamps")
add_remove(app, "lesson", "logbook lesson remove stay-until-the-lamps")
