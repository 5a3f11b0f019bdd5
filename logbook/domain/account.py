"""The account of one trip: everything the book knows about it, in one frozen value.

One surprising decision: an account is whole and private. What an audience may see of it is an account of its
own (`shown`), which `discretion` makes of this one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, tzinfo

from logbook.craft.met_light import MetLight
from logbook.domain.attempts import Attempt
from logbook.domain.condition import Condition
from logbook.domain.dates import counts, outside_words
from logbook.domain.day import Day, LooseLine
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.place_clock import PlaceClock, clock_at
from logbook.domain.position import Position
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.track import Segment
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import Disclosure, Packing
from logbook.domain.zones import zone_of


@dataclass(frozen=True, slots=True, kw_only=True)
class TripAccount:
    """One trip with all that belongs to it; mappings are by record id, sequences in order of time."""

    trip: Trip
    sites: Mapping[str, Site]
    viewpoints: Mapping[str, Viewpoint]
    shots: tuple[Shot, ...] = ()
    outcomes: Mapping[str, Outcome] = field(default_factory=dict)  # by shot id; absent means open
    attempts: Mapping[str, tuple[Attempt, ...]] = field(default_factory=dict)  # of shots of several trips
    visits: tuple[Visit, ...] = ()
    conditions: tuple[Condition, ...] = ()
    lessons: tuple[Lesson, ...] = ()
    days: tuple[Day, ...] = ()
    keepers: tuple[Keeper, ...] = ()
    sets: tuple[KeeperSet, ...] = ()  # keepers that belong together
    apart: tuple[KeeperSet, ...] = ()  # keepers that a person says do not
    kit: Mapping[str, KitItem] = field(default_factory=dict)
    packed: tuple[PackedItem, ...] = ()
    loose_lines: tuple[LooseLine, ...] = ()
    tracks: tuple[Segment, ...] = ()  # unbroken segments
    met_light: Mapping[str, tuple[MetLight, ...]] = field(default_factory=dict)  # by viewpoint id
    withheld_names: tuple[str, ...] = ()  # of every withheld place in the book, visited on this trip or not
    withheld_positions: tuple[Position, ...] = ()  # likewise
    people: tuple[str, ...] = ()  # whom any trip of the book names as private
    last_day: date = date.max  # later days are nobody's plan: left out of drawings and of light

    def counts(self, day: date) -> bool:
        """Tell whether a day can be meant; others are left out of drawings and of light."""
        return counts(day, self.last_day)

    def outside_words(self, day: date) -> str:
        """Return why a day does not count, as a clause."""
        return outside_words(day, self.last_day)

    def taken(self) -> tuple[KitItem, ...]:
        """Return the kit that was taken on the trip, in order of its short names."""
        ids = {one.item_id for one in self.packed if one.packing is Packing.TAKEN}
        return tuple(sorted((self.kit[one] for one in ids if one in self.kit), key=lambda item: item.slug))

    @property
    def places(self) -> tuple[Site | Viewpoint, ...]:
        """The trip's sites and viewpoints, sites first."""
        return *self.sites.values(), *self.viewpoints.values()

    def site_of(self, viewpoint_id: str | None) -> Site | None:
        """Return the site that a viewpoint belongs to, or None where either is unknown."""
        viewpoint = self.viewpoints.get(viewpoint_id or "")
        return self.sites.get(viewpoint.site_id) if viewpoint else None

    def site_id_of(self, viewpoint_id: str | None) -> str | None:
        """Return the id of the site that a viewpoint belongs to, or None where that is not known."""
        site = self.site_of(viewpoint_id)
        return site.id if site else None

    def clock_on(
        self,
        day: date | None,
        viewpoint_id: str | None = None,
        site_id: str | None = None,
        position: Position | None = None,
    ) -> PlaceClock | None:
        """Return whose clock counts at a place on a day, or on the trip; None where nothing tells a zone.

        A `position` of one's own lies nearer than that of the place.
        """
        viewpoint = self.viewpoints.get(viewpoint_id or "")
        site = self.sites.get((viewpoint.site_id if viewpoint else site_id) or "")
        return clock_at(
            position or (viewpoint.position if viewpoint else None) or (site.position if site else None),
            day,
            site_zone=site.zone if site else None,
            day_zone=next((one.zone for one in self.days if one.on_date == day and one.zone), None),
            trip_zone=self.trip.zone,
        )

    def zone_on(
        self,
        day: date | None,
        viewpoint_id: str | None = None,
        site_id: str | None = None,
        position: Position | None = None,
    ) -> tzinfo | None:
        """Return the zone of the clock that counts at a place on a day, as `clock_on` has it."""
        clock = self.clock_on(day, viewpoint_id, site_id, position)
        return zone_of(clock.zone) if clock else None

    def shown(self, place: Site | Viewpoint) -> Disclosure:
        """Return how much of a place others are shown: its own word, else its site's, else the trip's.

        A withheld site withholds its viewpoints whatever they say themselves.
        """
        if isinstance(place, Viewpoint):
            site = self.sites.get(place.site_id)
            of_site = self.shown(site) if site else self.trip.location_shown
            if of_site is Disclosure.WITHHELD:
                return of_site
            return place.location_shown or of_site
        return place.location_shown or self.trip.location_shown
