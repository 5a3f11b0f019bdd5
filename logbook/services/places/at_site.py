"""New viewpoints as people name them: `Barrier at quarry`, where the site is one of the book."""

from logbook.domain.names import slug_of
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.store.desk import Desk

AT = " at "  # between the name of a new viewpoint and its site


def viewpoint_at(desk: Desk, name: str, site: Site) -> Viewpoint | None:
    """Return the viewpoint of a site that a name means whole, or None where it is new there."""
    at_site = desk.viewpoints.all(site_id=site.id)
    return next((one for one in at_site if slug_of(name) in (one.slug, slug_of(one.title))), None)
