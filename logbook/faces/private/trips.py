"""The book's first page: its trips, each with a picture, and the days that wait to be written down.

One surprising decision: a day waits until it has a visit or a journal and none of its plans is open; that
somebody looked at it is not enough.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import Blueprint, Response

from logbook.domain.choosing import choose
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.faces.private.workplace import book, page
from logbook.services import kinds
from logbook.services.accounts import account_in
from logbook.services.night.whole import DayWaiting, days_in
from logbook.services.records import find
from logbook.store.desk import Desk as Shelves

part = Blueprint("trips", __name__)


@dataclass(frozen=True, slots=True)
class TripCard:
    """A trip as the first page shows it."""

    trip: Trip
    picture: Keeper | None
    keepers: int
    days: tuple[DayWaiting, ...]

    @property
    def waiting(self) -> Sequence[DayWaiting]:
        """The days that have pictures and are not written down yet."""
        return [one for one in self.days if one.keepers and not one.is_done]


@part.get("/")
def trips() -> Response:
    """All trips, the last one first."""
    opened = book()
    with opened.reading() as shelves:
        cards = [_card(shelves, trip) for trip in shelves.trips.all()]
    cards.sort(key=lambda one: one.trip.starts_on or one.trip.created.date(), reverse=True)
    return page("trips.html", opened=opened, cards=cards, title="Your trips")


@part.get("/trip/<slug>")
def trip(slug: str) -> Response:
    """One trip: its days."""
    opened = book()
    with opened.reading() as shelves:
        card = _card(shelves, find(shelves, kinds.TRIP, slug))
    return page("trip.html", opened=opened, card=card, title=card.trip.title)


def _card(shelves: Shelves, trip: Trip) -> TripCard:
    account = account_in(shelves, trip)
    sizes = {one.id: one.upright_px or (3, 2) for one in account.keepers}
    shapes = {keeper_id: width / height for keeper_id, (width, height) in sizes.items()}
    chosen = next((one.id for one in account.keepers if one.opening), None)
    opening = choose(account, account.keepers, shapes, chosen).opening
    picture = opening.keeper if opening else None
    return TripCard(trip, picture, len(account.keepers), tuple(days_in(shelves, trip)))
