"""Places that a night is told of: viewpoints of the book, and new ones that nobody planned.

One surprising decision: a new viewpoint is remembered as `Barrier at quarry` until somebody says yes to it,
and one of the book by its slug, which holds no space; so an answer alone tells which of the two it is.
"""

from collections.abc import Iterator
from dataclasses import replace
from difflib import get_close_matches

from logbook.craft.placing import nearest_spot
from logbook.domain.checks import check_title
from logbook.domain.errors import InvalidValueError, NotFoundError
from logbook.domain.names import slug_of
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.written.choices import says_nothing
from logbook.services import kinds
from logbook.services.night.evening import Evening, id_of
from logbook.services.night.planned import PlannedVisit
from logbook.services.night.questions import Question, is_answer_elsewhere
from logbook.services.places.viewpoints import AT, Spot, viewpoint_at
from logbook.services.records import find, put_new
from logbook.store.desk import Desk

SLIP = 0.85  # likeness of names (0..1) from which one is probably a slip of the other; own convention
SITE_REACH_M = 20_000.0  # m from a site or its viewpoints within which frames may be of it; own convention


def place_meant(evening: Evening, question: Question, text: str) -> str:
    """Return the slug of the viewpoint that is meant, or NAME at SITE for one that can be entered.

    Raises NotFoundError or InvalidValueError, which say how to name the site, where no site fits.
    """
    if says_nothing(text) or is_answer_elsewhere(text):
        raise InvalidValueError(
            f'"{text.strip()}" is not a viewpoint; name one, or write ? if you do not know.'
        )
    try:
        return find(evening.desk, kinds.VIEWPOINT, text).slug
    except NotFoundError as error:
        missing = error
    name, at, wanted = text.strip().rpartition(AT)
    if at:
        site = find(evening.desk, kinds.SITE, wanted)
    else:
        name = wanted
        found = site_near(evening, question.about)
        if found is None:
            raise InvalidValueError(_how(evening, str(missing), name))
        site = found
    check_title(name, "viewpoint")
    known = viewpoint_at(evening.desk, name, site)
    return known.slug if known else f"{name.strip()}{AT}{site.slug}"


def _how(evening: Evening, missing: str, name: str) -> str:
    if not evening.desk.sites.all():
        return f'{missing} Its site is not in the book either; "logbook site add TITLE" adds it.'
    return f"{missing} To add it here, name its site: {name}{AT}SITE."


def with_nearest_names(desk: Desk, question: Question) -> Question:
    """Return the question whether a viewpoint is new with the nearest names; Enter is no to a likely slip."""
    name = question.about.partition(",")[2].rpartition(AT)[0]
    try:
        find(desk, kinds.VIEWPOINT, name)
    except NotFoundError as error:
        is_slip = _is_part_of_name(name, desk) or get_close_matches(
            slug_of(name), desk.viewpoints.slugs(), 1, SLIP
        )
        return replace(question, why=(str(error),), default="n" if is_slip else question.default)
    return question


def _is_part_of_name(name: str, desk: Desk) -> bool:
    """Whether a name has only words of a viewpoint's name: `the ledge` is hardly a new place."""
    words = set(slug_of(name).split("-")) - {"the", "a", "at"}
    return any(words <= set(slug.split("-")) for slug in desk.viewpoints.slugs())


def entered(evening: Evening, visit_id: str, named: str) -> Viewpoint:
    """Return the viewpoint NAME at SITE, which is entered where the book has none of that name there."""
    name, _, wanted = named.rpartition(AT)
    site = find(evening.desk, kinds.SITE, wanted)
    known = viewpoint_at(evening.desk, name, site)
    if known is not None:
        return known
    fields = {"id": _id_of_new(evening, visit_id, name), "title": name, "site_id": site.id}
    return put_new(evening.desk, kinds.VIEWPOINT, evening.now, fields)


def forget(evening: Evening, visit_id: str, viewpoint_id: str) -> None:
    """Take out a viewpoint that was entered for a visit now elsewhere, unless something else names it."""
    viewpoint = evening.desk.viewpoints.get(viewpoint_id)
    if viewpoint is None or viewpoint.id != _id_of_new(evening, visit_id, viewpoint.title):
        return
    if not evening.desk.references_to(kinds.VIEWPOINT.table, viewpoint_id):
        evening.desk.viewpoints.remove([viewpoint_id])


def _id_of_new(evening: Evening, visit_id: str, name: str) -> str:
    return id_of(evening, f"viewpoint {visit_id} {name}")


def site_near(evening: Evening, visit_id: str) -> Site | None:
    """Return the site that a visit was probably at, or None where nothing tells.

    That is the one nearest to its frames; where these do not tell, the site of the visit next to it, else the
    only site of the day's plans, of the trip's, or of the book, unless the frames lie far from it.
    """
    sites = {site.id: site for site in evening.desk.sites.all()}
    planned = evening.visits.get(visit_id)
    if planned is None:
        return None
    keepers = [evening.desk.keepers.get(one) for group in planned.groups for one in group.keeper_ids]
    seen = [
        (one.latitude_deg, one.longitude_deg)
        for one in keepers
        if one is not None and one.latitude_deg is not None and one.longitude_deg is not None
    ]
    spots = list(_spots(evening)) if seen else []
    near = nearest_spot(*seen[len(seen) // 2], spots) if seen else None
    if near is not None and near.distance_m <= SITE_REACH_M:
        return sites[near.key]
    far = {spot.key for spot in spots}
    for ids in _guesses(evening, planned, list(sites)):
        if len(ids) == 1 and not ids & far:
            return sites[ids.pop()]
    return None


def _spots(evening: Evening) -> Iterator[Spot]:
    places = [(site.id, site.position) for site in evening.desk.sites.all()]
    places += [(one.site_id, one.position) for one in evening.desk.viewpoints.all()]
    yield from (Spot(site_id, at.latitude_deg, at.longitude_deg) for site_id, at in places if at is not None)


def _guesses(evening: Evening, planned: PlannedVisit, sites: list[str]) -> Iterator[set[str]]:
    """Yield sets of sites, the likeliest first; one that holds a single site is a guess."""
    site_of = {one.id: one.site_id for one in evening.desk.viewpoints.all()}
    slugs = {one.slug: one.site_id for one in evening.desk.viewpoints.all()}
    visits = list(evening.visits.values())
    here = visits.index(planned)
    for other in sorted(visits, key=lambda one: abs(visits.index(one) - here)):
        made = evening.desk.visits.get(other.id)
        site_id = site_of.get(made.viewpoint_id) if made else slugs.get(other.viewpoint or "")
        if site_id is not None and other is not planned:
            yield {site_id}
            break
    shots = evening.desk.shots.all(trip_id=evening.trip.id)
    of_day = [shot for shot in shots if shot.on_date == evening.on_date]
    for some in (of_day, shots):
        yield {site_of[shot.viewpoint_id] for shot in some if shot.viewpoint_id}
    yield set(sites)
