"""The light that the book's own pictures met at a viewpoint, and the light that frames should have met.

One surprising decision: only filters that a person stated bear witness. Those worked out from the light would
speak for the very expectation they came from. Nor does a picture of an eclipsed sun's light. Where a frame
does not say which way it looks, its viewpoint's facing stands for it, as it does when the light of a plan is
foreseen.
"""

from collections.abc import Mapping, Sequence

from logbook.craft.expected_light import ExpectedLight
from logbook.craft.met_light import MetLight, light_here
from logbook.domain.account import TripAccount
from logbook.domain.dates import counts, last_day
from logbook.domain.keeper import Keeper
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Provenance
from logbook.services.light.frame_light import scene_ev100, sun_covered
from logbook.services.light.stands import stands_of
from logbook.sky.observer import Observer
from logbook.sky.rough import rough_sun
from logbook.store.desk import Desk


def met_light_in(
    desk: Desk, viewpoints: Mapping[str, Viewpoint], sites: Mapping[str, Site]
) -> dict[str, tuple[MetLight, ...]]:
    """Return what pictures of these viewpoints met on any trip, by viewpoint id."""
    if not viewpoints:
        return {}
    found: dict[str, list[MetLight]] = {}
    last = last_day(desk.now().date())
    for keeper in desk.keepers.all(viewpoint_id=set(viewpoints)):
        viewpoint = viewpoints[keeper.viewpoint_id or ""]
        met = _met(keeper, viewpoint, sites.get(viewpoint.site_id))
        if met is not None and counts(met.at.date(), last):
            found.setdefault(viewpoint.id, []).append(met)
    return {viewpoint_id: tuple(met) for viewpoint_id, met in found.items()}


def _met(keeper: Keeper, viewpoint: Viewpoint, site: Site | None) -> MetLight | None:
    position = viewpoint.position or (site.position if site else None)
    is_stated = keeper.provenance_of("filters") is Provenance.STATED
    light = scene_ev100(keeper) if is_stated else None
    if light is None or position is None or keeper.taken_utc is None:
        return None
    if sun_covered(Observer(position.latitude_deg, position.longitude_deg), keeper.taken_utc) > 0.0:
        return None
    sun = rough_sun(position.latitude_deg, position.longitude_deg, keeper.taken_utc.timestamp())
    return MetLight(keeper.taken_utc, sun.azimuth_deg, sun.altitude_deg, light)


def expected_lights(account: TripAccount, keepers: Sequence[Keeper]) -> Mapping[str, ExpectedLight]:
    """Return the light to expect of each keeper whose instant and place are known, by its id."""
    stands = stands_of(account, keepers)
    found = {}
    for keeper in keepers:
        if keeper.taken_utc is None or keeper.id not in stands:
            continue
        stand = stands[keeper.id]
        sun = rough_sun(stand.latitude_deg, stand.longitude_deg, keeper.taken_utc.timestamp())
        met = account.met_light.get(keeper.viewpoint_id or "", ())
        found[keeper.id], _ = light_here(
            met,
            _facing_deg(account, keeper),
            round(sun.azimuth_deg, 1),
            round(sun.altitude_deg, 1),
            sun_covered=sun_covered(stand, keeper.taken_utc),
        )
    return found


def _facing_deg(account: TripAccount, keeper: Keeper) -> float | None:
    if keeper.bearing_deg is not None:
        return keeper.bearing_deg
    viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
    return viewpoint.facing_deg if viewpoint else None
