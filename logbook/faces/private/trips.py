"""The book's first page: its trips, each with a picture, and what waits: days, lines to sort out, proposals.

One surprising decision: a trip's picture has an address of its own, and is chosen when a browser comes to
show it; a book of many trips would be read whole for its first page otherwise.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from flask import Blueprint, Response, abort
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.trip import Trip
from logbook.faces.private.originals import looked_at
from logbook.faces.private.pictures import sent
from logbook.faces.private.workplace import book, page
from logbook.services import kinds
from logbook.services.keepers.showing import cover_of
from logbook.services.night.days_waiting import DayWaiting, days_in, pictures_of_days
from logbook.services.records import find
from logbook.store.book import Book

part = Blueprint("trips", __name__)

MOST_OF_A_DAY = 6  # pictures by which a day is known again


@dataclass(frozen=True, slots=True)
class TripCard:
    """A trip as the first page shows it."""

    trip: Trip
    keepers: int
    days: tuple[DayWaiting, ...]
    to_sort_out: int

    @property
    def waiting(self) -> Sequence[DayWaiting]:
        """The days that have pictures and are not written up yet."""
        return [one for one in self.days if one.waits]


@part.get("/")
def trips() -> Response:
    """All trips, the last one first."""
    opened = book()
    cards = _cards(opened)
    cards.sort(key=lambda one: one.trip.starts_on or one.trip.created.date(), reverse=True)
    return page("trips.html", opened=opened, cards=cards, originals=looked_at(), title="Your trips")


@part.get("/trip/<slug>")
def trip(slug: str) -> Response:
    """One trip: its days."""
    opened = book()
    (card,) = _cards(opened, slug)
    with opened.reading() as shelves:
        seen = pictures_of_days(shelves, card.trip, MOST_OF_A_DAY)
    return page("trip.html", opened=opened, card=card, seen=seen, title=card.trip.title)


@part.get("/trip/<slug>/cover/<size>")
def cover(slug: str, size: str) -> AnyResponse:
    """The picture that stands for a trip."""
    with book().reading() as shelves:
        keeper = cover_of(shelves, find(shelves, kinds.TRIP, slug))
    if keeper is None:
        abort(404)
    return sent(keeper, size)


def _cards(opened: Book, slug: str | None = None) -> list[TripCard]:
    """Return the cards of all trips, or of one."""
    with opened.reading() as shelves:
        shown = shelves.trips.all() if slug is None else [find(shelves, kinds.TRIP, slug)]
        counts = Counter(
            one for (one,) in shelves.keepers.columns("trip_id", trip_id={one.id for one in shown})
        )
        loose = Counter(
            one for (one,) in shelves.loose_lines.columns("trip_id", trip_id={one.id for one in shown})
        )
        days = days_in(shelves, shown)
    return [TripCard(one, counts[one.id], days[one.id], loose[one.id]) for one in shown]
