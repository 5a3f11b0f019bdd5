"""What several formats write of a trip: its places and pictures on the map, and text that any file may hold.

One surprising decision: text is made plain here (no control characters, nothing that XML forbids), so that
every format may write whatever a person wrote.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from logbook.domain.keeper import Keeper
from logbook.domain.plain_text import plain
from logbook.domain.position import Position
from logbook.domain.shown import Shown
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint

AREA = "Only its area is shown: the position is rounded to a tenth of a degree on purpose."
# Beside the controls that `plain` strikes: C1 controls, and what XML 1.0 (section 2.2, Char) does not allow.
_FORBIDDEN = re.compile("[\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Place:
    """A site or viewpoint with a position; `is_area` where that is rounded on purpose."""

    place: Site | Viewpoint
    title: str
    site: str
    position: Position
    is_area: bool
    elevation_m: float | None

    @property
    def about(self) -> str:
        """What is known of the place beside its position, in a line."""
        parts = [f"at {self.site}"] if self.site != self.title else []
        if isinstance(self.place, Viewpoint):
            if self.place.facing_deg is not None:
                parts.append(f"faces {self.place.facing_deg:g}° from true north")
            if self.place.horizon is not None:
                parts.append(f"horizon: {self.place.horizon.words}")
            if self.place.looks_at:
                parts.append(f"looks at {one_line(self.place.looks_at)}")
        elif self.place.kinds:
            parts.append(", ".join(self.place.kinds))
        told = "; ".join(parts)
        told = f"{told[:1].upper()}{told[1:]}." if told else ""
        return " ".join(filter(None, (told, AREA if self.is_area else "")))


def places_of(shown: Shown) -> Iterator[Place]:
    """Yield the sites and viewpoints that have a position, sites first, each by its short name."""
    every: list[Site | Viewpoint] = sorted(shown.sites.values(), key=lambda one: one.slug)
    every += sorted(shown.viewpoints.values(), key=lambda one: one.slug)
    for place in every:
        site = shown.sites.get(place.site_id) if isinstance(place, Viewpoint) else place
        if place.position:
            title = one_line(place.title)
            named = one_line(site.title) if site else title
            yield Place(place, title, named, place.position, shown.is_area(place), place.elevation_m)


def pictures_of(shown: Shown) -> Iterator[tuple[Keeper, Position]]:
    """Yield the pictures whose position is known."""
    for keeper in shown.keepers:
        if (position := keeper.position) is not None:
            yield keeper, position


def prose(text: str | None) -> str:
    """Return free text that any format may hold, its lines kept."""
    return _FORBIDDEN.sub("", plain(text)).strip()


def one_line(text: str | None) -> str:
    """Return free text that any format may hold, as one line."""
    return " ".join(prose(text).split())
