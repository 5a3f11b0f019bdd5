"""What others are shown of a place, and what is struck from free text because of it.

One surprising decision: a name is struck wherever its words follow each other with anything but letters
between them, so that "Hollow Arch", "hollow-arch", "HOLLOW **arch**" and "hollowarch" all go.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.plain_text import plain
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure
from logbook.domain.written_positions import Written, written_positions

NAME_STRUCK = "[place withheld]"
PERSON_STRUCK = "[name withheld]"
POSITION_STRUCK = "[position withheld]"
NEAR_DEG = 0.1  # degrees; a written coordinate this near a hidden place tells where it is

_BETWEEN = r"(?:&#?\w{1,8};|[\W_]){0,20}"


class _Hidden(NamedTuple):
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, slots=True)
class Discretion:
    """What one audience may know about the places of one account."""

    account: TripAccount
    audience: Audience
    _names: re.Pattern[str] | None = field(init=False)
    _people: re.Pattern[str] | None = field(init=False)
    _positions: tuple[_Hidden, ...] = field(init=False)

    def __post_init__(self) -> None:
        places: tuple[Site | Viewpoint, ...] = (
            *self.account.sites.values(),
            *self.account.viewpoints.values(),
        )
        withheld = [place for place in places if self.shown(place) is Disclosure.WITHHELD]
        hidden = [place for place in places if self.shown(place) is not Disclosure.EXACT]
        names = {name for place in withheld for name in (place.title, place.slug)}
        people: tuple[str, ...] = ()
        if self.audience is not Audience.ARCHIVE:
            names |= set(self.account.withheld_names)  # of places of other trips too
            names |= {name for keeper in self.account.keepers for name in self._told_by_file(keeper)}
            people = self.account.trip.private_names
        object.__setattr__(self, "_names", pattern_of(names))
        object.__setattr__(self, "_people", pattern_of(people))
        object.__setattr__(
            self,
            "_positions",
            tuple(_Hidden(*position) for place in hidden for position in _position_of(place)),
        )

    def _told_by_file(self, keeper: Keeper) -> Iterator[str]:
        """The place that a file names, where that is withheld: all of it, and its smallest part."""
        viewpoint = self.account.viewpoints.get(keeper.viewpoint_id or "")
        if keeper.place and viewpoint and self.shown(viewpoint) is Disclosure.WITHHELD:
            yield keeper.place
            yield keeper.place.partition(",")[0]

    def shown(self, place: Site | Viewpoint) -> Disclosure:
        """Return how much of a place this audience is shown; the photographer is shown everything."""
        return Disclosure.EXACT if self.audience is Audience.ARCHIVE else self.account.shown(place)

    def site(self, site_id: str | None) -> Site | None:
        """Return a site that may be shown, or None."""
        site = self.account.sites.get(site_id or "")
        return site if site and self.shown(site) is not Disclosure.WITHHELD else None

    def viewpoint(self, viewpoint_id: str | None) -> Viewpoint | None:
        """Return a viewpoint that may be shown, or None."""
        viewpoint = self.account.viewpoints.get(viewpoint_id or "")
        return viewpoint if viewpoint and self.shown(viewpoint) is not Disclosure.WITHHELD else None

    def hides(self, viewpoint_id: str | None, site_id: str | None = None) -> bool:
        """Tell whether a place is named and may not be shown."""
        if viewpoint_id:
            return self.viewpoint(viewpoint_id) is None
        return bool(site_id) and self.site(site_id) is None

    def scrub(self, text: str) -> str:
        """Return text without names of withheld places, private people, and coordinates of hidden places."""
        if self._names:
            text = self._names.sub(NAME_STRUCK, text)
        if self._people:
            text = self._people.sub(PERSON_STRUCK, text)
        return self._without_positions(text) if self._positions else text

    def _without_positions(self, text: str) -> str:
        parts: list[str] = []
        at = 0
        near = filter(self._is_near, written_positions(text))
        for begin, end in sorted(span for one in near for span in one.spans):
            if begin >= at:
                parts += [text[at:begin], POSITION_STRUCK]
            at = max(at, end)
        return "".join([*parts, text[at:]])

    def _is_near(self, written: Written) -> bool:
        """Whether a single coordinate, or both of a pair, are those of a hidden place or nearly so."""
        return any(
            all(any(abs(value - one) <= NEAR_DEG for value in hidden) for one in written.degrees)
            for hidden in self._positions
        )


def pattern_of(titles: Iterable[str]) -> re.Pattern[str] | None:
    """Return one pattern for all titles and slugs; the longest goes first: no part is left standing."""
    names = {plain(title) for title in titles}
    words = {tuple(re.findall(r"[^\W_]+", name)) for name in names}
    patterns = {_BETWEEN.join(map(re.escape, parts)) for parts in words if parts}
    patterns |= {re.escape(name.strip()) for name in names if name.strip() and not re.search(r"[^\W_]", name)}
    if not patterns:
        return None
    either = "|".join(sorted(patterns, key=len, reverse=True))
    return re.compile(rf"(?<![^\W_])(?:{either})(?![^\W_])", re.IGNORECASE)


def _position_of(place: Site | Viewpoint) -> Iterator[tuple[float, float]]:
    if position := place.position:
        yield abs(position.latitude_deg), abs(position.longitude_deg)
