"""New viewpoints as people name them: `Barrier at quarry`, where the site is one of the book."""

from dataclasses import dataclass
from datetime import datetime

from logbook.domain.checks import check_title
from logbook.domain.errors import NotFoundError
from logbook.domain.names import slug_of
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.services.kinds import SITE, VIEWPOINT
from logbook.services.records import find, put_new
from logbook.store.desk import Desk

AT = " at "  # between the name of a new viewpoint and its site


@dataclass(frozen=True, slots=True)
class NamedViewpoint:
    """The viewpoint that a name means, and whether it was entered for it."""

    viewpoint: Viewpoint
    is_new: bool


def viewpoint_named(desk: Desk, name: str, now: datetime) -> NamedViewpoint:
    """Return the viewpoint that a name means; `NAME at SITE` enters one that the book does not have there.

    Raises NotFoundError with the nearest names, and what would enter it.
    """
    try:
        return NamedViewpoint(find(desk, VIEWPOINT, name), is_new=False)
    except NotFoundError as missing:
        title, at, wanted = name.rpartition(AT)
        if not at:
            how = f'write "{name}{AT}SITE" to enter it, naming a site in the book'
            raise NotFoundError(f"{str(missing).rstrip('.')}; {how}.") from None
    site = find(desk, SITE, wanted)
    if (known := viewpoint_at(desk, title, site)) is not None:
        return NamedViewpoint(known, is_new=False)
    check_title(title, "viewpoint")
    made = put_new(desk, VIEWPOINT, now, {"title": title.strip(), "site_id": site.id})
    return NamedViewpoint(made, is_new=True)


def viewpoint_at(desk: Desk, name: str, site: Site) -> Viewpoint | None:
    """Return the viewpoint of a site that a name means whole, or None where it is new there."""
    at_site = desk.viewpoints.all(site_id=site.id)
    return next((one for one in at_site if slug_of(name) in (one.slug, slug_of(one.title))), None)
