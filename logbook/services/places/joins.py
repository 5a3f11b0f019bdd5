"""Joining two records of one place: what refers to the one refers to the other, which takes what it lacked.

One surprising decision: where both say something, what the kept one says stays and the other's words are told
and go; joining texts would write sentences that nobody wrote. `undo` brings them back.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from logbook.domain.errors import WrongUseError
from logbook.domain.names import Amended, name_key
from logbook.domain.record import Record
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Disclosure, TripodRule
from logbook.services.kinds import BY_WORD, SITE, VIEWPOINT, NounKind
from logbook.services.records import find, headed_anew, with_old_slug
from logbook.store.book import Book
from logbook.store.desk import Desk, RecordReference

OWN = frozenset(field.name for field in fields(Record))
OWN |= {"slug", "title", "site_id", "also_called", "location_shown"}  # what a place is, or joined by a rule
POSITION = ("latitude_deg", "longitude_deg")


@dataclass(frozen=True, slots=True)
class Differing:
    """A field of which both places say something: what the kept one says, and what the other said."""

    field: str
    stays: Any
    said: Any


@dataclass(frozen=True, slots=True)
class PlacesJoined:
    """What joining did, or would do; `moved` refer to the kept place now.

    `shown` is what others are shown of it where that became less; `twins` are viewpoints of one title at what
    is one site now.
    """

    old: str
    kept: str
    moved: tuple[RecordReference, ...]
    taken: tuple[str, ...]
    differing: tuple[Differing, ...]
    also_called: tuple[str, ...]
    shown: Disclosure | None
    twins: tuple[tuple[str, str], ...]
    dry_run: bool


def join_places(book: Book, noun: str, old: str, into: str, *, dry_run: bool = False) -> PlacesJoined:
    """Join one site or viewpoint into another of its kind; WrongUseError where both are one already."""
    kind: NounKind[Any] = BY_WORD[noun]
    with book.reading() if dry_run else book.writing() as desk:
        gone, kept = find(desk, kind, old), find(desk, kind, into)
        if gone.id == kept.id:
            what = "cannot be joined into itself" if old == kept.slug else f"is already {kept.slug}"
            raise WrongUseError(f"{old} {what}; name another {noun}.")
        taken, differing = _compared(gone, kept)
        shown = _shown(desk, gone, kept)
        changes: dict[str, Any] = {name: getattr(gone, name) for name in taken}
        changes["also_called"] = _names(gone, kept)
        if shown is not None:
            changes["location_shown"] = shown
        provenance = {name: word for name, word in kept.provenance.items() if name not in changes}
        provenance |= {name: gone.provenance[name] for name in taken if name in gone.provenance}
        done = PlacesJoined(
            gone.slug,
            kept.slug,
            tuple(desk.references_to(kind.table, gone.id)),
            taken,
            differing,
            changes["also_called"],
            shown,
            _twins(desk, gone, kept) if kind is SITE else (),
            dry_run,
        )
        if not dry_run:
            if kind is VIEWPOINT:
                headed_anew(desk, gone.slug, kept.slug, book.now())
                _at_their_site(desk, book, gone, kept)
            desk.make_one(kind.table, gone.id, kept.id)
            kind.shelf(desk).put(replace(kept, **changes, provenance=provenance, updated=book.now()))
        return done


def _compared(gone: Any, kept: Any) -> tuple[tuple[str, ...], tuple[Differing, ...]]:
    """Return the fields that only the place that goes knows, and those of which each says something else."""
    names = [field.name for field in fields(kept) if field.name not in OWN]
    taken = tuple(
        name for name in names if _is_known(getattr(gone, name)) and not _is_known(getattr(kept, name))
    )
    differing = [
        Differing(name, getattr(kept, name), getattr(gone, name))
        for name in names
        if name not in (*taken, *POSITION)
        and _is_known(getattr(gone, name))
        and getattr(gone, name) != getattr(kept, name)
    ]
    if gone.position and kept.position and gone.position != kept.position:
        differing.insert(0, Differing("position", kept.position, gone.position))
    return taken, tuple(differing)


def _is_known(value: Any) -> bool:
    return value not in (None, (), TripodRule.UNKNOWN)


def _names(gone: Any, kept: Any) -> tuple[str, ...]:
    """Return what else the kept place is called from now on."""
    names = Amended(add=(gone.title, *gone.also_called)).of(kept.also_called)
    names = with_old_slug(names, gone.slug, gone.title)
    return tuple(name for name in names if name_key(name) != name_key(kept.title))


# What others may be shown of a place, least first. None leaves it to each trip, so that nothing is promised.
_STRICTEST = (Disclosure.WITHHELD, Disclosure.AREA, None, Disclosure.EXACT)


def _shown(desk: Desk, gone: Any, kept: Any) -> Disclosure | None:
    """Return what others are shown of the joined place where the kept one's own words say more, else None.

    A place of which nothing was said counts as what the strictest trip of the book says of its places.
    """
    of_trips = min((trip.location_shown for trip in desk.trips.all()), key=_STRICTEST.index, default=None)

    def strictness(word: Disclosure | None) -> tuple[int, int]:
        return _STRICTEST.index(word or of_trips), _STRICTEST.index(word)

    before, other = _word(desk, kept), _word(desk, gone)
    joined = min(before, other, key=strictness) or of_trips
    return None if strictness(before) <= strictness(other) or joined is before else joined


def _word(desk: Desk, place: Site | Viewpoint) -> Disclosure | None:
    """Return what is said of showing a place, by itself or its site; None leaves it to the trip."""
    if isinstance(place, Site):
        return place.location_shown
    site = desk.sites.get(place.site_id)
    of_site = site.location_shown if site else None
    return of_site if of_site is Disclosure.WITHHELD else place.location_shown or of_site


def _twins(desk: Desk, gone: Site, kept: Site) -> tuple[tuple[str, str], ...]:
    """Return viewpoints of one title of which each site has one."""
    here: Mapping[str, Viewpoint] = {name_key(one.title): one for one in _viewpoints(desk, kept)}
    return tuple(
        (one.slug, here[name].slug)
        for one in _viewpoints(desk, gone)
        if (name := name_key(one.title)) in here
    )


def _viewpoints(desk: Desk, site: Site) -> Iterable[Viewpoint]:
    return desk.viewpoints.all(site_id=site.id)


def _at_their_site(desk: Desk, book: Book, gone: Viewpoint, kept: Viewpoint) -> None:
    """Let what names both a viewpoint that goes and its site name the kept one's site."""
    if gone.site_id == kept.site_id:
        return
    both: dict[str, Any] = {"viewpoint_id": gone.id, "site_id": gone.site_id}
    anew: dict[str, Any] = {"site_id": kept.site_id, "updated": book.now()}
    for condition in desk.conditions.all(**both):
        desk.conditions.put(replace(condition, **anew))
    for lesson in desk.lessons.all(**both):
        desk.lessons.put(replace(lesson, **anew))
