"""How the pictures of a trip are shown: which stands for it, and which open, stand large and follow for whom.

Surprising decisions: only what was put in order has a place; everything else follows in order of time, so
that a picture taken in later changes nothing that was arranged. For a trip's cover only its own records are
asked, not its whole account, for a list of trips shows a cover for each. A report and the page that shows its
order beforehand ask the same function; only where the sizes come from differs: from the pictures that were
made, or from what the files say of themselves.
"""

from collections.abc import Mapping, Sequence

from logbook.domain.account import TripAccount
from logbook.domain.choosing import SMALL_PX, Chosen, choose, opening_of
from logbook.domain.discretion.showing import pictures_for
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.keeper import Keeper, by_place_time, in_order
from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.services.keepers.keeping import keepers_listed
from logbook.services.keepers.proposals import sets_of
from logbook.services.naming import ANY, Narrow, keepers_meant
from logbook.services.records import Listing, edited, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

FIELDS = {Audience.CLIENT: "client_order", Audience.STUDENTS: "students_order"}
USUAL_SHAPE = (3, 2)  # width to height of a picture whose file does not say
USUAL_PX = (6000, 4000)  # of a picture whose file does not say; 3:2, common practice, no source


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


def cover_of(desk: Desk, trip: Trip) -> Keeper | None:
    """Return the picture that stands for a trip, or None where it has none."""
    chosen = desk.keepers.first(trip_id=trip.id, opening=True)
    if chosen is not None:
        return chosen
    keepers = in_order(desk.keepers.all(trip_id=trip.id))
    shots = tuple(desk.shots.all(trip_id=trip.id))
    outcomes = {one.shot_id: one for one in desk.outcomes.all(shot_id={shot.id for shot in shots})}
    visits = tuple(desk.visits.all(trip_id=trip.id))
    account = TripAccount(trip=trip, sites={}, viewpoints={}, shots=shots, outcomes=outcomes, visits=visits)
    sizes = {one.id: one.upright_px or USUAL_SHAPE for one in keepers}
    return opening_of(account, keepers, {one: width / height for one, (width, height) in sizes.items()})


def as_shown(account: TripAccount, audience: Audience) -> Chosen:
    """Return the pictures of a trip as its report for an audience will show them, originals being there."""
    keepers = sorted(pictures_for(account, audience), key=by_place_time)
    return chosen_of(account, keepers, {one.id: one.upright_px or USUAL_PX for one in keepers}, audience)


def chosen_of(
    account: TripAccount,
    keepers: Sequence[Keeper],
    sizes_px: Mapping[str, tuple[int, int]],
    audience: Audience,
) -> Chosen:
    """Return which of the keepers that an audience sees are large, as the photographer chose, else by merit.

    `keepers` are the book's own, in order of time; `sizes_px` are width and height of those whose picture is
    there. What speaks for a picture may be nothing that its audience sees.
    """
    return choose(
        account,
        keepers,
        {one: width / height for one, (width, height) in sizes_px.items()},
        next((one.id for one in keepers if one.opening), None),
        account.trip.order_for(audience),
        sets_of(account),
        {one for one, size in sizes_px.items() if max(size) < SMALL_PX},
    )
