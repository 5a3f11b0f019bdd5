"""The account of a trip or of one of its days: everything the book knows, gathered in one transaction.

One surprising decision: of shots that were tried on several trips, links are followed step by step from those
that are asked about, so that the account of one trip does not read the plans of all.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime
from functools import partial

from logbook.domain.account import TripAccount
from logbook.domain.attempts import Attempt, earlier_and_later
from logbook.domain.condition import Condition
from logbook.domain.dates import last_day
from logbook.domain.day import begin_on
from logbook.domain.day import day_of as day_of_moment
from logbook.domain.errors import NotFoundError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import Disclosure, SetKind
from logbook.services.light.met_light import met_light_in
from logbook.services.places.whereabouts import sites_met
from logbook.services.records import Listing, the_trip
from logbook.services.tracks import segments_of
from logbook.store.book import Book
from logbook.store.desk import Desk


def account_of(book: Book, trip: str | None) -> TripAccount:
    """Return the account of one trip."""
    with book.reading() as desk:
        return account_in(desk, the_trip(desk, trip))


def account_of_id(book: Book, trip_id: str) -> TripAccount:
    """Return the account of the trip with this id; raises NotFoundError where the book has none."""
    return accounts_of_ids(book, (trip_id,))[0]


def accounts_of_ids(book: Book, trip_ids: Iterable[str]) -> tuple[TripAccount, ...]:
    """Return the accounts of some trips by their ids; raises NotFoundError where the book lacks one."""
    with book.reading() as desk:
        trips = {trip.id: trip for trip in desk.trips.held()}
        if not trips.keys() >= set(trip_ids := tuple(trip_ids)):
            raise NotFoundError("That trip is not in this book; name the right book with --book.")
        return tuple(account_in(desk, trips[trip_id]) for trip_id in trip_ids)


def account_in(desk: Desk, trip: Trip) -> TripAccount:
    """Return the account of a trip within a transaction that is open."""
    shots = tuple(
        sorted(
            desk.shots.held(trip_id=trip.id),
            key=lambda shot: (
                begin_on(shot.on_date, shot.window_from, trip.day_ends_at),
                shot.fallback_for_id is not None,
            ),
        )
    )
    shot_ids = {shot.id for shot in shots}
    visits = sorted(desk.visits.held(trip_id=trip.id), key=partial(_visit_time, trip))
    conditions = sorted(desk.conditions.held(trip_id=trip.id), key=partial(_condition_time, trip))
    keepers = in_order(desk.keepers.held(trip_id=trip.id))
    lessons = desk.lessons.held(trip_id=trip.id)
    sets = desk.sets.held(trip_id=trip.id)
    sites = {site.id: site for site in desk.sites.held()}
    viewpoints = {viewpoint.id: viewpoint for viewpoint in desk.viewpoints.held()}
    met_sites = sites_met(desk, trip)
    withheld = _withheld(sites, viewpoints)
    here = {one.id: one for one in viewpoints.values() if one.site_id in met_sites}
    met = {site_id: site for site_id, site in sites.items() if site_id in met_sites}
    desk.tallies.learn_zones(
        [*(one.position for one in met.values()), *(one.position for one in here.values())]
    )
    return TripAccount(
        trip=trip,
        sites=met,
        viewpoints=here,
        shots=shots,
        outcomes={one.shot_id: one for one in desk.outcomes.all(shot_id=shot_ids)} if shot_ids else {},
        attempts=attempts_in(desk, shots),
        visits=tuple(visits),
        conditions=tuple(conditions),
        lessons=tuple(lessons),
        days=tuple(sorted(desk.days.held(trip_id=trip.id), key=lambda day: day.on_date)),
        keepers=tuple(keepers),
        sets=tuple(one for one in sets if one.kind is not SetKind.APART),
        apart=tuple(one for one in sets if one.kind is SetKind.APART),
        kit={item.id: item for item in desk.kit.held()},
        packed=tuple(desk.packed.held(trip_id=trip.id)),
        loose_lines=tuple(desk.loose_lines.held(trip_id=trip.id)),
        tracks=segments_of(desk, trip),
        met_light=met_light_in(desk, here, sites),
        withheld_names=tuple(sorted({name for place in withheld for name in _called(place)})),
        withheld_positions=tuple(dict.fromkeys(place.position for place in withheld if place.position)),
        people=tuple(sorted({name for one in desk.trips.held() for name in one.private_names})),
        last_day=last_day(desk.now().date()),
    )


def _withheld(sites: dict[str, Site], viewpoints: dict[str, Viewpoint]) -> tuple[Site | Viewpoint, ...]:
    """Return all places that are withheld whatever a trip says."""
    hidden = {site.id for site in sites.values() if site.location_shown is Disclosure.WITHHELD}
    return (
        *(sites[site_id] for site_id in hidden),
        *(
            one
            for one in viewpoints.values()
            if one.site_id in hidden or one.location_shown is Disclosure.WITHHELD
        ),
    )


def _called(place: Site | Viewpoint) -> tuple[str, ...]:
    return place.title, place.slug, *place.also_called


def _visit_time(trip: Trip, visit: Visit) -> tuple[date, bool, datetime]:
    begins = begin_on(visit.on_date, visit.arrived_at, trip.day_ends_at)
    return visit.on_date, visit.arrived_at is None, begins


def _condition_time(trip: Trip, condition: Condition) -> tuple[date, bool, datetime]:
    seen = begin_on(condition.on_date, condition.at, trip.day_ends_at)
    return condition.on_date, condition.at is not None, seen


def day_of(keeper: Keeper, trip: Trip) -> date | None:
    """Return the day a keeper belongs to: a day ends where the photographer's day ends, not at midnight."""
    return day_of_moment(keeper.place_time, trip.day_ends_at) if keeper.place_time else None


def of_day(book: Book, keepers: Listing, on_date: date) -> Listing:
    """Return those keepers that belong to a day, each by where the days of its trip end."""
    with book.reading() as desk:
        trips = {trip.id: trip for trip in desk.trips.held()}
    kept = tuple(one for one in keepers.records if day_of(one, trips[one.trip_id]) == on_date)
    return replace(keepers, records=kept)


def attempts_in(desk: Desk, shots: Iterable[Shot]) -> dict[str, tuple[Attempt, ...]]:
    """Return what was tried of each shot that is linked to another, by its id, earliest first."""
    shots = tuple(shots)
    linked = _linked(desk, shots)
    chains = {shot.id: earlier_and_later(shot, linked.values()) for shot in shots}
    chains = {shot_id: chain for shot_id, chain in chains.items() if len(chain) > 1}
    if not chains:
        return {}
    ids = {one.id for chain in chains.values() for one in chain}
    outcomes = {one.shot_id: one for one in desk.outcomes.all(shot_id=ids) if one.is_stated}
    trips = {trip_id: slug for slug, trip_id in desk.trips.slugs().items()}
    return {
        shot_id: tuple(Attempt(one, outcomes.get(one.id), trips[one.trip_id]) for one in chain)
        for shot_id, chain in chains.items()
    }


def _linked(desk: Desk, shots: tuple[Shot, ...]) -> dict[str, Shot]:
    """The shots, all that they continue, and all that continue them."""
    found = {shot.id: shot for shot in shots}
    wanted = {shot.continues_id for shot in shots if shot.continues_id} - set(found)
    while wanted:
        before = desk.shots.all(id=wanted)
        found |= {one.id: one for one in before}
        wanted = {one.continues_id for one in before if one.continues_id} - set(found)
    wanted = {shot.id for shot in shots}
    while wanted:
        after = [one for one in desk.shots.all(continues_id=wanted) if one.id not in found]
        found |= {one.id: one for one in after}
        wanted = {one.id for one in after}
    return found
