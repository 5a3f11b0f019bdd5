"""The brief of a whole trip: its places with what the book knows of each, what to pack, and what to ask whom.

One surprising decision: each place is briefed for the first day that the trip plans something there, and what
to pack is reckoned from what is owned, for before a trip nothing is packed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.day import begin_on
from logbook.domain.errors import AmbiguousNameError, NotFoundError, WrongUseError
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.words import ConditionKind, OutcomeWord, Support, TripodRule
from logbook.services.accounts import account_of
from logbook.services.before.brief import Before, before
from logbook.services.kinds import SHOT, SITE, TRIP, VIEWPOINT, NounKind
from logbook.services.plans.outfit import Outfit, outfit_for
from logbook.services.records import find
from logbook.sky.phases import CUSTOMARY, LightLimits
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class ToAsk:
    """Something to ask before one goes: where, whom (None where nobody is named), what, and since when."""

    place: str  # slug
    whom: str | None
    what: str
    observed: date | None = None


@dataclass(frozen=True, slots=True)
class BeforeTrip:
    """The brief of a trip: its places in the order of their days, what to pack, what to ask."""

    trip: Trip
    places: tuple[Before, ...]
    shots: tuple[Shot, ...]
    outfit: Outfit
    ask: tuple[ToAsk, ...]


def is_trip(book: Book, wanted: str) -> bool:
    """Whether a name means a trip and no place or shot; a place goes before a trip of the same beginning."""
    with book.reading() as desk:
        if any(_is_called(desk, kind, wanted) for kind in (SITE, VIEWPOINT, SHOT)):
            return False
        return _is_called(desk, TRIP, wanted)


def _is_called(desk: Desk, kind: NounKind[Any], wanted: str) -> bool:
    """Whether a name means a record of a kind, or could mean several."""
    try:
        find(desk, kind, wanted)
    except NotFoundError:
        return False
    except AmbiguousNameError:
        return True
    return True


def before_trip(book: Book, wanted: str, limits: LightLimits = CUSTOMARY) -> BeforeTrip:
    """Return the brief of a trip; NotFoundError where it is none, WrongUseError where nothing is planned."""
    with book.reading() as desk:
        trip = find(desk, TRIP, wanted)
        owned = tuple(item for item in desk.kit.all() if item.owned)
    account = account_of(book, trip.slug)
    shots = sorted(
        (shot for shot in account.shots if _is_open(account, shot)),
        key=lambda shot: begin_on(shot.on_date, shot.window_from, trip.day_ends_at),
    )
    days: dict[str, date | None] = {}
    for shot in shots:
        if (site := account.site_of(shot.viewpoint_id)) is not None:
            days[site.slug] = days.get(site.slug) or shot.on_date or trip.starts_on
    if not days:
        raise WrongUseError(
            f"{trip.slug} has no open shot at a viewpoint, so there is nothing to brief; "
            f'"logbook plan draft {trip.slug}" begins a plan.'
        )
    places = tuple(before(book, slug, day, None, limits) for slug, day in days.items())
    outfit = outfit_for(account, shots, owned)
    return BeforeTrip(trip, places, tuple(shots), outfit, tuple(_to_ask(places, shots)))


def _is_open(account: TripAccount, shot: Shot) -> bool:
    outcome = account.outcomes.get(shot.id)
    return outcome is None or not outcome.is_stated or outcome.word is OutcomeWord.OPEN


def _to_ask(places: Sequence[Before], shots: Sequence[Shot]) -> Iterator[ToAsk]:
    """What the book has of rules and closures, and tripods of which nobody knows whether they may stand."""
    stands = {shot.viewpoint_id for shot in shots if shot.support is Support.TRIPOD}
    for place in places:
        names = {one.id: one.slug for one in place.places}
        for seen in place.observed:
            if KINDS[seen.kind].is_barrier or seen.kind is ConditionKind.RULE:
                yield _of_seen(seen, names.get(seen.viewpoint_id or seen.site_id or "", place.site.slug))
        for view in place.viewpoints:
            if view.id in stands and view.tripod_rule is TripodRule.UNKNOWN:
                yield ToAsk(view.slug, None, "whether a tripod is allowed there")
        if place.site.cost:
            yield ToAsk(place.site.slug, None, f"about fees and permits: {place.site.cost}")


def _of_seen(seen: Condition, place: str) -> ToAsk:
    words = " ".join(filter(None, (seen.level, seen.note))) or str(seen.kind)
    return ToAsk(place, seen.source, f"whether this still applies: {seen.kind}, {words}", seen.on_date)
