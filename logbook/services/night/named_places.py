"""Places that a line of an evening may name: those that plans, visits and stays tie to its trip.

One surprising decision: places of other trips are not looked for, so that a plain word ("bridge closed")
cannot land at a bridge on the other side of the world.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from logbook.domain.names import slug_of
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.written.choices import says_nothing
from logbook.services.night.evening import Evening

_LED = r"(?:(?:at|on)\s+)?(?:the\s+)?{name}\s*(?:[:,–—]|\s-\s)\s*(?P<rest>\S.*)"
_SUBJECT = (
    r"(?:the\s+)?{name}\s+(?:(?:is|was|were|are|has|had|got|fully|partly|all|still|again)\s+)*"
    r"(?:open|closed|shut|locked|barred|blocked|flooded|crowded|packed|empty|deserted|washed|under|too)\b.*"
)
_THERE = (
    r".*?\b(?:at|on|near)\s+(?:the\s+)?{name}(?=\s*(?:$|[,.:!()])|\s+(?:at|from|since|until|till|by|after|before"
    r"|is|was|were|because|for|with|all|in)\b).*|.*\(\s*{name}\s*\)\s*[.!]?"
)


@dataclass(frozen=True, slots=True)
class Places:
    """The places of a trip by id, and their ids by every name (a slug) that belongs to one of them alone."""

    by_id: Mapping[str, Viewpoint | Site]
    names: Mapping[str, str]

    def fields(self, place_id: str | None) -> dict[str, str | None]:
        """The place as fields of a condition or a lesson."""
        place = self.by_id.get(place_id or "")
        return {
            "viewpoint_id": place.id if isinstance(place, Viewpoint) else None,
            "site_id": place.id if isinstance(place, Site) else None,
        }

    def where(self, place_id: str | None) -> str:
        """The place as words behind what was said: ` at lamp-terrace`."""
        place = self.by_id.get(place_id or "")
        return f" at {place.slug}" if place else ""

    def named(self, line: str) -> tuple[str | None, str]:
        """Return the place that a line names in full, and the line, without the name where that led it.

        `lamp terrace, gate locked`, `lamp terrace was flooded` and `rain at the lamp terrace` name it; `lamp
        terrace road closed` speaks of a road.
        """
        text = " ".join(line.split())
        for name in sorted(self.names, key=len, reverse=True):
            words = r"[\s-]+".join(re.escape(word) for word in name.split("-"))
            for form in (_LED, _SUBJECT, _THERE):
                if found := re.fullmatch(form.format(name=words), text, re.IGNORECASE):
                    rest = str(found.groupdict().get("rest") or text)
                    return self.names[name], rest if len(rest.split()) > 1 or says_nothing(rest) else text
        return None, text


def places_of(evening: Evening) -> Places:
    """Return the places of the trip; a viewpoint goes before a site of the same name."""
    desk = evening.desk
    tied = {one.viewpoint_id for one in desk.shots.all(trip_id=evening.trip.id)}
    tied |= {one.viewpoint_id for one in desk.visits.all(trip_id=evening.trip.id)}
    tied |= {one.viewpoint_id for one in desk.keepers.all(trip_id=evening.trip.id)}
    stays = {visit.viewpoint for visit in evening.visits.values()}
    viewpoints = [one for one in desk.viewpoints.all() if one.id in tied or one.slug in stays]
    sites = [site for site in desk.sites.all() if site.id in {one.site_id for one in viewpoints}]
    names: dict[str, str] = {}
    shelves: tuple[Sequence[Viewpoint | Site], ...] = (sites, viewpoints)
    for shelf in shelves:
        meant: dict[str, set[str]] = {}
        for place in shelf:
            for name in (place.title, place.slug, *place.also_called):
                meant.setdefault(slug_of(name), set()).add(place.id)
        names |= {name: ids.pop() for name, ids in meant.items() if len(ids) == 1}
    return Places({one.id: one for shelf in shelves for one in shelf}, names)
