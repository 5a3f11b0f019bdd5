"""Which places a question is about."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from logbook.domain.dates import last_day
from logbook.domain.errors import WrongUseError
from logbook.domain.position import Position, distance_m, position_known
from logbook.domain.site_traits import words_in
from logbook.services.alike import those_like
from logbook.services.kinds import SITE
from logbook.services.records import find
from logbook.services.worked.question import Near, WorkedQuestion
from logbook.store import comparisons
from logbook.store.comparisons import ComparedSite
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class Scope:
    """The places of a question; `places` are latitude, longitude (degrees) and zone by viewpoint id."""

    question: WorkedQuestion
    near: tuple[Near, ...]
    site_ids: tuple[str, ...]
    site_of: Mapping[str, str]
    viewpoint_ids: tuple[str, ...] | None  # None: all there are
    last_day: date


def scope_of(desk: Desk, question: WorkedQuestion) -> Scope:
    """Return the places of a question; NotFoundError for an unknown site, WrongUseError without its place."""
    if question.within_km is not None and question.near is None:
        raise WrongUseError("--within-km needs --near SITE to measure from.")
    sites = {site.id: site for site in comparisons.sites(desk)}
    everywhere = len(sites)
    near: tuple[Near, ...] = ()
    if question.near is not None:
        near, sites = _near(desk, question, sites)
    if question.kind is not None:
        sites = {key: site for key, site in sites.items() if question.kind in words_in(site.kinds)}
    whole = len(sites) == everywhere and question.tripod is None
    stands = [
        stand
        for stand in comparisons.stands(desk, None if whole else list(sites))
        if question.tripod is None or stand.tripod_rule == question.tripod
    ]
    return Scope(
        question,
        near,
        tuple(sites),
        {stand.id: stand.site_id for stand in stands},
        None if whole else tuple(stand.id for stand in stands),
        last_day(desk.now().date()),
    )


def _near(
    desk: Desk, question: WorkedQuestion, sites: dict[str, ComparedSite]
) -> tuple[tuple[Near, ...], dict[str, ComparedSite]]:
    """The named site and those like it, or those within a distance."""
    centre = sites[find(desk, SITE, question.near or "").id]
    if question.within_km is None:
        like = those_like(desk, centre.id)
        near = [Near(centre.slug, 1.0), *(Near(site.slug, found.similarity) for site, found in like)]
        return tuple(near), {centre.id: centre} | {site.id: sites[site.id] for site, _ in like}
    here = _position(centre)
    if here is None:
        raise WrongUseError(
            f"{centre.slug} has no position to measure from; leave out --within-km, or add one with "
            f'"logbook site edit {centre.slug} --lat DEG --lon DEG".'
        )
    apart = {
        site.id: distance_m(here, there) / 1000
        for site in sites.values()
        if (there := _position(site)) is not None
    }
    inside = {key: sites[key] for key, km in apart.items() if km <= question.within_km}
    near = [Near(site.slug, None, apart[site.id]) for site in inside.values()]
    near.sort(key=lambda one: one.distance_km or 0.0)
    return tuple(near), inside


def _position(site: ComparedSite) -> Position | None:
    return position_known(site.latitude_deg, site.longitude_deg)
