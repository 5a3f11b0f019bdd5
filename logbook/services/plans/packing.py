"""Kit and trips: what was owned, considered, taken or left, why, and what was used in the end."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.filters import parse_filter
from logbook.domain.account import TripAccount
from logbook.domain.errors import WrongUseError
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.record import new_record
from logbook.domain.words import KitKind
from logbook.services.kinds import KIT, Fields
from logbook.services.records import (
    NOTHING_TO_CHANGE,
    Listing,
    changed,
    edited,
    find,
    listing,
    put_new,
    resolved,
    the_trip,
)
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class PackedKit:
    """A piece of kit beside what was decided about it, by trip slug."""

    item: KitItem
    packed: Mapping[str, PackedItem]


def packed_filters(account: TripAccount) -> tuple[Filter, ...]:
    """Return the filters taken on a trip, by what is engraved on them, else by their titles.

    One whose strength cannot be read is there too, with unknown stops.
    """
    return tuple(_filter(item) for item in account.taken() if item.kind is KitKind.FILTER)


def _filter(item: KitItem) -> Filter:
    name = item.filter_name or item.title
    try:
        return parse_filter(name)
    except CraftValueError:  # a strength that cannot be is no known strength
        return Filter(name, FilterKind.OTHER, None, None, None)


def pack(desk: Desk, item: KitItem, trip_id: str, changes: Fields, book: Book) -> PackedItem:
    """Record what was decided about an item for a trip; raises WrongUseError where no decision is known."""
    before = desk.packed.first(trip_id=trip_id, item_id=item.id)
    if before is None:
        if "packing" not in changes:
            raise WrongUseError(
                f"Nothing has been decided about {item.slug} for this trip yet; add --state, such as taken."
            )
        made = PackedItem(**new_record(book.now()), trip_id=trip_id, item_id=item.id, **changes)
        desk.packed.add(made)
        return made
    after = edited(before, book.now(), changes)
    if after is not before:
        desk.packed.put(after)
    return after


def add_kit(book: Book, fields: Fields, slug: str | None, trip: str | None, packing: Fields) -> Listing:
    """Add a piece of kit, with what was decided about it for a trip where one is named."""
    with book.writing() as desk:
        item = put_new(desk, KIT, book.now(), resolved(desk, fields), slug)
        if trip is not None or packing:
            pack(desk, item, the_trip(desk, trip).id, packing, book)
        return listing(desk, (_with_packing(desk, item),))


def edit_kit(book: Book, wanted: str, changes: Fields, trip: str | None, packing: Fields) -> Listing:
    """Change a piece of kit, or what was decided about it for a trip."""
    if not changes and not packing:
        raise WrongUseError(NOTHING_TO_CHANGE)
    with book.writing() as desk:
        before = find(desk, KIT, wanted)
        after = changed(desk, KIT, before, book.now(), changes)
        if after is not before:
            desk.kit.put(after)
        if packing:
            pack(desk, after, the_trip(desk, trip).id, packing, book)
        return listing(desk, (_with_packing(desk, after),))


def pack_all(book: Book, wanted: Sequence[str], trip: str | None, packing: Fields) -> Listing:
    """Record one decision about several pieces of kit for a trip, all of them or none."""
    if not packing:
        raise WrongUseError(NOTHING_TO_CHANGE)
    with book.writing() as desk:
        trip_id = the_trip(desk, trip).id
        items = {item.id: item for item in (find(desk, KIT, name) for name in wanted)}.values()
        for item in items:
            pack(desk, item, trip_id, packing, book)
        return listing(desk, tuple(_with_packing(desk, item) for item in items))


def show_kit(book: Book, wanted: str) -> Listing:
    """Return one piece of kit with all packing decisions."""
    with book.reading() as desk:
        return listing(desk, (_with_packing(desk, find(desk, KIT, wanted)),))


def list_kit(book: Book, fields: Fields, trip: str | None) -> Listing:
    """Return kit with packing decisions; with a trip, only what was decided about for it."""
    with book.reading() as desk:
        items = [_with_packing(desk, item) for item in desk.kit.all(**fields)]
        if trip is not None:
            slug = the_trip(desk, trip).slug
            items = [PackedKit(one.item, {slug: one.packed[slug]}) for one in items if slug in one.packed]
        return listing(desk, tuple(items))


def _with_packing(desk: Desk, item: KitItem) -> PackedKit:
    names = {record_id: slug for slug, record_id in desk.trips.slugs().items()}
    return PackedKit(item, {names[packed.trip_id]: packed for packed in desk.packed.all(item_id=item.id)})
