"""The light that the book's own pictures met at a viewpoint: what a logbook knows and a table does not.

One surprising decision: only filters that a person stated count. Those worked out from the light would bear
witness to the very expectation they came from.
"""

from collections.abc import Mapping

from logbook.craft.met_light import MetLight
from logbook.domain.dates import counts, last_day
from logbook.domain.keeper import Keeper
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Provenance
from logbook.services.light.frame_light import scene_ev100
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
    sun = rough_sun(position.latitude_deg, position.longitude_deg, keeper.taken_utc.timestamp())
    return MetLight(keeper.taken_utc, sun.azimuth_deg, sun.altitude_deg, light)
