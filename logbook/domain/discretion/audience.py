"""What one audience is shown of a place, and what is struck from free text because of it.

One surprising decision: what was struck is remembered, so that a report can say which words it left out.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from logbook.domain.account import TripAccount
from logbook.domain.discretion.exactness import hidden_positions
from logbook.domain.discretion.folding import SeenText, views, words
from logbook.domain.discretion.names import HiddenNames
from logbook.domain.discretion.positions import HiddenPlace, HiddenPositions
from logbook.domain.keeper import Keeper
from logbook.domain.plain_text import plain
from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure

NAME_STRUCK = "[place withheld]"
PERSON_STRUCK = "[name withheld]"
POSITION_STRUCK = "[position withheld]"

Stroke = tuple[int, int, str]  # where it begins and ends in a text, and what is put there


@dataclass(frozen=True, slots=True)
class Discretion:
    """What one audience may know about the places of one account."""

    account: TripAccount
    audience: Audience
    _places: HiddenNames = field(init=False)
    _people: HiddenNames = field(init=False)
    _signs: re.Pattern[str] | None = field(init=False)  # names without a letter or figure in them
    _positions: HiddenPositions = field(init=False)
    _struck: dict[str, tuple[Stroke, ...]] = field(init=False, default_factory=dict)  # by text

    def __post_init__(self) -> None:
        withheld = [place for place in self.account.places if self.shown(place) is Disclosure.WITHHELD]
        names = {name for place in withheld for name in (place.title, place.slug, *place.also_called)}
        phrases: set[str] = set()
        people: tuple[str, ...] = ()
        if self.audience is not Audience.ARCHIVE:
            names |= set(self.account.withheld_names)  # of places of other trips too
            told = [keeper.place for keeper in self.account.keepers if self._is_told_by_file(keeper)]
            phrases = {place for place in told if place}
            names |= {place.partition(",")[0] for place in phrases}
            people = tuple(sorted({*self.account.people, *self.account.trip.private_names}))
        exact = (place.position for place in self.account.places if self.shown(place) is Disclosure.EXACT)
        known = tuple(dict.fromkeys(filter(None, exact)))
        may_say = self.account.trip.may_say
        object.__setattr__(self, "_places", HiddenNames(sorted(names), sorted(phrases), may_say=may_say))
        object.__setattr__(self, "_people", HiddenNames(people, of_people=True, may_say=may_say))
        object.__setattr__(self, "_signs", _signs((*names, *people)))
        object.__setattr__(self, "_positions", HiddenPositions(tuple(self._hidden()), known))

    def withheld_positions(self) -> tuple[Position, ...]:
        """Return where the withheld places lie, of this trip and of the whole book."""
        if self.audience is Audience.ARCHIVE:
            return ()
        own = (place.position for place in self.account.places if self.shown(place) is Disclosure.WITHHELD)
        return tuple(dict.fromkeys((*filter(None, own), *self.account.withheld_positions)))

    def _hidden(self) -> Iterator[HiddenPlace]:
        """Positions that others may not know exactly; of pictures that lie close together only one."""
        secret = dict.fromkeys(self.withheld_positions())
        yield from (HiddenPlace(one, is_withheld=True) for one in secret)
        rest = {
            (round(one.latitude_deg, 2), round(one.longitude_deg, 2)): one for one in hidden_positions(self)
        }
        yield from (HiddenPlace(one, is_withheld=False) for one in rest.values() if one not in secret)

    def _is_told_by_file(self, keeper: Keeper) -> bool:
        """Whether the place that a file names is one that is withheld."""
        viewpoint = self.account.viewpoints.get(keeper.viewpoint_id or "")
        shown = self.shown(viewpoint) if viewpoint else self.account.trip.location_shown
        return shown is Disclosure.WITHHELD

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
        strokes = self._struck.get(text)
        if strokes is None:
            strokes = self._struck[text] = self._strokes_of(text)
        parts: list[str] = []
        at = 0
        for begin, end, mark in strokes:
            parts += [text[at:begin], mark]
            at = end
        return "".join([*parts, text[at:]])

    def struck(self) -> dict[str, tuple[str, ...]]:
        """Return the texts that were scrubbed so far, each with the words that were struck from it."""
        return {
            text: tuple(text[begin:end] for begin, end, _ in strokes)
            for text, strokes in self._struck.items()
        }

    def words_struck(self, text: str) -> tuple[str, ...]:
        """Return the words that are struck from a text, without counting it as scrubbed."""
        return tuple(dict.fromkeys(text[begin:end] for begin, end, _ in self._strokes_of(text)))

    def names_a_place(self, text: str) -> bool:
        """Tell whether a text names a withheld place."""
        return any(mark == NAME_STRUCK for _, _, mark in self._strokes_of(text))

    def _strokes_of(self, text: str) -> tuple[Stroke, ...]:
        return tuple(_apart(self._strokes(text)))

    def _strokes(self, text: str) -> Iterator[Stroke]:
        for shown in views(text):
            yield from self._strokes_seen(shown)
        if self._signs:
            yield from ((*found.span(), NAME_STRUCK) for found in self._signs.finditer(text))

    def _strokes_seen(self, shown: SeenText) -> Iterator[Stroke]:
        read = words(shown.text)
        for names, mark in ((self._places, NAME_STRUCK), (self._people, PERSON_STRUCK)):
            for first, last in names.find(shown.text, read):
                yield *shown.typed(read[first].begin, read[last].end), mark
        yield from ((*span, POSITION_STRUCK) for span in self._positions.find(shown))


def _apart(strokes: Iterable[Stroke]) -> Iterator[Stroke]:
    """Join strokes that overlap, in order; what the first of them puts there is put there."""
    joined: Stroke | None = None
    for begin, end, mark in sorted(strokes, key=lambda one: (one[0], -one[1])):
        if joined and begin < joined[1]:
            joined = (joined[0], max(joined[1], end), joined[2])
            continue
        if joined:
            yield joined
        joined = (begin, end, mark)
    if joined:
        yield joined


def _signs(names: Iterable[str]) -> re.Pattern[str] | None:
    bare = {plain(name).strip() for name in names if not re.search(r"[^\W_]", name)}
    either = "|".join(sorted(map(re.escape, filter(None, bare)), key=len, reverse=True))
    return re.compile(rf"(?<![^\W_])(?:{either})(?![^\W_])") if either else None
