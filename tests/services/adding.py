"""Records of a trip, added as they are said; the program itself has a verb for each kind."""

from logbook.services.kinds import Fields, Noun, NounKind
from logbook.services.records import Listing, listing, put_new, resolved, the_trip
from logbook.store.book import Book


def add_to_trip(
    book: Book, kind: NounKind[Noun], trip: str | None, fields: Fields, slug: str | None
) -> Listing:
    """Add one record to a trip; without a name, to the only one."""
    with book.writing() as desk:
        ready = resolved(desk, fields) | {"trip_id": the_trip(desk, trip).id}
        return listing(desk, (put_new(desk, kind, book.now(), ready, slug),))
