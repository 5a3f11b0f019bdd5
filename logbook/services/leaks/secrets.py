"""What must not be in anything for somebody else: names, places, people, files and machines.

One surprising decision: gathered from the account as it was kept, by what the book promises, and not by
asking what was struck out of it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.plain_text import plain
from logbook.domain.position import Position, bearing_deg, distance_m, rounded_to_area
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Disclosure
from logbook.intake.private_tags import private_values
from logbook.services.keepers.picture_files import real_path
from logbook.services.leaks.hidden import HiddenPosition
from logbook.services.leaks.names import Name, SecretNames
from logbook.services.leaks.own_words import own_words
from logbook.services.leaks.positions import Bearings, SecretPositions
from logbook.services.leaks.words import name_words, read

PLACE, PERSON = "the name of a withheld place", "the name of a private person"
FEWEST = 5  # characters; a shorter serial or software text would be found in any page
HASH_BEGINS = 12  # hexadecimal digits that tell an original apart
SEEN_WITHIN_M = 20_000.0  # m; how far off a withheld place is still what a view is of
SEEN_WITHIN_DEG = 1.5  # degrees off the middle of the view; a long lens sees little more
_COUNTED = re.compile(r"\d{3,}")  # a file name with a camera's counter in it is no ordinary words


@dataclass(frozen=True, slots=True)
class Secrets:
    """All that a text for others must not hold, ready to be looked for."""

    names: SecretNames
    texts: dict[str, str]  # a text in lower case, found at word boundaries: what it is
    hashes: frozenset[str]  # beginnings of the originals' hashes
    positions: SecretPositions
    bearings: Bearings


def secrets_of(account: TripAccount) -> Secrets:
    """Return what nobody else may find in anything made of this account, with what its originals tell."""
    hidden, shown = _positions(account)
    names = tuple(_names(account))
    return Secrets(
        # Taking our own words apart takes longer than many a page, and only a name can be one of them.
        names=SecretNames(names, own_words() if names else read("")),
        texts=dict(_texts(account)),
        hashes=frozenset(one.hash[:HASH_BEGINS].lower() for one in account.keepers),
        positions=SecretPositions(hidden, shown),
        bearings=_bearings(account, [one.position for one in hidden if one.is_withheld]),
    )


def _names(account: TripAccount) -> Iterator[Name]:
    """Yield the names of withheld places and private people, each with the words of it that may be said."""
    may_say = frozenset(word for said in account.trip.may_say for word in name_words(said))
    for person in dict.fromkeys((*account.trip.private_names, *account.people)):
        yield Name(person, PERSON, True, may_say)
    withheld = dict.fromkeys(account.withheld_names)
    for place in _places(account):
        if account.shown(place) is Disclosure.WITHHELD:
            withheld |= dict.fromkeys((place.title, place.slug, *place.also_called))
    for keeper in account.keepers:
        if keeper.place and _shown(account, keeper) is Disclosure.WITHHELD:
            withheld[keeper.place.partition(",")[0]] = None
    for name in withheld:
        yield Name(name, PLACE, False, may_say)


def _places(account: TripAccount) -> Iterator[Site | Viewpoint]:
    yield from account.sites.values()
    yield from account.viewpoints.values()


def _shown(account: TripAccount, keeper: Keeper) -> Disclosure:
    """Return how much of where a picture was taken others may know."""
    viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
    return account.shown(viewpoint) if viewpoint else account.trip.location_shown


def _positions(account: TripAccount) -> tuple[list[HiddenPosition], list[Position]]:
    """Return the positions that must not be told, and those that may be, exactly or as an area."""
    hidden = [HiddenPosition(one, True) for one in account.withheld_positions]
    shown: list[Position] = []
    told = [(account.shown(place), place.position) for place in _places(account)]
    told += [(_shown(account, one), one.position) for one in account.keepers]
    for word, position in told:
        if position is None:
            continue
        if word is Disclosure.EXACT:
            shown.append(position)
        else:
            hidden.append(HiddenPosition(position, word is Disclosure.WITHHELD))
        if word is Disclosure.AREA:
            shown.append(rounded_to_area(position))
    return hidden, shown


def _bearings(account: TripAccount, withheld: list[Position]) -> Bearings:
    """Return which directions of view point at something withheld, and which do not."""
    views = [
        (account.shown(one), _stands(account, one), one.facing_deg) for one in account.viewpoints.values()
    ]
    views += [(_shown(account, one), one.position, one.direction_deg) for one in account.keepers]
    hidden: list[float] = []
    shown: list[float] = []
    for word, stands, bearing in views:
        if bearing is None or word is Disclosure.WITHHELD:
            continue
        exact = stands if word is Disclosure.EXACT else None
        tells = exact is not None and any(_sees(exact, bearing, it) for it in withheld)
        (hidden if tells else shown).append(bearing)
    return Bearings(hidden, shown)


def _stands(account: TripAccount, viewpoint: Viewpoint) -> Position | None:
    site = account.sites.get(viewpoint.site_id)
    return viewpoint.position or (site.position if site else None)


def _sees(stands: Position, facing_deg: float, it: Position) -> bool:
    """Tell whether a view from a place points at a position."""
    if not 0 < distance_m(stands, it) <= SEEN_WITHIN_M:
        return False
    return abs((bearing_deg(stands, it) - facing_deg + 180) % 360 - 180) <= SEEN_WITHIN_DEG


def _texts(account: TripAccount) -> Iterator[tuple[str, str]]:
    """File names, folders and what the originals tell, unless the trip itself states it for showing."""
    trip = account.trip
    stated = [
        trip.credit,
        trip.rights,
        trip.contact,
        trip.client,
        trip.title,
        *(item.title for item in account.kit.values()),
    ]
    stated += [text for one in account.keepers for text in (one.body, one.lens)]
    said = plain("\n".join(filter(None, stated))).casefold()
    for keeper in account.keepers:
        path = Path(keeper.path)
        counted = len(path.stem) > FEWEST and _COUNTED.search(path.stem)
        yield plain(path.stem if counted else path.name).casefold(), "the file name of an original"
        if len(path.parts) > 2:  # more than the root and the file
            yield plain(str(path.parent)).casefold(), "the folder of an original"
        for value in private_values(real_path(keeper.path)):
            text = plain(value.text).casefold()
            if len(text) >= FEWEST and text not in said:
                yield text, f"the {value.kind} in an original"
