"""The order in which an audience sees the pictures of a trip, as the photographer wants it.

One surprising decision: only what was put in order has a place; everything else follows in order of time, so
that a picture taken in later changes nothing that was arranged.
"""

from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.words import Audience
from logbook.services.keepers.keeping import keepers_listed
from logbook.services.naming import ANY, Narrow, keepers_meant
from logbook.services.records import Listing, edited, the_trip
from logbook.store.book import Book

FIELDS = {Audience.CLIENT: "client_order", Audience.STUDENTS: "students_order"}


def arrange(book: Book, trip: str | None, which: str, audience: Audience, narrow: Narrow = ANY) -> Listing:
    """Put keepers in the order in which an audience sees them first; return them in that order.

    `which` is empty to drop an earlier order. Raises InvalidValueError where one of them is hidden from
    that audience, and WrongUseError for the archive, which has no order but that of time.
    """
    if audience is Audience.ARCHIVE:
        raise WrongUseError("The archive is always in time order; arrange keepers for client or students.")
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        ordered: dict[str, Keeper] = {}
        for name in filter(None, which.split(",")):
            ordered |= {one.id: one for one in in_order(keepers_meant(desk, of_trip, name, narrow))}
        if hidden := [one.file for one in ordered.values() if audience in one.hidden_from]:
            raise InvalidValueError(
                f'{hidden[0]} is hidden from {audience}; show it to them first: "logbook keeper note '
                f'{hidden[0]} --show-to {audience}".'
            )
        after = edited(of_trip, book.now(), {FIELDS[audience]: tuple(ordered)})
        if after is not of_trip:
            desk.trips.put(after)
        return keepers_listed(desk, tuple(ordered.values()))
