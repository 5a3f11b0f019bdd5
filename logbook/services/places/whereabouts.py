"""Which places a trip met, and which trips met a place: by whatever was planned, noted or taken there.

One surprising decision: a trip meets whole sites. Who stood at one viewpoint of a gorge has the clock and the
sun of all of them, whether anything was written down there or not.
"""

from datetime import date
from typing import Any

from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf


def _at_viewpoints(desk: Desk) -> tuple[Shelf[Any], ...]:
    """Return the shelves of everything that may lie at a viewpoint and belongs to a trip."""
    return desk.shots, desk.visits, desk.conditions, desk.keepers, desk.lessons


def sites_met(desk: Desk, trip: Trip) -> set[str]:
    """Return the ids of the sites that a trip met."""
    viewpoints: set[str] = set()
    for shelf in _at_viewpoints(desk):
        viewpoints |= shelf.values("viewpoint_id", trip_id=trip.id)
    sites = desk.viewpoints.values("site_id", id=viewpoints)
    return sites.union(*(one.values("site_id", trip_id=trip.id) for one in (desk.conditions, desk.lessons)))


def trip_at(desk: Desk, viewpoint: Viewpoint, on_date: date) -> Trip | None:
    """Return the trip with a zone whose clock is read at a viewpoint on a day; None where no trip met it.

    Of the trips that met the viewpoint, else its site: the one whose dates contain the day, else the one most
    recent before it, else the next one, else any without dates.
    """
    everywhere = desk.viewpoints.values("id", site_id=viewpoint.site_id)
    for places in ({viewpoint.id}, everywhere):
        ids: set[str] = set()
        for shelf in _at_viewpoints(desk):
            ids |= shelf.values("trip_id", viewpoint_id=places)
        if places is everywhere:
            for shelf in (desk.conditions, desk.lessons):
                ids |= shelf.values("trip_id", site_id=viewpoint.site_id)
        trips = [trip for trip in desk.trips.all(id=ids) if trip.zone is not None]
        if trips:
            return min(trips, key=lambda trip: _away(trip, on_date))
    return None


def _away(trip: Trip, on_date: date) -> tuple[int, int, str]:
    """How far a trip lies from a day: one that contains it, then those before, after and without dates."""
    first, last = trip.starts_on or trip.ends_on, trip.ends_on or trip.starts_on
    if first is None or last is None:
        return 3, 0, trip.slug
    if first <= on_date <= last:
        return 0, (last - first).days, trip.slug
    return (1, (on_date - last).days, trip.slug) if last < on_date else (2, (first - on_date).days, trip.slug)
