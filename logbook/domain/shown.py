"""The account of a trip as an audience may see it: what anybody is shown is made from this and nothing else.

One surprising decision: it is an account like any other, of the same nouns, so that whatever can be told of a
trip can be told of it; what may not be told is not in it. A withheld place is there as one of which nothing
is known but that it is withheld.
"""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from logbook.craft.feasible import Feasibility
from logbook.domain.account import TripAccount
from logbook.domain.fields import facts_of
from logbook.domain.measures import CELL_DEG
from logbook.domain.place_clock import PlaceClock
from logbook.domain.position import Position, rounded_to_area
from logbook.domain.record import Record
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience


@dataclass(frozen=True, slots=True)
class Withheld:
    """A place that is withheld; `site_id` is the withheld site that a viewpoint belongs to."""

    id: str  # made up for one account, so that what happened at one such place is known to belong together
    site_id: str | None = None


@dataclass(frozen=True, slots=True)
class Struck:
    """A word as it was written, and the record and the field that it was struck from."""

    word: str
    record: str
    field: str
    record_id: str = dataclasses.field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown(TripAccount):
    """What an audience may see of a trip; to the photographer, everything."""

    withheld: Mapping[str, Withheld] = field(default_factory=dict)  # by the ids that records refer to
    areas: frozenset[str] = frozenset()  # ids of places that are shown as areas; their positions are rounded
    feasibility: Mapping[str, Feasibility] = field(default_factory=dict)  # by shot id
    struck: tuple[Struck, ...] = ()  # what was struck from its texts
    # by viewpoint, else site, and day: a place that is not shown exactly might seem to lie beyond a border
    clocks: Mapping[tuple[str, date | None], PlaceClock] = field(default_factory=dict)
    audience: Audience = Audience.ARCHIVE  # who sees it; only asked by `sees`

    def sees(self, noun: type[Record], name: str) -> bool:
        """Tell whether a field of a noun is in the account at all, known or unknown."""
        return self.audience is Audience.ARCHIVE or self.audience in facts_of(noun)[name].seen.by

    def clock_on(
        self,
        day: date | None,
        viewpoint_id: str | None = None,
        site_id: str | None = None,
        position: Position | None = None,
    ) -> PlaceClock | None:
        """Return whose clock counts at a place on a day; of a withheld one only how far it is off UTC."""
        kept = self.clocks.get((viewpoint_id or site_id or "", day))
        return kept or TripAccount.clock_on(self, day, viewpoint_id, site_id, position)

    def place(
        self, viewpoint_id: str | None, site_id: str | None = None
    ) -> Viewpoint | Site | Withheld | None:
        """Return the place that a record refers to: its viewpoint, else its site; None without one."""
        if viewpoint_id:
            return self.viewpoints.get(viewpoint_id) or self.withheld.get(viewpoint_id)
        return self.sites.get(site_id or "") or self.withheld.get(site_id or "")

    def hides(self, viewpoint_id: str | None, site_id: str | None = None) -> bool:
        """Tell whether the place that a record refers to is withheld."""
        return isinstance(self.place(viewpoint_id, site_id), Withheld)

    def site_id_of(self, viewpoint_id: str | None) -> str | None:
        """Return the id of the site that a viewpoint, even a withheld one, belongs to."""
        place = self.place(viewpoint_id)
        return None if place is None or isinstance(place, Site) else place.site_id

    def is_area(self, place: Site | Viewpoint) -> bool:
        """Tell whether a place is shown as an area only."""
        return place.id in self.areas

    def position_at(self, viewpoint_id: str | None) -> tuple[Position, bool] | None:
        """Return where a viewpoint, else its site, lies, and whether that is rounded to an area."""
        viewpoint = self.viewpoints.get(viewpoint_id or "")
        if viewpoint is None:
            return None
        place = viewpoint if viewpoint.position else self.sites.get(viewpoint.site_id)
        if place is None or place.position is None:
            return None
        if self.is_area(place) or self.is_area(viewpoint):
            return rounded_to_area(place.position, CELL_DEG), True
        return place.position, False
