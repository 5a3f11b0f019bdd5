"""Putting a plan file into the book: places and kit first, then the trip, its shots and what is packed."""

from logbook.domain.errors import InvalidValueError
from logbook.intake.planfile import PlanFile
from logbook.services import kinds
from logbook.services.plans.packing import pack
from logbook.services.records import find, put_new, resolved
from logbook.store.book import Book


def put_plan(book: Book, plan: PlanFile) -> None:
    """Add everything in a plan, all or nothing; raises ConflictError where a slug is taken already."""
    with book.writing() as desk:
        trip_id: str | None = None
        for word in ("kit", "site", "viewpoint", "trip", "shot"):
            kind = kinds.BY_WORD[word]
            for entry in plan.nouns.get(word, ()):
                fields = resolved(desk, entry)
                slug = fields.pop("slug", None)
                if word == "shot":
                    fields = {"trip_id": _needed(trip_id)} | fields
                made = put_new(desk, kind, book.now(), fields, slug)
                if word == "trip":
                    trip_id = made.id
        for entry in plan.nouns.get("packed", ()):
            said = dict(entry)
            pack(desk, find(desk, kinds.KIT, said.pop("item")), _needed(trip_id), said, book)


def _needed(trip_id: str | None) -> str:
    if trip_id is None:
        raise InvalidValueError("The plan holds shots or packed kit but no trip; add a [trip].")
    return trip_id
