"""Pictures of the book whose light cannot be: the clock or the zone behind them is probably wrong.

One surprising decision: nothing is claimed where no place is known, however bright a picture of three at
night is; somewhere the sun shines then.
"""

from collections.abc import Sequence
from functools import cache

from logbook.craft.clock_light import LightFlag
from logbook.domain.dates import counts, last_day
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position
from logbook.services.light.frame_light import light_flags, shared_position, stands_among
from logbook.services.places.whereabouts import sites_met
from logbook.store.desk import Desk


def light_doubts(desk: Desk, keepers: Sequence[Keeper]) -> dict[str, LightFlag]:
    """Return what is wrong with the light of keepers of any trips, by keeper id, as the book has them."""
    last = last_day(desk.now().date())
    keepers = [one for one in keepers if one.place_time and counts(one.place_time.date(), last)]
    if not keepers:
        return {}
    sites = {site.id: site for site in desk.sites.all()}
    viewpoints = {viewpoint.id: viewpoint for viewpoint in desk.viewpoints.all()}

    @cache
    def position_of_trip(trip_id: str) -> Position | None:
        trip = desk.trips.get(trip_id)
        return shared_position(sites[one] for one in sites_met(desk, trip)) if trip else None

    return light_flags(stands_among(keepers, viewpoints, sites, position_of_trip), keepers)
