"""Keepers shown and noted: listing them, naming one, and stating what the camera cannot know of it.

What a photographer chooses of a picture for reports is noted here as well: whether it opens the trip, and who
does not see it.

One surprising decision: a trip has one opening. Whoever chooses another takes the word back from the first. A
picture hidden from an audience may still be the opening for the others.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from logbook.domain.errors import InvalidValueError, NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.words import Audience
from logbook.domain.written.filters import KeeperStack
from logbook.services.clocks.doubts import time_doubts
from logbook.services.keepers.sharpness import measured_of
from logbook.services.kinds import Fields
from logbook.services.light.frame_light import light_doubts
from logbook.services.naming import ANY, Narrow, is_one, keepers_meant, matching, named, one_keeper
from logbook.services.records import Listing, edited, listing, resolved, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class Showing:
    """From whom keepers are hidden, and who sees them again; nothing leaves it as it is."""

    hide_from: tuple[Audience, ...] = ()
    show_to: tuple[Audience, ...] = ()

    def __post_init__(self) -> None:
        if both := set(self.hide_from) & set(self.show_to):
            raise WrongUseError(f"Give --hide-from or --show-to for {min(both)}, not both.")
        if Audience.ARCHIVE in (*self.hide_from, *self.show_to):
            raise WrongUseError("The archive is yours alone and shows every keeper; name client or students.")

    def __bool__(self) -> bool:
        return bool(self.hide_from or self.show_to)

    def of(self, keeper: Keeper) -> dict[str, object]:
        """Return what changes of one keeper."""
        if not self:
            return {}
        hidden = (set(keeper.hidden_from) | set(self.hide_from)) - set(self.show_to)
        return {"hidden_from": tuple(one for one in Audience if one in hidden)}


AS_IT_IS = Showing()


def close_other_openings(desk: Desk, book: Book, trip_id: str, opening: Collection[Keeper]) -> None:
    """Take the word back from whatever opened the trip before; WrongUseError where several would open it."""
    if len(opening) > 1:
        raise WrongUseError("Only one picture opens a trip; choose one keeper.")
    ids = {one.id for one in opening}
    for other in desk.keepers.all(trip_id=trip_id, opening=True):
        if other.id not in ids:
            desk.keepers.put(edited(other, book.now(), {"opening": None}))


def list_keepers(book: Book, trip: str | None, fields: Fields) -> Listing:
    """Return keepers in order of time; without a trip, those of all trips."""
    with book.reading() as desk:
        within: dict[str, Any] = resolved(desk, fields)
        if trip is not None:
            within["trip_id"] = the_trip(desk, trip).id
        return keepers_listed(desk, in_order(desk.keepers.all(**within)))


def keepers_listed(desk: Desk, keepers: Sequence[Keeper]) -> Listing:
    """Return keepers with the names they refer to, and what is doubtful about their light and time."""
    return replace(
        listing(desk, tuple(keepers)),
        light_doubts=light_doubts(desk, keepers),
        time_doubts=time_doubts(desk, keepers),
        measured=measured_of(desk, keepers),
    )


def show_keeper(book: Book, trip: str | None, wanted: str, narrow: Narrow = ANY) -> Listing:
    """Return one keeper by slug, file name or file number."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip) if trip is not None or len(desk.trips.slugs()) == 1 else None
        return keepers_listed(desk, (one_keeper(desk, wanted, of_trip, narrow),))


def slug_of_keeper(book: Book, trip: str | None, wanted: str, narrow: Narrow = ANY) -> tuple[str, str]:
    """Return the trip id and slug of one keeper, however it was named."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        return of_trip.id, one_keeper(desk, wanted, of_trip, narrow).slug


def ids_meant(book: Book, trip: str | None, which: str) -> tuple[str, ...]:
    """Return the ids of the keepers that a name, a range (`0412-0419`) or a list means."""
    with book.reading() as desk:
        return tuple(one.id for one in keepers_meant(desk, the_trip(desk, trip), which))


def note_keepers(
    book: Book,
    trip: str | None,
    which: str,
    changes: Fields,
    stacks: Sequence[KeeperStack] = (),
    narrow: Narrow = ANY,
    showing: Showing = AS_IT_IS,
) -> Listing:
    """State what the camera cannot know for one keeper, a range (`0412-0419`) or a list.

    `stacks` say what was before the lens of each; keepers they do not speak of keep what they have. `showing`
    says from whom they are hidden.
    """
    if not changes and not stacks and not showing:
        raise WrongUseError(
            "Say what to note: --filters, --support, --shot, --viewpoint, --caption and others."
        )
    with book.writing() as desk:
        meant = keepers_meant(desk, the_trip(desk, trip), which, narrow)
        return _noted(desk, book, meant, changes, stacks, showing)


def note_by_id(
    book: Book,
    ids: Sequence[str],
    changes: Fields,
    stacks: Sequence[KeeperStack] = (),
    showing: Showing = AS_IT_IS,
) -> Listing:
    """State the same for keepers that are known by their ids, of one trip or of several, all or none.

    Raises NotFoundError where one of them is in the book no more.
    """
    with book.writing() as desk:
        found = [desk.keepers.get(one) for one in ids]
        meant = [one for one in found if one is not None]
        if len(meant) < len(found):
            raise NotFoundError("A picture was removed from the book in the meantime; reload the page.")
        return _noted(desk, book, meant, changes, stacks, showing)


def _noted(
    desk: Desk,
    book: Book,
    meant: Sequence[Keeper],
    changes: Fields,
    stacks: Sequence[KeeperStack],
    showing: Showing,
) -> Listing:
    ready = resolved(desk, changes)
    behind = filters_by_id(meant, stacks)
    if changes.get("opening"):
        close_other_openings(desk, book, meant[0].trip_id, meant)
    noted = []
    for keeper in meant:
        own = {"filters": behind[keeper.id]} if keeper.id in behind else {}
        after = edited(keeper, book.now(), {**ready, **own, **showing.of(keeper)})
        if after is not keeper:
            desk.keepers.put(after)
        noted.append(after)
    if "viewpoint_id" in ready:
        desk.follow_places()
        noted = desk.keepers.all(id={one.id for one in noted})
    return keepers_listed(desk, in_order(noted))


def filters_by_id(
    keepers: Sequence[Keeper], stacks: Sequence[KeeperStack]
) -> dict[str, tuple[str, ...] | None]:
    """Return what was before the lens of each keeper, by id; raises NotFoundError for one not meant.

    Raises WrongUseError where a number could be that of several of them.
    """
    result: dict[str, tuple[str, ...] | None] = {}
    for stack in stacks:
        if stack.first is None or stack.last is None:
            continue
        found = matching(keepers, stack.first, stack.last)
        if stack.first == stack.last:
            found = named(keepers, stack.first) or found
        if not found:
            raise NotFoundError(f'"{stack.text}" names none of these keepers; name one of them.')
        if not is_one(found):
            raise WrongUseError(f'"{stack.text}" fits more than one of these keepers; give their file names.')
        if twice := [keeper.file for keeper in found if keeper.id in result]:
            raise InvalidValueError(f"{twice[0]} is named twice; give its filters once.")
        result |= dict.fromkeys((keeper.id for keeper in found), stack.filters)
    rest = next((stack for stack in stacks if stack.first is None), None)
    if rest is not None:
        for keeper in keepers:
            result.setdefault(keeper.id, rest.filters)
    return result
