"""Looking back: one question to everything written down, with pictures, and many of them noted at once.

One surprising decision: a question stands in the address, so that it can be bookmarked, gone back to and
asked again; nothing else is kept of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import Blueprint, Response, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError
from logbook.domain.keeper import Keeper
from logbook.faces.found import (
    NOUN_WORDS,
    groups_of,
    nearest_words,
    nothing_words,
    own_synonyms,
    parts_text,
    pieces_of,
    reading_text,
)
from logbook.faces.private.pictures import noted, noting_form
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next
from logbook.services.find.choices import In
from logbook.services.find.limits import Limits
from logbook.services.find.pictured import keepers_found, pictures_found
from logbook.services.find.searching import Answer
from logbook.services.find.searching import find as search
from logbook.store.book import Book
from logbook.store.text_index.asking import FoundDocument

part = Blueprint("looking", __name__)

SHOWN = 24  # results on a page
MOST_PICTURES = 500  # of a question, to be noted at once


@dataclass(frozen=True, slots=True)
class FoundEntry:
    """One result as the page shows it; texts are pieces, in turn between and within what matched."""

    noun: str
    document: FoundDocument
    title: list[tuple[str, bool]]
    snippet: list[tuple[str, bool]]
    leads_to: str
    parts: str
    keeper: Keeper | None


@part.get("/look")
def look() -> Response:
    """Ask the whole book."""
    question = request.args.get("q", "").strip()
    opened = book()
    answer = _asked(opened, question) if question else None
    groups: list[tuple[str, list[FoundEntry]]] = []
    nearest: list[tuple[str, list[FoundEntry]]] = []
    trips: dict[str, str] = {}
    if answer is not None:
        with opened.reading() as shelves:
            pictures = pictures_found(shelves, (*answer.results, *answer.nearest))
            trips = {one.id: one.slug for one in shelves.trips.all()}
        groups = [
            (name, [_entry(one, answer, pictures) for one in of]) for name, of in groups_of(answer.results)
        ]
        nearest = [
            (name, [_entry(one, answer, pictures) for one in of]) for name, of in groups_of(answer.nearest)
        ]
    return page(
        "look.html",
        opened=opened,
        question=question,
        understood=reading_text(answer.reading) if answer else "",
        groups=groups,
        nearest=nearest,
        nearest_words=nearest_words(answer) if answer else "",
        nothing=nothing_words(answer) if answer else "",
        trips=trips,
        has_more=answer.more if answer else False,
        title="Look back",
    )


@part.get("/look/pictures")
def pictures() -> Response:
    """The pictures of a question, to select."""
    return _pictures(None, 200)


@part.post("/look/pictures")
def note() -> AnyResponse:
    """Note what the form says of the pictures that are ticked."""
    try:
        say_next(noted(book("pictures found")))
    except LogbookError as error:
        return _pictures(PageTold((str(error),), is_refusal=True), 422)
    return back_to(request.form.get("here") or url_for("looking.look"))


def _pictures(told: PageTold | None, status: int) -> Response:
    question = request.args.get("q", "").strip()
    opened = book()
    answer = _asked(opened, question, (In.KEEPERS, In.SHOTS), MOST_PICTURES) if question else None
    with opened.reading() as shelves:
        keepers = keepers_found(shelves, answer.results) if answer else ()
    understood = reading_text(answer.reading) if answer else ""
    back = url_for("looking.look", q=question)
    return pictures_page(opened, keepers, told, status, f"Pictures: {question}", understood, back)


def pictures_page(
    opened: Book,
    keepers: Sequence[Keeper],
    told: PageTold | None,
    status: int,
    title: str,
    words: str,
    back: str,
) -> Response:
    """Return a page of pictures of several trips, to select and note; `back` is where they were found."""
    with opened.reading() as shelves:
        trips = {one.id: one for one in shelves.trips.all()}
        form = noting_form(shelves, {one.trip_id for one in keepers})
    return page(
        "found_pictures.html",
        told,
        status,
        opened=opened,
        words=words,
        back=back,
        keepers=keepers,
        trips=trips,
        typed=request.form,
        title=title,
        **form,
    )


def _asked(opened: Book, question: str, within: tuple[In, ...] = (), limit: int = SHOWN) -> Answer:
    return search(opened, question, Limits(within=within), own_synonyms(opened.path), limit=limit)


def _entry(one: FoundDocument, answer: Answer, pictures: dict[str, Keeper]) -> FoundEntry:
    title = pieces_of(one.title)
    parts = answer.parts.get(one.record_id)
    return FoundEntry(
        NOUN_WORDS.get(one.kind, one.kind),
        one,
        title if one.title != one.on_date else [],
        pieces_of(" · ".join(part.strip() for part in one.snippet.split("\n") if part.strip())),
        _leads_to(one),
        parts_text(parts) if parts else "",
        pictures.get(one.record_id),
    )


def _leads_to(one: FoundDocument) -> str:
    """Return the page where a result is at home; nothing where there is none."""
    if one.kind == "trip" and one.slug:
        return url_for("trips.trip", slug=one.slug)
    if one.kind == "keeper" and one.trip:
        return url_for("pictures.large", slug=one.trip, keeper_id=one.record_id)
    if one.kind in ("site", "viewpoint") and one.slug:
        return url_for("comparing.before", place=one.slug)
    if one.trip and one.on_date:
        return url_for("evening.evening", slug=one.trip, day=one.on_date)
    return url_for("trips.trip", slug=one.trip) if one.trip else ""
