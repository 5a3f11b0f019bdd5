"""Whether frames can have been made without a filter, as somebody says: the exposure may make it unlikely.

One surprising decision: only a frame whose instant, place and settings are known is doubted, and only once; a
frame that somebody has stated to be without a filter stays so.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from logbook.craft.clock_light import bare_lens_doubt
from logbook.craft.settings_text import TIME_FIRST, settings_told
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance, SubjectKind
from logbook.domain.written.filters import KeeperStack
from logbook.services.accounts import account_in
from logbook.services.keepers.keeping import filters_by_id
from logbook.services.light.frame_light import settings_ev100, sun_covered, sun_heights
from logbook.services.light.stands import stands_of
from logbook.services.naming import ANY, Narrow, keepers_meant
from logbook.services.records import the_trip
from logbook.sky.observer import Observer
from logbook.store.book import Book


@dataclass(frozen=True, slots=True)
class BareLens:
    """A frame that can hardly have been made without a filter, and why, without a full stop."""

    keeper_id: str
    file: str
    reason: str


def doubted_without_filter(account: TripAccount, keepers: Sequence[Keeper]) -> tuple[BareLens, ...]:
    """Return those of the keepers that can hardly have had no filter, unless somebody stated that already."""
    stands = stands_of(account, keepers)
    heights = sun_heights(stands, keepers)
    doubted = []
    for keeper in keepers:
        light = settings_ev100(keeper)
        if light is None or keeper.id not in heights or _is_settled(account, keeper):
            continue
        reason = bare_lens_doubt(light, heights[keeper.id], stands[keeper.id].sun_rises_deg)
        if reason is not None and not _is_eclipsed(stands[keeper.id], keeper):
            doubted.append(
                BareLens(
                    keeper.id,
                    keeper.file,
                    f"{', '.join(settings_told(keeper, TIME_FIRST[:3], dialled=True))}: {reason}",
                )
            )
    return tuple(doubted)


def doubted_in_note(
    book: Book, trip: str | None, which: str, stacks: Sequence[KeeperStack], narrow: Narrow = ANY
) -> tuple[BareLens, ...]:
    """Return which of the keepers that a note would state to be without a filter can hardly have had none."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        meant = keepers_meant(desk, of_trip, which, narrow)
        behind = filters_by_id(meant, stacks)
        bare = [keeper for keeper in meant if behind.get(keeper.id) == ()]
        return doubted_without_filter(account_in(desk, of_trip), bare) if bare else ()


def _is_eclipsed(stand: Observer, keeper: Keeper) -> bool:
    """Whether the sun was, so that the day may have been as dark as that."""
    return keeper.taken_utc is not None and sun_covered(stand, keeper.taken_utc) > 0.0


def _is_settled(account: TripAccount, keeper: Keeper) -> bool:
    """Whether somebody stated it, or it was made indoors."""
    if keeper.filters == () and keeper.provenance_of("filters") is Provenance.STATED:
        return True
    viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
    site = account.sites.get(viewpoint.site_id) if viewpoint else None
    return site is not None and SubjectKind.INTERIOR in site.kinds
