"""What a photographer chooses of a picture for reports: whether it opens the trip, and who does not see it.

One surprising decision: a trip has one opening. Whoever chooses another takes the word back from the first.
A picture hidden from an audience may still be the opening for the others.
"""

from collections.abc import Collection
from dataclasses import dataclass

from logbook.domain.errors import WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.words import Audience
from logbook.services.records import edited
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
